//! One field: label, input, what it takes, what is wrong with it, and what somebody else made of it meanwhile.

use forms::form::{Field, Kind, Remark};
use maud::{Markup, html};
use shop::FieldConflict;

use super::{Facts, place_id, remarks};

/// The longest value that a field takes; longer texts belong into the text of the document.
const MOST_TYPED: usize = 4000;

/// A field as it is drawn.
struct Drawn<'a> {
    field: &'a Field,
    value: &'a str,
    faults: &'a [Remark],
    input_id: String,
    described_by: Option<String>,
}

impl Facts<'_> {
    /// A field with its label.
    pub(super) fn field(&self, field: &Field) -> Markup {
        let refused = self.typed.refused.get(&field.path);
        let clash = self.typed.clashes.get(&field.path);
        let stored = field.value.as_deref().unwrap_or("");
        let (value, faults) = match (refused, clash) {
            (Some((typed, faults)), _) => (typed.as_str(), faults.as_slice()),
            (None, Some(clash)) => (clash.yours.as_deref().unwrap_or(""), field.faults.as_slice()),
            (None, None) => (stored, field.faults.as_slice()),
        };
        let id = place_id(&field.path);
        let fault_id = format!("{id}-fault");
        let hint_id = format!("{id}-hint");
        let described: Vec<&str> = [
            (!faults.is_empty()).then_some(fault_id.as_str()),
            (!field.help.is_empty()).then_some(hint_id.as_str()),
        ]
        .into_iter()
        .flatten()
        .collect();
        let drawn = Drawn {
            field,
            value,
            faults,
            input_id: format!("{id}-in"),
            described_by: (!described.is_empty()).then(|| described.join(" ")),
        };
        let is_tall = field.kind == Kind::LongText;
        let classes = [("field", true), ("tall", is_tall), ("faulty", !faults.is_empty())];
        let class: Vec<&str> =
            classes.into_iter().filter(|(_, is_so)| *is_so).map(|(class, _)| class).collect();
        html! {
            div class=(class.join(" ")) id=(id) data-path=(field.path)
                data-typed[refused.is_some() || clash.is_some()] {
                label for=(drawn.input_id) { (field.label) }
                (self.input(&drawn))
                @if !field.help.is_empty() { p class="hint" id=(hint_id) { (field.help) } }
                @if !faults.is_empty() { div class="more" id=(fault_id) role="alert" { (remarks(faults)) } }
                @if let Some(clash) = clash { (self.clash(field, clash)) }
                (self.asks(&field.told))
            }
        }
    }

    fn input(&self, drawn: &Drawn<'_>) -> Markup {
        let name = format!("f:{}", drawn.field.path);
        let is_invalid = (!drawn.faults.is_empty()).then_some("true");
        let (id, described) = (&drawn.input_id, &drawn.described_by);
        match &drawn.field.kind {
            Kind::LongText => html! {
                textarea id=(id) name=(name) rows="3" maxlength=(MOST_TYPED) aria-describedby=[described]
                    aria-invalid=[is_invalid] {
                    (drawn.value)
                }
            },
            Kind::Choice(words) => {
                let words: Vec<&str> = words.iter().map(|word| word.value.as_str()).collect();
                select(drawn, &name, &words)
            }
            Kind::Flag => select(drawn, &name, &["yes", "no"]),
            kind => {
                let list = drawn.field.suggestions.map(|number| format!("suggest-{number}"));
                html! {
                    input id=(id) name=(name) value=(drawn.value)
                        placeholder=[example(kind)] list=[list] inputmode=[keyboard(kind)]
                        maxlength=(MOST_TYPED) autocomplete="off" autocapitalize="off" spellcheck="false"
                        aria-describedby=[described] aria-invalid=[is_invalid];
                }
            }
        }
    }

    /// Both values of a field that two people changed, and a way to take either.
    fn clash(&self, field: &Field, clash: &FieldConflict) -> Markup {
        let told = |value: &Option<String>| value.clone().unwrap_or_else(|| "nothing".to_owned());
        let keep = |value: &Option<String>, words: &str| {
            // The buttons belong to a form that stands at the end of the page: forms cannot stand within each
            // other.
            html! {
                button type="submit" form="settle" name={ "f:" (field.path) }
                    value=(value.as_deref().unwrap_or("")) {
                    (words)
                }
            }
        };
        html! {
            div class="clash" role="alert" {
                p { b { "Somebody else changed this meanwhile." } " Nothing is lost; choose one." }
                dl {
                    dt { "yours" } dd { (told(&clash.yours)) }
                    dt { "theirs" } dd { (told(&clash.theirs)) }
                    dt { "before" } dd { (told(&clash.before)) }
                }
                p class="actions" {
                    (keep(&clash.yours, "Take yours"))
                    (keep(&clash.theirs, "Leave theirs"))
                }
            }
        }
    }
}

/// A choice of words. What is written and is none of them is shown all the same.
fn select(drawn: &Drawn<'_>, name: &str, words: &[&str]) -> Markup {
    let is_invalid = (!drawn.faults.is_empty()).then_some("true");
    let is_foreign = !drawn.value.is_empty() && !words.contains(&drawn.value);
    html! {
        select id=(drawn.input_id) name=(name) aria-describedby=[&drawn.described_by]
            aria-invalid=[is_invalid] {
            option value="" { @if drawn.field.is_required { "choose" } @else { "–" } }
            @if is_foreign { option value=(drawn.value) selected { (drawn.value) } }
            @for word in words { option value=(word) selected[*word == drawn.value] { (word) } }
        }
    }
}

/// An example to show in an empty field: how a value with its unit is written.
fn example(kind: &Kind) -> Option<String> {
    match kind {
        Kind::Quantity { examples, .. } | Kind::Reading { examples } => {
            examples.first().map(|example| format!("like {example}"))
        }
        _ => None,
    }
}

/// The keyboard that a tablet shows.
fn keyboard(kind: &Kind) -> Option<&'static str> {
    match kind {
        Kind::Whole { .. } => Some("numeric"),
        Kind::Number => Some("decimal"),
        _ => None,
    }
}
