//! What all documents of the shop have in common on the page: they are read as a form or as text, edited in
//! place, undone, looked at in their history, put away and brought back.

mod history;
pub(crate) mod routes;
mod sent;
mod text;

use std::sync::Arc;

use shop::{Desk, DocumentKey, Kind, Store};

use crate::blocks::Block;
use crate::facts::Typed;
use crate::guard::Visitor;
use crate::order::OrderPage;
use crate::page::Page;
use crate::problem::Problem;
use crate::rooms::{DossierPage, PartPage, TrainPage};
use crate::state::Sheet;
use crate::words::link;

pub(crate) use sent::{Done, answer, changed};

/// The kinds of document that have pages.
pub(crate) const KINDS: [Kind; 4] = [Kind::Order, Kind::Train, Kind::Dossier, Kind::Part];

/// The page of a document, drawn from one view of it.
pub(crate) trait DocumentPage: Send {
    /// Its pieces, each with its seal.
    fn blocks(&self) -> Vec<Block>;
    /// All of it.
    fn page(&self) -> Page;
    /// The revision that it shows; none for a sheet that comes with the standards.
    fn revision(&self) -> Option<i64>;
}

/// The address of a document's page.
pub(crate) fn address(key: &DocumentKey) -> String {
    link([key.kind.folder(), &key.name])
}

/// Draws the page of a document; `typed` is what was typed and not kept.
pub(crate) async fn draw(
    sheet: &Sheet,
    key: &DocumentKey,
    visitor: &Visitor,
    typed: Typed,
) -> Result<Box<dyn DocumentPage>, Problem> {
    let (key, visitor) = (key.clone(), visitor.clone());
    sheet.ask(move |store| drawn(store, &key, visitor, typed)).await
}

fn drawn(
    store: &Store,
    key: &DocumentKey,
    visitor: Visitor,
    typed: Typed,
) -> Result<Box<dyn DocumentPage>, Problem> {
    Ok(match key.kind {
        Kind::Order => {
            let view = store.order(&key.name)?;
            let desk: Arc<Desk> = store.desk()?;
            let proof = store.proof(&key.name)?;
            Box::new(OrderPage::new(view, desk, proof.as_ref(), visitor, typed))
        }
        Kind::Train => Box::new(TrainPage::new(store.train(&key.name)?, visitor, typed)),
        Kind::Dossier => Box::new(DossierPage::new(store.dossier(&key.name)?, visitor, typed)),
        Kind::Part => Box::new(PartPage::new(store.part(&key.name)?, visitor, typed)),
        Kind::BenchTruth => return Err(Problem::NotFound { what: "such a page".to_owned() }),
    })
}
