//! Integration tests of the bench: whole locomotives on the rails.

// `cfg(test)` is always so here; it tells clippy that helper functions may unwrap as tests may.
#[cfg(test)]
mod demo;
#[cfg(test)]
mod electrics;
#[cfg(test)]
mod hand;
#[cfg(test)]
mod interrupted;
#[cfg(test)]
mod operations;
#[cfg(test)]
mod properties;
#[cfg(test)]
mod service;
#[cfg(test)]
mod settled;
#[cfg(test)]
mod train;
#[cfg(test)]
mod voice;
