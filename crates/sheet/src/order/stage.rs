//! A stage of the work: its heading, its facts on one side, its answers and findings on the other.

use maud::{Markup, html};
use shop::{StageState, StageView};
use workorder::WorkStage;

use super::OrderPage;
use super::answers::{self, figure, nothing};
use super::head::{stage_id, state_class, state_word, station};
use crate::blocks::Block;
use crate::words::capital;

/// The sections of a document that hold wishes, with their headings.
const WISHES: [(&str, &str); 4] =
    [("address", "Address"), ("manners", "Manners"), ("voice", "Voice"), ("levels", "Levels")];

impl OrderPage {
    /// The section of a stage around its blocks.
    pub(super) fn stage_frame(&self, stage: &StageView, block: &dyn Fn(&str) -> Markup) -> Markup {
        let id = stage_id(stage.stage.word());
        let runs_here = stage.stage == WorkStage::VoiceAndManners;
        html! {
            section class="stage" id=(id) aria-labelledby={ (id) "-heading" } {
                (block(&format!("{id}-head")))
                @if runs_here { (block("run")) }
                div class="stage-body" {
                    (block(&format!("{id}-facts")))
                    (block(&format!("{id}-side")))
                }
                (block(&format!("{id}-wide")))
            }
        }
    }

    /// The blocks of a stage: heading, facts, answers beside them, and what needs the whole width.
    pub(super) fn stage(&self, stage: &StageView) -> Vec<Block> {
        let id = stage_id(stage.stage.word());
        vec![
            Block::new(format!("{id}-head"), "stage-head-block", self.stage_head(stage, &id)),
            Block::new(format!("{id}-facts"), "facts", self.stage_facts(stage)),
            Block::new(format!("{id}-side"), "side", self.stage_side(stage)),
            Block::new(format!("{id}-wide"), "wide-answers", self.stage_wide(stage.stage)),
        ]
    }

    fn stage_head(&self, stage: &StageView, id: &str) -> Markup {
        let is_done = stage.state == StageState::Done;
        html! {
            header class={ "stage-head " (state_class(stage.state)) } {
                (station(stage.state))
                h2 id={ (id) "-heading" } { (capital(stage.stage.word())) }
                p { (capital(state_word(stage.state))) @if !stage.because.is_empty() { ": " (stage.because) } }
                @if stage.is_ticked || (!is_done && stage.state != StageState::NotNeeded) {
                    form method="post" action={ (self.base) "/tick" } data-live {
                        (self.facts().hidden())
                        input type="hidden" name="stage" value=(stage.stage.word());
                        input type="hidden" name="done" value=(if stage.is_ticked { "no" } else { "yes" });
                        button class="plain" type="submit" {
                            @if stage.is_ticked { "Not done after all" } @else { "Tick off" }
                            span class="unseen" { ": " (stage.stage.word()) }
                        }
                    }
                }
            }
        }
    }

    fn stage_facts(&self, stage: &StageView) -> Markup {
        let facts = self.facts();
        html! {
            @match stage.stage {
                WorkStage::Intake => { (facts.section_of("order")) (self.waiting()) }
                WorkStage::Survey => (facts.section_of("survey")),
                WorkStage::Plan => (facts.section_of("plan")),
                WorkStage::ColdChecks => (self.cold_facts()),
                WorkStage::FirstContact => (facts.section_of("contact")),
                WorkStage::VoiceAndManners => {
                    @for (key, heading) in WISHES {
                        h3 { (heading) }
                        (facts.section_of(key))
                    }
                    (facts.section_of("keys"))
                }
                WorkStage::Train => (self.train_facts()),
                WorkStage::Trial => (self.trial_facts()),
                WorkStage::Handover => (self.handover_facts()),
            }
            (self.photos(stage.stage))
        }
    }

    fn stage_side(&self, stage: &StageView) -> Markup {
        html! {
            (self.findings_of(&stage.rule_stages))
            @match stage.stage {
                WorkStage::Intake => (self.intake_answers()),
                WorkStage::Survey => (self.found_answers()),
                WorkStage::Plan => (self.plan_answers()),
                WorkStage::ColdChecks => {},
                WorkStage::FirstContact => (self.contact_answers()),
                WorkStage::VoiceAndManners => (self.settings_answers()),
                WorkStage::Train => {},
                WorkStage::Trial => (self.trial_answers()),
                WorkStage::Handover => (self.handover_answers()),
            }
        }
    }

    /// Drawings and tables that need the whole width of the page.
    fn stage_wide(&self, stage: WorkStage) -> Markup {
        let Some(card) = &self.card else { return html! {} };
        html! {
            @match stage {
                WorkStage::Plan => {
                    @for drawing in &card.cold_checks.wiring { (figure(drawing, false)) }
                    @if let Some(sound) = &self.view.sound {
                        @for plot in shop::sound_figures(sound) { (figure(&plot, true)) }
                    }
                }
                _ => {}
            }
        }
    }

    fn found_answers(&self) -> Markup {
        let found = self.view.sound.as_ref().and_then(|sound| sound.found.as_ref());
        html! {
            h3 { "The speakers as found" }
            @match found {
                Some(report) => (answers::wiring::wiring(report)),
                None => (nothing("As soon as speakers are noted: what they load the amplifier with, what each of them gets, and \
                     which way the cones move.")),
            }
        }
    }

    fn plan_answers(&self) -> Markup {
        let Some(checked) = &self.view.checked else { return html! {} };
        let order = &checked.document.value;
        let decoder =
            order.plan.as_ref().and_then(|plan| self.desk.shelf.decoders.get(plan.decoder.as_ref()?));
        let answers = &checked.inspection.answers;
        html! {
            h3 { "The decoder" }
            @if decoder.is_none() {
                (nothing("Name a decoder: then its plug, its room and its load are worked out."))
            }
            (answers::plan::decoder(answers, decoder.map(|sheet| &sheet.decoder)))
            (answers::plan::lamps(answers))
            @if let Some(sound) = &self.view.sound {
                @if let Some(report) = &sound.planned {
                    h3 { "The speakers as planned" }
                    (answers::wiring::wiring(report))
                    (answers::wiring::steps(sound))
                    @if let Some(proposals) = sound.proposals.as_ref().filter(|proposals| proposals.ranked.len() > 1) {
                        (answers::wiring::arrangements(proposals))
                    }
                }
                p { a href={ (self.base) "/choice" } { "Which speaker and box would suit best" } }
                (self.listening())
            }
        }
    }

    /// The meter card stands on the side of the facts: it is what the reader does at this stage.
    fn cold_facts(&self) -> Markup {
        let rows = self.view.sound.as_ref().map_or(&[] as &[_], |sound| &sound.meter);
        html! { h3 { "What the meter must read" } (answers::cold::meter(rows)) }
    }

    fn settings_answers(&self) -> Markup {
        let Some(card) = &self.card else { return html! {} };
        html! {
            h3 { "What the decoder will hold" }
            (answers::settings::by_meaning(&card.settings))
            (answers::settings::by_cv(&card.settings.list))
            (answers::settings::keys(&card.keys))
        }
    }

    fn train_facts(&self) -> Markup {
        let place = self.card.as_ref().and_then(|card| card.train.as_ref());
        let units =
            self.view.checked.as_ref().map_or(&[] as &[_], |checked| &checked.inspection.answers.train);
        let name = self
            .view
            .checked
            .as_ref()
            .and_then(|checked| Some(checked.train.as_ref()?.train.train.name.as_str()));
        html! {
            @if let (Some(place), Some(name)) = (place, name) {
                (answers::train::place(name, place, units))
            } @else {
                p class="nothing" { "It runs alone. " a href="/trains" { "Put it into a train" } }
            }
        }
    }
}
