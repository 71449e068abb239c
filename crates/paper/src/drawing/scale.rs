//! Scales: where a value lies on the paper, and which values get a tick.
//!
//! Ticks stand at 1, 2 and 5 times a power of ten, the steps that people count in (common practice; the preferred
//! frequencies of ISO 266 hold the same numbers once per decade, from memory).

/// Room for rounding when a tick falls on the end of a scale, as a share of the scale.
const END_TOLERANCE: f64 = 1e-9;

/// A straight scale.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LinearScale {
    least: f64,
    most: f64,
    start: f64,
    end: f64,
}

impl LinearScale {
    /// Lays the values `least..=most` along the paper from `start` to `end` (either may be the larger one).
    /// `None` unless all are finite and `least < most`.
    #[must_use]
    pub fn new((least, most): (f64, f64), (start, end): (f64, f64)) -> Option<Self> {
        let is_usable = [least, most, start, end].iter().all(|value| value.is_finite()) && least < most;
        is_usable.then_some(Self { least, most, start, end })
    }

    /// Where `value` lies; values out of the range lie beyond the ends.
    #[must_use]
    pub fn at(&self, value: f64) -> f64 {
        self.start + (value - self.least) / (self.most - self.least) * (self.end - self.start)
    }

    /// Round values within the range, rising: the finest steps that make no more than `at_most` of them (no fewer than
    /// three are asked for).
    #[must_use]
    pub fn ticks(&self, at_most: u32) -> Vec<f64> {
        let at_most = f64::from(at_most.max(3));
        let span = self.most - self.least;
        // A step of this decade is at most one decade too fine.
        let mut decade = 10_f64.powf((span / at_most).log10().floor());
        loop {
            for step in [1.0, 2.0, 5.0].map(|factor| factor * decade) {
                let first = (self.least / step - END_TOLERANCE).ceil();
                let last = (self.most / step + END_TOLERANCE).floor();
                if last - first < at_most {
                    return steps(first, last, step);
                }
            }
            decade *= 10.0;
        }
    }
}

/// The multiples `first..=last` of a step.
fn steps(first: f64, last: f64, step: f64) -> Vec<f64> {
    let mut ticks = Vec::new();
    let mut multiple = first;
    while multiple <= last {
        // Adding zero turns -0 into 0, which would be labelled "-0" otherwise.
        ticks.push(multiple * step + 0.0);
        multiple += 1.0;
    }
    ticks
}

/// A logarithmic scale: equal ratios are equal lengths.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LogScale {
    least: f64,
    most: f64,
    logarithms: LinearScale,
}

impl LogScale {
    /// Lays the values `least..=most` along the paper from `start` to `end`.
    /// `None` unless all are finite and `0 < least < most`.
    #[must_use]
    pub fn new((least, most): (f64, f64), paper: (f64, f64)) -> Option<Self> {
        if least <= 0.0 {
            return None;
        }
        LinearScale::new((least.log10(), most.log10()), paper).map(|logarithms| Self {
            least,
            most,
            logarithms,
        })
    }

    /// Where `value` lies; NaN for values that have no logarithm.
    #[must_use]
    pub fn at(&self, value: f64) -> f64 {
        self.logarithms.at(value.log10())
    }

    /// 1, 2 and 5 times each power of ten within the range, rising: 20, 50, 100 … 20 000.
    #[must_use]
    pub fn ticks(&self) -> Vec<f64> {
        let least = self.least * (1.0 - END_TOLERANCE);
        let most = self.most * (1.0 + END_TOLERANCE);
        let mut ticks = Vec::new();
        let mut exponent = self.least.log10().floor();
        while exponent <= self.most.log10() {
            let decade = 10_f64.powf(exponent);
            ticks.extend(
                [1.0, 2.0, 5.0]
                    .map(|factor| factor * decade)
                    .into_iter()
                    .filter(|tick| (least..=most).contains(tick)),
            );
            exponent += 1.0;
        }
        ticks
    }
}

/// A frequency in hertz as tick labels say it: `20`, `500`, `1 k`, `20 k`.
#[must_use]
pub fn hertz_label(hertz: f64) -> String {
    if hertz >= 999.5 { format!("{}\u{a0}k", plain_label(hertz / 1000.0)) } else { plain_label(hertz) }
}

/// A number with at most four significant digits and a true minus sign.
#[must_use]
pub fn plain_label(value: f64) -> String {
    quantities::significant(value, 4).replace('-', "\u{2212}")
}
