//! Reading whole documents against the shelf: references to parts, leads that nobody has.

use std::collections::BTreeSet;

use datasheets::{PartKind, Shelf};
use documents::{Checker, Document, Faults, Name, nearest};
use finding::Path;

use crate::dossier::Dossier;
use crate::order::WorkOrder;
use crate::parts::{Component, Speaker, Wire};
use crate::terminal::Terminal;
use crate::train::Train;

/// Reads a work order and checks it against the shelf.
///
/// # Errors
/// Every fault at once; references are checked when everything could be read.
pub fn read_order(name: &str, text: &str, shelf: &Shelf) -> Result<Document<WorkOrder>, Faults> {
    let document = documents::read::<WorkOrder>(name, text)?;
    let mut checker = Checker::default();
    resolve(&document.value, shelf, &mut checker);
    document.with_faults(checker)
}

/// Reads a dossier and checks it against the shelf, as a work order's survey is.
///
/// # Errors
/// As [`read_order`].
pub fn read_dossier(name: &str, text: &str, shelf: &Shelf) -> Result<Document<Dossier>, Faults> {
    let document = documents::read::<Dossier>(name, text)?;
    let mut checker = Checker::default();
    resolve(&document.value.as_order(), shelf, &mut checker);
    document.with_faults(checker)
}

/// Reads a train; `orders` are the numbers of the work orders at hand.
///
/// # Errors
/// Every fault at once, units without a work order among them.
pub fn read_train<'a>(
    name: &str,
    text: &str,
    orders: impl IntoIterator<Item = &'a Name>,
) -> Result<Document<Train>, Faults> {
    let document = documents::read::<Train>(name, text)?;
    let known: BTreeSet<&str> = orders.into_iter().map(Name::as_str).collect();
    let mut checker = Checker::default();
    for (index, unit) in document.value.unit.iter().enumerate() {
        if !known.contains(unit.order.as_str()) {
            let path = Path::new(format!("unit.{}.order", index + 1));
            let help = nearest(unit.order.as_str(), known.iter().copied()).map_or_else(
                || "write the number of a work order that is at hand".to_owned(),
                |near| format!("did you mean `{near}`?"),
            );
            checker.fault(path, format!("there is no work order `{}`", unit.order), help);
        }
    }
    document.with_faults(checker)
}

/// Notes every reference of an order that leads nowhere.
pub fn resolve(order: &WorkOrder, shelf: &Shelf, checker: &mut Checker) {
    let none: &[Wire] = &[];
    if let Some(survey) = &order.survey {
        let named = survey.socket.as_ref().filter(|socket| socket.as_str() != "none");
        if let Some(socket) = named.filter(|socket| shelf.socket(socket).is_none()) {
            missing(PartKind::Socket, socket, shelf.sockets.keys(), Path::new("survey.socket"), checker);
        }
        for speaker in &survey.speaker {
            resolve_speaker(speaker, shelf, &Path::new(format!("survey.speaker.{}", speaker.name)), checker);
        }
    }
    if let Some(plan) = &order.plan {
        known(
            PartKind::Decoder,
            plan.decoder.as_ref(),
            shelf.decoders.keys(),
            Path::new("plan.decoder"),
            checker,
        );
        known(
            PartKind::KeepAlive,
            plan.keep_alive.as_ref(),
            shelf.keep_alives.keys(),
            Path::new("plan.keep-alive"),
            checker,
        );
        for speaker in &plan.speaker {
            resolve_speaker(speaker, shelf, &Path::new(format!("plan.speaker.{}", speaker.name)), checker);
        }
        resolve_plan_names(order, shelf, checker);
    }
    let leads = terminals(order);
    let wires = [
        ("survey.wire", order.survey.as_ref().map_or(none, |survey| &survey.wire)),
        ("plan.wire", order.plan.as_ref().map_or(none, |plan| &plan.wire)),
    ];
    for (list, wires) in wires {
        for (index, wire) in wires.iter().enumerate() {
            for (end, terminal) in [("from", &wire.from), ("to", &wire.to)] {
                if !leads.contains(terminal.as_str()) {
                    let help = nearest(terminal.as_str(), leads.iter().map(String::as_str)).map_or_else(
                        || "name a lead of a speaker or component of this order, a pad of the survey, `amplifier.1`, `amplifier.2`, `motor.1`, `motor.2`, `rail.left`, `rail.right` or `frame`".to_owned(),
                        |near| format!("did you mean `{near}`?"),
                    );
                    let path = Path::new(format!("{list}.{}.{end}", index + 1));
                    checker.fault(path, format!("nothing here has a terminal `{terminal}`"), help);
                }
            }
        }
    }
}

fn resolve_speaker(speaker: &Speaker, shelf: &Shelf, path: &Path, checker: &mut Checker) {
    known(PartKind::Speaker, speaker.part.as_ref(), shelf.speakers.keys(), path.join("part"), checker);
    known(
        PartKind::Enclosure,
        speaker.enclosure.as_ref(),
        shelf.enclosures.keys(),
        path.join("enclosure"),
        checker,
    );
}

fn resolve_plan_names(order: &WorkOrder, shelf: &Shelf, checker: &mut Checker) {
    let Some(plan) = &order.plan else { return };
    let found_speakers: Vec<&str> = order
        .survey
        .iter()
        .flat_map(|survey| survey.speaker.iter().map(|speaker| speaker.name.as_str()))
        .collect();
    for (index, name) in
        plan.remove.iter().enumerate().filter(|(_, name)| !found_speakers.contains(&name.as_str()))
    {
        let path = Path::new(format!("plan.remove.{}", index + 1));
        checker.fault(path, format!("the survey has no speaker `{name}`"), "name a speaker of the survey");
    }
    let found_lamps: Vec<&str> =
        order.survey.iter().flat_map(|survey| survey.lamp.iter().map(|lamp| lamp.name.as_str())).collect();
    let outputs: Vec<&str> = plan
        .decoder
        .as_ref()
        .and_then(|name| shelf.decoders.get(name))
        .map_or_else(Vec::new, |sheet| sheet.output.iter().map(|output| output.name.as_str()).collect());
    for lamp in &plan.lamp {
        let path = Path::new(format!("plan.lamp.{}", lamp.name));
        known(PartKind::Lamp, lamp.part.as_ref(), shelf.lamps.keys(), path.join("part"), checker);
        if let Some(found) = lamp.found.as_ref().filter(|found| !found_lamps.contains(&found.as_str())) {
            checker.fault(
                path.join("found"),
                format!("the survey has no lamp `{found}`"),
                "name a lamp of the survey",
            );
        }
        if !outputs.is_empty() && !outputs.contains(&lamp.output.as_str()) {
            let help = nearest(lamp.output.as_str(), outputs.iter().copied()).map_or_else(
                || format!("its outputs are {}", outputs.join(", ")),
                |near| format!("did you mean `{near}`?"),
            );
            checker.fault(path.join("output"), format!("the decoder has no output `{}`", lamp.output), help);
        }
    }
}

/// Every terminal that a wire of this order may name.
#[must_use]
pub fn terminals(order: &WorkOrder) -> BTreeSet<String> {
    let mut leads: BTreeSet<String> =
        ["frame", "amplifier.1", "amplifier.2", "motor.1", "motor.2", "rail.left", "rail.right"]
            .map(str::to_owned)
            .into();
    let speakers = order
        .survey
        .iter()
        .flat_map(|survey| &survey.speaker)
        .chain(order.plan.iter().flat_map(|plan| &plan.speaker));
    for speaker in speakers {
        let (plus, minus) = speaker.leads();
        leads.extend([plus.to_string(), minus.to_string()]);
    }
    let components = order
        .survey
        .iter()
        .flat_map(|survey| &survey.component)
        .chain(order.plan.iter().flat_map(|plan| &plan.component));
    for Component { name, .. } in components {
        leads.extend([format!("{name}.1"), format!("{name}.2")]);
    }
    let pads = order.survey.iter().flat_map(|survey| &survey.pad);
    leads.extend(pads.map(|pad| Terminal::of(Terminal::BOARD, pad.name.as_str()).to_string()));
    leads
}

fn known<'a>(
    kind: PartKind,
    name: Option<&Name>,
    names: impl Iterator<Item = &'a Name> + Clone,
    path: Path,
    checker: &mut Checker,
) {
    if let Some(name) = name
        && !names.clone().any(|known| known == name)
    {
        missing(kind, name, names, path, checker);
    }
}

fn missing<'a>(
    kind: PartKind,
    name: &Name,
    names: impl Iterator<Item = &'a Name>,
    path: Path,
    checker: &mut Checker,
) {
    let names: Vec<&str> = names.map(Name::as_str).collect();
    let help = match nearest(name.as_str(), names.iter().copied()) {
        Some(near) => format!("did you mean `{near}`?"),
        None if names.is_empty() => format!("there is no {kind} sheet on the shelf; add one"),
        None => format!("the shelf has {}", names.join(", ")),
    };
    checker.fault(path, format!("there is no {kind} sheet `{name}`"), help);
}
