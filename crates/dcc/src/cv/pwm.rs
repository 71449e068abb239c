//! CV9: the period of the motor's pulse-width modulation.
//!
//! What it is: the formula both ways. What it is not: what a decoder makes of it; it may hold values it cannot reach at
//! its own limits.
//!
//! Source: NMRA S-9.2.2 CV9. Some renderings lose the exponent of the formula and print "2e".

/// CV9.
///
/// ```
/// use dcc::cv::PwmPeriod;
/// assert_eq!(PwmPeriod::from_value(255).micros(), 32_640);
/// assert_eq!(PwmPeriod::nearest_to_micros(250).value(), 30);
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct PwmPeriod(u8);

impl PwmPeriod {
    /// From the value of the CV.
    pub const fn from_value(value: u8) -> Self {
        Self(value)
    }

    /// The value of the CV.
    pub const fn value(self) -> u8 {
        self.0
    }

    /// The period in µs: (131 + 4 · m) · 2^e, where m is bits 0–4 and e is bits 5–7.
    pub const fn micros(self) -> u32 {
        (131 + 4 * (self.0 & 0x1F) as u32) << (self.0 >> 5)
    }

    /// The frequency in hertz.
    pub fn hertz(self) -> f64 {
        1_000_000.0 / f64::from(self.micros())
    }

    /// The value whose period comes nearest; of two equally near, the lower value.
    pub const fn nearest_to_micros(micros: u32) -> Self {
        let mut best = Self(0);
        let mut value = 0;
        while value < u8::MAX {
            value += 1;
            if Self(value).micros().abs_diff(micros) < best.micros().abs_diff(micros) {
                best = Self(value);
            }
        }
        best
    }
}
