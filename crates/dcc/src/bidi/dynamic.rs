//! Dynamic variables: what a running locomotive tells of itself.
//!
//! What it is: value and sub-index with the meanings of locomotive decoders. What it is not: the bits of the flag
//! variables 4 to 6, 20 and 27, which were not at hand.
//!
//! Source: RCN-217 §5.5 and Table 13.

use super::code::BidiError;

/// A value and what it is a value of.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct DynamicVariable {
    /// The value.
    pub value: u8,
    sub_index: u8,
}

/// The meaning of a dynamic variable (RCN-217 Table 13).
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum DynamicMeaning {
    /// 0 and 1: true prototype speed, km/h, 0 to 511.
    KilometresPerHour(u16),
    /// 2 with bit 7 = 0: load, 0 to 127.
    Load(u8),
    /// 2 with bit 7 = 1: speed on a scale of 128.
    SpeedOf128(u8),
    /// 3: version of the feedback protocol.
    FeedbackVersion {
        /// Before the point.
        major: u8,
        /// After the point.
        minor: u8,
    },
    /// 7: reception errors, %.
    ReceptionErrorsPercent(u8),
    /// 8 to 19: how full a container is, %.
    Container {
        /// Which, 1 to 12.
        number: u8,
        /// How full, %.
        percent: u8,
    },
    /// 21 with bit 7 = 0: a warning.
    Warning(u8),
    /// 21 with bit 7 = 1: an alarm; 128 motor short, 129 function short, 130 over-temperature.
    Alarm(u8),
    /// 22: trip counter.
    TripCounter(u8),
    /// 23: maintenance interval.
    MaintenanceInterval(u8),
    /// 26: temperature, °C, −50 to 205.
    DegreesCelsius(i16),
    /// 46: track voltage in tenths of a volt, 50 to 305.
    TrackDecivolts(u16),
    /// 47: computed stopping distance in prototype metres.
    StoppingMetres(u16),
    /// Any other sub-index.
    Other,
}

impl DynamicVariable {
    /// # Errors
    /// [`BidiError::OutOfRange`] for a sub-index above 63.
    pub const fn new(value: u8, sub_index: u8) -> Result<Self, BidiError> {
        if sub_index > 63 {
            return Err(BidiError::OutOfRange { what: "sub-index", most: 63 });
        }
        Ok(Self { value, sub_index })
    }

    /// True prototype speed: sub-index 0 up to 255 km/h, above that sub-index 1 with the speed less 256.
    ///
    /// # Errors
    /// [`BidiError::OutOfRange`] above 511 km/h.
    pub const fn kilometres_per_hour(speed: u16) -> Result<Self, BidiError> {
        match speed.to_be_bytes() {
            [high @ 0..=1, low] => Ok(Self { value: low, sub_index: high }),
            _ => Err(BidiError::OutOfRange { what: "speed", most: 511 }),
        }
    }

    /// Temperature; held at −50 °C and 205 °C.
    pub const fn degrees_celsius(temperature: i16) -> Self {
        let raised = temperature.saturating_add(50);
        let [_, low] = (if raised < 0 {
            0
        } else if raised > 255 {
            255
        } else {
            raised
        })
        .to_be_bytes();
        Self { value: low, sub_index: 26 }
    }

    /// Track voltage in tenths of a volt; held at 5.0 V and 30.5 V.
    pub const fn track_decivolts(decivolts: u16) -> Self {
        let above = decivolts.saturating_sub(50);
        let [_, low] = (if above > 255 { 255 } else { above }).to_be_bytes();
        Self { value: low, sub_index: 46 }
    }

    pub(super) const fn from_fourteen_bits(bits: u16) -> Self {
        Self { value: (bits >> 6 & 0xFF) as u8, sub_index: (bits & 0x3F) as u8 }
    }

    /// What it is a value of, 0 to 63.
    pub const fn sub_index(self) -> u8 {
        self.sub_index
    }

    /// What it says.
    pub const fn meaning(self) -> DynamicMeaning {
        let value = self.value;
        match self.sub_index {
            0 => DynamicMeaning::KilometresPerHour(value as u16),
            1 => DynamicMeaning::KilometresPerHour(256 + value as u16),
            2 if value & 0x80 == 0 => DynamicMeaning::Load(value),
            2 => DynamicMeaning::SpeedOf128(value & 0x7F),
            3 => DynamicMeaning::FeedbackVersion { major: value >> 4, minor: value & 0x0F },
            7 => DynamicMeaning::ReceptionErrorsPercent(value),
            container @ 8..=19 => DynamicMeaning::Container { number: container - 7, percent: value },
            21 if value & 0x80 == 0 => DynamicMeaning::Warning(value),
            21 => DynamicMeaning::Alarm(value),
            22 => DynamicMeaning::TripCounter(value),
            23 => DynamicMeaning::MaintenanceInterval(value),
            26 => DynamicMeaning::DegreesCelsius(value as i16 - 50),
            46 => DynamicMeaning::TrackDecivolts(value as u16 + 50),
            47 => DynamicMeaning::StoppingMetres(value as u16 * 4),
            _ => DynamicMeaning::Other,
        }
    }
}
