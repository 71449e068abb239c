//! Trains: units that run together.

use finding::Path;
use ledger::Kind;

use inspection::Stage as RuleStage;
use workorder::{Train, UnitDirection};

use super::documents::taken;
use super::open::{Store, find};
use super::reading::{Readable, read, schema};
use super::view::{DocumentKey, TrainRow, TrainUnitView, TrainView};
use crate::error::ShopError;

impl Store {
    /// All trains, by name.
    ///
    /// # Errors
    /// When the shop cannot be read.
    pub fn trains(&self) -> Result<Vec<TrainRow>, ShopError> {
        let ledger = self.ledger();
        let mut rows = Vec::new();
        for document in ledger.documents(Kind::Train)? {
            let text = ledger.current(document.id)?.text;
            let train = documents::read::<Train>(&document.name, &text).ok().map(|read| read.value);
            rows.push(TrainRow {
                title: train
                    .as_ref()
                    .and_then(|train| train.train.title.clone())
                    .unwrap_or_else(|| document.name.clone()),
                consist_address: train
                    .as_ref()
                    .and_then(|train| u8::try_from(train.train.consist_address.get()).ok()),
                units: train.map_or_else(Vec::new, |train| {
                    train.unit.iter().map(|unit| unit.order.to_string()).collect()
                }),
                name: document.name,
            });
        }
        Ok(rows)
    }

    /// A train with its units.
    ///
    /// # Errors
    /// No such train, or the shop cannot be read.
    pub fn train(&self, name: &str) -> Result<TrainView, ShopError> {
        let key = DocumentKey::train(name);
        let (desk, _) = self.current_desk()?;
        let (revision, reading) = {
            let ledger = self.ledger();
            let revision = ledger.current(find(&ledger, &key)?.id)?;
            let reading = read(&ledger, &desk, &key, &revision.text)?;
            (revision, reading)
        };
        let (train, faults) = match reading {
            Ok(Readable::Train(train)) => (Some(train.value), None),
            Ok(_) => (None, None),
            Err(faults) => (None, Some(faults)),
        };
        let mut units = Vec::new();
        for unit in train.iter().flat_map(|train| &train.unit) {
            units.push(self.unit_view(unit)?);
        }
        Ok(TrainView { document: self.document_view(&desk, revision, faults)?, train, units })
    }

    fn unit_view(&self, unit: &workorder::Unit) -> Result<TrainUnitView, ShopError> {
        let number = unit.order.to_string();
        let document = find(&self.ledger(), &DocumentKey::order(&number))?.id;
        let (_, answer, _) = self.answer(document)?;
        let checked = answer.checked.as_ref().ok();
        let order = checked.map(|checked| &checked.document.value);
        let address = order.and_then(|order| order.address.as_ref());
        let of_train = |finding: &&finding::Finding| {
            inspection::rules().any(|rule| rule.name == finding.rule && rule.stage == RuleStage::Train)
        };
        Ok(TrainUnitView {
            model: order.map_or_else(String::new, |order| order.order.model.clone()),
            address: address
                .map_or_else(String::new, |address| format!("{} {}", address.number.get(), address.form)),
            is_reversed: unit.direction == UnitDirection::Reversed,
            powers_train: unit.powers_train == Some(true),
            findings: checked.map_or_else(Vec::new, |checked| {
                checked.inspection.findings.iter().filter(of_train).cloned().collect()
            }),
            order: number,
        })
    }

    /// Begins a train without units; as long as it has none, its document says so as a fault.
    ///
    /// # Errors
    /// A name that is taken or none, a consist address out of range, or the shop cannot be written.
    pub fn create_train(
        &self,
        name: &str,
        title: &str,
        consist_address: u8,
        by: &str,
    ) -> Result<(), ShopError> {
        let key = DocumentKey::train(name);
        if self.ledger().find(Kind::Train, name)?.is_some() {
            return Err(taken(&key));
        }
        let schema = schema(Kind::Train, "");
        let address = consist_address.to_string();
        let head = [("train.name", name), ("train.title", title), ("train.consist-address", &address)];
        let text = head.iter().try_fold(String::new(), |text, (path, value)| {
            forms::edit::set(schema, &text, &Path::new(*path), value)
        })?;
        self.create(&key, &text, by)?;
        Ok(())
    }
}
