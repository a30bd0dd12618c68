//! An own pass over the zip of an xlsx file for what the spreadsheet library does not show: hidden rows and columns,
//! struck words inside a cell, formulas without a result, merged ranges. And the guard against zips that unpack to floods.

use std::collections::BTreeMap;
use std::io::{Cursor, Read};

use aho_corasick::AhoCorasick;
use quick_xml::Reader;
use quick_xml::escape::unescape;
use quick_xml::events::{BytesStart, Event};
use zip::ZipArchive;

use super::sheet::Merge;
use super::source::Format;

/// Most bytes that all parts of a workbook may unpack to.
const MAX_UNPACKED: u64 = 600 * 1024 * 1024;

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
    /// Numbers as the file shows them, where that keeps zeros which the number does not.
    pub shown: BTreeMap<(u32, usize), String>,
}

type Zip<'b> = ZipArchive<Cursor<&'b [u8]>>;

fn archive(bytes: &[u8]) -> Result<Zip<'_>, String> {
    ZipArchive::new(Cursor::new(bytes)).map_err(|error| format!("the file is damaged or not complete ({error})"))
}

/// Which spreadsheet a zip holds.
pub(crate) fn zip_format(bytes: &[u8]) -> Result<Format, String> {
    let zip = archive(bytes)?;
    let names: Vec<String> = zip.file_names().flatten().map(|name| name.into_owned()).collect();
    let has = |name: &str| names.iter().any(|found| found.eq_ignore_ascii_case(name));
    if has("xl/workbook.bin") {
        return Ok(Format::Xlsb);
    }
    if has("xl/workbook.xml") || names.iter().any(|name| name.starts_with("xl/")) {
        return Ok(Format::Xlsx);
    }
    if has("content.xml") {
        return Ok(Format::Ods);
    }
    if has("word/document.xml") {
        return Err("this is a word-processor file; save its tables as xlsx or as plain text first".into());
    }
    Err("this is a zip, but no spreadsheet; unpack it and name the files in it".into())
}

/// Refuses a zip that says, or turns out, to unpack to more than any schedule.
pub(crate) fn check_sizes(bytes: &[u8]) -> Result<(), String> {
    let mut zip = archive(bytes)?;
    let too_large = || {
        format!(
            "unpacks to more than {} MB; this is no schedule; save the schedule sheets alone",
            MAX_UNPACKED / 1_048_576
        )
    };
    let mut left = MAX_UNPACKED;
    for index in 0..zip.len() {
        let entry = zip.by_index(index).map_err(|error| format!("the file is damaged ({error})"))?;
        if entry.size() > left {
            return Err(too_large());
        }
        // The size it states may be a lie, so it is counted.
        let taken = std::io::copy(&mut entry.take(left + 1), &mut std::io::sink())
            .map_err(|error| format!("the file is damaged ({error})"))?;
        left = left.checked_sub(taken).ok_or_else(too_large)?;
    }
    Ok(())
}

fn part(zip: &mut Zip<'_>, name: &str) -> Result<Option<String>, String> {
    let found =
        zip.file_names().flatten().find(|found| found.eq_ignore_ascii_case(name)).map(|found| found.into_owned());
    let Some(found) = found else { return Ok(None) };
    let entry = zip.by_name(&found).map_err(|error| format!("{name}: {error}"))?;
    let mut bytes = Vec::new();
    entry.take(MAX_UNPACKED).read_to_end(&mut bytes).map_err(|error| format!("{name}: {error}"))?;
    Ok(Some(String::from_utf8(bytes).unwrap_or_else(|error| String::from_utf8_lossy(error.as_bytes()).into_owned())))
}

/// One part of a zip as text, if it has it.
pub(crate) fn part_of(bytes: &[u8], name: &str) -> Result<Option<String>, String> {
    part(&mut archive(bytes)?, name)
}

/// The marks of every sheet of an xlsx file, by sheet name.
pub(crate) fn xlsx(bytes: &[u8]) -> Result<BTreeMap<String, SheetMarks>, String> {
    let mut zip = archive(bytes)?;
    let mut marks = BTreeMap::new();
    let Some(workbook) = part(&mut zip, "xl/workbook.xml")? else { return Ok(marks) };
    let targets = relations(&part(&mut zip, "xl/_rels/workbook.xml.rels")?.unwrap_or_default());
    let strings = part(&mut zip, "xl/sharedStrings.xml")?.unwrap_or_default();
    let struck = if strings.contains("strike") { struck_strings(&strings) } else { BTreeMap::new() };
    drop(strings);
    let words = AhoCorasick::new(["hidden=", "<f>", "<f ", ":f>", ":f ", "strike", "mergeCell "])
        .map_err(|error| error.to_string())?;
    for (name, relation) in sheet_list(&workbook) {
        let Some(target) = targets.get(&relation) else { continue };
        let path = target.strip_prefix('/').map_or_else(|| format!("xl/{target}"), str::to_string);
        let Some(xml) = part(&mut zip, &path)? else { continue };
        if !struck.is_empty() || words.is_match(&xml) {
            marks.insert(name, sheet(&xml, &struck));
        }
    }
    Ok(marks)
}

/// An attribute by its local name.
pub(crate) fn attribute(element: &BytesStart<'_>, name: &str) -> Option<String> {
    element.attributes().flatten().find(|attribute| attribute.key.local_name().as_ref() == name).map(|attribute| {
        unescape(&attribute.value).map_or_else(|_| attribute.value.to_string(), |value| value.into_owned())
    })
}

fn relations(xml: &str) -> BTreeMap<String, String> {
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

/// Text with the runs that are struck kept apart.
#[derive(Debug, Default)]
struct Runs {
    kept: String,
    struck: String,
    run_struck: bool,
    in_text: bool,
    in_phonetic: bool,
}

impl Runs {
    fn event(&mut self, event: &Event<'_>) {
        match event {
            Event::Start(element) | Event::Empty(element) => match element.local_name().as_ref() {
                "r" => self.run_struck = false,
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
                "r" => self.run_struck = false,
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

    fn add(&mut self, text: &str) {
        if self.run_struck { &mut self.struck } else { &mut self.kept }.push_str(text);
    }

    fn take(&mut self) -> (String, String) {
        let runs = std::mem::take(self);
        (runs.kept, runs.struck)
    }
}

fn struck_strings(xml: &str) -> BTreeMap<usize, (String, String)> {
    let mut found = BTreeMap::new();
    let mut reader = Reader::from_str(xml);
    let mut runs = Runs::default();
    let mut index = 0;
    while let Ok(event) = reader.read_event() {
        match &event {
            Event::End(element) if element.local_name().as_ref() == "si" => {
                let (kept, struck) = runs.take();
                if !struck.trim().is_empty() {
                    found.insert(index, (kept, struck));
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

fn sheet(xml: &str, struck: &BTreeMap<usize, (String, String)>) -> SheetMarks {
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
                        row = attribute(element, "r").and_then(|r| r.parse().ok()).unwrap_or(row + 1);
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
                    let (kept, gone) = runs.take();
                    if !gone.trim().is_empty() {
                        marks.struck.insert(cell.at, (kept, gone));
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

fn close(cell: OpenCell, struck: &BTreeMap<usize, (String, String)>, marks: &mut SheetMarks) {
    if cell.shared
        && !struck.is_empty()
        && let Some(runs) = cell.value.trim().parse().ok().and_then(|index: usize| struck.get(&index))
    {
        marks.struck.insert(cell.at, runs.clone());
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
fn address(text: &str) -> Option<(u32, usize)> {
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
