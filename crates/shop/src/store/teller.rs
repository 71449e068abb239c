//! What lists and searches know about each document, told to the ledger whenever it changes.
//!
//! What it is: titles, findings and lines of the work board, computed at once for the document that was changed, and in the
//! background for those that depend on it: the other units of a train, the orders that name a part.
//! What it is not: needed for anything but lists and searches; every order's own page computes anew.

use std::collections::BTreeSet;
use std::sync::{Condvar, Mutex, PoisonError};
use std::thread;

use finding::Severity;
use ledger::{
    BoardLine, BoardOrder, BoardQuery, DocumentId, Kind, RevisionRecord, SearchQuery, SeverityCounts, Told,
};
use workorder::{Train, WaitsFor, WorkStage};

use super::open::{Store, find};
use super::reading::read;
use super::standing::{is_ticked, waits, waits_with_faults};
use super::view::DocumentKey;
use crate::error::ShopError;

/// Documents that wait to be told about.
#[derive(Debug, Default)]
pub(super) struct Teller {
    queue: Mutex<Queue>,
    is_settled: Condvar,
}

#[derive(Debug, Default)]
struct Queue {
    waiting: BTreeSet<DocumentId>,
    is_working: bool,
}

/// How many orders that name a part are looked at when it changes.
const MOST_USERS: usize = 2_000;
/// How many orders are told anew when a shop is opened: the rules may have changed with the program.
const MOST_ON_OPENING: usize = 300;

impl Store {
    /// Waits until the lines of the work board are those of the shop as it is now. For whoever changes much at once, and then
    /// looks.
    pub fn settle(&self) {
        let teller = &self.inner.teller;
        let mut queue = teller.queue.lock().unwrap_or_else(PoisonError::into_inner);
        while queue.is_working {
            queue = teller.is_settled.wait(queue).unwrap_or_else(PoisonError::into_inner);
        }
    }

    /// Tells about a changed document, and has those told that depend on it.
    pub(super) fn tell_board(
        &self,
        record: &RevisionRecord,
        old_name: Option<&str>,
    ) -> Result<(), ShopError> {
        self.tell_about(record.document)?;
        let mut affected = BTreeSet::new();
        let names: BTreeSet<&str> = old_name.into_iter().chain([record.name.as_str()]).collect();
        match record.kind {
            Kind::Order => {
                let desk = self.desk()?;
                let ledger = self.ledger();
                for train in desk.trains() {
                    if train.unit.iter().any(|unit| names.contains(unit.order.as_str())) {
                        affected.extend(units(&ledger, train)?);
                    }
                }
            }
            Kind::Train => {
                let ledger = self.ledger();
                let texts = [record.parent, Some(record.number)].into_iter().flatten();
                for number in texts {
                    let text = ledger.at(record.document, number)?.text;
                    if let Ok(train) = documents::read::<Train>("train", &text) {
                        affected.extend(units(&ledger, &train.value)?);
                    }
                }
            }
            Kind::Part => {
                let ledger = self.ledger();
                for name in names {
                    let query =
                        SearchQuery { words: name, kind: Some(Kind::Order), offset: 0, limit: MOST_USERS };
                    affected.extend(ledger.search(&query)?.hits.iter().map(|hit| hit.document.id));
                }
            }
            Kind::Dossier | Kind::BenchTruth => {}
        }
        affected.remove(&record.document);
        self.tell_later(affected);
        Ok(())
    }

    /// Has everything told that is not told yet, and the orders that were changed lately told anew.
    pub(super) fn tell_what_is_untold(&self) -> Result<(), ShopError> {
        let ledger = self.ledger();
        let query =
            BoardQuery { waits_for: None, order: BoardOrder::Changed, offset: 0, limit: MOST_ON_OPENING };
        let mut documents: BTreeSet<DocumentId> =
            ledger.board(&query)?.into_iter().map(|row| row.document.id).collect();
        documents.extend(ledger.untold(usize::MAX)?);
        drop(ledger);
        self.tell_later(documents);
        Ok(())
    }

    /// Has documents told about in the background.
    pub(super) fn tell_later(&self, documents: BTreeSet<DocumentId>) {
        if documents.is_empty() {
            return;
        }
        let mut queue = self.inner.teller.queue.lock().unwrap_or_else(PoisonError::into_inner);
        queue.waiting.extend(documents);
        if queue.is_working {
            return;
        }
        queue.is_working = true;
        let store = self.clone();
        let begun = thread::Builder::new().name("board".to_owned()).spawn(move || store.work_off());
        if begun.is_err() {
            // Without a thread lists stay behind until the next change; nothing else depends on them.
            queue.is_working = false;
        }
    }

    fn work_off(&self) {
        let teller = &self.inner.teller;
        loop {
            let next = {
                let mut queue = teller.queue.lock().unwrap_or_else(PoisonError::into_inner);
                let next = queue.waiting.pop_first();
                if next.is_none() {
                    queue.is_working = false;
                    teller.is_settled.notify_all();
                    return;
                }
                next
            };
            if let Some(document) = next {
                // A shop that cannot be read or written says so to whoever asks next; here nobody listens.
                let _ = self.tell_about(document);
            }
        }
    }

    /// Tells the ledger what lists and searches show of a document.
    pub(super) fn tell_about(&self, document: DocumentId) -> Result<(), ShopError> {
        let record = self.ledger().document(document)?;
        if record.is_deleted {
            return Ok(());
        }
        if record.kind == Kind::Order {
            return self.tell_about_order(document);
        }
        let (desk, _) = self.current_desk()?;
        let mut ledger = self.ledger();
        let revision = ledger.current(document)?;
        let key = DocumentKey::new(record.kind, record.name);
        let title = match read(&ledger, &desk, &key, &revision.text)? {
            Ok(readable) => readable.title(),
            Err(_) => record.title,
        };
        let told = Told { title, ..Told::default() };
        Ok(ledger.tell(document, revision.record.number, &told)?)
    }

    fn tell_about_order(&self, document: DocumentId) -> Result<(), ShopError> {
        let (revision, answer, _) = self.answer(document)?;
        let mut ledger = self.ledger();
        let told = match &answer.checked {
            Err(faults) => {
                let first = faults.list.first().map_or("", |fault| fault.headline.as_str());
                let before = ledger.document(document)?;
                let line = BoardLine {
                    number: before.name,
                    model: before.title.clone(),
                    waits_for: ledger_word(waits_with_faults(first).for_what),
                    findings: SeverityCounts::default(),
                };
                Told { title: before.title, board: Some(line), ..Told::default() }
            }
            Ok(checked) => {
                let order = &checked.document.value;
                let circumstances = self.inner.ended_runs.circumstances(&ledger, document, checked)?;
                let findings = &checked.inspection.findings;
                let count = |severity| {
                    let n = findings.iter().filter(|finding| finding.severity == severity).count();
                    u32::try_from(n).unwrap_or(u32::MAX)
                };
                let line = BoardLine {
                    number: order.order.number.to_string(),
                    model: order.order.model.clone(),
                    waits_for: ledger_word(waits(checked, &circumstances).for_what),
                    findings: SeverityCounts {
                        stops: count(Severity::Stop),
                        reworks: count(Severity::Rework),
                        opens: count(Severity::Open),
                        notes: count(Severity::Note),
                    },
                };
                let told: Vec<String> = findings
                    .iter()
                    .map(|finding| format!("{} {} {}", finding.rule, finding.severity, finding.headline))
                    .collect();
                let head =
                    [&order.order.wanted, &order.order.prototype, &order.order.client, &order.order.note];
                let notes: Vec<&str> = head.into_iter().flatten().map(String::as_str).collect();
                // What is handed over leaves the board, so that the board of a shop with twenty thousand orders stays short.
                let is_on_board = !is_ticked(order, WorkStage::Handover);
                Told {
                    title: order.order.model.clone(),
                    notes: notes.join("\n"),
                    findings: told.join("\n"),
                    board: is_on_board.then_some(line),
                }
            }
        };
        Ok(ledger.tell(document, revision.record.number, &told)?)
    }
}

/// The documents of a train's units.
fn units(ledger: &ledger::Ledger, train: &Train) -> Result<Vec<DocumentId>, ShopError> {
    let mut units = Vec::new();
    for unit in &train.unit {
        match find(ledger, &DocumentKey::order(unit.order.as_str())) {
            Ok(document) => units.push(document.id),
            Err(ShopError::Unknown { .. }) => {}
            Err(error) => return Err(error),
        }
    }
    Ok(units)
}

/// What an order waits for, as the ledger keeps it.
pub(super) fn ledger_word(waits_for: WaitsFor) -> ledger::WaitsFor {
    match waits_for {
        WaitsFor::Parts => ledger::WaitsFor::Parts,
        WaitsFor::Measurement => ledger::WaitsFor::Measurement,
        WaitsFor::Track => ledger::WaitsFor::Track,
        WaitsFor::Client => ledger::WaitsFor::Client,
        WaitsFor::Nothing => ledger::WaitsFor::Nothing,
    }
}

/// The same the other way round.
pub(super) fn work_word(waits_for: ledger::WaitsFor) -> WaitsFor {
    match waits_for {
        ledger::WaitsFor::Parts => WaitsFor::Parts,
        ledger::WaitsFor::Measurement => WaitsFor::Measurement,
        ledger::WaitsFor::Track => WaitsFor::Track,
        ledger::WaitsFor::Client => WaitsFor::Client,
        ledger::WaitsFor::Nothing => WaitsFor::Nothing,
    }
}
