//! The detector on made-up currents: every kind of answer, and how much noise it stands.

use proptest::prelude::*;

use super::{Answer, AnswerKind, Confidence, Detector};
use crate::rails::SAMPLE_MICROSECONDS;

/// A current of one question: three resets of rest, two packets before the window, then the window.
struct Current {
    baseline: f32,
    /// Standard deviation, mA.
    noise: f32,
    /// mA in a millisecond.
    drift: f32,
    /// Start after the beginning of the window, length, µs, and height, mA.
    pulse: Option<(u32, u32, f32)>,
    seed: u64,
}

const STEADY: Current = Current { baseline: 45.0, noise: 0.0, drift: 0.0, pulse: None, seed: 7 };

const REST: u32 = 23_500;
const BEFORE: u32 = 17_000;
const WINDOW: u32 = 34_000;

fn answer(current: &Current) -> Answer {
    let mut seed = current.seed;
    // A sum of twelve even distributions from 0 to 1, less 6, has a standard deviation of 1 (common statistics).
    let mut normal = || {
        (0..12)
            .map(|_| {
                seed = seed.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
                f32::from(u16::try_from(seed >> 48).unwrap()) / 65_536.0
            })
            .sum::<f32>()
            - 6.0
    };
    let mut stretch = |from: u32, length: u32| -> Vec<f32> {
        (0..length / SAMPLE_MICROSECONDS)
            .map(|index| {
                let at = from + index * SAMPLE_MICROSECONDS;
                let is_up = current.pulse.is_some_and(|(start, length, _)| {
                    let start = REST + BEFORE + start;
                    (start..start + length).contains(&at)
                });
                let height = current.pulse.filter(|_| is_up).map_or(0.0, |(_, _, height)| height);
                current.baseline + current.drift * at as f32 / 1000.0 + height + current.noise * normal()
            })
            .collect()
    };
    let mut detector = Detector::default();
    detector.begin();
    detector.rest(&stretch(0, REST));
    detector.pass(&stretch(REST, BEFORE));
    detector.watch(&stretch(REST + BEFORE, WINDOW));
    detector.answer()
}

#[track_caller]
fn check(current: &Current, expected: AnswerKind) -> Answer {
    let answer = answer(current);
    assert_eq!(answer.kind, expected, "{}", answer.evidence);
    answer
}

#[test]
fn a_pulse_by_the_standard_is_measured() {
    let answer = check(&Current { pulse: Some((300, 6_000, 80.0)), ..STEADY }, AnswerKind::Acknowledged);
    assert_eq!(answer.confidence, Confidence::Firm);
    // The baseline follows the first three averaged samples of the edge, by 0.1 mA each, before it holds.
    assert_eq!(answer.evidence.to_string(), "idle 45.0 mA, noise 0.0 mA, step 79.7 mA for 5.9 ms");
}

#[test]
fn the_length_decides() {
    for (length, expected) in [
        (3_000, AnswerKind::None),
        (4_300, AnswerKind::None),
        (5_000, AnswerKind::Acknowledged),
        (7_000, AnswerKind::Acknowledged),
        (7_700, AnswerKind::Unstable),
        (20_000, AnswerKind::Unstable),
        // Still up when the window ends: a lamp that came on, not an answer.
        (40_000, AnswerKind::Unstable),
    ] {
        for height in [60.0, 80.0, 240.0] {
            check(&Current { pulse: Some((5_000, length, height)), ..STEADY }, expected);
        }
    }
}

#[test]
fn the_height_decides() {
    for (height, expected) in
        [(20.0, AnswerKind::None), (40.0, AnswerKind::None), (60.0, AnswerKind::Acknowledged)]
    {
        let answer = check(&Current { pulse: Some((5_000, 6_000, height)), ..STEADY }, expected);
        // The baseline follows an edge by up to 0.8 mA before it holds, and low rises from below by 0.1 mA a sample.
        let told = answer.evidence.step().as_amperes() * 1e3;
        assert!((told - f64::from(height)).abs() < 1.0, "{}", answer.evidence);
    }
}

#[test]
fn nothing_on_the_rails_and_nothing_steady() {
    check(&STEADY, AnswerKind::None);
    check(&Current { baseline: 0.3, ..STEADY }, AnswerKind::NoCurrent);
    check(&Current { noise: 30.0, ..STEADY }, AnswerKind::Unstable);
    check(&Current { drift: -2.0, baseline: 240.0, ..STEADY }, AnswerKind::Unstable);
}

#[test]
fn a_slow_drift_is_followed() {
    for drift in [-1.0, -0.5, 0.5, 1.0] {
        let drifting = Current { drift, baseline: 120.0, ..STEADY };
        check(&drifting, AnswerKind::None);
        check(&Current { pulse: Some((9_000, 6_000, 70.0)), ..drifting }, AnswerKind::Acknowledged);
    }
}

proptest! {
    /// Up to 8 mA of noise, a third of what hides a step altogether, every pulse by the standard is seen, and none is
    /// seen where none was; 8 mA because beyond that the swing comes near the 30 mA that RCN-216 allows.
    #[test]
    fn noise_up_to_eight_milliamperes_changes_no_answer(
        seed in any::<u64>(),
        baseline in 5.0_f32..100.0,
        noise in 0.0_f32..8.0,
        start in 0_u32..25_000,
        length in 5_000_u32..7_000,
        height in 60.0_f32..200.0,
    ) {
        let quiet = Current { baseline, noise, seed, ..STEADY };
        prop_assert_eq!(answer(&quiet).kind, AnswerKind::None);
        let pulsed = answer(&Current { pulse: Some((start, length, height)), ..quiet });
        prop_assert_eq!(pulsed.kind, AnswerKind::Acknowledged, "{}", pulsed.evidence);
        let told = pulsed.evidence.pulse().as_seconds() * 1e6;
        prop_assert!((told - f64::from(length)).abs() <= 600.0, "{} for {}", told, length);
    }

    /// However noisy it is, nobody is told yes who was not answered.
    #[test]
    fn noise_alone_is_never_a_yes(seed in any::<u64>(), noise in 0.0_f32..120.0) {
        let kind = answer(&Current { noise, seed, baseline: 60.0, ..STEADY }).kind;
        prop_assert!(matches!(kind, AnswerKind::None | AnswerKind::Unstable | AnswerKind::NoCurrent), "{:?}", kind);
    }
}
