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
