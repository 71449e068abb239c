//! Glyphs for function keys: what a key does, drawn in one ink on a 24 × 24 grid.
//!
//! All are our own drawings; none follows a maker's or another program's symbol set. Ink is `currentColor`, so they
//! print in black and follow the page on screen. A word stands beside each one: the glyph never carries the meaning alone.

use maud::{Markup, PreEscaped, html};

macro_rules! glyphs {
    ($($(#[doc = $doc:literal])* $name:ident = $words:literal, $shape:literal;)+) => {
        /// What a key does.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
        pub enum Glyph {
            $($(#[doc = $doc])* $name,)+
        }

        impl Glyph {
            /// All of them.
            pub const ALL: &[Glyph] = &[$(Glyph::$name),+];

            /// The trade's words for it.
            #[must_use]
            pub fn words(self) -> &'static str {
                match self { $(Self::$name => $words,)+ }
            }

            fn shape(self) -> &'static str {
                match self { $(Self::$name => $shape,)+ }
            }
        }
    };
}

// In the shapes, class "f" is filled with ink; all else is a stroke of 1.7 units with round ends.
glyphs! {
    /// Headlight in the direction of travel.
    Headlight = "headlight",
        r#"<path d="M11 5H9a7 7 0 0 0 0 14h2z"/><path d="M14.5 7 21 5M14.5 12H22M14.5 17 21 19"/>"#;
    /// Rear light.
    RearLight = "rear light",
        r#"<path class="f" d="M13 5h2a7 7 0 0 1 0 14h-2z"/><path d="M9.5 7 3 5M9.5 12H2M9.5 17 3 19"/>"#;
    /// Headlight dimmed for an opposing train.
    DimHeadlight = "dim headlight",
        r#"<path d="M11 5H9a7 7 0 0 0 0 14h2z"/><path d="M14.5 9.5 18.5 12.5M14.5 13.5 18.5 16.5M14.5 17.5 18.5 20.5"/>"#;
    /// Low pair of lamps at the front.
    DitchLamps = "ditch lamps",
        r#"<path d="M4 12V3h16v9"/><circle cx="6" cy="14.5" r="2.5"/><circle cx="18" cy="14.5" r="2.5"/><path d="M4.5 19.5 3 22M7.5 19.5 9 22M16.5 19.5 15 22M19.5 19.5 21 22"/>"#;
    /// Lamp in the cab.
    CabLamp = "cab lamp",
        r#"<path d="M3 8Q12 1 21 8M5 8v13h14V8"/><path class="f" d="M9 11a3 3 0 0 1 6 0z"/><path d="M9 14.5 7.5 17M12 14.5V18M15 14.5 16.5 17"/>"#;
    /// Lamps behind the number boards.
    NumberLamps = "number lamps",
        r#"<rect x="2.5" y="9" width="19" height="10" rx="1.5"/><path d="M7 12v4M10.5 12v4M13.5 12v4M17 12v4M6 5 5 3M12 5V2.5M18 5 19 3"/>"#;
    /// Flashing or turning lamp on the roof.
    Beacon = "beacon",
        r#"<path d="M4 20h16"/><path class="f" d="M8 17v-4a4 4 0 0 1 8 0v4z"/><path d="M4.5 15A8 8 0 0 1 7 6.5M19.5 15A8 8 0 0 0 17 6.5M12 6V3"/>"#;
    /// End-of-train lamps.
    EndOfTrainLamps = "end-of-train lamps",
        r#"<path d="M4 21V7q8-6 16 0v14z"/><circle class="f" cx="8" cy="16" r="2.2"/><circle class="f" cx="16" cy="16" r="2.2"/><path d="M9 9h6"/>"#;
    /// Marker or classification lamps.
    MarkerLamps = "marker lamps",
        r#"<path d="M6 21V9q6-4 12 0v12z"/><circle class="f" cx="4.5" cy="6" r="2.2"/><circle class="f" cx="19.5" cy="6" r="2.2"/>"#;
    /// Glow of the fire.
    Firebox = "firebox",
        r#"<path d="M12 2c1 4 6 6 6 12a6 6 0 0 1-12 0c0-3 2-4 2-7 2 1 3 2 3 4 1-2 2-5 1-9z"/><path d="M12 20a2.5 2.5 0 0 1-2.5-2.5c0-1.5 1.5-2 2-3.5 1.5 1 3 2 3 3.5A2.5 2.5 0 0 1 12 20z"/>"#;
    /// Lamps in a passenger compartment.
    CoachLamps = "coach lamps",
        r#"<path d="M2 18V8q1-3 4-3h12q3 0 4 3v10z"/><path class="f" d="M5 9h3.5v4H5zM10.25 9h3.5v4h-3.5zM15.5 9H19v4h-3.5z"/><path d="M6 21h2M16 21h2"/>"#;
    /// Horn or whistle as long as the key is held.
    Horn = "horn",
        r#"<path d="M2.5 10.5v3h5l8 4.5V6l-8 4.5z"/><path d="M18.5 9a4.5 4.5 0 0 1 0 6M20.5 6.5a8 8 0 0 1 0 11"/>"#;
    /// A short blast.
    ShortHorn = "short horn",
        r#"<path d="M2.5 10.5v3h5l8 4.5V6l-8 4.5z"/><path d="M18.5 12h3"/>"#;
    /// Bell.
    Bell = "bell",
        r#"<path d="M4 18c2.5-2 2.5-4 2.5-8a5.5 5.5 0 0 1 11 0c0 4 0 6 2.5 8z"/><path d="M12 4.5V2.5"/><circle class="f" cx="12" cy="20.5" r="1.6"/>"#;
    /// Sounds of the prime mover.
    Engine = "engine",
        r#"<path d="M4 20v-7h16v7z"/><path d="M6 13V7h4v6M14 13V7h4v6"/><path d="M6 9.5h4M14 9.5h4"/><circle class="f" cx="12" cy="16.5" r="1.7"/><path d="M8 4V2.5M16 4V2.5"/>"#;
    /// Electricity for the train.
    HeadEndPower = "head-end power",
        r#"<path d="M2.5 18V6h19v12z"/><path class="f" d="M13.5 7.5 8 13h3.5L10.5 17 16 11.5h-3.5z"/><path d="M6 21h2M16 21h2"/>"#;
    /// A generator set.
    Generator = "generator set",
        r#"<circle cx="12" cy="11" r="8"/><path d="M7 11q2.5-5 5 0t5 0M5 21h14M8 18.5 7 21M16 18.5 17 21"/>"#;
    /// Dynamic brake blower.
    DynamicBrake = "dynamic brake",
        r#"<circle cx="12" cy="12" r="9.5"/><path class="f" d="M12 12q-5-2-3-7 4 1 3 7zM12 12q4-3.5 7.5.5-3 3-7.5-.5zM12 12q1 5-4.5 6.5-1-4.5 4.5-6.5z"/>"#;
    /// All sounds silent.
    Mute = "mute",
        r#"<path d="M3 9.5v5h4l6 4.5V5L7 9.5z"/><path d="M16 9.5l5 5M21 9.5l-5 5"/>"#;
    /// Any other sound.
    Sound = "sound",
        r#"<path d="M3 9.5v5h4l6 4.5V5L7 9.5z"/><path d="M16 9a4 4 0 0 1 0 6M18.5 6.5a8 8 0 0 1 0 11"/>"#;
    /// Squeal of the brake shoes.
    BrakeSqueal = "brake squeal",
        r#"<circle cx="9" cy="14" r="6.5"/><circle class="f" cx="9" cy="14" r="1.5"/><path d="M14 5.5a10 10 0 0 1 4.5 7"/><path d="M19 2.5 18 5l3 .5-1 2.5"/>"#;
    /// Coupler, also the uncoupling key.
    Coupler = "coupler",
        r#"<path d="M2 5h5.5v11H2M22 5h-5.5v11H22M7.5 13h2.5M14 13h2.5"/><circle class="f" cx="12" cy="13" r="2"/><path d="M3 20h3M18 20h3"/>"#;
    /// Air compressor.
    Compressor = "compressor",
        r#"<circle cx="12" cy="10" r="7.5"/><path d="M12 10 15.5 6.5"/><circle class="f" cx="12" cy="10" r="1.4"/><path d="M7.5 12.5l-.8.5M16.5 12.5l.8.5M12 17.5V21M8 21h8"/>"#;
    /// Steam blown out of the cylinders.
    CylinderCocks = "cylinder cocks",
        r#"<rect x="3" y="4" width="14" height="7" rx="1"/><path d="M17 7.5h5M6 11v2.5M14 11v2.5"/><path d="M6 16q-2 1.5-.5 3t-1 3M14 16q-2 1.5-.5 3t-1 3M8.5 16.5q-1.5 1.5 0 3M16.5 16.5q-1.5 1.5 0 3"/>"#;
    /// Injector or feed pump.
    Injector = "injector",
        r#"<path d="M9 3q5.5 7 5.5 11a5.5 5.5 0 0 1-11 0Q3.5 10 9 3z"/><path d="M17 14h4.5M19 11.5l2.5 2.5-2.5 2.5"/>"#;
    /// Slows the model by its own rate.
    Brake = "brake",
        r#"<circle cx="10" cy="12" r="7.5"/><circle class="f" cx="10" cy="12" r="1.6"/><path class="f" d="M18.3 5.5a10.5 10.5 0 0 1 0 13h3.2v-13z"/>"#;
    /// Momentum switched off, half speed.
    Shunting = "shunting",
        r#"<path d="M3 8.5h14M13.5 5 17 8.5 13.5 12M21 15.5H7M10.5 12 7 15.5 10.5 19"/>"#;
    /// Anything that has no glyph of its own.
    Plain = "key",
        r#"<circle cx="12" cy="12" r="8"/><circle class="f" cx="12" cy="12" r="2.5"/>"#;
}

impl Glyph {
    /// The glyph for the trade's words, as work orders write them: "horn", "head-end power"; [`Glyph::Plain`] for others.
    #[must_use]
    pub fn for_words(words: &str) -> Self {
        Self::ALL.iter().copied().find(|glyph| glyph.words() == words).unwrap_or(Self::Plain)
    }

    /// The glyph as an SVG element without a name of its own: the words beside it are read instead.
    #[must_use]
    pub fn svg(self) -> Markup {
        html! { svg class="glyph" viewBox="0 0 24 24" aria-hidden="true" { (PreEscaped(self.shape())) } }
    }
}
