//! Socket sheets: the pins of the standard decoder sockets.

use documents::{Bounded, Checked, Checker, Name};
use finding::Path;
use quantities::Current;

use crate::part::{Part, Size};

documents::words! {
    /// What a pin carries.
    pub enum PinSignal: "a pin's signal" {
        /// Pickup right, red.
        PickupRight = "pickup right",
        /// Pickup left, black.
        PickupLeft = "pickup left",
        /// Motor plus, orange.
        MotorPlus = "motor plus",
        /// Motor minus, grey.
        MotorMinus = "motor minus",
        /// Front light, white.
        FrontLight = "front light",
        /// Rear light, yellow.
        RearLight = "rear light",
        /// Common plus, blue.
        CommonPlus = "common plus",
        /// AUX1, green.
        Aux1 = "AUX1",
        /// AUX2, violet.
        Aux2 = "AUX2",
        /// AUX3.
        Aux3 = "AUX3",
        /// AUX4.
        Aux4 = "AUX4",
        /// AUX5.
        Aux5 = "AUX5",
        /// AUX6.
        Aux6 = "AUX6",
        /// AUX7.
        Aux7 = "AUX7",
        /// Loudspeaker, first lead.
        SpeakerA = "loudspeaker A",
        /// Loudspeaker, second lead.
        SpeakerB = "loudspeaker B",
        /// Ground behind the rectifier.
        Ground = "ground",
        /// Supply of logic parts.
        LogicSupply = "logic supply",
        /// Storage capacitor plus.
        KeepAlivePlus = "keep-alive plus",
        /// Train-bus clock.
        BusClock = "train-bus clock",
        /// Train-bus data.
        BusData = "train-bus data",
        /// An input.
        Input = "input",
        /// General input and output.
        General = "general input/output",
        /// No pin: keeps the plug from going in wrongly.
        Index = "index",
        /// Free.
        Free = "free",
    }
}

documents::record! {
    /// One pin.
    pub struct Pin {
        /// Its number.
        pub number: Bounded<1, 64>,
        /// What it carries.
        pub signal: PinSignal,
        /// Its wire's colour in the standard.
        pub colour: Option<String>,
        /// Whether an output at this pin is a logic signal and no lamp driver.
        pub logic: Option<bool>,
    }
}

documents::record! {
    /// Facts of a socket.
    pub struct SocketData {
        /// Other names in use.
        pub aliases: Vec<Name>,
        /// Smaller plugs that go into it, by sheet name.
        pub takes: Vec<Name>,
        /// Current of one contact for ever.
        pub contact_current: Option<Current>,
        /// Space that the standard reserves for the decoder.
        pub space: Option<Size>,
        /// Space that it reserves for a sound decoder, where it tells one.
        pub sound_space: Option<Size>,
        /// The pins.
        pub pin: Vec<Pin>,
    }
}

documents::record! {
    /// The sheet of a socket.
    pub struct SocketSheet {
        /// The head of the sheet.
        pub part: Part,
        /// Facts.
        pub socket: SocketData,
    }
}

impl SocketSheet {
    /// The pin that carries a signal.
    #[must_use]
    pub fn pin(&self, signal: PinSignal) -> Option<&Pin> {
        self.socket.pin.iter().find(|pin| pin.signal == signal)
    }

    /// Whether a speaker can be reached through it.
    #[must_use]
    pub fn has_speaker_pins(&self) -> bool {
        self.pin(PinSignal::SpeakerA).is_some() && self.pin(PinSignal::SpeakerB).is_some()
    }
}

impl Checked for SocketSheet {
    fn check(&self, checker: &mut Checker) {
        for (index, pin) in self.socket.pin.iter().enumerate() {
            if self.socket.pin[..index].iter().any(|earlier| earlier.number == pin.number) {
                checker.fault(
                    Path::new(format!("socket.pin.{}.number", index + 1)),
                    format!("pin {} is given twice", pin.number.get()),
                    "number each pin once",
                );
            }
        }
    }
}
