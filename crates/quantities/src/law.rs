//! The products and quotients that mean something: Ohm's and Joule's laws, geometry, sums.
//!
//! A result that leaves the range of its kind (an overflow of silly inputs) saturates at the end of that range,
//! so that arithmetic on checked quantities cannot make a NaN.

use std::ops::{Add, Div, Mul, Sub};

use crate::unit::Quantity;
use crate::{Area, Current, Duration, Frequency, Gain, Length, Power, Resistance, Speed, Voltage, Volume};

fn saturated<Q: Quantity>(value: f64) -> Q {
    let (least, most) = Q::RANGE;
    let kept = if value.is_nan() { least.max(0.0) } else { value.clamp(least, most) };
    match Q::from_si(kept) {
        Some(quantity) => quantity,
        None => unreachable!("a clamped value is in range"),
    }
}

macro_rules! product {
    ($($left:ty, $right:ty => $result:ty;)+) => { $(
        impl Mul<$right> for $left {
            type Output = $result;
            fn mul(self, other: $right) -> $result { saturated(self.as_si() * other.as_si()) }
        }
    )+ };
}

macro_rules! quotient {
    ($($left:ty, $right:ty => $result:ty;)+) => { $(
        impl Div<$right> for $left {
            type Output = $result;
            fn div(self, other: $right) -> $result { saturated(self.as_si() / other.as_si()) }
        }
    )+ };
}

macro_rules! sum {
    ($($kind:ty),+) => { $(
        impl Add for $kind {
            type Output = $kind;
            fn add(self, other: $kind) -> $kind { saturated(self.as_si() + other.as_si()) }
        }
        impl Sub for $kind {
            type Output = $kind;
            fn sub(self, other: $kind) -> $kind { saturated(self.as_si() - other.as_si()) }
        }
        impl Mul<f64> for $kind {
            type Output = $kind;
            fn mul(self, factor: f64) -> $kind { saturated(self.as_si() * factor) }
        }
        impl Div<f64> for $kind {
            type Output = $kind;
            fn div(self, divisor: f64) -> $kind { saturated(self.as_si() / divisor) }
        }
        impl std::iter::Sum for $kind {
            fn sum<I: Iterator<Item = $kind>>(parts: I) -> $kind { saturated(parts.map(|part| part.as_si()).sum()) }
        }
    )+ };
}

product! {
    Current, Resistance => Voltage;
    Resistance, Current => Voltage;
    Voltage, Current => Power;
    Current, Voltage => Power;
    Length, Length => Area;
    Area, Length => Volume;
    Speed, Duration => Length;
}

quotient! {
    Voltage, Resistance => Current;
    Voltage, Current => Resistance;
    Power, Voltage => Current;
    Power, Current => Voltage;
    Length, Duration => Speed;
    Length, Speed => Duration;
    Volume, Area => Length;
}

sum!(Current, Voltage, Power, Resistance, Length, Area, Volume, Duration, Frequency, Gain);

impl Power {
    /// The power that a resistance turns to heat at an RMS voltage across it (Joule's law).
    #[must_use]
    pub fn of_voltage(rms: Voltage, across: Resistance) -> Power {
        saturated(rms.as_volts() * rms.as_volts() / across.as_ohms())
    }
}

impl Voltage {
    /// The RMS voltage that puts a power into a resistance.
    #[must_use]
    pub fn of_power(power: Power, across: Resistance) -> Voltage {
        saturated((power.as_watts() * across.as_ohms()).sqrt())
    }
}

impl Gain {
    /// The level of one amplitude (voltage, pressure) against another: 20·log10 of their ratio.
    #[must_use]
    pub fn of_amplitudes(this: f64, against: f64) -> Gain {
        saturated(20.0 * (this / against).abs().log10())
    }

    /// The level of one power against another: 10·log10 of their ratio.
    #[must_use]
    pub fn of_powers(this: f64, against: f64) -> Gain {
        saturated(10.0 * (this / against).abs().log10())
    }

    /// The factor by which an amplitude changes.
    #[must_use]
    pub fn as_amplitude_ratio(self) -> f64 {
        10f64.powf(self.as_decibels() / 20.0)
    }
}
