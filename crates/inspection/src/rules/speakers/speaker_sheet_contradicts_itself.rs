//! A speaker sheet whose printed values cannot all be true.

use finding::Severity;

use crate::answers::Answers;
use crate::job::Job;
use crate::rule::{Found, Rule, Stage};

pub(in crate::rules) static RULE: Rule = Rule {
    name: "speaker-sheet-contradicts-itself",
    stage: Stage::Plan,
    severity: Severity::Rework,
    rows: &[],
    checks: "Printed resonance, quality factors, equivalent volume and sensitivity must follow from the printed Bl, moving mass, compliance and piston area within 5 %.",
    matters: "Level, travel and box answers rest on these values; a slipped decimal point makes all of them wrong while each looks right by itself.",
    example: "Mms 0.5 g and Cms 0.68 mm/N make 273 Hz; a sheet that prints 27 Hz has slipped a decimal.",
    cure: "Compare with the maker's own page, measure the resonance, or leave the doubtful value out: it is then computed.",
    source: "Thiele/Small identities, Small 1972; digest section 2.1 with the gate of 5 %",
    check,
};

fn check(_: &Job<'_>, answers: &Answers, found: &mut Found<'_>) {
    let mut told: Vec<&str> = Vec::new();
    for sound in [&answers.planned_sound, &answers.found_sound].into_iter().flatten() {
        for speaker in &sound.wiring.speakers {
            if !speaker.check.contradicts_itself() || told.contains(&speaker.name.as_str()) {
                continue;
            }
            told.push(&speaker.name);
            let contradictions: Vec<&acoustics::driver::Contradiction> =
                speaker.check.contradictions.iter().filter(|one| !one.rounding_explains).collect();
            let values: Vec<String> = contradictions.iter().map(|one| one.value.to_string()).collect();
            found.add(format!("the sheet of speaker {} contradicts itself: {}", speaker.name, values.join(", ")), |finding| {
                let finding = finding.at(speaker.path.join("part"));
                let finding = contradictions.iter().fold(finding, |finding, one| {
                    let from: Vec<String> = one.from.iter().map(ToString::to_string).collect();
                    let slipped = one.misplaced_decimal.map_or("", |_| "; a decimal point may have slipped");
                    finding.because(format!(
                        "{} is printed as {}, but {} make it {}{slipped}",
                        one.value,
                        one.value.print(one.printed),
                        from.join(", "),
                        one.value.print(one.computed)
                    ))
                });
                finding.remedy("compare with another source or measure the resonance; leave a doubtful value out and it is computed")
            });
        }
    }
}
