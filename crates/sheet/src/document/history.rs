//! The history of a document: every version with what changed in it, in words, and the way back to any of them.

use axum::Extension;
use axum::extract::State;
use maud::{Markup, html};
use shop::{DocumentKey, HistoryRow, Kind, RevisionNumber, ShopError};

use super::address;
use crate::guard::Visitor;
use crate::page::{Page, Room};
use crate::problem::Problem;
use crate::state::Sheet;
use crate::words::{capital, time};

/// Versions on the page.
const MOST_VERSIONS: usize = 200;

pub(super) async fn page(
    State(sheet): State<Sheet>,
    key: DocumentKey,
    Extension(visitor): Extension<Visitor>,
) -> Result<Page, Problem> {
    let of = key.clone();
    let (rows, revision) = sheet
        .ask(move |store| {
            Ok::<_, ShopError>((store.history(&of, MOST_VERSIONS)?, store.document(&of)?.revision))
        })
        .await?;
    let base = address(&key);
    let main = html! {
        div class="page-head" {
            div {
                p class="soft" { a href=(base) { (key.name) } } h1 { "History" }
                p {
                    "Every version is kept. Going back to one makes a new version, so that nothing is lost by it."
                }
            }
        }
        ol class="revisions" { @for row in &rows { (version(&base, row, &visitor, revision)) } }
        @if rows.len() == MOST_VERSIONS { p class="soft" { "Older versions are kept and not shown." } }
    };
    Ok(Page::new(format!("History of {}", key.name), room(key.kind), &visitor, main))
}

fn version(base: &str, row: &HistoryRow, visitor: &Visitor, present: RevisionNumber) -> Markup {
    let number = row.revision.get();
    html! {
        li class=[row.is_present.then_some("present")] id={ "version-" (number) } {
            p {
                b { (capital(&row.act)) }
                span class="when" { " · " (time(row.at)) " · " (row.by) " · version " (number) }
            }
            @if !row.note.is_empty() { p { (row.note) } }
            ul { @for change in &row.changes { li { (change) } } }
            div class="actions" {
                a class="button plain" href={ (base) "/history/" (number) } { "See it" }
                @if !row.is_present {
                    form method="post" action={ (base) "/history/back" } {
                        input type="hidden" name="token" value=(visitor.token);
                        input type="hidden" name="revision" value=(present.get());
                        input type="hidden" name="to" value=(number);
                        button class="plain" type="submit" { "Go back to this" }
                    }
                }
            }
        }
    }
}

pub(super) async fn revision(
    State(sheet): State<Sheet>,
    key: DocumentKey,
    number: i64,
    Extension(visitor): Extension<Visitor>,
) -> Result<Page, Problem> {
    let of = key.clone();
    let text = sheet.ask(move |store| store.revision_text(&of, RevisionNumber::new(number))).await?;
    let base = address(&key);
    let main = html! {
        div class="page-head" {
            div {
                p class="soft" { a href=(base) { (key.name) } " · " a href={ (base) "/history" } { "history" } }
                h1 { "Version " (number) }
            }
        }
        pre { (text) }
    };
    Ok(Page::new(format!("{}, version {number}", key.name), room(key.kind), &visitor, main))
}

pub(super) fn room(kind: Kind) -> Room {
    match kind {
        Kind::Order | Kind::BenchTruth => Room::Work,
        Kind::Train => Room::Trains,
        Kind::Dossier => Room::Dossiers,
        Kind::Part => Room::Parts,
    }
}
