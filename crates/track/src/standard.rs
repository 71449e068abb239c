//! The CVs that every run has to do with.
//!
//! Source: NMRA S-9.2.2; RCN-225.

use datasheets::CvPlace;
use dcc::{CvError, CvNumber};

const fn checked(number: Result<CvNumber, CvError>) -> CvNumber {
    match number {
        Ok(cv) => cv,
        Err(_) => panic!("the numbers below are CV numbers"),
    }
}

/// Short address.
pub(crate) const ADDRESS: CvNumber = CvNumber::FIRST;
/// Maximum voltage; for this room, the first CV of page 2 of paged mode.
pub(crate) const MAXIMUM_VOLTAGE: CvNumber = checked(CvNumber::new(5));
/// Version number.
pub(crate) const VERSION: CvNumber = checked(CvNumber::new(7));
/// Manufacturer's number.
pub(crate) const MANUFACTURER: CvNumber = checked(CvNumber::new(8));
/// Decoder lock: the key, which a decoder compares with its own number.
pub(crate) const LOCK_KEY: CvNumber = checked(CvNumber::new(15));
/// Decoder lock: its own number.
pub(crate) const LOCK_NUMBER: CvNumber = checked(CvNumber::new(16));
/// Long address, high part.
pub(crate) const LONG_HIGH: CvNumber = checked(CvNumber::new(17));
/// Long address, low part.
pub(crate) const LONG_LOW: CvNumber = checked(CvNumber::new(18));
/// Consist address.
pub(crate) const CONSIST: CvNumber = checked(CvNumber::new(19));
/// Configuration.
pub(crate) const CONFIGURATION: CvNumber = checked(CvNumber::new(29));
/// Index page, high part.
pub(crate) const PAGE_HIGH: CvNumber = checked(CvNumber::new(31));
/// Index page, low part.
pub(crate) const PAGE_LOW: CvNumber = checked(CvNumber::new(32));

/// The place of a CV that needs no page.
pub(crate) const fn plain(cv: CvNumber) -> CvPlace {
    CvPlace { page: None, cv: cv.get() }
}

/// The CVs that a write may change: the CV itself, and what the standard ties to it. CV1 may clear CV19 and bit 5 of CV29
/// (S-9.2.3, address-only mode); CV17 may wait for CV18 (S-9.2.1 note 8), which is then written with it.
pub(crate) fn changed_by_writing(place: CvPlace) -> Vec<CvPlace> {
    if place == plain(ADDRESS) {
        vec![place, plain(CONSIST), plain(CONFIGURATION)]
    } else if place == plain(LONG_HIGH) {
        vec![place, plain(LONG_LOW)]
    } else {
        vec![place]
    }
}
