//! The shop itself: where it lies, taking all of it along as one archive, and what was put away.

use std::io::Read;

use axum::body::{Body, Bytes};
use axum::extract::State;
use axum::http::header;
use axum::response::{IntoResponse, Response};
use axum::routing::get;
use axum::{Extension, Router};
use maud::html;
use tokio::sync::mpsc;
use tokio_stream::wrappers::ReceiverStream;

use super::room_head;
use crate::document::{KINDS, address};
use crate::guard::Visitor;
use crate::page::{Page, Room};
use crate::problem::Problem;
use crate::state::Sheet;
use crate::words::capital;

pub(super) fn routes() -> Router<Sheet> {
    Router::new().route("/shop", get(page)).route("/shop/archive", get(archive))
}

async fn page(State(sheet): State<Sheet>, Extension(visitor): Extension<Visitor>) -> Result<Page, Problem> {
    let (place, away) = sheet
        .ask(|store| {
            let mut away = Vec::new();
            for kind in KINDS {
                away.extend(store.put_away(kind)?);
            }
            Ok::<_, shop::ShopError>((store.place().map(|place| place.display().to_string()), away))
        })
        .await?;
    let main = html! {
        (room_head("Shop", "Nothing in it is ever lost: every version of every document is kept, and what is put away can be \
             brought back.", &html! {}))
        section class="narrow" aria-labelledby="where" {
            h2 id="where" { "Where it lies" }
            p class="told" {
                @match &place { Some(place) => code { (place) } None => "In memory only: it is gone when Backshop ends." }
            }
            p class="actions" {
                a class="button" href="/shop/archive" { "Take all of it along as one archive" }
            }
            p class="soft" {
                "Backups while it runs, bringing one back, and documents as files: " code { "backshop help" }
                " lists the commands."
            }
        }
        section class="narrow" aria-labelledby="away" {
            h2 id="away" { "Put away" }
            @if away.is_empty() { p class="nothing" { "Nothing." } }
            ul class="list" {
                @for key in &away {
                    li {
                        a href=(address(key)) {
                            span class="name" { (key.name) } span class="title" { (capital(key.kind.word())) }
                        }
                    }
                }
            }
        }
        @if sheet.pairing_code().is_some() {
            section class="narrow" aria-labelledby="browser" {
                h2 id="browser" { "This browser" }
                p { "Paired as " b { (visitor.by) } "." }
                form method="post" action="/leave" {
                    input type="hidden" name="token" value=(visitor.token); button type="submit" { "Leave" }
                }
            }
        }
    };
    Ok(Page::new("Shop", Room::Shop, &visitor, main))
}

/// A piece of the archive on its way to the browser.
const PIECE: usize = 64 * 1024;

async fn archive(State(sheet): State<Sheet>) -> Result<Response, Problem> {
    let file = sheet.ask(|store| store.archive_for_download()).await?;
    let (send, receive) = mpsc::channel::<std::io::Result<Bytes>>(4);
    tokio::task::spawn_blocking(move || {
        let mut file = file;
        let mut piece = vec![0; PIECE];
        loop {
            let sent = match file.read(&mut piece) {
                Ok(0) => return,
                Ok(length) => Ok(Bytes::copy_from_slice(&piece[..length])),
                Err(cause) => Err(cause),
            };
            let is_over = sent.is_err();
            if send.blocking_send(sent).is_err() || is_over {
                return;
            }
        }
    });
    let headers = [
        (header::CONTENT_TYPE, "application/octet-stream"),
        (header::CONTENT_DISPOSITION, "attachment; filename=\"shop.backshop-archive\""),
    ];
    Ok((headers, Body::from_stream(ReceiverStream::new(receive))).into_response())
}
