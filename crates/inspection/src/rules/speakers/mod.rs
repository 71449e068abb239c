//! Speaker networks as found and as planned.

mod amplifier_below_least_load;
mod amplifier_shorted;
mod better_wiring_at_hand;
mod cone_travels_too_far;
mod load_dips_too_low;
mod more_speakers_than_computed;
mod power_shared_unevenly;
mod speaker_not_connected;
mod speaker_overloaded;

mod speaker_wire_on_frame_or_rail;
mod speaker_wire_on_wrong_pad;

mod speaker_polarity_unknown;
mod speakers_in_opposition;

mod box_honks;
mod enclosure_does_not_fit_speaker;
mod enclosure_leaks;
mod enclosure_too_small;
mod speaker_does_not_fit;
mod speaker_sheet_contradicts_itself;
mod speaker_without_enclosure;

use std::collections::BTreeMap;

use finding::{Path, Severity};
use quantities::Gain;

use crate::answers::{Answers, Network, SoundAnswer, SpeakerShare, WiringState};
use crate::job::Job;
use crate::rule::Rule;

pub(super) static RULES: &[&Rule] = &[
    &amplifier_shorted::RULE,
    &speaker_wire_on_frame_or_rail::RULE,
    &speaker_wire_on_wrong_pad::RULE,
    &amplifier_below_least_load::RULE,
    &load_dips_too_low::RULE,
    &speaker_not_connected::RULE,
    &speaker_overloaded::RULE,
    &cone_travels_too_far::RULE,
    &power_shared_unevenly::RULE,
    &speakers_in_opposition::RULE,
    &speaker_polarity_unknown::RULE,
    &speaker_without_enclosure::RULE,
    &enclosure_too_small::RULE,
    &enclosure_leaks::RULE,
    &enclosure_does_not_fit_speaker::RULE,
    &speaker_does_not_fit::RULE,
    &box_honks::RULE,
    &speaker_sheet_contradicts_itself::RULE,
    &better_wiring_at_hand::RULE,
    &more_speakers_than_computed::RULE,
];

/// A wiring to be judged.
#[derive(Debug, Clone, Copy)]
struct Wiring<'a> {
    network: &'a Network,
    /// Whether the plan puts another wiring in its place: what is wrong with it is then only good to know.
    will_change: bool,
}

impl<'a> Wiring<'a> {
    /// The wiring that the model will have, and before it the found one where the plan changes that.
    fn all(job: &Job<'_>, answers: &'a Answers) -> impl Iterator<Item = Wiring<'a>> {
        let changes = job.order.plan.as_ref().is_some_and(|plan| {
            !(plan.wire.is_empty()
                && plan.remove.is_empty()
                && plan.speaker.is_empty()
                && plan.component.is_empty())
        });
        let old = answers.found.as_ref().filter(|_| changes);
        let wired = |network: &&Network| network.n_wires > 0;
        old.filter(wired)
            .map(|network| Wiring { network, will_change: true })
            .into_iter()
            .chain(answers.wiring(job).map(|network| Wiring { network, will_change: false }))
    }

    /// The severity of a finding that would have this one if the wiring stays.
    fn severity(self, if_it_stays: Severity) -> Severity {
        if self.will_change { Severity::Note } else { if_it_stays }
    }

    /// The headline's beginning: whose wiring it is.
    fn lead(self) -> &'static str {
        match (self.will_change, self.network.state, self.network.wire_list) {
            (false, WiringState::Planned, "plan.wire") => "as planned, ",
            (false, WiringState::Planned, _) => "as wired now, ",
            _ => "as found, ",
        }
    }

    /// What it does over frequency; none where that cannot be computed, which other rules tell.
    fn sound(self, answers: &'a Answers) -> Option<&'a SoundAnswer> {
        match self.network.state {
            WiringState::Found => answers.found_sound.as_ref(),
            WiringState::Planned => answers.planned_sound.as_ref(),
        }
    }

    /// The remedy: what the plan does anyway, or what must be done.
    fn remedy(self, if_it_stays: impl Into<String>) -> String {
        if self.will_change {
            "the plan changes this wiring: nothing to do but to follow it".to_owned()
        } else {
            if_it_stays.into()
        }
    }
}

/// The planned master level against full, where the decoder has a register for it: the loudest sound is put at full
/// level, and the master below that (settings of levels).
fn master_level(job: &Job<'_>) -> Option<Gain> {
    let decoder = job.decoder()?;
    let has_register = decoder.role(datasheets::RoleName::MasterLevel).is_some_and(|role| role.law.is_some());
    let master = job.order.levels.as_ref()?.master?;
    (has_register && master.as_decibels() < 0.0).then_some(master)
}

/// The wires that are to blame, or the speakers where no wire is.
fn or_speakers(wires: Vec<Path>, network: &Network) -> Vec<Path> {
    if wires.is_empty() { network.shares.iter().map(|share| share.path.clone()).collect() } else { wires }
}

/// A terminal of the network in each node of its wires: what a foreign terminal in that node would touch.
fn network_terminals(network: &Network) -> BTreeMap<usize, String> {
    let mut terminals = BTreeMap::new();
    let of_parts = network.netlist.elements().flat_map(|(id, _)| {
        let (plus, minus) = network.netlist.terminals_of(id);
        [plus, minus]
    });
    let of_amplifier =
        network.netlist.amplifier_terminals().into_iter().flat_map(|(plus, minus)| [plus, minus]);
    // The amplifier's own names come first: they say most.
    for terminal in of_amplifier.chain(of_parts) {
        if let Some(node) = network.joints.node(terminal) {
            terminals.entry(node).or_insert_with(|| terminal.to_owned());
        }
    }
    terminals
}

/// The place to mend a speaker's wiring: the first wire at its plus lead, at its minus lead, or the speaker itself.
fn wiring_place(network: &Network, share: &SpeakerShare) -> Path {
    let wire = network
        .joints
        .wire_at(share.leads.0.as_str())
        .or_else(|| network.joints.wire_at(share.leads.1.as_str()));
    wire.map_or_else(|| share.path.clone(), |number| network.wire_path(number))
}

/// Names of speakers as in a sentence: `A, B`.
fn names<'a>(shares: impl IntoIterator<Item = &'a SpeakerShare>) -> String {
    shares.into_iter().map(|share| share.name.as_str()).collect::<Vec<_>>().join(", ")
}
