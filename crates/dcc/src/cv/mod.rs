//! Configuration variables: their numbers, names, and what their values mean.
//!
//! What it is: a codec per standard CV or group of CVs, and the table of names ([`standard_cv`]).
//! What it is not: the CVs of any particular decoder; makers' own CVs are data of other rooms.
//!
//! Source: NMRA S-9.2.2; RCN-225; RCN-226; RCN-227.

mod index;
mod number;

pub use index::IndexedCv;
pub use number::{BitPosition, CvError, CvNumber};
