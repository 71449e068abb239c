//! Answers, computed once for each state of the shop.
//!
//! What it is: the desk, brought up to date by the ledger's list of changes (so that changes by another program are noticed
//! too), and what was computed of the orders looked at lately.
//! What it is not: kept. Answers are never facts; they are computed again when the program starts.

use std::collections::BTreeMap;
use std::sync::{Arc, MutexGuard, OnceLock, PoisonError};

use documents::{Faults, Name};
use ledger::{DocumentId, Kind, Ledger, Revision, RevisionNumber, Sequence, Subject};

use super::open::Store;
use super::reading::{numbers_for, shown_name};
use super::view::DocumentKey;
use crate::desk::{CheckedOrder, Desk, NamedText, shelf_with};
use crate::error::ShopError;
use crate::sound::{SoundReport, sound_report};

/// What is known without asking again.
#[derive(Debug, Default)]
pub(super) struct Answers {
    /// The change up to which the desk is true; none before the first question.
    at: Option<Sequence>,
    desk: Arc<Desk>,
    /// Goes up whenever the desk changes, so that older answers are known as such.
    generation: u64,
    has_faulty_trains: bool,
    /// The orders that run in a train, and the names by which the trains know them.
    units: BTreeMap<DocumentId, Name>,
    orders: BTreeMap<DocumentId, Known>,
}

/// What was computed of one order.
#[derive(Debug, Clone)]
struct Known {
    revision: RevisionNumber,
    generation: u64,
    answer: Arc<Answer>,
}

/// What follows from one revision of an order.
#[derive(Debug)]
pub(super) struct Answer {
    /// The order judged, or why it cannot be read.
    pub(super) checked: Result<Arc<CheckedOrder>, Faults>,
    sound: OnceLock<Arc<SoundReport>>,
}

impl Answer {
    fn of(desk: &Desk, key: &DocumentKey, text: &str) -> Self {
        Self { checked: desk.check_text(&shown_name(key), text).map(Arc::new), sound: OnceLock::new() }
    }

    /// What the speakers do, computed when it is first asked for; none where the order cannot be read.
    pub(super) fn sound(&self, desk: &Desk) -> Option<Arc<SoundReport>> {
        let checked = self.checked.as_ref().ok()?;
        Some(Arc::clone(self.sound.get_or_init(|| Arc::new(sound_report(desk, checked)))))
    }
}

/// How many orders are kept in mind; a bench has fewer on it, and an answer costs a few milliseconds.
const MOST_KNOWN: usize = 64;
/// How many changes are gone through before it is quicker to read everything anew.
const MOST_CHANGES: usize = 500;
/// How many revisions are gone back through to find one without faults.
const MOST_BACK: usize = 40;

impl Store {
    /// The desk as it is now, and its generation.
    pub(super) fn current_desk(&self) -> Result<(Arc<Desk>, u64), ShopError> {
        let mut answers = self.answers();
        let ledger = self.ledger();
        answers.catch_up(&ledger)?;
        Ok((Arc::clone(&answers.desk), answers.generation))
    }

    /// The newest revision of an order's document with what follows from it.
    pub(super) fn answer(
        &self,
        document: DocumentId,
    ) -> Result<(Revision, Arc<Answer>, Arc<Desk>), ShopError> {
        let (desk, generation) = self.current_desk()?;
        let revision = self.ledger().current(document)?;
        let answer = self.answer_of(&desk, generation, &revision);
        Ok((revision, answer, desk))
    }

    fn answer_of(&self, desk: &Desk, generation: u64, revision: &Revision) -> Arc<Answer> {
        let record = &revision.record;
        let known = self.answers().orders.get(&record.document).cloned();
        if let Some(known) = known
            && known.revision == record.number
            && known.generation == generation
        {
            return known.answer;
        }
        // Computed without holding anything: other threads ask in the meantime, and at worst compute the same.
        let answer = Arc::new(Answer::of(desk, &DocumentKey::order(&record.name), &revision.text));
        let known = Known { revision: record.number, generation, answer: Arc::clone(&answer) };
        self.answers().keep(record.document, known);
        answer
    }

    /// The newest revision without faults, where the present one has some; none where there was never one, or none lately.
    pub(super) fn earlier_answer(
        &self,
        desk: &Desk,
        document: DocumentId,
    ) -> Result<Option<(RevisionNumber, Answer)>, ShopError> {
        let ledger = self.ledger();
        for record in ledger.history(document)?.iter().skip(1).take(MOST_BACK) {
            let revision = ledger.at(document, record.number)?;
            let answer = Answer::of(desk, &DocumentKey::order(&revision.record.name), &revision.text);
            if answer.checked.is_ok() {
                return Ok(Some((record.number, answer)));
            }
        }
        Ok(None)
    }

    fn answers(&self) -> MutexGuard<'_, Answers> {
        // What a thread that died left half done is at worst a desk that is behind, which is looked at anew.
        self.inner.answers.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

impl Answers {
    fn keep(&mut self, document: DocumentId, known: Known) {
        if self.orders.len() >= MOST_KNOWN && !self.orders.contains_key(&document) {
            let generation = self.generation;
            self.orders.retain(|_, known| known.generation == generation);
            if self.orders.len() >= MOST_KNOWN {
                self.orders.clear();
            }
        }
        self.orders.insert(document, known);
    }

    /// Brings the desk up to date.
    fn catch_up(&mut self, ledger: &Ledger) -> Result<(), ShopError> {
        let newest = ledger.newest_change()?;
        let Some(at) = self.at else { return self.read_all(ledger, newest) };
        if at == newest {
            return Ok(());
        }
        let changes = ledger.changes_since(at, MOST_CHANGES)?;
        if changes.len() == MOST_CHANGES {
            return self.read_all(ledger, newest);
        }
        let mut orders = Vec::new();
        let mut has_trains_changed = false;
        for change in &changes {
            let Subject::Document { document, .. } = change.subject else { continue };
            let document = ledger.document(document)?;
            match document.kind {
                Kind::Part => return self.read_all(ledger, newest),
                Kind::Train => has_trains_changed = true,
                Kind::Order => {
                    let is_unit_as_known = match self.units.get(&document.id) {
                        Some(name) => !document.is_deleted && name.as_str() == document.name,
                        // A train that cannot be read may have waited for just this order.
                        None => !self.has_faulty_trains,
                    };
                    has_trains_changed |= !is_unit_as_known;
                    if self.units.contains_key(&document.id) && !orders.contains(&document.id) {
                        orders.push(document.id);
                    }
                }
                Kind::Dossier | Kind::BenchTruth => {}
            }
        }
        if has_trains_changed {
            self.read_trains(ledger)?;
        } else {
            for order in orders {
                self.read_unit(ledger, order)?;
            }
        }
        self.at = changes.last().map(|change| change.sequence).or(Some(newest));
        Ok(())
    }

    fn read_all(&mut self, ledger: &Ledger, newest: Sequence) -> Result<(), ShopError> {
        let (shelf, _) = shelf_with(texts(ledger, Kind::Part)?);
        self.desk = Arc::new(Desk::with_shelf(Arc::new(shelf)));
        self.read_trains(ledger)?;
        self.at = Some(newest);
        Ok(())
    }

    fn read_trains(&mut self, ledger: &Ledger) -> Result<(), ShopError> {
        let trains = texts(ledger, Kind::Train)?;
        let mut numbers = Vec::new();
        for (_, text) in &trains {
            numbers.extend(numbers_for(ledger, text)?);
        }
        let desk = Arc::make_mut(&mut self.desk);
        self.has_faulty_trains = !desk.put_trains(trains, &numbers).is_empty();
        let units: Vec<Name> = desk.unit_numbers().cloned().collect();
        self.units.clear();
        for number in units {
            if let Some(document) = ledger.find(Kind::Order, number.as_str())? {
                self.units.insert(document.id, number);
                self.read_unit(ledger, document.id)?;
            }
        }
        self.generation += 1;
        Ok(())
    }

    fn read_unit(&mut self, ledger: &Ledger, document: DocumentId) -> Result<(), ShopError> {
        let Some(number) = self.units.get(&document) else { return Ok(()) };
        let text = ledger.current(document)?.text;
        let name = shown_name(&DocumentKey::order(number.as_str()));
        let order = workorder::read_order(&name, &text, &self.desk.shelf).ok().map(|read| read.value);
        Arc::make_mut(&mut self.desk).put_unit(number.clone(), order);
        self.generation += 1;
        Ok(())
    }
}

/// The texts of all documents of a kind.
fn texts(ledger: &Ledger, kind: Kind) -> Result<Vec<NamedText>, ShopError> {
    let documents = ledger.documents(kind)?;
    let text = |document: &ledger::Document| {
        let key = DocumentKey::new(kind, &document.name);
        Ok((shown_name(&key), ledger.current(document.id)?.text))
    };
    documents.iter().map(text).collect()
}
