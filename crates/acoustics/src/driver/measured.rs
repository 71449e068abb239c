//! Parameters from simple measurements: a known box, an added mass. Not the reading of Q from an impedance curve,
//! which belongs to the electrical room.
//!
//! Source: Small, *Closed-Box Loudspeaker Systems* I, JAES 20 (10) 798-808, 1972 (from memory); digest, section 2.2.

use quantities::{Frequency, Mass, Volume};

use crate::saturate::saturated;

/// Equivalent volume from the resonance and Qes in free air and in a closed box of known volume:
/// `Vas = V·[(fc·Qec)/(fs·Qes) − 1]`. `None` unless the box raised the product, as a tight box does.
#[must_use]
pub fn equivalent_volume_from_box(
    volume: Volume,
    (free_resonance, free_electrical_q): (Frequency, f64),
    (box_resonance, box_electrical_q): (Frequency, f64),
) -> Option<Volume> {
    let ratio = box_resonance.as_hertz() * box_electrical_q / (free_resonance.as_hertz() * free_electrical_q);
    Volume::from_cubic_metres(volume.as_cubic_metres() * (ratio - 1.0))
}

/// Equivalent volume from the two resonances alone: `Vas ≈ V·[(fc/fs)² − 1]`. `None` unless the box raised the
/// resonance.
///
/// ```
/// use acoustics::driver::equivalent_volume_from_resonances;
/// use quantities::{Frequency, Quantity, Volume};
/// let (free, boxed) = (Frequency::parse("500 Hz")?, Frequency::parse("800 Hz")?);
/// let volume = equivalent_volume_from_resonances(Volume::parse("0.5 cm3")?, free, boxed);
/// assert_eq!(volume.map(|v| v.to_string()).as_deref(), Some("780 mm³"));
/// # Ok::<(), quantities::QuantityError>(())
/// ```
#[must_use]
pub fn equivalent_volume_from_resonances(
    volume: Volume,
    free: Frequency,
    boxed: Frequency,
) -> Option<Volume> {
    let ratio = boxed.as_hertz() / free.as_hertz();
    Volume::from_cubic_metres(volume.as_cubic_metres() * (ratio * ratio - 1.0))
}

/// Resonance in a closed box: `fc = fs·√(1 + Vas/V)`.
#[must_use]
pub fn resonance_in_volume(free: Frequency, equivalent_volume: Volume, volume: Volume) -> Frequency {
    let ratio = equivalent_volume.as_cubic_metres() / volume.as_cubic_metres();
    saturated(free.as_hertz() * (1.0 + ratio).sqrt())
}

/// Moving mass from the resonance with a known mass on the cone: `Mms = m/[(fs/fs')² − 1]`. `None` unless the added
/// mass lowered the resonance.
#[must_use]
pub fn moving_mass_from_added_mass(added: Mass, free: Frequency, loaded: Frequency) -> Option<Mass> {
    let ratio = free.as_hertz() / loaded.as_hertz();
    Mass::from_kilograms(added.as_kilograms() / (ratio * ratio - 1.0))
}
