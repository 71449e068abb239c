//! Photos in the shop's file.

use std::io::{self, Read, Seek, SeekFrom};

use rusqlite::blob::Blob;
use rusqlite::{MAIN_DB, OptionalExtension, Row, params};

use super::picture::Picture;
use super::{MOST_PHOTO_BYTES, Photo, PhotoError, clean};
use crate::change::Subject;
use crate::error::StoreError;
use crate::identity::{DocumentId, PhotoId};
use crate::ledger::Ledger;
use crate::moment::{Moment, Stamp};
use crate::seal::Digest;

const COLUMNS: &str = "p.id, p.document, p.step, p.caption, c.format, c.width, c.height, c.size, c.digest, p.at, \
     p.by, p.is_hidden";

fn photo_of_row(row: &Row<'_>) -> rusqlite::Result<Photo> {
    Ok(Photo {
        id: row.get(0)?,
        document: row.get(1)?,
        step: row.get(2)?,
        caption: row.get(3)?,
        format: row.get(4)?,
        width: row.get(5)?,
        height: row.get(6)?,
        n_bytes: row.get::<_, u32>(7)?.into(),
        digest: row.get(8)?,
        at: Moment::from_unix_millis(row.get(9)?),
        by: row.get(10)?,
        is_hidden: row.get(11)?,
    })
}

/// The bytes of a photo, read from the shop's file piece by piece.
pub struct PhotoBytes<'a>(Blob<'a>);

impl std::fmt::Debug for PhotoBytes<'_> {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("PhotoBytes").field("n_bytes", &self.0.len()).finish()
    }
}

impl Read for PhotoBytes<'_> {
    fn read(&mut self, buffer: &mut [u8]) -> io::Result<usize> {
        self.0.read(buffer)
    }
}

impl Seek for PhotoBytes<'_> {
    fn seek(&mut self, to: SeekFrom) -> io::Result<u64> {
        self.0.seek(to)
    }
}

impl Ledger {
    /// Attaches a photo to a step of an order. Everything but the picture itself is left out first; what format it has, its
    /// bytes say.
    ///
    /// # Errors
    /// [`PhotoError::TooLarge`], [`PhotoError::Picture`], [`PhotoError::NoSuchDocument`], and the file's.
    pub fn attach_photo(
        &mut self,
        document: DocumentId,
        step: &str,
        caption: &str,
        bytes: &[u8],
        stamp: &Stamp<'_>,
    ) -> Result<PhotoId, PhotoError> {
        if bytes.len() > MOST_PHOTO_BYTES {
            return Err(PhotoError::TooLarge { n_bytes: bytes.len() });
        }
        let picture = clean(bytes)?;
        self.together(|ledger| {
            if !ledger.has_document(document)? {
                return Err(PhotoError::NoSuchDocument { document });
            }
            let picture = ledger.picture_id(&picture)?;
            let mut statement = ledger.connection.prepare_cached(
                "INSERT INTO photo (document, step, caption, picture, at, by, is_hidden) \
                 VALUES (?1, ?2, ?3, ?4, ?5, ?6, 0)",
            )?;
            let at = stamp.at.as_unix_millis();
            let photo =
                PhotoId::new(statement.insert(params![document, step, caption, picture, at, stamp.by])?);
            ledger.note_change(Subject::Photo(photo), stamp)?;
            Ok(photo)
        })
    }

    /// The number of a picture, which is written unless it is there already.
    pub(crate) fn picture_id(&self, picture: &Picture) -> Result<i64, StoreError> {
        let digest = Digest::of(&picture.bytes);
        let mut statement = self.connection.prepare_cached("SELECT id FROM picture WHERE digest = ?1")?;
        if let Some(id) = statement.query_row([digest], |row| row.get(0)).optional()? {
            return Ok(id);
        }
        let mut statement = self.connection.prepare_cached(
            "INSERT INTO picture (digest, format, width, height, size, bytes) VALUES (?1, ?2, ?3, ?4, ?5, ?6)",
        )?;
        let Picture { format, width, height, bytes } = picture;
        let size = u32::try_from(bytes.len()).unwrap_or(u32::MAX);
        Ok(statement.insert(params![digest, format, width, height, size, bytes])?)
    }

    /// The photos of an order, in the order in which they were attached; hidden ones too, which the page leaves out or offers
    /// to show.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn photos_of(&self, document: DocumentId) -> Result<Vec<Photo>, StoreError> {
        let mut statement = self.connection.prepare_cached(&format!(
            "SELECT {COLUMNS} FROM photo p JOIN picture c ON c.id = p.picture WHERE p.document = ?1 ORDER BY p.id"
        ))?;
        let rows = statement.query_map([document], photo_of_row)?;
        Ok(rows.collect::<Result<_, _>>()?)
    }

    /// A photo without its bytes.
    ///
    /// # Errors
    /// [`PhotoError::NoSuchPhoto`], and the file's.
    pub fn photo(&self, photo: PhotoId) -> Result<Photo, PhotoError> {
        let mut statement = self.connection.prepare_cached(&format!(
            "SELECT {COLUMNS} FROM photo p JOIN picture c ON c.id = p.picture WHERE p.id = ?1"
        ))?;
        statement.query_row([photo], photo_of_row).optional()?.ok_or(PhotoError::NoSuchPhoto { photo })
    }

    /// The bytes of a photo, to be read piece by piece while nothing is written through this connection.
    ///
    /// # Errors
    /// [`PhotoError::NoSuchPhoto`], and the file's.
    pub fn photo_bytes(&self, photo: PhotoId) -> Result<PhotoBytes<'_>, PhotoError> {
        let mut statement = self.connection.prepare_cached("SELECT picture FROM photo WHERE id = ?1")?;
        let picture: Option<i64> = statement.query_row([photo], |row| row.get(0)).optional()?;
        let picture = picture.ok_or(PhotoError::NoSuchPhoto { photo })?;
        Ok(self.picture_bytes(picture)?)
    }

    pub(crate) fn picture_bytes(&self, picture: i64) -> Result<PhotoBytes<'_>, StoreError> {
        Ok(PhotoBytes(self.connection.blob_open(MAIN_DB, "picture", "bytes", picture, true)?))
    }

    /// Hides a photo, or shows it again. It is kept either way. Nothing happens where it is so already.
    ///
    /// # Errors
    /// [`PhotoError::NoSuchPhoto`], and the file's.
    pub fn set_photo_hidden(
        &mut self,
        photo: PhotoId,
        is_hidden: bool,
        stamp: &Stamp<'_>,
    ) -> Result<(), PhotoError> {
        self.together(|ledger| {
            if ledger.photo(photo)?.is_hidden == is_hidden {
                return Ok(());
            }
            let mut statement =
                ledger.connection.prepare_cached("UPDATE photo SET is_hidden = ?2 WHERE id = ?1")?;
            statement.execute(params![photo, is_hidden])?;
            let subject = if is_hidden { Subject::PhotoHidden(photo) } else { Subject::PhotoShown(photo) };
            ledger.note_change(subject, stamp)?;
            Ok(())
        })
    }
}

#[cfg(test)]
mod tests;
