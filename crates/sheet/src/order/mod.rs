//! The page of a work order: one page, from top to bottom as the work is done.
//!
//! What it is: blocks (see [`crate::blocks`]) for the head, the stops, the line of stages, and for each stage
//! its facts, its answers and its findings.
//! What it is not: a computation. Everything shown comes from the view of the order that the shop made.

mod answers;
mod card;
mod choice;
mod findings;
mod handover;
mod head;
mod listening;
mod photos;
pub(crate) mod routes;
mod run;
mod stage;
mod upload;

use std::collections::BTreeSet;
use std::sync::Arc;

use finding::Finding;
use maud::{Markup, html};
use paper::Card;
use shop::{Desk, OrderView, ProofFacts};

use crate::blocks::Block;
use crate::document::DocumentPage;
use crate::facts::{Facts, Typed};
use crate::guard::Visitor;
use crate::page::{Page, Room};
use crate::words::link;

pub(crate) use handover::name_from;

/// Everything that the page is drawn from.
#[derive(Debug)]
pub(crate) struct OrderPage {
    view: OrderView,
    desk: Arc<Desk>,
    visitor: Visitor,
    typed: Typed,
    base: String,
    places_on_page: BTreeSet<String>,
    /// What the printed card would say, from which the page takes its tables and drawings; none while the order
    /// cannot be read.
    card: Option<Card>,
}

impl OrderPage {
    pub(crate) fn new(
        view: OrderView,
        desk: Arc<Desk>,
        proof: Option<&ProofFacts>,
        visitor: Visitor,
        typed: Typed,
    ) -> Self {
        let base = link(["orders", &view.document.key.name]);
        let card = view
            .checked
            .as_ref()
            .zip(view.sound.as_ref())
            .map(|(checked, sound)| shop::card_with(&desk, checked, sound, proof));
        let places_on_page = Facts::places(&view.document.form);
        Self { view, desk, visitor, typed, base, places_on_page, card }
    }

    fn number(&self) -> &str {
        &self.view.document.key.name
    }

    fn findings(&self) -> &[Finding] {
        self.view.checked.as_ref().map_or(&[], |checked| &checked.inspection.findings)
    }

    fn facts(&self) -> Facts<'_> {
        Facts {
            base: &self.base,
            token: &self.visitor.token,
            form: &self.view.document.form,
            findings: self.findings(),
            typed: &self.typed,
        }
    }
}

impl DocumentPage for OrderPage {
    /// All blocks of the page in their order.
    fn blocks(&self) -> Vec<Block> {
        let mut blocks = vec![self.head(), self.stops(), self.line()];
        for stage in &self.view.stages {
            blocks.extend(self.stage(stage));
        }
        blocks.push(self.run());
        blocks.push(Block::new("loose", "loose", self.facts().loose()));
        let revision = self.view.document.revision.get();
        blocks.into_iter().map(|block| block.at_revision(revision)).collect()
    }

    /// The whole page.
    fn page(&self) -> Page {
        let blocks = self.blocks();
        let block = |name: &str| -> Markup {
            html! { @for block in blocks.iter().filter(|block| block.name() == name) { (block) } }
        };
        let main = html! {
            article class="order" {
                (block("head"))
                (block("stops"))
                (block("line"))
                @for stage in &self.view.stages { (self.stage_frame(stage, &block)) }
                (block("loose"))
            }
        };
        let title = format!("{} {}", self.number(), self.model());
        Page::new(title, Room::Work, &self.visitor, main)
            .live(format!("{}/events", self.base))
            .with_blocks(format!("{}/blocks", self.base), self.revision())
    }

    fn revision(&self) -> Option<i64> {
        Some(self.view.document.revision.get())
    }
}

impl OrderPage {
    /// The model, as far as it is known.
    fn model(&self) -> &str {
        let checked = self.view.checked.as_ref().map(|checked| checked.document.value.order.model.as_str());
        let typed = || {
            let field = self.view.document.form.field(&finding::Path::new("order.model"));
            field.and_then(|field| field.value.as_deref())
        };
        checked.or_else(typed).unwrap_or("a model without a name")
    }
}
