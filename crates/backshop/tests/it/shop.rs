//! The shop's file from the command line, and the card as a PDF.

use crate::program::Folder;

#[test]
fn documents_go_in_and_out_and_the_board_shows_them() {
    let folder = Folder::with_demo("shop-files");
    let shop = |arguments: &[&str]| {
        let mut all = vec!["shop", "--shop", "mine"];
        all.extend(arguments);
        folder.run(&all)
    };
    let imported = shop(&["import", ".", "--format", "json"]).ends_with(0).json();
    assert!(imported["begun"].as_array().unwrap().contains(&"order V-0031".into()), "{imported}");
    let board = shop(&["board", "--format", "json"]).ends_with(0).json();
    let orders = board["orders"].as_array().unwrap();
    assert_eq!(orders.len(), 7);
    let held = orders.iter().find(|row| row["order"] == "V-0035").unwrap();
    assert_eq!(held["waits-for"], "nothing");
    assert!(held["stops"].as_u64() > Some(0));
    assert!(shop(&["board"]).ends_with(0).out().contains("V-0031  waits for "));
    assert!(shop(&["find", "six-chime"]).ends_with(0).out().contains("order V-0036"));
    shop(&["find", "nobody", "wrote", "this"]).ends_with(1);
    shop(&["export", "out"]).ends_with(0);
    let text = |name: &str| std::fs::read_to_string(folder.path(name)).unwrap();
    assert_eq!(text("out/orders/V-0031.toml"), text("orders/V-0031.toml"));
    let again = shop(&["import", "out", "--format", "json"]).ends_with(0).json();
    assert_eq!(again["begun"].as_array().unwrap().len(), 0);
    assert_eq!(again["changed"].as_array().unwrap().len(), 0);
    folder.write("out/orders/broken.toml", [0xFF, 0xFE, 0x00]);
    let talk = shop(&["import", "out"]).ends_with(1).talk();
    assert!(talk.contains("left out") && talk.contains("broken.toml"), "{talk}");
}

#[test]
fn an_archive_and_a_backup_bring_the_same_shop_back() {
    let folder = Folder::with_demo("shop-copies");
    let of = |shop: &str, arguments: &[&str]| {
        let mut all = vec!["shop", "--shop", shop];
        all.extend(arguments);
        folder.run(&all)
    };
    of("mine", &["import", "."]).ends_with(0);
    of("mine", &["archive", "all.archive"]).ends_with(0);
    of("again", &["unpack", "all.archive"]).ends_with(0);
    of("again", &["archive", "again.archive"]).ends_with(0);
    let bytes = |name: &str| std::fs::read(folder.path(name)).unwrap();
    assert_eq!(bytes("all.archive"), bytes("again.archive"));
    of("mine", &["backup", "kept"]).ends_with(0);
    of("restored", &["restore", "kept"]).ends_with(0);
    of("restored", &["verify"]).ends_with(0);
    assert_eq!(of("restored", &["board"]).out(), of("mine", &["board"]).out());
    // Nothing is ever overwritten, and what is no shop is left as it is.
    of("mine", &["backup", "kept"]).ends_with(2);
    of("restored", &["restore", "kept"]).ends_with(2);
    of("again", &["unpack", "all.archive"]).ends_with(2);
    let talk = of("orders/V-0031.toml", &["board"]).ends_with(2).talk();
    assert!(talk.contains("is not a shop"), "{talk}");
    of("other", &["unpack", "orders/V-0031.toml"]).ends_with(2);
    assert!(!folder.path("other").exists(), "a shop that came to nothing is taken away");
}

#[test]
fn a_card_without_a_browser_says_so_plainly() {
    let folder = Folder::with_demo("pdf");
    let ran = folder
        .command(&["card", "orders/V-0031.toml", "--pdf"])
        .env("PATH", folder.path("nothing"))
        .env_remove("BACKSHOP_BROWSER")
        .output()
        .unwrap();
    let talk = String::from_utf8(ran.stderr).unwrap();
    // Some systems have a browser at a place of its own, outside the search path.
    if ran.status.code() == Some(2) {
        assert!(talk.contains("no browser was found") && talk.contains("chromium"), "{talk}");
        assert!(talk.contains("save as PDF"), "{talk}");
        assert!(!folder.path("V-0031.pdf").exists());
    } else {
        assert!(std::fs::read(folder.path("V-0031.pdf")).unwrap().starts_with(b"%PDF-"));
    }
    let ran = folder
        .command(&["card", "orders/V-0031.toml", "--pdf"])
        .env("BACKSHOP_BROWSER", env!("CARGO_BIN_EXE_backshop"))
        .output()
        .unwrap();
    assert_eq!(ran.status.code(), Some(2), "a program that is no browser prints nothing");
    assert!(String::from_utf8(ran.stderr).unwrap().contains("did not print the card"));
}
