//! The voice: what the prototype sounds like, in the trade's words.

use datasheets::{Aspiration, BellKind, EngineKind, HeadEndPower, Note, Traits};
use documents::Bounded;
use quantities::{Gain, RotationalSpeed};

documents::record! {
    /// What drives the prototype.
    pub struct PrimeMover {
        /// Kind of engine; diesel when left out.
        pub kind: Option<EngineKind>,
        /// Number of cylinders.
        pub cylinders: Option<Bounded<1, 24>>,
        /// Strokes per cycle: 2 or 4.
        pub strokes: Option<Bounded<2, 4>>,
        /// How it gets its air.
        pub aspiration: Option<Aspiration>,
        /// Speed at idle.
        pub idle: Option<RotationalSpeed>,
        /// Speed at full power.
        pub full: Option<RotationalSpeed>,
        /// Which recording an audition chose, by the remark on the decoder's sheet: "recording 2".
        pub recording: Option<String>,
    }
}

documents::record! {
    /// The horn or whistle.
    pub struct HornWish {
        /// How many bells or chambers sound together.
        pub chimes: Option<Bounded<1, 7>>,
        /// Its notes, from low to high, like "A4" or "D#4".
        pub notes: Vec<Note>,
        /// Which recording an audition chose, by the remark on the decoder's sheet: "recording 2".
        pub recording: Option<String>,
    }
}

documents::record! {
    /// The bell.
    pub struct BellWish {
        /// Kind of bell.
        pub kind: Option<BellKind>,
        /// Which recording an audition chose, by the remark on the decoder's sheet: "recording 2".
        pub recording: Option<String>,
    }
}

documents::record! {
    /// What the locomotive shall sound like. What is left out stays as the decoder has it.
    pub struct Voice {
        /// What drives the prototype.
        pub prime_mover: Option<PrimeMover>,
        /// Horn or whistle.
        pub horn: Option<HornWish>,
        /// Bell.
        pub bell: Option<BellWish>,
        /// Electricity for the train.
        pub head_end_power: Option<HeadEndPower>,
        /// Whether the dynamic brake is heard.
        pub dynamic_brake: Option<bool>,
    }
}

documents::record! {
    /// How loud each sound shall be, against the engine at idle; the master level against the decoder's full one.
    pub struct Levels {
        /// All of it, below full.
        pub master: Option<Gain>,
        /// Prime mover.
        pub engine: Option<Gain>,
        /// Horn or whistle.
        pub horn: Option<Gain>,
        /// Bell.
        pub bell: Option<Gain>,
        /// Head-end power.
        pub head_end_power: Option<Gain>,
        /// Dynamic brake.
        pub dynamic_brake: Option<Gain>,
    }
}

const NOTHING: Traits = Traits {
    kind: None,
    cylinders: None,
    strokes: None,
    aspiration: None,
    idle: None,
    full: None,
    chimes: None,
    notes: Vec::new(),
    bell: None,
    head_end_power: None,
    effect: None,
    does: None,
    output: None,
    present: None,
};

impl PrimeMover {
    /// The same facts in the form in which sheets tell what a recording is.
    #[must_use]
    pub fn traits(&self) -> Traits {
        Traits {
            kind: Some(self.kind.unwrap_or(EngineKind::Diesel)),
            cylinders: self.cylinders,
            strokes: self.strokes,
            aspiration: self.aspiration,
            idle: self.idle,
            full: self.full,
            ..NOTHING
        }
    }
}

impl HornWish {
    /// The same facts in the form in which sheets tell what a recording is.
    #[must_use]
    pub fn traits(&self) -> Traits {
        Traits { chimes: self.chimes, notes: self.notes.clone(), ..NOTHING }
    }
}

impl BellWish {
    /// The same facts in the form in which sheets tell what a recording is.
    #[must_use]
    pub fn traits(&self) -> Traits {
        Traits { bell: self.kind, ..NOTHING }
    }
}
