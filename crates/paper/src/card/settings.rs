//! Settings by meaning: what was wished for, what the decoder holds for it, grouped as a fitter thinks of them.

use maud::{Markup, html};

use super::Section;
use super::cv::CvContent;
use super::cv_list::CvRow;

/// Settings by meaning and by CV.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Settings {
    /// By meaning; the card groups them by topic and keeps their order within each.
    pub meanings: Vec<Setting>,
    /// The whole list, in the order in which it is shown.
    pub list: Vec<CvRow>,
}

/// What a setting is about.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Topic {
    /// What the decoder answers to.
    Address,
    /// How it moves.
    Motion,
    /// Which recordings play.
    Voice,
    /// How loud they are.
    Levels,
    /// How the lamps behave.
    Lamps,
    /// Which key does what.
    Keys,
}

impl Topic {
    /// All of them, in the order of the card.
    pub const ALL: [Topic; 6] =
        [Topic::Address, Topic::Motion, Topic::Voice, Topic::Levels, Topic::Lamps, Topic::Keys];

    /// The heading on the card.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Address => "address",
            Self::Motion => "motion",
            Self::Voice => "voice",
            Self::Levels => "levels",
            Self::Lamps => "lamps",
            Self::Keys => "keys",
        }
    }
}

/// One setting by its meaning.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Setting {
    /// The group that it belongs to.
    pub topic: Topic,
    /// What is set: "horn", "acceleration".
    pub what: String,
    /// To what, in the trade's words: "two chimes", "14 s from standstill to full speed".
    pub to: String,
    /// The CVs that hold it.
    pub cvs: Vec<CvContent>,
}

pub(super) fn section(settings: &Settings) -> Option<Section> {
    (!settings.meanings.is_empty()).then(|| Section {
        id: "settings",
        title: "Settings by meaning",
        body: html! {
            div class="topics" {
                @for topic in Topic::ALL { (group(topic, &settings.meanings)) }
            }
        },
    })
}

fn group(topic: Topic, settings: &[Setting]) -> Markup {
    let mut members = settings.iter().filter(|setting| setting.topic == topic).peekable();
    html! {
        @if members.peek().is_some() {
            table class="topic" {
                caption { (topic.word()) }
                tbody {
                    @for setting in members {
                        tr {
                            th scope="row" { (setting.what) }
                            td { (setting.to) }
                            td class="cvs" {
                                @if setting.cvs.is_empty() { "–" }
                                @for content in &setting.cvs { span class=[content.place.page.map(|_| "paged")] { (content) } " " }
                            }
                        }
                    }
                }
            }
        }
    }
}
