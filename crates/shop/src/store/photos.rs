//! Photos attached to the stages of an order.

use std::io::Read;

use ledger::{Ledger, Photo, PhotoId};
use workorder::WorkStage;

use super::open::{Store, order_id, stamp};
use super::view::PhotoView;
use crate::error::ShopError;

impl Store {
    /// Attaches a photo to a stage of an order. What type it has, its bytes say; where and when it was taken, and with what, is taken
    /// out of it.
    ///
    /// # Errors
    /// A photo that is too large, or of no type that is known; no such order; a shop that cannot be written.
    pub fn add_photo(
        &self,
        order: &str,
        stage: WorkStage,
        caption: &str,
        bytes: &[u8],
        by: &str,
    ) -> Result<PhotoId, ShopError> {
        let photo = {
            let mut ledger = self.ledger();
            let order = order_id(&ledger, order)?;
            ledger.attach_photo(order, stage.word(), caption.trim(), bytes, &stamp(by))?
        };
        self.notice_changes()?;
        Ok(photo)
    }

    /// The photos of an order that are not put away, oldest first.
    ///
    /// # Errors
    /// No such order, or the shop cannot be read.
    pub fn photos(&self, order: &str) -> Result<Vec<PhotoView>, ShopError> {
        let mut photos = self.all_photos(order)?;
        photos.retain(|photo| !photo.is_put_away);
        Ok(photos)
    }

    /// All photos of an order, those that were put away among them.
    ///
    /// # Errors
    /// As [`Self::photos`].
    pub fn all_photos(&self, order: &str) -> Result<Vec<PhotoView>, ShopError> {
        let ledger = self.ledger();
        let photos = ledger.photos_of(order_id(&ledger, order)?)?;
        photos.into_iter().map(|photo| view(&ledger, photo)).collect()
    }

    /// A photo with its bytes.
    ///
    /// # Errors
    /// No such photo, or the shop cannot be read.
    pub fn photo(&self, id: PhotoId) -> Result<(PhotoView, Vec<u8>), ShopError> {
        let ledger = self.ledger();
        let photo = view(&ledger, ledger.photo(id)?)?;
        let mut bytes = Vec::new();
        let read = ledger.photo_bytes(id)?.read_to_end(&mut bytes);
        read.map_err(|cause| ledger::StoreError::Disk { what: cause.to_string() })?;
        Ok((photo, bytes))
    }

    /// Puts a photo away: it is left out of the order's page, and kept.
    ///
    /// # Errors
    /// As [`Self::photo`].
    pub fn remove_photo(&self, id: PhotoId, by: &str) -> Result<(), ShopError> {
        self.ledger().set_photo_hidden(id, true, &stamp(by))?;
        self.notice_changes()
    }

    /// Brings a photo back that was put away.
    ///
    /// # Errors
    /// As [`Self::photo`].
    pub fn bring_back_photo(&self, id: PhotoId, by: &str) -> Result<(), ShopError> {
        self.ledger().set_photo_hidden(id, false, &stamp(by))?;
        self.notice_changes()
    }
}

fn view(ledger: &Ledger, photo: Photo) -> Result<PhotoView, ShopError> {
    // An archive may have been made by a program with other stages; its photos are shown with the survey.
    let stage = WorkStage::ALL.iter().copied().find(|stage| stage.word() == photo.step);
    Ok(PhotoView {
        id: photo.id,
        order: ledger.document(photo.document)?.name,
        stage: stage.unwrap_or(WorkStage::Survey),
        caption: photo.caption,
        mime: photo.format.media_type().to_owned(),
        size: (photo.width, photo.height),
        digest: photo.digest.to_hex(),
        at: photo.at,
        by: photo.by,
        is_put_away: photo.is_hidden,
    })
}
