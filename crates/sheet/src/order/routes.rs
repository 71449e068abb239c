//! What only work orders have: stops set aside, stages ticked off, runs, photos, sounds, the card.

use axum::Router;
use axum::extract::{DefaultBodyLimit, Path, Request, State};
use axum::routing::{get, post};
use shop::{DocumentKey, Pace, PhotoId, RunId, Store, Task};
use workorder::WaitsFor;

use super::head::stage_id;
use super::{card, choice, upload};
use crate::document::{Done, changed};
use crate::guard::Fields;
use crate::problem::Problem;
use crate::state::Sheet;

/// A photo and the little that is sent along with it.
const MOST_UPLOAD: usize = 21 << 20;

/// A change of an order: the shop, which order, what was sent, and by whom.
type Act = fn(&Store, &DocumentKey, &Fields, &str) -> Result<Done, Problem>;

const ACTS: [(&str, Act); 9] = [
    ("override", set_aside),
    ("override/withdraw", withdraw),
    ("tick", tick),
    ("waits", waits),
    ("runs", begin_run),
    ("runs/cancel", cancel_run),
    ("runs/take-up", take_up_run),
    ("runs/give-up", give_up_run),
    ("photos/away", put_photo_away),
];

pub(crate) fn routes() -> Router<Sheet> {
    let router = Router::new()
        .route("/orders/{name}/photos", post(upload::add_photo).layer(DefaultBodyLimit::max(MOST_UPLOAD)))
        .route("/photos/{id}", get(upload::photo))
        .route("/orders/{name}/sounds/{file}", get(upload::sound))
        .route("/orders/{name}/card", get(card::page))
        .route("/orders/{name}/card.pdf", get(card::pdf))
        .route("/orders/{name}/choice", get(choice::page));
    ACTS.into_iter().fold(router, |router, (step, act)| {
        router.route(
            &format!("/orders/{{name}}/{step}"),
            post(move |State(sheet): State<Sheet>, Path(name): Path<String>, request: Request| {
                changed(sheet, DocumentKey::order(name), request, act)
            }),
        )
    })
}

fn set_aside(store: &Store, key: &DocumentKey, fields: &Fields, by: &str) -> Result<Done, Problem> {
    let reason = fields.text("reason");
    if reason.is_empty() {
        return Err(Problem::Refused {
            what: "a stop is set aside with a reason only".to_owned(),
            help: "write why it may be".to_owned(),
        });
    }
    store.override_stop(&key.name, fields.get("rule")?, reason, by)?;
    Ok(Done::kept("Set aside. The reason is kept and printed on the card."))
}

fn withdraw(store: &Store, key: &DocumentKey, fields: &Fields, by: &str) -> Result<Done, Problem> {
    store.withdraw_override(&key.name, fields.get("rule")?, by)?;
    Ok(Done::kept("It holds again."))
}

fn tick(store: &Store, key: &DocumentKey, fields: &Fields, by: &str) -> Result<Done, Problem> {
    let stage = upload::stage_of(fields.get("stage")?)?;
    let is_done = fields.get("done")? == "yes";
    store.tick_stage(&key.name, stage, is_done, by)?;
    let said = if is_done { "Ticked off." } else { "Not done after all." };
    Ok(Done::kept(said).at(stage_id(stage.word())))
}

fn waits(store: &Store, key: &DocumentKey, fields: &Fields, by: &str) -> Result<Done, Problem> {
    let word = fields.text("waits-for");
    let waits_for = WaitsFor::ALL.iter().copied().find(|known| known.word() == word);
    store.state_waits_for(&key.name, waits_for, fields.text("because"), by)?;
    Ok(Done::kept("Noted."))
}

fn begin_run(store: &Store, key: &DocumentKey, fields: &Fields, by: &str) -> Result<Done, Problem> {
    let task = match fields.get("task")? {
        "program" => Task::Program,
        "prove" => Task::Prove,
        "undo" => Task::Undo,
        _ => return Err(Problem::BadForm { what: "it names no task".to_owned() }),
    };
    store.start_run(&key.name, task, Pace::AsOnRails, by)?;
    Ok(Done::kept("Begun.").at("run"))
}

fn run_of(fields: &Fields) -> Result<RunId, Problem> {
    let number = fields.get("run")?.parse();
    number.map(RunId::new).map_err(|_| Problem::BadForm { what: "the run is no number".to_owned() })
}

fn cancel_run(store: &Store, _: &DocumentKey, fields: &Fields, by: &str) -> Result<Done, Problem> {
    store.cancel_run(run_of(fields)?, by)?;
    Ok(Done::kept("Stopped. What was written stays, and can be brought back.").at("run"))
}

fn take_up_run(store: &Store, _: &DocumentKey, fields: &Fields, by: &str) -> Result<Done, Problem> {
    store.take_up_run(run_of(fields)?, Pace::AsOnRails, by)?;
    Ok(Done::kept("Taken up where it was.").at("run"))
}

fn give_up_run(store: &Store, _: &DocumentKey, fields: &Fields, by: &str) -> Result<Done, Problem> {
    store.give_up_run(run_of(fields)?, by)?;
    Ok(Done::kept("Given up. What it wrote stays in the decoder.").at("run"))
}

fn put_photo_away(store: &Store, _: &DocumentKey, fields: &Fields, by: &str) -> Result<Done, Problem> {
    let number = fields.get("photo")?.parse();
    let photo = number
        .map(PhotoId::new)
        .map_err(|_| Problem::BadForm { what: "the photo is no number".to_owned() })?;
    store.remove_photo(photo, by)?;
    Ok(Done::kept("Put away. It is kept."))
}
