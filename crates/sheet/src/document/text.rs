//! A document as text: what a person writes is kept as it is, faults and all, with what cannot be read told
//! beside it.

use axum::Extension;
use axum::extract::State;
use axum::http::StatusCode;
use axum::response::{IntoResponse, Redirect, Response};
use maud::{Markup, html};
use shop::{DocumentKey, DocumentView, EditOutcome, FieldConflict};

use super::history::room;
use super::{address, sent};
use crate::guard::{Posted, Visitor};
use crate::page::Page;
use crate::problem::{Problem, sentence};
use crate::state::Sheet;
use crate::words::count;

pub(super) async fn page(
    State(sheet): State<Sheet>,
    key: DocumentKey,
    Extension(visitor): Extension<Visitor>,
) -> Result<Page, Problem> {
    let view = sheet.ask(move |store| store.document(&key)).await?;
    let text = view.text.clone();
    Ok(editor(&view, &visitor, &text, &[]))
}

pub(super) async fn keep(
    State(sheet): State<Sheet>,
    key: DocumentKey,
    posted: Posted,
) -> Result<Response, Problem> {
    let expected = sent::expected(&posted.fields)?;
    let text = posted.fields.get("text")?.replace("\r\n", "\n");
    let (of, by, typed) = (key.clone(), posted.visitor.by.clone(), text.clone());
    let outcome = sheet.ask(move |store| store.replace_text(&of, &typed, expected, &by)).await?;
    Ok(match outcome {
        EditOutcome::Saved { key, faults, .. } if faults.is_empty() => {
            Redirect::to(&address(&key)).into_response()
        }
        EditOutcome::Saved { key, .. } => Redirect::to(&format!("{}/text", address(&key))).into_response(),
        EditOutcome::Invalid { .. } => {
            let view = sheet.ask(move |store| store.document(&key)).await?;
            (StatusCode::UNPROCESSABLE_ENTITY, editor(&view, &posted.visitor, &text, &[])).into_response()
        }
        EditOutcome::Conflict { fields, .. } => {
            let view = sheet.ask(move |store| store.document(&key)).await?;
            (StatusCode::CONFLICT, editor(&view, &posted.visitor, &text, &fields)).into_response()
        }
    })
}

fn editor(view: &DocumentView, visitor: &Visitor, text: &str, clashes: &[FieldConflict]) -> Page {
    let base = address(&view.key);
    let main = html! {
        div class="page-head" {
            div {
                p class="soft" { a href=(base) { (view.key.name) } } h1 { "As text" }
                p {
                    "As a file of it would hold it. Whatever you write is kept; what cannot be read is told here."
                }
            }
        }
        (clashing(clashes))
        @if let Some(faults) = &view.faults {
            section class="unreadable" aria-labelledby="faults-heading" {
                h2 id="faults-heading" { (count(faults.list.len(), "thing", "things")) " cannot be read" }
                ul {
                    @for fault in &faults.list {
                        @let place = faults.source.position(fault.span.start);
                        li {
                            b { "Line " (place.line) ", column " (place.column) ": " }
                            (sentence(&fault.headline)) " " (sentence(&fault.help))
                            pre { (faults.source.line_at(fault.span.start)) }
                        }
                    }
                }
            }
        }
        form class="text-edit" method="post" action={ (base) "/text" } {
            input type="hidden" name="token" value=(visitor.token);
            input type="hidden" name="revision" value=(view.revision.get());
            label class="labelled" {
                span { "The document" }
                textarea id="text" name="text" spellcheck="false" autocapitalize="off" autocomplete="off" {
                    "\n" (text)
                }
            }
            button class="first" type="submit" { "Keep" }
        }
    };
    Page::new(format!("{} as text", view.key.name), room(view.key.kind), visitor, main)
}

fn clashing(clashes: &[FieldConflict]) -> Markup {
    let told = |value: &Option<String>| value.clone().unwrap_or_else(|| "nothing".to_owned());
    html! {
        @if !clashes.is_empty() {
            section class="clash" role="alert" {
                p {
                    b { "Somebody else changed the same meanwhile; nothing was kept yet." }
                    " Your text stands below. Keeping it now takes yours in these places."
                }
                dl {
                    @for field in clashes {
                        dt { (field.path) }
                        dd { "yours: " (told(&field.yours)) "; theirs: " (told(&field.theirs)) }
                    }
                }
            }
        }
    }
}
