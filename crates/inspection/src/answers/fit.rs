//! What goes into which free room.
//!
//! What it is: single parts, and pairs of them, against a free cuboid; parts lie flat and may be turned by a quarter.
//! What it is not: packing. That every pair goes in does not promise that all do; that one pair does not is certain.
//!
//! Source: acoustics and electrics digest, section 8.

use datasheets::Size;

use crate::job::Job;

/// Slack for rounding: a micrometre is nothing to a calliper.
const ROUNDING_METRES: f64 = 1e-6;

/// A part and the room for it.
#[derive(Debug, Clone, PartialEq)]
pub struct Fit {
    /// Outer size of the part.
    pub part: Size,
    /// The free room.
    pub space: Size,
    /// Whether the room was measured on this model; else it is what the socket's standard reserves.
    pub is_measured: bool,
}

impl Fit {
    /// The planned decoder and its room; none where either is unknown.
    pub(super) fn of_decoder(job: &Job<'_>) -> Option<Self> {
        let decoder = job.decoder()?;
        let part = decoder.decoder.size.clone()?;
        let measured = job.order.survey.as_ref().and_then(|survey| survey.decoder_space.clone());
        if let Some(space) = measured {
            return Some(Self { part, space, is_measured: true });
        }
        let socket = &job.socket()?.socket;
        let for_sound = socket.sound_space.as_ref().filter(|_| decoder.amplifier.is_some());
        let space = for_sound.or(socket.space.as_ref())?.clone();
        Some(Self { part, space, is_measured: false })
    }

    /// Whether it goes in flat, leaving its height aside.
    #[must_use]
    pub fn goes_in_flat(&self) -> bool {
        footprints(&self.part).any(|(length, width)| {
            is_within(length, &self.space.length) && is_within(width, &self.space.width)
        })
    }

    /// The height left over in millimetres; below zero where the part is too tall.
    #[must_use]
    pub fn spare_height_millimetres(&self) -> f64 {
        (self.space.height.as_metres() - self.part.height.as_metres()) * 1e3
    }

    /// Whether it leaves at least this much height.
    #[must_use]
    pub fn leaves(&self, millimetres: f64) -> bool {
        self.spare_height_millimetres() + ROUNDING_METRES * 1e3 >= millimetres
    }
}

/// Whether two parts go into a room together: two upright cuboids that do not overlap lie beside each other along one of
/// the three directions, so that trying those is exact.
#[must_use]
pub(crate) fn pair_goes_in(one: &Size, other: &Size, space: &Size) -> bool {
    let tall = one.height.as_metres().max(other.height.as_metres());
    let stacked = one.height.as_metres() + other.height.as_metres();
    footprints(one).any(|one| {
        footprints(other).any(|other| {
            let along = (one.0 + other.0, one.1.max(other.1), tall);
            let across = (one.0.max(other.0), one.1 + other.1, tall);
            let above = (one.0.max(other.0), one.1.max(other.1), stacked);
            [along, across, above].iter().any(|(length, width, height)| {
                is_within(*length, &space.length)
                    && is_within(*width, &space.width)
                    && is_within(*height, &space.height)
            })
        })
    })
}

/// Length and width in metres, and the same turned by a quarter.
fn footprints(size: &Size) -> impl Iterator<Item = (f64, f64)> {
    let (length, width) = (size.length.as_metres(), size.width.as_metres());
    [(length, width), (width, length)].into_iter()
}

fn is_within(metres: f64, room: &quantities::Length) -> bool {
    metres <= room.as_metres() + ROUNDING_METRES
}

#[cfg(test)]
mod tests {
    use datasheets::Size;
    use quantities::Length;

    use super::{Fit, pair_goes_in};

    fn size(length: f64, width: f64, height: f64) -> Size {
        let millimetres = |value: f64| Length::from_metres(value * 1e-3).unwrap();
        Size { length: millimetres(length), width: millimetres(width), height: millimetres(height) }
    }

    #[test]
    fn pairs_of_the_digest() {
        // Section 8: 26×20×15 + 24×20×15 in 50×20×15 fits exactly; 26×20×15 + 26×19×14 does not.
        let shell = size(50.0, 20.0, 15.0);
        assert!(pair_goes_in(&size(26.0, 20.0, 15.0), &size(24.0, 20.0, 15.0), &shell));
        assert!(!pair_goes_in(&size(26.0, 20.0, 15.0), &size(26.0, 19.0, 14.0), &shell));
        // Turned by a quarter, and stacked.
        assert!(pair_goes_in(&size(20.0, 25.0, 15.0), &size(25.0, 20.0, 15.0), &shell));
        assert!(pair_goes_in(&size(50.0, 20.0, 7.0), &size(50.0, 20.0, 8.0), &shell));
    }

    #[test]
    fn heights_are_told_apart_from_footprints() {
        let fit = Fit { part: size(15.0, 30.0, 6.2), space: size(31.0, 16.0, 6.7), is_measured: true };
        assert!(fit.goes_in_flat() && fit.leaves(0.5) && !fit.leaves(0.6));
    }
}
