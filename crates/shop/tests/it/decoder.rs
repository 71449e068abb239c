//! Runs on the virtual bench: programmed, compared, cancelled, brought back.

use std::time::Duration;

use finding::Path;
use shop::{DocumentKey, Happening, NewOrder, Pace, RunState, ShopError, StageState, Store, Task};
use workorder::{WaitsFor, WorkStage};

use crate::{TABLET, demo_shop, saved};

/// A small order of the demo: lamps only.
const ORDER: &str = "V-0032";

fn run(store: &Store, order: &str, task: Task) -> shop::RunView {
    let run = store.start_run(order, task, Pace::Unpaced, TABLET).unwrap();
    store.wait_for_run(run).unwrap()
}

fn truth(store: &Store, order: &str) -> String {
    store.document(&DocumentKey::new(shop::Kind::BenchTruth, order)).unwrap().text
}

#[test]
fn an_order_is_programmed_proven_and_brought_back() {
    let store = demo_shop();
    let before = truth(&store, ORDER);
    let heard = store.subscribe();
    let proven = run(&store, ORDER, Task::Program);
    assert_eq!(proven.state, RunState::Proven, "{proven:?}");
    assert_eq!(proven.n_taken_up, 0);
    let report = proven.report.unwrap();
    assert!(report.is_fulfilled());
    assert_ne!(truth(&store, ORDER), before, "the decoder holds it");

    let mut left = Vec::new();
    let mut states = Vec::new();
    while let Some(event) = heard.next_now().unwrap() {
        match event.what {
            Happening::RunProgress { order, progress, .. } => {
                assert_eq!(order, ORDER);
                left.push(progress.left);
            }
            Happening::RunChanged { state, .. } => states.push(state),
            _ => {}
        }
    }
    assert_eq!(states, [RunState::UnderWay, RunState::Proven]);
    assert!(left.len() > 20, "progress is told act by act: {}", left.len());
    assert!(left.iter().flatten().any(|left| *left > Duration::from_secs(1)), "{left:?}");
    assert_eq!(left.last(), Some(&Some(Duration::ZERO)));

    let order = store.order(ORDER).unwrap();
    assert_eq!(order.snapshots.len(), 2, "what was there before, and what was read back");
    let (after, before_run) = (&order.snapshots[0], &order.snapshots[1]);
    assert_eq!((before_run.decoder.as_str(), before_run.run), ("standard", Some(proven.id)));
    let differences = store.snapshot_differences(before_run.id, after.id).unwrap();
    assert!(!differences.is_empty());
    assert!(differences.iter().all(|difference| !difference.words.is_empty()), "{differences:?}");
    let words: Vec<&String> = differences.iter().flat_map(|difference| &difference.words).collect();
    assert!(words.iter().any(|words| words.starts_with("configuration: ")), "{words:?}");
    let snapshot = store.snapshot(after.id).unwrap();
    assert_eq!(snapshot.rows.len(), after.n_cvs);
    let stage = |stage| order.stages.iter().find(|view| view.stage == stage).unwrap().state;
    assert_eq!(stage(WorkStage::FirstContact), StageState::Done);
    assert_eq!(stage(WorkStage::VoiceAndManners), StageState::Done);

    let compared = run(&store, ORDER, Task::Prove);
    assert_eq!(compared.state, RunState::Proven);
    let undone = run(&store, ORDER, Task::Undo);
    assert_eq!(undone.state, RunState::Undone, "{undone:?}");
    let snapshots = store.snapshots(ORDER).unwrap();
    let same = store.snapshot_differences(before_run.id, snapshots[0].id).unwrap();
    assert!(same.is_empty(), "all is back as it was: {same:?}");
    let again = store.start_run(ORDER, Task::Undo, Pace::Unpaced, TABLET);
    assert!(matches!(again, Err(ShopError::NothingToBringBack { .. })), "{again:?}");
    assert!(store.proof(ORDER).unwrap().is_none(), "what was proven holds no longer");
    let compared = run(&store, ORDER, Task::Prove);
    assert_eq!(compared.state, RunState::NotProven, "it differs again, and nothing was written");
}

#[test]
fn a_proven_order_is_no_longer_so_once_a_wish_changes() {
    let store = demo_shop();
    run(&store, ORDER, Task::Program);
    store.tick_stage(ORDER, WorkStage::Trial, true, TABLET).unwrap();
    let waits = |store: &Store| store.order(ORDER).unwrap().waits;
    assert_eq!(waits(&store).for_what, WaitsFor::Client, "{}", waits(&store).because);
    let key = DocumentKey::order(ORDER);
    let at = store.document(&key).unwrap().revision;
    saved(store.edit(&key, &Path::new("address.number"), "4099", at, TABLET).unwrap());
    assert_ne!(waits(&store).for_what, WaitsFor::Client, "{}", waits(&store).because);
    let stages = store.order(ORDER).unwrap().stages;
    let voice = stages.iter().find(|view| view.stage == WorkStage::VoiceAndManners).unwrap();
    assert_ne!(voice.state, StageState::Done, "{}", voice.because);
    // The run is brought back by what the order said then, whatever it says now.
    assert_eq!(run(&store, ORDER, Task::Undo).state, RunState::Undone);
}

#[test]
fn one_run_at_a_time_and_cancelling_keeps_what_was_written() {
    let store = demo_shop();
    let heard = store.subscribe();
    let id = store.start_run(ORDER, Task::Program, Pace::AsOnRails, TABLET).unwrap();
    let second = store.start_run(ORDER, Task::Program, Pace::Unpaced, TABLET);
    assert!(matches!(second, Err(ShopError::RunUnderWay { .. })), "{second:?}");
    assert_eq!(store.run(id).unwrap().state, RunState::UnderWay);
    // Something has been read before it is stopped.
    while let Some(event) = heard.next() {
        if matches!(event.what, Happening::RunProgress { progress, .. } if progress.n_done > 0) {
            break;
        }
    }
    store.cancel_run(id, "laptop").unwrap();
    let view = store.wait_for_run(id).unwrap();
    assert_eq!(view.state, RunState::Cancelled);
    assert!(matches!(store.cancel_run(id, "laptop"), Err(ShopError::RunNotUnderWay { .. })));
    assert_eq!(run(&store, ORDER, Task::Program).state, RunState::Proven);
}

#[test]
fn a_run_that_is_stopped_is_taken_up_or_given_up() {
    let store = demo_shop();
    let begin = |store: &Store| {
        let heard = store.subscribe();
        let id = store.start_run(ORDER, Task::Program, Pace::AsOnRails, TABLET).unwrap();
        while let Some(event) = heard.next() {
            if matches!(event.what, Happening::RunProgress { progress, .. } if progress.n_done > 1) {
                break;
            }
        }
        store.stop_runs();
        id
    };
    let id = begin(&store);
    let cut_off = store.run(id).unwrap();
    assert!(matches!(cut_off.state, RunState::CutOff { .. }), "{cut_off:?}");
    assert_eq!(store.unfinished_runs().unwrap().len(), 1);
    let another = store.start_run(ORDER, Task::Program, Pace::Unpaced, TABLET);
    assert!(matches!(another, Err(ShopError::RunRecord(_))), "{another:?}");
    // The order may have changed in the meantime: the run goes on with what it began with.
    let key = DocumentKey::order(ORDER);
    let at = store.document(&key).unwrap().revision;
    saved(store.edit(&key, &Path::new("address.number"), "4099", at, TABLET).unwrap());
    store.take_up_run(id, Pace::Unpaced, TABLET).unwrap();
    let view = store.wait_for_run(id).unwrap();
    assert_eq!((view.state, view.n_taken_up), (RunState::Proven, 1));

    let id = begin(&store);
    store.give_up_run(id, TABLET).unwrap();
    assert_eq!(store.run(id).unwrap().state, RunState::GivenUp);
    assert_eq!(run(&store, ORDER, Task::Program).state, RunState::Proven);
    let over = store.take_up_run(id, Pace::Unpaced, TABLET);
    assert!(matches!(over, Err(ShopError::RunRecord(_))), "{over:?}");
}

#[test]
fn a_stop_holds_programming_until_it_is_set_aside() {
    let store = demo_shop();
    let held = store.start_run("V-0035", Task::Program, Pace::Unpaced, TABLET);
    let Err(ShopError::Held { stops, .. }) = held else { panic!("{held:?}") };
    for stop in stops {
        store.override_stop("V-0035", stop.rule, "measured again: the brush is insulated", TABLET).unwrap();
    }
    let id = store.start_run("V-0035", Task::Prove, Pace::Unpaced, TABLET).unwrap();
    store.wait_for_run(id).unwrap();
    assert_eq!(store.runs("V-0035").unwrap().len(), 1);
}

#[test]
fn a_silent_decoder_is_told_with_what_may_be_behind_it() {
    let store = demo_shop();
    let key = DocumentKey::new(shop::Kind::BenchTruth, ORDER);
    let view = store.document(&key).unwrap();
    let text = view.text.replace("[pickup]\n", "[pickup]\nopen = true\n");
    saved(store.replace_text(&key, &text, view.revision, TABLET).unwrap());
    let heard = store.subscribe();
    let cut_off = run(&store, ORDER, Task::Program);
    let RunState::CutOff { why, help } = &cut_off.state else { panic!("{cut_off:?}") };
    assert!(!why.is_empty() && !help.is_empty());
    assert!(!cut_off.suspects.is_empty());
    let mut states = Vec::new();
    while let Some(event) = heard.next_now().unwrap() {
        if let Happening::RunChanged { state, .. } = event.what {
            states.push(state);
        }
    }
    assert!(matches!(states.last(), Some(RunState::CutOff { .. })), "{states:?}");
    // Mended, it goes on.
    let at = store.document(&key).unwrap().revision;
    saved(store.replace_text(&key, &view.text, at, TABLET).unwrap());
    store.take_up_run(cut_off.id, Pace::Unpaced, TABLET).unwrap();
    assert_eq!(store.wait_for_run(cut_off.id).unwrap().state, RunState::Proven);
}

#[test]
fn an_order_without_a_locomotive_on_the_bench_gets_the_one_it_describes() {
    let store = demo_shop();
    let text = store.document(&DocumentKey::order("V-0031")).unwrap().text.replace("V-0031", "V-0050");
    store.create(&DocumentKey::order("V-0050"), &text, TABLET).unwrap();
    let proven = run(&store, "V-0050", Task::Program);
    assert_eq!(proven.state, RunState::Proven, "{proven:?}");
    let made = truth(&store, "V-0050");
    assert!(made.contains("made from its work order"), "{made}");
    assert!(made.contains("demo-21-sound") && made.contains("A.red"), "{made}");
    // An order that is as empty as can be names no decoder.
    let new = NewOrder {
        number: "V-0051".to_owned(),
        model: "x".to_owned(),
        scale: "N".to_owned(),
        ..NewOrder::default()
    };
    store.create_order(&new, TABLET).unwrap();
    let none = store.start_run("V-0051", Task::Program, Pace::Unpaced, TABLET);
    assert!(matches!(none, Err(ShopError::NoDecoder { .. })), "{none:?}");
}
