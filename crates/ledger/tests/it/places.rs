//! Places where a shop cannot be: each is refused with a reason, and nothing there is touched.

use std::fs;
use std::path::Path;

use ledger::{DocumentError, Kind, Ledger, StoreError};

use crate::programs::{Folder, command, other_programs_shop};
use crate::sample::{archive, fill, stamp};

#[test]
fn a_shop_begins_where_there_is_nothing_or_an_empty_file() {
    let folder = Folder::new();
    for name in ["new.sqlite", "file:x?mode=memory", "a b ü.sqlite"] {
        let shop = folder.file(name);
        Ledger::open(&shop).unwrap();
        assert!(shop.is_file(), "{name}");
    }
    let empty = folder.file("empty.sqlite");
    fs::write(&empty, b"").unwrap();
    let mut ledger = Ledger::open(&empty).unwrap();
    fill(&mut ledger);
    let before = archive(&ledger);
    drop(ledger);
    assert!(archive(&Ledger::open(&empty).unwrap()) == before);
}

#[test]
fn files_of_others_are_not_touched() {
    let folder = Folder::new();
    let letter = folder.file("letter.txt");
    fs::write(&letter, "Dear client, ".repeat(100)).unwrap();
    let before = fs::read(&letter).unwrap();
    let refused = Ledger::open(&letter).unwrap_err();
    assert!(refused.to_string().contains("is not a shop: it is no database at all"), "{refused}");
    assert!(
        refused.to_string().contains("letter.txt")
            && refused.to_string().contains("nothing in it was touched")
    );
    assert_eq!(fs::read(&letter).unwrap(), before);

    let foreign = folder.file("foreign.sqlite");
    let connection = rusqlite::Connection::open(&foreign).unwrap();
    connection.execute_batch("CREATE TABLE songs (title TEXT)").unwrap();
    drop(connection);
    let before = fs::read(&foreign).unwrap();
    let refused = Ledger::open(&foreign).unwrap_err();
    assert!(matches!(refused, StoreError::NotAShop { .. }), "{refused}");
    assert_eq!(fs::read(&foreign).unwrap(), before);
    let files: Vec<_> =
        fs::read_dir(folder.path()).unwrap().map(|entry| entry.unwrap().file_name()).collect();
    assert_eq!(files.len(), 2, "{files:?}");
}

#[test]
fn a_shop_of_a_newer_program_is_not_touched() {
    let folder = Folder::new();
    let shop = folder.file("shop.sqlite");
    drop(Ledger::open(&shop).unwrap());
    let connection = rusqlite::Connection::open(&shop).unwrap();
    connection.pragma_update(None, "user_version", 1_000).unwrap();
    drop(connection);
    let before = fs::read(&shop).unwrap();
    let refused = Ledger::open(&shop).unwrap_err();
    assert!(matches!(refused, StoreError::Newer { found: 1_000, .. }), "{refused}");
    assert_eq!(fs::read(&shop).unwrap(), before);
}

#[test]
fn folders_and_places_that_do_not_exist() {
    let folder = Folder::new();
    let refused = Ledger::open(folder.path()).unwrap_err();
    assert!(refused.to_string().contains("it is a folder"), "{refused}");
    let refused = Ledger::open(&folder.file("nowhere/shop.sqlite")).unwrap_err();
    assert!(matches!(refused, StoreError::CannotOpen { .. }), "{refused}");
    assert!(refused.to_string().contains("name a file in a folder that exists"), "{refused}");
    assert!(!folder.file("nowhere").exists());
}

/// Opens shops in places that may only be read, as somebody for whom that counts.
#[test]
fn other_program_without_rights() {
    let Some(folder) = other_programs_shop() else { return };
    let is_read_only = |place: &Path| match Ledger::open(place) {
        Err(StoreError::ReadOnly) => {}
        other => panic!("{}: {other:?}", place.display()),
    };
    is_read_only(&folder.join("locked/new.sqlite"));
    is_read_only(&folder.join("locked/shop.sqlite"));
    is_read_only(&folder.join("open/shop.sqlite"));
    println!("\nall refused");
}

#[cfg(unix)]
#[test]
fn read_only_folders_and_files_are_said_to_be_so() {
    use std::os::unix::fs::{MetadataExt, PermissionsExt};
    use std::os::unix::process::CommandExt;

    let folder = Folder::new();
    let allow = |place: &Path, mode| fs::set_permissions(place, fs::Permissions::from_mode(mode)).unwrap();
    for (name, folder_mode, file_mode) in [("locked", 0o555, 0o666), ("open", 0o777, 0o444)] {
        fs::create_dir(folder.file(name)).unwrap();
        let shop = folder.file(name).join("shop.sqlite");
        let mut ledger = Ledger::open(&shop).unwrap();
        ledger.save(Kind::Order, "V-0031", "text", None, &stamp(1)).unwrap();
        drop(ledger);
        allow(&shop, file_mode);
        allow(&folder.file(name), folder_mode);
    }
    // Rights mean nothing to the superuser: then the other program is somebody else, who may also not reach this binary.
    let binary = folder.file("other");
    fs::copy(std::env::current_exe().unwrap(), &binary).unwrap();
    allow(&binary, 0o755);
    allow(folder.path(), 0o755);
    let mut command = command(&binary, "places::other_program_without_rights", folder.path());
    if fs::metadata(folder.path()).unwrap().uid() == 0 {
        command.uid(65_534).current_dir(folder.path());
    }
    let output = command.output().unwrap();
    let told = String::from_utf8_lossy(&output.stdout);
    assert!(told.contains("all refused"), "{told}{}", String::from_utf8_lossy(&output.stderr));
    for name in ["locked", "open"] {
        allow(&folder.file(name), 0o755);
        allow(&folder.file(name).join("shop.sqlite"), 0o644);
        assert!(Ledger::open(&folder.file(name).join("shop.sqlite")).unwrap().verify().unwrap().is_sound());
    }
    let text = StoreError::ReadOnly.to_string();
    assert!(text.contains("everything before it was") && text.contains("allow writing"), "{text}");
}

#[cfg(unix)]
#[test]
fn a_shop_that_was_moved_or_replaced_while_it_is_open_takes_no_more() {
    let folder = Folder::new();
    let (shop, moved) = (folder.file("shop.sqlite"), folder.file("moved.sqlite"));
    let mut ledger = Ledger::open(&shop).unwrap();
    ledger.save(Kind::Order, "V-0031", "text", None, &stamp(1)).unwrap();
    let mut is_refused = |what| {
        let refused = ledger.save(Kind::Order, "V-0032", "text", None, &stamp(1)).unwrap_err();
        assert!(matches!(refused, DocumentError::Store(StoreError::Moved)), "{what}: {refused}");
    };
    fs::rename(&shop, &moved).unwrap();
    is_refused("moved");
    fs::copy(&moved, &shop).unwrap();
    is_refused("replaced");
    fs::rename(&moved, &shop).unwrap();
    ledger.save(Kind::Order, "V-0033", "text", None, &stamp(1)).unwrap();
    drop(ledger);
    let ledger = Ledger::open(&shop).unwrap();
    assert!(ledger.verify().unwrap().is_sound());
    assert_eq!(ledger.documents(Kind::Order).unwrap().len(), 2);
}
