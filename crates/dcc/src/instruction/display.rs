//! Instructions in plain words, for captures and logs.
//!
//! What it is: one short line per instruction. What it is not: a form that can be parsed again.
//!
//! Source: the words of NMRA S-9.2.1.

use core::fmt;

use super::access::{CvAccess, CvOperation, ShortCvAccess};
use super::accessory::{AccessoryCvTarget, AccessoryInstruction};
use super::control::{BinaryState, DecoderControl};
use super::xpom::XpomOperation;
use super::{Command, Instruction};

impl fmt::Display for Instruction {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Idle => f.write_str("idle"),
            Self::MultiFunction { address, command } => write!(f, "{address}: {command}"),
            Self::Accessory(instruction) => instruction.fmt(f),
        }
    }
}

impl fmt::Display for Command {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Control(control) => control.fmt(f),
            Self::Consist(consist) => match consist.address() {
                None => f.write_str("leave the consist"),
                Some(address) => {
                    let turned = if consist.is_reversed() { ", reversed" } else { "" };
                    write!(f, "join the consist of {address}{turned}")
                }
            },
            Self::Speed(speed) if speed.may_ignore_direction() => {
                write!(f, "{}, direction may be ignored", speed.as_28_steps())
            }
            Self::Speed(speed) => write!(f, "{}, {}", speed.as_28_steps(), speed.direction()),
            Self::Speed126 { direction, speed } => write!(f, "{speed}, {direction}"),
            Self::SpeedAndFunctions(both) => {
                write!(f, "{}, {}, with {} functions", both.speed, both.direction, both.function_count())
            }
            Self::Special(special) => write!(f, "special operation {:02X}", special.octet()),
            Self::Analog { output: 1, value } => write!(f, "volume {value}"),
            Self::Analog { output, value } => write!(f, "analog output {output} to {value}"),
            Self::Functions(states) => {
                let group = states.group();
                write!(f, "{} to {}:", group.first(), group.last())?;
                let mut is_any_on = false;
                for function in
                    crate::Function::all().filter(|function| states.is_on(*function) == Some(true))
                {
                    write!(f, " {function}")?;
                    is_any_on = true;
                }
                f.write_str(if is_any_on { " on" } else { " all off" })
            }
            Self::BinaryState(state) => state.fmt(f),
            Self::Cv(access) => access.fmt(f),
            Self::ShortCv(access) => access.fmt(f),
            Self::Xpom(xpom) => {
                let n = xpom.sequence();
                match xpom.operation {
                    XpomOperation::Read => write!(f, "read four CVs from {} (sequence {n})", xpom.address),
                    XpomOperation::Write(data) => {
                        write!(f, "write")?;
                        for value in data.values() {
                            write!(f, " {value}")?;
                        }
                        write!(f, " from {} on (sequence {n})", xpom.address)
                    }
                    XpomOperation::WriteBit { bit, value } => {
                        write!(
                            f,
                            "write bit {} = {} of {} (sequence {n})",
                            bit.get(),
                            u8::from(value),
                            xpom.address
                        )
                    }
                }
            }
            Self::ServiceModeLock(address) => write!(f, "lock service mode for all but {address}"),
        }
    }
}

impl fmt::Display for DecoderControl {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Reset => f.write_str("reset"),
            Self::HardReset => f.write_str("hard reset"),
            Self::FactoryTest(bit) => write!(f, "factory test {}", u8::from(*bit)),
            Self::Flag(flag) => write!(f, "decoder flag {:?} = {}", flag.code(), u8::from(flag.value())),
            Self::SetLongAddressing(true) => f.write_str("use the long address"),
            Self::SetLongAddressing(false) => f.write_str("use the short address"),
            Self::AcknowledgementRequest => f.write_str("acknowledgement request"),
        }
    }
}

impl fmt::Display for BinaryState {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let on = if self.is_on() { "on" } else { "off" };
        match (self.number(), self.is_short_form()) {
            (Some(number), _) => write!(f, "binary state {number} {on}"),
            (None, true) => write!(f, "all binary states of the short form {on}"),
            (None, false) => write!(f, "all binary states {on}"),
        }
    }
}

impl fmt::Display for CvAccess {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let cv = self.cv;
        match self.operation {
            CvOperation::Verify(value) => write!(f, "verify {cv} = {value}"),
            CvOperation::Write(value) => write!(f, "write {cv} = {value}"),
            CvOperation::VerifyBit { bit, value } => {
                write!(f, "verify {cv} bit {} = {}", bit.get(), u8::from(value))
            }
            CvOperation::WriteBit { bit, value } => {
                write!(f, "write {cv} bit {} = {}", bit.get(), u8::from(value))
            }
        }
    }
}

impl fmt::Display for ShortCvAccess {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::AccelerationAdjustment(value) => write!(f, "write CV23 = {value}"),
            Self::DecelerationAdjustment(value) => write!(f, "write CV24 = {value}"),
            Self::LongAddress(address) => write!(f, "take and use {address}"),
            Self::IndexPage { cv31, cv32 } => write!(f, "write CV31 = {cv31} and CV32 = {cv32}"),
            Self::Consist { cv19, cv20 } => write!(f, "write CV19 = {cv19} and CV20 = {cv20}"),
        }
    }
}

impl fmt::Display for AccessoryInstruction {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Basic { address, is_straight, is_active } => {
                let output = if *is_straight { "straight" } else { "diverging" };
                write!(f, "{address}: {output} {}", if *is_active { "on" } else { "off" })
            }
            Self::Extended { address, aspect } => write!(f, "{address}: aspect {aspect}"),
            Self::Nop { address, .. } => write!(f, "{address}: may report"),
            Self::Cv { target, access } => match target {
                AccessoryCvTarget::Decoder(decoder) => write!(f, "accessory decoder {decoder}: {access}"),
                AccessoryCvTarget::Output { address, .. } | AccessoryCvTarget::Extended(address) => {
                    write!(f, "{address}: {access}")
                }
            },
            Self::LegacyCvWrite { decoder, cv, value } => {
                write!(f, "accessory decoder {decoder}: write {cv} = {value}, older form")
            }
        }
    }
}
