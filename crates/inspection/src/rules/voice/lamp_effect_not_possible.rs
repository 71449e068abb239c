//! A lamp effect that the output does not have.

use cvplan::Gap;
use datasheets::RoleName;
use finding::{Path, Severity};

use crate::answers::Answers;
use crate::job::Job;
use crate::rule::{Found, Rule, Stage};
use crate::rules::voice::{decoder_name, gaps};
use crate::rules::{listed, one_of};

pub(in crate::rules) static RULE: Rule = Rule {
    name: "lamp-effect-not-possible",
    stage: Stage::VoiceAndManners,
    severity: Severity::Rework,
    rows: &[],
    checks: "The output that a lamp hangs on must have the wished effect.",
    matters: "The lamp burns steadily; moved after soldering, it costs another opening of the shell.",
    example: "A flickering fire on the front output, which knows steady, dimmed and flashing.",
    cure: "An output that has the effect, before the lamp is soldered.",
    source: "the decoder's sheet",
    check,
};

fn check(job: &Job<'_>, answers: &Answers, found: &mut Found<'_>) {
    for gap in gaps(answers) {
        let Gap::NoEffect { wish, output, effect } = gap else { continue };
        let able: Vec<String> = job
            .decoder()
            .iter()
            .flat_map(|sheet| sheet.output.iter().map(move |output| (sheet, output)))
            .filter(|(sheet, output)| {
                let number = u8::try_from(output.number.get()).unwrap_or(u8::MAX);
                let role = sheet.role(RoleName::OutputEffect(number));
                role.is_some_and(|role| role.choices.iter().any(|choice| choice.is.effect == Some(*effect)))
            })
            .map(|(_, output)| output.name.to_string())
            .collect();
        found.add(
            format!("output {output} of {} cannot make a lamp {effect}", decoder_name(job)),
            |finding| {
                let finding =
                    finding.at(wish.clone()).at(Path::new("plan.decoder")).because(if able.is_empty() {
                        "no output of it can, by its sheet".to_owned()
                    } else {
                        format!("by its sheet these can: {}", listed(&able))
                    });
                finding.remedy(if able.is_empty() {
                    "leave the effect out, or choose a decoder that has it".to_owned()
                } else {
                    format!("put the lamp on {}", one_of(&able))
                })
            },
        );
    }
}
