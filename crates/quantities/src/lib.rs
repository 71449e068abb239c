//! Quantities: one newtype per kind, SI inside, read and printed with the units people write.
//!
//! What it is: the vocabulary of numbers that every other room shares. A bare `f64` with a unit in somebody's head
//! never crosses a public boundary; it is a [`Resistance`] or a [`Length`].
//! What it is not: a dimensional-analysis library. Only the products and quotients that mean something at the bench exist.
//!
//! ```
//! use quantities::{Current, Quantity, Resistance};
//! let stall: Current = Current::parse("620 mA")?;
//! let winding: Resistance = Resistance::parse("19.4 ohm")?;
//! assert_eq!((stall * winding).to_string(), "12.03 V");
//! assert!(Current::parse("0.62").unwrap_err().to_string().contains("no unit"));
//! # Ok::<(), quantities::QuantityError>(())
//! ```

mod kinds;
mod law;
mod parse;
mod print;
mod reading;
mod unit;

#[cfg(test)]
mod tests;

pub use kinds::{
    Area, Capacitance, Compliance, Current, Duration, ForceFactor, Frequency, Gain, Inductance, Length, Mass,
    MechanicalResistance, Percent, Power, Resistance, RotationalSpeed, SoundPressureLevel, Speed,
    Temperature, Voltage, Volume,
};
pub use parse::QuantityError;
pub use print::significant;
pub use reading::{MeterReading, Origin, ReadingError};
pub use unit::{Quantity, Unit};
