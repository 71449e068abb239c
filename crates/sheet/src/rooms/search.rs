//! Search over everything in the shop.

use axum::extract::{Query, State};
use axum::routing::get;
use axum::{Extension, Router};
use maud::{Markup, html};
use serde::Deserialize;
use shop::{Kind, SearchHit};

use super::room_head;
use crate::document::address;
use crate::guard::Visitor;
use crate::page::{Page, Room};
use crate::problem::Problem;
use crate::state::Sheet;
use crate::words::{capital, count};

/// Hits on the page; whoever needs more writes another word.
const MOST_HITS: usize = 60;

pub(super) fn routes() -> Router<Sheet> {
    Router::new().route("/search", get(search))
}

#[derive(Debug, Deserialize)]
struct Asked {
    #[serde(default)]
    q: String,
}

async fn search(
    State(sheet): State<Sheet>,
    Query(Asked { q }): Query<Asked>,
    Extension(visitor): Extension<Visitor>,
) -> Result<Page, Problem> {
    let words: String = q.trim().chars().take(200).collect();
    let asked = words.clone();
    let hits = if words.is_empty() {
        Vec::new()
    } else {
        sheet.ask(move |store| store.search(&asked, MOST_HITS)).await?
    };
    let main = html! {
        (room_head("Search", "Orders, trains, dossiers and parts: names, texts, findings.", &html! {}))
        form class="add" action="/search" {
            label { span { "Words" } input id="words" name="q" type="search" value=(words) autocomplete="off"; }
            button type="submit" { "Search" }
        }
        @if !words.is_empty() {
            p class="told" role="status" {
                (count(hits.len(), "place", "places")) " for “" (words) "”"
                @if hits.len() == MOST_HITS { " or more" }
            }
            ul class="list" { @for hit in &hits { (found(hit)) } }
        }
    };
    Ok(Page::new("Search", Room::Work, &visitor, main))
}

fn found(hit: &SearchHit) -> Markup {
    let kind = match hit.key.kind {
        Kind::BenchTruth => "virtual bench",
        kind => kind.word(),
    };
    html! {
        li { a href=(address(&hit.key)) {
            span class="name" { (hit.key.name) }
            span class="title" {
                (capital(&hit.title))
                small class="excerpt" {
                    @for (piece, is_match) in &hit.excerpt {
                        @if *is_match { mark { (piece) } } @else { (piece) }
                    }
                }
            }
            span class="counts" { (capital(kind)) }
        } }
    }
}
