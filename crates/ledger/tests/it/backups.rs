//! Copies of a shop in use, and the way back.

use std::fs;
use std::sync::atomic::{AtomicBool, Ordering};
use std::thread;

use ledger::{BackupError, Kind, Ledger, NEWEST_FORM, StoreError};

use crate::programs::Folder;
use crate::sample::{archive, fill, number, stamp};

#[test]
fn a_backup_is_the_shop_and_comes_back_as_it() {
    let folder = Folder::new();
    let mut ledger = Ledger::open(&folder.file("shop.sqlite")).unwrap();
    fill(&mut ledger);
    let expected = archive(&ledger);
    let backup = folder.file("backup.sqlite");
    let verification = ledger.backup(&backup).unwrap();
    assert!(verification.is_sound());
    assert_eq!(verification.counts, Some(ledger.counts().unwrap()));
    // What comes after it is not in it.
    ledger.save(Kind::Order, "V-0040", "later", None, &stamp(9_000)).unwrap();
    let back = folder.file("back.sqlite");
    let restored = Ledger::restore(&backup, &back).unwrap();
    assert_eq!(restored.counts, verification.counts);
    let shop = Ledger::open(&back).unwrap();
    assert!(archive(&shop) == expected);
    assert_eq!(
        shop.search(&ledger::SearchQuery { words: "brush", kind: None, offset: 0, limit: 9 })
            .unwrap()
            .hits
            .len(),
        1
    );
    // A backup is one file: it may be carried away without companions.
    let names: Vec<String> = fs::read_dir(folder.path())
        .unwrap()
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .filter(|name| name.starts_with("backup"))
        .collect();
    assert_eq!(names, ["backup.sqlite"]);
}

#[test]
fn nothing_is_overwritten() {
    let folder = Folder::new();
    let mut ledger = Ledger::open(&folder.file("shop.sqlite")).unwrap();
    fill(&mut ledger);
    let backup = folder.file("backup.sqlite");
    ledger.backup(&backup).unwrap();
    let letter = folder.file("letter.txt");
    fs::write(&letter, "Dear client").unwrap();
    for to in [&letter, &backup, &folder.file("shop.sqlite")] {
        let refused = ledger.backup(to).unwrap_err();
        assert!(
            refused.to_string().ends_with("is there already and is not overwritten: name a new file"),
            "{refused}"
        );
        let refused = Ledger::restore(&backup, to);
        assert!(matches!(refused, Err(BackupError::Exists { .. })), "{refused:?}");
    }
    assert_eq!(fs::read_to_string(&letter).unwrap(), "Dear client");
    assert!(ledger.verify().unwrap().is_sound());
    let refused = ledger.backup(&folder.file("nowhere/backup.sqlite"));
    assert!(matches!(refused, Err(BackupError::Store(StoreError::CannotOpen { .. }))), "{refused:?}");
}

#[test]
fn what_is_no_sound_backup_is_not_restored_and_leaves_nothing() {
    let folder = Folder::new();
    let to = folder.file("to.sqlite");
    let nowhere = Ledger::restore(&folder.file("nowhere"), &to);
    assert!(matches!(nowhere, Err(BackupError::NoSuchBackup { .. })), "{nowhere:?}");
    let letter = folder.file("letter.txt");
    fs::write(&letter, "Dear client, ".repeat(100)).unwrap();
    let empty = folder.file("empty");
    fs::write(&empty, "").unwrap();
    for from in [&letter, &empty] {
        let refused = Ledger::restore(from, &to);
        assert!(matches!(refused, Err(BackupError::Store(StoreError::NotAShop { .. }))), "{refused:?}");
    }
    let mut ledger = Ledger::open(&folder.file("shop.sqlite")).unwrap();
    fill(&mut ledger);
    let backup = folder.file("backup.sqlite");
    ledger.backup(&backup).unwrap();
    let newer = folder.file("newer.sqlite");
    fs::copy(&backup, &newer).unwrap();
    let connection = rusqlite::Connection::open(&newer).unwrap();
    connection.pragma_update(None, "user_version", NEWEST_FORM + 1).unwrap();
    drop(connection);
    let refused = Ledger::restore(&newer, &to);
    assert!(matches!(refused, Err(BackupError::Store(StoreError::Newer { .. }))), "{refused:?}");
    // A text that fell over: SQLite sees nothing, the seal does.
    let mut bytes = fs::read(&backup).unwrap();
    let piece = b"measured measured";
    let at = bytes.windows(piece.len()).position(|window| window == piece).unwrap();
    bytes[at] = b'M';
    fs::write(&backup, bytes).unwrap();
    let refused = Ledger::restore(&backup, &to).unwrap_err();
    assert!(matches!(refused, BackupError::Damaged { .. }), "{refused}");
    assert!(refused.to_string().ends_with("it was not kept; restore an older backup"), "{refused}");
    assert!(!to.exists());
}

#[test]
fn a_backup_is_made_while_others_save() {
    let folder = Folder::new();
    let shop = folder.file("shop.sqlite");
    let mut writer = Ledger::open(&shop).unwrap();
    fill(&mut writer);
    let reader = writer.another().unwrap();
    let is_done = AtomicBool::new(false);
    let n_saved = thread::scope(|scope| {
        let saving = scope.spawn(|| {
            let id = writer.save(Kind::Order, "V-0050", "0", None, &stamp(1)).unwrap().document;
            let mut n_saved = 1_i64;
            while !is_done.load(Ordering::Relaxed) {
                writer.save_upon(id, &n_saved.to_string(), number(n_saved), &stamp(1)).unwrap();
                n_saved += 1;
            }
            n_saved
        });
        for index in 0..5 {
            let verification = reader.backup(&folder.file(&format!("backup-{index}.sqlite"))).unwrap();
            assert!(verification.is_sound());
        }
        is_done.store(true, Ordering::Relaxed);
        saving.join().unwrap()
    });
    let mut n_before = 0;
    for index in 0..5 {
        let backup = Ledger::open(&folder.file(&format!("backup-{index}.sqlite"))).unwrap();
        let order = backup.find(Kind::Order, "V-0050").unwrap();
        let n_kept = order.map_or(0, |order| order.head.get());
        assert!((n_before..=n_saved).contains(&n_kept), "backup {index}: {n_kept} of {n_saved}");
        n_before = n_kept;
    }
}
