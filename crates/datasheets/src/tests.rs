//! The sheets that ship are whole, and sheets that contradict themselves are refused.

use proptest::prelude::*;

use crate::{
    BitRange, PartKind, PinSignal, RoleName, Sheet, Shelf, read_sheet, sheet_schema, standard_sheets,
};

#[test]
fn every_standard_sheet_reads() {
    for (name, text) in standard_sheets() {
        if let Err(faults) = read_sheet(name, text) {
            panic!("{faults}");
        }
    }
    let shelf = Shelf::standard();
    assert_eq!(shelf.parts().count(), standard_sheets().len());
    assert!(shelf.sockets.values().all(|sheet| sheet.part.source.is_some()), "each socket names its source");
}

#[test]
fn a_socket_is_found_by_either_name() {
    let shelf = Shelf::standard();
    let name = documents::Name::new("21MTC").unwrap();
    let sheet = shelf.socket(&name).unwrap();
    assert_eq!(sheet.pin(PinSignal::SpeakerA).unwrap().number.get(), 9);
    assert!(sheet.has_speaker_pins());
}

const DECODER: &str = r#"
[part]
name = "x"
kind = "decoder"
title = "x"
[decoder]
sockets = ["NEM652"]
motor-current = "1 A"
manufacturer = 13
version = 1
modes = ["direct"]
reading = "NMRA"
cvs = ["1-8"]
lock = false
[key-map]
method = "matrix"
highest-key = 12
"#;

#[track_caller]
fn refused(more: &str, message: &str) {
    let text = format!("{DECODER}{more}");
    let faults = read_sheet("x.toml", &text).unwrap_err().to_string();
    assert!(faults.contains(message), "{faults}");
}

#[test]
fn contradictory_decoder_sheets_are_refused() {
    refused(
        "[[role]]\nname = \"voice.horn\"\ncv = 140\nbits = \"0-3\"\n[[role]]\nname = \"voice.bell\"\ncv = 140\nbits = \"3-5\"",
        "x.toml:24:1: roles `voice.horn` and `voice.bell` overlap in CV140",
    );
    refused("[[role]]\nname = \"voice.horn\"\ncv = 140\nbits = \"0-8\"", "`0-8` are not bits of a CV");
    refused(
        "[[role]]\nname = \"voice.horn\"\ncv = 300",
        "CV300 is seen through a page, but no page is given",
    );
    refused(
        "[[role]]\nname = \"voice.horn\"\ncv = 3\npage = { high = 0, low = 1 }",
        "CV3 is not seen through a page",
    );
    refused(
        "[[role]]\nname = \"voice.horn\"\ncv = 140\nbits = \"0-1\"\ndefault = 4",
        "the default 4 does not fit into bits 0-1",
    );
    refused(
        "[[role]]\nname = \"level.horn\"\ncv = 140\nlaw = { kind = \"amplitude\" }",
        "the law `amplitude` needs `full`",
    );
    refused("[[role]]\nname = \"voice.trumpet\"\ncv = 140", "`voice.trumpet` is not a role");
    refused(
        "[[role]]\nname = \"voice.horn\"\ncv = 140\nchoices = [{ value = 1, is = { chimes = 3 } }, { value = 1, is = { chimes = 5 } }]",
        "the value 1 is given twice",
    );
    refused(
        "[[output]]\nnumber = 1\nname = \"a\"\nkind = \"logic\"\n[[output]]\nnumber = 1\nname = \"b\"\nkind = \"logic\"",
        "output number 1 is given twice",
    );
}

#[test]
fn kinds_are_told_apart() {
    let error = read_sheet("x.toml", "[part]\nkind = \"speeker\"").unwrap_err().to_string();
    assert!(
        error.contains("x.toml:2:1: `speeker` is not a kind of part")
            && error.contains("did you mean \"speaker\"?"),
        "{error}"
    );
    assert!(read_sheet("x.toml", "[part]\n").unwrap_err().to_string().contains("does not say what kind"));
    for kind in PartKind::ALL {
        assert!(sheet_schema(*kind)["$ref"].is_string());
    }
}

#[test]
fn a_key_table_makes_one_role_a_key() {
    let table = DECODER.replace("method = \"matrix\"\nhighest-key = 12", "method = \"key table\"\nhighest-key = 28\ncv = 300\npage = { high = 16, low = 2 }\nchoices = [{ value = 3, is = { does = \"horn\" } }]");
    let Sheet::Decoder(sheet) = read_sheet("x.toml", &table).unwrap().value else { panic!("a decoder") };
    let role = sheet.role("key.F28".parse().unwrap()).unwrap();
    assert_eq!(role.place().to_string(), "CV328 (page 16/2)");
}

proptest! {
    #[test]
    fn bits_place_and_extract_are_inverse(lowest in 0u8..8, width in 0u8..8, content in any::<u8>(), value in any::<u8>()) {
        if let Some(range) = BitRange::new(lowest, lowest.saturating_add(width)) {
            match range.place(value) {
                Some(placed) => prop_assert_eq!(range.extract((content & !range.mask()) | placed), value),
                None => prop_assert!(value > range.most()),
            }
        }
    }

    #[test]
    fn role_names_print_and_read_back(text in "(voice|level)\\.(engine|horn|bell|master)|output\\.[1-9]\\.(effect|brightness)|key\\.F[0-9]") {
        if let Ok(name) = text.parse::<RoleName>() {
            prop_assert_eq!(name.to_string(), text);
        }
    }
}
