//! What is behind each cone: a box with its leak, or nothing.
//!
//! Source: acoustics and electrics digest, sections 2.7 (leaks) and 2.11 (no box); practice row 25 (smallest boxes).

use acoustics::radiation::dipole_gain;
use acoustics::{Air, Opening};
use documents::Name;
use finding::Path;
use quantities::{Frequency, Gain, Length, Quantity, Volume};
use workorder::{Facing, Speaker};

use crate::job::Job;

/// Practice row 25: half a cubic centimetre for a speaker of 8 × 12 mm, one for 13 × 18 mm.
const SMALL: (f64, f64) = (8.0 * 12.0, 0.5);
const LARGER: (f64, f64) = (13.0 * 18.0, 1.0);

/// Wall of a printed box where its sheet does not tell it (digest, section 2.7, the worked holes).
const USUAL_WALL_METRES: f64 = 1.5e-3;

/// What is behind a speaker's cone.
#[derive(Debug, Clone, PartialEq)]
pub struct SpeakerBack {
    /// The speaker's name.
    pub name: String,
    /// The path of its facts.
    pub path: Path,
    /// Which side looks into the open.
    pub faces: Facing,
    /// Its box; none for a bare speaker.
    pub enclosure: Option<Name>,
    /// The air in the box.
    pub volume: Option<Volume>,
    /// The least that practice gives a speaker of its size; none where its size is unknown.
    pub least_volume: Option<Volume>,
    /// What the box's opening does to it.
    pub leak: Option<Leak>,
    /// What a bare speaker loses at 500 Hz against its front alone; none with a box, or where its size is unknown.
    pub loss_without_box: Option<Gain>,
}

/// An opening in a box.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Leak {
    /// Its diameter.
    pub diameter: Length,
    /// The frequency to which it tunes the box.
    pub resonance: Frequency,
    /// Whether friction chokes it, so that it tunes nothing and is harmless.
    pub is_choked: bool,
}

/// The backs of the speakers that will be in the model.
pub(super) fn backs(job: &Job<'_>) -> Vec<SpeakerBack> {
    job.order.planned_speakers().map(|(path, speaker)| back(job, path, speaker)).collect()
}

fn back(job: &Job<'_>, path: Path, speaker: &Speaker) -> SpeakerBack {
    let size = job.speaker_sheet(speaker).map(|sheet| &sheet.speaker.size);
    let enclosure = job.enclosure(speaker).map(|sheet| &sheet.enclosure);
    let leak = enclosure.and_then(|data| {
        let diameter = data.leak.filter(|diameter| diameter.as_metres() > 0.0)?;
        let wall = data.wall.or_else(|| Length::from_metres(USUAL_WALL_METRES))?;
        let opening = Opening::Round { diameter, length: wall };
        let air = Air::default();
        Some(Leak {
            diameter,
            resonance: opening.resonance_with(data.volume, &air),
            is_choked: opening.is_choked(data.volume, &air),
        })
    });
    let bare = size.filter(|_| speaker.enclosure.is_none());
    let loss_without_box = bare.and_then(|size| {
        // The detour of the rear wave: the basket's diameter plus its depth (digest, section 2.11).
        let detour = if size.length > size.width { size.length } else { size.width } + size.height;
        Some(dipole_gain(detour, Frequency::from_hertz(500.0)?, &Air::default()))
    });
    SpeakerBack {
        name: speaker.name.to_string(),
        path,
        faces: speaker.faces.unwrap_or(Facing::Out),
        enclosure: speaker.enclosure.clone(),
        volume: enclosure.map(|data| data.volume),
        least_volume: size.map(|size| least_volume(size.length.as_metres() * size.width.as_metres() * 1e6)),
        leak,
        loss_without_box,
    }
}

/// Between the two sizes that practice tells along a straight line, beyond them in proportion to the area (own
/// extrapolation).
fn least_volume(square_millimetres: f64) -> Volume {
    let cubic_centimetres = if square_millimetres <= SMALL.0 {
        SMALL.1 * square_millimetres / SMALL.0
    } else if square_millimetres >= LARGER.0 {
        LARGER.1 * square_millimetres / LARGER.0
    } else {
        SMALL.1 + (LARGER.1 - SMALL.1) * (square_millimetres - SMALL.0) / (LARGER.0 - SMALL.0)
    };
    let (least, most) = Volume::RANGE;
    Volume::from_cubic_metres((cubic_centimetres * 1e-6).clamp(least, most))
        .unwrap_or_else(|| unreachable!("a clamped volume is in range"))
}

#[cfg(test)]
mod tests {
    use super::least_volume;

    #[test]
    fn the_two_sizes_of_practice_and_what_lies_between() {
        assert!((least_volume(96.0).as_cubic_metres() - 0.5e-6).abs() < 1e-12);
        assert!((least_volume(234.0).as_cubic_metres() - 1e-6).abs() < 1e-12);
        assert!((least_volume(165.0).as_cubic_metres() - 0.75e-6).abs() < 1e-12);
        assert!((least_volume(784.0).as_cubic_metres() - 784.0 / 234.0 * 1e-6).abs() < 1e-12);
    }
}
