//! What a person waits for: rendering a sound through a speaker, synthesising it, and a level sweep.
//!
//! Ten seconds of sound per call: a median of 200 ms is 50 times real time.

use acoustics::driver::{Driver, Outline, Preference, Sheet};
use acoustics::render::{Amplifier, OutputLevel, Phase, Rendering, render};
use acoustics::sound::{Blast, CHORDS, Cycle, Engine, Horn, Notch, SampleRate, pink_noise};
use acoustics::{Air, ClosedBox, Enclosure, Listening, System, logarithmic_grid};
use quantities::Quantity;

fn main() {
    divan::main();
}

/// Quantities of this file are written by us and right.
fn q<Q: Quantity>(text: &str) -> Q {
    match Q::parse(text) {
        Ok(quantity) => quantity,
        Err(error) => unreachable!("{text}: {error}"),
    }
}

fn driver() -> Driver {
    let sheet = Sheet {
        nominal_impedance: Some(q("8 ohm")),
        outline: Some(Outline::Rectangular(q("35 mm"), q("16 mm"))),
        ..Sheet::default()
    };
    match sheet.complete(&Air::default(), Preference::Construction) {
        Ok(completed) => completed.driver,
        Err(error) => unreachable!("{error}"),
    }
}

fn system() -> System {
    match ClosedBox::tight(q("5 cm3")) {
        Ok(tight) => System::new(driver(), Enclosure::Box(tight), Air::default()),
        Err(error) => unreachable!("{error}"),
    }
}

#[divan::bench(args = [Phase::Minimum, Phase::Linear])]
fn render_ten_seconds(bencher: divan::Bencher<'_, '_>, phase: Phase) {
    let sound = pink_noise(q("10 s"), SampleRate::Hz48000, 1);
    let grid = logarithmic_grid(q("20 Hz"), q("20 kHz"), 24);
    let (Ok(response), Ok(amplifier)) =
        (system().response(&grid, &Listening::default()), Amplifier::new(q("6 V"), q("4 V"), q("90 %")))
    else {
        unreachable!("a rising grid and positive voltages")
    };
    let how = Rendering { amplifier, phase, level: OutputLevel::Matched };
    bencher.bench(|| render(divan::black_box(&sound), &response, &how));
}

#[divan::bench]
fn level_sweep_of_10_octaves_by_24(bencher: divan::Bencher<'_, '_>) {
    let grid = logarithmic_grid(q("20 Hz"), q("20 kHz"), 24);
    let system = system();
    bencher.bench(|| divan::black_box(&system).response(&grid, &Listening::default()));
}

#[divan::bench]
fn synthesise_ten_seconds_of_engine(bencher: divan::Bencher<'_, '_>) {
    let Ok(engine) = Engine::new(16, Cycle::FourStroke, q("450 rpm"), q("1050 rpm")) else {
        unreachable!("sixteen cylinders and rising speeds")
    };
    let stages = [engine.in_notch(Notch::Idle, q("10 s"))];
    bencher.bench(|| engine.render(divan::black_box(&stages), SampleRate::Hz48000, 1));
}

#[divan::bench]
fn synthesise_ten_seconds_of_horn(bencher: divan::Bencher<'_, '_>) {
    let Ok(horn) = Horn::new(CHORDS[3].notes) else { unreachable!("five chimes") };
    let blast = [Blast { blow: q("9 s"), rest: q("1 s") }];
    bencher.bench(|| horn.render(divan::black_box(&blast), SampleRate::Hz48000, 1));
}
