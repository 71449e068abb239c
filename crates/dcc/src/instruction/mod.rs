//! What a packet says in operations mode, in both directions.
//!
//! What it is: [`Instruction`], one whole packet with one instruction, and [`Commands`], the walk through a packet
//! that holds several. `parse` accepts exactly the octets that `to_packet` can make, so that nothing is lost on the way.
//! What it is not: service mode, where the same octets mean something else ([`crate::service::ServiceInstruction`]), nor the
//! decoder's state: where the meaning of an octet hangs on a CV or on the rule set, the value keeps the octet and
//! offers each reading by name ([`BaselineSpeed`], [`SpecialOperation`]).
//!
//! **Not supported**, and reported by name: model time (`C1`), system time (`C2`), command-station capabilities (`C3`),
//! target speed (`3B`), advanced packets (253) and automatic logon (254), whose layouts were not at hand.
//!
//! Source: NMRA S-9.2.1; RCN-212, RCN-214 (digests); RCN-217 §5.6.

mod access;
mod accessory;
mod control;
mod display;
mod emit;
mod error;
mod parse;
mod speed;
#[cfg(test)]
mod tests;
mod xpom;

pub use access::{CvAccess, CvOperation, CvOutcome, ShortCvAccess};
pub use accessory::{AccessoryAddress, AccessoryCvTarget, AccessoryError, AccessoryInstruction};
pub use control::{BinaryState, ConsistControl, DecoderControl, DecoderFlag, DecoderFlagCode};
pub use error::InstructionError;
pub use parse::Commands;
pub use speed::{
    BaselineSpeed, OperatingModes, PositionInTrain, SpecialOperation, SpeedAndFunctions, SpeedRestriction,
};
pub use xpom::{Xpom, XpomData, XpomOperation};

use crate::address::Address;
use crate::address::ShortAddress;
use crate::function::GroupStates;
use crate::speed::{Direction, Speed126};

/// The meaning of a whole operations-mode packet.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Instruction {
    /// Nothing; counts as a packet for some other decoder (S-9.2 §B).
    Idle,
    /// For multi-function decoders.
    MultiFunction {
        /// Whom it is for.
        address: Address,
        /// What it shall do.
        command: Command,
    },
    /// For accessory decoders.
    Accessory(AccessoryInstruction),
}

impl Instruction {
    /// The reset packet `00 00 00` (S-9.2 §B): every decoder forgets what it does not keep and goes to its power-up state.
    pub const RESET: Self =
        Self::MultiFunction { address: Address::Broadcast, command: Command::Control(DecoderControl::Reset) };

    /// One command for multi-function decoders.
    pub const fn for_decoder(address: Address, command: Command) -> Self {
        Self::MultiFunction { address, command }
    }

    /// The broadcast stop (S-9.2 §B): every locomotive stops, or is cut off at once.
    ///
    /// `direction` is `None` when decoders may ignore the direction bit for direction-dependent functions (C = 1).
    pub const fn broadcast_stop(direction: Option<Direction>, is_emergency: bool) -> Self {
        Self::for_decoder(Address::Broadcast, Command::Speed(BaselineSpeed::stop(direction, is_emergency)))
    }
}

/// One instruction for a multi-function decoder: what follows the address in a packet.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Command {
    /// Decoder control, `0000 CCCF` (S-9.2.1 §C 000).
    Control(DecoderControl),
    /// Consist control, `0001 CCCC 0AAAAAAA` (S-9.2.1 §C 0001).
    Consist(ConsistControl),
    /// Speed in 14 or 28 steps, `01DC SSSS` (S-9.2.1 §C 010, 011).
    Speed(BaselineSpeed),
    /// Speed in 126 steps, `3F DSSSSSSS` (S-9.2.1 §C 001).
    Speed126 {
        /// Which way.
        direction: Direction,
        /// How fast.
        speed: Speed126,
    },
    /// Speed, direction and functions in one packet, `3C …` (RCN-212, digest). Support is announced in the capability
    /// page ([`crate::cv::Capability`]).
    SpeedAndFunctions(SpeedAndFunctions),
    /// `3E xxxxxxxx`: a speed ceiling by S-9.2.1 §C, special operating modes by RCN-212 (digest). Do not send it unless
    /// the person has chosen the rule set.
    Special(SpecialOperation),
    /// Analog function group, `3D V D` (S-9.2.1 §C). Must not be used for speed.
    Analog {
        /// Output number: 1 is the volume; 16 to 31 position control, 128 to 255 free for makers (RCN-212, digest).
        output: u8,
        /// Value.
        value: u8,
    },
    /// The states of one function group (S-9.2.1 §C 100, 101, 110; RCN-212, digest).
    Functions(GroupStates),
    /// A binary state, short `DD` or long `C0` form (S-9.2.1 §C 110).
    BinaryState(BinaryState),
    /// CV access, long form, `1110CCVV VVVVVVVV DDDDDDDD` (S-9.2.1 §C 111).
    Cv(CvAccess),
    /// CV access, short form, `1111CCCC …` (S-9.2.1 §C 111; RCN-214, digest).
    ShortCv(ShortCvAccess),
    /// CV access to any index page, `1110KKSS …` (RCN-217 §5.6; RCN-214, digest).
    Xpom(Xpom),
    /// All decoders but this one ignore service mode until they see a packet of another kind (S-9.2.3 App. B). Sent
    /// to the broadcast address.
    ServiceModeLock(ShortAddress),
}
