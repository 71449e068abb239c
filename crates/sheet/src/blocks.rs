//! Blocks: the pieces of a page that are rendered anew when something changes.
//!
//! What it is: markup with a name and a seal of its content. A page is a row of blocks; an answer to a change
//! is those blocks whose seal the browser does not have yet.
//! What it is not: a memory. Seals are compared, never kept.

use std::hash::{DefaultHasher, Hash, Hasher};

use axum::http::{HeaderMap, StatusCode};
use axum::response::{Html, IntoResponse, Response};
use maud::{Markup, PreEscaped, Render, html};

/// A field for the revision that a form begins with. It is filled in after sealing, so that a new revision
/// alone changes no block. Texts of documents cannot contain it: their quotation marks are escaped.
pub(crate) const REVISION_FIELD: &str = r#"<input type="hidden" name="revision" value="">"#;

/// A piece of a page.
#[derive(Debug)]
pub(crate) struct Block {
    name: String,
    class: &'static str,
    seal: String,
    content: String,
}

impl Block {
    /// A piece with its name, the class of its element and what is in it.
    pub(crate) fn new(name: impl Into<String>, class: &'static str, content: Markup) -> Self {
        let content = content.into_string();
        let mut hasher = DefaultHasher::new();
        content.hash(&mut hasher);
        Self { name: name.into(), class, seal: format!("{:x}", hasher.finish()), content }
    }

    /// The same piece with the revision in all of its forms.
    pub(crate) fn at_revision(mut self, revision: i64) -> Self {
        let filled = format!(r#"<input type="hidden" name="revision" value="{revision}">"#);
        self.content = self.content.replace(REVISION_FIELD, &filled);
        self
    }

    /// Its name.
    pub(crate) fn name(&self) -> &str {
        &self.name
    }

    fn is_among(&self, have: &str) -> bool {
        have.split(',').any(|one| one.split_once(':') == Some((&self.name, &self.seal)))
    }
}

impl Render for Block {
    fn render(&self) -> Markup {
        html! {
            div class=(self.class) id={ "block-" (self.name) } data-block=(self.name) data-seal=(self.seal) {
                (PreEscaped(&self.content))
            }
        }
    }
}

/// What changed, for a page that is already there.
#[derive(Debug)]
pub(crate) struct Changes {
    /// Every block of the page, as it is now.
    pub(crate) blocks: Vec<Block>,
    /// The revision that they show.
    pub(crate) revision: Option<i64>,
    /// What to say aloud.
    pub(crate) said: Option<String>,
    /// The place to go to.
    pub(crate) focus: Option<String>,
    /// How the change went.
    pub(crate) status: StatusCode,
}

impl Changes {
    /// The blocks of a page of which nothing else is to be said.
    pub(crate) fn of(blocks: Vec<Block>, revision: Option<i64>) -> Self {
        Self { blocks, revision, said: None, focus: None, status: StatusCode::OK }
    }

    /// The answer for a browser that has these blocks already; `only` restricts it to one.
    pub(crate) fn for_page(&self, have: &str, only: Option<&str>) -> Response {
        let changed: Vec<&Block> = self
            .blocks
            .iter()
            .filter(|block| only.is_none_or(|only| block.name == only) && !block.is_among(have))
            .collect();
        let markup = html! {
            div id="blocks" data-revision=[self.revision] data-said=[&self.said] data-focus=[&self.focus] {
                @for block in changed { (block) }
            }
        };
        (self.status, Html(markup.into_string())).into_response()
    }
}

/// Whether a request came from a page that takes blocks.
pub(crate) fn takes_blocks(headers: &HeaderMap) -> bool {
    headers.get("x-sheet").is_some_and(|value| value == "live")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_new_revision_alone_changes_no_seal() {
        let block = |revision| {
            Block::new("survey", "facts", html! { (PreEscaped(REVISION_FIELD)) p { "0.62 A" } })
                .at_revision(revision)
        };
        let (one, other) = (block(1), block(22));
        assert_eq!(one.seal, other.seal);
        assert!(other.render().into_string().contains(r#"name="revision" value="22""#));
        assert!(other.is_among(&format!("head:0,survey:{}", one.seal)));
        assert!(!other.is_among("survey:0"));
        assert!(!other.is_among(""));
    }

    #[test]
    fn texts_of_documents_cannot_pose_as_the_revision() {
        let block = Block::new("survey", "facts", html! { p { (REVISION_FIELD) } }).at_revision(7);
        assert!(!block.render().into_string().contains("value=\"7\""));
    }
}
