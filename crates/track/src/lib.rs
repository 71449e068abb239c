//! The programmer's side of the track.
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
