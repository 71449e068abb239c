//! The meter card: where to put the leads, what to expect, what else it might say.
//!
//! What it is: every single fault made in turn in the wanted circuit, and metered at every point of the card.
//! What it is not: a fault finder; it does not weigh what is likely.

use std::collections::BTreeMap;

use quantities::{MeterReading, Resistance};

use super::{DcSpread, Meter, ReadingRange};
use crate::joined::Joined;
use crate::netlist::{Component, ElementId, Netlist};

/// What a card is made for.
#[derive(Debug, Clone)]
pub struct MeterJob<'a> {
    /// The circuit as it shall be, with the amplifier where its leads will be plugged in.
    pub wanted: &'a Netlist,
    /// The circuit as it was found; a card then says what still reads like it.
    pub found: Option<&'a Netlist>,
    /// Terminals that must be connected with nothing: frame, rails, motor, common.
    pub apart: &'a [String],
    /// The meter.
    pub meter: Meter,
}

/// One thing that may be wrong.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Fault {
    /// A wire makes no contact, at either end.
    WireOff {
        /// One end.
        from: String,
        /// The other.
        to: String,
    },
    /// A speaker's coil, or a resistor, is interrupted.
    Interrupted {
        /// The element.
        element: String,
    },
    /// The terminals of a speaker or resistor touch each other.
    Shorted {
        /// The element.
        element: String,
    },
    /// Nothing was changed.
    AsFound,
    /// One of these terminals, which are joined, touches something that it must not.
    Touches {
        /// The terminals.
        terminals: Vec<String>,
        /// What they touch.
        what: String,
    },
}

impl std::fmt::Display for Fault {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::WireOff { from, to } => write!(f, "the wire from {from} to {to} makes no contact"),
            Self::Interrupted { element } => write!(f, "{element} is interrupted"),
            Self::Shorted { element } => write!(f, "{element} is shorted"),
            Self::AsFound => f.write_str("still wired as found"),
            Self::Touches { terminals, what } => write!(f, "{} touches {what}", terminals.join(" or ")),
        }
    }
}

/// A reading that tempts, and what it means.
#[derive(Debug, Clone, PartialEq)]
pub struct WrongReading {
    /// What the meter shows.
    pub reading: ReadingRange,
    /// What may be the cause; several when this point cannot tell them apart.
    pub meanings: Vec<Fault>,
}

/// One row of the card.
#[derive(Debug, Clone, PartialEq)]
pub struct CheckPoint {
    /// Where one lead goes.
    pub from: String,
    /// Where the other lead goes.
    pub to: String,
    /// What the meter must show.
    pub expect: ReadingRange,
    /// What it shows for typical parts, without leads; none for no connection.
    pub typical: Option<Resistance>,
    /// What else it might show, lowest first.
    pub wrong: Vec<WrongReading>,
    /// The faults that this point cannot tell from a sound circuit.
    pub unseen: Vec<Fault>,
}

/// What to measure with the decoder unplugged, before any power.
#[derive(Debug, Clone, PartialEq)]
pub struct MeterCard {
    /// The points, in the order in which to measure: the leads, each speaker, then isolation.
    pub points: Vec<CheckPoint>,
    /// The faults that no point shows.
    pub unseen: Vec<Fault>,
}

/// Makes the meter card of a circuit. `spread_of` gives the DC resistance that each speaker may have.
///
/// The points are: across the amplifier's leads; across each speaker, if there are several; and each lead against
/// everything that must be apart, where any reading below the range of no connection is a leak, also one that the card does
/// not list. A circuit without an amplifier has only the speakers' points.
///
/// ```
/// use electrics::{DcSpread, Load, Meter, MeterJob, Netlist, meter_card};
/// use quantities::{Resistance, Voltage};
/// let ohms = |ohms| Resistance::from_ohms(ohms).unwrap();
/// let mut wanted = Netlist::new();
/// wanted.amplifier("S1", "S2", Voltage::from_volts(1.0).unwrap())?;
/// wanted.speaker("A", "S1", "S2", Load::Nominal(ohms(7.0)))?;
/// wanted.speaker("B", "S1", "S2", Load::Nominal(ohms(7.0)))?;
/// let job = MeterJob { wanted: &wanted, found: None, apart: &["frame".to_owned()], meter: Meter::cheap() };
/// let card = meter_card(&job, |_| DcSpread::of_nominal(ohms(8.0)));
/// assert_eq!(card.points[0].expect.to_string(), "2.5 ohm to 4.6 ohm");
/// assert_eq!(card.points[0].wrong[0].reading.to_string(), "< 0.6 ohm");
/// assert_eq!(card.points[3].expect.to_string(), "OL");
/// # Ok::<(), electrics::NetlistError>(())
/// ```
#[must_use]
pub fn meter_card(job: &MeterJob<'_>, spread_of: impl Fn(ElementId) -> DcSpread) -> MeterCard {
    let spreads: BTreeMap<String, DcSpread> =
        job.wanted.elements().map(|(id, element)| (element.name.clone(), spread_of(id))).collect();
    let card = Card { job, spreads, faults: single_faults(job) };
    let mut points = Vec::new();
    if let Some((plus, minus)) = job.wanted.amplifier_terminals() {
        points.push(card.point(plus, minus, &card.faults));
    }
    let speakers: Vec<ElementId> = job
        .wanted
        .elements()
        .filter(|(_, element)| matches!(element.component, Component::Speaker(_)))
        .map(|(id, _)| id)
        .collect();
    if speakers.len() > 1 || points.is_empty() {
        for id in speakers {
            let (plus, minus) = job.wanted.terminals_of(id);
            points.push(card.point(plus, minus, &card.faults));
        }
    }
    let mut touching = Vec::new();
    if let Some((plus, minus)) = job.wanted.amplifier_terminals() {
        for what in job.apart {
            let faults: Vec<_> = touches(job.wanted, what).into_iter().chain(as_found(job)).collect();
            for lead in [plus, minus] {
                points.push(card.point(lead, what, &faults));
            }
            touching
                .extend(faults.into_iter().map(|(fault, _)| fault).filter(|fault| *fault != Fault::AsFound));
        }
    }
    let is_seen = |fault: &Fault| {
        points.iter().any(|point| point.wrong.iter().any(|wrong| wrong.meanings.contains(fault)))
    };
    let all = card.faults.iter().map(|(fault, _)| fault).chain(&touching);
    let unseen = all.filter(|fault| !is_seen(fault)).cloned().collect();
    MeterCard { points, unseen }
}

/// The card while it is being made.
struct Card<'a> {
    job: &'a MeterJob<'a>,
    /// By the name of the element, which the circuit as found shares.
    spreads: BTreeMap<String, DcSpread>,
    /// Single faults with the circuit that each makes.
    faults: Vec<(Fault, Netlist)>,
}

impl Card<'_> {
    fn point(&self, from: &str, to: &str, faults: &[(Fault, Netlist)]) -> CheckPoint {
        let expect = self.range(self.job.wanted, from, to);
        let typical = match self.job.wanted.dc_reading(from, to) {
            MeterReading::Exactly(resistance) => Some(resistance),
            _ => None,
        };
        let mut unseen = Vec::new();
        let mut readings: Vec<(ReadingRange, &Fault)> = Vec::new();
        for (fault, circuit) in faults {
            let reading = self.range(circuit, from, to);
            if reading.overlaps(&expect) {
                unseen.push(fault.clone());
            } else {
                readings.push((reading, fault));
            }
        }
        let wrong = told_apart(readings);
        CheckPoint { from: from.to_owned(), to: to.to_owned(), expect, typical, wrong, unseen }
    }

    /// What the meter may show: resistance between two points only rises when any resistance rises (Rayleigh's monotonicity
    /// law, from memory), so the ends come from all parts at their least and at their most.
    fn range(&self, circuit: &Netlist, from: &str, to: &str) -> ReadingRange {
        let reading = |end: fn(&DcSpread) -> Resistance| {
            circuit.reading_with(from, to, |id, load| {
                self.spreads.get(circuit.name_of(id)).map_or(load.dc_resistance(), end)
            })
        };
        match (reading(|spread| spread.low), reading(|spread| spread.high)) {
            (MeterReading::Exactly(low), MeterReading::Exactly(high)) => self.job.meter.shows(low, high),
            _ => ReadingRange::Open,
        }
    }
}

/// Readings that overlap, in groups, lowest first.
fn told_apart(mut readings: Vec<(ReadingRange, &Fault)>) -> Vec<WrongReading> {
    let key = |range: &ReadingRange| match range {
        ReadingRange::Between { low, .. } => low.as_ohms(),
        ReadingRange::Open => f64::INFINITY,
    };
    readings.sort_by(|(a, _), (b, _)| key(a).total_cmp(&key(b)));
    let mut groups: Vec<WrongReading> = Vec::new();
    for (reading, fault) in readings {
        match groups.last_mut().filter(|group| group.reading.overlaps(&reading)) {
            Some(group) => {
                group.reading = both(group.reading, reading);
                group.meanings.push(fault.clone());
            }
            None => groups.push(WrongReading { reading, meanings: vec![fault.clone()] }),
        }
    }
    groups
}

fn both(one: ReadingRange, other: ReadingRange) -> ReadingRange {
    match (one, other) {
        (ReadingRange::Between { low, high }, ReadingRange::Between { low: other_low, high: other_high }) => {
            ReadingRange::Between {
                low: if other_low < low { other_low } else { low },
                high: if other_high > high { other_high } else { high },
            }
        }
        _ => one,
    }
}

/// Every single fault within the circuit, with the circuit that it makes. A wire whose loss changes nothing, because
/// another way joins its ends, is no fault.
fn single_faults(job: &MeterJob<'_>) -> Vec<(Fault, Netlist)> {
    let wanted = job.wanted;
    let mut faults = Vec::new();
    let nets = nets_of(wanted);
    for (wire, (from, to)) in wanted.wires().enumerate() {
        let without = wanted.without_wire(wire);
        if nets_of(&without) != nets {
            faults.push((Fault::WireOff { from: from.to_owned(), to: to.to_owned() }, without));
        }
    }
    for (id, element) in wanted.elements() {
        if let Component::Speaker(_) | Component::Resistor(_) = element.component {
            let name = || element.name.clone();
            faults.push((Fault::Interrupted { element: name() }, wanted.without_element(id)));
            let (plus, minus) = wanted.terminals_of(id);
            let mut shorted = wanted.clone();
            shorted.wire(plus, minus);
            faults.push((Fault::Shorted { element: name() }, shorted));
        }
    }
    faults.extend(as_found(job));
    faults
}

fn as_found(job: &MeterJob<'_>) -> Option<(Fault, Netlist)> {
    job.found.map(|found| (Fault::AsFound, found.clone()))
}

/// Every net of the circuit touching something.
fn touches(wanted: &Netlist, what: &str) -> Vec<(Fault, Netlist)> {
    let nets = nets_of(wanted);
    let mut of_net: BTreeMap<usize, Vec<String>> = BTreeMap::new();
    for (terminal, net) in wanted.terminals().zip(&nets) {
        if terminal != what {
            of_net.entry(*net).or_default().push(terminal.to_owned());
        }
    }
    let touching = |terminals: Vec<String>| {
        let mut circuit = wanted.clone();
        circuit.wire(&terminals[0], what);
        (Fault::Touches { terminals, what: what.to_owned() }, circuit)
    };
    of_net.into_values().map(touching).collect()
}

/// The net of every terminal.
fn nets_of(netlist: &Netlist) -> Vec<usize> {
    let mut joined = Joined::apart(netlist.terminals().len());
    for &(from, to) in netlist.wire_list() {
        joined.join(from, to);
    }
    joined.numbered().0
}
