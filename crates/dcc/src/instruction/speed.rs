//! The octets that carry speeds.
//!
//! What it is: the speed octet of baseline packets with its two readings, the combined speed and function packet, and
//! the ambiguous `3E`. What it is not: the motor.
//!
//! Source: NMRA S-9.2 §B Fig. 2; S-9.2.1 §C 001, 010, 011; NEM 671 Table 1; RCN-212 (digest).

use super::InstructionError;
use crate::function::{Function, FunctionStates};
use crate::speed::{Direction, Speed, Speed14, Speed28, Speed126, Step};

/// The speed octet `01DC SSSS`.
///
/// Whether C is the lowest speed bit of 28 steps or the headlight of 14 steps is decided by CV29 bit 1 of the decoder
/// and cannot be seen on the wire; so both readings are offered.
///
/// ```
/// use dcc::{BaselineSpeed, Direction, Speed28};
/// let speed = BaselineSpeed::in_28_steps(Direction::Forward, Speed28::step(6)?);
/// assert_eq!(speed.octet(), 0x74);
/// assert_eq!(speed.as_28_steps(), Speed28::step(6)?);
/// # Ok::<(), dcc::SpeedError>(())
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct BaselineSpeed(u8);

const DIRECTION_BIT: u8 = 0b0010_0000;
const C_BIT: u8 = 0b0001_0000;
const BASELINE: u8 = 0b0100_0000;

impl BaselineSpeed {
    /// A speed in 28 steps: for a step, SSSSC is step + 3 (NEM 671 note 4). Stops are sent with C = 0.
    pub const fn in_28_steps(direction: Direction, speed: Speed28) -> Self {
        let code = match speed {
            Speed::Stop => 0,
            Speed::EmergencyStop => 2,
            Speed::Step(step) => step.get() + 3,
        };
        Self(BASELINE | direction_bit(direction) | (code & 1) << 4 | code >> 1)
    }

    /// A speed in 14 steps with the headlight F0 in C (S-9.2.1 §C 010, 011): SSSS is step + 1.
    pub const fn in_14_steps(direction: Direction, speed: Speed14, is_headlight_on: bool) -> Self {
        let code = match speed {
            Speed::Stop => 0,
            Speed::EmergencyStop => 1,
            Speed::Step(step) => step.get() + 1,
        };
        Self(BASELINE | direction_bit(direction) | if is_headlight_on { C_BIT } else { 0 } | code)
    }

    /// A stop in 28 steps; without a direction C is set, and the decoder may ignore the direction bit for
    /// direction-dependent functions (S-9.2 §B).
    pub const fn stop(direction: Option<Direction>, is_emergency: bool) -> Self {
        match direction {
            Some(direction) => Self(BASELINE | direction_bit(direction) | is_emergency as u8),
            None => Self(BASELINE | C_BIT | is_emergency as u8),
        }
    }

    /// From an octet, or `None` when its two highest bits are not 01.
    pub const fn from_octet(octet: u8) -> Option<Self> {
        if octet >> 6 == 0b01 { Some(Self(octet)) } else { None }
    }

    /// The octet.
    pub const fn octet(self) -> u8 {
        self.0
    }

    /// The direction bit. See [`Self::may_ignore_direction`].
    pub const fn direction(self) -> Direction {
        Direction::from_bit(self.0 & DIRECTION_BIT != 0)
    }

    /// Whether this is, in 28 steps, a stop that lets the decoder ignore the direction bit.
    pub const fn may_ignore_direction(self) -> bool {
        self.0 & C_BIT != 0 && self.0 & 0x0F <= 1
    }

    /// The reading of a decoder with CV29 bit 1 = 1.
    pub const fn as_28_steps(self) -> Speed28 {
        match self.0 & 0x0F {
            0 => Speed::Stop,
            1 => Speed::EmergencyStop,
            code => running(code << 1 | (self.0 & C_BIT) >> 4, 3),
        }
    }

    /// The reading of a decoder with CV29 bit 1 = 0: the speed, and whether the headlight F0 is on.
    pub const fn as_14_steps(self) -> (Speed14, bool) {
        let speed = match self.0 & 0x0F {
            0 => Speed::Stop,
            1 => Speed::EmergencyStop,
            code => running(code, 1),
        };
        (speed, self.0 & C_BIT != 0)
    }
}

const fn direction_bit(direction: Direction) -> u8 {
    if direction.is_forward() { DIRECTION_BIT } else { 0 }
}

/// The step that a running code stands for. The callers have taken the stops away, so that the step exists.
const fn running<const STEPS: u8>(code: u8, offset: u8) -> Speed<STEPS> {
    match Step::new(code - offset) {
        Ok(step) => Speed::Step(step),
        Err(_) => Speed::Stop,
    }
}

/// The octet `DSSSSSSS` of 126-step speeds.
pub(super) const fn octet_126(direction: Direction, speed: Speed126) -> u8 {
    let code = match speed {
        Speed::Stop => 0,
        Speed::EmergencyStop => 1,
        Speed::Step(step) => step.get() + 1,
    };
    (direction.is_forward() as u8) << 7 | code
}

/// The reading of the octet `DSSSSSSS`.
pub(super) const fn from_octet_126(octet: u8) -> (Direction, Speed126) {
    let speed = match octet & 0x7F {
        0 => Speed::Stop,
        1 => Speed::EmergencyStop,
        code => running(code, 1),
    };
    (Direction::from_bit(octet & 0x80 != 0), speed)
}

/// Speed, direction and up to 32 functions in one packet, `3C DSSSSSSS` and 0 to 4 function octets (RCN-212, digest).
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct SpeedAndFunctions {
    /// Which way.
    pub direction: Direction,
    /// How fast.
    pub speed: Speed126,
    n_octets: u8,
    functions: [u8; 4],
}

impl SpeedAndFunctions {
    /// The speed with the states of F0 up to the highest function of the given number of octets: 0 octets carry none,
    /// 1 carries F0–F7, 4 carry F0–F31.
    ///
    /// # Errors
    /// [`InstructionError::FunctionOctets`] above 4.
    pub const fn new(
        direction: Direction,
        speed: Speed126,
        states: FunctionStates,
        n_octets: u8,
    ) -> Result<Self, InstructionError> {
        if n_octets > 4 {
            return Err(InstructionError::FunctionOctets { count: n_octets });
        }
        let mut functions = [0; 4];
        let mut number = 0;
        while number < 8 * n_octets {
            if let Ok(function) = Function::new(number)
                && states.is_on(function)
            {
                functions[(number / 8) as usize] |= 1 << (number % 8);
            }
            number += 1;
        }
        Ok(Self { direction, speed, n_octets, functions })
    }

    pub(super) fn from_octets(speed: u8, octets: &[u8]) -> Option<Self> {
        let (direction, speed) = from_octet_126(speed);
        let mut functions = [0; 4];
        functions.get_mut(..octets.len())?.copy_from_slice(octets);
        Some(Self { direction, speed, n_octets: u8::try_from(octets.len()).ok()?, functions })
    }

    /// How many functions, from F0 on, the packet carries: 0, 8, 16, 24 or 32.
    pub const fn function_count(self) -> u8 {
        self.n_octets * 8
    }

    /// Whether the function is on, or `None` when the packet does not carry it.
    pub const fn is_on(self, function: Function) -> Option<bool> {
        let number = function.get();
        if number >= self.function_count() {
            return None;
        }
        Some(self.functions[(number / 8) as usize] >> (number % 8) & 1 == 1)
    }

    /// The function octets, bit 0 of the first being F0.
    pub fn function_octets(&self) -> &[u8] {
        &self.functions[..usize::from(self.n_octets)]
    }
}

/// The octet after `3E`, whose meaning hangs on the rule set.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct SpecialOperation(u8);

impl SpecialOperation {
    /// By S-9.2.1 §C (July 2012): a ceiling for the speed.
    pub const fn from_restriction(restriction: SpeedRestriction) -> Self {
        match restriction {
            // The baseline speed octet holds the 28-step code in its lowest five bits.
            SpeedRestriction::Ceiling(ceiling) => {
                Self(BaselineSpeed::in_28_steps(Direction::Reverse, ceiling).0 & 0x1F)
            }
            SpeedRestriction::None => Self(0x80),
        }
    }

    /// By RCN-212 (digest): special operating modes.
    pub const fn from_modes(modes: OperatingModes) -> Self {
        let position = match modes.position {
            PositionInTrain::Unspecified => 0b00,
            PositionInTrain::Middle => 0b01,
            PositionInTrain::Leading => 0b10,
            PositionInTrain::Trailing => 0b11,
        };
        Self(
            position << 2
                | (modes.is_shunting as u8) << 4
                | (modes.is_westward as u8) << 5
                | (modes.is_eastward as u8) << 6
                | (modes.is_manual as u8) << 7,
        )
    }

    /// The octet as it was.
    pub const fn from_octet(octet: u8) -> Self {
        Self(octet)
    }

    /// The octet.
    pub const fn octet(self) -> u8 {
        self.0
    }

    /// The reading of S-9.2.1 §C: bit 7 = 1 lifts the ceiling, bits 0–5 are a 28-step code.
    pub const fn as_restriction(self) -> SpeedRestriction {
        if self.0 & 0x80 != 0 {
            return SpeedRestriction::None;
        }
        SpeedRestriction::Ceiling(BaselineSpeed(BASELINE | self.0 & 0x1F).as_28_steps())
    }

    /// The reading of RCN-212 (digest).
    pub const fn as_modes(self) -> OperatingModes {
        OperatingModes {
            position: match self.0 >> 2 & 0b11 {
                0b00 => PositionInTrain::Unspecified,
                0b01 => PositionInTrain::Middle,
                0b10 => PositionInTrain::Leading,
                _ => PositionInTrain::Trailing,
            },
            is_shunting: self.0 & 0x10 != 0,
            is_westward: self.0 & 0x20 != 0,
            is_eastward: self.0 & 0x40 != 0,
            is_manual: self.0 & 0x80 != 0,
        }
    }
}

/// A ceiling for the speed (S-9.2.1 §C 001, restricted speed step).
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SpeedRestriction {
    /// No ceiling.
    None,
    /// Not above this.
    Ceiling(Speed28),
}

/// Special operating modes (RCN-212, digest).
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct OperatingModes {
    /// Where in the train the locomotive is.
    pub position: PositionInTrain,
    /// Shunting.
    pub is_shunting: bool,
    /// Facing west.
    pub is_westward: bool,
    /// Facing east.
    pub is_eastward: bool,
    /// Driven by hand.
    pub is_manual: bool,
}

/// Place of a locomotive in a train (RCN-212, digest).
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PositionInTrain {
    /// None given.
    Unspecified,
    /// At the head.
    Leading,
    /// In the middle.
    Middle,
    /// At the end.
    Trailing,
}
