//! The decoder's rule of two identical packets.
//!
//! What it is: a pure state machine that a simulated decoder feeds with every valid packet on the rail.
//! What it is not: the CVs, nor a judgement whether a CV may be written ([`super::may_be_written_on_the_main`]).
//!
//! Source: NMRA S-9.2.1 §C 111; RCN-214 (digest).

use crate::address::Address;
use crate::instruction::{Command, Commands, ShortCvAccess, XpomOperation};
use crate::packet::{Packet, PacketView};

/// The addresses a decoder obeys.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct OwnAddresses {
    /// Its short or its long address, whichever CV29 bit 5 makes active.
    pub active: Address,
    /// Its consist address, if it is in a consist. CV access to it is ignored (S-9.2.1 §C).
    pub consist: Option<Address>,
}

/// Lets CV access through once it has been confirmed.
///
/// Writes in the long form and of CV pairs in the short form need two identical packets. They need not follow one
/// another at once, but any other packet to this decoder between them, broadcasts included, cancels. XPOM writes need
/// two in a row, with no packet to anybody between them. Comparisons, reads, CV23 and CV24 need one (S-9.2.1 §C;
/// RCN-214, digest). Only the active address programs: neither the consist address nor a broadcast does.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct CvGate {
    pending: Option<Pending>,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
struct Pending {
    packet: Packet,
    is_back_to_back: bool,
    is_executed: bool,
}

impl CvGate {
    /// A gate that has heard nothing.
    pub const fn new() -> Self {
        Self { pending: None }
    }

    /// Takes a valid packet, to whomever, and tells what CV access is to be executed now.
    ///
    /// A confirmed write is executed once; further copies do nothing until another packet comes between.
    pub fn packet(&mut self, packet: &PacketView<'_>, own: OwnAddresses) -> Option<Command> {
        let address = Commands::new(packet).ok().map(|commands| commands.address());
        let is_for_us = address == Some(Address::Broadcast)
            || address == Some(own.active)
            || (address.is_some() && address == own.consist);
        if !is_for_us {
            if self.pending.is_some_and(|pending| pending.is_back_to_back) {
                self.pending = None;
            }
            return None;
        }
        let command = (address == Some(own.active)).then(|| cv_command(packet)).flatten();
        let need = command.map_or(Need::Nothing, |command| need(&command));
        let is_back_to_back = match need {
            Need::Nothing | Need::OnePacket => {
                self.pending = None;
                return command.filter(|_| need == Need::OnePacket);
            }
            Need::TwoPackets => false,
            Need::TwoInARow => true,
        };
        match &mut self.pending {
            Some(pending) if pending.packet.view() == *packet => {
                let is_first_time = !pending.is_executed;
                pending.is_executed = true;
                command.filter(|_| is_first_time)
            }
            _ => {
                self.pending =
                    Some(Pending { packet: packet.to_packet(), is_back_to_back, is_executed: false });
                None
            }
        }
    }
}

/// The CV access in a packet; there is at most one (S-9.2.1 §C).
fn cv_command(packet: &PacketView<'_>) -> Option<Command> {
    Commands::new(packet).ok()?.map_while(Result::ok).find(|command| need(command) != Need::Nothing)
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Need {
    /// It is no CV access.
    Nothing,
    OnePacket,
    TwoPackets,
    TwoInARow,
}

fn need(command: &Command) -> Need {
    match command {
        Command::Cv(access) if access.is_write() => Need::TwoPackets,
        Command::Cv(_)
        | Command::ShortCv(
            ShortCvAccess::AccelerationAdjustment(_) | ShortCvAccess::DecelerationAdjustment(_),
        ) => Need::OnePacket,
        Command::ShortCv(_) => Need::TwoPackets,
        Command::Xpom(xpom) => match xpom.operation {
            XpomOperation::Read => Need::OnePacket,
            XpomOperation::Write(_) | XpomOperation::WriteBit { .. } => Need::TwoInARow,
        },
        _ => Need::Nothing,
    }
}
