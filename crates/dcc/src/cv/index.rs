//! Index pages: 256 further CVs at a time, seen at CV257 to CV512 through CV31 and CV32.
//!
//! What it is: the 24-bit address of a CV, and what the standards keep on which page.
//! What it is not: access to a page, which must set CV31 and CV32 first: they are shared state, so write both before
//! each block, or verify them.
//!
//! Source: NMRA S-9.2.2 CV31/32; RCN-225 CV31/32; RCN-217 §5.6, §5.7 and Table 9.

use core::fmt;

use super::{CvError, CvNumber};

/// First CV of the window through which a page is seen.
const WINDOW_FIRST: u16 = 257;
/// Last CV of the window.
const WINDOW_LAST: u16 = 512;

/// A CV of any page: the values of CV31 and CV32, and the place in the page.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct IndexedCv {
    /// Value of CV31, the high part of the page number.
    pub cv31: u8,
    /// Value of CV32, the low part of the page number.
    pub cv32: u8,
    /// Place in the page, 0 to 255.
    pub offset: u8,
}

impl IndexedCv {
    /// A CV that needs no page: CV1 to CV1024 lie on the pages 0/0 to 0/3 (RCN-225 CV31/32).
    pub const fn plain(cv: CvNumber) -> Self {
        let [cv32, offset] = cv.wire().to_be_bytes();
        Self { cv31: 0, cv32, offset }
    }

    /// A CV seen in the window CV257 to CV512 with this page set.
    ///
    /// # Errors
    /// [`CvError::Value`] for a CV outside the window.
    pub const fn in_window(cv31: u8, cv32: u8, cv: CvNumber) -> Result<Self, CvError> {
        let number = cv.get();
        if number < WINDOW_FIRST || number > WINDOW_LAST {
            return Err(CvError::Value {
                cv,
                value: number,
                expected: "a CV from 257 to 512, the window of a page",
            });
        }
        let [_, offset] = (number - WINDOW_FIRST).to_be_bytes();
        Ok(Self { cv31, cv32, offset })
    }

    /// From the three address octets of an XPOM packet.
    pub const fn from_octets([cv31, cv32, offset]: [u8; 3]) -> Self {
        Self { cv31, cv32, offset }
    }

    /// The three address octets of an XPOM packet.
    pub const fn octets(self) -> [u8; 3] {
        [self.cv31, self.cv32, self.offset]
    }

    /// The page number, CV31 · 256 + CV32.
    pub const fn page(self) -> u16 {
        u16::from_be_bytes([self.cv31, self.cv32])
    }

    /// The CV of the window at which it is seen.
    pub const fn window_cv(self) -> CvNumber {
        CvNumber::literal(WINDOW_FIRST + self.offset as u16)
    }

    /// The CV of this place that needs no page, if there is one.
    pub const fn plain_cv(self) -> Option<CvNumber> {
        if self.page() <= 3 { Some(CvNumber::from_wire(self.page() << 8 | self.offset as u16)) } else { None }
    }
}

impl fmt::Display for IndexedCv {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.plain_cv() {
            Some(cv) => cv.fmt(f),
            None => write!(f, "{} of page {}/{}", self.window_cv(), self.cv31, self.cv32),
        }
    }
}
