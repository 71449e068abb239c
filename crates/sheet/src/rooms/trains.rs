//! Trains: units that run together.

use axum::extract::State;
use axum::response::Redirect;
use axum::routing::get;
use axum::{Extension, Router};
use maud::html;
use shop::{TrainUnitView, TrainView};

use super::room_head;
use crate::blocks::Block;
use crate::document::DocumentPage;
use crate::facts::{Facts, Typed};
use crate::guard::{Posted, Visitor};
use crate::page::{Page, Room};
use crate::problem::Problem;
use crate::state::Sheet;
use crate::words::{capital, link};

pub(super) fn routes() -> Router<Sheet> {
    Router::new().route("/trains", get(list).post(create))
}

async fn list(State(sheet): State<Sheet>, Extension(visitor): Extension<Visitor>) -> Result<Page, Problem> {
    let trains = sheet.ask(shop::Store::trains).await?;
    let main = html! {
        (room_head("Trains", "Who stands where, who blows the horn, which unit powers the train.", &html! {}))
        @if trains.is_empty() { p class="nothing" { "No train yet." } }
        ul class="list" {
            @for train in &trains {
                li { a href=(link(["trains", &train.name])) {
                    span class="name" { (train.name) }
                    span class="title" { (capital(&train.title)) small { (train.units.join(" – ")) } }
                    span class="counts" {
                        @match train.consist_address { Some(address) => { "address " b { (address) } } None => "cannot be read" }
                    }
                } }
            }
        }
        div class="panel narrow" {
            h2 { "New train" }
            form method="post" action="/trains" {
                input type="hidden" name="token" value=(visitor.token);
                label class="labelled" {
                    span { "What it is" }
                    input id="title" name="title" required maxlength="120" autocomplete="off";
                }
                label class="labelled" {
                    span { "Consist address, 1 to 127" }
                    input id="address" name="address" required inputmode="numeric" maxlength="3"
                        autocomplete="off";
                }
                button type="submit" { "Make it up" }
            }
        }
    };
    Ok(Page::new("Trains", Room::Trains, &visitor, main).live("/events"))
}

async fn create(State(sheet): State<Sheet>, posted: Posted) -> Result<Redirect, Problem> {
    let title = posted.fields.text("title").to_owned();
    let address =
        posted.fields.text("address").parse::<u8>().ok().filter(|address| (1..=127).contains(address));
    let address = address.ok_or_else(|| Problem::Refused {
        what: format!("`{}` is no consist address", posted.fields.text("address")),
        help: "write a whole number from 1 to 127".to_owned(),
    })?;
    let name = crate::order::name_from(&title);
    let made = name.clone();
    sheet.ask(move |store| store.create_train(&name, &title, address, &posted.visitor.by)).await?;
    Ok(Redirect::to(&link(["trains", &made])))
}

/// The page of a train.
#[derive(Debug)]
pub(crate) struct TrainPage {
    view: TrainView,
    visitor: Visitor,
    typed: Typed,
    base: String,
}

impl TrainPage {
    pub(crate) fn new(view: TrainView, visitor: Visitor, typed: Typed) -> Self {
        let base = link(["trains", &view.document.key.name]);
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

impl DocumentPage for TrainPage {
    fn blocks(&self) -> Vec<Block> {
        let revision = self.view.document.revision.get();
        let title = self.view.train.as_ref().and_then(|train| train.train.title.clone());
        let facts = self.facts();
        let head = super::document_head(
            &facts,
            &self.view.document,
            &title.unwrap_or_else(|| self.view.document.key.name.clone()),
        );
        let units = html! {
            h2 { "As it runs" }
            @if self.view.units.is_empty() { p class="nothing" { "No units yet." } }
            ol class="consist" { @for unit in &self.view.units { (unit_row(unit)) } }
        };
        [
            Block::new("head", "head", head),
            Block::new("facts", "facts", facts.all()),
            Block::new("side", "side", units),
            Block::new("loose", "loose", facts.loose()),
        ]
        .map(|block| block.at_revision(revision))
        .into()
    }

    fn page(&self) -> Page {
        super::document_page(self, Room::Trains, &self.visitor, &self.base, &self.view.document.key.name)
    }

    fn revision(&self) -> Option<i64> {
        Some(self.view.document.revision.get())
    }
}

fn unit_row(unit: &TrainUnitView) -> maud::Markup {
    html! {
        li {
            p { a href=(link(["orders", &unit.order])) { (unit.order) } " " (unit.model) }
            p class="soft" {
                @if !unit.address.is_empty() { "address " (unit.address) ", " }
                (if unit.is_reversed { "faces to the rear" } else { "faces to the front" })
                @if unit.powers_train { "; powers the train" }
            }
            @for finding in &unit.findings {
                div class={ "finding " (finding.severity.word()) } {
                    (paper::severity_symbol(finding.severity))
                    div {
                        p class="headline" {
                            span class="severity" { (finding.severity.word()) ": " } (finding.headline)
                        }
                        p class="remedy" { (crate::problem::sentence(&finding.remedy)) }
                    }
                }
            }
        }
    }
}
