//! A desk made from a folder of documents.
//!
//! A folder looks like this: `parts/*.toml`, `orders/*.toml`, `trains/*.toml`. An order outside such a folder is read with the
//! parts beside it, if there is a folder `parts`.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use documents::{Document, Name};

use super::{CheckedOrder, Desk, NamedText, shelf_with};
use crate::error::ShopError;
use crate::files;

impl Desk {
    /// Opens the folder that an order, train or part lies in.
    ///
    /// # Errors
    /// Folders that cannot be read, part sheets and trains with faults: all of them at once.
    pub fn around(document: &Path, more_parts: &[PathBuf]) -> Result<Self, ShopError> {
        Self::open(&folder_of(document), more_parts)
    }

    /// Opens a folder of documents.
    ///
    /// # Errors
    /// As [`Self::around`].
    pub fn open(folder: &Path, more_parts: &[PathBuf]) -> Result<Self, ShopError> {
        let mut sheets = texts(&folder.join("parts"))?;
        for more in more_parts {
            sheets.extend(texts(more)?);
        }
        let (shelf, faults) = shelf_with(sheets);
        if !faults.is_empty() {
            return Err(ShopError::Faults { faults });
        }
        let mut desk = Self { folder: folder.to_owned(), ..Self::with_shelf(Arc::new(shelf)) };
        let trains = texts(&folder.join("trains"))?;
        if trains.is_empty() {
            return Ok(desk);
        }
        let mut numbers: Vec<Name> = Vec::new();
        for (name, text) in texts(&folder.join("orders"))? {
            if let Ok(order) = workorder::read_order(&name, &text, &desk.shelf) {
                numbers.push(order.value.order.number.clone());
                desk.put_unit(order.value.order.number.clone(), Some(order.value));
            }
        }
        let faults = desk.put_trains(trains, &numbers);
        if faults.is_empty() { Ok(desk) } else { Err(ShopError::Faults { faults }) }
    }

    /// Every order of the folder, in order of their file names.
    ///
    /// # Errors
    /// When the folder cannot be read.
    pub fn order_files(&self) -> Result<Vec<PathBuf>, ShopError> {
        files::documents_in(&self.folder.join("orders"))
    }

    /// The folder that was opened.
    #[must_use]
    pub fn folder(&self) -> &Path {
        &self.folder
    }

    /// Reads an order's file and judges it, in its train where it runs in one.
    ///
    /// # Errors
    /// A file that cannot be read, a document with faults.
    pub fn check(&self, order: &Path) -> Result<CheckedOrder, ShopError> {
        let text = files::read_document(order)?;
        Ok(self.check_text(&files::shown(order), &text)?)
    }
}

/// The documents of a folder; none where there is no such folder.
fn texts(folder: &Path) -> Result<Vec<NamedText>, ShopError> {
    let files = files::documents_in(folder)?;
    files.iter().map(|file| Ok((files::shown(file), files::read_document(file)?))).collect()
}

/// Reads one part sheet.
///
/// # Errors
/// A file that cannot be read, a sheet with faults.
pub fn read_sheet_file(file: &Path) -> Result<Document<datasheets::Sheet>, ShopError> {
    let text = files::read_document(file)?;
    Ok(datasheets::read_sheet(&files::shown(file), &text)?)
}

/// The folder of documents that a document belongs to: above `orders`, `trains` or `parts`, else the one it lies in.
fn folder_of(document: &Path) -> PathBuf {
    let lies_in = document.parent().filter(|parent| !parent.as_os_str().is_empty()).unwrap_or(Path::new("."));
    let is_part_of_one =
        lies_in.file_name().is_some_and(|name| name == "orders" || name == "trains" || name == "parts");
    match lies_in.parent() {
        Some(above) if is_part_of_one => {
            if above.as_os_str().is_empty() {
                PathBuf::from(".")
            } else {
                above.to_owned()
            }
        }
        _ => lies_in.to_owned(),
    }
}
