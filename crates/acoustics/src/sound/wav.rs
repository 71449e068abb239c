//! A sound as the bytes of a WAV file: 16-bit PCM, one channel. Writes nothing anywhere; not a reader.
//!
//! Source: RIFF WAVE form, Microsoft/IBM *Multimedia Programming Interface and Data Specifications 1.0*, 1991 (from
//! memory); the tests read it back with an independent reader.

use super::Sound;
use crate::saturate::sample;

const HEADER_OCTETS: u32 = 44;
const OCTETS_PER_SAMPLE: u32 = 2;

/// The file's bytes. A sample of ±1.0 becomes ±32767; louder ones are held there, rounding is to the nearest.
#[must_use]
pub fn to_wav(sound: &Sound) -> Vec<u8> {
    let data_octets =
        u32::try_from(sound.samples().len()).unwrap_or(u32::MAX / 4).saturating_mul(OCTETS_PER_SAMPLE);
    let per_second = sound.rate().per_second();
    let mut bytes = Vec::with_capacity(sound.samples().len() * 2 + 44);
    bytes.extend(b"RIFF");
    bytes.extend((HEADER_OCTETS - 8 + data_octets).to_le_bytes());
    bytes.extend(b"WAVEfmt ");
    bytes.extend(16u32.to_le_bytes());
    bytes.extend(1u16.to_le_bytes());
    bytes.extend(1u16.to_le_bytes());
    bytes.extend(per_second.to_le_bytes());
    bytes.extend((per_second * OCTETS_PER_SAMPLE).to_le_bytes());
    bytes.extend(2u16.to_le_bytes());
    bytes.extend(16u16.to_le_bytes());
    bytes.extend(b"data");
    bytes.extend(data_octets.to_le_bytes());
    for value in sound.samples() {
        bytes.extend(pcm(*value).to_le_bytes());
    }
    bytes
}

#[expect(clippy::cast_possible_truncation, reason = "the value is held inside the range of i16 first")]
fn pcm(value: f32) -> i16 {
    (value.clamp(-1.0, 1.0) * sample(f64::from(i16::MAX))).round() as i16
}
