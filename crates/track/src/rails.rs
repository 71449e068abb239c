//! The rails as a programmer meets them: half bits go in, a current comes back.
//!
//! What it is: the trait that the virtual bench implements, and one day a power stage of our own.
//! What it is not: a command station; those speak for themselves and implement [`crate::Link`].
//!
//! Source: ours.

/// How often the current is sampled while half bits are driven, µs.
pub const SAMPLE_MICROSECONDS: u32 = 100;

/// A pair of rails with something on them: the virtual bench, or one day a power stage of our own.
pub trait Rails {
    /// Puts the power on or takes it off. Taking it off lets everything on the rails forget what is volatile, unless a
    /// keep-alive holds it for a while.
    fn set_power(&mut self, is_on: bool);

    /// Drives half bits, each of them a duration in microseconds with the polarity changing after each, and appends
    /// the current in milliamperes, one sample for every [`SAMPLE_MICROSECONDS`] of driving, in order. What is left of
    /// a sample at the end of the half bits goes into the first sample of the next call.
    fn drive(&mut self, half_bits: &[u32], milliamperes: &mut Vec<f32>);

    /// Lets time pass without a signal: no half bits, power as it is.
    fn wait(&mut self, microseconds: u64);
}

impl<R: Rails + ?Sized> Rails for &mut R {
    fn set_power(&mut self, is_on: bool) {
        (**self).set_power(is_on);
    }

    fn drive(&mut self, half_bits: &[u32], milliamperes: &mut Vec<f32>) {
        (**self).drive(half_bits, milliamperes);
    }

    fn wait(&mut self, microseconds: u64) {
        (**self).wait(microseconds);
    }
}

impl<R: Rails + ?Sized> Rails for Box<R> {
    fn set_power(&mut self, is_on: bool) {
        (**self).set_power(is_on);
    }

    fn drive(&mut self, half_bits: &[u32], milliamperes: &mut Vec<f32>) {
        (**self).drive(half_bits, milliamperes);
    }

    fn wait(&mut self, microseconds: u64) {
        (**self).wait(microseconds);
    }
}
