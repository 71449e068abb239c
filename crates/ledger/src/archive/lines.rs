//! The records of an archive, one JSON object each.
//!
//! Source: ours; described in `README.txt`, which every archive carries.

use serde::{Deserialize, Serialize};

/// What an archive begins with.
#[derive(Debug, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub(super) struct Head {
    pub(super) format: String,
    pub(super) version: u32,
}

#[derive(Debug, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub(super) struct DocumentLine {
    pub(super) id: i64,
    pub(super) kind: String,
    pub(super) name: String,
}

#[derive(Debug, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub(super) struct RevisionLine {
    pub(super) number: i64,
    pub(super) act: String,
    pub(super) state: i64,
    pub(super) parent: Option<i64>,
    pub(super) name: String,
    pub(super) deleted: bool,
    pub(super) at: i64,
    pub(super) by: String,
    pub(super) note: String,
    pub(super) seal: String,
}

#[derive(Debug, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub(super) struct RunLine {
    pub(super) id: i64,
    pub(super) document: i64,
    pub(super) at: i64,
    pub(super) by: String,
    pub(super) note: String,
    pub(super) outcome: Option<String>,
    pub(super) ended_at: Option<i64>,
}

#[derive(Debug, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub(super) struct SnapshotLine {
    pub(super) id: i64,
    pub(super) document: i64,
    pub(super) run: Option<i64>,
    pub(super) decoder: String,
    pub(super) at: i64,
    pub(super) by: String,
    pub(super) note: String,
    /// Each `[cv, value]` or `[cv, value, cv31, cv32]`; no value is `null`.
    pub(super) readings: Vec<ReadingLine>,
}

#[derive(Debug, Serialize, Deserialize)]
#[serde(untagged)]
pub(super) enum ReadingLine {
    Plain(u16, Option<u8>),
    Paged(u16, Option<u8>, u8, u8),
}

#[derive(Debug, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub(super) struct PhotoLine {
    pub(super) id: i64,
    pub(super) document: i64,
    pub(super) step: String,
    pub(super) caption: String,
    /// The name of its file in `pictures`.
    pub(super) picture: String,
    pub(super) at: i64,
    pub(super) by: String,
    pub(super) hidden: bool,
}

#[derive(Debug, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub(super) struct MovementLine {
    pub(super) id: i64,
    pub(super) part: String,
    pub(super) pieces: i64,
    pub(super) document: Option<i64>,
    pub(super) at: i64,
    pub(super) by: String,
    pub(super) note: String,
}

#[derive(Debug, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub(super) struct ChangeLine {
    pub(super) seq: i64,
    pub(super) subject: String,
    pub(super) id: i64,
    pub(super) number: Option<i64>,
    pub(super) at: i64,
    pub(super) by: String,
}

/// What an archive ends with: what must have been in it.
#[derive(Debug, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub(super) struct End {
    pub(super) documents: u64,
    pub(super) revisions: u64,
    pub(super) runs: u64,
    pub(super) lines: u64,
    pub(super) snapshots: u64,
    pub(super) readings: u64,
    pub(super) pictures: u64,
    pub(super) photos: u64,
    pub(super) movements: u64,
    pub(super) changes: u64,
    /// SHA-256 of all bytes of the archive before this file's header.
    pub(super) digest: String,
}

/// A record as one line with its line feed.
pub(super) fn to_line(record: &impl Serialize) -> String {
    match serde_json::to_string(record) {
        Ok(line) => line + "\n",
        Err(error) => {
            unreachable!("records hold texts, numbers and lists, which JSON can always say: {error}")
        }
    }
}
