//! The card on the screen, ready to print: the same page that is written as a file, with a bar that paper does
//! not show.

use axum::Extension;
use axum::extract::{Path, Query, State};
use axum::http::{HeaderValue, header};
use axum::response::{Html, IntoResponse, Response};
use maud::html;
use paper::PaperSize;
use serde::Deserialize;

use crate::assets::path_of;
use crate::guard::{Visitor, policy_with_style};
use crate::problem::Problem;
use crate::state::Sheet;
use crate::words::link;

#[derive(Debug, Deserialize)]
pub(super) struct Asked {
    #[serde(default)]
    size: String,
}

impl Asked {
    fn paper(&self) -> PaperSize {
        match self.size.as_str() {
            "a4" => PaperSize::A4,
            "letter" => PaperSize::Letter,
            _ => PaperSize::AsPrinter,
        }
    }
}

pub(super) async fn page(
    State(sheet): State<Sheet>,
    Path(name): Path<String>,
    Query(asked): Query<Asked>,
    Extension(_): Extension<Visitor>,
) -> Result<Response, Problem> {
    let size = asked.paper();
    let number = name.clone();
    let card = sheet.ask(move |store| store.card_html(&number, size)).await?;
    let style = card.split_once("<style>").and_then(|(_, rest)| rest.split_once("</style>"));
    let policy = policy_with_style(style.map_or("", |(style, _)| style));
    let mut response = Html(with_bar(&card, &name, size)).into_response();
    if let Ok(policy) = HeaderValue::from_str(&policy) {
        response.headers_mut().insert(header::CONTENT_SECURITY_POLICY, policy);
    }
    Ok(response)
}

pub(super) async fn pdf(
    State(sheet): State<Sheet>,
    Path(name): Path<String>,
    Query(asked): Query<Asked>,
) -> Result<Response, Problem> {
    let size = asked.paper();
    let number = name.clone();
    let pdf = sheet.ask(move |store| store.card_pdf(&number, size)).await?;
    let headers = [
        (header::CONTENT_TYPE, HeaderValue::from_static("application/pdf")),
        (header::CONTENT_DISPOSITION, HeaderValue::from_static("inline; filename=\"card.pdf\"")),
    ];
    Ok((headers, pdf).into_response())
}

/// The card with a bar above it: back to the order, the paper, and the print button.
fn with_bar(card: &str, name: &str, size: PaperSize) -> String {
    let base = link(["orders", name]);
    let choice = |word: &str, value: &str, of: PaperSize| {
        html! { a href={ (base) "/card?size=" (value) } aria-current=[(of == size).then_some("true")] { (word) } }
    };
    let head = html! {
        link rel="stylesheet" href=(path_of("print-bar.css"));
        link rel="icon" type="image/svg+xml" href=(path_of("mark.svg"));
        script type="module" src=(path_of("print.js")) {}
    };
    let bar = html! {
        nav class="print-bar" aria-label="printing" {
            a href=(base) { "Back to " (name) }
            span class="papers" {
                (choice("As the printer", "", PaperSize::AsPrinter)) (choice("A4", "a4", PaperSize::A4))
                (choice("Letter", "letter", PaperSize::Letter))
            }
            a
                href={ (base) "/card.pdf?size=" (step(size)) } {
                "PDF"
            }
            button type="button" data-print { "Print" }
        }
    };
    card.replacen("</head>", &format!("{}</head>", head.into_string()), 1).replacen(
        "<body>",
        &format!("<body>{}", bar.into_string()),
        1,
    )
}

/// A paper in an address.
fn step(size: PaperSize) -> &'static str {
    match size {
        PaperSize::A4 => "a4",
        PaperSize::Letter => "letter",
        PaperSize::AsPrinter => "",
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_bar_stands_in_the_page_and_its_texts_are_escaped() {
        let page = with_bar(
            "<html><head><style>x</style></head><body><main></main></body></html>",
            "<V>",
            PaperSize::A4,
        );
        assert!(page.contains("print-bar.css"));
        assert!(page.contains("Back to &lt;V&gt;"));
        assert!(page.find("print-bar\"").unwrap() < page.find("<main>").unwrap());
        assert!(page.contains(r#"aria-current="true">A4<"#));
    }
}
