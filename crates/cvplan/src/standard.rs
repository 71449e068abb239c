//! The standard's encodings in the shapes that the settling functions use; the encodings themselves are the room `dcc`'s.

use datasheets::{CvValue, Key};
use dcc::cv::{Config29, ConsistMembership, FunctionKey, FunctionMap};
use dcc::{Address, LongAddress, ShortAddress};

const NOTHING_SET: Config29 = Config29::from_value(0);
/// CV29 bit 0.
pub(crate) const REVERSED: u8 = Config29 { is_reversed: true, ..NOTHING_SET }.value();
/// CV29 bit 1.
pub(crate) const MANY_STEPS: u8 = Config29 { has_28_steps: true, ..NOTHING_SET }.value();
/// CV29 bit 2.
pub(crate) const ANALOG: u8 = Config29 { is_analog_allowed: true, ..NOTHING_SET }.value();
/// CV29 bit 3.
pub(crate) const FEEDBACK: u8 = Config29 { is_feedback_on: true, ..NOTHING_SET }.value();
/// CV29 bit 4.
pub(crate) const SPEED_TABLE: u8 = Config29 { has_speed_table: true, ..NOTHING_SET }.value();
/// CV29 bit 5.
pub(crate) const LONG_ADDRESS: u8 = Config29 { has_long_address: true, ..NOTHING_SET }.value();
/// What one count of CV3 is worth from stop to full speed, in seconds (S-9.2.2 CV3).
pub(crate) const MOMENTUM_COUNT_SECONDS: f64 = 0.896;

pub(crate) fn byte(value: CvValue) -> u8 {
    u8::try_from(value.get()).unwrap_or(u8::MAX)
}

/// The byte nearest to a number, and whether the number lies beyond what a byte holds.
pub(crate) fn byte_of(number: f64) -> (u8, bool) {
    let distance = |byte: &u8| (f64::from(*byte) - number).abs();
    let nearest = (0..=u8::MAX).min_by(|left, right| distance(left).total_cmp(&distance(right)));
    (nearest.unwrap_or(0), !(-0.5..=255.5).contains(&number))
}

/// CV17 and CV18 of a long address; none for a number that is none.
pub(crate) fn long_address(number: u16) -> Option<[(u16, u8); 2]> {
    let address = LongAddress::new(number).ok()?;
    Some(address.to_cvs().map(|(cv, value)| (cv.get(), value)))
}

/// CV19 of a short consist address; none for a number that is none.
pub(crate) fn consist_address(number: u16, is_reversed: bool) -> Option<u8> {
    let address = Address::Short(ShortAddress::new(u8::try_from(number).ok()?).ok()?);
    let mut membership = ConsistMembership::new(address).ok()?;
    membership.is_reversed = is_reversed;
    let [(_, cv19), _] = membership.to_cvs();
    Some(cv19)
}

/// The keys of the matrix that stand for a function key: two for F0, one for F1 to F12, none above.
pub(crate) fn matrix_keys(key: Key) -> impl Iterator<Item = FunctionKey> {
    FunctionKey::all().filter(move |one| one.function().get() == key.number())
}

/// The CV of a key of the matrix.
pub(crate) fn matrix_cv(key: FunctionKey) -> u16 {
    FunctionMap::cv_of(key).get()
}

/// The bit by which a key of the matrix drives an output; none where it does not reach it.
pub(crate) fn matrix_bit(key: FunctionKey, output: u16) -> Option<u8> {
    let output = u8::try_from(output).ok()?;
    let mut map = FunctionMap::from_values([0; 14]);
    map.set(key, output, true).ok()?;
    Some(map.values()[usize::from(key.index())])
}

/// The function keys that reach an output.
pub(crate) fn keys_reaching(output: u16) -> Vec<Key> {
    let reaches = |key: &Key| matrix_keys(*key).any(|one| matrix_bit(one, output).is_some());
    (0..=12).filter_map(Key::new).filter(reaches).collect()
}
