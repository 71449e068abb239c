//! From a computed number to a checked quantity.
//!
//! What it is: the one place where a result that leaves the range of its kind (a load of 1e15 ohm) is set to the end
//! of that range, as the products of [`quantities`] do.
//! What it is not: a way to let NaN through; that counts as the least value of the kind, and is a fault of ours.

use quantities::Quantity;

/// The quantity nearest to a value in the SI unit.
pub(crate) fn saturated<Q: Quantity>(value: f64) -> Q {
    let (least, most) = Q::RANGE;
    debug_assert!(!value.is_nan(), "a computed {} is not a number", Q::NAME);
    let kept = if value.is_nan() { least } else { value.clamp(least, most) };
    match Q::from_si(kept) {
        Some(quantity) => quantity,
        None => unreachable!("a clamped value is in range"),
    }
}
