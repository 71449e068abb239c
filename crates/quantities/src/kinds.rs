//! The kinds of quantity, one newtype each.
//!
//! Conversion factors: the SI brochure (9th ed., 2019) for prefixes; inch, foot, ounce, pound and mile by the
//! international yard and pound agreement of 1959 (25.4 mm, 304.8 mm, 28.349523125 g, 453.59237 g, 1609.344 m).

use crate::print;
use crate::unit::{Quantity, Unit};

const fn unit(symbol: &'static str, aliases: &'static [&'static str], factor: f64) -> Unit {
    Unit { symbol, aliases, factor, offset: 0.0, is_printed: true }
}

const fn read_only(symbol: &'static str, aliases: &'static [&'static str], factor: f64) -> Unit {
    Unit { symbol, aliases, factor, offset: 0.0, is_printed: false }
}

macro_rules! quantity {
    (
        $(#[doc = $doc:literal])*
        $type:ident, $name:literal, example $example:literal, range $least:expr, $most:expr;
        $from:ident / $as:ident;
        [$($unit:expr),+ $(,)?]
    ) => {
        $(#[doc = $doc])*
        #[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
        pub struct $type(f64);

        impl $type {
            #[doc = concat!("From the SI unit; `None` for NaN and for values out of the range of ", stringify!($type), ".")]
            #[must_use]
            pub fn $from(value: f64) -> Option<Self> {
                ($least..=$most).contains(&value).then_some(Self(value))
            }

            #[doc = concat!("The SI value of the ", $name, ".")]
            #[must_use]
            pub fn $as(self) -> f64 {
                self.0
            }
        }

        impl Quantity for $type {
            const NAME: &'static str = $name;
            const UNITS: &'static [Unit] = &[$($unit),+];
            const EXAMPLE: &'static str = $example;
            const RANGE: (f64, f64) = ($least, $most);

            fn from_si(value: f64) -> Option<Self> {
                Self::$from(value)
            }

            fn as_si(self) -> f64 {
                self.0
            }
        }

        impl std::fmt::Display for $type {
            fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
                f.write_str(&print::quantity(*self))
            }
        }
    };
}

quantity! {
    /// Electrical resistance, or the modulus of an impedance, in ohms; at least zero.
    Resistance, "electrical resistance", example "7.3 ohm", range 0.0, 1e12;
    from_ohms / as_ohms;
    [read_only("mohm", &["mΩ", "mOhm"], 1e-3), unit("ohm", &["Ω", "Ohm", "ohms", "Ohms", "R"], 1.0),
     unit("kohm", &["kΩ", "kOhm", "k"], 1e3), unit("Mohm", &["MΩ", "MOhm"], 1e6), unit("Gohm", &["GΩ", "GOhm"], 1e9)]
}

quantity! {
    /// Electrical current in amperes; at least zero (directions are told by names, not signs).
    Current, "electrical current", example "0.62 A", range 0.0, 1e4;
    from_amperes / as_amperes;
    [unit("µA", &["uA"], 1e-6), unit("mA", &[], 1e-3), unit("A", &["amp", "amps"], 1.0)]
}

quantity! {
    /// Voltage in volts.
    Voltage, "voltage", example "12 V", range -1e5, 1e5;
    from_volts / as_volts;
    [unit("mV", &[], 1e-3), unit("V", &["volt", "volts"], 1.0), read_only("kV", &[], 1e3)]
}

quantity! {
    /// Power in watts; at least zero.
    Power, "power", example "0.5 W", range 0.0, 1e6;
    from_watts / as_watts;
    [unit("µW", &["uW"], 1e-6), unit("mW", &[], 1e-3), unit("W", &["watt", "watts"], 1.0), unit("kW", &[], 1e3)]
}

quantity! {
    /// Length in metres; at least zero.
    Length, "length", example "15 mm", range 0.0, 1e5;
    from_metres / as_metres;
    [read_only("µm", &["um"], 1e-6), unit("mm", &[], 1e-3), read_only("cm", &[], 1e-2), unit("m", &[], 1.0),
     read_only("in", &["inch", "inches", "\""], 0.0254), read_only("ft", &["foot", "feet"], 0.3048), unit("km", &[], 1e3)]
}

quantity! {
    /// Area in square metres; at least zero.
    Area, "area", example "3.9 cm2", range 0.0, 1e4;
    from_square_metres / as_square_metres;
    [unit("mm²", &["mm2"], 1e-6), unit("cm²", &["cm2"], 1e-4), read_only("m²", &["m2"], 1.0), read_only("in²", &["in2"], 6.4516e-4)]
}

quantity! {
    /// Volume in cubic metres; at least zero.
    Volume, "volume", example "10 cm3", range 0.0, 1e3;
    from_cubic_metres / as_cubic_metres;
    [unit("mm³", &["mm3"], 1e-9), unit("cm³", &["cm3", "ml"], 1e-6), unit("l", &["L", "litre"], 1e-3),
     read_only("m³", &["m3"], 1.0), read_only("in³", &["in3"], 1.6387064e-5)]
}

quantity! {
    /// Mass in kilograms; at least zero.
    Mass, "mass", example "0.5 g", range 0.0, 1e6;
    from_kilograms / as_kilograms;
    [unit("mg", &[], 1e-6), unit("g", &[], 1e-3), unit("kg", &[], 1.0), read_only("oz", &[], 0.028_349_523_125),
     read_only("lb", &["lbs"], 0.453_592_37)]
}

quantity! {
    /// Capacitance in farads; at least zero.
    Capacitance, "capacitance", example "2200 µF", range 0.0, 1e4;
    from_farads / as_farads;
    [unit("pF", &[], 1e-12), unit("nF", &[], 1e-9), unit("µF", &["uF"], 1e-6), unit("mF", &[], 1e-3), unit("F", &[], 1.0)]
}

quantity! {
    /// Inductance in henries; at least zero.
    Inductance, "inductance", example "0.29 mH", range 0.0, 1e4;
    from_henries / as_henries;
    [unit("nH", &[], 1e-9), unit("µH", &["uH"], 1e-6), unit("mH", &[], 1e-3), unit("H", &[], 1.0)]
}

quantity! {
    /// Frequency in hertz; at least zero.
    Frequency, "frequency", example "440 Hz", range 0.0, 1e12;
    from_hertz / as_hertz;
    [unit("Hz", &[], 1.0), unit("kHz", &[], 1e3), unit("MHz", &[], 1e6)]
}

quantity! {
    /// A length of time in seconds; at least zero.
    Duration, "duration", example "1.5 s", range 0.0, 1e9;
    from_seconds / as_seconds;
    [unit("µs", &["us"], 1e-6), unit("ms", &[], 1e-3), unit("s", &["sec", "seconds"], 1.0), unit("min", &[], 60.0),
     unit("h", &["hours", "hour"], 3600.0)]
}

quantity! {
    /// Speed in metres per second; at least zero.
    Speed, "speed", example "80 km/h", range 0.0, 1e4;
    from_metres_per_second / as_metres_per_second;
    [unit("mm/s", &[], 1e-3), unit("m/s", &[], 1.0), read_only("km/h", &["kmh"], 1.0 / 3.6), read_only("mph", &[], 0.447_04)]
}

quantity! {
    /// Rotational speed in revolutions per minute (not SI, but nobody at a bench says radians per second); at least zero.
    RotationalSpeed, "rotational speed", example "900 rpm", range 0.0, 1e6;
    from_rpm / as_rpm;
    [unit("rpm", &["1/min", "min-1"], 1.0)]
}

quantity! {
    /// Force factor Bl of a loudspeaker in tesla-metres, which are newtons per ampere; at least zero.
    ForceFactor, "force factor", example "2.2 T·m", range 0.0, 1e3;
    from_tesla_metres / as_tesla_metres;
    [unit("T·m", &["Tm", "T*m", "N/A"], 1.0)]
}

quantity! {
    /// Mechanical compliance in metres per newton; at least zero.
    Compliance, "compliance", example "0.68 mm/N", range 0.0, 10.0;
    from_metres_per_newton / as_metres_per_newton;
    [unit("µm/N", &["um/N"], 1e-6), unit("mm/N", &[], 1e-3), read_only("m/N", &[], 1.0)]
}

quantity! {
    /// Mechanical resistance in newton-seconds per metre, which are kilograms per second; at least zero.
    MechanicalResistance, "mechanical resistance", example "0.30 kg/s", range 0.0, 1e4;
    from_newton_seconds_per_metre / as_newton_seconds_per_metre;
    [unit("kg/s", &["N·s/m", "Ns/m", "N*s/m"], 1.0)]
}

quantity! {
    /// A level difference in decibels: a gain when positive, a loss when negative.
    Gain, "gain", example "-6 dB", range -400.0, 400.0;
    from_decibels / as_decibels;
    [unit("dB", &[], 1.0)]
}

quantity! {
    /// Sound pressure level in decibels above 20 µPa (ISO 1683, from memory).
    SoundPressureLevel, "sound pressure level", example "85 dB", range -400.0, 400.0;
    from_decibels_re_20_micropascal / as_decibels_re_20_micropascal;
    [unit("dB", &["dB SPL"], 1.0)]
}

quantity! {
    /// A share in hundredths.
    Percent, "percentage", example "60 %", range -1e6, 1e6;
    from_percent / as_percent;
    [unit("%", &["percent"], 1.0)]
}

quantity! {
    /// Temperature in kelvins.
    Temperature, "temperature", example "60 °C", range 0.0, 1e4;
    from_kelvins / as_kelvins;
    [read_only("K", &[], 1.0),
     Unit { symbol: "°C", aliases: &["C", "degC"], factor: 1.0, offset: 273.15, is_printed: true },
     Unit { symbol: "°F", aliases: &["F", "degF"], factor: 5.0 / 9.0, offset: 273.15 - 32.0 * 5.0 / 9.0, is_printed: false }]
}
