//! Programming and proving from the page: what can be begun, what is under way, what was cut off, and how the
//! last one ended.

use std::time::Duration;

use maud::{Markup, html};
use shop::{RunState, RunView, Task};
use track::Verdict;

use super::OrderPage;
use crate::blocks::Block;
use crate::problem::sentence;
use crate::words::{capital, link, time};

impl OrderPage {
    /// The run's own block, so that its progress is all that is sent while it goes on.
    pub(super) fn run(&self) -> Block {
        let newest = self.view.runs.first();
        let content = html! {
            @if self.card.is_some() {
                div class="run" id="run" {
                    h3 { "The decoder" }
                    @match newest.map(|run| (&run.state, run)) {
                        Some((RunState::UnderWay, run)) => (self.under_way(run)),
                        Some((RunState::CutOff { why, help }, run)) => { (self.cut_off(run, why, help)) }
                        Some((_, run)) => { (self.ended(run)) (self.begin(true)) }
                        None => (self.begin(false)),
                    }
                }
            }
        };
        Block::new("run", "run-block", content)
    }

    fn begin(&self, has_run: bool) -> Markup {
        let has_stops = self.view.checked.as_ref().is_some_and(|checked| !checked.stops().is_empty());
        let has_decoder = self.view.checked.as_ref().is_some_and(|checked| {
            checked.document.value.plan.as_ref().is_some_and(|plan| plan.decoder.is_some())
        });
        html! {
            @if has_stops {
                p {
                    b { "Held by a stop." }
                    " Nothing is put on the track before it is mended, or set aside with a reason."
                }
            } @else if !has_decoder {
                p class="nothing" { "Name a decoder in the plan: then it can be programmed here." }
            } @else if self.view.document.faults.is_some() {
                p class="nothing" {
                    "Mend what cannot be read first: a decoder is programmed from a sound document only."
                }
            } @else {
                form class="actions" method="post" action={ (self.base) "/runs" } data-live {
                    (self.facts().hidden())
                    button class="first" type="submit" name="task" value="program" { "Program and prove" }
                    button type="submit" name="task" value="prove" { "Compare only" }
                    @if has_run { button type="submit" name="task" value="undo" { "Bring back what it held" } }
                }
                p class="soft" {
                    "On the programming track of the virtual bench. Everything is read before anything is \
                         written; cut off anywhere, it can be taken up again."
                }
            }
        }
    }

    fn under_way(&self, run: &RunView) -> Markup {
        html! {
            @match &run.progress {
                Some(progress) => {
                    progress max=(progress.n_all.max(1)) value=(progress.n_done)
                        aria-label=(task_word(run.task)) {}
                    p class="told" {
                        b { (capital(part_word(progress.part))) } ": " (progress.n_done) " of " (progress.n_all)
                        @if let Some(left) = progress.left { ", about " (seconds(left)) " left" }
                    }
                    p class="soft" { (progress.told) }
                }
                None => p class="told" { (capital(task_word(run.task))) " …" }
            }
            form class="actions" method="post" action={ (self.base) "/runs/cancel" } data-live {
                (self.facts().hidden())
                input type="hidden" name="run" value=(run.id.get());
                button type="submit" { "Stop it" }
            }
        }
    }

    fn cut_off(&self, run: &RunView, why: &str, help: &str) -> Markup {
        html! {
            p { b { "A run was cut off." } " Begun " (time(run.begun_at)) " by " (run.by) "." }
            @if why.is_empty() { p { "Its program ended." } } @else { p { (sentence(why)) } }
            @if !help.is_empty() { p { (sentence(help)) } }
            form class="actions" method="post" action={ (self.base) "/runs/take-up" } data-live {
                (self.facts().hidden())
                input type="hidden" name="run" value=(run.id.get());
                button class="first" type="submit" { "Take it up where it was" }
                button type="submit" formaction={ (self.base) "/runs/give-up" } { "Give it up" }
            }
        }
    }

    fn ended(&self, run: &RunView) -> Markup {
        let report = run.report.as_deref();
        let n_met = report.map_or(0, |report| {
            report.targets.iter().filter(|target| target.verdict == Verdict::Met).count()
        });
        html! {
            p {
                b { (state_word(&run.state)) }
                @if let Some(report) = report {
                    ": " (n_met) " of " (report.targets.len()) " settings as wanted"
                }
                ". " (time(run.ended_at.unwrap_or(run.begun_at))) ", " (run.by) "."
                @if run.n_taken_up > 0 { " It was cut off and taken up again." }
            }
            @if let Some(report) = report {
                p class="soft" { (capital(&shop::rail_time(report))) "." }
                @let amiss: Vec<_> = report.targets.iter().filter(|target| target.verdict != Verdict::Met).collect();
                @if !amiss.is_empty() {
                    details {
                        summary { "What is not as wanted (" (amiss.len()) ")" }
                        ul class="plain" {
                            @for target in amiss {
                                @let words: Vec<&str> = target.because.iter().map(|(_, words)| words.as_str()).collect();
                                @let read = target.after.as_ref().or(target.before.as_ref());
                                li {
                                    b { (target.place) } " wanted " (target.value) ", "
                                    @match read { Some(content) => (content), None => "not read" }
                                    small { (words.join("; ")) }
                                }
                            }
                        }
                    }
                }
                @if !report.disturbed.is_empty() {
                    p {
                        b { "Something else changed too: " }
                        @for (index, one) in report.disturbed.iter().enumerate() {
                            @if index > 0 { "; " } (one.place) " held " (one.before) " and now " (one.after)
                        }
                        "."
                    }
                }
            }
        }
    }

    /// The runs and snapshots of the past.
    pub(super) fn trial_answers(&self) -> Markup {
        let (runs, snapshots) = (&self.view.runs, &self.view.snapshots);
        html! {
            @if runs.is_empty() && snapshots.is_empty() {
                h3 { "The proof" }
                (super::answers::nothing("Nothing has been read back yet: the settings are planned, not proven."))
            }
            @if !runs.is_empty() {
                h3 { "Runs" }
                ul class="plain" {
                    @for run in runs.iter().take(8) {
                        li {
                            (time(run.begun_at)) " " (task_word(run.task)) ": " b { (state_word(&run.state)) }
                            small { (run.by) }
                        }
                    }
                }
            }
            @if !snapshots.is_empty() {
                h3 { "Snapshots" }
                ul class="plain" {
                    @for (index, snapshot) in snapshots.iter().take(8).enumerate() {
                        li {
                            a href=(link(["snapshots", &snapshot.id.get().to_string()])) { (time(snapshot.at)) }
                            ", " (snapshot.n_cvs) " CVs"
                            @if let Some(before) = snapshots.get(index + 1) {
                                " · "
                                a href={ "/snapshots/" (before.id.get()) "/against/" (snapshot.id.get()) } {
                                    "what changed since the one before"
                                }
                            }
                            @if !snapshot.note.is_empty() { small { (snapshot.note) } }
                        }
                    }
                }
            }
        }
    }
}

pub(super) fn task_word(task: Task) -> &'static str {
    match task {
        Task::Program => "programming",
        Task::Prove => "comparing",
        Task::Undo => "bringing back",
    }
}

fn part_word(part: track::Part) -> &'static str {
    match part {
        track::Part::Reading => "reading what it holds",
        track::Part::Writing => "writing what differs",
        track::Part::Proving => "reading back",
        track::Part::Closing => "putting page and lock back",
        track::Part::Over => "over",
    }
}

pub(super) fn state_word(state: &RunState) -> &'static str {
    match state {
        RunState::UnderWay => "Under way",
        RunState::CutOff { .. } => "Cut off",
        RunState::Proven => "Proven",
        RunState::NotProven => "Not as wanted",
        RunState::Undone => "All is back as it was",
        RunState::Cancelled => "Stopped by hand",
        RunState::GivenUp => "Given up",
    }
}

fn seconds(left: Duration) -> String {
    let seconds = left.as_secs();
    match (seconds / 60, seconds % 60) {
        (0, seconds) => format!("{} s", seconds + 1),
        (minutes, seconds) => format!("{minutes} min {seconds} s"),
    }
}
