//! Hostile texts: whatever stands in a document, a name or an address is shown as text and never read as
//! markup.

use shop::{DocumentKey, Kind};

use crate::client::Client;
use crate::html::{check_page, elements};

/// A text that would end an attribute, an element, a comment, a script and a style, and begin a script.
const HOSTILE: &str = r#"'">--></textarea></option></title></style></script><script>alert(1)</script><img src=x onerror=alert(2)>"#;

/// The same text as a page must show it.
fn is_inert(page: &str) -> bool {
    !page.contains("<script>alert") && !page.contains("<img src=x")
}

/// An order with hostile text in every field that takes text.
fn hostile_order() -> String {
    let quoted = format!("{:?}", HOSTILE);
    format!(
        r#"[order]
number = "V-0666"
model = {quoted}
scale = "HO"
client = {quoted}
prototype = {quoted}
wanted = {quoted}
received = {quoted}
note = {quoted}

[[survey.speaker]]
name = "A"
impedance = "8 ohm"
rating = "1 W"

[[survey.wire]]
from = "A.plus"
to = "frame"
colour = {quoted}
note = {quoted}

[voice]
prime-mover = {{ recording = {quoted} }}

[[override]]
rule = "motor-not-isolated"
reason = {quoted}

[progress]
waits-for = "the client"
waits-because = {quoted}
"#
    )
}

#[tokio::test]
async fn an_order_full_of_markup_is_text_on_every_page() {
    let client = Client::demo();
    let key = DocumentKey::order("V-0666");
    client.store.create(&key, &hostile_order(), HOSTILE).unwrap();
    assert!(client.store.document(&key).unwrap().faults.is_none(), "the order itself can be read");
    client.store.settle();
    let shown = "&lt;script&gt;alert(1)&lt;/script&gt;";
    for path in [
        "/",
        "/orders/V-0666",
        "/orders/V-0666/text",
        "/orders/V-0666/history",
        "/orders/V-0666/card",
        "/search?q=alert",
    ] {
        let page = client.page(path).await;
        check_page(path, &page);
        assert!(is_inert(&page), "{path}");
        assert!(page.contains(shown), "{path} does not show it at all");
    }
    let blocks = client.page("/orders/V-0666/blocks?have=").await;
    elements(&blocks);
    assert!(is_inert(&blocks) && blocks.contains(shown));
}

/// The same elements stand on the page, whatever the texts are.
#[tokio::test]
async fn texts_change_no_element() {
    let client = Client::demo();
    let tame = hostile_order().replace(&format!("{HOSTILE:?}"), "\"tame\"").replace("V-0666", "V-0667");
    client.store.create(&DocumentKey::order("V-0666"), &hostile_order(), "somebody").unwrap();
    client.store.create(&DocumentKey::order("V-0667"), &tame, "somebody").unwrap();
    let shape = |page: &str| -> Vec<(String, Vec<String>)> {
        elements(page)
            .into_iter()
            .map(|element| (element.name, element.attributes.into_iter().map(|(key, _)| key).collect()))
            .collect()
    };
    let (hostile, tame) = (client.page("/orders/V-0666").await, client.page("/orders/V-0667").await);
    assert_eq!(shape(&hostile), shape(&tame));
}

/// Every field of an order takes the hostile text, one after the other: it is refused or kept, and inert either
/// way.
#[tokio::test]
async fn every_field_takes_hostile_text_and_stays_inert() {
    let client = Client::demo();
    let page = client.page("/orders/V-0033").await;
    let names: Vec<String> = elements(&page)
        .iter()
        .filter_map(|element| element.attribute("name"))
        .filter(|name| name.starts_with("f:"))
        .map(str::to_owned)
        .collect();
    assert!(names.len() > 80, "only {} fields were found", names.len());
    for name in names.iter().filter(|name| *name != "f:order.number") {
        let revision = client.revision("/orders/V-0033").await;
        let answer = client.post("/orders/V-0033/facts", &[("revision", &revision), (name, HOSTILE)]).await;
        match answer.status.as_u16() {
            // Refused: what was typed is on the page.
            422 => {
                let page = answer.text();
                check_page(name, &page);
                assert!(is_inert(&page), "{name}");
            }
            303 => {
                let page = client.page("/orders/V-0033").await;
                check_page(name, &page);
                assert!(is_inert(&page), "{name}");
            }
            other => panic!("{name}: {other} {}", answer.text()),
        }
    }
}

#[tokio::test]
async fn a_text_that_is_no_document_at_all_is_shown_as_it_is() {
    let client = Client::demo();
    for (number, text) in ["V-0701", "V-0702", "V-0703"].iter().zip([
        HOSTILE,
        "\u{0}\u{1}[order",
        "[order]\nnumber = 7\n\n[[survey]]",
    ]) {
        client.store.create(&DocumentKey::order(*number), text, "somebody").unwrap();
        for page in [
            format!("/orders/{number}"),
            format!("/orders/{number}/text"),
            format!("/orders/{number}/history"),
        ] {
            let html = client.page(&page).await;
            check_page(&page, &html);
            assert!(is_inert(&html), "{page}");
        }
    }
}

#[tokio::test]
async fn addresses_and_queries_are_text_too() {
    let client = Client::demo();
    let escaped: String = HOSTILE.bytes().map(|byte| format!("%{byte:02X}")).collect();
    for path in [
        format!("/orders/{escaped}"),
        format!("/rules/{escaped}"),
        format!("/parts/{escaped}"),
        format!("/trains/{escaped}/history"),
        format!("/nowhere/{escaped}"),
    ] {
        let answer = client.get(&path).await;
        assert!(answer.status.is_client_error(), "{path}: {}", answer.status);
        assert!(is_inert(&answer.text()), "{path}");
    }
    for path in [
        format!("/search?q={escaped}"),
        format!("/?lane={escaped}"),
        format!("/orders/V-0031/card?size={escaped}"),
    ] {
        let page = client.page(&path).await;
        check_page(&path, &page);
        assert!(is_inert(&page), "{path}");
    }
    for path in
        ["/orders/..%2F..%2Fetc%2Fpasswd", "/parts/..%2Fpasswd", "/assets/x/..%2Fsheet.js", "/orders/%00"]
    {
        assert!(client.get(path).await.status.is_client_error(), "{path}");
    }
}

#[tokio::test]
async fn other_documents_are_text_too() {
    let client = Client::demo();
    let quoted = format!("{HOSTILE:?}");
    let train = format!(
        "[train]\nname = \"evil\"\ntitle = {quoted}\nconsist-address = 9\n\n[[unit]]\norder = \"V-0033\"\ndirection = \"forward\"\n"
    );
    client.store.create(&DocumentKey::new(Kind::Train, "evil"), &train, HOSTILE).unwrap();
    let dossier = format!(
        "[dossier]\nname = \"evil\"\nmodel = {quoted}\nscale = \"HO\"\n\n[[lesson]]\ntext = {quoted}\n"
    );
    client.store.create(&DocumentKey::new(Kind::Dossier, "evil"), &dossier, HOSTILE).unwrap();
    let part = client.store.part("oval-15x11").unwrap().text;
    let title = part.lines().find(|line| line.starts_with("title")).unwrap();
    let part = part.replace(title, &format!("title = {quoted}")).replace("oval-15x11", "evil");
    client.store.create(&DocumentKey::new(Kind::Part, "evil"), &part, HOSTILE).unwrap();
    client.post("/parts/evil/stock", &[("pieces", "1"), ("note", HOSTILE)]).await.is(303);
    for path in [
        "/trains",
        "/trains/evil",
        "/dossiers",
        "/dossiers/evil",
        "/parts",
        "/parts/evil",
        "/new-order",
        "/orders/V-0033",
        "/trains/evil/history",
    ] {
        let page = client.page(path).await;
        check_page(path, &page);
        assert!(is_inert(&page), "{path}");
    }
}
