//! Series and parallel arrangements of speakers.
//!
//! What it is: a two-terminal network built from speakers by series and parallel connection alone, all of them the same
//! way round; written in one way only, so that two equal arrangements compare equal.
//! What it is not: wires and joints; [`crate::rework`] turns an arrangement into those.

mod all;
mod rank;

use num_complex::Complex64;
use quantities::{Resistance, Voltage};

use crate::driver::Load;
use crate::netlist::{Netlist, NetlistError};
use crate::saturated::saturated;

pub use all::{MOST_ARRANGEMENTS, TooManyArrangements, arrangements};
pub use rank::{Candidate, RankedArrangement, SensitivityModel, Wishes, rank_arrangements};

/// A series-parallel network of speakers, which are numbered as in the list it was made from.
///
/// Parts of a series are never series themselves, nor parts of a parallel connection parallel, and there are at least two.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Arrangement {
    /// One speaker.
    Speaker(usize),
    /// One after the other; the same current.
    Series(Vec<Arrangement>),
    /// Side by side; the same voltage.
    Parallel(Vec<Arrangement>),
}

impl Arrangement {
    /// The speakers in it, in the order in which it is written.
    #[must_use]
    pub fn speakers(&self) -> Vec<usize> {
        let mut speakers = Vec::new();
        self.visit(&mut |speaker| speakers.push(speaker));
        speakers
    }

    fn visit(&self, speaker: &mut impl FnMut(usize)) {
        match self {
            Self::Speaker(number) => speaker(*number),
            Self::Series(parts) | Self::Parallel(parts) => parts.iter().for_each(|part| part.visit(speaker)),
        }
    }

    /// The arrangement in signs: `+` for series, `∥` for parallel.
    ///
    /// ```
    /// use electrics::Arrangement::{Parallel, Series, Speaker};
    /// let pairs = Parallel(vec![Series(vec![Speaker(0), Speaker(1)]), Series(vec![Speaker(2), Speaker(3)])]);
    /// assert_eq!(pairs.in_signs(&["A", "B", "C", "D"]), "(A + B) ∥ (C + D)");
    /// ```
    ///
    /// # Panics
    /// If there are fewer names than speakers.
    #[must_use]
    pub fn in_signs(&self, names: &[&str]) -> String {
        let inner = |part: &Self| match part {
            Self::Speaker(_) => part.in_signs(names),
            _ => format!("({})", part.in_signs(names)),
        };
        match self {
            Self::Speaker(speaker) => names[*speaker].to_owned(),
            Self::Series(parts) => parts.iter().map(inner).collect::<Vec<_>>().join(" + "),
            Self::Parallel(parts) => parts.iter().map(inner).collect::<Vec<_>>().join(" ∥ "),
        }
    }

    /// Its impedance in ohms, from those of the speakers: sums in series, reciprocal sums in parallel.
    ///
    /// # Source
    /// Kirchhoff; reference digest on acoustics and electrics, section 1.1.
    #[must_use]
    pub fn impedance(&self, of: &impl Fn(usize) -> Complex64) -> Complex64 {
        match self {
            Self::Speaker(speaker) => of(*speaker),
            Self::Series(parts) => parts.iter().map(|part| part.impedance(of)).sum(),
            Self::Parallel(parts) => {
                parts.iter().map(|part| part.impedance(of).inv()).sum::<Complex64>().inv()
            }
        }
    }

    /// Its nominal load, from the nominal impedances of the speakers.
    ///
    /// # Panics
    /// If there are fewer impedances than speakers.
    #[must_use]
    pub fn nominal(&self, of: &[Resistance]) -> Resistance {
        saturated(self.impedance(&|speaker| Complex64::from(of[speaker].as_ohms())).re)
    }

    /// How many wires it takes: one fewer than there are terminals to join, for every joint; the two of the amplifier
    /// included.
    ///
    /// ```
    /// use electrics::Arrangement::{Parallel, Speaker};
    /// assert_eq!(Parallel(vec![Speaker(0), Speaker(1)]).n_wires(), 4);
    /// ```
    #[must_use]
    pub fn n_wires(&self) -> usize {
        // Terminals less nodes: two terminals a speaker and two of the amplifier, less its two nodes and the inner ones.
        2 * self.speakers().len() - self.n_inner_nodes()
    }

    fn n_inner_nodes(&self) -> usize {
        match self {
            Self::Speaker(_) => 0,
            Self::Series(parts) => parts.len() - 1 + parts.iter().map(Self::n_inner_nodes).sum::<usize>(),
            Self::Parallel(parts) => parts.iter().map(Self::n_inner_nodes).sum(),
        }
    }

    /// A circuit of the arrangement: speaker `k` is the element named `names[k]`, plus towards amplifier plus `S1`.
    ///
    /// # Errors
    /// Two names are equal, a load or the voltage is zero.
    ///
    /// # Panics
    /// If there are fewer names or loads than speakers.
    pub fn netlist(&self, names: &[&str], loads: &[Load], voltage: Voltage) -> Result<Netlist, NetlistError> {
        let mut netlist = Netlist::new();
        netlist.amplifier("S1", "S2", voltage)?;
        let mut n_joints = 0;
        self.connect(("S1", "S2"), &mut n_joints, &mut |speaker, plus, minus| {
            netlist.speaker(names[speaker], plus, minus, loads[speaker].clone()).map(|_| ())
        })?;
        Ok(netlist)
    }

    /// Calls `speaker` with each speaker and the two nodes it lies between. Inner nodes are numbered.
    fn connect<E>(
        &self,
        (plus, minus): (&str, &str),
        n_joints: &mut usize,
        speaker: &mut impl FnMut(usize, &str, &str) -> Result<(), E>,
    ) -> Result<(), E> {
        match self {
            Self::Speaker(number) => speaker(*number, plus, minus),
            Self::Parallel(parts) => {
                parts.iter().try_for_each(|part| part.connect((plus, minus), n_joints, speaker))
            }
            Self::Series(parts) => {
                let mut before = plus.to_owned();
                for (place, part) in parts.iter().enumerate() {
                    let after = if place + 1 == parts.len() {
                        minus.to_owned()
                    } else {
                        *n_joints += 1;
                        format!("joint {n_joints}")
                    };
                    part.connect((&before, &after), n_joints, speaker)?;
                    before = after;
                }
                Ok(())
            }
        }
    }
}

#[cfg(test)]
mod tests;
