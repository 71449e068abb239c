//! A kill at any moment loses at most the call that has not returned.

use std::io::{BufRead, BufReader, Read, Write};

use ledger::{DocumentError, Kind, Ledger, Place, Reading, RunError, StoreError};

use crate::programs::{Folder, other_programs_shop, start};
use crate::sample::{number, stamp};

/// What the other program saves as revision `n`.
fn text(n: i64) -> String {
    format!("{}revision {n}\n", "a line that stays\n".repeat(usize::try_from(n % 90).unwrap()))
}

fn reading(n: i64) -> Reading {
    Reading { place: Place { page: None, cv: 1 }, value: u8::try_from(n % 256).ok() }
}

/// Saves, journals and snapshots in a loop, and tells each number once it is kept.
#[test]
fn other_program_that_saves() {
    let Some(shop) = other_programs_shop() else { return };
    let mut ledger = Ledger::open(&shop).unwrap();
    let order = ledger.find(Kind::Order, "V-0031").unwrap().unwrap();
    let run = ledger.unfinished_runs().unwrap()[0].id;
    let mut out = std::io::stdout();
    for n in order.head.get() + 1.. {
        ledger.save_upon(order.id, &text(n), number(n - 1), &stamp(n)).unwrap();
        writeln!(out, "\nkept revision {n}").unwrap();
        ledger.append_line(run, &format!("line {n}"), stamp(n).at).unwrap();
        writeln!(out, "\nkept line {n}").unwrap();
        ledger.keep_snapshot(order.id, Some(run), "demo", &[reading(n)], &stamp(n)).unwrap();
        writeln!(out, "\nkept snapshot {n}").unwrap();
    }
}

#[test]
fn what_was_acknowledged_survives_a_kill() {
    let folder = Folder::new();
    let shop = folder.file("shop.sqlite");
    {
        let mut ledger = Ledger::open(&shop).unwrap();
        let order = ledger.save(Kind::Order, "V-0031", &text(1), None, &stamp(1)).unwrap();
        ledger.begin_run(order.document, &stamp(1)).unwrap();
    }
    let (mut revision, mut n_lines, mut n_snapshots) = (1_i64, 0_i64, 0_i64);
    for round in 0..12_usize {
        let mut child = start("kill::other_program_that_saves", &shop);
        let mut told = BufReader::new(child.stdout.take().unwrap()).lines().map_while(Result::ok);
        let is_told = |line: &String| line.starts_with("kept");
        // Killed after another number of acts in each round, wherever the program is by then.
        let mut kept: Vec<String> = told.by_ref().filter(is_told).take(7 + 5 * round).collect();
        child.kill().unwrap();
        kept.extend(told.filter(is_told));
        child.wait().unwrap();
        let mut errors = String::new();
        child.stderr.take().unwrap().read_to_string(&mut errors).unwrap();
        assert!(kept.len() >= 7 + 5 * round, "the other program ended by itself: {errors}");
        let last = |what: &str| -> Option<i64> {
            let of_what = kept.iter().filter_map(|line| line.strip_prefix(&format!("kept {what} ")));
            of_what.map(|number| number.parse().unwrap()).max()
        };
        let count =
            |what: &str| i64::try_from(kept.iter().filter(|line| line.contains(what)).count()).unwrap();

        let ledger = Ledger::open(&shop).unwrap();
        let verification = ledger.verify().unwrap();
        assert!(verification.is_sound(), "round {round}: {:?}", verification.damages);
        let order = ledger.find(Kind::Order, "V-0031").unwrap().unwrap();
        let head = order.head.get();
        let acknowledged = last("revision").unwrap();
        // At most the one act that was under way when the kill came is there without having been told.
        assert!(
            (acknowledged..=acknowledged + 1).contains(&head),
            "round {round}: {head}, told {acknowledged}"
        );
        for n in revision + 1..=head {
            assert_eq!(ledger.at(order.id, number(n)).unwrap().text, text(n));
        }
        revision = head;
        let run = ledger.unfinished_runs().unwrap().remove(0);
        let journal = ledger.journal(run.id).unwrap();
        let lines = i64::try_from(journal.lines().count()).unwrap();
        let expected = n_lines + count("line");
        assert!((expected..=expected + 1).contains(&lines), "round {round}: {lines} lines, told {expected}");
        assert!(journal.contains(&format!("line {}\n", last("line").unwrap())));
        n_lines = lines;
        let snapshots = ledger.snapshots_of(order.id).unwrap();
        let n_found = i64::try_from(snapshots.len()).unwrap();
        let expected = n_snapshots + count("snapshot");
        assert!(
            (expected..=expected + 1).contains(&n_found),
            "round {round}: {n_found} snapshots, told {expected}"
        );
        n_snapshots = n_found;
    }
}

/// Two programs that save on the same order: of two that saw the same revision, one is refused.
#[test]
fn other_program_that_competes() {
    let Some(shop) = other_programs_shop() else { return };
    let mut ledger = Ledger::open(&shop).unwrap();
    let id = ledger.find(Kind::Order, "V-0031").unwrap().unwrap().id;
    let mut n_kept = 0;
    while n_kept < 60 {
        let head = ledger.document(id).unwrap().head;
        match ledger.save_upon(id, &format!("{} {n_kept}", std::process::id()), head, &stamp(0)) {
            Ok(_) => n_kept += 1,
            Err(DocumentError::Conflict(_) | DocumentError::Store(StoreError::Locked)) => {}
            Err(error) => panic!("{error}"),
        }
    }
}

#[test]
fn programs_that_save_at_once_overwrite_nothing() {
    let folder = Folder::new();
    let shop = folder.file("shop.sqlite");
    let mut ledger = Ledger::open(&shop).unwrap();
    let order = ledger.save(Kind::Order, "V-0031", "begin", None, &stamp(1)).unwrap().document;
    let children = [(); 3].map(|()| start("kill::other_program_that_competes", &shop));
    for child in children {
        let output = child.wait_with_output().unwrap();
        assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    }
    let history = ledger.history(order).unwrap();
    assert_eq!(history.len(), 1 + 3 * 60, "every save that was kept is a revision of its own");
    assert!(ledger.verify().unwrap().is_sound());
    // And only one of two programs begins a run.
    ledger.begin_run(order, &stamp(2)).unwrap();
    let mut other = Ledger::open(&shop).unwrap();
    assert!(matches!(other.begin_run(order, &stamp(2)), Err(RunError::Unfinished { .. })));
}
