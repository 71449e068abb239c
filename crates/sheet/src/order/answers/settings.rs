//! The settings that follow from the wishes: by meaning, by CV, and as a card of keys.

use maud::{Markup, html};
use paper::{CvRow, Key, Proven, Setting, Settings, Topic};

use super::nothing;

/// The settings by meaning, grouped as a fitter thinks of them; each with the CVs that hold it.
pub(in crate::order) fn by_meaning(settings: &Settings) -> Markup {
    if settings.meanings.is_empty() {
        return nothing(
            "The settings appear as soon as the plan names a decoder and something is wished of it.",
        );
    }
    html! {
        @for topic in Topic::ALL {
            @let members: Vec<&Setting> = settings.meanings.iter().filter(|setting| setting.topic == topic).collect();
            @if !members.is_empty() {
                table class="meanings" {
                    caption { (topic.word()) }
                    tbody { @for setting in members { tr {
                        th scope="row" { (setting.what) }
                        td {
                            (setting.to)
                            small {
                                @for (index, content) in setting.cvs.iter().enumerate() {
                                    @if index > 0 { ", " } (content)
                                }
                            }
                        }
                    } } }
                }
            }
        }
    }
}

/// Every CV that is decided, with what it held before and whether it was read back.
pub(in crate::order) fn by_cv(list: &[CvRow]) -> Markup {
    html! {
        @if !list.is_empty() {
            details {
                summary { "The same by CV (" (list.len()) ")" }
                div class="wide" { table class="by-cv" {
                    thead { tr {
                        th scope="col" { "CV" }
                        th scope="col" class="number" { "value" }
                        th scope="col" class="number" { "before" }
                        th scope="col" { "read back" }
                        th scope="col" { "meaning" }
                    } }
                    tbody { @for row in list { tr {
                        th scope="row" { (row.place) }
                        td class="number" { (row.value) }
                        td class="number" { @match row.previous { Some(previous) => (previous), None => "–" } }
                        td { @match row.proof {
                            Proven::Same => "as wanted",
                            Proven::Differs(found) => { b { "reads " (found) } }
                            Proven::Unread => "not yet",
                        } }
                        td { (row.meaning) }
                    } } }
                } }
            }
        }
    }
}

/// The keys with what each does, in words and glyphs.
pub(in crate::order) fn keys(keys: &[Key]) -> Markup {
    html! {
        @if !keys.is_empty() {
            h4 { "Keys" }
            ul class="key-card" {
                @for key in keys { li {
                    b { "F" (key.number) }
                    span class="glyphs" { @for deed in key.deeds.iter().take(2) { (deed.glyph.svg()) } }
                    span {
                        @for (index, deed) in key.deeds.iter().enumerate() {
                            @if index > 0 { ", " } (deed.words)
                        }
                        @if let Some(note) = &key.note { small { (note) } }
                    }
                } }
            }
        }
    }
}
