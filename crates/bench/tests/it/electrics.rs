//! Currents and meter readings of locomotives with something wrong.

use bench::{DecoderIs, Locomotive};
use quantities::MeterReading;
use track::Rails;
use workorder::Terminal;

use crate::hand::{Hand, locomotive, shelf, toml_files, truth};

/// A locomotive with a fault of the demo.
fn fault(name: &str) -> Locomotive {
    let files = toml_files("demo/bench/faults");
    let (_, text) = files.iter().find(|(file, _)| file == name).unwrap();
    Locomotive::new(&truth(text), shelf(), 4).unwrap()
}

fn shown(locomotive: &Locomotive, from: &str, to: &str, decoder: DecoderIs) -> String {
    let terminal = |text: &str| text.parse::<Terminal>().unwrap();
    locomotive.meter(&terminal(from), &terminal(to), decoder).unwrap().to_string()
}

#[test]
fn faults_that_hide_the_acknowledgement() {
    for name in ["no-motor", "weak-acknowledgement", "keep-alive-masks", "open-pickup", "dead-short"] {
        assert!(!Hand::on(fault(name)).verify(8, 13), "{name}");
    }
    let mut no_motor = Hand::on(fault("no-motor"));
    no_motor.write(3, 50);
    assert!(
        no_motor.rails.memory().contains(&(datasheets::CvPlace { page: None, cv: 3 }, 50)),
        "it obeys unheard"
    );
}

#[test]
fn faults_of_another_kind() {
    assert!(Hand::on(fault("locked")).verify(16, 3));
    assert!(!Hand::on(fault("locked")).write(3, 9));
    assert_eq!(Hand::on(fault("wrong-decoder")).read(7), Some(87));
    assert_eq!(Hand::on(fault("left-in-consist")).read(19), Some(40));
}

#[test]
fn a_weak_pulse_is_there_all_the_same() {
    let mut hand = Hand::on(fault("weak-acknowledgement"));
    hand.verify(8, 13);
    assert_eq!(
        hand.samples.iter().filter(|sample| (84.0..86.0).contains(*sample)).count(),
        60,
        "45 mA and 40 mA"
    );
}

#[test]
fn two_decoders_answer_together() {
    let mut hand = Hand::on(fault("two-decoders"));
    assert!(hand.verify(7, 41) && hand.verify(7, 1), "both versions are acknowledged");
    hand.verify(8, 13);
    let most = hand.samples.iter().copied().fold(0.0, f32::max);
    assert!((264.0..266.0).contains(&most), "45 + 20 mA quiescent and two pulses of 100 mA: {most}");
}

#[test]
fn a_dead_short_draws_all_there_is_and_a_broken_lead_nothing() {
    assert!(
        Hand::on(fault("dead-short"))
            .samples
            .iter()
            .all(|sample| *sample >= bench::SUPPLY_LIMIT_MILLIAMPERES)
    );
    let open = Hand::on(fault("open-pickup"));
    assert!(open.samples.iter().all(|sample| sample.abs() < f32::EPSILON) && !open.rails.observe().is_alive);
}

#[test]
fn a_keep_alive_charges_after_power_on_and_bridges_a_short_cut() {
    let keep_alive = "[keep-alive]\npart = \"ka-2200\"\n[cv]\nCV3 = 0\n";
    let mut hand = Hand::on(locomotive("demo-21-sound", keep_alive));
    let first = hand.samples.first().copied().unwrap();
    let last = hand.samples.last().copied().unwrap();
    // 10.6 V through 100 ohm above 45 mA; after 196 ms 106·e^(−0.196/0.22) = 43.5 mA of it are left.
    assert!((first - 151.0).abs() < 0.5 && (last - 88.5).abs() < 0.7, "{first} {last}");
    hand.idle(2000);
    hand.throttle(crate::hand::short(3), dcc::Direction::Forward, 126);
    // 2.2 mF from 10.6 V to 5 V at 45 mA: 274 ms.
    hand.rails.set_power(false);
    hand.rails.wait(200_000);
    assert!(hand.rails.observe().is_alive && hand.rails.observe().speed > 0.9);
    hand.rails.set_power(true);
    hand.idle(2000);
    assert!(hand.rails.observe().speed > 0.9, "it never noticed");
    hand.rails.set_power(false);
    hand.rails.wait(300_000);
    assert!(!hand.rails.observe().is_alive);
}

#[test]
fn without_a_keep_alive_a_cut_is_a_cut() {
    let mut hand = Hand::on(locomotive("demo-21-sound", "[cv]\nCV3 = 0\n"));
    hand.throttle(crate::hand::short(3), dcc::Direction::Forward, 126);
    assert!(hand.rails.observe().speed > 0.9);
    hand.rails.set_power(false);
    hand.rails.set_power(true);
    assert!(hand.rails.observe().speed <= 0.0);
}

#[test]
fn noise_is_as_strong_as_the_truth_says() {
    let hand = Hand::on(locomotive("demo-21-sound", "[pickup]\ncurrent-noise = \"3 mA\"\n"));
    let n_samples = hand.samples.len() as f64;
    let mean = hand.samples.iter().map(|sample| f64::from(*sample)).sum::<f64>() / n_samples;
    let variance =
        hand.samples.iter().map(|sample| (f64::from(*sample) - mean).powi(2)).sum::<f64>() / n_samples;
    // 1959 samples: three standard errors of the deviation are 5 %.
    assert!((mean - 45.0).abs() < 0.3 && (variance.sqrt() - 3.0).abs() < 0.15, "{mean} {}", variance.sqrt());
}

#[test]
fn the_meter_reads_the_real_wiring() {
    let files = toml_files("demo/bench");
    let of = |order: &str| {
        let (_, text) = files.iter().find(|(name, _)| name == order).unwrap();
        Locomotive::new(&truth(text), shelf(), 1).unwrap()
    };
    let railcar = of("V-0031");
    assert_eq!(shown(&railcar, "board.S1", "board.S2", DecoderIs::Out), "14.2 ohm");
    assert_eq!(shown(&railcar, "A.red", "A.black", DecoderIs::Out), "7 ohm");
    assert_eq!(shown(&railcar, "motor.1", "motor.2", DecoderIs::Out), "24 ohm");
    assert_eq!(shown(&railcar, "motor.1", "frame", DecoderIs::Out), "OL");
    assert_eq!(shown(&railcar, "A.red", "frame", DecoderIs::Out), "OL");
    assert_eq!(shown(&railcar, "A.black", "B.red", DecoderIs::Out), "< 0.1 ohm");
    assert_eq!(shown(&railcar, "motor.1", "rail.left", DecoderIs::Out), "OL");
    assert_eq!(
        shown(&railcar, "motor.1", "rail.left", DecoderIs::In),
        "150 kohm",
        "not to be trusted with the decoder in"
    );
    let shunter = of("V-0035");
    assert_eq!(shown(&shunter, "motor.1", "frame", DecoderIs::Out), "0.8 ohm");
    assert_eq!(shown(&shunter, "motor.1", "rail.left", DecoderIs::Out), "0.9 ohm");
    assert_eq!(shown(&shunter, "rail.left", "rail.right", DecoderIs::Out), "OL");
    let rear = of("V-0032");
    // 12 V / 60 mA hot, a tenth of it cold, and 22 ohm in series.
    assert_eq!(shown(&rear, "output.rear", "output.common", DecoderIs::Out), "42 ohm");
    assert_eq!(
        shown(&rear, "output.front", "output.common", DecoderIs::Out),
        "OL",
        "an LED does not conduct"
    );
}

#[test]
fn the_meter_knows_the_nearest_terminal() {
    let railcar = locomotive("standard", "");
    let terminal = |text: &str| text.parse::<Terminal>().unwrap();
    let error =
        railcar.meter(&terminal("motor.3"), &terminal("frame"), DecoderIs::Out).unwrap_err().to_string();
    assert!(error.contains("no terminal `motor.3`: did you mean `motor."), "{error}");
    assert_eq!(
        railcar.meter(&terminal("motor.1"), &terminal("motor.1"), DecoderIs::Out).unwrap().greatest(),
        quantities::Resistance::from_ohms(0.1)
    );
    assert_eq!(
        locomotive("standard", "motor.swapped = true").meter(
            &terminal("rail.left"),
            &terminal("rail.right"),
            DecoderIs::Out
        ),
        Ok(MeterReading::Open)
    );
}

#[test]
fn a_brush_on_a_live_frame_makes_every_pulse_a_short() {
    let files = toml_files("demo/bench");
    let (_, text) = files.iter().find(|(name, _)| name == "V-0035").unwrap();
    let mut hand = Hand::on(Locomotive::new(&truth(text), shelf(), 1).unwrap());
    assert!(hand.samples.iter().all(|sample| *sample < 100.0), "at rest nothing is to be seen");
    hand.verify(8, 13);
    assert!(hand.samples.iter().any(|sample| *sample >= bench::SUPPLY_LIMIT_MILLIAMPERES));
}

#[test]
fn held_wheels_draw_the_stall_current() {
    let current = |more: &str| {
        let mut hand = Hand::on(locomotive("demo-21-sound", &format!("{more}\n[cv]\nCV3 = 0\n")));
        hand.throttle(crate::hand::short(3), dcc::Direction::Forward, 126);
        let light = hand.samples.last().copied().unwrap();
        hand.rails.hold_wheels(true);
        hand.idle(20);
        assert!(hand.rails.observe().speed <= 0.0);
        (light, hand.samples.last().copied().unwrap())
    };
    let near = |left: f32, right: f32| (left - right).abs() < 0.1;
    let (light, held) = current("motor.stall-current = \"0.62 A\"\nmotor.running-current = \"140 mA\"");
    assert!(near(light, 185.0) && near(held, 665.0), "{light} {held}");
    let (_, held) = current("");
    assert!(near(held, 545.0), "45 mA and 12 V through 24 ohm: {held}");
}

#[test]
fn a_mark_that_lies_is_seen_in_the_circuit_and_not_on_the_meter() {
    let files = toml_files("demo/bench");
    let (_, text) = files.iter().find(|(name, _)| name == "V-0036").unwrap();
    let relation = |text: &str| {
        let steam = Locomotive::new(&truth(text), shelf(), 1).unwrap();
        assert_eq!(shown(&steam, "board.T1", "board.T2", DecoderIs::Out), "7.1 ohm");
        let circuit = steam.circuit(quantities::Voltage::from_volts(2.0).unwrap()).unwrap();
        let placed = |name: &str| ::electrics::PlacedSpeaker {
            speaker: circuit.find(name).unwrap(),
            mount: ::electrics::Mount::FrontOutward,
            marking: ::electrics::Marking::Marked,
        };
        ::electrics::polarity(&circuit, &[placed("A"), placed("B")]).unwrap().pairs[0].relation
    };
    assert_eq!(relation(text), ::electrics::Relation::Opposed);
    assert_eq!(relation(&text.replace("marked-wrong = true", "")), ::electrics::Relation::Together);
}
