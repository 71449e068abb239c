//! Photos and sounds: bytes that come and go.

use axum::extract::{FromRequest, Path, Request, State};
use axum::http::{HeaderMap, HeaderValue, StatusCode, header};
use axum::response::{IntoResponse, Response};
use shop::{DocumentKey, PhotoId};
use workorder::WorkStage;

use super::head::stage_id;
use super::listening::rendering_of;
use crate::document::{Done, answer};
use crate::guard::Upload;
use crate::problem::Problem;
use crate::state::Sheet;

pub(super) async fn add_photo(
    State(sheet): State<Sheet>,
    Path(name): Path<String>,
    request: Request,
) -> Result<Response, Problem> {
    let headers = request.headers().clone();
    let Upload { fields, file, visitor } = Upload::from_request(request, &sheet).await?;
    let stage = stage_of(fields.text("stage"))?;
    let (order, caption, by) = (name.clone(), fields.text("caption").to_owned(), visitor.by.clone());
    sheet.ask(move |store| store.add_photo(&order, stage, &caption, &file, &by)).await?;
    let done = Done::kept("The photo is kept.").at(format!("photo-{}", stage_id(stage.word())));
    let have = fields.find("have").unwrap_or("").to_owned();
    answer(&sheet, DocumentKey::order(name), &visitor, &headers, &have, done).await
}

/// The stage of a word.
pub(super) fn stage_of(word: &str) -> Result<WorkStage, Problem> {
    let stage = WorkStage::ALL.iter().copied().find(|stage| stage.word() == word);
    stage.ok_or_else(|| Problem::BadForm { what: "it names no stage of the work".to_owned() })
}

pub(super) async fn photo(State(sheet): State<Sheet>, Path(id): Path<i64>) -> Result<Response, Problem> {
    let (view, bytes) = sheet.ask(move |store| store.photo(PhotoId::new(id))).await?;
    // The type was found from the bytes themselves when the photo came in; nothing else is ever served as a
    // picture.
    let kind =
        HeaderValue::from_str(&view.mime).unwrap_or(HeaderValue::from_static("application/octet-stream"));
    let headers = [
        (header::CONTENT_TYPE, kind),
        (header::CACHE_CONTROL, HeaderValue::from_static("private, max-age=31536000, immutable")),
    ];
    Ok((headers, bytes).into_response())
}

pub(super) async fn sound(
    State(sheet): State<Sheet>,
    Path((name, file)): Path<(String, String)>,
    headers: HeaderMap,
) -> Result<Response, Problem> {
    let rendering =
        rendering_of(&file).ok_or_else(|| Problem::NotFound { what: "such a sound".to_owned() })?;
    let sound = sheet.ask(move |store| store.sound(&name, rendering)).await?;
    Ok(ranged(&sound, &headers, "audio/wav"))
}

/// Bytes, or the part of them that was asked for: players ask for parts, and some do not play without.
///
/// Source: RFC 9110, section 14 (a single range of bytes; several are answered with the whole, as it allows).
fn ranged(bytes: &[u8], headers: &HeaderMap, kind: &'static str) -> Response {
    let length = bytes.len();
    let asked = headers
        .get(header::RANGE)
        .and_then(|value| value.to_str().ok())
        .and_then(|value| value.strip_prefix("bytes="));
    let fixed = [(header::CONTENT_TYPE, kind), (header::ACCEPT_RANGES, "bytes")];
    match asked.map(|asked| range(asked, length)) {
        None | Some(Asked::Whole) => (fixed, bytes.to_vec()).into_response(),
        Some(Asked::Part(first, last)) => {
            let told = [(header::CONTENT_RANGE, format!("bytes {first}-{last}/{length}"))];
            (StatusCode::PARTIAL_CONTENT, fixed, told, bytes[first..=last].to_vec()).into_response()
        }
        Some(Asked::Beyond) => {
            (StatusCode::RANGE_NOT_SATISFIABLE, [(header::CONTENT_RANGE, format!("bytes */{length}"))])
                .into_response()
        }
    }
}

#[derive(Debug, PartialEq, Eq)]
enum Asked {
    Whole,
    Part(usize, usize),
    Beyond,
}

fn range(asked: &str, length: usize) -> Asked {
    let Some((first, last)) = asked.split_once('-').filter(|_| !asked.contains(',')) else {
        return Asked::Whole;
    };
    let number = |text: &str| text.trim().parse::<usize>().ok();
    let (first, last) = match (first.trim().is_empty(), last.trim().is_empty()) {
        (true, false) => match number(last) {
            Some(0) => return Asked::Beyond,
            Some(n) => (length.saturating_sub(n), length.saturating_sub(1)),
            None => return Asked::Whole,
        },
        (false, true) => match number(first) {
            Some(first) => (first, length.saturating_sub(1)),
            None => return Asked::Whole,
        },
        (false, false) => match (number(first), number(last)) {
            (Some(first), Some(last)) if first <= last => (first, last.min(length.saturating_sub(1))),
            _ => return Asked::Whole,
        },
        (true, true) => return Asked::Whole,
    };
    if first < length { Asked::Part(first, last) } else { Asked::Beyond }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The examples of RFC 9110, section 14.1.2, for a representation of 10 000 bytes.
    #[test]
    fn ranges_of_the_standard() {
        assert_eq!(range("0-499", 10_000), Asked::Part(0, 499));
        assert_eq!(range("500-999", 10_000), Asked::Part(500, 999));
        assert_eq!(range("-500", 10_000), Asked::Part(9500, 9999));
        assert_eq!(range("9500-", 10_000), Asked::Part(9500, 9999));
        assert_eq!(range("0-0,-1", 10_000), Asked::Whole);
        assert_eq!(range("10000-", 10_000), Asked::Beyond);
        assert_eq!(range("9000-20000", 10_000), Asked::Part(9000, 9999));
        assert_eq!(range("-20000", 10_000), Asked::Part(0, 9999));
        assert_eq!(range("5-2", 10_000), Asked::Whole);
        assert_eq!(range("x-", 10_000), Asked::Whole);
        assert_eq!(range("0-", 0), Asked::Beyond);
    }
}
