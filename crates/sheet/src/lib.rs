//! The bench sheet: Backshop in the browser.
