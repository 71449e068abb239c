//! Findings: what is wrong or open with a job, with the facts it rests on.
//!
//! What it is: the type that every rule makes and every view draws, and its plain-text form.
//! What it is not: an error. "We could not" is a `Result`; a bad job is normal input and makes findings.
//!
//! ```
//! use finding::{Finding, Path, Severity};
//! let finding = Finding::new("speaker-overloaded", Severity::Rework, "speaker B gets 1.9 W; it is rated 0.5 W")
//!     .at(Path::new("survey.speaker.B.part"))
//!     .because("the amplifier reaches 3.87 V into 7.5 ohm")
//!     .remedy("put both speakers in series, or lower the master level")
//!     .source("IEC 60268-5 clause 18");
//! assert!(finding.to_string().starts_with("rework: speaker B gets 1.9 W"));
//! ```

mod path;

use std::fmt;

pub use path::Path;

/// How much a finding matters, gravest first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Severity {
    /// Do not power: something will be damaged or somebody hurt.
    Stop,
    /// It will disappoint or wear.
    Rework,
    /// A fact is missing; the remedy is how to get it.
    Open,
    /// Good to know.
    Note,
}

impl Severity {
    /// All of them, gravest first.
    pub const ALL: [Severity; 4] = [Severity::Stop, Severity::Rework, Severity::Open, Severity::Note];

    /// The word that views show.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Stop => "stop",
            Self::Rework => "rework",
            Self::Open => "open",
            Self::Note => "note",
        }
    }
}

impl fmt::Display for Severity {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.word())
    }
}

/// What is wrong or open, where, why, and what to do.
#[derive(Debug, Clone, PartialEq)]
pub struct Finding {
    /// The rule's name, its identity: `speakers-in-opposition`. Never reused for another meaning.
    pub rule: &'static str,
    /// How much it matters.
    pub severity: Severity,
    /// One line that stands alone, with the numbers.
    pub headline: String,
    /// The facts it rests on, the one to mend first.
    pub places: Vec<Path>,
    /// Why: numbers with units, each a sentence without full stop.
    pub reasons: Vec<String>,
    /// What to do about it.
    pub remedy: String,
    /// The rule's source: document and section, "common practice", or "from memory".
    pub source: &'static str,
}

impl Finding {
    /// A finding with its headline; the rest is added by the methods below.
    #[must_use]
    pub fn new(rule: &'static str, severity: Severity, headline: impl Into<String>) -> Self {
        Self {
            rule,
            severity,
            headline: headline.into(),
            places: Vec::new(),
            reasons: Vec::new(),
            remedy: String::new(),
            source: "",
        }
    }

    /// Adds a place; the first added is the one to mend.
    #[must_use]
    pub fn at(mut self, place: Path) -> Self {
        if !self.places.contains(&place) {
            self.places.push(place);
        }
        self
    }

    /// Adds a reason.
    #[must_use]
    pub fn because(mut self, reason: impl Into<String>) -> Self {
        self.reasons.push(reason.into());
        self
    }

    /// Says what to do.
    #[must_use]
    pub fn remedy(mut self, remedy: impl Into<String>) -> Self {
        self.remedy = remedy.into();
        self
    }

    /// Names the rule's source.
    #[must_use]
    pub fn source(mut self, source: &'static str) -> Self {
        self.source = source;
        self
    }
}

/// The plain form: severity and headline, then places, reasons, remedy and source on lines of their own.
impl fmt::Display for Finding {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}: {} [{}]", self.severity, self.headline, self.rule)?;
        for place in &self.places {
            write!(f, "\n  at {place}")?;
        }
        for reason in &self.reasons {
            write!(f, "\n  because {reason}")?;
        }
        if !self.remedy.is_empty() {
            write!(f, "\n  remedy: {}", self.remedy)?;
        }
        if !self.source.is_empty() {
            write!(f, "\n  source: {}", self.source)?;
        }
        Ok(())
    }
}

/// Sorts findings as views show them: gravest first, then by rule, then by place; equal ones are dropped.
pub fn arrange(findings: &mut Vec<Finding>) {
    findings.sort_by(|left, right| {
        (left.severity, left.rule, &left.places, &left.headline).cmp(&(
            right.severity,
            right.rule,
            &right.places,
            &right.headline,
        ))
    });
    findings.dedup();
}

#[cfg(test)]
mod tests {
    use super::{Finding, Path, Severity, arrange};

    #[test]
    fn arranged_by_gravity_without_doubles() {
        let note = Finding::new("a-note", Severity::Note, "n");
        let stop = Finding::new("z-stop", Severity::Stop, "s").at(Path::new("survey.motor"));
        let mut findings = vec![note.clone(), stop.clone(), stop.clone()];
        arrange(&mut findings);
        assert_eq!(findings, [stop, note]);
    }

    #[test]
    fn plain_form() {
        let finding = Finding::new("motor-not-isolated", Severity::Stop, "motor touches the frame: 3 ohm")
            .at(Path::new("survey.motor-to-frame"))
            .at(Path::new("survey.motor-to-frame"))
            .because("below 1 kohm counts as a connection")
            .remedy("insulate the brush")
            .source("common practice");
        assert_eq!(
            finding.to_string(),
            "stop: motor touches the frame: 3 ohm [motor-not-isolated]\n  at survey.motor-to-frame\n  \
             because below 1 kohm counts as a connection\n  remedy: insulate the brush\n  source: common practice"
        );
    }
}
