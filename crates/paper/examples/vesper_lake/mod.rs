//! A card of the Vesper Lake scenario; all of it is invented, also what looks measured.
//!
//! Every text goes through a function, so that the tests can put hostile text into every field of the same card.

mod drawings;
mod list;

use finding::{Finding, Path, Severity};
use paper::{
    Card, CardFinding, Care, Caution, ColdChecks, Head, Key, KeyDeed, Labelled, MeterRow, Proof, Settings,
    TrainPlace, TrainUnit, Trial, TrialResult, WireChange, WireRow, WrongReading,
};

/// Turns a text of the sample into the text of the card.
pub(crate) type Words<'a> = &'a dyn Fn(&str) -> String;

/// The card with every section filled.
pub(crate) fn sample(words: Words) -> Card {
    Card {
        head: head(words),
        findings: findings(words),
        cold_checks: cold_checks(words),
        settings: Settings { meanings: list::meanings(words), list: list::list(words) },
        keys: keys(words),
        train: Some(train(words)),
        proof: Some(proof(words)),
        care: care(words),
        sources: [
            "NMRA S-9.2.2 and RCN-225: configuration variables",
            "NMRA S-9.2.3 and RCN-216: service mode on the programming track",
            "IEC 60268-5 clause 16.1: readings of loudspeakers with the meter",
            "part sheets of the scenario: demo-21-sound, oval-18x13, ka-2200 (invented)",
        ]
        .map(words)
        .to_vec(),
    }
}

fn labelled(words: Words, pairs: &[(&str, &str)]) -> Vec<Labelled> {
    pairs.iter().map(|(label, text)| Labelled::new(words(label), words(text))).collect()
}

fn head(words: Words) -> Head {
    Head {
        order: words("V-0031"),
        model: words("Vesper Lake class 40 railcar, front car"),
        scale: words("HO"),
        client: words("Lakeside club"),
        prototype: words("Vesper Lake Railway class 40, as running the night mail in 1962"),
        wanted: words("sound, working end-of-train lamps, run with V-0032"),
        decoder: words("demo-21-sound, 21-pin plug (NEM 660)"),
        address: words("4031"),
        address_form: words("long address"),
        dates: labelled(
            words,
            &[("received", "2026-11-02"), ("proven", "2026-11-21"), ("handed over", "2026-11-23")],
        ),
        parts: labelled(
            words,
            &[
                ("speakers", "A and B, oval-18x13 in series, each in its box"),
                ("keep-alive", "ka-2200, 2200 µF, 25 V"),
                ("lamps", "headlight, tail and end-of-train, 2.2 and 2.7 kohm in series"),
            ],
        ),
        is_invented: true,
    }
}

fn findings(words: Words) -> Vec<CardFinding> {
    let stop = Finding::new(
        "motor-not-isolated",
        Severity::Stop,
        words("motor to frame was read with the decoder plugged in: 14 kohm says nothing"),
    )
    .at(Path::new("survey.motor-to-frame"))
    .because(words("a meter reads the decoder's output stage beside the wiring"))
    .remedy(words("unplug the decoder and read both brushes to the frame again; OL is right"))
    .source("common practice");
    let rework = Finding::new(
        "bass-below-speaker",
        Severity::Rework,
        words("the engine recording goes down to 90 Hz; the speakers in their boxes begin at 420 Hz"),
    )
    .at(Path::new("survey.speaker.A.enclosure"))
    .because(words("below the resonance of the box the level falls by 12 dB per octave"))
    .remedy(words("cut the lowest band in the decoder, or take the 28 mm speaker with its box"))
    .source("closed-box response, second order");
    let open =
        Finding::new("stall-current-cold", Severity::Open, words("stall current was measured cold only"))
            .at(Path::new("survey.stall-current"))
            .remedy(words("measure again after ten minutes of running, wheels held for a second"))
            .source("common practice");
    let note = Finding::new(
        "momentum-key",
        Severity::Note,
        words("a throttle's momentum key can overwrite CV 3 and CV 4"),
    )
    .remedy(words("write 16 and 11 back when the model starts too quickly after a show"))
    .source("common practice");
    vec![
        CardFinding {
            finding: stop,
            overridden: Some(words("read again with the decoder out on 2026-11-05: OL on both brushes")),
        },
        rework.into(),
        open.into(),
        note.into(),
    ]
}

fn cold_checks(words: Words) -> ColdChecks {
    let row = |from: &str, to: &str, expected: &str, wrong: &[(&str, &str)], found: Option<&str>| MeterRow {
        from: words(from),
        to: words(to),
        expected: words(expected),
        wrong: wrong
            .iter()
            .map(|(reading, means)| WrongReading { reading: words(reading), means: words(means) })
            .collect(),
        found: found.map(words),
    };
    let wire = |from: &str, to: &str, change| WireRow { from: words(from), to: words(to), change };
    let rows = vec![
        row(
            "motor brush, grey",
            "frame",
            "OL",
            &[("below 1 kohm", "brush or filings touch the frame: no power before this is mended")],
            Some("OL"),
        ),
        row(
            "motor brush, orange",
            "frame",
            "OL",
            &[("below 1 kohm", "as above, the other brush")],
            Some("OL"),
        ),
        row(
            "motor brush, grey",
            "motor brush, orange",
            "22 to 26 ohm",
            &[("OL", "a brush does not touch or a wire is off"), ("near 0", "brushes bridged")],
            Some("24.1 ohm"),
        ),
        row(
            "pad S1",
            "pad S2",
            "13.5 to 14.9 ohm",
            &[
                ("about 3.6 ohm", "the speakers are still in parallel"),
                ("about 7 ohm", "one speaker is bridged or left out"),
                ("OL", "a joint is open"),
            ],
            None,
        ),
        row("pad S1", "frame", "OL", &[("any value", "a speaker lead touches metal")], None),
        row(
            "A black",
            "B red",
            "below 0.3 ohm",
            &[("OL", "the new wire between the speakers is missing")],
            None,
        ),
        row(
            "left rail",
            "right rail",
            "OL",
            &[("below 10 kohm", "a wheel, wire or filing bridges the rails")],
            None,
        ),
    ];
    let wires = vec![
        wire("B black", "pad S1", WireChange::TakenOff),
        wire("A black", "pad S2", WireChange::TakenOff),
        wire("B red", "pad S2", WireChange::TakenOff),
        wire("A black", "B red", WireChange::PutOn),
        wire("B black", "pad S2", WireChange::PutOn),
        wire("A red", "pad S1", WireChange::Stays),
    ];
    ColdChecks { rows, wiring: drawings::wiring(words), wires }
}

fn keys(words: Words) -> Vec<Key> {
    let key = |number, deeds: &[&str], note: Option<&str>| Key {
        number,
        // The glyph is chosen by the trade's words; the text beside it is whatever the card shall say.
        deeds: deeds.iter().map(|deed| KeyDeed { words: words(deed), ..KeyDeed::new(*deed) }).collect(),
        note: note.map(words),
    };
    vec![
        key(0, &["headlight", "rear light"], None),
        key(1, &["bell"], None),
        key(2, &["horn"], Some("hold")),
        key(3, &["end-of-train lamps"], None),
        key(4, &["cab lamp"], Some("standing only")),
        key(5, &["engine"], None),
        key(6, &["shunting"], None),
        key(7, &["brake squeal"], None),
        key(8, &["mute"], None),
        key(9, &["compressor"], None),
        key(10, &["coupler"], Some("hold")),
        key(12, &["dim headlight"], None),
    ]
}

fn train(words: Words) -> TrainPlace {
    TrainPlace {
        title: words("class 40 railcar set"),
        consist_address: words("40"),
        units: vec![
            TrainUnit {
                order: words("V-0031"),
                model: words("class 40 railcar, front car"),
                address: words("4031"),
                is_reversed: false,
                is_this: true,
                duties: vec![words("horn and bell"), words("headlight when leading")],
            },
            TrainUnit {
                order: words("V-0032"),
                model: words("class 40 railcar, rear car"),
                address: words("4032"),
                is_reversed: true,
                is_this: false,
                duties: vec![words("coach lamps")],
            },
        ],
        notes: vec![words("Taken out of the set, the car needs CV 19 = 0, or it answers to 40 only.")],
    }
}

fn proof(words: Words) -> Proof {
    let trial = |what: &str, result, remark: &str| Trial { what: words(what), result, remark: words(remark) };
    Proof {
        when: words("2026-11-21, 19:40"),
        link: words("virtual bench, programming track, direct mode"),
        rail_time: Some(words("6 min 12 s for 24 writes and 112 reads")),
        interrupted: vec![words(
            "The run of 2026-11-21, 19:12 ended after CV 49 when the track was switched off. It was taken up again at \
             19:31, read what it had written, and went on at CV 50.",
        )],
        snapshot: Some(words("snapshot 3 of V-0031, 2026-11-21, 19:46")),
        compared: Some(words("2026-11-21, 19:47")),
        trials: vec![
            trial("forward and reverse", TrialResult::Passed, "creeps at step 1, 128 steps"),
            trial("every key", TrialResult::Passed, "F7 is quiet at walking speed, as wished"),
            trial("both speakers by ear", TrialResult::Passed, "covering one makes it softer"),
            trial(
                "warm run with the shell on",
                TrialResult::Failed,
                "stopped after 11 minutes, ran again cold",
            ),
            trial("tightest curve", TrialResult::NotDone, "the client's curve was not at hand"),
        ],
        figures: vec![drawings::response(words)],
    }
}

fn care(words: Words) -> Care {
    Care {
        notes: labelled(
            words,
            &[
                (
                    "opening",
                    "two screws under the front truck, then lift the shell at the rear; mind the headlight lead",
                ),
                ("in the box", "blanking plug, two spare tail lamps, four shell screws"),
                ("guarantee", "one year on the work; settings are restored free of charge from this card"),
            ],
        ),
        cautions: vec![
            Caution::KeepAlive,
            Caution::HotDecoder,
            Caution::LoudTests,
            Caution::Magnets,
            Caution::SmallParts,
            Caution::Soldering,
            Caution::LiveRails,
        ],
    }
}
