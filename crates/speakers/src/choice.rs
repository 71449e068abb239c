//! Which speaker and box suit a decoder and the room there is.

use acoustics::choice::{Candidate, Row, Wish, rank};
use datasheets::{EnclosureSheet, Shelf, Size, SpeakerSheet};

use crate::amplified::Amplified;
use crate::placed::sheet_system;

/// One row of the table: a speaker in a box, and what it is worth.
#[derive(Debug, Clone, PartialEq)]
pub struct ChoiceRow {
    /// The speaker's sheet.
    pub speaker: String,
    /// The box's sheet.
    pub enclosure: String,
    /// Whether anything of the speaker had to be assumed.
    pub is_assumed: bool,
    /// What it is worth and why.
    pub row: Row,
}

/// Every speaker and box of the shelf that go together, fit into a space and can be driven, best first; those that cannot be
/// used come last, with the reason. `space` is the room for speaker and box; without it everything fits.
#[must_use]
pub fn choices(shelf: &Shelf, space: Option<&Size>, amplifier: Amplified) -> Vec<ChoiceRow> {
    let pairs: Vec<(&SpeakerSheet, &EnclosureSheet)> = shelf
        .speakers
        .values()
        .flat_map(|speaker| shelf.enclosures.values().map(move |enclosure| (speaker, enclosure)))
        .filter(|(speaker, enclosure)| go_together(speaker, enclosure))
        .filter(|(speaker, enclosure)| {
            space.is_none_or(|space| outer_size(speaker, enclosure).fits_in(space))
        })
        .collect();
    let mut known = Vec::new();
    let mut candidates = Vec::new();
    for (speaker, enclosure) in pairs {
        // A sheet that makes no driver is told by the sheet's own check; here it is simply no candidate.
        if let Ok((system, is_assumed)) = sheet_system(speaker, Some(enclosure)) {
            let label = format!("{} in {}", speaker.part.name, enclosure.part.name);
            known.push((label.clone(), speaker, enclosure, is_assumed));
            candidates.push(Candidate { label, system });
        }
    }
    let wish = Wish::for_amplifier(amplifier.full_level(), amplifier.bridge.least_load());
    rank(&candidates, &wish)
        .into_iter()
        .filter_map(|row| {
            let (_, speaker, enclosure, is_assumed) = known.iter().find(|(label, ..)| *label == row.label)?;
            Some(ChoiceRow {
                speaker: speaker.part.name.to_string(),
                enclosure: enclosure.part.name.to_string(),
                is_assumed: *is_assumed,
                row,
            })
        })
        .collect()
}

/// A box takes the speakers that its sheet names; one that names none takes any.
fn go_together(speaker: &SpeakerSheet, enclosure: &EnclosureSheet) -> bool {
    enclosure.enclosure.fits.is_empty() || enclosure.enclosure.fits.contains(&speaker.part.name)
}

/// The room that both take: the box's own size, which is told with the speaker on it, else the speaker's.
fn outer_size<'a>(speaker: &'a SpeakerSheet, enclosure: &'a EnclosureSheet) -> &'a Size {
    enclosure.enclosure.size.as_ref().unwrap_or(&speaker.speaker.size)
}
