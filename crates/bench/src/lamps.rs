//! Lamps: which of them light, how, and what they draw.
//!
//! What it is: the lamps of the truth on the outputs of the decoder, with the effect and brightness that its memory holds.
//! What it is not: the single flashes of an effect; a person sees that a lamp flashes, and so does an observation.
//!
//! Source: Ohm's law with the rated voltage and current of the lamp's sheet; NEM 660 for logic-level outputs (reference text
//! on practice, rows 57 and 59); that a lamp with more than half as much again as its rated voltage burns out is ours.

use datasheets::{
    DecoderSheet, Deed, LampEffect, LampKind, LampSheet, LawKind, OutputKind, Role, RoleName, Shelf,
};
use documents::Name;
use quantities::Percent;

use crate::decoder::Decoder;
use crate::functions::{FRONT, REAR};
use crate::memory::Memory;
use crate::supply::INNER_VOLTS;
use crate::truth::{TrueLamp, Truth};

/// Voltage against the rated one at which a lamp burns out, and current against the rated one of an LED: ours.
const BURNS_OUT: f64 = 1.5;
/// Brightness of a headlight dimmed by its key, in hundredths: ours.
const DIMMED_PERCENT: f64 = 40.0;

/// A function output as it is.
#[derive(Debug, Clone, PartialEq)]
pub struct OutputSeen {
    /// Its number in the standard's matrix.
    pub number: u16,
    /// Its name on the sheet.
    pub name: Name,
    /// Whether it is on.
    pub is_on: bool,
    /// How it behaves while it is on.
    pub effect: LampEffect,
    /// How bright a lamp on it is.
    pub brightness: Percent,
}

/// A lamp as a person sees it.
#[derive(Debug, Clone, PartialEq)]
pub struct LampSeen {
    /// Its name.
    pub name: Name,
    /// Whether it lights.
    pub is_lit: bool,
    /// How it behaves while it is lit.
    pub effect: LampEffect,
    /// How bright it is while it is lit, against its brightness on a full output.
    pub brightness: Percent,
}

/// A lamp that can light.
#[derive(Debug, Clone)]
pub(crate) struct Lamp {
    name: Name,
    output: Option<u16>,
    /// What it draws on a full output, in milliamperes; none where it never lights.
    milliamperes: Option<f64>,
}

/// The lamps of a truth.
pub(crate) fn lamps(truth: &Truth, sheet: &DecoderSheet, shelf: &Shelf) -> Vec<Lamp> {
    let lamp = |lamp: &TrueLamp| {
        let output =
            lamp.output.as_ref().and_then(|name| sheet.output.iter().find(|output| output.name == *name));
        let is_driven = output.is_some_and(|output| match output.kind {
            OutputKind::Amplified => true,
            OutputKind::Logic => lamp.driver == Some(true),
            OutputKind::Internal => false,
        });
        let current = shelf.lamps.get(&lamp.part).and_then(|sheet| milliamperes(lamp, sheet));
        Lamp {
            name: lamp.name.clone(),
            output: output.map(|output| output.number.get()),
            milliamperes: current.filter(|_| is_driven && lamp.dead != Some(true)),
        }
    };
    truth.lamp.iter().map(lamp).collect()
}

/// What a lamp draws between the common plus and an output; none where it burns out at once.
fn milliamperes(lamp: &TrueLamp, sheet: &LampSheet) -> Option<f64> {
    let ohms = [lamp.resistor, sheet.lamp.built_in_resistor].into_iter().flatten().map(|one| one.as_ohms());
    let in_series: f64 = ohms.sum();
    let (volts, amperes) = (sheet.lamp.voltage.as_volts(), sheet.lamp.current.as_amperes());
    let drawn = match sheet.lamp.kind {
        LampKind::Led => (INNER_VOLTS - volts).max(0.0) / in_series,
        LampKind::Bulb => INNER_VOLTS / (in_series + volts / amperes),
    };
    (drawn < amperes * BURNS_OUT).then_some(drawn * 1000.0)
}

/// All outputs of a decoder.
pub(crate) fn outputs_seen(decoder: &Decoder) -> Vec<OutputSeen> {
    let on = decoder.outputs_on();
    let dims = decoder.does(Deed::DimHeadlight);
    let seen = |output: &datasheets::Output| {
        let number = output.number.get();
        OutputSeen {
            number,
            name: output.name.clone(),
            is_on: on.contains(&number),
            effect: effect(number, decoder.sheet(), decoder.memory()),
            brightness: brightness(number, dims, decoder.sheet(), decoder.memory()),
        }
    };
    decoder.sheet().output.iter().map(seen).collect()
}

/// The lamps as a person sees them.
pub(crate) fn lamps_seen(lamps: &[Lamp], outputs: &[OutputSeen]) -> Vec<LampSeen> {
    let seen = |lamp: &Lamp| {
        let output = outputs.iter().find(|output| Some(output.number) == lamp.output);
        LampSeen {
            name: lamp.name.clone(),
            is_lit: lamp.milliamperes.is_some()
                && output.is_some_and(|output| output.is_on && output.brightness.as_percent() > 0.0),
            effect: output.map_or(LampEffect::Steady, |output| output.effect),
            brightness: output.map_or_else(|| share(0.0), |output| output.brightness),
        }
    };
    lamps.iter().map(seen).collect()
}

/// What the lamps draw, in milliamperes.
pub(crate) fn load(lamps: &[Lamp], decoder: &Decoder) -> f64 {
    let on = decoder.outputs_on();
    let dims = decoder.does(Deed::DimHeadlight);
    let drawn = lamps.iter().filter_map(|lamp| {
        let number = lamp.output.filter(|number| on.contains(number))?;
        let share = brightness(number, dims, decoder.sheet(), decoder.memory()).as_percent() / 100.0;
        Some(lamp.milliamperes? * share)
    });
    drawn.sum()
}

fn effect(output: u16, sheet: &DecoderSheet, memory: &Memory) -> LampEffect {
    let name = u8::try_from(output).ok().map(RoleName::OutputEffect);
    let chosen = name.and_then(|name| sheet.role(name)).and_then(|role| {
        let value = u16::from(content(&role, memory)?);
        role.choices.iter().find(|choice| choice.value.get() == value)?.is.effect
    });
    chosen.unwrap_or(LampEffect::Steady)
}

fn brightness(output: u16, dims: bool, sheet: &DecoderSheet, memory: &Memory) -> Percent {
    let name = u8::try_from(output).ok().map(RoleName::OutputBrightness);
    let told = name.and_then(|name| sheet.role(name)).and_then(|role| {
        let full = role.law.as_ref().filter(|law| law.kind == LawKind::Share)?.full?;
        Some(f64::from(content(&role, memory)?) / f64::from(full.get()) * 100.0)
    });
    let set = told.unwrap_or(100.0);
    share(if dims && matches!(output, FRONT | REAR) { set * DIMMED_PERCENT / 100.0 } else { set })
}

fn content(role: &Role, memory: &Memory) -> Option<u8> {
    memory.get(role.place()).map(|content| role.bit_range().extract(content))
}

fn share(percent: f64) -> Percent {
    // A share of two bytes lies far within the range of the type; zero is in it whatever happens.
    Percent::from_percent(percent)
        .or_else(|| Percent::from_percent(0.0))
        .unwrap_or_else(|| unreachable!("0 % exists"))
}
