//! Recordings: the nearest one on board for each part of the voice.

use datasheets::{Choice, DecoderSheet, HeadEndPower, RoleName, Traits, VoicePart};
use finding::Path;
use workorder::Voice;

use crate::closeness::{Ranked, rank};
use crate::gap::Gap;
use crate::settle::{Audition, Settlement};
use crate::standard::byte;

pub(super) fn settle(voice: &Voice, sheet: &DecoderSheet, settlement: &mut Settlement) {
    if let Some(prime_mover) = &voice.prime_mover {
        let wish = VoiceWish {
            path: "voice.prime-mover",
            traits: prime_mover.traits(),
            recording: prime_mover.recording.as_deref(),
        };
        part(VoicePart::Engine, &wish, sheet, settlement);
    }
    if let Some(horn) = &voice.horn {
        let wish =
            VoiceWish { path: "voice.horn", traits: horn.traits(), recording: horn.recording.as_deref() };
        part(VoicePart::Horn, &wish, sheet, settlement);
    }
    if let Some(bell) = &voice.bell {
        let wish =
            VoiceWish { path: "voice.bell", traits: bell.traits(), recording: bell.recording.as_deref() };
        part(VoicePart::Bell, &wish, sheet, settlement);
    }
    if let Some(kind) = voice.head_end_power {
        head_end_power(kind, sheet, settlement);
    }
    if let Some(is_wanted) = voice.dynamic_brake {
        dynamic_brake(is_wanted, sheet, settlement);
    }
}

/// A wish for one part of the voice.
struct VoiceWish<'a> {
    path: &'static str,
    traits: Traits,
    /// The recording that an audition chose.
    recording: Option<&'a str>,
}

fn part(part: VoicePart, voice_wish: &VoiceWish<'_>, sheet: &DecoderSheet, settlement: &mut Settlement) {
    let (wish, wanted) = (Path::new(voice_wish.path), &voice_wish.traits);
    let Some(role) = sheet.role(RoleName::Voice(part)) else {
        settlement.gaps.push(Gap::NoSound { wish, part, wanted: wanted.to_string() });
        return;
    };
    let ranked = rank(wanted, &role.choices);
    let Some(nearest) = ranked.first().filter(|nearest| nearest.closeness.is_same_kind()) else {
        settlement.gaps.push(Gap::NoSound { wish, part, wanted: wanted.to_string() });
        return;
    };
    let alike: Vec<&Ranked<'_>> =
        ranked.iter().filter(|other| other.closeness.cost == nearest.closeness.cost).collect();
    let chosen = voice_wish.recording.and_then(|recording| {
        alike.iter().copied().find(|one| one.choice.note.as_deref() == Some(recording))
    });
    if let (Some(recording), None) = (voice_wish.recording, chosen) {
        settlement.gaps.push(Gap::NoSound {
            wish: wish.join("recording"),
            part,
            wanted: format!("{wanted} ({recording})"),
        });
    }
    if nearest.closeness.cost > 0 {
        settlement.gaps.push(Gap::NearestSound {
            wish: wish.clone(),
            part,
            wanted: wanted.to_string(),
            nearest: told(nearest.choice),
            differences: nearest.closeness.differences.clone(),
        });
    }
    if alike.len() > 1 && chosen.is_none() {
        let choices: Vec<Choice> = alike.iter().map(|one| one.choice.clone()).collect();
        settlement.auditions.push(Audition { wish: wish.clone(), part, choices });
    }
    let settled = chosen.unwrap_or(nearest).choice;
    settlement.targets.want_role(&role, byte(settled.value), &wish, format!("{part}: {}", told(settled)));
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
