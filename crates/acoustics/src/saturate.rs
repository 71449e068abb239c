//! The door between computed numbers and checked quantities: what leaves the range of its kind stops at the end of
//! that range, as `quantities` does for its own arithmetic, so that no NaN reaches a caller. Not an error path.

use quantities::Quantity;

/// The quantity with this SI value, held inside the range of its kind; NaN becomes the value nearest zero.
pub(crate) fn saturated<Q: Quantity>(si: f64) -> Q {
    let (least, most) = Q::RANGE;
    let kept = if si.is_nan() { 0f64.clamp(least, most) } else { si.clamp(least, most) };
    match Q::from_si(kept) {
        Some(quantity) => quantity,
        None => unreachable!("a clamped value is in range"),
    }
}

/// A count from a number that is at least zero; the fraction is dropped and what does not fit stops at the end.
#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "the cast saturates, which is what the name promises"
)]
pub(crate) fn count(number: f64) -> usize {
    number.max(0.0) as usize
}

/// A sample of 32 bits; sound needs no more.
#[expect(clippy::cast_possible_truncation, reason = "rounding to the nearest f32 is meant")]
pub(crate) fn sample(value: f64) -> f32 {
    value as f32
}
