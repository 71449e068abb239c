//! Wiring: what is really connected with what.
//!
//! What it is: the truth's wires, speakers, lamps and accidental contacts as a circuit, with the decoder out or in.
//! What it is not: the reading of a meter (`meter`) or the sound that comes of it (the acoustics room).
//!
//! Source: reference text on acoustics and electrics, section 1.5 (DC resistance of a speaker 0.875 of nominal, set S1) and 6
//! (a bulb's cold resistance is a tenth of the hot one); what a meter meets inside a decoder is ours, see
//! [`INSIDE_DECODER_OHMS`].

use datasheets::{DecoderSheet, KeepAliveSheet, LampKind, LampSheet, PinSignal, Shelf, SpeakerSheet};
use electrics::{Load, Netlist};
use quantities::{MeterReading, Resistance};
use workorder::ComponentKind;

use crate::truth::{TrueSpeaker, Truth};

/// What lies between any lead of a decoder and its inside as a meter sees it, ours: rectifier, output stages and dividers
/// let a meter current through, so that a reading with the decoder in never shows isolation (practice, row 1).
pub const INSIDE_DECODER_OHMS: f64 = 100_000.0;
/// DC resistance of a speaker against its nominal impedance where the sheet tells none (section 1.5, set S1).
const RE_OVER_NOMINAL: f64 = 0.875;
/// Cold resistance of a bulb against its hot one (section 6).
const COLD_OVER_HOT: f64 = 0.1;
/// The inside of the decoder, a terminal that nobody can reach.
const INSIDE: &str = "decoder.inside";

/// Whether the decoder is in its socket, or its leads soldered.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum DecoderIs {
    /// Out: what a meter shall see before power.
    Out,
    /// In.
    In,
}

/// The part sheets that a truth names.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Parts<'a> {
    pub(crate) truth: &'a Truth,
    pub(crate) sheet: &'a DecoderSheet,
    pub(crate) shelf: &'a Shelf,
}

impl Parts<'_> {
    /// The whole circuit.
    pub(crate) fn netlist(&self, decoder: DecoderIs) -> Netlist {
        let mut netlist = self.netlist_without_motor(decoder);
        if let Some(MeterReading::Exactly(winding)) = self.truth.motor.as_ref().map(|motor| motor.resistance)
        {
            resistor(&mut netlist, "motor", "motor.1", "motor.2", winding);
        }
        netlist
    }

    /// The circuit with the motor lifted off: what touches what besides it.
    pub(crate) fn netlist_without_motor(&self, decoder: DecoderIs) -> Netlist {
        let mut netlist = Netlist::new();
        for terminal in crate::truth::leads(self.truth, self.sheet) {
            netlist.terminal(&terminal);
        }
        for wire in &self.truth.wire {
            netlist.wire(wire.from.as_str(), wire.to.as_str());
        }
        for (index, contact) in self.truth.contact.iter().enumerate() {
            let name = format!("contact {}", index + 1);
            resistor(&mut netlist, &name, contact.from.as_str(), contact.to.as_str(), contact.resistance);
        }
        self.add_speakers(&mut netlist);
        self.add_components(&mut netlist);
        self.add_lamps(&mut netlist);
        self.add_pads(&mut netlist, decoder);
        if decoder == DecoderIs::In {
            self.add_decoder(&mut netlist);
        }
        netlist
    }

    fn add_speakers(&self, netlist: &mut Netlist) {
        for speaker in &self.truth.speaker {
            let (plus, minus) = speaker.true_leads();
            if let Some(coil) = self.coil(speaker) {
                // The only refusal is a second part of the same name, which the truth's check has excluded.
                let _ = netlist.speaker(speaker.name.as_str(), &plus, &minus, Load::Nominal(coil));
            }
        }
    }

    /// The coil's resistance; none where it is broken.
    fn coil(&self, speaker: &TrueSpeaker) -> Option<Resistance> {
        match speaker.resistance {
            Some(reading) => reading.greatest().filter(|coil| coil.as_ohms() > 0.0),
            None => {
                let sheet: &SpeakerSheet = self.shelf.speakers.get(speaker.part.as_ref()?)?;
                let parameters = sheet.speaker.parameters.as_ref();
                let told = parameters.and_then(|parameters| parameters.coil_resistance);
                Some(told.unwrap_or(sheet.speaker.impedance * RE_OVER_NOMINAL))
            }
        }
    }

    fn add_components(&self, netlist: &mut Netlist) {
        for component in &self.truth.component {
            let name = component.name.as_str();
            let (one, two) = (format!("{name}.1"), format!("{name}.2"));
            // A component without a value, or with one that the circuit refuses, is a break.
            let _ = match component.kind {
                ComponentKind::Resistor => {
                    component.resistance.map(|value| netlist.resistor(name, &one, &two, value))
                }
                ComponentKind::Capacitor => {
                    component.capacitance.map(|value| netlist.capacitor(name, &one, &two, value))
                }
                ComponentKind::Inductor => {
                    component.inductance.map(|value| netlist.inductor(name, &one, &two, value))
                }
            };
        }
    }

    /// Each lamp with its resistor between its output and the common plus. A meter's voltage is too low for an LED.
    fn add_lamps(&self, netlist: &mut Netlist) {
        for lamp in &self.truth.lamp {
            let (plus, minus) = (format!("{}.plus", lamp.name), format!("{}.minus", lamp.name));
            netlist.wire(&plus, "output.common");
            if let Some(output) = &lamp.output {
                let output = format!("output.{output}");
                match lamp.resistor {
                    Some(value) => {
                        resistor(netlist, &format!("resistor of {}", lamp.name), &output, &minus, value);
                    }
                    None => netlist.wire(&output, &minus),
                }
            }
            let sheet: Option<&LampSheet> = self.shelf.lamps.get(&lamp.part);
            if let Some(sheet) =
                sheet.filter(|sheet| sheet.lamp.kind == LampKind::Bulb && lamp.dead != Some(true))
            {
                let cold = sheet.lamp.voltage / sheet.lamp.current * COLD_OVER_HOT;
                let built_in = sheet.lamp.built_in_resistor;
                let whole = built_in.map_or(cold, |built_in| cold + built_in);
                resistor(netlist, lamp.name.as_str(), &plus, &minus, whole);
            }
        }
    }

    /// Pads of motor and rails are joined to them by the board itself, the others only by the decoder in its socket.
    fn add_pads(&self, netlist: &mut Netlist, decoder: DecoderIs) {
        for pad in &self.truth.pad {
            let pin = format!("board.{}", pad.name);
            let own = match pad.signal {
                PinSignal::MotorPlus => Some("motor.1".to_owned()),
                PinSignal::MotorMinus => Some("motor.2".to_owned()),
                PinSignal::PickupLeft => Some("rail.left".to_owned()),
                PinSignal::PickupRight => Some("rail.right".to_owned()),
                _ if decoder == DecoderIs::Out => None,
                PinSignal::SpeakerA => Some("amplifier.1".to_owned()),
                PinSignal::SpeakerB => Some("amplifier.2".to_owned()),
                PinSignal::CommonPlus => Some("output.common".to_owned()),
                signal => self.output_of(signal),
            };
            if let Some(own) = own {
                netlist.wire(&pin, &own);
            }
        }
    }

    fn output_of(&self, signal: PinSignal) -> Option<String> {
        let number = match signal {
            PinSignal::FrontLight => 1,
            PinSignal::RearLight => 2,
            PinSignal::Aux1 => 3,
            PinSignal::Aux2 => 4,
            PinSignal::Aux3 => 5,
            PinSignal::Aux4 => 6,
            PinSignal::Aux5 => 7,
            PinSignal::Aux6 => 8,
            PinSignal::Aux7 => 9,
            _ => return None,
        };
        self.sheet.output(number).map(|output| format!("output.{}", output.name))
    }

    fn add_decoder(&self, netlist: &mut Netlist) {
        let Some(inside) = Resistance::from_ohms(INSIDE_DECODER_OHMS) else { return };
        let outputs = self.sheet.output.iter().map(|output| format!("output.{}", output.name));
        let fixed =
            ["rail.left", "rail.right", "motor.1", "motor.2", "amplifier.1", "amplifier.2", "output.common"];
        for lead in fixed.map(str::to_owned).into_iter().chain(outputs) {
            resistor(netlist, &format!("inside {lead}"), &lead, INSIDE, inside);
        }
    }

    /// The sheet of the keep-alive that is really there.
    pub(crate) fn keep_alive(&self) -> Option<&KeepAliveSheet> {
        self.shelf.keep_alives.get(&self.truth.keep_alive.as_ref()?.part)
    }
}

fn resistor(netlist: &mut Netlist, name: &str, one: &str, two: &str, value: Resistance) {
    // The only refusal is a second part of the same name, which the truth's check has excluded.
    let _ = netlist.resistor(name, one, two, value);
}
