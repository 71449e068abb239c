//! Entries: lists of named things, and tables with free keys. Each entry is a line that opens to be changed.

use forms::form::{Field, Item, Keyed, Kind, List, Section};
use maud::{Markup, html};

use super::{Facts, in_the_way, place_id, remarks};

/// Values of an entry that its line shows, besides its name.
const MOST_SHOWN: usize = 5;

impl Facts<'_> {
    /// A list of tables.
    pub(super) fn list(&self, list: &List) -> Markup {
        html! {
            div class="of-list" id=(place_id(&list.path)) data-path=(list.path) {
                h3 { (plural(&list.label)) }
                (about(&list.help))
                (remarks(&list.faults))
                @if let Some(obstacle) = &list.obstacle {
                    (in_the_way("this list", obstacle))
                }
                (self.asks(&list.told))
                @if !list.entries.is_empty() {
                    div class="entries" { @for entry in &list.entries { (self.entry(entry)) } }
                }
                @if list.can_add {
                    details { summary { "New " (list.label.to_lowercase()) } (self.add(list)) }
                }
            }
        }
    }

    fn entry(&self, entry: &Section) -> Markup {
        let is_faulty = !entry.faults.is_empty() || entry.items.iter().any(|item| self.is_held(item));
        html! {
            div class="entry" id=(place_id(&entry.path)) data-path=(entry.path) {
                details open[is_faulty] {
                    summary { span { b { (entry.label) } " " (shown(entry)) } }
                    div class="opened" {
                        (self.section(entry))
                        form class="actions" method="post" action={ (self.base) "/entries/remove" } data-live {
                            (self.hidden())
                            input type="hidden" name="entry" value=(entry.path);
                            button class="plain" type="submit" { "Take out " (entry.label) }
                        }
                    }
                }
                (self.asks(&entry.told))
            }
        }
    }

    /// Whether something of an item waits for the reader: a fault, or what was typed and not kept.
    fn is_held(&self, item: &Item) -> bool {
        match item {
            Item::Field(field) => {
                !field.faults.is_empty()
                    || self.typed.refused.contains_key(&field.path)
                    || self.typed.clashes.contains_key(&field.path)
            }
            Item::Section(section) => section.items.iter().any(|item| self.is_held(item)),
            Item::List(_) | Item::Keyed(_) => false,
        }
    }

    /// A new entry: what it must have, and its part.
    fn add(&self, list: &List) -> Markup {
        let wanted = list.blank.iter().filter_map(|item| match item {
            Item::Field(field) if field.is_required || field.key == "part" => Some(field),
            _ => None,
        });
        let id = format!("add-{}", list.path);
        html! {
            form class="add" id=(id) method="post" action={ (self.base) "/entries/add" } data-live
                data-empties {
                (self.hidden())
                input type="hidden" name="list" value=(list.path);
                @for field in wanted { (self.blank(&id, field)) }
                button type="submit" { "Add" span class="unseen" { " the " (list.label.to_lowercase()) } }
            }
        }
    }

    fn blank(&self, form: &str, field: &Field) -> Markup {
        let id = format!("{form}-{}", field.key);
        let name = format!("v:{}", field.key);
        let list = field.suggestions.map(|number| format!("suggest-{number}"));
        html! {
            label {
                span { (field.label) }
                @match &field.kind {
                    Kind::Choice(words) => {
                        select id=(id) name=(name) required[field.is_required] {
                            option value="" { "choose" }
                            @for word in words { option value=(word.value) { (word.value) } }
                        }
                    }
                    _ => {
                        input id=(id) name=(name) list=[list] required[field.is_required] maxlength="200"
                            autocomplete="off" autocapitalize="off" spellcheck="false";
                    }
                }
            }
        }
    }

    /// A table with free keys: a row for each, and one for a new key.
    pub(super) fn keyed(&self, keyed: &Keyed) -> Markup {
        let id = format!("add-{}", keyed.path);
        let value = keyed.blank.iter().find_map(|item| match item {
            Item::Field(field) => Some(field),
            _ => None,
        });
        let list = value.and_then(|field| field.suggestions).map(|number| format!("suggest-{number}"));
        html! {
            div class="of-list" id=(place_id(&keyed.path)) data-path=(keyed.path) {
                h3 { (keyed.label) }
                (about(&keyed.help))
                (remarks(&keyed.faults))
                (self.asks(&keyed.told))
                (self.fields(&keyed.entries))
                details { summary { "New key" }
                form class="add" method="post" action={ (self.base) "/entries/key" } data-live data-empties {
                    (self.hidden())
                    input type="hidden" name="table" value=(keyed.path);
                    label {
                        span { "Key" }
                        @if keyed.free.is_empty() {
                            input id={ (id) "-key" } name="key" required maxlength="20" autocomplete="off"
                                autocapitalize="off" spellcheck="false";
                        } @else {
                            select id={ (id) "-key" } name="key" required {
                                @for key in &keyed.free { option value=(key) { (key) } }
                            }
                        }
                    }
                    label {
                        span { "Value" }
                        input id={ (id) "-value" } name="value" list=[list]
                            required maxlength="200" autocomplete="off" autocapitalize="off" spellcheck="false";
                    }
                    button type="submit" { "Add" }
                } }
            }
        }
    }
}

/// What a list holds, where that is more than its heading says.
fn about(help: &str) -> Markup {
    const FEW: usize = 3;
    html! { @if help.split_whitespace().count() > FEW { p class="hint of-group" { (help) } } }
}

/// What an entry's line says besides its name.
fn shown(entry: &Section) -> String {
    let values: Vec<&str> = entry
        .items
        .iter()
        .filter_map(|item| match item {
            Item::Field(field) if field.key != "name" && !entry.label.contains(field.value.as_deref()?) => {
                field.value.as_deref()
            }
            _ => None,
        })
        .take(MOST_SHOWN)
        .collect();
    values.join(" · ")
}

/// A list's heading from the word for one of its entries, which is how documents name their lists.
fn plural(label: &str) -> String {
    match label {
        "Remove" => label.to_owned(),
        _ if label.ends_with('s') => label.to_owned(),
        _ => format!("{label}s"),
    }
}
