//! Functions F0 to F68 and the groups in which packets carry them.
//!
//! What it is: numbers, groups, and the on/off states of a group or of all functions.
//! What it is not: what a function does in a locomotive, nor which output it drives ([`crate::cv::FunctionMap`]).
//!
//! Source: NMRA S-9.2.1 §C (F0 to F28); RCN-212 (digest) (F29 to F68).

use core::fmt;

/// The number of a function, F0 to F68. F0 is the "FL" of the NMRA texts.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Function(u8);

impl Function {
    /// F0, the headlight.
    pub const F0: Self = Self(0);
    /// The highest function that a packet can carry.
    pub const HIGHEST: Self = Self(68);

    /// # Errors
    /// [`FunctionError::Number`] above 68.
    pub const fn new(number: u8) -> Result<Self, FunctionError> {
        if number <= Self::HIGHEST.0 { Ok(Self(number)) } else { Err(FunctionError::Number { number }) }
    }

    /// The number, 0 to 68.
    pub const fn get(self) -> u8 {
        self.0
    }

    /// The group in which packets carry this function.
    pub const fn group(self) -> FunctionGroup {
        let mut idx = 0;
        while FunctionGroup::ALL[idx].last().0 < self.0 {
            idx += 1;
        }
        FunctionGroup::ALL[idx]
    }

    /// All functions in order.
    pub fn all() -> impl Iterator<Item = Self> {
        (0..=Self::HIGHEST.0).map(Self)
    }
}

impl fmt::Display for Function {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "F{}", self.0)
    }
}

/// The functions that one packet carries together.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum FunctionGroup {
    /// Group 1: F0 to F4. F0 is valid here only if CV29 bit 1 is set (S-9.2.1 §C).
    F0ToF4,
    /// Group 2, first half: F5 to F8.
    F5ToF8,
    /// Group 2, second half: F9 to F12.
    F9ToF12,
    /// F13 to F20 (S-9.2.1 §C).
    F13ToF20,
    /// F21 to F28 (S-9.2.1 §C).
    F21ToF28,
    /// F29 to F36 (RCN-212, digest).
    F29ToF36,
    /// F37 to F44 (RCN-212, digest).
    F37ToF44,
    /// F45 to F52 (RCN-212, digest).
    F45ToF52,
    /// F53 to F60 (RCN-212, digest).
    F53ToF60,
    /// F61 to F68 (RCN-212, digest).
    F61ToF68,
}

impl FunctionGroup {
    /// All groups in the order of their functions.
    pub const ALL: [Self; 10] = [
        Self::F0ToF4,
        Self::F5ToF8,
        Self::F9ToF12,
        Self::F13ToF20,
        Self::F21ToF28,
        Self::F29ToF36,
        Self::F37ToF44,
        Self::F45ToF52,
        Self::F53ToF60,
        Self::F61ToF68,
    ];

    /// The lowest function of the group.
    pub const fn first(self) -> Function {
        Function(match self {
            Self::F0ToF4 => 0,
            Self::F5ToF8 => 5,
            Self::F9ToF12 => 9,
            Self::F13ToF20 => 13,
            Self::F21ToF28 => 21,
            Self::F29ToF36 => 29,
            Self::F37ToF44 => 37,
            Self::F45ToF52 => 45,
            Self::F53ToF60 => 53,
            Self::F61ToF68 => 61,
        })
    }

    /// The highest function of the group.
    pub const fn last(self) -> Function {
        Function(self.first().0 + self.count() - 1)
    }

    /// How many functions the group has: 4, 5 or 8.
    pub const fn count(self) -> u8 {
        match self {
            Self::F0ToF4 => 5,
            Self::F5ToF8 | Self::F9ToF12 => 4,
            _ => 8,
        }
    }

    const fn mask(self) -> u8 {
        0xFF >> (8 - self.count())
    }

    /// How often a change should be sent when the group is not refreshed: once for the refreshed groups, three times
    /// for the others. S-9.2.1 §C asks for two from F13 on, RCN-212 (digest) for three from F29 on; three satisfies both.
    pub const fn sends_on_change(self) -> u8 {
        match self {
            Self::F0ToF4 | Self::F5ToF8 | Self::F9ToF12 => 1,
            _ => 3,
        }
    }
}

/// The states of all functions of one group.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct GroupStates {
    group: FunctionGroup,
    /// Bit 0 is the lowest function of the group; bits beyond the group are zero.
    bits: u8,
}

impl GroupStates {
    /// All functions of the group off.
    pub const fn all_off(group: FunctionGroup) -> Self {
        Self { group, bits: 0 }
    }

    /// From bits whose bit 0 is the lowest function of the group; bits beyond the group are dropped.
    pub const fn from_bits(group: FunctionGroup, bits: u8) -> Self {
        Self { group, bits: bits & group.mask() }
    }

    /// The states with bit 0 for the lowest function of the group.
    pub const fn bits(self) -> u8 {
        self.bits
    }

    /// Which group it is.
    pub const fn group(self) -> FunctionGroup {
        self.group
    }

    /// Whether the function is on, or `None` when it belongs to another group.
    pub const fn is_on(self, function: Function) -> Option<bool> {
        match self.place(function) {
            Ok(place) => Some(self.bits >> place & 1 == 1),
            Err(_) => None,
        }
    }

    /// The same states with one function switched.
    ///
    /// # Errors
    /// [`FunctionError::NotInGroup`] when the function belongs to another group.
    pub const fn with(self, function: Function, is_on: bool) -> Result<Self, FunctionError> {
        match self.place(function) {
            Ok(place) => {
                let bits = if is_on { self.bits | 1 << place } else { self.bits & !(1 << place) };
                Ok(Self { group: self.group, bits })
            }
            Err(error) => Err(error),
        }
    }

    const fn place(self, function: Function) -> Result<u8, FunctionError> {
        let first = self.group.first().0;
        if function.0 < first || function.0 > self.group.last().0 {
            return Err(FunctionError::NotInGroup { function, group: self.group });
        }
        Ok(function.0 - first)
    }
}

/// The states of all functions F0 to F68.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub struct FunctionStates(u128);

impl FunctionStates {
    /// Every function off.
    pub const ALL_OFF: Self = Self(0);

    /// Whether the function is on.
    pub const fn is_on(self, function: Function) -> bool {
        self.0 >> function.0 & 1 == 1
    }

    /// Switches one function.
    pub const fn set(&mut self, function: Function, is_on: bool) {
        let bit = 1u128 << function.0;
        self.0 = if is_on { self.0 | bit } else { self.0 & !bit };
    }

    /// Takes over the states that a packet carries.
    pub const fn set_group(&mut self, states: GroupStates) {
        let shift = states.group.first().0;
        self.0 = self.0 & !((states.group.mask() as u128) << shift) | (states.bits as u128) << shift;
    }

    /// The states of one group, ready for a packet.
    pub const fn group(self, group: FunctionGroup) -> GroupStates {
        GroupStates::from_bits(group, (self.0 >> group.first().0 & 0xFF) as u8)
    }

    /// The functions that are on, in order.
    pub fn on(self) -> impl Iterator<Item = Function> {
        Function::all().filter(move |function| self.is_on(*function))
    }
}

/// Why a function cannot be named or placed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum FunctionError {
    /// No packet carries a function of this number.
    Number {
        /// The number given.
        number: u8,
    },
    /// The function belongs to another group.
    NotInGroup {
        /// The function given.
        function: Function,
        /// The group it was looked for in.
        group: FunctionGroup,
    },
}

impl fmt::Display for FunctionError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Number { number } => {
                write!(f, "function F{number} is above F68, the highest a packet carries")
            }
            Self::NotInGroup { function, group } => {
                write!(f, "{function} is not in the group {} to {}", group.first(), group.last())
            }
        }
    }
}

impl core::error::Error for FunctionError {}

#[cfg(test)]
mod tests {
    use super::*;
    use std::string::ToString;

    #[test]
    fn groups_follow_one_another_without_gap() {
        let mut next = 0;
        for group in FunctionGroup::ALL {
            assert_eq!(group.first().get(), next);
            next = group.last().get() + 1;
        }
        assert_eq!(next, 69);
    }

    #[test]
    fn every_function_finds_its_group_and_its_bit() {
        for function in Function::all() {
            let mut all = FunctionStates::ALL_OFF;
            all.set(function, true);
            let states = all.group(function.group());
            assert_eq!(states.is_on(function), Some(true), "{function}");
            assert_eq!(states.bits().count_ones(), 1, "{function}");
            assert_eq!(GroupStates::all_off(function.group()).with(function, true), Ok(states));
            assert_eq!(states.with(function, false), Ok(GroupStates::all_off(function.group())));
            let mut back = FunctionStates::ALL_OFF;
            back.set_group(states);
            assert_eq!(back, all);
            assert!(all.on().eq([function]));
        }
    }

    #[test]
    fn setting_a_group_leaves_its_neighbours_alone() {
        let mut all = FunctionStates::ALL_OFF;
        for function in Function::all() {
            all.set(function, true);
        }
        all.set_group(GroupStates::all_off(FunctionGroup::F9ToF12));
        let off: std::vec::Vec<u8> = Function::all().filter(|f| !all.is_on(*f)).map(Function::get).collect();
        assert_eq!(off, [9, 10, 11, 12]);
    }

    #[test]
    fn wrong_functions_are_named() {
        let f29 = Function::new(29).expect("F29");
        assert_eq!(
            Function::new(69).expect_err("F69").to_string(),
            "function F69 is above F68, the highest a packet carries"
        );
        assert_eq!(
            GroupStates::all_off(FunctionGroup::F0ToF4).with(f29, true).expect_err("F29").to_string(),
            "F29 is not in the group F0 to F4"
        );
    }
}
