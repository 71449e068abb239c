//! The truth: a document that describes one locomotive as it really is.
//!
//! What it is: what the bench knows and the work order need not: which decoder is really in it and what its memory
//! holds, how motor, speakers and lamps are really wired, how clean its wheels are, and which fault it was given.
//! What it is not: a work order. Nothing here is wished, planned or surveyed, and nobody who practises reads it.
//!
//! Source: ours; the kinds of fault follow the reference text on practice, section 2.

mod resolve;

use datasheets::{CvKey, CvPlace, CvValue};
use documents::{Bounded, Checked, Checker, Keyed, Name};
use finding::Path;
use quantities::{Current, Duration, MeterReading, Percent, Resistance};
use workorder::{Component, Pad, Wire};

pub(crate) use resolve::leads;
pub use resolve::{read_truth, resolve};

documents::record! {
    /// Whose truth it is.
    pub struct TruthHead {
        /// The work order it belongs to.
        pub order: Option<Name>,
        /// One line that says what is special about it.
        pub title: String,
        /// Whether it is our invention.
        pub invented: Option<bool>,
        /// Anything else worth knowing.
        pub note: Option<String>,
    }
}

documents::record! {
    /// The decoder that is really in it.
    pub struct TrueDecoder {
        /// Its sheet.
        pub part: Name,
        /// Current with everything off; what the sheet says when left out, else 30 mA.
        pub idle_current: Option<Current>,
    }
}

documents::record! {
    /// CVs of one index page that differ from the state of delivery.
    pub struct PageContent {
        /// CV31.
        pub high: CvValue,
        /// CV32.
        pub low: CvValue,
        /// The CVs, 257 to 512.
        pub cv: Keyed<CvKey, CvValue>,
    }
}

documents::record! {
    /// A second decoder in the same vehicle. It hears and acknowledges everything that the first one does.
    pub struct SecondDecoder {
        /// Its sheet.
        pub part: Name,
        /// CVs that differ from the state of delivery.
        pub cv: Keyed<CvKey, CvValue>,
    }
}

documents::record! {
    /// What hangs on the decoder's motor leads.
    pub struct TrueMotor {
        /// Across the brushes; `"OL"` where a lead is broken.
        pub resistance: MeterReading,
        /// Current running light; 150 mA when left out.
        pub running_current: Option<Current>,
        /// Current with the wheels held and the motor at full level; by Ohm's law from its resistance when left out.
        pub stall_current: Option<Current>,
        /// Whether the leads are swapped, so that forward runs backward.
        pub swapped: Option<bool>,
        /// Whether it turns; `false` for a resistor that stands in for a motor so that the decoder can acknowledge.
        pub turns: Option<bool>,
    }
}

documents::record! {
    /// How strong the acknowledgement pulse is.
    pub struct TrueAcknowledgement {
        /// Its current, as far as the motor lets so much pass; 100 mA when left out.
        pub current: Option<Current>,
        /// Its length; 6 ms when left out.
        pub duration: Option<Duration>,
    }
}

documents::record! {
    /// How the wheels touch the rails.
    pub struct TruePickup {
        /// Whether a lead of the pickups is broken, so that nothing arrives at all.
        pub open: Option<bool>,
        /// The share of half bits that arrive with a wrong length.
        pub wrong_half_bits: Option<Percent>,
        /// How often a minute the contact is lost.
        pub losses_per_minute: Option<Bounded<0, 60000>>,
        /// How long a loss lasts; 3 ms when left out.
        pub loss: Option<Duration>,
        /// Noise of the current, effective value.
        pub current_noise: Option<Current>,
    }
}

documents::record! {
    /// A keep-alive that is really there.
    pub struct TrueKeepAlive {
        /// Its sheet.
        pub part: Name,
        /// The share of a short pulse that it delivers in place of the rails, which hides the pulse from them.
        pub masks: Option<Percent>,
    }
}

documents::record! {
    /// A cut of the power that will happen once.
    pub struct TrueCut {
        /// The packet during which it happens, counted from 1 as the decoder hears them.
        pub packet: Bounded<1, 65535>,
    }
}

documents::record! {
    /// A speaker that is really there.
    pub struct TrueSpeaker {
        /// Its name in wires.
        pub name: Name,
        /// Its sheet.
        pub part: Option<Name>,
        /// Across its leads; `"OL"` for a broken coil. From the sheet's impedance when left out.
        pub resistance: Option<MeterReading>,
        /// Its two leads, the one *marked* plus first; `plus` and `minus` when left out.
        pub terminals: Vec<Name>,
        /// Whether the mark is the wrong way round: the cone goes in when plus is on the first lead.
        pub marked_wrong: Option<bool>,
    }
}

documents::record! {
    /// A lamp that is really there, with its resistor between the output and its minus lead.
    pub struct TrueLamp {
        /// Its name; its leads are `plus` and `minus`.
        pub name: Name,
        /// Its sheet.
        pub part: Name,
        /// The decoder output that it really hangs on; none where its wire is off.
        pub output: Option<Name>,
        /// Its resistor; none when left out.
        pub resistor: Option<Resistance>,
        /// A switch between a logic-level output and the lamp.
        pub driver: Option<bool>,
        /// Whether it is an LED put in the wrong way round, or a burnt bulb: it never lights.
        pub dead: Option<bool>,
    }
}

documents::record! {
    /// Two places that touch though they should not, or that leak.
    pub struct Contact {
        /// One place.
        pub from: workorder::Terminal,
        /// The other place.
        pub to: workorder::Terminal,
        /// The resistance between them.
        pub resistance: Resistance,
    }
}

documents::record! {
    /// One locomotive as it really is.
    pub struct Truth {
        /// Whose truth it is.
        pub truth: TruthHead,
        /// The decoder that is really in it.
        pub decoder: TrueDecoder,
        /// Plain CVs that differ from the state of delivery.
        pub cv: Keyed<CvKey, CvValue>,
        /// CVs of index pages that differ from the state of delivery.
        pub page: Vec<PageContent>,
        /// A second decoder in the same vehicle.
        pub second: Option<SecondDecoder>,
        /// What hangs on the decoder's motor leads; nothing when left out.
        pub motor: Option<TrueMotor>,
        /// How strong the acknowledgement pulse is.
        pub acknowledgement: Option<TrueAcknowledgement>,
        /// How the wheels touch the rails; perfectly when left out.
        pub pickup: Option<TruePickup>,
        /// The keep-alive.
        pub keep_alive: Option<TrueKeepAlive>,
        /// A cut of the power that will happen once.
        pub cut: Option<TrueCut>,
        /// Pads of the board.
        pub pad: Vec<Pad>,
        /// Speakers.
        pub speaker: Vec<TrueSpeaker>,
        /// Components in the speaker network.
        pub component: Vec<Component>,
        /// Wires of the speaker network as they really run.
        pub wire: Vec<Wire>,
        /// Places that touch though they should not.
        pub contact: Vec<Contact>,
        /// Lamps.
        pub lamp: Vec<TrueLamp>,
    }
}

/// Parts of terminals that are no names of speakers, lamps or components.
const RESERVED: [&str; 6] = ["amplifier", "board", "motor", "rail", "output", "frame"];

impl Checked for Truth {
    fn check(&self, checker: &mut Checker) {
        let named = |list: &'static str, name: &Name| Path::new(format!("{list}.{name}.name"));
        let speakers = self.speaker.iter().map(|one| (named("speaker", &one.name), &one.name));
        let components = self.component.iter().map(|one| (named("component", &one.name), &one.name));
        let lamps = self.lamp.iter().map(|one| (named("lamp", &one.name), &one.name));
        let all: Vec<(Path, &Name)> = speakers.chain(components).chain(lamps).collect();
        for (path, name) in all.iter().filter(|(_, name)| RESERVED.contains(&name.as_str())) {
            checker.fault(
                path.clone(),
                format!("`{name}` is a terminal of the model itself"),
                "choose another name",
            );
        }
        checker.unique("speakers, components or lamps", all);
        checker.unique("pads", self.pad.iter().map(|pad| (named("pad", &pad.name), &pad.name)));
        for speaker in &self.speaker {
            if !matches!(speaker.terminals.len(), 0 | 2) {
                checker.fault(
                    Path::new(format!("speaker.{}.terminals", speaker.name)),
                    format!("speaker {} has {} leads", speaker.name, speaker.terminals.len()),
                    "name its two leads, the one marked plus first: [\"red\", \"black\"]",
                );
            }
            if speaker.part.is_none() && speaker.resistance.is_none() {
                checker.fault(
                    Path::new(format!("speaker.{}", speaker.name)),
                    format!("nothing tells the resistance of speaker {}", speaker.name),
                    "name its part sheet (`part = \"…\"`), or its `resistance`",
                );
            }
        }
        for (index, page) in self.page.iter().enumerate() {
            for (key, _) in page.cv.0.iter().filter(|(key, _)| !(257..=512).contains(&key.number())) {
                checker.fault(
                    Path::new(format!("page.{}.cv.{key}", index + 1)),
                    format!("{key} is not seen through a page"),
                    "pages are for CV257 to CV512 only (S-9.2.2 CV31/32); write it under `[cv]`",
                );
            }
        }
        if let Some(pickup) = &self.pickup
            && let Some(share) = pickup.wrong_half_bits
            && !(0.0..=100.0).contains(&share.as_percent())
        {
            checker.fault(
                Path::new("pickup.wrong-half-bits"),
                format!("{share} of the half bits cannot be wrong"),
                "write a share from 0 % to 100 %",
            );
        }
        if let Some(keep_alive) = &self.keep_alive
            && let Some(share) = keep_alive.masks
            && !(0.0..=100.0).contains(&share.as_percent())
        {
            checker.fault(
                Path::new("keep-alive.masks"),
                format!("a keep-alive cannot deliver {share} of a pulse"),
                "write a share from 0 % to 100 %",
            );
        }
    }
}

impl Truth {
    /// The CVs that differ from the state of delivery, with their pages.
    pub(crate) fn memory_overrides(&self) -> impl Iterator<Item = (CvPlace, u8)> + '_ {
        let plain = plain_entries(&self.cv);
        let paged = self.page.iter().flat_map(|page| {
            let pair = (byte(page.high), byte(page.low));
            page.cv
                .0
                .iter()
                .map(move |(key, value)| (CvPlace { page: Some(pair), cv: key.number() }, byte(*value)))
        });
        plain.chain(paged)
    }

    /// Whether the motor's leads are swapped.
    pub(crate) fn is_motor_swapped(&self) -> bool {
        self.motor.as_ref().is_some_and(|motor| motor.swapped == Some(true))
    }

    /// Whether anything turns when the decoder feeds the motor.
    pub(crate) fn turns(&self) -> bool {
        self.motor
            .as_ref()
            .is_some_and(|motor| motor.turns != Some(false) && motor.resistance.greatest().is_some())
    }
}

impl TrueSpeaker {
    /// The leads: the one that moves the cone outward when it is positive comes first.
    #[must_use]
    pub fn true_leads(&self) -> (String, String) {
        let lead = |index: usize, otherwise: &str| {
            format!("{}.{}", self.name, self.terminals.get(index).map_or(otherwise, Name::as_str))
        };
        let (first, second) = (lead(0, "plus"), lead(1, "minus"));
        if self.marked_wrong == Some(true) { (second, first) } else { (first, second) }
    }
}

pub(crate) fn plain_entries(entries: &Keyed<CvKey, CvValue>) -> impl Iterator<Item = (CvPlace, u8)> + '_ {
    entries.0.iter().map(|(key, value)| (CvPlace { page: None, cv: key.number() }, byte(*value)))
}

/// A bounded number as the byte it is.
pub(crate) fn byte(number: CvValue) -> u8 {
    // The bounds of the type keep it within a byte.
    u8::try_from(number.get()).unwrap_or(u8::MAX)
}
