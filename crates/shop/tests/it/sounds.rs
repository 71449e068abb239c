//! Sounds and cards.

use shop::{Rendering, ShopError};

use crate::{TABLET, demo_shop, shop_with_order};

#[test]
fn an_order_is_heard_before_and_after() {
    let store = demo_shop();
    let sounds = store.sounds("V-0031").unwrap();
    assert_eq!(sounds.len(), 4);
    assert!(sounds.iter().all(|sound| sound.silent_because.is_none()), "{sounds:?}");
    let rendering = Rendering::from_word("planned-matched").unwrap();
    let wav = store.sound("V-0031", rendering).unwrap();
    assert!(wav.starts_with(b"RIFF") && wav.len() > 100_000);
    let again = store.sound("V-0031", rendering).unwrap();
    assert!(std::sync::Arc::ptr_eq(&wav, &again), "it is rendered once");
    let empty = shop_with_order();
    assert!(empty.sounds("V-1").unwrap().iter().all(|sound| sound.silent_because.is_some()));
    assert!(matches!(empty.sound("V-1", rendering), Err(ShopError::Silent { .. })));
}

#[test]
fn the_card_has_the_order_and_the_proof_of_its_latest_run() {
    let store = demo_shop();
    let card = store.card_html("V-0032", paper::PaperSize::A4).unwrap();
    assert!(card.contains("V-0032") && card.contains("rear car"));
    assert!(store.proof("V-0032").unwrap().is_none());
    let run = store.start_run("V-0032", shop::Task::Program, shop::Pace::Unpaced, TABLET).unwrap();
    store.wait_for_run(run).unwrap();
    let proof = store.proof("V-0032").unwrap().unwrap();
    assert!(!proof.after.is_empty());
    let proven = store.card_html("V-0032", paper::PaperSize::A4).unwrap();
    assert!(proven.contains(&proof.proof.when), "the card says when it was proven");
}

#[test]
fn the_card_is_printed_where_there_is_a_browser() {
    let store = demo_shop();
    match store.card_pdf("V-0032", paper::PaperSize::Letter) {
        Ok(pdf) => {
            assert!(pdf.starts_with(b"%PDF-"));
            // 8.5 x 11 in are 612 x 792 points (ISO 32000-1: user space is in 1/72 in; from memory).
            let text = String::from_utf8_lossy(&pdf);
            assert!(text.contains("/MediaBox [0 0 612 792]"), "the paper is the one that was asked for");
        }
        Err(ShopError::NoBrowser { names }) => assert!(names.contains(&"chromium")),
        Err(other) => panic!("{other}"),
    }
}
