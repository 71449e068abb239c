//! Packets for accessory decoders, so that a capture can be read in full.
//!
//! What it is: addresses and the packet kinds of S-9.2.1 §D and RCN-213. What it is not: CVs of accessory decoders.
//!
//! Source: NMRA S-9.2.1 §D and App. A; RCN-213 (digest); RCN-217 §4.3.3 and §6.1; RCN-225 §3.1 CV1.

use core::fmt;

use super::access::CvAccess;
use super::error::InstructionError;
use crate::cv::CvNumber;
use crate::packet::Builder;

/// An accessory output pair, or an extended accessory, by its eleven-bit value in the packet.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct AccessoryAddress(u16);

impl AccessoryAddress {
    /// All of them: the highest value (S-9.2.1 §D, broadcast).
    pub const BROADCAST: Self = Self(2047);

    /// By the value in the packet.
    ///
    /// # Errors
    /// [`AccessoryError::Linear`] above 2047.
    pub const fn from_linear(linear: u16) -> Result<Self, AccessoryError> {
        if linear <= 2047 { Ok(Self(linear)) } else { Err(AccessoryError::Linear { linear }) }
    }

    /// By the number people use, which is the value in the packet less 3 (RCN-225 §3.1 CV1; RCN-213, digest).
    ///
    /// DIFFERENCE: the output-address formula of S-9.2.2 does not reach the packet that its own text claims for
    /// address 1; RCN-225 is followed.
    ///
    /// # Errors
    /// [`AccessoryError::User`] outside 1..=2044.
    pub const fn from_user(number: u16) -> Result<Self, AccessoryError> {
        if number >= 1 && number <= 2044 {
            Ok(Self(number + 3))
        } else {
            Err(AccessoryError::User { number })
        }
    }

    /// The value in the packet, 0 to 2047.
    pub const fn linear(self) -> u16 {
        self.0
    }

    /// The number people use, or `None` for the values 0 to 2, which have none, and 3, which would be 0.
    pub const fn user(self) -> Option<u16> {
        if self.0 >= 4 { Some(self.0 - 3) } else { None }
    }

    /// The nine-bit decoder address and the pair, 0 to 3.
    const fn split(self) -> (u16, u8) {
        (self.0 >> 2, (self.0 & 0b11) as u8)
    }

    const fn join(decoder: u16, pair: u8) -> Self {
        Self(decoder << 2 | pair as u16)
    }
}

impl fmt::Display for AccessoryAddress {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.user() {
            Some(number) => write!(f, "accessory {number}"),
            None => write!(f, "accessory with packet value {}", self.0),
        }
    }
}

/// What a packet tells accessory decoders.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum AccessoryInstruction {
    /// `10AAAAAA 1AAACDDD`: one output of a pair is switched on or off (S-9.2.1 §D).
    Basic {
        /// The pair.
        address: AccessoryAddress,
        /// Which output of the pair: `true` is straight or proceed (R = 1; RCN-217 §6.1).
        is_straight: bool,
        /// Whether the output is switched on (C).
        is_active: bool,
    },
    /// `10AAAAAA 0AAA0AA1 XXXXXXXX`: an aspect; 0 is absolute stop. Five bits in S-9.2.1 §D, eight in RCN-217 §6.1.
    Extended {
        /// The signal.
        address: AccessoryAddress,
        /// The aspect.
        aspect: u8,
    },
    /// `10AAAAAA 0AAA1AAT`: does nothing, so that the decoder can report (RCN-217 §4.3.3).
    Nop {
        /// Whom it gives the chance.
        address: AccessoryAddress,
        /// The bit T: 1 for an extended decoder (from memory).
        is_extended: bool,
    },
    /// CV access on the main (S-9.2.1 §D).
    Cv {
        /// Whose CV.
        target: AccessoryCvTarget,
        /// Which CV and what is done.
        access: CvAccess,
    },
    /// `10AAAAAA 0AAA11VV VVVVVVVV DDDDDDDD`: the older way to write a CV (S-9.2.1 App. A).
    LegacyCvWrite {
        /// Nine-bit decoder address.
        decoder: u16,
        /// The CV.
        cv: CvNumber,
        /// The value to store.
        value: u8,
    },
}

/// Whose CV is meant by CV access to an accessory decoder (S-9.2.1 §D).
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum AccessoryCvTarget {
    /// CDDD = 0000: the whole basic decoder of this nine-bit address.
    Decoder(u16),
    /// CDDD = 1DDD: one output of a basic decoder.
    Output {
        /// The pair.
        address: AccessoryAddress,
        /// Which output of the pair.
        is_straight: bool,
    },
    /// An extended decoder.
    Extended(AccessoryAddress),
}

const PREFIX: u8 = 0b1000_0000;

impl AccessoryInstruction {
    pub(super) fn emit(self, builder: &mut Builder) {
        match self {
            Self::Basic { address, is_straight, is_active } => {
                let (decoder, pair) = address.split();
                push_address(
                    builder,
                    decoder,
                    PREFIX | (is_active as u8) << 3 | pair << 1 | is_straight as u8,
                );
            }
            Self::Extended { address, aspect } => {
                push_extended(builder, address);
                builder.push(aspect);
            }
            Self::Nop { address, is_extended } => {
                let (decoder, pair) = address.split();
                push_address(builder, decoder, 0b1000 | pair << 1 | is_extended as u8);
            }
            Self::Cv { target, access } => {
                match target {
                    AccessoryCvTarget::Decoder(decoder) => push_address(builder, decoder, PREFIX),
                    AccessoryCvTarget::Output { address, is_straight } => {
                        let (decoder, pair) = address.split();
                        push_address(builder, decoder, PREFIX | 0b1000 | pair << 1 | is_straight as u8);
                    }
                    AccessoryCvTarget::Extended(address) => push_extended(builder, address),
                }
                builder.extend(&access.octets(0b1110));
            }
            Self::LegacyCvWrite { decoder, cv, value } => {
                let [high, low] = cv.wire().to_be_bytes();
                push_address(builder, decoder, 0b1100 | high);
                builder.push(low);
                builder.push(value);
            }
        }
    }

    /// From the payload of a packet whose first octet is 128 to 191. The length decides between kinds.
    pub(super) fn parse(payload: &[u8]) -> Result<Self, InstructionError> {
        let reserved = |found| {
            Err(InstructionError::Reserved { octet: 2, found, what: "accessory packet of this length" })
        };
        match *payload {
            [first, second] if second & PREFIX != 0 => Ok(Self::Basic {
                address: AccessoryAddress::join(decoder(first, second), second >> 1 & 0b11),
                is_straight: second & 1 == 1,
                is_active: second & 0b1000 != 0,
            }),
            [first, second] if second & 0b1000 != 0 => Ok(Self::Nop {
                address: AccessoryAddress::join(decoder(first, second), second >> 1 & 0b11),
                is_extended: second & 1 == 1,
            }),
            [first, second, aspect] if is_extended(second) => {
                Ok(Self::Extended { address: extended(first, second), aspect })
            }
            [first, second, low, value] if second & 0b1000_1100 == 0b1100 => Ok(Self::LegacyCvWrite {
                decoder: decoder(first, second),
                cv: CvNumber::from_wire(u16::from_be_bytes([second & 0b11, low])),
                value,
            }),
            [first, second, code, low, data] if second & PREFIX != 0 || is_extended(second) => {
                let access =
                    (code >> 4 == 0b1110).then(|| CvAccess::from_octets([code, low, data])).flatten();
                let Some(access) = access else {
                    return Err(InstructionError::Bits {
                        octet: 3,
                        found: code,
                        expected: "a CV access, long form",
                    });
                };
                let target = if is_extended(second) {
                    AccessoryCvTarget::Extended(extended(first, second))
                } else if second & 0b1000 != 0 {
                    AccessoryCvTarget::Output {
                        address: AccessoryAddress::join(decoder(first, second), second >> 1 & 0b11),
                        is_straight: second & 1 == 1,
                    }
                } else if second & 0b0111 == 0 {
                    AccessoryCvTarget::Decoder(decoder(first, second))
                } else {
                    return Err(InstructionError::Bits {
                        octet: 2,
                        found: second,
                        expected: "CDDD = 0000 or 1DDD",
                    });
                };
                Ok(Self::Cv { target, access })
            }
            [_, second, ..] => reserved(second),
            _ => Err(InstructionError::Truncated { octet: 2, what: "an accessory packet" }),
        }
    }
}

fn is_extended(second: u8) -> bool {
    second & 0b1000_1001 == 0b0000_0001
}

fn extended(first: u8, second: u8) -> AccessoryAddress {
    AccessoryAddress::join(decoder(first, second), second >> 1 & 0b11)
}

/// The nine-bit decoder address; its three high bits are inverted in the second octet (S-9.2.1 §D).
fn decoder(first: u8, second: u8) -> u16 {
    u16::from(first & 0x3F) | u16::from(!second >> 4 & 0b111) << 6
}

fn push_extended(builder: &mut Builder, address: AccessoryAddress) {
    let (decoder, pair) = address.split();
    push_address(builder, decoder, pair << 1 | 1);
}

/// Pushes both address octets; `low` is the second without its address bits.
fn push_address(builder: &mut Builder, decoder: u16, low: u8) {
    builder.push(PREFIX | (decoder & 0x3F) as u8);
    builder.push(((!(decoder >> 6) & 0b111) as u8) << 4 | low);
}

/// Why a number is not an accessory address.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum AccessoryError {
    /// Not a number people use.
    User {
        /// The number given.
        number: u16,
    },
    /// Not a value of a packet.
    Linear {
        /// The value given.
        linear: u16,
    },
}

impl fmt::Display for AccessoryError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::User { number } => write!(f, "accessory number {number} is outside 1 to 2044"),
            Self::Linear { linear } => write!(f, "accessory packet value {linear} is above 2047"),
        }
    }
}

impl core::error::Error for AccessoryError {}
