//! Hearing it before the shell goes on: the prototype's voice through the computed response of a wiring.

use acoustics::render::{Amplifier, OutputLevel, Phase, RenderError, Rendered, Rendering, render};
use acoustics::sound::{Bell, Cycle, Engine, Horn, Notch, Pitch, SampleRate, Sound};
use acoustics::{Response, ResponseError};
use electrics::{SolveError, Solver};
use num_complex::Complex64;
use quantities::{Duration, Frequency, Gain, Percent, RotationalSpeed, Voltage};
use thiserror::Error;
use workorder::{PrimeMover, Voice};

use crate::sounding::{drives, even_pressure, installation, listening};
use crate::wiring::Wiring;

/// Why a wiring cannot be heard.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum HearError {
    /// The circuit has no solution.
    #[error(transparent)]
    Circuit(#[from] SolveError),
    /// The response is no curve.
    #[error(transparent)]
    Response(#[from] ResponseError),
    /// The rendering was asked for something impossible.
    #[error(transparent)]
    Render(#[from] RenderError),
    /// Nothing in the wiring sounds.
    #[error("no speaker of this wiring gets any voltage")]
    Silent,
}

/// How loud a rendering is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Loudness {
    /// As loud as the source: only the colour differs between two wirings.
    Matched,
    /// As it is: one wiring is as much louder than another as it would be at the bench.
    AsItIs,
}

/// Full scale of a rendering as it is: 1 Pa, the peak of 91 dB at the ear, which no model should reach.
const FULL_SCALE_PASCALS: f64 = 1.0;
/// Where the amplifier begins to bend: class-D stages clip nearly sharply (our choice, as the acoustics room's).
const KNEE_PERCENT: f64 = 90.0;

/// The pressure at the ear for each volt of the amplifier, over frequency, as a room hears it: the pressure that the same
/// radiated power would make at the listening place if it went out evenly. On the axis between two equal cones that fight
/// each other there is nothing at all, which nobody's ears, two of them and in a room, would confirm.
///
/// # Errors
/// The circuit has no solution, or nothing sounds.
pub fn response(wiring: &Wiring) -> Result<Response, HearError> {
    let grid = match (Frequency::from_hertz(20.0), Frequency::from_hertz(20_000.0)) {
        (Some(from), Some(to)) => electrics::frequencies(from, to, 24),
        _ => Vec::new(),
    };
    let mut solver = Solver::new(&wiring.netlist)?;
    let conditions = solver.conditions().to_vec();
    let sweep = solver.sweep(&grid)?;
    let volts = wiring.amplifier.full_level().as_volts();
    let (installation, listening) = (installation(wiring), listening());
    let points: Vec<_> = grid
        .iter()
        .zip(drives(wiring, &sweep, &conditions))
        .filter_map(|(at, drives)| {
            let heard = installation.heard(*at, &drives, &listening).ok()?;
            Some((*at, Complex64::from(even_pressure(&heard, &listening) / volts)))
        })
        .collect();
    if points.iter().all(|(_, pascals)| pascals.norm() == 0.0) {
        return Err(HearError::Silent);
    }
    Ok(Response::new(&points)?)
}

/// A sound through the amplifier and the speakers of a wiring. The amplifier is driven to its full level by a full-scale
/// sample, `overdriven` by so many decibels beyond.
///
/// # Errors
/// As [`response`].
pub fn through(
    sound: &Sound,
    wiring: &Wiring,
    loudness: Loudness,
    overdriven: Gain,
) -> Result<Rendered, HearError> {
    let rail = wiring.amplifier.bridge.peak_voltage();
    let full_scale = Voltage::from_volts(rail.as_volts() * overdriven.as_amplitude_ratio()).unwrap_or(rail);
    let knee = Percent::from_percent(KNEE_PERCENT).unwrap_or_else(|| unreachable!("90 % is in range"));
    let how = Rendering {
        amplifier: Amplifier::new(full_scale, rail, knee)?,
        phase: Phase::Minimum,
        level: match loudness {
            Loudness::Matched => OutputLevel::Matched,
            Loudness::AsItIs => OutputLevel::PeakPascals(FULL_SCALE_PASCALS),
        },
    };
    Ok(render(sound, &response(wiring)?, &how)?)
}

/// A few seconds of the prototype: the engine from idle through two notches, then the horn, then the bell. What the voice
/// does not tell is left out; without any, a usual diesel and a horn of three chimes stand in.
#[must_use]
pub fn sample_of(voice: Option<&Voice>, rate: SampleRate) -> Sound {
    let engine = engine(voice.and_then(|voice| voice.prime_mover.as_ref()));
    let stage =
        |notch: Option<Notch>, length: f64| engine.in_notch(notch.unwrap_or(Notch::Idle), seconds(length));
    let running = engine.render(
        &[stage(None, 2.5), stage(Notch::run(3), 2.5), stage(Notch::run(6), 3.0), stage(None, 2.0)],
        rate,
        1,
    );
    let blast = acoustics::sound::Blast { blow: seconds(2.0), rest: seconds(1.0) };
    let silence = |length: u32| (0..length * rate.per_second() / 2).map(|_| 0.0_f32).collect::<Vec<f32>>();
    // Half seconds of silence before it speaks.
    let mut horn = silence(4);
    horn.extend(horn_of(voice).render(&[blast], rate, 2).samples());
    let mut parts = vec![(running, decibels(0.0)), (Sound::new(rate, horn), decibels(0.0))];
    if let Some(bell) = bell_of(voice) {
        let mut ringing = silence(11);
        ringing.extend(bell.render(seconds(3.5), rate, 3).samples());
        parts.push((Sound::new(rate, ringing), decibels(-6.0)));
    }
    let parts: Vec<(&Sound, Gain)> = parts.iter().map(|(sound, gain)| (sound, *gain)).collect();
    let mixed = Sound::mixed(&parts).unwrap_or_else(|| Sound::new(rate, Vec::new()));
    // The whole is brought to just below full scale, so that the amplifier works at its full level.
    let peak = mixed.peak();
    if peak > 0.0 { mixed.scaled(Gain::of_amplitudes(0.98, peak)) } else { mixed }
}

fn engine(prime_mover: Option<&PrimeMover>) -> Engine {
    // A usual road engine where nothing is told: 12 cylinders, four strokes, 350 to 1050 rpm (acoustics digest, section 4).
    let rpm = |told: Option<RotationalSpeed>, usual: f64| told.or_else(|| RotationalSpeed::from_rpm(usual));
    let cylinders =
        prime_mover.and_then(|mover| mover.cylinders).map_or(12, |cylinders| u32::from(cylinders.get()));
    let is_two_stroke = prime_mover.and_then(|mover| mover.strokes).is_some_and(|strokes| strokes.get() == 2);
    let cycle = if is_two_stroke { Cycle::TwoStroke } else { Cycle::FourStroke };
    let idle = rpm(prime_mover.and_then(|mover| mover.idle), 350.0);
    let full = rpm(prime_mover.and_then(|mover| mover.full), 1050.0);
    let made = idle.zip(full).and_then(|(idle, full)| {
        Engine::new(cylinders, cycle, idle, if full < idle { idle } else { full }).ok()
    });
    let usual = || {
        let (Some(idle), Some(full)) = (RotationalSpeed::from_rpm(350.0), RotationalSpeed::from_rpm(1050.0))
        else {
            unreachable!("both are in range")
        };
        Engine::new(12, Cycle::FourStroke, idle, full)
            .unwrap_or_else(|_| unreachable!("a usual engine is one"))
    };
    let engine = made.unwrap_or_else(usual);
    let has_turbo = prime_mover.and_then(|mover| mover.aspiration) == Some(datasheets::Aspiration::Turbo);
    match Frequency::from_hertz(2800.0) {
        Some(whine) if has_turbo => engine.turbocharged(whine),
        _ => engine,
    }
}

fn horn_of(voice: Option<&Voice>) -> Horn {
    let wish = voice.and_then(|voice| voice.horn.as_ref());
    let notes: Vec<Pitch> = wish
        .iter()
        .flat_map(|wish| &wish.notes)
        .filter_map(|note| Pitch::parse(&note.to_string()).ok())
        .collect();
    let n_chimes = wish.and_then(|wish| wish.chimes).map_or(3, |chimes| usize::from(chimes.get()));
    let usual = || {
        let chord = acoustics::sound::CHORDS.iter().find(|chord| chord.notes.len() == n_chimes);
        chord
            .or(acoustics::sound::CHORDS.first())
            .map_or_else(Vec::new, |chord| chord.notes[..n_chimes.min(chord.notes.len())].to_vec())
    };
    let notes = if notes.is_empty() { usual() } else { notes };
    Horn::new(&notes)
        .or_else(|_| Horn::new(&usual()))
        .unwrap_or_else(|_| unreachable!("a usual chord makes a horn"))
}

fn bell_of(voice: Option<&Voice>) -> Option<Bell> {
    voice?.bell.as_ref()?;
    // A usual locomotive bell: prime about 620 Hz, two strokes a second, 1.2 s of ring (acoustics digest, section 4.5).
    Bell::new(Frequency::from_hertz(620.0)?, 120.0, seconds(1.2))
}

fn seconds(length: f64) -> Duration {
    Duration::from_seconds(length).unwrap_or_else(|| unreachable!("a few seconds are in range"))
}

fn decibels(gain: f64) -> Gain {
    Gain::from_decibels(gain).unwrap_or_else(|| unreachable!("a few decibels are in range"))
}
