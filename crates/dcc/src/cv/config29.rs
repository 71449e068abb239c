//! CV29, the configuration of a multi-function decoder.
//!
//! What it is: the octet as named claims and back. What it is not: the CVs the bits refer to.
//!
//! Source: NMRA S-9.2.2 CV29; RCN-225 CV29.

use super::CvNumber;

/// CV29.
///
/// ```
/// use dcc::cv::Config29;
/// let config = Config29 { has_28_steps: true, is_analog_allowed: true, ..Config29::default() };
/// assert_eq!(config.value(), 6);
/// ```
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Config29 {
    /// Bit 0: the direction is turned round, F0 forward and F0 reverse with it. In digital operation only by S-9.2.2,
    /// with an analog supply too by RCN-225.
    pub is_reversed: bool,
    /// Bit 1: 28 or 126 steps, F0 in function group 1. Clear: 14 steps, F0 in bit 4 of the speed octet.
    pub has_28_steps: bool,
    /// Bit 2: the decoder may go over to an analog supply.
    pub is_analog_allowed: bool,
    /// Bit 3: bi-directional communication is on.
    pub is_feedback_on: bool,
    /// Bit 4: the speed table CV67–94 counts. Clear: CV2, CV5 and CV6.
    pub has_speed_table: bool,
    /// Bit 5: the long address CV17/18 counts. Clear: the short address CV1.
    pub has_long_address: bool,
    /// Bit 6: reserved, kept as it was read.
    pub is_reserved_set: bool,
    /// Bit 7: this is an accessory decoder.
    pub is_accessory: bool,
}

impl Config29 {
    /// The number of this CV.
    pub const CV: CvNumber = CvNumber::literal(29);

    /// From the value.
    pub const fn from_value(value: u8) -> Self {
        Self {
            is_reversed: value & 1 != 0,
            has_28_steps: value & 2 != 0,
            is_analog_allowed: value & 4 != 0,
            is_feedback_on: value & 8 != 0,
            has_speed_table: value & 16 != 0,
            has_long_address: value & 32 != 0,
            is_reserved_set: value & 64 != 0,
            is_accessory: value & 128 != 0,
        }
    }

    /// The value.
    pub const fn value(self) -> u8 {
        self.is_reversed as u8
            | (self.has_28_steps as u8) << 1
            | (self.is_analog_allowed as u8) << 2
            | (self.is_feedback_on as u8) << 3
            | (self.has_speed_table as u8) << 4
            | (self.has_long_address as u8) << 5
            | (self.is_reserved_set as u8) << 6
            | (self.is_accessory as u8) << 7
    }

    /// The CV and its value.
    pub const fn to_cvs(self) -> [(CvNumber, u8); 1] {
        [(Self::CV, self.value())]
    }
}
