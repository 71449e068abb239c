//! What only work orders have: from nothing to handed over, stops set aside, runs, sounds, the card.

use std::time::Duration;

use shop::{BoardQuestion, Lane, RunState};
use workorder::WaitsFor;

use crate::client::Client;
use crate::html::elements;

#[tokio::test]
async fn an_order_begins_with_very_little() {
    let client = Client::empty();
    let answer = client
        .post(
            "/orders",
            &[
                ("model", "Vesper Lake class 40 railcar"),
                ("scale", "HO"),
                ("client", "Lakeside club"),
                ("wanted", "sound"),
            ],
        )
        .await
        .is(303);
    let address = answer.header("location").to_owned();
    let page = client.page(&address).await;
    for told in ["Vesper Lake class 40 railcar", "Lakeside club", "Sound", "Survey", "Handover"] {
        assert!(page.contains(told), "{told}");
    }
    assert!(client.page("/").await.contains("Vesper Lake class 40 railcar"));
    client.post("/orders", &[("model", "x"), ("scale", "nothing")]).await.is(422);
}

#[tokio::test]
async fn the_first_start_offers_the_demo() {
    let client = Client::empty();
    assert!(client.page("/").await.contains("Fill the shop with the demo"));
    client.post("/demo", &[]).await.is(303);
    let page = client.page("/").await;
    for number in ["V-0031", "V-0037"] {
        assert!(page.contains(number));
    }
}

#[tokio::test]
async fn a_stop_is_set_aside_with_a_reason_only() {
    let client = Client::demo();
    let page = client.page("/orders/V-0035").await;
    let stops = |page: &str| page.matches("Mend it<span").count();
    assert_eq!(stops(&page), 3);
    let rule = "motor-not-isolated";
    client.post("/orders/V-0035/override", &[("rule", rule), ("reason", "  ")]).await.is(422);
    client.post("/orders/V-0035/override", &[("rule", rule), ("reason", "insulated <today>")]).await.is(303);
    let page = client.page("/orders/V-0035").await;
    // Both stops of this rule are set aside with it.
    assert_eq!(stops(&page), 1);
    assert!(page.contains("insulated &lt;today&gt;"));
    client.post("/orders/V-0035/override/withdraw", &[("rule", rule)]).await.is(303);
    assert_eq!(stops(&client.page("/orders/V-0035").await), 3);
}

/// Every stop leads to the field that mends it.
#[tokio::test]
async fn stops_lead_to_their_fields() {
    let client = Client::demo();
    let page = client.page("/orders/V-0035").await;
    let all = elements(&page);
    let stops = all.iter().position(|element| element.attribute("class") == Some("stops")).unwrap();
    let links: Vec<&str> = all[stops..]
        .iter()
        .take_while(|element| element.depth > all[stops].depth || element.attribute("class") == Some("stops"))
        .filter_map(|element| element.attribute("href"))
        .collect();
    assert_eq!(links.len(), 3);
    assert!(links.contains(&"#field-survey.motor-to-frame"), "{links:?}");
    assert!(links.iter().all(|link| link.starts_with("#field-")), "{links:?}");
}

#[tokio::test]
async fn stages_are_ticked_off_and_an_order_waits_for_what_somebody_says() {
    let client = Client::demo();
    client.post("/orders/V-0031/tick", &[("stage", "cold checks"), ("done", "yes")]).await.is(303);
    let page = client.page("/orders/V-0031").await;
    assert!(page.contains("Not done after all"));
    client.post("/orders/V-0031/tick", &[("stage", "cold checks"), ("done", "no")]).await.is(303);
    client
        .post("/orders/V-0031/waits", &[("waits-for", "the client"), ("because", "he is on the lake")])
        .await
        .is(303);
    let page = client.page("/?lane=client").await;
    assert!(page.contains("V-0031") && !page.contains("V-0032"), "{page}");
    let lane = Some(Lane::Waits(WaitsFor::Client));
    let board = client.store.board(&BoardQuestion { lane, skip: 0, limit: 9 }).unwrap();
    assert_eq!(board.rows.len(), 1);
}

#[tokio::test]
async fn a_run_is_begun_seen_stopped_and_nothing_runs_beside_it() {
    let client = Client::demo();
    assert!(client.page("/orders/V-0031").await.contains("Program and prove"));
    client.post("/orders/V-0031/runs", &[("task", "program")]).await.is(303);
    let block = client.page("/orders/V-0031/blocks?only=run").await;
    assert!(block.contains("Stop it"), "{block}");
    client.post("/orders/V-0031/runs", &[("task", "program")]).await.is(409);
    let run = client.store.runs("V-0031").unwrap()[0].id;
    client.post("/orders/V-0031/runs/cancel", &[("run", &run.get().to_string())]).await.is(303);
    let ended = client.store.wait_for_run(run).unwrap();
    assert_eq!(ended.state, RunState::Cancelled);
    let block = client.page("/orders/V-0031/blocks?only=run").await;
    assert!(block.contains("Stopped by hand"), "{block}");
    // What is over is not stopped again.
    let again = client.post("/orders/V-0031/runs/cancel", &[("run", &run.get().to_string())]).await;
    assert!(again.status.is_client_error(), "{}", again.status);
}

/// The program ends in the middle of a run; the next start takes it up from the page, and it is proven in the
/// end.
#[tokio::test]
async fn a_run_that_was_cut_off_is_taken_up_from_the_page() {
    let client = Client::demo();
    client.post("/orders/V-0031/runs", &[("task", "program")]).await.is(303);
    tokio::time::sleep(Duration::from_millis(300)).await;
    client.sheet.close();
    let run = client.store.runs("V-0031").unwrap()[0].id;
    client.store.wait_for_run(run).unwrap();
    let page = client.page("/orders/V-0031").await;
    assert!(page.contains("A run was cut off") && page.contains("Take it up where it was"), "cut off");
    client.post("/orders/V-0031/runs/take-up", &[("run", &run.get().to_string())]).await.is(303);
    let block = client.page("/orders/V-0031/blocks?only=run").await;
    assert!(block.contains("Stop it") || block.contains("Proven"), "{block}");
    client.sheet.close();
    client.store.wait_for_run(run).unwrap();
    client.store.take_up_run(run, shop::Pace::Unpaced, "test").unwrap();
    assert_eq!(client.store.wait_for_run(run).unwrap().state, RunState::Proven);
    let page = client.page("/orders/V-0031").await;
    assert!(page.contains("Proven") && page.contains("cut off and taken up again"));
    assert!(page.contains("/snapshots/"), "what was read before is there to look at");
}

#[tokio::test]
async fn an_order_that_is_held_is_not_programmed() {
    let client = Client::demo();
    assert!(client.page("/orders/V-0035").await.contains("Held by a stop"));
    let answer = client.post("/orders/V-0035/runs", &[("task", "program")]).await.is(409);
    assert!(answer.text().contains("is held"));
    assert!(client.store.runs("V-0035").unwrap().is_empty());
}

#[tokio::test]
async fn sounds_are_played_whole_or_in_part() {
    let client = Client::demo();
    let whole = client.get("/orders/V-0031/sounds/found-matched.wav").await.is(200);
    assert_eq!(whole.header("content-type"), "audio/wav");
    assert_eq!(whole.header("accept-ranges"), "bytes");
    assert!(whole.bytes.starts_with(b"RIFF"));
    let request = client.request(axum::http::Method::GET, "/orders/V-0031/sounds/found-matched.wav");
    let request = request.header("range", "bytes=8-11").body(axum::body::Body::empty()).unwrap();
    let part = client.send(request).await.is(206);
    assert_eq!(part.bytes, b"WAVE");
    assert_eq!(part.header("content-range"), format!("bytes 8-11/{}", whole.bytes.len()));
    // Before and after differ.
    let planned = client.get("/orders/V-0031/sounds/planned-matched.wav").await.is(200);
    assert_ne!(planned.bytes, whole.bytes);
}

/// The page says what the engine says: the numbers are those of the order's own answers.
#[tokio::test]
async fn answers_stand_beside_the_facts() {
    let client = Client::demo();
    let page = client.page("/orders/V-0031").await;
    let sound = client.store.order("V-0031").unwrap().sound.unwrap();
    for row in &sound.meter {
        assert!(page.contains(&row.expect.replace('<', "&lt;")), "{}", row.expect);
    }
    for told in [
        "A fights B",
        "plugs in",
        "From what was found to the plan",
        "data-frequencies=",
        "data-unit=\"ohm\"",
    ] {
        assert!(page.contains(told), "{told}");
    }
    // Every curve has its numbers as a table.
    assert_eq!(page.matches("class=\"drawn plot\"").count(), page.matches("The same in numbers").count());
}
