//! From octets to meaning.
//!
//! What it is: `parse` of [`Instruction`], and [`Commands`] for packets that hold several instructions.
//! What it is not: service mode.
//!
//! Source: NMRA S-9.2.1 §A, §C; RCN-212, RCN-214 (digests); RCN-217 Table 4 and §5.6.

use super::access::{CvAccess, ShortCvAccess};
use super::accessory::AccessoryInstruction;
use super::control::{BinaryState, ConsistControl, DecoderControl, DecoderFlag};
use super::speed::{BaselineSpeed, SpecialOperation, SpeedAndFunctions, from_octet_126};
use super::xpom::{Xpom, XpomData, XpomOperation};
use super::{Command, Instruction, InstructionError};
use crate::address::{Address, LongAddress, ShortAddress};
use crate::cv::{BitPosition, IndexedCv};
use crate::function::{FunctionGroup, GroupStates};
use crate::packet::PacketView;

impl Instruction {
    /// Reads a packet that holds one instruction.
    ///
    /// # Errors
    /// [`InstructionError`] with the place of the octet, counted from 1; [`InstructionError::Trailing`] for a packet
    /// with several commands, which [`Commands`] reads.
    pub fn parse(packet: &PacketView<'_>) -> Result<Self, InstructionError> {
        let payload = packet.payload();
        match packet.first() {
            128..=191 => AccessoryInstruction::parse(payload).map(Self::Accessory),
            255 => match payload {
                [_, 0] => Ok(Self::Idle),
                [_, 0, ..] => Err(InstructionError::Trailing { octet: 3 }),
                _ => Err(InstructionError::ReservedAddress { found: 255 }),
            },
            _ => {
                let mut commands = Commands::new(packet)?;
                let address = commands.address();
                let Some(command) = commands.next() else {
                    return Err(InstructionError::Truncated {
                        octet: commands.position,
                        what: "an instruction",
                    });
                };
                let command = command?;
                if commands.rest.is_empty() {
                    Ok(Self::MultiFunction { address, command })
                } else {
                    Err(InstructionError::Trailing { octet: commands.position })
                }
            }
        }
    }
}

/// The commands of a packet for multi-function decoders, one after the other (S-9.2.1 §C).
///
/// A command that cannot be read ends the walk, because its length is unknown. Where only the end of the packet tells
/// the length ([`Command::SpeedAndFunctions`], [`Command::Xpom`]) the command takes all that is left; a long-form CV
/// access is told from XPOM by exactly three octets being left.
#[derive(Clone, Debug)]
pub struct Commands<'a> {
    address: Address,
    rest: &'a [u8],
    /// Place of the first octet of `rest`, counted from 1.
    position: usize,
}

impl<'a> Commands<'a> {
    /// # Errors
    /// [`InstructionError::ReservedAddress`] and [`InstructionError::NotDescribed`] for packets that are not for
    /// multi-function decoders.
    pub fn new(packet: &PacketView<'a>) -> Result<Self, InstructionError> {
        let payload = packet.payload();
        let (address, rest) = match payload {
            [0, rest @ ..] => (Address::Broadcast, rest),
            [high @ 192..=231, low, rest @ ..] => match LongAddress::from_octets(*high, *low) {
                Ok(long) => (Address::Long(long), rest),
                Err(_) => return Err(InstructionError::ReservedAddress { found: *high }),
            },
            [253, ..] => {
                return Err(InstructionError::NotDescribed {
                    octet: 1,
                    found: 253,
                    what: "an advanced packet (S-9.2.1.1)",
                });
            }
            [254, ..] => {
                return Err(InstructionError::NotDescribed {
                    octet: 1,
                    found: 254,
                    what: "automatic logon (RCN-218)",
                });
            }
            [first, rest @ ..] => match ShortAddress::new(*first) {
                Ok(short) => (Address::Short(short), rest),
                Err(_) => return Err(InstructionError::ReservedAddress { found: *first }),
            },
            [] => return Err(InstructionError::Truncated { octet: 1, what: "a packet" }),
        };
        Ok(Self { address, rest, position: 1 + payload.len() - rest.len() })
    }

    /// Whom the packet is for.
    pub const fn address(&self) -> Address {
        self.address
    }
}

impl Iterator for Commands<'_> {
    type Item = Result<Command, InstructionError>;

    fn next(&mut self) -> Option<Self::Item> {
        if self.rest.is_empty() {
            return None;
        }
        let parsed = parse_command(self.address, self.rest, self.position);
        let used = match &parsed {
            Ok((_, used)) => *used,
            Err(_) => self.rest.len(),
        };
        self.rest = self.rest.get(used..).unwrap_or_default();
        self.position += used;
        Some(parsed.map(|(command, _)| command))
    }
}

type Parsed = Result<(Command, usize), InstructionError>;

fn parse_command(address: Address, octets: &[u8], position: usize) -> Parsed {
    let truncated = |what| InstructionError::Truncated { octet: position + octets.len(), what };
    let Some(&first) = octets.first() else {
        return Err(truncated("an instruction"));
    };
    let reserved = |what| InstructionError::Reserved { octet: position, found: first, what };
    let not_described = |what| InstructionError::NotDescribed { octet: position, found: first, what };
    let second = octets.get(1).copied();
    let third = octets.get(2).copied();
    let group = |group, bits| Ok((Command::Functions(GroupStates::from_bits(group, bits)), 1));
    let wide_group = |group| {
        let bits = second.ok_or(truncated("a function group"))?;
        Ok((Command::Functions(GroupStates::from_bits(group, bits)), 2))
    };
    match first {
        0x00..=0x0F => parse_control(first, second, position),
        0x12 | 0x13 => {
            let consist = second.ok_or(truncated("consist control"))?;
            if consist & 0x80 != 0 {
                return Err(InstructionError::Bits {
                    octet: position + 1,
                    found: consist,
                    expected: "0AAAAAAA",
                });
            }
            Ok((Command::Consist(ConsistControl::from_bits(consist, first & 1 == 1)), 2))
        }
        0x10..=0x1F => Err(reserved("consist control")),
        0x3B => Err(not_described("target speed (RCN-212)")),
        0x3C => {
            let speed = second.ok_or(truncated("speed and functions"))?;
            let functions = octets.get(2..).unwrap_or_default();
            let both = SpeedAndFunctions::from_octets(speed, functions)
                .ok_or(InstructionError::Trailing { octet: position + 6 })?;
            Ok((Command::SpeedAndFunctions(both), octets.len()))
        }
        0x3D => match (second, third) {
            (Some(output), Some(value)) => Ok((Command::Analog { output, value }, 3)),
            _ => Err(truncated("an analog function")),
        },
        0x3E => {
            let octet = second.ok_or(truncated("a special operation"))?;
            Ok((Command::Special(SpecialOperation::from_octet(octet)), 2))
        }
        0x3F => {
            let (direction, speed) = from_octet_126(second.ok_or(truncated("a speed in 126 steps"))?);
            Ok((Command::Speed126 { direction, speed }, 2))
        }
        0x20..=0x3A => Err(reserved("advanced operation")),
        0x40..=0x7F => match BaselineSpeed::from_octet(first) {
            Some(speed) => Ok((Command::Speed(speed), 1)),
            None => Err(reserved("speed")),
        },
        0x80..=0x9F => group(FunctionGroup::F0ToF4, first >> 4 & 1 | first << 1 & 0x1E),
        0xA0..=0xAF => group(FunctionGroup::F9ToF12, first),
        0xB0..=0xBF => group(FunctionGroup::F5ToF8, first),
        0xC0 => match (second, third) {
            (Some(low), Some(high)) => {
                Ok((Command::BinaryState(BinaryState::from_long(low, high, position + 1)?), 3))
            }
            _ => Err(truncated("a binary state, long form")),
        },
        0xC1 => Err(not_described("model time (RCN-211)")),
        0xC2 => Err(not_described("system time (RCN-211)")),
        0xC3 => Err(not_described("command-station capabilities (RCN-211)")),
        0xC4..=0xD7 => Err(reserved("feature expansion")),
        0xD8 => wide_group(FunctionGroup::F29ToF36),
        0xD9 => wide_group(FunctionGroup::F37ToF44),
        0xDA => wide_group(FunctionGroup::F45ToF52),
        0xDB => wide_group(FunctionGroup::F53ToF60),
        0xDC => wide_group(FunctionGroup::F61ToF68),
        0xDD => {
            let octet = second.ok_or(truncated("a binary state, short form"))?;
            Ok((Command::BinaryState(BinaryState::from_short(octet)), 2))
        }
        0xDE => wide_group(FunctionGroup::F13ToF20),
        0xDF => wide_group(FunctionGroup::F21ToF28),
        0xE0..=0xEF => parse_cv_access(octets, position),
        0xF0..=0xFF => parse_short_cv_access(address, octets, position),
    }
}

fn parse_control(first: u8, second: Option<u8>, position: usize) -> Parsed {
    let control = match first {
        0x00 => DecoderControl::Reset,
        0x01 => DecoderControl::HardReset,
        0x02 | 0x03 => DecoderControl::FactoryTest(first & 1 == 1),
        0x06 | 0x07 => {
            let Some(second) = second else {
                return Err(InstructionError::Truncated { octet: position + 1, what: "a decoder flag" });
            };
            let flag = DecoderFlag::from_octets(first, second, position + 1)?;
            return Ok((Command::Control(DecoderControl::Flag(flag)), 2));
        }
        0x0A | 0x0B => DecoderControl::SetLongAddressing(first & 1 == 1),
        0x0F => DecoderControl::AcknowledgementRequest,
        _ => {
            return Err(InstructionError::Reserved {
                octet: position,
                found: first,
                what: "decoder control",
            });
        }
    };
    Ok((Command::Control(control), 1))
}

fn parse_cv_access(octets: &[u8], position: usize) -> Parsed {
    let reserved = |found| InstructionError::Reserved { octet: position, found, what: "kind of CV access" };
    match *octets {
        [first, low, data] => {
            let access = CvAccess::from_octets([first, low, data]).ok_or(match first >> 2 & 0b11 {
                0b10 => InstructionError::Bits { octet: position + 2, found: data, expected: "111KDBBB" },
                _ => reserved(first),
            })?;
            Ok((Command::Cv(access), 3))
        }
        [first, cv31, cv32, offset, ref data @ ..] => {
            let trailing = |n: usize| InstructionError::Trailing { octet: position + 4 + n };
            let operation = match (first >> 2 & 0b11, data) {
                (0b01, []) => XpomOperation::Read,
                (0b01, _) => return Err(trailing(0)),
                (0b10, [data]) if data >> 4 == 0xF => XpomOperation::WriteBit {
                    bit: BitPosition::lowest_bits(*data),
                    value: data & 0b1000 != 0,
                },
                (0b10, [data]) => {
                    return Err(InstructionError::Bits {
                        octet: position + 4,
                        found: *data,
                        expected: "1111DBBB",
                    });
                }
                (0b10 | 0b11, []) => {
                    return Err(InstructionError::Truncated {
                        octet: position + 4,
                        what: "an extended write",
                    });
                }
                (0b10, _) => return Err(trailing(1)),
                (0b11, values) => XpomOperation::Write(XpomData::new(values).map_err(|_| trailing(4))?),
                _ => return Err(reserved(first)),
            };
            let address = IndexedCv::from_octets([cv31, cv32, offset]);
            Ok((Command::Xpom(Xpom::from_parts(first, address, operation)), octets.len()))
        }
        _ => {
            Err(InstructionError::Truncated { octet: position + octets.len(), what: "CV access, long form" })
        }
    }
}

fn parse_short_cv_access(address: Address, octets: &[u8], position: usize) -> Parsed {
    let truncated =
        InstructionError::Truncated { octet: position + octets.len(), what: "CV access, short form" };
    let short = |access, used| Ok((Command::ShortCv(access), used));
    match *octets {
        [0xF2, value, ..] => short(ShortCvAccess::AccelerationAdjustment(value), 2),
        [0xF3, value, ..] => short(ShortCvAccess::DecelerationAdjustment(value), 2),
        [0xF4, high, low, ..] => match LongAddress::from_octets(high, low) {
            Ok(long) => short(ShortCvAccess::LongAddress(long), 3),
            Err(_) => Err(InstructionError::Bits {
                octet: position + 1,
                found: high,
                expected: "C0 to E7, the value of CV17 for a long address",
            }),
        },
        [0xF5, cv31, cv32, ..] => short(ShortCvAccess::IndexPage { cv31, cv32 }, 3),
        [0xF6, cv19, cv20, ..] => short(ShortCvAccess::Consist { cv19, cv20 }, 3),
        [0xF9, keep, ..] if address == Address::Broadcast => match ShortAddress::new(keep) {
            Ok(keep) => Ok((Command::ServiceModeLock(keep), 2)),
            Err(_) => Err(InstructionError::Bits {
                octet: position + 1,
                found: keep,
                expected: "0AAAAAAA, 1 to 127",
            }),
        },
        [0xF2..=0xF6, ..] => Err(truncated),
        [0xF9] if address == Address::Broadcast => Err(truncated),
        [found, ..] => {
            Err(InstructionError::Reserved { octet: position, found, what: "CV access, short form" })
        }
        [] => Err(truncated),
    }
}
