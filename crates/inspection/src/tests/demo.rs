//! What the engine says about the demo's orders, in plain text: read each change of it before accepting.

use finding::Finding;
use workorder::WorkOrder;

use super::{files, here, inspected_in, order, shelf};
use crate::{Job, inspect};

/// An order's findings under its number.
fn told(order: &WorkOrder, findings: &[Finding]) -> String {
    let findings: String = findings.iter().map(|finding| format!("\n{finding}\n")).collect();
    format!("# {}: {}\n{findings}\n", order.order.number, order.order.model)
}

/// The findings of every unit of a train.
fn train(name: &str) -> String {
    let shelf = shelf(None);
    let train_file = here("../../demo/trains").join(name);
    let orders: Vec<WorkOrder> =
        files(&here("../../demo/orders")).iter().map(|file| order(file, &shelf).value).collect();
    orders
        .iter()
        .filter_map(|order| Some(told(order, &inspected_in(order, &orders, &train_file, &shelf)?.findings)))
        .collect()
}

/// The findings of an order that runs alone.
fn alone(name: &str) -> String {
    let shelf = shelf(None);
    let order = order(&here("../../demo/orders").join(name), &shelf).value;
    told(&order, &inspect(&Job { order: &order, shelf: &shelf, train: None }).findings)
}

#[test]
fn the_railcar_set() {
    insta::assert_snapshot!(train("railcar-set.toml"));
}

#[test]
fn the_night_mail() {
    insta::assert_snapshot!(train("night-mail.toml"));
}

#[test]
fn the_shunter_with_a_live_brush() {
    insta::assert_snapshot!(alone("V-0035.toml"));
}

#[test]
fn the_steam_locomotive() {
    insta::assert_snapshot!(alone("V-0036.toml"));
}
