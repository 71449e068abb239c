//! A small checker for the HTML that we write: stricter than a browser, which would mend what is wrong.
//!
//! What it is not: a parser for HTML of others. It knows the void elements, raw text in `style`, quoted attributes and
//! references; anything else is an error. Source for the lists: HTML Living Standard, sections 13.1.2 and 13.2.6.4.7
//! (from memory).

use std::collections::BTreeSet;

const VOID: &[&str] =
    &["meta", "br", "hr", "img", "input", "link", "wbr", "col", "base", "area", "embed", "source"];
/// A `p` element ends by itself before these, so one inside a `p` tears the tree apart.
const ENDS_PARAGRAPH: &[&str] = &[
    "p", "div", "ul", "ol", "dl", "table", "section", "figure", "details", "h1", "h2", "h3", "nav", "main",
    "header",
];
/// Elements whose children must be these.
const CHILDREN: &[(&str, &[&str])] = &[
    ("ul", &["li"]),
    ("ol", &["li"]),
    ("dl", &["div", "dt", "dd"]),
    ("table", &["caption", "thead", "tbody"]),
    ("thead", &["tr"]),
    ("tbody", &["tr"]),
    ("tr", &["th", "td"]),
];

/// A start tag.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Tag {
    pub(crate) name: String,
    pub(crate) attributes: Vec<(String, String)>,
}

impl Tag {
    pub(crate) fn attribute(&self, name: &str) -> Option<&str> {
        self.attributes.iter().find(|(own, _)| own == name).map(|(_, value)| value.as_str())
    }
}

/// All start tags in order, or what is wrong and where.
pub(crate) fn check(page: &str) -> Result<Vec<Tag>, String> {
    let mut rest = page.strip_prefix("<!DOCTYPE html>").ok_or("the page has no document type")?;
    let mut open: Vec<String> = Vec::new();
    let mut tags = Vec::new();
    while !rest.is_empty() {
        let at = page.len() - rest.len();
        let wrong =
            |what: String| format!("at octet {at}: {what}: {}", rest.chars().take(60).collect::<String>());
        if let Some(end) = rest.strip_prefix("</") {
            let (name, after) = end.split_once('>').ok_or_else(|| wrong("unclosed end tag".into()))?;
            if open.pop().as_deref() != Some(name) {
                return Err(wrong(format!("end tag does not match, open were {open:?}")));
            }
            rest = after;
        } else if let Some(start) = rest.strip_prefix('<') {
            let (tag, is_closed, after) = start_tag(start).map_err(wrong)?;
            nesting(&open, &tag.name).map_err(wrong)?;
            rest = after;
            if tag.name == "style" {
                let (_, after) =
                    rest.split_once("</style>").ok_or_else(|| wrong("endless style sheet".into()))?;
                rest = after;
            } else if is_closed {
                // Only foreign elements close themselves; in HTML the slash would be ignored.
                if !open.iter().any(|own| own == "svg") {
                    return Err(wrong("closes itself outside a drawing".into()));
                }
            } else if !VOID.contains(&tag.name.as_str()) {
                open.push(tag.name.clone());
            }
            tags.push(tag);
        } else {
            let end = rest.find('<').unwrap_or(rest.len());
            references(&rest[..end]).map_err(wrong)?;
            rest = &rest[end..];
        }
    }
    if open.is_empty() { ids(&tags).map(|()| tags) } else { Err(format!("never closed: {open:?}")) }
}

/// The tag behind a `<`, whether it closes itself, and what follows its `>`.
fn start_tag(text: &str) -> Result<(Tag, bool, &str), String> {
    let name_end = text.find(|c: char| !c.is_ascii_alphanumeric()).ok_or("unclosed start tag")?;
    let (name, mut rest) = text.split_at(name_end);
    if name.is_empty() {
        return Err("a `<` that begins no tag".to_owned());
    }
    let mut attributes: Vec<(String, String)> = Vec::new();
    loop {
        let is_closed = rest.starts_with('/');
        if let Some(after) = rest.trim_start_matches('/').strip_prefix('>') {
            return Ok((Tag { name: name.to_owned(), attributes }, is_closed, after));
        }
        rest = rest.strip_prefix(' ').ok_or("attributes are parted by one space")?;
        let (attribute, value) = rest.split_once("=\"").ok_or("attribute without quoted value")?;
        let is_name = attribute.chars().all(|c| c.is_ascii_alphanumeric() || c == '-' || c == ':');
        if !is_name || attributes.iter().any(|(own, _)| own == attribute) {
            return Err(format!("bad or double attribute `{attribute}`"));
        }
        let (value, after) = value.split_once('"').ok_or("unclosed attribute value")?;
        references(value)?;
        attributes.push((attribute.to_owned(), value.to_owned()));
        rest = after;
    }
}

fn nesting(open: &[String], name: &str) -> Result<(), String> {
    if open.iter().any(|own| own == "p") && ENDS_PARAGRAPH.contains(&name) {
        return Err(format!("`{name}` inside a paragraph"));
    }
    let parent = open.last().map_or("", String::as_str);
    match CHILDREN.iter().find(|(own, _)| *own == parent) {
        Some((_, allowed)) if !allowed.contains(&name) => Err(format!("`{name}` directly inside `{parent}`")),
        _ => Ok(()),
    }
}

/// Every `&` begins one of the references that maud writes.
fn references(text: &str) -> Result<(), String> {
    let known = ["amp;", "lt;", "gt;", "quot;"];
    match text.split('&').skip(1).find(|after| !known.iter().any(|name| after.starts_with(name))) {
        Some(after) => Err(format!("unescaped `&{after}`")),
        None => Ok(()),
    }
}

/// Ids are unique, and whatever refers to one finds it.
fn ids(tags: &[Tag]) -> Result<(), String> {
    let mut ids = BTreeSet::new();
    for id in tags.iter().filter_map(|tag| tag.attribute("id")) {
        if !ids.insert(id) {
            return Err(format!("two elements have the id `{id}`"));
        }
    }
    let links = tags.iter().filter_map(|tag| tag.attribute("href")).filter_map(|link| link.strip_prefix('#'));
    let labels =
        tags.iter().filter_map(|tag| tag.attribute("aria-labelledby")).flat_map(str::split_whitespace);
    match links.chain(labels).find(|reference| !ids.contains(reference)) {
        Some(lost) => Err(format!("nothing has the id `{lost}`")),
        None => Ok(()),
    }
}

#[test]
fn the_checker_notices_what_is_wrong() {
    let check = |body: &str| check(&format!("<!DOCTYPE html>{body}"));
    assert!(check("<p class=\"a\">x &amp; y</p>").is_ok());
    for (body, expected) in [
        ("<p>x", "never closed"),
        ("<p/>", "outside a drawing"),
        ("<p>x</div>", "does not match"),
        ("<p>a & b</p>", "unescaped"),
        ("<p title=\"a&b\">x</p>", "unescaped"),
        ("<p>a < b</p>", "begins no tag"),
        ("<p title=x>a</p>", "without quoted value"),
        ("<p id=\"a\" id=\"b\">a</p>", "double attribute"),
        ("<p><div></div></p>", "inside a paragraph"),
        ("<ul><p>x</p></ul>", "directly inside `ul`"),
        ("<b id=\"a\"></b><b id=\"a\"></b>", "two elements"),
        ("<a href=\"#lost\">x</a>", "nothing has the id"),
    ] {
        let found = check(body).unwrap_err();
        assert!(found.contains(expected), "{body} gave: {found}");
    }
}
