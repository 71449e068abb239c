//! Permits: nothing puts power on a track unless somebody said so.
//!
//! What it is: a value that only a deliberate call makes, from the findings of the job and the stops that were overridden
//! with a reason. Every act that energises a track asks for it.
//! What it is not: the rules; those make the findings.
//!
//! Source: ours (the design's eighth principle).

use finding::{Finding, Severity};
use serde::{Deserialize, Serialize};

/// Leave to put power on a track, with the stops that somebody took upon themselves.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Permit {
    overridden: Vec<Overridden>,
}

/// A stop that somebody took upon themselves.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct Overridden {
    /// The name of the rule that says stop.
    pub rule: String,
    /// Why it may be set aside.
    pub reason: String,
}

/// Why no power may be put on: stops that nobody mended or overrode.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[error(
    "no power may be put on the track before these are mended, or overridden with a reason: {}",
    rules(stops)
)]
pub struct Held {
    /// The findings that say stop.
    pub stops: Vec<Finding>,
}

fn rules(stops: &[Finding]) -> String {
    stops.iter().map(|stop| stop.rule).collect::<Vec<_>>().join(", ")
}

impl Permit {
    /// The permit for a job with these findings, where every stop has an override that gives a reason.
    ///
    /// # Errors
    /// The stops without one.
    pub fn for_job(findings: &[Finding], overrides: &[Overridden]) -> Result<Self, Held> {
        let overriding = |stop: &Finding| {
            overrides.iter().find(|entry| entry.rule == stop.rule && !entry.reason.trim().is_empty()).cloned()
        };
        let stops = findings.iter().filter(|finding| finding.severity == Severity::Stop);
        let mut overridden: Vec<Overridden> = Vec::new();
        let mut held = Vec::new();
        for stop in stops {
            match overriding(stop) {
                Some(entry) if overridden.contains(&entry) => {}
                Some(entry) => overridden.push(entry),
                None => held.push(stop.clone()),
            }
        }
        if held.is_empty() { Ok(Self { overridden }) } else { Err(Held { stops: held }) }
    }

    /// The permit for rails that no job stands behind: a bench of the trade alone on the track, for practice or tests.
    #[must_use]
    pub fn without_job() -> Self {
        Self { overridden: Vec::new() }
    }

    /// The stops that somebody took upon themselves.
    #[must_use]
    pub fn overridden(&self) -> &[Overridden] {
        &self.overridden
    }
}

#[cfg(test)]
mod tests {
    use finding::{Finding, Severity};

    use super::{Overridden, Permit};

    fn entry(rule: &str, reason: &str) -> Overridden {
        Overridden { rule: rule.to_owned(), reason: reason.to_owned() }
    }

    #[test]
    fn a_stop_holds_until_it_is_overridden_with_a_reason() {
        let findings = [
            Finding::new("motor-not-isolated", Severity::Stop, "motor touches the frame"),
            Finding::new("speaker-overloaded", Severity::Rework, "speaker B gets too much"),
        ];
        let held = Permit::for_job(&findings, &[]).unwrap_err();
        assert_eq!(
            held.to_string(),
            "no power may be put on the track before these are mended, or overridden with a reason: motor-not-isolated"
        );
        assert!(
            Permit::for_job(&findings, &[entry("motor-not-isolated", " ")]).is_err(),
            "a reason is wanted"
        );
        assert!(Permit::for_job(&findings, &[entry("speaker-overloaded", "small room")]).is_err());
        let permit = Permit::for_job(&findings, &[entry("motor-not-isolated", "decoder is out")]).unwrap();
        assert_eq!(permit.overridden(), [entry("motor-not-isolated", "decoder is out")]);
        assert!(Permit::for_job(&findings[1..], &[]).unwrap().overridden().is_empty());
    }
}
