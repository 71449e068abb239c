//! The shop as files, and photos.

use shop::{BoardQuestion, DocumentKey, ShopError, Store};
use workorder::WorkStage;

use crate::{TABLET, demo_shop, saved};

/// A picture of two pixels that carries a remark: `zlib` and a check sum over each chunk, made by hand (PNG, third edition).
const PICTURE: &[u8] = &[
    137, 80, 78, 71, 13, 10, 26, 10, 0, 0, 0, 13, 73, 72, 68, 82, 0, 0, 0, 2, 0, 0, 0, 1, 8, 2, 0, 0, 0, 123,
    64, 232, 221, 0, 0, 0, 26, 116, 69, 88, 116, 67, 111, 109, 109, 101, 110, 116, 0, 119, 104, 101, 114,
    101, 32, 105, 116, 32, 119, 97, 115, 32, 116, 97, 107, 101, 110, 141, 202, 57, 7, 0, 0, 0, 15, 73, 68,
    65, 84, 120, 218, 99, 16, 80, 48, 112, 8, 72, 0, 0, 3, 135, 1, 81, 137, 2, 200, 161, 0, 0, 0, 0, 73, 69,
    78, 68, 174, 66, 96, 130,
];

#[test]
fn a_folder_goes_out_and_comes_back_the_same() {
    let folder = tempfile::tempdir().unwrap();
    let store = demo_shop();
    let written = store.export_folder(folder.path()).unwrap();
    assert!(written.contains(&folder.path().join("orders").join("V-0031.toml")));
    let other = Store::in_memory().unwrap();
    let imported = other.import_folder(folder.path(), TABLET).unwrap();
    assert_eq!((imported.begun.len(), imported.left_out.len()), (written.len(), 0));
    for key in &imported.begun {
        assert_eq!(other.document(key).unwrap().text, store.document(key).unwrap().text, "{key:?}");
    }
    let again = other.import_folder(folder.path(), TABLET).unwrap();
    assert_eq!((again.same.len(), again.begun.len(), again.changed.len()), (written.len(), 0, 0));
    // A file that somebody changed is a new revision; what is no text is told.
    let file = folder.path().join("orders").join("V-0031.toml");
    let text = std::fs::read_to_string(&file).unwrap().replace("Lakeside club", "somebody else");
    std::fs::write(&file, text).unwrap();
    std::fs::write(folder.path().join("orders").join("picture.toml"), PICTURE).unwrap();
    std::fs::write(folder.path().join("orders").join("no name.toml"), "# nothing").unwrap();
    let changed = other.import_folder(folder.path(), TABLET).unwrap();
    assert_eq!(changed.changed, [DocumentKey::order("V-0031")]);
    assert_eq!(changed.left_out.len(), 2);
    other.undo(&DocumentKey::order("V-0031"), TABLET).unwrap().unwrap();
}

#[test]
fn the_whole_shop_goes_into_one_archive_and_comes_back() {
    let folder = tempfile::tempdir().unwrap();
    let (archive, copy) = (folder.path().join("shop.archive"), folder.path().join("copy"));
    let store = demo_shop();
    let photo = store.add_photo("V-0031", WorkStage::Survey, "both speakers", PICTURE, TABLET).unwrap();
    let counts = store.write_archive(&archive).unwrap();
    let n_documents = store.fill_demo("demo").unwrap().kept.len();
    assert_eq!(usize::try_from(counts.documents).unwrap(), n_documents);
    let again = store.write_archive(&archive);
    assert!(matches!(again, Err(ShopError::Write { .. })), "nothing is overwritten: {again:?}");
    let back = Store::from_archive(&archive, &copy).unwrap();
    back.settle();
    assert_eq!(back.photo(photo).unwrap(), store.photo(photo).unwrap());
    let history = |store: &Store| store.history(&DocumentKey::order("V-0031"), 50).unwrap();
    assert_eq!(history(&back), history(&store));
    let question = BoardQuestion { lane: None, skip: 0, limit: 50 };
    assert_eq!(back.board(&question).unwrap().counts, store.board(&question).unwrap().counts);
    let second = folder.path().join("second.archive");
    back.write_archive(&second).unwrap();
    assert_eq!(std::fs::read(&archive).unwrap(), std::fs::read(&second).unwrap(), "identical");
    let mut downloaded = Vec::new();
    std::io::Read::read_to_end(&mut store.archive_for_download().unwrap(), &mut downloaded).unwrap();
    assert_eq!(downloaded, std::fs::read(&archive).unwrap());
    let onto = Store::from_archive(&archive, &copy);
    assert!(matches!(onto, Err(ShopError::Write { .. })), "a shop is never overwritten");
    std::fs::write(&archive, &downloaded[..downloaded.len() / 2]).unwrap();
    let half = folder.path().join("half");
    assert!(matches!(Store::from_archive(&archive, &half), Err(ShopError::Archive(_))));
    assert!(!half.exists(), "half a shop is none");
}

#[test]
fn a_backup_is_made_while_the_shop_is_open_and_restored() {
    let folder = tempfile::tempdir().unwrap();
    let (file, backup, back) =
        (folder.path().join("shop"), folder.path().join("backup"), folder.path().join("back"));
    let store = Store::open(&file).unwrap();
    store.fill_demo("demo").unwrap();
    let key = DocumentKey::order("V-0031");
    let at = store.document(&key).unwrap().revision;
    assert!(store.back_up(&backup).unwrap().is_sound());
    saved(store.edit(&key, &finding::Path::new("order.client"), "later", at, TABLET).unwrap());
    assert!(store.verify().unwrap().is_sound());
    let restored = Store::restore_backup(&backup, &back).unwrap();
    assert_eq!(restored.document(&key).unwrap().revision, at);
    assert!(matches!(store.back_up(&backup), Err(ShopError::Backup(_))), "nothing is overwritten");
    assert!(matches!(Store::restore_backup(&backup, &back), Err(ShopError::Backup(_))));
}

#[test]
fn photos_are_cleaned_listed_and_put_away() {
    let store = demo_shop();
    let id = store.add_photo("V-0031", WorkStage::Survey, " both speakers ", PICTURE, TABLET).unwrap();
    let (view, bytes) = store.photo(id).unwrap();
    assert_eq!(
        (view.mime.as_str(), view.size, view.caption.as_str()),
        ("image/png", (2, 1), "both speakers")
    );
    assert!(!bytes.windows(5).any(|window| window == b"where"), "the remark is gone");
    assert_eq!(store.order("V-0031").unwrap().photos, [view]);
    store.remove_photo(id, TABLET).unwrap();
    assert_eq!(store.photos("V-0031").unwrap(), []);
    assert_eq!(store.all_photos("V-0031").unwrap().len(), 1, "it is kept");
    store.bring_back_photo(id, TABLET).unwrap();
    assert_eq!(store.photos("V-0031").unwrap().len(), 1);
    let script = store.add_photo("V-0031", WorkStage::Survey, "", b"<svg onload='x'>", TABLET);
    assert!(matches!(script, Err(ShopError::Photo(_))), "{script:?}");
}
