//! The memory of a virtual decoder as a file: lines of CV, value and, where the CV is seen through a page, CV31 and CV32.

use std::path::{Path, PathBuf};

use bench::Locomotive;
use datasheets::CvPlace;

use super::on_bench::Keep;
use crate::error::ShopError;
use crate::files;

/// A file that keeps a memory.
#[derive(Debug)]
pub(super) struct MemoryFile(pub(super) PathBuf);

impl Keep for MemoryFile {
    fn keep(&mut self, locomotive: &Locomotive) -> Result<(), ShopError> {
        keep(locomotive, &self.0)
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
pub(super) fn restored(locomotive: Locomotive, file: &Path) -> Result<Locomotive, ShopError> {
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
