//! The frame around every page: head, the shop's rooms, search, and the place where changes are spoken.

use axum::response::{Html, IntoResponse, Response};
use maud::{DOCTYPE, Markup, html};

use crate::assets::path_of;
use crate::guard::Visitor;

/// The rooms of the shop, as the head of every page lists them.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Room {
    Work,
    Trains,
    Dossiers,
    Parts,
    Rules,
    Shop,
}

impl Room {
    const ALL: [Room; 6] = [Room::Work, Room::Trains, Room::Dossiers, Room::Parts, Room::Rules, Room::Shop];

    fn word_and_path(self) -> (&'static str, &'static str) {
        match self {
            Self::Work => ("Work", "/"),
            Self::Trains => ("Trains", "/trains"),
            Self::Dossiers => ("Dossiers", "/dossiers"),
            Self::Parts => ("Parts", "/parts"),
            Self::Rules => ("Rules", "/rules"),
            Self::Shop => ("Shop", "/shop"),
        }
    }
}

/// A page.
#[derive(Debug)]
pub(crate) struct Page {
    title: String,
    room: Option<Room>,
    token: Option<String>,
    main: Markup,
    /// The stream of events that keeps it up to date.
    events: Option<String>,
    /// Where its blocks are had anew, and the revision that it shows.
    blocks: Option<(String, Option<i64>)>,
    has_frame: bool,
}

impl Page {
    /// A page of a room for a visitor.
    pub(crate) fn new(title: impl Into<String>, room: Room, visitor: &Visitor, main: Markup) -> Self {
        Self {
            title: title.into(),
            room: Some(room),
            token: Some(visitor.token.clone()),
            main,
            events: None,
            blocks: None,
            has_frame: true,
        }
    }

    /// A page that nothing is sent from: a problem.
    pub(crate) fn plain(title: impl Into<String>, main: Markup) -> Self {
        Self {
            title: title.into(),
            room: None,
            token: None,
            main,
            events: None,
            blocks: None,
            has_frame: true,
        }
    }

    /// A page for somebody who is not in yet: without the shop's rooms.
    pub(crate) fn at_the_door(title: impl Into<String>, main: Markup) -> Self {
        Self { has_frame: false, ..Self::plain(title, main) }
    }

    /// Kept up to date by a stream of events.
    pub(crate) fn live(mut self, events: impl Into<String>) -> Self {
        self.events = Some(events.into());
        self
    }

    /// Made of blocks that are had anew from an address.
    pub(crate) fn with_blocks(mut self, address: impl Into<String>, revision: Option<i64>) -> Self {
        self.blocks = Some((address.into(), revision));
        self
    }

    fn markup(&self) -> Markup {
        let (blocks, revision) = match &self.blocks {
            Some((address, revision)) => (Some(address), *revision),
            None => (None, None),
        };
        html! {
            (DOCTYPE)
            html lang="en" {
                head {
                    meta charset="utf-8";
                    meta name="viewport" content="width=device-width, initial-scale=1";
                    meta name="color-scheme" content="light dark";
                    title { (self.title) " · Backshop" }
                    link rel="stylesheet" href=(path_of("sheet.css"));
                    link rel="icon" type="image/svg+xml" href=(path_of("mark.svg"));
                    script type="module" src=(path_of("sheet.js")) {}
                }
                body data-token=[&self.token] data-events=[&self.events] data-blocks=[blocks]
                    data-revision=[revision] {
                    a class="skip" href="#main" { "To the content" }
                    (self.head())
                    main id="main" tabindex="-1" { (self.main) }
                    p id="said" class="said" role="status" aria-live="polite" {}
                }
            }
        }
    }

    fn head(&self) -> Markup {
        html! {
            header class="top" {
                @if self.has_frame {
                    a class="mark" href="/" { (mark()) "Backshop" }
                    nav class="rooms" aria-label="the shop" {
                        ul {
                            @for room in Room::ALL {
                                @let (word, path) = room.word_and_path();
                                li {
                                    a href=(path) aria-current=[(self.room == Some(room)).then_some("page")] {
                                        (word)
                                    }
                                }
                            }
                        }
                    }
                    form class="search" role="search" action="/search" {
                        label class="unseen" for="search" { "Search the shop" }
                        input id="search" name="q" type="search" placeholder="Search" autocomplete="off";
                        button type="submit" {
                            svg class="sign" viewBox="0 0 24 24" aria-hidden="true" {
                                circle cx="10.5" cy="10.5" r="6.5" {} path d="M15.5 15.5 21 21" {}
                            }
                            span class="unseen" { "Search" }
                        }
                    }
                } @else {
                    span class="mark" { (mark()) "Backshop" }
                }
            }
        }
    }
}

/// Our mark: a roof with a track leading in. Its own drawing.
fn mark() -> Markup {
    html! {
        svg class="sign" viewBox="0 0 24 24" aria-hidden="true" {
            path d="M2 10 12 3l10 7" {}
            path d="M5 9v12M19 9v12M9.5 21l1.5-9M14.5 21 13 12M9 18h6M9.8 14.5h4.4" {}
        }
    }
}

impl IntoResponse for Page {
    fn into_response(self) -> Response {
        Html(self.markup().into_string()).into_response()
    }
}
