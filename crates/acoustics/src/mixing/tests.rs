//! Round trips and ends of the mixing law.

use proptest::prelude::*;
use quantities::Quantity;

use super::*;

proptest! {
    /// Register to gain and back is the same register, for any full value.
    #[test]
    fn registers_come_back(full in 1..1024u16, share in 0.0..1.0f64) {
        let value = u16::try_from(crate::saturate::count(share * f64::from(full))).unwrap();
        match gain_of_register(value, full) {
            Some(gain) => prop_assert_eq!(register_for_gain(gain, full), value),
            None => prop_assert_eq!(value, 0),
        }
    }

    /// The two branches of loudness are monotone and meet.
    #[test]
    fn loudness_rises(phon in 0.0..100.0f64, more in 0.01..10.0f64) {
        prop_assert!(sone_of_phon(phon + more) >= sone_of_phon(phon));
    }
}

#[test]
fn ends() {
    // ISO 532-1's branches: 40·(1 + 0.0005)^0.35 is 40.007 phon for 1 sone, hence a step of under a thousandth.
    assert!((sone_of_phon(40.0) - sone_of_phon(39.999_999)).abs() < 1e-3);
    assert_eq!(gain_of_register(0, 255), None);
    assert_eq!(register_for_gain(Gain::parse("20 dB").unwrap(), 255), 255);
    assert_eq!((gain_of_uncorrelated(0), gain_of_meeting_peaks(0)), (None, None));
    assert_eq!(equivalent_level(&[]), None);
    let plan = |voice| planned_gain(voice).as_decibels();
    assert!((10.0..=18.0).contains(&plan(Voice::Horn)) && (-20.0..=-17.0).contains(&plan(Voice::Idle)));
}
