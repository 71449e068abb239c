//! Photos attached to the steps of an order.
//!
//! What it is: pictures kept in the shop's file, cleaned of everything but the picture before they get there: where and when
//! it was taken, with which device, comments and thumbnails are left out.
//! What it is not: a picture viewer. Nothing is decoded or scaled.

mod exif;
mod jpeg;
mod picture;
mod png;
mod store;
mod webp;

use crate::error::StoreError;
use crate::identity::{DocumentId, PhotoId};
use crate::moment::Moment;
use crate::seal::Digest;

pub(crate) use picture::clean;
pub use picture::{MOST_PIXELS, PictureFault, PictureFormat};
pub use store::PhotoBytes;

/// The largest photo that is taken, in bytes.
pub const MOST_PHOTO_BYTES: usize = 16 << 20;

/// A photo without its bytes.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Photo {
    /// By this it is known.
    pub id: PhotoId,
    /// The order.
    pub document: DocumentId,
    /// The step of the order that it shows, in the caller's words: `survey`, for example.
    pub step: String,
    /// What it shows, in words; may be empty.
    pub caption: String,
    /// Its format.
    pub format: PictureFormat,
    /// Its width before it is turned as it asks to be, in pixels.
    pub width: u32,
    /// Its height before it is turned as it asks to be, in pixels.
    pub height: u32,
    /// How many bytes it has.
    pub n_bytes: u64,
    /// The digest of its bytes: the same for the same picture, so that a page may keep it for ever.
    pub digest: Digest,
    /// When it was attached.
    pub at: Moment,
    /// By whom.
    pub by: String,
    /// Whether it is left out of the page; it is kept all the same.
    pub is_hidden: bool,
}

/// Why a photo was not taken or read.
#[derive(Debug, thiserror::Error)]
pub enum PhotoError {
    /// It is too large.
    #[error(
        "a photo of {n_bytes} bytes is too large: at most {MOST_PHOTO_BYTES} bytes; take it with a lower resolution"
    )]
    TooLarge {
        /// Its size.
        n_bytes: usize,
    },
    /// It is no picture that is taken.
    #[error(transparent)]
    Picture(#[from] PictureFault),
    /// There is none of this number.
    #[error("there is no photo {photo}")]
    NoSuchPhoto {
        /// The number.
        photo: PhotoId,
    },
    /// There is no such order.
    #[error("there is no document number {document} for a photo")]
    NoSuchDocument {
        /// The number.
        document: DocumentId,
    },
    /// The file.
    #[error(transparent)]
    Store(#[from] StoreError),
}

impl From<rusqlite::Error> for PhotoError {
    fn from(error: rusqlite::Error) -> Self {
        StoreError::from(error).into()
    }
}
