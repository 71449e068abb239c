//! Address, manners on the track, and what first contact showed.

use datasheets::{CvKey, CvValue};
use documents::{Bounded, Keyed};
use quantities::{Current, Duration, Percent};

documents::words! {
    /// Short and long addresses are different things: 100 to 127 exist as both (practice: state which).
    pub enum AddressForm: "an address form" {
        /// CV1.
        Short = "short",
        /// CV17 and CV18.
        Long = "long",
    }
}

documents::record! {
    /// The address to answer to.
    pub struct Address {
        /// Short or long.
        pub form: AddressForm,
        /// The number: 1 to 127 short, 0 to 10239 long.
        pub number: Bounded<0, 10239>,
        /// Consist address in CV19; 0 for none.
        pub consist: Option<Bounded<0, 127>>,
        /// Whether the unit runs reversed in that consist.
        pub consist_reversed: Option<bool>,
    }
}

documents::words! {
    /// Numbers of speed steps.
    pub enum SpeedSteps: "a number of speed steps" {
        /// 14, with the headlight in the speed packet.
        Fourteen = "14",
        /// 28.
        TwentyEight = "28",
        /// 128 (126 usable).
        OneHundredTwentyEight = "128",
    }
}

documents::record! {
    /// How it shall move. What is left out stays as the decoder has it.
    pub struct Manners {
        /// Whether "forward" is the other way round.
        pub reversed: Option<bool>,
        /// Speed steps.
        pub speed_steps: Option<SpeedSteps>,
        /// Whether it may run on plain DC.
        pub analog: Option<bool>,
        /// Whether bi-directional communication is on.
        pub feedback: Option<bool>,
        /// Time from stop to full speed.
        pub acceleration: Option<Duration>,
        /// Time from full speed to stop.
        pub deceleration: Option<Duration>,
        /// Motor level at the first step.
        pub start_level: Option<Percent>,
        /// Motor level at the middle step.
        pub middle_level: Option<Percent>,
        /// Motor level at the last step.
        pub top_level: Option<Percent>,
        /// Motor level at each of 28 steps, 0 to 255.
        pub speed_table: Vec<CvValue>,
    }
}

documents::record! {
    /// What first contact on the programming track showed.
    pub struct Contact {
        /// Whether the decoder acknowledged at all.
        pub acknowledged: Option<bool>,
        /// Current drawn before any command.
        pub idle_current: Option<Current>,
        /// CVs that were read.
        pub cv: Keyed<CvKey, CvValue>,
    }
}

impl Contact {
    /// What a CV held.
    #[must_use]
    pub fn cv(&self, number: u16) -> Option<u8> {
        let (_, value) = self.cv.0.iter().find(|(key, _)| key.number() == number)?;
        u8::try_from(value.get()).ok()
    }
}
