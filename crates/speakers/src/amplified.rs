//! What drives the speakers.

use datasheets::Amplifier;
use electrics::BridgeAmplifier;
use quantities::{Power, Resistance, Voltage};

/// The decoder's amplifier, or a usual one where no sheet tells it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Amplified {
    /// The amplifier.
    pub bridge: BridgeAmplifier,
    /// Whether a sheet tells it; otherwise everything that rests on it is assumed.
    pub is_told: bool,
}

/// A usual decoder amplifier where nothing is told: 1 W into 8 ohm (acoustics digest: typically 1 to 3 W into 8 ohm).
const USUAL_WATTS: f64 = 1.0;
const USUAL_OHMS: f64 = 8.0;

impl Amplified {
    /// The amplifier of a decoder sheet.
    #[must_use]
    pub fn of(sheet: Option<&Amplifier>) -> Self {
        match sheet {
            Some(sheet) => Self {
                bridge: BridgeAmplifier::of_power(sheet.power, sheet.load, sheet.least_load),
                is_told: true,
            },
            None => {
                let (Some(power), Some(load)) =
                    (Power::from_watts(USUAL_WATTS), Resistance::from_ohms(USUAL_OHMS))
                else {
                    unreachable!("both are in range")
                };
                Self { bridge: BridgeAmplifier::of_power(power, load, load), is_told: false }
            }
        }
    }

    /// Its largest unclipped sine, RMS.
    #[must_use]
    pub fn full_level(&self) -> Voltage {
        self.bridge.sine_voltage()
    }
}
