//! What is known of an order beside its document: stock, snapshots, and what its runs proved.

use std::collections::BTreeMap;
use std::sync::{Arc, Mutex, PoisonError};

use cvplan::Settlement;
use ledger::{DocumentId, Ledger, RunId, RunOutcome};
use track::{Report, Verdict};
use workorder::WorkOrder;

use super::runs::{JournalRead, read_run};
use super::standing::Circumstances;
use crate::desk::CheckedOrder;
use crate::error::ShopError;

/// The journals of ended runs, which never change, read once.
#[derive(Debug, Default)]
pub(super) struct EndedRuns(Mutex<BTreeMap<RunId, Arc<JournalRead>>>);

/// How many are kept in mind.
const MOST_KNOWN: usize = 128;

impl EndedRuns {
    /// A run's journal, from memory where it has ended.
    pub(super) fn read(&self, ledger: &Ledger, run: RunId) -> Result<Arc<JournalRead>, ShopError> {
        let known = self.0.lock().unwrap_or_else(PoisonError::into_inner).get(&run).cloned();
        if let Some(known) = known {
            return Ok(known);
        }
        let read = Arc::new(read_run(ledger, run)?);
        if ledger.run(run)?.ended.is_some() {
            let mut runs = self.0.lock().unwrap_or_else(PoisonError::into_inner);
            if runs.len() >= MOST_KNOWN {
                runs.clear();
            }
            runs.insert(run, Arc::clone(&read));
        }
        Ok(read)
    }

    /// The report of the run that wrote or compared last and came to its end.
    pub(super) fn latest_proof(
        &self,
        ledger: &Ledger,
        order: DocumentId,
    ) -> Result<Option<(RunId, Arc<JournalRead>)>, ShopError> {
        for run in ledger.runs_of(order)? {
            match run.ended {
                Some((RunOutcome::Finished, _)) => return Ok(Some((run.id, self.read(ledger, run.id)?))),
                // What was proven before it holds no longer.
                Some((RunOutcome::Undone, _)) => return Ok(None),
                _ => {}
            }
        }
        Ok(None)
    }

    pub(super) fn circumstances(
        &self,
        ledger: &Ledger,
        order: DocumentId,
        checked: &CheckedOrder,
    ) -> Result<Circumstances, ShopError> {
        let proof = self.latest_proof(ledger, order)?;
        let report = proof.as_ref().and_then(|(_, read)| read.report.as_ref());
        let settlement = checked.inspection.answers.settlement.as_ref();
        Ok(Circumstances {
            missing_parts: missing_parts(ledger, order, &checked.document.value)?,
            has_snapshot: !ledger.snapshots_of(order)?.is_empty(),
            is_proven: report.zip(settlement).is_some_and(|(report, settlement)| proves(report, settlement)),
        })
    }
}

/// Whether a report proves everything that is wanted now.
fn proves(report: &Report, settlement: &Settlement) -> bool {
    settlement.targets.iter().all(|target| {
        report.targets.iter().any(|proved| {
            proved.place == target.place
                && proved.mask == target.mask
                && proved.value == target.value
                && proved.verdict == Verdict::Met
        })
    })
}

/// The parts that an order's plan brings in, each with how many.
pub(super) fn planned_parts(order: &WorkOrder) -> BTreeMap<String, i64> {
    let mut parts = BTreeMap::new();
    let Some(plan) = &order.plan else { return parts };
    let speakers = plan.speaker.iter().flat_map(|speaker| [&speaker.part, &speaker.enclosure]);
    let lamps = plan.lamp.iter().map(|lamp| &lamp.part);
    let named = [&plan.decoder, &plan.keep_alive].into_iter().chain(speakers).chain(lamps).flatten();
    for name in named {
        *parts.entry(name.to_string()).or_insert(0) += 1;
    }
    parts
}

/// The parts of a plan that the stock does not have. A part that nobody ever counted says nothing.
fn missing_parts(ledger: &Ledger, order: DocumentId, document: &WorkOrder) -> Result<Vec<String>, ShopError> {
    let mut missing = Vec::new();
    for (part, wanted) in planned_parts(document) {
        let movements = ledger.movements(&part)?;
        if movements.is_empty() {
            continue;
        }
        let of_order = movements.iter().filter(|movement| movement.document == Some(order));
        let taken: i64 = -of_order.map(|movement| movement.pieces).sum::<i64>();
        let there = ledger.stock_of(&part)?.pieces.max(0) + taken;
        if there < wanted {
            missing.push(format!("{part} ({there} of {wanted})"));
        }
    }
    Ok(missing)
}
