//! Tests of archives: there and back, and everything that may be wrong with one.

use super::lines::{End, to_line};
use super::tar::{TarReader, TarWriter};
use super::{ArchiveError, END};
use crate::identity::{RevisionNumber, Sequence};
use crate::kind::Kind;
use crate::ledger::Ledger;
use crate::moment::{Moment, Stamp};
use crate::run::RunOutcome;
use crate::seal::Digest;
use crate::snapshot::{Place, Reading};

const PHOTO: &[u8] = include_bytes!("../../tests/fixtures/photos/sent/phone.jpg");

fn stamp(at: i64) -> Stamp<'static> {
    Stamp::new(Moment::from_unix_millis(at), "tablet \"1\"\n").with_note("because")
}

/// A shop with one of everything, and every act of a document.
fn shop() -> Ledger {
    let mut ledger = Ledger::in_memory().unwrap();
    let number = RevisionNumber::new;
    let order = ledger.save(Kind::Order, "V-0031", "one\n", None, &stamp(1_000)).unwrap().document;
    for revision in 1..=20 {
        let text = format!("one\n{}", "x".repeat(usize::try_from(revision).unwrap()));
        ledger.save_upon(order, &text, number(revision), &stamp(2_000 + revision)).unwrap();
    }
    ledger.undo(order, number(21), &stamp(3_000)).unwrap();
    ledger.undo(order, number(22), &stamp(3_001)).unwrap();
    ledger.redo(order, number(23), &stamp(3_002)).unwrap();
    ledger.rename(order, "Größe-1", number(24), &stamp(3_003)).unwrap();
    ledger.delete(order, number(25), &stamp(3_004)).unwrap();
    ledger.undo(order, number(26), &stamp(-3_005)).unwrap();
    let part = ledger.save(Kind::Part, "oval-15x11", "", None, &stamp(4_000)).unwrap().document;
    ledger.delete(part, number(1), &stamp(4_001)).unwrap();
    let run = ledger.begin_run(order, &stamp(5_000)).unwrap();
    for line in ["{\"a\":1}", "{\"b\":\"ü\"}"] {
        ledger.append_line(run, line, Moment::from_unix_millis(5_001)).unwrap();
    }
    let readings = [
        Reading { place: Place { page: None, cv: 29 }, value: Some(6) },
        Reading { place: Place { page: None, cv: 30 }, value: None },
        Reading { place: Place { page: Some((16, 0)), cv: 257 }, value: Some(255) },
    ];
    ledger.keep_snapshot(order, Some(run), "demo-21-sound", &readings, &stamp(5_002)).unwrap();
    ledger.end_run(run, RunOutcome::Finished, &stamp(5_003)).unwrap();
    ledger.begin_run(order, &stamp(5_004)).unwrap();
    let photo = ledger.attach_photo(order, "survey", "brush", PHOTO, &stamp(6_000)).unwrap();
    ledger.attach_photo(order, "handover", "", PHOTO, &stamp(6_001)).unwrap();
    ledger.set_photo_hidden(photo, true, &stamp(6_002)).unwrap();
    ledger.move_stock("oval-15x11", 5, None, &stamp(7_000)).unwrap();
    ledger.move_stock("oval-15x11", -2, Some(order), &stamp(7_001)).unwrap();
    ledger
}

fn exported(ledger: &Ledger) -> Vec<u8> {
    let mut bytes = Vec::new();
    ledger.export(&mut bytes).unwrap();
    bytes
}

fn imported(bytes: &[u8]) -> Result<Ledger, ArchiveError> {
    let mut ledger = Ledger::in_memory().unwrap();
    let result = ledger.import(&mut &*bytes);
    if result.is_err() {
        assert_eq!(ledger.counts().unwrap(), crate::Counts::default(), "what failed kept something");
    }
    result.map(|_| ledger)
}

type Files = Vec<(String, Vec<u8>)>;

fn files(bytes: &[u8]) -> Files {
    let mut reader = TarReader::new(bytes);
    let mut files = Vec::new();
    while let Some(entry) = reader.next().unwrap() {
        let content = reader.content(&entry).unwrap();
        files.push((entry.path, content));
    }
    files
}

/// An archive of these files whose last one is right about the bytes before it.
fn sealed(files: Files) -> Vec<u8> {
    let mut writer = TarWriter::new(Vec::new());
    for (path, mut content) in files {
        if path == END {
            let mut end: End = serde_json::from_slice(&content).unwrap();
            end.digest = Digest::of(writer.out()).to_hex();
            content = to_line(&end).into_bytes();
        }
        writer.file(&path, 0, &content).unwrap();
    }
    writer.finish().unwrap()
}

/// The archive of [`shop`], changed in one file and sealed anew.
fn changed(path: &str, from: &str, to: &str) -> Vec<u8> {
    let mut files = files(&exported(&shop()));
    let file = files.iter_mut().find(|file| file.0 == path);
    let (_, content) = file.unwrap_or_else(|| panic!("no file {path}"));
    let text = String::from_utf8(content.clone()).unwrap();
    assert!(text.contains(from), "{from} is not in {path}: {text}");
    *content = text.replacen(from, to, 1).into_bytes();
    sealed(files)
}

#[test]
fn there_and_back_is_the_same_shop() {
    let shop = shop();
    let bytes = exported(&shop);
    let back = imported(&bytes).unwrap();
    assert!(exported(&back) == bytes, "export, import, export gives other bytes");
    assert_eq!(back.counts().unwrap(), shop.counts().unwrap());
    for kind in Kind::ALL {
        assert_eq!(back.documents(kind).unwrap(), shop.documents(kind).unwrap());
        assert_eq!(back.deleted_documents(kind).unwrap(), shop.deleted_documents(kind).unwrap());
    }
    let order = shop.documents(Kind::Order).unwrap()[0].id;
    assert_eq!(back.history(order).unwrap(), shop.history(order).unwrap());
    for record in shop.history(order).unwrap() {
        assert_eq!(back.at(order, record.number).unwrap(), shop.at(order, record.number).unwrap());
    }
    assert_eq!(back.undo_steps(order).unwrap(), shop.undo_steps(order).unwrap());
    assert_eq!(back.runs_of(order).unwrap(), shop.runs_of(order).unwrap());
    assert_eq!(back.snapshots_of(order).unwrap(), shop.snapshots_of(order).unwrap());
    assert_eq!(back.photos_of(order).unwrap(), shop.photos_of(order).unwrap());
    assert_eq!(back.movements("oval-15x11").unwrap(), shop.movements("oval-15x11").unwrap());
    let all = |ledger: &Ledger| ledger.changes_since(Sequence::START, 999).unwrap();
    assert_eq!(all(&back), all(&shop));
    assert_eq!(
        back.search(&crate::SearchQuery { words: "gross", kind: None, offset: 0, limit: 9 })
            .unwrap()
            .hits
            .len(),
        0
    );
    assert_eq!(back.untold(9).unwrap(), [order]);
}

#[test]
fn an_archive_can_be_read_without_backshop() {
    let files = files(&exported(&shop()));
    let paths: Vec<&str> =
        files.iter().map(|(path, _)| path.as_str()).filter(|path| !path.ends_with(".toml")).collect();
    let picture = paths.iter().find(|path| path.starts_with("pictures/")).unwrap();
    assert_eq!(
        paths,
        [
            "archive.json",
            "README.txt",
            "documents/000001-Gr__e-1/document.json",
            "documents/000001-Gr__e-1/revisions.jsonl",
            "documents/000002-oval-15x11/document.json",
            "documents/000002-oval-15x11/revisions.jsonl",
            "runs/000001/run.json",
            "runs/000001/journal.jsonl",
            "runs/000001/times.txt",
            "runs/000002/run.json",
            "runs/000002/journal.jsonl",
            "runs/000002/times.txt",
            "snapshots/000001.json",
            picture,
            "photos/photos-000001.jsonl",
            "stock/movements-000001.jsonl",
            "changes/changes-000001.jsonl",
            "end.json",
        ]
    );
    let content = |path: &str| files.iter().find(|file| file.0 == path).unwrap().1.as_slice();
    assert_eq!(content("documents/000001-Gr__e-1/000003.toml"), b"one\nxx");
    assert_eq!(content("runs/000001/journal.jsonl"), "{\"a\":1}\n{\"b\":\"ü\"}\n".as_bytes());
}

#[test]
fn an_archive_goes_into_an_empty_shop_only() {
    let bytes = exported(&shop());
    let mut ledger = shop();
    let refused = ledger.import(&mut bytes.as_slice());
    assert!(matches!(refused, Err(ArchiveError::NotEmpty)), "{refused:?}");
    assert!(exported(&ledger) == bytes);
    let empty = exported(&Ledger::in_memory().unwrap());
    assert!(exported(&imported(&empty).unwrap()) == empty);
}

#[test]
fn an_archive_cut_off_anywhere_is_refused() {
    let bytes = exported(&shop());
    // Behind the last file stands the end of the container, which is only zeros.
    let n_needed = bytes.len() - 2 * 512;
    for length in (0..n_needed).step_by(509).chain([n_needed - 512, n_needed - 1]) {
        assert!(imported(&bytes[..length]).is_err(), "cut at {length} of {n_needed}");
    }
}

#[test]
fn a_flipped_bit_anywhere_is_noticed() {
    let bytes = exported(&shop());
    let n_looked_at = bytes.len() - 3 * 512;
    for at in (0..n_looked_at).step_by(131) {
        let mut flipped = bytes.clone();
        flipped[at] ^= 0x10;
        assert!(imported(&flipped).is_err(), "byte {at} of {n_looked_at}");
    }
}

#[test]
fn what_nothing_else_seals_the_digest_of_the_whole_does() {
    let mut bytes = exported(&shop());
    let piece = b"oval-15x11";
    let at = bytes.windows(piece.len()).rposition(|window| window == piece).unwrap();
    bytes[at] = b'O';
    let refused = imported(&bytes).map(|_| ()).unwrap_err();
    let ArchiveError::Wrong { entry, what } = &refused else { panic!("{refused}") };
    assert_eq!((entry.as_str(), what.as_str()), (END, "the bytes before it are not those that were written"));
}

#[test]
fn what_is_damaged_is_not_exported() {
    for sql in [
        "DROP TRIGGER picture_stays; UPDATE picture SET bytes = x'FFD8FF'",
        "DROP TRIGGER revision_stays; UPDATE revision SET note = 'x' WHERE number = 3",
        "DROP TRIGGER entry_stays; UPDATE entry SET line = 'x'",
        "DROP TRIGGER reading_stays; UPDATE reading SET value = 7",
    ] {
        let ledger = shop();
        ledger.connection.execute_batch(sql).unwrap();
        let refused = ledger.export(&mut Vec::new());
        assert!(
            matches!(refused, Err(ArchiveError::Store(crate::StoreError::Damaged { .. }))),
            "{sql}: {refused:?}"
        );
    }
}

#[test]
fn what_does_not_fit_is_refused_even_where_the_digest_fits() {
    const REVISIONS: &str = "documents/000001-Gr__e-1/revisions.jsonl";
    let unchanged = changed("runs/000001/run.json", "", "");
    assert!(imported(&unchanged).is_ok(), "or the changes below show nothing");
    for (path, from, to, what) in [
        ("documents/000001-Gr__e-1/000003.toml", "xx", "xy", "revision 3 does not fit its seal"),
        (REVISIONS, "tablet", "phone1", "revision 1 does not fit its seal"),
        (REVISIONS, "\"number\":2,", "\"number\":3,", "it is not the text of the revision whose turn it is"),
        (REVISIONS, "\"act\":\"undone\"", "\"act\":\"done\"", "an act that nobody knows"),
        (
            REVISIONS,
            "\"state\":20,\"parent\":21",
            "\"state\":25,\"parent\":21",
            "it shows a state that there is not",
        ),
        (REVISIONS, "\"parent\":1,", "\"parent\":null,", "revision 2: its parent is not the state"),
        ("documents/000001-Gr__e-1/document.json", "Größe-1", "V-0031", "another name than its revisions"),
        ("documents/000001-Gr__e-1/document.json", "Größe-1", "../x", "no '.'"),
        (
            "documents/000001-Gr__e-1/document.json",
            "\"order\"",
            "\"oder\"",
            "a kind of document that nobody knows",
        ),
        ("documents/000002-oval-15x11/document.json", "\"id\":2", "\"id\":1", "UNIQUE"),
        ("runs/000001/run.json", "\"document\":1", "\"document\":9", "FOREIGN KEY"),
        ("runs/000001/run.json", "\"finished\"", "\"lost\"", "an outcome that nobody knows"),
        ("runs/000001/run.json", "\"finished\"", "null", "a run ends with an outcome and at a time"),
        ("runs/000001/times.txt", "5001\n", "", "there are more or fewer times than lines"),
        ("runs/000001/times.txt", "5001", "soon", "a time that is no number"),
        ("snapshots/000001.json", "[29,6]", "[29,6],[29,7]", "the snapshot has CV29 twice"),
        ("snapshots/000001.json", "[29,6]", "[2900,6]", "there is no CV2900"),
        ("snapshots/000001.json", "[29,6]", "[29,600]", "did not match"),
        ("photos/photos-000001.jsonl", ".jpg", ".png", "a photo of a picture that is not there"),
        ("stock/movements-000001.jsonl", "oval-15x11", "oval/15x11", "no '/'"),
        ("changes/changes-000001.jsonl", "\"seq\":2,", "\"seq\":3,", "a change is missing or out of turn"),
        (
            "changes/changes-000001.jsonl",
            "\"document\"",
            "\"weather\"",
            "a change of something that nobody knows",
        ),
        ("changes/changes-000001.jsonl", "\"by\"", "\"why\"", "unknown field"),
        (END, "\"photos\":2", "\"photos\":3", "it counts other things than the archive holds"),
    ] {
        let refused = imported(&changed(path, from, to)).map(|_| ()).unwrap_err();
        let ArchiveError::Wrong { what: found, .. } = &refused else { panic!("{path}, {to}: {refused}") };
        assert!(found.contains(what), "{path}, {to}: {found}");
    }
}

#[test]
fn files_that_are_missing_doubled_or_unknown_are_refused() {
    let whole = files(&exported(&shop()));
    for index in 1..whole.len() {
        if whole[index].0 == "README.txt" {
            continue;
        }
        let mut less = whole.clone();
        let (path, _) = less.remove(index);
        assert!(imported(&sealed(less)).is_err(), "without {path}");
        let mut more = whole.clone();
        more.insert(index, whole[index].clone());
        // The last file twice is as if the archive were followed by something else.
        assert!(imported(&sealed(more)).is_err() || whole[index].0 == END, "{path} twice");
    }
    let mut strange = whole.clone();
    strange.insert(2, ("../etc/passwd".to_owned(), b"x".to_vec()));
    let refused = imported(&sealed(strange)).map(|_| ()).unwrap_err();
    assert!(refused.to_string().contains("no archive has a file of this name"), "{refused}");
}

#[test]
fn other_things_are_no_archive() {
    let not = |bytes: &[u8]| imported(bytes).map(|_| ()).unwrap_err();
    assert!(matches!(not(b""), ArchiveError::CutOff));
    assert!(matches!(not(&[b'x'; 2048]), ArchiveError::NotAnArchive { .. }));
    assert!(matches!(not(&sealed(vec![("a.txt".to_owned(), vec![])])), ArchiveError::NotAnArchive { .. }));
    let newer = changed("archive.json", "\"version\":1", "\"version\":2");
    assert!(matches!(not(&newer), ArchiveError::Newer { found: 2 }));
    let other = changed("archive.json", "backshop-archive", "backshop-letters");
    assert!(matches!(not(&other), ArchiveError::NotAnArchive { .. }));
}

#[test]
fn a_writer_that_fails_is_told() {
    struct Full;
    impl std::io::Write for Full {
        fn write(&mut self, _: &[u8]) -> std::io::Result<usize> {
            Err(std::io::ErrorKind::StorageFull.into())
        }
        fn flush(&mut self) -> std::io::Result<()> {
            Ok(())
        }
    }
    let refused = shop().export(&mut Full);
    assert!(matches!(refused, Err(ArchiveError::Write(_))), "{refused:?}");
}
