//! A file that does not hold what was written to it.

use std::fs;
use std::path::Path;

use ledger::{Ledger, StoreError};

use crate::programs::Folder;
use crate::sample::{archive, fill};

/// A filled shop in one file without companions.
fn filled(place: &Path) -> Vec<u8> {
    let mut ledger = Ledger::open(place).unwrap();
    fill(&mut ledger);
    archive(&ledger)
}

/// Whether the shop in this file is told apart from the sound one: refused, or verified as damaged, or holding the very same.
/// Returns whether it was found to be damaged.
fn is_noticed(place: &Path, sound: &[u8]) -> bool {
    let ledger = match Ledger::open(place) {
        Ok(ledger) => ledger,
        Err(StoreError::Damaged { .. } | StoreError::NotAShop { .. } | StoreError::Newer { .. }) => {
            return true;
        }
        // A schema that reads otherwise makes statements wrong that are right.
        Err(StoreError::Refused { .. } | StoreError::Disk { .. }) => return true,
        Err(error) => panic!("{error}"),
    };
    match ledger.verify() {
        Ok(verification) if !verification.is_sound() => return true,
        Ok(_) => {}
        Err(_) => return true,
    }
    // What is not sealed may differ in letters; the sealed files of the archive must be the same.
    let mut bytes = Vec::new();
    ledger.export(&mut bytes).unwrap();
    for (path, content) in files(sound) {
        let is_sealed = ["documents/", "pictures/"].iter().any(|folder| path.starts_with(folder))
            || path.ends_with("journal.jsonl")
            || path.starts_with("snapshots/");
        if is_sealed {
            let found = files(&bytes).into_iter().find(|file| file.0 == path);
            assert!(found.is_some_and(|file| file.1 == content), "{path} differs and nobody noticed");
        }
    }
    false
}

/// The files of an archive, by its headers.
fn files(mut archive: &[u8]) -> Vec<(String, &[u8])> {
    let mut files = Vec::new();
    while archive[0] != 0 {
        let (header, rest) = archive.split_at(512);
        let text = |range| std::str::from_utf8(&header[range]).unwrap().trim_end_matches('\0');
        let n_bytes = usize::from_str_radix(text(124..136), 8).unwrap();
        files.push((text(0..100).to_owned(), &rest[..n_bytes]));
        archive = &rest[n_bytes.div_ceil(512) * 512..];
    }
    files
}

#[test]
fn flipped_bytes_are_noticed_or_harm_nothing() {
    let folder = Folder::new();
    let sound = folder.file("sound.sqlite");
    let expected = filled(&sound);
    let bytes = fs::read(&sound).unwrap();
    let hit = folder.file("hit.sqlite");
    let (mut n_flips, mut n_noticed) = (0, 0);
    // A step without a factor in common with the size of pages, so that all parts of pages are hit.
    for at in (0..bytes.len()).step_by(397) {
        let mut flipped = bytes.clone();
        flipped[at] ^= 0x21;
        fs::write(&hit, &flipped).unwrap();
        n_flips += 1;
        n_noticed += usize::from(is_noticed(&hit, &expected));
        for companion in ["hit.sqlite-wal", "hit.sqlite-shm"] {
            let _ = fs::remove_file(folder.file(companion));
        }
    }
    assert!(n_flips > 200, "{n_flips} flips show too little");
    // Most of so small a shop's file is the free space of pages with a few rows each, and the search index.
    assert!(n_noticed * 10 > n_flips, "only {n_noticed} of {n_flips} were noticed");
}

#[test]
fn a_file_that_is_cut_off_is_noticed_and_says_what_to_do() {
    let folder = Folder::new();
    let shop = folder.file("shop.sqlite");
    filled(&shop);
    let bytes = fs::read(&shop).unwrap();
    fs::write(&shop, &bytes[..bytes.len() / 2]).unwrap();
    let told = match Ledger::open(&shop) {
        Err(error) => error.to_string(),
        Ok(ledger) => match ledger.verify() {
            Err(error) => error.to_string(),
            Ok(verification) => {
                assert!(!verification.is_sound());
                verification.damages[0].to_string()
            }
        },
    };
    assert!(told.contains("damaged") || told.contains("structure") || told.contains("read"), "{told}");
    let advice = StoreError::Damaged { what: "page 3".to_owned() }.to_string();
    assert!(
        advice.contains("let a verification name what is hit, and restore the newest backup"),
        "{advice}"
    );
}
