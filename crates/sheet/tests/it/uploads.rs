//! Bytes that come in: photos of the right kind and size, and nothing else.

use crate::client::Client;

/// The smallest grey picture: one pixel (PNG, third edition, written by hand with its checksums).
const PICTURE: [u8; 67] = [
    137, 80, 78, 71, 13, 10, 26, 10, 0, 0, 0, 13, 73, 72, 68, 82, 0, 0, 0, 1, 0, 0, 0, 1, 8, 0, 0, 0, 0, 58,
    126, 155, 85, 0, 0, 0, 10, 73, 68, 65, 84, 120, 156, 99, 104, 0, 0, 0, 130, 0, 129, 119, 205, 114, 182,
    0, 0, 0, 0, 73, 69, 78, 68, 174, 66, 96, 130,
];

const PHOTOS: &str = "/orders/V-0031/photos";

async fn fields(client: &Client) -> Vec<(&'static str, String)> {
    vec![("token", client.token().await), ("revision", "1".to_owned()), ("stage", "survey".to_owned())]
}

async fn send(client: &Client, more: &[(&str, &str)], file: (&str, &str, &[u8])) -> crate::client::Answer {
    let fields = fields(client).await;
    let fields: Vec<(&str, &str)> =
        fields.iter().map(|(name, value)| (*name, value.as_str())).chain(more.iter().copied()).collect();
    client.upload(PHOTOS, &fields, file).await
}

#[tokio::test]
async fn a_photo_is_kept_shown_and_put_away() {
    let client = Client::demo();
    let answer =
        send(&client, &[("caption", "brush <side>")], ("a.png", "image/png", &PICTURE)).await.is(303);
    assert_eq!(answer.header("location"), "/orders/V-0031#photo-survey");
    let page = client.page("/orders/V-0031").await;
    assert!(page.contains("brush &lt;side&gt;"));
    let photo = client.store.photos("V-0031").unwrap()[0].clone();
    let address = format!("/photos/{}", photo.id.get());
    assert!(page.contains(&address));
    let picture = client.get(&address).await.is(200);
    assert_eq!(picture.header("content-type"), "image/png");
    assert_eq!(picture.header("x-content-type-options"), "nosniff");
    assert!(picture.bytes.starts_with(b"\x89PNG"));
    let id = photo.id.get().to_string();
    client.post("/orders/V-0031/photos/away", &[("photo", &id)]).await.is(303);
    assert!(!client.page("/orders/V-0031").await.contains(&address));
}

/// The name and the type that a browser tells are not believed.
#[tokio::test]
async fn hostile_file_names_and_wrong_types_do_nothing() {
    let client = Client::demo();
    for name in ["../../../etc/passwd", "<script>alert(1)</script>.png", "a\u{202e}gnp.exe", "con", ""] {
        let kept = send(&client, &[], (name, "text/html", &PICTURE)).await;
        assert_eq!(kept.status.as_u16(), 303, "{name}");
    }
    assert!(!client.page("/orders/V-0031").await.contains("passwd"));
    let before = client.store.photos("V-0031").unwrap().len();
    for bytes in [
        &b"<html><script>alert(1)</script></html>"[..],
        b"GIF89a",
        b"\x89PNG\r\n\x1a\nnonsense",
        b"<svg xmlns=\"http://www.w3.org/2000/svg\"/>",
        &PICTURE[..40],
    ] {
        let answer = send(&client, &[], ("a.png", "image/png", bytes)).await;
        assert!(answer.status.is_client_error(), "{}: {bytes:?}", answer.status);
    }
    assert_eq!(client.store.photos("V-0031").unwrap().len(), before);
}

#[tokio::test]
async fn what_is_too_large_is_not_taken() {
    let client = Client::demo();
    let huge = vec![0; 23 << 20];
    send(&client, &[], ("a.png", "image/png", &huge)).await.is(413);
    // Larger than a photo may be, but within a request.
    let large = vec![0; 21 << 20];
    let answer = send(&client, &[], ("a.png", "image/png", &large)).await;
    assert!(answer.status.is_client_error(), "{}", answer.status);
    let text = "x".repeat(14 << 20);
    client.post("/orders/V-0031/text", &[("revision", "1"), ("text", &text)]).await.is(413);
    let text = "x".repeat(5 << 20);
    let answer = client.post("/orders/V-0031/text", &[("revision", "1"), ("text", &text)]).await;
    assert!(answer.status.is_client_error(), "{}", answer.status);
    assert!(client.store.photos("V-0031").unwrap().is_empty());
    assert_eq!(client.revision("/orders/V-0031").await, "1");
}

#[tokio::test]
async fn a_photo_without_a_stage_or_a_file_is_refused() {
    let client = Client::demo();
    let token = client.token().await;
    client.upload(PHOTOS, &[("token", &token)], ("a.png", "image/png", &PICTURE)).await.is(422);
    client
        .upload(PHOTOS, &[("token", &token), ("stage", "x")], ("a.png", "image/png", &PICTURE))
        .await
        .is(422);
    send(&client, &[], ("a.png", "image/png", b"")).await.is(422);
    // The token after the file is too late.
    let late = client.upload(PHOTOS, &[("stage", "survey")], ("a.png", "image/png", &PICTURE)).await;
    assert_eq!(late.status.as_u16(), 403);
}
