//! Band levels of rendered noise against the curve, clipping, delay, level matching.

use num_complex::Complex64;
use proptest::prelude::*;
use quantities::{Quantity, Volume};

use super::*;
use crate::bands::{Band, NoiseColour, Width};
use crate::driver::tests::some_driver;
use crate::sound::{SampleRate, pink_noise, white_noise};
use crate::{Air, ClosedBox, Driver, Enclosure, Listening, Opening, System, logarithmic_grid};

fn q<Q: Quantity>(text: &str) -> Q {
    Q::parse(text).unwrap()
}

fn straight() -> Amplifier {
    Amplifier::new(q("3 V"), q("1000 V"), q("100 %")).unwrap()
}

fn response(driver: Driver, enclosure: Enclosure) -> Response {
    let grid = logarithmic_grid(q("20 Hz"), q("20 kHz"), 24);
    System::new(driver, enclosure, Air::default()).response(&grid, &Listening::default()).unwrap()
}

/// Responses with what can go wrong: a tight box with a high peak, a leak, no box.
fn responses() -> [(&'static str, Response); 3] {
    let driver = some_driver([0.35, 0.8, 0.65, 0.65, 0.4, 0.7, 0.8, 0.5]);
    let closed = |volume: &str| ClosedBox::tight(q::<Volume>(volume)).unwrap();
    let hole = Opening::Round { diameter: q("1 mm"), length: q("1.5 mm") };
    [
        ("tight", response(driver, Enclosure::Box(closed("2 cm3")))),
        ("leaking", response(driver, Enclosure::Box(closed("10 cm3").opened(hole)))),
        ("unboxed", response(driver, Enclosure::Unboxed { path: q("20 mm") })),
    ]
}

/// Power spectrum fine enough for a third of an octave at 100 Hz on a steep slope: windows of 131 072 samples, 0.4 Hz.
fn fine_spectrum(sound: &Sound) -> Vec<(f64, f64)> {
    const POINTS: usize = 131_072;
    let forward = realfft::RealFftPlanner::<f32>::new().plan_fft_forward(POINTS);
    let mut powers = vec![0.0; POINTS / 2 + 1];
    let mut spectrum = forward.make_output_vec();
    for start in (0..sound.samples().len().saturating_sub(POINTS)).step_by(POINTS / 2) {
        let windowed = sound.samples()[start..start + POINTS].iter().enumerate().map(|(point, value)| {
            let angle = std::f64::consts::TAU * point as f64 / POINTS as f64;
            sample(f64::from(*value) * (0.5 - 0.5 * angle.cos()))
        });
        forward.process(&mut windowed.collect::<Vec<f32>>(), &mut spectrum).unwrap();
        powers.iter_mut().zip(&spectrum).for_each(|(sum, value)| *sum += f64::from(value.norm_sqr()));
    }
    let spacing = f64::from(sound.rate().per_second()) / POINTS as f64;
    powers.into_iter().enumerate().map(|(point, power)| (point as f64 * spacing, power)).collect()
}

/// Power in a band of a sound.
fn band_power(spectrum: &[(f64, f64)], band: Band) -> f64 {
    let inside = band.lower().as_hertz()..band.upper().as_hertz();
    spectrum.iter().filter(|(hertz, _)| inside.contains(hertz)).map(|(_, power)| power).sum()
}

/// The promise of [`render`]: third-octave and octave levels of broadband noise follow the curve within 0.5 dB from
/// 100 Hz up, at both rates and with both phases (linear at one rate only, to save time). The noise's own unevenness drops out, since each band of the output
/// is held against the same band of the input.
#[test]
fn rendered_bands_follow_the_curve() {
    let mut compared = 0;
    for (rate, phases) in [
        (SampleRate::Hz44100, &[Phase::Minimum][..]),
        (SampleRate::Hz48000, &[Phase::Minimum, Phase::Linear][..]),
    ] {
        let noise = white_noise(q("12 s"), rate, 5);
        let before = fine_spectrum(&noise);
        for (name, response) in responses() {
            for &phase in phases {
                let how = Rendering { amplifier: straight(), phase, level: OutputLevel::PeakPascals(1.0) };
                let rendered = render(&noise, &response, &how).unwrap();
                let after = fine_spectrum(&rendered.sound);
                let thirds =
                    (100..=8000).filter_map(|hertz| Band::containing(f64::from(hertz), Width::ThirdOctave));
                let mut bands: Vec<Band> = thirds.collect();
                bands.dedup();
                bands.extend(Band::octaves_125_to_8000());
                for band in bands {
                    let gain = 10.0 * (band_power(&after, band) / band_power(&before, band)).log10();
                    let curve =
                        20.0 * (3.0 * response.band_pascals_per_volt(band, NoiseColour::White)).log10();
                    assert!(
                        (gain - curve).abs() < 0.5,
                        "{name}, {phase:?}, {}: {gain} for {curve}",
                        band.nominal()
                    );
                    compared += 1;
                }
            }
        }
    }
    assert!(compared > 200);
}

/// A flat response of 1 Pa/V passes the sound as it was: no delay, no colour.
#[test]
fn flat_response_changes_nothing() {
    let grid = logarithmic_grid(q("10 Hz"), q("24 kHz"), 3);
    let flat = Response::sampled(&grid, |_| Complex64::ONE).unwrap();
    let noise = pink_noise(q("1 s"), SampleRate::Hz48000, 3);
    let amplifier = Amplifier::new(q("1 V"), q("100 V"), q("100 %")).unwrap();
    for phase in [Phase::Minimum, Phase::Linear] {
        let how = Rendering { amplifier, phase, level: OutputLevel::PeakPascals(1.0) };
        let rendered = render(&noise, &flat, &how).unwrap();
        assert_eq!(rendered.sound.samples().len(), noise.samples().len());
        let worst = rendered
            .sound
            .samples()
            .iter()
            .zip(noise.samples())
            .map(|(a, b)| f64::from((a - b).abs()))
            .fold(0.0, f64::max);
        // Single-precision transforms of 32 768 points leave a few millionths.
        assert!(worst < 1e-5, "{phase:?}: {worst}");
    }
}

/// Overlap-add against convolution by its definition.
#[test]
fn overlap_add_is_convolution() {
    let (_, response) = &responses()[0];
    let noise = white_noise(q("0.7 s"), SampleRate::Hz48000, 8);
    let filter = filter::design(response, SampleRate::Hz48000, Phase::Minimum);
    let fast = convolved(noise.samples(), &filter);
    // Places beside the borders of the blocks, which lie 24 577 samples apart.
    for place in [0usize, 1, 5000, 24_576, 24_577, 24_578, 33_000] {
        let slow: f64 = filter
            .taps
            .iter()
            .enumerate()
            .filter(|(tap, _)| *tap <= place)
            .map(|(tap, weight)| f64::from(*weight) * f64::from(noise.samples()[place - tap]))
            .sum();
        assert!(
            (f64::from(fast[place]) - slow).abs() < 1e-4 * 0.2,
            "sample {place}: {} for {slow}",
            fast[place]
        );
    }
}

/// A minimum-phase rendering does not sound before its cause; a linear-phase one is symmetric about it.
#[test]
fn click_through_both_phases() {
    let (_, response) = &responses()[0];
    let mut click = vec![0.0f32; 20_000];
    click[10_000] = 1.0;
    let click = Sound::new(SampleRate::Hz48000, click);
    let through = |phase| {
        let how = Rendering { amplifier: straight(), phase, level: OutputLevel::PeakPascals(1.0) };
        render(&click, response, &how).unwrap().sound
    };
    let minimum = through(Phase::Minimum);
    let peak = minimum.peak();
    assert!(minimum.samples()[..10_000].iter().all(|value| f64::from(value.abs()) < 1e-4 * peak));
    // Sealed boxes push outward first: a positive voltage begins with a positive pressure (digest, section 3.3).
    let first = minimum.samples()[10_000..].iter().find(|value| f64::from(value.abs()) > 0.1 * peak);
    assert!(first.is_some_and(|value| *value > 0.0));
    let linear = through(Phase::Linear);
    for step in 1..2000 {
        let (before, after) = (linear.samples()[10_000 - step], linear.samples()[10_000 + step]);
        assert!(f64::from((before - after).abs()) < 1e-4 * linear.peak(), "step {step}");
    }
}

/// A-weighted levels before and after are the same when matched; and the gain that did it is told.
#[test]
fn matched_level() {
    let noise = pink_noise(q("3 s"), SampleRate::Hz44100, 6);
    for (name, response) in responses() {
        let how = Rendering { amplifier: straight(), phase: Phase::Minimum, level: OutputLevel::Matched };
        let rendered = render(&noise, &response, &how).unwrap();
        let ratio = a_weighted_rms(&rendered.sound) / a_weighted_rms(&noise);
        assert!((ratio - 1.0).abs() < 1e-3, "{name}: {ratio}");
        let raw = Rendering { level: OutputLevel::PeakPascals(1.0), ..how };
        let unmatched = render(&noise, &response, &raw).unwrap();
        let gained = rendered.sound.rms() / unmatched.sound.rms();
        assert!((gained / rendered.gain.as_amplitude_ratio() - 1.0).abs() < 1e-3);
    }
    let silence = Sound::new(SampleRate::Hz44100, vec![0.0; 100]);
    let how = Rendering { amplifier: straight(), phase: Phase::Minimum, level: OutputLevel::Matched };
    assert!(render(&silence, &responses()[0].1, &how).unwrap().sound.peak() < 1e-12);
}

/// A sine at 1 kHz keeps its level under A weighting, and one at 100 Hz loses 19.1 dB (IEC 61672-1 Table 3).
#[test]
fn a_weighted_rms_of_sines() {
    let sine = |hertz: f64| {
        let samples = (0..96_000).map(|n| (std::f64::consts::TAU * hertz * f64::from(n) / 48_000.0).sin());
        Sound::new(SampleRate::Hz48000, samples.map(sample).collect())
    };
    let decibels = |hertz: f64| 20.0 * (a_weighted_rms(&sine(hertz)) * std::f64::consts::SQRT_2).log10();
    assert!(decibels(1000.0).abs() < 0.05);
    assert!((decibels(100.0) + 19.1).abs() < 0.1);
}

proptest! {
    /// Clipping never turns the curve down, never passes the rail, is odd, and leaves what lies below the knee alone.
    #[test]
    fn clipping_curve(full in 0.1..20.0f64, rail in 0.1..10.0f64, knee in 0.0..100.0f64, low in -1.5..1.5f32, step in 0.0..1.0f32) {
        let amplifier = Amplifier::new(saturated(full), saturated(rail), saturated(knee)).unwrap();
        let of = |sample: f32| amplifier.output(sample).as_volts();
        prop_assert!(of(low + step) >= of(low));
        prop_assert!(of(low).abs() <= rail * (1.0 + 1e-12));
        prop_assert!((of(low) + of(-low)).abs() < 1e-12);
        let wanted = f64::from(low) * full;
        if wanted.abs() <= knee / 100.0 * rail {
            prop_assert!((of(low) - wanted).abs() < 1e-12);
        }
    }
}

/// Overdriven, a tone gets its odd harmonics and the share of clipped samples is told; within the rail it gets none.
#[test]
fn clipping_is_heard_and_told() {
    let samples = (0..48_000).map(|n| (std::f64::consts::TAU * 500.0 * f64::from(n) / 48_000.0).sin());
    let tone = Sound::new(SampleRate::Hz48000, samples.map(sample).collect());
    let grid = logarithmic_grid(q("10 Hz"), q("24 kHz"), 3);
    let flat = Response::sampled(&grid, |_| Complex64::ONE).unwrap();
    let through = |full: &str| {
        let amplifier = Amplifier::new(q(full), q("4 V"), q("90 %")).unwrap();
        let how = Rendering { amplifier, phase: Phase::Minimum, level: OutputLevel::PeakPascals(4.0) };
        render(&tone, &flat, &how).unwrap()
    };
    let harmonic = |rendered: &Rendered, number: f64| {
        let spectrum = power_spectrum(&rendered.sound);
        let near = (500.0 * number - 20.0)..(500.0 * number + 20.0);
        spectrum.iter().filter(|(hertz, _)| near.contains(hertz)).map(|(_, power)| power).sum::<f64>()
    };
    let (clean, hard) = (through("3.5 V"), through("12 V"));
    assert_eq!(clean.clipped.as_percent().to_bits(), 0);
    assert!(harmonic(&clean, 3.0) < 1e-6 * harmonic(&clean, 1.0));
    assert!(
        (0.005..0.112).contains(&(harmonic(&hard, 3.0) / harmonic(&hard, 1.0))),
        "toward 1/9 of a square wave"
    );
    // Beyond 0.9·4/12 of the peak: 1 − 2/π·arcsin(0.3) of the time.
    let expected = 100.0 * (1.0 - 2.0 / std::f64::consts::PI * 0.3f64.asin());
    // A period has 96 samples, so the share comes in steps of a percent.
    assert!((hard.clipped.as_percent() - expected).abs() < 1.1, "{}", hard.clipped);
}

#[test]
fn settings_are_checked() {
    let error = |full: &str, rail: &str, knee: &str| {
        Amplifier::new(q(full), q(rail), q(knee)).unwrap_err().to_string()
    };
    assert_eq!(error("0 V", "4 V", "90 %"), "the full-scale voltage must be above 0 V, not 0 V");
    assert_eq!(error("3 V", "-4 V", "90 %"), "the rail must be above 0 V, not -4 V");
    assert_eq!(
        error("3 V", "4 V", "120 %"),
        "the knee of clipping must lie between 0 and 100 % of the rail, not at 120 %"
    );
    let how = Rendering { amplifier: straight(), phase: Phase::Linear, level: OutputLevel::PeakPascals(0.0) };
    let silence = Sound::new(SampleRate::Hz44100, Vec::new());
    let flat = &responses()[0].1;
    assert_eq!(
        render(&silence, flat, &how).unwrap_err().to_string(),
        "full scale must stand for a sound pressure above 0 Pa, not 0 Pa"
    );
    let how = Rendering { level: OutputLevel::PeakPascals(1.0), ..how };
    assert!(render(&silence, flat, &how).unwrap().sound.samples().is_empty());
}
