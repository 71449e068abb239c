//! Style sheet, modules and the mark, carried in the program.
//!
//! All of them stand below one path that holds the hash of their contents: a browser may keep them for ever,
//! and a new version of the program has a new path. Modules find each other because they lie in the same place.

use std::sync::LazyLock;

use axum::extract::Path;
use axum::http::{HeaderValue, header};
use axum::response::{IntoResponse, Response};
use rust_embed::RustEmbed;
use sha2::{Digest, Sha256};

use crate::problem::Problem;

#[derive(RustEmbed)]
#[folder = "$CARGO_MANIFEST_DIR/assets"]
struct Embedded;

/// The style sheet's pieces in the order in which they follow each other; that of drawings comes from the room
/// of paper.
const STYLE: [&str; 6] = [
    "style/ground.css",
    "style/frame.css",
    "style/controls.css",
    "style/order.css",
    "style/figures.css",
    "style/pages.css",
];

/// The name under which the joined style sheet is served.
const STYLE_SHEET: &str = "sheet.css";

/// The style sheet, joined once.
static JOINED: LazyLock<String> = LazyLock::new(|| {
    let mut joined = String::new();
    for name in STYLE {
        if let Some(piece) = Embedded::get(name) {
            joined.push_str(&String::from_utf8_lossy(&piece.data));
        }
    }
    joined.push_str(paper::drawing::DRAWING_CSS);
    joined
});

/// The hash of everything that is served from here.
static SEAL: LazyLock<String> = LazyLock::new(|| {
    let mut hasher = Sha256::new();
    hasher.update(JOINED.as_bytes());
    let mut names: Vec<_> = Embedded::iter().collect();
    names.sort();
    for name in names {
        if let Some(file) = Embedded::get(&name) {
            hasher.update(name.as_bytes());
            hasher.update(&file.data);
        }
    }
    hasher.finalize().iter().take(8).map(|byte| format!("{byte:02x}")).collect()
});

/// Where an asset is found.
pub(crate) fn path_of(name: &str) -> String {
    format!("/assets/{}/{name}", *SEAL)
}

/// Serves an asset.
pub(crate) async fn serve(Path((seal, name)): Path<(String, String)>) -> Result<Response, Problem> {
    let missing = || Problem::NotFound { what: "such an asset".to_owned() };
    let (kind, bytes) = match name.rsplit_once('.') {
        Some((_, "css")) if name == STYLE_SHEET => ("text/css; charset=utf-8", JOINED.as_bytes().to_vec()),
        Some((_, "css")) => ("text/css; charset=utf-8", embedded(&name).ok_or_else(missing)?),
        Some((_, "js")) => ("text/javascript; charset=utf-8", embedded(&name).ok_or_else(missing)?),
        Some((_, "svg")) => ("image/svg+xml", embedded(&name).ok_or_else(missing)?),
        _ => return Err(missing()),
    };
    // A page from before an update asks with the old hash; it gets the new file, but must not keep it under
    // that name.
    let keep = if seal == *SEAL { "public, max-age=31536000, immutable" } else { "no-store" };
    let headers = [
        (header::CONTENT_TYPE, HeaderValue::from_static(kind)),
        (header::CACHE_CONTROL, HeaderValue::from_static(keep)),
    ];
    Ok((headers, bytes).into_response())
}

fn embedded(name: &str) -> Option<Vec<u8>> {
    Embedded::get(name).map(|file| file.data.into_owned())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_piece_of_the_style_sheet_is_there_and_fetches_nothing() {
        for name in STYLE {
            assert!(Embedded::get(name).is_some(), "{name} is missing");
        }
        for name in Embedded::iter().filter(|name| name.starts_with("style/")) {
            assert!(STYLE.contains(&name.as_ref()), "{name} is not joined");
        }
        for foreign in ["@import", "url(", "http"] {
            assert!(!JOINED.contains(foreign), "the style sheet holds {foreign}");
        }
    }
}
