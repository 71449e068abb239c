//! Diagnosis: a decoder does not answer, or does not do as it is told; what is the usual cause, and what is the next test?
//!
//! What it is: from [`Symptoms`] (what was measured and what came of it) and [`Facts`] to a ranked list of suspects, each
//! with what fits, what contradicts and how to be sure. [`examine`] looks for symptoms where no run has yet.
//! What it is not: proof. A suspect is a finding that is open until somebody makes the test that it names.
//!
//! Source: the reference text on practice, rows 1, 3, 9, 12, 14, 36 to 42 and 47, and section 2.6.

mod cause;
mod examine;
mod symptoms;
#[cfg(test)]
mod tests;
mod weigh;

use finding::{Finding, Path, Severity};

pub use cause::{Cause, CauseText, explain_cause};
pub use examine::examine;
pub use symptoms::{Facts, Symptoms};

use weigh::Weighed;

/// A cause that fits.
#[derive(Debug, Clone, PartialEq)]
pub struct Suspect {
    /// The cause.
    pub cause: Cause,
    /// How well it fits; 10 is as good as proof, 2 is a hint.
    pub weight: i32,
    /// What speaks for it.
    pub fits: Vec<String>,
    /// What speaks against it.
    pub contradicts: Vec<String>,
}

impl Suspect {
    /// The suspect as a finding: a stop where power would do harm, open otherwise; its remedy is the next test, then the
    /// cure.
    #[must_use]
    pub fn finding(&self, place: &Path) -> Finding {
        let text = self.cause.text();
        let severity = if self.cause.is_dangerous() { Severity::Stop } else { Severity::Open };
        let mut finding =
            Finding::new(text.name, severity, format!("perhaps {}", text.what)).at(place.clone());
        for fit in &self.fits {
            finding = finding.because(fit.clone());
        }
        for contradiction in &self.contradicts {
            finding = finding.because(format!("against it: {contradiction}"));
        }
        finding.remedy(format!("to be sure: {}; then: {}", text.next_test, text.cure)).source(text.source)
    }
}

/// The suspects, the best first. Those that fit equally come in the order of their tests: cheap and safe ones first.
#[must_use]
pub fn diagnose(symptoms: &Symptoms, facts: &Facts) -> Vec<Suspect> {
    let mut suspects: Vec<Suspect> = Cause::ALL
        .into_iter()
        .map(|cause| {
            let Weighed { weight, fits, contradicts } = weigh::weigh(cause, symptoms, facts);
            Suspect { cause, weight, fits, contradicts }
        })
        .filter(|suspect| suspect.weight > 0)
        .collect();
    suspects.sort_by_key(|suspect| -suspect.weight);
    suspects
}
