//! What the ohm-meter must read once the wiring is as planned, before any power.

use electrics::{DcSpread, Fault, Meter, MeterCard, MeterJob, meter_card};
use workorder::Terminal;

use crate::placed::Placed;
use crate::wiring::Wiring;

/// Terminals that must be connected with nothing.
pub(crate) const APART: [&str; 5] = ["frame", "rail.left", "rail.right", "motor.1", "motor.2"];

/// The meter card of a planned wiring; the found one tells what a joint that was left as it was would read.
#[must_use]
pub fn meter_card_of(found: Option<&Wiring>, planned: &Wiring) -> MeterCard {
    let apart = APART.map(str::to_owned);
    let job = MeterJob {
        wanted: &planned.netlist,
        found: found.map(|found| &found.netlist),
        apart: &apart,
        meter: Meter::cheap(),
    };
    let spread = |element| {
        let place = planned.elements.iter().position(|known| *known == element);
        place.map_or_else(
            || DcSpread::of_nominal(planned.amplifier.bridge.least_load()),
            |place| spread_of(&planned.speakers[place]),
        )
    };
    meter_card(&job, spread)
}

/// How far a speaker's coil may be from its expected resistance: least when it was measured on this very part.
fn spread_of(speaker: &Placed) -> DcSpread {
    match speaker.measured {
        Some(measured) => DcSpread::measured(measured),
        None if speaker.is_coil_told => DcSpread::of_sheet(speaker.driver().parameters().coil_resistance),
        None => DcSpread::of_nominal(speaker.nominal),
    }
}

/// One row of the card as it is printed: one lead held still, the other led to one or more places that read alike.
#[derive(Debug, Clone, PartialEq)]
pub struct MeterRow {
    /// Where one lead goes.
    pub from: String,
    /// Where the other goes, one after another.
    pub to: Vec<String>,
    /// What the meter must show.
    pub expect: String,
    /// What else it might show, and what that means.
    pub wrong: Vec<(String, String)>,
}

/// The rows of a card, points that read alike put together.
#[must_use]
pub fn meter_rows(card: &MeterCard) -> Vec<MeterRow> {
    let mut rows: Vec<MeterRow> = Vec::new();
    for point in &card.points {
        let wrong: Vec<(String, String)> = point
            .wrong
            .iter()
            .map(|wrong| {
                let meanings: Vec<String> = wrong.meanings.iter().map(meaning).collect();
                (wrong.reading.to_string(), meanings.join("; or "))
            })
            .collect();
        let expect = point.expect.to_string();
        let alike =
            rows.iter_mut().find(|row| row.from == point.from && row.expect == expect && row.wrong == wrong);
        match alike {
            Some(row) => row.to.push(point.to.clone()),
            None => {
                rows.push(MeterRow { from: point.from.clone(), to: vec![point.to.clone()], expect, wrong })
            }
        }
    }
    rows
}

fn meaning(fault: &Fault) -> String {
    let Fault::Touches { terminals, .. } = fault else { return fault.to_string() };
    // With the decoder out nobody can reach the amplifier itself.
    let reachable: Vec<&str> = terminals
        .iter()
        .map(String::as_str)
        .filter(|terminal| !terminal.starts_with(Terminal::AMPLIFIER))
        .collect();
    format!("{} touches it: stop", reachable.join(" or "))
}
