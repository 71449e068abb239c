//! A current on the programming track that is no decoder at rest.

use finding::{Path, Severity};
use quantities::Current;

use crate::answers::Answers;
use crate::job::Job;
use crate::rule::{Found, Rule, Stage};

pub(in crate::rules) static RULE: Rule = Rule {
    name: "idle-current-out-of-bounds",
    stage: Stage::FirstContact,
    severity: Severity::Stop,
    rows: &[37],
    checks: "The current on the programming track before any command must be that of a decoder at rest: some, at most 100 mA, and near what its sheet says.",
    matters: "More than 250 mA is a short that burns the decoder on the layout, where nothing limits it. Above 100 mA the 60 mA of an acknowledgement drown. No current at all means that the rails do not reach the decoder.",
    example: "45 mA: sound. 130 mA: a keep-alive still charges or a lamp is on. 400 mA: a short, track off. 0 mA: dirty wheels or an open pickup.",
    cure: "Short: meter the cold checks again. Too much: let the keep-alive fill or switch it off, lamps off. None: clean wheels, check the pickups.",
    source: "S-9.2.3 section B (250 mA) and section E (decoder at most 100 mA); RCN-216 (stable within 30 mA), read through a digest; practice row 37",
    check,
};

/// Less than this is no current: a bench meter's last digit (from memory).
const NONE_BELOW_AMPERES: f64 = 0.001;
/// What a decoder with all outputs off may draw (S-9.2.3 section E).
const DECODER_AT_MOST_AMPERES: f64 = 0.1;
/// What the programming track delivers at most (S-9.2.3 section B).
const SHORT_ABOVE_AMPERES: f64 = 0.25;
/// By this much the draw may wander (RCN-216).
const STEADY_WITHIN_AMPERES: f64 = 0.03;

fn check(job: &Job<'_>, _: &Answers, found: &mut Found<'_>) {
    let Some(contact) = &job.order.contact else { return };
    let at = Path::new("contact.idle-current");
    let Some(idle) = contact.idle_current else {
        if contact.acknowledged == Some(false) {
            found.add_as(Severity::Open, "nobody has noted the idle current", |finding| {
                finding
                    .at(at)
                    .because("it tells an open pickup, a short and a swamped acknowledgement apart, and nothing else does so quickly")
                    .remedy("read the current of the programming track before any command and note it")
            });
        }
        return;
    };
    let told = job.decoder().and_then(|sheet| sheet.decoder.idle_current);
    let sheet_says = told.map(|told| format!("its sheet says {told} at rest"));
    let amperes = idle.as_amperes();
    if amperes > SHORT_ABOVE_AMPERES {
        found.add(format!("{idle} flow before any command: a short"), |finding| {
            finding
                .at(at)
                .because("a programming track stands 250 mA for 100 ms; a decoder at rest draws 100 mA at most")
                .remedy("track off; decoder out; meter rail to rail, each motor brush to frame and rails, and each speaker lead to the frame")
        });
    } else if amperes > DECODER_AT_MOST_AMPERES {
        found.add_as(Severity::Rework, format!("{idle} flow before any command; a decoder at rest draws 100 mA at most"), |finding| {
            let finding = finding
                .at(at)
                .because(format!("an acknowledgement adds 60 mA; a track limited to 250 mA may not see it on top of {idle}"));
            let finding = match sheet_says {
                Some(words) => finding.because(words),
                None => finding,
            };
            finding.remedy(if job.order.plan.as_ref().is_some_and(|plan| plan.keep_alive.is_some()) {
                "wait until the keep-alive is full or switch it off, and read the current again; then look for lamps that burn"
            } else {
                "look for a lamp or another load that hangs on the rails instead of the decoder's outputs; a stronger programming track is the last resort"
            })
        });
    } else if amperes < NONE_BELOW_AMPERES {
        found.add_as(Severity::Rework, "no current flows on the programming track", |finding| {
            finding
                .at(at)
                .because(if contact.acknowledged == Some(true) {
                    "a decoder that acknowledges draws current, so the meter was not in the circuit"
                } else {
                    "even the smallest decoder draws some milliamperes: the rails do not reach it"
                })
                .remedy("clean wheels and rails, check each pickup to the decoder's red and black lead, and read again")
        });
    } else if let Some(told) = told.filter(|told| is_far_above(idle, *told)) {
        found.add_as(
            Severity::Note,
            format!("{idle} flow before any command; its sheet says {told}"),
            |finding| {
                finding
                    .at(at)
                    .at(Path::new("plan.decoder"))
                    .because(format!(
                        "{} more than the decoder alone: something else draws current",
                        idle - told
                    ))
                    .remedy("look for a lamp on the rails, a charging keep-alive or a second decoder")
            },
        );
    }
}

fn is_far_above(idle: Current, told: Current) -> bool {
    idle.as_amperes() - told.as_amperes() > STEADY_WITHIN_AMPERES
}
