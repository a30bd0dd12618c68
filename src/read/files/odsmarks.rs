//! An own pass over the content of an ods file for what the spreadsheet library does not show: hidden rows and columns,
//! struck cells and words, merged ranges, and numbers as they are shown (`0703`, `101.10`).

use std::collections::{BTreeMap, BTreeSet};

use quick_xml::Reader;
use quick_xml::escape::unescape;
use quick_xml::events::{BytesStart, Event};
use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;

use super::floating::{Floating, Floats, TALL};
use super::marks::{SheetMarks, attribute};
use super::unpack::Parts;
use crate::read::sheet::Merge;

/// A repeated cell or row is followed so far; what is repeated more often is empty.
const REPEATS: usize = 1000;
/// Most cells between the first and the last that hold something: the library makes room for all of them.
pub(crate) const MOST_SPREAD: u64 = 6_000_000;

/// The marks of every sheet of an ods file, by sheet name.
pub(crate) fn ods(parts: &Parts) -> Result<BTreeMap<String, SheetMarks>, String> {
    let named = parts.text("styles.xml").unwrap_or_default();
    let Some(content) = parts.text("content.xml") else { return Ok(BTreeMap::new()) };
    let mut struck = BTreeSet::new();
    styles(&named, &mut struck);
    styles(&content, &mut struck);
    let mut walk = Walk { struck, ..Walk::default() };
    let mut reader = Reader::from_str(&content);
    while let Ok(event) = reader.read_event() {
        match &event {
            Event::Eof => break,
            Event::Start(element) => walk.open(element),
            Event::Empty(element) => {
                walk.open(element);
                walk.close(element.local_name().as_ref());
            }
            Event::End(element) => walk.close(element.local_name().as_ref()),
            Event::Text(text) => walk.text(text),
            Event::GeneralRef(name) => {
                let entity = format!("&{};", &**name);
                let text = unescape(&entity).map_or_else(|_| entity.clone(), |text| text.into_owned());
                walk.text(&text);
            }
            _ => {}
        }
    }
    match walk.spread {
        Some((sheet, rows, columns)) => Err(format!(
            "the sheet \"{sheet}\" spreads over {rows} rows and {columns} columns; this is no schedule; delete what stands far from it"
        )),
        None => Ok(walk.sheets),
    }
}

/// Names of the styles that strike through, their own or by the style they build on.
fn styles(xml: &str, struck: &mut BTreeSet<String>) {
    let mut reader = Reader::from_str(xml);
    let mut style: Option<String> = None;
    while let Ok(event) = reader.read_event() {
        match &event {
            Event::Eof => break,
            Event::Start(element) | Event::Empty(element) => match element.local_name().as_ref() {
                "style" => {
                    style = attribute(element, "name");
                    let parent = attribute(element, "parent-style-name");
                    if let (Some(name), Some(parent)) = (&style, parent)
                        && struck.contains(&parent)
                    {
                        struck.insert(name.clone());
                    }
                }
                "text-properties" => {
                    let says = |name: &str| attribute(element, name).map(|value| value != "none");
                    let through = says("text-line-through-type").or_else(|| says("text-line-through-style"));
                    if let (Some(name), Some(through)) = (&style, through) {
                        if through {
                            struck.insert(name.clone());
                        } else {
                            struck.remove(name);
                        }
                    }
                }
                "body" => break,
                _ => {}
            },
            _ => {}
        }
    }
}

/// Where the pass is in the content.
#[derive(Default)]
struct Walk {
    struck: BTreeSet<String>,
    sheets: BTreeMap<String, SheetMarks>,
    sheet: Option<String>,
    marks: SheetMarks,
    row: u32,
    rows: u32,
    column: usize,
    columns: usize,
    cell: Option<Cell>,
    spans: Vec<bool>,
    in_paragraph: bool,
    /// What floats around the words read, from the outside in: comments and shapes.
    above: Vec<Floats>,
    /// The words of it.
    words: String,
    /// Rows of usual height that the frame being read covers, and whether a picture is in it.
    tall: u32,
    picture: bool,
    /// First row, last row and last column that hold something.
    held: Option<(u32, u32, usize)>,
    /// The sheet that spreads too far, its rows and columns.
    spread: Option<(String, u64, u64)>,
}

/// The cell being read.
#[derive(Default)]
struct Cell {
    struck: bool,
    number: bool,
    repeated: usize,
    kept: String,
    gone: String,
    paragraphs: usize,
}

impl Walk {
    fn open(&mut self, element: &BytesStart<'_>) {
        let count =
            |name: &str| attribute(element, name).and_then(|text| text.parse::<usize>().ok()).unwrap_or(1).max(1);
        let hidden = || matches!(attribute(element, "visibility").as_deref(), Some("collapse" | "filter"));
        match element.local_name().as_ref() {
            "table" => {
                self.sheet = attribute(element, "name");
                (self.marks, self.held) = (SheetMarks::default(), None);
                (self.row, self.rows, self.column, self.columns) = (1, 0, 0, 0);
            }
            "table-column" => {
                let repeated = count("number-columns-repeated");
                if hidden() {
                    self.marks.hidden_columns.push((self.columns, self.columns + repeated - 1));
                }
                self.columns += repeated;
            }
            "table-row" => {
                self.row += self.rows;
                self.rows = u32::try_from(count("number-rows-repeated")).unwrap_or(1);
                self.column = 0;
                if hidden() {
                    self.marks.hidden_rows.push((self.row, self.row.saturating_add(self.rows - 1)));
                }
            }
            "table-cell" | "covered-table-cell" => {
                let (down, across) = (count("number-rows-spanned"), count("number-columns-spanned"));
                if down > 1 || across > 1 {
                    let last = self.row.saturating_add(u32::try_from(down - 1).unwrap_or(0));
                    self.marks
                        .merges
                        .push(Merge { rows: (self.row, last), columns: (self.column, self.column + across - 1) });
                }
                self.cell = Some(Cell {
                    struck: attribute(element, "style-name").is_some_and(|style| self.struck.contains(&style)),
                    number: attribute(element, "value-type").is_some_and(|kind| kind == "float"),
                    repeated: count("number-columns-repeated"),
                    ..Cell::default()
                });
            }
            "annotation" => self.above.push(Floats::Comment),
            "frame" | "custom-shape" | "rect" | "ellipse" | "caption" | "text-box" | "g" => {
                if self.above.is_empty() {
                    (self.tall, self.picture) =
                        (attribute(element, "height").map_or(0, |height| rows_of(&height)), false);
                }
                self.above.push(Floats::Box)
            }
            "image" => self.picture |= !self.above.is_empty(),
            "p" if !self.above.is_empty() => {
                self.words.push('\n');
                self.in_paragraph = true;
            }
            "p" => {
                self.in_paragraph = true;
                if let Some(cell) = &mut self.cell {
                    cell.paragraphs += 1;
                    if cell.paragraphs > 1 {
                        cell.kept.push('\n');
                    }
                }
            }
            "span" => {
                let style = attribute(element, "style-name");
                let struck = style.is_some_and(|style| self.struck.contains(&style));
                self.spans.push(struck || self.spans.last().copied().unwrap_or(false));
            }
            "s" => self.text(&" ".repeat(count("c").min(80))),
            "tab" => self.text("\t"),
            "line-break" => self.text("\n"),
            _ => {}
        }
    }

    fn text(&mut self, text: &str) {
        if !self.in_paragraph {
            return;
        }
        if !self.above.is_empty() {
            self.words.push_str(text);
            return;
        }
        let struck = self.spans.last().copied().unwrap_or(false);
        if let Some(cell) = &mut self.cell {
            if struck { &mut cell.gone } else { &mut cell.kept }.push_str(text);
        }
    }

    fn close(&mut self, name: &str) {
        match name {
            "annotation" | "frame" | "custom-shape" | "rect" | "ellipse" | "caption" | "text-box" | "g" => {
                let Some(kind) = self.above.pop().filter(|_| self.above.is_empty()) else { return };
                let at = (self.row.max(1), self.column);
                let picture = (std::mem::take(&mut self.picture) && self.tall >= TALL).then(|| Floating::picture(at));
                self.marks.floating.extend(Floating::text(kind, at, &std::mem::take(&mut self.words)).or(picture));
            }
            "p" => self.in_paragraph = false,
            "span" => drop(self.spans.pop()),
            "table-cell" | "covered-table-cell" => {
                let Some(cell) = self.cell.take() else { return };
                if cell.paragraphs > 0 {
                    let (first, last, wide) = self.held.unwrap_or((self.row, 0, 0));
                    let end = self.row.saturating_add(self.rows - 1);
                    self.held = Some((first.min(self.row), last.max(end), wide.max(self.column + cell.repeated)));
                }
                if cell.paragraphs > 0 && self.rows as usize <= REPEATS && cell.repeated <= REPEATS {
                    for row in self.row..self.row + self.rows {
                        for column in self.column..self.column + cell.repeated {
                            note(&mut self.marks, (row, column), &cell);
                        }
                    }
                }
                self.column += cell.repeated;
            }
            "table" => {
                if let Some(sheet) = self.sheet.take() {
                    if let Some((first, last, wide)) = self.held.take() {
                        let (rows, columns) = (u64::from(last - first) + 1, wide as u64);
                        if rows.saturating_mul(columns) > MOST_SPREAD {
                            self.spread = Some((sheet.clone(), rows, columns));
                        }
                    }
                    self.sheets.insert(sheet, std::mem::take(&mut self.marks));
                }
            }
            _ => {}
        }
    }
}

/// How many rows of usual height, 15 points, a measure such as `12.5cm` covers.
fn rows_of(measure: &str) -> u32 {
    let units = [("cm", (72, 254, 100)), ("mm", (72, 254, 10)), ("in", (72, 1, 1)), ("pt", (1, 1, 1))];
    let read = |(unit, (points, of, more)): (&str, (i64, i64, i64))| {
        let number: Decimal = measure.trim().strip_suffix(unit)?.trim().parse().ok()?;
        let points = number.checked_mul(Decimal::from(points * more))? / Decimal::from(of * 15);
        points.trunc().to_u32()
    };
    units.into_iter().find_map(read).unwrap_or(0)
}

fn note(marks: &mut SheetMarks, at: (u32, usize), cell: &Cell) {
    if cell.struck {
        marks.struck.insert(at, (String::new(), format!("{}{}", cell.kept, cell.gone)));
    } else if !cell.gone.trim().is_empty() {
        marks.struck.insert(at, (cell.kept.clone(), cell.gone.clone()));
    } else if cell.number {
        let shown = cell.kept.trim();
        let digits = shown.bytes().all(|byte| byte.is_ascii_digit() || byte == b'.');
        let zeros = shown.len() > 1 && shown.starts_with('0') || shown.contains('.') && shown.ends_with('0');
        if digits && zeros {
            marks.shown.insert(at, shown.to_string());
        }
    }
}
