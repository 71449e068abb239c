//! Writing the archive, in one pass and with little memory.

use std::io::{self, Write};

use rusqlite::Row;
use serde::Serialize;

use super::hashed::Hashed;
use super::lines::{
    ChangeLine, DocumentLine, Head, MovementLine, PhotoLine, ReadingLine, RevisionLine, RunLine,
    SnapshotLine, to_line,
};
use super::tar::TarWriter;
use super::{ArchiveError, END, FORMAT, VERSION, document_folder, end};
use crate::counts::Counts;
use crate::document::{Act, DocumentError, RevisionRecord, seal};
use crate::error::StoreError;
use crate::identity::{DocumentId, RunId, SnapshotId};
use crate::ledger::Ledger;
use crate::photo::PictureFormat;
use crate::run::RunError;
use crate::seal::Digest;
use crate::snapshot::SnapshotError;

/// How many lines a file of many records has at most.
const MOST_LINES: usize = 10_000;

type Archive<'a, W> = TarWriter<Hashed<&'a mut W>>;

impl Ledger {
    /// Writes the whole shop as an archive, as of one moment, while others go on working. Give it a buffered writer.
    ///
    /// # Errors
    /// [`ArchiveError::Write`]; and [`StoreError::Damaged`] where something is not what was written: better no archive than
    /// a wrong one.
    pub fn export(&self, out: &mut impl Write) -> Result<Counts, ArchiveError> {
        self.as_of_now(|ledger| {
            let mut archive = TarWriter::new(Hashed::new(out));
            let head = to_line(&Head { format: FORMAT.to_owned(), version: VERSION });
            archive.file("archive.json", 0, head.as_bytes()).map_err(ArchiveError::Write)?;
            archive.file("README.txt", 0, include_bytes!("README.txt")).map_err(ArchiveError::Write)?;
            ledger.export_documents(&mut archive)?;
            ledger.export_runs(&mut archive)?;
            ledger.export_snapshots(&mut archive)?;
            ledger.export_pictures(&mut archive)?;
            ledger.export_lines(
                &mut archive,
                "photos/photos",
                "SELECT p.id, p.document, p.step, p.caption, c.digest, c.format, p.at, p.by, p.is_hidden \
                 FROM photo p JOIN picture c ON c.id = p.picture ORDER BY p.id",
                |row| {
                    Ok(PhotoLine {
                        id: row.get(0)?,
                        document: row.get(1)?,
                        step: row.get(2)?,
                        caption: row.get(3)?,
                        picture: picture_name(row.get(4)?, row.get(5)?),
                        at: row.get(6)?,
                        by: row.get(7)?,
                        hidden: row.get(8)?,
                    })
                },
            )?;
            ledger.export_lines(
                &mut archive,
                "stock/movements",
                "SELECT id, part, pieces, document, at, by, note FROM movement ORDER BY id",
                |row| {
                    Ok(MovementLine {
                        id: row.get(0)?,
                        part: row.get(1)?,
                        pieces: row.get(2)?,
                        document: row.get(3)?,
                        at: row.get(4)?,
                        by: row.get(5)?,
                        note: row.get(6)?,
                    })
                },
            )?;
            ledger.export_lines(
                &mut archive,
                "changes/changes",
                "SELECT seq, subject, id, number, at, by FROM change ORDER BY seq",
                |row| {
                    Ok(ChangeLine {
                        seq: row.get(0)?,
                        subject: row.get(1)?,
                        id: row.get(2)?,
                        number: row.get(3)?,
                        at: row.get(4)?,
                        by: row.get(5)?,
                    })
                },
            )?;
            let counts = ledger.counts()?;
            let digest = archive.out().digest().to_hex();
            let last = to_line(&end(counts, digest));
            archive.file(END, 0, last.as_bytes()).map_err(ArchiveError::Write)?;
            archive.finish().map_err(ArchiveError::Write)?;
            Ok(counts)
        })
    }

    fn export_documents<W: Write>(&self, archive: &mut Archive<'_, W>) -> Result<(), ArchiveError> {
        for (id, name, kind) in self.rows("SELECT id, name, kind FROM document ORDER BY id", |row| {
            Ok((row.get::<_, i64>(0)?, row.get::<_, String>(1)?, row.get::<_, String>(2)?))
        })? {
            let folder = document_folder(id, &name);
            let mut put = |file: &str, at: i64, content: &str| {
                let path = format!("{folder}/{file}");
                archive.file(&path, at.div_euclid(1000), content.as_bytes()).map_err(ArchiveError::Write)
            };
            put("document.json", 0, &to_line(&DocumentLine { id, kind, name }))?;
            let document = DocumentId::new(id);
            let mut history = self.history(document).map_err(DocumentError::into_damage)?;
            history.reverse();
            let mut lines = String::new();
            for record in &history {
                let text = self.at(document, record.number).map_err(DocumentError::into_damage)?.text;
                lines.push_str(&to_line(&revision_line(record, seal(record, &text))));
            }
            put("revisions.jsonl", 0, &lines)?;
            for record in history.iter().filter(|record| record.act == Act::Saved) {
                let text = self.at(document, record.number).map_err(DocumentError::into_damage)?.text;
                put(&format!("{:06}.toml", record.number.get()), record.at.as_unix_millis(), &text)?;
            }
        }
        Ok(())
    }

    fn export_runs<W: Write>(&self, archive: &mut Archive<'_, W>) -> Result<(), ArchiveError> {
        let runs =
            self.rows("SELECT id, document, at, by, note, outcome, ended_at FROM run ORDER BY id", |row| {
                Ok(RunLine {
                    id: row.get(0)?,
                    document: row.get(1)?,
                    at: row.get(2)?,
                    by: row.get(3)?,
                    note: row.get(4)?,
                    outcome: row.get(5)?,
                    ended_at: row.get(6)?,
                })
            })?;
        for run in runs {
            let folder = format!("runs/{:06}", run.id);
            let seconds = run.at.div_euclid(1000);
            let (mut journal, mut times) = (String::new(), String::new());
            self.each_line(RunId::new(run.id), |at, line| {
                journal.push_str(line);
                journal.push('\n');
                times.push_str(&format!("{}\n", at.as_unix_millis()));
                Ok::<(), RunError>(())
            })
            .map_err(RunError::into_damage)?;
            for (file, content) in
                [("run.json", to_line(&run)), ("journal.jsonl", journal), ("times.txt", times)]
            {
                let path = format!("{folder}/{file}");
                archive.file(&path, seconds, content.as_bytes()).map_err(ArchiveError::Write)?;
            }
        }
        Ok(())
    }

    fn export_snapshots<W: Write>(&self, archive: &mut Archive<'_, W>) -> Result<(), ArchiveError> {
        for id in self.rows("SELECT id FROM snapshot ORDER BY id", |row| row.get::<_, SnapshotId>(0))? {
            let record = self.snapshot(id).map_err(SnapshotError::into_damage)?;
            let readings = self.readings(id).map_err(SnapshotError::into_damage)?;
            let readings = readings.iter().map(|reading| match reading.place.page {
                None => ReadingLine::Plain(reading.place.cv, reading.value),
                Some((high, low)) => ReadingLine::Paged(reading.place.cv, reading.value, high, low),
            });
            let at = record.at.as_unix_millis();
            let line = SnapshotLine {
                id: id.get(),
                document: record.document.get(),
                run: record.run.map(RunId::get),
                decoder: record.decoder,
                at,
                by: record.by,
                note: record.note,
                readings: readings.collect(),
            };
            let path = format!("snapshots/{:06}.json", id.get());
            let content = to_line(&line);
            archive.file(&path, at.div_euclid(1000), content.as_bytes()).map_err(ArchiveError::Write)?;
        }
        Ok(())
    }

    fn export_pictures<W: Write>(&self, archive: &mut Archive<'_, W>) -> Result<(), ArchiveError> {
        for (id, digest, format) in self
            .rows("SELECT id, digest, format FROM picture ORDER BY id", |row| {
                Ok((row.get::<_, i64>(0)?, row.get::<_, Digest>(1)?, row.get::<_, PictureFormat>(2)?))
            })?
        {
            let mut bytes = Vec::new();
            let hit = || StoreError::damaged(format!("picture {id}"));
            io::copy(&mut self.picture_bytes(id)?, &mut bytes).map_err(|_| hit())?;
            if Digest::of(&bytes) != digest {
                return Err(hit().into());
            }
            let path = format!("pictures/{}", picture_name(digest, format));
            archive.file(&path, 0, &bytes).map_err(ArchiveError::Write)?;
        }
        Ok(())
    }

    /// Writes many records as files of some thousand lines each.
    fn export_lines<W: Write, T: Serialize>(
        &self,
        archive: &mut Archive<'_, W>,
        name: &str,
        sql: &str,
        mut line: impl FnMut(&Row<'_>) -> rusqlite::Result<T>,
    ) -> Result<(), ArchiveError> {
        let mut statement = self.connection.prepare(sql)?;
        let mut rows = statement.query([])?;
        let (mut lines, mut n_lines, mut n_files) = (String::new(), 0, 0);
        loop {
            let row = rows.next()?;
            let is_last = row.is_none();
            if let Some(row) = row {
                lines.push_str(&to_line(&line(row)?));
                n_lines += 1;
            }
            if n_lines == MOST_LINES || (is_last && n_lines > 0) {
                n_files += 1;
                let path = format!("{name}-{n_files:06}.jsonl");
                archive.file(&path, 0, lines.as_bytes()).map_err(ArchiveError::Write)?;
                lines.clear();
                n_lines = 0;
            }
            if is_last {
                return Ok(());
            }
        }
    }

    fn rows<T>(
        &self,
        sql: &str,
        read: impl FnMut(&Row<'_>) -> rusqlite::Result<T>,
    ) -> Result<Vec<T>, StoreError> {
        let mut statement = self.connection.prepare(sql)?;
        let rows = statement.query_map([], read)?;
        Ok(rows.collect::<Result<_, _>>()?)
    }
}

fn picture_name(digest: Digest, format: PictureFormat) -> String {
    format!("{}.{}", digest.to_hex(), format.extension())
}

fn revision_line(record: &RevisionRecord, seal: Digest) -> RevisionLine {
    RevisionLine {
        number: record.number.get(),
        act: record.act.word().to_owned(),
        state: record.state.get(),
        parent: record.parent.map(crate::identity::RevisionNumber::get),
        name: record.name.clone(),
        deleted: record.is_deleted,
        at: record.at.as_unix_millis(),
        by: record.by.clone(),
        note: record.note.clone(),
        seal: seal.to_hex(),
    }
}
