//! The shelf: all part sheets at hand, by kind and name.

use std::collections::BTreeMap;

use documents::declared::serde_json::Value;
use documents::{Checked, Document, Fault, Faults, Name, Read, Source};
use finding::Path;

use crate::decoder::DecoderSheet;
use crate::part::{Part, PartKind};
use crate::passive::{EnclosureSheet, KeepAliveSheet, LampSheet};
use crate::socket::SocketSheet;
use crate::speaker::SpeakerSheet;

/// A part sheet of any kind.
#[derive(Debug, Clone, PartialEq)]
pub enum Sheet {
    /// A decoder's.
    Decoder(Box<DecoderSheet>),
    /// A speaker's.
    Speaker(Box<SpeakerSheet>),
    /// A speaker box's.
    Enclosure(Box<EnclosureSheet>),
    /// A lamp's.
    Lamp(Box<LampSheet>),
    /// A keep-alive's.
    KeepAlive(Box<KeepAliveSheet>),
    /// A socket's.
    Socket(Box<SocketSheet>),
}

impl Sheet {
    /// The head of the sheet.
    #[must_use]
    pub fn part(&self) -> &Part {
        match self {
            Self::Decoder(sheet) => &sheet.part,
            Self::Speaker(sheet) => &sheet.part,
            Self::Enclosure(sheet) => &sheet.part,
            Self::Lamp(sheet) => &sheet.part,
            Self::KeepAlive(sheet) => &sheet.part,
            Self::Socket(sheet) => &sheet.part,
        }
    }
}

documents::record! {
    /// Only the kind of a sheet, read first.
    pub struct KindOnly {
        /// The kind.
        pub kind: PartKind,
    }
}

/// Reads a part sheet of whichever kind it says it is.
///
/// # Errors
/// Every fault of the sheet at once.
pub fn read_sheet(name: &str, text: &str) -> Result<Document<Sheet>, Faults> {
    match kind_of(name, text)? {
        PartKind::Decoder => read_as(name, text, |sheet| Sheet::Decoder(Box::new(sheet))),
        PartKind::Speaker => read_as(name, text, |sheet| Sheet::Speaker(Box::new(sheet))),
        PartKind::Enclosure => read_as(name, text, |sheet| Sheet::Enclosure(Box::new(sheet))),
        PartKind::Lamp => read_as(name, text, |sheet| Sheet::Lamp(Box::new(sheet))),
        PartKind::KeepAlive => read_as(name, text, |sheet| Sheet::KeepAlive(Box::new(sheet))),
        PartKind::Socket => read_as(name, text, |sheet| Sheet::Socket(Box::new(sheet))),
    }
}

/// The JSON Schema of the sheets of a kind.
#[must_use]
pub fn sheet_schema(kind: PartKind) -> Value {
    let title = format!("Backshop {kind} sheet");
    match kind {
        PartKind::Decoder => documents::schema::<DecoderSheet>(&title),
        PartKind::Speaker => documents::schema::<SpeakerSheet>(&title),
        PartKind::Enclosure => documents::schema::<EnclosureSheet>(&title),
        PartKind::Lamp => documents::schema::<LampSheet>(&title),
        PartKind::KeepAlive => documents::schema::<KeepAliveSheet>(&title),
        PartKind::Socket => documents::schema::<SocketSheet>(&title),
    }
}

fn read_as<T: Read + Checked>(
    name: &str,
    text: &str,
    wrap: impl FnOnce(T) -> Sheet,
) -> Result<Document<Sheet>, Faults> {
    documents::read::<T>(name, text).map(|document| document.map(wrap))
}

/// The kind, found by a look at the text alone: the reader of a kind reports everything else that is wrong.
fn kind_of(name: &str, text: &str) -> Result<PartKind, Faults> {
    let word = text.lines().find_map(|line| {
        let rest = line.trim().strip_prefix("kind")?.trim_start().strip_prefix('=')?;
        Some(rest.split('#').next()?.trim().trim_matches(['"', '\'']).to_owned())
    });
    let known = || PartKind::ALL.iter().map(|kind| kind.word());
    let found =
        word.as_deref().and_then(|word| PartKind::ALL.iter().copied().find(|kind| kind.word() == word));
    found.ok_or_else(|| {
        let headline = match &word {
            Some(word) => format!("`{word}` is not a kind of part"),
            None => "the sheet does not say what kind of part it is".to_owned(),
        };
        let near = word.as_deref().and_then(|word| documents::nearest(word, known()));
        let help = near.map_or_else(
            || {
                format!(
                    "write `kind = \"…\"` in `[part]`, with one of {}",
                    known().collect::<Vec<_>>().join(", ")
                )
            },
            |near| format!("did you mean \"{near}\"?"),
        );
        let start = text
            .lines()
            .take_while(|line| !line.trim().starts_with("kind"))
            .map(|line| line.len() + 1)
            .sum::<usize>();
        let span = if word.is_some() { start..start + 4 } else { 0..0 };
        let source = Source { name: name.to_owned(), text: text.to_owned() };
        Faults::new(source, vec![Fault { span, path: Path::new("part.kind"), headline, help }])
    })
}

/// All part sheets at hand, by kind and name. A later sheet takes the place of an earlier one of the same kind and name.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Shelf {
    /// Decoders.
    pub decoders: BTreeMap<Name, DecoderSheet>,
    /// Speakers.
    pub speakers: BTreeMap<Name, SpeakerSheet>,
    /// Speaker boxes.
    pub enclosures: BTreeMap<Name, EnclosureSheet>,
    /// Lamps.
    pub lamps: BTreeMap<Name, LampSheet>,
    /// Keep-alives.
    pub keep_alives: BTreeMap<Name, KeepAliveSheet>,
    /// Sockets.
    pub sockets: BTreeMap<Name, SocketSheet>,
}

impl Shelf {
    /// A shelf with the standard sockets and the bare standard decoder only.
    #[must_use]
    pub fn standard() -> Self {
        let mut shelf = Self::default();
        for (name, text) in standard_sheets() {
            // A test reads every one of them, so that a fault here cannot reach a person.
            if let Ok(document) = read_sheet(name, text) {
                shelf.add(document.value);
            }
        }
        shelf
    }

    /// Puts a sheet on the shelf.
    pub fn add(&mut self, sheet: Sheet) {
        let name = sheet.part().name.clone();
        match sheet {
            Sheet::Decoder(sheet) => drop(self.decoders.insert(name, *sheet)),
            Sheet::Speaker(sheet) => drop(self.speakers.insert(name, *sheet)),
            Sheet::Enclosure(sheet) => drop(self.enclosures.insert(name, *sheet)),
            Sheet::Lamp(sheet) => drop(self.lamps.insert(name, *sheet)),
            Sheet::KeepAlive(sheet) => drop(self.keep_alives.insert(name, *sheet)),
            Sheet::Socket(sheet) => drop(self.sockets.insert(name, *sheet)),
        }
    }

    /// A socket by its sheet's name or another name in use.
    #[must_use]
    pub fn socket(&self, name: &Name) -> Option<&SocketSheet> {
        self.sockets
            .get(name)
            .or_else(|| self.sockets.values().find(|sheet| sheet.socket.aliases.contains(name)))
    }

    /// The heads of all sheets, by kind and name.
    pub fn parts(&self) -> impl Iterator<Item = &Part> {
        self.decoders
            .values()
            .map(|sheet| &sheet.part)
            .chain(self.speakers.values().map(|sheet| &sheet.part))
            .chain(self.enclosures.values().map(|sheet| &sheet.part))
            .chain(self.lamps.values().map(|sheet| &sheet.part))
            .chain(self.keep_alives.values().map(|sheet| &sheet.part))
            .chain(self.sockets.values().map(|sheet| &sheet.part))
    }
}

/// The sheets that come with the standards: sockets, and a decoder that is nothing but the standard.
#[must_use]
pub fn standard_sheets() -> &'static [(&'static str, &'static str)] {
    &[
        ("nem651.toml", include_str!("../data/nem651.toml")),
        ("nem652.toml", include_str!("../data/nem652.toml")),
        ("nem654.toml", include_str!("../data/nem654.toml")),
        ("nine-pin.toml", include_str!("../data/nine-pin.toml")),
        ("nem660.toml", include_str!("../data/nem660.toml")),
        ("plux12.toml", include_str!("../data/plux12.toml")),
        ("plux16.toml", include_str!("../data/plux16.toml")),
        ("plux22.toml", include_str!("../data/plux22.toml")),
        ("next18.toml", include_str!("../data/next18.toml")),
        ("next18s.toml", include_str!("../data/next18s.toml")),
        ("standard-decoder.toml", include_str!("../data/standard-decoder.toml")),
    ]
}
