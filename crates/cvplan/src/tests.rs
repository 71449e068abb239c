//! Wishes on three decoders that number everything differently, and the order of the writes.

use datasheets::{CvPlace, DecoderSheet, Sheet, Shelf, read_sheet};
use proptest::prelude::*;
use workorder::{WorkOrder, read_order};

use crate::{Gap, Image, Settlement, Step, places_to_read, settle, write_steps};

const FLAT: &str = include_str!("../../../demo/parts/demo-21-sound.toml");
const PAGED: &str = include_str!("../../../demo/parts/demo-8-paged.toml");

fn shelf() -> Shelf {
    let mut shelf = Shelf::standard();
    for text in [FLAT, PAGED] {
        shelf.add(read_sheet("sheet", text).unwrap_or_else(|faults| panic!("{faults}")).value);
    }
    for text in ["led-warm", "led-red"] {
        let sheet = format!(
            "[part]\nname = \"{text}\"\nkind = \"lamp\"\ntitle = \"x\"\n[lamp]\nkind = \"LED\"\nvoltage = \"3 V\"\ncurrent = \"5 mA\"\n"
        );
        shelf.add(read_sheet("sheet", &sheet).unwrap().value);
    }
    shelf
}

fn decoder(text: &str) -> DecoderSheet {
    let Sheet::Decoder(sheet) = read_sheet("sheet", text).unwrap_or_else(|faults| panic!("{faults}")).value
    else {
        panic!()
    };
    *sheet
}

fn order(wishes: &str) -> WorkOrder {
    let text = format!("[order]\nnumber = \"X\"\nmodel = \"x\"\nscale = \"HO\"\n{wishes}");
    read_order("order", &text, &shelf()).unwrap_or_else(|faults| panic!("{faults}")).value
}

fn content(settlement: &Settlement, page: Option<(u8, u8)>, cv: u16) -> (u8, u8) {
    let target =
        settlement.targets.get(CvPlace { page, cv }).unwrap_or_else(|| panic!("CV{cv} is not wanted"));
    (target.mask, target.value)
}

const WISHES: &str = r#"
[address]
form = "long"
number = 1234
[manners]
acceleration = "22.4 s"
analog = false
[voice]
prime-mover = { cylinders = 16, strokes = 4, aspiration = "turbo" }
horn = { chimes = 3 }
[levels]
engine = "0 dB"
horn = "6 dB"
[keys]
F1 = "bell"
F2 = "horn"
"#;

#[test]
fn flat_decoder_with_packed_bits() {
    let settled = settle(&order(WISHES), &decoder(FLAT));
    assert_eq!(content(&settled, None, 17), (0xFF, 196), "reference text 4.6, address 1234");
    assert_eq!(content(&settled, None, 18), (0xFF, 210));
    assert_eq!(
        content(&settled, None, 29),
        (0b10_0100, 0b10_0000),
        "long address on, analog off, the rest untouched"
    );
    assert_eq!(content(&settled, None, 3), (0xFF, 25), "reference text 4.3: CV3 = 25 is 22.4 s");
    // Horn with three chimes is 2 in bits 4-6. No 16-cylinder four-stroke on board: the 12-cylinder one is nearest.
    assert_eq!(content(&settled, None, 123), (0x7F, 5 | 2 << 4));
    assert!(settled.gaps.iter().any(|gap| matches!(gap, Gap::NearestSound { differences, .. } if differences == &["12 cylinders instead of 16"])), "{:?}", settled.gaps);
    assert_eq!(content(&settled, None, 129), (0xFF, 255), "the loudest is at full");
    assert_eq!(
        content(&settled, None, 131),
        (0xFF, 128),
        "6 dB below is half the amplitude: 255 · 10^(-6/20) = 127.8"
    );
    // Bell is output 7: F1 reaches outputs 1 to 8, bit 6. Horn is output 8: bit 7 of F2.
    assert_eq!(content(&settled, None, 35), (0xFF, 0x40));
    assert_eq!(content(&settled, None, 36), (0xFF, 0x80));
    // F5 had output 7 and F6 output 8 on delivery (S-9.2.2 Table 2); those bits are taken away.
    assert_eq!(content(&settled, None, 39).1, 0);
    assert_eq!(content(&settled, None, 40).1, 0);
}

#[test]
fn paged_decoder_with_one_cv_a_key() {
    let settled = settle(&order(WISHES), &decoder(PAGED));
    assert_eq!(content(&settled, Some((16, 1)), 257), (0xFF, 13), "16 cylinders, four strokes, turbo");
    assert_eq!(content(&settled, Some((16, 1)), 258), (0xFF, 3));
    assert_eq!(content(&settled, Some((16, 2)), 259), (0xFF, 100));
    assert_eq!(content(&settled, Some((16, 2)), 258), (0xFF, 88), "6 dB in steps of half a decibel");
    assert_eq!(content(&settled, Some((16, 0)), 259), (0xFF, 21), "F2 horn");
    assert_eq!(content(&settled, None, 3), (0xFF, 90), "22.4 s in counts of 0.25 s");
    assert!(settled.gaps.is_empty(), "{:?}", settled.gaps);
}

#[test]
fn bare_standard_decoder_says_what_it_cannot() {
    let sheet = Shelf::standard().decoders.into_values().next().unwrap();
    let settled = settle(&order(WISHES), &sheet);
    assert_eq!(content(&settled, None, 17), (0xFF, 196));
    let told: Vec<&str> = settled.gaps.iter().map(|gap| gap.wish().as_str()).collect();
    assert_eq!(
        told,
        ["voice.prime-mover", "voice.horn", "levels.engine", "levels.horn", "keys.F1", "keys.F2"]
    );
}

#[test]
fn equal_recordings_are_offered_for_an_audition() {
    let settled = settle(&order("[voice]\nhorn = { chimes = 5 }"), &decoder(FLAT));
    assert_eq!(settled.auditions[0].choices.len(), 2);
    let settled = settle(
        &order("[voice]\nhorn = { chimes = 5, notes = [\"D4\", \"F4\", \"G#4\", \"B4\", \"D5\"] }"),
        &decoder(FLAT),
    );
    assert!(settled.auditions.is_empty());
    assert_eq!(content(&settled, None, 123).1, 4 << 4, "its notes tell it from the other");
}

#[test]
fn the_recording_that_an_audition_chose_is_settled_on() {
    let settled =
        settle(&order("[voice]\nhorn = { chimes = 5, recording = \"recording 2\" }"), &decoder(FLAT));
    assert!(settled.auditions.is_empty() && settled.gaps.is_empty());
    assert_eq!(content(&settled, None, 123).1, 4 << 4);
    let settled =
        settle(&order("[voice]\nhorn = { chimes = 5, recording = \"recording 9\" }"), &decoder(FLAT));
    assert_eq!((settled.gaps.len(), settled.auditions.len()), (1, 1), "told, and still open");
}

#[test]
fn lamps_and_directions_on_f0() {
    let wishes = "[plan]\ndecoder = \"demo-21-sound\"\n\
        [[plan.lamp]]\nname = \"head\"\ndoes = \"headlight\"\noutput = \"front\"\nwhen = \"forward\"\npart = \"led-warm\"\n\
        [[plan.lamp]]\nname = \"back\"\ndoes = \"headlight\"\noutput = \"rear\"\nwhen = \"reverse\"\npart = \"led-warm\"\n\
        [[plan.lamp]]\nname = \"fire\"\ndoes = \"firebox\"\noutput = \"AUX1\"\neffect = \"flickering\"\nbrightness = \"50 %\"\npart = \"led-red\"\n\
        [keys]\nF0 = \"headlight\"\nF12 = \"firebox\"\n";
    let settled = settle(&order(wishes), &decoder(FLAT));
    assert_eq!((content(&settled, None, 33), content(&settled, None, 34)), ((0xFF, 1), (0xFF, 2)));
    assert_eq!(content(&settled, None, 51), (7, 3));
    assert_eq!(content(&settled, None, 55), (0x1F, 16));
    let [Gap::OutOfReach { output: 3, reaching, .. }] = settled.gaps.as_slice() else {
        panic!("{:?}", settled.gaps)
    };
    let reaching: Vec<String> = reaching.iter().map(ToString::to_string).collect();
    assert_eq!(reaching, ["F0", "F1", "F2", "F3"]);
}

fn image_of(sheet: &DecoderSheet) -> Image {
    let mut image: Image = (1..=255).map(|cv| (CvPlace { page: None, cv }, 0)).collect();
    for (place, value) in sheet.content_on_delivery() {
        image.set(place, value);
    }
    image
}

fn told(steps: &[Step]) -> Vec<String> {
    steps
        .iter()
        .map(|step| match step {
            Step::Write { place, from, to } => format!("{place}: {from} -> {to}"),
            Step::Ensure { place, value } => format!("{place}: {value}?"),
            Step::Select { high, low } => format!("page {high}/{low}"),
        })
        .collect()
}

#[test]
fn pages_are_selected_before_their_cvs_and_the_address_comes_last() {
    let sheet = decoder(PAGED);
    let settled = settle(
        &order(
            "[address]\nform = \"short\"\nnumber = 21\n[manners]\nanalog = false\n[voice]\nhorn = { chimes = 6 }\n[keys]\nF5 = \"horn\"\n",
        ),
        &sheet,
    );
    let mut image = image_of(&sheet);
    image.set(CvPlace { page: None, cv: 1 }, 3);
    let steps = write_steps(&settled.targets, &image).unwrap();
    assert_eq!(
        told(&steps),
        [
            "page 16/0",
            "CV262 (page 16/0): 0 -> 21",
            "page 16/1",
            "CV258 (page 16/1): 1 -> 6",
            "page 0/0",
            "CV1: 3 -> 21",
            "CV19: 0?",
            "CV29: 14 -> 10"
        ]
    );
}

#[test]
fn a_lock_is_opened_and_closed_again() {
    let sheet = decoder(FLAT);
    let settled = settle(&order("[manners]\nacceleration = \"1.8 s\""), &sheet);
    let mut image = image_of(&sheet);
    image.set(CvPlace { page: None, cv: 15 }, 1);
    image.set(CvPlace { page: None, cv: 16 }, 2);
    assert_eq!(
        told(&write_steps(&settled.targets, &image).unwrap()),
        ["CV15: 1 -> 2", "CV3: 6 -> 2", "CV15: 2 -> 1"]
    );
}

#[test]
fn what_must_be_known_and_is_not() {
    let sheet = decoder(FLAT);
    let settled = settle(&order(WISHES), &sheet);
    let missing = write_steps(&settled.targets, &Image::new()).unwrap_err();
    assert_eq!(missing.len(), settled.targets.len());
    let read = places_to_read(&settled.targets, &sheet);
    assert!(missing.iter().all(|place| read.contains(place)));
}

proptest! {
    /// Plan, then apply, gives the wish; a second plan has nothing to do.
    #[test]
    fn applying_the_steps_meets_every_target(contents in proptest::collection::vec(any::<u8>(), 256), is_flat in any::<bool>()) {
        let sheet = decoder(if is_flat { FLAT } else { PAGED });
        let settled = settle(&order(WISHES), &sheet);
        let places = places_to_read(&settled.targets, &sheet);
        let mut image: Image = places.iter().map(|place| (*place, contents[usize::from(place.cv % 256)])).collect();
        let steps = write_steps(&settled.targets, &image).unwrap();
        for step in steps {
            match step {
                Step::Write { place, to, .. } => image.set(place, to),
                Step::Ensure { place, value } => image.set(place, value),
                Step::Select { high, low } => {
                    image.set(CvPlace { page: None, cv: 31 }, high);
                    image.set(CvPlace { page: None, cv: 32 }, low);
                }
            }
        }
        for target in settled.targets.iter() {
            prop_assert!(target.is_met_by(image.get(target.place).unwrap()), "{:?}", target);
        }
        prop_assert_eq!(write_steps(&settled.targets, &image).unwrap(), vec![]);
    }
}
