//! Numbers by which the shop knows its things. They are given once and never again to something else.

use rusqlite::ToSql;
use rusqlite::types::{FromSql, FromSqlResult, ToSqlOutput, ValueRef};

macro_rules! identity {
    ($($(#[$text:meta])* $name:ident),* $(,)?) => {$(
        $(#[$text])*
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub struct $name(i64);

        impl $name {
            /// From its number, as a page's address carries it. Whether there is such a thing is found out on use.
            #[must_use]
            pub fn new(number: i64) -> Self {
                Self(number)
            }

            /// Its number.
            #[must_use]
            pub fn get(self) -> i64 {
                self.0
            }
        }

        impl std::fmt::Display for $name {
            fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
                self.0.fmt(f)
            }
        }

        impl ToSql for $name {
            fn to_sql(&self) -> rusqlite::Result<ToSqlOutput<'_>> {
                Ok(self.0.into())
            }
        }

        impl FromSql for $name {
            fn column_result(value: ValueRef<'_>) -> FromSqlResult<Self> {
                i64::column_result(value).map(Self)
            }
        }
    )*};
}

identity! {
    /// A document, whatever its name is at the moment.
    DocumentId,
    /// The number of a revision within its document, from 1.
    RevisionNumber,
    /// A programming run.
    RunId,
    /// A snapshot of a decoder.
    SnapshotId,
    /// A photo attached to a step of an order.
    PhotoId,
    /// A movement of stock.
    MovementId,
    /// The place of a change in the shop's history, from 1; later changes have greater ones.
    Sequence,
}

impl Sequence {
    /// Before all changes.
    pub const START: Self = Self(0);
}

impl RevisionNumber {
    /// The first revision of every document.
    pub const FIRST: Self = Self(1);

    /// The number after this one.
    pub(crate) fn next(self) -> Self {
        Self(self.0 + 1)
    }
}
