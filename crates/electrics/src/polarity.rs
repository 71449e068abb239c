//! Which cones move together and which against each other.
//!
//! What it is: the sign of every speaker's voltage ratio `H_k = V_k/E`, as in section 1.3 of the reference digest on
//! acoustics and electrics, with how the speaker is mounted and how far its marks can be trusted.
//! What it is not: what opposition does to the sound, or a meter check: a meter cannot see opposition.

use num_complex::Complex64;
use quantities::Frequency;

use crate::circuit::SolveError;
use crate::netlist::{ElementId, Netlist};
use crate::saturated::saturated;
use crate::sweep::{Sweep, frequencies};

/// Which side of a speaker faces the listener's space.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Mount {
    /// The front of the cone.
    FrontOutward,
    /// The magnet.
    MagnetOutward,
}

/// How well it is known which terminal is plus.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Marking {
    /// The part carries a mark; taken at its word.
    Marked,
    /// A cell on the terminals showed the cone move outward on plus.
    Tested,
    /// A cell on the terminals showed the cone move *inward*: the mark is the wrong way round.
    TestedReversed,
    /// Neither marked nor tested.
    Unknown,
}

/// One speaker of a circuit, as it sits in the model.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct PlacedSpeaker {
    /// Its element.
    pub speaker: ElementId,
    /// Which way it faces.
    pub mount: Mount,
    /// How well its polarity is known.
    pub marking: Marking,
}

/// How two speakers move against each other.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Relation {
    /// Both outward at the same time.
    Together,
    /// One outward while the other goes inward.
    Opposed,
    /// The polarity of at least one is unknown: test it with a cell.
    Unknown,
    /// At least one of them gets no voltage.
    Silent,
}

/// Two speakers and how they move.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pair {
    /// The earlier one in the list that was asked about.
    pub one: ElementId,
    /// The later one.
    pub other: ElementId,
    /// How they move.
    pub relation: Relation,
    /// Cosine of the angle between their voltages over the band, mount and marks included: 1 exactly together, -1 exactly
    /// opposed; near 0 they are a quarter turn apart and the relation says little. None when silent; for an unknown
    /// polarity it is what would hold if the marks were right.
    pub cosine: Option<f64>,
}

/// What the polarity analysis found.
#[derive(Debug, Clone, PartialEq)]
pub struct Polarity {
    /// Every pair, in the order of the list that was asked about.
    pub pairs: Vec<Pair>,
    /// The speakers of known polarity that sound, split into those that move with the first of them and, if there are
    /// any, those that move against it.
    pub groups: Vec<Vec<ElementId>>,
    /// The speakers that sound but whose polarity is unknown.
    pub unknown: Vec<ElementId>,
    /// The speakers that get no voltage.
    pub silent: Vec<ElementId>,
}

impl Polarity {
    /// Whether every speaker that sounds is known to move with every other.
    #[must_use]
    pub fn is_together(&self) -> bool {
        let n_sounding = self.unknown.len() + self.groups.iter().map(Vec::len).sum::<usize>();
        n_sounding <= 1 || (self.unknown.is_empty() && self.groups.len() <= 1)
    }
}

/// The band in which a speaker's sign is judged, in hertz.
///
/// # Source
/// Reference digest on acoustics and electrics, section 1.3.
const BAND: (f64, f64) = (300.0, 1000.0);

/// A speaker whose voltage stays below this share of the amplifier's is silent: -100 dB.
const SILENT: f64 = 1e-5;

/// The frequencies at which polarity is judged: 300 Hz to 1 kHz, 12 steps to the octave.
#[must_use]
pub fn polarity_frequencies() -> Vec<Frequency> {
    frequencies(saturated(BAND.0), saturated(BAND.1), 12)
}

/// Analyses the polarity of some speakers of a circuit.
///
/// # Errors
/// As [`Netlist::sweep`].
///
/// ```
/// use electrics::{Load, Marking, Mount, Netlist, PlacedSpeaker, Relation};
/// use quantities::{Resistance, Voltage};
/// let mut netlist = Netlist::new();
/// netlist.amplifier("S1", "S2", Voltage::from_volts(1.0).unwrap())?;
/// let eight = || Load::Nominal(Resistance::from_ohms(8.0).unwrap());
/// // In series, but minus joined to minus.
/// let a = netlist.speaker("A", "S1", "middle", eight())?;
/// let b = netlist.speaker("B", "S2", "middle", eight())?;
/// let placed = |speaker| PlacedSpeaker { speaker, mount: Mount::FrontOutward, marking: Marking::Tested };
/// let polarity = electrics::polarity(&netlist, &[placed(a), placed(b)])?;
/// assert_eq!(polarity.pairs[0].relation, Relation::Opposed);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn polarity(netlist: &Netlist, speakers: &[PlacedSpeaker]) -> Result<Polarity, SolveError> {
    Ok(polarity_in(&netlist.sweep(&polarity_frequencies())?, speakers))
}

/// As [`polarity`], over the frequencies of a sweep that was made already.
#[must_use]
pub fn polarity_in(sweep: &Sweep, speakers: &[PlacedSpeaker]) -> Polarity {
    let moved: Vec<Vec<Complex64>> = speakers.iter().map(|placed| motion(sweep, *placed)).collect();
    let size = |voltages: &[Complex64]| voltages.iter().map(Complex64::norm_sqr).sum::<f64>().sqrt();
    let full = size(&vec![Complex64::from(sweep.source_volts()); sweep.frequencies().len()]);
    let is_silent: Vec<bool> = moved.iter().map(|voltages| size(voltages) <= SILENT * full).collect();
    let cosine = |one: usize, other: usize| {
        let product = moved[one].iter().zip(&moved[other]).map(|(a, b)| (a * b.conj()).re).sum::<f64>();
        (!is_silent[one] && !is_silent[other]).then(|| product / (size(&moved[one]) * size(&moved[other])))
    };
    let is_unknown = |place: usize| speakers[place].marking == Marking::Unknown;

    let mut found =
        Polarity { pairs: Vec::new(), groups: Vec::new(), unknown: Vec::new(), silent: Vec::new() };
    for one in 0..speakers.len() {
        for other in one + 1..speakers.len() {
            let cosine = cosine(one, other);
            let relation = match cosine {
                None => Relation::Silent,
                Some(_) if is_unknown(one) || is_unknown(other) => Relation::Unknown,
                Some(cosine) if cosine < 0.0 => Relation::Opposed,
                Some(_) => Relation::Together,
            };
            let (one, other) = (speakers[one].speaker, speakers[other].speaker);
            found.pairs.push(Pair { one, other, relation, cosine });
        }
    }
    let (mut with_first, mut against_first) = (Vec::new(), Vec::new());
    let mut first = None;
    for (place, placed) in speakers.iter().enumerate() {
        if is_silent[place] {
            found.silent.push(placed.speaker);
        } else if is_unknown(place) {
            found.unknown.push(placed.speaker);
        } else {
            let first = *first.get_or_insert(place);
            let is_with_first = cosine(first, place).is_some_and(|cosine| cosine >= 0.0);
            if is_with_first { &mut with_first } else { &mut against_first }.push(placed.speaker);
        }
    }
    found
        .groups
        .extend([with_first, against_first].into_iter().filter(|group: &Vec<ElementId>| !group.is_empty()));
    found
}

/// What drives the cone outward, over frequency: the voltage with the signs of mount and mark.
fn motion(sweep: &Sweep, placed: PlacedSpeaker) -> Vec<Complex64> {
    let by_mount = match placed.mount {
        Mount::FrontOutward => 1.0,
        Mount::MagnetOutward => -1.0,
    };
    let by_mark = match placed.marking {
        Marking::Marked | Marking::Tested | Marking::Unknown => 1.0,
        Marking::TestedReversed => -1.0,
    };
    sweep.voltages(placed.speaker).map(|voltage| voltage * (by_mount * by_mark)).collect()
}

#[cfg(test)]
mod tests;
