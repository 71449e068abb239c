//! Who made a decoder: CV8, CV107 and CV108.
//!
//! What it is: the number. What it is not: the list of makers, which is not ours to keep.
//!
//! Source: NMRA S-9.2.2 CV8, CV107/108; RCN-225 CV107/108; RCN-226 §2.1; S-9.2.3 §E.

/// Written to CV8 in service mode, this puts all CVs back to the factory values of the manual: the only value with a
/// standard meaning (RCN-226 §2.1). A decoder should not accept it on the main.
pub const FACTORY_RESET_VALUE: u8 = 8;

/// Value of CV8 that says: see CV107 and CV108.
const EXTENDED: u8 = 238;
/// What CV8 reads until a factory reset has finished (S-9.2.3 §E).
const RESETTING: u8 = 255;

/// Who made the decoder.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ManufacturerId {
    /// A number of the assigned list.
    Assigned(u8),
    /// A number of the extended list, 12 bits.
    Extended(u16),
    /// A factory reset has not finished.
    Resetting,
}

impl ManufacturerId {
    /// From CV8, and for 238 from CV107 (bits 0–3 are the high part) and CV108.
    ///
    /// DIFFERENCE: S-9.2.2 reserves both as 16 bits; the upper four are dropped, as RCN-225 has it.
    pub const fn from_cvs(cv8: u8, cv107: u8, cv108: u8) -> Self {
        match cv8 {
            EXTENDED => Self::Extended(u16::from_be_bytes([cv107 & 0x0F, cv108])),
            RESETTING => Self::Resetting,
            number => Self::Assigned(number),
        }
    }
}
