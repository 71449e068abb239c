//! Edits, conflicts, undo and history.

use finding::Path;
use shop::{DocumentKey, EditOutcome, Happening, Kind, ShopError, Store};

use crate::{LAPTOP, TABLET, saved, shop_with_order};

fn path(text: &str) -> Path {
    Path::new(text)
}

fn key() -> DocumentKey {
    DocumentKey::order("V-1")
}

fn value(store: &Store, at: &str) -> Option<String> {
    store.document(&key()).unwrap().form.field(&path(at)).and_then(|field| field.value.clone())
}

#[test]
fn a_field_is_written_and_the_rest_of_the_text_stays() {
    let store = shop_with_order();
    let before = store.document(&key()).unwrap();
    let text = format!("{}# the client's own words follow\n", before.text);
    let at = saved(store.replace_text(&key(), &text, before.revision, TABLET).unwrap());
    saved(store.edit(&key(), &path("survey.stall-current"), "0.62 A", at, TABLET).unwrap());
    let after = store.document(&key()).unwrap();
    assert!(after.text.starts_with(&before.text), "{}", after.text);
    assert!(after.text.contains("# the client's own words follow"), "{}", after.text);
    assert!(after.text.contains("stall-current = \"0.62 A\""), "{}", after.text);
    assert_eq!(after.changed_by, TABLET);
}

#[test]
fn a_wrong_unit_is_refused_at_the_field_and_nothing_is_kept() {
    let store = shop_with_order();
    let before = store.document(&key()).unwrap();
    let outcome =
        store.edit(&key(), &path("survey.stall-current"), "0.62 V", before.revision, TABLET).unwrap();
    let EditOutcome::Invalid { faults } = outcome else { panic!("{outcome:?}") };
    assert_eq!(faults.len(), 1);
    assert_eq!(faults[0].path, path("survey.stall-current"));
    assert!(faults[0].help.contains('A'), "{}", faults[0].help);
    assert_eq!(store.document(&key()).unwrap().revision, before.revision);
    // A part that nobody has is refused with the nearest name.
    let outcome = store.edit(&key(), &path("survey.socket"), "NEM66", before.revision, TABLET).unwrap();
    let EditOutcome::Invalid { faults } = outcome else { panic!("{outcome:?}") };
    assert!(faults[0].help.contains("NEM660"), "{}", faults[0].help);
}

#[test]
fn a_text_is_kept_whatever_it_is_and_answers_stay_those_before() {
    let store = shop_with_order();
    let sound = store.document(&key()).unwrap();
    let broken = format!("{}[survey]\nstall-current = 0.62\nsocket = \"NEM660\"\n", sound.text);
    saved(store.replace_text(&key(), &broken, sound.revision, TABLET).unwrap());
    let view = store.order("V-1").unwrap();
    assert_eq!(view.document.text, broken);
    assert_eq!(view.document.faults.as_ref().unwrap().list[0].path, path("survey.stall-current"));
    assert_eq!(view.checked_revision, Some(sound.revision), "answers are those of the text before");
    let run = store.start_run("V-1", shop::Task::Program, shop::Pace::Unpaced, TABLET);
    assert!(matches!(run, Err(ShopError::NotSound { .. })), "{run:?}");
    // Another field can be edited all the same, and mending the fault brings the answers up to date.
    let at =
        saved(store.edit(&key(), &path("order.client"), "a club", view.document.revision, TABLET).unwrap());
    let at = saved(store.edit(&key(), &path("survey.stall-current"), "0.62 A", at, TABLET).unwrap());
    let view = store.order("V-1").unwrap();
    assert!(view.document.faults.is_none());
    assert_eq!(view.checked_revision, Some(at));
    // No TOML at all is kept too.
    saved(store.replace_text(&key(), "= = =", at, TABLET).unwrap());
    assert_eq!(store.document(&key()).unwrap().text, "= = =");
}

#[test]
fn two_people_in_different_fields_both_win() {
    let store = shop_with_order();
    let seen = store.document(&key()).unwrap().revision;
    saved(store.edit(&key(), &path("order.client"), "a club", seen, TABLET).unwrap());
    saved(store.edit(&key(), &path("order.wanted"), "sound", seen, LAPTOP).unwrap());
    assert_eq!(value(&store, "order.client").as_deref(), Some("a club"));
    assert_eq!(value(&store, "order.wanted").as_deref(), Some("sound"));
}

#[test]
fn two_people_in_one_field_are_shown_both_values() {
    let store = shop_with_order();
    let seen = store.document(&key()).unwrap().revision;
    let theirs = saved(store.edit(&key(), &path("order.wanted"), "sound", seen, TABLET).unwrap());
    let outcome = store.edit(&key(), &path("order.wanted"), "lamps", seen, LAPTOP).unwrap();
    let EditOutcome::Conflict { revision, fields } = outcome else { panic!("{outcome:?}") };
    assert_eq!(revision, theirs);
    assert_eq!(fields.len(), 1);
    assert_eq!(fields[0].path, path("order.wanted"));
    assert_eq!(
        (fields[0].before.as_deref(), fields[0].theirs.as_deref(), fields[0].yours.as_deref()),
        (None, Some("sound"), Some("lamps"))
    );
    assert_eq!(value(&store, "order.wanted").as_deref(), Some("sound"), "nothing was overwritten");
    // Sent again upon what was shown, it holds.
    saved(store.edit(&key(), &path("order.wanted"), "lamps", revision, LAPTOP).unwrap());
    assert_eq!(value(&store, "order.wanted").as_deref(), Some("lamps"));
    // The same value from both is no conflict.
    saved(store.edit(&key(), &path("order.wanted"), "lamps", seen, TABLET).unwrap());
}

#[test]
fn whole_texts_are_put_together_too_or_refused() {
    let store = shop_with_order();
    let seen = store.document(&key()).unwrap();
    saved(store.edit(&key(), &path("order.client"), "a club", seen.revision, TABLET).unwrap());
    let mine = format!("{}wanted = \"sound\"\n", seen.text);
    saved(store.replace_text(&key(), &mine, seen.revision, LAPTOP).unwrap());
    assert_eq!(value(&store, "order.client").as_deref(), Some("a club"));
    assert_eq!(value(&store, "order.wanted").as_deref(), Some("sound"));
    let other = seen.text.replace("railcar", "shunter") + "client = \"somebody\"\n";
    let outcome = store.replace_text(&key(), &other, seen.revision, LAPTOP).unwrap();
    assert!(matches!(outcome, EditOutcome::Conflict { .. }), "{outcome:?}");
}

#[test]
fn entries_come_go_and_change_their_names() {
    let store = shop_with_order();
    let mut at = store.document(&key()).unwrap().revision;
    let speaker = |store: &Store, at, name: &str| {
        let values = [
            ("impedance".to_owned(), "8 ohm".to_owned()),
            ("rating".to_owned(), "1 W".to_owned()),
            ("terminals".to_owned(), "red, black".to_owned()),
        ];
        saved(store.add_entry(&key(), &path("survey.speaker"), Some(name), &values, at, TABLET).unwrap())
    };
    at = speaker(&store, at, "A");
    at = speaker(&store, at, "B");
    let wire = [("from".to_owned(), "A.red".to_owned()), ("to".to_owned(), "B.red".to_owned())];
    at = saved(store.add_entry(&key(), &path("survey.wire"), None, &wire, at, TABLET).unwrap());
    assert!(store.document(&key()).unwrap().faults.is_none());
    at = saved(store.rename_entry(&key(), &path("survey.speaker.A"), "front", at, TABLET).unwrap());
    assert_eq!(value(&store, "survey.wire.1.from").as_deref(), Some("front.red"));
    // Taken out, a wire leads nowhere, which its fault says; undo brings it back.
    let outcome = store.remove_entry(&key(), &path("survey.speaker.front"), at, TABLET).unwrap();
    let EditOutcome::Saved { faults, .. } = outcome else { panic!("{outcome:?}") };
    assert_eq!(faults[0].path, path("survey.wire.1.from"));
    store.undo(&key(), TABLET).unwrap().unwrap();
    assert!(store.document(&key()).unwrap().faults.is_none());
}

#[test]
fn undo_and_redo_walk_the_history_which_is_told_in_words() {
    let store = shop_with_order();
    let at = store.document(&key()).unwrap().revision;
    assert_eq!(store.undo(&key(), TABLET).unwrap(), None, "there is nothing to undo");
    saved(store.edit(&key(), &path("order.wanted"), "sound", at, TABLET).unwrap());
    store.undo(&key(), LAPTOP).unwrap().unwrap();
    assert_eq!(value(&store, "order.wanted"), None);
    let view = store.document(&key()).unwrap();
    assert!(view.can_redo && !view.can_undo);
    store.redo(&key(), LAPTOP).unwrap().unwrap();
    assert_eq!(value(&store, "order.wanted").as_deref(), Some("sound"));
    let history = store.history(&key(), 10).unwrap();
    let acts: Vec<&str> = history.iter().map(|row| row.act.as_str()).collect();
    assert_eq!(acts, ["done again", "undone", "edited", "begun"]);
    assert_eq!(history[0].changes, ["Order: wanted: now sound"]);
    assert_eq!(history[1].changes, ["Order: wanted: no longer sound"]);
    assert!(history[0].is_present && !history[1].is_present);
    assert_eq!(history[1].by, LAPTOP);
    let first = history.last().unwrap().revision;
    store.go_back_to(&key(), first, TABLET).unwrap();
    assert_eq!(store.document(&key()).unwrap().text, store.revision_text(&key(), first).unwrap());
}

#[test]
fn what_is_put_away_comes_back() {
    let store = shop_with_order();
    store.delete(&key(), TABLET).unwrap();
    assert!(store.document(&key()).unwrap().is_deleted);
    assert_eq!(store.put_away(Kind::Order).unwrap(), [key()]);
    let at = store.document(&key()).unwrap().revision;
    let edit = store.edit(&key(), &path("order.wanted"), "sound", at, TABLET);
    assert!(matches!(edit, Err(ShopError::Document(_))), "{edit:?}");
    store.restore(&key(), TABLET).unwrap();
    assert!(!store.document(&key()).unwrap().is_deleted);
    assert_eq!(store.put_away(Kind::Order).unwrap(), []);
}

#[test]
fn a_new_number_is_a_new_name_and_a_taken_one_is_refused() {
    let store = shop_with_order();
    let at = store.document(&key()).unwrap().revision;
    let outcome = store.edit(&key(), &path("order.number"), "V-2", at, TABLET).unwrap();
    let EditOutcome::Saved { key: renamed, .. } = outcome else { panic!("{outcome:?}") };
    assert_eq!(renamed, DocumentKey::order("V-2"));
    assert!(matches!(store.document(&key()), Err(ShopError::Unknown { near: Some(_), .. })));
    let view = store.document(&renamed).unwrap();
    assert_eq!(view.form.field(&path("order.number")).unwrap().value.as_deref(), Some("V-2"));
    store.create(&DocumentKey::order("V-3"), &view.text.replace("V-2", "V-3"), TABLET).unwrap();
    let outcome = store.edit(&renamed, &path("order.number"), "V-3", view.revision, TABLET).unwrap();
    let EditOutcome::Invalid { faults } = outcome else { panic!("{outcome:?}") };
    assert!(faults[0].headline.contains("V-3"), "{}", faults[0].headline);
}

#[test]
fn whoever_listens_hears_of_every_change() {
    let store = shop_with_order();
    let heard = store.subscribe();
    let at = store.document(&key()).unwrap().revision;
    let made = saved(store.edit(&key(), &path("order.wanted"), "sound", at, TABLET).unwrap());
    let event = heard.next_now().unwrap().unwrap();
    assert_eq!(event.what, Happening::DocumentChanged { key: key(), revision: made });
    assert_eq!(event.by, TABLET);
    assert_eq!(heard.next_now().unwrap(), None);
    drop(store);
    assert!(heard.next_now().is_err(), "the store is closed");
}

#[test]
fn changes_by_another_program_are_noticed() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("shop");
    let (one, other) = (Store::open(&file).unwrap(), Store::open(&file).unwrap());
    let new = shop::NewOrder {
        number: "V-1".to_owned(),
        model: "railcar".to_owned(),
        scale: "HO".to_owned(),
        ..shop::NewOrder::default()
    };
    let heard = other.subscribe();
    one.create_order(&new, TABLET).unwrap();
    other.notice_changes().unwrap();
    let event = heard.next_now().unwrap().unwrap();
    assert!(matches!(event.what, Happening::DocumentChanged { .. }), "{event:?}");
    assert_eq!(other.order("V-1").unwrap().document.changed_by, TABLET);
}
