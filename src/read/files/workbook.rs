//! The one file that knows the spreadsheet library: xlsx, xlsm, xlsb, xls and ods into sheets of cells.
//!
//! The library shows no hidden rows, no struck words inside a cell and no formula without a result; `marks` finds those.

use std::collections::BTreeMap;
use std::io::Cursor;
use std::sync::Arc;

use calamine::{
    Data, DataRef, ExcelDateTime, Ods, Reader, SheetType, SheetVisible, Style, Xls, Xlsb, Xlsx, open_workbook_from_rs,
};
use rayon::prelude::*;

use super::marks::{self, SheetMarks};
use super::plainsheet::{self, PlainCell, Value};
use super::rows::Rows;
use super::shown::{Hint, Shape, date_text, finish, iso_text, number_text};
use super::source::Format;
use super::unpack::{self, Parts};
use super::{odsmarks, xlsbmarks, xlsmarks};
use crate::read::sheet::{Cell, CellKind, Date, Merge, Oddity, Row, Sheet, error_word};

/// Most cells taken from one workbook.
const MAX_CELLS: usize = 2_000_000;

/// Reads every sheet of a workbook.
pub(crate) fn read(file: &Arc<str>, bytes: &[u8], format: Format) -> Result<Vec<Sheet>, String> {
    let unpacked = || unpack::unpack(bytes).map_err(|why| failed_to_unpack(file, &why));
    match format {
        Format::Xlsx => xlsx(file, &unpacked()?),
        Format::Xlsb => {
            let parts = unpacked()?;
            guarded(file, || xlsb(file, &parts))
        }
        Format::Xls if is_encrypted(bytes) => Err(locked(file)),
        Format::Xls => guarded(file, || {
            let old = xlsmarks::xls(bytes).map_err(|why| failed(file, None, why))?;
            match old.marks {
                Some(marks) => whole::<Xls<_>>(file, &old.file, marks),
                None => whole::<Xls<_>>(file, &old.file, BTreeMap::new()).map(unseen),
            }
        }),
        Format::Ods => {
            let parts = unpacked()?;
            let marks = odsmarks::ods(&parts).map_err(|why| format!("{file}: {why}"))?;
            whole::<Ods<_>>(file, parts.zip(), marks)
        }
        Format::Text => Err(format!("{file}: text is no workbook")),
    }
}

/// The name of the thread in which the library reads the binary formats.
const GUARDED: &str = "reading a binary workbook";

/// The library trusts the lengths that a binary file states and panics where they are wrong. It reads such files in a
/// thread of its own, and its panic means that the file is damaged; nothing of it reaches the terminal.
fn guarded(file: &Arc<str>, read: impl FnOnce() -> Result<Vec<Sheet>, String> + Send) -> Result<Vec<Sheet>, String> {
    static QUIET: std::sync::Once = std::sync::Once::new();
    QUIET.call_once(|| {
        let before = std::panic::take_hook();
        std::panic::set_hook(Box::new(move |told| {
            if std::thread::current().name() != Some(GUARDED) {
                before(told);
            }
        }));
    });
    std::thread::scope(|scope| {
        let thread = std::thread::Builder::new().name(GUARDED.into()).spawn_scoped(scope, read);
        let thread = thread.map_err(|error| format!("{file}: cannot be read now: {error}"))?;
        thread.join().unwrap_or_else(|_| Err(failed(file, None, "a length in it is wrong")))
    })
}

fn failed_to_unpack(file: &str, why: &str) -> String {
    if why.to_lowercase().contains("password") { locked(file) } else { format!("{file}: {why}") }
}

fn failed(file: &str, sheet: Option<&str>, error: impl std::fmt::Display) -> String {
    let error = error.to_string();
    let at = sheet.map(|sheet| format!(", sheet \"{sheet}\"")).unwrap_or_default();
    if error.to_lowercase().contains("password") {
        return locked(file);
    }
    format!(
        "{file}{at}: is damaged or not a spreadsheet ({error}); open it in the spreadsheet program and save it again"
    )
}

/// The message for a workbook that only its password opens.
fn locked(file: &str) -> String {
    format!(
        "{file}: is protected by a password\n  help: open it in the spreadsheet program, save a copy without the password, and give that"
    )
}

/// Whether an old-style container holds an encrypted workbook of the newer kind: the names of its streams stand in it as
/// UTF-16. The reading library takes such a file for a damaged xls.
fn is_encrypted(bytes: &[u8]) -> bool {
    let name: Vec<u8> = "EncryptedPackage".bytes().flat_map(|letter| [letter, 0]).collect();
    bytes.windows(name.len()).any(|window| window == name.as_slice())
}

/// Counts cells and refuses a flood.
struct Budget {
    left: usize,
}

impl Budget {
    fn take(&mut self, file: &str, sheet: &str) -> Result<(), String> {
        match self.left.checked_sub(1) {
            Some(left) => {
                self.left = left;
                Ok(())
            }
            None => Err(format!(
                "{file}, sheet \"{sheet}\": more than {MAX_CELLS} cells; this is no schedule; save the schedule sheets alone"
            )),
        }
    }
}

fn xlsx(file: &Arc<str>, parts: &Parts) -> Result<Vec<Sheet>, String> {
    let open = || open_workbook_from_rs(Cursor::new(parts.zip())).map_err(|error| failed(file, None, error));
    let (book, plain) = rayon::join(open, || plain_cells(parts));
    let seen = |name: &str| plain.1.contains_key(name);
    let (marks, sheets) = rayon::join(|| marks::xlsx(parts, seen), || xlsx_cells(file, book?, &plain));
    let mut marks = marks.map_err(|why| failed(file, None, why))?;
    let mut sheets = sheets?;
    for sheet in &mut sheets {
        let marks = marks.remove(&*sheet.name).unwrap_or_default();
        apply(sheet, marks);
    }
    Ok(sheets)
}

type Book<'b> = Xlsx<Cursor<&'b [u8]>>;

/// What the quick pass found: the shared strings, and the cells of the sheets that are plain, by the names of the sheets.
type Plain<'x> = (Vec<String>, BTreeMap<String, Vec<Vec<PlainCell<'x>>>>);

fn plain_cells(parts: &Parts) -> Plain<'_> {
    let text = |name: &str| parts.bytes(name).and_then(|bytes| std::str::from_utf8(bytes).ok());
    let strings = match parts.bytes("xl/sharedStrings.xml") {
        Some(_) => text("xl/sharedStrings.xml").and_then(plainsheet::strings),
        None => Some(Vec::new()),
    };
    let Some(strings) = strings else { return Plain::default() };
    let sheets = marks::sheet_paths(parts);
    let read = |(name, path): (String, String)| {
        let cells = plainsheet::cells(text(&path)?, MAX_CELLS)?;
        let known = |cell: &PlainCell| !matches!(cell.value, Value::Shared(at) if at >= strings.len());
        cells.par_iter().flatten_iter().all(known).then_some((name, cells))
    };
    let cells = sheets.into_iter().filter_map(read).collect();
    (strings, cells)
}

/// The rows of a plain sheet; `None` where a number's format may be that of a date.
fn plain_rows(cells: &[Vec<PlainCell<'_>>], strings: &[String], hints: &[Hint]) -> Option<Vec<Row>> {
    let hint = |cell: &PlainCell| hints.get(cell.style).copied().unwrap_or_default();
    if cells.iter().flatten().any(|cell| matches!(cell.value, Value::Number(_)) && !hint(cell).plain) {
        return None;
    }
    let parts: Vec<Rows> = cells
        .par_iter()
        .map(|cells| {
            let mut rows = Rows::default();
            for cell in cells {
                let hint = hint(cell);
                let (text, kind) = match &cell.value {
                    Value::Shared(at) => (strings[*at].trim().to_string(), CellKind::Text),
                    Value::Text(text) => (text.trim().to_string(), CellKind::Text),
                    Value::Number(figures) => number_text(figures.parse().unwrap_or_default(), hint.shape),
                };
                if let Some(made) = finish(cell.at.1, text, kind, hint.struck) {
                    rows.push(cell.at.0, made);
                }
            }
            rows
        })
        .collect();
    let mut rows = Rows::default();
    parts.into_iter().for_each(|part| rows.append(part));
    Some(rows.done())
}

/// The cells of every sheet: those of plain sheets as the own pass found them; the library reads the others.
fn xlsx_cells(file: &Arc<str>, mut book: Book<'_>, (strings, plain): &Plain<'_>) -> Result<Vec<Sheet>, String> {
    let mut budget = Budget { left: MAX_CELLS };
    let mut sheets = Vec::new();
    for meta in book.sheets_metadata().to_vec() {
        if meta.typ != SheetType::WorkSheet {
            continue;
        }
        let mut sheet = Sheet::new(file, &meta.name);
        sheet.hidden = meta.visible != SheetVisible::Visible;
        let mut reader =
            book.worksheet_cells_reader(&meta.name).map_err(|error| failed(file, Some(&meta.name), error))?;
        let hints: Vec<Hint> = reader.styles().iter().map(hint_of).collect();
        let count = plain.get(&meta.name).map_or(0, |pieces| pieces.iter().map(Vec::len).sum());
        let quickly = plain.get(&meta.name).filter(|_| count <= budget.left);
        if let Some(rows) = quickly.and_then(|cells| plain_rows(cells, strings, &hints)) {
            budget.left -= count;
            sheet.rows = rows;
            sheets.push(sheet);
            continue;
        }
        let mut rows = Rows::default();
        loop {
            let next = reader.next_cell_with_style_id().map_err(|error| failed(file, Some(&meta.name), error))?;
            let Some((cell, style)) = next else { break };
            budget.take(file, &meta.name)?;
            let hint = hints.get(style).copied().unwrap_or_default();
            let (row, column) = cell.get_position();
            if let Some(cell) = from_ref(column as usize, cell.get_value(), hint) {
                rows.push(row + 1, cell);
            }
        }
        sheet.rows = rows.done();
        sheets.push(sheet);
    }
    Ok(sheets)
}

/// Puts what the own pass found on the cells.
fn apply(sheet: &mut Sheet, marks: SheetMarks) {
    for ((row, column), formula) in marks.formulas {
        let cell = Cell { kind: CellKind::Formula, ..Cell::text(column, &formula) };
        let at = sheet.index_of(row);
        match sheet.rows.get_mut(at).filter(|found| found.number == row) {
            Some(found) => match found.cells.binary_search_by_key(&column, |cell| cell.column) {
                Ok(_) => {}
                Err(slot) => found.cells.insert(slot, cell),
            },
            None => sheet.rows.insert(at, Row { number: row, cells: vec![cell], hidden: false }),
        }
    }
    for ((row, column), (kept, struck)) in marks.struck {
        let at = sheet.index_of(row);
        let Some(found) = sheet.rows.get_mut(at).filter(|found| found.number == row) else { continue };
        if let Ok(slot) = found.cells.binary_search_by_key(&column, |cell| cell.column) {
            let cell = &mut found.cells[slot];
            if kept.trim().is_empty() {
                cell.struck = true;
            } else if !cell.struck || marks.own_font.contains(&(row, column)) {
                cell.struck = false;
                cell.text = kept.trim().to_string();
                cell.struck_words = struck;
            }
        }
    }
    for ((row, column), shown) in marks.shown {
        let at = sheet.index_of(row);
        let Some(found) = sheet.rows.get_mut(at).filter(|found| found.number == row) else { continue };
        if let Ok(slot) = found.cells.binary_search_by_key(&column, |cell| cell.column)
            && found.cells[slot].kind == CellKind::Number
        {
            found.cells[slot].text = shown;
        }
    }
    for (first, last) in marks.hidden_rows {
        let from = sheet.index_of(first);
        for row in sheet.rows[from..].iter_mut().take_while(|row| row.number <= last) {
            row.hidden = true;
        }
    }
    for (first, last) in marks.hidden_columns {
        let mut hidden: Vec<usize> = sheet
            .rows
            .iter()
            .flat_map(|row| row.cells.iter().map(|cell| cell.column))
            .filter(|column| (first..=last).contains(column))
            .collect();
        hidden.sort_unstable();
        hidden.dedup();
        sheet.hidden_columns.extend(hidden);
    }
    sheet.hidden_columns.sort_unstable();
    sheet.hidden_columns.dedup();
    sheet.merges = marks.merges;
    sheet.floating = marks.floating;
}

fn hint_of(style: &Style) -> Hint {
    let struck = style.font.as_ref().is_some_and(|font| font.has_strikethrough());
    Hint::new(struck, style.number_format.as_ref().map(|format| format.format_code.as_str()).unwrap_or_default())
}

fn day_text(date: &ExcelDateTime, shape: Shape) -> (String, CellKind) {
    let (year, month, day, hour, minute, ..) = date.to_ymd_hms_milli();
    if date.is_duration() || date.as_f64() < 1.0 {
        return (format!("{hour}:{minute:02}"), CellKind::Number);
    }
    date_text(Date { year, month, day }, shape)
}

fn from_ref(column: usize, value: &DataRef<'_>, hint: Hint) -> Option<Cell> {
    let (text, kind) = match value {
        DataRef::Empty => return None,
        DataRef::String(text) => (text.clone(), CellKind::Text),
        DataRef::SharedString(text) => ((*text).to_string(), CellKind::Text),
        DataRef::Int(number) => (number.to_string(), CellKind::Number),
        DataRef::Float(number) => number_text(*number, hint.shape),
        DataRef::Bool(truth) => (if *truth { "TRUE" } else { "FALSE" }.to_string(), CellKind::Text),
        DataRef::DateTime(date) => day_text(date, hint.shape),
        DataRef::DateTimeIso(iso) | DataRef::DurationIso(iso) => iso_text(iso),
        DataRef::Error(error) => (error.to_string(), CellKind::Error),
    };
    finish(column, text, kind, hint.struck)
}

fn from_data(column: usize, value: &Data, shape: Shape) -> Option<Cell> {
    let (text, kind) = match value {
        Data::Empty => return None,
        Data::String(text) => (text.clone(), error_word(text).unwrap_or(CellKind::Text)),
        Data::Int(number) => number_text(*number as f64, shape),
        Data::Float(number) => number_text(*number, shape),
        Data::Bool(truth) => (if *truth { "TRUE" } else { "FALSE" }.to_string(), CellKind::Text),
        Data::DateTime(date) => day_text(date, shape),
        Data::DateTimeIso(iso) | Data::DurationIso(iso) => iso_text(iso),
        Data::Error(error) => (error.to_string(), CellKind::Error),
    };
    finish(column, text, kind, false)
}

fn xlsb(file: &Arc<str>, parts: &Parts) -> Result<Vec<Sheet>, String> {
    let mut marks = xlsbmarks::xlsb(parts);
    let mut book: Xlsb<_> =
        open_workbook_from_rs(Cursor::new(parts.zip())).map_err(|error| failed(file, None, error))?;
    let mut budget = Budget { left: MAX_CELLS };
    let mut sheets = Vec::new();
    for meta in book.sheets_metadata().to_vec() {
        if meta.typ != SheetType::WorkSheet {
            continue;
        }
        let mut sheet = Sheet::new(file, &meta.name);
        sheet.hidden = meta.visible != SheetVisible::Visible;
        let mut rows = Rows::default();
        let mut reader =
            book.worksheet_cells_reader(&meta.name).map_err(|error| failed(file, Some(&meta.name), error))?;
        while let Some(cell) = reader.next_cell().map_err(|error| failed(file, Some(&meta.name), error))? {
            budget.take(file, &meta.name)?;
            let (row, column) = cell.get_position();
            let hint = Hint { shape: Shape::MonthName, ..Hint::default() };
            if let Some(cell) = from_ref(column as usize, cell.get_value(), hint) {
                rows.push(row + 1, cell);
            }
        }
        sheet.rows = rows.done();
        apply(&mut sheet, marks.remove(&meta.name).unwrap_or_default());
        sheets.push(sheet);
    }
    Ok(sheets)
}

/// Formats that the library reads whole.
fn whole<'b, R>(file: &Arc<str>, bytes: &'b [u8], mut marks: BTreeMap<String, SheetMarks>) -> Result<Vec<Sheet>, String>
where
    R: Reader<Cursor<&'b [u8]>> + Merged,
    R::Error: std::fmt::Display,
{
    let mut book: R = open_workbook_from_rs(Cursor::new(bytes)).map_err(|error| failed(file, None, error))?;
    let mut budget = Budget { left: MAX_CELLS };
    let mut sheets = Vec::new();
    for meta in book.sheets_metadata().to_vec() {
        let mut sheet = Sheet::new(file, &meta.name);
        sheet.hidden = meta.visible != SheetVisible::Visible;
        let range = book.worksheet_range(&meta.name).map_err(|error| failed(file, Some(&meta.name), error))?;
        let (top, left) = range.start().unwrap_or((0, 0));
        let mut rows = Rows::default();
        let marks = marks.remove(&meta.name).unwrap_or_default();
        for (row, column, value) in range.used_cells() {
            budget.take(file, &meta.name)?;
            let at = (top + row as u32 + 1, left as usize + column);
            let shape = marks.shapes.get(&at).copied().unwrap_or(Shape::MonthName);
            if let Some(cell) = from_data(at.1, value, shape) {
                rows.push(at.0, cell);
            }
        }
        sheet.rows = rows.done();
        apply(&mut sheet, marks);
        sheet.merges.extend(book.merges(&meta.name));
        sheets.push(sheet);
    }
    Ok(sheets)
}

/// An xls file in which nothing shows hidden rows, hidden columns and struck words: that is said, once a file.
fn unseen(mut sheets: Vec<Sheet>) -> Vec<Sheet> {
    if let Some(sheet) = sheets.iter_mut().find(|sheet| !sheet.rows.is_empty()) {
        sheet.oddities.push(Oddity {
            code: "marks-not-seen",
            row: sheet.rows[0].number,
            excerpt: "xls".into(),
            says: "hidden rows, hidden columns and words struck through cannot be seen in an xls file of this kind; all of it was read".into(),
            help: "save the file as xlsx or ods if rows may be hidden or words struck through",
        });
    }
    sheets
}

/// Merged ranges, where the library tells them.
trait Merged {
    fn merges(&self, sheet: &str) -> Vec<Merge>;
}

impl Merged for Xls<Cursor<&[u8]>> {
    fn merges(&self, sheet: &str) -> Vec<Merge> {
        self.merge_cells_by_sheet_name(sheet)
            .unwrap_or_default()
            .iter()
            .map(|range| Merge {
                rows: (range.start.0 + 1, range.end.0 + 1),
                columns: (range.start.1 as usize, range.end.1 as usize),
            })
            .collect()
    }
}

impl Merged for Ods<Cursor<&[u8]>> {
    fn merges(&self, _sheet: &str) -> Vec<Merge> {
        Vec::new()
    }
}

/// The sheets of an xlsx file with the own pass and without it, and how many sheets were plain.
#[cfg(test)]
pub(crate) fn both_ways(bytes: &[u8]) -> (Vec<Sheet>, Vec<Sheet>, usize) {
    let file: Arc<str> = "both".into();
    let parts = unpack::unpack(bytes).expect("a zip");
    let open = || open_workbook_from_rs(Cursor::new(parts.zip())).expect("a workbook");
    let plain = plain_cells(&parts);
    let quick = xlsx_cells(&file, open(), &plain).expect("it reads");
    let library = xlsx_cells(&file, open(), &Plain::default()).expect("it reads");
    (quick, library, plain.1.len())
}
