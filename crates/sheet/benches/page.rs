//! What a person waits for: the page of an order to its first byte, and the answer to a changed fact. Measured
//! through the router, without a network: what is left out is a millisecond of loopback.

use std::fmt::Write;
use std::sync::LazyLock;

use axum::body::Body;
use axum::http::Request;
use sheet::{Reach, Sheet, router};
use shop::{DocumentKey, Store};
use tokio::runtime::Runtime;
use tower::ServiceExt;

fn main() {
    let (page, packed) = (size_of("/orders/LARGE", None), size_of("/orders/LARGE", Some("gzip")));
    let assets: usize = ["sheet.css", "sheet.js", "blocks.js", "forms.js", "events.js", "furnish.js"]
        .iter()
        .map(|name| size_of(&format!("/assets/0/{name}"), Some("gzip")))
        .sum();
    let told =
        format!("the largest order: {page} bytes, {packed} packed, and {assets} of style and modules\n");
    // A bench has nobody to complain to when its own output is gone.
    let _ = std::io::Write::write_all(&mut std::io::stdout(), told.as_bytes());
    divan::main();
}

struct Served {
    runtime: Runtime,
    router: axum::Router,
    token: String,
}

static SERVED: LazyLock<Served> = LazyLock::new(|| {
    let store = Store::in_memory().expect("a shop in memory");
    store.fill_demo("bench").expect("the demo");
    store.create(&DocumentKey::order("LARGE"), &largest_order(), "bench").expect("the largest order");
    assert!(
        store.order("LARGE").expect("the order").document.faults.is_none(),
        "the largest order can be read"
    );
    let sheet = Sheet::new(store, Reach::ThisMachine, 8470).expect("a sheet");
    let mut served =
        Served { runtime: Runtime::new().expect("a runtime"), router: router(sheet), token: String::new() };
    let page = String::from_utf8(served.ask(get("/rules", None))).expect("text");
    let (_, rest) = page.split_once("data-token=\"").expect("a token");
    served.token = rest.split_once('"').expect("an end").0.to_owned();
    served
});

impl Served {
    fn ask(&self, request: Request<Body>) -> Vec<u8> {
        self.runtime.block_on(async {
            let response = self.router.clone().oneshot(request).await.expect("an answer");
            assert!(response.status().is_success(), "{}", response.status());
            axum::body::to_bytes(response.into_body(), usize::MAX).await.expect("a body").to_vec()
        })
    }
}

fn get(path: &str, encoding: Option<&str>) -> Request<Body> {
    let request = Request::builder().uri(path).header("host", "127.0.0.1:8470");
    let request = match encoding {
        Some(encoding) => request.header("accept-encoding", encoding),
        None => request,
    };
    request.body(Body::empty()).expect("a request")
}

fn size_of(path: &str, encoding: Option<&str>) -> usize {
    SERVED.ask(get(path, encoding)).len()
}

/// A dozen speakers, two dozen lamps and every key that the decoder knows: more than any model holds.
fn largest_order() -> String {
    let demo = Store::in_memory().expect("a shop in memory");
    demo.fill_demo("bench").expect("the demo");
    let text = demo.document(&DocumentKey::order("V-0033")).expect("the order").text;
    let mut text = text.replace("\"V-0033\"", "\"LARGE\"");
    let mut found = String::new();
    for number in 1..=11 {
        let _ = write!(
            found,
            "[[survey.speaker]]\nname = \"S{number}\"\npart = \"oval-18x13\"\nterminals = [\"red\", \"black\"]\npolarity = \"marked\"\n\
             dc-resistance = \"7.1 ohm\"\nto-frame = \"OL\"\nenclosure = \"box-18x13\"\nat = \"{} mm\"\n\n",
            number * 20
        );
    }
    for number in 1..=11 {
        let _ = write!(
            found,
            "[[survey.wire]]\nfrom = \"S{number}.red\"\nto = \"board.S1\"\n\n[[survey.wire]]\nfrom = \"S{number}.black\"\nto = \"board.S2\"\n\n"
        );
    }
    text = text.replacen("[plan]", &format!("{found}[plan]"), 1);
    let mut planned = String::new();
    for number in 1..=11 {
        let _ = write!(
            planned,
            "[[plan.wire]]\nfrom = \"S{number}.red\"\nto = \"board.S1\"\n\n[[plan.wire]]\nfrom = \"S{number}.black\"\nto = \"board.S2\"\n\n"
        );
    }
    for number in 1..=21 {
        let _ = write!(
            planned,
            "[[plan.lamp]]\nname = \"lamp-{number}\"\ndoes = \"coach lamps\"\noutput = \"AUX2\"\npart = \"led-warm\"\nresistor = \"2.2 kohm\"\n\
             resistor-rating = \"0.25 W\"\n\n"
        );
    }
    text.replacen("[address]", &format!("{planned}[address]"), 1)
}

#[divan::bench(args = ["V-0031", "V-0035", "LARGE"])]
fn page(number: &str) -> usize {
    size_of(&format!("/orders/{number}"), None)
}

#[divan::bench]
fn board() -> usize {
    size_of("/", None)
}

/// One fact changed as the page's module does it: kept, everything answered anew, what differs sent back.
#[divan::bench(args = ["V-0031", "LARGE"])]
fn changed_fact(bencher: divan::Bencher<'_, '_>, number: &str) {
    let page = String::from_utf8(SERVED.ask(get(&format!("/orders/{number}"), None))).expect("text");
    let after = |text: &str, mark: &str| -> String {
        let (_, rest) = text.split_once(mark).expect("the mark");
        rest.split_once('"').expect("an end").0.to_owned()
    };
    let mut revision = after(&page, "data-revision=\"");
    let have: Vec<String> = page
        .split("data-block=\"")
        .skip(1)
        .map(|rest| format!("{}%3A{}", rest.split('"').next().unwrap_or(""), after(rest, "data-seal=\"")))
        .collect();
    let have = have.join("%2C");
    let mut is_high = false;
    bencher.bench_local(|| {
        is_high = !is_high;
        let value = if is_high { "0.63+A" } else { "0.61+A" };
        let body = format!(
            "token={}&revision={revision}&have={have}&f%3Asurvey.stall-current={value}",
            SERVED.token
        );
        let request = Request::post(format!("/orders/{number}/facts"))
            .header("host", "127.0.0.1:8470")
            .header("origin", "http://127.0.0.1:8470")
            .header("x-sheet", "live")
            .header("content-type", "application/x-www-form-urlencoded")
            .body(Body::from(body))
            .expect("a request");
        let answer = String::from_utf8(SERVED.ask(request)).expect("text");
        revision = after(&answer, "data-revision=\"");
        answer.len()
    });
}
