//! The routes that documents of every kind have.

use axum::Extension;
use axum::Router;
use axum::extract::{Path, Query, Request, State};
use axum::response::{IntoResponse, Response};
use axum::routing::{get, post};
use finding::Path as FactPath;
use serde::Deserialize;
use shop::{DocumentKey, EditOutcome, RevisionNumber, Store};

use super::sent::{expected, keep_facts, refused};
use super::{Done, KINDS, changed, draw, history, text};
use crate::blocks::Changes;
use crate::events;
use crate::facts::{Typed, place_id};
use crate::guard::{Fields, Visitor};
use crate::page::Page;
use crate::problem::Problem;
use crate::state::Sheet;

/// A change of a document: the shop, which document, what was sent, and by whom.
type Act = fn(&Store, &DocumentKey, &Fields, &str) -> Result<Done, Problem>;

/// Every change that documents of all kinds allow, by the last step of its address.
const ACTS: [(&str, Act); 9] = [
    ("facts", keep_facts),
    ("entries/add", add_entry),
    ("entries/remove", remove_entry),
    ("entries/key", add_key),
    ("undo", undo),
    ("redo", redo),
    ("away", put_away),
    ("bring-back", bring_back),
    ("history/back", go_back),
];

pub(crate) fn routes() -> Router<Sheet> {
    KINDS.into_iter().fold(Router::new(), |router, kind| {
        let at = |rest: &str| format!("/{}/{{name}}{rest}", kind.folder());
        let key = move |name: String| DocumentKey::new(kind, name);
        let router = router
            .route(&at(""), get(move |sheet, Path(name), visitor| page(sheet, key(name), visitor)))
            .route(
                &at("/blocks"),
                get(move |sheet, Path(name), query, visitor| blocks(sheet, key(name), query, visitor)),
            )
            .route(&at("/events"), get(move |sheet, Path(name)| document_events(sheet, key(name))))
            .route(
                &at("/history"),
                get(move |sheet, Path(name), visitor| history::page(sheet, key(name), visitor)),
            )
            .route(
                &at("/history/{revision}"),
                get(move |sheet, Path((name, revision)), visitor| {
                    history::revision(sheet, key(name), revision, visitor)
                }),
            )
            .route(
                &at("/text"),
                get(move |sheet, Path(name), visitor| text::page(sheet, key(name), visitor))
                    .post(move |sheet, Path(name), posted| text::keep(sheet, key(name), posted)),
            );
        ACTS.into_iter().fold(router, |router, (step, act)| {
            router.route(
                &at(&format!("/{step}")),
                post(move |State(sheet): State<Sheet>, Path(name): Path<String>, request: Request| {
                    changed(sheet, key(name), request, act)
                }),
            )
        })
    })
}

async fn page(
    State(sheet): State<Sheet>,
    key: DocumentKey,
    Extension(visitor): Extension<Visitor>,
) -> Result<Page, Problem> {
    Ok(draw(&sheet, &key, &visitor, Typed::default()).await?.page())
}

/// What a live page has, and what it asks for.
#[derive(Debug, Deserialize)]
struct Wanted {
    #[serde(default)]
    have: String,
    only: Option<String>,
}

async fn blocks(
    State(sheet): State<Sheet>,
    key: DocumentKey,
    Query(wanted): Query<Wanted>,
    Extension(visitor): Extension<Visitor>,
) -> Result<Response, Problem> {
    let drawn = draw(&sheet, &key, &visitor, Typed::default()).await?;
    // A piece by itself tells no revision: the others may still show an older one.
    let revision = if wanted.only.is_none() { drawn.revision() } else { None };
    Ok(Changes::of(drawn.blocks(), revision).for_page(&wanted.have, wanted.only.as_deref()))
}

async fn document_events(State(sheet): State<Sheet>, key: DocumentKey) -> Response {
    events::stream(&sheet, events::Interest::Document(key)).into_response()
}

fn add_entry(store: &Store, key: &DocumentKey, fields: &Fields, by: &str) -> Result<Done, Problem> {
    let list = FactPath::new(fields.get("list")?);
    let values: Vec<(String, String)> = fields
        .under("v:")
        .filter(|(key, value)| *key != "name" && !value.trim().is_empty())
        .map(|(key, value)| (key.to_owned(), value.to_owned()))
        .collect();
    let name = Some(fields.text("v:name")).filter(|name| !name.is_empty());
    match store.add_entry(key, &list, name, &values, expected(fields)?, by)? {
        EditOutcome::Saved { .. } => {
            let entry = match name {
                Some(name) => Some(list.join(name)),
                None => last_entry(store, key, &list)?,
            };
            Ok(Done::kept("Added.").at(place_id(&entry.unwrap_or(list))))
        }
        other => Ok(told_only(other)?),
    }
}

/// The path of a list's last entry, which is where new ones go.
fn last_entry(store: &Store, key: &DocumentKey, list: &FactPath) -> Result<Option<FactPath>, Problem> {
    let form = store.document(key)?.form;
    let found = super::sent::list_of(&form.root, list);
    Ok(found.and_then(|list| list.entries.last()).map(|entry| entry.path.clone()))
}

fn remove_entry(store: &Store, key: &DocumentKey, fields: &Fields, by: &str) -> Result<Done, Problem> {
    let entry = FactPath::new(fields.get("entry")?);
    match store.remove_entry(key, &entry, expected(fields)?, by)? {
        EditOutcome::Saved { .. } => {
            let done = Done::kept("Taken out; Undo brings it back.");
            Ok(entry.parent().map_or_else(Done::default, |list| done.at(place_id(&list))))
        }
        other => Ok(told_only(other)?),
    }
}

fn add_key(store: &Store, key: &DocumentKey, fields: &Fields, by: &str) -> Result<Done, Problem> {
    let name = fields.text("key");
    let path = FactPath::new(fields.get("table")?).join(name);
    if name.is_empty() || name.contains('.') {
        return Err(Problem::Refused {
            what: "a key needs a name".to_owned(),
            help: "write one like F5".to_owned(),
        });
    }
    match store.edit(key, &path, fields.text("value"), expected(fields)?, by)? {
        EditOutcome::Saved { .. } => Ok(Done::kept("Added.").at(place_id(&path))),
        other => Ok(told_only(other)?),
    }
}

/// A refusal that no field on the page can show.
fn told_only(outcome: EditOutcome) -> Result<Done, Problem> {
    if let EditOutcome::Invalid { faults } = &outcome
        && let Some(fault) = faults.first()
    {
        return Err(Problem::Refused { what: fault.headline.clone(), help: fault.help.clone() });
    }
    Ok(refused(&[], outcome))
}

fn undo(store: &Store, key: &DocumentKey, _: &Fields, by: &str) -> Result<Done, Problem> {
    Ok(match store.undo(key, by)? {
        Some(_) => Done::kept("Undone."),
        None => Done::kept("There is nothing to undo."),
    })
}

fn redo(store: &Store, key: &DocumentKey, _: &Fields, by: &str) -> Result<Done, Problem> {
    Ok(match store.redo(key, by)? {
        Some(_) => Done::kept("Done again."),
        None => Done::kept("There is nothing to do again."),
    })
}

fn put_away(store: &Store, key: &DocumentKey, _: &Fields, by: &str) -> Result<Done, Problem> {
    store.delete(key, by)?;
    Ok(Done::kept("Put away. It is kept, and can be brought back."))
}

fn bring_back(store: &Store, key: &DocumentKey, _: &Fields, by: &str) -> Result<Done, Problem> {
    store.restore(key, by)?;
    Ok(Done::kept("It is back."))
}

fn go_back(store: &Store, key: &DocumentKey, fields: &Fields, by: &str) -> Result<Done, Problem> {
    let to = fields.get("to")?.parse();
    let to =
        to.map_err(|_| Problem::BadForm { what: "the version to go back to is no number".to_owned() })?;
    store.go_back_to(key, RevisionNumber::new(to), by)?;
    Ok(Done::kept("It says again what it said then."))
}
