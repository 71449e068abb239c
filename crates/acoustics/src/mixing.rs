//! The arithmetic of mixing: volume registers, sums of sounds, loudness, and the level plan that keeps a horn louder
//! than its engine. Numbers only; mixed sound is [`crate::sound::Sound::mixed`].
//!
//! Source: digest, section 5 (common practice for registers; ISO 532-1:2017 for loudness, from memory) and section 4.4
//! for the plan (49 CFR 229.129, 40 CFR 201.11 and 201.12 as quoted there).

use quantities::{Gain, Length, SoundPressureLevel};

use crate::saturate::saturated;

#[cfg(test)]
mod tests;

/// Gain of a volume register that is a linear multiplier: `20·log10(v/v_ref)`. Whether a decoder's is linear is a fact
/// of its sheet. None for a register of zero, which is silence.
///
/// ```
/// use acoustics::mixing::gain_of_register;
/// assert_eq!(gain_of_register(128, 255).map(|gain| gain.to_string()).as_deref(), Some("-5.987 dB"));
/// ```
#[must_use]
pub fn gain_of_register(value: u16, full: u16) -> Option<Gain> {
    (value > 0 && full > 0).then(|| Gain::of_amplitudes(f64::from(value), f64::from(full)))
}

/// The register value nearest a gain, rounded half up, held between 0 and the full value.
#[must_use]
pub fn register_for_gain(gain: Gain, full: u16) -> u16 {
    let wanted = (gain.as_amplitude_ratio() * f64::from(full) + 0.5).floor();
    u16::try_from(crate::saturate::count(wanted)).unwrap_or(full).min(full)
}

/// Gain of several equal sounds that do not know of each other: `10·log10 N`. None for no sound.
#[must_use]
pub fn gain_of_uncorrelated(sounds: u32) -> Option<Gain> {
    (sounds > 0).then(|| Gain::of_powers(f64::from(sounds), 1.0))
}

/// Gain of the highest peak of several equal sounds, should their peaks meet: `20·log10 N`. None for no sound.
#[must_use]
pub fn gain_of_meeting_peaks(sounds: u32) -> Option<Gain> {
    (sounds > 0).then(|| Gain::of_amplitudes(f64::from(sounds), 1.0))
}

/// Level of two sounds in phase: `20·log10(10^(L1/20) + 10^(L2/20))`.
#[must_use]
pub fn level_in_phase(one: SoundPressureLevel, other: SoundPressureLevel) -> SoundPressureLevel {
    saturated(20.0 * (amplitude(one) + amplitude(other)).log10())
}

/// Level of two sounds in opposition: `20·log10|10^(L1/20) − 10^(L2/20)|`.
#[must_use]
pub fn level_in_opposition(one: SoundPressureLevel, other: SoundPressureLevel) -> SoundPressureLevel {
    saturated(20.0 * (amplitude(one) - amplitude(other)).abs().log10())
}

fn amplitude(level: SoundPressureLevel) -> f64 {
    10f64.powf(level.as_decibels_re_20_micropascal() / 20.0)
}

/// Energy-mean level of stretches of sound, each with its length in seconds: `10·log10(Σt·10^(L/10)/Σt)`. None without
/// a positive total length.
#[must_use]
pub fn equivalent_level(
    stretches: &[(SoundPressureLevel, quantities::Duration)],
) -> Option<SoundPressureLevel> {
    let seconds: f64 = stretches.iter().map(|(_, length)| length.as_seconds()).sum();
    let energy: f64 =
        stretches.iter().map(|(level, length)| length.as_seconds() * amplitude(*level).powi(2)).sum();
    (seconds > 0.0).then(|| saturated(10.0 * (energy / seconds).log10()))
}

/// Loudness in sone of a loudness level in phon: `2^((LN − 40)/10)` from 40 phon on; below, the inverse of
/// `LN = 40·(N + 0.0005)^0.35`, at least zero.
#[must_use]
pub fn sone_of_phon(phon: f64) -> f64 {
    if phon >= 40.0 {
        ((phon - 40.0) / 10.0).exp2()
    } else {
        ((phon.max(0.0) / 40.0).powf(1.0 / 0.35) - 0.0005).max(0.0)
    }
}

/// Level at a model's viewing distance, seen as a distance of the prototype, against the 100 ft of the rules:
/// `−20·log10(r·scale/30.48 m)`.
#[must_use]
pub fn gain_of_scale_distance(viewing: Length, scale: f64) -> Gain {
    const HUNDRED_FEET_METRES: f64 = 30.48;
    Gain::of_amplitudes(HUNDRED_FEET_METRES, viewing.as_metres() * scale)
}

/// The voices of a locomotive in the level plan.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Voice {
    /// The engine at full throttle.
    FullThrottle,
    /// The engine idling.
    Idle,
    /// The horn.
    Horn,
}

/// Level against full throttle at the same place: horn 10 to 18 dB above, idle 17 to 20 dB below; the middles are
/// taken (digest, section 4.4).
#[must_use]
pub fn planned_gain(voice: Voice) -> Gain {
    saturated(match voice {
        Voice::FullThrottle => 0.0,
        Voice::Idle => -18.5,
        Voice::Horn => 14.0,
    })
}
