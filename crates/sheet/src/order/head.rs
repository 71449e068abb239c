//! The head of an order: what it is, what holds it, and the line of its stages.

use documents::Faults;
use finding::Finding;
use maud::{Markup, html};
use shop::StageState;
use workorder::WaitsFor;

use super::OrderPage;
use crate::blocks::Block;
use crate::problem::sentence;
use crate::words::{anchor, capital, count, counted, prose};

impl OrderPage {
    pub(super) fn head(&self) -> Block {
        let document = &self.view.document;
        let head = self.view.checked.as_ref().map(|checked| &checked.document.value.order);
        let address = self.view.checked.as_ref().and_then(|checked| checked.document.value.address.as_ref());
        let waits = &self.view.waits;
        let content = html! {
            header class="masthead" {
                div {
                    p class="number" {
                        (self.number())
                        @if let Some(head) = head {
                            " · " (head.scale)
                            @if let Some(client) = &head.client { " · " (client) }
                        }
                    }
                    h1 { (self.model()) }
                    @if let Some(wanted) = head.and_then(|head| head.wanted.as_ref()) {
                        p class="wanted" { (capital(wanted)) }
                    }
                    p class="state" {
                        @if waits.for_what == WaitsFor::Nothing {
                            (prose(&capital(&waits.because)))
                        } @else {
                            "Waits for " b { (waits.for_what.word()) }
                            @if !waits.because.is_empty() { ": " (prose(&waits.because)) }
                        }
                        " · " (counted(self.findings()))
                    }
                    @if head.is_some_and(|head| head.invented == Some(true)) {
                        p { span class="invented" { "invented" } }
                    }
                }
                @if let Some(address) = address {
                    p class="address" { span { (address.form) " address" } b { (address.number.get()) } }
                }
                div class="actions" {
                    a class="button first" href={ (self.base) "/card" } { "Card to print" }
                    (self.step_back("undo", "Undo", document.can_undo))
                    (self.step_back("redo", "Redo", document.can_redo))
                    a class="button plain" href={ (self.base) "/history" } { "History" }
                    a class="button plain" href={ (self.base) "/text" } { "Text" }
                }
            }
            @if document.is_deleted {
                div class="unreadable" {
                    p { b { "This order was put away." } " It is kept, and can be brought back." }
                    form method="post" action={ (self.base) "/bring-back" } data-live {
                        (self.facts().hidden()) button type="submit" { "Bring it back" }
                    }
                }
            }
        };
        Block::new("head", "head", content)
    }

    fn step_back(&self, act: &str, word: &str, is_possible: bool) -> Markup {
        html! {
            form method="post" action={ (self.base) "/" (act) } data-live {
                (self.facts().hidden())
                button class="plain" type="submit" disabled[!is_possible] { (word) }
            }
        }
    }

    /// Everything that holds the order, gathered: faults of the text, and stops that nobody mended or set
    /// aside.
    pub(super) fn stops(&self) -> Block {
        let stops = match &self.view.checked {
            Some(checked) => checked.stops(),
            None => Vec::new(),
        };
        let content = html! {
            @if let Some(faults) = &self.view.document.faults { (self.unreadable(faults)) }
            @if !stops.is_empty() {
                section class="stops" aria-labelledby="stops-heading" {
                    h2 id="stops-heading" {
                        (paper::severity_symbol(finding::Severity::Stop))
                        (count(stops.len(), "stop", "stops")) ": put no power on this model"
                    }
                    ul { @for stop in stops { (self.stop(stop)) } }
                }
            }
        };
        Block::new("stops", "all-stops", content)
    }

    fn stop(&self, stop: &Finding) -> Markup {
        let place = stop.places.first();
        let target = place.map_or_else(
            || crate::facts::finding_id(self.findings(), stop),
            |place| self.nearest_place(place),
        );
        html! {
            li {
                span { (sentence(&capital(&stop.headline))) }
                a href=(anchor(&target)) { "Mend it" span class="unseen" { ": " (stop.headline) } }
            }
        }
    }

    fn unreadable(&self, faults: &Faults) -> Markup {
        html! {
            section class="unreadable" aria-labelledby="faults-heading" {
                h2 id="faults-heading" { (count(faults.list.len(), "thing", "things")) " cannot be read" }
                p class="soft" {
                    "Everything that was written is kept. Until this is mended, the answers below are those of "
                    @match self.view.checked_revision { Some(_) => "the last version that could be read.", None => "nothing yet." }
                }
                ul {
                    @for fault in &faults.list {
                        li {
                            @if fault.path == finding::Path::root() || !self.view.document.form.can_edit() {
                                @let place = faults.source.position(fault.span.start);
                                "Line " (place.line) ": " (prose(&sentence(&fault.headline))) " "
                                (prose(&sentence(&fault.help)))
                                " " a href={ (self.base) "/text" } { "Mend it in the text" }
                            } @else {
                                a href=(anchor(&self.nearest_place(&fault.path))) {
                                    (prose(&sentence(&fault.headline)))
                                }
                                " " (prose(&sentence(&fault.help)))
                            }
                        }
                    }
                }
            }
        }
    }

    /// The stages as stations of a line.
    pub(super) fn line(&self) -> Block {
        let content = html! {
            nav class="line" aria-label="stages of the work" {
                ol {
                    @for stage in &self.view.stages {
                        li class=(state_class(stage.state)) {
                            a href=(anchor(&stage_id(stage.stage.word()))) {
                                (station(stage.state))
                                span {
                                    (capital(stage.stage.word()))
                                    span class="unseen" { ", " (state_word(stage.state)) }
                                }
                            }
                        }
                    }
                }
            }
        };
        Block::new("line", "line-block", content)
    }
}

/// The id of a stage's section.
pub(super) fn stage_id(word: &str) -> String {
    word.replace(' ', "-")
}

pub(super) fn state_class(state: StageState) -> &'static str {
    match state {
        StageState::NotBegun => "not-begun",
        StageState::UnderWay => "under-way",
        StageState::Held => "held",
        StageState::Done => "done",
        StageState::NotNeeded => "not-needed",
    }
}

pub(super) fn state_word(state: StageState) -> &'static str {
    match state {
        StageState::NotBegun => "not begun",
        StageState::UnderWay => "under way",
        StageState::Held => "held by a stop",
        StageState::Done => "done",
        StageState::NotNeeded => "not needed",
    }
}

/// A station's mark, told apart by shape: ring, half-filled ring, filled with a check, octagon with a bar,
/// small ring.
pub(super) fn station(state: StageState) -> Markup {
    html! {
        svg class="station" viewBox="0 0 24 24" aria-hidden="true" {
            @match state {
                StageState::NotBegun => { circle cx="12" cy="12" r="8" {} }
                StageState::UnderWay => {
                    circle cx="12" cy="12" r="8" {} circle class="f" cx="12" cy="12" r="4" {}
                }
                StageState::Done => {
                    circle class="f" cx="12" cy="12" r="10" {}
                    path class="cut" d="M7.5 12.5l3.200 3.300L16.500 9" {}
                }
                StageState::Held => {
                    path class="f" d="M8 2h8l6 6v8l-6 6H8l-6-6V8z" {} path class="cut" d="M7 12h10" {}
                }
                StageState::NotNeeded => { circle cx="12" cy="12" r="4" {} }
            }
        }
    }
}
