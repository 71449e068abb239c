//! What a form brings: fields in the order of the page, and files. Both only with the token of the page.

use axum::extract::multipart::{Multipart, MultipartRejection};
use axum::extract::rejection::FormRejection;
use axum::extract::{Form, FromRequest, Request};
use axum::http::StatusCode;

use super::{Visitor, secret};
use crate::problem::Problem;

/// The form field that carries the token.
pub(crate) const TOKEN: &str = "token";

/// The fields of a form in the order of the page.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(crate) struct Fields(Vec<(String, String)>);

impl Fields {
    /// A field that every form of this kind has.
    ///
    /// # Errors
    /// When it is not there.
    pub(crate) fn get(&self, name: &'static str) -> Result<&str, Problem> {
        self.find(name).ok_or(Problem::BadForm { what: format!("the form has no field `{name}`") })
    }

    /// A field that may be left out.
    pub(crate) fn find(&self, name: &str) -> Option<&str> {
        self.0.iter().find(|(known, _)| known == name).map(|(_, value)| value.as_str())
    }

    /// The trimmed text of a field; empty where it is not there.
    pub(crate) fn text(&self, name: &str) -> &str {
        self.find(name).unwrap_or("").trim()
    }

    /// Every field whose name begins with a prefix, which is taken off.
    pub(crate) fn under<'a>(&'a self, prefix: &'a str) -> impl Iterator<Item = (&'a str, &'a str)> {
        self.0.iter().filter_map(move |(name, value)| Some((name.strip_prefix(prefix)?, value.as_str())))
    }
}

/// A form that was sent from a page of ours.
#[derive(Debug)]
pub(crate) struct Posted {
    /// Its fields.
    pub(crate) fields: Fields,
    /// Who sent it.
    pub(crate) visitor: Visitor,
}

impl<S: Send + Sync> FromRequest<S> for Posted {
    type Rejection = Problem;

    async fn from_request(request: Request, state: &S) -> Result<Self, Problem> {
        let visitor = visitor_of(&request)?;
        let Form(fields) =
            Form::<Vec<(String, String)>>::from_request(request, state).await.map_err(form_problem)?;
        let fields = Fields(fields);
        check_token(fields.find(TOKEN), &visitor)?;
        Ok(Self { fields, visitor })
    }
}

/// A form with a file, sent from a page of ours.
#[derive(Debug)]
pub(crate) struct Upload {
    /// Its fields that are no files.
    pub(crate) fields: Fields,
    /// The bytes of its file; what the browser says about name and type is not believed.
    pub(crate) file: Vec<u8>,
    /// Who sent it.
    pub(crate) visitor: Visitor,
}

impl<S: Send + Sync> FromRequest<S> for Upload {
    type Rejection = Problem;

    async fn from_request(request: Request, state: &S) -> Result<Self, Problem> {
        let visitor = visitor_of(&request)?;
        let bad = |rejection: MultipartRejection| Problem::BadForm { what: rejection.to_string() };
        let mut parts = Multipart::from_request(request, state).await.map_err(bad)?;
        let mut fields = Fields::default();
        let mut file = None;
        while let Some(part) = parts.next_field().await.map_err(|error| part_problem(&error))? {
            let name = part.name().unwrap_or("").to_owned();
            if part.file_name().is_none() {
                fields.0.push((name, part.text().await.map_err(|error| part_problem(&error))?));
                continue;
            }
            // The token stands before the file, so that a foreign file is not even read.
            check_token(fields.find(TOKEN), &visitor)?;
            file = Some(part.bytes().await.map_err(|error| part_problem(&error))?.to_vec());
        }
        check_token(fields.find(TOKEN), &visitor)?;
        let file = file.filter(|bytes| !bytes.is_empty());
        let file = file.ok_or(Problem::BadForm { what: "no file was chosen".to_owned() })?;
        Ok(Self { fields, file, visitor })
    }
}

fn visitor_of(request: &Request) -> Result<Visitor, Problem> {
    request.extensions().get::<Visitor>().cloned().ok_or(Problem::NotPaired)
}

fn check_token(token: Option<&str>, visitor: &Visitor) -> Result<(), Problem> {
    match token {
        Some(token) if secret::is_same(token, &visitor.token) => Ok(()),
        _ => Err(Problem::StaleToken),
    }
}

fn form_problem(rejection: FormRejection) -> Problem {
    if rejection.status() == StatusCode::PAYLOAD_TOO_LARGE {
        return Problem::TooLarge;
    }
    Problem::BadForm { what: rejection.body_text() }
}

fn part_problem(error: &axum::extract::multipart::MultipartError) -> Problem {
    if error.status() == StatusCode::PAYLOAD_TOO_LARGE || is_cut_off(error) {
        return Problem::TooLarge;
    }
    Problem::BadForm { what: error.body_text() }
}

/// Whether a limit ended the reading: the outermost one is told as a broken stream only.
fn is_cut_off(error: &(dyn std::error::Error + 'static)) -> bool {
    let causes = std::iter::successors(Some(error), |error| error.source());
    causes.into_iter().any(|cause| cause.to_string().contains("length limit exceeded"))
}
