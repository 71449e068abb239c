//! The checks.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../..")
}

/// No file much over 600 lines: one that is longer holds two things.
const MOST_LINES: usize = 620;

fn sources() -> Vec<(PathBuf, String)> {
    let mut found = Vec::new();
    let mut folders = vec![root().join("crates")];
    while let Some(folder) = folders.pop() {
        for entry in fs::read_dir(&folder).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                folders.push(path);
            } else if path.extension().is_some_and(|extension| extension == "rs") {
                let text = fs::read_to_string(&path).unwrap();
                found.push((path, text));
            }
        }
    }
    assert!(found.len() > 50, "the sources were not found");
    found
}

#[test]
fn every_source_file_opens_with_its_purpose() {
    let bare: Vec<PathBuf> =
        sources().into_iter().filter(|(_, text)| !text.starts_with("//!")).map(|(path, _)| path).collect();
    assert!(bare.is_empty(), "these files do not open with `//!`: {bare:#?}");
}

#[test]
fn no_source_file_is_too_long() {
    let long: Vec<String> = sources()
        .into_iter()
        .filter(|(_, text)| text.lines().count() > MOST_LINES)
        .map(|(path, text)| format!("{}: {}", path.display(), text.lines().count()))
        .collect();
    assert!(long.is_empty(), "these files hold more than one thing: {long:#?}");
}

/// What each room leans on, by its manifest: (our rooms, crates from the registry), dev-dependencies left out.
fn manifests() -> BTreeMap<String, (BTreeSet<String>, BTreeSet<String>)> {
    let folders: Vec<PathBuf> =
        fs::read_dir(root().join("crates")).unwrap().map(|entry| entry.unwrap().path()).collect();
    let rooms: BTreeSet<String> =
        folders.iter().map(|folder| folder.file_name().unwrap().to_string_lossy().into_owned()).collect();
    folders
        .iter()
        .map(|folder| {
            let manifest: toml::Table =
                fs::read_to_string(folder.join("Cargo.toml")).unwrap().parse().unwrap();
            let name = manifest["package"]["name"].as_str().unwrap().to_owned();
            assert_eq!(
                name,
                folder.file_name().unwrap().to_string_lossy(),
                "a room is named like its folder"
            );
            let names = manifest
                .get("dependencies")
                .and_then(toml::Value::as_table)
                .map(|table| table.keys().cloned().collect());
            let names: BTreeSet<String> = names.unwrap_or_default();
            (name, names.into_iter().partition(|name| rooms.contains(name)))
        })
        .collect()
}

/// The rows of ARCHITECTURE.md's table of rooms: `| room | what for | leans on | knows nothing of |`.
fn table_of_rooms() -> BTreeMap<String, BTreeSet<String>> {
    let text = fs::read_to_string(root().join("ARCHITECTURE.md")).unwrap();
    text.lines()
        .filter(|line| line.starts_with("| `"))
        .map(|line| {
            let cells: Vec<&str> = line.trim_matches('|').split('|').map(str::trim).collect();
            let leans_on = cells[2].split(',').map(|name| name.trim().trim_matches('`').to_owned());
            (
                cells[0].trim_matches('`').to_owned(),
                leans_on.filter(|name| !name.is_empty() && name != "nothing").collect(),
            )
        })
        .collect()
}

#[test]
fn the_table_of_rooms_agrees_with_the_manifests() {
    let told = table_of_rooms();
    let is: BTreeMap<String, BTreeSet<String>> =
        manifests().into_iter().map(|(name, (rooms, _))| (name, rooms)).collect();
    assert_eq!(told, is);
}

#[test]
fn rooms_lean_one_way() {
    // Taking away rooms that lean on nothing that is left must take away all of them.
    let mut left: BTreeMap<String, BTreeSet<String>> =
        manifests().into_iter().map(|(name, (rooms, _))| (name, rooms)).collect();
    while !left.is_empty() {
        let free: Vec<String> = left
            .iter()
            .filter(|(_, leans_on)| leans_on.iter().all(|room| !left.contains_key(room)))
            .map(|(name, _)| name.clone())
            .collect();
        assert!(!free.is_empty(), "these rooms lean on each other in a ring: {:?}", left.keys());
        left.retain(|name, _| !free.contains(name));
    }
}

#[test]
fn every_dependency_is_justified_in_one_line() {
    let text = fs::read_to_string(root().join("ARCHITECTURE.md")).unwrap();
    let used: BTreeSet<String> = manifests().into_values().flat_map(|(_, registry)| registry).collect();
    let unjustified: Vec<&String> =
        used.iter().filter(|name| !text.contains(&format!("- **{name}**"))).collect();
    assert!(unjustified.is_empty(), "ARCHITECTURE.md does not say why we need {unjustified:?}");
}
