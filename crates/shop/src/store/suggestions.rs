//! Suggestions for the fields of a form: names of parts on the shelf, terminals, outputs, orders.

use std::sync::Arc;

use datasheets::Shelf;
use finding::Path;
use ledger::Kind;
use workorder::{Speaker, WorkOrder};

use super::open::Store;
use crate::desk::Desk;
use crate::error::ShopError;

/// What can be suggested in one document.
#[derive(Debug)]
pub(super) struct Suggestions {
    kind: Kind,
    shelf: Arc<Shelf>,
    terminals: Vec<String>,
    outputs: Vec<String>,
    found_lamps: Vec<String>,
    found_speakers: Vec<String>,
    orders: Vec<String>,
    stops: Vec<String>,
}

/// How many orders are suggested at most; the newest ones are the likeliest.
const MOST_ORDERS: usize = 200;

impl Suggestions {
    pub(super) fn for_document(
        store: &Store,
        desk: &Desk,
        kind: Kind,
        text: &str,
    ) -> Result<Self, ShopError> {
        // A text with faults between its facts still tells the names in it; one that cannot be read tells none.
        let order = match kind {
            Kind::Order => documents::read::<WorkOrder>("order", text).ok().map(|read| read.value),
            _ => None,
        };
        let orders = if kind == Kind::Train || kind == Kind::BenchTruth {
            let ledger = store.ledger();
            let documents = ledger.documents(Kind::Order)?;
            documents.into_iter().rev().take(MOST_ORDERS).map(|document| document.name).collect()
        } else {
            Vec::new()
        };
        let decoder = order.as_ref().and_then(|order| order.plan.as_ref()?.decoder.as_ref());
        let outputs = decoder.and_then(|name| desk.shelf.decoders.get(name)).map_or_else(Vec::new, |sheet| {
            sheet.output.iter().map(|output| output.name.to_string()).collect()
        });
        let survey = order.as_ref().and_then(|order| order.survey.as_ref());
        let names = |list: &[Speaker]| list.iter().map(|speaker| speaker.name.to_string()).collect();
        Ok(Self {
            kind,
            shelf: Arc::clone(&desk.shelf),
            terminals: order
                .as_ref()
                .map_or_else(Vec::new, |order| workorder::terminals(order).into_iter().collect()),
            outputs,
            found_lamps: survey.map_or_else(Vec::new, |survey| {
                survey.lamp.iter().map(|lamp| lamp.name.to_string()).collect()
            }),
            found_speakers: survey.map_or_else(Vec::new, |survey| names(&survey.speaker)),
            orders,
            stops: inspection::rules()
                .filter(|rule| rule.severity == finding::Severity::Stop)
                .map(|rule| rule.name.to_owned())
                .collect(),
        })
    }

    /// What suits the field of a path; `word` is the kind of its value.
    pub(super) fn of(&self, path: &Path, word: &str) -> Vec<String> {
        if word != "name" && word != "text" {
            return Vec::new();
        }
        let steps: Vec<&str> = path.as_str().split('.').collect();
        let Some(last) = steps.last() else { return Vec::new() };
        let list = steps.iter().rev().nth(2).copied().unwrap_or_default();
        match (self.kind, list, *last) {
            (Kind::Part, _, "sockets" | "socket") => self.sockets(),
            (Kind::Train | Kind::BenchTruth, _, "order") => self.orders.clone(),
            (Kind::BenchTruth, _, "part") if steps.len() == 2 && steps[0] == "decoder" => self.decoders(),
            (Kind::BenchTruth, _, "part") if steps.len() == 2 => self.keep_alives(),
            (Kind::Part, ..) => Vec::new(),
            (_, "speaker", "part") => strings(self.shelf.speakers.keys()),
            (_, "lamp", "part") => strings(self.shelf.lamps.keys()),
            (_, "speaker", "enclosure") => strings(self.shelf.enclosures.keys()),
            (_, "wire", "from" | "to") => self.terminals.clone(),
            (_, "lamp", "output") => self.outputs.clone(),
            (_, "lamp", "found") => self.found_lamps.clone(),
            (_, "override", "rule") => self.stops.clone(),
            (_, _, "socket") => {
                let mut sockets = self.sockets();
                sockets.push("none".to_owned());
                sockets
            }
            (_, _, "decoder") => self.decoders(),
            (_, _, "keep-alive") => self.keep_alives(),
            (_, _, "remove") => self.found_speakers.clone(),
            _ => Vec::new(),
        }
    }

    fn decoders(&self) -> Vec<String> {
        strings(self.shelf.decoders.keys())
    }

    fn keep_alives(&self) -> Vec<String> {
        strings(self.shelf.keep_alives.keys())
    }

    fn sockets(&self) -> Vec<String> {
        strings(self.shelf.sockets.keys())
    }
}

fn strings<'a>(names: impl Iterator<Item = &'a documents::Name>) -> Vec<String> {
    names.map(ToString::to_string).collect()
}
