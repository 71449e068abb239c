//! The programmer's side of the track: from an intended CV list to a decoder that provably holds it.
//!
//! What it is, from below: [`Rails`] (half bits in, current out), [`Programmer`] (sequences of packets, acknowledgements
//! told from noise, over-current), [`Link`] (one question, one outcome), [`read`] (questions that amount to a value), [`Run`]
//! (identify, read, plan, write, prove, report, with a [`Journal`] that survives a cut anywhere), [`diagnose`] (why nobody
//! answers), and [`MainTrack`] (speed, keys and CVs on the main).
//! What it is not: the plan of what to write, which is [`cvplan`]'s; the packets themselves, which are [`dcc`]'s; a store, a
//! clock or a thread. Persistence enters through [`Journal`], power only with a [`Permit`].
//!
//! Source: NMRA S-9.2.3, S-9.2.1; RCN-214, RCN-216 (digests), RCN-225; practice, rows 36 to 50.
//!
//! ```
//! use track::{Facts, Job, Link, Permit, Run, Symptoms, VirtualLink, diagnose};
//! # let shelf = datasheets::Shelf::standard();
//! # let text = "truth.title = \"bare\"\ndecoder.part = \"standard\"\nmotor.resistance = \"24 ohm\"\n";
//! # let truth = bench::read_truth("truth.toml", text, &shelf)?.value;
//! # let locomotive = bench::Locomotive::new(&truth, &shelf, 1)?;
//! # let text = "[order]\nnumber = \"V-1\"\nmodel = \"x\"\nscale = \"HO\"\n[address]\nform = \"long\"\nnumber = 1234\n";
//! # let order = workorder::read_order("order.toml", text, &shelf)?.value;
//! # let (findings, overrides) = ([], []);
//! # let sheet = shelf.decoders.values().next().unwrap();
//! let settled = cvplan::settle(&order, sheet);
//! let permit = Permit::for_job(&findings, &overrides)?; // refused while a stop stands
//! let job = Job { name: "V-1", targets: &settled.targets, sheet, identity: None, earlier: None, permit };
//! let mut link = VirtualLink::new(locomotive);
//! let mut run = Run::begin(job, Vec::new())?; // or Run::take_up(job, &entries, journal)
//! match run.proceed(&mut link, |event, progress| println!("{event:?} {}/{}", progress.n_done, progress.n_all)) {
//!     Ok(report) => assert!(report.is_fulfilled()),
//!     Err(error) => {
//!         let symptoms = Symptoms::of_error(error, link.tally()).with_report(&run.report());
//!         for suspect in diagnose(&symptoms, &Facts::of_sheet(sheet, Some(false))) {
//!             println!("{}", suspect.finding(&finding::Path::new("plan.decoder")));
//!         }
//!     }
//! }
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```

#![deny(clippy::disallowed_methods)]

mod acknowledgement;
mod diagnosis;
#[cfg(test)]
mod fake;
mod journal;
mod link;
mod operations;
mod permit;
mod programmer;
mod rails;
mod run;
mod standard;
mod strategy;

pub use acknowledgement::{Answer, AnswerKind, Confidence, Evidence, Excess};
pub use diagnosis::{Cause, CauseText, Facts, Suspect, Symptoms, diagnose, examine, explain_cause};
pub use journal::{
    Cost, Entry, JOURNAL_VERSION, Journal, JournalError, PlaceRecord, PlanKind, ReadJournalError, Recovered,
    StepRecord, WantedRecord, read_journal,
};
pub use link::{Act, Contact, Link, LinkError, Outcome, Tally, VirtualLink, WayOut};
pub use operations::{MainTrack, OperationsError};
pub use permit::{Held, Overridden, Permit};
pub use programmer::{PageStage, PowerOnReading, PowerOnState, Programmer, RailPurpose, RailTime};
pub use rails::{Rails, SAMPLE_MICROSECONDS};
pub use run::{
    Disturbed, Doubt, Event, Job, Part, Progress, RailTimes, Report, Run, RunError, Standing, TakeUpError,
    TargetReport, Verdict,
};
pub use strategy::{Content, Identity, IdentityError, Reading, plain_read_time, read};
