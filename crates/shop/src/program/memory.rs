//! The memory of a virtual decoder as a file: lines of CV, value and, where the CV is seen through a page, CV31 and CV32.

use std::path::{Path, PathBuf};

use bench::Locomotive;
use datasheets::CvPlace;
use track::Rails;

use crate::error::ShopError;
use crate::files;

/// A locomotive whose memory is on the disk as soon as its decoder has written it: before the programmer hears the
/// acknowledgement, and so before any journal can say that the write was done.
#[derive(Debug)]
pub(super) struct Kept {
    locomotive: Locomotive,
    file: PathBuf,
    failed: Option<ShopError>,
}

impl Kept {
    /// A locomotive with the memory that a file holds, if it is there, kept in that file from now on.
    pub(super) fn new(locomotive: Locomotive, file: PathBuf) -> Result<Self, ShopError> {
        Ok(Self { locomotive: restored(locomotive, &file)?, file, failed: None })
    }

    /// The first time that the memory could not be kept.
    pub(super) fn take_failure(&mut self) -> Option<ShopError> {
        self.failed.take()
    }

    fn keep_changes(&mut self) {
        if self.locomotive.take_memory_changed()
            && let Err(error) = keep(&self.locomotive, &self.file)
        {
            self.failed.get_or_insert(error);
        }
    }
}

impl Rails for Kept {
    fn set_power(&mut self, is_on: bool) {
        self.locomotive.set_power(is_on);
        self.keep_changes();
    }

    fn drive(&mut self, half_bits: &[u32], milliamperes: &mut Vec<f32>) {
        self.locomotive.drive(half_bits, milliamperes);
        self.keep_changes();
    }

    fn wait(&mut self, microseconds: u64) {
        self.locomotive.wait(microseconds);
        self.keep_changes();
    }
}

/// Writes a locomotive's memory.
fn keep(locomotive: &Locomotive, file: &Path) -> Result<(), ShopError> {
    let lines: Vec<String> = locomotive
        .memory()
        .iter()
        .map(|(place, value)| match place.page {
            None => format!("{} {value}", place.cv),
            Some((high, low)) => format!("{} {value} {high} {low}", place.cv),
        })
        .collect();
    files::write_whole(file, (lines.join("\n") + "\n").as_bytes())
}

/// Gives a locomotive the memory that was written, if there is one.
fn restored(locomotive: Locomotive, file: &Path) -> Result<Locomotive, ShopError> {
    if !file.exists() {
        return Ok(locomotive);
    }
    let line = |line: &str| {
        let mut numbers = line.split(' ');
        let cv: u16 = numbers.next()?.parse().ok()?;
        let value: u8 = numbers.next()?.parse().ok()?;
        let high = numbers.next().and_then(|number| number.parse().ok());
        let low = numbers.next().and_then(|number| number.parse().ok());
        Some((CvPlace { page: high.zip(low), cv }, value))
    };
    let memory: Vec<(CvPlace, u8)> = files::read_document(file)?.lines().filter_map(line).collect();
    Ok(locomotive.with_memory(&memory))
}
