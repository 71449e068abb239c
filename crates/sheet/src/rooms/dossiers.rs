//! Dossiers: what was learned about one model type, from which the next one of it starts.

use axum::extract::{Path, State};
use axum::response::Redirect;
use axum::routing::{get, post};
use axum::{Extension, Router};
use maud::html;
use shop::DossierView;

use super::room_head;
use crate::blocks::Block;
use crate::document::DocumentPage;
use crate::facts::{Facts, Typed};
use crate::guard::{Posted, Visitor};
use crate::page::{Page, Room};
use crate::problem::Problem;
use crate::state::Sheet;
use crate::words::{count, link};

pub(super) fn routes() -> Router<Sheet> {
    Router::new().route("/dossiers", get(list).post(create)).route("/dossiers/{name}/feed", post(feed))
}

async fn list(State(sheet): State<Sheet>, Extension(visitor): Extension<Visitor>) -> Result<Page, Problem> {
    let dossiers = sheet.ask(shop::Store::dossiers).await?;
    let main = html! {
        (room_head("Dossiers", "How each model type opens, what is found inside, and what earlier jobs taught. The next order of its \
             kind starts from there.", &html! {}))
        @if dossiers.is_empty() { p class="nothing" { "No dossier yet. Begin one from the page of an order." } }
        ul class="list" {
            @for dossier in &dossiers {
                li { a href=(link(["dossiers", &dossier.name])) {
                    span class="name" { (dossier.scale) }
                    span class="title" { (dossier.model) small { (dossier.name) } }
                    span class="counts" { (count(dossier.n_learned, "lesson", "lessons")) }
                } }
            }
        }
    };
    Ok(Page::new("Dossiers", Room::Dossiers, &visitor, main).live("/events"))
}

async fn create(State(sheet): State<Sheet>, posted: Posted) -> Result<Redirect, Problem> {
    let order = posted.fields.get("order")?.to_owned();
    let name = posted.fields.text("name").to_owned();
    let made = name.clone();
    sheet.ask(move |store| store.create_dossier(&order, &name, &posted.visitor.by)).await?;
    Ok(Redirect::to(&link(["dossiers", &made])))
}

async fn feed(
    State(sheet): State<Sheet>,
    Path(name): Path<String>,
    posted: Posted,
) -> Result<Redirect, Problem> {
    let order = posted.fields.get("order")?.to_owned();
    let lesson = posted.fields.text("lesson").to_owned();
    let dossier = name.clone();
    sheet.ask(move |store| store.feed_back(&order, &dossier, &lesson, &posted.visitor.by)).await?;
    Ok(Redirect::to(&link(["dossiers", &name])))
}

/// The page of a dossier.
#[derive(Debug)]
pub(crate) struct DossierPage {
    view: DossierView,
    visitor: Visitor,
    typed: Typed,
    base: String,
}

impl DossierPage {
    pub(crate) fn new(view: DossierView, visitor: Visitor, typed: Typed) -> Self {
        let base = link(["dossiers", &view.document.key.name]);
        Self { view, visitor, typed, base }
    }

    fn facts(&self) -> Facts<'_> {
        Facts {
            base: &self.base,
            token: &self.visitor.token,
            form: &self.view.document.form,
            findings: &[],
            typed: &self.typed,
        }
    }
}

impl DocumentPage for DossierPage {
    fn blocks(&self) -> Vec<Block> {
        let facts = self.facts();
        let title = self
            .view
            .dossier
            .as_ref()
            .map_or(self.view.document.key.name.as_str(), |dossier| dossier.dossier.model.as_str());
        let head = super::document_head(&facts, &self.view.document, title);
        let side = html! {
            h2 { "Orders of this model" }
            @if self.view.orders.is_empty() { p class="nothing" { "None yet." } }
            ul class="plain" {
                @for order in &self.view.orders { li { a href=(link(["orders", order])) { (order) } } }
            }
            p { a class="button" href="/new-order" { "New order from a dossier" } }
        };
        let revision = self.view.document.revision.get();
        [
            Block::new("head", "head", head),
            Block::new("facts", "facts", facts.all()),
            Block::new("side", "side", side),
            Block::new("loose", "loose", facts.loose()),
        ]
        .map(|block| block.at_revision(revision))
        .into()
    }

    fn page(&self) -> Page {
        super::document_page(self, Room::Dossiers, &self.visitor, &self.base, &self.view.document.key.name)
    }

    fn revision(&self) -> Option<i64> {
        Some(self.view.document.revision.get())
    }
}
