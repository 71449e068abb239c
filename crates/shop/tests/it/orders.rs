//! Orders from number, model and scale to handed over.

use finding::Path;
use shop::{BoardQuestion, DocumentKey, Lane, NewOrder, ShopError, StageState, Store};
use workorder::{WaitsFor, WorkStage};

use crate::{TABLET, saved, shop_with_order};

const ALL: BoardQuestion = BoardQuestion { lane: None, skip: 0, limit: 100 };

fn stage(store: &Store, stage: WorkStage) -> StageState {
    store.order("V-1").unwrap().stages.iter().find(|view| view.stage == stage).unwrap().state
}

#[test]
fn a_blank_order_reads_whole_and_waits_for_a_survey() {
    let store = shop_with_order();
    let view = store.order("V-1").unwrap();
    assert!(view.document.faults.is_none());
    assert!(view.checked.is_some());
    assert_eq!(view.waits.for_what, WaitsFor::Measurement);
    assert!(!view.waits.is_stated);
    assert_eq!(view.stages.len(), WorkStage::ALL.len());
    assert_eq!(stage(&store, WorkStage::Survey), StageState::NotBegun);
    assert_eq!(stage(&store, WorkStage::Train), StageState::NotNeeded);
}

#[test]
fn numbers_go_on_by_themselves() {
    let store = shop_with_order();
    let new = NewOrder { model: "\"odd\" name\\".to_owned(), scale: "HO".to_owned(), ..NewOrder::default() };
    assert_eq!(store.create_order(&new, TABLET).unwrap(), "V-2");
    store.delete(&DocumentKey::order("V-2"), TABLET).unwrap();
    assert_eq!(store.create_order(&new, TABLET).unwrap(), "V-3", "a number is never given twice");
    let checked = store.order("V-3").unwrap().checked.unwrap();
    assert_eq!(checked.document.value.order.model, "\"odd\" name\\");
    let taken = store.create_order(&NewOrder { number: "V-1".to_owned(), ..new.clone() }, TABLET);
    assert!(matches!(taken, Err(ShopError::Document(_))), "{taken:?}");
    let scale = store.create_order(&NewOrder { scale: "HX".to_owned(), ..new.clone() }, TABLET);
    assert!(matches!(scale, Err(ShopError::Faults { .. })), "{scale:?}");
    let name = store.create_order(&NewOrder { number: "../x".to_owned(), ..new }, TABLET);
    assert!(matches!(name, Err(ShopError::Faults { .. } | ShopError::Document(_))), "{name:?}");
    assert_eq!(Store::in_memory().unwrap().board(&ALL).unwrap().rows.len(), 0);
}

#[test]
fn a_stop_is_set_aside_with_a_reason_and_back() {
    let store = shop_with_order();
    let key = DocumentKey::order("V-1");
    let at = store.document(&key).unwrap().revision;
    saved(store.edit(&key, &Path::new("survey.motor-to-frame"), "3 ohm", at, TABLET).unwrap());
    let stops = |store: &Store| store.order("V-1").unwrap().checked.unwrap().stops().len();
    assert_eq!(stops(&store), 1);
    assert_eq!(stage(&store, WorkStage::Survey), StageState::Held);
    let without = store.override_stop("V-1", "motor-not-isolated", " ", TABLET);
    assert!(matches!(without, Err(ShopError::NoReason { .. })), "{without:?}");
    let unknown = store.override_stop("V-1", "motor-not-isolatd", "why not", TABLET);
    assert!(
        matches!(&unknown, Err(ShopError::Unknown { near: Some(near), .. }) if near == "motor-not-isolated")
    );
    store.override_stop("V-1", "motor-not-isolated", "the frame is plastic", TABLET).unwrap();
    assert_eq!(stops(&store), 0);
    store.override_stop("V-1", "motor-not-isolated", "the frame is wood", TABLET).unwrap();
    let order = store.order("V-1").unwrap().checked.unwrap();
    let overrides = &order.document.value.r#override;
    assert_eq!((overrides.len(), overrides[0].reason.as_str()), (1, "the frame is wood"));
    store.withdraw_override("V-1", "motor-not-isolated", TABLET).unwrap();
    assert_eq!(stops(&store), 1);
}

#[test]
fn somebody_knows_better_what_it_waits_for() {
    let store = shop_with_order();
    store.state_waits_for("V-1", Some(WaitsFor::Client), "which horn?", TABLET).unwrap();
    let waits = store.order("V-1").unwrap().waits;
    assert_eq!(
        (waits.for_what, waits.because.as_str(), waits.is_stated),
        (WaitsFor::Client, "which horn?", true)
    );
    let board = store.board(&BoardQuestion { lane: Some(Lane::Waits(WaitsFor::Client)), ..ALL }).unwrap();
    assert_eq!(board.rows.len(), 1);
    assert!(board.counts.contains(&(Lane::Waits(WaitsFor::Client), 1)));
    store.state_waits_for("V-1", None, "", TABLET).unwrap();
    assert!(!store.order("V-1").unwrap().waits.is_stated);
    assert!(!store.document(&DocumentKey::order("V-1")).unwrap().text.contains("progress"));
}

#[test]
fn stages_are_ticked_off_and_a_handed_over_order_leaves_the_board() {
    let store = shop_with_order();
    store.tick_stage("V-1", WorkStage::Trial, true, TABLET).unwrap();
    store.tick_stage("V-1", WorkStage::ColdChecks, true, TABLET).unwrap();
    assert_eq!(stage(&store, WorkStage::ColdChecks), StageState::Done);
    store.tick_stage("V-1", WorkStage::ColdChecks, false, TABLET).unwrap();
    assert_eq!(stage(&store, WorkStage::ColdChecks), StageState::NotBegun);
    assert_eq!(stage(&store, WorkStage::Trial), StageState::Done);
    assert_eq!(store.board(&ALL).unwrap().rows.len(), 1);
    store.tick_stage("V-1", WorkStage::Handover, true, TABLET).unwrap();
    let board = store.board(&ALL).unwrap();
    assert_eq!(board.rows.len(), 0);
    assert!(board.counts.contains(&(Lane::HandedOver, 1)));
    let done = store.board(&BoardQuestion { lane: Some(Lane::HandedOver), ..ALL }).unwrap();
    assert_eq!(done.rows[0].number, "V-1");
    store.tick_stage("V-1", WorkStage::Handover, false, TABLET).unwrap();
    assert_eq!(store.board(&ALL).unwrap().rows.len(), 1);
}
