//! Decoder control, consist control and binary states.
//!
//! What it is: the small instructions of S-9.2.1. What it is not: what a decoder does on hearing them.
//!
//! Source: NMRA S-9.2.1 §C 000, 0001, 110; RCN-212 (digest); RCN-217 §4.3.1.

use super::InstructionError;

/// Decoder control, `0000 CCCF`.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum DecoderControl {
    /// `00`: volatile memory erased, power-up state.
    Reset,
    /// `01`: CV29, CV31 and CV32 to factory values, CV19 to 0, then a reset.
    HardReset,
    /// `02`/`03`: factory test, never sent in normal operation; carries its data bit.
    FactoryTest(bool),
    /// `06`/`07` and `CCCC0SSS`: a decoder flag.
    Flag(DecoderFlag),
    /// `0A`/`0B`: CV29 bit 5, the use of the long address, to 0 or 1.
    SetLongAddressing(bool),
    /// `0F`: asks for an acknowledgement.
    AcknowledgementRequest,
}

/// A decoder flag as heard on the rail.
///
/// It cannot be made, only parsed: S-9.2.1 §C marks these flags "under re-evaluation" and they collide with the later
/// meaning of CV15 and CV16 as the decoder lock (RCN-225), so that a sender of ours must not use them.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct DecoderFlag {
    code: DecoderFlagCode,
    sub_address: u8,
    value: bool,
}

impl DecoderFlag {
    pub(super) fn from_octets(first: u8, second: u8, position: usize) -> Result<Self, InstructionError> {
        let code = match second >> 4 {
            0b0000 => DecoderFlagCode::DisableCvInstructions,
            0b0100 => DecoderFlagCode::DisableAcknowledgement,
            0b0101 => DecoderFlagCode::ActivateBidirectional,
            0b1000 => DecoderFlagCode::BidirectionalForSubAddress,
            0b1001 => DecoderFlagCode::CvInstructionsForSubAddress,
            0b1111 => DecoderFlagCode::AcceptMultipleCvInstructions,
            _ => {
                return Err(InstructionError::Reserved {
                    octet: position,
                    found: second,
                    what: "decoder flag code",
                });
            }
        };
        if second & 0b1000 != 0 {
            return Err(InstructionError::Bits {
                octet: position,
                found: second,
                expected: "CCCC0SSS, bit 3 zero",
            });
        }
        Ok(Self { code, sub_address: second & 0b111, value: first & 1 == 1 })
    }

    pub(super) const fn octets(self) -> [u8; 2] {
        let code = match self.code {
            DecoderFlagCode::DisableCvInstructions => 0b0000,
            DecoderFlagCode::DisableAcknowledgement => 0b0100,
            DecoderFlagCode::ActivateBidirectional => 0b0101,
            DecoderFlagCode::BidirectionalForSubAddress => 0b1000,
            DecoderFlagCode::CvInstructionsForSubAddress => 0b1001,
            DecoderFlagCode::AcceptMultipleCvInstructions => 0b1111,
        };
        [0x06 | self.value as u8, code << 4 | self.sub_address]
    }

    /// Which flag.
    pub const fn code(self) -> DecoderFlagCode {
        self.code
    }

    /// Which decoder of those that share the address, by the lowest three bits of CV15; 0 means all of them.
    pub const fn sub_address(self) -> u8 {
        self.sub_address
    }

    /// The value the flag gets.
    pub const fn value(self) -> bool {
        self.value
    }
}

/// Which decoder flag (S-9.2.1 §C).
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum DecoderFlagCode {
    /// 0000: no CV instructions until a reset.
    DisableCvInstructions,
    /// 0100: no acknowledgement request until power-down.
    DisableAcknowledgement,
    /// 0101: bi-directional communication on, which sets CV29 bit 3.
    ActivateBidirectional,
    /// 1000: bi-directional communication for this sub-address only (CV16 bit 0).
    BidirectionalForSubAddress,
    /// 1001: CV instructions for this sub-address only (CV16 bit 1).
    CvInstructionsForSubAddress,
    /// 1111: several CV instructions are accepted, once.
    AcceptMultipleCvInstructions,
}

/// Consist control: what CV19 becomes (S-9.2.1 §C 0001).
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct ConsistControl {
    address: u8,
    is_reversed: bool,
}

impl ConsistControl {
    /// Leave the consist. Of the two octet pairs that say so, `12 00` is the one sent.
    pub const LEAVE: Self = Self { address: 0, is_reversed: false };

    /// Join the consist of this address, in its direction or turned round.
    pub const fn join(address: crate::ShortAddress, is_reversed: bool) -> Self {
        Self { address: address.get(), is_reversed }
    }

    pub(super) const fn from_bits(address: u8, is_reversed: bool) -> Self {
        Self { address: address & 0x7F, is_reversed }
    }

    /// The consist to join, or `None` to leave.
    pub fn address(self) -> Option<crate::ShortAddress> {
        crate::ShortAddress::new(self.address).ok()
    }

    /// Whether the locomotive runs turned round in the consist (CV19 bit 7).
    pub const fn is_reversed(self) -> bool {
        self.is_reversed
    }

    /// The value of CV19 afterwards: 0 for no consist, whatever the direction.
    pub const fn cv19(self) -> u8 {
        if self.address == 0 { 0 } else { self.address | (self.is_reversed as u8) << 7 }
    }

    pub(super) const fn octets(self) -> [u8; 2] {
        [0x12 | self.is_reversed as u8, self.address]
    }
}

/// A binary state switched on or off (S-9.2.1 §C 110).
///
/// The short form carries the states 1 to 127, which must be sent in it; the long form the states 128 to 32767. Number
/// 0 addresses all states of the form. DIFFERENCE: the long form with a number from 1 to 127 is not parsed, because
/// S-9.2.1 §C forbids to send it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct BinaryState {
    pub(super) form: BinaryForm,
    pub(super) number: u16,
    is_on: bool,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum BinaryForm {
    Short,
    Long,
}

impl BinaryState {
    /// Highest number.
    pub const HIGHEST: u16 = 32_767;
    /// State 1: request of the position (RCN-217 §4.3.1).
    pub const REQUEST_POSITION: u16 = 1;
    /// State 2: rerailing search; "off" makes decoders that were just put on the rail answer (RCN-217 §4.3.1, §5.2.3).
    pub const RERAILING_SEARCH: u16 = 2;
    /// State 3: send all CVs (RCN-217 §4.3.1).
    pub const SEND_ALL_CVS: u16 = 3;

    /// One state, in the form its number asks for.
    ///
    /// # Errors
    /// [`InstructionError::BinaryStateNumber`] for 0 or above 32767.
    pub const fn new(number: u16, is_on: bool) -> Result<Self, InstructionError> {
        if number == 0 || number > Self::HIGHEST {
            return Err(InstructionError::BinaryStateNumber { number });
        }
        Ok(Self { form: if number <= 127 { BinaryForm::Short } else { BinaryForm::Long }, number, is_on })
    }

    /// All states of the short form: 1 to 127 by S-9.2.1, 29 to 127 by RCN-212 (digest). Better avoided for that.
    pub const fn all_short(is_on: bool) -> Self {
        Self { form: BinaryForm::Short, number: 0, is_on }
    }

    /// All states (S-9.2.1 §C). Better avoided: RCN-212 (digest) reserves 1 to 28 for special uses.
    pub const fn all_long(is_on: bool) -> Self {
        Self { form: BinaryForm::Long, number: 0, is_on }
    }

    pub(super) fn from_short(octet: u8) -> Self {
        Self { form: BinaryForm::Short, number: u16::from(octet & 0x7F), is_on: octet & 0x80 != 0 }
    }

    pub(super) fn from_long(low: u8, high: u8, position: usize) -> Result<Self, InstructionError> {
        let number = u16::from(high) << 7 | u16::from(low & 0x7F);
        if (1..=127).contains(&number) {
            return Err(InstructionError::Bits {
                octet: position,
                found: low,
                expected: "the short form DD for binary states 1 to 127",
            });
        }
        Ok(Self { form: BinaryForm::Long, number, is_on: low & 0x80 != 0 })
    }

    /// The number, or `None` when all states of the form are meant.
    pub const fn number(self) -> Option<u16> {
        if self.number == 0 { None } else { Some(self.number) }
    }

    /// Whether the short form carries it.
    pub const fn is_short_form(self) -> bool {
        matches!(self.form, BinaryForm::Short)
    }

    /// Whether it is switched on.
    pub const fn is_on(self) -> bool {
        self.is_on
    }
}
