//! Runs that are killed: whenever that happens, the next one goes on and ends in the same state.

use std::process::Stdio;
use std::time::Duration;

use crate::program::Folder;

/// Kills a run after each of several waits, then lets it end, and compares the decoder with one that was never disturbed.
#[test]
fn a_run_that_is_killed_again_and_again_ends_in_the_same_state() {
    let order = "orders/V-0036.toml";
    let undisturbed = Folder::with_demo("undisturbed");
    undisturbed.run(&["program", order]).ends_with(0);
    let memory = |folder: &Folder| std::fs::read_to_string(folder.path("runs/V-0036.memory")).unwrap();

    let folder = Folder::with_demo("killed");
    let mut n_killed = 0;
    for milliseconds in [5, 10, 20, 30, 45, 60, 80, 100, 130, 160, 200] {
        let mut child =
            folder.command(&["program", order]).stdout(Stdio::null()).stderr(Stdio::null()).spawn().unwrap();
        std::thread::sleep(Duration::from_millis(milliseconds));
        if child.try_wait().unwrap().is_none() {
            // SIGKILL: nothing of ours gets to tidy up.
            child.kill().unwrap();
            n_killed += 1;
        }
        child.wait().unwrap();
    }
    let ended = folder.run(&["program", "--format", "json", order]).ends_with(0).json();
    assert_eq!(ended["fulfilled"], true);
    assert!(n_killed > 0, "the run was over before it could be killed");
    assert_eq!(memory(&folder), memory(&undisturbed));
    folder.run(&["prove", order]).ends_with(0);
}
