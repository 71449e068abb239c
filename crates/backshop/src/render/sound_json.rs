//! What the speakers will do, for machines.

use electrics::LoadVerdict;
use serde_json::{Value, json};
use shop::{SoundReport, WiringReport};
use speakers::{Sounding, WiringError};

/// The whole report.
pub(crate) fn report(report: &SoundReport) -> Value {
    json!({
        "found": report.found.as_ref().map(wiring),
        "planned": report.planned.as_ref().map(wiring),
        "wirings": report.proposals.as_ref().map(|proposals| {
            let one = |one: &electrics::RankedArrangement| json!({
                "wiring": proposals.in_signs(one),
                "nominal-ohm": one.nominal.as_ohms(),
                "level-db": one.level.as_decibels_re_20_micropascal(),
                "fits": one.verdict == LoadVerdict::Fits,
                "within-ratings": one.is_within_ratings(),
                "even": one.is_even,
            });
            proposals.ranked.iter().map(one).collect::<Vec<_>>()
        }),
        "rework": report.to_plan.as_ref().map(|rework| json!({
            "steps": speakers::told(rework),
            "joints": rework.n_joints,
            "least": rework.is_least,
        })),
        "meter-card": report.meter.iter().map(|row| json!({
            "from": row.from,
            "to": row.to,
            "expect": row.expect,
            "wrong": row.wrong.iter().map(|(reading, meaning)| json!({ "reading": reading, "meaning": meaning })).collect::<Vec<_>>(),
        })).collect::<Vec<_>>(),
    })
}

fn wiring(report: &Result<WiringReport, WiringError>) -> Value {
    match report {
        Err(error) => json!({ "error": error.to_string() }),
        Ok(report) => {
            let assumed: Vec<Value> = report
                .assumed
                .iter()
                .map(|(speaker, assumed)| {
                    json!({ "speakers": speaker, "what": assumed.what, "taken": assumed.taken, "rule": assumed.rule })
                })
                .collect();
            match &report.sounding {
                Err(reason) => json!({ "error": reason, "assumed": assumed }),
                Ok(sounding) => sounding_value(sounding, assumed),
            }
        }
    }
}

fn sounding_value(sounding: &Sounding, assumed: Vec<Value>) -> Value {
    let speakers: Vec<Value> = sounding
        .speakers
        .iter()
        .map(|speaker| {
            json!({
                "name": speaker.name,
                "condition": format!("{:?}", speaker.condition),
                "volts": speaker.voltage.as_volts(),
                "watts": speaker.power.as_watts(),
                "rated-watts": speaker.rating.as_watts(),
                "travel-mm": speaker.most_travel.map(|(travel, _)| travel.as_metres() * 1000.0),
                "stands-mm": speaker.linear_travel.as_metres() * 1000.0,
            })
        })
        .collect();
    let bands: Vec<Value> = sounding
        .bands
        .iter()
        .map(|band| {
            json!({
                "octave-hz": band.band.nominal().as_hertz(),
                "level-db": band.level.as_decibels_re_20_micropascal(),
                "against-one-db": band.against_one.map(|gain| gain.as_decibels()),
            })
        })
        .collect();
    let opposed: Vec<Value> = sounding
        .opposed
        .iter()
        .map(|pair| {
            let losses: Vec<f64> = pair.losses.iter().map(|loss| loss.against_in_phase.as_decibels()).collect();
            json!({ "one": pair.one, "other": pair.other, "spacing-mm": pair.spacing.as_metres() * 1000.0, "loss-db": losses })
        })
        .collect();
    json!({
        "nominal-ohm": sounding.nominal.map(|load| load.as_ohms()),
        "least-ohm": sounding.least.as_ref().map(|least| least.modulus.as_ohms()),
        "least-at-hz": sounding.least.as_ref().map(|least| least.at.as_hertz()),
        "fits": sounding.verdict.as_ref().map(|verdict| *verdict == LoadVerdict::Fits),
        "safe": sounding.safe.as_ref().map(|safe| json!({
            "volts": safe.voltage.as_volts(), "below-full-db": safe.below_full.as_decibels(), "limit": safe.limit,
        })),
        "speakers": speakers,
        "bands": bands,
        "opposed": opposed,
        "assumed": assumed,
    })
}
