//! From meaning to octets.
//!
//! What it is: `to_packet` and `emit` of [`Instruction`]. What it is not: how often a packet should be sent.
//!
//! Source: NMRA S-9.2.1 §C and §D; RCN-212, RCN-214 (digests); RCN-217 §5.6.

use super::access::{ShortCvAccess, bit_data};
use super::control::{BinaryForm, DecoderControl};
use super::speed::octet_126;
use super::xpom::XpomOperation;
use super::{Command, Instruction, InstructionError};
use crate::address::Address;
use crate::function::{FunctionGroup, GroupStates};
use crate::packet::{Builder, Packet, PacketError};

impl Instruction {
    /// The packet that says this.
    pub fn to_packet(&self) -> Packet {
        let mut builder = Builder::new();
        match self {
            Self::Idle => return Packet::IDLE,
            Self::MultiFunction { address, command } => {
                push_address(&mut builder, *address);
                command.push(&mut builder);
            }
            Self::Accessory(instruction) => instruction.emit(&mut builder),
        }
        builder.finish()
    }

    /// Writes the packet to the start of a buffer and tells how many octets it has.
    ///
    /// # Errors
    /// [`PacketError::BufferTooSmall`]; the buffer is untouched then.
    pub fn emit(&self, buffer: &mut [u8]) -> Result<usize, PacketError> {
        self.to_packet().emit(buffer)
    }
}

impl Packet {
    /// One packet with several commands for the same decoder (S-9.2.1 §C).
    ///
    /// A packet may hold only one each of decoder or consist control, advanced operations and CV access; commands whose
    /// length is told by the end of the packet ([`Command::SpeedAndFunctions`], [`Command::Xpom`]) go last. Both is
    /// the caller's care.
    ///
    /// # Errors
    /// [`InstructionError::TooManyCommands`] when they do not fit.
    pub fn from_commands(address: Address, commands: &[Command]) -> Result<Self, InstructionError> {
        let mut builder = Builder::new();
        push_address(&mut builder, address);
        for (placed, command) in commands.iter().enumerate() {
            let mut one = Builder::new();
            command.push(&mut one);
            if one.payload().len() > builder.room() {
                return Err(InstructionError::TooManyCommands { placed });
            }
            builder.extend(one.payload());
        }
        if builder.payload().len() < 2 {
            return Err(InstructionError::Truncated { octet: 2, what: "a packet without any command" });
        }
        Ok(builder.finish())
    }
}

fn push_address(builder: &mut Builder, address: Address) {
    match address {
        Address::Broadcast => builder.push(0),
        Address::Short(short) => builder.push(short.get()),
        Address::Long(long) => builder.extend(&long.octets()),
    }
}

impl Command {
    fn push(&self, builder: &mut Builder) {
        match *self {
            Self::Control(control) => push_control(builder, control),
            Self::Consist(consist) => builder.extend(&consist.octets()),
            Self::Speed(speed) => builder.push(speed.octet()),
            Self::Speed126 { direction, speed } => builder.extend(&[0x3F, octet_126(direction, speed)]),
            Self::SpeedAndFunctions(both) => {
                builder.extend(&[0x3C, octet_126(both.direction, both.speed)]);
                builder.extend(both.function_octets());
            }
            Self::Special(special) => builder.extend(&[0x3E, special.octet()]),
            Self::Analog { output, value } => builder.extend(&[0x3D, output, value]),
            Self::Functions(states) => push_functions(builder, states),
            Self::BinaryState(state) => {
                let on = (state.is_on() as u8) << 7;
                let low = (state.number & 0x7F) as u8;
                match state.form {
                    BinaryForm::Short => builder.extend(&[0xDD, on | low]),
                    BinaryForm::Long => builder.extend(&[0xC0, on | low, (state.number >> 7 & 0xFF) as u8]),
                }
            }
            Self::Cv(access) => builder.extend(&access.octets(0b1110)),
            Self::ShortCv(access) => match access {
                ShortCvAccess::AccelerationAdjustment(value) => builder.extend(&[0xF2, value]),
                ShortCvAccess::DecelerationAdjustment(value) => builder.extend(&[0xF3, value]),
                ShortCvAccess::LongAddress(address) => {
                    builder.push(0xF4);
                    builder.extend(&address.octets());
                }
                ShortCvAccess::IndexPage { cv31, cv32 } => builder.extend(&[0xF5, cv31, cv32]),
                ShortCvAccess::Consist { cv19, cv20 } => builder.extend(&[0xF6, cv19, cv20]),
            },
            Self::Xpom(xpom) => {
                let code = match xpom.operation {
                    XpomOperation::Read => 0b01,
                    XpomOperation::WriteBit { .. } => 0b10,
                    XpomOperation::Write(_) => 0b11,
                };
                builder.push(0xE0 | code << 2 | xpom.sequence());
                builder.extend(&xpom.address.octets());
                match xpom.operation {
                    XpomOperation::Read => {}
                    XpomOperation::Write(data) => builder.extend(data.values()),
                    XpomOperation::WriteBit { bit, value } => builder.push(0xF0 | bit_data(bit, value)),
                }
            }
            Self::ServiceModeLock(address) => builder.extend(&[0xF9, address.get()]),
        }
    }
}

fn push_control(builder: &mut Builder, control: DecoderControl) {
    match control {
        DecoderControl::Reset => builder.push(0x00),
        DecoderControl::HardReset => builder.push(0x01),
        DecoderControl::FactoryTest(bit) => builder.push(0x02 | bit as u8),
        DecoderControl::Flag(flag) => builder.extend(&flag.octets()),
        DecoderControl::SetLongAddressing(is_long) => builder.push(0x0A | is_long as u8),
        DecoderControl::AcknowledgementRequest => builder.push(0x0F),
    }
}

fn push_functions(builder: &mut Builder, states: GroupStates) {
    let bits = states.bits();
    match states.group() {
        // F0 stands in bit 4, above F4 (S-9.2.1 §C 100).
        FunctionGroup::F0ToF4 => builder.push(0x80 | (bits & 1) << 4 | bits >> 1),
        FunctionGroup::F5ToF8 => builder.push(0xB0 | bits),
        FunctionGroup::F9ToF12 => builder.push(0xA0 | bits),
        FunctionGroup::F13ToF20 => builder.extend(&[0xDE, bits]),
        FunctionGroup::F21ToF28 => builder.extend(&[0xDF, bits]),
        FunctionGroup::F29ToF36 => builder.extend(&[0xD8, bits]),
        FunctionGroup::F37ToF44 => builder.extend(&[0xD9, bits]),
        FunctionGroup::F45ToF52 => builder.extend(&[0xDA, bits]),
        FunctionGroup::F53ToF60 => builder.extend(&[0xDB, bits]),
        FunctionGroup::F61ToF68 => builder.extend(&[0xDC, bits]),
    }
}
