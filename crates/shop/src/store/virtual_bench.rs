//! The locomotives on the virtual bench of a store: their truths are documents, and what their decoders hold is part of them.
//!
//! What it is: the memory of a virtual decoder written into its truth at each write, so that like a real one it keeps what it holds
//! whatever happens to the program, and goes with the shop when that is copied; and a truth made from an order that has none, so that
//! every order can be practised on.
//! What it is not: the bench itself.

use std::collections::BTreeMap;

use bench::Locomotive;
use datasheets::{CvPlace, Shelf};
use finding::Path;
use forms::EditError;
use ledger::{DocumentId, Kind};
use serde_json::Value;
use workorder::{ComponentKind, WorkOrder};

use super::open::{Store, stamp};
use super::reading::{schema, shown_name};
use super::view::DocumentKey;
use crate::error::ShopError;
use crate::program::{self, Keep, Kept};

/// The remark in a truth that was made from its order.
const MADE: &str = "made from its work order, as planned";
/// The remark on a revision of a truth in which its decoder holds something else.
const WRITTEN: &str = "written by a run";
/// The meter across a motor that nobody metered: a usual can motor (common practice).
const USUAL_MOTOR: &str = "24 ohm";

/// A truth that keeps the memory of its decoder.
#[derive(Debug)]
pub(super) struct TruthMemory {
    store: Store,
    truth: DocumentId,
    by: String,
    /// What the decoder held when it was written down last.
    memory: BTreeMap<CvPlace, u8>,
    second: BTreeMap<CvPlace, u8>,
}

impl Store {
    /// Puts an order's locomotive on the bench. Where it has no truth yet, one is made from the order.
    pub(super) fn locomotive(
        &self,
        order: &WorkOrder,
        shelf: &Shelf,
        by: &str,
    ) -> Result<Kept<TruthMemory>, ShopError> {
        let number = order.order.number.as_str();
        let key = DocumentKey::new(Kind::BenchTruth, number);
        let mut ledger = self.ledger();
        let there = ledger.find(Kind::BenchTruth, number)?.filter(|truth| !truth.is_deleted);
        let text = match &there {
            Some(truth) => Some(ledger.current(truth.id)?.text),
            None => None,
        };
        let text = match text {
            Some(text) if !is_outdated(&text, order) => text,
            _ => {
                let text = truth_of(order)?;
                ledger.save(
                    Kind::BenchTruth,
                    number,
                    &text,
                    there.map(|truth| truth.head),
                    &stamp(by).with_note(MADE),
                )?;
                text
            }
        };
        let locomotive = program::locomotive(&shown_name(&key), &text, shelf)?;
        let truth = super::open::find(&ledger, &key)?.id;
        let keeper = TruthMemory {
            store: self.clone(),
            truth,
            by: by.to_owned(),
            memory: memory(&locomotive),
            second: second_memory(&locomotive),
        };
        Ok(Kept::new(locomotive, keeper))
    }
}

impl Keep for TruthMemory {
    fn keep(&mut self, locomotive: &Locomotive) -> Result<(), ShopError> {
        let (now, second) = (memory(locomotive), second_memory(locomotive));
        let changed = differing(&self.memory, &now);
        let second_changed = differing(&self.second, &second);
        self.store.ledger().together(|ledger| {
            let head = ledger.current(self.truth)?;
            let schema = schema(Kind::BenchTruth, "");
            let mut text = head.text;
            for (place, value) in changed {
                text = with_cv(schema, text, place, value)?;
            }
            for (place, value) in second_changed {
                let path = Path::new(format!("second.cv.CV{}", place.cv));
                text = forms::edit::set(schema, &text, &path, &value.to_string())?;
            }
            let stamp = stamp(&self.by).with_note(WRITTEN);
            ledger.save_upon(self.truth, &text, head.record.number, &stamp)?;
            Ok::<(), ShopError>(())
        })?;
        self.memory = now;
        self.second = second;
        Ok(())
    }
}

fn memory(locomotive: &Locomotive) -> BTreeMap<CvPlace, u8> {
    locomotive.memory().into_iter().collect()
}

fn second_memory(locomotive: &Locomotive) -> BTreeMap<CvPlace, u8> {
    locomotive.second_memory().into_iter().collect()
}

fn differing(before: &BTreeMap<CvPlace, u8>, now: &BTreeMap<CvPlace, u8>) -> Vec<(CvPlace, u8)> {
    let changed = now.iter().filter(|(place, value)| before.get(place) != Some(value));
    changed.map(|(place, value)| (*place, *value)).collect()
}

/// A truth whose decoder holds a value in a CV.
fn with_cv(schema: &Value, text: String, place: CvPlace, value: u8) -> Result<String, EditError> {
    let value = value.to_string();
    let Some((high, low)) = place.page else {
        return forms::edit::set(schema, &text, &Path::new(format!("cv.CV{}", place.cv)), &value);
    };
    let (high, low) = (high.to_string(), low.to_string());
    let is_page = |path: &Path| -> Result<bool, EditError> {
        let holds = |key: &str, wanted: &str| {
            let found = forms::edit::get(schema, &text, &path.join(key))?;
            Ok::<bool, EditError>(found.as_deref() == Some(wanted))
        };
        Ok(holds("high", &high)? && holds("low", &low)?)
    };
    let mut number = 1;
    let page = loop {
        let path = Path::new(format!("page.{number}"));
        match is_page(&path) {
            Ok(true) => break Some(path),
            Ok(false) => number += 1,
            Err(EditError::NoSuchEntry { .. }) => break None,
            Err(error) => return Err(error),
        }
    };
    let (text, page) = match page {
        Some(page) => (text, page),
        None => forms::edit::add_entry(schema, &text, &Path::new("page"), &[("high", &high), ("low", &low)])?,
    };
    forms::edit::set(schema, &text, &page.join("cv").join(format!("CV{}", place.cv)), &value)
}

/// Whether a truth was made from its order, which has another decoder now: then that one was put in, as delivered.
fn is_outdated(text: &str, order: &WorkOrder) -> bool {
    let Ok(read) = documents::read::<bench::Truth>("truth", text) else { return false };
    let decoder = order.plan.as_ref().and_then(|plan| plan.decoder.as_ref());
    let is_made = read.value.truth.note.as_deref() == Some(MADE);
    is_made && decoder.is_some_and(|decoder| *decoder != read.value.decoder.part)
}

/// A locomotive that is what its order says: parts as planned, wires as planned.
fn truth_of(order: &WorkOrder) -> Result<String, EditError> {
    let schema = schema(Kind::BenchTruth, "");
    let plan = order.plan.as_ref();
    let survey = order.survey.as_ref();
    let told = |value: Option<String>| value.unwrap_or_default();
    let motor = survey.and_then(|survey| survey.motor_resistance.as_ref()).map(ToString::to_string);
    let running = survey.and_then(|survey| survey.running_current).map(|current| current.to_string());
    let keep_alive = plan.and_then(|plan| plan.keep_alive.as_ref()).map(ToString::to_string);
    let head = [
        ("truth.order", order.order.number.to_string()),
        ("truth.title", order.order.model.clone()),
        ("truth.note", MADE.to_owned()),
        ("decoder.part", told(plan.and_then(|plan| plan.decoder.as_ref()).map(ToString::to_string))),
        ("motor.resistance", motor.unwrap_or_else(|| USUAL_MOTOR.to_owned())),
        ("motor.running-current", told(running)),
        ("keep-alive.part", told(keep_alive)),
    ];
    let mut text = String::new();
    for (path, value) in head {
        text = forms::edit::set(schema, &text, &Path::new(path), &value)?;
    }
    for (list, values) in entries(order) {
        let values: Vec<(&str, &str)> = values.iter().map(|(key, value)| (*key, value.as_str())).collect();
        text = forms::edit::add_entry(schema, &text, &Path::new(list), &values)?.0;
    }
    Ok(text)
}

type Entry = (&'static str, Vec<(&'static str, String)>);

/// The lists of a truth as an order has them.
fn entries(order: &WorkOrder) -> Vec<Entry> {
    let mut entries: Vec<Entry> = Vec::new();
    let (plan, survey) = (order.plan.as_ref(), order.survey.as_ref());
    let told = |value: Option<String>| value.unwrap_or_default();
    for pad in survey.iter().flat_map(|survey| &survey.pad) {
        entries.push(("pad", vec![("name", pad.name.to_string()), ("signal", pad.signal.to_string())]));
    }
    for (_, speaker) in order.planned_speakers() {
        let terminals: Vec<String> = speaker.terminals.iter().map(ToString::to_string).collect();
        let resistance = speaker.dc_resistance.as_ref().map(ToString::to_string);
        // A speaker without a sheet has at least its nominal impedance.
        let nominal = speaker.impedance.filter(|_| speaker.part.is_none()).map(|load| load.to_string());
        entries.push((
            "speaker",
            vec![
                ("name", speaker.name.to_string()),
                ("part", told(speaker.part.as_ref().map(ToString::to_string))),
                ("terminals", terminals.join(", ")),
                ("resistance", told(resistance.or(nominal))),
            ],
        ));
    }
    let components = plan.iter().flat_map(|plan| &plan.component);
    for component in components.chain(survey.iter().flat_map(|survey| &survey.component)) {
        let value = match component.kind {
            ComponentKind::Resistor => ("resistance", component.resistance.map(|value| value.to_string())),
            ComponentKind::Capacitor => ("capacitance", component.capacitance.map(|value| value.to_string())),
            ComponentKind::Inductor => ("inductance", component.inductance.map(|value| value.to_string())),
        };
        let head = [("name", component.name.to_string()), ("kind", component.kind.to_string())];
        entries.push(("component", head.into_iter().chain([(value.0, told(value.1))]).collect()));
    }
    let planned = plan.map_or(&[][..], |plan| &plan.wire);
    let found = survey.map_or(&[][..], |survey| &survey.wire);
    for wire in if planned.is_empty() { found } else { planned } {
        entries.push(("wire", vec![("from", wire.from.to_string()), ("to", wire.to.to_string())]));
    }
    for lamp in plan.iter().flat_map(|plan| &plan.lamp) {
        // A lamp that stays has no sheet, and the bench knows lamps by their sheets only.
        let Some(part) = &lamp.part else { continue };
        entries.push((
            "lamp",
            vec![
                ("name", lamp.name.to_string()),
                ("part", part.to_string()),
                ("output", lamp.output.to_string()),
                ("resistor", told(lamp.resistor.map(|resistor| resistor.to_string()))),
                ("driver", told(lamp.driver.map(|driver| driver.to_string()))),
            ],
        ));
    }
    entries
}
