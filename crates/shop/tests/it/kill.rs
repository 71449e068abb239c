//! A program that is killed in mid-programming: the run is taken up and ends as it would have.

use std::io::{BufRead, BufReader};
use std::path::Path;
use std::process::{Command, Stdio};

use shop::{DocumentKey, Kind, Pace, RunState, Store, Task};

use crate::TABLET;

/// The environment variable that names the shop to the program that will be killed.
const SHOP: &str = "BACKSHOP_TEST_SHOP";
const ORDER: &str = "V-0032";

/// What the child process does, and nothing where this is run as one of the tests.
#[test]
fn child_programs_an_order() {
    let Some(shop) = std::env::var_os(SHOP) else { return };
    let store = Store::open(Path::new(&shop)).unwrap();
    let heard = store.subscribe();
    let run = store.start_run(ORDER, Task::Program, Pace::Unpaced, TABLET).unwrap();
    std::thread::spawn(move || {
        while heard.next().is_some() {
            println!("act");
        }
    });
    store.wait_for_run(run).unwrap();
    println!("over");
}

fn memory(store: &Store) -> String {
    store.document(&DocumentKey::new(Kind::BenchTruth, ORDER)).unwrap().text
}

/// Lines of a truth in no order, since the memory of two runs was written in different steps.
fn lines(text: &str) -> Vec<&str> {
    let mut lines: Vec<&str> = text.lines().collect();
    lines.sort_unstable();
    lines
}

#[test]
fn a_run_that_was_killed_is_taken_up_and_ends_the_same() {
    let folder = tempfile::tempdir().unwrap();
    let template = folder.path().join("template");
    let store = Store::open(&template).unwrap();
    store.fill_demo("demo").unwrap();
    store.back_up(&folder.path().join("undisturbed")).unwrap();
    let undisturbed = Store::open(&folder.path().join("undisturbed")).unwrap();
    let run = undisturbed.start_run(ORDER, Task::Program, Pace::Unpaced, TABLET).unwrap();
    assert_eq!(undisturbed.wait_for_run(run).unwrap().state, RunState::Proven);

    for n_acts in [2, 12, 25, 40] {
        let file = folder.path().join(format!("killed-after-{n_acts}"));
        store.back_up(&file).unwrap();
        let mut child = Command::new(std::env::current_exe().unwrap())
            .args(["kill::child_programs_an_order", "--exact", "--nocapture"])
            .env(SHOP, &file)
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()
            .unwrap();
        let told = BufReader::new(child.stdout.take().unwrap()).lines();
        let acts = told.map_while(Result::ok).filter(|line| line.ends_with("act")).take(n_acts).count();
        child.kill().unwrap();
        child.wait().unwrap();
        assert_eq!(acts, n_acts, "the child was killed in the middle");

        let store = Store::open(&file).unwrap();
        let unfinished = store.unfinished_runs().unwrap();
        // Told acts may lag behind done ones; a run that was over before the kill needs no taking up.
        if let Some(run) = unfinished.first() {
            assert!(matches!(run.state, RunState::CutOff { .. }));
            store.take_up_run(run.id, Pace::Unpaced, TABLET).unwrap();
            store.wait_for_run(run.id).unwrap();
        }
        let run = store.runs(ORDER).unwrap().remove(0);
        assert_eq!(run.state, RunState::Proven, "killed after {n_acts} acts: {run:?}");
        assert!(n_acts > 2 || run.n_taken_up == 1, "killed early, it must have been taken up");
        assert_eq!(lines(&memory(&store)), lines(&memory(&undisturbed)), "killed after {n_acts} acts");
        assert!(store.verify().unwrap().is_sound());
    }
}
