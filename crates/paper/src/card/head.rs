//! The masthead: which order, which model, whose, what was wanted, and the address big enough to read across a room.

use maud::{Markup, html};

/// What a card is about. Empty texts are left out.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Head {
    /// Number of the work order: "V-0031".
    pub order: String,
    /// The model.
    pub model: String,
    /// Scale: "HO".
    pub scale: String,
    /// Whose it is.
    pub client: String,
    /// What it stands for: railway, class, number, time.
    pub prototype: String,
    /// What was wanted, in the client's words.
    pub wanted: String,
    /// The decoder.
    pub decoder: String,
    /// The address on the rails: "4031".
    pub address: String,
    /// What kind of address it is: "long address".
    pub address_form: String,
    /// Dates as given, each with its label: received, proven, handed over.
    pub dates: Vec<Labelled>,
    /// Parts fitted, each with its place: speaker A, enclosure, keep-alive.
    pub parts: Vec<Labelled>,
    /// Whether model, railway and client are our invention.
    pub is_invented: bool,
}

/// A text with its label.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Labelled {
    /// What it is.
    pub label: String,
    /// The text.
    pub text: String,
}

impl Labelled {
    /// A text with its label.
    #[must_use]
    pub fn new(label: impl Into<String>, text: impl Into<String>) -> Self {
        Self { label: label.into(), text: text.into() }
    }
}

/// The top of the first page.
pub(super) fn masthead(head: &Head) -> Markup {
    let facts = [
        ("prototype", &head.prototype),
        ("decoder", &head.decoder),
        ("client", &head.client),
        ("scale", &head.scale),
    ];
    let given =
        facts.into_iter().filter(|(_, text)| !text.is_empty()).map(|(label, text)| (label, text.as_str()));
    let labelled = |list: &'static str, items: &[Labelled]| {
        html! {
            @if !items.is_empty() {
                dl class=(list) { @for item in items { div { dt { (item.label) } dd { (item.text) } } } }
            }
        }
    };
    html! {
        header class="masthead" {
            div class="name" {
                p class="kind" { "work order · handover card" }
                h1 { span class="order" { (head.order) } " " span class="model" { (head.model) } }
                @if head.is_invented { p class="invented" { "invented for the Vesper Lake scenario" } }
            }
            @if !head.address.is_empty() {
                p class="address" {
                    span class="kind" { @if head.address_form.is_empty() { "address" } @else { (head.address_form) } }
                    " " strong { (head.address) }
                }
            }
            @if !head.wanted.is_empty() {
                p class="wanted" { span class="kind" { "wanted" } " " (head.wanted) }
            }
            dl class="facts main" { @for (label, text) in given { div { dt { (label) } dd { (text) } } } }
            (labelled("facts parts", &head.parts))
            (labelled("facts dates", &head.dates))
        }
    }
}
