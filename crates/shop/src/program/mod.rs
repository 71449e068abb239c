//! Programming and proving over the virtual bench.
//!
//! What it is: what a run needs and what it tells, whoever keeps its journal: files (`files`) or the store.
//! What it is not: the run itself; that is in the room of the track.

mod files;
mod memory;
mod on_bench;

use bench::Locomotive;
use cvplan::{Image, Settlement};
use datasheets::{CvPlace, DecoderSheet, Shelf};
use finding::Finding;
use track::{Entry, Event, Job, Journal, Overridden, Permit, Rails, Report, Run, VirtualLink};

use crate::card::ProofFacts;
use crate::desk::{CheckedOrder, Desk};
use crate::error::ShopError;

pub use files::{Place, run_on_bench};
pub(crate) use on_bench::{Keep, Kept};

/// What to do.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Task {
    /// Read, write what differs, prove by reading back.
    Program,
    /// Read and compare; write nothing.
    Prove,
    /// Bring everything back to what the latest run read before it wrote.
    Undo,
}

/// Why a comparison that found differences writes nothing.
pub(crate) const COMPARED_ONLY: &str = "compared only";

/// How a run ended.
#[derive(Debug)]
pub struct RunOutcome {
    /// The report.
    pub report: Report,
    /// The run was cut off before and taken up again, so often.
    pub n_taken_up: usize,
    /// Where the journal is kept, in words: a file's name, or "run 12 of the shop".
    pub journal: String,
}

/// What a run of an order needs to know.
#[derive(Debug)]
pub(crate) struct Prepared<'a> {
    number: &'a str,
    /// The decoder's sheet.
    pub(crate) sheet: &'a DecoderSheet,
    /// The settings.
    pub(crate) settlement: &'a Settlement,
    permit: Permit,
}

impl<'a> Prepared<'a> {
    /// Looks the decoder and its settings up, and asks whether power may be put on.
    ///
    /// # Errors
    /// An order without a decoder, and stops that hold it.
    pub(crate) fn of(desk: &'a Desk, order: &'a CheckedOrder) -> Result<Self, ShopError> {
        let number = order.document.value.order.number.as_str();
        let (Some(sheet), Some(settlement)) =
            (decoder_of(&desk.shelf, order), &order.inspection.answers.settlement)
        else {
            return Err(ShopError::NoDecoder { order: number.to_owned() });
        };
        Ok(Self { number, sheet, settlement, permit: permit(order)? })
    }

    /// The job; `earlier` is what an earlier run read of the same decoder.
    pub(crate) fn job(&self, earlier: Option<&'a Image>) -> Job<'a> {
        Job {
            name: self.number,
            targets: &self.settlement.targets,
            sheet: self.sheet,
            identity: None,
            earlier,
            permit: self.permit.clone(),
        }
    }
}

/// Leave to put power on, by an order's findings and its overrides.
///
/// # Errors
/// The stops that hold it.
pub(crate) fn permit(order: &CheckedOrder) -> Result<Permit, ShopError> {
    let document = &order.document.value;
    let overrides: Vec<Overridden> = document
        .r#override
        .iter()
        .map(|entry| Overridden { rule: entry.rule.to_string(), reason: entry.reason.clone() })
        .collect();
    Permit::for_job(&order.inspection.findings, &overrides)
        .map_err(|held| ShopError::Held { order: document.order.number.to_string(), stops: held.stops })
}

fn decoder_of<'a>(shelf: &'a Shelf, order: &CheckedOrder) -> Option<&'a DecoderSheet> {
    shelf.decoders.get(order.document.value.plan.as_ref()?.decoder.as_ref()?)
}

/// A locomotive on the virtual bench by the text of its truth; `name` is what faults show.
///
/// # Errors
/// A truth with faults.
pub(crate) fn locomotive(name: &str, truth: &str, shelf: &Shelf) -> Result<Locomotive, ShopError> {
    // The seed decides about noise and dirt; one seed makes a practice run repeatable.
    const SEED: u64 = 1;
    let truth = bench::read_truth(name, truth, shelf)?;
    Locomotive::new(&truth.value, shelf, SEED).map_err(|cause| ShopError::Bench { cause })
}

/// Takes the next step of a run. `keep` sees to the memory of the virtual decoder, whether the step went well or not: what
/// the decoder was told is in its memory, whether or not its answer reached us.
///
/// # Errors
/// What stopped the run, and what `keep` returns.
pub(crate) fn step<J: Journal, R: Rails>(
    run: &mut Run<J>,
    link: &mut VirtualLink<R>,
    task: Task,
    number: &str,
    keep: impl FnOnce(&mut R) -> Result<(), ShopError>,
) -> Result<Event, ShopError> {
    let event = run.step(link).map_err(|cause| ShopError::run(number, cause));
    keep(link.programmer_mut().rails_mut())?;
    let event = event?;
    if matches!(event, Event::Planned { n_steps, .. } if task == Task::Prove && n_steps > 0) {
        run.cancel(COMPARED_ONLY).map_err(|cause| ShopError::run(number, cause))?;
    }
    Ok(event)
}

/// How many suspects are told; the others fit worse.
const MOST_SUSPECTS: usize = 4;

/// What may be behind a run that stopped: the usual causes that fit what was measured, the best first.
pub(crate) fn suspects<J: Journal, R: Rails>(
    cause: &track::RunError,
    link: &VirtualLink<R>,
    run: &Run<J>,
    order: &CheckedOrder,
    prepared: &Prepared<'_>,
) -> Vec<Finding> {
    let has_keep_alive = order.document.value.plan.as_ref().map(|plan| plan.keep_alive.is_some());
    let facts = track::Facts::of_sheet(prepared.sheet, has_keep_alive);
    let symptoms =
        track::Symptoms::of_error(cause.clone(), track::Link::tally(link)).with_report(&run.report());
    let place = finding::Path::new("plan.decoder");
    track::diagnose(&symptoms, &facts)
        .iter()
        .take(MOST_SUSPECTS)
        .map(|suspect| suspect.finding(&place))
        .collect()
}

/// What a run read of a decoder: worth asking for first, and never taken for more than a guess.
pub(crate) fn image_of(entries: &[Entry]) -> Image {
    let read = entries.iter().filter_map(|entry| match entry {
        Entry::Read { place, content, .. } | Entry::Proved { place, content, .. } => {
            Some((CvPlace::from(*place), content.value()?))
        }
        _ => None,
    });
    read.collect()
}

/// How often the run of these entries was cut off and taken up again.
pub(crate) fn n_taken_up(entries: &[Entry]) -> usize {
    entries.iter().filter(|entry| matches!(entry, Entry::TakenUp)).count()
}

impl RunOutcome {
    /// What the card says about a run. `when` is the time as people write it.
    #[must_use]
    pub fn proof_facts(&self, when: &str) -> ProofFacts {
        let report = &self.report;
        let after =
            report.targets.iter().filter_map(|target| Some((target.place, target.after.as_ref()?.value()?)));
        let interrupted = match self.n_taken_up {
            0 => Vec::new(),
            1 => vec!["the run was cut off once and taken up again".to_owned()],
            n => vec![format!("the run was cut off {n} times and taken up again")],
        };
        ProofFacts {
            before: report.snapshot.clone().unwrap_or_default(),
            after: after.collect(),
            proof: paper::Proof {
                when: when.to_owned(),
                link: "programming track of the virtual bench".to_owned(),
                rail_time: Some(rail_time(report)),
                interrupted,
                snapshot: report.snapshot.as_ref().map(|snapshot| {
                    format!("{} CVs as they were before, in {}", snapshot.len(), self.journal)
                }),
                compared: Some(when.to_owned()),
                trials: Vec::new(),
                figures: Vec::new(),
            },
        }
    }
}

/// Rail time, beside what reading every bit of the same CVs would have cost.
#[must_use]
pub fn rail_time(report: &Report) -> String {
    let times = &report.rail_times;
    let seconds = |micros: u64| format!("{:.1} s", std::time::Duration::from_micros(micros).as_secs_f64());
    let total = times.total().as_micros();
    let plain = total - times.readings.as_micros() + times.readings_plain.as_micros();
    format!("{} on the rails; reading bit by bit would have made it {}", seconds(total), seconds(plain))
}
