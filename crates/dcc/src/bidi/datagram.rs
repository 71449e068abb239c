//! The datagrams of locomotive decoders.
//!
//! What it is: identifiers, lengths and contents of both channels. What it is not: who may speak when.
//!
//! Source: RCN-217 Tables 3 and 11, §3, §5.2, §5.6, §5.7.

use super::code::{BidiError, Symbol, decode, encode};
use super::dynamic::DynamicVariable;
use crate::address::{LongAddress, ShortAddress};
use crate::cv::IndexedCv;

/// The octets of one datagram, already in the 4-of-8 code.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Symbols {
    octets: [u8; 6],
    len: u8,
}

impl Symbols {
    /// The octets: two, three or six.
    pub fn as_bytes(&self) -> &[u8] {
        &self.octets[..usize::from(self.len)]
    }

    /// Four bits of identifier and `bits` of content, in groups of six with the highest first (RCN-217 Table 3).
    fn pack(id: u8, content: u32, bits: u8) -> Self {
        let whole = u64::from(id) << bits | u64::from(content);
        let len = (bits + 4) / 6;
        let mut octets = [0; 6];
        for (place, octet) in octets.iter_mut().take(usize::from(len)).enumerate() {
            let shift = 6 * (usize::from(len) - 1 - place);
            *octet = encode((whole >> shift & 0x3F) as u8);
        }
        Self { octets, len }
    }
}

/// Reads six-bit groups; the first holds the identifier and two bits of content.
fn unpack(octets: &[u8]) -> Result<u64, BidiError> {
    let mut whole = 0;
    for (place, octet) in octets.iter().enumerate() {
        match decode(*octet)? {
            Symbol::Value(value) => whole = whole << 6 | u64::from(value),
            found => return Err(BidiError::NotAValue { octet: place + 1, found }),
        }
    }
    Ok(whole)
}

fn id_of(first: u8) -> Result<u8, BidiError> {
    match decode(first)? {
        Symbol::Value(value) => Ok(value >> 2),
        found => Err(BidiError::NotAValue { octet: 1, found }),
    }
}

/// What a locomotive decoder says in channel 1, after every packet for a multi-function decoder.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Channel1Datagram {
    /// ID 1: the first octet of the address ([`FeedbackAddress`]).
    AddressHigh(u8),
    /// ID 2: the second octet of the address.
    AddressLow(u8),
    /// ID 3: bits that tell of rail polarity, direction, movement, consist and the wish to be addressed; only with
    /// CV28 bit 3. Their places were not at hand.
    Info(u8),
}

impl Channel1Datagram {
    /// The two octets.
    pub fn symbols(self) -> Symbols {
        match self {
            Self::AddressHigh(octet) => Symbols::pack(1, u32::from(octet), 8),
            Self::AddressLow(octet) => Symbols::pack(2, u32::from(octet), 8),
            Self::Info(octet) => Symbols::pack(3, u32::from(octet), 8),
        }
    }

    /// # Errors
    /// [`BidiError::Weight`], [`BidiError::NotAValue`], [`BidiError::Id`].
    pub fn parse(octets: [u8; 2]) -> Result<Self, BidiError> {
        let [id, content] = u16::try_from(unpack(&octets)?).unwrap_or_default().to_be_bytes();
        match id {
            1 => Ok(Self::AddressHigh(content)),
            2 => Ok(Self::AddressLow(content)),
            3 => Ok(Self::Info(content)),
            _ => Err(BidiError::Id { id }),
        }
    }
}

/// The address a decoder reports in channel 1 (RCN-217 Table 11).
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum FeedbackAddress {
    /// The short address, CV1.
    Short(ShortAddress),
    /// The consist address, CV19.
    Consist {
        /// Its number.
        address: ShortAddress,
        /// Whether the locomotive runs turned round.
        is_reversed: bool,
    },
    /// The long address, CV17 and CV18, or a long consist address.
    Long(LongAddress),
}

impl FeedbackAddress {
    /// The contents of ID 1 and ID 2.
    pub fn octets(self) -> [u8; 2] {
        match self {
            Self::Short(address) => [0, address.get()],
            Self::Consist { address, is_reversed } => {
                [0b0110_0000, u8::from(is_reversed) << 7 | address.get()]
            }
            Self::Long(address) => {
                let [high, low] = address.get().to_be_bytes();
                [0b1000_0000 | high, low]
            }
        }
    }

    /// The two datagrams, which are sent alternately.
    pub fn datagrams(self) -> [Channel1Datagram; 2] {
        let [high, low] = self.octets();
        [Channel1Datagram::AddressHigh(high), Channel1Datagram::AddressLow(low)]
    }

    /// From the contents of ID 1 and ID 2, or `None` when they are no address of Table 11.
    pub fn from_octets([high, low]: [u8; 2]) -> Option<Self> {
        match high {
            0 => ShortAddress::new(low).ok().map(Self::Short),
            0b0110_0000 => {
                let address = ShortAddress::new(low & 0x7F).ok()?;
                Some(Self::Consist { address, is_reversed: low & 0x80 != 0 })
            }
            0x80..=0xBF => LongAddress::new(u16::from_be_bytes([high & 0x3F, low])).ok().map(Self::Long),
            _ => None,
        }
    }
}

/// What the addressed locomotive decoder says in channel 2.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Datagram {
    /// ID 0, 12 bits: the value of the CV after access on the main.
    PomReply(u8),
    /// ID 1, 12 bits: answer to the rerailing search, first octet of the address.
    AddressHigh(u8),
    /// ID 2, 12 bits: answer to the rerailing search, second octet of the address.
    AddressLow(u8),
    /// ID 3, 18 bits: position, 14 bits.
    Position(u16),
    /// ID 7, 18 bits: a dynamic variable.
    Dynamic(DynamicVariable),
    /// ID 8 to 11, 36 bits: four consecutive CVs after an XPOM packet with this sequence number.
    XpomReply {
        /// The sequence number, 0 to 3.
        sequence: u8,
        /// The values.
        values: [u8; 4],
    },
    /// ID 12, 36 bits: a CV and its value, unasked.
    CvAuto {
        /// Which CV.
        cv: IndexedCv,
        /// Its value.
        value: u8,
    },
    /// ID 13, 36 bits: part of a block, 32 bits.
    Block(u32),
    /// ID 14, 12 bits: seconds since the decoder got power, in the answer to the rerailing search.
    SecondsSincePower(u8),
}

impl Datagram {
    /// The octets.
    ///
    /// # Errors
    /// [`BidiError::OutOfRange`] for a position above 16383, a sub-index above 63 or a sequence number above 3.
    pub fn symbols(self) -> Result<Symbols, BidiError> {
        Ok(match self {
            Self::PomReply(value) => Symbols::pack(0, u32::from(value), 8),
            Self::AddressHigh(octet) => Symbols::pack(1, u32::from(octet), 8),
            Self::AddressLow(octet) => Symbols::pack(2, u32::from(octet), 8),
            Self::Position(position) if position > 0x3FFF => {
                return Err(BidiError::OutOfRange { what: "position", most: 0x3FFF });
            }
            Self::Position(position) => Symbols::pack(3, u32::from(position), 14),
            Self::Dynamic(variable) => {
                Symbols::pack(7, u32::from(variable.value) << 6 | u32::from(variable.sub_index()), 14)
            }
            Self::XpomReply { sequence, .. } if sequence > 3 => {
                return Err(BidiError::OutOfRange { what: "sequence number", most: 3 });
            }
            Self::XpomReply { sequence, values } => {
                Symbols::pack(8 + sequence, u32::from_be_bytes(values), 32)
            }
            Self::CvAuto { cv, value } => {
                let [cv31, cv32, offset] = cv.octets();
                Symbols::pack(12, u32::from_be_bytes([cv31, cv32, offset, value]), 32)
            }
            Self::Block(content) => Symbols::pack(13, content, 32),
            Self::SecondsSincePower(seconds) => Symbols::pack(14, u32::from(seconds), 8),
        })
    }

    /// Octets of the datagram with this identifier in channel 2, or `None` when none is fixed.
    const fn octet_count(id: u8) -> Option<usize> {
        match id {
            0..=2 | 14 => Some(2),
            3 | 7 => Some(3),
            4 | 8..=13 => Some(6),
            _ => None,
        }
    }

    /// Reads the first datagram, and tells how many octets it has.
    pub(super) fn parse_first(octets: &[u8]) -> Result<(Self, usize), BidiError> {
        let Some(first) = octets.first() else {
            return Err(BidiError::Truncated { id: 0, needed: 2, got: 0 });
        };
        let id = id_of(*first)?;
        let needed = Self::octet_count(id).ok_or(BidiError::Id { id })?;
        let own = octets.get(..needed).ok_or(BidiError::Truncated { id, needed, got: octets.len() })?;
        let whole = unpack(own)?;
        let [.., b3, b2, b1, b0] = whole.to_be_bytes();
        let fourteen = u16::from_be_bytes([b1 & 0x3F, b0]);
        let datagram = match id {
            0 => Self::PomReply(b0),
            1 => Self::AddressHigh(b0),
            2 => Self::AddressLow(b0),
            3 => Self::Position(fourteen),
            7 => Self::Dynamic(DynamicVariable::from_fourteen_bits(fourteen)),
            8..=11 => Self::XpomReply { sequence: id - 8, values: [b3, b2, b1, b0] },
            12 => Self::CvAuto { cv: IndexedCv::from_octets([b3, b2, b1]), value: b0 },
            13 => Self::Block(u32::from_be_bytes([b3, b2, b1, b0])),
            14 => Self::SecondsSincePower(b0),
            _ => return Err(BidiError::Id { id }),
        };
        Ok((datagram, needed))
    }
}
