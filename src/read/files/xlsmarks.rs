//! An own pass over the workbook stream of an xls file for what the spreadsheet library does not show: hidden rows and
//! columns, struck cells and words, and numbers whose format keeps zeros. Records and their numbers are those of
//! [MS-XLS], Excel Binary File Format, sections 2.3 and 2.4; the container is that of [MS-CFB], which `cfb` reads.
//!
//! The library follows whatever chain and length such a file states, and makes room for all cells between the first and
//! the last. So it gets the stream in a container made anew, and only if those are within reason.

use std::collections::{BTreeMap, BTreeSet};
use std::io::{Cursor, Read, Write};

use super::marks::SheetMarks;
use super::odsmarks::MOST_SPREAD;
use super::shown::{Hint, Shape};
use super::xlsfloating;

/// Numbers of the records looked at.
mod record {
    pub const FORMULA: u16 = 0x0006;
    pub const END: u16 = 0x000A;
    pub const PASSWORD: u16 = 0x002F;
    pub const FONT: u16 = 0x0031;
    pub const CONTINUE: u16 = 0x003C;
    pub const COLUMNS: u16 = 0x007D;
    pub const SHEET: u16 = 0x0085;
    pub const SMALL_NUMBERS: u16 = 0x00BD;
    pub const CELL_FORMAT: u16 = 0x00E0;
    pub const RICH_LABEL: u16 = 0x00D6;
    pub const STRINGS: u16 = 0x00FC;
    pub const SHARED_STRING: u16 = 0x00FD;
    pub const EXTENT: u16 = 0x0200;
    pub const NUMBER: u16 = 0x0203;
    pub const LABEL: u16 = 0x0204;
    pub const TRUTH_OR_ERROR: u16 = 0x0205;
    pub const ROW: u16 = 0x0208;
    pub const SMALL_NUMBER: u16 = 0x027E;
    pub const NUMBER_FORMAT: u16 = 0x041E;
    pub const BEGIN: u16 = 0x0809;
}

/// The version that the records here are of; older books are laid out otherwise.
const VERSION: u16 = 0x0600;

/// The records of a stream: number and bytes. What is cut off ends them.
pub(crate) struct Records<'b> {
    pub rest: &'b [u8],
}

impl<'b> Iterator for Records<'b> {
    type Item = (u16, &'b [u8]);

    fn next(&mut self) -> Option<Self::Item> {
        let (kind, size) = (short(self.rest, 0)?, short(self.rest, 2)?);
        let (data, rest) = self.rest.get(4..)?.split_at_checked(usize::from(size))?;
        self.rest = rest;
        Some((kind, data))
    }
}

pub(crate) fn short(data: &[u8], at: usize) -> Option<u16> {
    data.get(at..at + 2).map(|bytes| u16::from_le_bytes([bytes[0], bytes[1]]))
}

fn long(data: &[u8], at: usize) -> Option<u32> {
    data.get(at..at + 4).map(|bytes| u32::from_le_bytes([bytes[0], bytes[1], bytes[2], bytes[3]]))
}

/// A text of a record: letters of one byte or of two, as its first flag says.
pub(crate) fn letters(data: &[u8], count: usize, flags: u8) -> String {
    if flags & 1 == 0 {
        return data.iter().take(count).map(|byte| char::from(*byte)).collect();
    }
    let wide: Vec<u16> = data.chunks_exact(2).take(count).map(|pair| u16::from_le_bytes([pair[0], pair[1]])).collect();
    String::from_utf16_lossy(&wide)
}

/// What the records before the sheets say.
#[derive(Default)]
struct Book {
    fonts: u16,
    /// Fonts that strike through, by the numbers that others call them by.
    struck: BTreeSet<u16>,
    codes: BTreeMap<u16, String>,
    /// Font and number format of each cell format.
    formats: Vec<(u16, u16)>,
    /// The sheets: where each begins, and its name.
    sheets: Vec<(usize, String)>,
    /// Shared strings with runs of other fonts.
    rich: BTreeMap<u32, Rich>,
}

impl Book {
    fn strikes(&self, format: u16) -> bool {
        self.formats.get(usize::from(format)).is_some_and(|(font, _)| self.struck.contains(font))
    }

    /// What the number format of a cell does, unless it is the general one.
    fn shape(&self, format: u16) -> Option<Shape> {
        let (_, number) = self.formats.get(usize::from(format)).filter(|(_, number)| *number != 0)?;
        let known = match *number {
            2 => "0.00",
            11 => "0.00E+00",
            // Three of the days that need no code in the file spell the month.
            15..=17 => "d-mmm",
            _ => "",
        };
        Some(Hint::new(false, self.codes.get(number).map_or(known, String::as_str)).shape)
    }

    /// The words of a cell that are kept and those struck, if any are.
    fn words(&self, format: u16, string: Option<u32>) -> Option<(String, String)> {
        let whole = self.strikes(format);
        match string.and_then(|index| self.rich.get(&index)) {
            Some(rich) => rich.apart(whole, &self.struck),
            None => whole.then(Default::default),
        }
    }
}

/// A text with runs: from which letter on which font counts.
struct Rich {
    letters: Vec<u16>,
    runs: Vec<(u16, u16)>,
}

impl Rich {
    /// The words kept and the words struck; before the first run the font of the cell counts.
    fn apart(&self, whole: bool, fonts: &BTreeSet<u16>) -> Option<(String, String)> {
        let (mut kept, mut gone) = (Vec::new(), Vec::new());
        let mut runs = self.runs.iter().peekable();
        let mut strikes = whole;
        for (at, letter) in self.letters.iter().enumerate() {
            while let Some((_, font)) = runs.next_if(|(from, _)| usize::from(*from) <= at) {
                strikes = fonts.contains(font);
            }
            if strikes { &mut gone } else { &mut kept }.push(*letter);
        }
        let (kept, gone) = (String::from_utf16_lossy(&kept), String::from_utf16_lossy(&gone));
        (!gone.trim().is_empty()).then_some((kept, gone))
    }
}

/// A workbook of the old kind, fit for the library, and what that does not show.
pub(crate) struct Old {
    /// The workbook stream in a container of its own.
    pub file: Vec<u8>,
    /// The marks of every sheet, by name; `None` for the versions before the last, whose records are laid out otherwise.
    pub marks: Option<BTreeMap<String, SheetMarks>>,
}

/// Reads the stream of an xls file.
pub(crate) fn xls(bytes: &[u8]) -> Result<Old, String> {
    let mut stream = stream(bytes).map_err(|error| error.to_string())?;
    let mut records = Records { rest: &stream };
    let Some((record::BEGIN, first)) = records.next() else { return Err("its workbook has no beginning".into()) };
    let last = short(first, 0) == Some(VERSION);
    let whole = records.take_while(|(kind, _)| *kind != record::END);
    let mut starts = Vec::new();
    for (kind, data) in whole {
        match kind {
            record::PASSWORD => return Err("it has a password".into()),
            record::SHEET => starts.extend(long(data, 0)),
            _ => {}
        }
    }
    let mut extents = Vec::new();
    // Sheets stand one behind the other; records that point into one sheet again and again would have it read as often.
    let mut looked = 0;
    for start in starts {
        let start = start as usize;
        looked += spread(stream.get(start..).unwrap_or_default(), start, &mut extents)?;
        if looked > stream.len() * MOST_LOOKED {
            return Err("its sheets lie over each other".into());
        }
    }
    let marks = if last { Some(marks(&stream).ok_or("a record in it is cut short")?) } else { None };
    // The record only makes the library reserve room; as one of no known number it is passed over.
    for at in extents {
        stream[at..at + 2].fill(0xFF);
    }
    Ok(Old { file: contained(&stream).map_err(|error| error.to_string())?, marks })
}

fn stream(bytes: &[u8]) -> std::io::Result<Vec<u8>> {
    let mut file = cfb::CompoundFile::open(Cursor::new(bytes))?;
    let name = if file.is_stream("Workbook") { "Workbook" } else { "Book" };
    let mut stream = Vec::new();
    // A stream is no longer than the file it stands in, whatever it says.
    file.open_stream(name)?.take(bytes.len() as u64).read_to_end(&mut stream)?;
    Ok(stream)
}

fn contained(stream: &[u8]) -> std::io::Result<Vec<u8>> {
    // The library refuses one of version 4 that has no small streams.
    let mut file = cfb::CompoundFile::create_with_version(cfb::Version::V3, Cursor::new(Vec::new()))?;
    file.create_stream("Workbook")?.write_all(stream)?;
    file.flush()?;
    Ok(file.into_inner().into_inner())
}

/// So many times the length of the stream its sheets may take together, where ends of sheets are cut off.
const MOST_LOOKED: usize = 4;

/// Refuses a sheet whose cells spread too far; gathers where its extents are stated. How many bytes were looked at.
fn spread(stream: &[u8], start: usize, extents: &mut Vec<usize>) -> Result<usize, String> {
    let mut records = Records { rest: stream };
    if !matches!(records.next(), Some((record::BEGIN, _))) {
        return Err("a sheet is not where it says".into());
    }
    let (mut first, mut last) = ((u32::MAX, usize::MAX), (0, 0));
    let mut within = 0u32;
    loop {
        let at = start + stream.len() - records.rest.len();
        let Some((kind, data)) = records.next() else { break };
        match kind {
            record::BEGIN => within += 1,
            record::END if within == 0 => break,
            record::END => within -= 1,
            record::EXTENT => extents.push(at),
            record::FORMULA
            | record::NUMBER
            | record::LABEL
            | record::RICH_LABEL
            | record::TRUTH_OR_ERROR
            | record::SMALL_NUMBER
            | record::SMALL_NUMBERS
            | record::SHARED_STRING => {
                let Some((row, column)) = place(data) else { continue };
                // A record of several numbers ends with its last column.
                let several = (kind == record::SMALL_NUMBERS).then(|| short(data, data.len().saturating_sub(2)));
                let to = several.flatten().map_or(column, usize::from).max(column);
                first = (first.0.min(row), first.1.min(column));
                last = (last.0.max(row), last.1.max(to));
            }
            _ => {}
        }
    }
    let rows = u64::from((last.0 + 1).saturating_sub(first.0));
    let columns = (last.1 + 1).saturating_sub(first.1) as u64;
    if rows * columns > MOST_SPREAD {
        return Err(format!("a sheet spreads over {rows} rows and {columns} columns"));
    }
    Ok(stream.len() - records.rest.len())
}

/// The marks of every sheet.
fn marks(stream: &[u8]) -> Option<BTreeMap<String, SheetMarks>> {
    let book = book(stream)?;
    let marks = |(at, name): &(usize, String)| {
        let stream = stream.get(*at..)?;
        let floating = xlsfloating::of_sheet(stream);
        Some((name.clone(), SheetMarks { floating, ..sheet(stream, &book) }))
    };
    book.sheets.iter().map(marks).collect()
}

fn book(stream: &[u8]) -> Option<Book> {
    let mut book = Book::default();
    let mut records = Records { rest: stream };
    records.next()?;
    while let Some((kind, data)) = records.next() {
        match kind {
            record::END => break,
            record::FONT => {
                // Height, then the flags; the fourth of them strikes through. No font is called by the number 4.
                if short(data, 2).is_some_and(|flags| flags & 0x8 != 0) {
                    book.struck.insert(if book.fonts < 4 { book.fonts } else { book.fonts.saturating_add(1) });
                }
                book.fonts = book.fonts.saturating_add(1);
            }
            record::NUMBER_FORMAT => {
                let (number, count) = (short(data, 0)?, short(data, 2)?);
                book.codes.insert(number, letters(data.get(5..)?, count.into(), data[4]));
            }
            record::CELL_FORMAT => book.formats.push((short(data, 0)?, short(data, 2)?)),
            // Where it begins, state, kind (0 is a sheet of cells), length of the name, its flags, the name.
            record::SHEET if data.get(5) == Some(&0) => {
                let name = letters(data.get(8..)?, data[6].into(), data[7]).replace('\0', "");
                book.sheets.push((long(data, 0)? as usize, name));
            }
            record::STRINGS => {
                let mut pieces = vec![data];
                let mut behind = Records { rest: records.rest };
                while let Some((record::CONTINUE, more)) = behind.next() {
                    pieces.push(more);
                    records.rest = behind.rest;
                }
                book.rich = strings(Pieces { pieces, piece: 0, at: 0 }).unwrap_or_default();
            }
            _ => {}
        }
    }
    Some(book)
}

/// The table of strings, which goes on from record to record.
struct Pieces<'b> {
    pieces: Vec<&'b [u8]>,
    piece: usize,
    at: usize,
}

impl Pieces<'_> {
    fn byte(&mut self) -> Option<u8> {
        while self.at >= self.pieces.get(self.piece)?.len() {
            self.piece += 1;
            self.at = 0;
        }
        self.at += 1;
        Some(self.pieces[self.piece][self.at - 1])
    }

    fn short(&mut self) -> Option<u16> {
        Some(u16::from_le_bytes([self.byte()?, self.byte()?]))
    }

    fn long(&mut self) -> Option<u32> {
        Some(u32::from(self.short()?) | u32::from(self.short()?) << 16)
    }

    fn skip(&mut self, mut count: usize) -> Option<()> {
        while count > 0 {
            let left = self.pieces.get(self.piece)?.len().saturating_sub(self.at).min(count);
            self.at += left;
            count -= left;
            if count > 0 {
                self.piece += 1;
                self.at = 0;
            }
        }
        Some(())
    }

    /// The letters of a string; where they go on in the next record, that one begins with a byte that says how wide
    /// the letters are from there on.
    fn letters(&mut self, count: u16, mut wide: bool) -> Option<Vec<u16>> {
        let mut letters = Vec::new();
        for _ in 0..count {
            if self.at >= self.pieces.get(self.piece)?.len() {
                wide = self.byte()? & 1 != 0;
            }
            letters.push(if wide { self.short()? } else { self.byte()?.into() });
        }
        Some(letters)
    }
}

fn strings(mut pieces: Pieces<'_>) -> Option<BTreeMap<u32, Rich>> {
    let mut found = BTreeMap::new();
    pieces.long()?;
    let count = pieces.long()?;
    for index in 0..count {
        let Some(length) = pieces.short() else { break };
        let flags = pieces.byte()?;
        let runs = if flags & 8 != 0 { pieces.short()? } else { 0 };
        let phonetic = if flags & 4 != 0 { pieces.long()? } else { 0 };
        let letters = pieces.letters(length, flags & 1 != 0)?;
        let mut fonts = Vec::new();
        for _ in 0..runs {
            fonts.push((pieces.short()?, pieces.short()?));
        }
        pieces.skip(phonetic as usize)?;
        if !fonts.is_empty() {
            found.insert(index, Rich { letters, runs: fonts });
        }
    }
    Some(found)
}

fn sheet(stream: &[u8], book: &Book) -> SheetMarks {
    let mut marks = SheetMarks::default();
    let mut within = 0;
    for (kind, data) in (Records { rest: stream }).skip(1) {
        match kind {
            // A drawing within the sheet has records of its own.
            record::BEGIN => within += 1,
            record::END if within == 0 => break,
            record::END => within -= 1,
            _ if within > 0 => {}
            record::ROW => {
                // Row, first and last column, height, two that mean nothing here, then the flags; the sixth hides.
                if let (Some(row), Some(flags)) = (short(data, 0), short(data, 12))
                    && flags & 0x20 != 0
                {
                    marks.hidden_rows.push((u32::from(row) + 1, u32::from(row) + 1));
                }
            }
            record::COLUMNS => {
                // First and last column, width, format, then the flags; the first hides.
                if let (Some(first), Some(last), Some(flags)) = (short(data, 0), short(data, 2), short(data, 8))
                    && flags & 1 != 0
                {
                    marks.hidden_columns.push((first.into(), last.into()));
                }
            }
            record::SMALL_NUMBERS => {
                let (Some(row), Some(first)) = (short(data, 0), short(data, 2)) else { continue };
                // A format and a number for each, and at the end the last column.
                let cells = data.get(4..data.len().saturating_sub(2)).unwrap_or_default().chunks_exact(6);
                for (column, cell) in (usize::from(first)..).zip(cells) {
                    number(&mut marks, (u32::from(row) + 1, column), short(cell, 0).unwrap_or_default(), book);
                }
            }
            record::NUMBER | record::SMALL_NUMBER | record::FORMULA => {
                let (Some(at), Some(format)) = (place(data), short(data, 4)) else { continue };
                number(&mut marks, at, format, book);
            }
            record::SHARED_STRING | record::LABEL | record::TRUTH_OR_ERROR => {
                let (Some(at), Some(format)) = (place(data), short(data, 4)) else { continue };
                let string = if kind == record::SHARED_STRING { long(data, 6) } else { None };
                marks.struck.extend(book.words(format, string).map(|words| (at, words)));
            }
            _ => {}
        }
    }
    marks
}

/// Where the cell of a record stands.
fn place(data: &[u8]) -> Option<(u32, usize)> {
    Some((u32::from(short(data, 0)?) + 1, short(data, 2)?.into()))
}

fn number(marks: &mut SheetMarks, at: (u32, usize), format: u16, book: &Book) {
    if book.strikes(format) {
        marks.struck.insert(at, Default::default());
    }
    marks.shapes.extend(book.shape(format).map(|shape| (at, shape)));
}
