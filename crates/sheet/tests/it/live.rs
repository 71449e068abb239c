//! Live pages: whoever looks at an order hears of what others do to it.

use std::time::Duration;

use axum::response::Response;
use shop::{DocumentKey, RevisionNumber};
use tokio_stream::StreamExt;

use crate::client::Client;

/// What a stream tells until some words have come.
async fn until(response: Response, words: &str) -> String {
    let mut stream = response.into_body().into_data_stream();
    let mut told = String::new();
    while !told.contains(words) {
        let next = tokio::time::timeout(Duration::from_secs(20), stream.next()).await;
        let piece = next.unwrap_or_else(|_| panic!("{words:?} did not come; only {told:?}"));
        told.push_str(&String::from_utf8_lossy(&piece.expect("the stream ended").unwrap()));
    }
    told
}

#[tokio::test]
async fn another_browser_hears_of_a_change() {
    let client = Client::demo();
    let page = client.open("/orders/V-0031/events").await;
    assert_eq!(page.headers()["content-type"], "text/event-stream");
    let key = DocumentKey::order("V-0031");
    let path = finding::Path::new("survey.stall-current");
    client.store.edit(&key, &path, "0.7 A", RevisionNumber::new(1), "Ada \"<b>").unwrap();
    let told = until(page, "\n\n").await;
    assert!(told.contains("event: changed"), "{told}");
    assert!(told.contains(r#""revision":2"#) && told.contains(r#"Changed by Ada \"<b>."#), "{told}");
}

#[tokio::test]
async fn a_change_of_another_order_is_no_news_of_this_one() {
    let client = Client::demo();
    let page = client.open("/orders/V-0031/events").await;
    let path = finding::Path::new("survey.stall-current");
    client.store.edit(&DocumentKey::order("V-0036"), &path, "0.7 A", RevisionNumber::new(1), "Ada").unwrap();
    let told = until(page, "\n\n").await;
    // Orders of one train reach into each other's answers, so that the page looks; but nobody is told.
    assert!(!told.contains("Ada"), "{told}");
}

#[tokio::test]
async fn the_progress_of_a_run_is_told() {
    let client = Client::demo();
    let page = client.open("/orders/V-0031/events").await;
    client.post("/orders/V-0031/runs", &[("task", "prove")]).await.is(303);
    let told = until(page, "event: progress").await;
    assert!(told.contains("event: changed"), "that it began was told first: {told}");
    let run = client.store.runs("V-0031").unwrap()[0].id;
    client.store.cancel_run(run, "test").unwrap();
    client.store.wait_for_run(run).unwrap();
}

#[tokio::test]
async fn lists_hear_of_new_orders() {
    let client = Client::demo();
    let page = client.open("/events").await;
    client.post("/orders", &[("model", "x"), ("scale", "HO")]).await.is(303);
    until(page, "event: changed").await;
}

/// Streams end when the sheet is closed, so that the program can.
#[tokio::test]
async fn streams_end_with_the_sheet() {
    let client = Client::demo();
    let mut stream = client.open("/orders/V-0031/events").await.into_body().into_data_stream();
    client.sheet.close();
    let ended =
        tokio::time::timeout(Duration::from_secs(20), async { while stream.next().await.is_some() {} });
    ended.await.unwrap();
}
