//! Every page that can be reached from the first one: it is there, it is well made, and each of its forms is
//! guarded.

use std::collections::{BTreeMap, BTreeSet};

use axum::body::Body;
use axum::http::Method;

use crate::client::{Client, encoded};
use crate::html::{Element, check_page};

/// Pages by their address, and where forms are sent.
struct Found {
    pages: BTreeMap<String, String>,
    /// Where a form is sent, and whether it brings a file.
    actions: BTreeSet<(String, bool)>,
}

async fn crawl(client: &Client) -> Found {
    let mut found = Found { pages: BTreeMap::new(), actions: BTreeSet::new() };
    let mut waiting = vec!["/".to_owned()];
    let mut seen: BTreeSet<String> = waiting.iter().cloned().collect();
    while let Some(address) = waiting.pop() {
        let answer = client.get(&address).await;
        assert_eq!(answer.status.as_u16(), 200, "{address}");
        if !answer.header("content-type").starts_with("text/html") {
            continue;
        }
        let page = answer.text();
        for element in check_page(&address, &page) {
            if let Some(href) = element.attribute("href").filter(|_| element.name == "a") {
                let href = href.split('#').next().unwrap().to_owned();
                // The browser that makes PDFs may not be installed where the tests run.
                let is_wanted = !href.is_empty() && !href.contains("card.pdf");
                if is_wanted && seen.insert(href.clone()) {
                    waiting.push(href);
                }
            }
            remember_action(&element, &mut found.actions);
        }
        found.pages.insert(address, page);
    }
    found
}

fn remember_action(element: &Element, actions: &mut BTreeSet<(String, bool)>) {
    let has_file = element.attribute("enctype").is_some();
    if element.name == "form" && element.attribute("method") == Some("post") {
        actions.insert((element.attribute("action").unwrap().to_owned(), has_file));
    }
    if let Some(action) = element.attribute("formaction") {
        actions.insert((action.to_owned(), has_file));
    }
}

#[tokio::test]
async fn every_page_of_the_demo_is_there_and_well_made() {
    let client = Client::demo();
    let found = crawl(&client).await;
    for wanted in [
        "/",
        "/new-order",
        "/trains",
        "/trains/night-mail",
        "/dossiers",
        "/parts",
        "/parts/demo-21-sound",
        "/rules",
        "/rules/speakers-in-opposition",
        "/shop",
        "/orders/V-0031",
        "/orders/V-0031/text",
        "/orders/V-0031/history",
        "/orders/V-0031/card",
        "/orders/V-0031/card?size=a4",
        "/orders/V-0031/choice",
        "/?lane=measurement",
    ] {
        assert!(found.pages.contains_key(wanted), "{wanted} was not found among {:?}", found.pages.keys());
    }
}

#[tokio::test]
async fn an_empty_shop_has_pages_too() {
    let client = Client::empty();
    let found = crawl(&client).await;
    assert!(found.pages["/"].contains("An empty shop"));
}

/// Each form is sent without its token, with a wrong one, from a foreign page and from no page: nothing is
/// changed.
#[tokio::test]
async fn every_form_is_guarded() {
    let client = Client::demo();
    let found = crawl(&client).await;
    let actions = found.actions;
    assert!(actions.len() > 40, "only {} forms were found", actions.len());
    for (action, has_file) in actions {
        let before = client.store.board(&everything()).unwrap();
        for (token, origin, refusal) in [
            (None, Some("http://127.0.0.1:8470"), 403),
            (Some("0123456789abcdef0123456789abcdef"), Some("http://127.0.0.1:8470"), 403),
            (Some("right"), Some("http://evil.example"), 403),
            (Some("right"), Some("null"), 403),
            (Some("right"), None, 403),
        ] {
            let right = client.token().await;
            let token = token.map(|token| if token == "right" { right.as_str() } else { token });
            let fields: Vec<(&str, &str)> = token.into_iter().map(|token| ("token", token)).collect();
            let mut request = client.request(Method::POST, &action);
            request.headers_mut().unwrap().remove("origin");
            if let Some(origin) = origin {
                request = request.header("origin", origin);
            }
            let (kind, body) = if has_file {
                let part = |(name, value): &(&str, &str)| {
                    format!("--x\r\ncontent-disposition: form-data; name=\"{name}\"\r\n\r\n{value}\r\n")
                };
                let parts: String = fields.iter().map(part).collect();
                let file = "--x\r\ncontent-disposition: form-data; name=\"photo\"; filename=\"a\"\r\n\r\nbytes\r\n--x--\r\n";
                ("multipart/form-data; boundary=x", format!("{parts}{file}"))
            } else {
                ("application/x-www-form-urlencoded", encoded(&fields))
            };
            let answer =
                client.send(request.header("content-type", kind).body(Body::from(body)).unwrap()).await;
            assert_eq!(answer.status.as_u16(), refusal, "{action} with token {token:?} from {origin:?}");
        }
        assert_eq!(client.store.board(&everything()).unwrap(), before, "{action} changed something");
    }
}

fn everything() -> shop::BoardQuestion {
    shop::BoardQuestion { lane: None, skip: 0, limit: 1000 }
}
