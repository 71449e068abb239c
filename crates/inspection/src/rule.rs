//! What a rule is.

use finding::{Finding, Severity};

use crate::answers::Answers;
use crate::job::Job;

/// The stage of the work at which a rule speaks.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Stage {
    /// Taking it in, looking at it and measuring it.
    Survey,
    /// Choosing parts and planning wires.
    Plan,
    /// Cold, before any power.
    ColdChecks,
    /// The first time on the programming track.
    FirstContact,
    /// Sounds, levels, lamps, keys, momentum.
    VoiceAndManners,
    /// Running with others.
    Train,
}

impl Stage {
    /// All of them, in the order of the work.
    pub const ALL: [Stage; 6] = [
        Stage::Survey,
        Stage::Plan,
        Stage::ColdChecks,
        Stage::FirstContact,
        Stage::VoiceAndManners,
        Stage::Train,
    ];

    /// The words that views show.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::Survey => "survey",
            Self::Plan => "plan",
            Self::ColdChecks => "cold checks",
            Self::FirstContact => "first contact",
            Self::VoiceAndManners => "voice and manners",
            Self::Train => "train",
        }
    }
}

/// One rule: its texts, which are the catalogue, and its check.
#[derive(Debug)]
pub struct Rule {
    /// Its name in plain words, its identity: never reused for another meaning.
    pub name: &'static str,
    /// The stage at which it speaks.
    pub stage: Stage,
    /// The gravest severity of its findings.
    pub severity: Severity,
    /// Rows of the sixty usual failures that it would have caught.
    pub rows: &'static [u8],
    /// What it checks, in one or two sentences.
    pub checks: &'static str,
    /// Why that matters.
    pub matters: &'static str,
    /// An example with numbers.
    pub example: &'static str,
    /// The usual cure.
    pub cure: &'static str,
    /// Its source: document and section, "common practice" or "from memory".
    pub source: &'static str,
    /// The check.
    pub check: fn(&Job<'_>, &Answers, &mut Found<'_>),
}

impl Rule {
    /// Runs the check.
    pub(crate) fn apply(&'static self, job: &Job<'_>, answers: &Answers, findings: &mut Vec<Finding>) {
        (self.check)(job, answers, &mut Found { rule: self, findings });
    }
}

/// Where a rule puts its findings; it gives them the rule's name and source.
#[derive(Debug)]
pub struct Found<'a> {
    rule: &'static Rule,
    findings: &'a mut Vec<Finding>,
}

impl Found<'_> {
    /// A finding of the rule's own severity.
    pub fn add(&mut self, headline: impl Into<String>, build: impl FnOnce(Finding) -> Finding) {
        self.add_as(self.rule.severity, headline, build);
    }

    /// A finding of a milder severity.
    pub fn add_as(
        &mut self,
        severity: Severity,
        headline: impl Into<String>,
        build: impl FnOnce(Finding) -> Finding,
    ) {
        debug_assert!(severity >= self.rule.severity, "the catalogue tells a rule's gravest severity");
        let finding = Finding::new(self.rule.name, severity, headline).source(self.rule.source);
        self.findings.push(build(finding));
    }
}
