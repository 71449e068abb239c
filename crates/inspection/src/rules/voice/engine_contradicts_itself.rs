//! A prime mover that cannot have been built.

use datasheets::{Aspiration, EngineKind, HeadEndPower};
use finding::{Path, Severity};
use workorder::PrimeMover;

use crate::answers::Answers;
use crate::job::Job;
use crate::rule::{Found, Rule, Stage};

pub(in crate::rules) static RULE: Rule = Rule {
    name: "engine-contradicts-itself",
    stage: Stage::VoiceAndManners,
    severity: Severity::Rework,
    rows: &[],
    checks: "The facts of the prime mover must go together: two or four strokes, a two-stroke diesel with blower or turbo, strokes and aspiration for oil engines only, idle below full speed, head-end power from a main engine only where there is one.",
    matters: "The recording is chosen by these facts. Strokes double or halve the firing frequency, which is the first thing that an ear notices.",
    example: "Two strokes and natural aspiration: a two-stroke diesel cannot draw its air by the pistons alone.",
    cure: "Look it up again; leave out what is not known.",
    source: "firing frequency = cylinders times speed over revolutions per cycle, reference text on acoustics section 4 (Heywood, from memory); two-strokes need a blower: from memory",
    check,
};

fn check(job: &Job<'_>, _: &Answers, found: &mut Found<'_>) {
    let Some(voice) = &job.order.voice else { return };
    let Some(engine) = &voice.prime_mover else { return };
    for (key, headline, reason) in contradictions(engine) {
        found.add(headline, |finding| {
            finding
                .at(Path::new(format!("voice.prime-mover.{key}")))
                .because(reason)
                .remedy("look the engine up again, and leave out what is not known")
        });
    }
    let kind = engine.kind.unwrap_or(EngineKind::Diesel);
    let needs_main_engine =
        matches!(voice.head_end_power, Some(HeadEndPower::MainEngine | HeadEndPower::Standby));
    if needs_main_engine && kind != EngineKind::Diesel {
        found.add(format!("head-end power from the main engine, but the prime mover is {kind}"), |finding| {
            finding
                .at(Path::new("voice.head-end-power"))
                .at(Path::new("voice.prime-mover"))
                .because("an alternator on the main engine needs an oil engine that holds a fixed speed")
                .remedy("write \"generator set\" if it has one, else \"none\"")
        });
    }
}

fn contradictions(engine: &PrimeMover) -> Vec<(&'static str, String, &'static str)> {
    let mut told = Vec::new();
    let kind = engine.kind.unwrap_or(EngineKind::Diesel);
    let strokes = engine.strokes.map(|strokes| strokes.get());
    if kind != EngineKind::Diesel {
        let reason = "strokes per cycle and aspiration are facts of oil engines; no recording can match them";
        if strokes.is_some() {
            told.push((
                "strokes",
                format!("strokes per cycle are told of a prime mover that is {kind}"),
                reason,
            ));
        }
        if engine.aspiration.is_some() {
            told.push((
                "aspiration",
                format!("an aspiration is told of a prime mover that is {kind}"),
                reason,
            ));
        }
    } else if strokes == Some(3) {
        told.push((
            "strokes",
            "an engine with three strokes per cycle".to_owned(),
            "oil engines have two strokes per cycle or four",
        ));
    } else if strokes == Some(2) && engine.aspiration == Some(Aspiration::Natural) {
        told.push((
            "aspiration",
            "a two-stroke diesel with natural aspiration".to_owned(),
            "its pistons cannot draw the air by themselves: it has a blower or a turbo",
        ));
    }
    if let (Some(idle), Some(full)) = (engine.idle, engine.full)
        && idle >= full
    {
        told.push((
            "idle",
            format!("idle at {idle} is not below full speed at {full}"),
            "an engine idles at its lowest speed",
        ));
    }
    told
}
