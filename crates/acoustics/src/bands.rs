//! Octave and third-octave bands, A and C weighting, and sums over bands. Not filters: those run over sound, these
//! over computed curves.
//!
//! Source: IEC 61260-1:2014 (base-ten bands) and IEC 61672-1:2013 Annex E as quoted in the digest, section 3.5.

use quantities::{Frequency, Gain, SoundPressureLevel};

use crate::saturate::saturated;

/// Octave ratio to base ten, `G = 10^(3/10)` (IEC 61260-1).
const OCTAVE_RATIO: f64 = 1.995_262_314_968_879_5;

/// How wide a band is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Width {
    /// One octave.
    Octave,
    /// A third of an octave.
    ThirdOctave,
}

/// One band of the standard's series.
///
/// ```
/// use acoustics::bands::{Band, Width};
/// let kilohertz = Band::containing(1000.0, Width::Octave).unwrap();
/// assert_eq!(kilohertz.lower().to_string(), "707.9 Hz");
/// ```
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Band {
    /// Thirds of an octave above 1 kHz.
    thirds: i32,
    width: Width,
}

impl Band {
    /// The band that holds a frequency in hertz; `None` outside 1 Hz to 100 kHz.
    #[must_use]
    pub fn containing(hertz: f64, width: Width) -> Option<Self> {
        if !(1.0..=100e3).contains(&hertz) {
            return None;
        }
        let step = match width {
            Width::Octave => 3,
            Width::ThirdOctave => 1,
        };
        (-40..=40)
            .map(|index| Self { thirds: step * index, width })
            .find(|band| (band.lower().as_hertz()..band.upper().as_hertz()).contains(&hertz))
    }

    /// The seven octaves from 125 Hz to 8 kHz.
    #[must_use]
    pub fn octaves_125_to_8000() -> Vec<Self> {
        (-3..=3).map(|octave| Self { thirds: 3 * octave, width: Width::Octave }).collect()
    }

    /// The nineteen thirds of an octave from 125 Hz to 8 kHz.
    #[must_use]
    pub fn thirds_125_to_8000() -> Vec<Self> {
        (-9..=9).map(|thirds| Self { thirds, width: Width::ThirdOctave }).collect()
    }

    /// Exact mid-band frequency: `1000·G^(n/b)` Hz.
    #[must_use]
    pub fn centre(&self) -> Frequency {
        saturated(self.centre_hertz())
    }

    /// Lower edge: `fm·G^(−1/(2b))`.
    #[must_use]
    pub fn lower(&self) -> Frequency {
        self.at(0.0)
    }

    /// Upper edge: `fm·G^(1/(2b))`.
    #[must_use]
    pub fn upper(&self) -> Frequency {
        self.at(1.0)
    }

    /// The frequency at a place in the band, 0 at the lower edge, 1 at the upper, even in logarithm.
    #[must_use]
    pub fn at(&self, place: f64) -> Frequency {
        let octaves = match self.width {
            Width::Octave => 1.0,
            Width::ThirdOctave => 1.0 / 3.0,
        };
        saturated(self.centre_hertz() * OCTAVE_RATIO.powf(octaves * (place - 0.5)))
    }

    /// The rounded number by which people call it: 125 Hz, 3150 Hz.
    #[must_use]
    pub fn nominal(&self) -> Frequency {
        const DECADE: [f64; 10] = [1.0, 1.25, 1.6, 2.0, 2.5, 3.15, 4.0, 5.0, 6.3, 8.0];
        let digit = usize::try_from(self.thirds.rem_euclid(10)).map_or(1.0, |index| DECADE[index]);
        saturated(digit * 10f64.powi(3 + self.thirds.div_euclid(10)))
    }

    fn centre_hertz(&self) -> f64 {
        1000.0 * OCTAVE_RATIO.powf(f64::from(self.thirds) / 3.0)
    }
}

/// A weighting: `20·log10{f4²f⁴/[(f²+f1²)·√((f²+f2²)(f²+f3²))·(f²+f4²)]}`, less its value at 1 kHz (-1.99966 dB, which
/// the standard rounds to -2.000 dB; the rounded constant would turn one cell of its table).
#[must_use]
pub fn a_weighting(frequency: Frequency) -> Gain {
    saturated(20.0 * (a_ratio(frequency.as_hertz()) / a_ratio(NORMALISING_HERTZ)).log10())
}

/// C weighting: `20·log10{f4²f²/[(f²+f1²)(f²+f4²)]}`, less its value at 1 kHz (-0.062 dB).
#[must_use]
pub fn c_weighting(frequency: Frequency) -> Gain {
    saturated(20.0 * (c_ratio(frequency.as_hertz()) / c_ratio(NORMALISING_HERTZ)).log10())
}

/// Both weightings are zero at this frequency.
const NORMALISING_HERTZ: f64 = 1000.0;

fn a_ratio(hertz: f64) -> f64 {
    let square = hertz * hertz;
    let [one, two, three, four] = POLES.map(|pole| pole * pole);
    four * square * square / ((square + one) * ((square + two) * (square + three)).sqrt() * (square + four))
}

fn c_ratio(hertz: f64) -> f64 {
    let square = hertz * hertz;
    let [one, _, _, four] = POLES.map(|pole| pole * pole);
    four * square / ((square + one) * (square + four))
}

/// Pole frequencies f1 to f4 in Hz (IEC 61672-1 Annex E, from memory; the digest confirmed them on the table).
const POLES: [f64; 4] = [20.598_997, 107.652_65, 737.862_23, 12_194.217];

/// How the energy of a test noise lies over frequency.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum NoiseColour {
    /// The same per hertz.
    White,
    /// The same per octave.
    Pink,
}

/// Sum of levels whose sounds do not know of each other: `10·log10 Σ 10^(L/10)`; silence for none.
#[must_use]
pub fn sum_of_levels(levels: &[SoundPressureLevel]) -> SoundPressureLevel {
    let sum: f64 = levels.iter().map(|level| 10f64.powf(level.as_decibels_re_20_micropascal() / 10.0)).sum();
    saturated(10.0 * sum.log10())
}

/// A-weighted sum of band levels, each weighted at its exact mid-band frequency.
#[must_use]
pub fn a_weighted_sum(levels: &[(Band, SoundPressureLevel)]) -> SoundPressureLevel {
    let weighted: Vec<SoundPressureLevel> = levels
        .iter()
        .map(|(band, level)| {
            saturated(level.as_decibels_re_20_micropascal() + a_weighting(band.centre()).as_decibels())
        })
        .collect();
    sum_of_levels(&weighted)
}
