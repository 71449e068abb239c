//! The survey: what was found in the model and what the meter said.

use datasheets::{LampKind, PinSignal, Size};
use documents::Name;
use quantities::{Current, MeterReading, Voltage};

use crate::parts::{Component, Speaker, Wire};

documents::record! {
    /// A pad of the model's board.
    pub struct Pad {
        /// Its name on the board.
        pub name: Name,
        /// What it carries.
        pub signal: PinSignal,
    }
}

documents::record! {
    /// A lamp as found.
    pub struct FoundLamp {
        /// Its name.
        pub name: Name,
        /// Kind of lamp.
        pub kind: LampKind,
        /// Rated voltage of a bulb, forward voltage of an LED.
        pub voltage: Option<Voltage>,
        /// Current at that voltage.
        pub current: Option<Current>,
    }
}

documents::record! {
    /// What was found and measured.
    pub struct Survey {
        /// The decoder socket, by sheet name; `"none"` where wires must be soldered.
        pub socket: Option<Name>,
        /// Whether the empty socket was metered pin by pin against its sheet, and agreed.
        pub socket_metered: Option<bool>,
        /// Current with the motor held, decoder out.
        pub stall_current: Option<Current>,
        /// Track voltage at which the motor was held.
        pub stall_voltage: Option<Voltage>,
        /// Current running light.
        pub running_current: Option<Current>,
        /// The meter across the motor, decoder out.
        pub motor_resistance: Option<MeterReading>,
        /// The meter from each motor brush to the frame, decoder out; the lower one counts.
        pub motor_to_frame: Option<MeterReading>,
        /// The meter from each motor brush to each rail, decoder out; the lowest counts.
        pub motor_to_rail: Option<MeterReading>,
        /// The meter from rail to rail, decoder out.
        pub rail_to_rail: Option<MeterReading>,
        /// Whether a capacitor or chokes against interference sit at the motor.
        pub interference_parts: Option<bool>,
        /// Whether a board for constant lighting, or another circuit of the DC days, is still in.
        pub old_lighting_board: Option<bool>,
        /// Free room for the decoder.
        pub decoder_space: Option<Size>,
        /// Free room for speaker and box.
        pub speaker_space: Option<Size>,
        /// Speakers found.
        pub speaker: Vec<Speaker>,
        /// Components found in their network.
        pub component: Vec<Component>,
        /// Pads of the board.
        pub pad: Vec<Pad>,
        /// Wires found.
        pub wire: Vec<Wire>,
        /// Lamps found.
        pub lamp: Vec<FoundLamp>,
    }
}
