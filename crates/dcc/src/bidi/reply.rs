//! Channel 2 as a whole: several datagrams, acknowledgements between and after them.
//!
//! What it is: a reader and a builder. What it is not: the choice of what a decoder says.
//!
//! Source: RCN-217 §3.1, Table 3.

use super::CHANNEL_2_OCTETS;
use super::code::{BidiError, Symbol, decode};
use super::datagram::Datagram;

/// One thing said in channel 2.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Channel2Item {
    /// The packet was understood, which proves reception and not acceptance (RCN-217 §3.1).
    Acknowledge,
    /// It cannot be carried out. Never first in a cutout.
    NotAcknowledge,
    /// A datagram.
    Datagram(Datagram),
}

/// Reads what was received in channel 2, item by item. An octet that cannot be read ends it.
#[derive(Clone, Debug)]
pub struct Channel2<'a> {
    rest: &'a [u8],
}

impl<'a> Channel2<'a> {
    /// Up to six octets as received; more are read as well.
    pub const fn new(octets: &'a [u8]) -> Self {
        Self { rest: octets }
    }
}

impl Iterator for Channel2<'_> {
    type Item = Result<Channel2Item, BidiError>;

    fn next(&mut self) -> Option<Self::Item> {
        let (first, after) = self.rest.split_first()?;
        let item = match decode(*first) {
            Ok(Symbol::Acknowledge) => {
                self.rest = after;
                return Some(Ok(Channel2Item::Acknowledge));
            }
            Ok(Symbol::NotAcknowledge) => {
                self.rest = after;
                return Some(Ok(Channel2Item::NotAcknowledge));
            }
            Ok(Symbol::Value(_) | Symbol::Reserved) | Err(_) => Datagram::parse_first(self.rest),
        };
        let used = item.as_ref().map_or(self.rest.len(), |(_, used)| *used);
        self.rest = self.rest.get(used..).unwrap_or_default();
        Some(item.map(|(datagram, _)| Channel2Item::Datagram(datagram)))
    }
}

/// Collects what a decoder says in channel 2: datagrams first, acknowledgements in the room that is left, because an
/// acknowledgement must not stand before other data (RCN-217 §3.1).
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Channel2Reply {
    octets: [u8; CHANNEL_2_OCTETS],
    len: usize,
    has_acknowledgement: bool,
}

impl Channel2Reply {
    /// Nothing yet.
    pub const fn new() -> Self {
        Self { octets: [0; CHANNEL_2_OCTETS], len: 0, has_acknowledgement: false }
    }

    /// Adds a datagram.
    ///
    /// # Errors
    /// [`BidiError::Full`] when there is no room, [`BidiError::Order`] when an acknowledgement stands before it, and
    /// that of [`Datagram::symbols`].
    pub fn push(&mut self, datagram: Datagram) -> Result<(), BidiError> {
        let symbols = datagram.symbols()?;
        let octets = symbols.as_bytes();
        if self.has_acknowledgement {
            return Err(BidiError::Order);
        }
        self.octets
            .get_mut(self.len..self.len + octets.len())
            .ok_or(BidiError::Full)?
            .copy_from_slice(octets);
        self.len += octets.len();
        Ok(())
    }

    /// Adds one acknowledgement.
    ///
    /// # Errors
    /// [`BidiError::Full`] when there is no room.
    pub fn acknowledge(&mut self) -> Result<(), BidiError> {
        self.push_symbol(Symbol::Acknowledge)
    }

    /// Adds a refusal. The answer to a missing CV is an acknowledgement and then this (RCN-217 §5.1).
    ///
    /// # Errors
    /// [`BidiError::Full`] when there is no room, [`BidiError::Order`] when it would be first.
    pub fn refuse(&mut self) -> Result<(), BidiError> {
        if self.len == 0 {
            return Err(BidiError::Order);
        }
        self.push_symbol(Symbol::NotAcknowledge)
    }

    fn push_symbol(&mut self, symbol: Symbol) -> Result<(), BidiError> {
        let code = symbol.code().ok_or(BidiError::Full)?;
        *self.octets.get_mut(self.len).ok_or(BidiError::Full)? = code;
        self.len += 1;
        self.has_acknowledgement = true;
        Ok(())
    }

    /// The octets so far.
    pub fn as_bytes(&self) -> &[u8] {
        &self.octets[..self.len]
    }
}
