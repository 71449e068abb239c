//! Speaker networks as found and as planned: load, power, polarity.

use electrics::{Condition, Load, Netlist, SolveError, Solver};
use finding::Path;
use quantities::{Current, Frequency, Length, Power, Quantity, Resistance, Voltage};
use workorder::{Component, ComponentKind, Facing, Polarity, Speaker, Terminal, Wire};

use super::joints::{Joints, amplifier_output};
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
    /// Its leads, plus first.
    pub leads: (Terminal, Terminal),
    /// Nominal impedance; none where nothing tells it.
    pub impedance: Option<Resistance>,
    /// Rated power; none where nothing tells it.
    pub rating: Option<Power>,
    /// How its polarity is known.
    pub polarity: Polarity,
    /// Which side looks into the open.
    pub faces: Facing,
    /// Its place along the model, where that is told.
    pub at: Option<Length>,
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
    /// What wires join.
    pub joints: Joints,
    /// Which list of the order holds its wires: `survey.wire` or `plan.wire`.
    pub wire_list: &'static str,
    /// How many wires that list has.
    pub n_wires: usize,
    /// The amplifier's full output, RMS; 1 V where there is no sheet that tells it.
    pub full_level: Voltage,
    /// The least that the amplifier sees; none when nothing is connected, or why it cannot be told. It is the same at
    /// every frequency unless there are capacitors or inductors.
    pub load: Result<Option<Resistance>, SolveError>,
    /// Each speaker's share, in the order of the documents.
    pub shares: Vec<SpeakerShare>,
}

/// A speaker whose voltage stays below this share of the full level is silent: -100 dB, as in the electrical room.
const SILENT: f64 = 1e-5;

impl Network {
    /// The network of the survey.
    pub(super) fn found(job: &Job<'_>) -> Option<Self> {
        let survey = job.order.survey.as_ref()?;
        let speakers: Vec<(Path, &Speaker)> = survey
            .speaker
            .iter()
            .map(|speaker| (Path::new(format!("survey.speaker.{}", speaker.name)), speaker))
            .collect();
        Self::of(job, WiringState::Found, &speakers, &survey.component, ("survey.wire", &survey.wire))
    }

    /// The network of the plan: its own wires where it has any, else those of the survey.
    pub(super) fn planned(job: &Job<'_>) -> Option<Self> {
        let plan = job.order.plan.as_ref()?;
        let speakers: Vec<(Path, &Speaker)> = job.order.planned_speakers().collect();
        let found: (&[Component], &[Wire]) =
            job.order.survey.as_ref().map_or((&[], &[]), |survey| (&survey.component, &survey.wire));
        let wires = if plan.wire.is_empty() { ("survey.wire", found.1) } else { ("plan.wire", &*plan.wire) };
        let components: Vec<Component> = found.0.iter().chain(&plan.component).cloned().collect();
        Self::of(job, WiringState::Planned, &speakers, &components, wires)
    }

    /// The path of a wire by its number from 0.
    #[must_use]
    pub fn wire_path(&self, number: usize) -> Path {
        Path::new(format!("{}.{}", self.wire_list, number + 1))
    }

    /// The wires along a shortest way between two terminals.
    #[must_use]
    pub fn way(&self, from: &str, to: &str) -> Vec<Path> {
        self.joints.way(from, to).into_iter().map(|number| self.wire_path(number)).collect()
    }

    /// Whether a speaker gets a voltage that anybody could hear.
    #[must_use]
    pub fn sounds(&self, share: &SpeakerShare) -> bool {
        share.condition == Condition::Driven
            && share.voltage.as_volts() > SILENT * self.full_level.as_volts().abs()
    }

    fn of(
        job: &Job<'_>,
        state: WiringState,
        speakers: &[(Path, &Speaker)],
        components: &[Component],
        (wire_list, wires): (&'static str, &[Wire]),
    ) -> Option<Self> {
        if speakers.is_empty() {
            return None;
        }
        let full_level = full_level(job);
        let netlist = netlist(job, full_level, speakers, components, wires)?;
        let pads = job.order.survey.as_ref().map_or(&[][..], |survey| &survey.pad);
        let solved = Solved::of(&netlist);
        let shares = speakers
            .iter()
            .zip(netlist.elements())
            .map(|((path, speaker), (id, _))| {
                let state = solved.as_ref().map_or(SILENT_STATE, |solved| solved.states[id.index()]);
                let faces = speaker.faces.unwrap_or(Facing::Out);
                SpeakerShare {
                    name: speaker.name.to_string(),
                    path: path.clone(),
                    leads: speaker.leads(),
                    impedance: job.impedance(speaker),
                    rating: job.rating(speaker),
                    polarity: speaker.polarity(),
                    faces,
                    at: speaker.at,
                    condition: state.condition,
                    voltage: saturated(state.volts),
                    current: saturated(state.amperes),
                    power: saturated(state.watts),
                    moves_outward: (state.push > 0.0) == (faces == Facing::Out),
                }
            })
            .collect();
        let load = solved.map(|solved| solved.least_load);
        let joints = Joints::of(wires, pads);
        Some(Self { state, netlist, joints, wire_list, n_wires: wires.len(), full_level, load, shares })
    }
}

/// What the circuit does to one element.
#[derive(Debug, Clone, Copy)]
struct State {
    condition: Condition,
    volts: f64,
    amperes: f64,
    watts: f64,
    /// The in-phase part of its voltage: positive pushes the cone towards its front.
    push: f64,
}

const SILENT_STATE: State =
    State { condition: Condition::NotConnected, volts: 0.0, amperes: 0.0, watts: 0.0, push: 0.0 };

struct Solved {
    states: Vec<State>,
    least_load: Option<Resistance>,
}

impl Solved {
    fn of(netlist: &Netlist) -> Result<Self, SolveError> {
        let mut solver = Solver::new(netlist)?;
        let conditions = solver.conditions().to_vec();
        let solution = solver.solve(reference())?;
        let mut least_load = solution.impedance().map(|load| load.norm());
        let mut states: Vec<State> = netlist
            .elements()
            .zip(conditions)
            .map(|((id, _), condition)| {
                let voltage = solution.voltage(id);
                State {
                    condition,
                    volts: voltage.norm(),
                    amperes: solution.current(id).norm(),
                    watts: solution.power(id).as_watts(),
                    push: voltage.re,
                }
            })
            .collect();
        let depends_on_frequency = netlist.elements().any(|(_, element)| {
            matches!(
                element.component,
                electrics::Component::Capacitor(_) | electrics::Component::Inductor(_)
            )
        });
        if depends_on_frequency {
            let loads = solver.impedances(&electrics::audio_frequencies())?;
            least_load = loads.into_iter().flatten().map(|load| load.norm()).min_by(f64::total_cmp);
            // The sign is judged where the ear is: digest, section 1.3.
            let sweep = solver.sweep(&electrics::polarity_frequencies())?;
            for ((id, _), state) in netlist.elements().zip(&mut states) {
                state.push = sweep.voltages(id).map(|voltage| voltage.re).sum();
            }
        }
        Ok(Self { states, least_load: least_load.map(saturated) })
    }
}

/// The quantity nearest to a number: what leaves the range of a kind is as good as its end, and is judged all the same.
fn saturated<Q: Quantity>(value: f64) -> Q {
    let (least, most) = Q::RANGE;
    let kept = if value.is_nan() { least.max(0.0) } else { value.clamp(least, most) };
    Q::from_si(kept).unwrap_or_else(|| unreachable!("a clamped value is in range"))
}

/// Nominal impedances are resistances; any frequency would do.
fn reference() -> Frequency {
    saturated(1000.0)
}

/// The amplifier's full output: the voltage that makes its rated power at its rated load.
fn full_level(job: &Job<'_>) -> Voltage {
    let amplifier = job.decoder().and_then(|sheet| sheet.amplifier.as_ref());
    let told = amplifier.map(|amplifier| Voltage::of_power(amplifier.power, amplifier.load));
    told.filter(|level| level.as_volts() > 0.0).unwrap_or_else(|| saturated(1.0))
}

/// The circuit; its first elements are the speakers, in their order.
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
        if let Some(output) = amplifier_output(pad.signal) {
            let terminal = Terminal::of(Terminal::BOARD, pad.name.as_str());
            netlist.wire(terminal.as_str(), output.as_str());
        }
    }
    Some(netlist)
}
