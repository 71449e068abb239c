//! From a work order's wishes to what is seen and heard: the orders of the demo settled into CVs, the CVs put into the
//! locomotives of the demo, and each key pressed.

use bench::{Layout, Locomotive, read_truth};
use cvplan::{Gap, Settlement};
use datasheets::{Deed, HeadEndPower, Key, Travel};
use dcc::{Address, Direction, LongAddress};
use workorder::{AddressForm, WorkOrder, read_order};

use crate::hand::{Hand, shelf, short, toml_files};

fn own_address(order: &WorkOrder) -> Address {
    let address = order.address.as_ref().unwrap();
    let number = address.number.get();
    match address.form {
        AddressForm::Short => short(u8::try_from(number).unwrap()),
        AddressForm::Long => Address::Long(LongAddress::new(number).unwrap()),
    }
}

/// The address that speed comes from: that of the consist, if it is in one.
fn driven_by(order: &WorkOrder) -> Address {
    let consist = order.address.as_ref().unwrap().consist.map_or(0, |consist| consist.get());
    if consist == 0 { own_address(order) } else { short(u8::try_from(consist).unwrap()) }
}

/// The locomotive of an order of the demo, programmed as the order wishes.
fn programmed(number: &str) -> (WorkOrder, Settlement, Hand<Locomotive>) {
    let text = |folder: &str| toml_files(folder).into_iter().find(|(name, _)| name == number).unwrap().1;
    let order = read_order(number, &text("demo/orders"), shelf()).unwrap().value;
    let truth = read_truth(number, &text("demo/bench"), shelf()).unwrap().value;
    let settlement = cvplan::settle(&order, &shelf().decoders[&truth.decoder.part]);
    let locomotive = Locomotive::new(&truth, shelf(), 3).unwrap();
    let mut memory = locomotive.memory();
    for target in settlement.targets.iter() {
        let (_, content) = memory.iter_mut().find(|(place, _)| *place == target.place).unwrap();
        *content = target.merged(*content);
    }
    let mut hand = Hand::on(locomotive.with_memory(&memory));
    // A unit that stands reversed in its train faces forward when the train backs.
    let is_reversed = order.address.as_ref().unwrap().consist_reversed == Some(true);
    hand.throttle(driven_by(&order), Direction::from_bit(!is_reversed), 0);
    (order, settlement, hand)
}

fn has_gap(settlement: &Settlement, key: Key) -> bool {
    settlement.gaps.iter().any(|gap| {
        let wish = match gap {
            Gap::NoDeed { wish, .. } | Gap::OutOfReach { wish, .. } | Gap::TooManyDeeds { wish, .. } => wish,
            _ => return false,
        };
        wish.as_str() == format!("keys.{key}")
    })
}

/// Whether a deed is seen or heard while its key is on.
fn is_done(deed: Deed, order: &WorkOrder, seen: &bench::Observation) -> bool {
    if deed.is_lamp() {
        let lamps = order.plan.iter().flat_map(|plan| &plan.lamp);
        let mut wanted = lamps.filter(|lamp| lamp.does == deed && lamp.when != Some(Travel::Reverse));
        return wanted.all(|lamp| seen.is_lit(lamp.name.as_str()));
    }
    match deed {
        Deed::Mute => seen.heard.is_muted,
        Deed::Engine => seen.heard.engine.is_some(),
        _ => seen.heard.sound(deed).is_some(),
    }
}

#[test]
fn every_key_does_what_was_wished_and_nothing_else() {
    let mut n_deeds = 0;
    for (number, _) in toml_files("demo/orders") {
        // The shunter may not be powered, and its lantern has burnt out for want of a resistor.
        if number == "V-0035" {
            continue;
        }
        let (order, settlement, mut hand) = programmed(&number);
        let address = own_address(&order);
        let wished: Vec<Deed> = order.keys.0.iter().flat_map(|(_, deeds)| deeds.0.clone()).collect();
        for (key, deeds) in &order.keys.0 {
            hand.keys(address, &[key.number()]);
            let seen = hand.rails.observe();
            for deed in wished.iter().filter(|deed| !deeds.0.contains(deed)) {
                assert!(!is_done(*deed, &order, &seen), "{number}: {key} does {deed} too");
            }
            if !has_gap(&settlement, *key) {
                for deed in &deeds.0 {
                    n_deeds += 1;
                    assert!(is_done(*deed, &order, &seen), "{number}: {key} does not do {deed}");
                }
            }
        }
    }
    assert!(n_deeds >= 15, "{n_deeds}");
}

#[test]
fn the_voice_is_the_one_that_was_wished() {
    let (order, _, mut hand) = programmed("V-0033");
    let address = own_address(&order);
    hand.keys(address, &[2]);
    let heard = hand.rails.observe().heard;
    let horn = heard.sound(Deed::Horn).unwrap().recording.clone().unwrap();
    assert_eq!(horn.is.chimes.unwrap().get(), 5);
    assert_eq!(heard.engine.unwrap().recording.is.cylinders.unwrap().get(), 16);
    hand.keys(address, &[9]);
    let engine = hand.rails.observe().heard.engine.unwrap();
    assert_eq!(engine.feeds_train, Some(HeadEndPower::MainEngine));
    assert!((engine.speed.unwrap().as_rpm() - 900.0).abs() < 1e-9);
    let (order, _, mut van) = programmed("V-0037");
    van.keys(own_address(&order), &[9]);
    let heard = van.rails.observe().heard;
    assert!((heard.sound(Deed::HeadEndPower).unwrap().speed.unwrap().as_rpm() - 1800.0).abs() < 1e-9);
}

#[test]
fn lamps_behave_and_momentum_lasts_as_wished() {
    let (order, _, mut hand) = programmed("V-0031");
    let address = own_address(&order);
    hand.keys(address, &[0, 3]);
    let seen = hand.rails.observe();
    let lamp = seen.lamps.iter().find(|lamp| lamp.name.as_str() == "end-of-train").unwrap();
    assert_eq!(lamp.effect, datasheets::LampEffect::Flashing);
    // 70 % of 31 is 21.7, so the register holds 22.
    assert!((lamp.brightness.as_percent() - 2200.0 / 31.0).abs() < 1e-9);
    assert!(seen.is_lit("headlight") && seen.is_lit("tail"));
    let train = driven_by(&order);
    hand.throttle(train, Direction::Reverse, 0);
    let seen = hand.rails.observe();
    assert!(!seen.is_lit("headlight"), "only forward");
    // 14 s from stop to full speed are 15.6 counts of 0.896 s: 16 of them, 14.336 s.
    hand.throttle(train, Direction::Forward, 126);
    hand.idle(13_000);
    let before = hand.rails.observe().speed;
    hand.idle(1_600);
    assert!(before < 0.95 && hand.rails.observe().speed > 0.999, "{before}");
}

#[test]
fn the_night_mail_runs_as_one_train() {
    let units: Vec<Locomotive> =
        ["V-0033", "V-0034", "V-0037"].map(|number| programmed(number).2.rails).into();
    let mut hand = Hand::on(Layout::new(units));
    hand.throttle(short(70), Direction::Forward, 126);
    hand.idle(30_000);
    let seen: Vec<bench::Observation> = hand.rails.locomotives().iter().map(Locomotive::observe).collect();
    assert_eq!((seen[0].direction, seen[1].direction), (Direction::Forward, Direction::Reverse));
    assert!(seen[0].speed > 0.99 && (seen[0].speed - seen[1].speed).abs() < 1e-9);
    assert!(seen[2].speed <= 0.0, "the van has no motor");
}
