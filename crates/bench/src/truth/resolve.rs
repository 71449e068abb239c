//! Reading a truth against the shelf: sheets that do not exist, terminals that nobody has, CVs that the decoder lacks.
//!
//! What it is: the same service that `workorder::resolve` does for work orders.
//! What it is not: a judgement of the wiring; that is what the bench is for.

use std::collections::BTreeSet;

use datasheets::{DecoderSheet, PartKind, Shelf};
use documents::{Checker, Document, Faults, Name, nearest};
use finding::Path;

use super::Truth;
use crate::memory::Memory;

/// Reads a truth and checks it against the shelf.
///
/// # Errors
/// Every fault at once; references are checked when everything could be read.
pub fn read_truth(name: &str, text: &str, shelf: &Shelf) -> Result<Document<Truth>, Faults> {
    let document = documents::read::<Truth>(name, text)?;
    let mut checker = Checker::default();
    resolve(&document.value, shelf, &mut checker);
    document.with_faults(checker)
}

/// Notes every reference of a truth that leads nowhere.
pub fn resolve(truth: &Truth, shelf: &Shelf, checker: &mut Checker) {
    let decoders = || shelf.decoders.keys();
    known(PartKind::Decoder, Some(&truth.decoder.part), decoders(), Path::new("decoder.part"), checker);
    if let Some(second) = &truth.second {
        known(PartKind::Decoder, Some(&second.part), decoders(), Path::new("second.part"), checker);
    }
    if let Some(keep_alive) = &truth.keep_alive {
        let path = Path::new("keep-alive.part");
        known(PartKind::KeepAlive, Some(&keep_alive.part), shelf.keep_alives.keys(), path, checker);
    }
    for speaker in &truth.speaker {
        let path = Path::new(format!("speaker.{}.part", speaker.name));
        known(PartKind::Speaker, speaker.part.as_ref(), shelf.speakers.keys(), path, checker);
    }
    let sheet = shelf.decoders.get(&truth.decoder.part);
    for lamp in &truth.lamp {
        let path = Path::new(format!("lamp.{}", lamp.name));
        known(PartKind::Lamp, Some(&lamp.part), shelf.lamps.keys(), path.join("part"), checker);
        if let (Some(output), Some(sheet)) = (&lamp.output, sheet) {
            let outputs = || sheet.output.iter().map(|output| output.name.as_str());
            if !outputs().any(|known| known == output.as_str()) {
                let help = format!("its outputs are {}", outputs().collect::<Vec<_>>().join(", "));
                checker.fault(path.join("output"), format!("the decoder has no output `{output}`"), help);
            }
        }
    }
    if let Some(sheet) = sheet {
        resolve_memory(truth, sheet, checker);
        resolve_terminals(truth, sheet, checker);
    }
}

fn resolve_memory(truth: &Truth, sheet: &DecoderSheet, checker: &mut Checker) {
    let memory = Memory::on_delivery(sheet);
    for (place, _) in truth.memory_overrides().filter(|(place, _)| memory.get(*place).is_none()) {
        let path = match place.page {
            None => Path::new(format!("cv.CV{}", place.cv)),
            Some(pair) => {
                let page = truth
                    .page
                    .iter()
                    .position(|page| (super::byte(page.high), super::byte(page.low)) == pair);
                Path::new(format!("page.{}.cv.CV{}", page.map_or(0, |index| index + 1), place.cv))
            }
        };
        checker.fault(path, format!("the decoder has no {place}"), "the decoder sheet says which CVs it has");
    }
}

fn resolve_terminals(truth: &Truth, sheet: &DecoderSheet, checker: &mut Checker) {
    let leads = leads(truth, sheet);
    let wires = truth.wire.iter().enumerate().map(|(index, wire)| ("wire", index, &wire.from, &wire.to));
    let contacts = truth
        .contact
        .iter()
        .enumerate()
        .map(|(index, contact)| ("contact", index, &contact.from, &contact.to));
    for (list, index, from, to) in wires.chain(contacts) {
        for (end, terminal) in [("from", from), ("to", to)] {
            if !leads.contains(terminal.as_str()) {
                let help = nearest(terminal.as_str(), leads.iter().map(String::as_str)).map_or_else(
                    || {
                        "name a lead of a speaker, lamp or component, a pad, `output.NAME`, `output.common`, \
                         `amplifier.1`, `motor.1`, `rail.left` or `frame`"
                            .to_owned()
                    },
                    |near| format!("did you mean `{near}`?"),
                );
                let path = Path::new(format!("{list}.{}.{end}", index + 1));
                checker.fault(path, format!("nothing here has a terminal `{terminal}`"), help);
            }
        }
    }
}

/// Every terminal of the model.
pub(crate) fn leads(truth: &Truth, sheet: &DecoderSheet) -> BTreeSet<String> {
    let mut leads: BTreeSet<String> = [
        "frame",
        "amplifier.1",
        "amplifier.2",
        "motor.1",
        "motor.2",
        "rail.left",
        "rail.right",
        "output.common",
    ]
    .map(str::to_owned)
    .into();
    for speaker in &truth.speaker {
        let (plus, minus) = speaker.true_leads();
        leads.extend([plus, minus]);
    }
    leads.extend(
        truth.component.iter().flat_map(|one| [format!("{}.1", one.name), format!("{}.2", one.name)]),
    );
    leads.extend(
        truth.lamp.iter().flat_map(|one| [format!("{}.plus", one.name), format!("{}.minus", one.name)]),
    );
    leads.extend(truth.pad.iter().map(|pad| format!("board.{}", pad.name)));
    leads.extend(sheet.output.iter().map(|output| format!("output.{}", output.name)));
    leads
}

fn known<'a>(
    kind: PartKind,
    name: Option<&Name>,
    names: impl Iterator<Item = &'a Name> + Clone,
    path: Path,
    checker: &mut Checker,
) {
    let Some(name) = name.filter(|name| !names.clone().any(|known| known == *name)) else { return };
    let names: Vec<&str> = names.map(Name::as_str).collect();
    let help = match nearest(name.as_str(), names.iter().copied()) {
        Some(near) => format!("did you mean `{near}`?"),
        None if names.is_empty() => format!("there is no {kind} sheet on the shelf; add one"),
        None => format!("the shelf has {}", names.join(", ")),
    };
    checker.fault(path, format!("there is no {kind} sheet `{name}`"), help);
}
