//! Listening before the shell is closed: players for the prototype's voice through both wirings.

use maud::{Markup, html};
use shop::Rendering;
use speakers::{Loudness, WiringState};

use super::OrderPage;

/// The two ways to compare.
const HEADINGS: [(Loudness, &str); 2] =
    [(Loudness::AsItIs, "As loud as it is"), (Loudness::Matched, "Equally loud, to compare the colour")];

impl OrderPage {
    pub(super) fn listening(&self) -> Markup {
        let Some(sound) = &self.view.sound else { return html! {} };
        let has = |wiring: WiringState| match wiring {
            WiringState::Found => sound.found.as_ref().is_some_and(Result::is_ok),
            WiringState::Planned => sound.planned.as_ref().is_some_and(Result::is_ok),
        };
        let wirings: Vec<WiringState> =
            [WiringState::Found, WiringState::Planned].into_iter().filter(|wiring| has(*wiring)).collect();
        html! {
            @if !wirings.is_empty() {
                h3 { "Hear it" }
                @for (loudness, heading) in HEADINGS {
                    h4 { (heading) }
                    @for wiring in &wirings { (self.player(Rendering { wiring: *wiring, loudness })) }
                }
            }
        }
    }

    fn player(&self, rendering: Rendering) -> Markup {
        let words = wiring_word(rendering.wiring);
        let id = format!("player-{}", name_of(rendering));
        html! {
            div class="player" {
                span id=(id) { "as " (words) }
                audio controls preload="none" aria-labelledby=(id)
                    src={ (self.base) "/sounds/" (name_of(rendering)) "?" (self.sounds_seal()) } {}
            }
        }
    }

    /// Changes with the revision that the sounds are of, so that a player never keeps an old one.
    fn sounds_seal(&self) -> String {
        self.view.checked_revision.map_or_else(String::new, |revision| format!("r={}", revision.get()))
    }
}

pub(super) fn wiring_word(wiring: WiringState) -> &'static str {
    match wiring {
        WiringState::Found => "found",
        WiringState::Planned => "planned",
    }
}

/// The file name of a rendering: `found-matched.wav`.
pub(super) fn name_of(rendering: Rendering) -> String {
    let loudness = match rendering.loudness {
        Loudness::Matched => "matched",
        Loudness::AsItIs => "as-loud",
    };
    format!("{}-{loudness}.wav", wiring_word(rendering.wiring))
}

/// The rendering of a file name.
pub(super) fn rendering_of(name: &str) -> Option<Rendering> {
    Rendering::ALL.into_iter().find(|rendering| name_of(*rendering) == name)
}
