//! What the speakers will do: both wirings computed, the best one, the way there, what the meter must read, and the sound.

use std::path::{Path, PathBuf};

use acoustics::sound::{SampleRate, to_wav};
use electrics::Rework;
use quantities::Gain;
use speakers::{
    Assumption, ChoiceRow, HearError, Loudness, MeterRow, Proposals, Sounding, Wiring, WiringError,
};

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

/// Renders the prototype's voice through both wirings and writes WAV files into a folder: level-matched, and as loud as each is.
///
/// # Errors
/// A folder or file that cannot be written.
pub fn listen(desk: &Desk, order: &CheckedOrder, folder: &Path) -> Result<Vec<Recording>, ShopError> {
    files::make_folder(folder)?;
    let order = &order.document.value;
    let sample = speakers::sample_of(order.voice.as_ref(), SampleRate::Hz44100);
    let wirings =
        [("found", Wiring::found(order, &desk.shelf)), ("planned", Wiring::planned(order, &desk.shelf))];
    let mut recordings = Vec::new();
    for (state, wiring) in wirings {
        let Some(wiring) = wiring else { continue };
        for (loudness, suffix, words) in [
            (Loudness::Matched, "matched", "levels matched"),
            (Loudness::AsItIs, "as-loud", "as loud as it is"),
        ] {
            let path = folder.join(format!("{}-{state}-{suffix}.wav", order.order.number));
            let made = render(&wiring, &sample, loudness);
            let made = match made {
                Ok(rendered) => {
                    files::write_whole(&path, &to_wav(&rendered.sound))?;
                    Ok(rendered.clipped)
                }
                Err(reason) => Err(reason),
            };
            recordings.push(Recording { path, title: format!("as {state}, {words}"), made });
        }
    }
    Ok(recordings)
}

fn render(
    wiring: &Result<Wiring, WiringError>,
    sample: &acoustics::sound::Sound,
    loudness: Loudness,
) -> Result<acoustics::render::Rendered, String> {
    let wiring = wiring.as_ref().map_err(ToString::to_string)?;
    let flat = Gain::from_decibels(0.0).unwrap_or_else(|| unreachable!("0 dB is in range"));
    speakers::through(sample, wiring, loudness, flat).map_err(|error: HearError| error.to_string())
}
