//! The supply: track voltage, rectifier and keep-alive.
//!
//! What it is: what the decoder lives on, how long it lives without the rails, and what the keep-alive draws from them.
//! What it is not: a source that gives way. The rails hold their voltage up to [`SUPPLY_LIMIT_MILLIAMPERES`].
//!
//! Source: reference text on acoustics and electrics, sections 6.2 (two diodes of the bridge) and 6.3 (charge through a
//! resistor, discharge at constant current); RCN-217 §2.4 (interruptions up to 20 ms are realistic for a decoder).

use quantities::{Percent, Resistance};

use crate::truth::TrueKeepAlive;
use datasheets::KeepAliveSheet;

/// Track voltage of the bench, in volts: within RCN-216's 8 to 18 V for a programming track (digest).
pub const TRACK_VOLTS: f64 = 12.0;
/// Voltage inside the decoder, behind two diodes of 0.7 V each, in volts.
pub(crate) const INNER_VOLTS: f64 = TRACK_VOLTS - 1.4;
/// Most that the rails deliver, in milliamperes: ours, a common booster. A dead short draws this.
pub const SUPPLY_LIMIT_MILLIAMPERES: f32 = 5000.0;
/// How long a decoder without keep-alive bridges a lost contact, in microseconds.
pub(crate) const OWN_BUFFER_MICROSECONDS: u64 = 20_000;
/// Voltage below which a decoder forgets, in volts: ours, that of 5 V logic.
const LEAST_VOLTS: f64 = 5.0;
/// Series resistance of a keep-alive without a charge resistor, in ohms (section 6.4: "1 ohm of everything").
const BARE_OHMS: f64 = 1.0;
/// Charging currents below this are not told from none, in milliamperes.
const NEGLIGIBLE_MILLIAMPERES: f64 = 0.01;

/// What a keep-alive has in it.
#[derive(Debug, Clone)]
pub(crate) struct KeepAlive {
    farads: f64,
    ohms: f64,
    volts: f64,
    /// The share of a short pulse that it delivers in place of the rails.
    pub(crate) masks: f64,
}

impl KeepAlive {
    pub(crate) fn of(sheet: &KeepAliveSheet, truth: &TrueKeepAlive) -> Self {
        Self {
            farads: sheet.keep_alive.capacitance.as_farads(),
            ohms: sheet.keep_alive.charge_resistance.map_or(BARE_OHMS, Resistance::as_ohms).max(BARE_OHMS),
            volts: 0.0,
            masks: truth.masks.map_or(0.0, Percent::as_percent) / 100.0,
        }
    }

    /// What it draws, in milliamperes.
    pub(crate) fn charging(&self) -> f64 {
        let drawn = (INNER_VOLTS - self.volts) / self.ohms * 1000.0;
        if drawn < NEGLIGIBLE_MILLIAMPERES { 0.0 } else { drawn }
    }

    /// Charges it: `V = Vs·(1 − e^(−t/RC))` from where it is.
    pub(crate) fn charge(&mut self, seconds: f64) {
        let left = (-seconds / (self.ohms * self.farads)).exp();
        self.volts = INNER_VOLTS - (INNER_VOLTS - self.volts) * left;
    }

    /// Discharges it at a constant current.
    pub(crate) fn discharge(&mut self, seconds: f64, milliamperes: f64) {
        self.volts = (self.volts - milliamperes / 1000.0 * seconds / self.farads).max(0.0);
    }

    /// How long it feeds the decoder, in microseconds: `t = C·(V0 − V1)/I`.
    pub(crate) fn lasts(&self, milliamperes: f64) -> u64 {
        let seconds = self.farads * (self.volts - LEAST_VOLTS) / (milliamperes / 1000.0);
        whole_microseconds(seconds)
    }
}

/// Seconds as whole microseconds, rounded down; 0 for negative ones, an hour at most.
pub(crate) fn whole_microseconds(seconds: f64) -> u64 {
    std::time::Duration::try_from_secs_f64(seconds.clamp(0.0, 3600.0))
        .map_or(0, |duration| u64::try_from(duration.as_micros()).unwrap_or(u64::MAX))
}

/// Microseconds as seconds.
#[expect(clippy::cast_precision_loss, reason = "the bench never runs for 2^53 µs, which are 285 years")]
pub(crate) fn seconds(microseconds: u64) -> f64 {
    microseconds as f64 / 1e6
}

#[cfg(test)]
mod tests {
    use super::KeepAlive;

    #[test]
    fn charges_through_its_resistor_and_lasts_as_long_as_its_charge() {
        // Reference text section 6.4: 1000 µF with 47 ohm has a time constant of 47 ms.
        let mut keep_alive = KeepAlive { farads: 1000e-6, ohms: 47.0, volts: 0.0, masks: 0.0 };
        assert!((keep_alive.charging() - 225.53).abs() < 0.01, "10.6 V through 47 ohm");
        keep_alive.charge(0.047);
        assert!((keep_alive.volts - 10.6 * (1.0 - (-1.0_f64).exp())).abs() < 1e-9);
        keep_alive.charge(10.0);
        assert!(keep_alive.charging() < f64::EPSILON);
        // 1 mF from 10.6 V to 5 V at 40 mA: 140 ms.
        assert_eq!(keep_alive.lasts(40.0), 140_000);
        keep_alive.discharge(0.1, 40.0);
        assert_eq!(keep_alive.lasts(40.0), 40_000);
        keep_alive.discharge(9.0, 40.0);
        assert_eq!(keep_alive.lasts(40.0), 0);
    }
}
