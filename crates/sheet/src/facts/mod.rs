//! Facts as fields: the form of any document, as markup.
//!
//! What it is: every section, list and field of a [`forms::form::Form`], each with its label, its value, what
//! is wrong with it and what findings say about it. The same markup is posted as a plain form where there are
//! no scripts, and field by field where there are.
//! What it is not: a keeper of what was typed. What could not be kept is shown again from the answer to the
//! post ([`Typed`]).

mod entries;
mod field;

use std::collections::{BTreeMap, BTreeSet};

use finding::{Finding, Path};
use forms::form::{Form, Item, Kind, Remark, Section};
use maud::{Markup, html};
use shop::FieldConflict;

use crate::blocks::REVISION_FIELD;
use crate::problem::sentence;
use crate::words::{anchor, prose};

/// What was typed and not kept, by path.
#[derive(Debug, Clone, Default)]
pub(crate) struct Typed {
    /// With what is wrong about it.
    pub(crate) refused: BTreeMap<Path, (String, Vec<Remark>)>,
    /// With what somebody else wrote meanwhile.
    pub(crate) clashes: BTreeMap<Path, FieldConflict>,
}

/// Everything that fields are drawn with.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Facts<'a> {
    /// The address of the document's page: `/orders/V-0031`.
    pub(crate) base: &'a str,
    /// What posts must carry.
    pub(crate) token: &'a str,
    /// The form that the sections are of.
    pub(crate) form: &'a Form,
    /// What is said about the facts.
    pub(crate) findings: &'a [Finding],
    /// What was typed and not kept.
    pub(crate) typed: &'a Typed,
}

/// The id of a fact's place on the page.
pub(crate) fn place_id(path: &Path) -> String {
    format!("field-{}", path.as_str())
}

/// The id of a finding on the page, among all that are shown there: a rule may speak of one fact more than
/// once.
pub(crate) fn finding_id(all: &[Finding], finding: &Finding) -> String {
    let is_alike =
        |other: &&Finding| other.rule == finding.rule && other.places.first() == finding.places.first();
    let before = all.iter().take_while(|other| !std::ptr::eq(*other, finding)).filter(is_alike).count();
    let place = finding.places.first().map_or("", Path::as_str);
    let number = if before == 0 { String::new() } else { format!("-{}", before + 1) };
    format!("finding-{}-{place}{number}", finding.rule)
}

impl Facts<'_> {
    /// A section of the document by its key; nothing where the schema knows none.
    pub(crate) fn section_of(&self, key: &str) -> Markup {
        let found = self.form.root.items.iter().find(|item| item.key() == key);
        html! { @if let Some(item) = found { (self.item(item)) } }
    }

    /// Every section of the document, each under its heading.
    pub(crate) fn all(&self) -> Markup {
        html! {
            @for item in &self.form.root.items {
                @if let Item::Section(section) = item { h2 { (section.label) } }
                (self.item(item))
            }
            (self.unknown(&self.form.root))
        }
    }

    /// What belongs to fields all over the page: suggestions, and the form that settles a field two people
    /// changed.
    pub(crate) fn loose(&self) -> Markup {
        html! {
            @for (number, words) in self.form.suggestions.iter().enumerate() {
                datalist id={ "suggest-" (number) } { @for word in words { option value=(word) {} } }
            }
            @if !self.typed.clashes.is_empty() {
                form id="settle" method="post" action={ (self.base) "/facts" } data-live { (self.hidden()) }
            }
        }
    }

    /// The paths of everything that has a place on the page.
    pub(crate) fn places(form: &Form) -> BTreeSet<String> {
        fn collect(items: &[Item], into: &mut BTreeSet<String>) {
            for item in items {
                match item {
                    Item::Field(field) => drop(into.insert(field.path.to_string())),
                    Item::Section(section) => {
                        into.insert(section.path.to_string());
                        collect(&section.items, into);
                    }
                    Item::List(list) => {
                        into.insert(list.path.to_string());
                        for entry in &list.entries {
                            into.insert(entry.path.to_string());
                            collect(&entry.items, into);
                        }
                    }
                    Item::Keyed(keyed) => {
                        into.insert(keyed.path.to_string());
                        collect(&keyed.entries, into);
                    }
                }
            }
        }
        let mut places = BTreeSet::new();
        collect(&form.root.items, &mut places);
        places
    }

    /// Any item that stands by itself.
    pub(crate) fn item(&self, item: &Item) -> Markup {
        match item {
            Item::Field(field) => self.form_around(&self.field(field)),
            Item::Section(section) => html! {
                div id=(place_id(&section.path)) data-path=(section.path) { (self.section(section)) }
            },
            Item::List(list) => self.list(list),
            Item::Keyed(keyed) => self.keyed(keyed),
        }
    }

    /// A section: its fields in one form, then its lists.
    pub(crate) fn section(&self, section: &Section) -> Markup {
        html! {
            (remarks(&section.faults))
            @if let Some(obstacle) = &section.obstacle {
                (in_the_way("this table", obstacle))
            }
            (self.fields(&section.items))
            (self.unknown(section))
            @for item in &section.items { @if is_apart(item) { (self.item(item)) } }
        }
    }

    /// The fields and small groups among some items, in a form of their own.
    fn fields(&self, items: &[Item]) -> Markup {
        let together: Vec<&Item> = items.iter().filter(|item| !is_apart(item)).collect();
        if together.is_empty() {
            return html! {};
        }
        self.form_around(&html! { @for item in together { (self.together(item)) } })
    }

    fn together(&self, item: &Item) -> Markup {
        match item {
            Item::Field(field) => self.field(field),
            Item::Section(section) => self.group(section),
            Item::List(_) | Item::Keyed(_) => html! {},
        }
    }

    /// A small table within a section, such as length, width and height of a space.
    fn group(&self, section: &Section) -> Markup {
        html! {
            fieldset class=(if is_size(section) { "group size" } else { "group" })
                id=(place_id(&section.path)) data-path=(section.path) {
                legend { (section.label) }
                (remarks(&section.faults))
                @for item in &section.items { (self.together(item)) }
                (self.asks(&section.told))
            }
        }
    }

    fn form_around(&self, fields: &Markup) -> Markup {
        html! {
            form method="post" action={ (self.base) "/facts" } data-facts {
                (self.hidden())
                (fields)
                p class="send when-plain" { button type="submit" { "Keep" } }
            }
        }
    }

    /// What every form about the document carries: the token and the revision that it began with.
    pub(crate) fn hidden(&self) -> Markup {
        html! { input type="hidden" name="token" value=(self.token); (maud::PreEscaped(REVISION_FIELD)) }
    }

    /// Keys that the schema does not know: shown, so that nothing lies hidden in the text.
    fn unknown(&self, section: &Section) -> Markup {
        html! {
            @for unknown in &section.unknown {
                div class="field" id=(place_id(&unknown.path)) data-path=(unknown.path) {
                    @let what = format!("`{}` = {} is not understood", unknown.key, unknown.value);
                    (remark(&what, "mend it in the text, or take it out"))
                }
            }
        }
    }

    /// Links to the findings that ask for this very fact.
    fn asks(&self, told: &Path) -> Markup {
        let asking: Vec<&Finding> =
            self.findings.iter().filter(|finding| finding.places.first() == Some(told)).collect();
        html! {
            @if !asking.is_empty() {
                div class="asks" {
                    @for finding in asking {
                        a href=(anchor(&finding_id(self.findings, finding))) {
                            (paper::severity_symbol(finding.severity))
                            span { span class="unseen" { (finding.severity.word()) ": " } (finding.headline) }
                        }
                    }
                }
            }
        }
    }
}

/// Whether a group is a few measures that stand side by side, such as length, width and height.
fn is_size(section: &Section) -> bool {
    let is_measure =
        |item: &Item| matches!(item, Item::Field(field) if matches!(field.kind, Kind::Quantity { .. }));
    (2..=3).contains(&section.items.len()) && section.items.iter().all(is_measure)
}

/// Whether an item is drawn apart from the form of its section: lists and tables with free keys, and sections
/// that hold such.
fn is_apart(item: &Item) -> bool {
    match item {
        Item::Field(_) => false,
        Item::List(_) | Item::Keyed(_) => true,
        Item::Section(section) => section.items.iter().any(is_apart),
    }
}

/// What is wrong with a part of the document.
fn remarks(faults: &[Remark]) -> Markup {
    html! { @for fault in faults { (remark(&fault.headline, &fault.help)) } }
}

/// That something else stands where a table or list belongs.
fn in_the_way(what: &str, obstacle: &str) -> Markup {
    remark(&format!("`{obstacle}` stands where {what} belongs"), "take it out in the text")
}

fn remark(headline: &str, help: &str) -> Markup {
    html! {
        div class="fault" {
            svg class="sign" viewBox="0 0 24 24" aria-hidden="true" { path d="M5 5l14 14M19 5 5 19" {} }
            b { (prose(&sentence(headline))) }
            @if !help.is_empty() { p { (prose(&sentence(help))) } }
        }
    }
}
