//! The wire standards of digital command control: from the meaning of an instruction down to the length of a half-bit.
//!
//! What it is: every multi-function instruction, every standard configuration variable (CV), the service-mode and
//! operations-mode programming sequences and the decoder's replies, each in both directions:
//! meaning ⇄ octets ⇄ bits ⇄ half-bit times. No heap, no dependencies, no clock: the time is always an argument.
//!
//! What it is not: a command station, a link to one, or a description of any particular decoder. Sockets, wire
//! colours and scale ratios are data and live in other rooms. What the standards leave to the maker is left open here too.
//!
//! Sources: NMRA S-9.1, S-9.2, S-9.2.1, S-9.2.2, S-9.2.3, S-9.2.4; RailCommunity RCN-210, RCN-217, RCN-218, RCN-225,
//! RCN-226, RCN-227; NEM 670, NEM 671. Texts that were only known through a digest are marked "(digest)": RCN-211,
//! RCN-212, RCN-213, RCN-214, RCN-216.
//!
//! ```
//! use dcc::{Address, Command, CvAccess, CvNumber, Direction, Instruction, ShortAddress, Speed126};
//!
//! let address = Address::Short(ShortAddress::new(3)?);
//! let speed = Command::Speed126 { direction: Direction::Forward, speed: Speed126::step(50)? };
//! let packet = Instruction::for_decoder(address, speed).to_packet();
//! assert_eq!(packet.as_bytes(), [0x03, 0x3F, 0xB3, 0x8F]);
//! assert_eq!(Instruction::parse(&packet.view())?, Instruction::for_decoder(address, speed));
//!
//! let write = Command::Cv(CvAccess::write(CvNumber::new(29)?, 38));
//! assert_eq!(Instruction::for_decoder(address, write).to_packet().as_bytes(), [0x03, 0xEC, 0x1C, 0x26, 0xD5]);
//! # Ok::<(), Box<dyn core::error::Error>>(())
//! ```
#![no_std]
#![deny(clippy::disallowed_methods)]

#[cfg(test)]
extern crate std;

mod address;
pub mod bidi;
mod bits;
mod crc;
pub mod cv;
mod function;
mod instruction;
pub mod operations;
mod packet;
pub mod receive;
pub mod service;
mod speed;
pub mod timing;

pub use address::{Address, AddressError, LongAddress, ShortAddress};
pub use bits::{
    Bits, HalfBits, PREAMBLE_OPERATIONS, PREAMBLE_OPERATIONS_LEAST, PREAMBLE_RECEIVER_ACCEPTS,
    PREAMBLE_RECEIVER_LEAST, PREAMBLE_SERVICE,
};
pub use crc::crc8;
pub use cv::{BitPosition, CvError, CvNumber};
pub use function::{Function, FunctionError, FunctionGroup, FunctionStates, GroupStates};
pub use instruction::{
    AccessoryAddress, AccessoryCvTarget, AccessoryError, AccessoryInstruction, BaselineSpeed, BinaryState,
    Command, Commands, ConsistControl, CvAccess, CvOperation, CvOutcome, DecoderControl, DecoderFlag,
    DecoderFlagCode, Instruction, InstructionError, OperatingModes, PositionInTrain, ShortCvAccess,
    SpecialOperation, SpeedAndFunctions, SpeedRestriction, Xpom, XpomData, XpomOperation,
};
pub use packet::{CrcStatus, PACKET_LEAST, PACKET_MOST, Packet, PacketError, PacketView};
pub use receive::{Event, PacketReceiver};
pub use speed::{Direction, Speed, Speed14, Speed28, Speed126, SpeedError, Step};
pub use timing::Microseconds;
