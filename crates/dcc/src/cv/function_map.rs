//! CV33–46: which function drives which outputs.
//!
//! What it is: the matrix of method 1, where a set bit means that the function drives the output.
//! What it is not: the newer methods ([`super::MappingMethod`]), nor what hangs on an output.
//!
//! Source: NMRA S-9.2.2 Table 2; RCN-225 CV33–46.

use core::ops::RangeInclusive;

use super::{CvError, CvNumber, FunctionKey};

/// How many outputs the matrix knows. Output 1 is the front light, 2 the rear light, 3 AUX1 and so on (the numbering of
/// the AUX outputs is from memory).
pub const OUTPUTS: u8 = 14;

/// CV33–46.
///
/// ```
/// use dcc::{Direction, Function, cv::{FunctionKey, FunctionMap}};
/// let mut map = FunctionMap::DEFAULT;
/// let f4 = FunctionKey::new(Function::new(4)?, Direction::Forward).expect("F4 has a CV");
/// assert_eq!(FunctionMap::reach(f4), 4..=11);
/// assert!(map.set(f4, 3, true).is_err(), "CV38 cannot reach output 3");
/// # Ok::<(), dcc::FunctionError>(())
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct FunctionMap([u8; 14]);

impl FunctionMap {
    /// Every function on the output of its own: F0 forward on output 1, F0 reverse on 2, F1 on 3 … F12 on 14.
    pub const DEFAULT: Self = Self([1, 2, 4, 8, 16, 4, 8, 16, 32, 64, 16, 32, 64, 128]);

    /// From the values of CV33 to CV46.
    pub const fn from_values(values: [u8; 14]) -> Self {
        Self(values)
    }

    /// The values of CV33 to CV46.
    pub const fn values(&self) -> &[u8; 14] {
        &self.0
    }

    /// The CV of a function.
    pub const fn cv_of(key: FunctionKey) -> CvNumber {
        CvNumber::literal(33 + key.index() as u16)
    }

    /// The outputs a function can reach: 1 to 8 up to F3, 4 to 11 for F4 to F8, 7 to 14 for F9 to F12.
    pub const fn reach(key: FunctionKey) -> RangeInclusive<u8> {
        let first = first_output(key);
        first..=first + 7
    }

    /// Whether the function drives the output.
    pub const fn drives(&self, key: FunctionKey, output: u8) -> bool {
        match output.checked_sub(first_output(key)) {
            Some(place @ 0..=7) => self.0[key.index() as usize] >> place & 1 == 1,
            _ => false,
        }
    }

    /// Puts the function on the output, or takes it off.
    ///
    /// # Errors
    /// [`CvError::Value`] when the CV of the function cannot reach the output; the value named is the output.
    pub const fn set(&mut self, key: FunctionKey, output: u8, is_driven: bool) -> Result<(), CvError> {
        let first = first_output(key);
        match output.checked_sub(first) {
            Some(place @ 0..=7) => {
                let octet = &mut self.0[key.index() as usize];
                *octet = if is_driven { *octet | 1 << place } else { *octet & !(1 << place) };
                Ok(())
            }
            _ => Err(CvError::Value {
                cv: Self::cv_of(key),
                value: output as u16,
                expected: match first {
                    1 => "an output from 1 to 8",
                    4 => "an output from 4 to 11",
                    _ => "an output from 7 to 14",
                },
            }),
        }
    }

    /// The outputs a function drives, in order.
    pub fn outputs_of(&self, key: FunctionKey) -> impl Iterator<Item = u8> {
        Self::reach(key).filter(move |output| self.drives(key, *output))
    }

    /// The functions that drive an output, in order; the output is on when any of them is.
    pub fn keys_of(&self, output: u8) -> impl Iterator<Item = FunctionKey> {
        FunctionKey::all().filter(move |key| self.drives(*key, output))
    }

    /// The fourteen CVs.
    pub fn to_cvs(&self) -> impl Iterator<Item = (CvNumber, u8)> {
        FunctionKey::all().map(Self::cv_of).zip(self.0)
    }
}

const fn first_output(key: FunctionKey) -> u8 {
    match key.index() {
        0..=4 => 1,
        5..=9 => 4,
        _ => 7,
    }
}
