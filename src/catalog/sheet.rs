//! A CSV file of a catalog: its headings held against those that are known, its rows with the place of each cell. The only
//! file of the catalog that knows how CSV is read.

use std::cell::RefCell;
use std::io::{self, Read, Seek, SeekFrom};
use std::sync::Arc;

use super::source::{Mistakes, SourceFile, nearest};

/// A CSV file being read.
pub(super) struct Sheet<'a> {
    file: &'a SourceFile,
    reader: csv::Reader<&'a [u8]>,
    headers: csv::StringRecord,
    comments: bool,
}

impl<'a> Sheet<'a> {
    /// Opens a file. `comments`: rows that begin with `#` are passed over.
    pub(super) fn open(file: &'a SourceFile, comments: bool, mistakes: &mut Mistakes) -> Option<Self> {
        let mut reader = csv::ReaderBuilder::new()
            .flexible(true)
            .comment(comments.then_some(b'#'))
            .buffer_capacity(1 << 16)
            .from_reader(file.text.as_bytes());
        match reader.headers() {
            Ok(headers) => {
                let mut headers = headers.clone();
                headers.trim();
                Some(Sheet { file, reader, headers, comments })
            }
            Err(error) => {
                unreadable(file, 0, &error, mistakes);
                None
            }
        }
    }

    /// Notes every heading that is not known, with the nearest that is.
    pub(super) fn only(&self, known: &[&str], mistakes: &mut Mistakes) {
        for (index, header) in self.headers.iter().enumerate().filter(|(_, header)| !known.contains(header)) {
            let help = match nearest(header, known.iter().copied()) {
                Some(near) => format!("a column with a similar name exists: `{near}`"),
                None => format!("the columns are {}", known.join(", ")),
            };
            let at = self.place(&self.headers, index);
            mistakes.add(self.file, at, format!("unknown column `{header}`"), help);
        }
    }

    /// The place of a column.
    pub(super) fn column(&self, name: &str) -> Option<usize> {
        self.headers.iter().position(|header| header == name)
    }

    /// The place of a column that must be there.
    pub(super) fn needed(&self, name: &str, mistakes: &mut Mistakes) -> Option<usize> {
        let found = self.column(name);
        if found.is_none() {
            let headers: Vec<&str> = self.headers.iter().collect();
            let help = match nearest(name, headers.iter().copied()) {
                Some(near) => format!("a column with a similar name exists: `{near}`"),
                None => format!("the columns are {}", headers.join(", ")),
            };
            mistakes.add(self.file, 0, format!("there is no column `{name}`"), help);
        }
        found
    }

    /// Reads the next row; `false` at the end. `Err`: it is not readable, and the mistake is noted.
    pub(super) fn next(&mut self, row: &mut csv::StringRecord, mistakes: &mut Mistakes) -> Result<bool, ()> {
        self.reader.read_record(row).map_err(|error| {
            let at = error.position().map_or(0, csv::Position::byte);
            unreadable(self.file, usize::try_from(at).unwrap_or(0), &error, mistakes);
        })
    }

    /// The byte at which a row begins; what the reader passed over before it, empty lines and comments, is left out.
    pub(super) fn start(&self, row: &csv::StringRecord) -> usize {
        let text = &self.file.text;
        let mut at = usize::try_from(row.position().map_or(0, csv::Position::byte)).unwrap_or(0);
        loop {
            let rest = text.get(at..).unwrap_or_default();
            let passed = match rest.bytes().next() {
                Some(b'\r' | b'\n') => 1,
                Some(b'#') if self.comments => rest.find('\n').map_or(rest.len(), |end| end + 1),
                _ => return at,
            };
            at += passed;
        }
    }

    /// The byte at which a cell of a row begins.
    pub(super) fn place(&self, row: &csv::StringRecord, column: usize) -> usize {
        cell_start(&self.file.text, self.start(row), column)
    }
}

fn unreadable(file: &SourceFile, at: usize, error: &csv::Error, mistakes: &mut Mistakes) {
    let says = format!("the file is not readable as CSV: {error}");
    mistakes.add(file, at, says, "save it as comma-separated UTF-8 text");
}

/// The text of a cell, without the blanks around it.
pub(super) fn cell(row: &csv::StringRecord, column: Option<usize>) -> &str {
    column.and_then(|column| row.get(column)).map_or("", str::trim)
}

/// What is left of a text, for a reader that is kept from one row to the next.
#[derive(Default)]
struct Rest {
    text: Option<Arc<str>>,
    at: usize,
}

impl Read for Rest {
    fn read(&mut self, room: &mut [u8]) -> io::Result<usize> {
        let text = self.text.as_deref().unwrap_or_default();
        let taken = text.as_bytes().get(self.at..).unwrap_or_default().read(room)?;
        self.at += taken;
        Ok(taken)
    }
}

impl Seek for Rest {
    fn seek(&mut self, to: SeekFrom) -> io::Result<u64> {
        match to {
            SeekFrom::Start(at) => self.at = usize::try_from(at).unwrap_or(usize::MAX),
            _ => return Err(io::ErrorKind::Unsupported.into()),
        }
        Ok(self.at as u64)
    }
}

thread_local! {
    /// To make a reader takes longer than to read a row with it.
    static ROWS: RefCell<csv::Reader<Rest>> = RefCell::new(
        csv::ReaderBuilder::new().has_headers(false).flexible(true).buffer_capacity(1024).from_reader(Rest::default()),
    );
}

/// The cells of the row that begins at a byte.
pub(super) fn row_at(text: &Arc<str>, at: usize) -> csv::StringRecord {
    let mut row = csv::StringRecord::new();
    ROWS.with_borrow_mut(|reader| {
        reader.get_mut().text = Some(text.clone());
        // The row was read when the file was checked; text that was whole then is whole now.
        let _ = reader.seek_raw(SeekFrom::Start(at as u64), csv::Position::new());
        let _ = reader.read_record(&mut row);
        reader.get_mut().text = None;
    });
    row
}

/// Byte at which a cell of a row begins.
fn cell_start(text: &str, row: usize, index: usize) -> usize {
    let mut quoted = false;
    let mut cell = 0;
    for (at, letter) in text.get(row..).unwrap_or_default().char_indices() {
        if cell == index && !matches!(letter, ' ' | '"' | '\r' | '\n') {
            return row + at;
        }
        match letter {
            '"' => quoted = !quoted,
            ',' if !quoted => cell += 1,
            '\n' if !quoted && cell > 0 => break,
            _ => {}
        }
    }
    row
}
