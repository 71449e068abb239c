//! Prime movers: firing frequency, notches, head-end power and generator sets, and their exhaust note as sound.
//!
//! Speeds, loads and how an engine moves between them; the wave itself is made in `exhaust`.
//!
//! Source: digest, sections 4.1 to 4.3; W. J. White, *How Diesel-Electric Locomotives Operate*, 1997, p. 3-10 as
//! quoted there for the power of the notches; the slewing is ours.

use quantities::{Duration, Frequency, Length, Percent, RotationalSpeed, Speed};

use super::exhaust::{Note, levelled};
use super::{REFERENCE_RMS, SampleRate, Sound};
use crate::saturate::saturated;

/// Strokes of an engine's working cycle.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Cycle {
    /// Each cylinder fires once a revolution.
    TwoStroke,
    /// Each cylinder fires every other revolution.
    FourStroke,
}

impl Cycle {
    /// Revolutions of the crankshaft in one working cycle.
    pub(super) fn revolutions(self) -> f64 {
        match self {
            Self::TwoStroke => 1.0,
            Self::FourStroke => 2.0,
        }
    }
}

/// How often any cylinder fires: `cylinders·rpm/(60·revolutions per cycle)`.
///
/// ```
/// use acoustics::sound::{Cycle, firing_frequency};
/// use quantities::RotationalSpeed;
/// let full = RotationalSpeed::from_rpm(900.0).unwrap();
/// assert_eq!(firing_frequency(16, Cycle::TwoStroke, full).to_string(), "240 Hz");
/// ```
#[must_use]
pub fn firing_frequency(cylinders: u32, cycle: Cycle, speed: RotationalSpeed) -> Frequency {
    saturated(f64::from(cylinders) * speed.as_rpm() / (60.0 * cycle.revolutions()))
}

/// How often the whole engine repeats: `rpm/60` for two strokes, `rpm/120` for four.
#[must_use]
pub fn cycle_frequency(cycle: Cycle, speed: RotationalSpeed) -> Frequency {
    firing_frequency(1, cycle, speed)
}

/// Exhaust beats per second of a steam locomotive with double-acting cylinders: `2·cylinders·v/(π·D)`.
#[must_use]
pub fn chuffs_per_second(cylinders: u32, speed: Speed, wheel_diameter: Length) -> Frequency {
    let turns = speed.as_metres_per_second() / (std::f64::consts::PI * wheel_diameter.as_metres());
    saturated(2.0 * f64::from(cylinders) * turns)
}

/// Speed of a synchronous machine, `120·f/poles`; none unless the poles are even and at least two.
#[must_use]
pub fn synchronous_speed(supply: Frequency, poles: u32) -> Option<RotationalSpeed> {
    (poles >= 2 && poles.is_multiple_of(2)).then(|| saturated(120.0 * supply.as_hertz() / f64::from(poles)))
}

/// What the driver's handle asks of the engine.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Notch {
    /// No power.
    Idle,
    /// Power notch 1 to 8; make it with [`Notch::run`].
    Run(RunNotch),
}

/// A power notch, 1 to 8.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct RunNotch(u8);

impl Notch {
    /// A power notch; none outside 1 to 8.
    #[must_use]
    pub fn run(number: u8) -> Option<Self> {
        (1..=8).contains(&number).then_some(Self::Run(RunNotch(number)))
    }
}

/// Share of full power in a notch: 3.3, 9.6, 20.0, 32.4, 48.8, 64.1, 83.0, 100 % of a published four-stroke road engine
/// (White 1997); idle as 18.5 dB below full, the middle of what the noise rules imply (digest, section 4.4).
#[must_use]
pub fn power_share(notch: Notch) -> Percent {
    /// Gross horsepower in notches 1 to 8.
    const HORSEPOWER: [f64; 8] = [125.0, 370.0, 770.0, 1245.0, 1875.0, 2465.0, 3190.0, 3845.0];
    saturated(match notch {
        Notch::Idle => 100.0 * 10f64.powf(-18.5 / 10.0),
        Notch::Run(RunNotch(number)) => 100.0 * HORSEPOWER[usize::from(number - 1)] / HORSEPOWER[7],
    })
}

/// An engine is not usable.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum EngineError {
    /// No cylinders, or more than any engine has.
    #[error("an engine has 1 to 32 cylinders, not {cylinders}")]
    Cylinders {
        /// How many were asked.
        cylinders: u32,
    },
    /// Idle must turn, and full must not be slower.
    #[error("idle at {idle} and full at {full} do not make an engine: idle must turn and full be no slower")]
    Speeds {
        /// Idle speed asked.
        idle: RotationalSpeed,
        /// Full speed asked.
        full: RotationalSpeed,
    },
}

/// A piston engine.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Engine {
    pub(super) cylinders: u32,
    pub(super) cycle: Cycle,
    idle: RotationalSpeed,
    full: RotationalSpeed,
    pub(super) whine: Option<Frequency>,
}

/// A time spent at one speed and load.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stage {
    /// Speed to settle at.
    pub speed: RotationalSpeed,
    /// Share of full power; loudness follows it.
    pub load: Percent,
    /// How long until the next stage.
    pub hold: Duration,
}

impl Engine {
    /// An engine without turbocharger.
    ///
    /// # Errors
    /// [`EngineError`] for a number of cylinders or speeds that no engine has.
    pub fn new(
        cylinders: u32,
        cycle: Cycle,
        idle: RotationalSpeed,
        full: RotationalSpeed,
    ) -> Result<Self, EngineError> {
        if !(1..=32).contains(&cylinders) {
            return Err(EngineError::Cylinders { cylinders });
        }
        if idle.as_rpm() <= 0.0 || full < idle {
            return Err(EngineError::Speeds { idle, full });
        }
        Ok(Self { cylinders, cycle, idle, full, whine: None })
    }

    /// The same engine with a turbocharger that whines at this frequency at full load (a few kilohertz; from memory).
    /// The whine follows the load by its third root, as a fan's speed follows its power.
    #[must_use]
    pub fn turbocharged(self, whine_at_full: Frequency) -> Self {
        Self { whine: Some(whine_at_full), ..self }
    }

    /// A generator set: an engine that holds the synchronous speed of its alternator. None unless the poles are even
    /// and at least two, or where [`Engine::new`] refuses.
    #[must_use]
    pub fn generator_set(cylinders: u32, cycle: Cycle, supply: Frequency, poles: u32) -> Option<Self> {
        let speed = synchronous_speed(supply, poles)?;
        Self::new(cylinders, cycle, speed, speed).ok()
    }

    /// Speed in a notch: notch 1 shares the idle speed, the others rise in equal steps to full (digest, section 4.2).
    #[must_use]
    pub fn speed(&self, notch: Notch) -> RotationalSpeed {
        let steps = match notch {
            Notch::Idle => 0.0,
            Notch::Run(RunNotch(number)) => f64::from(number - 1) / 7.0,
        };
        saturated(self.idle.as_rpm() + steps * (self.full.as_rpm() - self.idle.as_rpm()))
    }

    /// Firing frequency at a speed.
    #[must_use]
    pub fn firing_frequency(&self, speed: RotationalSpeed) -> Frequency {
        firing_frequency(self.cylinders, self.cycle, speed)
    }

    /// A stage in a notch.
    #[must_use]
    pub fn in_notch(&self, notch: Notch, hold: Duration) -> Stage {
        Stage { speed: self.speed(notch), load: power_share(notch), hold }
    }

    /// A stage in a notch while the engine heats and lights the train: it holds one speed whatever the notch, and only
    /// the loudness follows the load (digest, section 4.3, way a). The train's load is added to the notch's, as a
    /// share of full power; together at most full.
    #[must_use]
    pub fn feeding_train(
        &self,
        notch: Notch,
        held_speed: RotationalSpeed,
        train_load: Percent,
        hold: Duration,
    ) -> Stage {
        let load = (power_share(notch).as_percent() + train_load.as_percent()).min(100.0);
        Stage { speed: held_speed, load: saturated(load), hold }
    }

    /// The sound of the stages one after another, from rest at the first one's speed and load.
    ///
    /// # Quantities
    /// In a settled stage the root-mean-square value is `REFERENCE_RMS·√load`: 0.2 at full load, 4.9 dB less in
    /// notch 4. Were a peak to pass full scale, the whole sound would be lowered until it does not. Between stages
    /// the speed moves at a tenth of the range from idle to full per second (at least 20 rpm a second) and the load
    /// follows with a time constant of 1 s. Loads are held between 0 and 100 %.
    ///
    /// `seed` chooses the small differences between cylinders and the hiss; units of one train want different seeds.
    #[must_use]
    pub fn render(&self, stages: &[Stage], rate: SampleRate, seed: u64) -> Sound {
        let mut note = Note::new(self, rate, seed);
        let mut governor = Governor::new(self, stages, rate);
        let (mut raw, mut gains) = (Vec::new(), Vec::new());
        for stage in stages {
            for _ in 0..rate.samples_in(stage.hold) {
                let (rpm, load) = governor.step(stage);
                raw.push(note.next(rpm, load));
                gains.push(load.sqrt());
            }
        }
        let mut samples = levelled(&raw, rate);
        for (value, gain) in samples.iter_mut().zip(&gains) {
            *value *= REFERENCE_RMS * gain;
        }
        let peak = samples.iter().fold(1.0, |peak: f64, value| peak.max(value.abs()));
        samples.iter_mut().for_each(|value| *value /= peak);
        Sound::from_f64(rate, &samples)
    }
}

/// Moves speed and load toward what a stage asks.
struct Governor {
    rpm: f64,
    load: f64,
    rpm_per_sample: f64,
    load_share_per_sample: f64,
}

impl Governor {
    fn new(engine: &Engine, stages: &[Stage], rate: SampleRate) -> Self {
        const LEAST_RPM_PER_SECOND: f64 = 20.0;
        const LOAD_SECONDS: f64 = 1.0;
        let range = engine.full.as_rpm() - engine.idle.as_rpm();
        let (rpm, load) = stages.first().map_or((engine.idle.as_rpm(), 0.0), target);
        Self {
            rpm,
            load,
            rpm_per_sample: (range / 10.0).max(LEAST_RPM_PER_SECOND) / rate.hertz(),
            load_share_per_sample: 1.0 - (-1.0 / (LOAD_SECONDS * rate.hertz())).exp(),
        }
    }

    fn step(&mut self, stage: &Stage) -> (f64, f64) {
        let (rpm, load) = target(stage);
        self.rpm += (rpm - self.rpm).clamp(-self.rpm_per_sample, self.rpm_per_sample);
        self.load += (load - self.load) * self.load_share_per_sample;
        (self.rpm, self.load)
    }
}

/// Speed in rpm and load as a share of one.
fn target(stage: &Stage) -> (f64, f64) {
    (stage.speed.as_rpm(), (stage.load.as_percent() / 100.0).clamp(0.0, 1.0))
}
