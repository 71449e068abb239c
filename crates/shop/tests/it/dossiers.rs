//! What was learned about a model type, on its way from one order to the next.

use finding::Path;
use shop::{DocumentKey, NewOrder, ShopError};

use crate::{TABLET, demo_shop, saved};

#[test]
fn an_order_begun_from_a_dossier_has_its_survey_without_the_readings() {
    let store = demo_shop();
    assert_eq!(store.order("V-0031").unwrap().dossiers, ["class-40-railcar"]);
    let new = NewOrder { number: "V-0040".to_owned(), ..NewOrder::default() };
    let number = store.create_order_from_dossier("class-40-railcar", &new, TABLET).unwrap();
    let checked = store.order(&number).unwrap().checked.unwrap();
    let order = &checked.document.value;
    assert_eq!(order.order.model, "Vesper Lake class 40 railcar");
    let survey = order.survey.as_ref().unwrap();
    assert_eq!(survey.speaker.len(), 2);
    assert_eq!(survey.wire.len(), 4);
    assert!(survey.decoder_space.is_some());
    assert!(survey.stall_current.is_none(), "to be metered anew");
    assert_eq!(survey.speaker[1].polarity, None, "to be tested anew");
    assert!(order.voice.is_some());
    assert!(store.dossier("class-40-railcar").unwrap().orders.contains(&number));
}

#[test]
fn a_dossier_is_begun_from_an_order_and_learns() {
    let store = demo_shop();
    store.create_dossier("V-0036", "ten-wheeler", TABLET).unwrap();
    let view = store.dossier("ten-wheeler").unwrap();
    let dossier = view.dossier.unwrap();
    let survey = dossier.survey.as_ref().unwrap();
    assert!(survey.stall_current.is_none() && survey.speaker.iter().all(|one| one.dc_resistance.is_none()));
    assert_eq!(store.lessons("V-0036", "ten-wheeler").unwrap(), Vec::<String>::new());
    let key = DocumentKey::order("V-0036");
    let at = store.document(&key).unwrap().revision;
    saved(store.edit(&key, &Path::new("survey.socket"), "NEM651", at, TABLET).unwrap());
    let lessons = store.lessons("V-0036", "ten-wheeler").unwrap();
    assert!(lessons.iter().any(|words| words.contains("NEM651")), "{lessons:?}");
    store.feed_back("V-0036", "ten-wheeler", "the socket lies under the weight", TABLET).unwrap();
    let dossier = store.dossier("ten-wheeler").unwrap().dossier.unwrap();
    assert_eq!(dossier.survey.unwrap().socket.unwrap().as_str(), "NEM651");
    assert_eq!(dossier.lesson[0].text, "the socket lies under the weight");
    assert_eq!(dossier.lesson[0].order.as_ref().unwrap().as_str(), "V-0036");
    let row = store.dossiers().unwrap().into_iter().find(|row| row.name == "ten-wheeler").unwrap();
    assert_eq!(row.n_learned, 1);
    let taken = store.create_dossier("V-0036", "ten-wheeler", TABLET);
    assert!(matches!(taken, Err(ShopError::Document(_))), "{taken:?}");
}
