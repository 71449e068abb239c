//! Tests of the search.

use proptest::prelude::*;

use super::{Found, Piece, SearchQuery, expression, pieces};
use crate::board::Told;
use crate::identity::RevisionNumber;
use crate::kind::Kind;
use crate::ledger::Ledger;
use crate::moment::{Moment, Stamp};

fn stamp() -> Stamp<'static> {
    Stamp::new(Moment::from_unix_millis(5), "bench")
}

fn query(words: &str) -> SearchQuery<'_> {
    SearchQuery { words, kind: None, offset: 0, limit: 10 }
}

fn names(found: &Found) -> Vec<&str> {
    found.hits.iter().map(|hit| hit.document.name.as_str()).collect()
}

fn with_documents() -> Ledger {
    let mut ledger = Ledger::in_memory().unwrap();
    for (kind, name, text) in [
        (Kind::Order, "V-0031", "model = \"Vesper Lake railcar\"\nclient = \"Élodie\"\n"),
        (Kind::Order, "V-0032", "model = \"Vesper Lake shunter\"\nnote = \"see V-0031\"\n"),
        (Kind::Part, "oval-15x11", "impedance = \"8 ohm\"\n"),
    ] {
        ledger.save(kind, name, text, None, &stamp()).unwrap();
    }
    ledger
}

#[test]
fn words_are_found_by_their_beginnings_in_any_case_and_without_accents() {
    let ledger = with_documents();
    let found = |words| ledger.search(&query(words)).unwrap();
    assert_eq!(names(&found("shunt")), ["V-0032"]);
    assert_eq!(names(&found("ELODIE")), ["V-0031"]);
    assert_eq!(names(&found("lake railcar")), ["V-0031"]);
    assert_eq!(names(&found("15x")), ["oval-15x11"]);
    assert_eq!(names(&found("lake trolley")), Vec::<&str>::new());
    // A name weighs more than a mention.
    assert_eq!(names(&found("V-0031")), ["V-0031", "V-0032"]);
    let parts = ledger.search(&SearchQuery { kind: Some(Kind::Part), ..query("8") }).unwrap();
    assert_eq!(names(&parts), ["oval-15x11"]);
    let first = ledger.search(&SearchQuery { limit: 1, ..query("vesper") }).unwrap();
    let second = ledger.search(&SearchQuery { limit: 1, offset: 1, ..query("vesper") }).unwrap();
    assert_eq!((first.hits.len(), first.has_more), (1, true));
    assert_eq!((second.hits.len(), second.has_more), (1, false));
    assert_ne!(names(&first), names(&second));
}

#[test]
fn an_excerpt_says_where_the_match_is() {
    let ledger = with_documents();
    let found = ledger.search(&query("shunt")).unwrap();
    let piece = |text: &str, is_match| Piece { text: text.to_owned(), is_match };
    assert_eq!(
        found.hits[0].excerpt,
        [
            piece("model = \"Vesper Lake ", false),
            piece("shunter", true),
            piece("\"\nnote = \"see V-0031\"\n", false)
        ]
    );
    assert_eq!(pieces("\u{E000}a\u{E001} b"), [piece("a", true), piece(" b", false)]);
}

#[test]
fn what_was_told_is_found_and_what_changed_is_not_found_any_more() {
    let mut ledger = with_documents();
    let id = ledger.find(Kind::Order, "V-0031").unwrap().unwrap().id;
    let told = Told {
        title: "the night mail's railcar".to_owned(),
        notes: "brush touches the frame".to_owned(),
        findings: "stop: speakers in opposition".to_owned(),
        board: None,
    };
    ledger.tell(id, RevisionNumber::FIRST, &told).unwrap();
    for words in ["night", "brush", "opposition"] {
        assert_eq!(names(&ledger.search(&query(words)).unwrap()), ["V-0031"], "{words}");
    }
    ledger.save_upon(id, "model = \"tram\"\n", RevisionNumber::FIRST, &stamp()).unwrap();
    assert_eq!(names(&ledger.search(&query("railcar elodie")).unwrap()), Vec::<&str>::new());
    assert_eq!(names(&ledger.search(&query("tram")).unwrap()), ["V-0031"]);
    ledger.rename(id, "W-1", RevisionNumber::new(2), &stamp()).unwrap();
    assert_eq!(names(&ledger.search(&query("W-1")).unwrap()), ["W-1"]);
    ledger.delete(id, RevisionNumber::new(3), &stamp()).unwrap();
    assert_eq!(names(&ledger.search(&query("tram")).unwrap()), Vec::<&str>::new());
    ledger.rebuild_search().unwrap();
    ledger.undo(id, RevisionNumber::new(4), &stamp()).unwrap();
    assert_eq!(names(&ledger.search(&query("tram")).unwrap()), ["W-1"]);
}

#[test]
fn where_almost_everything_is_found_the_newest_come_first() {
    let mut ledger = Ledger::in_memory().unwrap();
    let n_documents = super::MOST_RANKED + 1;
    let save = |ledger: &mut Ledger, index: i64| {
        ledger.save(Kind::Order, &format!("V-{index:04}"), "lake", None, &stamp()).map(|_| ())
    };
    ledger.together(|ledger| (1..n_documents).try_for_each(|index| save(ledger, index))).unwrap();
    let ranked = ledger.search(&query("lake")).unwrap();
    save(&mut ledger, n_documents).unwrap();
    let newest = ledger.search(&query("lake")).unwrap();
    assert_eq!((ranked.hits.len(), ranked.has_more), (10, true));
    assert_eq!(names(&newest)[..2], ["V-2001", "V-2000"]);
    assert_eq!(newest.hits[0].excerpt, [Piece { text: "lake".to_owned(), is_match: true }]);
}

#[test]
fn queries_are_made_of_words_only() {
    assert_eq!(expression("  V-0031 horn "), Some("\"V-0031\"* \"horn\"*".to_owned()));
    assert_eq!(expression("\"a\" OR b*"), Some("\"a\"* \"OR\"* \"b*\"*".to_owned()));
    assert_eq!(expression(" -- ** () \" "), None);
    assert_eq!(expression(&"word ".repeat(50)).unwrap().matches("word").count(), 12);
}

proptest! {
    #[test]
    fn no_input_makes_the_search_fail(words in "\\PC{0,40}|[\\x00-\\x7f]{0,30}|[\"*():^+\\-a-c {}]{0,30}") {
        let ledger = with_documents();
        prop_assert!(ledger.search(&query(&words)).is_ok(), "{words:?}");
    }

    #[test]
    fn every_word_of_a_document_finds_it(text in "[a-zé0-9]{1,9}( [a-z0-9]{1,9}){0,6}", cut in 1usize..9) {
        let mut ledger = Ledger::in_memory().unwrap();
        ledger.save(Kind::Order, "n", &text, None, &stamp()).unwrap();
        for word in text.split(' ') {
            let beginning: String = word.chars().take(cut).collect();
            let found = ledger.search(&query(&beginning)).unwrap();
            prop_assert_eq!(found.hits.len(), 1, "{:?} in {:?}", beginning, text);
        }
    }
}
