//! A picture cleaned of everything but itself.
//!
//! What it is: the three formats that browsers and tablets make, told by their first bytes (never by a name or what the
//! sender claims), and the refusal of everything else.

use rusqlite::ToSql;
use rusqlite::types::{FromSql, FromSqlError, FromSqlResult, ToSqlOutput, ValueRef};

use super::{jpeg, png, webp};

/// The most pixels of a picture. One that claims more would take the memory of whoever looks at it.
pub const MOST_PIXELS: u64 = 100_000_000;

/// The formats that are taken.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum PictureFormat {
    /// JPEG.
    Jpeg,
    /// PNG, also moving.
    Png,
    /// WebP, also moving.
    WebP,
}

impl PictureFormat {
    /// All of them.
    pub const ALL: [Self; 3] = [Self::Jpeg, Self::Png, Self::WebP];

    /// Its media type, for the header `Content-Type`; also how it is stored.
    #[must_use]
    pub fn media_type(self) -> &'static str {
        match self {
            Self::Jpeg => "image/jpeg",
            Self::Png => "image/png",
            Self::WebP => "image/webp",
        }
    }

    /// The usual ending of a file's name.
    #[must_use]
    pub fn extension(self) -> &'static str {
        match self {
            Self::Jpeg => "jpg",
            Self::Png => "png",
            Self::WebP => "webp",
        }
    }

    /// The format of a media type.
    #[must_use]
    pub fn from_media_type(media_type: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|format| format.media_type() == media_type)
    }

    fn recognise(bytes: &[u8]) -> Option<Self> {
        if bytes.starts_with(jpeg::SIGNATURE) {
            Some(Self::Jpeg)
        } else if bytes.starts_with(png::SIGNATURE) {
            Some(Self::Png)
        } else if bytes.starts_with(b"RIFF") && bytes.get(8..12) == Some(b"WEBP") {
            Some(Self::WebP)
        } else {
            None
        }
    }

    fn word(self) -> &'static str {
        match self {
            Self::Jpeg => "JPEG",
            Self::Png => "PNG",
            Self::WebP => "WebP",
        }
    }
}

impl std::fmt::Display for PictureFormat {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(self.word())
    }
}

impl ToSql for PictureFormat {
    fn to_sql(&self) -> rusqlite::Result<ToSqlOutput<'_>> {
        Ok(self.media_type().into())
    }
}

impl FromSql for PictureFormat {
    fn column_result(value: ValueRef<'_>) -> FromSqlResult<Self> {
        Self::from_media_type(value.as_str()?).ok_or(FromSqlError::InvalidType)
    }
}

/// Why something is not taken as a picture.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum PictureFault {
    /// It is of another format, or no picture.
    #[error("this is no JPEG, PNG or WebP picture: send a photo in one of these formats")]
    Format,
    /// It is broken.
    #[error(
        "this {format} picture is broken at byte {at}: {what}; send it once more, or save it anew with another program"
    )]
    Broken {
        /// The format that it begins as.
        format: PictureFormat,
        /// Where, counted from 0.
        at: usize,
        /// What is wrong there.
        what: &'static str,
    },
    /// It claims to be larger than any camera's.
    #[error(
        "a picture of {width} x {height} pixels is too large: at most {MOST_PIXELS} pixels; scale it down"
    )]
    TooManyPixels {
        /// Its width.
        width: u32,
        /// Its height.
        height: u32,
    },
}

/// What is wrong, and where; its format is added by [`clean`].
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Broken {
    pub(super) at: usize,
    pub(super) what: &'static str,
}

/// A picture with nothing beside it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Picture {
    pub(crate) format: PictureFormat,
    pub(crate) width: u32,
    pub(crate) height: u32,
    pub(crate) bytes: Vec<u8>,
}

/// A picture's size and its bytes without metadata, as each format's module returns it.
pub(super) struct Cleaned {
    pub(super) width: u32,
    pub(super) height: u32,
    pub(super) bytes: Vec<u8>,
}

/// Leaves out everything that is not needed to show the picture. What is shown stays bit for bit.
pub(crate) fn clean(bytes: &[u8]) -> Result<Picture, PictureFault> {
    let format = PictureFormat::recognise(bytes).ok_or(PictureFault::Format)?;
    let cleaned = match format {
        PictureFormat::Jpeg => jpeg::clean(bytes),
        PictureFormat::Png => png::clean(bytes),
        PictureFormat::WebP => webp::clean(bytes),
    };
    let Cleaned { width, height, bytes } =
        cleaned.map_err(|Broken { at, what }| PictureFault::Broken { format, at, what })?;
    if u64::from(width) * u64::from(height) > MOST_PIXELS {
        return Err(PictureFault::TooManyPixels { width, height });
    }
    Ok(Picture { format, width, height, bytes })
}

/// Takes a file to pieces, from the front.
pub(super) struct Cutter<'a> {
    bytes: &'a [u8],
    at: usize,
}

impl<'a> Cutter<'a> {
    pub(super) fn new(bytes: &'a [u8]) -> Self {
        Self { bytes, at: 0 }
    }

    pub(super) fn rest(&self) -> &'a [u8] {
        &self.bytes[self.at..]
    }

    pub(super) fn take(&mut self, n_bytes: usize) -> Result<&'a [u8], Broken> {
        let end = self.at.checked_add(n_bytes).filter(|end| *end <= self.bytes.len());
        let end = end.ok_or(Broken { at: self.bytes.len(), what: "it ends too early" })?;
        let piece = &self.bytes[self.at..end];
        self.at = end;
        Ok(piece)
    }

    pub(super) fn array<const N: usize>(&mut self) -> Result<[u8; N], Broken> {
        let mut array = [0; N];
        array.copy_from_slice(self.take(N)?);
        Ok(array)
    }

    /// What is wrong just behind the last piece taken.
    pub(super) fn broken(&self, what: &'static str) -> Broken {
        Broken { at: self.at, what }
    }
}

#[cfg(test)]
mod tests;
