//! Motion: from the throttle through momentum to the motor.
//!
//! What it is: the place on the scale of speed steps, how fast it may move there, and the motor level that belongs to it.
//! What it is not: mechanics. A motor level is taken for the speed; weight, gears and load are not in it.
//!
//! Source: S-9.2.2 CV2 to CV6, CV66 to CV95 and CV29 bit 4 (reference text 4.2: three points joined by straight lines, table
//! entries likewise, trim as a factor of n/128); CV3 and CV4 (4.3). That a locomotive told to turn round
//! first slows to a stop is common practice.

use dcc::Direction;
use dcc::cv::{Config29, Trim};

use crate::memory::Memory;

/// Motor level for full speed.
pub(crate) const FULL_LEVEL: f64 = 255.0;
/// Seconds from full speed to a stop with the brake key, ours: the sheet only says that the key brakes "by its own rate".
const BRAKE_SECONDS: f64 = 3.0;
/// Share of the speed while shunting: "half speed" (datasheets, `Deed::Shunting`).
const SHUNTING_SHARE: f64 = 0.5;

/// Seconds over the whole range of speeds; 0 for none.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Momentum {
    pub(crate) acceleration: f64,
    pub(crate) deceleration: f64,
}

/// How speed steps turn into motor levels.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Curve {
    shape: Shape,
    /// Factors forward and in reverse.
    trim: [f64; 2],
}

#[derive(Debug, Clone, Copy, PartialEq)]
enum Shape {
    /// Levels at the first, the middle and the last step.
    ThreePoints { start: f64, middle: f64, top: f64 },
    /// Levels at entry 1 to 28.
    Table([u8; 28]),
}

impl Curve {
    /// The curve that CV29 bit 4 chooses, with the trim of CV66 and CV95.
    pub(crate) fn of(memory: &Memory) -> Self {
        let used = |cv| Some(f64::from(memory.plain(cv))).filter(|level| *level >= 2.0);
        let shape = if Config29::from_value(memory.plain(29)).has_speed_table {
            let mut levels = [0; 28];
            for (cv, level) in (67..).zip(&mut levels) {
                *level = memory.plain(cv);
            }
            Shape::Table(levels)
        } else {
            // CV5 and CV6 = 0 or 1 are not used (S-9.2.2); that the middle then lies half way is the reference text's
            // suggestion.
            let start = f64::from(memory.plain(2));
            let top = used(5).unwrap_or(FULL_LEVEL);
            Shape::ThreePoints { start, middle: used(6).unwrap_or(f64::midpoint(start, top)), top }
        };
        let trim = |cv| {
            Trim::from_value(memory.plain(cv))
                .factor_in_128ths()
                .map_or(1.0, |factor| f64::from(factor) / 128.0)
        };
        Self { shape, trim: [trim(66), trim(95)] }
    }

    /// The motor level at a place on the scale of so many steps, 0 to 1; at most [`FULL_LEVEL`]. Between two steps, where
    /// momentum leads, it lies between their levels.
    pub(crate) fn level(&self, position: f64, n_steps: f64, direction: Direction) -> f64 {
        let position = position.clamp(0.0, 1.0);
        let level = match self.shape {
            Shape::ThreePoints { start, middle, top } => {
                let (step, half) = (position * n_steps, (n_steps / 2.0).floor());
                if step <= 1.0 {
                    start * step
                } else if step <= half {
                    start + (middle - start) * (step - 1.0) / (half - 1.0)
                } else {
                    middle + (top - middle) * (step - half) / (n_steps - half)
                }
            }
            Shape::Table(levels) => {
                let place = position * 28.0;
                let below = (0..28_u8).rev().find(|entry| f64::from(*entry) <= place).unwrap_or(0);
                // Entry 0 stands for standing.
                let entry = |number: u8| {
                    number.checked_sub(1).map_or(0.0, |index| f64::from(levels[usize::from(index)]))
                };
                let (low, high) = (entry(below), entry(below + 1));
                low + (high - low) * (place - f64::from(below))
            }
        };
        (level * self.trim[usize::from(!direction.is_forward())]).min(FULL_LEVEL)
    }
}

/// What bears on the way to the commanded speed, besides the throttle.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Manner {
    pub(crate) momentum: Momentum,
    /// The brake key is on.
    pub(crate) is_braking: bool,
    /// The shunting key is on: no momentum, half speed.
    pub(crate) is_shunting: bool,
}

/// Where a locomotive is on the scale of speeds, and where it shall go.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Motion {
    throttle: f64,
    ceiling: f64,
    n_steps: f64,
    commanded: Direction,
    position: f64,
    moving: Direction,
}

impl Motion {
    /// Standing, forward.
    pub(crate) fn standing() -> Self {
        Self {
            throttle: 0.0,
            ceiling: 1.0,
            n_steps: 28.0,
            commanded: Direction::Forward,
            position: 0.0,
            moving: Direction::Forward,
        }
    }

    /// Sets the throttle to a step of so many; 0 is a stop.
    pub(crate) fn command(&mut self, step: u8, n_steps: u8, direction: Direction) {
        self.n_steps = f64::from(n_steps.max(1));
        self.throttle = f64::from(step) / self.n_steps;
        self.commanded = direction;
    }

    /// Stops feeding the motor at once.
    pub(crate) fn stop_at_once(&mut self) {
        self.throttle = 0.0;
        self.position = 0.0;
    }

    /// Limits the speed, 0 to 1 of the range of steps (S-9.2.1 §C 001).
    pub(crate) fn limit(&mut self, ceiling: f64) {
        self.ceiling = ceiling;
    }

    /// Lets time pass.
    pub(crate) fn advance(&mut self, seconds: f64, manner: &Manner) {
        let mut left = seconds;
        if self.moving != self.commanded && self.position > 0.0 {
            left = self.approach(0.0, left, manner);
        }
        if self.position <= 0.0 {
            self.moving = self.commanded;
        }
        if self.moving == self.commanded {
            self.approach(self.target(manner), left, manner);
        }
    }

    /// Moves toward a place on the scale; the time that is left over once it is there.
    fn approach(&mut self, target: f64, seconds: f64, manner: &Manner) -> f64 {
        let is_slowing = target < self.position;
        let over_whole_range = match (is_slowing, manner) {
            (_, Manner { is_shunting: true, .. }) => 0.0,
            (true, Manner { is_braking: true, momentum, .. }) => momentum.deceleration.min(BRAKE_SECONDS),
            (true, Manner { momentum, .. }) => momentum.deceleration,
            (false, Manner { momentum, .. }) => momentum.acceleration,
        };
        let needed = (target - self.position).abs() * over_whole_range;
        if needed <= seconds {
            self.position = target;
            return seconds - needed;
        }
        let moved = seconds / over_whole_range;
        self.position += if is_slowing { -moved } else { moved };
        0.0
    }

    fn target(&self, manner: &Manner) -> f64 {
        if manner.is_braking {
            return 0.0;
        }
        let share = if manner.is_shunting { SHUNTING_SHARE } else { 1.0 };
        self.throttle.min(self.ceiling) * share
    }

    /// Whether it stands and shall stand.
    pub(crate) fn is_settled(&self, manner: &Manner) -> bool {
        self.moving == self.commanded && (self.position - self.target(manner)).abs() < f64::EPSILON
    }

    /// Whether the wheels stand.
    pub(crate) fn is_standing(&self) -> bool {
        self.position <= 0.0
    }

    /// The motor level that belongs to the place on the scale of steps.
    pub(crate) fn level(&self, curve: &Curve) -> f64 {
        if self.is_standing() { 0.0 } else { curve.level(self.position, self.n_steps, self.moving) }
    }

    /// What the throttle asks for, 0 to 1.
    pub(crate) fn throttle(&self) -> f64 {
        self.throttle.min(self.ceiling)
    }

    /// The direction asked for, which lamps follow.
    pub(crate) fn commanded(&self) -> Direction {
        self.commanded
    }

    /// The direction in which it moves.
    pub(crate) fn moving(&self) -> Direction {
        self.moving
    }
}

#[cfg(test)]
mod tests;
