//! The demo's railcar and figures of the reference text, through the whole room.

use acoustics::Air;
use acoustics::bands::Band;
use acoustics::radiation::{PairRelation, pair_band_losses};
use acoustics::render::a_weighted_rms;
use acoustics::sound::{SampleRate, Sound, white_noise};
use datasheets::{Shelf, read_sheet};
use quantities::{Duration, Frequency, Gain};
use workorder::{WorkOrder, read_order};

use crate::{
    Amplified, Loudness, Proposals, Sounding, Wiring, choices, meter_card_of, response, rework_to_plan,
    sample_of, through, told,
};

fn here(path: &str) -> String {
    let file = format!("{}/../../demo/{path}", env!("CARGO_MANIFEST_DIR"));
    std::fs::read_to_string(&file).unwrap_or_else(|error| panic!("{file}: {error}"))
}

fn shelf() -> Shelf {
    let mut shelf = Shelf::standard();
    for file in std::fs::read_dir(format!("{}/../../demo/parts", env!("CARGO_MANIFEST_DIR"))).unwrap() {
        let path = file.unwrap().path();
        let text = std::fs::read_to_string(&path).unwrap();
        shelf.add(
            read_sheet(&path.display().to_string(), &text).unwrap_or_else(|faults| panic!("{faults}")).value,
        );
    }
    shelf
}

fn order(text: &str) -> WorkOrder {
    read_order("order", text, &shelf()).unwrap_or_else(|faults| panic!("{faults}")).value
}

fn railcar() -> (Wiring, Wiring) {
    let order = order(&here("orders/V-0031.toml"));
    let found = Wiring::found(&order, &shelf()).unwrap().unwrap();
    let planned = Wiring::planned(&order, &shelf()).unwrap().unwrap();
    (found, planned)
}

#[test]
fn the_railcar_as_found_fights_itself_and_as_planned_does_not() {
    let (found, planned) = railcar();
    let found = Sounding::of(&found).unwrap();
    assert_eq!(found.nominal.unwrap().to_string(), "4 ohm");
    let [pair] = found.opposed.as_slice() else { panic!("{:?}", found.opposed) };
    assert_eq!(pair.spacing.to_string(), "28 mm");
    assert_eq!(pair.losses, pair_band_losses(PairRelation::Opposed, pair.spacing, &Air::default()));
    let planned = Sounding::of(&planned).unwrap();
    assert!(!planned.is_opposed());
    assert_eq!(planned.nominal.unwrap().to_string(), "16 ohm");
    // Two in series halve the voltage on each (common practice); full level is 4 V.
    for speaker in &planned.speakers {
        assert!((speaker.voltage.as_volts() - 2.0).abs() < 1e-9, "{:?}", speaker.voltage);
    }
    // Opposition costs the bass: at 500 Hz the pair as found is far below one speaker alone, as planned not.
    let at_500 = |sounding: &Sounding| sounding.bands[2].against_one.unwrap().as_decibels();
    assert!(at_500(&found) < -12.0, "{}", at_500(&found));
    assert!(at_500(&planned) > -1.0, "{}", at_500(&planned));
}

#[test]
fn assumed_values_are_told_where_a_sheet_is_thin() {
    let (found, _) = railcar();
    assert!(!found.speakers[0].assumed.is_empty());
    let order = order(&here("orders/V-0033.toml"));
    let full = Wiring::planned(&order, &shelf()).unwrap().unwrap();
    assert_eq!(full.speakers[0].assumed, [], "the complete sheet needs no assumption");
}

#[test]
fn a_dead_short_is_an_answer_of_its_own() {
    let text = here("orders/V-0031.toml")
        .replace("from = \"A.black\"\nto = \"board.S2\"", "from = \"board.S1\"\nto = \"board.S2\"");
    let order = order(&text);
    let found = Wiring::found(&order, &shelf()).unwrap().unwrap();
    assert!(matches!(Sounding::of(&found), Err(electrics::SolveError::DeadShort { .. })));
}

#[test]
fn the_best_wiring_of_the_railcar_and_the_way_there() {
    let (found, planned) = railcar();
    let proposals = Proposals::of(&planned).unwrap();
    let best = proposals.best().unwrap();
    // Two 8-ohm parts of 1 W at 2 W into 8 ohm, least 4 ohm: in parallel each would get 2 W.
    assert_eq!(proposals.in_signs(best), "A + B");
    let rework = rework_to_plan(Some(&found), &planned).unwrap();
    assert!(rework.is_least);
    assert_eq!(rework.n_joints, 5, "{:#?}", told(&rework));
}

#[test]
fn parts_are_ranked_by_what_fits_and_sounds() {
    let amplifier = Amplified::of(shelf().decoders.values().find_map(|sheet| sheet.amplifier.as_ref()));
    let all = choices(&shelf(), None, amplifier);
    assert!(all.iter().any(|row| row.speaker == "round-28" && row.enclosure == "box-28"));
    assert!(
        all.iter().all(|row| row.enclosure != "box-18x13" || row.speaker == "oval-18x13"),
        "a box takes what its sheet names"
    );
    let order = order(&here("orders/V-0037.toml"));
    let space = order.survey.unwrap().speaker_space.unwrap();
    let fitting = choices(&shelf(), Some(&space), amplifier);
    assert!(!fitting.is_empty() && fitting.len() < all.len());
    assert!(fitting.iter().all(|row| row.enclosure != "box-28"));
}

/// Mean level of a sound in an octave band, by its spectrum summed between the band's edges.
fn band_level(sound: &Sound, band: &Band) -> f64 {
    let (n, rate) = (sound.samples().len(), f64::from(sound.rate().per_second()));
    let mut energy = 0.0;
    let hertz = |line: usize| line as f64 * rate / n as f64;
    let within =
        (1..n / 2).filter(|line| (band.lower().as_hertz()..=band.upper().as_hertz()).contains(&hertz(*line)));
    // Goertzel's recursion at each line of the band: slow and plain, with nothing of the renderer in it.
    for line in within {
        let omega = std::f64::consts::TAU * line as f64 / n as f64;
        let (mut one, mut two) = (0.0, 0.0);
        for sample in sound.samples() {
            let next = f64::from(*sample) + 2.0 * omega.cos() * one - two;
            (two, one) = (one, next);
        }
        energy += one * one + two * two - 2.0 * omega.cos() * one * two;
    }
    10.0 * energy.log10()
}

#[test]
fn a_sound_and_an_opposed_pair_differ_in_the_rendering_as_the_curves_say() {
    let (found, planned) = railcar();
    let noise = white_noise(Duration::from_seconds(0.3).unwrap(), SampleRate::Hz48000, 7)
        .scaled(Gain::from_decibels(-20.0).unwrap());
    let flat = Gain::from_decibels(0.0).unwrap();
    let heard = |wiring: &Wiring| through(&noise, wiring, Loudness::AsItIs, flat).unwrap();
    let (opposed, sound) = (heard(&found), heard(&planned));
    assert!(opposed.clipped.as_percent() < 1e-9);
    let (curve_opposed, curve_sound) = (response(&found).unwrap(), response(&planned).unwrap());
    for hertz in [500.0, 1000.0, 2000.0] {
        let band = Band::containing(hertz, acoustics::bands::Width::Octave).unwrap();
        let measured = band_level(&opposed.sound, &band) - band_level(&sound.sound, &band);
        // White noise: the mean of the squared curve over the band, per hertz.
        let expected = 20.0
            * (curve_opposed.band_pascals_per_volt(band, acoustics::bands::NoiseColour::White)
                / curve_sound.band_pascals_per_volt(band, acoustics::bands::NoiseColour::White))
            .log10();
        assert!(
            (measured - expected).abs() < 0.5,
            "{hertz} Hz: measured {measured:.2} dB, computed {expected:.2} dB"
        );
        assert!(
            hertz > 1000.0 || expected < -6.0,
            "{hertz} Hz: opposition must be plain to hear, it is {expected:.2} dB"
        );
    }
}

#[test]
fn matched_renderings_are_equally_loud() {
    let (found, planned) = railcar();
    let order = order(&here("orders/V-0031.toml"));
    let sample = sample_of(order.voice.as_ref(), SampleRate::Hz44100);
    assert!((0.9..=1.0).contains(&sample.peak()), "{}", sample.peak());
    let flat = Gain::from_decibels(0.0).unwrap();
    let loud =
        |wiring: &Wiring| a_weighted_rms(&through(&sample, wiring, Loudness::Matched, flat).unwrap().sound);
    let (before, after) = (loud(&found), loud(&planned));
    assert!((20.0 * (before / after).log10()).abs() < 0.1, "{before} {after}");
}

#[test]
fn the_safe_level_is_where_travel_or_heat_is_reached() {
    let order = order(&here("orders/V-0033.toml"));
    let wiring = Wiring::planned(&order, &shelf()).unwrap().unwrap();
    let sounding = Sounding::of(&wiring).unwrap();
    let safe = sounding.safe.unwrap();
    // At that voltage neither limit is passed; at the limiting frequency one is met to rounding, or the amplifier is at its end.
    let share = safe.voltage.as_volts() / wiring.amplifier.full_level().as_volts();
    let answer = &sounding.speakers[0];
    let travel = answer.most_travel.unwrap().0.as_metres() * share / answer.linear_travel.as_metres();
    let heat = answer.most_power.0.as_watts() * share * share / answer.rating.as_watts();
    assert!(travel < 1.0 + 1e-9 && heat < 1.0 + 1e-9, "travel {travel}, heat {heat}");
    assert!(share > 1.0 - 1e-9 || travel > 1.0 - 1e-9 || heat > 1.0 - 1e-9, "{safe:?}");
    assert!(safe.at >= Frequency::from_hertz(150.0).unwrap() || safe.below_full.as_decibels() == 0.0);
}

#[test]
fn the_meter_card_of_the_railcar_tells_the_pair_in_series_from_the_pair_as_found() {
    let (found, planned) = railcar();
    let card = meter_card_of(Some(&found), &planned);
    let across = card.points.iter().find(|point| point.from == "board.S1" && point.to == "board.S2").unwrap();
    // Two coils of 7.0 and 7.2 ohm in series.
    assert!(
        across.expect.contains(quantities::MeterReading::parse("14.2 ohm").unwrap()),
        "{:?}",
        across.expect
    );
    assert!(!across.expect.contains(quantities::MeterReading::parse("3.55 ohm").unwrap()));
    let still_parallel = across
        .wrong
        .iter()
        .find(|wrong| wrong.reading.contains(quantities::MeterReading::parse("3.6 ohm").unwrap()));
    assert!(still_parallel.is_some(), "{:#?}", across.wrong);
    assert!(card.points.iter().any(|point| point.to == "frame"), "each lead is held against the frame");
}
