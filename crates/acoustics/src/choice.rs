//! Which driver in which box: candidates in, a ranked table with its reasons out. It proposes; the person decides.
//! Wiring is the electrical room's; here several equal drivers count by their load only.
//!
//! Source: own rule, stated at [`Wish`]; limits of digest, sections 1.4 (least load), 2.4 and 2.5.

use quantities::{Frequency, Gain, Resistance, SoundPressureLevel, Voltage, significant};

use crate::bands::{Band, a_weighted_sum};
use crate::limits::{LimitCause, SafeVoltage};
use crate::listening::Listening;
use crate::response::logarithmic_grid;
use crate::saturate::saturated;
use crate::system::System;

#[cfg(test)]
mod tests;

/// One candidate: a driver in a box, under a name that means something to the caller.
#[derive(Debug, Clone, PartialEq)]
pub struct Candidate {
    /// The caller's name for it.
    pub label: String,
    /// The driver in its enclosure.
    pub system: System,
}

/// What is wanted and what there is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Wish {
    /// Greatest rms voltage of the amplifier.
    pub amplifier_voltage: Voltage,
    /// Least load that the amplifier is made for, nominal against nominal.
    pub least_load: Resistance,
    /// Where one listens.
    pub listening: Listening,
    /// What an octave of bass is worth: a candidate that reaches an octave deeper may be this much softer and still
    /// rank the same. 6 dB unless somebody knows better (our choice).
    pub octave_worth: Gain,
    /// The lowest frequency of the sounds that will be played; travel is judged from here up. 150 Hz in decoders whose
    /// sounds are made for small speakers (our choice).
    pub lowest_played: Frequency,
}

impl Wish {
    /// The usual wish for an amplifier.
    #[must_use]
    pub fn for_amplifier(amplifier_voltage: Voltage, least_load: Resistance) -> Self {
        Self {
            amplifier_voltage,
            least_load,
            listening: Listening::default(),
            octave_worth: saturated(6.0),
            lowest_played: saturated(150.0),
        }
    }
}

/// A reason, for or against.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Reason {
    /// The driver loads the amplifier too hard: it cannot be used.
    LoadTooLow {
        /// Its nominal impedance.
        load: Resistance,
        /// What the amplifier asks.
        least: Resistance,
    },
    /// It never comes within 6 dB of its own treble at 2 kHz: front and rear cancel.
    NoBass,
    /// The level is down 6 dB here.
    ReachesTo {
        /// Frequency at −6 dB.
        low_end: Frequency,
    },
    /// The box makes a peak of more than 3 dB, heard as a honk.
    Honk {
        /// Its height.
        peak: Gain,
        /// Where.
        at: Frequency,
    },
    /// The loudest safe A-weighted level of pink noise.
    Loudest {
        /// How loud.
        level: SoundPressureLevel,
        /// At which voltage.
        voltage: Voltage,
        /// What stops it there.
        cause: LimitCause,
    },
}

impl std::fmt::Display for Reason {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::LoadTooLow { load, least } => {
                write!(f, "{load} is below the {least} that the amplifier needs")
            }
            Self::NoBass => f.write_str("front and rear cancel, nothing is left below 2 kHz"),
            Self::ReachesTo { low_end } => write!(f, "6 dB down at {low_end}"),
            Self::Honk { peak, at } => write!(f, "a peak of {peak} at {at}"),
            Self::Loudest { level, voltage, cause } => {
                let decibels = significant(level.as_decibels_re_20_micropascal(), 3);
                write!(f, "at most {decibels} dB(A) at {voltage}, where {cause}")
            }
        }
    }
}

/// One row of the table.
#[derive(Debug, Clone, PartialEq)]
pub struct Row {
    /// The caller's name.
    pub label: String,
    /// Whether it can be used at all.
    pub is_usable: bool,
    /// What it is worth in decibels: its level, less the worth of the octaves that it lacks to 100 Hz. For comparing
    /// rows, not a level.
    pub score: f64,
    /// Frequency at −6 dB.
    pub low_end: Option<Frequency>,
    /// Greatest safe voltage from the lowest played frequency up.
    pub safe: SafeVoltage,
    /// A-weighted level of pink noise from 125 Hz to 8 kHz at that voltage.
    pub level: SoundPressureLevel,
    /// Why.
    pub reasons: Vec<Reason>,
}

/// Ranks the candidates, the best first, the unusable last; equal ones in the order given.
#[must_use]
pub fn rank(candidates: &[Candidate], wish: &Wish) -> Vec<Row> {
    let mut rows: Vec<Row> = candidates.iter().filter_map(|candidate| judge(candidate, wish)).collect();
    rows.sort_by(|one, other| {
        other.is_usable.cmp(&one.is_usable).then_with(|| other.score.total_cmp(&one.score))
    });
    rows
}

/// None only when the lowest played frequency leaves no band to judge in.
fn judge(candidate: &Candidate, wish: &Wish) -> Option<Row> {
    /// Above this no small speaker is short of travel and no decoder's sound has power.
    const HIGHEST_HERTZ: f64 = 8000.0;
    const REFERENCE_HERTZ: f64 = 100.0;
    /// Where a driver that is beaten at 2 kHz already is booked: at the start of the search.
    const NO_BASS_HERTZ: f64 = 2000.0;
    const HONK_DECIBELS: f64 = 3.0;
    let system = &candidate.system;
    let grid = logarithmic_grid(wish.lowest_played, saturated(HIGHEST_HERTZ), 12);
    let safe = system.safe_voltage(&grid, Some(wish.amplifier_voltage))?;
    let level = pink_level(system, safe.voltage, &wish.listening)?;
    let load = system.driver().parameters().nominal_impedance;
    let is_usable = load >= wish.least_load;
    let low_end = system.low_end(saturated(6.0));
    let mut reasons = Vec::new();
    if !is_usable {
        reasons.push(Reason::LoadTooLow { load, least: wish.least_load });
    }
    reasons.push(low_end.map_or(Reason::NoBass, |low_end| Reason::ReachesTo { low_end }));
    if let Some(alignment) = system.alignment().filter(|it| it.peak().as_decibels() > HONK_DECIBELS)
        && let Some(at) = alignment.peak_frequency()
    {
        reasons.push(Reason::Honk { peak: alignment.peak(), at });
    }
    reasons.push(Reason::Loudest { level, voltage: safe.voltage, cause: safe.cause });
    let octaves = (low_end.map_or(NO_BASS_HERTZ, Frequency::as_hertz) / REFERENCE_HERTZ).log2();
    let score = level.as_decibels_re_20_micropascal() - wish.octave_worth.as_decibels() * octaves;
    Some(Row { label: candidate.label.clone(), is_usable, score, low_end, safe, level, reasons })
}

/// A-weighted level of pink noise whose seven octaves from 125 Hz to 8 kHz together have this rms voltage.
fn pink_level(system: &System, voltage: Voltage, listening: &Listening) -> Option<SoundPressureLevel> {
    let bands = Band::octaves_125_to_8000();
    let grid = logarithmic_grid(saturated(60.0), saturated(12_000.0), 24);
    let response = system.response(&grid, listening).ok()?;
    let per_band = voltage / (bands.len() as f64).sqrt();
    Some(a_weighted_sum(&response.band_levels(&bands, per_band)))
}
