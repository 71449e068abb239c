//! Tests of photos in the shop's file.

use std::io::{Read, Seek, SeekFrom};

use super::MOST_PHOTO_BYTES;
use crate::change::Subject;
use crate::identity::{DocumentId, PhotoId, Sequence};
use crate::kind::Kind;
use crate::ledger::Ledger;
use crate::moment::{Moment, Stamp};
use crate::photo::{PhotoError, PictureFault, PictureFormat};
use crate::seal::Digest;

const SENT: &[u8] = include_bytes!("../../../tests/fixtures/photos/sent/phone.jpg");
const CLEAN: &[u8] = include_bytes!("../../../tests/fixtures/photos/clean/phone.jpg");

fn stamp() -> Stamp<'static> {
    Stamp::new(Moment::from_unix_millis(5), "tablet")
}

fn with_order() -> (Ledger, DocumentId) {
    let mut ledger = Ledger::in_memory().unwrap();
    let order = ledger.save(Kind::Order, "V-0031", "text", None, &stamp()).unwrap();
    (ledger, order.document)
}

#[test]
fn a_photo_is_kept_clean_and_read_piece_by_piece() {
    let (mut ledger, order) = with_order();
    let photo = ledger.attach_photo(order, "survey", "brush and frame", SENT, &stamp()).unwrap();
    let listed = ledger.photos_of(order).unwrap();
    assert_eq!(listed.len(), 1);
    let kept = &listed[0];
    assert_eq!(kept, &ledger.photo(photo).unwrap());
    assert_eq!(
        (kept.step.as_str(), kept.caption.as_str(), kept.by.as_str()),
        ("survey", "brush and frame", "tablet")
    );
    assert_eq!((kept.format, kept.width, kept.height), (PictureFormat::Jpeg, 24, 16));
    assert_eq!((kept.n_bytes, kept.digest), (u64::try_from(CLEAN.len()).unwrap(), Digest::of(CLEAN)));
    let mut reader = ledger.photo_bytes(photo).unwrap();
    let mut bytes = Vec::new();
    reader.read_to_end(&mut bytes).unwrap();
    assert!(bytes == CLEAN);
    reader.seek(SeekFrom::Start(6)).unwrap();
    let mut piece = [0; 4];
    reader.read_exact(&mut piece).unwrap();
    assert_eq!(&piece, b"JFIF");
}

#[test]
fn the_same_picture_is_kept_once() {
    let (mut ledger, order) = with_order();
    ledger.attach_photo(order, "survey", "", SENT, &stamp()).unwrap();
    ledger.attach_photo(order, "handover", "", CLEAN, &stamp()).unwrap();
    assert_eq!(ledger.photos_of(order).unwrap().len(), 2);
    let n_pictures: i64 =
        ledger.connection.query_row("SELECT count(*) FROM picture", [], |row| row.get(0)).unwrap();
    assert_eq!(n_pictures, 1);
}

#[test]
fn hiding_keeps_a_photo() {
    let (mut ledger, order) = with_order();
    let photo = ledger.attach_photo(order, "survey", "", SENT, &stamp()).unwrap();
    ledger.set_photo_hidden(photo, true, &stamp()).unwrap();
    ledger.set_photo_hidden(photo, true, &stamp()).unwrap();
    assert!(ledger.photo(photo).unwrap().is_hidden);
    assert!(ledger.photo_bytes(photo).is_ok());
    ledger.set_photo_hidden(photo, false, &stamp()).unwrap();
    let subjects: Vec<Subject> =
        ledger.changes_since(Sequence::new(1), 9).unwrap().iter().map(|change| change.subject).collect();
    assert_eq!(subjects, [Subject::Photo(photo), Subject::PhotoHidden(photo), Subject::PhotoShown(photo)]);
    for sql in ["DELETE FROM photo", "DELETE FROM picture", "UPDATE picture SET size = 1"] {
        let refused = ledger.connection.execute(sql, []).unwrap_err().to_string();
        assert!(refused.contains("never"), "{sql}: {refused}");
    }
}

#[test]
fn what_is_no_photo_is_refused_and_nothing_is_kept() {
    let (mut ledger, order) = with_order();
    let refused = ledger.attach_photo(order, "survey", "", b"<svg/>", &stamp());
    assert!(matches!(refused, Err(PhotoError::Picture(PictureFault::Format))), "{refused:?}");
    let refused = ledger.attach_photo(order, "survey", "", &SENT[..300], &stamp());
    assert!(matches!(refused, Err(PhotoError::Picture(PictureFault::Broken { .. }))), "{refused:?}");
    let refused = ledger.attach_photo(order, "survey", "", &vec![0; MOST_PHOTO_BYTES + 1], &stamp());
    assert!(matches!(refused, Err(PhotoError::TooLarge { .. })), "{refused:?}");
    let refused = ledger.attach_photo(DocumentId::new(9), "survey", "", SENT, &stamp());
    assert!(matches!(refused, Err(PhotoError::NoSuchDocument { .. })), "{refused:?}");
    let nobody = PhotoId::new(9);
    assert!(matches!(ledger.photo(nobody), Err(PhotoError::NoSuchPhoto { .. })));
    assert!(matches!(ledger.photo_bytes(nobody), Err(PhotoError::NoSuchPhoto { .. })));
    assert!(matches!(ledger.set_photo_hidden(nobody, true, &stamp()), Err(PhotoError::NoSuchPhoto { .. })));
    assert!(ledger.photos_of(order).unwrap().is_empty());
}
