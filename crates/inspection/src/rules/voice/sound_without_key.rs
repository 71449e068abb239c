//! A wished sound that no key calls forth.

use cvplan::Gap;
use datasheets::{Deed, HeadEndPower, VoicePart};
use finding::{Path, Severity};

use crate::answers::Answers;
use crate::job::Job;
use crate::rule::{Found, Rule, Stage};
use crate::rules::voice::{gaps, is_on_a_key};

pub(in crate::rules) static RULE: Rule = Rule {
    name: "sound-without-key",
    stage: Stage::VoiceAndManners,
    severity: Severity::Open,
    rows: &[],
    checks: "Horn, bell and head-end power must be on a key.",
    matters: "A key that nobody chose stays where the decoder's maker put it, which may be none; and head-end power that cannot be switched off roars while shunting.",
    example: "A five-chime horn is wished, and no key has \"horn\".",
    cure: "The keys of the owner's throttle: commonly F1 bell, F2 horn.",
    source: "practice stage 16; F1 bell and F2 horn: common practice",
    check,
};

fn check(job: &Job<'_>, answers: &Answers, found: &mut Found<'_>) {
    let Some(voice) = &job.order.voice else { return };
    let supplies = voice.head_end_power.is_some_and(|kind| kind != HeadEndPower::None);
    let wished: [(bool, VoicePart, &[Deed], &str); 3] = [
        (voice.horn.is_some(), VoicePart::Horn, &[Deed::Horn, Deed::ShortHorn], "; F2 is common"),
        (voice.bell.is_some(), VoicePart::Bell, &[Deed::Bell], "; F1 is common"),
        (supplies, VoicePart::HeadEndPower, &[Deed::HeadEndPower], ""),
    ];
    for (is_wished, part, deeds, usual) in wished {
        // Where the decoder has no such sound, that is the finding.
        let is_lacking =
            gaps(answers).any(|gap| matches!(gap, Gap::NoSound { part: lacking, .. } if *lacking == part));
        if !is_wished
            || is_lacking
            || job.decoder().is_none()
            || deeds.iter().any(|deed| is_on_a_key(job, *deed))
        {
            continue;
        }
        let name = part.word().replace('-', " ");
        found.add(format!("no key is chosen for the {name}"), |finding| {
            finding
                .at(Path::new(format!("voice.{part}")))
                .because("it stays on whatever key the decoder has it on delivery, if any")
                .remedy(format!(
                    "ask which key the owner's throttle has for it, and write it into `[keys]`{usual}"
                ))
        });
    }
}
