//! Point sources and their sum: sound pressure at a place and total radiated power, phases counted. Not the driver's
//! mechanics, which give the volume velocities.
//!
//! Source: digest, sections 2.5 and 2.9; Pritchard, JASA 32, 730-737, 1960 and Nelson & Elliott, *Active Control of
//! Sound*, 1992, ch. 8 (both from memory; the digest verified the pair by integration over the sphere).

use num_complex::Complex64;
use quantities::{Frequency, Length, Power};

use crate::air::Air;
use crate::listening::{Listening, Space};
use crate::phasor::{PressurePhasor, VolumeVelocityPhasor, angular};
use crate::radiation::sinc;
use crate::saturate::saturated;

/// A place in metres: x to the right, y up, z toward the listener.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Position {
    x: f64,
    y: f64,
    z: f64,
}

impl Position {
    /// From metres; `None` unless all three are finite.
    #[must_use]
    pub fn from_metres(x: f64, y: f64, z: f64) -> Option<Self> {
        (x.is_finite() && y.is_finite() && z.is_finite()).then_some(Self { x, y, z })
    }

    /// A distance to the right of the origin: the second of two speakers side by side.
    #[must_use]
    pub fn beside(spacing: Length) -> Self {
        Self { x: spacing.as_metres(), y: 0.0, z: 0.0 }
    }

    /// This place moved toward the listener by metres.
    pub(crate) fn toward_listener(self, metres: f64) -> Self {
        Self { z: self.z + metres, ..self }
    }

    pub(crate) fn metres_to(self, other: Self) -> f64 {
        let (x, y, z) = (self.x - other.x, self.y - other.y, self.z - other.z);
        (x * x + y * y + z * z).sqrt()
    }
}

/// A small piston or opening as a point that moves air.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Source {
    /// Where.
    pub position: Position,
    /// How much air, with its phase.
    pub volume_velocity: VolumeVelocityPhasor,
}

impl Source {
    fn flow(&self) -> Complex64 {
        self.volume_velocity.as_cubic_metres_per_second()
    }
}

/// Sound pressure of several sources at a place: the sum of `jωρ·U·e^{−jkr}/(Ω·r)` with Ω = 2π in half space and 4π in
/// free field. Distances below a centimetre count as a centimetre.
#[must_use]
pub fn pressure_at(
    place: Position,
    sources: &[Source],
    frequency: Frequency,
    space: Space,
    air: &Air,
) -> PressurePhasor {
    const LEAST_METRES: f64 = 0.01;
    let omega = angular(frequency);
    let wave_number = air.wave_number(omega);
    let sum: Complex64 = sources
        .iter()
        .map(|source| {
            let metres = source.position.metres_to(place).max(LEAST_METRES);
            source.flow() * Complex64::from_polar(1.0 / metres, -wave_number * metres)
        })
        .sum();
    PressurePhasor::computed(Complex64::new(0.0, omega * air.rho() / space.solid_angle()) * sum)
}

/// Sound pressure on the axis through the middle of the sources, toward the listener.
///
/// Phases follow each source's own distance, strengths the distance from the middle: the point-dipole model of the
/// digest, section 2.11, in which the wave from the rear of an unboxed driver comes round its edge no weaker than the
/// front. [`pressure_at`] also lets strengths follow the distances.
#[must_use]
pub fn pressure_on_axis(
    sources: &[Source],
    frequency: Frequency,
    listening: &Listening,
    air: &Air,
) -> PressurePhasor {
    let place = middle(sources).toward_listener(listening.metres());
    let omega = angular(frequency);
    let wave_number = air.wave_number(omega);
    let sum: Complex64 = sources
        .iter()
        .map(|source| {
            source.flow() * Complex64::from_polar(1.0, -wave_number * source.position.metres_to(place))
        })
        .sum();
    let spreading = listening.space.solid_angle() * listening.metres();
    PressurePhasor::computed(Complex64::new(0.0, omega * air.rho() / spreading) * sum)
}

/// Middle of the positions, in the plane of the one nearest the listener.
fn middle(sources: &[Source]) -> Position {
    let share = 1.0 / sources.len().max(1) as f64;
    let sum = sources.iter().fold(Position::default(), |sum, source| Position {
        x: sum.x + share * source.position.x,
        y: sum.y + share * source.position.y,
        z: 0.0,
    });
    let front = sources.iter().map(|source| source.position.z).fold(f64::NEG_INFINITY, f64::max);
    Position { z: if front.is_finite() { front } else { 0.0 }, ..sum }
}

/// Total radiated power: `(ρ·c·k²/Ω)·Σ Re(U_i·U_j*)·sin(kd)/(kd)`, volume velocities rms.
///
/// # Valid for
/// Sources small against the wavelength that do not stand in each other's shadow; in half space all of them in the
/// plane of the wall.
///
/// # Source
/// Digest, section 2.9 (mutual radiation resistance `R12/R11 = sin(kd)/(kd)`).
#[must_use]
pub fn radiated_power(sources: &[Source], frequency: Frequency, space: Space, air: &Air) -> Power {
    let wave_number = air.wave_number(angular(frequency));
    let mut sum = 0.0;
    for (index, one) in sources.iter().enumerate() {
        sum += one.flow().norm_sqr();
        for other in &sources[index + 1..] {
            let distance = one.position.metres_to(other.position);
            let joint = (one.flow() * other.flow().conj()).re;
            sum += 2.0 * joint * sinc(wave_number * distance);
        }
    }
    saturated(air.rho() * air.c() * wave_number * wave_number / space.solid_angle() * sum.max(0.0))
}
