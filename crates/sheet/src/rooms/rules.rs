//! The rules: what each checks, why it matters, its cure and its source.

use axum::extract::Path;
use axum::routing::get;
use axum::{Extension, Router};
use inspection::{Rule, Stage};
use maud::html;

use super::room_head;
use crate::guard::Visitor;
use crate::page::{Page, Room};
use crate::problem::Problem;
use crate::words::{capital, link};

pub(super) fn routes() -> Router<crate::state::Sheet> {
    Router::new().route("/rules", get(list)).route("/rules/{name}", get(rule))
}

async fn list(Extension(visitor): Extension<Visitor>) -> Page {
    let main = html! {
        (room_head("Rules", "What Backshop judges an order by. Each rule has a reason and a source.", &html! {}))
        @for stage in Stage::ALL {
            @let rules: Vec<&Rule> = inspection::rules().filter(|rule| rule.stage == stage).collect();
            @if !rules.is_empty() {
                h2 { (capital(stage.words())) }
                ul class="list" { @for rule in rules {
                    li { a href=(link(["rules", rule.name])) {
                        span class="name" { (paper::severity_symbol(rule.severity)) " " (rule.severity) }
                        span class="title" { (capital(&rule.name.replace('-', " "))) small { (rule.checks) } }
                    } }
                } }
            }
        }
    };
    Page::new("Rules", Room::Rules, &visitor, main)
}

async fn rule(Path(name): Path<String>, Extension(visitor): Extension<Visitor>) -> Result<Page, Problem> {
    let rule =
        inspection::explain(&name).ok_or_else(|| Problem::NotFound { what: format!("rule `{name}`") })?;
    let parts = [
        ("What it checks", rule.checks),
        ("Why it matters", rule.matters),
        ("Example", rule.example),
        ("Cure", rule.cure),
        ("Source", rule.source),
    ];
    let main = html! {
        article class="rule-text" {
            p class="soft" {
                (paper::severity_symbol(rule.severity)) " " (rule.severity) ", at the " (rule.stage.words())
            }
            h1 { (capital(&rule.name.replace('-', " "))) }
            @for (heading, words) in parts { h2 { (heading) } p { (words) } }
            @if !rule.rows.is_empty() {
                h2 { "Would have caught" }
                p {
                    "of the sixty usual failures: "
                    @for (index, row) in rule.rows.iter().enumerate() { @if index > 0 { ", " } (row) }
                }
            }
            p { a href="/rules" { "All rules" } }
        }
    };
    Ok(Page::new(rule.name, Room::Rules, &visitor, main))
}
