//! The one clock of the store, and the stamp on every change.

use std::time::{SystemTime, UNIX_EPOCH};

use ledger::Moment;

/// Now.
pub(crate) fn now() -> Moment {
    // A clock before 1970 is wrong by decades either way; the order of changes does not depend on it.
    let since = SystemTime::now().duration_since(UNIX_EPOCH).unwrap_or_default();
    Moment::from_unix_millis(i64::try_from(since.as_millis()).unwrap_or(i64::MAX))
}

/// A moment as people write it, in the time zone of this machine: `2026-11-25 09:46`.
#[must_use]
pub fn shown_moment(moment: Moment) -> String {
    zoned(moment).strftime("%Y-%m-%d %H:%M").to_string()
}

/// A moment's day: `2026-11-25`.
#[must_use]
pub fn shown_day(moment: Moment) -> String {
    zoned(moment).strftime("%Y-%m-%d").to_string()
}

fn zoned(moment: Moment) -> jiff::ZonedDateTime {
    // A moment beyond the year 9999 came from a clock that is wrong; the beginning of the count says so plainly.
    let timestamp = jiff::Timestamp::from_millisecond(moment.as_unix_millis()).unwrap_or_default();
    timestamp.to_zoned_datetime(jiff::tz::TimeZone::system())
}
