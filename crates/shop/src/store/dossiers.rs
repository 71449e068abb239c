//! Dossiers: what was learned about a model type, for the next of it.

use finding::Path;
use ledger::{Kind, RevisionNumber};
use workorder::{Dossier, WorkOrder};

use super::clock::{now, shown_day};
use super::copying::with_sections;
use super::documents::{sound_or, taken};
use super::history::changes_in_words;
use super::open::{Store, find};
use super::reading::{Readable, read, schema, shown_name};
use super::view::{DocumentKey, DossierRow, DossierView, NewOrder};
use crate::error::ShopError;

/// What a dossier and an order share.
const SHARED: [&str; 2] = ["survey", "voice"];

impl Store {
    /// All dossiers, by name.
    ///
    /// # Errors
    /// When the shop cannot be read.
    pub fn dossiers(&self) -> Result<Vec<DossierRow>, ShopError> {
        let ledger = self.ledger();
        let mut rows = Vec::new();
        for document in ledger.documents(Kind::Dossier)? {
            let text = ledger.current(document.id)?.text;
            let dossier = documents::read::<Dossier>(&document.name, &text).ok().map(|read| read.value);
            rows.push(DossierRow {
                model: dossier.as_ref().map_or(document.title, |dossier| dossier.dossier.model.clone()),
                scale: dossier.as_ref().map_or_else(String::new, |dossier| dossier.dossier.scale.to_string()),
                n_learned: dossier.map_or(0, |dossier| dossier.lesson.len()),
                name: document.name,
            });
        }
        Ok(rows)
    }

    /// A dossier with the orders of its model.
    ///
    /// # Errors
    /// No such dossier, or the shop cannot be read.
    pub fn dossier(&self, name: &str) -> Result<DossierView, ShopError> {
        let key = DocumentKey::dossier(name);
        let (desk, _) = self.current_desk()?;
        let (revision, reading) = {
            let ledger = self.ledger();
            let revision = ledger.current(find(&ledger, &key)?.id)?;
            let reading = read(&ledger, &desk, &key, &revision.text)?;
            (revision, reading)
        };
        let (dossier, faults) = match reading {
            Ok(Readable::Dossier(dossier)) => (Some(dossier.value), None),
            Ok(_) => (None, None),
            Err(faults) => (None, Some(faults)),
        };
        let orders = match &dossier {
            Some(dossier) => self.orders_of_model(&dossier.dossier.model)?,
            None => Vec::new(),
        };
        Ok(DossierView { document: self.document_view(&desk, revision, faults)?, dossier, orders })
    }

    fn orders_of_model(&self, model: &str) -> Result<Vec<String>, ShopError> {
        let orders = self.ledger().documents(Kind::Order)?;
        let of_model = orders.into_iter().filter(|order| is_of_type(&order.title, model));
        Ok(of_model.map(|order| order.name).collect())
    }

    /// The dossiers of an order's model and scale.
    pub(super) fn dossiers_for(&self, order: &WorkOrder) -> Result<Vec<String>, ShopError> {
        let ledger = self.ledger();
        let mut names = Vec::new();
        for document in ledger.documents(Kind::Dossier)? {
            if !is_of_type(&order.order.model, &document.title) {
                continue;
            }
            let text = ledger.current(document.id)?.text;
            let dossier = documents::read::<Dossier>(&document.name, &text);
            if dossier.is_ok_and(|dossier| dossier.value.dossier.scale == order.order.scale) {
                names.push(document.name);
            }
        }
        Ok(names)
    }

    /// Begins a dossier with what an order says of its model: what was found inside, and what its prototype sounds like.
    ///
    /// # Errors
    /// A name that is taken or none, an order with faults, or the shop cannot be written.
    pub fn create_dossier(&self, order: &str, name: &str, by: &str) -> Result<(), ShopError> {
        let key = DocumentKey::dossier(name);
        if self.ledger().find(Kind::Dossier, name)?.is_some() {
            return Err(taken(&key));
        }
        let (_, checked, _) = self.sound_order(order, "a dossier begun from it")?;
        let head = &checked.document.value.order;
        let scale = head.scale.to_string();
        let invented = if head.invented == Some(true) { "true" } else { "" };
        let schema = schema(Kind::Dossier, "");
        let fields = [
            ("dossier.name", name),
            ("dossier.model", head.model.as_str()),
            ("dossier.scale", scale.as_str()),
            ("dossier.prototype", head.prototype.as_deref().unwrap_or_default()),
            ("dossier.invented", invented),
        ];
        let text = fields.iter().try_fold(String::new(), |text, (path, value)| {
            forms::edit::set(schema, &text, &Path::new(*path), value)
        })?;
        let order_text = &checked.document.source.text;
        let text = with_sections(schema, &text, (order_schema(), order_text), &SHARED)?;
        documents::read::<Dossier>(&shown_name(&key), &text)?;
        self.create(&key, &text, by)?;
        Ok(())
    }

    /// Begins an order from a dossier: its survey says what is found inside such a model as a rule, to be looked at and metered
    /// anew. Model and scale are the dossier's where they are left empty. Returns the order's number.
    ///
    /// # Errors
    /// As [`Store::create_order`]; no such dossier, or one with faults.
    pub fn create_order_from_dossier(
        &self,
        dossier: &str,
        new: &NewOrder,
        by: &str,
    ) -> Result<String, ShopError> {
        let (text, known) = self.sound_dossier(dossier, "an order begun from it")?;
        let or = |typed: &str, known: String| if typed.trim().is_empty() { known } else { typed.to_owned() };
        let new = NewOrder {
            model: or(&new.model, known.dossier.model.clone()),
            scale: or(&new.scale, known.dossier.scale.to_string()),
            ..new.clone()
        };
        let prototype = known.dossier.prototype.unwrap_or_default();
        let note = format!("survey begun from dossier {dossier}: look and meter again");
        self.begin_order(&new, by, &|schema, order| {
            let order = forms::edit::set(schema, order, &Path::new("order.prototype"), &prototype)?;
            let order = forms::edit::set(schema, &order, &Path::new("order.note"), &note)?;
            with_sections(schema, &order, (dossier_schema(), &text), &SHARED)
        })
    }

    /// What feeding an order back to a dossier would change in it, in words; empty where there is nothing new.
    ///
    /// # Errors
    /// No such order or dossier, or one with faults.
    pub fn lessons(&self, order: &str, dossier: &str) -> Result<Vec<String>, ShopError> {
        let (text, _) = self.sound_dossier(dossier, "what was learned")?;
        let (_, checked, _) = self.sound_order(order, "what was learned")?;
        let fed = fed_back(&text, &checked.document.source.text)?;
        Ok(changes_in_words(&text, &fed).into_iter().filter(|words| !words.starts_with("only ")).collect())
    }

    /// Feeds an order back to a dossier: what was found inside takes the place of what the dossier said, and `lesson`, where there is
    /// one, is added to it with the order's number and today's date.
    ///
    /// # Errors
    /// As [`Self::lessons`], or the shop cannot be written.
    pub fn feed_back(
        &self,
        order: &str,
        dossier: &str,
        lesson: &str,
        by: &str,
    ) -> Result<RevisionNumber, ShopError> {
        let (_, checked, _) = self.sound_order(order, "what was learned")?;
        let order_text = &checked.document.source.text;
        let today = shown_day(now());
        let note = format!("learned on {order}");
        self.change(&DocumentKey::dossier(dossier), &note, by, &|schema, text| {
            let text = fed_back(text, order_text)?;
            let lesson = lesson.trim();
            if lesson.is_empty() {
                return Ok(text);
            }
            let values = [("text", lesson), ("order", order), ("day", today.as_str())];
            forms::edit::add_entry(schema, &text, &Path::new("lesson"), &values).map(|(text, _)| text)
        })
    }

    fn sound_dossier(&self, name: &str, purpose: &'static str) -> Result<(String, Dossier), ShopError> {
        let key = DocumentKey::dossier(name);
        let text = {
            let ledger = self.ledger();
            ledger.current(find(&ledger, &key)?.id)?.text
        };
        let dossier = documents::read::<Dossier>(&shown_name(&key), &text);
        Ok((text, sound_or(&key, dossier, purpose)?.value))
    }
}

fn order_schema() -> &'static serde_json::Value {
    schema(Kind::Order, "")
}

fn dossier_schema() -> &'static serde_json::Value {
    schema(Kind::Dossier, "")
}

/// A dossier with the survey of an order in place of its own. What it says of the voice stays, for a client's wish is not what the
/// prototype was.
fn fed_back(dossier: &str, order: &str) -> Result<String, forms::EditError> {
    let found = ["survey"];
    let text = forms::edit::unset(dossier_schema(), dossier, &Path::new("survey"))?;
    with_sections(dossier_schema(), &text, (order_schema(), order), &found)
}

/// Whether an order's model is of a type: `Lake class 40, front car` is of the type `Lake class 40`.
fn is_of_type(model: &str, model_type: &str) -> bool {
    let (model, model_type) = (model.trim().to_lowercase(), model_type.trim().to_lowercase());
    let rest = model.strip_prefix(&model_type);
    !model_type.is_empty() && rest.is_some_and(|rest| !rest.starts_with(char::is_alphanumeric))
}
