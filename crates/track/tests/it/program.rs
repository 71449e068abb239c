//! Orders of the demo programmed and proved on the bench.

use bench::Locomotive;
use track::{Report, Run, RunError, VirtualLink, WayOut};

use crate::demo::{Order, locomotive, truth};

pub(crate) fn programmed(order: &Order, locomotive: &mut Locomotive) -> Result<Report, RunError> {
    let mut run = Run::begin(order.job(), Vec::new())?;
    run.proceed(&mut VirtualLink::new(locomotive), |_, _| {})
}

#[track_caller]
fn check_fulfilled(number: &str) -> Report {
    let order = Order::of_demo(number);
    assert!(!order.settled.targets.is_empty());
    let mut locomotive = locomotive(number, 7);
    let report = programmed(&order, &mut locomotive).unwrap_or_else(|error| panic!("{number}: {error}"));
    assert!(report.is_fulfilled(), "{number}: {report:#?}");
    let memory = locomotive.memory();
    for target in order.settled.targets.iter() {
        let (_, content) = memory.iter().find(|(place, _)| *place == target.place).unwrap();
        assert!(target.is_met_by(*content), "{number}: {} really holds {content}", target.place);
    }
    report
}

#[test]
fn orders_are_programmed_and_proved() {
    for number in ["V-0031", "V-0033", "V-0036"] {
        let report = check_fulfilled(number);
        let times = report.rail_times;
        assert!(
            times.readings < times.readings_plain,
            "{number}: guesses save time on a decoder as delivered"
        );
    }
}

#[test]
fn dirt_and_noise_keep_nobody_from_programming() {
    for number in ["V-0032", "V-0034", "V-0037"] {
        check_fulfilled(number);
    }
}

#[test]
fn the_shunter_with_its_brush_on_the_frame_is_not_programmed() {
    let order = Order::of_demo("V-0035");
    let mut locomotive = locomotive("V-0035", 7);
    let before = locomotive.memory();
    let error = programmed(&order, &mut locomotive).unwrap_err();
    assert_eq!(error.way_out(), WayOut::FindShort, "{error}");
    assert!(error.to_string().ends_with("5 A, more than any motor lets through, in one stroke"), "{error}");
    assert_eq!(locomotive.memory(), before);
}

#[test]
fn a_cut_of_the_power_is_told_and_survived() {
    let order = Order::of_demo("V-0031");
    let mut cut = truth("faults/power-cut");
    for packet in [30, 80, 300, 900, 1500] {
        cut.cut.as_mut().unwrap().packet = documents::Bounded::new(packet).unwrap();
        let mut locomotive = Locomotive::new(&cut, crate::demo::shelf(), 1).unwrap();
        let mut run = Run::begin(order.job(), Vec::new()).unwrap();
        let error = run.proceed(&mut VirtualLink::new(&mut locomotive), |_, _| {}).unwrap_err();
        assert_eq!(error.way_out(), WayOut::SeeToContact, "packet {packet}: {error}");
        let report = run.proceed(&mut VirtualLink::new(&mut locomotive), |_, _| {}).unwrap();
        assert!(report.is_fulfilled(), "packet {packet}: {report:#?}");
    }
}
