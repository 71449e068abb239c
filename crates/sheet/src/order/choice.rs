//! Which speaker and box would suit an order: everything on the shelf that goes in, best first, with the
//! reasons.

use axum::Extension;
use axum::extract::{Path, State};
use maud::html;

use crate::guard::Visitor;
use crate::page::{Page, Room};
use crate::problem::{Problem, sentence};
use crate::state::Sheet;
use crate::words::{link, rounded};

pub(super) async fn page(
    State(sheet): State<Sheet>,
    Path(name): Path<String>,
    Extension(visitor): Extension<Visitor>,
) -> Result<Page, Problem> {
    let number = name.clone();
    let rows = sheet
        .ask(move |store| {
            let (view, desk) = (store.order(&number)?, store.desk()?);
            Ok::<_, shop::ShopError>(view.checked.map(|checked| shop::part_choice(&desk, &checked)))
        })
        .await?;
    let main = html! {
        div class="page-head" {
            div {
                p class="soft" { a href=(link(["orders", &name])) { (name) } } h1 { "Which speaker would suit" }
                p {
                    "Every speaker and box of the shelf that goes into the room of the survey, at the decoder \
                         of the plan, best first."
                }
            }
        }
        @match &rows {
            None => p class="nothing" { "The order cannot be read; mend it first." },
            Some(rows) if rows.is_empty() => p class="nothing" { "No speaker of the shelf goes with a box into the room that the survey gives for speakers." },
            Some(rows) => div class="wide" { table {
                thead { tr {
                    th scope="col" { "speaker" } th scope="col" { "box" } th scope="col" { "reaches down to" }
                    th scope="col" { "at most" } th scope="col" { "why" }
                } }
                tbody { @for row in rows { tr {
                    th scope="row" { a href=(link(["parts", &row.speaker])) { (row.speaker) } }
                    td { a href=(link(["parts", &row.enclosure])) { (row.enclosure) } }
                    td {
                        @if !row.row.is_usable {
                            b { "cannot be used" }
                        } @else {
                            @match &row.row.low_end { Some(at) => (rounded(at)), None => "no bass" }
                        }
                    }
                    td { (rounded(row.row.level)) }
                    td {
                        ul {
                            @for reason in &row.row.reasons { li { (sentence(&reason.to_string())) } }
                            @if row.is_assumed {
                                li { "Usual values were assumed where its sheet tells none." }
                            }
                        }
                    }
                } } }
            } },
        }
    };
    Ok(Page::new(format!("Speakers for {name}"), Room::Work, &visitor, main))
}
