//! The current: what a locomotive draws from the rails, sample by sample.
//!
//! What it is: quiescent current, motor, lamps, acknowledgements, shorts, keep-alive and noise, added up.
//! What it is not: the sound amplifier, whose draw follows the sound and is left out; nor the ripple of the motor's pulses.
//!
//! Source: S-9.2.3 §D (pulse of 60 mA for 6 ms at least); reference text on practice, rows 36, 37; reference text on acoustics
//! and electrics, section 6.6. A motor running light draws the same at any speed (common practice, roughly).

use electrics::Netlist;
use quantities::{Current, Resistance};
use track::SAMPLE_MICROSECONDS;

use crate::chance::Chance;
use crate::meter;
use crate::supply::{KeepAlive, SUPPLY_LIMIT_MILLIAMPERES, TRACK_VOLTS, whole_microseconds};
use crate::truth::Truth;
use crate::wiring::{DecoderIs, Parts};

/// Quiescent current where neither truth nor sheet tells one, in milliamperes: ours.
const IDLE_MILLIAMPERES: f64 = 30.0;
/// Current of a motor running light where the truth does not tell it, in milliamperes (common practice for HO).
const RUNNING_MILLIAMPERES: f64 = 150.0;
/// Acknowledgement pulse where the truth does not tell it: comfortably above 60 mA.
const ACKNOWLEDGEMENT_MILLIAMPERES: f64 = 100.0;
/// Length of that pulse, in microseconds (S-9.2.3 §D).
const ACKNOWLEDGEMENT_MICROSECONDS: u64 = 6_000;
/// A path from a brush to a rail above this is a leak and no short, in ohms.
const SHORT_OHMS: f64 = 100.0;
/// Time in which a keep-alive that masks pulses takes back what it gave, in seconds: ours.
const MASKING_SECONDS: f64 = 0.05;

/// What bears on the current and does not change.
#[derive(Debug, Clone)]
pub(crate) struct Draw {
    /// Quiescent, both decoders and what leaks from rail to rail.
    pub(crate) idle: f64,
    /// The motor running light.
    pub(crate) running: f64,
    /// The motor at full level with the wheels held.
    pub(crate) stall: f64,
    /// What flows besides when the motor is fed and touches a rail.
    pub(crate) motor_short: f64,
    /// The acknowledgement pulse, as far as the motor lets so much pass.
    pub(crate) acknowledgement: f64,
    pub(crate) acknowledgement_microseconds: u64,
}

impl Draw {
    pub(crate) fn of(parts: &Parts<'_>, second_idle: Option<f64>) -> Self {
        let truth = parts.truth;
        let without_motor = parts.netlist_without_motor(DecoderIs::Out);
        let motor = truth.motor.as_ref().and_then(|motor| motor.resistance.greatest());
        let wanted = truth
            .acknowledgement
            .as_ref()
            .and_then(|one| one.current)
            .map_or(ACKNOWLEDGEMENT_MILLIAMPERES, milliamperes);
        let duration = truth.acknowledgement.as_ref().and_then(|one| one.duration);
        Self {
            idle: idle(parts)
                + second_idle.unwrap_or(0.0)
                + through(meter::ohms(&without_motor, "rail.left", "rail.right")),
            running: if truth.turns() { running(truth) } else { 0.0 },
            stall: motor.map_or(0.0, |motor| stall(truth, motor)),
            motor_short: if motor.is_some() { motor_short(&without_motor) } else { 0.0 },
            acknowledgement: motor.map_or(0.0, |motor| wanted.min(through(Some(motor.as_ohms())))),
            acknowledgement_microseconds: duration
                .map_or(ACKNOWLEDGEMENT_MICROSECONDS, |duration| whole_microseconds(duration.as_seconds())),
        }
    }
}

fn idle(parts: &Parts<'_>) -> f64 {
    let told = parts.truth.decoder.idle_current.or(parts.sheet.decoder.idle_current);
    told.map_or(IDLE_MILLIAMPERES, milliamperes)
}

/// Quiescent current of a second decoder.
pub(crate) fn second_idle(sheet: &datasheets::DecoderSheet) -> f64 {
    sheet.decoder.idle_current.map_or(IDLE_MILLIAMPERES, milliamperes)
}

fn running(truth: &Truth) -> f64 {
    truth.motor.as_ref().and_then(|motor| motor.running_current).map_or(RUNNING_MILLIAMPERES, milliamperes)
}

/// Stall current: as told, else track voltage through the winding (reference text section 6.6).
fn stall(truth: &Truth, winding: Resistance) -> f64 {
    let told = truth.motor.as_ref().and_then(|motor| motor.stall_current);
    told.map_or_else(|| through(Some(winding.as_ohms())), milliamperes)
}

fn motor_short(netlist: &Netlist) -> f64 {
    let paths = ["motor.1", "motor.2"]
        .into_iter()
        .flat_map(|brush| ["rail.left", "rail.right"].map(|rail| (brush, rail)));
    let least =
        paths.filter_map(|(brush, rail)| meter::ohms(netlist, brush, rail)).fold(f64::INFINITY, f64::min);
    if least <= SHORT_OHMS { through(Some(least)) } else { 0.0 }
}

/// The current through a resistance at track voltage, in milliamperes, as far as the rails deliver it.
fn through(ohms: Option<f64>) -> f64 {
    ohms.map_or(0.0, |ohms| (TRACK_VOLTS / ohms * 1000.0).min(f64::from(SUPPLY_LIMIT_MILLIAMPERES)))
}

fn milliamperes(current: Current) -> f64 {
    current.as_amperes() * 1000.0
}

/// Turns spans of constant load into samples.
#[derive(Debug, Clone)]
pub(crate) struct Sampler {
    /// Microseconds of driving since the last sample.
    phase: u64,
    /// Effective value of the noise, in milliamperes.
    noise: f32,
    chance: Chance,
    /// The load as a masking keep-alive smooths it.
    smoothed: f64,
}

impl Sampler {
    pub(crate) fn new(truth: &Truth, chance: Chance) -> Self {
        let noise = truth.pickup.as_ref().and_then(|pickup| pickup.current_noise).map_or(0.0, milliamperes);
        Self { phase: 0, noise: narrow(noise), chance, smoothed: 0.0 }
    }

    /// Makes the next sample fall on a whole sampling time from now.
    pub(crate) fn begin(&mut self) {
        self.phase = 0;
    }

    /// Appends the samples of a span without power.
    pub(crate) fn nothing(&mut self, microseconds: u64, samples: &mut Vec<f32>) {
        let n_samples = self.count(microseconds);
        self.smoothed = 0.0;
        samples.extend(std::iter::repeat_n(0.0, n_samples));
    }

    /// Appends the samples of a span with a load of so many milliamperes.
    pub(crate) fn load(
        &mut self,
        microseconds: u64,
        load: f64,
        keep_alive: Option<&mut KeepAlive>,
        samples: &mut Vec<f32>,
    ) {
        let n_samples = self.count(microseconds);
        let masks = keep_alive.as_ref().map_or(0.0, |keep_alive| keep_alive.masks);
        let is_charging = keep_alive.as_ref().is_some_and(|keep_alive| keep_alive.charging() > 0.0);
        if masks <= 0.0 && !is_charging {
            self.plain(narrow(load), n_samples, samples);
            return;
        }
        let Some(keep_alive) = keep_alive else { return };
        let step = f64::from(SAMPLE_MICROSECONDS) / 1e6;
        for _ in 0..n_samples {
            self.smoothed += (load - self.smoothed) * (step / MASKING_SECONDS).min(1.0);
            let from_rails = load * (1.0 - masks) + self.smoothed * masks + keep_alive.charging();
            keep_alive.charge(step);
            self.plain(narrow(from_rails), 1, samples);
        }
    }

    fn plain(&mut self, load: f32, n_samples: usize, samples: &mut Vec<f32>) {
        if self.noise > 0.0 {
            samples.extend(
                (0..n_samples)
                    .map(|_| (load + self.noise * self.chance.bell()).clamp(0.0, SUPPLY_LIMIT_MILLIAMPERES)),
            );
        } else {
            samples.extend(std::iter::repeat_n(load, n_samples));
        }
    }

    fn count(&mut self, microseconds: u64) -> usize {
        let interval = u64::from(SAMPLE_MICROSECONDS);
        let whole = self.phase + microseconds;
        self.phase = whole % interval;
        usize::try_from(whole / interval).unwrap_or(usize::MAX)
    }
}

#[expect(clippy::cast_possible_truncation, reason = "milliamperes within the supply's limit fit a single")]
fn narrow(milliamperes: f64) -> f32 {
    (milliamperes as f32).min(SUPPLY_LIMIT_MILLIAMPERES)
}
