//! The rooms of the shop beside the work order: the board, trains, dossiers, parts, rules, the shop itself, and
//! the ways in.

mod board;
mod dossiers;
mod parts;
mod rules;
mod search;
mod shop_file;
mod snapshots;
mod start;
mod trains;

use axum::Router;
use maud::{Markup, html};
use shop::DocumentView;

use crate::document::DocumentPage;
use crate::facts::Facts;
use crate::guard::Visitor;
use crate::page::{Page, Room};
use crate::problem::sentence;
use crate::state::Sheet;
use crate::words::{capital, count};

pub(crate) use dossiers::DossierPage;
pub(crate) use parts::PartPage;
pub(crate) use trains::TrainPage;

pub(crate) fn routes() -> Router<Sheet> {
    Router::new()
        .merge(board::routes())
        .merge(start::routes())
        .merge(trains::routes())
        .merge(dossiers::routes())
        .merge(parts::routes())
        .merge(snapshots::routes())
        .merge(search::routes())
        .merge(rules::routes())
        .merge(shop_file::routes())
}

/// The head of a room: its name, what it is for, and what can be begun here.
fn room_head(heading: &str, about: &str, actions: &Markup) -> Markup {
    html! {
        div class="page-head" {
            div { h1 { (heading) } @if !about.is_empty() { p { (about) } } }
            div class="actions" { (actions) }
        }
    }
}

/// The head of a document that is not an order: its title, and the ways back and forth.
fn document_head(facts: &Facts<'_>, document: &DocumentView, title: &str) -> Markup {
    let step = |act: &str, word: &str, is_possible: bool| {
        html! {
            form method="post" action={ (facts.base) "/" (act) } data-live {
                (facts.hidden())
                button class="plain" type="submit" disabled[!is_possible] { (word) }
            }
        }
    };
    html! {
        header class="page-head" {
            div { p class="soft" { (document.key.name) } h1 { (capital(title)) } }
            div class="actions" {
                (step("undo", "Undo", document.can_undo))
                (step("redo", "Redo", document.can_redo))
                a class="button plain" href={ (facts.base) "/history" } { "History" }
                a class="button plain" href={ (facts.base) "/text" } { "Text" }
                @if document.is_deleted {
                    (step("bring-back", "Bring it back", true))
                } @else {
                    (step("away", "Put away", true))
                }
            }
        }
        @if document.is_deleted {
            p class="unreadable" { b { "This was put away." } " It is kept, and can be brought back." }
        }
        @if let Some(faults) = &document.faults {
            section class="unreadable" aria-labelledby="faults-heading" {
                h2 id="faults-heading" { (count(faults.list.len(), "thing", "things")) " cannot be read" }
                ul {
                    @for fault in &faults.list {
                        li {
                            "Line " (faults.source.position(fault.span.start).line) ": "
                            (sentence(&fault.headline)) " " (sentence(&fault.help))
                        }
                    }
                }
            }
        }
    }
}

/// The page of a document that is not an order: its facts on one side, what the shop knows of it on the other.
fn document_page(of: &dyn DocumentPage, room: Room, visitor: &Visitor, base: &str, name: &str) -> Page {
    let blocks = of.blocks();
    let block =
        |name: &str| html! { @for block in blocks.iter().filter(|block| block.name() == name) { (block) } };
    let main = html! {
        (block("head"))
        div class="columns" { (block("facts")) (block("side")) }
        (block("loose"))
    };
    let page = Page::new(name, room, visitor, main);
    if of.revision().is_none() {
        return page;
    }
    page.live(format!("{base}/events")).with_blocks(format!("{base}/blocks"), of.revision())
}
