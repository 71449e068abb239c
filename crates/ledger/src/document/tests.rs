//! Tests of documents: examples of each refusal, and what holds for any sequence of changes.

use proptest::prelude::*;

use super::{Act, Conflict, DocumentError, MOST_TEXT_BYTES, UndoSteps};
use crate::identity::{DocumentId, RevisionNumber};
use crate::kind::Kind;
use crate::ledger::Ledger;
use crate::moment::{Moment, Stamp};

fn stamp() -> Stamp<'static> {
    Stamp::new(Moment::from_unix_millis(1_000), "tablet")
}

fn number(number: i64) -> RevisionNumber {
    RevisionNumber::new(number)
}

/// A shop with one order, saved with each of the texts.
fn with_texts(texts: &[&str]) -> (Ledger, DocumentId) {
    let mut ledger = Ledger::in_memory().unwrap();
    let mut head = None;
    for text in texts {
        head = Some(ledger.save(Kind::Order, "V-0031", text, head, &stamp()).unwrap().number);
    }
    let id = ledger.find(Kind::Order, "V-0031").unwrap().unwrap().id;
    (ledger, id)
}

#[test]
fn a_revision_keeps_what_was_told() {
    let mut ledger = Ledger::in_memory().unwrap();
    let first = ledger.save(Kind::Order, "V-0031", "a\n", None, &stamp()).unwrap();
    let later = Stamp::new(Moment::from_unix_millis(-5), "phone").with_note("measured again");
    ledger.save(Kind::Order, "V-0031", "a\nb\n", Some(first.number), &later).unwrap();
    let revision = ledger.at(first.document, number(2)).unwrap();
    assert_eq!(revision.text, "a\nb\n");
    let record = revision.record;
    assert_eq!((record.act, record.state, record.parent), (Act::Saved, number(2), Some(number(1))));
    assert_eq!((record.at, record.by.as_str()), (Moment::from_unix_millis(-5), "phone"));
    assert_eq!((record.name.as_str(), record.note.as_str()), ("V-0031", "measured again"));
    assert_eq!(ledger.at(first.document, number(1)).unwrap().text, "a\n");
    assert!(matches!(ledger.at(first.document, number(3)), Err(DocumentError::NoSuchRevision { .. })));
}

#[test]
fn a_stale_save_is_refused_with_the_others_text() {
    let (mut ledger, id) = with_texts(&["one", "two"]);
    let refused = ledger.save(Kind::Order, "V-0031", "mine", Some(number(1)), &stamp()).unwrap_err();
    assert_eq!(
        refused.to_string(),
        "order `V-0031` was changed by tablet in the meantime (revision 2): nothing of theirs was overwritten and yours \
         was not kept; put both together and save upon revision 2"
    );
    let DocumentError::Conflict(conflict) = refused else { panic!("{refused}") };
    let Conflict { expected, theirs } = *conflict;
    assert_eq!((expected, theirs.text.as_str()), (Some(number(1)), "two"));
    assert_eq!(ledger.current(id).unwrap().text, "two");
    // To begin an order that is there already is as stale.
    let refused = ledger.save(Kind::Order, "V-0031", "mine", None, &stamp()).unwrap_err();
    assert!(matches!(refused, DocumentError::Conflict(_)), "{refused}");
    for refused in [
        ledger.undo(id, number(1), &stamp()),
        ledger.delete(id, number(1), &stamp()),
        ledger.rename(id, "V-0032", number(1), &stamp()),
        ledger.return_to(id, number(1), number(1), &stamp()),
        ledger.save_upon(id, "mine", number(3), &stamp()),
    ] {
        assert!(matches!(refused, Err(DocumentError::Conflict(_))), "{refused:?}");
    }
    assert_eq!(ledger.history(id).unwrap().len(), 2);
}

#[test]
fn saving_again_what_is_there_keeps_nothing_twice() {
    let (mut ledger, id) = with_texts(&["one", "two"]);
    // As a page does that lost the answer to its save.
    let again = ledger.save(Kind::Order, "V-0031", "two", Some(number(1)), &stamp()).unwrap();
    assert_eq!(again.number, number(2));
    assert_eq!(ledger.history(id).unwrap().len(), 2);
}

#[test]
fn undo_walks_back_and_redo_walks_forth() {
    let (mut ledger, id) = with_texts(&["one", "two", "three"]);
    assert_eq!(ledger.undo_steps(id).unwrap(), UndoSteps { undo: Some(number(2)), redo: None });
    ledger.undo(id, number(3), &stamp()).unwrap();
    assert_eq!(ledger.current(id).unwrap().text, "two");
    ledger.undo(id, number(4), &stamp()).unwrap();
    assert_eq!(ledger.current(id).unwrap().text, "one");
    assert!(matches!(ledger.undo(id, number(5), &stamp()), Err(DocumentError::NothingToUndo)));
    assert_eq!(ledger.undo_steps(id).unwrap(), UndoSteps { undo: None, redo: Some(number(2)) });
    ledger.redo(id, number(5), &stamp()).unwrap();
    assert_eq!(ledger.current(id).unwrap().text, "two");
    ledger.redo(id, number(6), &stamp()).unwrap();
    assert_eq!(ledger.current(id).unwrap().text, "three");
    assert!(matches!(ledger.redo(id, number(7), &stamp()), Err(DocumentError::NothingToRedo)));
    // A change after undoing leaves the undone states in the history, and undo leads to where the change was made.
    ledger.undo(id, number(7), &stamp()).unwrap();
    ledger.save_upon(id, "other", number(8), &stamp()).unwrap();
    assert!(matches!(ledger.redo(id, number(9), &stamp()), Err(DocumentError::NothingToRedo)));
    ledger.undo(id, number(9), &stamp()).unwrap();
    assert_eq!(ledger.current(id).unwrap().text, "two");
    assert_eq!(ledger.at(id, number(3)).unwrap().text, "three");
    let acts: Vec<&str> = ledger.history(id).unwrap().iter().rev().map(|record| record.act.word()).collect();
    assert_eq!(
        acts,
        ["saved", "saved", "saved", "undone", "undone", "redone", "redone", "undone", "saved", "undone"]
    );
}

#[test]
fn deleting_is_a_revision_and_undone_like_one() {
    let (mut ledger, id) = with_texts(&["one"]);
    ledger.delete(id, number(1), &stamp()).unwrap();
    assert!(ledger.documents(Kind::Order).unwrap().is_empty());
    assert_eq!(ledger.deleted_documents(Kind::Order).unwrap().len(), 1);
    assert!(ledger.current(id).unwrap().record.is_deleted);
    assert_eq!(ledger.current(id).unwrap().text, "one");
    assert!(matches!(ledger.delete(id, number(2), &stamp()), Err(DocumentError::IsDeleted { .. })));
    assert!(matches!(ledger.rename(id, "V-1", number(2), &stamp()), Err(DocumentError::IsDeleted { .. })));
    ledger.undo(id, number(2), &stamp()).unwrap();
    assert_eq!(ledger.documents(Kind::Order).unwrap().len(), 1);
    ledger.redo(id, number(3), &stamp()).unwrap();
    assert!(ledger.current(id).unwrap().record.is_deleted);
}

#[test]
fn a_deleted_name_begins_again_with_its_history() {
    let (mut ledger, id) = with_texts(&["one"]);
    ledger.delete(id, number(1), &stamp()).unwrap();
    // Also with the very text it had.
    let record = ledger.save(Kind::Order, "V-0031", "one", None, &stamp()).unwrap();
    assert_eq!((record.document, record.number), (id, number(3)));
    assert!(!ledger.current(id).unwrap().record.is_deleted);
}

#[test]
fn a_renamed_document_is_found_by_its_number_and_a_save_by_its_old_name_is_stale() {
    let (mut ledger, id) = with_texts(&["one"]);
    ledger.rename(id, "V-0040", number(1), &stamp()).unwrap();
    assert!(ledger.find(Kind::Order, "V-0031").unwrap().is_none());
    assert_eq!(ledger.current(id).unwrap().record.name, "V-0040");
    assert_eq!(ledger.at(id, number(1)).unwrap().record.name, "V-0031");
    let refused = ledger.save(Kind::Order, "V-0031", "mine", Some(number(1)), &stamp()).unwrap_err();
    let DocumentError::Conflict(conflict) = refused else { panic!("{refused}") };
    assert_eq!(conflict.theirs.record.name, "V-0040");
    // Undo is about the text: the name stays.
    ledger.save_upon(id, "two", number(2), &stamp()).unwrap();
    ledger.undo(id, number(3), &stamp()).unwrap();
    let current = ledger.current(id).unwrap();
    assert_eq!((current.record.name.as_str(), current.text.as_str()), ("V-0040", "one"));
}

#[test]
fn a_name_is_never_shared_by_two_histories() {
    let (mut ledger, id) = with_texts(&["one"]);
    let other = ledger.save(Kind::Order, "V-0032", "other", None, &stamp()).unwrap();
    let taken = ledger.rename(id, "V-0032", number(1), &stamp()).unwrap_err();
    assert!(matches!(&taken, DocumentError::NameTaken { is_deleted: false, .. }), "{taken}");
    ledger.delete(other.document, number(1), &stamp()).unwrap();
    let taken = ledger.rename(id, "V-0032", number(1), &stamp()).unwrap_err();
    assert_eq!(
        taken.to_string(),
        "there is a deleted order `V-0032` already, with a history of its own: choose another name"
    );
    // Another kind has names of its own.
    ledger.save(Kind::Train, "V-0031", "train", None, &stamp()).unwrap();
}

#[test]
fn refusals_before_anything_is_written() {
    let mut ledger = Ledger::in_memory().unwrap();
    let refused = ledger.save(Kind::Part, "../passwd", "x", None, &stamp());
    assert!(matches!(refused, Err(DocumentError::Name(_))), "{refused:?}");
    let refused = ledger.save(Kind::Part, "a", "x", Some(number(4)), &stamp());
    assert!(matches!(refused, Err(DocumentError::NoSuchName { .. })), "{refused:?}");
    let long = "x".repeat(MOST_TEXT_BYTES + 1);
    let refused = ledger.save(Kind::Part, "a", &long, None, &stamp());
    assert!(matches!(refused, Err(DocumentError::TooLong { .. })), "{refused:?}");
    let refused = ledger.current(DocumentId::new(7));
    assert!(matches!(refused, Err(DocumentError::NoSuchDocument { .. })), "{refused:?}");
    assert!(ledger.documents(Kind::Part).unwrap().is_empty());
    ledger.save(Kind::Part, "a", &long[1..], None, &stamp()).unwrap();
}

#[test]
fn the_file_itself_refuses_to_rewrite_history() {
    let (ledger, _) = with_texts(&["one", "two"]);
    for sql in [
        "UPDATE revision SET text = 'x' WHERE number = 1",
        "DELETE FROM revision WHERE number = 2",
        "REPLACE INTO revision SELECT * FROM revision WHERE number = 1",
        "DELETE FROM document",
        "UPDATE change SET by = 'x'",
        "DELETE FROM change",
    ] {
        let refused = ledger.connection.execute(sql, []).unwrap_err().to_string();
        assert!(refused.contains("never"), "{sql}: {refused}");
    }
}

#[test]
fn typing_costs_little() {
    let text = "note = \"a long order\"\n".repeat(200);
    let (mut ledger, id) = with_texts(&[&text]);
    for key in 1..=100 {
        let typed = format!("{text}{}", "x".repeat(key));
        ledger.save_upon(id, &typed, number(i64::try_from(key).unwrap()), &stamp()).unwrap();
    }
    let kept: u32 =
        ledger.connection.query_row("SELECT sum(length(text)) FROM revision", [], |row| row.get(0)).unwrap();
    // A whole text at first and after every 16 revisions, and 95 pieces of one letter.
    let n_whole = 1 + 100 / 17;
    let kept = usize::try_from(kept).unwrap();
    assert!(kept < (n_whole + 1) * (text.len() + 100), "{kept} bytes for {} of text", text.len());
    // And no revision is further from a whole text than that.
    let depth: u32 =
        ledger.connection.query_row("SELECT max(depth) FROM revision", [], |row| row.get(0)).unwrap();
    assert_eq!(depth, 16);
    assert_eq!(ledger.at(id, number(60)).unwrap().text, format!("{text}{}", "x".repeat(59)));
}

/// What a person may do next.
#[derive(Debug, Clone)]
enum Deed {
    Save(String),
    Undo,
    Redo,
    Delete,
    Rename(u8),
    ReturnTo(u8),
    Stale(String),
}

fn deed() -> impl Strategy<Value = Deed> {
    prop_oneof![
        4 => "[a-cé\n]{0,24}".prop_map(Deed::Save),
        3 => Just(Deed::Undo),
        2 => Just(Deed::Redo),
        1 => Just(Deed::Delete),
        1 => (0u8..4).prop_map(Deed::Rename),
        1 => any::<u8>().prop_map(Deed::ReturnTo),
        1 => "[a-c]{0,4}".prop_map(Deed::Stale),
    ]
}

/// The plain definition that the ledger is held against: two stacks, as in any editor.
#[derive(Debug, Default)]
struct Plain {
    before: Vec<(String, bool)>,
    shown: (String, bool),
    after: Vec<(String, bool)>,
    name: u8,
    told: Vec<(String, bool, u8)>,
}

impl Plain {
    fn show(&mut self, state: (String, bool)) -> (String, bool) {
        let shown = std::mem::replace(&mut self.shown, state);
        self.told.push((self.shown.0.clone(), self.shown.1, self.name));
        shown
    }

    fn change(&mut self, state: (String, bool)) {
        let shown = self.show(state);
        self.before.push(shown);
        self.after.clear();
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]
    #[test]
    fn history_is_a_path_and_nothing_is_lost(deeds in proptest::collection::vec(deed(), 1..60)) {
        let mut ledger = Ledger::in_memory().unwrap();
        let id = ledger.save(Kind::Order, "n0", "begin", None, &stamp()).unwrap().document;
        let mut plain = Plain { shown: ("begin".to_owned(), false), ..Plain::default() };
        plain.told.push(("begin".to_owned(), false, 0));
        for deed in deeds {
            let head = ledger.document(id).unwrap().head;
            let is_deleted = plain.shown.1;
            match deed {
                Deed::Save(text) => {
                    ledger.save_upon(id, &text, head, &stamp()).unwrap();
                    if plain.shown != (text.clone(), false) {
                        plain.change((text, false));
                    }
                }
                Deed::ReturnTo(which) => {
                    let index = usize::from(which) % plain.told.len();
                    let text = plain.told[index].0.clone();
                    let number = number(i64::try_from(index + 1).unwrap());
                    ledger.return_to(id, number, head, &stamp()).unwrap();
                    if plain.shown != (text.clone(), false) {
                        plain.change((text, false));
                    }
                }
                Deed::Undo => {
                    let undone = ledger.undo(id, head, &stamp());
                    prop_assert_eq!(undone.is_ok(), !plain.before.is_empty());
                    if let Some(state) = plain.before.pop() {
                        let shown = plain.show(state);
                        plain.after.push(shown);
                    }
                }
                Deed::Redo => {
                    let redone = ledger.redo(id, head, &stamp());
                    prop_assert_eq!(redone.is_ok(), !plain.after.is_empty());
                    if let Some(state) = plain.after.pop() {
                        let shown = plain.show(state);
                        plain.before.push(shown);
                    }
                }
                Deed::Delete => {
                    let deleted = ledger.delete(id, head, &stamp());
                    prop_assert_eq!(deleted.is_ok(), !is_deleted);
                    if !is_deleted {
                        let text = plain.shown.0.clone();
                        plain.change((text, true));
                    }
                }
                Deed::Rename(name) => {
                    let renamed = ledger.rename(id, &format!("n{name}"), head, &stamp());
                    prop_assert_eq!(renamed.is_ok(), !is_deleted);
                    if !is_deleted && name != plain.name {
                        plain.name = name;
                        let shown = plain.shown.clone();
                        plain.show(shown);
                    }
                }
                Deed::Stale(text) => {
                    let stale = ledger.save_upon(id, &text, number(head.get() - 1), &stamp());
                    prop_assert_eq!(stale.is_ok(), plain.shown == (text, false));
                }
            }
            // Every revision there ever was is still what it was, and they follow each other without a gap.
            let history = ledger.history(id).unwrap();
            prop_assert_eq!(history.len(), plain.told.len());
            for (index, (record, told)) in history.iter().rev().zip(&plain.told).enumerate() {
                prop_assert_eq!(record.number.get(), i64::try_from(index + 1).unwrap());
                let revision = ledger.at(id, record.number).unwrap();
                prop_assert_eq!(&revision.record, record);
                prop_assert_eq!(&revision.text, &told.0);
                prop_assert_eq!((record.is_deleted, record.name.clone()), (told.1, format!("n{}", told.2)));
            }
            // The list repeats the newest revision.
            let document = ledger.document(id).unwrap();
            let current = ledger.current(id).unwrap();
            prop_assert_eq!(document.head, current.record.number);
            prop_assert_eq!((&document.name, document.is_deleted), (&current.record.name, current.record.is_deleted));
            let copy: String =
                ledger.connection.query_row("SELECT text FROM searched", [], |row| row.get(0)).unwrap();
            prop_assert_eq!(copy, current.text);
        }
    }
}
