//! All that is not a document: runs, snapshots, pictures, photos, stock and changes from the archive.

use rusqlite::params;

use super::super::lines::{ChangeLine, MovementLine, PhotoLine, ReadingLine, RunLine, SnapshotLine};
use super::{Fault, Importer, json, lines};
use crate::change::Subject;
use crate::identity::{DocumentId, RunId, Sequence, SnapshotId};
use crate::kind::check_name;
use crate::moment::Moment;
use crate::photo::{MOST_PHOTO_BYTES, clean};
use crate::run::RunOutcome;
use crate::seal::Digest;
use crate::snapshot::{Place, Reading, SnapshotRecord, in_order};

impl Importer<'_> {
    pub(super) fn run_file(&mut self, folder: &str, file: &str, content: &[u8]) -> Result<(), Fault> {
        match (file, self.run.take()) {
            ("run.json", None) => {
                let line: RunLine = json(content)?;
                let outcome = line.outcome.as_deref();
                let outcome =
                    outcome.map(|word| RunOutcome::from_word(word).ok_or("an outcome that nobody knows"));
                let outcome = outcome.transpose()?;
                if outcome.is_some() != line.ended_at.is_some() {
                    return Err("a run ends with an outcome and at a time, or not at all".into());
                }
                self.ledger.connection.execute(
                    "INSERT INTO run (id, document, at, by, note, outcome, ended_at) \
                     VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7)",
                    params![line.id, line.document, line.at, line.by, line.note, outcome, line.ended_at],
                )?;
                self.run = Some((folder.to_owned(), RunId::new(line.id), None));
                Ok(())
            }
            ("journal.jsonl", Some((open, id, None))) if open == folder => {
                let journal = lines(content)?.into_iter().map(str::to_owned).collect();
                self.run = Some((open, id, Some(journal)));
                Ok(())
            }
            ("times.txt", Some((open, id, Some(journal)))) if open == folder => {
                let times = lines(content)?;
                if times.len() != journal.len() {
                    return Err("there are more or fewer times than lines".into());
                }
                for (number, (line, time)) in (1..).zip(journal.iter().zip(times)) {
                    let time: i64 = time.parse().map_err(|_| "a time that is no number")?;
                    self.ledger.insert_line(id, number, Moment::from_unix_millis(time), line)?;
                }
                Ok(())
            }
            _ => Err("a file of a run that is out of turn".into()),
        }
    }

    pub(super) fn snapshot(&mut self, line: SnapshotLine) -> Result<(), Fault> {
        let readings = line.readings.iter().map(|reading| match *reading {
            ReadingLine::Plain(cv, value) => Reading { place: Place { page: None, cv }, value },
            ReadingLine::Paged(cv, value, high, low) => {
                Reading { place: Place { page: Some((high, low)), cv }, value }
            }
        });
        let readings = in_order(&readings.collect::<Vec<_>>()).map_err(|error| error.to_string())?;
        let record = SnapshotRecord {
            id: SnapshotId::new(line.id),
            document: DocumentId::new(line.document),
            run: line.run.map(RunId::new),
            decoder: line.decoder,
            at: Moment::from_unix_millis(line.at),
            by: line.by,
            note: line.note,
            n_readings: u32::try_from(readings.len()).unwrap_or(u32::MAX),
        };
        Ok(self.ledger.insert_snapshot(&record, &readings)?)
    }

    pub(super) fn picture(&mut self, name: &str, content: &[u8]) -> Result<(), Fault> {
        // An orientation may have been added when it was cleaned.
        if content.len() > MOST_PHOTO_BYTES + 64 {
            return Err("a picture is too large".into());
        }
        let mut picture = clean(content).map_err(|fault| fault.to_string())?;
        // Kept as it came: an earlier program may have cleaned it less than this one would.
        picture.bytes = content.to_vec();
        let digest = Digest::of(content).to_hex();
        if name != format!("{digest}.{}", picture.format.extension()) {
            return Err("a picture is not what its name says".into());
        }
        let id = self.ledger.picture_id(&picture)?;
        match self.pictures.insert(name.to_owned(), id) {
            Some(_) => Err("a picture that is there already".into()),
            None => Ok(()),
        }
    }

    pub(super) fn photo(&mut self, line: PhotoLine) -> Result<(), Fault> {
        let picture = self.pictures.get(&line.picture).ok_or("a photo of a picture that is not there")?;
        self.ledger.connection.execute(
            "INSERT INTO photo (id, document, step, caption, picture, at, by, is_hidden) \
             VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8)",
            params![line.id, line.document, line.step, line.caption, picture, line.at, line.by, line.hidden],
        )?;
        Ok(())
    }

    pub(super) fn movement(&mut self, line: MovementLine) -> Result<(), Fault> {
        check_name(&line.part).map_err(|error| error.to_string())?;
        self.ledger.connection.execute(
            "INSERT INTO movement (id, part, pieces, document, at, by, note) VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7)",
            params![line.id, line.part, line.pieces, line.document, line.at, line.by, line.note],
        )?;
        Ok(())
    }

    pub(super) fn change(&mut self, line: ChangeLine) -> Result<(), Fault> {
        Subject::from_parts(&line.subject, line.id, line.number)
            .ok_or("a change of something that nobody knows")?;
        if line.seq != self.ledger.newest_change()?.get() + 1 {
            return Err("a change is missing or out of turn".into());
        }
        self.ledger.connection.execute(
            "INSERT INTO change (seq, subject, id, number, at, by) VALUES (?1, ?2, ?3, ?4, ?5, ?6)",
            params![Sequence::new(line.seq), line.subject, line.id, line.number, line.at, line.by],
        )?;
        Ok(())
    }
}
