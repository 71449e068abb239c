//! A lamp on an output that cannot drive any.

use std::collections::BTreeMap;

use datasheets::OutputKind;
use finding::{Path, Severity};

use crate::answers::{Answers, LampAnswer};
use crate::job::Job;
use crate::rule::{Found, Rule, Stage};

pub(in crate::rules) static RULE: Rule = Rule {
    name: "logic-output-drives-lamp",
    stage: Stage::Plan,
    severity: Severity::Stop,
    rows: &[59],
    checks: "A lamp on a logic-level output needs a switch in between; an internal output has no pin at all.",
    matters: "A logic output is a processor's pin: at most 0.5 mA, a lamp from common plus shines always or never and may destroy it.",
    example: "AUX3 of a 21-pin decoder: on means at least 2.4 V, 0.5 mA at most. AUX1 and AUX2 drive lamps.",
    cure: "An amplified output, or a transistor or driver board at the output: `driver = true`.",
    source: "NEM 660: AUX3 to AUX6 at most 0.5 mA, off 0.4 V, on 2.4 V; practice row 59",
    check,
};

fn check(job: &Job<'_>, answers: &Answers, found: &mut Found<'_>) {
    let Some(decoder) = job.decoder() else { return };
    let answers: BTreeMap<&Path, &LampAnswer> =
        answers.lamps.iter().map(|answer| (&answer.path, answer)).collect();
    for (path, lamp) in job.lamps() {
        let Some(output) = decoder.output.iter().find(|output| output.name == lamp.output) else { continue };
        let name = &lamp.name;
        let drawn = answers
            .get(&path)
            .filter(|answer| !answer.is_unprotected())
            .map(|answer| format!("lamp {name} draws {}", answer.current));
        let amplified: Vec<&str> = decoder
            .output
            .iter()
            .filter(|other| other.kind == OutputKind::Amplified)
            .map(|other| other.name.as_str())
            .collect();
        match output.kind {
            OutputKind::Logic if lamp.driver != Some(true) => {
                found.add(
                    format!("lamp {name} hangs on the logic-level output {}", output.name),
                    |finding| {
                        let finding = finding.at(path.join("output")).because(format!(
                            "it gives {} at most; a lamp from common plus is on always or never",
                            output.current.map_or_else(|| "0.5 mA".to_owned(), |current| current.to_string())
                        ));
                        let finding = match drawn {
                            Some(drawn) => finding.because(drawn),
                            None => finding,
                        };
                        finding.remedy(format!(
                        "use an amplified output ({}), or a transistor in between and note `driver = true`",
                        amplified.join(", ")
                    ))
                    },
                );
            }
            OutputKind::Internal => {
                found.add_as(
                    Severity::Rework,
                    format!("lamp {name} hangs on {}, which has no pin", output.name),
                    |finding| {
                        finding
                            .at(path.join("output"))
                            .because("an internal output sets off a sound and cannot be wired")
                            .remedy(format!("use an amplified output: {}", amplified.join(", ")))
                    },
                );
            }
            OutputKind::Logic | OutputKind::Amplified => {}
        }
    }
}
