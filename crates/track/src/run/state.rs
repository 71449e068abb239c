//! The state of a run: nothing but its entries, folded.
//!
//! A live run and one that is taken up go through the same fold, so that both stand at the same place.

use std::collections::{BTreeMap, BTreeSet};

use cvplan::Image;
use datasheets::CvPlace;

use super::error::TakeUpError;
use super::report::RailTimes;
use crate::acknowledgement::Evidence;
use crate::journal::{Entry, PlanKind, StepRecord, WantedRecord};
use crate::permit::Overridden;
use crate::programmer::PowerOnReading;
use crate::standard::{LOCK_KEY, MANUFACTURER, PAGE_HIGH, PAGE_LOW, VERSION, changed_by_writing, plain};
use crate::strategy::{Content, Identity};

/// Registers that a run changes to get at others, and puts back at the end: lock and page.
pub(super) const HOUSEKEEPING: [CvPlace; 3] = [plain(LOCK_KEY), plain(PAGE_HIGH), plain(PAGE_LOW)];
/// CV30, which a decoder changes by itself (RCN-225: error information, dynamic).
const DYNAMIC: CvPlace = CvPlace { page: None, cv: 30 };

#[derive(Debug, Clone)]
pub(super) struct State {
    pub(super) job: String,
    pub(super) decoder: String,
    pub(super) wanted: Vec<WantedRecord>,
    pub(super) to_read: Vec<CvPlace>,
    pub(super) overridden: Vec<Overridden>,
    pub(super) power_on: Option<PowerOnReading>,
    pub(super) identity: Option<Identity>,
    /// What was read before anything was written.
    pub(super) read: BTreeMap<CvPlace, Content>,
    pub(super) snapshot: Option<Image>,
    /// What the decoder holds now, as far as is known.
    pub(super) known: Image,
    /// CVs whose content is not sure until they are asked: a write is under way, or the standard lets another write
    /// change them.
    pub(super) uncertain: BTreeSet<CvPlace>,
    pub(super) plan: Option<Plan>,
    /// The steps that were to meet the wishes, kept when another plan is made to undo them.
    pub(super) program: Vec<StepRecord>,
    pub(super) is_proving: bool,
    pub(super) proved: BTreeMap<CvPlace, (Content, Option<Evidence>)>,
    /// Housekeeping registers that were written.
    pub(super) touched: BTreeSet<CvPlace>,
    pub(super) unverified: Vec<u16>,
    pub(super) ending: Ending,
    pub(super) is_closed: bool,
    pub(super) is_finished: bool,
    pub(super) rail_times: RailTimes,
}

/// What the run is heading for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Ending {
    Programmed,
    Cancelled { reason: String },
    Undone { reason: String },
}

#[derive(Debug, Clone)]
pub(super) struct Plan {
    pub(super) kind: PlanKind,
    pub(super) steps: Vec<PlannedStep>,
}

#[derive(Debug, Clone)]
pub(super) struct PlannedStep {
    pub(super) record: StepRecord,
    pub(super) progress: StepProgress,
    pub(super) evidence: Option<Evidence>,
}

#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum StepProgress {
    Open,
    InFlight,
    Done { n_writes: u32 },
    Refused { holds: Content },
}

/// What comes next.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Next {
    Read(CvPlace),
    TakeSnapshot,
    Plan,
    Step(usize),
    BeginProof,
    Prove(CvPlace),
    Close,
    Finish,
    Nothing,
}

impl Next {
    /// Whether the decoder must be there for it. Closing needs it only when something is to be put back.
    pub(super) fn needs_decoder(self, state: &State) -> bool {
        match self {
            Self::Read(_) | Self::Step(_) | Self::Prove(_) => true,
            Self::Close => !state.touched.is_empty(),
            Self::TakeSnapshot | Self::Plan | Self::BeginProof | Self::Finish | Self::Nothing => false,
        }
    }
}

impl State {
    /// The state after the first entry, which must be [`Entry::Begun`].
    fn begin(entry: &Entry) -> Option<Self> {
        let Entry::Begun { job, decoder, wanted, to_read, overridden } = entry else { return None };
        Some(Self {
            job: job.clone(),
            decoder: decoder.clone(),
            wanted: wanted.clone(),
            to_read: to_read.iter().map(|record| (*record).into()).collect(),
            overridden: overridden.clone(),
            power_on: None,
            identity: None,
            read: BTreeMap::new(),
            snapshot: None,
            known: Image::new(),
            uncertain: BTreeSet::new(),
            plan: None,
            program: Vec::new(),
            is_proving: false,
            proved: BTreeMap::new(),
            touched: BTreeSet::new(),
            unverified: Vec::new(),
            ending: Ending::Programmed,
            is_closed: false,
            is_finished: false,
            rail_times: RailTimes::default(),
        })
    }

    /// The state after all these entries.
    ///
    /// # Errors
    /// [`TakeUpError::NothingBegun`] for none, and [`TakeUpError::Inconsistent`] for entries that no run writes in this
    /// order.
    pub(super) fn after(entries: &[Entry]) -> Result<Self, TakeUpError> {
        let Some((first, rest)) = entries.split_first() else { return Err(TakeUpError::NothingBegun) };
        let inconsistent = |index: usize| TakeUpError::Inconsistent { entry: index + 1 };
        let mut state = Self::begin(first).ok_or(inconsistent(0))?;
        for (index, entry) in rest.iter().enumerate() {
            state.apply(entry).ok_or(inconsistent(index + 1))?;
        }
        Ok(state)
    }

    /// Takes an entry in; none for one that cannot come here.
    pub(super) fn apply(&mut self, entry: &Entry) -> Option<()> {
        self.rail_times.take(entry);
        match entry {
            Entry::Begun { .. } => return None,
            Entry::Connected { power_on, .. } => self.power_on = *power_on,
            Entry::Recognised { .. } | Entry::Interrupted { .. } => {}
            Entry::Identified { identity, .. } => self.identity = Some(*identity),
            Entry::Read { place, content, .. } => {
                if self.snapshot.is_some() {
                    return None;
                }
                let place = CvPlace::from(*place);
                self.learn(place, content);
                self.read.insert(place, content.clone());
            }
            Entry::SnapshotTaken { .. } => {
                let values = self.read.iter().filter_map(|(place, content)| Some((*place, content.value()?)));
                self.snapshot = Some(values.collect());
            }
            Entry::Planned { kind, steps } => self.plan(*kind, steps)?,
            Entry::Setting { cv, .. } => {
                let place = CvPlace { page: None, cv: *cv };
                self.touched.insert(place);
                self.uncertain.insert(place);
            }
            Entry::Set { cv, value, .. } => {
                self.learn(CvPlace { page: None, cv: *cv }, &Content::Value(*value))
            }
            Entry::Writing { step } => {
                self.step_mut(*step)?.progress = StepProgress::InFlight;
                if let Some((place, _)) = self.aim(*step) {
                    self.uncertain.extend(changed_by_writing(place));
                    self.touched.extend(HOUSEKEEPING.contains(&place).then_some(place));
                }
            }
            Entry::Written { step, n_writes, evidence, .. } => {
                let planned = self.step_mut(*step)?;
                planned.progress = StepProgress::Done { n_writes: *n_writes };
                planned.evidence = *evidence;
                if let Some((place, value)) = self.aim(*step) {
                    self.learn(place, &Content::Value(value));
                }
            }
            Entry::Refused { step, holds, .. } => {
                self.step_mut(*step)?.progress = StepProgress::Refused { holds: holds.clone() };
                if let Some((place, _)) = self.aim(*step) {
                    self.learn(place, holds);
                }
            }
            Entry::Proving { .. } => self.is_proving = true,
            Entry::Proved { place, content, evidence, .. } => {
                let place = CvPlace::from(*place);
                self.learn(place, content);
                self.proved.insert(place, (content.clone(), *evidence));
            }
            Entry::Closed { unverified, .. } => {
                self.is_closed = true;
                self.unverified.clone_from(unverified);
            }
            Entry::Finished => self.is_finished = true,
            Entry::Cancelled { reason } => {
                self.ending = Ending::Cancelled { reason: reason.clone() };
                self.reopen();
            }
            Entry::Undoing { reason } => {
                self.ending = Ending::Undone { reason: reason.clone() };
                self.reopen();
            }
            Entry::TakenUp => self.retry_refused(),
        }
        Some(())
    }

    /// What comes next.
    pub(super) fn next(&self) -> Next {
        if self.is_finished {
            return Next::Nothing;
        }
        let closing = if self.is_closed { Next::Finish } else { Next::Close };
        match self.ending {
            Ending::Cancelled { .. } => return closing,
            // Nothing was planned, so nothing was written but housekeeping.
            Ending::Undone { .. } if self.program.is_empty() => return closing,
            Ending::Undone { .. } | Ending::Programmed => {}
        }
        if self.snapshot.is_none() {
            let unread = self.to_read.iter().find(|place| !self.read.contains_key(place));
            return unread.map_or(Next::TakeSnapshot, |place| Next::Read(*place));
        }
        let Some(plan) = self.plan.as_ref().filter(|plan| plan.kind == self.kind()) else {
            return Next::Plan;
        };
        let is_waiting =
            |step: &PlannedStep| matches!(step.progress, StepProgress::Open | StepProgress::InFlight);
        if let Some(index) = plan.steps.iter().position(is_waiting) {
            return Next::Step(index);
        }
        if !self.is_proving {
            return Next::BeginProof;
        }
        let unproved = self.places_to_prove().into_iter().find(|place| !self.proved.contains_key(place));
        unproved.map_or(closing, Next::Prove)
    }

    /// What the plan in force is for.
    pub(super) fn kind(&self) -> PlanKind {
        match self.ending {
            Ending::Undone { .. } => PlanKind::Undo,
            Ending::Programmed | Ending::Cancelled { .. } => PlanKind::Program,
        }
    }

    /// What the CVs shall hold at the end, by place: the wishes, or what the plan to undo brings back.
    pub(super) fn aims(&self) -> BTreeMap<CvPlace, WantedRecord> {
        if self.kind() == PlanKind::Program {
            return self.wanted.iter().map(|wanted| (wanted.place.into(), wanted.clone())).collect();
        }
        let steps = self.plan.iter().flat_map(|plan| &plan.steps);
        let aims = steps.filter_map(|step| step.record.aim());
        aims.filter(|(place, _)| !HOUSEKEEPING.contains(place))
            .map(|(place, value)| {
                let because = vec![(String::new(), "as it was".to_owned())];
                (place, WantedRecord { place: place.into(), mask: u8::MAX, value, because })
            })
            .collect()
    }

    /// CVs that were read, are not wanted otherwise, and must not have changed. Those that say who the decoder is were
    /// compared when it was switched on.
    pub(super) fn bystanders(&self) -> Vec<CvPlace> {
        let aims = self.aims();
        let is_identity = |place: &CvPlace| [plain(MANUFACTURER), plain(VERSION)].contains(place);
        let known = self.snapshot.iter().flat_map(Image::iter).map(|(place, _)| place);
        known
            .filter(|place| !aims.contains_key(place) && !is_identity(place))
            .filter(|place| !HOUSEKEEPING.contains(place) && *place != DYNAMIC)
            .collect()
    }

    fn places_to_prove(&self) -> BTreeSet<CvPlace> {
        self.aims().into_keys().chain(self.bystanders()).collect()
    }

    /// Plain CVs by which the decoder can be told from another of its kind.
    pub(super) fn telling(&self) -> Vec<(CvPlace, u8)> {
        let is_changing = |place: &CvPlace| HOUSEKEEPING.contains(place) || *place == DYNAMIC;
        self.known
            .iter()
            .filter(|(place, _)| {
                place.page.is_none() && !is_changing(place) && !self.uncertain.contains(place)
            })
            .filter(|(place, _)| ![plain(MANUFACTURER), plain(VERSION)].contains(place))
            .collect()
    }

    /// Whether any CV is seen through a page.
    pub(super) fn needs_pages(&self) -> bool {
        self.to_read.iter().any(|place| place.page.is_some())
    }

    /// What a housekeeping register shall hold at the end.
    pub(super) fn resting_value(&self, place: CvPlace) -> Option<u8> {
        let was = self.read.get(&place).and_then(Content::value)?;
        let wish = self.wanted.iter().find(|wanted| CvPlace::from(wanted.place) == place);
        let wish = wish.filter(|_| self.ending == Ending::Programmed);
        Some(wish.map_or(was, |wanted| wanted.merged(was)))
    }

    /// The steps that the decoder refused, and how many it has taken after being written.
    pub(super) fn refused(&self) -> (Vec<CvPlace>, usize) {
        let steps = || self.plan.iter().flat_map(|plan| &plan.steps);
        let refused = steps().filter(|step| matches!(step.progress, StepProgress::Refused { .. }));
        let places = refused.filter_map(|step| step.record.aim()).map(|(place, _)| place).collect();
        let is_taken = |step: &&PlannedStep| {
            step.record.aim().is_some() && matches!(step.progress, StepProgress::Done { n_writes: 1.. })
        };
        (places, steps().filter(is_taken).count())
    }

    pub(super) fn step(&self, index: usize) -> Option<&PlannedStep> {
        self.plan.as_ref()?.steps.get(index)
    }

    fn plan(&mut self, kind: PlanKind, steps: &[StepRecord]) -> Option<()> {
        self.snapshot.as_ref()?;
        if kind == PlanKind::Program {
            self.program = steps.to_vec();
        }
        let steps = steps.iter().map(|record| PlannedStep {
            record: *record,
            progress: StepProgress::Open,
            evidence: None,
        });
        self.plan = Some(Plan { kind, steps: steps.collect() });
        Some(())
    }

    fn learn(&mut self, place: CvPlace, content: &Content) {
        match content.value() {
            Some(value) => {
                self.known.set(place, value);
                self.uncertain.remove(&place);
            }
            None => drop(self.uncertain.insert(place)),
        }
    }

    fn reopen(&mut self) {
        self.is_proving = false;
        self.proved.clear();
        self.is_closed = false;
        self.is_finished = false;
    }

    fn retry_refused(&mut self) {
        if self.is_proving {
            return;
        }
        for step in self.plan.iter_mut().flat_map(|plan| &mut plan.steps) {
            if matches!(step.progress, StepProgress::Refused { .. }) {
                step.progress = StepProgress::Open;
            }
        }
    }

    fn step_mut(&mut self, index: usize) -> Option<&mut PlannedStep> {
        self.plan.as_mut()?.steps.get_mut(index)
    }

    fn aim(&self, step: usize) -> Option<(CvPlace, u8)> {
        self.step(step)?.record.aim()
    }
}
