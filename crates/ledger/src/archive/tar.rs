//! The container of the archive: a tape archive, which opens everywhere.
//!
//! What it is: files one after the other, each with a header of 512 bytes, written and read in one pass.
//! What it is not: all of the format. Only plain files with short names occur; links, devices and extensions are refused.
//!
//! Source: POSIX.1-2017, `pax`, "ustar Interchange Format".

use std::io::{self, Read, Write};

const BLOCK: usize = 512;
/// The largest size that fits into eleven octal digits.
const MOST_BYTES: u64 = (1 << 33) - 1;

/// Writes files one after the other.
pub(super) struct TarWriter<W> {
    out: W,
}

impl<W: Write> TarWriter<W> {
    pub(super) fn new(out: W) -> Self {
        Self { out }
    }

    /// Writes a file. `path` has at most 100 bytes; `seconds` is when it was made, since 1970.
    pub(super) fn file(&mut self, path: &str, seconds: i64, content: &[u8]) -> io::Result<()> {
        self.file_from(path, seconds, content.len() as u64, &mut &*content)
    }

    /// Writes a file of a size known beforehand.
    pub(super) fn file_from(
        &mut self,
        path: &str,
        seconds: i64,
        n_bytes: u64,
        content: &mut impl Read,
    ) -> io::Result<()> {
        self.out.write_all(&header(path, seconds, n_bytes)?)?;
        let n_written = io::copy(&mut content.take(n_bytes), &mut self.out)?;
        if n_written != n_bytes {
            return Err(io::Error::new(io::ErrorKind::UnexpectedEof, "a file is shorter than it should be"));
        }
        let n_more = padding(n_bytes);
        self.out.write_all(&[0; BLOCK][..n_more])
    }

    /// Writes the end: two empty blocks.
    pub(super) fn finish(mut self) -> io::Result<W> {
        self.out.write_all(&[0; 2 * BLOCK])?;
        self.out.flush()?;
        Ok(self.out)
    }

    pub(super) fn out(&self) -> &W {
        &self.out
    }
}

/// How many bytes fill the last block.
fn padding(n_bytes: u64) -> usize {
    let over = usize::try_from(n_bytes % BLOCK as u64).unwrap_or(0);
    (BLOCK - over) % BLOCK
}

fn header(path: &str, seconds: i64, n_bytes: u64) -> io::Result<[u8; BLOCK]> {
    let fits = path.len() <= 100 && n_bytes <= MOST_BYTES;
    if !fits {
        return Err(io::Error::new(
            io::ErrorKind::InvalidInput,
            "a name or file too long for a tape archive",
        ));
    }
    let mut header = [0; BLOCK];
    let mut put = |at: usize, bytes: &[u8]| header[at..at + bytes.len()].copy_from_slice(bytes);
    put(0, path.as_bytes());
    put(100, b"0000644\0"); // mode: its owner writes, everybody reads
    put(108, b"0000000\0"); // user
    put(116, b"0000000\0"); // group
    put(124, format!("{n_bytes:011o}\0").as_bytes());
    // Times before 1970 or after 2242 do not fit; such a clock is wrong anyway.
    let seconds = u64::try_from(seconds).unwrap_or(0).min(MOST_BYTES);
    put(136, format!("{seconds:011o}\0").as_bytes());
    put(148, b"        "); // the checksum counts itself as blanks
    put(156, b"0"); // a plain file
    put(257, b"ustar\x0000");
    put(329, b"0000000\0"); // device numbers, which a file has none of
    put(337, b"0000000\0");
    let sum = checksum(&header);
    header[148..156].copy_from_slice(format!("{sum:06o}\0 ").as_bytes());
    Ok(header)
}

/// The sum of a header's bytes, its own field counted as blanks.
fn checksum(header: &[u8; BLOCK]) -> u32 {
    let own = 148..156;
    header
        .iter()
        .enumerate()
        .map(|(at, byte)| if own.contains(&at) { u32::from(b' ') } else { u32::from(*byte) })
        .sum()
}

/// A file's header, read.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Entry {
    pub(super) path: String,
    pub(super) n_bytes: u64,
}

/// Why a container cannot be read.
#[derive(Debug)]
pub(super) enum TarError {
    /// It ends in the middle.
    CutOff,
    /// It is something else.
    NotATar(&'static str),
    /// The source failed.
    Read(io::Error),
}

impl From<io::Error> for TarError {
    fn from(error: io::Error) -> Self {
        if error.kind() == io::ErrorKind::UnexpectedEof { Self::CutOff } else { Self::Read(error) }
    }
}

/// Reads files one after the other.
pub(super) struct TarReader<R> {
    source: R,
}

impl<R: Read> TarReader<R> {
    pub(super) fn new(source: R) -> Self {
        Self { source }
    }

    pub(super) fn source(&self) -> &R {
        &self.source
    }

    /// The next file's header; none at the end. Its content must be read before the next one.
    pub(super) fn next(&mut self) -> Result<Option<Entry>, TarError> {
        let header = self.block()?;
        if header.iter().all(|byte| *byte == 0) {
            return Ok(None);
        }
        let not = |what| Err(TarError::NotATar(what));
        if &header[257..262] != b"ustar" {
            return not("it is no tape archive");
        }
        if number(&header[148..156]) != Some(checksum(&header).into()) {
            return not("a header does not fit its checksum");
        }
        // A nul is what older writers put there.
        if !matches!(header[156], b'0' | 0) {
            return not("it holds something that is no plain file");
        }
        let name = header[..100].split(|byte| *byte == 0).next().unwrap_or_default();
        let (Ok(path), Some(n_bytes)) = (std::str::from_utf8(name), number(&header[124..136])) else {
            return not("a header without a name or size");
        };
        if header[345] != 0 {
            return not("a name that is longer than ours are");
        }
        Ok(Some(Entry { path: path.to_owned(), n_bytes }))
    }

    /// The content of the file whose header was just read.
    pub(super) fn content(&mut self, entry: &Entry) -> Result<Vec<u8>, TarError> {
        let mut content = Vec::new();
        self.source.by_ref().take(entry.n_bytes).read_to_end(&mut content)?;
        if content.len() as u64 != entry.n_bytes {
            return Err(TarError::CutOff);
        }
        let mut filling = [0; BLOCK];
        self.source.read_exact(&mut filling[..padding(entry.n_bytes)])?;
        Ok(content)
    }

    fn block(&mut self) -> Result<[u8; BLOCK], TarError> {
        let mut block = [0; BLOCK];
        self.source.read_exact(&mut block)?;
        Ok(block)
    }
}

/// A number in octal digits, ended by a blank or nul.
fn number(field: &[u8]) -> Option<u64> {
    let text = std::str::from_utf8(field).ok()?;
    u64::from_str_radix(text.trim_matches(['\0', ' ']), 8).ok()
}

#[cfg(test)]
mod tests {
    use super::{BLOCK, Entry, TarError, TarReader, TarWriter};

    fn written() -> Vec<u8> {
        let mut writer = TarWriter::new(Vec::new());
        writer.file("a.txt", 0, b"content").unwrap();
        writer.file("folder/b", 1_700_000_000, &[7; BLOCK]).unwrap();
        writer.file("empty", -1, b"").unwrap();
        writer.finish().unwrap()
    }

    #[test]
    fn leads_back() {
        let bytes = written();
        assert_eq!(bytes.len(), 7 * BLOCK);
        let mut reader = TarReader::new(bytes.as_slice());
        for (path, content) in
            [("a.txt", b"content".to_vec()), ("folder/b", vec![7; BLOCK]), ("empty", vec![])]
        {
            let entry = reader.next().unwrap().unwrap();
            assert_eq!(entry, Entry { path: path.to_owned(), n_bytes: content.len() as u64 });
            assert_eq!(reader.content(&entry).unwrap(), content);
        }
        assert_eq!(reader.next().unwrap(), None);
    }

    #[test]
    fn what_is_no_tape_archive_is_refused() {
        let mut reader = TarReader::new([b'x'; BLOCK].as_slice());
        assert!(matches!(reader.next(), Err(TarError::NotATar(_))));
        let mut flipped = written();
        flipped[0] ^= 1;
        assert!(matches!(TarReader::new(flipped.as_slice()).next(), Err(TarError::NotATar(_))));
        let whole = written();
        for length in [0, 100, BLOCK] {
            let mut reader = TarReader::new(&whole[..length]);
            let cut = reader.next().and_then(|entry| reader.content(&entry.unwrap()).map(|_| ()));
            assert!(matches!(cut, Err(TarError::CutOff)), "{length}");
        }
    }

    #[test]
    fn names_that_do_not_fit_are_refused() {
        let mut writer = TarWriter::new(Vec::new());
        writer.file(&"x".repeat(100), 0, b"").unwrap();
        assert!(writer.file(&"x".repeat(101), 0, b"").is_err());
        assert!(writer.file_from("a", 0, 5, &mut b"abc".as_slice()).is_err());
    }
}
