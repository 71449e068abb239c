//! Speaker sheets.

use documents::{Checked, Checker};
use finding::Path;
use quantities::{
    Area, Compliance, ForceFactor, Frequency, Inductance, Length, Mass, MechanicalResistance, Power,
    Resistance, SoundPressureLevel, Volume,
};

use crate::part::{Part, Size};

documents::record! {
    /// The lossy part of a coil's inductance: an inductance with a resistance beside it (the LR-2 model).
    pub struct CoilLosses {
        /// Second inductance.
        pub inductance: Inductance,
        /// Resistance in parallel with it.
        pub resistance: Resistance,
    }
}

documents::record! {
    /// Small-signal parameters as printed on a complete sheet (Thiele and Small). Any sufficient subset will do.
    pub struct SpeakerParameters {
        /// Voice-coil resistance Re.
        pub coil_resistance: Option<Resistance>,
        /// Voice-coil inductance Le.
        pub coil_inductance: Option<Inductance>,
        /// Its lossy part.
        pub coil_losses: Option<CoilLosses>,
        /// Force factor Bl.
        pub force_factor: Option<ForceFactor>,
        /// Moving mass with air load, Mms.
        pub moving_mass: Option<Mass>,
        /// Compliance of the suspension, Cms.
        pub compliance: Option<Compliance>,
        /// Mechanical resistance Rms.
        pub mechanical_resistance: Option<MechanicalResistance>,
        /// Piston area Sd.
        pub piston_area: Option<Area>,
        /// Peak linear travel one way, xmax.
        pub linear_travel: Option<Length>,
        /// Free-air resonance fs.
        pub resonance: Option<Frequency>,
        /// Mechanical quality Qms, a bare number.
        pub mechanical_quality: Option<Quality>,
        /// Electrical quality Qes.
        pub electrical_quality: Option<Quality>,
        /// Total quality Qts.
        pub total_quality: Option<Quality>,
        /// Equivalent volume Vas.
        pub equivalent_volume: Option<Volume>,
        /// Sensitivity at 1 W and 1 m.
        pub sensitivity: Option<SoundPressureLevel>,
    }
}

documents::record! {
    /// What every speaker sheet says.
    pub struct SpeakerData {
        /// Nominal impedance.
        pub impedance: Resistance,
        /// Rated noise power.
        pub rating: Power,
        /// Outer size.
        pub size: Size,
        /// Small-signal parameters; usual values stand in where they are left out, and every answer says so.
        pub parameters: Option<SpeakerParameters>,
    }
}

documents::record! {
    /// The sheet of a speaker.
    pub struct SpeakerSheet {
        /// The head of the sheet.
        pub part: Part,
        /// Facts.
        pub speaker: SpeakerData,
    }
}

impl Checked for SpeakerSheet {
    fn check(&self, checker: &mut Checker) {
        if self.speaker.impedance.as_ohms() < 0.5 {
            checker.fault(
                Path::new("speaker.impedance"),
                format!("no speaker has {}", self.speaker.impedance),
                "write the nominal impedance: 4, 6, 8, 16 or 32 ohm",
            );
        }
        if self.speaker.rating.as_watts() <= 0.0 {
            checker.fault(
                Path::new("speaker.rating"),
                "the rated power is zero",
                "write the rated noise power",
            );
        }
    }
}

/// A quality factor: a bare number above zero.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct Quality(f64);

impl Quality {
    /// A checked quality factor.
    #[must_use]
    pub fn new(value: f64) -> Option<Self> {
        (value > 0.0 && value < 1000.0).then_some(Self(value))
    }

    /// The number.
    #[must_use]
    pub fn get(self) -> f64 {
        self.0
    }
}

impl documents::Read for Quality {
    fn read(node: &documents::Node<'_>, reader: &mut documents::Reader) -> Option<Self> {
        let number = reader.number(node, "a quality factor without unit, like 0.87")?;
        let quality = Self::new(number);
        if quality.is_none() {
            reader.fault(
                node,
                format!("{number} is no quality factor"),
                "write a number above 0 and below 1000",
            );
        }
        quality
    }

    fn schema(_: &mut documents::Definitions) -> documents::declared::serde_json::Value {
        documents::declared::serde_json::json!({ "type": "number", "exclusiveMinimum": 0, "exclusiveMaximum": 1000 })
    }
}
