//! Speakers and boxes that do not go into the model.

use std::collections::BTreeMap;

use datasheets::Size;
use finding::{Finding, Path, Severity};
use quantities::Length;

use crate::answers::{Answers, pair_goes_in};
use crate::job::Job;
use crate::rule::{Found, Rule, Stage};

pub(in crate::rules) static RULE: Rule = Rule {
    name: "speaker-does-not-fit",
    stage: Stage::Plan,
    severity: Severity::Rework,
    rows: &[31],
    checks: "Each speaker that comes in with its box, and each two of them together, must go into the free room and leave 0.5 mm of height.",
    matters: "Tenths of a millimetre keep the shell from seating; a box that touches the shell buzzes.",
    example: "Two boxes of 24 × 22 mm do not go into 40 × 24 mm, however they are turned; into 50 × 24 mm they do.",
    cure: "Smaller boxes, other places, one speaker instead of two; squash putty under the shell to see.",
    source: "practice row 31: at least 0.5 mm of height spare (from memory); acoustics and electrics digest, section 8",
    check,
};

/// Height that must be left for tape, wires and the shell's own unevenness, in millimetres.
const SPARE_MILLIMETRES: f64 = 0.5;
const SPARE_METRES: f64 = SPARE_MILLIMETRES * 1e-3;

/// What goes in: a box with its speaker, or a bare speaker.
struct Piece {
    name: String,
    size: Size,
    speakers: Vec<Path>,
}

fn check(job: &Job<'_>, _: &Answers, found: &mut Found<'_>) {
    let pieces = pieces(job);
    if pieces.is_empty() {
        return;
    }
    let at = Path::new("survey.speaker-space");
    let Some(survey) = &job.order.survey else { return };
    let Some(space) = &survey.speaker_space else {
        found.add_as(Severity::Open, "nobody has measured the room for the speakers", |finding| {
            finding
                .at(at)
                .because(format!("to go in are {}", told(&pieces)))
                .remedy("press putty under the shell, measure length, width and height, write them into `speaker-space`")
        });
        return;
    };
    let misfits: Vec<&Piece> = pieces.iter().filter(|piece| !goes_in(&piece.size, space)).collect();
    for piece in &misfits {
        found.add(format!("{} does not fit: {} in {space}", piece.name, piece.size), |finding| {
            piece
                .speakers
                .iter()
                .fold(finding.at(at.clone()), |finding, path| finding.at(path.clone()))
                .because("turned by a quarter it does not go in either; 0.5 mm of height are to be left")
                .remedy("choose a smaller box or speaker, or make room and measure again")
        });
    }
    if misfits.is_empty()
        && let Some((one, other)) = misfit_pair(&pieces, space)
    {
        let together = if one.name == other.name {
            format!("two of {}", one.name)
        } else {
            format!("{} and {}", one.name, other.name)
        };
        found.add(format!("{together} do not fit in {space}"), |finding| {
            [one, other]
                .iter()
                .flat_map(|piece| &piece.speakers)
                .cloned()
                .fold(finding.at(at.clone()), Finding::at)
                .because(format!("{} and {}: neither side by side nor one behind or above the other, turned or not", one.size, other.size))
                .remedy("choose smaller boxes, one speaker instead of two, or note the room that both really have together")
        });
    }
}

/// The part with the height that must be left above it.
fn with_spare(size: &Size) -> Size {
    let spare = Length::from_metres(SPARE_METRES).unwrap_or_else(|| unreachable!("0.5 mm is in range"));
    Size { height: size.height + spare, ..size.clone() }
}

/// Alone in the room: the same as a pair with a part of no size.
fn goes_in(size: &Size, space: &Size) -> bool {
    let zero = Length::from_metres(0.0).unwrap_or_else(|| unreachable!("0 m is in range"));
    pair_goes_in(&with_spare(size), &Size { length: zero, width: zero, height: zero }, space)
}

/// Two pieces that do not go in together; the height to be left is asked once, as each alone has it already. Equal pieces are tried once, so that many speakers take no time.
fn misfit_pair<'a>(pieces: &'a [Piece], space: &Size) -> Option<(&'a Piece, &'a Piece)> {
    pieces.iter().enumerate().find_map(|(number, one)| {
        let twice = (one.speakers.len() > 1).then_some(one);
        twice
            .into_iter()
            .chain(&pieces[number + 1..])
            .find(|other| !pair_goes_in(&with_spare(&one.size), &other.size, space))
            .map(|other| (one, other))
    })
}

/// The pieces that come in, equal ones together. Speakers that were found in the model fit, as the model shows.
fn pieces(job: &Job<'_>) -> Vec<Piece> {
    let mut pieces: BTreeMap<String, Piece> = BTreeMap::new();
    for speaker in job.order.plan.iter().flat_map(|plan| &plan.speaker) {
        let path = Path::new(format!("plan.speaker.{}", speaker.name));
        let boxed = job
            .enclosure(speaker)
            .and_then(|sheet| Some((sheet.part.name.to_string(), sheet.enclosure.size.clone()?)));
        let bare = || {
            let sheet = job.speaker_sheet(speaker)?;
            Some((sheet.part.name.to_string(), sheet.speaker.size.clone()))
        };
        let Some((name, size)) = boxed.or_else(bare) else { continue };
        let piece = pieces.entry(name.clone()).or_insert(Piece { name, size, speakers: Vec::new() });
        piece.speakers.push(path);
    }
    pieces.into_values().collect()
}

fn told(pieces: &[Piece]) -> String {
    let told: Vec<String> = pieces
        .iter()
        .map(|piece| format!("{} × {} ({})", piece.speakers.len(), piece.name, piece.size))
        .collect();
    told.join(", ")
}
