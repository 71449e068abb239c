//! Facts: kept as typed, explained where they cannot be, never overwritten where two people change the same.

use shop::DocumentKey;

use crate::client::{Answer, Client};
use crate::html::{Element, elements};

const ORDER: &str = "/orders/V-0031";

fn value(client: &Client, key: &DocumentKey, path: &str) -> Option<String> {
    let form = client.store.document(key).unwrap().form;
    form.field(&finding::Path::new(path)).unwrap().value.clone()
}

fn fact(client: &Client, path: &str) -> Option<String> {
    value(client, &DocumentKey::order("V-0031"), path)
}

/// The blocks of an answer by their names.
fn blocks(answer: &Answer) -> Vec<String> {
    let names = elements(&answer.text());
    names.iter().filter_map(|element| element.attribute("data-block")).map(str::to_owned).collect()
}

fn said(answer: &Answer) -> String {
    elements(&answer.text())[0].attribute("data-said").unwrap_or("").to_owned()
}

/// What a page has, as its module tells the server.
async fn have(client: &Client, page: &str) -> String {
    let seals: Vec<String> = elements(&client.page(page).await)
        .iter()
        .filter_map(|element| {
            Some(format!("{}:{}", element.attribute("data-block")?, element.attribute("data-seal")?))
        })
        .collect();
    seals.join(",")
}

fn input(page: &str, path: &str) -> Element {
    let id = format!("field-{path}-in");
    elements(page).into_iter().find(|element| element.attribute("id") == Some(id.as_str())).unwrap()
}

#[tokio::test]
async fn a_plain_form_is_kept_and_leads_back_to_the_page() {
    let client = Client::demo();
    let revision = client.revision(ORDER).await;
    let answer = client
        .post(
            "/orders/V-0031/facts",
            &[
                ("revision", &revision),
                ("f:survey.stall-current", "0.7 A"),
                ("f:survey.stall-voltage", "15 V"),
                ("f:survey.running-current", ""),
            ],
        )
        .await
        .is(303);
    assert_eq!(answer.header("location"), ORDER);
    assert_eq!(fact(&client, "survey.stall-current").as_deref(), Some("0.7 A"));
    assert_eq!(fact(&client, "survey.running-current"), None, "an empty field takes the fact away");
    assert_eq!(input(&client.page(ORDER).await, "survey.stall-current").attribute("value"), Some("0.7 A"));
}

#[tokio::test]
async fn a_live_edit_answers_with_what_differs_and_nothing_else() {
    let client = Client::demo();
    let (revision, have) = (client.revision(ORDER).await, have(&client, ORDER).await);
    let answer = client
        .post_live(
            "/orders/V-0031/facts",
            &[("revision", &revision), ("have", &have), ("f:survey.motor-to-frame", "3 ohm")],
        )
        .await
        .is(200);
    let changed = blocks(&answer);
    assert!(changed.iter().any(|name| name == "stops"), "{changed:?}");
    assert!(changed.iter().any(|name| name == "survey-facts"), "{changed:?}");
    assert!(!changed.iter().any(|name| name == "handover-facts" || name == "plan-wide"), "{changed:?}");
    assert!(answer.text().contains("put no power on this model"));
    assert_eq!(said(&answer), "Kept.");
    // Asked again with what it has now, the page gets nothing.
    let now = self::have(&client, ORDER).await;
    let nothing = client.get(&format!("/orders/V-0031/blocks?have={now}")).await.is(200);
    assert!(blocks(&nothing).is_empty());
    let only = client.get("/orders/V-0031/blocks?only=run").await.is(200);
    assert_eq!(blocks(&only), ["run"]);
}

#[tokio::test]
async fn a_wrong_unit_is_explained_at_the_field_and_not_kept() {
    let client = Client::demo();
    let revision = client.revision(ORDER).await;
    for (typed, told) in [("0.9", "has no unit"), ("0.9 V", "V"), ("fast", "fast")] {
        let fields = [("revision", revision.as_str()), ("f:survey.stall-current", typed)];
        for answer in [
            client.post("/orders/V-0031/facts", &fields).await.is(422),
            client.post_live("/orders/V-0031/facts", &fields).await.is(422),
        ] {
            let page = answer.text();
            let field = input(&page, "survey.stall-current");
            assert_eq!(field.attribute("value"), Some(typed), "what was typed comes back");
            assert_eq!(field.attribute("aria-invalid"), Some("true"));
            let fault = elements(&page)
                .into_iter()
                .find(|element| element.attribute("id") == Some("field-survey.stall-current-fault"))
                .unwrap();
            assert!(fault.text.contains(told), "{typed}: {}", fault.text);
            assert_eq!(fault.attribute("role"), Some("alert"));
        }
    }
    assert_eq!(fact(&client, "survey.stall-current").as_deref(), Some("0.62 A"));
    assert_eq!(client.revision(ORDER).await, revision, "nothing was kept");
}

/// One bad field keeps a plain form from being kept; the other fields come back as they were typed.
#[tokio::test]
async fn a_refused_form_comes_back_filled_in() {
    let client = Client::demo();
    let revision = client.revision(ORDER).await;
    let fields = [
        ("revision", revision.as_str()),
        ("f:survey.stall-current", "0.9"),
        ("f:survey.running-current", "0.2 A"),
        ("f:survey.stall-voltage", "16 V"),
    ];
    let page = client.post("/orders/V-0031/facts", &fields).await.is(422).text();
    for (path, typed) in [
        ("survey.stall-current", "0.9"),
        ("survey.running-current", "0.2 A"),
        ("survey.stall-voltage", "16 V"),
    ] {
        assert_eq!(input(&page, path).attribute("value"), Some(typed));
    }
    assert_eq!(fact(&client, "survey.running-current").as_deref(), Some("0.14 A"));
}

#[tokio::test]
async fn two_people_who_change_different_facts_keep_both() {
    let client = Client::demo();
    let revision = client.revision(ORDER).await;
    client
        .post("/orders/V-0031/facts", &[("revision", &revision), ("f:survey.stall-current", "0.7 A")])
        .await
        .is(303);
    // The second still has the first revision, and sends its whole form, the old stall current with it.
    client
        .post(
            "/orders/V-0031/facts",
            &[
                ("revision", &revision),
                ("f:survey.stall-current", "0.62 A"),
                ("f:survey.running-current", "0.2 A"),
            ],
        )
        .await
        .is(303);
    assert_eq!(fact(&client, "survey.stall-current").as_deref(), Some("0.7 A"));
    assert_eq!(fact(&client, "survey.running-current").as_deref(), Some("0.2 A"));
}

#[tokio::test]
async fn two_people_who_change_the_same_fact_see_both_values() {
    let client = Client::demo();
    let revision = client.revision(ORDER).await;
    let edit = |typed: &'static str| {
        let (client, revision) = (client.clone(), revision.clone());
        async move {
            let fields = [("revision", revision.as_str()), ("f:survey.stall-current", typed)];
            client.post("/orders/V-0031/facts", &fields).await
        }
    };
    edit("0.7 A").await.is(303);
    let page = edit("0.8 A").await.is(409).text();
    assert_eq!(fact(&client, "survey.stall-current").as_deref(), Some("0.7 A"), "nothing is overwritten");
    let clash =
        elements(&page).into_iter().find(|element| element.attribute("class") == Some("clash")).unwrap();
    for told in ["0.8 A", "0.7 A", "0.62 A"] {
        assert!(clash.text.contains(told), "{}", clash.text);
    }
    // Either button settles it: it belongs to a form that has the newest revision.
    let button = elements(&page)
        .into_iter()
        .find(|element| element.name == "button" && element.attribute("value") == Some("0.8 A"))
        .unwrap();
    assert_eq!(button.attribute("form"), Some("settle"));
    assert_eq!(button.attribute("name"), Some("f:survey.stall-current"));
    let newest = client.revision(ORDER).await;
    client
        .post("/orders/V-0031/facts", &[("revision", &newest), ("f:survey.stall-current", "0.8 A")])
        .await
        .is(303);
    assert_eq!(fact(&client, "survey.stall-current").as_deref(), Some("0.8 A"));
}

#[tokio::test]
async fn a_new_name_is_written_wherever_the_entry_is_named() {
    let client = Client::demo();
    let revision = client.revision(ORDER).await;
    client
        .post(
            "/orders/V-0031/facts",
            &[
                ("revision", &revision),
                ("f:survey.speaker.A.name", "Front"),
                ("f:survey.speaker.A.dc-resistance", "7.1 ohm"),
            ],
        )
        .await
        .is(303);
    assert_eq!(fact(&client, "survey.wire.1.from").as_deref(), Some("Front.red"));
    assert_eq!(fact(&client, "plan.wire.1.from").as_deref(), Some("Front.red"));
    assert_eq!(fact(&client, "survey.speaker.Front.dc-resistance").as_deref(), Some("7.1 ohm"));
}

#[tokio::test]
async fn an_order_that_gets_another_number_has_another_address() {
    let client = Client::demo();
    let revision = client.revision(ORDER).await;
    let answer = client
        .post("/orders/V-0031/facts", &[("revision", &revision), ("f:order.number", "V-0131")])
        .await
        .is(303);
    assert_eq!(answer.header("location"), "/orders/V-0131");
    client.page("/orders/V-0131").await;
}

#[tokio::test]
async fn entries_come_and_go() {
    let client = Client::demo();
    let revision = client.revision(ORDER).await;
    let answer = client
        .post(
            "/orders/V-0031/entries/add",
            &[("revision", &revision), ("list", "survey.lamp"), ("v:name", "cab"), ("v:kind", "bulb")],
        )
        .await
        .is(303);
    assert_eq!(answer.header("location"), "/orders/V-0031#field-survey.lamp.cab");
    assert_eq!(fact(&client, "survey.lamp.cab.kind").as_deref(), Some("bulb"));
    let revision = client.revision(ORDER).await;
    client
        .post(
            "/orders/V-0031/entries/add",
            &[("revision", &revision), ("list", "survey.wire"), ("v:from", "A.red"), ("v:to", "frame")],
        )
        .await
        .is(303);
    assert_eq!(fact(&client, "survey.wire.5.to").as_deref(), Some("frame"));
    let revision = client.revision(ORDER).await;
    client
        .post("/orders/V-0031/entries/remove", &[("revision", &revision), ("entry", "survey.lamp.cab")])
        .await
        .is(303);
    let form = client.store.document(&DocumentKey::order("V-0031")).unwrap().form;
    assert!(form.field(&finding::Path::new("survey.lamp.cab.kind")).is_none());
}

#[tokio::test]
async fn keys_are_added_by_their_name() {
    let client = Client::demo();
    let revision = client.revision(ORDER).await;
    client
        .post(
            "/orders/V-0031/entries/key",
            &[("revision", &revision), ("table", "keys"), ("key", "F5"), ("value", "compressor")],
        )
        .await
        .is(303);
    assert_eq!(fact(&client, "keys.F5").as_deref(), Some("compressor"));
    for (key, value) in [("", "horn"), ("F7", "whistling"), ("a.b", "horn")] {
        let revision = client.revision(ORDER).await;
        let fields = [("revision", revision.as_str()), ("table", "keys"), ("key", key), ("value", value)];
        client.post("/orders/V-0031/entries/key", &fields).await.is(422);
    }
}

#[tokio::test]
async fn steps_back_and_forth() {
    let client = Client::demo();
    let revision = client.revision(ORDER).await;
    client
        .post("/orders/V-0031/facts", &[("revision", &revision), ("f:survey.stall-current", "0.7 A")])
        .await
        .is(303);
    client.post("/orders/V-0031/undo", &[]).await.is(303);
    assert_eq!(fact(&client, "survey.stall-current").as_deref(), Some("0.62 A"));
    client.post("/orders/V-0031/redo", &[]).await.is(303);
    assert_eq!(fact(&client, "survey.stall-current").as_deref(), Some("0.7 A"));
    let page = client.page("/orders/V-0031/history").await;
    assert!(page.contains("0.62 A") && page.contains("0.7 A"), "the history tells what changed");
    client.post("/orders/V-0031/history/back", &[("to", "1")]).await.is(303);
    assert_eq!(fact(&client, "survey.stall-current").as_deref(), Some("0.62 A"));
    let old = client.page("/orders/V-0031/history/2").await;
    assert!(old.contains("0.7 A"));
}

#[tokio::test]
async fn what_is_put_away_can_be_brought_back() {
    let client = Client::demo();
    client.post("/orders/V-0031/away", &[]).await.is(303);
    assert!(!client.page("/").await.contains("V-0031"));
    assert!(client.page("/shop").await.contains("V-0031"));
    assert!(client.page(ORDER).await.contains("was put away"));
    client.post("/orders/V-0031/bring-back", &[]).await.is(303);
    assert!(client.page("/").await.contains("V-0031"));
}

#[tokio::test]
async fn a_text_is_kept_whatever_it_says() {
    let client = Client::demo();
    let revision = client.revision(ORDER).await;
    let text = client.store.document(&DocumentKey::order("V-0031")).unwrap().text;
    let broken = text.replace("stall-current = \"0.62 A\"", "stall-current = 0.62 A");
    let answer = client
        .post("/orders/V-0031/text", &[("revision", &revision), ("text", &broken.replace('\n', "\r\n"))])
        .await
        .is(303);
    assert_eq!(answer.header("location"), "/orders/V-0031/text");
    assert_eq!(client.store.document(&DocumentKey::order("V-0031")).unwrap().text, broken);
    let page = client.page("/orders/V-0031/text").await;
    assert!(page.contains("cannot be read"), "the fault is told");
    let order = client.page(ORDER).await;
    assert!(order.contains("the last version that could be read"));
    assert!(order.contains("Mend it in the text"));
    // Nothing is programmed from it.
    client.post("/orders/V-0031/runs", &[("revision", "1"), ("task", "program")]).await.is(409);
    // Mended again, the page is as before.
    let revision = client.revision(ORDER).await;
    let answer =
        client.post("/orders/V-0031/text", &[("revision", &revision), ("text", &text)]).await.is(303);
    assert_eq!(answer.header("location"), ORDER);
}

#[tokio::test]
async fn a_stale_text_that_clashes_is_shown_with_both() {
    let client = Client::demo();
    let revision = client.revision(ORDER).await;
    let text = client.store.document(&DocumentKey::order("V-0031")).unwrap().text;
    client
        .post("/orders/V-0031/facts", &[("revision", &revision), ("f:survey.stall-current", "0.7 A")])
        .await
        .is(303);
    let mine = text.replace("0.62 A", "0.8 A");
    let page =
        client.post("/orders/V-0031/text", &[("revision", &revision), ("text", &mine)]).await.is(409).text();
    assert!(page.contains("yours: ") && page.contains("0.8 A") && page.contains("0.7 A"));
    let area = elements(&page).into_iter().find(|element| element.name == "textarea").unwrap();
    assert!(area.text.contains("0.8 A"), "what was typed is not lost");
}

#[tokio::test]
async fn a_form_that_no_page_sends_is_refused() {
    let client = Client::demo();
    for (path, fields) in [
        ("/orders/V-0031/facts", &[("f:survey.stall-current", "1 A")][..]),
        ("/orders/V-0031/facts", &[("revision", "one"), ("f:survey.stall-current", "1 A")]),
        ("/orders/V-0031/facts", &[("revision", "1"), ("f:survey.nothing", "1 A")]),
        ("/orders/V-0031/entries/add", &[("revision", "1"), ("list", "survey.nothing")]),
        ("/orders/V-0031/entries/remove", &[("revision", "1"), ("entry", "survey.nothing.A")]),
        ("/orders/V-0031/tick", &[("stage", "nothing"), ("done", "yes")]),
        ("/orders/V-0031/runs", &[("task", "explode")]),
        ("/orders/V-0031/runs/cancel", &[("run", "x")]),
        ("/orders/V-0031/history/back", &[("to", "x")]),
    ] {
        client.post(path, fields).await.is(422);
    }
    // A revision from another time or another shop.
    let answer =
        client.post("/orders/V-0031/facts", &[("revision", "4711"), ("f:survey.stall-current", "1 A")]).await;
    assert!(answer.status.is_client_error(), "{}", answer.status);
    assert_eq!(fact(&client, "survey.stall-current").as_deref(), Some("0.62 A"));
}
