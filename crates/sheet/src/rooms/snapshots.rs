//! Snapshots of decoders: what each held at one moment, and what differs between two of them, in words.

use axum::extract::{Path, State};
use axum::routing::get;
use axum::{Extension, Router};
use maud::{Markup, html};
use shop::{SnapshotDifference, SnapshotId, SnapshotView};

use super::room_head;
use crate::guard::Visitor;
use crate::page::{Page, Room};
use crate::problem::Problem;
use crate::state::Sheet;
use crate::words::{count, link, time};

pub(super) fn routes() -> Router<Sheet> {
    Router::new()
        .route("/snapshots/{id}", get(snapshot))
        .route("/snapshots/{id}/against/{other}", get(against))
}

async fn snapshot(
    State(sheet): State<Sheet>,
    Path(id): Path<i64>,
    Extension(visitor): Extension<Visitor>,
) -> Result<Page, Problem> {
    let view = sheet.ask(move |store| store.snapshot(SnapshotId::new(id))).await?;
    let main = html! {
        (head(&view))
        div class="wide" { table {
            caption { (count(view.rows.len(), "CV", "CVs")) " as they were read" }
            thead {
                tr {
                    th scope="col" { "CV" } th scope="col" class="number" { "value" }
                    th scope="col" { "what it means" }
                }
            }
            tbody { @for row in &view.rows { tr {
                th scope="row" { (row.place) }
                td class="number" { (value(row.value)) }
                td {
                    @for (index, (role, words)) in row.meanings.iter().enumerate() {
                        @if index > 0 { "; " } (role) ": " (words)
                    }
                }
            } } }
        } }
    };
    Ok(Page::new("Snapshot", Room::Work, &visitor, main))
}

fn head(view: &SnapshotView) -> Markup {
    let order = html! { a class="button" href=(link(["orders", &view.head.order])) { "To order " (view.head.order) } };
    html! {
        (room_head("Snapshot", "Everything that was read from a decoder at one moment. It is never changed.", &order))
        p class="told" {
            (time(view.head.at)) ", " (view.head.by) ", " (view.head.decoder)
            @if !view.head.note.is_empty() { ", " (view.head.note) }
        }
    }
}

fn value(value: Option<u8>) -> String {
    value.map_or_else(|| "no answer".to_owned(), |value| value.to_string())
}

async fn against(
    State(sheet): State<Sheet>,
    Path((id, other)): Path<(i64, i64)>,
    Extension(visitor): Extension<Visitor>,
) -> Result<Page, Problem> {
    let (before, after) = (SnapshotId::new(id), SnapshotId::new(other));
    let (one, two, differences) = sheet
        .ask(move |store| {
            Ok::<_, shop::ShopError>((
                store.snapshot(before)?.head,
                store.snapshot(after)?.head,
                store.snapshot_differences(before, after)?,
            ))
        })
        .await?;
    let order = html! { a class="button" href=(link(["orders", &two.order])) { "To order " (two.order) } };
    let main = html! {
        (room_head("What changed", "Between two snapshots of a decoder.", &order))
        p class="told" { "From " (time(one.at)) " to " (time(two.at)) }
        @if differences.is_empty() { p class="nothing" { "Nothing differs." } } @else { (table(&differences)) }
    };
    Ok(Page::new("What changed", Room::Work, &visitor, main))
}

fn table(differences: &[SnapshotDifference]) -> Markup {
    html! {
        div class="wide" { table {
            caption { (count(differences.len(), "CV differs", "CVs differ")) }
            thead { tr {
                th scope="col" { "CV" }
                th scope="col" { "in words" }
                th scope="col" class="number" { "was" }
                th scope="col" class="number" { "is" }
            } }
            tbody { @for one in differences { tr {
                th scope="row" { (one.place) }
                td { @if one.words.is_empty() { "–" } (one.words.join("; ")) }
                td class="number" { (value(one.before)) }
                td class="number" { b { (value(one.after)) } }
            } } }
        } }
    }
}
