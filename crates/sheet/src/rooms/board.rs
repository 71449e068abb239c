//! The work board: every order by what it waits for. On the first start, the two ways to begin.

use axum::extract::{Query, State};
use axum::response::{IntoResponse, Response};
use axum::routing::get;
use axum::{Extension, Router};
use finding::Severity;
use maud::{Markup, html};
use serde::Deserialize;
use shop::{Board, BoardQuestion, BoardRow, Lane};
use workorder::WaitsFor;

use super::{room_head, start};
use crate::events;
use crate::guard::Visitor;
use crate::page::{Page, Room};
use crate::problem::Problem;
use crate::state::Sheet;
use crate::words::{count, link, time};

/// Orders on one page of the board.
const ROWS: usize = 60;

pub(super) fn routes() -> Router<Sheet> {
    Router::new().route("/", get(board)).route("/events", get(list_events))
}

#[derive(Debug, Deserialize)]
struct Asked {
    #[serde(default)]
    lane: String,
    #[serde(default)]
    skip: usize,
}

async fn board(
    State(sheet): State<Sheet>,
    Query(asked): Query<Asked>,
    Extension(visitor): Extension<Visitor>,
) -> Result<Page, Problem> {
    let lane = lanes().find(|lane| lane_step(*lane) == asked.lane);
    let question = BoardQuestion { lane, skip: asked.skip, limit: ROWS };
    let (is_empty, board) = sheet
        .ask(move |store| Ok::<_, shop::ShopError>((store.is_empty()?, store.board(&question)?)))
        .await?;
    if is_empty {
        return Ok(start::first_start(&visitor));
    }
    let main = markup(&board, lane, asked.skip);
    Ok(Page::new("Work", Room::Work, &visitor, main).live("/events"))
}

async fn list_events(State(sheet): State<Sheet>) -> Response {
    events::stream(&sheet, events::Interest::Lists).into_response()
}

fn markup(board: &Board, asked: Option<Lane>, skip: usize) -> Markup {
    let on_the_bench = board.counts.iter().filter(|(lane, _)| *lane != Lane::HandedOver);
    let n_all: usize = on_the_bench.map(|(_, number)| number).sum();
    let new = html! { a class="button first" href="/new-order" { "New order" } };
    let of_asked =
        board.counts.iter().find(|(word, _)| Some(*word) == asked).map_or(n_all, |(_, number)| *number);
    let address = |skip: usize| format!("/?lane={}&skip={skip}", asked.map_or("", lane_step));
    html! {
        (room_head("Work", "", &new))
        nav class="sorts" aria-label="what orders wait for" {
            a href="/" aria-current=[asked.is_none().then_some("true")] { "On the bench" span { (n_all) } }
            @for (lane, number) in &board.counts {
                a href={ "/?lane=" (lane_step(*lane)) }
                    aria-current=[(asked == Some(*lane)).then_some("true")] {
                    (heading(*lane)) span { (number) }
                }
            }
        }
        @if board.rows.is_empty() { p class="nothing" { "No order stands here." } }
        ul class="list" { @for row in &board.rows { (line(row)) } }
        @if skip > 0 || of_asked > skip + board.rows.len() {
            nav class="actions" aria-label="pages of the board" {
                @if skip > 0 { a class="button" href=(address(skip.saturating_sub(ROWS))) { "Newer" } }
                @if of_asked > skip + board.rows.len() {
                    a class="button" href=(address(skip + ROWS)) { "Older" }
                }
            }
        }
    }
}

/// Every lane there can be.
fn lanes() -> impl Iterator<Item = Lane> {
    WaitsFor::ALL.iter().copied().map(Lane::Waits).chain([Lane::HandedOver])
}

/// A lane in an address.
fn lane_step(lane: Lane) -> &'static str {
    match lane {
        Lane::Waits(WaitsFor::Parts) => "parts",
        Lane::Waits(WaitsFor::Measurement) => "measurement",
        Lane::Waits(WaitsFor::Track) => "track",
        Lane::Waits(WaitsFor::Client) => "client",
        Lane::Waits(WaitsFor::Nothing) => "nothing",
        Lane::HandedOver => "handed-over",
    }
}

fn heading(lane: Lane) -> String {
    match lane {
        Lane::Waits(WaitsFor::Nothing) => "Can go on".to_owned(),
        Lane::Waits(word) => format!("Waits for {}", word.word()),
        Lane::HandedOver => "Handed over".to_owned(),
    }
}

fn line(row: &BoardRow) -> Markup {
    let counted = Severity::ALL.iter().zip(row.n_findings);
    let counted = counted.filter(|(severity, number)| *number > 0 && **severity != Severity::Note);
    html! {
        li {
            a href=(link(["orders", &row.number])) {
                span class="name" { (row.number) }
                span class="title" { (row.model) small { (heading(row.lane)) " · " (time(row.changed_at)) } }
                span class="counts" {
                    @for (severity, number) in counted {
                        span title=(count(number, severity.word(), severity.word())) {
                            (paper::severity_symbol(*severity)) " " b { (number) }
                            span class="unseen" { " " (severity.word()) }
                        }
                    }
                }
            }
        }
    }
}
