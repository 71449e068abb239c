//! What a sender puts on the rail in operations mode.
//!
//! What it is: repeats and fillers. What it is not: timing within a packet.
//!
//! Source: NMRA S-9.2 §C; S-9.2.1 §C; S-9.2.4 §A; RCN-212, RCN-214 (digests).

use crate::instruction::Command;
use crate::packet::Packet;
use crate::timing::{Microseconds, START_UP_IDLES, START_UP_RESETS, SenderTiming};

/// A CV write on the main: the same packet twice, with another between them so that 5 ms pass (S-9.2 §C).
///
/// ```
/// use dcc::{Address, Command, CvAccess, CvNumber, Instruction, Packet, PREAMBLE_OPERATIONS, ShortAddress};
/// use dcc::{operations::WriteSequence, timing::SenderTiming};
/// let write = Command::Cv(CvAccess::write(CvNumber::new(29)?, 38));
/// let packet = Instruction::for_decoder(Address::Short(ShortAddress::FACTORY), write).to_packet();
/// let sequence = WriteSequence::with_filler(packet, Packet::IDLE);
/// assert_eq!(sequence.duration(PREAMBLE_OPERATIONS, SenderTiming::NOMINAL).to_string(), "24.948 ms");
/// # Ok::<(), dcc::CvError>(())
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct WriteSequence {
    packet: Packet,
    filler: Option<Packet>,
}

impl WriteSequence {
    /// The packet twice with `filler` between, which must be for somebody else: an idle, or the refresh of another
    /// locomotive.
    pub const fn with_filler(packet: Packet, filler: Packet) -> Self {
        Self { packet, filler: Some(filler) }
    }

    /// The packet twice in a row, as XPOM writes need it (RCN-214, digest). The pause of 5 ms (S-9.2 §C) cannot be kept
    /// by other packets then, and must be kept by a longer preamble if old decoders share the address.
    pub const fn in_a_row(packet: Packet) -> Self {
        Self { packet, filler: None }
    }

    /// The packets in order.
    pub fn packets(&self) -> impl Iterator<Item = &Packet> {
        core::iter::once(&self.packet).chain(&self.filler).chain(core::iter::once(&self.packet))
    }

    /// How long the packets occupy the rail.
    pub fn duration(&self, preamble: u8, timing: SenderTiming) -> Microseconds {
        self.packets().map(|packet| packet.duration(preamble, timing)).sum()
    }
}

/// How often a command should be sent when something changes and nothing is refreshed afterwards.
///
/// CV writes need two (S-9.2.1 §C). Binary states and the functions from F13 on are not refreshed: S-9.2.1 §C asks for
/// two, RCN-212 (digest) for three, so three. Everything else is refreshed, or takes effect at once.
pub const fn sends_on_change(command: &Command) -> u8 {
    match command {
        Command::Functions(states) => states.group().sends_on_change(),
        Command::BinaryState(_) => 3,
        Command::Cv(access) if access.is_write() => 2,
        Command::ShortCv(_) | Command::Xpom(_) => 2,
        _ => 1,
    }
}

/// The packets a command station sends before any other: 20 resets, then 10 idles (S-9.2.4 §A).
pub fn start_of_operation() -> impl Iterator<Item = Packet> {
    core::iter::repeat_n(Packet::RESET, usize::from(START_UP_RESETS))
        .chain(core::iter::repeat_n(Packet::IDLE, usize::from(START_UP_IDLES)))
}
