//! Recordings: the nearest one on board for each part of the voice.

use datasheets::{Choice, DecoderSheet, HeadEndPower, RoleName, Traits, VoicePart};
use finding::Path;
use workorder::Voice;

use crate::closeness::rank;
use crate::gap::Gap;
use crate::settle::{Audition, Settlement};
use crate::standard::byte;

pub(super) fn settle(voice: &Voice, sheet: &DecoderSheet, settlement: &mut Settlement) {
    if let Some(prime_mover) = &voice.prime_mover {
        part(VoicePart::Engine, "voice.prime-mover", &prime_mover.traits(), sheet, settlement);
    }
    if let Some(horn) = &voice.horn {
        part(VoicePart::Horn, "voice.horn", &horn.traits(), sheet, settlement);
    }
    if let Some(bell) = &voice.bell {
        part(VoicePart::Bell, "voice.bell", &bell.traits(), sheet, settlement);
    }
    if let Some(kind) = voice.head_end_power {
        head_end_power(kind, sheet, settlement);
    }
    if let Some(is_wanted) = voice.dynamic_brake {
        dynamic_brake(is_wanted, sheet, settlement);
    }
}

fn part(part: VoicePart, wish: &str, wanted: &Traits, sheet: &DecoderSheet, settlement: &mut Settlement) {
    let wish = Path::new(wish);
    let Some(role) = sheet.role(RoleName::Voice(part)) else {
        settlement.gaps.push(Gap::NoSound { wish, part, wanted: wanted.to_string() });
        return;
    };
    let ranked = rank(wanted, &role.choices);
    let Some(best) = ranked.first().filter(|best| best.closeness.is_same_kind()) else {
        settlement.gaps.push(Gap::NoSound { wish, part, wanted: wanted.to_string() });
        return;
    };
    if best.closeness.cost > 0 {
        settlement.gaps.push(Gap::NearestSound {
            wish: wish.clone(),
            part,
            wanted: wanted.to_string(),
            nearest: told(best.choice),
            differences: best.closeness.differences.clone(),
        });
    }
    let alike: Vec<Choice> = ranked
        .iter()
        .filter(|other| other.closeness.cost == best.closeness.cost)
        .map(|other| other.choice.clone())
        .collect();
    if alike.len() > 1 {
        settlement.auditions.push(Audition { wish: wish.clone(), part, choices: alike });
    }
    settlement.targets.want_role(
        &role,
        byte(best.choice.value),
        &wish,
        format!("{part}: {}", told(best.choice)),
    );
}

/// A recording in words, with its remark.
fn told(choice: &Choice) -> String {
    match &choice.note {
        Some(note) => format!("{} ({note})", choice.is),
        None => choice.is.to_string(),
    }
}

fn head_end_power(kind: HeadEndPower, sheet: &DecoderSheet, settlement: &mut Settlement) {
    let wish = Path::new("voice.head-end-power");
    let part = VoicePart::HeadEndPower;
    let found = sheet.role(RoleName::Voice(part)).and_then(|role| {
        let choice = role.choices.iter().find(|choice| choice.is.head_end_power == Some(kind)).cloned()?;
        Some((role, choice))
    });
    match found {
        Some((role, choice)) => {
            settlement.targets.want_role(&role, byte(choice.value), &wish, format!("head-end power: {kind}"));
        }
        // A decoder that knows nothing of head-end power supplies none: that wish is fulfilled.
        None if kind == HeadEndPower::None => {}
        None => settlement.gaps.push(Gap::NoSound { wish, part, wanted: format!("head-end power: {kind}") }),
    }
}

fn dynamic_brake(is_wanted: bool, sheet: &DecoderSheet, settlement: &mut Settlement) {
    let wish = Path::new("voice.dynamic-brake");
    let part = VoicePart::DynamicBrake;
    let found = sheet.role(RoleName::Voice(part)).and_then(|role| {
        let choice =
            role.choices.iter().find(|choice| (choice.is.present != Some(false)) == is_wanted).cloned()?;
        Some((role, choice))
    });
    match found {
        Some((role, choice)) => {
            let words = if is_wanted { "dynamic brake is heard" } else { "no dynamic brake" };
            settlement.targets.want_role(&role, byte(choice.value), &wish, words);
        }
        None if !is_wanted => {}
        None => settlement.gaps.push(Gap::NoSound { wish, part, wanted: "dynamic brake".to_owned() }),
    }
}
