//! What the ohm-meter must read once the wiring is as planned, before any power.

use electrics::{DcSpread, Meter, MeterCard, MeterJob, meter_card};

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
