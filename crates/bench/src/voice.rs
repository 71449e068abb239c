//! The voice: what is heard from the decoder.
//!
//! What it is: which recordings play, how fast the engine turns and how loud each sound is by the sheet's law.
//! What it is not: sound. A speaker that is wired wrongly plays the same recordings and is heard differently; see the
//! wiring of the truth and the acoustics room.
//!
//! Source: reference text on acoustics and electrics, sections 4.2 (eight notches, speed in equal steps from notch 1 to 8,
//! notch 1 at idle speed), 4.3 (head-end power: the main engine holds one speed whatever the throttle does; 1800 rpm for
//! a generator set; 720 rpm for standby) and 5 (levels add in decibels).

use std::collections::BTreeSet;

use datasheets::{
    Choice, DecoderSheet, Deed, EngineKind, HeadEndPower, LawKind, Role, RoleName, Traits, VoicePart,
};
use quantities::{Gain, RotationalSpeed};

use crate::memory::Memory;
use crate::truth::byte;

/// Speed of an engine for head-end power at standby, 60 Hz from ten poles (section 4.3).
const STANDBY_RPM: f64 = 720.0;
/// Speed of a generator set, 60 Hz from four poles (section 4.3).
const GENERATOR_SET_RPM: f64 = 1800.0;
/// Idle and full speed of engines whose sheet does not tell them (section 4.1, the usual order).
const TWO_STROKE_RPM: (f64, f64) = (300.0, 900.0);
const FOUR_STROKE_RPM: (f64, f64) = (400.0, 1050.0);
/// Power notches of a regulator (section 4.2).
const NOTCHES: u8 = 8;

/// The engine as it is heard.
#[derive(Debug, Clone, PartialEq)]
pub struct EngineHeard {
    /// The recording.
    pub recording: Choice,
    /// The notch of the throttle: 0 at idle, 8 at full power.
    pub notch: u8,
    /// How fast it turns; none for steam and electric locomotives.
    pub speed: Option<RotationalSpeed>,
    /// Why it does not follow the throttle: it feeds the train.
    pub feeds_train: Option<HeadEndPower>,
    /// Its level against the decoder's full one.
    pub level: Gain,
}

/// Another sound that is heard.
#[derive(Debug, Clone, PartialEq)]
pub struct SoundHeard {
    /// What it is the sound of.
    pub deed: Deed,
    /// The recording, where the sheet lets one choose.
    pub recording: Option<Choice>,
    /// How fast a generator set turns.
    pub speed: Option<RotationalSpeed>,
    /// Its level against the decoder's full one.
    pub level: Gain,
}

/// Everything that is heard at one moment.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Heard {
    /// The engine.
    pub engine: Option<EngineHeard>,
    /// Other sounds, in the order of their deeds.
    pub sounds: Vec<SoundHeard>,
    /// Whether the decoder holds all sounds silent by its mute key.
    pub is_muted: bool,
}

impl Heard {
    /// Whether nothing is heard.
    #[must_use]
    pub fn is_silent(&self) -> bool {
        self.engine.is_none() && self.sounds.is_empty()
    }

    /// A sound by its deed.
    #[must_use]
    pub fn sound(&self, deed: Deed) -> Option<&SoundHeard> {
        self.sounds.iter().find(|sound| sound.deed == deed)
    }
}

/// What bears on the voice.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Playing<'a> {
    pub(crate) sheet: &'a DecoderSheet,
    pub(crate) memory: &'a Memory,
    pub(crate) deeds: &'a BTreeSet<Deed>,
    /// Whether the engine runs when its key is off: no key is tied to it.
    pub(crate) runs_by_itself: bool,
    /// What the throttle asks for, 0 to 1.
    pub(crate) throttle: f64,
    /// Whether the wheels stand.
    pub(crate) is_standing: bool,
}

/// What is heard.
pub(crate) fn heard(playing: &Playing<'_>) -> Heard {
    if playing.sheet.amplifier.is_none() {
        return Heard::default();
    }
    let is_on = |deed| playing.deeds.contains(&deed);
    if is_on(Deed::Mute) {
        return Heard { is_muted: true, ..Heard::default() };
    }
    let supplies = head_end_power(playing).filter(|_| is_on(Deed::HeadEndPower));
    let from_engine = supplies.filter(|kind| *kind != HeadEndPower::GeneratorSet);
    let runs = playing.runs_by_itself || is_on(Deed::Engine) || from_engine.is_some();
    let others = playing.deeds.iter().copied().filter(|deed| {
        deed.is_sound()
            && !matches!(deed, Deed::Engine | Deed::Mute)
            && (*deed != Deed::HeadEndPower || supplies.is_some())
    });
    Heard {
        engine: if runs { engine(playing, from_engine) } else { None },
        sounds: others.filter_map(|deed| sound(playing, deed, supplies)).collect(),
        is_muted: false,
    }
}

fn engine(playing: &Playing<'_>, feeds_train: Option<HeadEndPower>) -> Option<EngineHeard> {
    let recording = chosen(playing, VoicePart::Engine)?;
    let notch = notch(playing.throttle);
    let speed = speeds(&recording.is).map(|(idle, full)| match feeds_train {
        Some(HeadEndPower::Standby) if playing.is_standing => STANDBY_RPM.min(full),
        Some(_) => full,
        None => idle + (full - idle) * f64::from(notch.saturating_sub(1)) / f64::from(NOTCHES - 1),
    });
    let level = level(playing, Some(VoicePart::Engine))?;
    Some(EngineHeard {
        recording,
        notch,
        speed: speed.and_then(RotationalSpeed::from_rpm),
        feeds_train,
        level,
    })
}

fn sound(playing: &Playing<'_>, deed: Deed, supplies: Option<HeadEndPower>) -> Option<SoundHeard> {
    let part = match deed {
        Deed::Horn | Deed::ShortHorn => Some(VoicePart::Horn),
        Deed::Bell => Some(VoicePart::Bell),
        Deed::HeadEndPower => Some(VoicePart::HeadEndPower),
        Deed::DynamicBrake => Some(VoicePart::DynamicBrake),
        _ => None,
    };
    let role = part.and_then(|part| playing.sheet.role(RoleName::Voice(part)));
    let recording = match (part, role) {
        (Some(part), Some(_)) => Some(chosen(playing, part)?),
        _ => None,
    };
    let is_generator_set = deed == Deed::HeadEndPower && supplies == Some(HeadEndPower::GeneratorSet);
    let speed = if is_generator_set { RotationalSpeed::from_rpm(GENERATOR_SET_RPM) } else { None };
    Some(SoundHeard { deed, recording, speed, level: level(playing, part)? })
}

/// Notch 0 with the throttle closed, else 1 to 8 in equal parts of the range.
fn notch(throttle: f64) -> u8 {
    (0..NOTCHES)
        .rev()
        .find(|below| throttle * f64::from(NOTCHES) > f64::from(*below))
        .map_or(0, |below| below + 1)
}

/// Idle and full speed of an engine.
fn speeds(engine: &Traits) -> Option<(f64, f64)> {
    if engine.kind.is_some_and(|kind| kind != EngineKind::Diesel) {
        return None;
    }
    let is_two_stroke = engine.strokes.is_some_and(|strokes| strokes.get() == 2);
    let (idle, full) = if is_two_stroke { TWO_STROKE_RPM } else { FOUR_STROKE_RPM };
    Some((
        engine.idle.map_or(idle, RotationalSpeed::as_rpm),
        engine.full.map_or(full, RotationalSpeed::as_rpm),
    ))
}

fn head_end_power(playing: &Playing<'_>) -> Option<HeadEndPower> {
    chosen(playing, VoicePart::HeadEndPower)?.is.head_end_power.filter(|kind| *kind != HeadEndPower::None)
}

/// The choice that the memory holds for a part of the voice; none for silence and for numbers without a meaning.
fn chosen(playing: &Playing<'_>, part: VoicePart) -> Option<Choice> {
    let role = playing.sheet.role(RoleName::Voice(part))?;
    let value = content(playing.memory, &role)?;
    role.choices
        .into_iter()
        .find(|choice| choice.value.get() == u16::from(value))
        .filter(|choice| choice.is.present != Some(false))
}

/// The level of a part with that of all sounds; none for silence.
fn level(playing: &Playing<'_>, part: Option<VoicePart>) -> Option<Gain> {
    let of = |name: RoleName| match playing.sheet.role(name) {
        None => Gain::from_decibels(0.0),
        Some(role) => decibels(&role, content(playing.memory, &role)?),
    };
    let master = of(RoleName::MasterLevel)?;
    match part {
        None => Some(master),
        Some(part) => Some(master + of(RoleName::Level(part))?),
    }
}

fn content(memory: &Memory, role: &Role) -> Option<u8> {
    memory.get(role.place()).map(|content| role.bit_range().extract(content))
}

/// The level against full that a register holds, by the law of its sheet; none for silence.
fn decibels(role: &Role, value: u8) -> Option<Gain> {
    let Some(law) = &role.law else { return Gain::from_decibels(0.0) };
    match law.kind {
        LawKind::Amplitude | LawKind::Share => {
            (value > 0).then_some(Gain::of_amplitudes(f64::from(value), f64::from(law.full?.get())))
        }
        LawKind::Decibels => {
            Gain::from_decibels((f64::from(value) - f64::from(byte(law.zero?))) * law.step?.as_decibels())
        }
        LawKind::Seconds => Gain::from_decibels(0.0),
    }
}

#[cfg(test)]
mod tests;
