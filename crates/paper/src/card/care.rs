//! Care and cautions: how to open it, what lies in the box, and what can hurt people or the model.
//!
//! The cautions are fixed texts chosen by the caller. They are the common practice of the trade in short form; figures
//! carry their origin in the comment beside them. They never advise on mains wiring: that is for licensed practice.

use maud::{Markup, html};

use super::Section;
use super::head::Labelled;

/// Care of the model.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Care {
    /// How it opens, where the spares are, what the guarantee covers: each with its label.
    pub notes: Vec<Labelled>,
    /// Which cautions apply; doubles are shown once, in the order of [`Caution::ALL`].
    pub cautions: Vec<Caution>,
}

macro_rules! cautions {
    ($($(#[doc = $doc:literal])* $name:ident = $title:literal, $words:literal;)+) => {
        /// A danger that the card warns of.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
        pub enum Caution {
            $($(#[doc = $doc])* $name,)+
        }

        impl Caution {
            /// All of them, in the order of the card.
            pub const ALL: &[Caution] = &[$(Caution::$name),+];

            /// Its heading.
            #[must_use]
            pub fn title(self) -> &'static str {
                match self { $(Self::$name => $title,)+ }
            }

            /// What to mind.
            #[must_use]
            pub fn words(self) -> &'static str {
                match self { $(Self::$name => $words,)+ }
            }
        }
    };
}

cautions! {
    /// Rails under power. 14 to 20 V and 3 to 5 A: common practice.
    LiveRails = "live rails",
        "The rails carry up to 20 V at several amperes. Rings, watch straps, metal gauges and the shield of a computer \
         cable can bridge them, spark and burn: keep them off. After any work inside, first power is the programming \
         track with its limited current.";
    /// A storage capacitor of any kind.
    KeepAlive = "storage capacitor",
        "It holds charge when the model leaves the rails: wheels may turn and sounds go on in your hand. Wait until all \
         is quiet and dark before opening the shell. Mind its polarity and its rated voltage when it is ever replaced.";
    /// Large low-voltage storage cells. 100 ohm: common practice.
    SuperCapacitor = "super-capacitors",
        "Discharge them through 100 ohm before any work and never short them. Cells in series need their balancing \
         parts; a reversed cell can burst.";
    /// Unprotected or rechargeable lithium cells (from memory).
    LithiumCells = "lithium cells",
        "Only protected cells with the charger made for them. Never solder to a bare cell, never let the shell press on one, \
         never charge one unattended.";
    /// Heat of the decoder. 60 °C from memory; 15 minutes: common practice of acceptance runs.
    HotDecoder = "hot decoder",
        "Leave air around the decoder: no closed foam, nothing pressed against it. After 15 minutes of work with the shell \
         on nothing may be too hot to touch (about 60 °C). A decoder that stops warm and starts cold is asking for air.";
    /// Bulbs and resistors near plastic.
    HotLamps = "hot lamps and resistors",
        "Bulbs and series resistors get hot enough to soften plastic. Keep them off the shell and do not fit a bulb of \
         more current than the one that is listed.";
    /// Loud sounds. 85 dB(A) over eight hours: the usual limit of occupational hearing rules, from memory.
    LoudTests = "loud tests",
        "Never listen with the ear at the speaker. Turn the master level down before the first test. \
         85 dB(A) over eight hours harms hearing; a railway room is pleasant far below that.";
    /// Stall tests. One to two seconds: common practice.
    StallTests = "holding the wheels",
        "Hold the wheels under power for a second or two at most: a motor that cannot turn heats quickly.";
    /// Magnets in speakers and couplers.
    Magnets = "magnets",
        "Speakers and some couplers hold strong magnets. They pinch, and they collect filings that end up in the cone. \
         A swallowed magnet is an emergency: see a doctor at once.";
    /// Small parts.
    SmallParts = "small parts",
        "Springs jump and small parts can be swallowed. This is a scale model for adults, not a toy: keep parts away from \
         small children, and open the model over a lidded tray.";
    /// Soldering. Two seconds at a terminal: from memory.
    Soldering = "soldering",
        "Unplug the decoder first: an iron whose tip is not earthed destroys amplifiers. Two seconds at a speaker terminal \
         are enough. Flux smoke harms the lungs: extract it, face aside, and wash your hands after solder with lead.";
    /// Static charge.
    Static = "static charge",
        "Touch earthed metal before you touch the decoder; use a mat and a strap with its built-in resistor. Never put \
         anything into a wall outlet to find an earth.";
    /// Solvents and instant glue.
    Solvents = "solvents and glue",
        "Work with fresh air. Keep glue and its vapour off speaker cones and glazing.";
    /// Cutting and filing of metal.
    Cutting = "cutting metal",
        "Clamp the frame, wear glasses and a mask, and wash off every filing before the decoder goes back in.";
}

/// The caution that every card ends with: it hands over to those who are licensed.
const MAINS: &str = "Use only a listed power supply in the state it was sold in, unplug it before you open anything, and let a \
     licensed electrician do whatever is on the mains side. Your local code goes before anything on this card.";

pub(super) fn section(care: &Care) -> Option<Section> {
    let is_empty = care.notes.is_empty() && care.cautions.is_empty();
    let chosen = Caution::ALL.iter().filter(|caution| care.cautions.contains(caution));
    let body = html! {
        @if !care.notes.is_empty() {
            dl class="facts notes" {
                @for note in &care.notes { div { dt { (note.label) } dd { (note.text) } } }
            }
        }
        div class="cautions" {
            @for caution in chosen { (paragraph(caution.title(), caution.words())) }
            (paragraph("mains", MAINS))
        }
    };
    (!is_empty).then_some(Section { id: "care", title: "Care and cautions", body })
}

fn paragraph(title: &str, words: &str) -> Markup {
    html! { div class="caution" { h3 { (title) } p { (words) } } }
}
