//! The tally: what a link measured since it connected, in sum. A diagnosis needs it, above all when nobody answered.

use crate::acknowledgement::{Answer, AnswerKind, Evidence};

/// What was measured since the link connected.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Tally {
    /// How many questions were put.
    pub n_asked: u32,
    /// How many were acknowledged.
    pub n_acknowledged: u32,
    /// How many came back unclear.
    pub n_unclear: u32,
    /// The acknowledgement with the smallest step.
    pub weakest: Option<Evidence>,
    /// The highest rise of the current that was no acknowledgement.
    pub highest_rise: Option<Evidence>,
    /// The question during which the current fell lowest.
    pub deepest_fall: Option<Evidence>,
}

impl Tally {
    pub(super) fn count(&mut self, answer: &Answer) {
        let Answer { kind, evidence, .. } = *answer;
        self.n_asked += 1;
        match kind {
            AnswerKind::Acknowledged => {
                self.n_acknowledged += 1;
                keep(&mut self.weakest, evidence, |new, old| {
                    new.step_microamperes() < old.step_microamperes()
                });
            }
            AnswerKind::Unstable => self.n_unclear += 1,
            AnswerKind::None
            | AnswerKind::PageUnheard
            | AnswerKind::NoCurrent
            | AnswerKind::OverCurrent(_) => {}
        }
        if kind == AnswerKind::None {
            keep(&mut self.highest_rise, evidence, |new, old| {
                new.step_microamperes() > old.step_microamperes()
            });
        }
        keep(&mut self.deepest_fall, evidence, |new, old| new.fall_microamperes() > old.fall_microamperes());
    }
}

fn keep(place: &mut Option<Evidence>, new: Evidence, is_better: impl Fn(&Evidence, &Evidence) -> bool) {
    if place.as_ref().is_none_or(|old| is_better(&new, old)) {
        *place = Some(new);
    }
}
