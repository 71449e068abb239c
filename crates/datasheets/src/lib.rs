//! Part sheets: what Backshop knows about parts, as data.
//!
//! What it is: the records of each kind of sheet, their checks, the words shared by wishes and sheets
//! ([`Deed`], [`EngineKind`] and kin), the [`Shelf`] that holds the sheets, and the sheets of the standard sockets.
//! What it is not: knowledge about any product in code. A decoder, speaker or socket is a TOML file; code only knows
//! what such a file may say.

mod decoder;
mod key;
mod key_map;
mod note;
mod part;
mod passive;
mod role;
mod shelf;
mod socket;
mod speaker;
mod words;

#[cfg(test)]
mod tests;

pub use decoder::{
    Amplifier, CvRange, DecoderData, DecoderSheet, Output, OutputKind, ServiceMode, StandardReading,
};
pub use key::{CvKey, Key};
pub use key_map::{DeedEntry, KeyMap, KeyMapMethod};
pub use note::Note;
pub use part::{Part, PartKind, Size};
pub use passive::{
    EnclosureData, EnclosureSheet, KeepAliveData, KeepAliveSheet, LampData, LampKind, LampSheet,
};
pub use role::{
    BitRange, CvNumber, CvPlace, CvValue, IndexPage, Law, LawKind, Role, RoleName, Setting, VoicePart,
};
pub use shelf::{Sheet, Shelf, read_sheet, sheet_schema, standard_sheets};
pub use socket::{Pin, PinSignal, SocketData, SocketSheet};
pub use speaker::{CoilLosses, Quality, SpeakerData, SpeakerParameters, SpeakerSheet};
pub use words::{Aspiration, BellKind, Choice, Deed, EngineKind, HeadEndPower, LampEffect, Traits, Travel};
