//! Ways in: the first start, a new order, and the door for browsers of the network.

use std::net::SocketAddr;

use axum::extract::{ConnectInfo, Request, State};
use axum::http::{HeaderMap, HeaderValue, header};
use axum::response::{IntoResponse, Redirect, Response};
use axum::routing::{get, post};
use axum::{Extension, Form, Router};
use maud::{Markup, html};
use shop::NewOrder;
use workorder::Scale;

use crate::guard::{Posted, Tried, Visitor, address_of};
use crate::page::{Page, Room};
use crate::problem::Problem;
use crate::state::Sheet;
use crate::words::link;

pub(super) fn routes() -> Router<Sheet> {
    Router::new()
        .route("/demo", post(demo))
        .route("/new-order", get(new_order))
        .route("/orders", post(create))
        .route("/pair", get(door).post(pair))
        .route("/leave", post(leave))
}

/// The page of a shop in which there is nothing yet.
pub(super) fn first_start(visitor: &Visitor) -> Page {
    let main = html! {
        div class="first-start" {
            h1 { "An empty shop" }
            p class="told" {
                "Backshop goes with a job from opening the shell to handing the engine back: it says what is wrong before the iron is hot, \
                 writes the settings and proves them, and prints the card that goes into the box."
            }
            div class="ways" {
                div class="way" {
                    h2 { "Begin with a job" }
                    p { "A model lies on the bench. Its number, what it is and its scale are enough to begin." }
                    a class="button first" href="/new-order" { "New order" }
                }
                div class="way" {
                    h2 { "Look around first" }
                    p {
                        "The Vesper Lake Railway and its night mail, all invented: seven orders with their \
                             faults, two trains, parts, and a virtual bench to try them on."
                    }
                    form method="post" action="/demo" {
                        input type="hidden" name="token" value=(visitor.token);
                        button type="submit" { "Fill the shop with the demo" }
                    }
                }
            }
        }
    };
    Page::new("An empty shop", Room::Work, visitor, main)
}

async fn demo(State(sheet): State<Sheet>, posted: Posted) -> Result<Redirect, Problem> {
    sheet.ask(move |store| store.fill_demo(&posted.visitor.by)).await?;
    Ok(Redirect::to("/"))
}

async fn new_order(
    State(sheet): State<Sheet>,
    Extension(visitor): Extension<Visitor>,
) -> Result<Page, Problem> {
    let dossiers = sheet.ask(shop::Store::dossiers).await?;
    let main = html! {
        div class="narrow" {
            h1 { "New order" }
            p class="told" { "Only what it is. All else is asked where the work needs it." }
            form method="post" action="/orders" {
                input type="hidden" name="token" value=(visitor.token);
                @if !dossiers.is_empty() {
                    label class="labelled" {
                        span { "Begin from a dossier: what was found in the last one of its kind" }
                        select id="dossier" name="dossier" {
                            option value="" { "none" }
                            @for dossier in &dossiers {
                                option value=(dossier.name) { (dossier.model) " (" (dossier.scale) ")" }
                            }
                        }
                    }
                }
                (text("model", "Model", "Vesper Lake class 40 railcar", dossiers.is_empty()))
                label class="labelled" {
                    span { "Scale" }
                    select id="scale" name="scale" {
                        @if !dossiers.is_empty() { option value="" { "as the dossier says" } }
                        @for scale in Scale::ALL {
                            option value=(scale.word()) selected[dossiers.is_empty() && *scale == Scale::HO] {
                                (scale.word())
                            }
                        }
                    }
                }
                (text("client", "Whose it is", "", false))
                label class="labelled" {
                    span { "What is wanted, in the client's words" }
                    textarea id="wanted" name="wanted" rows="3" maxlength="2000" {}
                }
                (text("number", "Number, where you give your own", "", false))
                button class="first" type="submit" { "Take it in" }
            }
        }
    };
    Ok(Page::new("New order", Room::Work, &visitor, main))
}

fn text(name: &str, label: &str, example: &str, is_required: bool) -> Markup {
    html! {
        label class="labelled" {
            span { (label) }
            input id=(name) name=(name) placeholder=[(!example.is_empty()).then_some(example)]
                required[is_required] maxlength="200" autocomplete="off";
        }
    }
}

async fn create(State(sheet): State<Sheet>, posted: Posted) -> Result<Redirect, Problem> {
    let fields = posted.fields;
    let new = NewOrder {
        number: fields.text("number").to_owned(),
        model: fields.text("model").to_owned(),
        scale: fields.text("scale").to_owned(),
        client: fields.text("client").to_owned(),
        wanted: fields.text("wanted").to_owned(),
    };
    let dossier = fields.text("dossier").to_owned();
    let number = sheet
        .ask(move |store| {
            let by = &posted.visitor.by;
            if dossier.is_empty() {
                store.create_order(&new, by)
            } else {
                store.create_order_from_dossier(&dossier, &new, by)
            }
        })
        .await?;
    Ok(Redirect::to(&link(["orders", &number])))
}

async fn door(State(sheet): State<Sheet>, headers: HeaderMap) -> Response {
    if sheet.guard().visitor(&headers).is_some() {
        return Redirect::to("/").into_response();
    }
    door_page("").into_response()
}

fn door_page(told: &str) -> Page {
    let main = html! {
        div class="door" {
            h1 { "Pair this browser" }
            p class="told" {
                "The terminal in which Backshop runs shows a code. Whoever can read it may come in."
            }
            @if !told.is_empty() { p role="alert" { b { (told) } } }
            form method="post" action="/pair" {
                label class="labelled" {
                    span { "Code" }
                    input class="code" id="code" name="code" required maxlength="12" autocomplete="off"
                        autocapitalize="characters" spellcheck="false" autofocus;
                }
                label class="labelled" {
                    span { "Your name, for the histories" }
                    input id="by" name="by" maxlength="40" autocomplete="nickname";
                }
                button class="first" type="submit" { "Come in" }
            }
        }
    };
    Page::at_the_door("Pair this browser", main)
}

async fn pair(
    State(sheet): State<Sheet>,
    connected: Option<Extension<ConnectInfo<SocketAddr>>>,
    Form(fields): Form<Vec<(String, String)>>,
) -> Result<Response, Problem> {
    let field =
        |name: &str| fields.iter().find(|(known, _)| known == name).map_or("", |(_, value)| value.as_str());
    let from = address_of(connected.as_ref().map(|Extension(connected)| connected));
    let tried = sheet.guard().pair(field("code"), field("by"), from);
    match tried.map_err(|error| Problem::Broken { cause: error.to_string() })? {
        Tried::LetIn(key) => {
            let mut response = Redirect::to("/").into_response();
            if let Ok(cookie) = HeaderValue::from_str(&sheet.guard().cookie(&key)) {
                response.headers_mut().insert(header::SET_COOKIE, cookie);
            }
            Ok(response)
        }
        Tried::Wrong => {
            Ok((axum::http::StatusCode::UNPROCESSABLE_ENTITY, door_page("That is not the code."))
                .into_response())
        }
        Tried::TooMany(after) => Err(Problem::TooMany { after }),
    }
}

async fn leave(State(sheet): State<Sheet>, request: Request) -> Result<Redirect, Problem> {
    let headers = request.headers().clone();
    let _posted = <Posted as axum::extract::FromRequest<Sheet>>::from_request(request, &sheet).await?;
    sheet.guard().leave(&headers);
    Ok(Redirect::to("/pair"))
}
