//! An own pass over the parts of an xlsx file for what the spreadsheet library does not show: hidden rows and columns,
//! struck words inside a cell, formulas without a result, merged ranges.

use std::collections::{BTreeMap, BTreeSet};

use aho_corasick::AhoCorasick;
use quick_xml::Reader;
use quick_xml::escape::unescape;
use quick_xml::events::{BytesStart, Event};

use super::floating::{self, Floating};
use super::shown::Shape;
use super::unpack::Parts;
use crate::read::sheet::Merge;

/// What the pass found on one sheet. Rows count from 1, columns from 0.
#[derive(Debug, Default)]
pub(crate) struct SheetMarks {
    /// Ranges of hidden rows.
    pub hidden_rows: Vec<(u32, u32)>,
    /// Ranges of hidden columns.
    pub hidden_columns: Vec<(usize, usize)>,
    /// Merged ranges.
    pub merges: Vec<Merge>,
    /// Formulas of cells that hold no result.
    pub formulas: BTreeMap<(u32, usize), String>,
    /// Cells with struck words inside: the words kept, the words struck.
    pub struck: BTreeMap<(u32, usize), (String, String)>,
    /// Those of them whose kept words have a font of their own, which goes before the font of the cell.
    pub own_font: BTreeSet<(u32, usize)>,
    /// Numbers as the file shows them, where that keeps zeros which the number does not.
    pub shown: BTreeMap<(u32, usize), String>,
    /// What the formats of numbers and dates make of them, where the library does not tell.
    pub shapes: BTreeMap<(u32, usize), Shape>,
    /// What floats above the cells.
    pub floating: Vec<Floating>,
}

impl SheetMarks {
    fn keep(&mut self, at: (u32, usize), (kept, struck, own): StruckRuns) {
        if own {
            self.own_font.insert(at);
        }
        self.struck.insert(at, (kept, struck));
    }
}

/// The name of each sheet of an xlsx file and the part it stands in.
pub(crate) fn sheet_paths(parts: &Parts) -> Vec<(String, String)> {
    let Some(workbook) = parts.text("xl/workbook.xml") else { return Vec::new() };
    let targets = relations(&parts.text("xl/_rels/workbook.xml.rels").unwrap_or_default());
    let path = |relation: &String| {
        let target = targets.get(relation)?;
        Some(target.strip_prefix('/').map_or_else(|| format!("xl/{target}"), str::to_string))
    };
    let sheets = sheet_list(&workbook).into_iter();
    sheets.filter_map(|(name, relation)| Some((name, path(&relation)?))).collect()
}

/// The marks of every sheet of an xlsx file, by sheet name.
pub(crate) fn xlsx(parts: &Parts, plain: impl Fn(&str) -> bool) -> Result<BTreeMap<String, SheetMarks>, String> {
    let mut marks = BTreeMap::new();
    let strings = parts.text("xl/sharedStrings.xml").unwrap_or_default();
    let struck = if strings.contains("strike") { struck_strings(&strings) } else { BTreeMap::new() };
    drop(strings);
    let words =
        AhoCorasick::new(["hidden", "<f>", "<f ", ":f>", ":f ", "strike"]).map_err(|error| error.to_string())?;
    for (name, path) in sheet_paths(parts) {
        let Some(xml) = parts.text(&path) else { continue };
        // The own pass found nothing but values between these.
        if let (true, Some(start), Some(end)) = (plain(&name), xml.find("<sheetData>"), xml.rfind("</sheetData>")) {
            let merges = sheet(&xml[end + "</sheetData>".len()..], &struck).merges;
            let floating = floating::of_part(parts, &path);
            marks.insert(name, SheetMarks { merges, floating, ..sheet(&xml[..start], &struck) });
            continue;
        }
        // Most sheets say of every row that it is not hidden, and hold neither formulas nor struck words.
        let needed = !struck.is_empty()
            || words.find_iter(xml.as_ref()).any(|found| found.pattern().as_usize() != 0 || hides(&xml[found.end()..]));
        let mut told = if needed {
            sheet(&xml, &struck)
        } else {
            // Merged ranges stand behind the rows.
            let behind = xml.rfind("mergeCells").and_then(|last| xml[..last].find("mergeCells")).unwrap_or(xml.len());
            sheet(&xml[xml[..behind].rfind('<').unwrap_or(behind)..], &struck)
        };
        told.floating = floating::of_part(parts, &path);
        marks.insert(name, told);
    }
    Ok(marks)
}

/// Whether what stands behind the word `hidden` says yes.
fn hides(rest: &str) -> bool {
    let value = rest.trim_start().strip_prefix('=').map(|rest| rest.trim_start().trim_start_matches(['"', '\'']));
    value.is_some_and(|value| value.starts_with('1') || value.starts_with("true"))
}

/// An attribute by its local name.
pub(crate) fn attribute(element: &BytesStart<'_>, name: &str) -> Option<String> {
    element.attributes().flatten().find(|attribute| attribute.key.local_name().as_ref() == name).map(|attribute| {
        unescape(&attribute.value).map_or_else(|_| attribute.value.to_string(), |value| value.into_owned())
    })
}

pub(crate) fn relations(xml: &str) -> BTreeMap<String, String> {
    let mut found = BTreeMap::new();
    let mut reader = Reader::from_str(xml);
    while let Ok(event) = reader.read_event() {
        match event {
            Event::Start(element) | Event::Empty(element) if element.local_name().as_ref() == "Relationship" => {
                if let (Some(id), Some(target)) = (attribute(&element, "Id"), attribute(&element, "Target")) {
                    found.insert(id, target);
                }
            }
            Event::Eof => break,
            _ => {}
        }
    }
    found
}

fn sheet_list(xml: &str) -> Vec<(String, String)> {
    let mut found = Vec::new();
    let mut reader = Reader::from_str(xml);
    while let Ok(event) = reader.read_event() {
        match event {
            Event::Start(element) | Event::Empty(element) if element.local_name().as_ref() == "sheet" => {
                if let (Some(name), Some(id)) = (attribute(&element, "name"), attribute(&element, "id")) {
                    found.push((name, id));
                }
            }
            Event::Eof => break,
            _ => {}
        }
    }
    found
}

/// The words kept, those struck, and whether those kept have fonts of their own.
pub(crate) type StruckRuns = (String, String, bool);

/// Text with the runs that are struck kept apart.
#[derive(Debug, Default)]
pub(crate) struct Runs {
    kept: String,
    struck: String,
    run_struck: bool,
    /// The run has a font of its own.
    own: bool,
    /// Words were kept that have the font of the cell.
    bare: bool,
    in_text: bool,
    in_phonetic: bool,
}

impl Runs {
    pub fn event(&mut self, event: &Event<'_>) {
        match event {
            Event::Start(element) | Event::Empty(element) => match element.local_name().as_ref() {
                "r" => (self.run_struck, self.own) = (false, false),
                "rPr" => self.own = true,
                "strike" => {
                    self.run_struck = !matches!(attribute(element, "val").as_deref(), Some("0" | "false"));
                }
                "rPh" => self.in_phonetic = true,
                "t" => self.in_text = matches!(event, Event::Start(_)) && !self.in_phonetic,
                _ => {}
            },
            Event::End(element) => match element.local_name().as_ref() {
                "t" => self.in_text = false,
                "rPh" => self.in_phonetic = false,
                "r" => (self.run_struck, self.own) = (false, false),
                _ => {}
            },
            Event::Text(text) if self.in_text => self.add(text),
            Event::CData(text) if self.in_text => self.add(text),
            Event::GeneralRef(name) if self.in_text => {
                let entity = format!("&{};", &**name);
                let text = unescape(&entity).map_or_else(|_| entity.clone(), |text| text.into_owned());
                self.add(&text);
            }
            _ => {}
        }
    }

    pub fn add(&mut self, text: &str) {
        self.bare |= !self.run_struck && !self.own;
        if self.run_struck { &mut self.struck } else { &mut self.kept }.push_str(text);
    }

    /// The words kept, those struck, and whether those kept have fonts of their own.
    pub fn take(&mut self) -> StruckRuns {
        let runs = std::mem::take(self);
        (runs.kept, runs.struck, !runs.bare)
    }
}

fn struck_strings(xml: &str) -> BTreeMap<usize, StruckRuns> {
    let mut found = BTreeMap::new();
    let mut reader = Reader::from_str(xml);
    let mut runs = Runs::default();
    let mut index = 0;
    while let Ok(event) = reader.read_event() {
        match &event {
            Event::End(element) if element.local_name().as_ref() == "si" => {
                let taken = runs.take();
                if !taken.1.trim().is_empty() {
                    found.insert(index, taken);
                }
                index += 1;
            }
            Event::Empty(element) if element.local_name().as_ref() == "si" => index += 1,
            Event::Eof => break,
            _ => runs.event(&event),
        }
    }
    found
}

/// What is known of the cell being read.
#[derive(Debug, Default)]
struct OpenCell {
    at: (u32, usize),
    shared: bool,
    has_value: bool,
    formula: Option<String>,
    value: String,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Inside {
    Nothing,
    Formula,
    Value,
    Inline,
}

fn sheet(xml: &str, struck: &BTreeMap<usize, StruckRuns>) -> SheetMarks {
    let mut marks = SheetMarks::default();
    let mut reader = Reader::from_str(xml);
    let mut cell = OpenCell::default();
    let mut inside = Inside::Nothing;
    let mut runs = Runs::default();
    let (mut row, mut column) = (0u32, 0usize);
    while let Ok(event) = reader.read_event() {
        match &event {
            Event::Eof => break,
            Event::Start(element) | Event::Empty(element) => {
                let open = matches!(event, Event::Start(_));
                match element.local_name().as_ref() {
                    "row" => {
                        row = attribute(element, "r")
                            .and_then(|r| r.parse().ok())
                            .unwrap_or_else(|| row.saturating_add(1));
                        column = 0;
                        if attribute(element, "hidden").is_some_and(|hidden| hidden == "1" || hidden == "true") {
                            marks.hidden_rows.push((row, row));
                        }
                    }
                    "c" => {
                        let at = attribute(element, "r").and_then(|r| address(&r)).unwrap_or((row, column));
                        column = at.1 + 1;
                        let shared = attribute(element, "t").is_some_and(|t| t == "s");
                        cell = OpenCell { at, shared, ..OpenCell::default() };
                    }
                    "f" => {
                        cell.formula = Some(String::new());
                        if open {
                            inside = Inside::Formula;
                        }
                    }
                    "v" if open => inside = Inside::Value,
                    "is" if open => inside = Inside::Inline,
                    "col" => columns(element, &mut marks),
                    "mergeCell" => marks.merges.extend(attribute(element, "ref").and_then(|range| merge(&range))),
                    _ if inside == Inside::Inline => runs.event(&event),
                    _ => {}
                }
            }
            Event::End(element) => match element.local_name().as_ref() {
                "f" | "v" => inside = Inside::Nothing,
                "is" => {
                    inside = Inside::Nothing;
                    cell.has_value = true;
                    let taken = runs.take();
                    if !taken.1.trim().is_empty() {
                        marks.keep(cell.at, taken);
                    }
                }
                "c" => close(std::mem::take(&mut cell), struck, &mut marks),
                _ if inside == Inside::Inline => runs.event(&event),
                _ => {}
            },
            _ if inside == Inside::Inline => runs.event(&event),
            Event::Text(text) => match inside {
                Inside::Formula => cell.formula.get_or_insert_default().push_str(text),
                Inside::Value => {
                    cell.has_value |= !text.trim().is_empty();
                    if cell.shared {
                        cell.value.push_str(text);
                    }
                }
                _ => {}
            },
            Event::GeneralRef(name) if inside == Inside::Formula => {
                let entity = format!("&{};", &**name);
                let text = unescape(&entity).map_or_else(|_| entity.clone(), |text| text.into_owned());
                cell.formula.get_or_insert_default().push_str(&text);
            }
            _ => {}
        }
    }
    marks
}

fn close(cell: OpenCell, struck: &BTreeMap<usize, StruckRuns>, marks: &mut SheetMarks) {
    if cell.shared
        && !struck.is_empty()
        && let Some(runs) = cell.value.trim().parse().ok().and_then(|index: usize| struck.get(&index))
    {
        marks.keep(cell.at, runs.clone());
    }
    if let Some(formula) = cell.formula
        && !cell.has_value
    {
        // A formula copied down is written once; the copies only point to it.
        let text = if formula.is_empty() { "=(shared formula)".to_string() } else { format!("={formula}") };
        marks.formulas.insert(cell.at, text);
    }
}

fn columns(element: &BytesStart<'_>, marks: &mut SheetMarks) {
    if !attribute(element, "hidden").is_some_and(|hidden| hidden == "1" || hidden == "true") {
        return;
    }
    let bound = |name| attribute(element, name).and_then(|text| text.parse::<usize>().ok());
    if let (Some(first), Some(last)) = (bound("min"), bound("max")) {
        marks.hidden_columns.push((first.saturating_sub(1), last.saturating_sub(1)));
    }
}

/// `B12` as row 12, column 1.
pub(crate) fn address(text: &str) -> Option<(u32, usize)> {
    let letters = text.bytes().take_while(u8::is_ascii_alphabetic).count();
    if letters == 0 || letters > 3 {
        return None;
    }
    let column = text
        .bytes()
        .take(letters)
        .fold(0usize, |sum, letter| sum * 26 + usize::from(letter.to_ascii_uppercase() - b'A') + 1);
    Some((text[letters..].parse().ok()?, column - 1))
}

fn merge(range: &str) -> Option<Merge> {
    let (from, to) = range.split_once(':')?;
    let (first, last) = (address(from)?, address(to)?);
    Some(Merge { rows: (first.0, last.0), columns: (first.1, last.1) })
}
