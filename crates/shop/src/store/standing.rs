//! How an order stands: what it waits for, and how far each stage of the work is.
//!
//! What it is: a pure reading of facts and findings. Whoever knows better states so in the order, and that counts.
//! What it is not: a rule; nothing here makes a finding.
//!
//! Source: ours, after the stages of the reference text on practice, section 1.

use finding::{Finding, Severity};
use inspection::Stage as RuleStage;
use workorder::{WaitsFor, WorkOrder, WorkStage};

use super::view::{StageState, StageView, Waits};
use crate::desk::CheckedOrder;

/// What is known of an order beside its document.
#[derive(Debug, Clone, Default)]
pub(super) struct Circumstances {
    /// Parts of the plan that the stock does not have: "speaker oval-15x11: 1 of 2".
    pub(super) missing_parts: Vec<String>,
    /// Whether a decoder answered: a snapshot was taken.
    pub(super) has_snapshot: bool,
    /// Whether what the order wants now was read back from the decoder by its latest run.
    pub(super) is_proven: bool,
}

/// What an order with faults waits for.
pub(super) fn waits_with_faults(first: &str) -> Waits {
    computed(WaitsFor::Nothing, format!("the document has faults to mend: {first}"))
}

/// What an order waits for.
pub(super) fn waits(checked: &CheckedOrder, circumstances: &Circumstances) -> Waits {
    let order = &checked.document.value;
    let progress = order.progress.as_ref();
    if let Some(stated) = progress.and_then(|progress| progress.waits_for) {
        let because = progress.and_then(|progress| progress.waits_because.clone()).unwrap_or_default();
        return Waits { for_what: stated, because, is_stated: true };
    }
    if is_ticked(order, WorkStage::Handover) {
        return computed(WaitsFor::Nothing, "it is handed over");
    }
    if let Some(stop) = checked.stops().first() {
        return computed(WaitsFor::Nothing, format!("a stop is to be mended: {}", stop.headline));
    }
    if order.survey.is_none() {
        return computed(WaitsFor::Measurement, "the model was not surveyed yet");
    }
    if circumstances.is_proven {
        return if is_ticked(order, WorkStage::Trial) {
            computed(WaitsFor::Client, "it is proven and tried, and can be handed over")
        } else {
            computed(WaitsFor::Nothing, "the trial run is next")
        };
    }
    if !circumstances.missing_parts.is_empty() {
        let parts = circumstances.missing_parts.join(", ");
        return computed(WaitsFor::Parts, format!("the stock does not have {parts}"));
    }
    if let Some(open) = of_severity(checked, Severity::Open).next() {
        return computed(WaitsFor::Measurement, open.headline.clone());
    }
    if checked.inspection.answers.settlement.is_none() {
        return computed(WaitsFor::Nothing, "the plan names no decoder yet");
    }
    computed(WaitsFor::Track, "its settings are not written and proven as they are now")
}

fn computed(for_what: WaitsFor, because: impl Into<String>) -> Waits {
    Waits { for_what, because: because.into(), is_stated: false }
}

fn of_severity(checked: &CheckedOrder, severity: Severity) -> impl Iterator<Item = &Finding> {
    let order = &checked.document.value;
    checked.inspection.findings.iter().filter(move |finding| {
        finding.severity == severity
            && !order.r#override.iter().any(|entry| entry.rule.as_str() == finding.rule)
    })
}

pub(super) fn is_ticked(order: &WorkOrder, stage: WorkStage) -> bool {
    order.progress.as_ref().is_some_and(|progress| progress.done.contains(&stage))
}

/// How far each stage is.
pub(super) fn stages(checked: &CheckedOrder, circumstances: &Circumstances) -> Vec<StageView> {
    WorkStage::ALL.iter().map(|stage| stage_view(*stage, checked, circumstances)).collect()
}

/// The stages of an order that cannot be read: nothing is known.
pub(super) fn stages_with_faults() -> Vec<StageView> {
    let view = |stage: &WorkStage| StageView {
        stage: *stage,
        state: StageState::NotBegun,
        because: "the document has faults".to_owned(),
        is_ticked: false,
        rule_stages: rule_stages(*stage).to_vec(),
    };
    WorkStage::ALL.iter().map(view).collect()
}

/// The stages of the rules that belong to a stage of the work.
pub(super) fn rule_stages(stage: WorkStage) -> &'static [RuleStage] {
    match stage {
        WorkStage::Survey => &[RuleStage::Survey],
        WorkStage::Plan => &[RuleStage::Plan],
        WorkStage::ColdChecks => &[RuleStage::ColdChecks],
        WorkStage::FirstContact => &[RuleStage::FirstContact],
        WorkStage::VoiceAndManners => &[RuleStage::VoiceAndManners],
        WorkStage::Train => &[RuleStage::Train],
        WorkStage::Intake | WorkStage::Trial | WorkStage::Handover => &[],
    }
}

fn stage_view(stage: WorkStage, checked: &CheckedOrder, circumstances: &Circumstances) -> StageView {
    let order = &checked.document.value;
    let is_ticked = is_ticked(order, stage);
    let (state, because) = match stop_of(stage, checked) {
        Some(stop) => (StageState::Held, stop.headline.clone()),
        None => stage_state(stage, checked, circumstances, is_ticked),
    };
    StageView { stage, state, because, is_ticked, rule_stages: rule_stages(stage).to_vec() }
}

fn stop_of(stage: WorkStage, checked: &CheckedOrder) -> Option<&Finding> {
    checked.stops().into_iter().find(|stop| speaks_at(stop, stage))
}

/// Whether a finding's rule speaks at a stage of the work.
fn speaks_at(finding: &Finding, stage: WorkStage) -> bool {
    let rule = inspection::rules().find(|rule| rule.name == finding.rule);
    rule.is_some_and(|rule| rule_stages(stage).contains(&rule.stage))
}

fn stage_state(
    stage: WorkStage,
    checked: &CheckedOrder,
    circumstances: &Circumstances,
    is_ticked: bool,
) -> (StageState, String) {
    let order = &checked.document.value;
    let said = |state: StageState, because: &str| (state, because.to_owned());
    if is_ticked {
        return said(StageState::Done, "ticked off");
    }
    let open = || of_severity(checked, Severity::Open).find(|finding| speaks_at(finding, stage));
    match stage {
        WorkStage::Intake if order.order.wanted.is_none() => {
            said(StageState::UnderWay, "what is wanted is not written down")
        }
        WorkStage::Intake => said(StageState::Done, "it is known what is wanted"),
        WorkStage::Survey if order.survey.is_none() => said(StageState::NotBegun, "nothing was surveyed"),
        WorkStage::Plan if order.plan.is_none() => said(StageState::NotBegun, "nothing is planned"),
        WorkStage::Survey | WorkStage::Plan => match open() {
            Some(open) => (StageState::UnderWay, open.headline.clone()),
            None if stage == WorkStage::Plan && checked.inspection.answers.settlement.is_none() => {
                said(StageState::UnderWay, "the plan names no decoder")
            }
            None => said(StageState::Done, "no fact is missing"),
        },
        WorkStage::ColdChecks => said(StageState::NotBegun, "meter it and tick it off"),
        WorkStage::FirstContact if circumstances.has_snapshot => {
            said(StageState::Done, "the decoder was read, and a snapshot is kept")
        }
        WorkStage::FirstContact if order.contact.is_some() => {
            said(StageState::UnderWay, "first contact is noted, the decoder was not read yet")
        }
        WorkStage::FirstContact => said(StageState::NotBegun, "the decoder was not read yet"),
        WorkStage::VoiceAndManners if circumstances.is_proven => {
            said(StageState::Done, "all settings are written and proven")
        }
        WorkStage::VoiceAndManners if order.voice.is_some() || order.manners.is_some() => {
            said(StageState::UnderWay, "its settings are not written and proven as they are now")
        }
        WorkStage::VoiceAndManners => said(StageState::NotBegun, "nothing is wished"),
        WorkStage::Train => train_state(checked),
        WorkStage::Trial => said(StageState::NotBegun, "run it both ways, try every key, and tick it off"),
        WorkStage::Handover => said(StageState::NotBegun, "print the card, hand it over and tick it off"),
    }
}

fn train_state(checked: &CheckedOrder) -> (StageState, String) {
    let Some(member) = &checked.train else {
        return (StageState::NotNeeded, "it runs alone".to_owned());
    };
    let rework = of_severity(checked, Severity::Rework).find(|finding| speaks_at(finding, WorkStage::Train));
    match rework {
        Some(rework) => (StageState::UnderWay, rework.headline.clone()),
        None => (StageState::Done, format!("it agrees with train {}", member.train.train.name)),
    }
}
