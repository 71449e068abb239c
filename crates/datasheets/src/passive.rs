//! Sheets of enclosures, lamps and keep-alives.

use documents::{Checked, Checker, Name};
use finding::Path;
use quantities::{Capacitance, Current, Length, Power, Resistance, Voltage, Volume};

use crate::part::{Part, Size};

documents::record! {
    /// Facts of a speaker box.
    pub struct EnclosureData {
        /// Free air inside, with the speaker mounted.
        pub volume: Volume,
        /// Outer size with the speaker.
        pub size: Option<Size>,
        /// The speakers that go onto it, by sheet name; any of fitting size when left out.
        pub fits: Vec<Name>,
        /// Diameter of an opening that is not closed: a wire hole, a screw hole.
        pub leak: Option<Length>,
        /// Wall thickness at that opening.
        pub wall: Option<Length>,
    }
}

documents::record! {
    /// The sheet of a speaker box.
    pub struct EnclosureSheet {
        /// The head of the sheet.
        pub part: Part,
        /// Facts.
        pub enclosure: EnclosureData,
    }
}

impl Checked for EnclosureSheet {
    fn check(&self, checker: &mut Checker) {
        if self.enclosure.volume.as_cubic_metres() <= 0.0 {
            checker.fault(
                Path::new("enclosure.volume"),
                "the box has no air in it",
                "write the free volume inside",
            );
        }
    }
}

documents::words! {
    /// Kinds of lamp.
    pub enum LampKind: "a kind of lamp" {
        /// A filament lamp.
        Bulb = "bulb",
        /// A light-emitting diode.
        Led = "LED",
    }
}

documents::record! {
    /// Facts of a lamp.
    pub struct LampData {
        /// Kind of lamp.
        pub kind: LampKind,
        /// Rated voltage of a bulb, forward voltage of an LED.
        pub voltage: Voltage,
        /// Rated current.
        pub current: Current,
        /// Series resistor that is built in.
        pub built_in_resistor: Option<Resistance>,
        /// Rating of that resistor.
        pub resistor_rating: Option<Power>,
    }
}

documents::record! {
    /// The sheet of a lamp.
    pub struct LampSheet {
        /// The head of the sheet.
        pub part: Part,
        /// Facts.
        pub lamp: LampData,
    }
}

impl Checked for LampSheet {
    fn check(&self, checker: &mut Checker) {
        if self.lamp.voltage.as_volts() <= 0.0 || self.lamp.current.as_amperes() <= 0.0 {
            checker.fault(Path::new("lamp"), "a lamp needs a voltage and a current above zero", "write both");
        }
    }
}

documents::record! {
    /// Facts of a keep-alive.
    pub struct KeepAliveData {
        /// Capacitance of the whole.
        pub capacitance: Capacitance,
        /// Voltage it stands.
        pub voltage: Voltage,
        /// Series resistance that limits the charging current.
        pub charge_resistance: Option<Resistance>,
        /// Outer size.
        pub size: Option<Size>,
    }
}

documents::record! {
    /// The sheet of a keep-alive.
    pub struct KeepAliveSheet {
        /// The head of the sheet.
        pub part: Part,
        /// Facts.
        pub keep_alive: KeepAliveData,
    }
}

impl Checked for KeepAliveSheet {}
