//! Work orders: begun, looked at, overridden, ticked off.

use std::sync::Arc;

use finding::Path;
use ledger::{Kind, RevisionNumber};
use serde_json::Value;
use workorder::{WaitsFor, WorkOrder, WorkStage};

use super::clock::{now, shown_day};
use super::documents::{sound_or, taken};
use super::open::{Store, find};
use super::reading::{schema, shown_name};
use super::standing::{Circumstances, stages, stages_with_faults, waits, waits_with_faults};
use super::view::{DocumentKey, NewOrder, OrderView};
use crate::desk::{CheckedOrder, Desk};
use crate::error::ShopError;

impl Store {
    /// An order with everything that its page shows.
    ///
    /// # Errors
    /// No such order (the nearest number is told), or the shop cannot be read.
    pub fn order(&self, number: &str) -> Result<OrderView, ShopError> {
        let key = DocumentKey::order(number);
        let document = find(&self.ledger(), &key)?.id;
        let (revision, answer, desk) = self.answer(document)?;
        let present = revision.record.number;
        let faults = answer.checked.as_ref().err().cloned();
        let (checked, checked_revision, sound) = match &answer.checked {
            Ok(checked) => (Some(Arc::clone(checked)), Some(present), answer.sound(&desk)),
            Err(_) => match self.earlier_answer(&desk, document)? {
                Some((revision, earlier)) => {
                    let sound = earlier.sound(&desk);
                    (earlier.checked.ok(), Some(revision), sound)
                }
                None => (None, None, None),
            },
        };
        let circumstances = match &checked {
            Some(checked) => self.inner.ended_runs.circumstances(&self.ledger(), document, checked)?,
            None => Circumstances::default(),
        };
        let waits = match (&faults, &checked) {
            (None, Some(checked)) => waits(checked, &circumstances),
            (faults, _) => {
                let first = faults.as_ref().and_then(|faults| faults.list.first());
                waits_with_faults(first.map_or("", |fault| fault.headline.as_str()))
            }
        };
        let stages =
            checked.as_ref().map_or_else(stages_with_faults, |checked| stages(checked, &circumstances));
        let order = checked.as_ref().map(|checked| &checked.document.value);
        Ok(OrderView {
            trains: trains_of(&desk, number),
            runs: self.runs(number)?,
            snapshots: self.snapshots(number)?,
            photos: self.photos(number)?,
            dossiers: order.map_or_else(|| Ok(Vec::new()), |order| self.dossiers_for(order))?,
            document: self.document_view(&desk, revision, faults)?,
            checked,
            checked_revision,
            sound,
            waits,
            stages,
        })
    }

    /// An order that can be read, judged. `purpose` is what an error names.
    pub(super) fn sound_order(
        &self,
        number: &str,
        purpose: &'static str,
    ) -> Result<(RevisionNumber, Arc<CheckedOrder>, Arc<Desk>), ShopError> {
        let key = DocumentKey::order(number);
        let document = find(&self.ledger(), &key)?.id;
        let (revision, answer, desk) = self.answer(document)?;
        let checked = answer.checked.as_ref().map(Arc::clone).map_err(Clone::clone);
        Ok((revision.record.number, sound_or(&key, checked, purpose)?, desk))
    }

    /// Begins an order with number, model and scale. Returns its number.
    ///
    /// # Errors
    /// A number that is taken, a scale that nobody knows, a model without a name.
    pub fn create_order(&self, new: &NewOrder, by: &str) -> Result<String, ShopError> {
        self.begin_order(new, by, &|_, text| Ok(text.to_owned()))
    }

    /// Begins an order whose text `fill` completes.
    pub(super) fn begin_order(
        &self,
        new: &NewOrder,
        by: &str,
        fill: &dyn Fn(&Value, &str) -> Result<String, forms::EditError>,
    ) -> Result<String, ShopError> {
        let number = match new.number.trim() {
            "" => self.next_number()?,
            number => number.to_owned(),
        };
        let key = DocumentKey::order(&number);
        if self.ledger().find(Kind::Order, &number)?.is_some() {
            return Err(taken(&key));
        }
        let schema = schema(Kind::Order, "");
        let received = shown_day(now());
        let fields = [
            ("order.number", number.as_str()),
            ("order.model", new.model.trim()),
            ("order.scale", new.scale.trim()),
            ("order.client", new.client.trim()),
            ("order.wanted", new.wanted.trim()),
            ("order.received", received.as_str()),
        ];
        let text = fields.iter().try_fold(String::new(), |text, (path, value)| {
            forms::edit::set(schema, &text, &Path::new(*path), value)
        })?;
        let text = fill(schema, &text)?;
        // A wrong number or scale is the writer's to mend, before there is a document of that name.
        documents::read::<WorkOrder>(&shown_name(&key), &text)?;
        self.create(&key, &text, by)?;
        Ok(number)
    }

    /// The next free number after the highest: `V-0037` leads to `V-0038`.
    fn next_number(&self) -> Result<String, ShopError> {
        let ledger = self.ledger();
        let mut orders = ledger.documents(Kind::Order)?;
        orders.extend(ledger.deleted_documents(Kind::Order)?);
        let numbers = orders.iter().filter_map(|order| {
            let digits = order.name.len() - order.name.trim_end_matches(|c: char| c.is_ascii_digit()).len();
            let (front, number) = order.name.split_at(order.name.len() - digits);
            Some((number.parse::<u64>().ok()?, front, digits))
        });
        let highest = numbers.max().unwrap_or((0, "W-", 4));
        Ok(format!("{}{:0width$}", highest.1, highest.0 + 1, width = highest.2))
    }

    /// Sets a stop aside with a written reason, so that it no longer holds programming.
    ///
    /// # Errors
    /// A reason that is empty, a document with faults, or the shop cannot be written.
    pub fn override_stop(
        &self,
        number: &str,
        rule: &str,
        reason: &str,
        by: &str,
    ) -> Result<RevisionNumber, ShopError> {
        let reason = reason.trim();
        if reason.is_empty() {
            return Err(ShopError::NoReason { rule: rule.to_owned() });
        }
        let known = inspection::rules().map(|rule| rule.name);
        if !known.clone().any(|name| name == rule) {
            let near = documents::nearest(rule, known).map(str::to_owned);
            return Err(ShopError::Unknown { what: "rule", name: rule.to_owned(), near });
        }
        let note = format!("{rule} set aside");
        self.change(&DocumentKey::order(number), &note, by, &|schema, text| match override_place(
            schema, text, rule,
        ) {
            Some(place) => forms::edit::set(schema, text, &place.join("reason"), reason),
            None => {
                let list = Path::new("override");
                let values = [("rule", rule), ("reason", reason)];
                forms::edit::add_entry(schema, text, &list, &values).map(|(text, _)| text)
            }
        })
    }

    /// Takes an override back, so that the stop holds again.
    ///
    /// # Errors
    /// As [`Self::override_stop`].
    pub fn withdraw_override(&self, number: &str, rule: &str, by: &str) -> Result<RevisionNumber, ShopError> {
        let note = format!("{rule} no longer set aside");
        self.change(&DocumentKey::order(number), &note, by, &|schema, text| match override_place(
            schema, text, rule,
        ) {
            Some(place) => forms::edit::remove_entry(schema, text, &place),
            None => Ok(text.to_owned()),
        })
    }

    /// States what an order waits for, against what is computed; none leaves it to the findings again.
    ///
    /// # Errors
    /// A document with faults, or the shop cannot be written.
    pub fn state_waits_for(
        &self,
        number: &str,
        waits_for: Option<WaitsFor>,
        because: &str,
        by: &str,
    ) -> Result<RevisionNumber, ShopError> {
        let word = waits_for.map_or("", WaitsFor::word);
        let because = if waits_for.is_some() { because.trim() } else { "" };
        self.change(&DocumentKey::order(number), "", by, &|schema, text| {
            let text = forms::edit::set(schema, text, &Path::new("progress.waits-for"), word)?;
            forms::edit::set(schema, &text, &Path::new("progress.waits-because"), because)
        })
    }

    /// Ticks a stage off, or takes the tick away.
    ///
    /// # Errors
    /// A document with faults, or the shop cannot be written.
    pub fn tick_stage(
        &self,
        number: &str,
        stage: WorkStage,
        is_done: bool,
        by: &str,
    ) -> Result<RevisionNumber, ShopError> {
        let note = format!("{stage}: {}", if is_done { "done" } else { "not done yet" });
        self.change(&DocumentKey::order(number), &note, by, &|schema, text| {
            let path = Path::new("progress.done");
            let done = forms::edit::get(schema, text, &path)?.unwrap_or_default();
            let is_in = |word: &str| done.split(',').any(|done| done.trim() == word);
            let wanted = WorkStage::ALL
                .iter()
                .filter(|known| if **known == stage { is_done } else { is_in(known.word()) });
            let words: Vec<&str> = wanted.map(|known| known.word()).collect();
            forms::edit::set(schema, text, &path, &words.join(", "))
        })
    }
}

/// The place of a rule's override in a text.
fn override_place(schema: &Value, text: &str, rule: &str) -> Option<Path> {
    let form = forms::form::Form::of(schema, text, None);
    let fields = form.fields().filter(|field| field.key == "rule" && field.value.as_deref() == Some(rule));
    fields.filter_map(|field| field.path.parent()).find(|place| place.as_str().starts_with("override."))
}

/// The trains that an order runs in.
fn trains_of(desk: &Desk, number: &str) -> Vec<String> {
    let is_in = |train: &&workorder::Train| train.unit.iter().any(|unit| unit.order.as_str() == number);
    desk.trains().filter(is_in).map(|train| train.train.name.to_string()).collect()
}
