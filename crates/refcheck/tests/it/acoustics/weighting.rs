//! IEC 61672-1 Table 3 and IEC 61260-1 through the digest, section 3.5; sums of section 5 (V41 to V45, V47, V52 to
//! V54).

use acoustics::bands::{Band, Width, a_weighted_sum, a_weighting, c_weighting, sum_of_levels};
use acoustics::mixing::{
    equivalent_level, gain_of_meeting_peaks, gain_of_register, gain_of_scale_distance, gain_of_uncorrelated,
    level_in_opposition, level_in_phase, register_for_gain, sone_of_phon,
};
use quantities::{Duration, Gain, SoundPressureLevel};

use super::cases::{agrees, file, number, q, rows};

/// V41: every cell after rounding, at the exact base-ten frequency of the nominal one.
#[test]
fn a_and_c_weighting() {
    let file = file("digest/weighting.json");
    let rows = rows(&file, "rows");
    assert_eq!(rows.len(), 34);
    for row in rows {
        let nominal = number(&row["nominal"]);
        let exact = Band::containing(nominal, Width::ThirdOctave).unwrap();
        agrees(
            &format!("A({nominal})"),
            a_weighting(exact.centre()).as_decibels(),
            row["a"].as_str().unwrap(),
        );
        agrees(
            &format!("C({nominal})"),
            c_weighting(exact.centre()).as_decibels(),
            row["c"].as_str().unwrap(),
        );
        let printed = exact.nominal().as_hertz();
        assert!((printed - nominal).abs() < 1e-6 * nominal, "nominal name {printed} of {nominal}");
    }
}

/// V43 and section 3.5: exact bands.
#[test]
fn octave_bands() {
    let octave = |hertz: f64| Band::containing(hertz, Width::Octave).unwrap();
    agrees("V43", octave(1000.0).lower().as_hertz(), "707.946");
    agrees("V43", octave(1000.0).upper().as_hertz(), "1412.538");
    agrees("500", octave(500.0).lower().as_hertz(), "354.813");
    let third = Band::containing(1000.0, Width::ThirdOctave).unwrap();
    agrees("third", third.lower().as_hertz(), "891.251");
    agrees("third", third.upper().as_hertz(), "1122.018");
    let centres = Band::octaves_125_to_8000();
    let exact = ["125.893", "251.189", "501.187", "1000.000", "1995.262", "3981.072", "7943.282"];
    assert_eq!(centres.len(), exact.len());
    for (band, text) in centres.iter().zip(exact) {
        agrees(text, band.centre().as_hertz(), text);
    }
}

fn decibels(level: f64) -> SoundPressureLevel {
    SoundPressureLevel::from_decibels_re_20_micropascal(level).unwrap()
}

/// V44 and V45; 80 + 80 and 80 + 74 dB of section 3.5.
#[test]
fn sums_of_levels() {
    let of = |level: SoundPressureLevel| level.as_decibels_re_20_micropascal();
    let ten = q::<Duration>("10 s");
    agrees("V44", of(equivalent_level(&[(decibels(60.0), ten), (decibels(70.0), ten)]).unwrap()), "67.404");
    let levels = [62.0, 68.0, 74.0, 78.0, 76.0, 70.0, 60.0].map(decibels);
    agrees("V45", of(sum_of_levels(&levels)), "81.67");
    let bands: Vec<_> = Band::octaves_125_to_8000().into_iter().zip(levels).collect();
    // The digest adds the weights of V41, which are rounded to 0.1 dB; so the sums may differ by a part of 0.05 dB.
    assert!((of(a_weighted_sum(&bands)) - 81.52).abs() < 0.02, "V45 A");
    agrees("80 + 80", of(sum_of_levels(&[decibels(80.0), decibels(80.0)])), "83.01");
    agrees("80 + 74", of(sum_of_levels(&[decibels(80.0), decibels(74.0)])), "80.97");
    let (one, other) = (decibels(70.0), decibels(69.0));
    agrees("V47", of(level_in_phase(one, other)), "75.53");
    agrees("V47", of(sum_of_levels(&[one, other])), "72.54");
    agrees("V47", of(level_in_opposition(one, other)), "50.73");
}

/// Section 5: registers (V52), loudness (V53), distance (V54).
#[test]
fn mixing_law() {
    for (register, text) in [
        (255, "0"),
        (230, "-0.90"),
        (192, "-2.46"),
        (179, "-3.07"),
        (160, "-4.05"),
        (128, "-5.99"),
        (96, "-8.49"),
        (90, "-9.05"),
        (64, "-12.01"),
        (45, "-15.07"),
        (32, "-18.03"),
        (16, "-24.05"),
        (8, "-30.07"),
        (1, "-48.13"),
    ] {
        agrees("register", gain_of_register(register, 255).unwrap().as_decibels(), text);
    }
    for (gain, register) in [("-3 dB", 181), ("-6 dB", 128), ("-10 dB", 81), ("-12 dB", 64), ("-20 dB", 26)] {
        assert_eq!(register_for_gain(q::<Gain>(gain), 255), register, "{gain}");
    }
    agrees("four sounds", gain_of_uncorrelated(4).unwrap().as_decibels(), "6.02");
    agrees("four peaks", gain_of_meeting_peaks(4).unwrap().as_decibels(), "12.04");
    for (phon, sone) in [(40.0, "1"), (50.0, "2"), (60.0, "4"), (70.0, "8"), (74.0, "10.556"), (80.0, "16")] {
        agrees("sone", sone_of_phon(phon), sone);
    }
    let metre = q("1 m");
    agrees("V54", gain_of_scale_distance(metre, 87.1).as_decibels(), "-9.12");
    agrees("N", gain_of_scale_distance(metre, 160.0).as_decibels(), "-14.4");
    agrees("O", gain_of_scale_distance(metre, 48.0).as_decibels(), "-3.9");
}
