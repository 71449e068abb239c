//! Which arrangement is best: loudest among those that the amplifier stands, that overload nobody, and that are even.
//!
//! What it is: every arrangement worked out at a few frequencies from the catalogue of forms, parts only once.
//! What it is not: acoustics. How loud a speaker is for its power comes from outside, and the sound pressures of cones
//! that move together are simply added, as holds while they stand close against the wavelength.

use num_complex::Complex64;
use quantities::{Frequency, Gain, Power, Resistance, SoundPressureLevel};

use super::all::{Catalogue, Form};
use super::{Arrangement, TooManyArrangements};
use crate::amplifier::{BridgeAmplifier, LoadVerdict};
use crate::driver::Load;
use crate::load::LeastLoad;
use crate::saturated::saturated;

/// A speaker that may be used.
#[derive(Debug, Clone, PartialEq)]
pub struct Candidate {
    /// Its impedance.
    pub load: Load,
    /// The nominal impedance it is sold by.
    pub nominal: Resistance,
    /// The power it stands, if known.
    pub rated: Option<Power>,
}

/// How loud a speaker is for its power.
pub trait SensitivityModel {
    /// The level that a candidate alone gives with 1 W at 1 m, in the box it will have.
    fn sensitivity(&self, candidate: usize, at: Frequency) -> SoundPressureLevel;
}

impl<F: Fn(usize, Frequency) -> SoundPressureLevel> SensitivityModel for F {
    fn sensitivity(&self, candidate: usize, at: Frequency) -> SoundPressureLevel {
        self(candidate, at)
    }
}

/// What is asked of an arrangement.
#[derive(Debug, Clone, PartialEq)]
pub struct Wishes {
    /// The amplifier, at its largest unclipped sine.
    pub amplifier: BridgeAmplifier,
    /// How many of the candidates must be used at least; all of them for "every speaker that is there".
    pub least_speakers: usize,
    /// How much louder one speaker may be than another.
    pub most_spread: Gain,
    /// Where load, power and level are worked out; each counts the same. At least one, all above 0 Hz.
    pub frequencies: Vec<Frequency>,
}

/// An arrangement with its answers.
#[derive(Debug, Clone, PartialEq)]
pub struct RankedArrangement {
    /// The arrangement; numbers are places in the list of candidates.
    pub arrangement: Arrangement,
    /// Its nominal load.
    pub nominal: Resistance,
    /// Its lowest point over the frequencies asked for.
    pub least: LeastLoad,
    /// Whether the amplifier stands it.
    pub verdict: LoadVerdict,
    /// The mean power of each speaker used, by candidate.
    pub powers: Vec<(usize, Power)>,
    /// How far the speaker nearest to its rated power stays below it; negative when it is overloaded. None if no rating
    /// is known.
    pub headroom: Option<Gain>,
    /// How much louder the loudest speaker is than the quietest.
    pub spread: Gain,
    /// The level at 1 m of all together, mean power over the frequencies.
    pub level: SoundPressureLevel,
    /// Whether the spread is as small as was asked.
    pub is_even: bool,
}

impl RankedArrangement {
    /// Whether no speaker gets more than its rated power.
    #[must_use]
    pub fn is_within_ratings(&self) -> bool {
        self.headroom.is_none_or(|headroom| headroom.as_decibels() >= 0.0)
    }

    /// Better ones compare less: load, ratings, evenness, then level, then the fewest wires.
    fn order(&self) -> impl PartialOrd + use<> {
        let is_refused = self.verdict != LoadVerdict::Fits;
        // Levels within a ten-thousandth of a decibel are the same, whatever the rounding.
        let level = (-1e4 * self.level.as_decibels_re_20_micropascal()).round();
        (is_refused, !self.is_within_ratings(), !self.is_even, level, self.arrangement.n_wires())
    }
}

/// Every arrangement of the candidates, best first: those that the amplifier stands before those it does not, then those
/// that overload no speaker, then the even ones, among equals the loudest, and of those the one with the fewest wires. Nothing is left out, so that the reason
/// why something is not first can be shown. Candidates that are equal in everything are interchangeable, and of
/// arrangements that differ only by swapping them one is given.
///
/// Empty without frequencies.
///
/// # Errors
/// There are too many arrangements.
///
/// ```
/// use electrics::{BridgeAmplifier, Candidate, Load, Wishes, rank_arrangements};
/// use quantities::{Frequency, Gain, Power, Resistance, SoundPressureLevel, Voltage};
/// let ohms = |ohms| Resistance::from_ohms(ohms).unwrap();
/// let speaker = Candidate { load: Load::Nominal(ohms(7.0)), nominal: ohms(8.0), rated: Power::from_watts(1.0) };
/// let wishes = Wishes {
///     amplifier: BridgeAmplifier::on_supply(Voltage::from_volts(4.0).unwrap(), ohms(8.0)),
///     least_speakers: 4,
///     most_spread: Gain::from_decibels(3.0).unwrap(),
///     frequencies: vec![Frequency::from_hertz(1000.0).unwrap()],
/// };
/// let sensitivity = |_: usize, _: Frequency| SoundPressureLevel::from_decibels_re_20_micropascal(76.0).unwrap();
/// let ranked = rank_arrangements(&[speaker.clone(), speaker.clone(), speaker.clone(), speaker], &wishes, &sensitivity)?;
/// assert_eq!(ranked[0].arrangement.in_signs(&["A", "B", "C", "D"]), "(A + B) ∥ (C + D)");
/// # Ok::<(), electrics::TooManyArrangements>(())
/// ```
pub fn rank_arrangements(
    candidates: &[Candidate],
    wishes: &Wishes,
    sensitivity: &impl SensitivityModel,
) -> Result<Vec<RankedArrangement>, TooManyArrangements> {
    if wishes.frequencies.is_empty() {
        return Ok(Vec::new());
    }
    // Pressure at 1 m for 1 W, against the reference pressure, by candidate and frequency.
    let pressure_of = |candidate: usize| {
        let level = |at: &Frequency| sensitivity.sensitivity(candidate, *at).as_decibels_re_20_micropascal();
        wishes.frequencies.iter().map(|at| 10_f64.powf(level(at) / 20.0)).collect::<Vec<f64>>()
    };
    let pressures: Vec<Vec<f64>> = (0..candidates.len()).map(pressure_of).collect();
    let is_same = |one: usize, other: usize| {
        let is_as_loud = pressures[one].iter().zip(&pressures[other]).all(|(a, b)| a.total_cmp(b).is_eq());
        candidates[one] == candidates[other] && is_as_loud
    };
    let kind_of = |one: usize| (0..one).find(|other| is_same(one, *other)).unwrap_or(one);
    let kinds: Vec<usize> = (0..candidates.len()).map(kind_of).collect();
    let catalogue = Catalogue::of(&kinds)?;
    let ranking = Ranking::of(&catalogue, candidates, wishes, &pressures);
    let mut gathered = Gathered::new();
    let judged = catalogue.whole(wishes.least_speakers.max(1)).map(|form| ranking.judge(form, &mut gathered));
    let mut ranked: Vec<_> = judged.map(|one| (one.order(), one)).collect();
    ranked.sort_by(|(order, one), (other_order, other)| {
        let by_rule = order.partial_cmp(other_order).unwrap_or(std::cmp::Ordering::Equal);
        by_rule.then_with(|| one.arrangement.cmp(&other.arrangement))
    });
    Ok(ranked.into_iter().map(|(_, one)| one).collect())
}

/// Every form of the catalogue at every frequency; the lists run form by form, frequency by frequency.
struct Ranking<'a> {
    catalogue: &'a Catalogue,
    candidates: &'a [Candidate],
    wishes: &'a Wishes,
    pressures: &'a [Vec<f64>],
    impedance_squared: Vec<f64>,
    /// Real part of the admittance; of the forms that are one speaker, which come first.
    conductances: Vec<f64>,
    nominals: Vec<f64>,
}

/// What is gathered about one form on the way down to its speakers.
struct Gathered {
    /// Squared voltages of the forms that are just being looked into, frequency by frequency, the innermost last.
    voltage_squared: Vec<f64>,
    /// By frequency, the pressure of all speakers so far.
    together: Vec<f64>,
    /// By speaker, in the order in which the arrangement is written.
    speakers: Vec<Sums>,
}

/// Sums over the frequencies for one speaker.
struct Sums {
    watts: f64,
    pressure_squared: f64,
}

impl<'a> Ranking<'a> {
    fn of(
        catalogue: &'a Catalogue,
        candidates: &'a [Candidate],
        wishes: &'a Wishes,
        pressures: &'a [Vec<f64>],
    ) -> Self {
        let n = wishes.frequencies.len();
        let n_forms = catalogue.forms.len();
        let (mut impedances, mut admittances): (Vec<Complex64>, Vec<Complex64>) = (Vec::new(), Vec::new());
        let mut conductances = Vec::new();
        let mut impedance_squared = Vec::with_capacity(n_forms * n);
        let mut nominals: Vec<f64> = Vec::with_capacity(n_forms);
        for (form, made) in catalogue.forms.iter().enumerate() {
            let first = impedances.len();
            let is_part = !catalogue.is_largest(form);
            match made {
                Form::Kind(kind) => {
                    let candidate = &candidates[catalogue.first_of_kind(*kind)];
                    impedances.extend(wishes.frequencies.iter().map(|at| candidate.load.impedance(*at)));
                    admittances.extend(impedances[first..].iter().map(Complex64::inv));
                    impedance_squared.extend(impedances[first..].iter().map(Complex64::norm_sqr));
                    conductances.extend(admittances[first..].iter().map(|admittance| admittance.re));
                    nominals.push(candidate.nominal.as_ohms());
                }
                Form::Series(parts) => {
                    add_up(&mut impedances, parts, n);
                    impedance_squared.extend(impedances[first..].iter().map(Complex64::norm_sqr));
                    if is_part {
                        admittances.extend(impedances[first..].iter().map(Complex64::inv));
                    }
                    nominals.push(parts.iter().map(|part| nominals[*part]).sum());
                }
                Form::Parallel(parts) => {
                    add_up(&mut admittances, parts, n);
                    impedance_squared.extend(admittances[first..].iter().map(|all| all.norm_sqr().recip()));
                    if is_part {
                        impedances.extend(admittances[first..].iter().map(Complex64::inv));
                    }
                    nominals.push(parts.iter().map(|part| nominals[*part].recip()).sum::<f64>().recip());
                }
            }
            if !is_part {
                // The largest forms come last and are parts of nothing: their numbers make room for the next.
                impedances.truncate(first);
                admittances.truncate(first);
            }
        }
        Self { catalogue, candidates, wishes, pressures, impedance_squared, conductances, nominals }
    }

    fn judge(&self, form: usize, gathered: &mut Gathered) -> RankedArrangement {
        let frequencies = &self.wishes.frequencies;
        let n_frequencies = frequencies.iter().fold(0.0, |n, _| n + 1.0);
        let source = self.wishes.amplifier.sine_voltage().as_volts();
        gathered.begin(frequencies.len(), source * source);
        self.drive(form, gathered);

        let arrangement = self.catalogue.arrangement(form);
        let sums = arrangement.speakers().into_iter().zip(&gathered.speakers);
        let powers: Vec<(usize, Power)> =
            sums.map(|(speaker, sums)| (speaker, saturated(sums.watts / n_frequencies))).collect();
        let pressures = gathered.speakers.iter().map(|sums| sums.pressure_squared);
        let (loudest, quietest) = pressures
            .fold((0.0, f64::INFINITY), |(most, least), one| (f64::max(most, one), f64::min(least, one)));
        let spread = Gain::of_powers(loudest, quietest);
        let together =
            gathered.together.iter().map(|pressure| pressure * pressure).sum::<f64>() / n_frequencies;
        let rated =
            powers.iter().filter_map(|(speaker, power)| Some((self.candidates[*speaker].rated?, power)));
        let headroom = rated.map(|(rated, power)| rated.as_watts() / power.as_watts()).min_by(f64::total_cmp);
        let nominal = saturated(self.nominals[form]);
        let least = self.least(form);
        RankedArrangement {
            arrangement,
            nominal,
            least,
            verdict: self.wishes.amplifier.judge(nominal, Some(least.modulus)),
            powers,
            headroom: headroom.map(|ratio| Gain::of_powers(ratio, 1.0)),
            spread,
            level: saturated(10.0 * together.log10()),
            is_even: spread <= self.wishes.most_spread,
        }
    }

    fn least(&self, form: usize) -> LeastLoad {
        let frequencies = &self.wishes.frequencies;
        let squares = &self.impedance_squared[form * frequencies.len()..][..frequencies.len()];
        let (at, square) =
            frequencies.iter().zip(squares).fold((frequencies[0], f64::INFINITY), |lowest, (at, square)| {
                if *square < lowest.1 { (*at, *square) } else { lowest }
            });
        LeastLoad { modulus: saturated(square.sqrt()), at }
    }

    /// Passes the innermost voltage on to the speakers of a form. In series a part has the voltage `V·Z_part/Z`.
    fn drive(&self, form: usize, gathered: &mut Gathered) {
        let n = self.wishes.frequencies.len();
        match &self.catalogue.forms[form] {
            Form::Kind(kind) => {
                let per_watt = &self.pressures[self.catalogue.first_of_kind(*kind)];
                gathered.add_speaker(&self.conductances[form * n..][..n], per_watt);
            }
            Form::Parallel(parts) => {
                for part in parts {
                    self.drive(*part, gathered);
                }
            }
            Form::Series(parts) => {
                let whole = &self.impedance_squared[form * n..][..n];
                for part in parts {
                    gathered.enter(&self.impedance_squared[part * n..][..n], whole);
                    self.drive(*part, gathered);
                    gathered.leave(n);
                }
            }
        }
    }
}

/// Appends the sum of some forms, each a run of `n` numbers.
fn add_up(numbers: &mut Vec<Complex64>, parts: &[usize], n: usize) {
    let first = numbers.len();
    numbers.resize(first + n, Complex64::ZERO);
    let (earlier, sum) = numbers.split_at_mut(first);
    for part in parts {
        for (sum, number) in sum.iter_mut().zip(&earlier[part * n..]) {
            *sum += number;
        }
    }
}

impl Gathered {
    fn new() -> Self {
        Self { voltage_squared: Vec::new(), together: Vec::new(), speakers: Vec::new() }
    }

    fn begin(&mut self, n_frequencies: usize, source_squared: f64) {
        self.voltage_squared.clear();
        self.voltage_squared.resize(n_frequencies, source_squared);
        self.together.clear();
        self.together.resize(n_frequencies, 0.0);
        self.speakers.clear();
    }

    fn enter(&mut self, part_squared: &[f64], whole_squared: &[f64]) {
        let n = whole_squared.len();
        let outer = self.voltage_squared.len() - n;
        self.voltage_squared.extend_from_within(outer..);
        let inner = self.voltage_squared[outer + n..].iter_mut();
        for ((square, part), whole) in inner.zip(part_squared).zip(whole_squared) {
            *square *= part / whole;
        }
    }

    fn leave(&mut self, n: usize) {
        self.voltage_squared.truncate(self.voltage_squared.len() - n);
    }

    fn add_speaker(&mut self, conductances: &[f64], pressure_per_watt: &[f64]) {
        let innermost = &self.voltage_squared[self.voltage_squared.len() - conductances.len()..];
        let mut sums = Sums { watts: 0.0, pressure_squared: 0.0 };
        let laws = conductances.iter().zip(pressure_per_watt);
        for ((square, (conductance, per_watt)), together) in
            innermost.iter().zip(laws).zip(&mut self.together)
        {
            let watts = square * conductance;
            let pressure = watts.sqrt() * per_watt;
            sums.watts += watts;
            sums.pressure_squared += pressure * pressure;
            *together += pressure;
        }
        self.speakers.push(sums);
    }
}
