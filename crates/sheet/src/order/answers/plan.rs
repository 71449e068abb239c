//! Answers of the plan beside its wiring: does the decoder plug in and fit, what does everything draw, what do
//! the lamps do.

use datasheets::{DecoderData, LampKind, OutputKind};
use inspection::{Answers, Budget, Connection, Fit, LampAnswer};
use maud::{Markup, html};

use super::{list, told};
use crate::words::rounded;

/// How the decoder gets in and what it has to carry.
pub(in crate::order) fn decoder(answers: &Answers, sheet: Option<&DecoderData>) -> Markup {
    let mut rows = Vec::new();
    if let Some(connection) = &answers.connection {
        rows.push(("Decoder", connected(connection)));
    }
    if let Some(fit) = &answers.decoder_fit {
        rows.push(("Room", room(fit)));
    }
    if let Some(budget) = &answers.budget {
        rows.extend(budget_rows(budget, sheet));
    }
    list(&rows)
}

fn connected(connection: &Connection) -> Markup {
    match connection {
        Connection::PlugsIn { plug } => told("plugs in", format!("its {plug} plug goes into the socket")),
        Connection::Soldered => told("its leads are soldered", "the model has no socket"),
        Connection::SolderedPastSocket => {
            told("its leads are soldered", "no plug of it goes into the socket")
        }
        Connection::None => told("does not go in", "neither a plug nor free leads suit this model"),
    }
}

fn room(fit: &Fit) -> Markup {
    let spare = fit.spare_height_millimetres();
    let answer = if !fit.goes_in_flat() {
        "does not go in flat".to_owned()
    } else if spare < 0.0 {
        format!("{:.1} mm too tall", -spare)
    } else {
        format!("goes in, {spare:.1} mm to spare above")
    };
    let measured = if fit.is_measured { "as measured" } else { "as the socket's standard reserves" };
    told(answer, format!("{} into {}, {measured}", fit.part, fit.space))
}

fn budget_rows(budget: &Budget, sheet: Option<&DecoderData>) -> Vec<(&'static str, Markup)> {
    let stands = |limit: Option<quantities::Current>| {
        limit.map_or_else(String::new, |limit| format!("the decoder stands {}", rounded(limit)))
    };
    let mut rows = Vec::new();
    if let Some(held) = budget.motor_held {
        rows.push((
            "Motor held",
            told(rounded(held), stands(sheet.map(|sheet| sheet.motor_peak.unwrap_or(sheet.motor_current)))),
        ));
    }
    if let Some(running) = budget.running() {
        let motor =
            budget.motor_running.map_or_else(String::new, |motor| format!("motor {}, ", rounded(motor)));
        let parts = format!("{motor}lamps {}, sound {}", rounded(budget.lamps), rounded(budget.amplifier));
        rows.push(("All running", told(rounded(running), parts)));
    }
    if let Some(held) = budget.held() {
        rows.push((
            "Everything at once",
            told(rounded(held), stands(sheet.and_then(|sheet| sheet.total_current))),
        ));
    }
    rows
}

/// What each lamp does, and what each output carries.
pub(in crate::order) fn lamps(answers: &Answers) -> Markup {
    html! {
        @if !answers.lamps.is_empty() {
            h4 { "Lamps" }
            div class="wide" { table class="lamps" {
                thead { tr {
                    th scope="col" { "lamp" }
                    th scope="col" { "output" }
                    th scope="col" { "current" }
                    th scope="col" { "resistor" }
                } }
                tbody { @for lamp in &answers.lamps { (lamp_row(lamp)) } }
            } }
        }
        @if let Some(budget) = &answers.budget {
            @if !budget.outputs.is_empty() {
                ul class="plain outputs" {
                    @for output in &budget.outputs {
                        li {
                            b { (output.name) } " carries " (rounded(output.current)) " of "
                            (rounded(output.rating))
                            @if output.is_rating_assumed { small { "a usual rating; the sheet tells none" } }
                            @if output.kind == OutputKind::Logic {
                                small { "logic level: it cannot drive a lamp by itself" }
                            }
                        }
                    }
                }
            }
        }
    }
}

fn lamp_row(lamp: &LampAnswer) -> Markup {
    html! {
        tr {
            th scope="row" { (lamp.name) }
            td { (lamp.output) }
            td {
                @if lamp.is_unprotected() { b { "without a resistor" } } @else { (rounded(lamp.current)) }
                @if lamp.facts.kind == LampKind::Bulb && !lamp.is_unprotected() {
                    small { "at " (rounded(lamp.lamp_voltage())) " of " (rounded(lamp.facts.voltage)) }
                }
            }
            td {
                @if lamp.series.as_ohms() > 0.0 {
                    (rounded(lamp.series)) small { (rounded(lamp.resistor_heat)) " of heat" }
                } @else {
                    "none"
                }
            }
        }
    }
}
