//! The main track: addresses, speed, functions, programming on the main.
//!
//! Source: S-9.2 §B; S-9.2.1 §C; S-9.2.2 (reference text, sections 2, 3, 4, 6).

use dcc::bidi::{Channel2, Channel2Item, Datagram};
use dcc::{
    Address, BaselineSpeed, Command, CvAccess, DecoderControl, Direction, Function, FunctionGroup,
    Instruction, LongAddress, PREAMBLE_OPERATIONS, Speed14, Speed28, Speed126, SpeedRestriction,
};
use track::Rails;

use crate::hand::{Hand, locomotive, number, short};

const QUICK: &str = "[cv]\nCV3 = 0\nCV4 = 0\nCV2 = 0\nCV5 = 0\nCV6 = 0\n";

fn long(number: u16) -> Address {
    Address::Long(LongAddress::new(number).unwrap())
}

fn near(left: f64, right: f64) -> bool {
    (left - right).abs() < 1e-3
}

#[test]
fn the_address_that_cv29_chooses_counts() {
    let both = format!("{QUICK}CV1 = 9\nCV17 = 196\nCV18 = 210\n");
    for (configuration, own, other) in [(6, short(9), long(1234)), (38, long(1234), short(9))] {
        let mut hand = Hand::on(locomotive("demo-21-sound", &format!("{both}CV29 = {configuration}\n")));
        hand.throttle(other, Direction::Forward, 126);
        assert!(near(hand.rails.observe().speed, 0.0));
        hand.throttle(own, Direction::Forward, 126);
        hand.idle(20);
        assert!(near(hand.rails.observe().speed, 1.0));
    }
}

#[test]
fn steps_of_all_three_systems_reach_the_motor() {
    let speed = |command: Command, configuration: u8| {
        let mut hand = Hand::on(locomotive("demo-21-sound", &format!("{QUICK}CV29 = {configuration}\n")));
        hand.tell(short(3), command);
        hand.idle(20);
        hand.rails.observe().speed
    };
    let forward = Direction::Forward;
    let in_14 = |step, is_lit| {
        Command::Speed(BaselineSpeed::in_14_steps(forward, Speed14::step(step).unwrap(), is_lit))
    };
    let in_28 = |step| Command::Speed(BaselineSpeed::in_28_steps(forward, Speed28::step(step).unwrap()));
    let in_126 = |step| Command::Speed126 { direction: forward, speed: Speed126::step(step).unwrap() };
    for (found, expected) in [
        (speed(in_14(14, false), 4), 1.0),
        (speed(in_14(7, true), 4), 0.5),
        (speed(in_28(28), 6), 1.0),
        (speed(in_28(14), 6), 0.5),
        (speed(in_28(1), 6), 0.0),
        (speed(in_126(126), 6), 1.0),
        (speed(in_126(63), 6), 0.5),
    ] {
        assert!((found - expected).abs() < 0.005, "{found} where {expected} is due");
    }
}

#[test]
fn fourteen_steps_carry_the_headlight() {
    let mut hand = Hand::on(locomotive("demo-21-sound", "[cv]\nCV29 = 4\n"));
    let tell = |hand: &mut Hand<_>, is_lit| {
        let step = Speed14::step(3).unwrap();
        hand.tell(short(3), Command::Speed(BaselineSpeed::in_14_steps(Direction::Forward, step, is_lit)));
    };
    tell(&mut hand, true);
    assert!(hand.rails.observe().is_on("front"));
    hand.keys(short(3), &[]);
    assert!(hand.rails.observe().is_on("front"), "F0 of the function group does not count");
    tell(&mut hand, false);
    assert!(!hand.rails.observe().is_on("front"));
}

#[test]
fn twenty_eight_steps_sent_to_a_decoder_of_fourteen_make_the_lamp_blink() {
    // Practice, row 45: odd steps off, even steps on.
    let mut hand = Hand::on(locomotive("demo-21-sound", "[cv]\nCV29 = 4\n"));
    let lit: Vec<bool> = (1..=6)
        .map(|step| {
            let speed = BaselineSpeed::in_28_steps(Direction::Forward, Speed28::step(step).unwrap());
            hand.tell(short(3), Command::Speed(speed));
            hand.rails.observe().is_on("front")
        })
        .collect();
    assert_eq!(lit, [false, true, false, true, false, true]);
}

#[test]
fn forward_is_the_other_way_round_where_cv29_says_so_and_lamps_follow() {
    let mut hand = Hand::on(locomotive("demo-21-sound", &format!("{QUICK}CV29 = 7\n")));
    hand.keys(short(3), &[0]);
    hand.throttle(short(3), Direction::Forward, 50);
    hand.idle(20);
    let seen = hand.rails.observe();
    assert_eq!(seen.direction, Direction::Reverse);
    assert!(seen.is_on("rear") && !seen.is_on("front"));
    let mut swapped = Hand::on(locomotive("demo-21-sound", &format!("motor.swapped = true\n{QUICK}")));
    swapped.throttle(short(3), Direction::Forward, 50);
    assert_eq!(swapped.rails.observe().direction, Direction::Reverse, "swapped leads");
}

#[test]
fn momentum_lasts_as_long_as_the_sheet_and_cv3_say() {
    // 0.25 s for each count of CV3 on this sheet: CV3 = 20 is 5 s from stop to full speed.
    let mut hand = Hand::on(locomotive("demo-8-paged", "[cv]\nCV3 = 20\n"));
    hand.throttle(short(3), Direction::Forward, 126);
    hand.idle(2500);
    let half = hand.rails.observe().speed;
    hand.idle(2600);
    assert!((half - 0.5).abs() < 0.02 && near(hand.rails.observe().speed, 1.0), "{half}");
}

#[test]
fn stops_of_every_kind() {
    let mut hand = Hand::on(locomotive("demo-21-sound", "[cv]\nCV3 = 0\nCV4 = 20\n"));
    let speed = |hand: &Hand<bench::Locomotive>| hand.rails.observe().speed;
    let run = |hand: &mut Hand<bench::Locomotive>| {
        hand.throttle(short(3), Direction::Forward, 126);
        hand.idle(20);
        assert!(speed(hand) > 0.9);
    };
    run(&mut hand);
    hand.throttle(short(3), Direction::Forward, 0);
    hand.idle(200);
    assert!(speed(&hand) > 0.9, "momentum");
    run(&mut hand);
    hand.tell(short(3), Command::Speed126 { direction: Direction::Forward, speed: Speed126::EmergencyStop });
    assert!(near(speed(&hand), 0.0));
    run(&mut hand);
    hand.tell(Address::Broadcast, Command::Speed(BaselineSpeed::stop(None, true)));
    assert!(near(speed(&hand), 0.0) && hand.rails.observe().direction == Direction::Forward);
    run(&mut hand);
    hand.tell(Address::Broadcast, Command::Control(DecoderControl::Reset));
    assert!(near(speed(&hand), 0.0), "a reset packet stops at once");
}

#[test]
fn a_packet_time_out_stops_it() {
    let mut hand = Hand::on(locomotive("demo-21-sound", &format!("{QUICK}CV11 = 2\n")));
    hand.throttle(short(3), Direction::Forward, 126);
    hand.idle(1900);
    assert!(near(hand.rails.observe().speed, 1.0));
    hand.idle(200);
    assert!(near(hand.rails.observe().speed, 0.0));
}

#[test]
fn a_ceiling_by_nmra() {
    let mut hand = Hand::on(locomotive("demo-21-sound", QUICK));
    let ceiling = SpeedRestriction::Ceiling(Speed28::step(14).unwrap());
    hand.tell(short(3), Command::Special(dcc::SpecialOperation::from_restriction(ceiling)));
    hand.throttle(short(3), Direction::Forward, 126);
    hand.idle(20);
    assert!((hand.rails.observe().speed - 0.5).abs() < 0.005);
    hand.tell(short(3), Command::Special(dcc::SpecialOperation::from_restriction(SpeedRestriction::None)));
    hand.idle(20);
    assert!(near(hand.rails.observe().speed, 1.0));
}

#[test]
fn the_matrix_ties_keys_to_outputs() {
    let mut hand = Hand::on(locomotive("demo-21-sound", "[cv]\nCV36 = 12\nCV43 = 16\n"));
    let on = |hand: &Hand<bench::Locomotive>| -> Vec<String> {
        let seen = hand.rails.observe();
        seen.outputs.iter().filter(|output| output.is_on).map(|output| output.name.to_string()).collect()
    };
    hand.keys(short(3), &[2]);
    assert_eq!(on(&hand), ["AUX1", "AUX2"]);
    hand.keys(short(3), &[0, 9]);
    assert_eq!(on(&hand), ["front", "head-end-sound"]);
    hand.throttle(short(3), Direction::Reverse, 0);
    assert_eq!(on(&hand), ["rear", "head-end-sound"]);
    hand.keys(short(3), &[13, 28, 68]);
    assert!(on(&hand).is_empty(), "the matrix ends at F12");
}

#[test]
fn a_deed_table_and_a_key_table_tie_keys_to_deeds() {
    let mut deeds = Hand::on(locomotive("deeds", "[cv]\nCV151 = 9\n"));
    deeds.keys(short(3), &[9]);
    assert!(deeds.rails.observe().is_on("AUX1"), "the beacon was on F28 before");
    let page = "[[page]]\nhigh = 16\nlow = 0\ncv = { CV257 = 4, CV258 = 3, CV259 = 1 }\n";
    let mut keys = Hand::on(locomotive("demo-8-paged", page));
    keys.keys(short(3), &[0]);
    assert!(keys.rails.observe().is_on("AUX1"));
    keys.keys(short(3), &[1, 2]);
    let seen = keys.rails.observe();
    assert!(seen.is_on("front"));
    let front = seen.outputs.iter().find(|output| output.number == 1).unwrap();
    assert!(near(front.brightness.as_percent(), 40.0), "dimmed");
    keys.throttle(short(3), Direction::Reverse, 0);
    assert!(keys.rails.observe().is_on("rear"), "the headlight is at the end that leads");
}

#[test]
fn writing_on_the_main_takes_two_identical_packets() {
    let write = |cv, value| Command::Cv(CvAccess::write(number(cv), value));
    let holds = |hand: &Hand<bench::Locomotive>, value| {
        hand.rails.memory().contains(&(datasheets::CvPlace { page: None, cv: 3 }, value))
    };
    let mut hand = Hand::on(locomotive("demo-21-sound", ""));
    hand.tell(short(3), write(3, 50));
    hand.idle(20);
    assert!(holds(&hand, 6), "one is not enough");
    hand.samples.clear();
    hand.tell(short(3), write(3, 50));
    hand.idle(20);
    assert!(holds(&hand, 50));
    assert!(hand.samples.iter().all(|sample| *sample < 50.0), "no pulse on the main");
    hand.tell(short(3), write(3, 60));
    hand.throttle(short(3), Direction::Forward, 0);
    hand.tell(short(3), write(3, 60));
    hand.idle(20);
    assert!(holds(&hand, 50), "another packet between them cancels");
    hand.write_on_the_main(short(3), 8, 8);
    hand.write_on_the_main(short(3), 7, 8);
    hand.idle(800);
    assert!(holds(&hand, 50), "no reset on the main");
}

#[test]
fn a_new_long_address_counts_once_cv18_is_written() {
    let mut hand =
        Hand::on(locomotive("demo-21-sound", &format!("{QUICK}CV17 = 195\nCV18 = 232\nCV29 = 38\n")));
    hand.write_on_the_main(long(1000), 17, 196);
    hand.idle(20);
    hand.throttle(long(1000), Direction::Forward, 126);
    hand.idle(20);
    assert!(near(hand.rails.observe().speed, 1.0), "still the old pair");
    hand.write_on_the_main(long(1000), 18, 210);
    hand.idle(20);
    hand.throttle(long(1234), Direction::Reverse, 63);
    hand.idle(20);
    assert!(hand.rails.observe().direction == Direction::Reverse);
}

#[test]
fn an_acknowledgement_can_be_asked_for() {
    let mut hand = Hand::on(locomotive("demo-21-sound", ""));
    hand.idle(50);
    hand.samples.clear();
    hand.tell(short(3), Command::Control(DecoderControl::AcknowledgementRequest));
    hand.idle(20);
    assert_eq!(hand.samples.iter().filter(|sample| **sample > 105.0).count(), 60);
}

#[test]
fn feedback_tells_what_a_cv_holds() {
    let mut hand = Hand::on(locomotive("demo-8-paged", "[cv]\nCV29 = 14\n"));
    let answer = |hand: &mut Hand<bench::Locomotive>, access: CvAccess| {
        let packet = Instruction::for_decoder(short(3), Command::Cv(access)).to_packet();
        let half_bits: Vec<u32> =
            packet.half_bits(PREAMBLE_OPERATIONS, dcc::timing::SenderTiming::NOMINAL).collect();
        hand.rails.drive(&half_bits, &mut hand.samples);
        let reply = hand.rails.feedback()?;
        let items: Vec<Channel2Item> = Channel2::new(reply.as_bytes()).map(|item| item.unwrap()).collect();
        Some(items)
    };
    let value = |value| Some(vec![Channel2Item::Datagram(Datagram::PomReply(value))]);
    assert_eq!(answer(&mut hand, CvAccess::verify(number(8), 0)), value(13));
    assert_eq!(answer(&mut hand, CvAccess::write(number(3), 42)), value(42));
    assert_eq!(answer(&mut hand, CvAccess::write(number(8), 8)), value(13), "not on the main");
    let refused = Some(vec![Channel2Item::Acknowledge, Channel2Item::NotAcknowledge]);
    assert_eq!(answer(&mut hand, CvAccess::verify(number(1000), 0)), refused);
    hand.idle(10);
    assert_eq!(hand.rails.feedback(), None, "idle packets are for nobody");
    let mut off = Hand::on(locomotive("demo-8-paged", "[cv]\nCV29 = 6\n"));
    assert_eq!(answer(&mut off, CvAccess::verify(number(8), 0)), None);
}

#[test]
fn one_packet_may_hold_several_instructions() {
    let mut hand = Hand::on(locomotive("demo-21-sound", QUICK));
    // Speed step 28 forward, then F0 on, in one packet (S-9.2.1 §C).
    let packet = dcc::Packet::from_payload(&[3, 0x7F, 0x90]).unwrap();
    let half_bits: Vec<u32> =
        packet.half_bits(PREAMBLE_OPERATIONS, dcc::timing::SenderTiming::NOMINAL).collect();
    hand.rails.drive(&half_bits, &mut hand.samples);
    hand.idle(20);
    let seen = hand.rails.observe();
    assert!(near(seen.speed, 1.0) && seen.is_on("front"));
}

#[test]
fn functions_up_to_f68_are_heard() {
    let page = "[[page]]\nhigh = 16\nlow = 0\ncv = { CV285 = 5 }\n";
    let mut hand = Hand::on(locomotive("demo-8-paged", page));
    let mut states = dcc::FunctionStates::ALL_OFF;
    states.set(Function::new(28).unwrap(), true);
    hand.tell(short(3), Command::Functions(states.group(FunctionGroup::F21ToF28)));
    assert!(hand.rails.observe().is_on("AUX2"));
}
