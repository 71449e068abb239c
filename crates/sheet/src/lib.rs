//! The bench sheet: Backshop in the browser.
//!
//! What it is: pages for one opened shop, served on this machine or, to paired browsers, on the network. A work
//! order is one page from top to bottom; facts are forms, answers stand beside them and are brought up to date
//! in place. Every page can be read and every form sent without scripts.
//! What it is not: a place where anything is computed or kept. It asks the room `shop` and draws what it gets.
//!
//! [`router`] is the whole of it, to be driven in process by tests; [`serve`] binds it to an address.
//! SECURITY.md tells what the sheet defends against and how.

mod assets;
mod blocks;
mod document;
mod events;
mod facts;
mod guard;
mod order;
mod page;
mod problem;
mod rooms;
mod serve;
mod state;
mod words;

use axum::Router;
use axum::extract::DefaultBodyLimit;
use axum::middleware::from_fn_with_state;
use axum::routing::get;
use tower_http::compression::CompressionLayer;
use tower_http::limit::RequestBodyLimitLayer;

pub use guard::Reach;
pub use serve::{Config, Opened, ServeError, serve, serve_here};
pub use state::Sheet;

/// The largest form: a document of 4 MiB, each character of which may take three when it is sent.
const MOST_FORM: usize = 13 << 20;
/// The largest request of all: a photo.
const MOST_REQUEST: usize = 22 << 20;

/// Every page and every change, behind the door.
pub fn router(sheet: Sheet) -> Router {
    Router::new()
        .merge(document::routes::routes())
        .merge(order::routes::routes())
        .merge(rooms::routes())
        .route("/assets/{seal}/{name}", get(assets::serve))
        .fallback(nothing_here)
        .layer(DefaultBodyLimit::max(MOST_FORM))
        .layer(RequestBodyLimitLayer::new(MOST_REQUEST))
        .layer(from_fn_with_state(sheet.clone(), guard::guard))
        .layer(CompressionLayer::new())
        .with_state(sheet)
}

async fn nothing_here() -> problem::Problem {
    problem::Problem::NotFound { what: "page at this address".to_owned() }
}
