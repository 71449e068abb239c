//! Where the ear is and what surrounds the loudspeaker: the conventions of propagation. Not a room model: no
//! reflections but the one plane of half space, no absorption by air.
//!
//! Source: digest on acoustics and electrics, section 0, conventions 2 and 3, and section 2.5.

use quantities::{Frequency, Length};

use crate::air::Air;
use crate::saturate::saturated;

/// What the sound radiates into.
///
/// A model on a table is close to half space below about `c/(2π·height)`, see [`table_top_limit`]; held in the
/// hand it is in free field, 6.02 dB lower.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Space {
    /// A hemisphere, 2π: flush in a large plane, or small and standing on one.
    #[default]
    Half,
    /// The whole sphere, 4π.
    Free,
}

impl Space {
    /// The solid angle in steradians.
    pub(crate) fn solid_angle(self) -> f64 {
        match self {
            Self::Half => std::f64::consts::TAU,
            Self::Free => 2.0 * std::f64::consts::TAU,
        }
    }
}

/// A place to listen from: on the axis of the loudspeaker, at a distance.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Listening {
    /// Distance from the cone on its axis; distances below a centimetre are taken as a centimetre, where the model
    /// of a point source ends for parts of this size.
    pub distance: Length,
    /// What the sound radiates into.
    pub space: Space,
}

impl Default for Listening {
    /// 0.3 m on axis in half space: a model on the bench before the person who works on it (our convention).
    fn default() -> Self {
        Self { distance: saturated(0.3), space: Space::Half }
    }
}

impl Listening {
    /// At one metre in half space, where sheets quote.
    #[must_use]
    pub fn at_one_metre() -> Self {
        Self { distance: saturated(1.0), space: Space::Half }
    }

    pub(crate) fn metres(&self) -> f64 {
        const LEAST_METRES: f64 = 0.01;
        self.distance.as_metres().max(LEAST_METRES)
    }
}

/// Below this frequency a loudspeaker at a height above a table counts as in half space: `c/(2π·height)`.
///
/// # Source
/// Image-source estimate, digest, section 0, convention 3. 30 mm: 1821 Hz.
#[must_use]
pub fn table_top_limit(height: Length, air: &Air) -> Frequency {
    saturated(air.c() / (std::f64::consts::TAU * height.as_metres()))
}
