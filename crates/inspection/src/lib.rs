//! The engine: documents in, answers and findings out.
//!
//! What it is: [`inspect`], a pure function from a [`Job`] (an order, the shelf, its train) to [`Answers`] (what follows
//! from the facts) and findings (what is wrong or open), and the catalogue of the rules that make them.
//! What it is not: a reader of files, a view, a memory. It has no clock and no state, and is quick enough to be asked
//! after every keystroke.

#![cfg_attr(not(test), deny(clippy::disallowed_methods))]

mod answers;
mod catalogue;
mod failures;
mod job;
mod rule;
mod rules;

#[cfg(test)]
mod tests;

use finding::Finding;

pub use answers::{
    Answers, Budget, Connection, ConsistKeys, Fit, Joints, LampAnswer, Leak, Network, Opposition, OutputLoad,
    SoundAnswer, SpeakerBack, SpeakerShare, UnitAnswer, WiringState,
};
pub use catalogue::{Coverage, coverage, coverage_page, explain, rule_text, rules_page};
pub use job::{Job, LampFacts, TrainPlace};
pub use rule::{Found, Rule, Stage};
pub use rules::rules;

/// What came out of a job's inspection.
#[derive(Debug, Clone)]
pub struct Inspection {
    /// What follows from the facts.
    pub answers: Answers,
    /// What is wrong or open, gravest first.
    pub findings: Vec<Finding>,
}

impl Inspection {
    /// The stops that nobody has taken upon themselves with a written reason: as long as there is one, nothing is powered
    /// or programmed.
    #[must_use]
    pub fn stops(&self, order: &workorder::WorkOrder) -> Vec<&Finding> {
        let is_overridden =
            |finding: &Finding| order.r#override.iter().any(|entry| entry.rule.as_str() == finding.rule);
        let is_stop =
            |finding: &&Finding| finding.severity == finding::Severity::Stop && !is_overridden(finding);
        self.findings.iter().filter(is_stop).collect()
    }
}

/// Computes the answers of a job and judges it by every rule.
#[must_use]
pub fn inspect(job: &Job<'_>) -> Inspection {
    let answers = Answers::of(job);
    let mut findings = Vec::new();
    for rule in rules() {
        rule.apply(job, &answers, &mut findings);
    }
    finding::arrange(&mut findings);
    Inspection { answers, findings }
}
