//! Tests of runs.

use super::{RunError, RunOutcome};
use crate::change::Subject;
use crate::identity::{DocumentId, RunId, Sequence};
use crate::kind::Kind;
use crate::ledger::Ledger;
use crate::moment::{Moment, Stamp};

fn stamp() -> Stamp<'static> {
    Stamp::new(Moment::from_unix_millis(5), "bench").with_note("first contact")
}

fn with_order() -> (Ledger, DocumentId) {
    let mut ledger = Ledger::in_memory().unwrap();
    let order = ledger.save(Kind::Order, "V-0031", "text", None, &stamp()).unwrap();
    (ledger, order.document)
}

#[test]
fn a_journal_comes_back_as_it_was_written() {
    let (mut ledger, order) = with_order();
    let run = ledger.begin_run(order, &stamp()).unwrap();
    let at = Moment::from_unix_millis(6);
    ledger.append_line(run, "{\"version\":1}\n", at).unwrap();
    ledger.append_line(run, "no line feed", at).unwrap();
    assert_eq!(ledger.journal(run).unwrap(), "{\"version\":1}\nno line feed\n");
    let record = ledger.run(run).unwrap();
    assert_eq!((record.n_lines, record.ended, record.note.as_str()), (2, None, "first contact"));
    for line in ["", "\n", "a\nb", "a\n\n"] {
        assert!(matches!(ledger.append_line(run, line, at), Err(RunError::NotALine)), "{line:?}");
    }
}

#[test]
fn an_unfinished_run_is_listed_until_it_ends() {
    let (mut ledger, order) = with_order();
    let run = ledger.begin_run(order, &stamp()).unwrap();
    let refused = ledger.begin_run(order, &stamp()).unwrap_err();
    assert_eq!(
        refused.to_string(),
        "run 1 of this order was cut off: take it up, undo it or give it up before another begins"
    );
    assert_eq!(ledger.unfinished_runs().unwrap().len(), 1);
    let end = Stamp::new(Moment::from_unix_millis(9), "bench");
    ledger.end_run(run, RunOutcome::GivenUp, &end).unwrap();
    assert!(ledger.unfinished_runs().unwrap().is_empty());
    assert_eq!(ledger.run(run).unwrap().ended, Some((RunOutcome::GivenUp, end.at)));
    let second = ledger.begin_run(order, &stamp()).unwrap();
    let ids: Vec<RunId> = ledger.runs_of(order).unwrap().iter().map(|run| run.id).collect();
    assert_eq!(ids, [second, run]);
    let subjects: Vec<Subject> =
        ledger.changes_since(Sequence::new(1), 9).unwrap().iter().map(|change| change.subject).collect();
    assert_eq!(subjects, [Subject::RunBegun(run), Subject::RunEnded(run), Subject::RunBegun(second)]);
}

#[test]
fn nothing_is_added_to_a_run_that_ended() {
    let (mut ledger, order) = with_order();
    let run = ledger.begin_run(order, &stamp()).unwrap();
    ledger.end_run(run, RunOutcome::Finished, &stamp()).unwrap();
    let refused = ledger.append_line(run, "x", stamp().at).unwrap_err();
    assert_eq!(
        refused.to_string(),
        "run 1 has ended (finished): nothing is added to its journal; begin another run"
    );
    assert!(matches!(ledger.end_run(run, RunOutcome::Undone, &stamp()), Err(RunError::HasEnded { .. })));
    let nobody = RunId::new(77);
    assert!(matches!(ledger.append_line(nobody, "x", stamp().at), Err(RunError::NoSuchRun { .. })));
    assert!(matches!(ledger.journal(nobody), Err(RunError::NoSuchRun { .. })));
    let nowhere = ledger.begin_run(DocumentId::new(77), &stamp());
    assert!(matches!(nowhere, Err(RunError::NoSuchDocument { .. })));
}

#[test]
fn the_file_itself_refuses_to_change_a_journal() {
    let (mut ledger, order) = with_order();
    let run = ledger.begin_run(order, &stamp()).unwrap();
    ledger.append_line(run, "x", stamp().at).unwrap();
    ledger.end_run(run, RunOutcome::Finished, &stamp()).unwrap();
    for sql in [
        "UPDATE entry SET line = 'y'",
        "DELETE FROM entry",
        "UPDATE run SET outcome = NULL",
        "UPDATE run SET outcome = 'undone'",
        "UPDATE run SET by = 'x'",
        "DELETE FROM run",
    ] {
        let refused = ledger.connection.execute(sql, []).unwrap_err().to_string();
        assert!(refused.contains("history is never rewritten"), "{sql}: {refused}");
    }
}

#[test]
fn a_line_that_fell_over_or_is_missing_is_noticed() {
    for sql in ["UPDATE entry SET line = 'b' WHERE number = 1", "DELETE FROM entry WHERE number = 1"] {
        let (mut ledger, order) = with_order();
        let run = ledger.begin_run(order, &stamp()).unwrap();
        for line in ["a", "c"] {
            ledger.append_line(run, line, stamp().at).unwrap();
        }
        ledger.connection.execute_batch("DROP TRIGGER entry_stays; DROP TRIGGER entry_is_kept").unwrap();
        ledger.connection.execute(sql, []).unwrap();
        let hit = ledger.journal(run).unwrap_err().to_string();
        assert!(hit.contains("line 1 of the journal of run 1"), "{hit}");
    }
}
