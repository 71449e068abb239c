//! Feedback: what the decoder says in channel 2 after a packet on the main.
//!
//! What it is: the octets that a detector would hear in the cutout, for a decoder with CV28 bit 1 and CV29 bit 3 set. CV access
//! is answered at once with the value that the CV holds, or will hold when the write is done.
//! What it is not: the cutout on the rails, channel 1, or answers that take several packets: `track::Rails` carries currents
//! and no feedback, so a caller asks the locomotive itself.
//!
//! Source: RCN-217 §2.5, §3, §3.1, §5.1, §5.6 (reference text, section 7).

use dcc::bidi::{Channel2Reply, Datagram};
use dcc::{Command, CvAccess, ShortCvAccess};

use super::Decoder;
use super::access::Verdict;
use crate::functions::Via;

/// CV28 bit 1: channel 2 may be used (RCN-217 §4.2.1).
const CHANNEL_2: u8 = 0b10;
/// CV29 bit 3: bi-directional communication is on.
const FEEDBACK: u8 = 0b1000;

impl Decoder {
    /// Notes what is said after a command: to its own address the value of a CV, or a bare acknowledgement, which
    /// proves reception and not acceptance (RCN-217 §3.1). Nothing is said to broadcasts and to the consist address.
    pub(super) fn answer_to(&mut self, command: &Command, via: Via) {
        // The bits of CV28 mean other things to NMRA decoders (contradiction C11): CV29 alone counts there.
        let is_on = self.memory.plain(29) & FEEDBACK != 0
            && (!self.access.is_rcn() || self.memory.plain(28) & CHANNEL_2 != 0);
        if !is_on || via != Via::Own {
            return;
        }
        let mut reply = Channel2Reply::new();
        let told = match command {
            Command::Cv(access) => self.value_after(*access).map(Datagram::PomReply),
            Command::ShortCv(
                ShortCvAccess::AccelerationAdjustment(value) | ShortCvAccess::DecelerationAdjustment(value),
            ) => Some(Datagram::PomReply(*value)),
            Command::Xpom(xpom) if self.access.is_rcn() => {
                let values = [0, 1, 2, 3]
                    .map(|offset| self.memory.get(self.extended_place(xpom, offset)).unwrap_or(0));
                Some(Datagram::XpomReply { sequence: xpom.sequence(), values })
            }
            _ => None,
        };
        let is_missing = matches!(command, Command::Cv(_)) && told.is_none();
        // Six octets hold one datagram or two acknowledgements, so that none of these can fail for want of room.
        let said = match told {
            Some(datagram) => reply.push(datagram),
            None if is_missing => reply.acknowledge().and_then(|()| reply.refuse()),
            None => reply.acknowledge(),
        };
        self.answer = said.is_ok().then_some(reply);
    }

    /// What a CV holds once an access to it is done; none where the decoder does not have it.
    fn value_after(&self, access: CvAccess) -> Option<u8> {
        let content = self.content(access.cv.get())?;
        match self.judge_on_the_main(access) {
            Verdict::Stores(values) => values.first().map(|(_, value)| *value),
            Verdict::Refused => Some(content),
        }
    }
}
