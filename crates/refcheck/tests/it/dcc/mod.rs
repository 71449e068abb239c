//! Cases of the wire standards: NMRA S-9.1 to S-9.2.3, RCN-210 to RCN-227, NEM 670 and 671.
//!
//! Rows named `K…` are numbered check values; `T…` rows come from a table or an example of the section they name. Each
//! says whether the value is printed in the document or computed from its rules ("derived"); "(digest)" marks documents
//! known only through a digest. What is left out: K134 and K135, which are scale speeds and not wire matters.

mod bidi;
mod coverage;
mod cv_tables;
mod cvs;
mod framing;
mod operations;
mod packets;
mod service;
mod service_durations;
mod speed_steps;
mod timing;

use std::collections::BTreeSet;

use dcc::{Address, CvNumber, LongAddress, PacketView, ShortAddress};

/// One row: what it is called, where it comes from, and the case itself.
pub(crate) struct Row<T: 'static> {
    pub(crate) name: &'static str,
    pub(crate) source: &'static str,
    pub(crate) case: T,
}

/// Short form of a row, so that tables stay tables.
pub(crate) const fn row<T>(name: &'static str, source: &'static str, case: T) -> Row<T> {
    Row { name, source, case }
}

/// Runs every row; fails when there is none, and names the row that fails.
#[track_caller]
pub(crate) fn run<T>(rows: &[Row<T>], check: impl Fn(&T, &str)) {
    assert!(!rows.is_empty(), "no case ran");
    for row in rows {
        assert!(!row.source.is_empty(), "{} names no source", row.name);
        check(&row.case, &format!("{} ({})", row.name, row.source));
    }
}

/// The names of the rows, for the coverage check.
pub(crate) fn names<T>(rows: &[Row<T>]) -> BTreeSet<&'static str> {
    rows.iter().map(|row| row.name).collect()
}

/// Octets from hexadecimal text with spaces.
pub(crate) fn octets(text: &str) -> Vec<u8> {
    text.split_whitespace()
        .map(|octet| u8::from_str_radix(octet, 16).expect("two hexadecimal digits"))
        .collect()
}

/// The view of a packet in hexadecimal text, whose check octet must be right.
pub(crate) fn with_view<T>(text: &str, use_it: impl FnOnce(PacketView<'_>) -> T) -> T {
    let octets = octets(text);
    use_it(PacketView::new(&octets).unwrap_or_else(|error| panic!("{text}: {error}")))
}

pub(crate) fn cv(number: u16) -> CvNumber {
    CvNumber::new(number).expect("a CV number")
}

pub(crate) fn short(number: u8) -> Address {
    Address::Short(ShortAddress::new(number).expect("a short address"))
}

pub(crate) fn long(number: u16) -> Address {
    Address::Long(LongAddress::new(number).expect("a long address"))
}
