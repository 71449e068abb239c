//! Runs under way in this program.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Arc, Condvar, Mutex, MutexGuard, PoisonError};
use std::time::{Duration, Instant};

use finding::Finding;
use ledger::{DocumentId, RunId};

use super::view::RunProgress;

/// All runs under way, and why those stopped that did not come to an end.
#[derive(Debug, Default)]
pub(super) struct LiveRuns {
    runs: Mutex<Runs>,
    has_ended: Condvar,
}

#[derive(Debug, Default)]
struct Runs {
    live: BTreeMap<RunId, Arc<Live>>,
    /// Orders of which a run is about to begin or under way.
    busy: BTreeSet<DocumentId>,
    stopped: BTreeMap<RunId, Stopped>,
    /// Runs no longer under way of which not everybody was told yet.
    leaving: BTreeSet<RunId>,
}

/// Why a run stopped that did not come to an end, as far as that is known here.
#[derive(Debug, Clone, Default)]
pub(super) struct Stopped {
    /// What to do about it.
    pub(super) help: Option<&'static str>,
    /// What may be behind it, the best first.
    pub(super) suspects: Vec<Finding>,
}

/// One run under way.
#[derive(Debug, Default)]
pub(super) struct Live {
    /// Who wants it cancelled.
    cancelled_by: Mutex<Option<String>>,
    /// Whether the program is about to end.
    is_to_stop: AtomicBool,
    woken: Condvar,
    progress: Mutex<Option<RunProgress>>,
}

impl Live {
    pub(super) fn progress(&self) -> Option<RunProgress> {
        self.progress.lock().unwrap_or_else(PoisonError::into_inner).clone()
    }

    pub(super) fn set_progress(&self, progress: RunProgress) {
        *self.progress.lock().unwrap_or_else(PoisonError::into_inner) = Some(progress);
    }

    pub(super) fn cancel(&self, by: &str) {
        *self.cancelled_by.lock().unwrap_or_else(PoisonError::into_inner) = Some(by.to_owned());
        self.woken.notify_all();
    }

    /// Who wants it cancelled, once.
    pub(super) fn take_cancelled(&self) -> Option<String> {
        self.cancelled_by.lock().unwrap_or_else(PoisonError::into_inner).take()
    }

    pub(super) fn is_to_stop(&self) -> bool {
        self.is_to_stop.load(Ordering::Acquire)
    }

    fn stop(&self) {
        self.is_to_stop.store(true, Ordering::Release);
        // The lock is taken so that whoever looks at the flag and then sleeps does not miss the call.
        drop(self.cancelled_by.lock().unwrap_or_else(PoisonError::into_inner));
        self.woken.notify_all();
    }

    /// Lets time pass, unless somebody wants the run cancelled or stopped.
    pub(super) fn rest(&self, time: Duration) {
        let until = Instant::now() + time;
        let mut cancelled = self.cancelled_by.lock().unwrap_or_else(PoisonError::into_inner);
        while cancelled.is_none() && !self.is_to_stop() {
            let left = until.saturating_duration_since(Instant::now());
            if left.is_zero() {
                return;
            }
            cancelled = self.woken.wait_timeout(cancelled, left).unwrap_or_else(PoisonError::into_inner).0;
        }
    }
}

impl LiveRuns {
    fn lock(&self) -> MutexGuard<'_, Runs> {
        self.runs.lock().unwrap_or_else(PoisonError::into_inner)
    }

    pub(super) fn get(&self, run: RunId) -> Option<Arc<Live>> {
        self.lock().live.get(&run).cloned()
    }

    /// What is known about a run that stopped here.
    pub(super) fn stopped(&self, run: RunId) -> Stopped {
        self.lock().stopped.get(&run).cloned().unwrap_or_default()
    }

    /// Takes an order for a run that is about to begin; none where another run has it.
    pub(super) fn take(&self, order: DocumentId) -> Option<Place<'_>> {
        let is_free = self.lock().busy.insert(order);
        is_free.then_some(Place { runs: self, order, is_kept: false })
    }

    /// Notes that a run is over or stopped. Whoever waits for it goes on waiting until it [`Self::left`].
    pub(super) fn end(&self, order: DocumentId, run: RunId, stopped: Stopped) {
        let mut runs = self.lock();
        runs.live.remove(&run);
        runs.busy.remove(&order);
        runs.leaving.insert(run);
        if stopped.help.is_some() {
            runs.stopped.insert(run, stopped);
        }
    }

    /// Notes that everybody was told that a run is over or stopped.
    pub(super) fn left(&self, run: RunId) {
        self.lock().leaving.remove(&run);
        self.has_ended.notify_all();
    }

    /// Waits until a run is no longer under way here.
    pub(super) fn wait_for(&self, run: RunId) {
        let mut runs = self.lock();
        while runs.live.contains_key(&run) || runs.leaving.contains(&run) {
            runs = self.has_ended.wait(runs).unwrap_or_else(PoisonError::into_inner);
        }
    }

    /// Stops all runs between two acts and waits until they have.
    pub(super) fn stop_all(&self) {
        let mut runs = self.lock();
        runs.live.values().for_each(|live| live.stop());
        while !(runs.live.is_empty() && runs.leaving.is_empty()) {
            runs = self.has_ended.wait(runs).unwrap_or_else(PoisonError::into_inner);
        }
    }
}

/// An order taken for a run. Given back when it is dropped before the run has begun.
#[derive(Debug)]
pub(super) struct Place<'a> {
    runs: &'a LiveRuns,
    order: DocumentId,
    is_kept: bool,
}

impl Place<'_> {
    /// The run has begun.
    pub(super) fn keep(mut self, run: RunId) -> Arc<Live> {
        let live = Arc::new(Live::default());
        let mut runs = self.runs.lock();
        runs.live.insert(run, Arc::clone(&live));
        runs.stopped.remove(&run);
        drop(runs);
        self.is_kept = true;
        live
    }
}

impl Drop for Place<'_> {
    fn drop(&mut self) {
        if !self.is_kept {
            self.runs.lock().busy.remove(&self.order);
        }
    }
}
