//! The door on one machine: foreign names, foreign pages, the headers on every answer, assets for ever.

use axum::body::Body;
use axum::http::{Method, Request};
use sha2::{Digest, Sha256};

use crate::client::Client;

#[tokio::test]
async fn a_foreign_name_is_refused() {
    for host in ["evil.example:8470", "127.0.0.1.evil.example:8470", "192.168.1.20:8470", "127.0.0.1:80", ""]
    {
        let client = Client::of(sheet::Reach::ThisMachine, host);
        let answer = client.get("/").await.is(421);
        assert!(answer.text().contains("could belong to somebody else"), "{host}");
    }
    let client = Client::empty();
    let without_host = Request::builder().uri("/").body(Body::empty()).unwrap();
    client.send(without_host).await.is(421);
}

#[tokio::test]
async fn every_answer_protects_the_page() {
    let client = Client::demo();
    for path in ["/", "/orders/V-0031", "/nothing-here", "/assets/0/sheet.css", "/orders/V-0031/card"] {
        let answer = client.get(path).await;
        let policy = answer.header("content-security-policy");
        assert!(policy.starts_with("default-src 'none'; script-src 'self';"), "{path}: {policy}");
        assert!(policy.contains("frame-ancestors 'none'") && policy.contains("form-action 'self'"), "{path}");
        assert!(!policy.contains("unsafe"), "{path}");
        assert_eq!(answer.header("x-content-type-options"), "nosniff", "{path}");
        assert_eq!(answer.header("x-frame-options"), "DENY", "{path}");
        assert_eq!(answer.header("referrer-policy"), "same-origin", "{path}");
        assert_eq!(answer.header("cross-origin-resource-policy"), "same-origin", "{path}");
        assert_eq!(answer.header("set-cookie"), "", "{path}: no cookie is needed on one machine");
    }
    // Refusals too.
    let foreign = Client::of(sheet::Reach::ThisMachine, "evil.example").get("/").await;
    assert!(foreign.header("content-security-policy").starts_with("default-src 'none'"));
}

/// The card's own style is the only one that its page allows.
#[tokio::test]
async fn the_card_allows_its_own_style_and_no_other() {
    let client = Client::demo();
    let answer = client.get("/orders/V-0031/card?size=letter").await.is(200);
    let page = answer.text();
    let (style, rest) = page.split_once("<style>").unwrap().1.split_once("</style>").unwrap();
    assert!(!rest.contains("<style"), "there is one style element");
    let digest = Sha256::digest(style.as_bytes());
    let wanted = format!("style-src 'self' 'sha256-{}'", in_base64(&digest));
    assert!(answer.header("content-security-policy").contains(&wanted), "{wanted}");
    assert!(page.contains("data-print"));
    assert!(page.contains("size: Letter"));
}

/// Base64 the slow way, bit by bit, as a second opinion.
fn in_base64(bytes: &[u8]) -> String {
    const LETTERS: &[u8] = b"ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
    let bits: Vec<u8> = bytes.iter().flat_map(|byte| (0..8).rev().map(move |bit| byte >> bit & 1)).collect();
    let mut text: String = bits
        .chunks(6)
        .map(|six| {
            let value = (0..6).fold(0, |value, bit| value << 1 | six.get(bit).copied().unwrap_or(0));
            char::from(LETTERS[usize::from(value)])
        })
        .collect();
    while !text.len().is_multiple_of(4) {
        text.push('=');
    }
    text
}

#[tokio::test]
async fn assets_are_kept_for_ever_under_the_hash_of_their_content() {
    let client = Client::demo();
    let page = client.page("/").await;
    let (_, rest) = page.split_once("<link rel=\"stylesheet\" href=\"").unwrap();
    let style = rest.split_once('"').unwrap().0;
    let answer = client.get(style).await.is(200);
    assert_eq!(answer.header("content-type"), "text/css; charset=utf-8");
    assert_eq!(answer.header("cache-control"), "public, max-age=31536000, immutable");
    let folder = style.strip_suffix("sheet.css").unwrap();
    for module in ["sheet.js", "blocks.js", "forms.js", "events.js", "furnish.js", "print.js"] {
        let answer = client.get(&format!("{folder}{module}")).await.is(200);
        assert_eq!(answer.header("content-type"), "text/javascript; charset=utf-8", "{module}");
        // Whatever a module imports lies beside it.
        for line in answer.text().lines().filter(|line| line.starts_with("import ")) {
            let name = line.split('\'').nth(1).unwrap().strip_prefix("./").unwrap();
            client.get(&format!("{folder}{name}")).await.is(200);
        }
    }
    client.get(&format!("{folder}mark.svg")).await.is(200);
    client.get(&format!("{folder}print-bar.css")).await.is(200);
    client.get(&format!("{folder}nothing.js")).await.is(404);
    client.get(&format!("{folder}..%2f..%2fCargo.toml")).await.is(404);
    // An older page still gets what it needs, but may not keep it.
    assert_eq!(client.get("/assets/0/sheet.css").await.is(200).header("cache-control"), "no-store");
}

#[tokio::test]
async fn what_is_not_there_is_said_so_with_a_way_on() {
    let client = Client::demo();
    let page = client.get("/orders/V-0099").await.is(404).text();
    assert!(page.contains("V-0099"), "{page}");
    client.get("/snapshots/999").await.is(404);
    client.get("/photos/999").await.is(404);
    client.get("/rules/nothing").await.is(404);
    client.get("/orders/V-0031/sounds/whisper.wav").await.is(404);
    client.get("/orders/V-0031/history/99").await.is(404);
    let put = client.request(Method::PUT, "/orders/V-0031").body(Body::empty()).unwrap();
    client.send(put).await.is(405);
}

/// A browser that asks for compression gets it: a page in a tenth of its size.
#[tokio::test]
async fn pages_are_compressed() {
    let client = Client::demo();
    let plain = client.get("/orders/V-0031").await.is(200);
    let request = client.request(Method::GET, "/orders/V-0031").header("accept-encoding", "gzip");
    let packed = client.send(request.body(Body::empty()).unwrap()).await.is(200);
    assert_eq!(packed.header("content-encoding"), "gzip");
    assert!(packed.bytes.len() * 4 < plain.bytes.len(), "{} of {}", packed.bytes.len(), plain.bytes.len());
}
