//! Every numbered check value of the wire standards is run by some table.

use std::collections::BTreeSet;

/// K134 and K135 are scale speeds; they belong to another room.
const ELSEWHERE: [&str; 2] = ["K134", "K135"];

#[test]
fn every_check_value_is_run() {
    let mut run = BTreeSet::new();
    run.extend(super::bidi::all_names());
    run.extend(super::cvs::all_names());
    run.extend(super::framing::all_names());
    run.extend(super::packets::all_names());
    run.extend(super::service::all_names());
    run.extend(super::service_durations::all_names());
    run.extend(super::speed_steps::all_names());
    run.extend(super::timing::all_names());
    let missing: Vec<String> = (1..=135)
        .map(|number| format!("K{number:02}"))
        .filter(|name| !run.contains(name.as_str()) && !ELSEWHERE.contains(&name.as_str()))
        .collect();
    assert!(missing.is_empty(), "no table runs {missing:?}");
}
