//! Speed curves: three points (CV2, CV6, CV5), the table CV67–94, the trims CV66 and CV95, and CV25.
//!
//! What it is: from a step to a motor level from 0 to 255, linear in the rectified supply (S-9.2.2 CV2), where 255 is
//! full. What it is not: a motor, or the maker's choice whether CV2, CV5 and CV6 scale the table as well (RCN-225 CV29
//! bit 4).
//!
//! Source: NMRA S-9.2.2 CV2, CV5, CV6, CV25, CV66–95; RCN-225 CV25, CV67–94. How to fill the gaps between given points
//! is left open there; straight lines are our choice.

use super::CvNumber;
use crate::speed::Step;

/// The curve of a decoder with CV29 bit 4 = 0.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct ThreePointCurve {
    /// CV2: the level at step 1.
    pub start: u8,
    /// CV6: the level at the middle step; 0 and 1 mean not used.
    pub middle: u8,
    /// CV5: the level at the highest step; 0 and 1 mean not used.
    pub top: u8,
}

impl ThreePointCurve {
    /// The level of a step, to the nearest; half upward.
    ///
    /// Straight lines from step 1 to the middle step, which is half the number of steps, and from there to the highest.
    /// An unused top is 255, an unused middle half way between the others.
    pub fn level<const STEPS: u8>(&self, step: Step<STEPS>) -> u8 {
        let start = i32::from(self.start);
        let top = if self.top >= 2 { i32::from(self.top) } else { 255 };
        // Levels are doubled so that an unused middle needs no rounding of its own.
        let middle_doubled = if self.middle >= 2 { 2 * i32::from(self.middle) } else { start + top };
        let (step, steps) = (i32::from(step.get()), i32::from(STEPS));
        let middle_step = (steps / 2).max(1);
        let (from, to, place, span) = if step <= middle_step {
            (2 * start, middle_doubled, step - 1, middle_step - 1)
        } else {
            (middle_doubled, 2 * top, step - middle_step, steps - middle_step)
        };
        let span = span.max(1);
        let doubled_times_span = from * span + (to - from) * place;
        clamp_level((doubled_times_span + span).div_euclid(2 * span))
    }

    /// The CVs: CV2, CV5, CV6.
    pub const fn to_cvs(self) -> [(CvNumber, u8); 3] {
        [
            (CvNumber::literal(2), self.start),
            (CvNumber::literal(5), self.top),
            (CvNumber::literal(6), self.middle),
        ]
    }
}

fn clamp_level(level: i32) -> u8 {
    u8::try_from(level.clamp(0, 255)).unwrap_or(u8::MAX)
}

/// The speed table CV67–94: the level of each of 28 steps.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct SpeedTable([u8; 28]);

impl SpeedTable {
    /// From the 28 values, step 1 first.
    pub const fn new(levels: [u8; 28]) -> Self {
        Self(levels)
    }

    /// A straight line from `first` at step 1 to `last` at step 28, to the nearest level.
    pub fn straight(first: u8, last: u8) -> Self {
        let mut levels = [0; 28];
        for (place, level) in (0_i32..).zip(levels.iter_mut()) {
            let rise = (i32::from(last) - i32::from(first)) * place;
            *level = clamp_level(i32::from(first) + (2 * rise + 27).div_euclid(54));
        }
        Self(levels)
    }

    /// The level of a step, to the nearest; half upward.
    ///
    /// With 28 steps it is the entry itself. With another number the position step · 28 / steps lies between two
    /// entries, and the level on the straight line between them; entry 0 is 0.
    ///
    /// ```
    /// use dcc::{Step, cv::SpeedTable};
    /// let table = SpeedTable::straight(9, 252);
    /// assert_eq!(table.level(Step::<28>::new(14)?), 126);
    /// assert_eq!(table.level(Step::<126>::new(1)?), 2);
    /// # Ok::<(), dcc::SpeedError>(())
    /// ```
    pub fn level<const STEPS: u8>(&self, step: Step<STEPS>) -> u8 {
        let (position, steps) = (28 * usize::from(step.get()), usize::from(STEPS));
        let (below, beyond) = (position / steps, position % steps);
        let entry = |number: usize| match number.checked_sub(1) {
            Some(place) => self.0.get(place).map_or(0, |level| usize::from(*level)),
            None => 0,
        };
        let (low, high) = (entry(below), entry(below + 1));
        let sum = low * (steps - beyond) + high * beyond;
        u8::try_from((2 * sum + steps) / (2 * steps)).unwrap_or(u8::MAX)
    }

    /// The values, step 1 first.
    pub const fn levels(&self) -> &[u8; 28] {
        &self.0
    }

    /// Whether no step is slower than the one below it.
    pub fn is_rising(&self) -> bool {
        self.0.is_sorted()
    }

    /// The CV that holds the entry of a step: CV 66 + step.
    pub const fn cv_of(step: Step<28>) -> CvNumber {
        CvNumber::literal(66 + step.get() as u16)
    }

    /// The 28 CVs.
    pub fn to_cvs(&self) -> impl Iterator<Item = (CvNumber, u8)> {
        (67..).map(CvNumber::literal).zip(self.0)
    }
}

/// A trim: CV66 forward, CV95 reverse. Multiplies the level by n / 128; 0 is not used.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Trim(u8);

impl Trim {
    /// CV66.
    pub const FORWARD_CV: CvNumber = CvNumber::literal(66);
    /// CV95.
    pub const REVERSE_CV: CvNumber = CvNumber::literal(95);

    /// From the value of the CV.
    pub const fn from_value(value: u8) -> Self {
        Self(value)
    }

    /// The value of the CV.
    pub const fn value(self) -> u8 {
        self.0
    }

    /// The factor in 128ths, or `None` when the trim is not used.
    pub const fn factor_in_128ths(self) -> Option<u8> {
        if self.0 == 0 { None } else { Some(self.0) }
    }

    /// The level after the trim, to the nearest, at most 255.
    pub const fn apply(self, level: u8) -> u8 {
        let Some(factor) = self.factor_in_128ths() else {
            return level;
        };
        let trimmed = (level as u16 * factor as u16 + 64) / 128;
        if trimmed > 255 { 255 } else { (trimmed & 0xFF) as u8 }
    }
}

/// CV25: a ready-made table, or the place of the middle value. Without effect when CV29 bit 4 = 1 (RCN-225).
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum MidPoint {
    /// 0 and 1.
    NotUsed,
    /// 2 to 127: a table of the maker; 2 is a straight line.
    Preset(u8),
    /// 129 to 154: the middle value stands at this step of 28, 1 to 26; half of it with 14 steps (RCN-225).
    Step28(u8),
    /// Outside all that: step 14 of 28, or 7 of 14.
    Default,
}

impl MidPoint {
    /// From the value of CV25.
    ///
    /// DIFFERENCE: S-9.2.2 gives the 27 values from 128 to 154 to the 26 positions from 1 to 26. The position is taken
    /// to be the value less 128, and 128, which would be position 0, to mean the default.
    pub const fn from_value(value: u8) -> Self {
        match value {
            0 | 1 => Self::NotUsed,
            2..=127 => Self::Preset(value),
            129..=154 => Self::Step28(value - 128),
            128 | 155..=255 => Self::Default,
        }
    }
}
