//! Seals: a digest beside what is kept, so that a bit that fell over on the disk does not pass for what was written.
//!
//! What it is: SHA-256 over the parts of a record. SQLite's own check sees damage to the structure of its file, but not
//! to the texts and bytes within it.
//! What it is not: a signature; whoever can write the file can seal anew.
//!
//! Source: FIPS 180-4 (SHA-256), by the crate `sha2`.

use rusqlite::ToSql;
use rusqlite::types::{FromSql, FromSqlError, FromSqlResult, ToSqlOutput, ValueRef};
use sha2::{Digest as _, Sha256};

/// A SHA-256 digest.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Digest([u8; 32]);

impl Digest {
    /// The digest of some bytes.
    #[must_use]
    pub fn of(bytes: &[u8]) -> Self {
        Self(Sha256::digest(bytes).into())
    }

    /// The digest of what went through a hasher.
    pub(crate) fn done(hasher: Sha256) -> Self {
        Self(hasher.finalize().into())
    }

    /// In hexadecimal, 64 lower-case digits.
    #[must_use]
    pub fn to_hex(self) -> String {
        self.0.iter().map(|byte| format!("{byte:02x}")).collect()
    }
}

impl std::fmt::Debug for Digest {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(&self.to_hex())
    }
}

impl ToSql for Digest {
    fn to_sql(&self) -> rusqlite::Result<ToSqlOutput<'_>> {
        Ok(self.0.as_slice().into())
    }
}

impl FromSql for Digest {
    fn column_result(value: ValueRef<'_>) -> FromSqlResult<Self> {
        let bytes = value.as_blob()?;
        bytes
            .try_into()
            .map(Self)
            .map_err(|_| FromSqlError::InvalidBlobSize { expected_size: 32, blob_size: bytes.len() })
    }
}

/// Gathers the parts of a record. Texts carry their length, so that no two records look alike.
pub(crate) struct Sealing(Sha256);

impl Sealing {
    /// Begins; `what` keeps records of different sorts apart.
    pub(crate) fn of(what: &str) -> Self {
        Self(Sha256::new()).text(what)
    }

    pub(crate) fn text(mut self, text: &str) -> Self {
        self.0.update(text.len().to_be_bytes());
        self.0.update(text.as_bytes());
        self
    }

    pub(crate) fn number(mut self, number: i64) -> Self {
        self.0.update(number.to_be_bytes());
        self
    }

    /// A number that may be missing.
    pub(crate) fn maybe(self, number: Option<i64>) -> Self {
        match number {
            Some(number) => self.number(1).number(number),
            None => self.number(0),
        }
    }

    pub(crate) fn done(self) -> Digest {
        Digest(self.0.finalize().into())
    }
}

#[cfg(test)]
mod tests {
    use super::{Digest, Sealing};

    #[test]
    fn digest_of_the_standards_example() {
        // FIPS 180-4's one-block example message "abc" (NIST, "SHA-256 examples").
        assert_eq!(
            Digest::of(b"abc").to_hex(),
            "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"
        );
    }

    #[test]
    fn parts_do_not_run_into_each_other() {
        let of = |left, right| Sealing::of("test").text(left).text(right).done();
        assert_ne!(of("ab", "c"), of("a", "bc"));
        assert_ne!(
            Sealing::of("test").maybe(None).number(1).done(),
            Sealing::of("test").maybe(Some(1)).done()
        );
    }
}
