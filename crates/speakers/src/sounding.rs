//! What a wiring does: load, power and travel of each speaker, safe level, level on axis, cones together or opposed.

use acoustics::bands::{self, Band};

use acoustics::radiation::{BandLoss, PairRelation, pair_band_losses};
use acoustics::{
    Air, Cabinet, CurrentPhasor, Drive, Heard, Installation, Listening, Mounted, Mounting, Position, Space,
    VoltagePhasor,
};
use electrics::{
    Condition, LeastLoad, LoadCurve, LoadVerdict, Mount, Polarity, Relation, SolveError, Solver, Sweep,
};
use quantities::{Current, Frequency, Gain, Length, Power, Resistance, SoundPressureLevel, Voltage};

use crate::wiring::Wiring;

/// The lowest frequency that decoders play on small speakers; travel is judged from here up (as for part choice).
const LOWEST_PLAYED_HERTZ: f64 = 150.0;
/// Where level and load are told: the band of a small speaker.
const BAND_HERTZ: (f64, f64) = (50.0, 16_000.0);
/// Points of an octave: fine enough that a resonance of Q 3 is met within 0.1 dB.
const PER_OCTAVE: u32 = 24;
/// Where one listens: an arm's length from the model.
const LISTENING_METRES: f64 = 0.3;

/// What one speaker does at the amplifier's full level.
#[derive(Debug, Clone, PartialEq)]
pub struct SpeakerAnswer {
    /// Its name.
    pub name: String,
    /// How it is connected.
    pub condition: Condition,
    /// Voltage across it at 1 kHz.
    pub voltage: Voltage,
    /// Current through it at 1 kHz.
    pub current: Current,
    /// Power into it, mean over the band from 150 Hz up.
    pub power: Power,
    /// The most power at any frequency of that band, and where.
    pub most_power: (Power, Frequency),
    /// The greatest travel of its cone, peak to one side, and where; none for one that is not driven.
    pub most_travel: Option<(Length, Frequency)>,
    /// The travel that it stands.
    pub linear_travel: Length,
    /// The power that it stands.
    pub rating: Power,
}

/// The level up to which nothing is overdriven.
#[derive(Debug, Clone, PartialEq)]
pub struct SafeLevel {
    /// Amplifier voltage, RMS.
    pub voltage: Voltage,
    /// The same against the amplifier's full level; zero or less.
    pub below_full: Gain,
    /// What would be overdriven first, in words: "travel of B at 150 Hz".
    pub limit: String,
    /// Where it would be overdriven.
    pub at: Frequency,
}

/// Two cones that move against each other.
#[derive(Debug, Clone, PartialEq)]
pub struct OpposedPair {
    /// One.
    pub one: String,
    /// The other.
    pub other: String,
    /// How far apart they are.
    pub spacing: Length,
    /// What that costs in each octave band, in power, as a room hears it.
    pub losses: Vec<BandLoss>,
}

/// The level in an octave band at the amplifier's full level.
#[derive(Debug, Clone, PartialEq)]
pub struct BandLevel {
    /// The band.
    pub band: Band,
    /// Mean level as a room hears it, for a steady tone of full level in the band.
    pub level: SoundPressureLevel,
    /// Against the first connected speaker alone at the same amplifier, in radiated power.
    pub against_one: Option<Gain>,
}

/// Everything that follows from a wiring.
#[derive(Debug, Clone)]
pub struct Sounding {
    /// The load over frequency; none when no current can flow.
    pub load: Option<LoadCurve>,
    /// The load by nominal impedances.
    pub nominal: Option<Resistance>,
    /// Its lowest point.
    pub least: Option<LeastLoad>,
    /// Whether the amplifier stands it.
    pub verdict: Option<LoadVerdict>,
    /// Each speaker, in the order of the documents.
    pub speakers: Vec<SpeakerAnswer>,
    /// The highest level that overdrives nothing; none when nothing is driven.
    pub safe: Option<SafeLevel>,
    /// Level on axis at 0.3 m and full level, over frequency.
    pub level: Vec<(Frequency, SoundPressureLevel)>,
    /// The level at 0.3 m if the radiated power went out evenly: what a room hears, where an axis may lie in a null.
    pub room_level: Vec<(Frequency, SoundPressureLevel)>,
    /// The same in octave bands, against one speaker alone.
    pub bands: Vec<BandLevel>,
    /// Which cones move together.
    pub polarity: Polarity,
    /// Pairs that fight each other.
    pub opposed: Vec<OpposedPair>,
}

impl Sounding {
    /// Computes everything that follows from a wiring.
    ///
    /// # Errors
    /// The circuit has no solution: a dead short across the amplifier, a ring of coils.
    pub fn of(wiring: &Wiring) -> Result<Self, SolveError> {
        let grid = grid(BAND_HERTZ.0, BAND_HERTZ.1);
        let mut solver = Solver::new(&wiring.netlist)?;
        let conditions = solver.conditions().to_vec();
        let sweep = solver.sweep(&grid)?;
        let placed = wiring.placed();
        let polarity = electrics::polarity(&wiring.netlist, &placed)?;
        let nominals: Vec<Resistance> = wiring.speakers.iter().map(|speaker| speaker.nominal).collect();
        let of_element = |id: electrics::ElementId| {
            let place = wiring.elements.iter().position(|element| *element == id);
            place.map_or(wiring.amplifier.bridge.least_load(), |place| nominals[place])
        };
        let nominal = electrics::nominal_load(&wiring.netlist, of_element)?;
        let load = LoadCurve::of(&sweep);
        let least = load.as_ref().map(LoadCurve::least);
        let verdict = nominal
            .map(|nominal| wiring.amplifier.bridge.judge(nominal, least.as_ref().map(|least| least.modulus)));
        let states = States::of(wiring, &sweep, &conditions);
        Ok(Self {
            load,
            nominal,
            least,
            verdict,
            speakers: states.speakers(),
            safe: states.safe_level(),
            bands: band_levels(wiring, &states),
            level: states.levels(),
            room_level: states.room_levels(),
            opposed: opposed(wiring, &polarity),
            polarity,
        })
    }

    /// Whether some cones that sound fight each other.
    #[must_use]
    pub fn is_opposed(&self) -> bool {
        !self.opposed.is_empty()
    }
}

/// What the circuit does to each speaker, for every frequency of a sweep.
pub(crate) fn drives(wiring: &Wiring, sweep: &Sweep, conditions: &[Condition]) -> Vec<Vec<Drive>> {
    let zero = Voltage::from_volts(0.0).unwrap_or_else(|| unreachable!("zero is in range"));
    let still = || Drive::Voltage(VoltagePhasor::of(zero));
    let mut by_point = vec![Vec::with_capacity(wiring.elements.len()); sweep.frequencies().len()];
    for element in &wiring.elements {
        // A shorted coil brakes its cone: no voltage, whatever current its own motion makes.
        let is_shorted = conditions[element.index()] == Condition::ShortCircuited;
        for (point, current) in sweep.currents(*element).enumerate() {
            let current = CurrentPhasor::from_amperes(current).filter(|_| !is_shorted);
            by_point[point].push(current.map_or_else(still, Drive::Current));
        }
    }
    by_point
}

fn grid(from: f64, to: f64) -> Vec<Frequency> {
    match (Frequency::from_hertz(from), Frequency::from_hertz(to)) {
        (Some(from), Some(to)) => electrics::frequencies(from, to, PER_OCTAVE),
        _ => Vec::new(),
    }
}

pub(crate) fn listening() -> Listening {
    Listening {
        distance: Length::from_metres(LISTENING_METRES).unwrap_or_else(|| unreachable!("0.3 m is in range")),
        ..Listening::at_one_metre()
    }
}

/// How every speaker is driven and moves at every frequency of a sweep, each worked out once.
struct States<'a> {
    wiring: &'a Wiring,
    conditions: &'a [Condition],
    sweep: &'a Sweep,
    /// For each frequency, the travel of each cone in metres, peak to one side.
    travel: Vec<Vec<f64>>,
    /// For each frequency, what is heard at the listening place.
    heard: Vec<Heard>,
}

impl<'a> States<'a> {
    fn of(wiring: &'a Wiring, sweep: &'a Sweep, conditions: &'a [Condition]) -> Self {
        let installation = installation(wiring);
        let listening = listening();
        let mut travel = Vec::with_capacity(sweep.frequencies().len());
        let mut heard = Vec::with_capacity(sweep.frequencies().len());
        for (at, drives) in sweep.frequencies().iter().zip(drives(wiring, sweep, conditions)) {
            // There is one drive for each driver, so neither of these refuses.
            if let Ok(motions) = installation.motions(*at, &drives) {
                travel.push(
                    motions.iter().flatten().map(|motion| motion.peak_excursion().as_metres()).collect(),
                );
            }
            heard.extend(installation.heard(*at, &drives, &listening));
        }
        Self { wiring, conditions, sweep, travel, heard }
    }

    fn frequencies(&self) -> &[Frequency] {
        self.sweep.frequencies()
    }

    /// Points of the sweep from the lowest played frequency up.
    fn played(&self) -> impl Iterator<Item = usize> + '_ {
        (0..self.frequencies().len())
            .filter(|point| self.frequencies()[*point].as_hertz() >= LOWEST_PLAYED_HERTZ)
    }

    fn powers(&self, speaker: usize) -> Vec<Power> {
        self.sweep.powers(self.wiring.elements[speaker]).collect()
    }

    fn is_driven(&self, speaker: usize) -> bool {
        self.conditions[self.wiring.elements[speaker].index()] == Condition::Driven
    }

    fn speakers(&self) -> Vec<SpeakerAnswer> {
        let middle = self.nearest_point(1000.0);
        (0..self.wiring.speakers.len())
            .map(|speaker| {
                let placed = &self.wiring.speakers[speaker];
                let element = self.wiring.elements[speaker];
                let powers = self.powers(speaker);
                let most = self
                    .played()
                    .max_by(|left, right| powers[*left].as_watts().total_cmp(&powers[*right].as_watts()));
                let n_played = self.played().count().max(1);
                let mean = self.played().map(|point| powers[point].as_watts()).sum::<f64>() / n_played as f64;
                let volts = self.sweep.voltages(element).nth(middle).map_or(0.0, |volts| volts.norm());
                let amperes = self.sweep.currents(element).nth(middle).map_or(0.0, |amperes| amperes.norm());
                let travel = self
                    .played()
                    .map(|point| (self.travel[point][speaker], self.frequencies()[point]))
                    .max_by(|left, right| left.0.total_cmp(&right.0))
                    .and_then(|(metres, at)| Some((Length::from_metres(metres)?, at)));
                let zero = Power::from_watts(0.0).unwrap_or(placed.rating);
                SpeakerAnswer {
                    name: placed.name.clone(),
                    condition: self.conditions[element.index()],
                    voltage: Voltage::from_volts(volts).unwrap_or_else(|| self.wiring.amplifier.full_level()),
                    current: Current::from_amperes(amperes)
                        .unwrap_or_else(|| unreachable!("a speaker's current is in range")),
                    power: Power::from_watts(mean).unwrap_or(zero),
                    most_power: most.map_or((zero, self.frequencies()[middle]), |point| {
                        (powers[point], self.frequencies()[point])
                    }),
                    most_travel: travel.filter(|_| self.is_driven(speaker)),
                    linear_travel: placed.driver().parameters().peak_excursion,
                    rating: placed.rating,
                }
            })
            .collect()
    }

    fn nearest_point(&self, hertz: f64) -> usize {
        let distance = |point: &usize| (self.frequencies()[*point].as_hertz() / hertz).ln().abs();
        (0..self.frequencies().len())
            .min_by(|left, right| distance(left).total_cmp(&distance(right)))
            .unwrap_or(0)
    }

    /// The least amplifier voltage at which some speaker reaches its travel or its rated power at some played frequency.
    fn safe_level(&self) -> Option<SafeLevel> {
        let full = self.wiring.amplifier.full_level();
        let mut first: Option<(f64, String, Frequency)> = None;
        let mut consider = |factor: f64, limit: &dyn Fn() -> String, at: Frequency| {
            if factor.is_finite() && first.as_ref().is_none_or(|(least, ..)| factor < *least) {
                first = Some((factor, limit(), at));
            }
        };
        for speaker in (0..self.wiring.speakers.len()).filter(|speaker| self.is_driven(*speaker)) {
            let placed = &self.wiring.speakers[speaker];
            let powers = self.powers(speaker);
            for point in self.played() {
                let at = self.frequencies()[point];
                let travel = self.travel[point][speaker];
                let stands = placed.driver().parameters().peak_excursion.as_metres();
                consider(stands / travel, &|| format!("travel of {} at {at}", placed.name), at);
                let heat = (placed.rating.as_watts() / powers[point].as_watts()).sqrt();
                consider(heat, &|| format!("heat in {} at {at}", placed.name), at);
            }
        }
        let (factor, limit, at) = first?;
        let is_amplifier = factor >= 1.0;
        let factor = factor.min(1.0);
        Some(SafeLevel {
            voltage: full * factor,
            below_full: Gain::of_amplitudes(factor, 1.0),
            limit: if is_amplifier { "the amplifier's own full level".to_owned() } else { limit },
            at,
        })
    }

    fn levels(&self) -> Vec<(Frequency, SoundPressureLevel)> {
        self.frequencies().iter().copied().zip(self.heard.iter().map(Heard::level)).collect()
    }

    fn room_levels(&self) -> Vec<(Frequency, SoundPressureLevel)> {
        let listening = listening();
        let level = |heard: &Heard| level_of(even_pressure(heard, &listening));
        self.frequencies().iter().copied().zip(self.heard.iter().map(level)).collect()
    }

    /// Radiated power in a band, mean over its points.
    fn band_power(&self, band: &Band) -> f64 {
        let within = |at: Frequency| (band.lower()..=band.upper()).contains(&at);
        let heard = self.frequencies().iter().zip(&self.heard).filter(|(at, _)| within(**at));
        let powers: Vec<f64> = heard.map(|(_, heard)| heard.power.as_watts()).collect();
        powers.iter().sum::<f64>() / powers.len().max(1) as f64
    }
}

/// The speakers in the air, each in its own box.
pub(crate) fn installation(wiring: &Wiring) -> Installation {
    let cabinets = wiring.speakers.iter().map(|speaker| Cabinet {
        enclosure: speaker.system.enclosure().clone(),
        drivers: vec![Mounted {
            driver: *speaker.driver(),
            position: Position::from_metres(speaker.at.as_metres(), 0.0, 0.0).unwrap_or_default(),
            mounting: if speaker.mount == Mount::MagnetOutward {
                Mounting::MagnetOut
            } else {
                Mounting::FrontOut
            },
        }],
    });
    Installation { cabinets: cabinets.collect(), air: Air::default() }
}

/// The pressure in pascals at the listening place if the radiated power went out evenly: `√(W·ρc/(Ω·r²))`, the far-field
/// intensity of an even source (digest, section 0: 1 W into a half space is 112.16 dB at 1 m).
pub(crate) fn even_pressure(heard: &Heard, listening: &Listening) -> f64 {
    let air = Air::default();
    let impedance = air.kilograms_per_cubic_metre() * air.sound_speed().as_metres_per_second();
    let solid_angle = match listening.space {
        Space::Half => std::f64::consts::TAU,
        Space::Free => 2.0 * std::f64::consts::TAU,
    };
    let distance = listening.distance.as_metres();
    (heard.power.as_watts() * impedance / (solid_angle * distance * distance)).sqrt()
}

fn level_of(pascals: f64) -> SoundPressureLevel {
    // 20 µPa (ISO 1683, from memory); silence is told as the least level that the type holds.
    let decibels = (20.0 * (pascals / 20e-6).log10()).max(-400.0);
    SoundPressureLevel::from_decibels_re_20_micropascal(decibels).unwrap_or_else(|| bands::sum_of_levels(&[]))
}

fn band_levels(wiring: &Wiring, states: &States<'_>) -> Vec<BandLevel> {
    let listening = listening();
    let alone = powers_of_one_alone(wiring, states);
    let level = |watts: f64| {
        let heard = Power::from_watts(watts)
            .zip(states.heard.first())
            .map(|(power, heard)| Heard { power, ..*heard });
        level_of(heard.map_or(0.0, |heard| even_pressure(&heard, &listening)))
    };
    Band::octaves_125_to_8000()
        .into_iter()
        .enumerate()
        .map(|(index, band)| {
            let power = states.band_power(&band);
            let against_one = alone.as_ref().map(|alone| Gain::of_powers(power, alone[index]));
            BandLevel { band, level: level(power), against_one }
        })
        .collect()
}

/// Radiated power by octave band of the first driven speaker alone at the same amplifier.
fn powers_of_one_alone(wiring: &Wiring, states: &States<'_>) -> Option<Vec<f64>> {
    let first = (0..wiring.speakers.len()).find(|speaker| states.is_driven(*speaker))?;
    let alone = wiring.alone(first).ok()?;
    let mut solver = Solver::new(&alone.netlist).ok()?;
    let conditions = solver.conditions().to_vec();
    let sweep = solver.sweep(states.frequencies()).ok()?;
    let states = States::of(&alone, &sweep, &conditions);
    Some(Band::octaves_125_to_8000().iter().map(|band| states.band_power(band)).collect())
}

fn opposed(wiring: &Wiring, polarity: &Polarity) -> Vec<OpposedPair> {
    let index = |id: electrics::ElementId| wiring.elements.iter().position(|element| *element == id);
    polarity
        .pairs
        .iter()
        .filter(|pair| pair.relation == Relation::Opposed)
        .filter_map(|pair| {
            let (one, other) = (&wiring.speakers[index(pair.one)?], &wiring.speakers[index(pair.other)?]);
            let spacing = one.spacing(other);
            Some(OpposedPair {
                one: one.name.clone(),
                other: other.name.clone(),
                spacing,
                losses: pair_band_losses(PairRelation::Opposed, spacing, &Air::default()),
            })
        })
        .collect()
}
