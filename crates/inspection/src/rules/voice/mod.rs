//! Address, sounds, levels, keys, momentum.

mod address_in_dispute;
mod address_missing;
mod audition_needed;
mod decoder_lacks_sound;
mod deed_on_two_keys;
mod direction_not_possible;
mod engine_contradicts_itself;
mod horn_contradicts_itself;
mod key_does_nothing;
mod key_does_too_much;
mod key_not_heard;
mod key_out_of_reach;
mod lamp_effect_not_possible;
mod lamp_without_key;
mod level_curve_not_rising;
mod master_at_full;
mod momentum_very_long;
mod nearest_sound_differs;
mod setting_has_no_cv;
mod sound_without_key;
mod speed_table_not_rising;
mod two_speed_curves;
mod voice_not_told;
mod wish_beyond_limit;

use std::collections::BTreeSet;

use cvplan::Gap;
use datasheets::{Deed, Key};
use finding::Path;

use crate::answers::Answers;
use crate::job::Job;
use crate::rule::Rule;

pub(super) static RULES: &[&Rule] = &[
    &address_missing::RULE,
    &address_in_dispute::RULE,
    &momentum_very_long::RULE,
    &level_curve_not_rising::RULE,
    &speed_table_not_rising::RULE,
    &two_speed_curves::RULE,
    &voice_not_told::RULE,
    &engine_contradicts_itself::RULE,
    &horn_contradicts_itself::RULE,
    &decoder_lacks_sound::RULE,
    &nearest_sound_differs::RULE,
    &audition_needed::RULE,
    &master_at_full::RULE,
    &key_not_heard::RULE,
    &key_does_nothing::RULE,
    &key_out_of_reach::RULE,
    &key_does_too_much::RULE,
    &deed_on_two_keys::RULE,
    &sound_without_key::RULE,
    &lamp_without_key::RULE,
    &direction_not_possible::RULE,
    &lamp_effect_not_possible::RULE,
    &setting_has_no_cv::RULE,
    &wish_beyond_limit::RULE,
];

/// What the planned decoder cannot do.
fn gaps(answers: &Answers) -> impl Iterator<Item = &Gap> {
    answers.settlement.iter().flat_map(|settlement| &settlement.gaps)
}

/// The planned decoder's name as findings show it.
fn decoder_name(job: &Job<'_>) -> String {
    job.decoder().map_or_else(|| "the decoder".to_owned(), |sheet| format!("`{}`", sheet.part.name))
}

/// Another decoder on the shelf, and the wishes that it would leave open.
struct OtherDecoder {
    name: String,
    gaps: BTreeSet<Path>,
}

/// The other decoders on the shelf that have the planned outputs.
fn other_decoders(job: &Job<'_>) -> Vec<OtherDecoder> {
    let own = job.decoder().map(|sheet| &sheet.part.name);
    let outputs: BTreeSet<&str> = job.lamps().map(|(_, lamp)| lamp.output.as_str()).collect();
    job.shelf
        .decoders
        .values()
        .filter(|sheet| Some(&sheet.part.name) != own)
        .filter(|sheet| {
            outputs.iter().all(|name| sheet.output.iter().any(|output| output.name.as_str() == *name))
        })
        .map(|sheet| OtherDecoder {
            name: format!("`{}`", sheet.part.name),
            gaps: cvplan::settle(job.order, sheet).gaps.iter().map(|gap| gap.wish().clone()).collect(),
        })
        .collect()
}

/// Those of them that would fulfil a wish.
fn fulfilling<'a>(others: &'a [OtherDecoder], wish: &Path) -> Vec<&'a str> {
    others.iter().filter(|other| !other.gaps.contains(wish)).map(|other| other.name.as_str()).collect()
}

/// Whether some key of the order does a deed.
fn is_on_a_key(job: &Job<'_>, deed: Deed) -> bool {
    job.order.keys.0.iter().any(|(_, deeds)| deeds.0.contains(&deed))
}

/// The path of a key's wish.
fn key_path(key: Key) -> Path {
    Path::new(format!("keys.{key}"))
}
