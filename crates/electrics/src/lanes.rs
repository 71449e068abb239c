//! Complex numbers side by side: the same quantity at N frequencies.
//!
//! What it is: real and imaginary parts in arrays of their own, so that the compiler can work several frequencies with
//! one instruction. `Lanes<1>` is one complex number.
//! What it is not: more than the four operations that solving a circuit needs.

use std::ops::{Add, AddAssign, Mul, Sub};

use num_complex::Complex64;
use quantities::Frequency;

/// N complex numbers.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Lanes<const N: usize> {
    re: [f64; N],
    im: [f64; N],
}

impl<const N: usize> Lanes<N> {
    pub(crate) const ZERO: Self = Self { re: [0.0; N], im: [0.0; N] };

    /// The same number in every lane.
    pub(crate) fn all(value: Complex64) -> Self {
        Self { re: [value.re; N], im: [value.im; N] }
    }

    /// A real and an imaginary part for every lane.
    pub(crate) fn from_parts(re: [f64; N], im: [f64; N]) -> Self {
        Self { re, im }
    }

    /// Every lane worked out by itself.
    pub(crate) fn each(mut value: impl FnMut(usize) -> Complex64) -> Self {
        let mut lanes = Self::ZERO;
        for lane in 0..N {
            let one = value(lane);
            (lanes.re[lane], lanes.im[lane]) = (one.re, one.im);
        }
        lanes
    }

    /// One lane.
    pub(crate) fn lane(&self, lane: usize) -> Complex64 {
        Complex64::new(self.re[lane], self.im[lane])
    }

    /// `1/z`, by one division. Overflow is out of reach for moduli between 1e-150 and 1e150.
    #[inline]
    pub(crate) fn reciprocal(self) -> Self {
        let mut result = Self::ZERO;
        for lane in 0..N {
            let scale = 1.0 / (self.re[lane] * self.re[lane] + self.im[lane] * self.im[lane]);
            result.re[lane] = self.re[lane] * scale;
            result.im[lane] = -self.im[lane] * scale;
        }
        result
    }

    /// `|re| + |im|`, a modulus without a root.
    #[inline]
    pub(crate) fn size(&self) -> [f64; N] {
        std::array::from_fn(|lane| self.re[lane].abs() + self.im[lane].abs())
    }

    /// Adds a real number.
    #[inline]
    pub(crate) fn plus_real(mut self, real: f64) -> Self {
        for lane in 0..N {
            self.re[lane] += real;
        }
        self
    }
}

impl<const N: usize> Add for Lanes<N> {
    type Output = Self;

    #[inline]
    fn add(mut self, other: Self) -> Self {
        self += other;
        self
    }
}

impl<const N: usize> AddAssign for Lanes<N> {
    #[inline]
    fn add_assign(&mut self, other: Self) {
        for lane in 0..N {
            self.re[lane] += other.re[lane];
            self.im[lane] += other.im[lane];
        }
    }
}

impl<const N: usize> Sub for Lanes<N> {
    type Output = Self;

    #[inline]
    fn sub(mut self, other: Self) -> Self {
        for lane in 0..N {
            self.re[lane] -= other.re[lane];
            self.im[lane] -= other.im[lane];
        }
        self
    }
}

impl<const N: usize> Mul for Lanes<N> {
    type Output = Self;

    #[inline]
    fn mul(self, other: Self) -> Self {
        let mut result = Self::ZERO;
        for lane in 0..N {
            result.re[lane] = self.re[lane] * other.re[lane] - self.im[lane] * other.im[lane];
            result.im[lane] = self.re[lane] * other.im[lane] + self.im[lane] * other.re[lane];
        }
        result
    }
}

/// Frequencies above 0 Hz as `ω = 2πf` in rad/s, with `1/ω`.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Angular<const N: usize> {
    pub(crate) omega: [f64; N],
    pub(crate) inverse: [f64; N],
}

impl<const N: usize> Angular<N> {
    pub(crate) fn of(frequencies: &[Frequency; N]) -> Self {
        let omega = frequencies.map(|frequency| std::f64::consts::TAU * frequency.as_hertz());
        Self { omega, inverse: omega.map(|omega| 1.0 / omega) }
    }
}
