//! Configuration variables: their numbers, names, and what their values mean.
//!
//! What it is: a codec per standard CV or group of CVs, and the table of names ([`standard_cv`]).
//! What it is not: the CVs of any particular decoder; makers' own CVs are data of other rooms. A decoder must not let a
//! bit be set for a feature it lacks (S-9.2.2, RCN-225), so a tool reads back what it wrote.
//!
//! Source: NMRA S-9.2.2; RCN-225; RCN-226; RCN-227.

mod address;
mod config29;
mod curve;
mod flags;
mod function_bits;
mod function_map;
mod identity;
mod index;
mod lock;
mod mapping;
mod momentum;
mod number;
mod pages;
mod pwm;
mod standard;
mod table;
#[cfg(test)]
mod tests;

pub use address::ConsistMembership;
pub use config29::Config29;
pub use curve::{MidPoint, SpeedTable, ThreePointCurve, Trim};
pub use flags::{
    AutomaticStop, FeedbackConfigurationNmra, FeedbackConfigurationRcn, PowerSourceNmra, PowerSourceRcn,
};
pub use function_bits::{AnalogFunctions, ConsistFunctions, FunctionKey};
pub use function_map::{FunctionMap, OUTPUTS};
pub use identity::{FACTORY_RESET_VALUE, ManufacturerId};
pub use index::IndexedCv;
pub use lock::{DecoderLock, LockNumber};
pub use mapping::{
    MappingMethod, Method2Record, Method3Record, Method4Record, Method5Entry, Method5Pair, Method5Record,
    When,
};
pub use momentum::{Momentum, SignedSeven};
pub use number::{BitPosition, CvError, CvNumber};
pub use pages::{Capability, FeedbackBlock, PageUse, page_use};
pub use pwm::PwmPeriod;
pub use standard::{Access, StandardCv, Uniformity, standard_accessory_cv, standard_cv, standard_cvs};

/// Which family of standards a value is read by, where they differ.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum RuleSet {
    /// NMRA S-9.2.x.
    Nmra,
    /// RailCommunity RCN-2xx.
    Rcn,
}
