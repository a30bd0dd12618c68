//! What floats above the cells of a sheet: comments, text boxes, pictures. No row of the ledger holds it and the
//! spreadsheet library passes it over, so it is found here and told: what speaks of hardware is asked, the rest is noted.

use std::collections::BTreeMap;
use std::sync::Arc;

use quick_xml::Reader;
use quick_xml::events::Event;

use crate::finding::{Finding, Kind, Page, Weight};

use super::marks::{Runs, address, attribute, relations};
use super::unpack::Parts;
use crate::read::notes::remarks;
use crate::read::pages::page;
use crate::read::schedule::Schedule;
use crate::read::sheet::Sheet;
use crate::read::words::{self, plain};

/// The code of what is asked of a text.
pub(crate) const ASKED: &str = "hardware-above-cells";
/// The code of what is noted.
pub(crate) const NOTED: &str = "text-above-cells";
/// The code of pictures.
pub(crate) const PICTURE: &str = "picture-not-read";

/// The pages of these codes.
pub(crate) const FLOATING: &[Page] = &[
    page(
        ASKED,
        "A comment or text box speaks of hardware",
        Kind::Question,
        Weight::Goods,
        "a comment on a cell, or a box above the cells, names goods or other matters of hardware",
        "as the cells are written; nothing of the text is counted",
        "the comment \"add closer\" on the remarks of door 101",
        "the words in the cells, or a comment on sizes alone",
    ),
    page(
        NOTED,
        "A comment or text box was not used",
        Kind::Note,
        Weight::Reading,
        "a comment on a cell, or a box above the cells, that names no hardware",
        "said, not used",
        "the comment \"check width with the plans\"",
        "no comments",
    ),
    page(
        PICTURE,
        "A picture was not read",
        Kind::Note,
        Weight::Reading,
        "a picture of at least twelve rows stands above the cells",
        "said, not read",
        "a schedule pasted as a picture",
        "a logo",
    ),
];

/// So many rows a picture covers that may be a schedule; logos are lower.
pub(crate) const TALL: u32 = 12;
/// English Metric Units in a row of usual height, 15 points.
const ROW_HEIGHT: u64 = 190_500;
/// So many of a sheet are kept, and so long a text is.
const MOST: usize = 500;
const LONGEST: usize = 2_000;
/// So many letters of a text are shown in a sentence.
const SHOWN: usize = 160;

/// What kind of thing floats.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Floats {
    /// A comment on a cell.
    Comment,
    /// A box or another shape with words.
    Box,
    /// A picture of at least `TALL` rows.
    Picture,
}

/// Something above the cells.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Floating {
    /// What it is.
    pub kind: Floats,
    /// Row from 1 and column from 0 of its cell or upper left corner.
    pub at: (u32, usize),
    /// Its words; empty for a picture.
    pub text: String,
}

impl Floating {
    /// A picture above cells.
    pub fn picture(at: (u32, usize)) -> Self {
        Self { kind: Floats::Picture, at, text: String::new() }
    }

    /// A text above cells, tidied; nothing if it has no words.
    pub fn text(kind: Floats, at: (u32, usize), text: &str) -> Option<Self> {
        // What newer programs write for older ones: a sentence on itself, then the words.
        let own = if text.starts_with("[Threaded comment]") { text.split_once("Comment:")?.1 } else { text };
        let words: Vec<&str> = own.split_whitespace().collect();
        let text: String = words.join(" ").chars().take(LONGEST).collect();
        (!text.is_empty()).then_some(Self { kind, at, text })
    }
}

/// What floats above the sheet that stands in a part of an xlsx or xlsb file.
pub(crate) fn of_part(parts: &Parts, path: &str) -> Vec<Floating> {
    let Some((folder, name)) = path.rsplit_once('/') else { return Vec::new() };
    let Some(own) = parts.text(&format!("{folder}/_rels/{name}.rels")) else { return Vec::new() };
    let mut found = Vec::new();
    for target in relations(&own).values() {
        let part = resolved(folder, target);
        let lower = part.to_ascii_lowercase();
        let file = lower.rsplit('/').next().unwrap_or_default();
        if file.starts_with("comment") && file.ends_with(".xml") {
            found.extend(parts.text(&part).map(|xml| comments(&xml)).unwrap_or_default());
        } else if file.starts_with("comment") {
            found.extend(parts.bytes(&part).map(super::xlsbmarks::comments).unwrap_or_default());
        } else if file.starts_with("drawing") && file.ends_with(".xml") {
            found.extend(parts.text(&part).map(|xml| drawing(&xml)).unwrap_or_default());
        }
    }
    found.sort_by_key(|one| one.at);
    found.truncate(MOST);
    found
}

/// The part that a relation of a part in `folder` points to.
fn resolved(folder: &str, target: &str) -> String {
    if let Some(whole) = target.strip_prefix('/') {
        return whole.to_string();
    }
    let mut path: Vec<&str> = folder.split('/').collect();
    for step in target.split('/') {
        if step == ".." {
            path.pop();
        } else {
            path.push(step);
        }
    }
    path.join("/")
}

/// The comments of a part of an xlsx file.
fn comments(xml: &str) -> Vec<Floating> {
    let mut found = Vec::new();
    let mut reader = Reader::from_str(xml);
    let (mut at, mut runs) = (None, Runs::default());
    while let Ok(event) = reader.read_event() {
        match &event {
            Event::Eof => break,
            Event::Start(element) if element.local_name().as_ref() == "comment" => {
                (at, runs) = (attribute(element, "ref").and_then(|cell| address(&cell)), Runs::default());
            }
            Event::End(element) if element.local_name().as_ref() == "comment" => {
                let (kept, struck, _) = runs.take();
                let text = if kept.trim().is_empty() { struck } else { kept };
                found.extend(at.take().and_then(|at| Floating::text(Floats::Comment, at, &text)));
            }
            _ => runs.event(&event),
        }
    }
    found
}

/// What is known of the shape being read.
#[derive(Default)]
struct Shape {
    /// The corners: column and row from 0.
    from: (usize, u32),
    to: Option<(usize, u32)>,
    tall: u64,
    picture: bool,
    text: String,
}

impl Shape {
    fn floating(self) -> Option<Floating> {
        let at = (self.from.1.saturating_add(1), self.from.0);
        let rows = self.to.map_or(0, |to| to.1.saturating_sub(self.from.1));
        if !self.text.trim().is_empty() {
            return Floating::text(Floats::Box, at, &self.text);
        }
        let tall = rows >= TALL || self.tall / ROW_HEIGHT >= u64::from(TALL);
        (self.picture && tall).then(|| Floating::picture(at))
    }
}

/// The shapes of a drawing of an xlsx or xlsb file.
fn drawing(xml: &str) -> Vec<Floating> {
    let mut found = Vec::new();
    let mut reader = Reader::from_str(xml);
    let (mut shape, mut runs) = (Shape::default(), Runs::default());
    let (mut corner, mut figure, mut spare) = (None, None, 0u32);
    while let Ok(event) = reader.read_event() {
        match &event {
            Event::Eof => break,
            Event::Start(element) | Event::Empty(element) => match element.local_name().as_ref() {
                "Fallback" if matches!(event, Event::Start(_)) => spare += 1,
                _ if spare > 0 => {}
                "twoCellAnchor" | "oneCellAnchor" | "absoluteAnchor" => shape = Shape::default(),
                "from" => corner = Some(false),
                "to" => corner = Some(true),
                "col" => figure = Some(false),
                "row" => figure = Some(true),
                "ext" => {
                    let tall = attribute(element, "cy").and_then(|tall| tall.parse().ok()).unwrap_or(0);
                    shape.tall = shape.tall.max(tall);
                }
                "pic" => shape.picture = true,
                "br" => runs.add("\n"),
                _ => runs.event(&event),
            },
            Event::End(element) => match element.local_name().as_ref() {
                "Fallback" => spare = spare.saturating_sub(1),
                _ if spare > 0 => {}
                "twoCellAnchor" | "oneCellAnchor" | "absoluteAnchor" => {
                    found.extend(std::mem::take(&mut shape).floating());
                }
                "from" | "to" => corner = None,
                "col" | "row" => figure = None,
                "p" => {
                    let (kept, struck, _) = runs.take();
                    shape.text.push_str(&kept);
                    shape.text.push_str(&struck);
                    shape.text.push('\n');
                }
                _ => runs.event(&event),
            },
            Event::Text(text) if spare == 0 => match (corner, figure) {
                (Some(end), Some(down)) => {
                    let to = if end { shape.to.get_or_insert_default() } else { &mut shape.from };
                    let number: u32 = text.trim().parse().unwrap_or(0);
                    if down { to.1 = number } else { to.0 = number as usize }
                }
                _ => runs.event(&event),
            },
            _ if spare == 0 => runs.event(&event),
            _ => {}
        }
    }
    found
}

/// Tells what floats above the cells of a sheet.
pub(crate) fn tell(sheet: &Sheet, findings: &mut Vec<Finding>) {
    if sheet.floating.is_empty() {
        return;
    }
    let kinds = remarks::kinds();
    for one in sheet.floating.iter().filter(|one| one.kind != Floats::Picture) {
        let (what, place) = match one.kind {
            Floats::Comment => ("a comment", sheet.at(one.at.0, one.at.1)),
            // A box lies over the row it begins in, and belongs to none.
            _ => ("a text box", sheet.place(one.at.0)),
        };
        let folded = plain(&one.text);
        let hardware = words::list("goods").find(&folded).is_some()
            || words::list("remark-hardware").find(&folded).is_some()
            || kinds.iter().any(|(_, list, _)| list.find(&folded).is_some());
        let finding = if hardware {
            Finding {
                priced_as: "as the cells are written".into(),
                ..Finding::new(
                    ASKED,
                    Kind::Question,
                    Weight::Goods,
                    format!("{what} speaks of hardware, and nothing of it is counted: \"{}\"", shortened(&one.text)),
                )
            }
            .help("write what counts of it into the cells, or ask the architect")
        } else {
            Finding::new(
                NOTED,
                Kind::Note,
                Weight::Reading,
                format!("{what} stands above the cells and was not used: \"{}\"", shortened(&one.text)),
            )
            .help("read it: what it says of doors or goods belongs into the cells")
        };
        findings.push(finding.at(place, one.text.clone()));
    }
    let pictures: Vec<&Floating> = sheet.floating.iter().filter(|one| one.kind == Floats::Picture).collect();
    if let Some(first) = pictures.first() {
        let says = match pictures.len() {
            1 => "a picture stands above the cells; what it shows was not read".to_string(),
            many => format!("{many} pictures stand above the cells; what they show was not read"),
        };
        let finding = Finding::new(PICTURE, Kind::Note, Weight::Reading, says);
        findings.push(
            finding
                .at(sheet.at(first.at.0, first.at.1), "picture".to_string())
                .help("look at it: a schedule pasted as a picture must be typed in, or its file asked for"),
        );
    }
}

/// The beginning of a text, for a sentence.
fn shortened(text: &str) -> String {
    match text.char_indices().nth(SHOWN) {
        Some((end, _)) => format!("{} …", text[..end].trim_end()),
        None => text.to_string(),
    }
}

/// Names the doors and sets in whose rows the comments stand; the same words are asked once.
pub(crate) fn settle(schedule: &mut Schedule) {
    if !schedule.findings.iter().any(|finding| finding.code == ASKED) {
        return;
    }
    let key = |place: &crate::place::Place| (place.file.clone(), place.sheet.clone(), place.row);
    let mut doors: BTreeMap<_, Vec<String>> = BTreeMap::new();
    for door in &schedule.openings {
        doors.entry(key(&door.place)).or_default().push(door.number.clone());
    }
    let mut sets = BTreeMap::new();
    for set in &schedule.sets {
        for place in set.lines.iter().map(|line| &line.place).chain([&set.place]) {
            sets.entry(key(place)).or_insert_with(|| set.id.clone());
        }
    }
    let mut first: BTreeMap<(Arc<str>, Arc<str>, String), usize> = BTreeMap::new();
    let mut kept: Vec<Finding> = Vec::with_capacity(schedule.findings.len());
    for mut finding in schedule.findings.drain(..) {
        let Some(place) = finding.place.as_ref().filter(|_| finding.code == ASKED) else {
            kept.push(finding);
            continue;
        };
        let at = Some(key(place)).filter(|_| place.column.is_some());
        let own = at.as_ref().and_then(|at| doors.get(at)).cloned().unwrap_or_default();
        let set = at.and_then(|at| sets.get(&at)).cloned();
        match first
            .get(&(place.file.clone(), place.sheet.clone(), finding.excerpt.clone()))
            .and_then(|at| kept.get_mut(*at))
        {
            Some(same) => {
                same.openings.extend(own);
                same.set = same.set.take().filter(|known| set.as_ref() == Some(known));
            }
            None => {
                first.insert((place.file.clone(), place.sheet.clone(), finding.excerpt.clone()), kept.len());
                (finding.openings, finding.set) = (own, set);
                kept.push(finding);
            }
        }
    }
    schedule.findings = kept;
}
