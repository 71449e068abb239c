//! The standard CVs by number: name, duty, default, range.
//!
//! What it is: a look-up so that any CV can be named. What it is not: the meaning of values (the other modules of
//! [`super`]) or the CVs of makers.
//!
//! Source: NMRA S-9.2.2 Table 1, Table 2 and Table 3; RCN-225 §2 and §3.1. A range that no text gives is 0 to 255.

use core::fmt;

use super::table::{ACCESSORY, MULTI_FUNCTION};
use super::{CvNumber, RuleSet};

/// Whether a decoder must have a CV.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Uniformity {
    /// Every decoder has it.
    Mandatory,
    /// Every decoder should have it.
    Recommended,
    /// A decoder that has it uses it this way.
    Optional,
    /// Kept for later standards.
    Reserved,
    /// Optional, and for the maker to use as it likes.
    Maker,
    /// The rule set does not mention it.
    Unmentioned,
}

impl fmt::Display for Uniformity {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Mandatory => "mandatory",
            Self::Recommended => "recommended",
            Self::Optional => "optional",
            Self::Reserved => "reserved",
            Self::Maker => "for the maker",
            Self::Unmentioned => "not mentioned",
        })
    }
}

/// How a CV behaves when it is written or read.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Access {
    /// It keeps what is written.
    Stored,
    /// It cannot be written; a write has no effect or a special one.
    ReadOnly,
    /// The decoder changes it by itself.
    Volatile,
}

/// What the standards say about a CV.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct StandardCv {
    /// First CV of the entry. Most entries have one CV.
    pub first: CvNumber,
    /// Last CV of the entry.
    pub last: CvNumber,
    /// What it is called.
    pub name: &'static str,
    /// Duty by S-9.2.2.
    pub nmra: Uniformity,
    /// Duty by RCN-225.
    pub rcn: Uniformity,
    /// How it behaves.
    pub access: Access,
    /// The value a decoder is delivered with, where a text fixes it.
    pub default: Option<u8>,
    /// Lowest value with a meaning.
    pub least: u8,
    /// Highest value with a meaning.
    pub most: u8,
    /// Where it is defined.
    pub source: &'static str,
}

impl StandardCv {
    /// Its duty by a rule set.
    pub const fn uniformity(&self, rules: RuleSet) -> Uniformity {
        match rules {
            RuleSet::Nmra => self.nmra,
            RuleSet::Rcn => self.rcn,
        }
    }

    /// Whether a value has a meaning.
    pub const fn takes(&self, value: u8) -> bool {
        value >= self.least && value <= self.most
    }

    /// Whether the CV is part of this entry.
    pub const fn contains(&self, cv: CvNumber) -> bool {
        cv.get() >= self.first.get() && cv.get() <= self.last.get()
    }
}

/// What the standards say about a CV of a multi-function decoder. Every CV has an entry, if only as the maker's.
///
/// ```
/// use dcc::{CvNumber, cv::{Uniformity, standard_cv}};
/// let cv29 = standard_cv(CvNumber::new(29)?).expect("CV29 is standard");
/// assert_eq!((cv29.name, cv29.nmra), ("configuration", Uniformity::Mandatory));
/// # Ok::<(), dcc::CvError>(())
/// ```
pub fn standard_cv(cv: CvNumber) -> Option<&'static StandardCv> {
    find(&MULTI_FUNCTION, cv)
}

/// What the standards say about a CV of an accessory decoder, by its present number (the numbers from 513 on are the
/// older ones). Only the CVs that differ from those of multi-function decoders have an entry.
pub fn standard_accessory_cv(cv: CvNumber) -> Option<&'static StandardCv> {
    find(&ACCESSORY, cv)
}

/// All entries for multi-function decoders in the order of their numbers.
pub fn standard_cvs() -> impl Iterator<Item = &'static StandardCv> {
    MULTI_FUNCTION.iter()
}

fn find(table: &'static [StandardCv], cv: CvNumber) -> Option<&'static StandardCv> {
    let place = table.partition_point(|entry| entry.last < cv);
    table.get(place).filter(|entry| entry.contains(cv))
}
