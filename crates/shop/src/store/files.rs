//! The shop as files: a folder of documents, one archive of everything, a backup.

use std::fs::{self, File};
use std::io::{BufReader, BufWriter, Seek, SeekFrom, Write};
use std::path::{Path, PathBuf};

use ledger::{Counts, Kind, Ledger, Verification};

use super::open::{Store, stamp};
use super::view::DocumentKey;
use crate::error::ShopError;
use crate::files;

/// What became of the files of a folder.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Imported {
    /// Documents that were begun.
    pub begun: Vec<DocumentKey>,
    /// Documents that have a new revision now.
    pub changed: Vec<DocumentKey>,
    /// Documents whose file says what the shop has already.
    pub same: Vec<DocumentKey>,
    /// Files that were left out, each with the reason.
    pub left_out: Vec<(PathBuf, String)>,
}

impl Store {
    /// Writes every document as a file into a folder: `orders/V-0031.toml`, `parts/oval-15x11.toml` … Files of the same name are
    /// replaced. Revisions, runs and photos are not among them; the archive has those.
    ///
    /// # Errors
    /// A folder or file that cannot be written, or the shop cannot be read.
    pub fn export_folder(&self, folder: &Path) -> Result<Vec<PathBuf>, ShopError> {
        let mut written = Vec::new();
        for kind in Kind::ALL {
            let ledger = self.ledger();
            let mut texts = Vec::new();
            for document in ledger.documents(kind)? {
                texts.push((document.name, ledger.current(document.id)?.text));
            }
            drop(ledger);
            if texts.is_empty() {
                continue;
            }
            let below = folder.join(kind.folder());
            files::make_folder(&below)?;
            for (name, text) in texts {
                // Names hold letters, digits, `-`, `_` and `+` only, so that they are safe as names of files.
                let file = below.join(format!("{name}.toml"));
                files::write_whole(&file, text.as_bytes())?;
                written.push(file);
            }
        }
        Ok(written)
    }

    /// Takes the documents of a folder in, as [`Self::export_folder`] writes it. A document that is there already gets the file's text
    /// as a new revision. Files with faults are taken in all the same; what is no text is left out.
    ///
    /// # Errors
    /// A folder that cannot be read, or the shop cannot be written.
    pub fn import_folder(&self, folder: &Path, by: &str) -> Result<Imported, ShopError> {
        let mut imported = Imported::default();
        for kind in Kind::ALL {
            for file in files::documents_in(&folder.join(kind.folder()))? {
                let name =
                    file.file_stem().map(|stem| stem.to_string_lossy().into_owned()).unwrap_or_default();
                match files::read_document(&file) {
                    Ok(text) => {
                        self.import_text(DocumentKey::new(kind, name), &text, &file, by, &mut imported)?
                    }
                    Err(error) => imported.left_out.push((file, error.to_string())),
                }
            }
        }
        Ok(imported)
    }

    fn import_text(
        &self,
        key: DocumentKey,
        text: &str,
        file: &Path,
        by: &str,
        imported: &mut Imported,
    ) -> Result<(), ShopError> {
        let there = self.ledger().find(key.kind, &key.name)?.filter(|document| !document.is_deleted);
        let Some(there) = there else {
            match self.create(&key, text, by) {
                Ok(_) => imported.begun.push(key),
                Err(ShopError::Document(error @ ledger::DocumentError::Name(_))) => {
                    imported.left_out.push((file.to_owned(), error.to_string()));
                }
                Err(error) => return Err(error),
            }
            return Ok(());
        };
        let record = {
            let mut ledger = self.ledger();
            ledger.save_upon(there.id, text, there.head, &stamp(by).with_note("from a file"))?
        };
        if record.number == there.head {
            imported.same.push(key);
            return Ok(());
        }
        self.after_change(&record, Some(&there.name))?;
        imported.changed.push(key);
        Ok(())
    }

    /// Writes the whole shop with everything that it ever knew into one file, while others go on working.
    ///
    /// # Errors
    /// A file that is there already or cannot be written; a shop that is damaged.
    pub fn write_archive(&self, file: &Path) -> Result<Counts, ShopError> {
        let failed = |cause| ShopError::Write { path: file.to_owned(), cause };
        let mut out = BufWriter::new(File::create_new(file).map_err(failed)?);
        let written = self.ledger().export(&mut out).map_err(ShopError::from);
        let kept = written.and_then(|counts| {
            let whole = out.into_inner().map_err(std::io::IntoInnerError::into_error);
            whole.and_then(|file| file.sync_all()).map_err(failed)?;
            Ok(counts)
        });
        if kept.is_err() {
            // Half an archive is none; where it cannot be taken away either, the first cause matters more.
            let _ = fs::remove_file(file);
        }
        kept
    }

    /// The archive as an open file without a name, at its beginning, to be sent somewhere. It is gone when it is closed.
    ///
    /// # Errors
    /// No room for it in the system's temporary folder; a shop that is damaged.
    pub fn archive_for_download(&self) -> Result<File, ShopError> {
        let failed = |cause| ShopError::Write { path: std::env::temp_dir(), cause };
        let mut file = tempfile::tempfile().map_err(failed)?;
        let mut out = BufWriter::new(&mut file);
        self.ledger().export(&mut out)?;
        out.flush().map_err(failed)?;
        drop(out);
        file.seek(SeekFrom::Start(0)).map_err(failed)?;
        Ok(file)
    }

    /// Makes a new shop from an archive.
    ///
    /// # Errors
    /// A shop's file that is there already; an archive that is none, damaged or cut off, and then nothing is kept.
    pub fn from_archive(archive: &Path, new_shop: &Path) -> Result<Self, ShopError> {
        let mut source = BufReader::new(
            File::open(archive).map_err(|cause| ShopError::Read { path: archive.to_owned(), cause })?,
        );
        // Nothing of that name may be there; made here, so that two who do this at once do not share it.
        File::create_new(new_shop).map_err(|cause| ShopError::Write { path: new_shop.to_owned(), cause })?;
        let imported = Ledger::open(new_shop)
            .map_err(ShopError::from)
            .and_then(|mut ledger| Ok(ledger.import(&mut source).map(|_| ledger)?));
        match imported {
            Ok(ledger) => Self::of(ledger),
            Err(error) => {
                remove_shop(new_shop);
                Err(error)
            }
        }
    }

    /// Copies the shop's file as it is now into a new file, and verifies the copy, while others go on working.
    ///
    /// # Errors
    /// A file that is there already or cannot be written; a shop that is damaged.
    pub fn back_up(&self, file: &Path) -> Result<Verification, ShopError> {
        Ok(self.ledger().backup(file)?)
    }

    /// Makes a new shop from a backup, verified.
    ///
    /// # Errors
    /// A shop's file that is there already; a backup that is none or damaged.
    pub fn restore_backup(backup: &Path, new_shop: &Path) -> Result<Self, ShopError> {
        Ledger::restore(backup, new_shop)?;
        Self::open(new_shop)
    }

    /// Reads the whole shop and holds it against what was written.
    ///
    /// # Errors
    /// When the file cannot be read for another reason than damage.
    pub fn verify(&self) -> Result<Verification, ShopError> {
        Ok(self.ledger().verify()?)
    }
}

/// Takes away a shop that came to nothing, with the files that SQLite keeps beside it.
fn remove_shop(file: &Path) {
    for suffix in ["", "-wal", "-shm"] {
        let mut name = file.as_os_str().to_owned();
        name.push(suffix);
        // What is not there need not be taken away, and the first cause matters more.
        let _ = fs::remove_file(PathBuf::from(name));
    }
}
