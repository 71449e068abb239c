//! Levels: decibels against the engine at idle, turned into registers by each register's law.
//!
//! The loudest wish is put at the register's full level and all others below it, so that none is cut off and the ratio
//! between them stays as wished; how loud it is in the room is the master level's business.

use datasheets::{DecoderSheet, Law, LawKind, Role, RoleName, VoicePart};
use finding::Path;
use quantities::Gain;
use workorder::Levels;

use crate::gap::Gap;
use crate::settle::Settlement;
use crate::standard::{byte, byte_of};

pub(super) fn settle(levels: &Levels, sheet: &DecoderSheet, settlement: &mut Settlement) {
    let wished = [
        (VoicePart::Engine, levels.engine),
        (VoicePart::Horn, levels.horn),
        (VoicePart::Bell, levels.bell),
        (VoicePart::HeadEndPower, levels.head_end_power),
        (VoicePart::DynamicBrake, levels.dynamic_brake),
    ];
    let loudest =
        wished.iter().filter_map(|(_, gain)| gain.map(Gain::as_decibels)).fold(f64::NEG_INFINITY, f64::max);
    for (part, gain) in wished {
        let Some(gain) = gain else { continue };
        let wish = Path::new(format!("levels.{part}"));
        let below_full = gain.as_decibels() - loudest;
        let words = format!("{part} at {gain} against the engine at idle");
        register(RoleName::Level(part), &wish, below_full, words, sheet, settlement);
    }
    if let Some(gain) = levels.master {
        let words = format!("master level {gain} below full");
        register(
            RoleName::MasterLevel,
            &Path::new("levels.master"),
            gain.as_decibels(),
            words.replace('-', ""),
            sheet,
            settlement,
        );
    }
}

fn register(
    name: RoleName,
    wish: &Path,
    decibels: f64,
    words: String,
    sheet: &DecoderSheet,
    settlement: &mut Settlement,
) {
    let role = sheet.role(name);
    let Some((role, law)) = role.as_ref().and_then(|role| Some((role, role.law.as_ref()?))) else {
        settlement.gaps.push(Gap::NoCv { wish: wish.clone(), what: words, place: None });
        return;
    };
    let Some(number) = number_for(law, decibels) else { return };
    let (least, most) = role.limits();
    let (value, _) = byte_of(number.round());
    let kept = value.clamp(least, most);
    if kept != value || number.round() > f64::from(most) || number.round() < f64::from(least) {
        let nearest =
            decibels_of(role, kept).map_or_else(|| "off".to_owned(), |gain| format!("{gain} against full"));
        settlement.gaps.push(Gap::BeyondLimit { wish: wish.clone(), wanted: words.clone(), nearest });
    }
    settlement.targets.want_role(role, kept, wish, words);
}

/// The register number for a level against full; none for laws that do not tell levels.
fn number_for(law: &Law, decibels: f64) -> Option<f64> {
    match law.kind {
        LawKind::Amplitude => Some(f64::from(law.full?.get()) * 10f64.powf(decibels / 20.0)),
        LawKind::Decibels => Some(f64::from(byte(law.zero?)) + decibels / law.step?.as_decibels()),
        LawKind::Share | LawKind::Seconds => None,
    }
}

/// The level against full that a register number stands for; none for silence.
fn decibels_of(role: &Role, value: u8) -> Option<Gain> {
    let law = role.law.as_ref()?;
    match law.kind {
        LawKind::Amplitude if value > 0 => {
            Some(Gain::of_amplitudes(f64::from(value), f64::from(law.full?.get())))
        }
        LawKind::Decibels => {
            Gain::from_decibels((f64::from(value) - f64::from(byte(law.zero?))) * law.step?.as_decibels())
        }
        _ => None,
    }
}
