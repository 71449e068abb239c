//! Settings of the sample, by meaning and by CV.

use paper::{BitRange, CvContent, CvPlace, CvRow, Proven, Setting, Topic};

use super::Words;

fn whole(cv: u16, value: u8) -> CvContent {
    CvContent { place: CvPlace::plain(cv), bits: None, value }
}

fn part(cv: u16, lowest: u8, highest: u8, value: u8) -> CvContent {
    CvContent { place: CvPlace::plain(cv), bits: Some(BitRange { lowest, highest }), value }
}

/// Settings by meaning.
pub(super) fn meanings(words: Words) -> Vec<Setting> {
    let set = |topic, what: &str, to: &str, cvs: &[CvContent]| Setting {
        topic,
        what: words(what),
        to: words(to),
        cvs: cvs.to_vec(),
    };
    vec![
        set(
            Topic::Address,
            "own address",
            "4031, long",
            &[whole(17, 207), whole(18, 191), part(29, 5, 5, 1)],
        ),
        set(Topic::Address, "in the train", "consist address 40, facing forward", &[whole(19, 40)]),
        set(Topic::Address, "owner's mark", "31", &[whole(105, 31)]),
        set(Topic::Motion, "speed steps", "28 and 128", &[part(29, 1, 1, 1)]),
        set(Topic::Motion, "plain DC", "does not run", &[part(29, 2, 2, 0)]),
        set(Topic::Motion, "acceleration", "14 s to full speed", &[whole(3, 16)]),
        set(Topic::Motion, "deceleration", "10 s to a stop", &[whole(4, 11)]),
        set(Topic::Motion, "start level", "2 % of full voltage", &[whole(2, 5)]),
        set(Topic::Voice, "engine", "twelve-cylinder four-stroke with turbo", &[part(123, 0, 3, 5)]),
        set(Topic::Voice, "horn", "two chimes", &[part(123, 4, 6, 1)]),
        set(Topic::Voice, "bell", "cast", &[part(124, 0, 1, 1)]),
        set(Topic::Voice, "head-end power", "none", &[part(124, 2, 3, 0)]),
        set(Topic::Levels, "master", "−4 dB", &[whole(128, 161)]),
        set(Topic::Levels, "horn", "+3 dB", &[whole(129, 255)]),
        set(Topic::Levels, "engine", "0 dB", &[whole(131, 181)]),
        set(Topic::Levels, "bell", "−3 dB", &[whole(130, 128)]),
        set(Topic::Lamps, "end-of-train", "flashing, 70 % bright", &[part(51, 0, 2, 4), part(55, 0, 4, 22)]),
        set(Topic::Lamps, "headlight", "steady, forward only", &[part(49, 0, 2, 0)]),
        set(Topic::Keys, "F0", "headlight, rear light", &[whole(33, 1), whole(34, 2)]),
        set(Topic::Keys, "F1", "bell", &[whole(35, 64)]),
        set(Topic::Keys, "F2", "horn", &[whole(36, 128)]),
        set(Topic::Keys, "F3", "end-of-train lamps", &[whole(37, 4)]),
        set(Topic::Keys, "F8", "mute", &[whole(42, 32)]),
    ]
}

/// The list by CV: what the scenario sets, the speed table, and some sounds behind a page.
pub(super) fn list(words: Words) -> Vec<CvRow> {
    let set: &[(u16, u8, u8, &str)] = &[
        (1, 3, 3, "short address, not used"),
        (2, 5, 4, "start level 2 %"),
        (3, 16, 6, "acceleration 14 s"),
        (4, 11, 4, "deceleration 10 s"),
        (5, 255, 255, "top speed, not reduced"),
        (6, 128, 128, "half speed at half throttle"),
        (7, 41, 41, "decoder version"),
        (8, 13, 13, "maker's number: do it yourself, public domain"),
        (10, 0, 0, "back-EMF never cut out"),
        (11, 6, 6, "stops 6 s after the last packet"),
        (17, 207, 192, "long address 4031, high part"),
        (18, 191, 3, "long address 4031, low part"),
        (19, 40, 0, "consist address 40, facing forward"),
        (21, 3, 0, "in the consist: F1 and F2 answer"),
        (22, 1, 0, "in the consist: headlight answers when forward"),
        (29, 34, 6, "long address; 28 or 128 steps; no plain DC"),
        (33, 1, 1, "F0 forward: front"),
        (34, 2, 2, "F0 reverse: rear"),
        (35, 64, 4, "F1: bell sound"),
        (36, 128, 8, "F2: horn sound"),
        (37, 4, 16, "F3: AUX1, end-of-train lamps"),
        (42, 32, 16, "F8: mute"),
        (49, 0, 0, "front: steady"),
        (50, 0, 0, "rear: steady"),
        (51, 4, 0, "AUX1: flashing"),
        (52, 0, 0, "AUX2: steady"),
        (55, 22, 31, "AUX1: 70 % bright"),
        (56, 31, 31, "AUX2: full brightness"),
    ];
    let tail: &[(u16, u8, u8, &str)] = &[
        (105, 31, 0, "owner's mark"),
        (106, 0, 0, "owner's second mark"),
        (123, 21, 0, "engine: twelve-cylinder four-stroke with turbo; horn: two chimes"),
        (124, 1, 129, "bell: cast; head-end power: none; dynamic brake: none"),
        (128, 161, 255, "master −4 dB"),
        (129, 255, 220, "horn +3 dB"),
        (130, 128, 160, "bell −3 dB"),
        (131, 181, 160, "engine 0 dB"),
        (132, 160, 160, "head-end power, not used"),
        (133, 140, 140, "dynamic brake, not used"),
    ];
    let row = |page, cv, value, previous, meaning: &str| CvRow {
        place: CvPlace { page, cv },
        value,
        meaning: words(meaning),
        previous,
        proof: match cv {
            22 => Proven::Differs(0),
            105 | 106 => Proven::Unread,
            _ => Proven::Same,
        },
    };
    let mut rows: Vec<CvRow> = set
        .iter()
        .map(|&(cv, value, previous, meaning)| row(None, cv, value, Some(previous), meaning))
        .collect();
    rows.extend((1..=28_u8).map(|entry| {
        let value = u8::try_from(u16::from(entry) * 255 / 28).unwrap_or(u8::MAX);
        row(None, 66 + u16::from(entry), value, Some(value), &format!("speed table, entry {entry} of 28"))
    }));
    rows.extend(
        tail.iter().map(|&(cv, value, previous, meaning)| row(None, cv, value, Some(previous), meaning)),
    );
    rows.extend((0..14_u8).map(|slot| {
        let cv = 257 + u16::from(slot);
        row(Some((16, 0)), cv, 40 + slot, None, &format!("level of sound slot {}, as delivered", slot + 1))
    }));
    rows
}
