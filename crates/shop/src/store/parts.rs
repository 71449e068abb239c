//! The parts shelf: sheets of the standards and of the shop, and the stock.

use std::collections::BTreeMap;

use datasheets::Sheet;
use ledger::{Kind, Ledger, SearchQuery};

use super::documents::taken;
use super::open::{Store, order_id, stamp};
use super::reading::{Readable, read};
use super::view::{DocumentKey, EditOutcome, PartRow, PartView, StockMovement};
use crate::desk::Desk;
use crate::error::ShopError;

/// How many orders that name a part are looked at.
const MOST_USERS: usize = 200;

impl Store {
    /// All part sheets, by kind and name; those that cannot be read last.
    ///
    /// # Errors
    /// When the shop cannot be read.
    pub fn parts(&self) -> Result<Vec<PartRow>, ShopError> {
        let (desk, _) = self.current_desk()?;
        let ledger = self.ledger();
        let stock: BTreeMap<String, i64> =
            ledger.stock()?.into_iter().map(|count| (count.part, count.pieces)).collect();
        let mut own: BTreeMap<String, String> =
            ledger.documents(Kind::Part)?.into_iter().map(|part| (part.name, part.title)).collect();
        let mut rows: Vec<PartRow> = desk
            .shelf
            .parts()
            .map(|part| PartRow {
                name: part.name.to_string(),
                kind: Some(part.kind),
                title: part.title.clone(),
                is_standard: own.remove(part.name.as_str()).is_none(),
                in_stock: stock.get(part.name.as_str()).copied(),
            })
            .collect();
        rows.extend(own.into_iter().map(|(name, title)| PartRow {
            in_stock: stock.get(&name).copied(),
            name,
            kind: None,
            title,
            is_standard: false,
        }));
        Ok(rows)
    }

    /// A part sheet with its stock.
    ///
    /// # Errors
    /// No such part (the nearest name is told), or the shop cannot be read.
    pub fn part(&self, name: &str) -> Result<PartView, ShopError> {
        let (desk, _) = self.current_desk()?;
        let key = DocumentKey::part(name);
        let own = self.ledger().find(Kind::Part, name)?;
        let (text, sheet, document) = match own {
            None => {
                let (text, sheet) = standard_sheet(name).ok_or_else(|| unknown(&desk, name))?;
                (text.to_owned(), Some(sheet), None)
            }
            Some(document) => {
                let (revision, reading) = {
                    let ledger = self.ledger();
                    let revision = ledger.current(document.id)?;
                    let reading = read(&ledger, &desk, &key, &revision.text)?;
                    (revision, reading)
                };
                let (sheet, faults) = match reading {
                    Ok(Readable::Part(sheet)) => (Some(sheet.value), None),
                    Ok(_) => (None, None),
                    Err(faults) => (None, Some(faults)),
                };
                (revision.text.clone(), sheet, Some(self.document_view(&desk, revision, faults)?))
            }
        };
        let ledger = self.ledger();
        let mut movements = Vec::new();
        for movement in ledger.movements(name)? {
            let order = match movement.document {
                Some(order) => Some(ledger.document(order)?.name),
                None => None,
            };
            movements.push(StockMovement {
                id: movement.id,
                part: movement.part,
                pieces: movement.pieces,
                order,
                at: movement.at,
                by: movement.by,
                note: movement.note,
            });
        }
        let in_stock = if movements.is_empty() { None } else { Some(ledger.stock_of(name)?.pieces) };
        let row = PartRow {
            name: name.to_owned(),
            kind: sheet.as_ref().map(|sheet| sheet.part().kind),
            title: sheet.as_ref().map_or_else(String::new, |sheet| sheet.part().title.clone()),
            is_standard: document.is_none(),
            in_stock,
        };
        Ok(PartView { row, document, text, sheet, movements, used_by: used_by(&ledger, name)? })
    }

    /// Adds a part sheet, whose text says its name. Returns the name.
    ///
    /// # Errors
    /// A sheet with faults, all of them at once; a name that is taken.
    pub fn add_part(&self, text: &str, by: &str) -> Result<String, ShopError> {
        let name = datasheets::read_sheet("part sheet", text)?.value.part().name.to_string();
        self.create(&DocumentKey::part(&name), text, by)?;
        Ok(name)
    }

    /// Adds a part sheet that was exported from another shop, or takes it in place of the one of its name, whose history goes on.
    /// Returns the name.
    ///
    /// # Errors
    /// A sheet with faults, all of them at once.
    pub fn import_part(&self, text: &str, by: &str) -> Result<String, ShopError> {
        let name = datasheets::read_sheet("part sheet", text)?.value.part().name.to_string();
        let key = DocumentKey::part(&name);
        let there = self.ledger().find(Kind::Part, &name)?.filter(|part| !part.is_deleted);
        let Some(there) = there else {
            self.create(&key, text, by)?;
            return Ok(name);
        };
        match self.replace_text(&key, text, there.head, by)? {
            EditOutcome::Saved { .. } => Ok(name),
            EditOutcome::Invalid { .. } | EditOutcome::Conflict { .. } => Err(taken(&key)),
        }
    }

    /// Notes that pieces of a part came, or went (negative), and into which order.
    ///
    /// # Errors
    /// No such part or order, a number beyond reason, or the shop cannot be written.
    pub fn move_stock(
        &self,
        part: &str,
        pieces: i64,
        order: Option<&str>,
        note: &str,
        by: &str,
    ) -> Result<(), ShopError> {
        self.known_part(part)?;
        {
            let mut ledger = self.ledger();
            let order = order.map(|number| order_id(&ledger, number)).transpose()?;
            ledger.move_stock(part, pieces, order, &stamp(by).with_note(note))?;
        }
        self.after_stock(part)
    }

    /// Notes how many pieces of a part were counted on the shelf.
    ///
    /// # Errors
    /// As [`Self::move_stock`].
    pub fn count_stock(&self, part: &str, counted: i64, note: &str, by: &str) -> Result<(), ShopError> {
        self.known_part(part)?;
        self.ledger().count_stock(part, counted, &stamp(by).with_note(note))?;
        self.after_stock(part)
    }

    fn known_part(&self, name: &str) -> Result<(), ShopError> {
        if self.ledger().find(Kind::Part, name)?.is_some() || standard_sheet(name).is_some() {
            return Ok(());
        }
        let desk = self.desk()?;
        Err(unknown(&desk, name))
    }

    /// Orders wait for parts or no longer do.
    fn after_stock(&self, part: &str) -> Result<(), ShopError> {
        let query = SearchQuery { words: part, kind: Some(Kind::Order), offset: 0, limit: MOST_USERS };
        let users = self.ledger().search(&query)?.hits.into_iter().map(|hit| hit.document.id).collect();
        self.tell_later(users);
        self.notice_changes()
    }
}

/// A sheet that comes with the standards.
fn standard_sheet(name: &str) -> Option<(&'static str, Sheet)> {
    datasheets::standard_sheets().iter().find_map(|(file, text)| {
        let sheet = datasheets::read_sheet(file, text).ok()?.value;
        (sheet.part().name.as_str() == name).then_some((*text, sheet))
    })
}

fn unknown(desk: &Desk, name: &str) -> ShopError {
    let near = documents::nearest(name, desk.shelf.parts().map(|part| part.name.as_str()));
    ShopError::Unknown { what: "part sheet", name: name.to_owned(), near: near.map(str::to_owned) }
}

/// The orders whose text names a part.
fn used_by(ledger: &Ledger, name: &str) -> Result<Vec<String>, ShopError> {
    let query = SearchQuery { words: name, kind: Some(Kind::Order), offset: 0, limit: MOST_USERS };
    let quoted = format!("\"{name}\"");
    let mut orders = Vec::new();
    for hit in ledger.search(&query)?.hits {
        if ledger.current(hit.document.id)?.text.contains(&quoted) {
            orders.push(hit.document.name);
        }
    }
    orders.sort();
    Ok(orders)
}
