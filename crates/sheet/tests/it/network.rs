//! The door to the network: only browsers that typed the code come in, and nobody may guess for long.

use axum::http::Method;
use sheet::Reach;

use crate::client::{Client, encoded};

const THERE: &str = "192.168.1.20:8470";

async fn pair(client: &Client, code: &str) -> crate::client::Answer {
    let fields = [("code", code), ("by", "Ada <b>")];
    let request = client
        .request(Method::POST, "/pair")
        .header("content-type", "application/x-www-form-urlencoded")
        .body(axum::body::Body::from(encoded(&fields)));
    client.send(request.unwrap()).await
}

async fn paired() -> Client {
    let client = Client::of(Reach::Network, THERE);
    client.store.fill_demo("the demo").unwrap();
    let answer = pair(&client, &client.sheet.pairing_code().unwrap()).await.is(303);
    let cookie = answer.header("set-cookie");
    assert!(cookie.starts_with("backshop-8470="), "{cookie}");
    for wanted in ["HttpOnly", "SameSite=Strict", "Path=/"] {
        assert!(cookie.contains(wanted), "{cookie}");
    }
    client.with_cookie(cookie.split(';').next().unwrap())
}

#[tokio::test]
async fn nobody_comes_in_without_the_code() {
    let client = Client::of(Reach::Network, THERE);
    client.store.fill_demo("the demo").unwrap();
    for path in ["/", "/orders/V-0031", "/orders/V-0031/card", "/rules", "/photos/1", "/orders/V-0031/events"]
    {
        let answer = client.get(path).await.is(303);
        assert_eq!(answer.header("location"), "/pair", "{path}");
        let request = client.request(Method::GET, path).body(axum::body::Body::empty()).unwrap();
        client.send(request).await.is(401);
    }
    for path in ["/orders/V-0031/facts", "/demo", "/orders", "/leave"] {
        let request = client.request(Method::POST, path).body(axum::body::Body::empty()).unwrap();
        client.send(request).await.is(401);
    }
    let door = client.page("/pair").await;
    assert!(
        door.contains("Pair this browser") && !door.contains("/orders/"),
        "the door tells nothing of the shop"
    );
    pair(&client, "WRONG2").await.is(422);
    let forged = client.with_cookie("backshop-8470=0123456789abcdef0123456789abcdef");
    forged.get("/").await.is(303);
}

#[tokio::test]
async fn whoever_has_the_code_works_under_their_name() {
    let client = paired().await;
    let revision = client.revision("/orders/V-0031").await;
    client
        .post("/orders/V-0031/facts", &[("revision", &revision), ("f:survey.stall-current", "0.7 A")])
        .await
        .is(303);
    assert!(client.page("/orders/V-0031/history").await.contains("Ada &lt;b&gt;"));
    client.get("/pair").await.is(303);
    // The token of one session is worth nothing in another.
    let code = client.sheet.pairing_code().unwrap();
    let answer = pair(&client, &code).await.is(303);
    let other = client.with_cookie(answer.header("set-cookie").split(';').next().unwrap());
    assert_ne!(other.token().await, client.token().await);
    // Leaving ends it.
    client.post("/leave", &[]).await.is(303);
    client.get("/").await.is(303);
    other.page("/").await;
}

#[tokio::test]
async fn guessing_ends_soon() {
    let client = Client::of(Reach::Network, THERE);
    let code = client.sheet.pairing_code().unwrap();
    for _ in 0..8 {
        pair(&client, "WRONG2").await.is(422);
    }
    let answer = pair(&client, &code).await.is(429);
    assert!(answer.header("retry-after").parse::<u64>().unwrap() <= 61);
}

#[tokio::test]
async fn a_name_could_be_somebody_elses() {
    Client::of(Reach::Network, "backshop.local:8470").get("/pair").await.is(421);
    Client::of(Reach::Network, "evil.example:8470").get("/pair").await.is(421);
    Client::of(Reach::Network, "[fe80::1]:8470").get("/pair").await.is(200);
    Client::of(Reach::Network, "localhost:8470").get("/pair").await.is(200);
}
