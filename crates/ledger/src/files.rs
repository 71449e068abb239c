//! The current documents as plain files, and back.
//!
//! What it is: a map from `orders/V-0031.toml` to the text, as a folder of documents looks.
//! What it is not: an archive: histories, photos and snapshots stay behind. No file is touched here; the caller reads and
//! writes them.

use std::collections::BTreeMap;

use crate::document::DocumentError;
use crate::error::StoreError;
use crate::kind::{Kind, check_name};
use crate::ledger::Ledger;
use crate::moment::Stamp;

/// The ending of a document's file.
const ENDING: &str = ".toml";

/// What came of taking files in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct TakenIn {
    /// Documents that were not there.
    pub n_new: usize,
    /// Documents that got a new revision; the ones before are kept.
    pub n_changed: usize,
    /// Documents that had this text already.
    pub n_same: usize,
}

/// Why files were not taken in; then none was.
#[derive(Debug, thiserror::Error)]
pub enum FilesError {
    /// Names that say neither kind nor document.
    #[error("these files are no documents: {}; name each like orders/V-0031.toml; nothing was taken in", names.join(", "))]
    NotDocuments {
        /// All such names.
        names: Vec<String>,
    },
    /// A document was refused.
    #[error("`{name}`: {source}; nothing was taken in")]
    Refused {
        /// The file.
        name: String,
        /// Why.
        source: DocumentError,
    },
    /// The shop's file.
    #[error(transparent)]
    Store(#[from] StoreError),
}

impl Ledger {
    /// The documents that are not deleted, by the names of their files.
    ///
    /// # Errors
    /// When the file cannot be read; a text that is not what was written is [`StoreError::Damaged`].
    pub fn documents_as_files(&self) -> Result<BTreeMap<String, String>, StoreError> {
        self.as_of_now(|ledger| {
            let mut files = BTreeMap::new();
            for kind in Kind::ALL {
                for document in ledger.documents(kind)? {
                    let revision =
                        ledger.at(document.id, document.head).map_err(DocumentError::into_damage)?;
                    files.insert(file_name(kind, &document.name), revision.text);
                }
            }
            Ok(files)
        })
    }

    /// Saves files as documents, each upon what is there now; all of them or none.
    ///
    /// # Errors
    /// Every kind of [`FilesError`].
    pub fn take_in_files(
        &mut self,
        files: &BTreeMap<String, String>,
        stamp: &Stamp<'_>,
    ) -> Result<TakenIn, FilesError> {
        let named: Vec<Option<(Kind, &str)>> = files.keys().map(|name| document_of(name)).collect();
        let names: Vec<String> = files
            .keys()
            .zip(&named)
            .filter(|(_, named)| named.is_none())
            .map(|(name, _)| name.clone())
            .collect();
        if !names.is_empty() {
            return Err(FilesError::NotDocuments { names });
        }
        self.together(|ledger| {
            let mut taken_in = TakenIn::default();
            for ((file, text), (kind, name)) in files.iter().zip(named.into_iter().flatten()) {
                let before = ledger.find(kind, name)?.filter(|document| !document.is_deleted);
                let head = before.map(|document| document.head);
                let saved = ledger
                    .save(kind, name, text, head, stamp)
                    .map_err(|source| FilesError::Refused { name: file.clone(), source })?;
                match head {
                    None => taken_in.n_new += 1,
                    Some(head) if head == saved.number => taken_in.n_same += 1,
                    Some(_) => taken_in.n_changed += 1,
                }
            }
            Ok(taken_in)
        })
    }
}

fn file_name(kind: Kind, name: &str) -> String {
    format!("{}/{name}{ENDING}", kind.folder())
}

fn document_of(file: &str) -> Option<(Kind, &str)> {
    let (folder, file) = file.split_once('/')?;
    let name = file.strip_suffix(ENDING)?;
    check_name(name).ok()?;
    Some((Kind::from_folder(folder)?, name))
}

#[cfg(test)]
mod tests;
