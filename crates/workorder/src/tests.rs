//! Orders as people write them, and what is wrong with them.

use datasheets::Shelf;
use documents::Name;
use proptest::prelude::*;

use crate::{Terminal, WaitsFor, WorkStage, read_dossier, read_order, read_train};

const HEAD: &str = "[order]\nnumber = \"V-1\"\nmodel = \"railcar\"\nscale = \"HO\"\n";

#[track_caller]
fn refused(more: &str, message: &str) {
    let faults = read_order("o.toml", &format!("{HEAD}{more}"), &Shelf::standard()).unwrap_err().to_string();
    assert!(faults.contains(message), "{faults}");
}

#[test]
fn a_small_order_is_read() {
    let text = format!(
        "{HEAD}[survey]\nsocket = \"21MTC\"\nmotor-to-frame = \"> 1 Mohm\"\n[[survey.speaker]]\nname = \"A\"\nimpedance = \"8 ohm\"\n\
         rating = \"0.5 W\"\nterminals = [\"red\", \"black\"]\n[[survey.pad]]\nname = \"S1\"\nsignal = \"loudspeaker A\"\n\
         [[survey.wire]]\nfrom = \"A.red\"\nto = \"board.S1\"\n[plan]\ndecoder = \"standard\"\n[keys]\nF0 = \"headlight\"\nF2 = [\"horn\", \"bell\"]\n"
    );
    let document =
        read_order("o.toml", &text, &Shelf::standard()).unwrap_or_else(|faults| panic!("{faults}"));
    assert_eq!(document.value.planned_speakers().count(), 1);
    assert_eq!(document.position(&finding::Path::new("survey.wire.1.to")).line, 18);
}

#[test]
fn references_that_lead_nowhere() {
    refused("[plan]\ndecoder = \"standart\"", "o.toml:6:1: there is no decoder sheet `standart`");
    refused("[survey]\nsocket = \"NEM66\"", "did you mean `NEM660`?");
    refused("[[survey.wire]]\nfrom = \"A.red\"\nto = \"frame\"", "nothing here has a terminal `A.red`");
    refused("[plan]\nremove = [\"B\"]", "the survey has no speaker `B`");
    refused(
        "[plan]\ndecoder = \"standard\"\n[[plan.lamp]]\nname = \"h\"\ndoes = \"headlight\"\noutput = \"frnt\"",
        "the decoder has no output `frnt`",
    );
}

#[test]
fn facts_that_contradict_each_other() {
    refused("[address]\nform = \"short\"\nnumber = 128", "128 is no short address");
    refused("[manners]\nspeed-table = [1, 2, 3]", "the speed table has 3 entries");
    refused("[[survey.speaker]]\nname = \"A\"\n", "nothing tells what speaker A is");
    refused(
        "[[survey.component]]\nname = \"C1\"\nkind = \"capacitor\"\n[[plan.component]]\nname = \"C1\"\nkind = \"resistor\"\nresistance = \"1 ohm\"",
        "there are two speakers or components named `C1`",
    );
    refused("[[override]]\nrule = \"x\"\nreason = \" \"", "an override without a reason");
    refused(
        "[[survey.lamp]]\nname = \"l\"\nkind = \"bulb\"\nvoltage = \"12 V\"\ncurrent = \"0 A\"",
        "a lamp needs a voltage and a current above zero",
    );
    refused("[plan]\ntrack-voltage = \"-15 V\"", "-15 V between the rails");
    refused(
        "[[survey.speaker]]\nname = \"motor\"\nimpedance = \"8 ohm\"\nrating = \"1 W\"",
        "`motor` means something else in wires",
    );
    refused(
        "[[survey.speaker]]\nname = \"A\"\nimpedance = \"0 ohm\"\nrating = \"0 W\"",
        "no speaker has 0 ohm",
    );
    refused(
        "[[plan.component]]\nname = \"C1\"\nkind = \"capacitor\"\ncapacitance = \"0 F\"",
        "a capacitor of nothing",
    );
    refused("[keys]\nF69 = \"horn\"", "`F69` is not a key of keys");
    refused("[keys]\nF2 = \"hron\"", "did you mean \"horn\"?");
}

#[test]
fn trains_name_orders_at_hand() {
    let orders = [Name::new("V-0033").unwrap(), Name::new("V-0034").unwrap()];
    let text = "[train]\nname = \"night-mail\"\nconsist-address = 40\n[[unit]]\norder = \"V-0033\"\ndirection = \"forward\"\n[[unit]]\norder = \"V-0035\"\ndirection = \"reversed\"\n";
    let faults = read_train("t.toml", text, &orders).unwrap_err().to_string();
    assert!(faults.starts_with("t.toml:8:1: there is no work order `V-0035`"), "{faults}");
    assert!(read_train("t.toml", &text.replace("V-0035", "V-0034"), &orders).is_ok());
    assert!(
        read_train("t.toml", "[train]\nname = \"x\"\nconsist-address = 1\n", &orders)
            .unwrap_err()
            .to_string()
            .contains("no units")
    );
}

#[test]
fn ten_thousand_wires_in_a_ring_are_read() {
    let mut text = format!("{HEAD}[survey]\n");
    for pad in 0..100 {
        text += &format!("[[survey.pad]]\nname = \"P{pad}\"\nsignal = \"free\"\n");
    }
    for wire in 0..10_000 {
        text += &format!(
            "[[survey.wire]]\nfrom = \"board.P{}\"\nto = \"board.P{}\"\n",
            wire % 100,
            (wire + 1) % 100
        );
    }
    let document =
        read_order("o.toml", &text, &Shelf::standard()).unwrap_or_else(|faults| panic!("{faults}"));
    assert_eq!(document.value.survey.unwrap().wire.len(), 10_000);
}

proptest! {
    #[test]
    fn terminals_print_and_read_back(text in "[a-z]{1,6}(\\.[a-zA-Z0-9]{1,5})?") {
        if let Ok(terminal) = text.parse::<Terminal>() {
            prop_assert_eq!(terminal.to_string(), text);
        }
    }

    #[test]
    fn any_order_text_is_read_or_refused(more in "[a-z0-9=\"\\[\\]{}., \n-]{0,120}") {
        if let Err(faults) = read_order("o", &format!("{HEAD}{more}"), &Shelf::standard()) {
            prop_assert!(!faults.list.is_empty());
        }
    }
}

#[test]
fn progress_is_said_in_words() {
    let text = format!(
        "{HEAD}[progress]\nwaits-for = \"the client\"\nwaits-because = \"which horn?\"\ndone = [\"intake\", \"cold checks\"]\n"
    );
    let document =
        read_order("o.toml", &text, &Shelf::standard()).unwrap_or_else(|faults| panic!("{faults}"));
    let progress = document.value.progress.unwrap();
    assert_eq!(progress.waits_for, Some(WaitsFor::Client));
    assert_eq!(progress.done, [WorkStage::Intake, WorkStage::ColdChecks]);
    refused("[progress]\ndone = [\"handed over\"]", "`handed over` is not a stage of the work");
}

#[test]
fn a_dossier_is_checked_as_a_survey_is() {
    let head = "[dossier]\nname = \"railcar\"\nmodel = \"railcar\"\nscale = \"HO\"\n\
        [opening]\nstep = [\"two screws under the couplings\"]\n";
    let read = |more: &str| read_dossier("d.toml", &format!("{head}{more}"), &Shelf::standard());
    let whole =
        read("[survey]\nsocket = \"NEM660\"\n[[lesson]]\ntext = \"the light bar snaps\"\norder = \"V-1\"\n");
    assert_eq!(whole.unwrap_or_else(|faults| panic!("{faults}")).value.lesson[0].text, "the light bar snaps");
    let faults = read("[survey]\nsocket = \"NEM66\"\n").unwrap_err().to_string();
    assert!(faults.contains("did you mean `NEM660`?"), "{faults}");
    let faults = read("[[survey.speaker]]\nname = \"A\"\n").unwrap_err().to_string();
    assert!(faults.contains("nothing tells what speaker A is"), "{faults}");
}
