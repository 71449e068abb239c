//! Digest, section 2.4: Small's alignments and the boxes of the example sets; section 2.5: set S1 over frequency;
//! section 2.7: leaks, fill and vents.

use acoustics::limits::{coil_temperature, power_compression, resistance_at};
use acoustics::{Air, Alignment, ClosedBox, Enclosure, Listening, Opening, System};
use quantities::{Frequency, Gain, Length, Resistance, Temperature, Voltage, Volume};

use super::cases::{agrees, driver, file, near, q, rows, tight};

/// Section 2.4, first table (V21, V22).
#[test]
fn alignments_to_the_last_digit() {
    let file = file("digest/alignments.json");
    for row in rows(&file, "rows") {
        let text = row["q"].as_str().unwrap();
        let total_q = match text {
            "0.5774" => 3f64.sqrt().recip(),
            "0.7071" => std::f64::consts::FRAC_1_SQRT_2,
            other => other.parse().unwrap(),
        };
        let unit = Alignment::new(q::<Frequency>("1 Hz"), total_q).unwrap();
        agrees(text, unit.cutoff().as_hertz(), row["cutoff_ratio"].as_str().unwrap());
        agrees(text, unit.peak().as_decibels(), row["peak_db"].as_str().unwrap());
        agrees(text, unit.excursion_peak(), row["excursion_peak"].as_str().unwrap());
        agrees(text, unit.level_at_resonance().as_decibels(), row["db_at_resonance"].as_str().unwrap());
        match row["peak_ratio"].as_str() {
            Some(ratio) => agrees(text, unit.peak_frequency().unwrap().as_hertz(), ratio),
            None => assert_eq!(unit.peak_frequency(), None),
        }
        // |G(fc)| = Qtc, and the response itself is down by half the power at f3.
        near("G at fc", unit.response(unit.resonance()).norm(), total_q, 1e-12);
        near("G at f3", unit.response(unit.cutoff()).norm_sqr(), 0.5, 1e-12);
        let six = unit.frequency_of_drop(q::<Gain>("6 dB"));
        near("G at -6 dB", 20.0 * unit.response(six).norm().log10(), -6.0, 1e-12);
    }
}

/// Section 2.4, second table (V16).
#[test]
fn boxes_of_the_example_sets() {
    let file = file("digest/boxes.json");
    for row in rows(&file, "rows") {
        let text = |key: &str| row[key].as_str().unwrap();
        let volume = Volume::from_cubic_metres(text("cm3").parse::<f64>().unwrap() * 1e-6).unwrap();
        let system = tight(text("set"), volume);
        let alignment = system.alignment().unwrap();
        let what = format!("{} in {volume}", text("set"));
        agrees(&what, system.compliance_ratio(), text("alpha"));
        agrees(&what, alignment.resonance().as_hertz(), text("fc"));
        agrees(&what, alignment.total_q(), text("q"));
        agrees(&what, alignment.cutoff().as_hertz(), text("f3"));
        agrees(&what, alignment.peak().as_decibels(), text("peak_db"));
        // The search on the full model finds the closed form's -3 dB point.
        let searched = system.low_end(q::<Gain>("3.0103 dB")).unwrap();
        near(&what, searched.as_hertz(), alignment.cutoff().as_hertz(), 1e-4);
    }
}

/// Section 2.5, table of set S1 in 10 cm³ (V17, V18, V23).
#[test]
fn set_s1_over_frequency() {
    let system = tight("S1", q("10 cm3"));
    // The digest's 2.83 V is the root of eight, 1 W into 8 ohm.
    let voltage = Voltage::from_volts(8f64.sqrt()).unwrap();
    let file = file("digest/s1-in-10-cm3.json");
    for row in rows(&file, "rows") {
        let text = |key: &str| row[key].as_str().unwrap();
        let frequency = Frequency::from_hertz(text("hertz").parse().unwrap()).unwrap();
        let what = format!("S1 at {frequency}");
        agrees(&what, system.impedance(frequency).modulus().as_ohms(), text("ohms"));
        agrees(&what, system.excursion(frequency, voltage).as_metres() * 1e3, text("peak_mm"));
        let level = system.level(frequency, voltage, &Listening::at_one_metre());
        agrees(&what, level.as_decibels_re_20_micropascal(), text("db"));
    }
    // V17 and V18: more digits from ngspice.
    for (hertz, ohms) in [
        (100.0, "7.1287191"),
        (300.0, "9.7832434"),
        (440.7, "22.397302"),
        (1000.0, "7.2179616"),
        (5000.0, "11.248528"),
    ] {
        agrees("V17", system.impedance(Frequency::from_hertz(hertz).unwrap()).modulus().as_ohms(), ohms);
    }
    agrees("V18", system.impedance(q("1 kHz")).as_ohms().arg().to_degrees(), "-0.317");
}

/// Section 2.5: the static excursion, the level that xmax allows (V24), and the voltage that reaches xmax.
#[test]
fn excursion_limits_of_set_s1() {
    let system = tight("S1", q("10 cm3"));
    agrees(
        "static",
        system.low_frequency_excursion(Voltage::from_volts(8f64.sqrt()).unwrap()).as_metres() * 1e3,
        "0.3465",
    );
    for (hertz, decibels) in [
        (200.0, "69.31"),
        (300.0, "76.35"),
        (400.0, "81.35"),
        (500.0, "85.23"),
        (700.0, "91.07"),
        (1000.0, "97.27"),
    ] {
        let frequency = Frequency::from_hertz(hertz).unwrap();
        let level = system.excursion_limited_level(frequency, &Listening::at_one_metre());
        agrees("V24", level.as_decibels_re_20_micropascal(), decibels);
        // At the voltage that reaches xmax the level is just that.
        let reached =
            system.level(frequency, system.voltage_at_peak_excursion(frequency), &Listening::at_one_metre());
        near(
            "level at xmax",
            reached.as_decibels_re_20_micropascal(),
            level.as_decibels_re_20_micropascal(),
            1e-9,
        );
    }
    let grid = acoustics::logarithmic_grid(q("20 Hz"), q("2 kHz"), 96);
    let least = |system: &System| {
        grid.iter().map(|f| system.voltage_at_peak_excursion(*f).as_volts()).fold(f64::INFINITY, f64::min)
    };
    let separated = System::new(driver("S1"), Enclosure::Separated, Air::default());
    agrees("no box", least(&separated), "2.22");
    for (volume, volts) in [("40 cm3", "2.78"), ("20 cm3", "3.24"), ("10 cm3", "4.00"), ("5 cm3", "5.20")] {
        agrees(volume, least(&tight("S1", q(volume))), volts);
    }
}

/// Section 2.5: Small's displacement-limited rating (V25), and the level above resonance.
#[test]
fn displacement_limited_power_of_set_s1() {
    let (acoustic, electrical) = tight("S1", q("10 cm3")).displacement_limited_power().unwrap();
    agrees("V25 acoustic", acoustic.as_watts() * 1e3, "0.5132");
    agrees("V25 electrical", electrical.as_watts(), "2.185");
    // "0.513 mW acoustic, 2.18 W, 79.3 dB"
    agrees("level", 112.16 + 10.0 * acoustic.as_watts().log10(), "79.3");
    // "Above fc without Le it settles at 76.46 dB": on its way to 76.45 dB, which is 75.87 + 10·log10(8/7).
    let mut parameters = *driver("S1").parameters();
    parameters.coil_inductance = q("0 mH");
    let closed = Enclosure::Box(ClosedBox::tight(q("10 cm3")).unwrap());
    let system = System::new(acoustics::Driver::new(parameters).unwrap(), closed, Air::default());
    let level =
        system.level(q("10 kHz"), Voltage::from_volts(8f64.sqrt()).unwrap(), &Listening::at_one_metre());
    agrees("above fc", level.as_decibels_re_20_micropascal(), "76.46");
    let settled = system.driver().level_at_2_83_volts(&Air::default()).as_decibels_re_20_micropascal();
    near("settled", settled, 75.87 + 10.0 * (8f64 / 7.0).log10(), 1e-4);
}

/// Section 2.7: fill, leaks and a vent (V34).
#[test]
fn fill_leaks_and_vents() {
    for (factor, hertz) in [(1.0, "428.7"), (1.1, "417.0"), (1.25, "402.4")] {
        let filled = ClosedBox::tight(q("10 cm3")).unwrap().filled(factor).unwrap();
        let system = System::new(driver("S1"), Enclosure::Box(filled), Air::default());
        agrees("fill", system.alignment().unwrap().resonance().as_hertz(), hertz);
    }
    let air = Air::default();
    let hole = |diameter: &str| Opening::Round { diameter: q(diameter), length: q::<Length>("1.5 mm") };
    let volume = q::<Volume>("10 cm3");
    agrees("V34", hole("1 mm").resonance_with(volume, &air).as_hertz(), "325.1");
    agrees("1 mm, R", hole("1 mm").resistance_pascal_seconds_per_cubic_metre() / 1e6, "1.106");
    agrees("1 mm, leak", hole("1 mm").leak_frequency(volume, &air).as_hertz(), "2041");
    assert!(!hole("1 mm").is_choked(volume, &air), "mass-controlled: a tuned box");
    agrees("0.5 mm", hole("0.5 mm").resonance_with(volume, &air).as_hertz(), "178");
    agrees("0.5 mm, leak", hole("0.5 mm").leak_frequency(volume, &air).as_hertz(), "128");
    assert!(hole("0.5 mm").is_choked(volume, &air), "resistance exceeds the mass: harmless");
    agrees("2 mm", hole("2 mm").resonance_with(volume, &air).as_hertz(), "565");
    let vent = Opening::Round { diameter: q("3 mm"), length: q("4 mm") };
    agrees("vent", vent.resonance_with(q("20 cm3"), &air).as_hertz(), "414");
}

/// Section 2.6 (V57, V70; IEC 60028).
#[test]
fn hot_coils() {
    let cold = q::<Resistance>("7.0 ohm");
    agrees("V57", resistance_at(cold, q::<Temperature>("100 °C")).as_ohms(), "9.2008");
    agrees("V70", resistance_at(cold, q::<Temperature>("80 °C")).as_ohms(), "8.651");
    let hot = q::<Resistance>("8.4 ohm");
    agrees("rise", coil_temperature(cold, hot).as_kelvins() - 293.15, "50.9");
    agrees("compression", power_compression(cold, hot).as_decibels(), "-1.58");
}

/// Section 2.10 (V33): two of set S1 in one box of 10 cm³, driven by one amplifier.
#[test]
fn shared_box_peaks() {
    use acoustics::{Cabinet, Drive, Mounted, Mounting, Position, VoltagePhasor};
    let mounted =
        Mounted { driver: driver("S1"), position: Position::default(), mounting: Mounting::FrontOut };
    let cabinet = Cabinet {
        enclosure: Enclosure::Box(ClosedBox::tight(q("10 cm3")).unwrap()),
        drivers: vec![mounted, mounted],
    };
    let volt = |volts: f64| Drive::Voltage(VoltagePhasor::of(Voltage::from_volts(volts).unwrap()));
    let peak = |drives: [Drive; 2]| {
        let impedance = |hertz: f64| {
            let frequency = Frequency::from_hertz(hertz).unwrap();
            let motions = cabinet.motions(frequency, &drives, &Air::default()).unwrap();
            motions[0].impedance().unwrap().as_ohms()
        };
        // Without the coil the motional part is real at the peak: sought where its phase crosses zero, so that the
        // coil's inductance does not shift the answer.
        let phase = |hertz: f64| {
            let coil = 2.0 * std::f64::consts::PI * hertz * 0.29e-3;
            (impedance(hertz).im - coil).signum()
        };
        (20_000..80_000)
            .map(|hundredth| f64::from(hundredth) / 100.0)
            .find(|hertz| phase(*hertz) < 0.0)
            .unwrap()
    };
    agrees("in phase: half the box each", peak([volt(1.0), volt(1.0)]), "541.4");
    agrees("in opposition: no box at all", peak([volt(1.0), volt(-1.0)]), "272.9");
}

/// Section 0: the constants, and the table of temperatures.
#[test]
fn air_by_temperature() {
    for (celsius, speed, density) in [
        ("0 °C", "331.30", "1.2923"),
        ("10 °C", "337.31", "1.2466"),
        ("20 °C", "343.21", "1.2041"),
        ("25 °C", "346.13", "1.1839"),
        ("30 °C", "349.02", "1.1644"),
    ] {
        let air = Air::at(q::<Temperature>(celsius));
        agrees(celsius, air.sound_speed().as_metres_per_second(), speed);
        agrees(celsius, air.kilograms_per_cubic_metre(), density);
    }
    // 1 W into half space at 1 m is 112.16 dB: a source that radiates 1 W makes that level.
    let flow = acoustics::VolumeVelocityPhasor::from_cubic_metres_per_second(1e-3.into()).unwrap();
    let source = [acoustics::Source { position: acoustics::Position::default(), volume_velocity: flow }];
    let (frequency, listening, air) = (q::<Frequency>("500 Hz"), Listening::at_one_metre(), Air::default());
    let power = acoustics::radiated_power(&source, frequency, listening.space, &air).as_watts();
    let level = acoustics::pressure_on_axis(&source, frequency, &listening, &air).level();
    agrees("1 W", level.as_decibels_re_20_micropascal() - 10.0 * power.log10(), "112.16");
}
