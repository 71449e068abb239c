//! The plan: decoder, speakers, wires and lamps as they shall be.

use datasheets::{Deed, LampEffect, Travel};
use documents::Name;
use quantities::{Percent, Power, Resistance, Voltage};

use crate::parts::{Component, Speaker, Wire};

documents::record! {
    /// A lamp as it shall be.
    pub struct LampPlan {
        /// Its name.
        pub name: Name,
        /// What it is for.
        pub does: Deed,
        /// The decoder output that switches it, by the name on the decoder's sheet.
        pub output: Name,
        /// Its part sheet, for a new lamp.
        pub part: Option<Name>,
        /// The lamp of the survey, for one that stays.
        pub found: Option<Name>,
        /// Series resistor.
        pub resistor: Option<Resistance>,
        /// Rating of that resistor.
        pub resistor_rating: Option<Power>,
        /// A switch (a transistor, a driver board) between a logic-level output and the lamp.
        pub driver: Option<bool>,
        /// The direction of travel in which it may be on; both when left out.
        pub when: Option<Travel>,
        /// How it behaves while it is on.
        pub effect: Option<LampEffect>,
        /// How bright it shall be.
        pub brightness: Option<Percent>,
    }
}

documents::record! {
    /// What shall be built.
    pub struct Plan {
        /// The decoder, by sheet name.
        pub decoder: Option<Name>,
        /// Track voltage that it will run on; 15 V when left out.
        pub track_voltage: Option<Voltage>,
        /// The keep-alive, by sheet name.
        pub keep_alive: Option<Name>,
        /// Speakers that come in.
        pub speaker: Vec<Speaker>,
        /// Speakers of the survey that go out.
        pub remove: Vec<Name>,
        /// Components in the speaker network.
        pub component: Vec<Component>,
        /// Speaker wires as they shall be; left out, the wires of the survey stay.
        pub wire: Vec<Wire>,
        /// Lamps.
        pub lamp: Vec<LampPlan>,
        /// Whether the motor will be insulated from frame and rails as part of this job.
        pub insulate_motor: Option<bool>,
    }
}
