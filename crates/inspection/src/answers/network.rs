//! Speaker networks as found and as planned: load, power, polarity.

use electrics::{Condition, Load, Netlist, SolveError, Solver};
use finding::Path;
use quantities::{Current, Frequency, Power, Resistance, Voltage};
use workorder::{Component, ComponentKind, Speaker, Terminal, Wire};

use crate::job::Job;

/// Which of the two wirings.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum WiringState {
    /// As the survey found it.
    Found,
    /// As the plan wants it.
    Planned,
}

/// One speaker's share.
#[derive(Debug, Clone, PartialEq)]
pub struct SpeakerShare {
    /// Its name.
    pub name: String,
    /// The path of its facts.
    pub path: Path,
    /// Nominal impedance; none where nothing tells it.
    pub impedance: Option<Resistance>,
    /// Rated power; none where nothing tells it.
    pub rating: Option<Power>,
    /// How it is connected.
    pub condition: Condition,
    /// Voltage across it at the amplifier's full level, RMS.
    pub voltage: Voltage,
    /// Current through it.
    pub current: Current,
    /// Power into it.
    pub power: Power,
    /// Whether its cone moves outward when the amplifier's first output goes positive.
    pub moves_outward: bool,
}

/// A speaker network at the decoder's amplifier, by nominal impedances.
#[derive(Debug, Clone)]
pub struct Network {
    /// Which wiring it is.
    pub state: WiringState,
    /// The circuit.
    pub netlist: Netlist,
    /// The amplifier's full output, RMS; 1 V where there is no sheet that tells it.
    pub full_level: Voltage,
    /// What the amplifier sees; none when nothing is connected, or why it cannot be told.
    pub load: Result<Option<Resistance>, SolveError>,
    /// Each speaker's share, in the order of the documents.
    pub shares: Vec<SpeakerShare>,
}

impl Network {
    /// The network of the survey.
    pub(super) fn found(job: &Job<'_>) -> Option<Self> {
        let survey = job.order.survey.as_ref()?;
        let speakers: Vec<(Path, &Speaker)> = survey
            .speaker
            .iter()
            .map(|speaker| (Path::new(format!("survey.speaker.{}", speaker.name)), speaker))
            .collect();
        Self::of(job, WiringState::Found, &speakers, &survey.component, &survey.wire)
    }

    /// The network of the plan: its own wires where it has any, else those of the survey.
    pub(super) fn planned(job: &Job<'_>) -> Option<Self> {
        let plan = job.order.plan.as_ref()?;
        let speakers: Vec<(Path, &Speaker)> = job.order.planned_speakers().collect();
        let found: (&[Component], &[Wire]) =
            job.order.survey.as_ref().map_or((&[], &[]), |survey| (&survey.component, &survey.wire));
        let wires = if plan.wire.is_empty() { found.1 } else { &plan.wire };
        let components: Vec<Component> = found.0.iter().chain(&plan.component).cloned().collect();
        Self::of(job, WiringState::Planned, &speakers, &components, wires)
    }

    fn of(
        job: &Job<'_>,
        state: WiringState,
        speakers: &[(Path, &Speaker)],
        components: &[Component],
        wires: &[Wire],
    ) -> Option<Self> {
        if speakers.is_empty() {
            return None;
        }
        let full_level = full_level(job);
        let netlist = netlist(job, full_level, speakers, components, wires)?;
        let solved = Solver::new(&netlist).and_then(|mut solver| {
            let solution = solver.solve(reference())?.clone();
            Ok((solver.conditions().to_vec(), solution))
        });
        let mut shares = Vec::with_capacity(speakers.len());
        for (path, speaker) in speakers {
            let id = netlist.find(speaker.name.as_str())?;
            let (condition, voltage, current, power) = match &solved {
                Ok((conditions, solution)) => (
                    conditions[id.index()],
                    solution.voltage(id).re,
                    solution.current(id).norm(),
                    solution.power(id),
                ),
                Err(_) => (Condition::NotConnected, 0.0, 0.0, Power::from_watts(0.0)?),
            };
            let faces_out = speaker.faces != Some(workorder::Facing::In);
            shares.push(SpeakerShare {
                name: speaker.name.to_string(),
                path: path.clone(),
                impedance: job.impedance(speaker),
                rating: job.rating(speaker),
                condition,
                voltage: Voltage::from_volts(voltage.abs())?,
                current: Current::from_amperes(current)?,
                power,
                moves_outward: (voltage > 0.0) == faces_out,
            });
        }
        let load = solved
            .map(|(_, solution)| solution.impedance().and_then(|load| Resistance::from_ohms(load.norm())));
        Some(Self { state, netlist, full_level, load, shares })
    }
}

/// Nominal impedances are resistances; any frequency would do.
fn reference() -> Frequency {
    Frequency::from_hertz(1000.0).unwrap_or_else(|| unreachable!("1 kHz is in range"))
}

/// The amplifier's full output: the voltage that makes its rated power at its rated load.
fn full_level(job: &Job<'_>) -> Voltage {
    let amplifier = job.decoder().and_then(|sheet| sheet.amplifier.as_ref());
    let told = amplifier.map(|amplifier| Voltage::of_power(amplifier.power, amplifier.load));
    told.or_else(|| Voltage::from_volts(1.0)).unwrap_or_else(|| unreachable!("1 V is in range"))
}

fn netlist(
    job: &Job<'_>,
    full_level: Voltage,
    speakers: &[(Path, &Speaker)],
    components: &[Component],
    wires: &[Wire],
) -> Option<Netlist> {
    let eight_ohms = Resistance::from_ohms(8.0)?;
    let (first, second) = (Terminal::of(Terminal::AMPLIFIER, "1"), Terminal::of(Terminal::AMPLIFIER, "2"));
    let mut netlist = Netlist::new();
    netlist.amplifier(first.as_str(), second.as_str(), full_level).ok()?;
    for (_, speaker) in speakers {
        let (plus, minus) = speaker.leads();
        let load = Load::Nominal(job.impedance(speaker).unwrap_or(eight_ohms));
        netlist.speaker(speaker.name.as_str(), plus.as_str(), minus.as_str(), load).ok()?;
    }
    for component in components {
        let name = component.name.as_str();
        let (one, two) = (format!("{name}.1"), format!("{name}.2"));
        let added = match component.kind {
            ComponentKind::Resistor => netlist.resistor(name, &one, &two, component.resistance?),
            ComponentKind::Capacitor => netlist.capacitor(name, &one, &two, component.capacitance?),
            ComponentKind::Inductor => netlist.inductor(name, &one, &two, component.inductance?),
        };
        added.ok()?;
    }
    for wire in wires {
        netlist.wire(wire.from.as_str(), wire.to.as_str());
    }
    // Pads that carry the loudspeaker signals are joined to the amplifier once the decoder is plugged in.
    for pad in job.order.survey.iter().flat_map(|survey| &survey.pad) {
        let terminal = Terminal::of(Terminal::BOARD, pad.name.as_str());
        match pad.signal {
            datasheets::PinSignal::SpeakerA => netlist.wire(terminal.as_str(), first.as_str()),
            datasheets::PinSignal::SpeakerB => netlist.wire(terminal.as_str(), second.as_str()),
            _ => {}
        }
    }
    Some(netlist)
}
