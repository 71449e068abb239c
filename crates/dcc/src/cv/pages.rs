//! What the standards keep on the index pages.
//!
//! What it is: the use of each page, the capability bits of page 0/254 and the places of the feedback block 0/255.
//! What it is not: the pages of makers.
//!
//! Source: NMRA S-9.2.2 CV31/32; RCN-225 CV31/32; RCN-217 Table 9; RCN-227.

use core::fmt;

use super::{BitPosition, IndexedCv};

/// What a page is for (RCN-225). By S-9.2.2 the pages with CV31 below 16 are reserved, so this holds only for decoders
/// that follow RCN-225.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PageUse {
    /// CV1–256, the plain CV257–512, CV513–768 or CV769–1024.
    Plain,
    /// Function mapping of RCN-227, methods 2 to 5.
    FunctionMapping {
        /// The method.
        method: u8,
    },
    /// Capability bits.
    Capabilities,
    /// The feedback block.
    FeedbackBlock,
    /// Proprietary information on the locomotive.
    LocomotiveInfo,
    /// A data space of automatic logon (RCN-218).
    LogonDataSpace {
        /// Its number.
        number: u8,
    },
    /// Kept for later standards.
    Reserved,
    /// The maker's.
    Maker,
}

/// What a page is for.
pub const fn page_use(cv31: u8, cv32: u8) -> PageUse {
    match (cv31, cv32) {
        (0, 0..=3) => PageUse::Plain,
        (0, method @ 40..=43) => PageUse::FunctionMapping { method: method - 38 },
        (0, 254) => PageUse::Capabilities,
        (0, 255) => PageUse::FeedbackBlock,
        (1, 0 | 1) => PageUse::LocomotiveInfo,
        (2, number @ (0..=2 | 4..=7)) => PageUse::LogonDataSpace { number },
        (0..=15, _) => PageUse::Reserved,
        (16.., _) => PageUse::Maker,
    }
}

impl fmt::Display for PageUse {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Plain => f.write_str("the CVs that need no page"),
            Self::FunctionMapping { method } => write!(f, "function mapping, method {method}"),
            Self::Capabilities => f.write_str("capabilities of the decoder"),
            Self::FeedbackBlock => f.write_str("block of bi-directional communication"),
            Self::LocomotiveInfo => f.write_str("information on the locomotive"),
            Self::LogonDataSpace { number } => write!(f, "data space {number} of automatic logon"),
            Self::Reserved => f.write_str("reserved"),
            Self::Maker => f.write_str("for the maker"),
        }
    }
}

/// A capability that page 0/254 announces (read-only; RCN-225 CV31/32).
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Capability {
    /// Speed, direction and functions in one packet.
    SpeedAndFunctions,
    /// Short-form access to CV17/18.
    ShortFormAddress,
    /// Short-form access to CV31/32. RCN-225 prints the instruction as `1111-0100`; `1111-0101` is meant.
    ShortFormIndexPage,
    /// XPOM.
    Xpom,
    /// Function mapping by a method of CV96, 0 to 7.
    Mapping(BitPosition),
}

impl Capability {
    /// The place of the bit.
    pub const fn place(self) -> (IndexedCv, BitPosition) {
        let (offset, bit) = match self {
            Self::SpeedAndFunctions => (0, BitPosition::lowest_bits(0)),
            Self::ShortFormAddress => (16, BitPosition::lowest_bits(0)),
            Self::ShortFormIndexPage => (16, BitPosition::lowest_bits(1)),
            Self::Xpom => (17, BitPosition::lowest_bits(0)),
            Self::Mapping(method) => (33, method),
        };
        (IndexedCv { cv31: 0, cv32: 254, offset }, bit)
    }
}

/// A field of the feedback block, page 0/255 (RCN-217 Table 9).
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum FeedbackBlock {
    /// Manufacturer, two octets, lowest first; mandatory.
    Manufacturer,
    /// Product, four octets.
    Product,
    /// Serial number, four octets.
    SerialNumber,
    /// Seconds since 1 January 2000, four octets.
    ProductionDate,
    /// Dynamic variables, 64 octets, by sub-index.
    DynamicVariables,
    /// Version before and after the point, two octets; mandatory.
    Version,
    /// Specific consumption of containers 1 to 12.
    Consumption,
    /// Written: all containers are filled to so many per cent.
    FillContainers,
    /// Half the top speed of the locomotive, km/h, to scale a speed display.
    HalfTopSpeed,
}

impl FeedbackBlock {
    /// The first CV of the field and how many octets it has.
    pub const fn place(self) -> (IndexedCv, u8) {
        let (offset, count) = match self {
            Self::Manufacturer => (0, 2),
            Self::Product => (4, 4),
            Self::SerialNumber => (8, 4),
            Self::ProductionDate => (12, 4),
            Self::DynamicVariables => (64, 64),
            Self::Version => (128, 2),
            Self::Consumption => (132, 12),
            Self::FillContainers => (144, 1),
            Self::HalfTopSpeed => (145, 1),
        };
        (IndexedCv { cv31: 0, cv32: 255, offset }, count)
    }
}
