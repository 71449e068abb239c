//! Snapshots of decoders, with what their CVs mean by the decoder's sheet.

use std::collections::{BTreeMap, BTreeSet};

use datasheets::{CvPlace, DecoderSheet, Law, LawKind, Role, Shelf};
use documents::Name;
use ledger::{Held, Ledger, Place, Reading, SnapshotId, SnapshotRecord};
use track::Entry;

use super::open::{Store, order_id};
use super::view::{SnapshotDifference, SnapshotHead, SnapshotRow, SnapshotView};
use crate::error::ShopError;

impl Store {
    /// The snapshots of an order's decoders, newest first.
    ///
    /// # Errors
    /// No such order, or the shop cannot be read.
    pub fn snapshots(&self, order: &str) -> Result<Vec<SnapshotHead>, ShopError> {
        let ledger = self.ledger();
        let records = ledger.snapshots_of(order_id(&ledger, order)?)?;
        records.into_iter().map(|record| head(&ledger, record)).collect()
    }

    /// A snapshot with every CV in it.
    ///
    /// # Errors
    /// No such snapshot, or the shop cannot be read.
    pub fn snapshot(&self, id: SnapshotId) -> Result<SnapshotView, ShopError> {
        let desk = self.desk()?;
        let ledger = self.ledger();
        let record = ledger.snapshot(id)?;
        let sheet = sheet_of(&desk.shelf, &record.decoder);
        let readings = ledger.readings(id)?;
        let row = |reading: Reading| {
            let place = place(reading.place);
            let meanings = reading.value.map_or_else(Vec::new, |value| meanings(sheet, place, value));
            SnapshotRow { place, value: reading.value, meanings }
        };
        let rows = readings.into_iter().map(row).collect();
        Ok(SnapshotView { head: head(&ledger, record)?, rows })
    }

    /// Where two snapshots differ, with what that means by the sheet of the second one's decoder. CVs that were read for one of
    /// them only are left out: a run reads back what it may have changed, and no more.
    ///
    /// # Errors
    /// No such snapshots, or the shop cannot be read.
    pub fn snapshot_differences(
        &self,
        before: SnapshotId,
        after: SnapshotId,
    ) -> Result<Vec<SnapshotDifference>, ShopError> {
        let desk = self.desk()?;
        let ledger = self.ledger();
        let decoder = ledger.snapshot(after)?.decoder;
        let sheet = sheet_of(&desk.shelf, &decoder);
        let differences = ledger.compare_snapshots(before, after)?;
        let both_read = differences
            .into_iter()
            .filter(|difference| difference.first != Held::NotRead && difference.second != Held::NotRead);
        let told = both_read.map(|difference| {
            let place = place(difference.place);
            let (before, after) = (value(difference.first), value(difference.second));
            SnapshotDifference { place, before, after, words: in_words(sheet, place, before, after) }
        });
        Ok(told.collect())
    }
}

fn head(ledger: &Ledger, record: SnapshotRecord) -> Result<SnapshotHead, ShopError> {
    Ok(SnapshotHead {
        order: ledger.document(record.document)?.name,
        id: record.id,
        run: record.run,
        decoder: record.decoder,
        at: record.at,
        by: record.by,
        note: record.note,
        n_cvs: usize::try_from(record.n_readings).unwrap_or(usize::MAX),
    })
}

fn sheet_of<'a>(shelf: &'a Shelf, decoder: &str) -> Option<&'a DecoderSheet> {
    shelf.decoders.get(&Name::new(decoder).ok()?)
}

fn place(place: Place) -> CvPlace {
    CvPlace { page: place.page, cv: place.cv }
}

/// What a run read, before it wrote or when it read back; of each CV what was read last.
pub(super) fn readings(entries: &[Entry], is_read_back: bool) -> Vec<Reading> {
    let read = entries.iter().filter_map(|entry| match entry {
        Entry::Read { place, content, .. } if !is_read_back => Some((place, content)),
        Entry::Proved { place, content, .. } if is_read_back => Some((place, content)),
        _ => None,
    });
    let readings: BTreeMap<Place, Option<u8>> =
        read.map(|(place, content)| (Place { page: place.page, cv: place.cv }, content.value())).collect();
    readings.into_iter().map(|(place, value)| Reading { place, value }).collect()
}

fn value(held: Held) -> Option<u8> {
    match held {
        Held::Value(value) => Some(value),
        Held::NotRead | Held::NoAnswer => None,
    }
}

/// What differs, in words: by role where the sheet knows the CV, else by the standard's name of it.
fn in_words(
    sheet: Option<&DecoderSheet>,
    place: CvPlace,
    before: Option<u8>,
    after: Option<u8>,
) -> Vec<String> {
    let (Some(old), Some(new)) = (before, after) else {
        let name = standard_name(place).map_or_else(|| place.to_string(), str::to_owned);
        let held =
            |value: Option<u8>| value.map_or_else(|| "no answer".to_owned(), |value| value.to_string());
        return vec![format!("{name}: {} became {}", held(before), held(after))];
    };
    let (old, new) = (meanings(sheet, place, old), meanings(sheet, place, new));
    let names: BTreeSet<&String> = old.iter().chain(&new).map(|(name, _)| name).collect();
    let said = |told: &[(String, String)], name: &String| {
        told.iter()
            .find(|(known, _)| known == name)
            .map_or_else(|| "0".to_owned(), |(_, words)| words.clone())
    };
    let differing = names.into_iter().map(|name| (name, said(&old, name), said(&new, name)));
    differing
        .filter(|(_, old, new)| old != new)
        .map(|(name, old, new)| format!("{name}: {old} became {new}"))
        .collect()
}

/// What a CV's content means: for each role in it its name and what its bits say; for any other CV the standard's name and the
/// number. The bits that no role owns are told as a number where they are not all nothing.
fn meanings(sheet: Option<&DecoderSheet>, place: CvPlace, content: u8) -> Vec<(String, String)> {
    let roles = sheet.map_or_else(Vec::new, DecoderSheet::roles);
    let of_place: Vec<&Role> = roles.iter().filter(|role| role.place() == place).collect();
    let mut told: Vec<(String, String)> = of_place
        .iter()
        .map(|role| (role.name.to_string(), role_in_words(role, role.bit_range().extract(content))))
        .collect();
    let owned = of_place.iter().fold(0, |owned, role| owned | role.bit_range().mask());
    if owned != u8::MAX {
        let rest = content & !owned;
        let name = standard_name(place).map_or_else(|| "the rest".to_owned(), str::to_owned);
        if of_place.is_empty() || rest != 0 {
            told.push((name, rest.to_string()));
        }
    }
    told
}

/// What a role's value says: the choice that it stands for, what its law makes of it, or the number.
fn role_in_words(role: &Role, value: u8) -> String {
    let choice = role.choices.iter().find(|choice| choice.value.get() == u16::from(value));
    if let Some(choice) = choice {
        let note = choice.note.as_ref().map_or_else(String::new, |note| format!(" ({note})"));
        return format!("{}{note}", choice.is);
    }
    role.law.as_ref().and_then(|law| law_in_words(law, value)).unwrap_or_else(|| value.to_string())
}

/// What a law makes of a number; the laws are those of [`datasheets::LawKind`].
fn law_in_words(law: &Law, value: u8) -> Option<String> {
    let number = f64::from(value);
    Some(match law.kind {
        LawKind::Amplitude if value == 0 => "silent".to_owned(),
        LawKind::Amplitude => {
            format!("{:.1} dB against full", 20.0 * (number / f64::from(law.full?.get())).log10())
        }
        LawKind::Decibels => {
            let decibels = (number - f64::from(law.zero?.get())) * law.step?.as_decibels();
            format!("{decibels:.1} dB against full")
        }
        LawKind::Share => format!("{:.0} %", 100.0 * number / f64::from(law.full?.get())),
        LawKind::Seconds => format!("{:.1} s", number * law.second?.as_seconds()),
    })
}

/// The standard's name of a plain CV.
fn standard_name(place: CvPlace) -> Option<&'static str> {
    if place.page.is_some() {
        return None;
    }
    Some(dcc::cv::standard_cv(dcc::CvNumber::new(place.cv).ok()?)?.name)
}
