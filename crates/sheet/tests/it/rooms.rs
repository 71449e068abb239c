//! The rooms beside the work order.

use shop::{DocumentKey, Pace, Task};

use crate::client::Client;

#[tokio::test]
async fn a_train_is_made_up() {
    let client = Client::demo();
    let answer = client.post("/trains", &[("title", "Night <mail> two"), ("address", "71")]).await.is(303);
    assert_eq!(answer.header("location"), "/trains/night-mail-two");
    let page = client.page("/trains/night-mail-two").await;
    assert!(page.contains("Night &lt;mail&gt; two"));
    let revision = client.revision("/trains/night-mail-two").await;
    client
        .post(
            "/trains/night-mail-two/entries/add",
            &[("revision", &revision), ("list", "unit"), ("v:order", "V-0033"), ("v:direction", "forward")],
        )
        .await
        .is(303);
    assert!(client.page("/trains").await.contains("V-0033"));
    for address in ["", "0", "128", "x"] {
        client.post("/trains", &[("title", "x"), ("address", address)]).await.is(422);
    }
    let again = client.post("/trains", &[("title", "Night mail two"), ("address", "71")]).await;
    assert!(again.status.is_client_error(), "{}", again.status);
}

#[tokio::test]
async fn a_dossier_is_begun_fed_and_begins_the_next_order() {
    let client = Client::demo();
    let answer = client.post("/dossiers", &[("order", "V-0035"), ("name", "shunter-9")]).await.is(303);
    assert_eq!(answer.header("location"), "/dossiers/shunter-9");
    client
        .post(
            "/dossiers/shunter-9/feed",
            &[("order", "V-0035"), ("lesson", "the brush strap touches the frame")],
        )
        .await
        .is(303);
    assert!(client.page("/dossiers/shunter-9").await.contains("the brush strap touches the frame"));
    let answer = client.post("/orders", &[("dossier", "shunter-9"), ("number", "V-0135")]).await.is(303);
    assert_eq!(answer.header("location"), "/orders/V-0135");
    let page = client.page("/orders/V-0135").await;
    assert!(page.contains("Vesper Lake shunter 9") && page.contains("/dossiers/shunter-9"));
}

#[tokio::test]
async fn parts_are_added_changed_and_counted() {
    let client = Client::demo();
    let sheet = client.store.part("oval-15x11").unwrap().text.replace("oval-15x11", "oval-<x>");
    client.post("/parts", &[("sheet", &sheet)]).await.is(422);
    let sheet = sheet.replace("oval-<x>", "oval-new");
    let answer = client.post("/parts", &[("sheet", &sheet.replace('\n', "\r\n"))]).await.is(303);
    assert_eq!(answer.header("location"), "/parts/oval-new");
    assert_eq!(client.store.part("oval-new").unwrap().text, sheet);
    let revision = client.revision("/parts/oval-new").await;
    client
        .post("/parts/oval-new/facts", &[("revision", &revision), ("f:speaker.rating", "0.8 W")])
        .await
        .is(303);
    client.post("/parts/oval-new/stock", &[("pieces", "5"), ("note", "a bag of them")]).await.is(303);
    client.post("/parts/oval-new/stock", &[("pieces", "-2"), ("order", "V-0031")]).await.is(303);
    let page = client.page("/parts/oval-new").await;
    assert!(page.contains("<b>3</b> in stock") && page.contains("a bag of them") && page.contains("0.8 W"));
    client.post("/parts/oval-new/stock", &[("pieces", "some")]).await.is(422);
    let file = client.get("/parts/oval-new/sheet.toml").await.is(200);
    assert!(file.header("content-disposition").starts_with("attachment"));
    assert!(file.text().contains("0.8 W"));
}

#[tokio::test]
async fn a_standard_sheet_is_copied_before_it_is_changed() {
    let client = Client::demo();
    let page = client.page("/parts/NEM652").await;
    assert!(page.contains("comes with the standards") && !page.contains("/parts/NEM652/facts"));
    let text = client.store.part("NEM652").unwrap().text;
    client.post("/parts", &[("sheet", &text)]).await.is(303);
    assert!(client.page("/parts/NEM652").await.contains("/parts/NEM652/facts"));
}

#[tokio::test]
async fn snapshots_and_what_differs_between_them() {
    let client = Client::demo();
    let run = client.store.start_run("V-0031", Task::Program, Pace::Unpaced, "test").unwrap();
    client.store.wait_for_run(run).unwrap();
    let snapshots = client.store.snapshots("V-0031").unwrap();
    let (after, before) = (snapshots[0].id.get(), snapshots.last().unwrap().id.get());
    assert_ne!(after, before);
    assert!(client.page(&format!("/snapshots/{before}")).await.contains("CV"));
    let page = client.page(&format!("/snapshots/{before}/against/{after}")).await;
    assert!(page.contains("CVs differ"), "{page}");
    let same = client.page(&format!("/snapshots/{before}/against/{before}")).await;
    assert!(same.contains("Nothing differs"));
}

#[tokio::test]
async fn search_finds_words_wherever_they_stand() {
    let client = Client::demo();
    client.store.settle();
    let page = client.page("/search?q=brush").await;
    assert!(page.contains("/orders/V-0035"), "{page}");
    assert!(client.page("/search?q=").await.contains("Search"));
    assert!(client.page("/search?q=nowhere-at-all").await.contains("0 places"));
    assert!(
        client.page("/search?q=%22%20OR%20%2A%20%28").await.contains("places"),
        "signs are words like any other"
    );
}

#[tokio::test]
async fn the_whole_shop_is_taken_along_and_opened_elsewhere() {
    let client = Client::demo();
    let archive = client.get("/shop/archive").await.is(200);
    assert!(archive.header("content-disposition").starts_with("attachment"));
    let folder = std::env::temp_dir().join(format!("backshop-sheet-archive-{}", std::process::id()));
    std::fs::create_dir_all(&folder).unwrap();
    let (file, new_shop) = (folder.join("a.archive"), folder.join("new.backshop"));
    std::fs::write(&file, &archive.bytes).unwrap();
    let copy = shop::Store::from_archive(&file, &new_shop).unwrap();
    let key = DocumentKey::order("V-0031");
    assert_eq!(copy.document(&key).unwrap().text, client.store.document(&key).unwrap().text);
    drop(copy);
    std::fs::remove_dir_all(&folder).unwrap();
}
