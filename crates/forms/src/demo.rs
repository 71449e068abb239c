//! The demo's documents with their schemas, for tests.

use std::fs;
use std::path::{Path as FilePath, PathBuf};

use datasheets::{PartKind, Shelf, sheet_schema, standard_sheets};
use serde_json::Value;
use workorder::{Train, WorkOrder};

pub(crate) struct Demo {
    pub(crate) name: String,
    pub(crate) text: String,
    pub(crate) schema: Value,
}

pub(crate) fn order_schema() -> Value {
    documents::schema::<WorkOrder>("work order")
}

pub(crate) fn order(number: &str) -> Demo {
    let name = format!("{number}.toml");
    let text = fs::read_to_string(folder("orders").join(&name)).unwrap();
    Demo { name, text, schema: order_schema() }
}

fn folder(name: &str) -> PathBuf {
    FilePath::new(env!("CARGO_MANIFEST_DIR")).join("../../demo").join(name)
}

/// Orders, trains and part sheets of the demo, and the standard's sheets.
pub(crate) fn demos() -> Vec<Demo> {
    let mut demos = Vec::new();
    for (folder, schema) in [
        ("orders", Some(order_schema())),
        ("trains", Some(documents::schema::<Train>("train"))),
        ("parts", None),
    ] {
        let mut files: Vec<_> =
            fs::read_dir(self::folder(folder)).unwrap().map(|entry| entry.unwrap().path()).collect();
        files.sort();
        for file in files {
            let name = file.file_name().unwrap().to_string_lossy().into_owned();
            let text = fs::read_to_string(&file).unwrap();
            let schema = schema.clone().unwrap_or_else(|| sheet_schema(kind_of(&text)));
            demos.push(Demo { name, text, schema });
        }
    }
    for (name, text) in standard_sheets() {
        demos.push(Demo {
            name: (*name).to_owned(),
            text: (*text).to_owned(),
            schema: sheet_schema(kind_of(text)),
        });
    }
    assert!(demos.len() > 35, "the demo was not found: {}", demos.len());
    demos
}

pub(crate) fn kind_of(text: &str) -> PartKind {
    let table: toml::Table = text.parse().unwrap();
    let word = table["part"]["kind"].as_str().unwrap();
    PartKind::ALL.iter().copied().find(|kind| kind.word() == word).unwrap()
}

/// The standard's sheets and those of the demo.
pub(crate) fn shelf() -> Shelf {
    let mut shelf = Shelf::standard();
    for demo in demos()
        .iter()
        .filter(|demo| demo.schema["title"].as_str().is_some_and(|title| title.ends_with("sheet")))
    {
        shelf.add(datasheets::read_sheet(&demo.name, &demo.text).unwrap().value);
    }
    shelf
}
