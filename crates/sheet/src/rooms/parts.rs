//! The parts shelf: sheets of decoders, speakers, boxes, lamps, keep-alives and sockets, and how many of each
//! lie in the drawer.

use axum::extract::{Path, State};
use axum::http::header;
use axum::response::{IntoResponse, Redirect, Response};
use axum::routing::{get, post};
use axum::{Extension, Router};
use datasheets::PartKind;
use maud::{Markup, html};
use shop::{PartRow, PartView};

use super::room_head;
use crate::blocks::Block;
use crate::document::DocumentPage;
use crate::facts::{Facts, Typed};
use crate::guard::{Posted, Visitor};
use crate::page::{Page, Room};
use crate::problem::Problem;
use crate::state::Sheet;
use crate::words::{capital, link, time};

pub(super) fn routes() -> Router<Sheet> {
    Router::new()
        .route("/parts", get(list).post(add))
        .route("/parts/{name}/stock", post(move_stock))
        .route("/parts/{name}/sheet.toml", get(export))
}

async fn list(State(sheet): State<Sheet>, Extension(visitor): Extension<Visitor>) -> Result<Page, Problem> {
    let parts = sheet.ask(shop::Store::parts).await?;
    let kinds: Vec<Option<PartKind>> = PartKind::ALL.iter().copied().map(Some).chain([None]).collect();
    let main = html! {
        (room_head("Parts", "What is known of every part, as data. Sheets of the standards come with Backshop; a sheet of yours \
             with the same name takes its place.", &html! {}))
        @for kind in kinds {
            @let of_kind: Vec<&PartRow> = parts.iter().filter(|part| part.kind == kind).collect();
            @if !of_kind.is_empty() {
                h2 { @match kind { Some(kind) => (capital(kind.word())), None => "Cannot be read" } }
                ul class="list" { @for part in of_kind { (row(part)) } }
            }
        }
        div class="panel" {
            h2 { "Add a sheet" }
            form class="text-edit" method="post" action="/parts" {
                input type="hidden" name="token" value=(visitor.token);
                label class="labelled" {
                    span { "The sheet as text, as a file of it holds it" }
                    textarea id="sheet" name="sheet" rows="10" required {}
                }
                button type="submit" { "Put it on the shelf" }
            }
        }
    };
    Ok(Page::new("Parts", Room::Parts, &visitor, main).live("/events"))
}

fn row(part: &PartRow) -> Markup {
    html! {
        li { a href=(link(["parts", &part.name])) {
            span class="name" { (part.name) }
            span class="title" { (capital(&part.title)) @if part.is_standard { small { "of the standards" } } }
            span class="counts" { @if let Some(pieces) = part.in_stock { b { (pieces) } " in stock" } }
        } }
    }
}

async fn add(State(sheet): State<Sheet>, posted: Posted) -> Result<Redirect, Problem> {
    let text = posted.fields.get("sheet")?.replace("\r\n", "\n");
    let name = sheet.ask(move |store| store.add_part(&text, &posted.visitor.by)).await?;
    Ok(Redirect::to(&link(["parts", &name])))
}

async fn move_stock(
    State(sheet): State<Sheet>,
    Path(name): Path<String>,
    posted: Posted,
) -> Result<Redirect, Problem> {
    let fields = posted.fields;
    let pieces: i64 = fields.text("pieces").parse().map_err(|_| Problem::Refused {
        what: format!("`{}` is no number of pieces", fields.text("pieces")),
        help: "write how many came, or with a minus how many went".to_owned(),
    })?;
    let order = Some(fields.text("order").to_owned()).filter(|order| !order.is_empty());
    let note = fields.text("note").to_owned();
    let part = name.clone();
    sheet
        .ask(move |store| store.move_stock(&part, pieces, order.as_deref(), &note, &posted.visitor.by))
        .await?;
    Ok(Redirect::to(&link(["parts", &name])))
}

async fn export(State(sheet): State<Sheet>, Path(name): Path<String>) -> Result<Response, Problem> {
    let part = sheet.ask(move |store| store.part(&name)).await?;
    let headers =
        [(header::CONTENT_TYPE, "text/plain; charset=utf-8"), (header::CONTENT_DISPOSITION, "attachment")];
    Ok((headers, part.text).into_response())
}

/// The page of a part.
#[derive(Debug)]
pub(crate) struct PartPage {
    view: PartView,
    visitor: Visitor,
    typed: Typed,
    base: String,
}

impl PartPage {
    pub(crate) fn new(view: PartView, visitor: Visitor, typed: Typed) -> Self {
        let base = link(["parts", &view.row.name]);
        Self { view, visitor, typed, base }
    }

    fn facts(&self) -> Option<Facts<'_>> {
        Some(Facts {
            base: &self.base,
            token: &self.visitor.token,
            form: &self.view.document.as_ref()?.form,
            findings: &[],
            typed: &self.typed,
        })
    }

    /// A sheet of the standards is read only; a copy under its name can be changed.
    fn standard(&self) -> Markup {
        html! {
            p { "This sheet comes with the standards and cannot be changed. A copy of yours takes its place." }
            form method="post" action="/parts" {
                input type="hidden" name="token" value=(self.visitor.token);
                textarea class="unseen" name="sheet" aria-label="the sheet" tabindex="-1" readonly {
                    (self.view.text)
                }
                button type="submit" { "Make a copy to change" }
            }
            pre { (self.view.text) }
        }
    }

    fn stock(&self) -> Markup {
        html! {
            h2 { "In the drawer" }
            p class="told" {
                @match self.view.row.in_stock { Some(pieces) => { b { (pieces) } " in stock" } None => "Nobody counted yet." }
            }
            form class="add" method="post" action={ (self.base) "/stock" } {
                input type="hidden" name="token" value=(self.visitor.token);
                label {
                    span { "Came (or −went)" }
                    input id="pieces" name="pieces" required inputmode="numeric" maxlength="7"
                        autocomplete="off";
                }
                label { span { "Into order" } input id="order" name="order" maxlength="60" autocomplete="off"; }
                label { span { "Why" } input id="note" name="note" maxlength="200" autocomplete="off"; }
                button type="submit" { "Note it" }
            }
            @if !self.view.movements.is_empty() {
                table {
                    thead {
                        tr {
                            th scope="col" { "when" } th scope="col" class="number" { "pieces" }
                            th scope="col" { "what for" }
                        }
                    }
                    tbody { @for movement in self.view.movements.iter().take(20) { tr {
                        td { (time(movement.at)) }
                        td class="number" { (format!("{:+}", movement.pieces).replace('-', "−")) }
                        td {
                            @if let Some(order) = &movement.order {
                                a href=(link(["orders", order])) { (order) } " "
                            }
                            (movement.note)
                        }
                    } } }
                }
            }
            @if !self.view.used_by.is_empty() {
                h2 { "Planned in" }
                ul class="plain" {
                    @for order in &self.view.used_by { li { a href=(link(["orders", order])) { (order) } } }
                }
            }
            p {
                a href={ (self.base) "/sheet.toml" } download={ (self.view.row.name) ".toml" } {
                    "Save the sheet as a file"
                }
            }
        }
    }
}

impl DocumentPage for PartPage {
    fn blocks(&self) -> Vec<Block> {
        let facts = self.facts();
        let title = &self.view.row.title;
        let (head, fields, loose) = match (&facts, &self.view.document) {
            (Some(facts), Some(document)) => {
                (super::document_head(facts, document, title), facts.all(), facts.loose())
            }
            _ => (html! { h1 { (capital(title)) } }, self.standard(), html! {}),
        };
        let blocks = [
            Block::new("head", "head", head),
            Block::new("facts", "facts", fields),
            Block::new("side", "side", self.stock()),
            Block::new("loose", "loose", loose),
        ];
        let revision = self.revision().unwrap_or(0);
        blocks.map(|block| block.at_revision(revision)).into()
    }

    fn page(&self) -> Page {
        super::document_page(self, Room::Parts, &self.visitor, &self.base, &self.view.row.name)
    }

    fn revision(&self) -> Option<i64> {
        self.view.document.as_ref().map(|document| document.revision.get())
    }
}
