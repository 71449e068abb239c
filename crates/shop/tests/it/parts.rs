//! The parts shelf and its stock.

use finding::Path;
use shop::{BoardQuestion, DocumentKey, Lane, ShopError};
use workorder::WaitsFor;

use crate::{TABLET, demo_shop, saved};

#[test]
fn the_shelf_has_sheets_of_the_standards_and_our_own() {
    let store = demo_shop();
    let parts = store.parts().unwrap();
    let row = |name: &str| parts.iter().find(|row| row.name == name).unwrap().clone();
    assert!(row("NEM660").is_standard);
    assert_eq!(row("NEM660").in_stock, None, "nobody counted");
    assert!(!row("oval-18x13").is_standard);
    assert_eq!(row("round-28").in_stock, Some(0));
    let part = store.part("oval-18x13").unwrap();
    assert_eq!(part.used_by, ["V-0031"]);
    assert!(part.sheet.is_some() && part.document.is_some());
    let standard = store.part("NEM660").unwrap();
    assert!(standard.document.is_none() && standard.text.contains("NEM660"));
    let unknown = store.part("oval-18x14");
    assert!(matches!(&unknown, Err(ShopError::Unknown { near: Some(near), .. }) if near == "oval-18x13"));
}

#[test]
fn a_sheet_is_added_edited_and_taken_from_another_shop() {
    let store = demo_shop();
    let text = store.part("oval-18x13").unwrap().text.replace("oval-18x13", "oval-19x13");
    assert_eq!(store.add_part(&text, TABLET).unwrap(), "oval-19x13");
    assert!(matches!(store.add_part(&text, TABLET), Err(ShopError::Document(_))));
    assert!(matches!(store.add_part("[part]\nkind = \"speaker\"\n", TABLET), Err(ShopError::Faults { .. })));
    let key = DocumentKey::part("oval-19x13");
    let at = store.document(&key).unwrap().revision;
    saved(store.edit(&key, &Path::new("part.title"), "a wider oval", at, TABLET).unwrap());
    assert_eq!(store.part("oval-19x13").unwrap().row.title, "a wider oval");
    store.import_part(&text, TABLET).unwrap();
    assert_ne!(store.part("oval-19x13").unwrap().row.title, "a wider oval");
    assert!(store.document(&key).unwrap().can_undo);
}

#[test]
fn a_changed_sheet_changes_the_answers_of_orders_that_name_it() {
    let store = demo_shop();
    let rules = || {
        let checked = store.order("V-0031").unwrap().checked.unwrap();
        checked.inspection.findings.iter().map(|finding| finding.rule).collect::<Vec<_>>()
    };
    let before = rules();
    let key = DocumentKey::part("demo-21-sound");
    let at = store.document(&key).unwrap().revision;
    saved(store.edit(&key, &Path::new("decoder.motor-current"), "0.1 A", at, TABLET).unwrap());
    saved(
        store
            .edit(
                &key,
                &Path::new("decoder.motor-peak"),
                "0.2 A",
                store.document(&key).unwrap().revision,
                TABLET,
            )
            .unwrap(),
    );
    let after = rules();
    assert!(!before.contains(&"stall-current-above-rating"), "{before:?}");
    assert!(after.contains(&"stall-current-above-rating"), "{after:?}");
    store.settle();
    let board = store.board(&BoardQuestion { lane: None, skip: 0, limit: 50 }).unwrap();
    let row = board.rows.iter().find(|row| row.number == "V-0031").unwrap();
    let n_now = store.order("V-0031").unwrap().checked.unwrap().inspection.findings.len();
    assert_eq!(row.n_findings.iter().sum::<usize>(), n_now, "the board was told");
}

#[test]
fn orders_wait_for_parts_until_they_come() {
    let store = demo_shop();
    let waiting = || {
        store.settle();
        let question = BoardQuestion { lane: Some(Lane::Waits(WaitsFor::Parts)), skip: 0, limit: 50 };
        let board = store.board(&question).unwrap();
        board.rows.into_iter().map(|row| row.number).collect::<Vec<_>>()
    };
    let before = waiting();
    assert!(!before.is_empty());
    let order = before[0].clone();
    assert!(store.order(&order).unwrap().waits.because.contains("round-28"));
    store.move_stock("round-28", 10, None, "from the trader", TABLET).unwrap();
    assert_eq!(waiting(), Vec::<String>::new());
    store.move_stock("round-28", -1, Some(&order), "built in", TABLET).unwrap();
    store.count_stock("round-28", 8, "counted", TABLET).unwrap();
    let part = store.part("round-28").unwrap();
    assert_eq!(part.row.in_stock, Some(8));
    let moved: Vec<i64> = part.movements.iter().map(|movement| movement.pieces).collect();
    assert_eq!(moved, [-1, -1, 10, 0]);
    assert_eq!(part.movements[1].order.as_deref(), Some(order.as_str()));
    assert!(matches!(store.move_stock("round-29", 1, None, "", TABLET), Err(ShopError::Unknown { .. })));
}
