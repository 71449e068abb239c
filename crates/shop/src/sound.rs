//! What the speakers will do: both wirings computed, the best one, the way there, what the meter must read, and the sound.

use std::path::{Path, PathBuf};

use acoustics::render::Rendered;
use acoustics::sound::{SampleRate, to_wav};
use datasheets::Shelf;
use electrics::Rework;
use quantities::Gain;
use speakers::{
    Assumption, ChoiceRow, HearError, Loudness, MeterRow, Proposals, Sounding, Wiring, WiringError,
    WiringState,
};
use workorder::WorkOrder;

use crate::desk::{CheckedOrder, Desk};
use crate::error::ShopError;
use crate::files;

/// One wiring and what follows from it, or why nothing follows.
#[derive(Debug)]
pub struct WiringReport {
    /// The wiring.
    pub wiring: Wiring,
    /// What it does; the reason as a sentence where the circuit has no solution.
    pub sounding: Result<Sounding, String>,
    /// What had to be assumed, each with the speakers that it is assumed of.
    pub assumed: Vec<(Vec<String>, Assumption)>,
}

/// Everything about an order's speakers.
#[derive(Debug)]
pub struct SoundReport {
    /// As the survey found them.
    pub found: Option<Result<WiringReport, WiringError>>,
    /// As the plan wants them.
    pub planned: Option<Result<WiringReport, WiringError>>,
    /// Every arrangement of the planned speakers, best first; none where there are too many to go through.
    pub proposals: Option<Proposals>,
    /// The fewest joints from what was found to the plan's wires.
    pub to_plan: Option<Rework>,
    /// The fewest joints from what was found to the best arrangement.
    pub to_best: Option<Rework>,
    /// What the meter must read once the plan is built.
    pub meter: Vec<MeterRow>,
}

fn report(made: Result<Wiring, WiringError>) -> Result<WiringReport, WiringError> {
    let wiring = made?;
    let sounding = Sounding::of(&wiring).map_err(|error| error.to_string());
    let mut assumed: Vec<(Vec<String>, Assumption)> = Vec::new();
    for speaker in &wiring.speakers {
        for one in &speaker.assumed {
            match assumed.iter_mut().find(|(_, known)| known == one) {
                Some((names, _)) => names.push(speaker.name.clone()),
                None => assumed.push((vec![speaker.name.clone()], one.clone())),
            }
        }
    }
    Ok(WiringReport { wiring, sounding, assumed })
}

/// Computes everything about an order's speakers.
#[must_use]
pub fn sound_report(desk: &Desk, order: &CheckedOrder) -> SoundReport {
    let order = &order.document.value;
    let found = Wiring::found(order, &desk.shelf).map(report);
    let planned = Wiring::planned(order, &desk.shelf).map(report);
    let found_wiring = found.as_ref().and_then(|report| Some(&report.as_ref().ok()?.wiring));
    let planned_wiring = planned.as_ref().and_then(|report| Some(&report.as_ref().ok()?.wiring));
    let proposals = planned_wiring.and_then(|wiring| Proposals::of(wiring).ok());
    let best = proposals.as_ref().and_then(Proposals::best);
    let to_best = planned_wiring
        .zip(best)
        .and_then(|(wiring, best)| speakers::rework_to(found_wiring, wiring, best).ok());
    let to_plan = planned_wiring.and_then(|wiring| speakers::rework_to_plan(found_wiring, wiring).ok());
    let card = planned_wiring.map(|wiring| speakers::meter_card_of(found_wiring, wiring));
    let meter = card.as_ref().map_or_else(Vec::new, speakers::meter_rows);
    SoundReport { proposals, to_plan, to_best, meter, found, planned }
}

/// The speakers and boxes of the shelf that suit an order's decoder and room, best first.
#[must_use]
pub fn part_choice(desk: &Desk, order: &CheckedOrder) -> Vec<ChoiceRow> {
    let order = &order.document.value;
    let decoder = order.plan.as_ref().and_then(|plan| desk.shelf.decoders.get(plan.decoder.as_ref()?));
    let space = order.survey.as_ref().and_then(|survey| survey.speaker_space.as_ref());
    speakers::choices(
        &desk.shelf,
        space,
        speakers::Amplified::of(decoder.and_then(|sheet| sheet.amplifier.as_ref())),
    )
}

/// A sound file that was written.
#[derive(Debug)]
pub struct Recording {
    /// The file.
    pub path: PathBuf,
    /// What it is, in words.
    pub title: String,
    /// How much of it the amplifier clips, or why it could not be made.
    pub made: Result<quantities::Percent, String>,
}

/// One rendering of an order's voice: through which wiring, and how loud.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Rendering {
    /// Through which wiring.
    pub wiring: WiringState,
    /// How loud.
    pub loudness: Loudness,
}

impl Rendering {
    /// All that can be listened to: as found and as planned, each with levels matched and as loud as it is.
    pub const ALL: [Self; 4] = [
        Self { wiring: WiringState::Found, loudness: Loudness::Matched },
        Self { wiring: WiringState::Found, loudness: Loudness::AsItIs },
        Self { wiring: WiringState::Planned, loudness: Loudness::Matched },
        Self { wiring: WiringState::Planned, loudness: Loudness::AsItIs },
    ];

    /// What it is, in words.
    #[must_use]
    pub fn title(self) -> String {
        let loudness = match self.loudness {
            Loudness::Matched => "levels matched",
            Loudness::AsItIs => "as loud as it is",
        };
        format!("as {}, {loudness}", self.state_word())
    }

    /// Its name within files and addresses: `found-matched`.
    #[must_use]
    pub fn word(self) -> String {
        let loudness = match self.loudness {
            Loudness::Matched => "matched",
            Loudness::AsItIs => "as-loud",
        };
        format!("{}-{loudness}", self.state_word())
    }

    /// The rendering of a [`Self::word`].
    #[must_use]
    pub fn from_word(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|rendering| rendering.word() == word)
    }

    fn state_word(self) -> &'static str {
        match self.wiring {
            WiringState::Found => "found",
            WiringState::Planned => "planned",
        }
    }
}

/// Renders the prototype's voice through both wirings and writes WAV files into a folder: level-matched, and as loud as each is.
///
/// # Errors
/// A folder or file that cannot be written.
pub fn listen(desk: &Desk, order: &CheckedOrder, folder: &Path) -> Result<Vec<Recording>, ShopError> {
    files::make_folder(folder)?;
    let order = &order.document.value;
    let mut recordings = Vec::new();
    for rendering in Rendering::ALL {
        let Some(made) = rendered(order, &desk.shelf, rendering) else { continue };
        let path = folder.join(format!("{}-{}.wav", order.order.number, rendering.word()));
        let made = match made {
            Ok(rendered) => {
                files::write_whole(&path, &to_wav(&rendered.sound))?;
                Ok(rendered.clipped)
            }
            Err(reason) => Err(reason),
        };
        recordings.push(Recording { path, title: rendering.title(), made });
    }
    Ok(recordings)
}

/// One rendering; nothing where the order has no such wiring, and the reason where it cannot be heard.
pub(crate) fn rendered(
    order: &WorkOrder,
    shelf: &Shelf,
    rendering: Rendering,
) -> Option<Result<Rendered, String>> {
    let wiring = match rendering.wiring {
        WiringState::Found => Wiring::found(order, shelf),
        WiringState::Planned => Wiring::planned(order, shelf),
    }?;
    let wiring = match wiring {
        Ok(wiring) => wiring,
        Err(error) => return Some(Err(error.to_string())),
    };
    let sample = speakers::sample_of(order.voice.as_ref(), SampleRate::Hz44100);
    let flat = Gain::from_decibels(0.0).unwrap_or_else(|| unreachable!("0 dB is in range"));
    let through = speakers::through(&sample, &wiring, rendering.loudness, flat);
    Some(through.map_err(|error: HearError| error.to_string()))
}
