//! How much time is left of a run, from the time that its acts took on the rails so far.
//!
//! What it is: each part's mean time of an act times the acts that are left of it. Before the plan is made nobody knows how much
//! will be written; then every setting that is wanted counts.
//! What it is not: a promise. A CV that answers the first guess takes a tenth of one that must be read bit by bit.
//!
//! Source: ours.

use std::time::Duration;

use track::{Event, Part, Progress};

/// What is known of a run's pace.
#[derive(Debug)]
pub(super) struct Estimate {
    /// How many CVs are wanted as something, and so are proven; the plan writes at most those.
    n_targets: usize,
    n_to_write: Option<usize>,
    reading: Pace,
    writing: Pace,
    proving: Pace,
    last: Duration,
}

/// Time and number of the acts of a part.
#[derive(Debug, Default)]
struct Pace {
    spent: Duration,
    n_acts: u32,
}

impl Pace {
    fn mean(&self) -> Option<Duration> {
        (self.n_acts > 0).then(|| self.spent / self.n_acts)
    }

    fn take(&mut self, time: Duration) {
        self.spent += time;
        self.n_acts += 1;
    }
}

impl Estimate {
    pub(super) fn new(n_targets: usize) -> Self {
        Self {
            n_targets,
            n_to_write: None,
            reading: Pace::default(),
            writing: Pace::default(),
            proving: Pace::default(),
            last: Duration::ZERO,
        }
    }

    /// Takes an act in; `on_rails` is the run's whole time on the rails so far.
    pub(super) fn take(&mut self, event: &Event, on_rails: Duration) {
        let time = on_rails.saturating_sub(self.last);
        self.last = on_rails;
        match event {
            Event::CvRead { .. } => self.reading.take(time),
            Event::Planned { n_steps, .. } => self.n_to_write = Some(*n_steps),
            Event::CvWritten { .. } | Event::CvRefused { .. } | Event::PageSelected { .. } => {
                self.writing.take(time);
            }
            Event::CvProved { .. } => self.proving.take(time),
            _ => {}
        }
    }

    /// What is left; none before the first CV was read.
    pub(super) fn left(&self, progress: Progress) -> Option<Duration> {
        let read = self.reading.mean().or_else(|| self.proving.mean())?;
        let write = self.writing.mean().unwrap_or(read);
        let prove = self.proving.mean().unwrap_or(read);
        let times = |mean: Duration, n: usize| mean * u32::try_from(n).unwrap_or(u32::MAX);
        let left = progress.n_all.saturating_sub(progress.n_done);
        // Everything that was read before is read back, what was wanted and what was not.
        let n_read = usize::try_from(self.reading.n_acts).unwrap_or(usize::MAX).max(self.n_targets);
        Some(match progress.part {
            Part::Reading => {
                let n_to_write = self.n_to_write.unwrap_or(self.n_targets);
                times(read, left) + times(write, n_to_write) + times(prove, n_read.max(progress.n_all))
            }
            Part::Writing => times(write, left) + times(prove, n_read),
            Part::Proving => times(prove, left),
            Part::Closing | Part::Over => Duration::ZERO,
        })
    }
}

#[cfg(test)]
mod tests {
    use std::time::Duration;

    use datasheets::CvPlace;
    use track::{Content, Event, Part, Progress};

    use super::Estimate;

    const PLACE: CvPlace = CvPlace { page: None, cv: 3 };

    #[test]
    fn what_is_left_goes_down_to_nothing() {
        let seconds = Duration::from_secs;
        let mut estimate = Estimate::new(2);
        let at = |part, n_done, n_all| Progress { part, n_done, n_all };
        assert_eq!(estimate.left(at(Part::Reading, 0, 4)), None);
        estimate.take(&Event::CvRead { place: PLACE, content: Content::Value(3) }, seconds(2));
        // Three more to read, two to write at most, four to prove, each of two seconds.
        assert_eq!(estimate.left(at(Part::Reading, 1, 4)), Some(seconds(18)));
        estimate.take(&Event::Planned { kind: track::PlanKind::Program, n_steps: 1 }, seconds(8));
        estimate.take(&Event::CvWritten { place: PLACE, value: 4 }, seconds(9));
        assert_eq!(estimate.left(at(Part::Writing, 1, 1)), Some(seconds(4)));
        estimate.take(&Event::CvProved { place: PLACE, content: Content::Value(4) }, seconds(10));
        assert_eq!(estimate.left(at(Part::Proving, 1, 2)), Some(seconds(1)));
        assert_eq!(estimate.left(at(Part::Over, 1, 1)), Some(seconds(0)));
    }
}
