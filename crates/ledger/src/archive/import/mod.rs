//! Reading the archive: each thing is held against what the ledger itself would have written.

mod documents;
mod records;

use std::collections::BTreeMap;
use std::io::Read;

use serde::de::DeserializeOwned;

use super::hashed::Hashed;
use super::lines::{End, Head};
use super::tar::TarReader;
use super::{ArchiveError, END, FORMAT, VERSION, end};
use crate::counts::Counts;
use crate::error::StoreError;
use crate::identity::RunId;
use crate::ledger::Ledger;
use documents::OpenDocument;

/// The largest file within an archive that is read, in bytes; a document of a million revisions fits.
const MOST_FILE_BYTES: u64 = 512 << 20;

impl Ledger {
    /// Reads an archive into this shop, which must be empty; all of it or nothing. Afterwards the shop holds what the one held
    /// that was exported, with the same numbers; its answers are to be told ([`Ledger::untold`]). Give it a buffered reader.
    ///
    /// # Errors
    /// Every kind of [`ArchiveError`].
    pub fn import(&mut self, source: &mut impl Read) -> Result<Counts, ArchiveError> {
        self.together(|ledger| {
            if ledger.counts()? != Counts::default() {
                return Err(ArchiveError::NotEmpty);
            }
            let mut archive = TarReader::new(Hashed::new(source));
            let mut importer = Importer { ledger, document: None, run: None, pictures: BTreeMap::new() };
            let mut is_first = true;
            loop {
                let digest = archive.source().digest();
                let Some(entry) = archive.next()? else { return Err(ArchiveError::CutOff) };
                let wrong =
                    |what: &str| ArchiveError::Wrong { entry: entry.path.clone(), what: what.to_owned() };
                if entry.n_bytes > MOST_FILE_BYTES {
                    return Err(wrong("it is too large"));
                }
                let content = archive.content(&entry)?;
                if is_first {
                    check_head(&entry.path, &content)?;
                    is_first = false;
                    continue;
                }
                let path: Vec<&str> = entry.path.split('/').collect();
                if path == [END] {
                    importer.finish().map_err(|fault| fault.at(&entry.path))?;
                    let found: End = json(&content).map_err(|what| wrong(&what))?;
                    let counts = importer.ledger.counts()?;
                    let expected = end(counts, digest.to_hex());
                    if found.digest != expected.digest {
                        return Err(wrong("the bytes before it are not those that were written"));
                    }
                    if serde_json::to_value(&found).ok() != serde_json::to_value(&expected).ok() {
                        return Err(wrong("it counts other things than the archive holds"));
                    }
                    return Ok(counts);
                }
                importer.file(&path, &content).map_err(|fault| fault.at(&entry.path))?;
            }
        })
    }
}

fn check_head(path: &str, content: &[u8]) -> Result<(), ArchiveError> {
    let not = |what: &str| ArchiveError::NotAnArchive { what: what.to_owned() };
    if path != "archive.json" {
        return Err(not("it is a tape archive of something else"));
    }
    let head: Head = json(content).map_err(|_| not("its first file does not say what it is"))?;
    if head.format != FORMAT {
        return Err(not("its first file says that it is something else"));
    }
    if head.version == VERSION { Ok(()) } else { Err(ArchiveError::Newer { found: head.version }) }
}

/// What does not fit in a file of the archive.
enum Fault {
    Wrong(String),
    Store(StoreError),
}

impl Fault {
    fn at(self, entry: &str) -> ArchiveError {
        match self {
            Self::Wrong(what) => ArchiveError::Wrong { entry: entry.to_owned(), what },
            // The file's own rules refuse it: a number twice, a reference to nothing.
            Self::Store(StoreError::Refused { source }) => {
                ArchiveError::Wrong { entry: entry.to_owned(), what: source.to_string() }
            }
            Self::Store(error) => ArchiveError::Store(error),
        }
    }
}

impl From<StoreError> for Fault {
    fn from(error: StoreError) -> Self {
        Self::Store(error)
    }
}

impl From<rusqlite::Error> for Fault {
    fn from(error: rusqlite::Error) -> Self {
        Self::Store(error.into())
    }
}

impl From<String> for Fault {
    fn from(what: String) -> Self {
        Self::Wrong(what)
    }
}

impl From<&str> for Fault {
    fn from(what: &str) -> Self {
        Self::Wrong(what.to_owned())
    }
}

struct Importer<'a> {
    ledger: &'a mut Ledger,
    document: Option<OpenDocument>,
    /// A run whose times are still to come: its folder, its number, and its lines once they are read.
    run: Option<(String, RunId, Option<Vec<String>>)>,
    pictures: BTreeMap<String, i64>,
}

impl Importer<'_> {
    fn file(&mut self, path: &[&str], content: &[u8]) -> Result<(), Fault> {
        match *path {
            ["README.txt"] => Ok(()),
            ["documents", folder, "document.json"] => {
                self.finish()?;
                self.begin_document(folder, &json(content)?)
            }
            ["documents", folder, file] => self.document_file(folder, file, content),
            ["runs", folder, file] => {
                self.finish_document()?;
                self.run_file(folder, file, content)
            }
            ["snapshots", _] => {
                self.finish()?;
                self.snapshot(json(content)?)
            }
            ["pictures", name] => {
                self.finish()?;
                self.picture(name, content)
            }
            ["photos", _] => self.each(content, Self::photo),
            ["stock", _] => self.each(content, Self::movement),
            ["changes", _] => self.each(content, Self::change),
            _ => Err("no archive has a file of this name".into()),
        }
    }

    fn each<T: DeserializeOwned>(
        &mut self,
        content: &[u8],
        act: fn(&mut Self, T) -> Result<(), Fault>,
    ) -> Result<(), Fault> {
        self.finish()?;
        for line in lines(content)? {
            act(self, json(line.as_bytes())?)?;
        }
        Ok(())
    }

    fn finish(&mut self) -> Result<(), Fault> {
        self.finish_document()?;
        if self.run.is_some() { Err("the times of the run before it are missing".into()) } else { Ok(()) }
    }
}

fn json<T: DeserializeOwned>(content: &[u8]) -> Result<T, String> {
    serde_json::from_slice(content).map_err(|error| error.to_string())
}

/// The lines of a file, each of which ends with a line feed.
fn lines(content: &[u8]) -> Result<Vec<&str>, Fault> {
    let text = std::str::from_utf8(content).map_err(|_| "it is no text")?;
    let Some(text) = text.strip_suffix('\n') else {
        return if text.is_empty() { Ok(Vec::new()) } else { Err("its last line is not whole".into()) };
    };
    Ok(text.split('\n').collect())
}
