//! Faults as a person meets them, and the schema beside the reader.
#![expect(unreachable_pub, reason = "the macros under test declare public types, as rooms above need them")]

use proptest::prelude::*;
use quantities::{Current, MeterReading};

use crate::{Bounded, Checked, Checker, Faults, Keyed, Name, OneOrMore, decode, read, schema};

crate::words! {
    /// How a part is marked.
    pub enum Mark: "a polarity" {
        /// Printed on the part.
        Marked = "marked",
        /// Not known.
        Unknown = "unknown",
    }
}

crate::record! {
    /// A speaker.
    pub struct Speaker {
        /// Its name.
        pub name: Name,
        /// How it is marked.
        pub polarity: Mark,
        /// What the meter said.
        pub reading: Option<MeterReading>,
    }
}

crate::record! {
    /// A small order.
    pub struct Order {
        /// Current with the motor held.
        pub stall_current: Current,
        /// A CV number.
        pub cv: Option<Bounded<1, 1024>>,
        /// All speakers.
        pub speaker: Vec<Speaker>,
        /// Keys.
        pub keys: Keyed<String_, OneOrMore<String>>,
    }
}

/// A key that must start with F.
#[derive(Debug, Clone, PartialEq)]
pub struct String_(String);

impl std::str::FromStr for String_ {
    type Err = String;
    fn from_str(text: &str) -> Result<Self, String> {
        if text.starts_with('F') {
            Ok(Self(text.to_owned()))
        } else {
            Err("keys are named F0 to F68".to_owned())
        }
    }
}

impl Checked for Order {
    fn check(&self, checker: &mut Checker) {
        let path = |name: &Name| finding::Path::new(format!("speaker.{name}.name"));
        checker.unique("speakers", self.speaker.iter().map(|speaker| (path(&speaker.name), &speaker.name)));
    }
}

#[track_caller]
fn faults(text: &str) -> String {
    read::<Order>("order.toml", text).unwrap_err().to_string()
}

#[test]
fn a_sound_document_is_read_with_places() {
    let text = "stall-current = \"0.62 A\"\ncv = 0x1D\n[[speaker]]\nname = \"B\"\npolarity = \"marked\"\n[keys]\nF2 = [\"horn\", \"bell\"]\nF3 = \"bell\"\n";
    let document = read::<Order>("order.toml", text).unwrap();
    assert_eq!(document.value.cv.unwrap().get(), 29);
    assert_eq!(document.value.keys.0[0].1.0.len(), 2);
    let position = document.position(&finding::Path::new("speaker.B.polarity"));
    assert_eq!((position.line, position.column), (5, 1));
    let missing = document.position(&finding::Path::new("speaker.B.reading"));
    assert_eq!(missing.line, 3, "a fact that is not written is told at its table");
}

#[test]
fn all_faults_at_once_with_the_nearest_word() {
    let text = "stall-current = 0.62\ncv = 1025\nspeker = 1\n[[speaker]]\nname = \"B!\"\npolarity = \"marcked\"\n[keys]\nG2 = \"horn\"\n";
    assert_eq!(
        faults(text),
        "order.toml:1:17: `0.62` has no unit; an electrical current needs one\n  \
         stall-current = 0.62\n                  ^^^^\n  \
         help: write one of \"0.62 µA\", \"0.62 mA\" or \"0.62 A\"\n\
         order.toml:2:6: 1025 is out of range\n  cv = 1025\n       ^^^^\n  help: write a whole number from 1 to 1024\n\
         order.toml:3:1: unknown key `speker`\n  speker = 1\n  ^^^^^^\n  help: did you mean `speaker`?\n\
         order.toml:5:8: a name may hold letters, digits, `-`, `_` and `+` only\n  name = \"B!\"\n         ^^^^\n  \
         help: write a short name like \"A\" or \"oval-15x11\"\n\
         order.toml:6:12: `marcked` is not a polarity\n  polarity = \"marcked\"\n             ^^^^^^^^^\n  help: did you mean \"marked\"?\n\
         order.toml:8:1: `G2` is not a key of keys\n  G2 = \"horn\"\n  ^^\n  help: keys are named F0 to F68"
    );
}

#[test]
fn syntax_faults_do_not_hide_the_others() {
    let text = faults("stall-current = \ncv = true\n");
    assert!(text.contains("order.toml:1:17"), "{text}");
    assert!(
        text.contains("true or false where a whole number from 1 to 1024 without quotes belongs"),
        "{text}"
    );
}

#[test]
fn missing_duplicate_and_empty() {
    assert!(faults("cv = 1").contains("the key `stall-current` is missing"));
    assert!(faults("  \n").contains("the document is empty"));
    let two = "stall-current = \"1 A\"\nspeaker = [{ name = \"A\", polarity = \"marked\" }, { name = \"A\", polarity = \"marked\" }]";
    assert!(faults(two).contains("there are two speakers named `A`"), "{}", faults(two));
    assert!(faults("stall-current = \"1 A\"\nstall-current = \"2 A\"").contains("duplicate key"));
}

#[test]
fn bytes_that_are_no_text() {
    let refused = |bytes: &[u8]| -> String {
        decode("x", bytes).map_err(|faults: Faults| faults.list[0].headline.clone()).unwrap_err()
    };
    assert_eq!(refused(b"PK\x03\x04\0\0"), "the file is not text: byte 4 is zero");
    assert_eq!(refused(b"a = 1\nb = \"\xE4\""), "the file is not in UTF-8: byte 0xE4 in line 2");
    assert_eq!(refused(&[0xFF, 0xFE, b'a']), "the file is in UTF-16");
    assert!(refused(&vec![b' '; (4 << 20) + 1]).contains("at most"));
    assert_eq!(decode("x", "\u{feff}a = 1".as_bytes()).unwrap(), "a = 1");
}

#[test]
fn the_schema_follows_the_declaration() {
    let schema = schema::<Order>("small order");
    let order = &schema["$defs"]["Order"];
    assert_eq!(order["required"], serde_json::json!(["stall-current"]));
    assert_eq!(order["additionalProperties"], false);
    assert_eq!(order["properties"]["cv"]["maximum"], 1024);
    assert_eq!(schema["$defs"]["Speaker"]["properties"]["polarity"]["oneOf"][0]["const"], "marked");
    assert_eq!(schema["$defs"]["Speaker"]["description"], "A speaker.");
}

proptest! {
    #[test]
    fn any_text_is_read_or_refused_with_reasons(text in "[a-z0-9=\"\\[\\]{}., \n#-]{0,200}") {
        if let Err(faults) = read::<Order>("x", &text) {
            prop_assert!(!faults.list.is_empty());
            prop_assert!(!faults.to_string().is_empty());
        }
    }

    #[test]
    fn any_bytes_are_decoded_or_refused(bytes in proptest::collection::vec(any::<u8>(), 0..200)) {
        let _ = decode("x", &bytes).map(|text| read::<Order>("x", &text).map_err(|faults| faults.to_string()).err());
    }
}
