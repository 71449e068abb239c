//! The demo's truths: they read, belong to work orders, and can be programmed unless the point is that they cannot.

use std::collections::BTreeSet;

use bench::{Locomotive, read_truth};
use workorder::read_order;

use crate::hand::{Hand, shelf, toml_files};

#[test]
fn every_order_of_the_demo_has_a_truth_that_agrees_with_its_plan() {
    let shelf = shelf();
    let truths = toml_files("demo/bench");
    let orders = toml_files("demo/orders");
    let names = |files: &[(String, String)]| -> BTreeSet<String> {
        files.iter().map(|(name, _)| name.clone()).collect()
    };
    assert_eq!(names(&truths), names(&orders));
    for ((name, truth), (_, order)) in truths.iter().zip(&orders) {
        let truth = read_truth(name, truth, shelf).unwrap_or_else(|faults| panic!("{faults}")).value;
        let order = read_order(name, order, shelf).unwrap_or_else(|faults| panic!("{faults}")).value;
        assert_eq!(truth.truth.order.as_ref().unwrap(), &order.order.number);
        assert_eq!(truth.truth.invented, Some(true), "{name}");
        let plan = order.plan.as_ref().unwrap();
        assert_eq!(Some(&truth.decoder.part), plan.decoder.as_ref(), "{name}");
        let lamps = |names: Vec<&documents::Name>| names.into_iter().cloned().collect::<BTreeSet<_>>();
        assert_eq!(
            lamps(truth.lamp.iter().map(|lamp| &lamp.name).collect()),
            lamps(plan.lamp.iter().map(|lamp| &lamp.name).collect()),
            "{name}"
        );
        assert_eq!(
            lamps(truth.speaker.iter().map(|speaker| &speaker.name).collect()),
            lamps(order.planned_speakers().map(|(_, speaker)| &speaker.name).collect()),
            "{name}"
        );
    }
}

#[test]
fn every_locomotive_of_the_demo_can_be_programmed_but_the_shunter() {
    let shelf = shelf();
    for (name, text) in toml_files("demo/bench") {
        let truth = read_truth(&name, &text, shelf).unwrap().value;
        let sheet = &shelf.decoders[&truth.decoder.part];
        let maker = u8::try_from(sheet.decoder.manufacturer.get()).unwrap();
        let version = u8::try_from(sheet.decoder.version.get()).unwrap();
        for seed in 0..3 {
            let mut hand = Hand::on(Locomotive::new(&truth, shelf, seed).unwrap());
            if name == "V-0035" {
                hand.verify(8, maker);
                assert!(
                    hand.samples.iter().any(|sample| *sample > 1000.0),
                    "each pulse of the shunter is a short"
                );
                continue;
            }
            assert_eq!((hand.read(8), hand.read(7)), (Some(maker), Some(version)), "{name}, seed {seed}");
            assert!(hand.write(3, 21) && hand.verify(3, 21), "{name}, seed {seed}");
        }
    }
}

#[test]
fn every_fault_of_the_demo_reads() {
    let shelf = shelf();
    let faults = toml_files("demo/bench/faults");
    assert!(faults.len() >= 8);
    for (name, text) in faults {
        let truth = read_truth(&name, &text, shelf).unwrap_or_else(|faults| panic!("{faults}")).value;
        assert!(truth.truth.invented == Some(true) && truth.truth.order.is_none(), "{name}");
        assert!(Locomotive::new(&truth, shelf, 0).is_ok(), "{name}");
    }
}

#[test]
fn a_truth_that_leads_nowhere_is_refused() {
    let refused = |more: &str, message: &str| {
        let text = format!("truth.title = \"x\"\ndecoder.part = \"demo-21-sound\"\n{more}");
        let faults = read_truth("t.toml", &text, shelf()).unwrap_err().to_string();
        assert!(faults.contains(message), "{faults}");
    };
    refused("second.part = \"standart\"", "did you mean `standard`?");
    refused("[cv]\nCV1000 = 1", "the decoder has no CV1000");
    refused("[[page]]\nhigh = 16\nlow = 0\ncv = { CV257 = 1 }", "the decoder has no CV257 (page 16/0)");
    refused("[[page]]\nhigh = 16\nlow = 0\ncv = { CV20 = 1 }", "CV20 is not seen through a page");
    refused(
        "[[contact]]\nfrom = \"motor.1\"\nto = \"fram\"\nresistance = \"1 ohm\"",
        "`fram` is not a terminal",
    );
    refused("[[wire]]\nfrom = \"A.red\"\nto = \"frame\"", "nothing here has a terminal `A.red`");
    refused("[[speaker]]\nname = \"motor\"\nresistance = \"7 ohm\"", "is a terminal of the model itself");
    refused("[[speaker]]\nname = \"A\"\n", "nothing tells the resistance of speaker A");
    refused("[[speaker]]\nname = \"A\"\nresistance = \"7 ohm\"\nterminals = [\"red\"]", "has 1 leads");
    refused(
        "[[lamp]]\nname = \"h\"\npart = \"led-warm\"\noutput = \"frnt\"",
        "the decoder has no output `frnt`",
    );
    refused("pickup.wrong-half-bits = \"101 %\"", "101 % of the half bits cannot be wrong");
    refused("keep-alive = { part = \"ka-2200\", masks = \"-1 %\" }", "cannot deliver -1 %");
    refused("keep-alive.part = \"ka-2201\"", "did you mean `ka-2200`?");
}
