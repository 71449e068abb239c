//! CVs whose bits are claims of their own: CV12, CV27 and CV28.
//!
//! What it is: each by each rule set that defines it; CV12 and CV28 mean different things to NMRA and RCN, so choose.
//! What it is not: CV29 ([`super::Config29`]).
//!
//! Source: NMRA S-9.2.2 CV27, CV28 and App. B; RCN-225 CV12, CV27, CV28; RCN-217 §4.2.1.

/// CV27: what stops the locomotive by itself. Both rule sets agree, save on the wording of bit 2.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct AutomaticStop {
    /// Bit 0: asymmetric signal, more positive on the right rail.
    pub on_asymmetry_right: bool,
    /// Bit 1: asymmetric signal, more positive on the left rail.
    pub on_asymmetry_left: bool,
    /// Bit 2: signal-controlled cutout (NMRA); stop code in gaps of the synchronisation bits (RCN).
    pub on_signal_controlled: bool,
    /// Bit 4: direct current of reverse polarity.
    pub on_reverse_current: bool,
    /// Bit 5: direct current of forward polarity.
    pub on_forward_current: bool,
}

impl AutomaticStop {
    /// From the value; the reserved bits 3, 6 and 7 are dropped.
    pub const fn from_value(value: u8) -> Self {
        Self {
            on_asymmetry_right: value & 1 != 0,
            on_asymmetry_left: value & 2 != 0,
            on_signal_controlled: value & 4 != 0,
            on_reverse_current: value & 16 != 0,
            on_forward_current: value & 32 != 0,
        }
    }

    /// The value.
    pub const fn value(self) -> u8 {
        self.on_asymmetry_right as u8
            | (self.on_asymmetry_left as u8) << 1
            | (self.on_signal_controlled as u8) << 2
            | (self.on_reverse_current as u8) << 4
            | (self.on_forward_current as u8) << 5
    }
}

/// CV28 by S-9.2.2, which marks it "under re-evaluation". Effective with CV29 bit 3.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct FeedbackConfigurationNmra {
    /// Bit 0: the decoder may speak unasked.
    pub may_speak_unasked: bool,
    /// Bit 1: it begins a broadcast on an asymmetric signal.
    pub has_broadcast_on_asymmetry: bool,
    /// Bit 2: it begins a broadcast on signal-controlled influence.
    pub has_broadcast_on_signal: bool,
}

impl FeedbackConfigurationNmra {
    /// From the value; the reserved bits are dropped.
    pub const fn from_value(value: u8) -> Self {
        Self {
            may_speak_unasked: value & 1 != 0,
            has_broadcast_on_asymmetry: value & 2 != 0,
            has_broadcast_on_signal: value & 4 != 0,
        }
    }

    /// The value.
    pub const fn value(self) -> u8 {
        self.may_speak_unasked as u8
            | (self.has_broadcast_on_asymmetry as u8) << 1
            | (self.has_broadcast_on_signal as u8) << 2
    }
}

/// CV28 by RCN-225 and RCN-217 §4.2.1. Effective with CV29 bit 3.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct FeedbackConfigurationRcn {
    /// Bit 0: the address is told in channel 1.
    pub has_channel_1: bool,
    /// Bit 1: data and acknowledgements in channel 2.
    pub has_channel_2: bool,
    /// Bit 2: channel 1 goes silent by itself.
    pub has_dynamic_channel_1: bool,
    /// Bit 3: ID 3 in channel 1.
    pub has_info: bool,
    /// Bit 4: programming address 0.
    pub has_programming_address: bool,
    /// Bit 6: feedback with the higher current.
    pub has_high_current: bool,
    /// Bit 7: automatic logon.
    pub has_logon: bool,
}

impl FeedbackConfigurationRcn {
    /// As a locomotive decoder is delivered: both channels, nothing else (RCN-217 §4.2.1).
    pub const DELIVERED: Self = Self::from_value(3);

    /// From the value; the reserved bit 5 is dropped.
    pub const fn from_value(value: u8) -> Self {
        Self {
            has_channel_1: value & 1 != 0,
            has_channel_2: value & 2 != 0,
            has_dynamic_channel_1: value & 4 != 0,
            has_info: value & 8 != 0,
            has_programming_address: value & 16 != 0,
            has_high_current: value & 64 != 0,
            has_logon: value & 128 != 0,
        }
    }

    /// The value.
    pub const fn value(self) -> u8 {
        self.has_channel_1 as u8
            | (self.has_channel_2 as u8) << 1
            | (self.has_dynamic_channel_1 as u8) << 2
            | (self.has_info as u8) << 3
            | (self.has_programming_address as u8) << 4
            | (self.has_high_current as u8) << 6
            | (self.has_logon as u8) << 7
    }
}

/// CV12 by S-9.2.2 App. B: power sources the decoder may change to. Bits 2 to 5 are other makers' protocols.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct PowerSourceNmra {
    /// Bit 0: analog conversion.
    pub has_analog: bool,
    /// Bit 1: radio.
    pub has_radio: bool,
    /// Bits 2 to 5: proprietary protocols, in place.
    pub proprietary: u8,
}

impl PowerSourceNmra {
    /// From the value; bits 6 and 7 are dropped.
    pub const fn from_value(value: u8) -> Self {
        Self { has_analog: value & 1 != 0, has_radio: value & 2 != 0, proprietary: value & 0b0011_1100 }
    }

    /// The value.
    pub const fn value(self) -> u8 {
        self.has_analog as u8 | (self.has_radio as u8) << 1 | self.proprietary & 0b0011_1100
    }
}

/// CV12 by RCN-225: modes of operation that are permitted. It never blocks programming. Analog is entered only if
/// CV29 bit 2 is set as well and no supported digital mode is seen.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct PowerSourceRcn {
    /// Bit 0: direct-current analog.
    pub has_direct_current: bool,
    /// Bit 1: radio.
    pub has_radio: bool,
    /// Bit 2: this protocol. By S-9.2.2 the same bit is a proprietary system.
    pub has_dcc: bool,
    /// Bit 4: alternating-current analog.
    pub has_alternating_current: bool,
    /// Bits 3, 5 and 6: proprietary digital protocols, in place.
    pub proprietary: u8,
}

impl PowerSourceRcn {
    /// From the value; the reserved bit 7 is dropped.
    pub const fn from_value(value: u8) -> Self {
        Self {
            has_direct_current: value & 1 != 0,
            has_radio: value & 2 != 0,
            has_dcc: value & 4 != 0,
            has_alternating_current: value & 16 != 0,
            proprietary: value & 0b0110_1000,
        }
    }

    /// The value.
    pub const fn value(self) -> u8 {
        self.has_direct_current as u8
            | (self.has_radio as u8) << 1
            | (self.has_dcc as u8) << 2
            | (self.has_alternating_current as u8) << 4
            | self.proprietary & 0b0110_1000
    }
}
