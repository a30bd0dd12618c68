//! An own pass over the records of an xlsb file for what the spreadsheet library does not show: hidden rows and columns,
//! struck cells and words, merged ranges. Records and their numbers are those of [MS-XLSB], Excel Binary File Format.

use std::collections::{BTreeMap, BTreeSet};

use super::floating::{self, Floating, Floats};
use super::marks::{SheetMarks, relations};
use super::unpack::Parts;
use crate::read::sheet::Merge;

/// Numbers of the records looked at.
mod record {
    pub const ROW: u32 = 0;
    pub const CELL_SHARED: u32 = 7;
    pub const LAST_CELL: u32 = 11;
    pub const STRING_ITEM: u32 = 19;
    pub const FONT: u32 = 43;
    pub const FORMAT: u32 = 47;
    pub const COLUMN: u32 = 60;
    pub const SHEET: u32 = 156;
    pub const MERGE: u32 = 176;
    pub const BEGIN_CELL_FORMATS: u32 = 617;
    pub const END_CELL_FORMATS: u32 = 618;
    pub const COMMENT: u32 = 635;
    pub const COMMENT_TEXT: u32 = 637;
}

/// The records of a part: number and bytes. What is cut off ends them.
struct Records<'b> {
    rest: &'b [u8],
}

impl<'b> Iterator for Records<'b> {
    type Item = (u32, &'b [u8]);

    fn next(&mut self) -> Option<Self::Item> {
        let kind = varied(&mut self.rest, 2)?;
        let size = varied(&mut self.rest, 4)? as usize;
        let (data, rest) = self.rest.split_at_checked(size)?;
        self.rest = rest;
        Some((kind, data))
    }
}

/// A number in groups of seven bits, the low ones first; all but its last byte have the high bit set.
fn varied(rest: &mut &[u8], most: usize) -> Option<u32> {
    let mut number = 0;
    for at in 0..most {
        let (byte, tail) = rest.split_first()?;
        *rest = tail;
        number |= u32::from(byte & 0x7F) << (7 * at);
        if byte & 0x80 == 0 {
            break;
        }
    }
    Some(number)
}

fn short(data: &[u8], at: usize) -> Option<u32> {
    data.get(at..at + 2).map(|bytes| u32::from(u16::from_le_bytes([bytes[0], bytes[1]])))
}

fn long(data: &[u8], at: usize) -> Option<u32> {
    data.get(at..at + 4).map(|bytes| u32::from_le_bytes([bytes[0], bytes[1], bytes[2], bytes[3]]))
}

/// A text: its length in letters of two bytes, then the letters. Gives them and where they end.
fn wide(data: &[u8], at: usize) -> Option<(Vec<u16>, usize)> {
    let length = long(data, at)? as usize;
    let end = length.checked_mul(2)?.checked_add(at + 4)?;
    let letters = data.get(at + 4..end)?.chunks_exact(2).map(|pair| u16::from_le_bytes([pair[0], pair[1]])).collect();
    Some((letters, end))
}

/// Fonts and cell formats that strike through.
#[derive(Default)]
struct Struck {
    fonts: BTreeSet<u32>,
    formats: BTreeSet<u32>,
}

fn styles(bytes: &[u8]) -> Struck {
    let mut struck = Struck::default();
    let (mut fonts, mut formats, mut of_cells) = (0, 0, false);
    for (kind, data) in (Records { rest: bytes }) {
        match kind {
            record::FONT => {
                // Height, then the flags; the fourth of them strikes through.
                if short(data, 2).is_some_and(|flags| flags & 0x8 != 0) {
                    struck.fonts.insert(fonts);
                }
                fonts += 1;
            }
            record::BEGIN_CELL_FORMATS => of_cells = true,
            record::END_CELL_FORMATS => of_cells = false,
            record::FORMAT if of_cells => {
                if short(data, 4).is_some_and(|font| struck.fonts.contains(&font)) {
                    struck.formats.insert(formats);
                }
                formats += 1;
            }
            _ => {}
        }
    }
    struck
}

/// Shared strings with struck runs: the words kept, the words struck.
fn strings(bytes: &[u8], struck: &Struck) -> BTreeMap<u32, (String, String)> {
    let mut found = BTreeMap::new();
    let items = Records { rest: bytes }.filter(|(kind, _)| *kind == record::STRING_ITEM);
    for (index, (_, data)) in (0..).zip(items) {
        let rich = data.first().is_some_and(|flags| flags & 1 != 0);
        let Some((letters, end)) = wide(data, 1).filter(|_| rich) else { continue };
        let runs = long(data, end).unwrap_or_default().min(32_767) as usize;
        let runs: Vec<(usize, u32)> = (0..runs)
            .map_while(|run| Some((short(data, end + 4 + run * 4)? as usize, short(data, end + 6 + run * 4)?)))
            .collect();
        let (mut kept, mut gone) = (Vec::new(), Vec::new());
        for (at, letter) in letters.into_iter().enumerate() {
            let font = runs.iter().rev().find(|(from, _)| *from <= at).map(|(_, font)| *font);
            let to = if font.is_some_and(|font| struck.fonts.contains(&font)) { &mut gone } else { &mut kept };
            to.push(letter);
        }
        let gone = String::from_utf16_lossy(&gone);
        if !gone.trim().is_empty() {
            found.insert(index, (String::from_utf16_lossy(&kept), gone));
        }
    }
    found
}

/// The marks of every sheet of an xlsb file, by sheet name.
pub(crate) fn xlsb(parts: &Parts) -> BTreeMap<String, SheetMarks> {
    let struck = parts.bytes("xl/styles.bin").map(styles).unwrap_or_default();
    let strings = parts.bytes("xl/sharedStrings.bin").map(|bytes| strings(bytes, &struck)).unwrap_or_default();
    let targets = relations(&parts.text("xl/_rels/workbook.bin.rels").unwrap_or_default());
    let mut marks = BTreeMap::new();
    for (kind, data) in (Records { rest: parts.bytes("xl/workbook.bin").unwrap_or_default() }) {
        if kind != record::SHEET {
            continue;
        }
        // State, number of the tab, name of the relation, name of the sheet.
        let named = wide(data, 8).and_then(|(relation, end)| Some((relation, wide(data, end)?.0)));
        let Some((relation, name)) = named else { continue };
        let target = targets.get(&String::from_utf16_lossy(&relation));
        let Some(path) = target.map(|target| format!("xl/{}", target.trim_start_matches("/xl/"))) else { continue };
        if let Some(bytes) = parts.bytes(&path) {
            let floating = floating::of_part(parts, &path);
            let own = SheetMarks { floating, ..sheet(bytes, &struck, &strings) };
            marks.insert(String::from_utf16_lossy(&name), own);
        }
    }
    marks
}

fn sheet(bytes: &[u8], struck: &Struck, strings: &BTreeMap<u32, (String, String)>) -> SheetMarks {
    let mut marks = SheetMarks::default();
    let mut row = 0;
    for (kind, data) in (Records { rest: bytes }) {
        match kind {
            record::ROW => {
                row = long(data, 0).unwrap_or(row).saturating_add(1);
                // Behind row, format, height and one byte of flags: the fifth flag hides the row.
                if data.get(11).is_some_and(|flags| flags & 0x10 != 0) {
                    marks.hidden_rows.push((row, row));
                }
            }
            record::COLUMN => {
                // First and last column, width, format, then the flags; the first of them hides.
                if let (Some(first), Some(last), Some(flags)) = (long(data, 0), long(data, 4), short(data, 16))
                    && flags & 1 != 0
                {
                    marks.hidden_columns.push((first as usize, last as usize));
                }
            }
            record::MERGE => {
                let bound = |at| long(data, at);
                if let (Some(top), Some(bottom), Some(left), Some(right)) = (bound(0), bound(4), bound(8), bound(12)) {
                    let rows = (top.saturating_add(1), bottom.saturating_add(1));
                    marks.merges.push(Merge { rows, columns: (left as usize, right as usize) });
                }
            }
            1..=record::LAST_CELL => {
                let (Some(column), Some(format)) = (long(data, 0), long(data, 4)) else { continue };
                let at = (row, column as usize);
                if struck.formats.contains(&(format & 0x00FF_FFFF)) {
                    marks.struck.insert(at, (String::new(), String::new()));
                } else if kind == record::CELL_SHARED
                    && let Some(runs) = long(data, 8).and_then(|index| strings.get(&index))
                {
                    marks.struck.insert(at, runs.clone());
                }
            }
            _ => {}
        }
    }
    marks
}

/// The comments of a part: the range of each and then its words, with flags before them.
pub(crate) fn comments(bytes: &[u8]) -> Vec<Floating> {
    let mut found = Vec::new();
    let mut at = None;
    for (kind, data) in (Records { rest: bytes }) {
        match kind {
            // Its author, first and last row, first and last column.
            record::COMMENT => at = long(data, 4).zip(long(data, 12)),
            record::COMMENT_TEXT => {
                let (Some((row, column)), Some((letters, _))) = (at.take(), wide(data, 1)) else { continue };
                let at = (row.saturating_add(1), column as usize);
                found.extend(Floating::text(Floats::Comment, at, &String::from_utf16_lossy(&letters)));
            }
            _ => {}
        }
    }
    found
}
