//! The CVs that hold addresses: CV1, CV17 and CV18, CV19 and CV20.
//!
//! What it is: addresses to CVs and back. What it is not: CV29 bit 5, which makes one of them active ([`super::Config29`]).
//!
//! Source: NMRA S-9.2.2 CV1, CV17/18, CV19; S-9.2.1 note 8; S-9.2.3 §E address-only; RCN-225 CV1, CV17/18, CV19/20.

use super::{CvNumber, RuleSet};
use crate::address::{Address, AddressError, LongAddress, ShortAddress};

const CV1: CvNumber = CvNumber::literal(1);
const CV17: CvNumber = CvNumber::literal(17);
const CV18: CvNumber = CvNumber::literal(18);
const CV19: CvNumber = CvNumber::literal(19);
const CV20: CvNumber = CvNumber::literal(20);

impl ShortAddress {
    /// The CV that holds it.
    ///
    /// Writing CV1 clears CV29 bit 5 and CV19 by S-9.2.3 §E; RCN-225 leaves the former to the maker. So write CV29 and
    /// CV19 after it, and verify both.
    pub const fn to_cvs(self) -> [(CvNumber, u8); 1] {
        [(CV1, self.get())]
    }

    /// From the value of CV1.
    ///
    /// # Errors
    /// [`AddressError::Short`]: with 0 the decoder has left this protocol (S-9.2.2), above 127 too (RCN-225).
    pub const fn from_cv(cv1: u8) -> Result<Self, AddressError> {
        Self::new(cv1)
    }
}

impl LongAddress {
    /// The CVs that hold it, in the order in which they must be written: CV17 takes effect with CV18 (S-9.2.1 note 8).
    /// CV29 bit 5 comes after them.
    ///
    /// ```
    /// let cvs = dcc::LongAddress::new(1234)?.to_cvs();
    /// assert_eq!(cvs.map(|(cv, value)| (cv.get(), value)), [(17, 196), (18, 210)]);
    /// # Ok::<(), dcc::AddressError>(())
    /// ```
    pub const fn to_cvs(self) -> [(CvNumber, u8); 2] {
        let [high, low] = self.octets();
        [(CV17, high), (CV18, low)]
    }

    /// From the values of CV17 and CV18.
    ///
    /// # Errors
    /// [`AddressError::LongFirstOctet`] when CV17 is not 192..=231.
    pub const fn from_cvs(cv17: u8, cv18: u8) -> Result<Self, AddressError> {
        Self::from_octets(cv17, cv18)
    }
}

/// That a locomotive is in a consist, and how: CV19 and CV20.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct ConsistMembership {
    address: Address,
    /// Whether it runs turned round: CV19 bit 7.
    pub is_reversed: bool,
    /// Whether it is the lead unit, which answers as if addressed by its own address: CV20 bit 7. Set in one unit only.
    /// RCN-225; reserved by S-9.2.2.
    pub is_lead: bool,
}

const TURNED: u8 = 0x80;
const LEAD: u8 = 0x80;
const ADDRESS_BITS: u8 = 0x7F;

impl ConsistMembership {
    /// In the consist of this address, in its direction, not as the lead unit.
    ///
    /// # Errors
    /// [`AddressError::Consist`] for the broadcast address, and for a long address below 100, which CV19 and CV20
    /// cannot tell from a short one.
    pub const fn new(address: Address) -> Result<Self, AddressError> {
        match address {
            Address::Broadcast => return Err(AddressError::Consist { number: 0 }),
            Address::Long(long) if long.get() < 100 => {
                return Err(AddressError::Consist { number: long.get() });
            }
            Address::Short(_) | Address::Long(_) => {}
        }
        Ok(Self { address, is_reversed: false, is_lead: false })
    }

    /// From the values of both CVs, or `None` when the locomotive is in no consist.
    ///
    /// By S-9.2.2 CV20 does not count. By RCN-225 the address is (CV20 & 127) · 100 + (CV19 & 127); a sum above 10239
    /// means that it is in no consist.
    pub fn from_cvs(cv19: u8, cv20: u8, rules: RuleSet) -> Option<Self> {
        let is_reversed = cv19 & TURNED != 0;
        let low = cv19 & ADDRESS_BITS;
        let (high, is_lead) = match rules {
            RuleSet::Nmra => (0, false),
            RuleSet::Rcn => (cv20 & ADDRESS_BITS, cv20 & LEAD != 0),
        };
        let address = if high == 0 {
            Address::Short(ShortAddress::new(low).ok()?)
        } else {
            Address::Long(LongAddress::new(u16::from(high) * 100 + u16::from(low)).ok()?)
        };
        Some(Self { address, is_reversed, is_lead })
    }

    /// The address the consist is driven by.
    pub const fn address(self) -> Address {
        self.address
    }

    /// Both CVs. For a short address that is not the lead unit CV20 is 0, which suits both rule sets.
    pub fn to_cvs(self) -> [(CvNumber, u8); 2] {
        let (high, low) = match self.address {
            Address::Broadcast => (0, 0),
            Address::Short(short) => (0, short.get()),
            Address::Long(long) => (((long.get() / 100) & 0x7F) as u8, (long.get() % 100) as u8),
        };
        let turned = if self.is_reversed { TURNED } else { 0 };
        let lead = if self.is_lead { LEAD } else { 0 };
        [(CV19, turned | low), (CV20, lead | high)]
    }

    /// Both CVs for a locomotive in no consist.
    pub const fn none() -> [(CvNumber, u8); 2] {
        [(CV19, 0), (CV20, 0)]
    }
}
