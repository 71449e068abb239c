//! Parts that both the survey and the plan name: speakers, components, wires.

use documents::Name;
use quantities::{Capacitance, Inductance, Length, MeterReading, Power, Resistance};

use crate::terminal::Terminal;

documents::words! {
    /// How the polarity of a speaker is known.
    pub enum Polarity: "a polarity" {
        /// Printed beside a terminal.
        Marked = "marked",
        /// Seen with a cell or heard with a microphone.
        Tested = "tested",
        /// Not known.
        Unknown = "unknown",
    }
}

documents::words! {
    /// Which side of a speaker looks into the open.
    pub enum Facing: "a facing" {
        /// The cone.
        Out = "out",
        /// The magnet.
        In = "in",
    }
}

documents::record! {
    /// A speaker in the model, found or planned.
    pub struct Speaker {
        /// Its name in wires.
        pub name: Name,
        /// Its part sheet.
        pub part: Option<Name>,
        /// Nominal impedance, where there is no sheet.
        pub impedance: Option<Resistance>,
        /// Rated power, where there is no sheet.
        pub rating: Option<Power>,
        /// Its two leads, plus first where that is known; `plus` and `minus` when left out.
        pub terminals: Vec<Name>,
        /// How its polarity is known; unknown when left out.
        pub polarity: Option<Polarity>,
        /// What the meter showed across it.
        pub dc_resistance: Option<MeterReading>,
        /// What the meter showed between a lead and the frame.
        pub to_frame: Option<MeterReading>,
        /// Which side looks into the open; the cone when left out.
        pub faces: Option<Facing>,
        /// The sheet of the box it sits in; no box when left out.
        pub enclosure: Option<Name>,
        /// Its place along the model, from the front.
        pub at: Option<Length>,
    }
}

impl Speaker {
    /// The leads, plus first.
    #[must_use]
    pub fn leads(&self) -> (Terminal, Terminal) {
        let lead = |index: usize, otherwise: &str| {
            Terminal::of(self.name.as_str(), self.terminals.get(index).map_or(otherwise, Name::as_str))
        };
        (lead(0, "plus"), lead(1, "minus"))
    }

    /// How its polarity is known.
    #[must_use]
    pub fn polarity(&self) -> Polarity {
        self.polarity.unwrap_or(Polarity::Unknown)
    }
}

documents::words! {
    /// Kinds of component in a speaker network.
    pub enum ComponentKind: "a kind of component" {
        /// Resistor.
        Resistor = "resistor",
        /// Capacitor.
        Capacitor = "capacitor",
        /// Inductor.
        Inductor = "inductor",
    }
}

documents::record! {
    /// A resistor, capacitor or inductor in a speaker network; its leads are 1 and 2.
    pub struct Component {
        /// Its name in wires.
        pub name: Name,
        /// What it is.
        pub kind: ComponentKind,
        /// Value of a resistor.
        pub resistance: Option<Resistance>,
        /// Value of a capacitor.
        pub capacitance: Option<Capacitance>,
        /// Value of an inductor.
        pub inductance: Option<Inductance>,
    }
}

documents::record! {
    /// A wire, or a solder joint between two terminals.
    pub struct Wire {
        /// One end.
        pub from: Terminal,
        /// The other end.
        pub to: Terminal,
        /// Its colour.
        pub colour: Option<String>,
        /// Anything else worth knowing.
        pub note: Option<String>,
    }
}
