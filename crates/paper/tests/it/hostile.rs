//! Hostile text in every field comes out as text: the page has the same elements and attributes as with tame text.

use finding::{Finding, Severity};
use paper::{Card, PaperSize, card};

use crate::html::Tag;
use crate::{html, vesper_lake};

const HOSTILE: &[&str] = &[
    "\"><script>alert(1)</script>",
    "</style></title></svg><img src=x onerror=alert(1)>",
    "' onmouseover='alert(1)' \" onfocus=\"alert(1)",
    "<!-- --> ]]> <![CDATA[ &lt;b&gt; &#60;",
    "\\22 ; } * { background: url(//x) } /*",
    "\u{0}\u{202e}\r\n\t",
];

/// Elements and attributes that could run or fetch something.
const FORBIDDEN_ELEMENTS: &[&str] = &[
    "script",
    "img",
    "iframe",
    "object",
    "embed",
    "link",
    "base",
    "form",
    "input",
    "image",
    "video",
    "audio",
    "foreignObject",
    "animate",
    "set",
];
const FORBIDDEN_ATTRIBUTES: &[&str] =
    &["src", "srcset", "style", "action", "formaction", "xlink:href", "http-equiv"];

/// Everything of the tags that must not depend on the text.
fn outline(tags: &[Tag]) -> Vec<String> {
    tags.iter()
        .map(|tag| {
            let attributes: Vec<&str> = tag.attributes.iter().map(|(name, _)| name.as_str()).collect();
            format!("{} {attributes:?} {:?} {:?}", tag.name, tag.attribute("class"), tag.attribute("id"))
        })
        .collect()
}

#[test]
fn hostile_text_changes_no_element_and_no_attribute() {
    let tame = html::check(&card(&vesper_lake::sample(&str::to_owned), PaperSize::A4)).unwrap();
    for text in HOSTILE {
        let page = card(&vesper_lake::sample(&|_| (*text).to_owned()), PaperSize::A4);
        let hostile = html::check(&page).unwrap_or_else(|wrong| panic!("{text:?}: {wrong}"));
        assert_eq!(outline(&tame), outline(&hostile), "{text:?}");
    }
}

#[test]
fn hostile_text_in_rule_and_source_is_text_too() {
    for text in HOSTILE {
        let finding = Finding::new(text, Severity::Note, *text).source(text).because(*text).remedy(*text);
        let page = card(&Card { findings: vec![finding.into()], ..Card::default() }, PaperSize::AsPrinter);
        let tags = html::check(&page).unwrap_or_else(|wrong| panic!("{text:?}: {wrong}"));
        assert!(tags.iter().all(|tag| tag.name != "script" && tag.name != "img"));
    }
}

#[test]
fn references_in_a_text_are_shown_not_read() {
    let page = card(&vesper_lake::sample(&|_| "&lt;b&gt;".to_owned()), PaperSize::A4);
    assert!(page.contains("&amp;lt;b&amp;gt;"));
    assert!(!page.contains("&lt;b"));
}

#[test]
fn a_card_runs_nothing_and_fetches_nothing() {
    let page = card(&vesper_lake::sample(&str::to_owned), PaperSize::A4);
    for tag in html::check(&page).unwrap() {
        assert!(!FORBIDDEN_ELEMENTS.contains(&tag.name.as_str()), "{tag:?}");
        for (name, value) in &tag.attributes {
            assert!(!FORBIDDEN_ATTRIBUTES.contains(&name.as_str()) && !name.starts_with("on"), "{tag:?}");
            assert!(name != "href" || value.starts_with('#'), "{tag:?}");
            assert!(name == "xmlns" || !value.contains("//"), "{tag:?}");
        }
    }
}
