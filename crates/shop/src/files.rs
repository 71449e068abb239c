//! Files: read with a limit, written whole or not at all.

use std::fs;
use std::io::{Read, Write};
use std::path::{Path, PathBuf};

use crate::error::ShopError;

/// Reads a document's text. Its size is looked at first, so that a wrong name does not fill the memory.
pub(crate) fn read_document(path: &Path) -> Result<String, ShopError> {
    let failed = |cause| ShopError::Read { path: path.to_owned(), cause };
    let file = fs::File::open(path).map_err(failed)?;
    let most = documents::MOST_BYTES as u64;
    let bytes = file.metadata().map_err(failed)?.len();
    if bytes > most {
        return Err(ShopError::TooLarge { path: path.to_owned(), bytes });
    }
    let mut content = Vec::new();
    // A pipe or a growing file tells no honest size.
    file.take(most + 1).read_to_end(&mut content).map_err(failed)?;
    documents::decode(&shown(path), &content).map_err(|faults| ShopError::Faults { faults: vec![faults] })
}

/// The TOML files of a folder in order of their names; none where there is no such folder.
pub(crate) fn documents_in(folder: &Path) -> Result<Vec<PathBuf>, ShopError> {
    if !folder.is_dir() {
        return Ok(Vec::new());
    }
    let failed = |cause| ShopError::Read { path: folder.to_owned(), cause };
    let mut files = Vec::new();
    for entry in fs::read_dir(folder).map_err(failed)? {
        let path = entry.map_err(failed)?.path();
        if path.extension().is_some_and(|extension| extension == "toml") && path.is_file() {
            files.push(path);
        }
    }
    files.sort();
    Ok(files)
}

/// Writes a file whole or not at all: into a new file beside it that then takes its name.
pub(crate) fn write_whole(path: &Path, content: &[u8]) -> Result<(), ShopError> {
    let failed = |cause| ShopError::Write { path: path.to_owned(), cause };
    let mut beside = path.as_os_str().to_owned();
    beside.push(".part");
    let beside = PathBuf::from(beside);
    let written = fs::File::create(&beside).and_then(|mut file| {
        file.write_all(content)?;
        file.sync_all()
    });
    written.and_then(|()| fs::rename(&beside, path)).map_err(|cause| {
        // The half-written copy is ours alone; when it cannot be taken away either, the first cause matters more.
        let _ = fs::remove_file(&beside);
        failed(cause)
    })
}

/// Makes a folder and those above it.
pub(crate) fn make_folder(folder: &Path) -> Result<(), ShopError> {
    if folder.as_os_str().is_empty() {
        return Ok(());
    }
    fs::create_dir_all(folder).map_err(|cause| ShopError::Write { path: folder.to_owned(), cause })
}

/// A path as messages show it.
pub(crate) fn shown(path: &Path) -> String {
    path.display().to_string()
}
