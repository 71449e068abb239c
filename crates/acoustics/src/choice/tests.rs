//! The table on a handful of candidates.

use quantities::Quantity;

use super::*;
use crate::driver::{Outline, Preference, Sheet};
use crate::{Air, ClosedBox, Enclosure};

fn q<Q: Quantity>(text: &str) -> Q {
    Q::parse(text).unwrap()
}

fn candidate(label: &str, nominal: &str, outline: (&str, &str), enclosure: Enclosure) -> Candidate {
    let sheet = Sheet {
        nominal_impedance: Some(q(nominal)),
        outline: Some(Outline::Rectangular(q(outline.0), q(outline.1))),
        ..Sheet::default()
    };
    let driver = sheet.complete(&Air::default(), Preference::Construction).unwrap().driver;
    Candidate { label: label.to_owned(), system: System::new(driver, enclosure, Air::default()) }
}

fn tight(volume: &str) -> Enclosure {
    Enclosure::Box(ClosedBox::tight(q(volume)).unwrap())
}

#[test]
fn the_larger_box_and_the_larger_part_win_and_wrong_loads_lose() {
    let candidates = [
        candidate("small part, small box", "8 ohm", ("15 mm", "11 mm"), tight("1 cm3")),
        candidate("too low", "4 ohm", ("35 mm", "16 mm"), tight("8 cm3")),
        candidate("bare", "8 ohm", ("15 mm", "11 mm"), Enclosure::Unboxed { path: q("10 mm") }),
        candidate("large part", "8 ohm", ("35 mm", "16 mm"), tight("8 cm3")),
        candidate("small part, large box", "8 ohm", ("15 mm", "11 mm"), tight("2 cm3")),
    ];
    let wish = Wish::for_amplifier(q("3 V"), q("8 ohm"));
    let rows = rank(&candidates, &wish);
    let order: Vec<&str> = rows.iter().map(|row| row.label.as_str()).collect();
    assert_eq!(order, ["large part", "small part, large box", "small part, small box", "bare", "too low"]);
    assert!(rows[..4].iter().all(|row| row.is_usable) && !rows[4].is_usable);
    let reasons: Vec<String> = rows[4].reasons.iter().map(ToString::to_string).collect();
    assert_eq!(reasons[0], "4 ohm is below the 8 ohm that the amplifier needs");
    assert_eq!(rows[3].reasons[0].to_string(), "front and rear cancel, nothing is left below 2 kHz");
    // The level of a row is that of its safe voltage: never past the amplifier.
    assert!(rows.iter().all(|row| row.safe.voltage <= wish.amplifier_voltage));
}

#[test]
fn an_octave_is_worth_what_the_wish_says() {
    let candidates = [
        candidate("louder", "8 ohm", ("35 mm", "16 mm"), tight("2 cm3")),
        candidate("deeper", "8 ohm", ("35 mm", "16 mm"), tight("20 cm3")),
    ];
    let first = |worth: &str| {
        let wish = Wish { octave_worth: q(worth), ..Wish::for_amplifier(q("3 V"), q("8 ohm")) };
        rank(&candidates, &wish)[0].label.clone()
    };
    assert_eq!((first("0 dB"), first("20 dB")), ("louder".to_owned(), "deeper".to_owned()));
}

#[test]
fn nothing_in_nothing_out() {
    assert_eq!(rank(&[], &Wish::for_amplifier(q("3 V"), q("8 ohm"))), []);
}
