//! The demo shop, and what is computed across documents.

use finding::Path;
use shop::{BoardQuestion, DocumentKey, Kind, Lane, StageState};
use workorder::{WaitsFor, WorkStage};

use crate::{TABLET, demo_shop, saved};

const ALL: BoardQuestion = BoardQuestion { lane: None, skip: 0, limit: 100 };

#[test]
fn the_demo_is_filled_in_once_and_reads_whole() {
    let store = demo_shop();
    let again = store.fill_demo("demo").unwrap();
    assert!(again.begun.is_empty());
    let n_of = |kind: Kind| again.kept.iter().filter(|key| key.kind == kind).count();
    assert_eq!((n_of(Kind::Order), n_of(Kind::Train), n_of(Kind::Dossier)), (7, 2, 1));
    assert_eq!(n_of(Kind::BenchTruth), 7);
    for key in &again.kept {
        let view = store.document(key).unwrap();
        assert!(view.faults.is_none(), "{key:?}: {}", view.faults.unwrap());
    }
}

#[test]
fn the_board_says_what_each_order_waits_for() {
    let store = demo_shop();
    let board = store.board(&ALL).unwrap();
    assert_eq!(board.rows.len(), 7);
    let lane = |number: &str| board.rows.iter().find(|row| row.number == number).unwrap().lane;
    for row in &board.rows {
        let waits = store.order(&row.number).unwrap().waits;
        assert_eq!(row.lane, Lane::Waits(waits.for_what), "{}: {}", row.number, waits.because);
    }
    assert_eq!(lane("V-0035"), Lane::Waits(WaitsFor::Nothing), "its stop is to be mended at the bench");
    let checked = store.order("V-0035").unwrap().checked.unwrap();
    let row = board.rows.iter().find(|row| row.number == "V-0035").unwrap();
    assert_eq!(row.n_findings[0], checked.stops().len());
    let parts: Vec<&str> = board
        .rows
        .iter()
        .filter(|row| row.lane == Lane::Waits(WaitsFor::Parts))
        .map(|row| row.number.as_str())
        .collect();
    assert!(!parts.is_empty(), "one kind of speaker is used up: {:?}", board.counts);
    let n_all: usize = board.counts.iter().map(|(_, n)| n).sum();
    assert_eq!(n_all, 7);
}

#[test]
fn search_finds_orders_by_what_stands_in_them_and_by_their_findings() {
    let store = demo_shop();
    let found = |words: &str| -> Vec<String> {
        store.search(words, 20).unwrap().into_iter().map(|hit| hit.key.name).collect()
    };
    assert!(found("six-chime whistle").contains(&"V-0036".to_owned()));
    assert!(found("motor-not-isol").contains(&"V-0035".to_owned()), "a rule's name, half typed");
    assert!(found("night mail").contains(&"night-mail".to_owned()));
    assert!(found("snaps when lifted").contains(&"class-40-railcar".to_owned()));
    assert_eq!(found("nobody wrote this"), Vec::<String>::new());
    let hit = store.search("lakeside", 1).unwrap().remove(0);
    assert!(hit.excerpt.iter().any(|(text, is_match)| *is_match && text.eq_ignore_ascii_case("lakeside")));
}

#[test]
fn an_edit_of_one_unit_shows_at_the_other() {
    let store = demo_shop();
    let key = DocumentKey::order("V-0031");
    let before = store.order("V-0032").unwrap();
    assert_eq!(before.trains, ["railcar-set"]);
    let at = store.document(&key).unwrap().revision;
    saved(store.edit(&key, &Path::new("address.consist"), "41", at, TABLET).unwrap());
    let train = store.train("railcar-set").unwrap();
    let rules: Vec<&str> = train.units[0].findings.iter().map(|finding| finding.rule).collect();
    assert!(rules.contains(&"consist-address-differs"), "{rules:?}");
    let momentum = |number: &str| {
        let checked = store.order(number).unwrap().checked.unwrap();
        checked.inspection.findings.iter().any(|finding| finding.rule == "momentum-differs")
    };
    assert!(!momentum("V-0032"));
    let at = store.document(&key).unwrap().revision;
    saved(store.edit(&key, &Path::new("manners.acceleration"), "40 s", at, TABLET).unwrap());
    assert!(momentum("V-0032"), "the other car was not touched, and hears of it");
}

#[test]
fn a_train_needs_its_orders_and_takes_them_when_they_come() {
    let store = demo_shop();
    store.create_train("branch", "the branch train", 12, TABLET).unwrap();
    let key = DocumentKey::train("branch");
    let view = store.train("branch").unwrap();
    assert!(view.document.faults.is_some(), "it has no units yet");
    let unit = [("order".to_owned(), "W-1".to_owned()), ("direction".to_owned(), "forward".to_owned())];
    saved(store.add_entry(&key, &Path::new("unit"), None, &unit, view.document.revision, TABLET).unwrap());
    let faults = store.train("branch").unwrap().document.faults.unwrap();
    assert!(faults.list[0].headline.contains("W-1"));
    let new = shop::NewOrder {
        number: "W-1".to_owned(),
        model: "wagon".to_owned(),
        scale: "HO".to_owned(),
        ..shop::NewOrder::default()
    };
    store.create_order(&new, TABLET).unwrap();
    let train = store.train("branch").unwrap();
    assert!(train.document.faults.is_none());
    assert_eq!(train.units[0].model, "wagon");
    let order = store.order("W-1").unwrap();
    assert_eq!(order.trains, ["branch"]);
    let stage = order.stages.iter().find(|view| view.stage == WorkStage::Train).unwrap();
    assert_ne!(stage.state, StageState::NotNeeded);
    let names: Vec<String> = store.trains().unwrap().into_iter().map(|train| train.name).collect();
    assert_eq!(names, ["branch", "night-mail", "railcar-set"]);
}

#[test]
fn fields_offer_what_fits() {
    let store = demo_shop();
    let form = store.order("V-0031").unwrap().document.form;
    let offered = |path: &str| {
        let field = form.field(&Path::new(path)).unwrap_or_else(|| panic!("no field {path}"));
        field.suggestions.map_or_else(Vec::new, |index| form.suggestions[index].clone())
    };
    assert!(offered("plan.decoder").contains(&"demo-21-sound".to_owned()));
    assert!(offered("survey.speaker.A.part").contains(&"oval-18x13".to_owned()));
    assert!(offered("survey.wire.1.from").contains(&"B.black".to_owned()));
    assert!(offered("plan.lamp.tail.output").contains(&"AUX1".to_owned()));
    assert!(offered("survey.socket").contains(&"none".to_owned()));
    assert!(offered("order.model").is_empty());
}

#[test]
fn trains_and_the_virtual_bench_follow_a_new_number() {
    let store = demo_shop();
    let run = store.start_run("V-0032", shop::Task::Program, shop::Pace::Unpaced, TABLET).unwrap();
    store.wait_for_run(run).unwrap();
    let key = DocumentKey::order("V-0032");
    let at = store.document(&key).unwrap().revision;
    saved(store.edit(&key, &Path::new("order.number"), "W-0032", at, TABLET).unwrap());
    let train = store.train("railcar-set").unwrap();
    assert!(train.document.faults.is_none());
    assert_eq!(train.units[1].order, "W-0032");
    assert_eq!(store.order("W-0032").unwrap().trains, ["railcar-set"]);
    let run = store.start_run("W-0032", shop::Task::Prove, shop::Pace::Unpaced, TABLET).unwrap();
    let proven = store.wait_for_run(run).unwrap();
    assert_eq!(proven.state, shop::RunState::Proven, "its decoder still holds what was written");
    let run = store.start_run("W-0032", shop::Task::Undo, shop::Pace::Unpaced, TABLET).unwrap();
    assert_eq!(store.wait_for_run(run).unwrap().state, shop::RunState::Undone);
    assert_eq!(store.runs("W-0032").unwrap().len(), 3);
}

#[test]
fn a_store_is_shared_between_threads() {
    let store = demo_shop();
    let key = DocumentKey::order("V-0031");
    std::thread::scope(|scope| {
        for field in ["order.client", "order.wanted", "order.note", "order.prototype"] {
            let (store, key) = (store.clone(), key.clone());
            scope.spawn(move || {
                let path = Path::new(field);
                for turn in 0..10 {
                    let at = store.document(&key).unwrap().revision;
                    saved(store.edit(&key, &path, &format!("{field} {turn}"), at, field).unwrap());
                    store.order("V-0031").unwrap();
                }
            });
        }
    });
    let form = store.document(&key).unwrap().form;
    for field in ["order.client", "order.wanted", "order.note", "order.prototype"] {
        assert_eq!(
            form.field(&Path::new(field)).unwrap().value.as_deref(),
            Some(format!("{field} 9").as_str())
        );
    }
}
