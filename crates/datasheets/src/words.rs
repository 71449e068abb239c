//! The trade's words that wishes and sheets share: what a prototype has, what a key does, how a lamp behaves.

use documents::Bounded;
use quantities::RotationalSpeed;

use crate::note::Note;
use crate::role::CvValue;

documents::words! {
    /// What drives the prototype.
    pub enum EngineKind: "a kind of engine" {
        /// An oil engine.
        Diesel = "diesel",
        /// A steam engine.
        Steam = "steam",
        /// An electric locomotive.
        Electric = "electric",
    }
}

documents::words! {
    /// How an oil engine gets its air.
    pub enum Aspiration: "an aspiration" {
        /// By the pistons alone.
        Natural = "natural",
        /// By a mechanically driven blower (two-strokes need one).
        Blower = "blower",
        /// By an exhaust turbine.
        Turbo = "turbo",
    }
}

documents::words! {
    /// Kinds of bell.
    pub enum BellKind: "a kind of bell" {
        /// A cast bell with a clapper moved by rope or air.
        Cast = "cast",
        /// A struck gong.
        Gong = "gong",
        /// An electronic bell.
        Electronic = "electronic",
    }
}

documents::words! {
    /// Where the electricity for the train comes from.
    pub enum HeadEndPower: "a kind of head-end power" {
        /// The unit supplies none.
        None = "none",
        /// From the main engine, which then holds a fixed speed whatever the throttle does.
        MainEngine = "main engine",
        /// From a generator set with an engine of its own; the main engine stays free.
        GeneratorSet = "generator set",
        /// From the main engine at its lower standing speed.
        Standby = "standby",
    }
}

documents::words! {
    /// What a function key does.
    pub enum Deed: "something that a key can do" {
        /// Headlight in the direction of travel.
        Headlight = "headlight",
        /// Rear light.
        RearLight = "rear light",
        /// Headlight dimmed for an opposing train.
        DimHeadlight = "dim headlight",
        /// Low pair of lamps at the front.
        DitchLamps = "ditch lamps",
        /// Lamp in the cab.
        CabLamp = "cab lamp",
        /// Lamps behind the number boards.
        NumberLamps = "number lamps",
        /// Flashing or turning lamp on the roof.
        Beacon = "beacon",
        /// End-of-train lamps.
        EndOfTrainLamp = "end-of-train lamps",
        /// Marker or classification lamps.
        MarkerLamps = "marker lamps",
        /// Glow of the fire.
        Firebox = "firebox",
        /// Lamps in a passenger compartment.
        CoachLamps = "coach lamps",
        /// Horn or whistle as long as the key is held.
        Horn = "horn",
        /// A short blast.
        ShortHorn = "short horn",
        /// Bell.
        Bell = "bell",
        /// Sounds of the prime mover: starts and stops it.
        Engine = "engine",
        /// Electricity for the train.
        HeadEndPower = "head-end power",
        /// Dynamic brake blower.
        DynamicBrake = "dynamic brake",
        /// All sounds silent.
        Mute = "mute",
        /// Squeal of the brake shoes.
        BrakeSqueal = "brake squeal",
        /// Coupler clank.
        Coupler = "coupler",
        /// Air compressor.
        Compressor = "compressor",
        /// Steam blown out of the cylinders.
        CylinderCocks = "cylinder cocks",
        /// Injector or feed pump.
        Injector = "injector",
        /// Slows the model by its own rate.
        Brake = "brake",
        /// Momentum switched off, half speed.
        Shunting = "shunting",
    }
}

impl Deed {
    /// Whether it is heard rather than seen or felt.
    #[must_use]
    pub fn is_sound(self) -> bool {
        matches!(
            self,
            Self::Horn
                | Self::ShortHorn
                | Self::Bell
                | Self::Engine
                | Self::HeadEndPower
                | Self::DynamicBrake
                | Self::Mute
                | Self::BrakeSqueal
                | Self::Coupler
                | Self::Compressor
                | Self::CylinderCocks
                | Self::Injector
        )
    }

    /// Whether it switches lamps.
    #[must_use]
    pub fn is_lamp(self) -> bool {
        matches!(
            self,
            Self::Headlight
                | Self::RearLight
                | Self::DimHeadlight
                | Self::DitchLamps
                | Self::CabLamp
                | Self::NumberLamps
                | Self::Beacon
                | Self::EndOfTrainLamp
                | Self::MarkerLamps
                | Self::Firebox
                | Self::CoachLamps
        )
    }
}

documents::words! {
    /// How a lamp behaves while it is on.
    pub enum LampEffect: "a lamp effect" {
        /// Simply on.
        Steady = "steady",
        /// On at reduced brightness.
        Dimmed = "dimmed",
        /// In turn with its partner, as ditch lamps do while the horn blows.
        Alternating = "alternating",
        /// A turning or flashing beacon.
        Flashing = "flashing",
        /// Irregular, as a fire or an oil lamp.
        Flickering = "flickering",
    }
}

documents::words! {
    /// In which direction of travel a lamp may be on.
    pub enum Travel: "a direction of travel" {
        /// Only forward.
        Forward = "forward",
        /// Only in reverse.
        Reverse = "reverse",
    }
}

documents::record! {
    /// What one value of a role stands for: the prototype facts of a recording, a lamp's behaviour, what a key does.
    /// Only what is known is written.
    pub struct Traits {
        /// Kind of engine.
        pub kind: Option<EngineKind>,
        /// Number of cylinders.
        pub cylinders: Option<Bounded<1, 24>>,
        /// Strokes per cycle: 2 or 4.
        pub strokes: Option<Bounded<2, 4>>,
        /// How the engine gets its air.
        pub aspiration: Option<Aspiration>,
        /// Speed at idle.
        pub idle: Option<RotationalSpeed>,
        /// Speed at full power.
        pub full: Option<RotationalSpeed>,
        /// Number of bells or chambers of a horn or whistle.
        pub chimes: Option<Bounded<1, 7>>,
        /// Notes of a horn or whistle, from low to high, like "D#4".
        pub notes: Vec<Note>,
        /// Kind of bell.
        pub bell: Option<BellKind>,
        /// Kind of head-end power.
        pub head_end_power: Option<HeadEndPower>,
        /// How a lamp behaves.
        pub effect: Option<LampEffect>,
        /// What a key does.
        pub does: Option<Deed>,
        /// The function output that a key switches, whatever hangs on it.
        pub output: Option<Bounded<1, 32>>,
        /// Whether the thing is there at all: `present = false` for the value that means silence or off.
        pub present: Option<bool>,
    }
}

documents::record! {
    /// One value of a role and what it stands for.
    pub struct Choice {
        /// The value, before it is shifted to its bits.
        pub value: CvValue,
        /// What it stands for.
        pub is: Traits,
        /// A remark to tell it from its like: "recording 2".
        pub note: Option<String>,
    }
}

/// In the trade's words: "16-cylinder two-stroke diesel, turbo", "5 chimes (Ds4 Fs4)".
impl std::fmt::Display for Traits {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let mut words: Vec<String> = Vec::new();
        let cylinders = self.cylinders.map(|cylinders| format!("{}-cylinder", cylinders.get()));
        let strokes = self.strokes.map(|strokes| {
            if strokes.get() == 2 { "two-stroke".to_owned() } else { "four-stroke".to_owned() }
        });
        let kind = self.kind.map(|kind| kind.to_string());
        let engine: Vec<String> = [cylinders, strokes, kind].into_iter().flatten().collect();
        if !engine.is_empty() {
            words.push(engine.join(" "));
        }
        words.extend(self.aspiration.map(|aspiration| aspiration.to_string()));
        words.extend(self.idle.map(|idle| format!("idle {idle}")));
        words.extend(self.full.map(|full| format!("full {full}")));
        words.extend(self.chimes.map(|chimes| {
            if chimes.get() == 1 { "one chime".to_owned() } else { format!("{} chimes", chimes.get()) }
        }));
        if !self.notes.is_empty() {
            words.push(self.notes.iter().map(ToString::to_string).collect::<Vec<_>>().join(" "));
        }
        words.extend(self.bell.map(|bell| format!("{bell} bell")));
        words.extend(self.head_end_power.map(|kind| kind.to_string()));
        words.extend(self.effect.map(|effect| effect.to_string()));
        words.extend(self.does.map(|does| does.to_string()));
        words.extend(self.output.map(|output| format!("output {}", output.get())));
        if words.is_empty() {
            words.push(if self.present == Some(false) { "none".to_owned() } else { "present".to_owned() });
        }
        f.write_str(&words.join(", "))
    }
}
