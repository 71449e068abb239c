//! What comes of a form about a document: a change that was kept, one that was refused, one that clashes with
//! somebody else's.

use std::collections::BTreeMap;

use axum::extract::{FromRequest, Request};
use axum::http::{HeaderMap, StatusCode};
use axum::response::{IntoResponse, Redirect, Response};
use documents::Fault;
use finding::Path;
use forms::form::{Form, Item, List, Remark, Section};
use shop::{DocumentKey, EditOutcome, RevisionNumber, Store};

use super::{address, draw};
use crate::blocks::{Changes, takes_blocks};
use crate::facts::{Typed, place_id};
use crate::guard::{Fields, Posted, Visitor};
use crate::problem::Problem;
use crate::state::Sheet;

/// What a change leads to.
#[derive(Debug, Default)]
pub(crate) struct Done {
    /// What to say aloud.
    pub(crate) said: Option<String>,
    /// The place to go to.
    pub(crate) focus: Option<String>,
    /// What was typed and not kept.
    pub(crate) typed: Typed,
    /// Whether it was kept.
    pub(crate) status: StatusCode,
    /// The document's name, where it has another one now.
    pub(crate) moved_to: Option<DocumentKey>,
}

impl Done {
    /// A change that was kept.
    pub(crate) fn kept(said: impl Into<String>) -> Self {
        Self { said: Some(said.into()), ..Self::default() }
    }

    /// The same, going to a place of the page.
    pub(crate) fn at(mut self, id: impl Into<String>) -> Self {
        self.focus = Some(id.into());
        self
    }
}

/// Carries out a change of a document and answers as its page wants it: with the pieces that differ, or with
/// the page.
pub(crate) async fn changed(
    sheet: Sheet,
    key: DocumentKey,
    request: Request,
    act: impl FnOnce(&Store, &DocumentKey, &Fields, &str) -> Result<Done, Problem> + Send + 'static,
) -> Result<Response, Problem> {
    let headers = request.headers().clone();
    let Posted { fields, visitor } = Posted::from_request(request, &sheet).await?;
    let have = fields.find("have").unwrap_or("").to_owned();
    let (by, of) = (visitor.by.clone(), key.clone());
    let done = sheet.ask(move |store| act(store, &of, &fields, &by)).await?;
    answer(&sheet, key, &visitor, &headers, &have, done).await
}

/// The answer to a change that was carried out.
pub(crate) async fn answer(
    sheet: &Sheet,
    key: DocumentKey,
    visitor: &Visitor,
    headers: &HeaderMap,
    have: &str,
    done: Done,
) -> Result<Response, Problem> {
    if let Some(moved_to) = done.moved_to {
        return Ok(Redirect::to(&address(&moved_to)).into_response());
    }
    let is_kept = done.status == StatusCode::OK;
    if !takes_blocks(headers) && is_kept {
        let place = done.focus.map_or_else(String::new, |id| crate::words::anchor(&id));
        return Ok(Redirect::to(&format!("{}{place}", address(&key))).into_response());
    }
    let drawn = draw(sheet, &key, visitor, done.typed).await?;
    if !takes_blocks(headers) {
        return Ok((done.status, drawn.page()).into_response());
    }
    let changes = Changes {
        blocks: drawn.blocks(),
        revision: drawn.revision(),
        said: done.said,
        focus: done.focus,
        status: done.status,
    };
    Ok(changes.for_page(have, None))
}

/// The revision that a form begins with.
pub(super) fn expected(fields: &Fields) -> Result<RevisionNumber, Problem> {
    let number = fields.get("revision")?.parse();
    number
        .map(RevisionNumber::new)
        .map_err(|_| Problem::BadForm { what: "its revision is no number".to_owned() })
}

/// Keeps the fields of a form that were changed. A new name of an entry is also written wherever the entry is
/// named.
pub(super) fn keep_facts(
    store: &Store,
    key: &DocumentKey,
    fields: &Fields,
    by: &str,
) -> Result<Done, Problem> {
    let mut expected = expected(fields)?;
    let form = store.document(key)?.form;
    let posted: Vec<(Path, String)> =
        fields.under("f:").map(|(path, value)| (Path::new(path), value.to_owned())).collect();
    let (names, plain): (Vec<_>, Vec<_>) =
        posted.iter().cloned().partition(|(path, value)| is_new_name(&form, path, value));
    let mut said = Vec::new();
    let mut now = key.clone();
    if !plain.is_empty() {
        match store.edit_all(key, &plain, expected, by)? {
            EditOutcome::Saved { key, revision, .. } => (now, expected) = (key, revision),
            other => return Ok(refused(&posted, other)),
        }
        said.push("Kept.".to_owned());
    }
    for (path, name) in &names {
        let Some(entry) = path.parent() else { continue };
        match store.rename_entry(&now, &entry, name.trim(), expected, by)? {
            EditOutcome::Saved { revision, .. } => expected = revision,
            other => return Ok(refused(&posted, other)),
        }
        said.push(format!("It is {} now, wherever it is named.", name.trim()));
    }
    Ok(Done { said: Some(said.join(" ")), moved_to: (now != *key).then_some(now), ..Done::default() })
}

/// Whether a field is the name of an entry that is to be another one.
fn is_new_name(form: &Form, path: &Path, value: &str) -> bool {
    let is_name = path.as_str().ends_with(".name");
    let Some(entry) = path.parent().filter(|_| is_name) else { return false };
    let is_entry = lists_of(&form.root).iter().any(|known| **known == entry);
    let now = form.field(path).and_then(|field| field.value.as_deref());
    is_entry && !value.trim().is_empty() && now.is_some() && now != Some(value.trim())
}

/// The paths of all entries of lists.
fn lists_of(section: &Section) -> Vec<&Path> {
    let mut found = Vec::new();
    for item in &section.items {
        match item {
            Item::List(list) => {
                for entry in &list.entries {
                    found.push(&entry.path);
                    found.extend(lists_of(entry));
                }
            }
            Item::Section(section) => found.extend(lists_of(section)),
            Item::Field(_) | Item::Keyed(_) => {}
        }
    }
    found
}

/// The list of a path.
pub(super) fn list_of<'f>(section: &'f Section, path: &Path) -> Option<&'f List> {
    section.items.iter().find_map(|item| match item {
        Item::List(list) if list.path == *path => Some(list),
        Item::List(list) => list.entries.iter().find_map(|entry| list_of(entry, path)),
        Item::Section(section) => list_of(section, path),
        Item::Field(_) | Item::Keyed(_) => None,
    })
}

/// Shows a change that was not kept where it was typed.
pub(super) fn refused(posted: &[(Path, String)], outcome: EditOutcome) -> Done {
    let mut typed = Typed::default();
    match outcome {
        EditOutcome::Saved { .. } => Done::kept("Kept."),
        EditOutcome::Conflict { fields, .. } => {
            let said = format!(
                "Not kept: somebody else changed {} meanwhile. Choose one.",
                told(fields.iter().map(|field| &field.path))
            );
            let focus = fields.first().map(|field| place_id(&field.path));
            let clashing: BTreeMap<Path, _> =
                fields.into_iter().map(|field| (field.path.clone(), field)).collect();
            hold_rest(&mut typed, posted, |path| clashing.contains_key(path));
            typed.clashes = clashing;
            Done { said: Some(said), focus, typed, status: StatusCode::CONFLICT, moved_to: None }
        }
        EditOutcome::Invalid { faults } => {
            let mut focus = None;
            for fault in faults {
                let Some((path, value)) = posted_for(posted, &fault) else { continue };
                focus.get_or_insert_with(|| place_id(path));
                let entry = typed.refused.entry(path.clone()).or_insert_with(|| (value.clone(), Vec::new()));
                entry.1.push(Remark { headline: fault.headline, help: fault.help });
            }
            let faulty: Vec<Path> = typed.refused.keys().cloned().collect();
            hold_rest(&mut typed, posted, |path| faulty.contains(path));
            Done {
                said: Some("Not kept; the field says why.".to_owned()),
                focus,
                typed,
                status: StatusCode::UNPROCESSABLE_ENTITY,
                moved_to: None,
            }
        }
    }
}

/// Nothing of a form is kept where one field is refused; the other fields come back as they were typed.
fn hold_rest(typed: &mut Typed, posted: &[(Path, String)], is_told: impl Fn(&Path) -> bool) {
    if posted.len() > 1 {
        for (path, value) in posted.iter().filter(|(path, _)| !is_told(path)) {
            typed.refused.insert(path.clone(), (value.clone(), Vec::new()));
        }
    }
}

/// The posted field that a fault speaks of: its own, one within its place, one around it, else the first.
fn posted_for<'p>(posted: &'p [(Path, String)], fault: &Fault) -> Option<&'p (Path, String)> {
    let is_within = |inner: &Path, outer: &Path| {
        inner
            .as_str()
            .strip_prefix(outer.as_str())
            .is_some_and(|rest| rest.is_empty() || rest.starts_with('.'))
    };
    posted
        .iter()
        .find(|(path, _)| *path == fault.path)
        .or_else(|| {
            posted.iter().find(|(path, _)| is_within(path, &fault.path) || is_within(&fault.path, path))
        })
        .or(posted.first())
}

fn told<'a>(paths: impl Iterator<Item = &'a Path>) -> String {
    paths.map(|path| path.as_str().replace('-', " ").replace('.', ", ")).collect::<Vec<_>>().join("; ")
}
