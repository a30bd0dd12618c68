//! The key of the items of sets that stand across: `H1 | Full mortise hinge, ball bearing | 652` on a sheet of its own says
//! what the row `H1 | Hinge` of the table stands for.

use std::collections::{BTreeMap, BTreeSet};

use crate::place::Place;
use crate::read::openings::doors::Reader;
use crate::read::schedule::{LayoutNote, PartRole, Wording};
use crate::read::sheet::{Cell, Row};
use crate::read::tables::headings::Meaning as M;
use crate::read::walk::Gathered;
use crate::read::words::plain;

/// A longer text is no code.
const LONGEST: usize = 6;

/// What a key says of one code.
#[derive(Debug)]
struct Entry {
    parts: Vec<(PartRole, String)>,
    place: Place,
}

/// The lines whose row has a code, and the keys.
#[derive(Debug, Default)]
pub(crate) struct ItemKeys {
    /// Set, line, code.
    lines: Vec<(usize, usize, String)>,
    entries: BTreeMap<String, Entry>,
}

/// Whether a text is the code of an item: `H1`, `WS-2`, `K`.
pub(crate) fn is_code(text: &str) -> bool {
    let text = text.trim();
    let letters = text.bytes().filter(u8::is_ascii_uppercase).count();
    (1..=LONGEST).contains(&text.len())
        && (1..=3).contains(&letters)
        && text.bytes().all(|sign| sign.is_ascii_uppercase() || sign.is_ascii_digit() || b"-.".contains(&sign))
}

/// The code with which a row begins.
pub(crate) fn leading(row: &Row) -> Option<&Cell> {
    row.cells.first().filter(|cell| is_code(&cell.text))
}

impl ItemKeys {
    /// Takes the line that a row with a code makes.
    pub fn line(&mut self, set: usize, line: usize, code: &str) {
        self.lines.push((set, line, plain(code)));
    }

    /// Takes a row of a key.
    pub fn entry(&mut self, code: &str, reader: &Reader<'_>) {
        let role = |meaning: M| match meaning {
            M::Description => PartRole::Description,
            M::CatalogNumber => PartRole::CatalogNumber,
            M::Finish => PartRole::Finish,
            M::Maker => PartRole::Maker,
            M::Remarks => PartRole::Remarks,
            _ => PartRole::Free,
        };
        let told = reader.table.columns.iter().filter(|column| column.meaning != M::Code);
        let parts: Vec<(PartRole, String)> = told
            .filter_map(|column| Some((role(column.meaning), reader.row.cell(column.index)?.text.trim().to_string())))
            .collect();
        if !parts.is_empty() && !code.trim().is_empty() {
            let place = reader.sheet.place(reader.row.number);
            self.entries.entry(plain(code)).or_insert(Entry { parts, place });
        }
    }
}

/// Joins the lines with the words of their codes.
pub(crate) fn settle(out: &mut Gathered) {
    let ItemKeys { lines, entries } = std::mem::take(&mut out.item_keys);
    let mut told: Option<(Place, BTreeSet<String>)> = None;
    for (set, line, code) in lines {
        let Some(entry) = entries.get(&code) else { continue };
        let set = out.schedule.sets.get_mut(set);
        let Some(line) = set.and_then(|set| set.lines.get_mut(line)) else { continue };
        line.wording = joined(&line.wording, &code, entry);
        told.get_or_insert_with(|| (entry.place.clone(), BTreeSet::new())).1.insert(code);
    }
    if let Some((place, codes)) = told {
        let why = format!("it says what {} codes of the items stand for", codes.len());
        out.schedule.layout.push(LayoutNote { place, what: "key of items".into(), why });
    }
}

/// The quantity of a line with the words of the key, and what its own row says beyond them.
fn joined(own: &Wording, code: &str, entry: &Entry) -> Wording {
    let words = |text: &str| -> BTreeSet<String> {
        let folded = plain(text);
        let words = folded.split(|sign: char| !sign.is_alphanumeric()).filter(|word| !word.is_empty());
        words.map(|word| word.trim_end_matches('S').to_string()).collect()
    };
    let of_key = words(&entry.parts.iter().map(|(_, text)| text.as_str()).collect::<Vec<_>>().join(" "));
    let (mut whole, mut beyond) = (Wording::default(), Vec::new());
    for part in &own.parts {
        let Some(text) = own.text.get(part.span.clone()) else { continue };
        match part.role {
            PartRole::Quantity | PartRole::Unit => whole.push(part.role, text, part.column.clone()),
            _ if plain(text) == code || words(text).is_subset(&of_key) => {}
            _ => beyond.push((part.role, text, part.column.clone())),
        }
    }
    // What the row gives itself, a finish, goes before what the key gives.
    let given = |role: PartRole| {
        let single = matches!(role, PartRole::Finish | PartRole::Maker | PartRole::CatalogNumber);
        single && beyond.iter().any(|(own, ..)| *own == role)
    };
    for (role, text) in entry.parts.iter().filter(|(role, _)| !given(*role)) {
        whole.push(*role, text, None);
    }
    for (role, text, column) in beyond {
        whole.push(role, text, column);
    }
    whole
}
