//! Documents from the archive: their revisions one after the other.

use std::collections::VecDeque;

use super::super::lines::{DocumentLine, RevisionLine};
use super::{Fault, Importer, json, lines};
use crate::document::{
    Act, HistoryPath, MOST_TEXT_BYTES, Revision, RevisionRecord, insert_document, insert_revision, seal, show,
};
use crate::identity::{DocumentId, RevisionNumber};
use crate::kind::{Kind, check_name};
use crate::moment::Moment;

/// A document of which not all files were read yet.
pub(super) struct OpenDocument {
    folder: String,
    id: DocumentId,
    kind: Kind,
    name: String,
    /// Revisions that wait for their turn, with their seals.
    waiting: VecDeque<(RevisionRecord, String)>,
    path: HistoryPath,
    /// The text that the newest revision shows.
    text: String,
}

impl Importer<'_> {
    pub(super) fn begin_document(&mut self, folder: &str, line: &DocumentLine) -> Result<(), Fault> {
        let kind = Kind::from_word(&line.kind).ok_or("a kind of document that nobody knows")?;
        check_name(&line.name).map_err(|error| error.to_string())?;
        insert_document(self.ledger, Some(DocumentId::new(line.id)), kind, &line.name)?;
        self.document = Some(OpenDocument {
            folder: folder.to_owned(),
            id: DocumentId::new(line.id),
            kind,
            name: line.name.clone(),
            waiting: VecDeque::new(),
            path: HistoryPath::default(),
            text: String::new(),
        });
        Ok(())
    }

    pub(super) fn document_file(&mut self, folder: &str, file: &str, content: &[u8]) -> Result<(), Fault> {
        let open = self.document.as_mut().filter(|open| open.folder == folder);
        let open = open.ok_or("it stands in the folder of another document")?;
        if file == "revisions.jsonl" {
            if !open.waiting.is_empty() || open.path.newest().is_some() {
                return Err("a document has two lists of revisions".into());
            }
            for line in lines(content)? {
                let line: RevisionLine = json(line.as_bytes())?;
                open.waiting.push_back(record_of_line(open.id, open.kind, line)?);
            }
            return Ok(());
        }
        self.without_text()?;
        let open = self.document.as_mut().ok_or("it belongs to no document")?;
        let Some((record, sealed)) = open.waiting.pop_front() else {
            return Err("a text that no revision has".into());
        };
        if file != format!("{:06}.toml", record.number.get()) || content.len() > MOST_TEXT_BYTES {
            return Err("it is not the text of the revision whose turn it is".into());
        }
        let text = std::str::from_utf8(content).map_err(|_| "it is no text")?;
        self.revision(record, &sealed, text.to_owned())
    }

    /// Takes the waiting revisions that have no text of their own.
    fn without_text(&mut self) -> Result<(), Fault> {
        while let Some(open) = &mut self.document {
            if open.waiting.front().is_none_or(|(record, _)| record.act == Act::Saved) {
                break;
            }
            let Some((record, sealed)) = open.waiting.pop_front() else { break };
            let text = match record.act {
                Act::Undone | Act::Redone => {
                    let state = self.ledger.at(open.id, record.state);
                    state.map_err(|_| "it shows a state that there is not")?.text
                }
                _ => open.text.clone(),
            };
            self.revision(record, &sealed, text)?;
        }
        Ok(())
    }

    fn revision(&mut self, record: RevisionRecord, sealed: &str, text: String) -> Result<(), Fault> {
        let open = self.document.as_mut().ok_or("it belongs to no document")?;
        let number = record.number;
        open.path.follow(&record).map_err(|what| format!("revision {number}: {what}"))?;
        if seal(&record, &text).to_hex() != sealed {
            return Err(format!("revision {number} does not fit its seal").into());
        }
        let revision = Revision { record, text };
        let before = revision.record.parent.is_some().then_some(open.text.as_str());
        insert_revision(self.ledger, &revision, before)?;
        open.text = revision.text;
        Ok(())
    }

    pub(super) fn finish_document(&mut self) -> Result<(), Fault> {
        self.without_text()?;
        let Some(open) = self.document.take() else { return Ok(()) };
        let newest = match open.path.newest() {
            Some(newest) if open.waiting.is_empty() => newest,
            _ => return Err(format!("the texts of the document in `{}` are missing", open.folder).into()),
        };
        if newest.name != open.name {
            return Err(
                format!("the document in `{}` has another name than its revisions", open.folder).into()
            );
        }
        Ok(show(self.ledger, newest, &open.text)?)
    }
}

fn record_of_line(
    document: DocumentId,
    kind: Kind,
    line: RevisionLine,
) -> Result<(RevisionRecord, String), Fault> {
    let record = RevisionRecord {
        document,
        kind,
        number: RevisionNumber::new(line.number),
        act: Act::from_word(&line.act).ok_or("an act that nobody knows")?,
        state: RevisionNumber::new(line.state),
        parent: line.parent.map(RevisionNumber::new),
        name: line.name,
        is_deleted: line.deleted,
        at: Moment::from_unix_millis(line.at),
        by: line.by,
        note: line.note,
    };
    Ok((record, line.seal))
}
