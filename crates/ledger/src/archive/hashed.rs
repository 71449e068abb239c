//! A source or sink that knows the digest of all that went through it.

use std::io::{self, Read, Write};

use sha2::{Digest as _, Sha256};

use crate::seal::Digest;

/// Passes bytes on and takes their digest.
pub(super) struct Hashed<T> {
    inner: T,
    hasher: Sha256,
}

impl<T> Hashed<T> {
    pub(super) fn new(inner: T) -> Self {
        Self { inner, hasher: Sha256::new() }
    }

    /// The digest of what went through so far.
    pub(super) fn digest(&self) -> Digest {
        Digest::done(self.hasher.clone())
    }
}

impl<T: Read> Read for Hashed<T> {
    fn read(&mut self, buffer: &mut [u8]) -> io::Result<usize> {
        let n_read = self.inner.read(buffer)?;
        self.hasher.update(&buffer[..n_read]);
        Ok(n_read)
    }
}

impl<T: Write> Write for Hashed<T> {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        let n_written = self.inner.write(bytes)?;
        self.hasher.update(&bytes[..n_written]);
        Ok(n_written)
    }

    fn flush(&mut self) -> io::Result<()> {
        self.inner.flush()
    }
}
