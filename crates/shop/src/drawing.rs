//! Drawings of the speakers' report: wiring as found beside as planned, level and impedance curves, the meter rows.

use electrics::{Condition, Step};
use paper::drawing::{
    About, ImpedanceLabels, ImpedanceSeries, Paint, PlotLabels, Series, impedance_plot, impedance_table,
    response_plot, response_table,
};
use paper::{
    Badge, ColdChecks, DrawnPart, Figure, JointChange, MeterRow, PartShape, WireChange, WireRow, WiringPanel,
    WrongReading,
};
use quantities::{Frequency, Resistance};
use speakers::Wiring;

use crate::sound::{SoundReport, WiringReport};

/// The meter card and the wiring for the card.
pub(crate) fn cold_checks(report: &SoundReport) -> ColdChecks {
    let (found, planned) = (computed(&report.found), computed(&report.planned));
    ColdChecks {
        rows: report.meter.iter().map(meter_row).collect(),
        wiring: wiring(report).into_iter().collect(),
        wires: wire_rows(found.map(|report| &report.wiring), planned.map(|report| &report.wiring)),
    }
}

fn computed<E>(report: &Option<Result<WiringReport, E>>) -> Option<&WiringReport> {
    report.as_ref().and_then(|report| report.as_ref().ok())
}

fn meter_row(row: &speakers::MeterRow) -> MeterRow {
    let wrong = row
        .wrong
        .iter()
        .map(|(reading, means)| WrongReading { reading: reading.clone(), means: means.clone() });
    MeterRow {
        from: row.from.clone(),
        to: row.to.join(", "),
        expected: row.expect.clone(),
        wrong: wrong.collect(),
        found: None,
    }
}

/// The wiring as found beside as planned, with the joints to change.
pub(crate) fn wiring(report: &SoundReport) -> Option<Figure> {
    let steps = report.to_plan.as_ref().map_or(&[] as &[Step], |rework| &rework.steps);
    let mut panels = Vec::new();
    if let Some(found) = computed(&report.found) {
        panels.push(panel("as found", &found.wiring, steps, true));
    }
    if let Some(planned) = computed(&report.planned) {
        let mut panel = panel("as planned", &planned.wiring, steps, false);
        // The way that takes the fewest joints may use a wiring that is drawn differently and does the same.
        if let Some(rework) = &report.to_plan {
            panel.nets = rework.nets.iter().map(|net| reachable(net)).filter(|net| net.len() > 1).collect();
        }
        panels.push(panel);
    }
    if panels.is_empty() {
        return None;
    }
    let about = About {
        name: "wiring".to_owned(),
        title: "wiring as found and as planned".to_owned(),
        description:
            "Each set of joined terminals is one line; joints to change carry the number of their step."
                .to_owned(),
    };
    let caption = if steps.is_empty() {
        "Wiring".to_owned()
    } else {
        let told = speakers::told(report.to_plan.as_ref()?);
        let told: Vec<String> =
            told.iter().enumerate().map(|(index, step)| format!("{}. {step}", index + 1)).collect();
        format!("□ lift, ○ join, ◇ new wire. {}.", told.join("; "))
    };
    Some(Figure { caption, drawing: paper::wiring_diagram(&about, &panels, Paint::Page), table: None })
}

fn panel(title: &str, wiring: &Wiring, steps: &[Step], is_before: bool) -> WiringPanel {
    let parts: Vec<DrawnPart> = wiring
        .speakers
        .iter()
        .map(|speaker| DrawnPart {
            name: speaker.name.clone(),
            detail: format!("{}, {}", speaker.nominal, speaker.rating),
            shape: PartShape::Speaker,
            leads: speaker.leads.clone(),
            is_polarity_known: speaker.marking != electrics::Marking::Unknown,
        })
        .chain(components(wiring))
        .collect();
    let of_parts =
        |terminal: &String| parts.iter().any(|part| part.leads.0 == *terminal || part.leads.1 == *terminal);
    let mut pads = vec![wiring.outputs.0.clone(), wiring.outputs.1.clone()];
    for terminal in wiring.wires.iter().flat_map(|(from, to)| [from, to]) {
        if !of_parts(terminal) && !pads.contains(terminal) {
            pads.push(terminal.clone());
        }
    }
    let nets = nets(&wiring.wires).into_iter().map(|net| reachable(&net)).collect();
    WiringPanel { title: title.to_owned(), pads, parts, nets, badges: badges(steps, is_before) }
}

/// Resistors, capacitors and inductors of a wiring.
fn components(wiring: &Wiring) -> impl Iterator<Item = DrawnPart> + '_ {
    wiring.netlist.elements().filter(|(id, _)| !wiring.elements.contains(id)).map(|(id, element)| {
        let (one, two) = wiring.netlist.terminals_of(id);
        let detail = match &element.component {
            electrics::Component::Resistor(value) => value.to_string(),
            electrics::Component::Capacitor(value) => value.to_string(),
            electrics::Component::Inductor(value) => value.to_string(),
            electrics::Component::Speaker(_) => String::new(),
        };
        DrawnPart {
            name: element.name.clone(),
            detail,
            shape: PartShape::Component,
            leads: (one.to_owned(), two.to_owned()),
            is_polarity_known: true,
        }
    })
}

/// Steps as badges: what is lifted stands in the drawing of what was found, what is made in that of the plan.
fn badges(steps: &[Step], is_before: bool) -> Vec<Badge> {
    let mut badges = Vec::new();
    for (index, step) in steps.iter().enumerate() {
        let number = index + 1;
        let mut put =
            |terminal: &String, change| badges.push(Badge { terminal: terminal.clone(), change, number });
        match (step, is_before) {
            (Step::Lift { from, .. }, true) => put(from, JointChange::Lift),
            (Step::Join { to, .. }, false) => put(to, JointChange::Join),
            (Step::Lay { from, to }, false) => {
                put(from, JointChange::Lay);
                put(to, JointChange::Lay);
            }
            _ => {}
        }
    }
    badges
}

fn nets(wires: &[(String, String)]) -> Vec<Vec<String>> {
    speakers::joined_sets(wires)
}

/// With the decoder out, the amplifier itself is behind its pads.
fn reachable(net: &[String]) -> Vec<String> {
    let has_pad = net.iter().any(|terminal| terminal.starts_with("board."));
    net.iter().filter(|terminal| !(has_pad && terminal.starts_with("amplifier."))).cloned().collect()
}

fn wire_rows(found: Option<&Wiring>, planned: Option<&Wiring>) -> Vec<WireRow> {
    let none: &[(String, String)] = &[];
    let (before, after) =
        (found.map_or(none, |wiring| &wiring.wires), planned.map_or(none, |wiring| &wiring.wires));
    let same = |one: &(String, String), other: &(String, String)| {
        one == other || (&one.0, &one.1) == (&other.1, &other.0)
    };
    let row = |wire: &(String, String), change| WireRow { from: wire.0.clone(), to: wire.1.clone(), change };
    let gone = before
        .iter()
        .filter(|wire| !after.iter().any(|other| same(wire, other)))
        .map(|wire| row(wire, WireChange::TakenOff));
    let there = after.iter().map(|wire| {
        let stays = before.iter().any(|other| same(wire, other));
        row(wire, if stays { WireChange::Stays } else { WireChange::PutOn })
    });
    gone.chain(there).collect()
}

/// The level curves of both wirings, for the card.
pub(crate) fn figures(report: &SoundReport) -> Vec<Figure> {
    level_figure(report).into_iter().collect()
}

/// The level and impedance curves of both wirings; those that nothing can be drawn of are left out.
#[must_use]
pub fn sound_figures(report: &SoundReport) -> Vec<Figure> {
    [level_figure(report), impedance_figure(report)].into_iter().flatten().collect()
}

fn level_figure(report: &SoundReport) -> Option<Figure> {
    let series: Vec<Series> =
        [("as found", computed(&report.found)), ("as planned", computed(&report.planned))]
            .into_iter()
            .filter_map(|(label, report)| {
                let sounding = report?.sounding.as_ref().ok()?;
                let sounds = sounding.speakers.iter().any(|speaker| speaker.condition == Condition::Driven);
                sounds.then(|| Series { label: label.to_owned(), points: sounding.room_level.clone() })
            })
            .collect();
    if series.is_empty() {
        return None;
    }
    let about = About {
        name: "level".to_owned(),
        title: "level over frequency".to_owned(),
        description: "Computed level at the amplifier's full level, as a room hears it at 0.3 m.".to_owned(),
    };
    let mut labels = PlotLabels::new(about, "level in dB at 0.3 m, full level, computed");
    if let (Some(low), Some(high)) = (Frequency::from_hertz(100.0), Frequency::from_hertz(10_000.0)) {
        labels.frequencies = (low, high);
    }
    Some(Figure {
        caption:
            "Level as a room hears it at 0.3 m and the amplifier's full level, computed from the part sheets"
                .to_owned(),
        drawing: response_plot(&series, &labels, Paint::Page),
        table: Some(response_table(&series, &labels)),
    })
}

/// The load that the amplifier sees, beside the least that it stands.
fn impedance_figure(report: &SoundReport) -> Option<Figure> {
    let both = [("as found", computed(&report.found)), ("as planned", computed(&report.planned))];
    let mut series: Vec<ImpedanceSeries> = both
        .iter()
        .filter_map(|(label, report)| {
            let load = report.as_ref()?.sounding.as_ref().ok()?.load.as_ref()?;
            let points = load
                .points()
                .iter()
                .filter_map(|(at, impedance)| Some((*at, Resistance::from_ohms(impedance.norm())?)))
                .collect();
            Some(ImpedanceSeries { label: (*label).to_owned(), points })
        })
        .collect();
    let (from, to) = (Frequency::from_hertz(50.0)?, Frequency::from_hertz(16_000.0)?);
    let amplifier = both.iter().find_map(|(_, report)| Some(report.as_ref()?.wiring.amplifier))?;
    if series.is_empty() {
        return None;
    }
    if amplifier.is_told {
        let least = amplifier.bridge.least_load();
        series.push(ImpedanceSeries {
            label: "least allowed".to_owned(),
            points: vec![(from, least), (to, least)],
        });
    }
    let about = About {
        name: "impedance".to_owned(),
        title: "load over frequency".to_owned(),
        description: "Computed modulus of the load at the amplifier's outputs, beside the least nominal load that it stands."
            .to_owned(),
    };
    let labels = ImpedanceLabels { about, frequencies: (from, to) };
    Some(Figure {
        caption: "Load that the amplifier sees, computed from the part sheets".to_owned(),
        drawing: impedance_plot(&series, &labels, Paint::Page),
        table: Some(impedance_table(&series, &labels)),
    })
}
