//! The fewest joints to change between the wiring that was found and the wiring that is wanted.
//!
//! What it is: a search over everything that is as good as the wanted wiring, with the exact cost of reaching each.
//! What it is not: a routing of wires through the model. Wire costs nothing, soldering does.
//!
//! # Cost
//! A wire is a physical thing with two ends, and each end on a terminal is one joint. Leaving a wire alone costs nothing.
//! *Lifting* one end costs 1, *joining* a free end to a terminal costs 1, so moving an end costs 2 and a new wire, with
//! two joints to make, costs 2. A lifted end that is not used again is sleeved, which costs nothing.
//!
//! # What is as good as the target
//! Equal speakers may be swapped; the order of the parts of a series does not matter; and all speakers together may be
//! the other way round (the amplifier's terminals swapped).
//!
//! # Why the cost is exact
//! Take one such target: it gives every terminal its net. Of the wires that were found, those between two nets have to
//! be lifted at one end at least: `C` lifts. Wires within a net stay. A net whose terminals they leave in `k` pieces needs
//! `k - 1` more connections, `D` in all. Each is made by one join of a lifted wire whose other end is on that net, or by
//! the two joins of a new wire; no lifted wire can serve twice. So the cost is `C + 2D - M`, where `M` is the most lifted
//! wires that can be given to nets they have an end on, none getting more than it needs: a bipartite matching. Taking
//! away a wire that stays, or lifting both ends of one, never pays: it costs at least what a new wire costs.
//!
//! # Source
//! Own model; checked against exhaustive search in the tests.

mod cost;
mod layout;
mod search;

use std::collections::HashMap;

use thiserror::Error;

use crate::arrangement::Arrangement;

/// A speaker of a rework.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ReworkSpeaker {
    /// The terminal on which a positive voltage moves the cone outward, as it is mounted.
    pub plus: String,
    /// The other one.
    pub minus: String,
    /// Speakers of equal kind, the same part mounted the same way in the same box, may be swapped.
    pub kind: usize,
}

/// What is there.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct AsFound {
    /// The amplifier's plus and minus terminal, or the two pads of its board.
    pub amplifier: (String, String),
    /// Every speaker, also those that are not to be used.
    pub speakers: Vec<ReworkSpeaker>,
    /// Every wire and accidental bridge, by the terminals at its ends. Terminals that nothing else names are tie points: they
    /// may end on any net, or on none.
    pub wires: Vec<(String, String)>,
    /// Terminals that must end up connected with nothing: frame, rails, motor.
    pub apart: Vec<String>,
}

/// What is wanted.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Target {
    /// An arrangement of the speakers, by their places in [`AsFound::speakers`], all of them the same way round. Those that
    /// it leaves out are connected to nothing.
    Arrangement(Arrangement),
    /// The terminals that shall be joined, net by net, as drawn. A speaker or amplifier terminal in no net is to be
    /// connected with nothing. When a net holds a terminal that is neither a speaker's nor the amplifier's, the drawing is
    /// taken at its word and only equal speakers are swapped.
    Nets(Vec<Vec<String>>),
}

/// One thing to do with the iron, or the sleeve.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Step {
    /// Lift the wire that comes from `terminal` off `from`. One joint.
    Lift {
        /// Where the wire's other end stays.
        terminal: String,
        /// Where it is lifted.
        from: String,
    },
    /// Join the free end of the wire that comes from `terminal` to `to`. One joint.
    Join {
        /// Where the wire's other end is.
        terminal: String,
        /// Where it is joined.
        to: String,
    },
    /// Lay a new wire. Two joints.
    Lay {
        /// One end.
        from: String,
        /// The other end.
        to: String,
    },
    /// Sleeve the free end of the wire that comes from `terminal`. No joint.
    Sleeve {
        /// Where the wire's other end is.
        terminal: String,
    },
}

impl Step {
    /// How many joints it takes.
    #[must_use]
    pub fn n_joints(&self) -> usize {
        match self {
            Self::Lift { .. } | Self::Join { .. } => 1,
            Self::Lay { .. } => 2,
            Self::Sleeve { .. } => 0,
        }
    }
}

impl std::fmt::Display for Step {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::Lift { terminal, from } => write!(f, "lift the wire from {terminal} off {from}"),
            Self::Join { terminal, to } => write!(f, "join the wire from {terminal} to {to}"),
            Self::Lay { from, to } => write!(f, "lay a new wire from {from} to {to}"),
            Self::Sleeve { terminal } => write!(f, "sleeve the free end of the wire from {terminal}"),
        }
    }
}

/// The way from what is there to what is wanted.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Rework {
    /// What to do, in this order: first everything that is lifted, then what is joined, then sleeves.
    pub steps: Vec<Step>,
    /// How many joints that takes.
    pub n_joints: usize,
    /// The wires with both ends on a terminal, afterwards.
    pub wires: Vec<(String, String)>,
    /// The terminals that are joined afterwards, net by net; terminals by themselves are left out.
    pub nets: Vec<Vec<String>>,
    /// Whether no way with fewer joints exists. Always so for up to six speakers and a few tie points; beyond, the search
    /// may end before it has seen everything.
    pub is_least: bool,
}

/// Why no rework can be worked out.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub enum ReworkError {
    /// One terminal belongs to two parts.
    #[error("{terminal} belongs to two parts: give every speaker terminal a name of its own")]
    SharedTerminal {
        /// The terminal.
        terminal: String,
    },
    /// A target names a speaker that is not there.
    #[error("the target uses speaker number {number}, but there are only {n_speakers}")]
    NoSuchSpeaker {
        /// The number, counted from zero.
        number: usize,
        /// How many there are.
        n_speakers: usize,
    },
    /// The target uses a speaker twice, or has a terminal in two nets.
    #[error("the target uses {what} twice")]
    UsedTwice {
        /// The speaker or terminal.
        what: String,
    },
    /// A terminal that shall be apart is in a net with others.
    #[error("{terminal} shall be connected with nothing, but the target joins it to {other}")]
    NotApart {
        /// The terminal.
        terminal: String,
        /// What it is joined to.
        other: String,
    },
}

/// The least rework from what is there to the target or to anything as good.
///
/// # Errors
/// Terminals or speakers are named inconsistently.
///
/// ```
/// use electrics::Arrangement::{Series, Speaker};
/// use electrics::{AsFound, ReworkSpeaker, Target, least_rework};
/// let wire = |from: &str, to: &str| (from.to_owned(), to.to_owned());
/// let speaker = |name| ReworkSpeaker { plus: format!("{name}.red"), minus: format!("{name}.black"), kind: 0 };
/// // Two equal speakers in parallel, to be put in series.
/// let found = AsFound {
///     amplifier: wire("S1", "S2"),
///     speakers: vec![speaker("A"), speaker("B")],
///     wires: vec![wire("A.red", "S1"), wire("B.red", "S1"), wire("A.black", "S2"), wire("B.black", "S2")],
///     apart: vec![],
/// };
/// let rework = least_rework(&found, &Target::Arrangement(Series(vec![Speaker(0), Speaker(1)])))?;
/// // Lift one minus and the other plus, join the one to the other; the second wire is sleeved.
/// assert_eq!(rework.n_joints, 3);
/// assert!(rework.is_least);
/// # Ok::<(), electrics::ReworkError>(())
/// ```
pub fn least_rework(found: &AsFound, target: &Target) -> Result<Rework, ReworkError> {
    let board = Board::of(found, target)?;
    let layouts = layout::layouts(&board, target)?;
    Ok(search::least(&board, &layouts).described(&board))
}

/// What is there, with terminals by number.
#[derive(Debug)]
struct Board {
    names: Vec<String>,
    amplifier: [usize; 2],
    /// Plus, minus and kind of every speaker.
    speakers: Vec<([usize; 2], usize)>,
    /// An end on a speaker first, so that it is the one that stays if either will do: heat harms a voice coil.
    wires: Vec<[usize; 2]>,
    apart: Vec<usize>,
    by_name: HashMap<String, usize>,
}

impl Board {
    fn of(found: &AsFound, target: &Target) -> Result<Self, ReworkError> {
        let mut board = Self {
            names: Vec::new(),
            amplifier: [0; 2],
            speakers: Vec::new(),
            wires: Vec::new(),
            apart: Vec::new(),
            by_name: HashMap::new(),
        };
        board.amplifier = [board.part(&found.amplifier.0)?, board.part(&found.amplifier.1)?];
        for speaker in &found.speakers {
            let terminals = [board.part(&speaker.plus)?, board.part(&speaker.minus)?];
            board.speakers.push((terminals, speaker.kind));
        }
        for terminal in &found.apart {
            let terminal = board.part(terminal)?;
            board.apart.push(terminal);
        }
        for (from, to) in &found.wires {
            let (from, to) = (board.terminal(from), board.terminal(to));
            let is_turned = board.is_speaker(to) && !board.is_speaker(from);
            board.wires.push(if is_turned { [to, from] } else { [from, to] });
        }
        if let Target::Nets(nets) = target {
            for terminal in nets.iter().flatten() {
                board.terminal(terminal);
            }
        }
        Ok(board)
    }

    /// A terminal that no earlier part has.
    fn part(&mut self, name: &str) -> Result<usize, ReworkError> {
        if self.by_name.contains_key(name) {
            return Err(ReworkError::SharedTerminal { terminal: name.to_owned() });
        }
        Ok(self.terminal(name))
    }

    fn terminal(&mut self, name: &str) -> usize {
        if let Some(&known) = self.by_name.get(name) {
            return known;
        }
        self.names.push(name.to_owned());
        self.by_name.insert(name.to_owned(), self.names.len() - 1);
        self.names.len() - 1
    }

    /// Whether heat on this terminal goes into a voice coil.
    fn is_speaker(&self, terminal: usize) -> bool {
        self.speakers.iter().any(|(terminals, _)| terminals.contains(&terminal))
    }
}

#[cfg(test)]
mod tests;
