//! Matrix schedules: doors down, kinds of hardware across, a code, a count or a mark in the cell. Each distinct
//! combination becomes one set whose lines come from the cells of the first door that has it.

use std::collections::{BTreeMap, HashSet};

use crate::finding::{Finding, Kind, Weight};
use crate::place::{Place, column_letter};

use super::kindnotes;
use super::matrixcells::{count_beside, counted, counts_units, is_trim, label, of_others, stuck, with_trim};
use crate::read::goods::{doorgoods, itemtext};
use crate::read::openings::doors::Reader;
use crate::read::schedule::{HardwareSet, Line, PartRole, Wording};
use crate::read::tables::headings::{self, Heard, Meaning as M};
use crate::read::tables::settled;
use crate::read::walk::Gathered;
use crate::read::words::{self, plain};

/// What stands between the codes of one cell.
const JOINS: [char; 6] = ['+', '&', ',', '/', ';', '\n'];

/// One cell of a matrix that says something.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
struct Said {
    kind: String,
    cell: String,
    column: usize,
    /// What an exit device of the row has outside.
    trim: bool,
}

/// The doors of all matrices and the key of their codes.
#[derive(Debug, Default)]
pub(crate) struct Matrix {
    doors: Vec<(usize, Place, Vec<Said>)>,
    sets: Vec<(usize, Place, Vec<Said>)>,
    /// Codes that stand in cells of doors.
    used: HashSet<String>,
    keys: BTreeMap<String, String>,
    /// The same by the very signs of the code: `X2` may be an exit device, and `x2` two.
    written: BTreeMap<String, String>,
    /// What is said of all goods of a kind that a heading names.
    kinds: BTreeMap<String, String>,
    /// What else a note says of a kind: where it stands, the kind, the words.
    conditions: Vec<(Place, String, String)>,
}

impl Matrix {
    /// Takes a door's row.
    pub fn door(&mut self, opening: usize, reader: &Reader<'_>) {
        let said = self.row(reader);
        self.doors.push((opening, reader.sheet.place(reader.row.number), said));
    }

    /// Takes the row of a set.
    pub fn set_of(&mut self, set: usize, reader: &Reader<'_>) {
        let said = self.row(reader);
        self.sets.push((set, reader.sheet.place(reader.row.number), said));
    }

    /// What the cells of a row say, each under its kind.
    fn row(&mut self, reader: &Reader<'_>) -> Vec<Said> {
        let kinds = reader.table.columns.iter().filter(|column| column.meaning == M::Kind);
        let said: Vec<Said> = kinds
            .filter_map(|column| {
                let cell = reader.row.cell(column.index).filter(|cell| !cell.struck)?;
                if column.why.starts_with(settled::GENERAL) {
                    let cell = Some(cell).filter(|cell| !words::list("falsy").is(&plain(&cell.text)))?;
                    let trim = is_trim(&column.heading, &cell.text);
                    return Some(Said { kind: String::new(), cell: cell.text.clone(), column: column.index, trim });
                }
                // `H2 | 6` under `HANGING Type` and `HANGING Qty`.
                let count = count_beside(reader, column).filter(|_| self.codes_or_mark(&cell.text));
                let text = count.map_or(cell.text.clone(), |count| format!("{} ({count})", cell.text.trim()));
                Some(Said { kind: label(&column.heading), cell: text, column: column.index, trim: false })
            })
            .collect();
        for cell in said.iter().map(|said| plain(&said.cell)) {
            self.used.extend(cell.split(JOINS).map(|part| part.trim().to_owned()).filter(|part| !part.is_empty()));
            self.used.insert(counted(&cell).1.to_owned());
            self.used.extend(stuck(&cell).into_iter().flatten().map(|(_, code)| code.to_owned()));
            self.used.insert(cell);
        }
        said
    }

    /// Takes a door whose cell lists its goods.
    pub fn goods(&mut self, opening: usize, place: Place, cell: &str, column: usize) {
        self.used.extend([plain(cell), counted(&plain(cell)).1.to_owned()]);
        self.doors.push((
            opening,
            place,
            vec![Said { kind: String::new(), cell: cell.to_string(), column, trim: false }],
        ));
    }

    /// Whether a door's row has this code in a cell: a row that begins with it explains it.
    pub fn uses(&self, code: &str) -> bool {
        self.used.contains(&plain(code))
    }

    /// Whether the cells of sets are codes and counts, most of them.
    pub fn sets_are_coded(&self) -> bool {
        let cells = || self.sets.iter().flat_map(|(.., said)| said);
        cells().filter(|said| said.cell.len() <= 8).count() * 4 > cells().count() * 3
    }

    /// Takes an entry of a key.
    pub fn key(&mut self, code: &str, words: &str) {
        if !code.trim().is_empty() && !words.trim().is_empty() {
            self.written.entry(code.trim().to_string()).or_insert_with(|| words.trim().to_string());
        }
        let code = plain(code);
        if !code.is_empty() && !words.trim().is_empty() {
            self.keys.entry(code).or_insert_with(|| words.trim().to_string());
        }
    }

    /// Takes a note that may explain a code: `A = entry lock`, `C1: closer`.
    pub fn explain(&mut self, text: &str, place: &Place) {
        if text.matches('=').count() > 1 {
            // `- = none.  Y = by the supplier.`: each code with the words up to the next one.
            let parts: Vec<&str> = text.split('=').collect();
            for pair in parts.windows(2) {
                let code = pair[0].rsplit([' ', '.', ',', ';', '\n']).find(|word| !word.is_empty()).unwrap_or(pair[0]);
                let behind = pair[1].trim();
                let is_last = std::ptr::eq(pair[1], *parts.last().unwrap_or(&""));
                let next = behind.rsplit([' ', '.', ',', ';', '\n']).find(|word| !word.is_empty()).filter(|_| !is_last);
                let words = next.and_then(|next| behind.trim_end().strip_suffix(next)).unwrap_or(behind);
                self.explain_one(code, words.trim_end_matches([' ', '.', ',', ';']));
            }
            return;
        }
        self.explain_kinds(text, place);
        let Some((code, words)) = text.split_once('=').or_else(|| text.split_once(':')) else { return };
        self.explain_one(code, words);
    }

    /// What a note says of all goods of a kind: a size, a finish, a material hold for each of them; `by others at storefront` is
    /// asked about.
    fn explain_kinds(&mut self, text: &str, place: &Place) {
        let mut said = kindnotes::said(text);
        // `HINGES: H1  4-1/2 x 4-1/2`: the key of a code.
        said.retain(|(_, words, _)| words.split_whitespace().next().is_none_or(|first| !self.uses(first)));
        for (kind, words, holds) in said {
            if holds {
                self.kinds.entry(kindnotes::key(&kind)).or_insert(words);
            } else {
                self.conditions.push((place.clone(), kind, words));
            }
        }
    }

    fn explain_one(&mut self, code: &str, words: &str) {
        if code.trim().len() <= 6 && words.bytes().any(|byte| byte.is_ascii_alphabetic()) {
            self.key(code, words);
        }
    }

    /// Whether a count beside a cell is that of the cell: a code or a mark alone.
    fn codes_or_mark(&self, cell: &str) -> bool {
        let folded = plain(cell);
        counted(&folded).0.is_none() && !words::list("falsy").is(&folded)
    }

    /// The count and the code of a cell. What the key has for goods as it is written is a code, though it looks like a count.
    fn parts<'t>(&self, cell: &str, folded: &'t str) -> (Option<&'t str>, &'t str) {
        let goods = |words: &String| words::list("hardware").find(&plain(words)).is_some();
        if self.written.get(cell.trim()).is_some_and(goods) {
            return (None, folded);
        }
        let known = |(_, code): &(&str, &str)| self.keys.contains_key(*code);
        let stuck = || stuck(folded).into_iter().flatten().find(known).map(|(count, code)| (Some(count), code));
        match counted(folded) {
            (_, code) if self.keys.contains_key(folded) || self.keys.contains_key(code) => counted(folded),
            own => stuck().unwrap_or(own),
        }
    }

    /// Turns the combinations into sets.
    pub fn into_sets(mut self, out: &mut Gathered) {
        // `F` says no, unless the key has it for a floor stop.
        let keys = &self.keys;
        let letter = |cell: &str| cell.bytes().all(|byte| byte.is_ascii_alphabetic()) && keys.contains_key(cell);
        for (_, _, said) in self.doors.iter_mut().chain(&mut self.sets) {
            said.retain(|said| {
                let cell = plain(&said.cell);
                said.kind.is_empty() || !words::list("falsy").is(&cell) || letter(&cell)
            });
        }
        self.unexplained(out);
        self.conditional(out);
        for (set, place, said) in &self.sets {
            let lines = &mut out.schedule.sets[*set].lines;
            // TRIM may stand before EXIT DEVICE.
            let in_turn = said.iter().filter(|said| !said.trim).chain(said.iter().filter(|said| said.trim));
            in_turn.for_each(|said| with_trim(lines, said.trim, self.goods_of(place, said)));
        }
        let schedule = &mut out.schedule;
        let mut known: BTreeMap<Vec<(String, String)>, String> = BTreeMap::new();
        let taken: HashSet<String> = schedule.sets.iter().map(|set| set.id.clone()).collect();
        // `M3 | Coat hook` of the key is no set.
        let own = |id: &String| !taken.contains(id) && !self.keys.contains_key(id);
        let mut free = (1..).map(|number| format!("M{number}")).filter(own);
        let mut at: BTreeMap<String, usize> = BTreeMap::new();
        for (opening, place, said) in &self.doors {
            if said.is_empty() {
                continue;
            }
            let combination: Vec<(String, String)> =
                said.iter().map(|said| (said.kind.clone(), plain(&said.cell))).collect();
            let id = match known.get(&combination) {
                Some(id) => id.clone(),
                None => {
                    let Some(id) = free.next() else { break };
                    let title = format!("as door {}", schedule.openings[*opening].number);
                    at.insert(id.clone(), schedule.sets.len());
                    schedule.sets.push(self.set(&id, title, place, said));
                    known.insert(combination, id.clone());
                    id
                }
            };
            if let Some(set) = at.get(&id) {
                schedule.sets[*set].openings.push(schedule.openings[*opening].number.clone());
            }
            schedule.openings[*opening].set = Some(id);
            // Others supply all that its cells name.
            let mut whose = said.iter().map(|said| self.by_whom(said));
            let first = whose.next().flatten().filter(|_| whose.all(|by| by.is_some()));
            let door = &mut schedule.openings[*opening];
            door.excluded = door.excluded.take().or(first);
        }
    }

    /// Codes that no key explains are asked about, once each.
    fn unexplained(&self, out: &mut Gathered) {
        let mut asked: BTreeMap<(&str, String), (Vec<String>, Place)> = BTreeMap::new();
        let mut either: BTreeMap<String, Vec<(usize, Place)>> = BTreeMap::new();
        for (opening, place, said) in &self.doors {
            for said in said.iter().filter(|said| !said.kind.is_empty()) {
                let folded = plain(&said.cell);
                let (_, code) = self.parts(&said.cell, &folded);
                let figures = code.bytes().any(|byte| byte.is_ascii_digit());
                let several = self.codes(said).len() > 1;
                if several && said.cell.contains('/') {
                    either.entry(folded.clone()).or_default().push((*opening, place.cell(said.column)));
                }
                let is_code = !several
                    && code.len() <= 6
                    && !code.contains(' ')
                    && (figures || code.len() <= 2)
                    && !code.is_empty();
                let says_itself = words::list("truthy").is(code) || words::list("hardware").find(code).is_some();
                if is_code && !says_itself && !self.keys.contains_key(code) {
                    let entry = asked.entry((&said.kind, code.to_string()));
                    let (doors, _) = entry.or_insert_with(|| (Vec::new(), place.cell(said.column)));
                    doors.push(out.schedule.openings[*opening].number.clone());
                }
            }
        }
        for (codes, doors) in either {
            let Some((_, place)) = doors.first().cloned() else { continue };
            let says =
                format!("the cell {codes} names several codes and does not say whether a door has one of them or each");
            out.schedule.findings.push(
                Finding {
                    openings: doors.iter().map(|(at, _)| out.schedule.openings[*at].number.clone()).collect(),
                    priced_as: "each of them".into(),
                    ..Finding::new("code-or-code", Kind::Question, Weight::Goods, says)
                }
                .at(place, codes)
                .help("ask which is meant; for the leaves of a pair write both with a plus"),
            );
        }
        for ((kind, code), (openings, place)) in asked {
            let says = format!("the code {code} under {kind} is explained by no key");
            out.schedule.findings.push(
                Finding { openings, ..Finding::new("code-without-key", Kind::Question, Weight::Goods, says) }
                    .at(place, code)
                    .help("ask for the key of the matrix, or add a sheet or rows with the code and its words"),
            );
        }
    }

    /// What notes say of a kind that cannot hold for each of them is asked about, where doors have it.
    fn conditional(&mut self, out: &mut Gathered) {
        for (place, kind, words) in std::mem::take(&mut self.conditions) {
            let has = |said: &[Said]| said.iter().any(|said| kindnotes::key(&said.kind) == kindnotes::key(&kind));
            let of_kind = self.doors.iter().filter(|(_, _, said)| has(said));
            let openings: Vec<String> =
                of_kind.map(|(opening, ..)| out.schedule.openings[*opening].number.clone()).collect();
            if openings.is_empty() {
                continue;
            }
            let says = format!(
                "a note says of {}: \"{words}\"; no door was given or spared goods for it",
                kind.to_lowercase()
            );
            out.schedule.findings.push(
                Finding {
                    openings,
                    priced_as: "as the cells of each door say".to_owned(),
                    ..Finding::new("note-on-kind", Kind::Question, Weight::Goods, says)
                }
                .at(place, words)
                .help("ask which doors the note means, and write it into their cells"),
            );
        }
    }

    fn set(&self, id: &str, title: String, place: &Place, said: &[Said]) -> HardwareSet {
        let lines = said.iter().flat_map(|said| match said.kind.is_empty() {
            true => doorgoods::lines(place, &said.cell, said.column),
            false => self.of_kind(place, said),
        });
        HardwareSet {
            id: id.to_string(),
            title,
            openings: Vec::new(),
            lines: lines.collect(),
            notes: Vec::new(),
            not_used: None,
            place: place.clone(),
        }
    }

    /// `BY MFR` alone under a kind: who else supplies its goods. What the key has for goods is a code.
    fn by_whom(&self, said: &Said) -> Option<String> {
        let explained = self.keys.contains_key(&plain(&said.cell));
        (!explained && !said.kind.is_empty() && itemtext::is_by_whom(&said.cell)).then(|| plain(&said.cell))
    }

    /// The goods of a door's cell under a kind; goods of their own behind it are of the kind no more.
    fn of_kind(&self, place: &Place, said: &Said) -> Vec<Line> {
        let whole = self.keys.contains_key(&plain(&said.cell)) || self.codes(said).len() > 1;
        let (own, goods) = doorgoods::beside_kind(&said.cell).filter(|_| !whole).unwrap_or((&said.cell, Vec::new()));
        let own = self.codes(&Said { cell: own.to_string(), ..said.clone() });
        let apart = doorgoods::under_kind(place, &goods, &said.kind, said.column);
        let line = |said: &Said| Line { excluded: self.by_whom(said), ..self.line(place, said) };
        own.iter().map(line).chain(apart).collect()
    }

    /// The goods of a set's cell: words are goods of the kind of its heading, `2 PA` under CLOSER; a code is what it is for a door.
    fn goods_of(&self, place: &Place, said: &Said) -> Vec<Line> {
        let folded = plain(&said.cell);
        // `Silencers` under `Seals / Threshold` are what they are called.
        let itself = said.kind.is_empty() || words::list("goods").is(&folded);
        if itself && !self.keys.contains_key(&folded) {
            let mut lines = doorgoods::lines(place, &format!("{};", said.cell), said.column);
            let section = Some(said.kind.as_str().into()).filter(|_| !said.kind.is_empty());
            lines.iter_mut().for_each(|line| line.section.clone_from(&section));
            return lines;
        }
        if !folded.contains(' ')
            || self.keys.contains_key(&folded)
            || counted(&folded).1.is_empty()
            || self.codes(said).len() > 1
        {
            return self.codes(said).iter().map(|said| self.line(place, said)).collect();
        }
        let names = words::list("hardware").find(&folded).is_some();
        // In a list with semicolons commas part the words of a good: `privacy lock, mortise`.
        let mut lines = doorgoods::lines(place, &format!("{};", said.cell), said.column);
        if !names {
            // `1.5 pr`, `5 x 4-1/2, heavy, NRP` are one good, whose name stands in the heading.
            let column = Some(column_letter(said.column).into());
            let mut wording = Wording::default();
            wording.push(PartRole::Free, &said.cell, column.clone());
            if headings::exact(&headings::key(&said.kind)) == Some(Heard::One(M::Kind)) {
                wording.push(PartRole::Free, &said.kind, column);
            }
            lines = vec![Line::new(place.cell(said.column), wording)];
        }
        for line in &mut lines {
            line.section = Some(said.kind.as_str().into());
        }
        lines
    }

    /// `R1+R2`, `P1/P2`, `S1; T1`: a cell of several codes, each of which the key explains, as a cell for each.
    fn codes(&self, said: &Said) -> Vec<Said> {
        let folded = plain(&said.cell);
        let parts: Vec<&str> = said.cell.split(JOINS).map(str::trim).filter(|part| !part.is_empty()).collect();
        let explained = |cell: &str| {
            let folded = plain(cell);
            self.keys.contains_key(&folded) || self.keys.contains_key(self.parts(cell, &folded).1)
        };
        if self.keys.contains_key(&folded) {
            return vec![said.clone()];
        }
        // `K1 K2`: between blanks nothing but codes of the key. `2 K1` counts one.
        let (parts, apart): (Vec<&str>, bool) = match parts.len() {
            0 | 1 => (said.cell.split_whitespace().collect(), true),
            _ => (parts, false),
        };
        let known = |part: &&str| if apart { self.keys.contains_key(&plain(part)) } else { explained(part) };
        let counted = || apart && explained(&said.cell);
        if parts.len() < 2 || !parts.iter().all(known) || counted() {
            return vec![said.clone()];
        }
        parts.into_iter().map(|part| Said { cell: part.to_string(), ..said.clone() }).collect()
    }

    fn line(&self, place: &Place, said: &Said) -> Line {
        let column = Some(column_letter(said.column).into());
        let folded = plain(&said.cell);
        let mut wording = Wording::default();
        let (count, code) = self.parts(&said.cell, &folded);
        // A mark that the key gives other words is a code.
        let plainly = |words: &String| of_others(&plain(words), &plain(&said.kind));
        let marked = words::list("truthy").is(code) && self.keys.get(code).is_none_or(plainly);
        // A mark under HINGES says that there are some: their number follows from the door.
        let one = (marked && !words::list("counted-by-rule").is(&plain(&said.kind))).then_some("1");
        if let Some(count) = count.or(one) {
            wording.push(PartRole::Quantity, count, column.clone());
        }
        // Where the key names the goods itself, the heading is the section they stand in: a push plate under LOCK is no lock.
        let goods = |words: &&String| {
            let folded = plain(words);
            ["goods", "goods-in-keys"].iter().any(|list| words::list(list).find(&folded).is_some())
        };
        let explained = !marked && self.keys.get(code).filter(goods).is_some();
        if !explained {
            wording.push(PartRole::Free, &said.kind, column.clone());
        }
        if !code.is_empty() && !marked {
            // The code as it was written; with a count beside it, the code alone. `Y`, `X2`, `ST2` would be heard as counts.
            let written = if count.is_some() { code } else { &said.cell };
            let words = self.written.get(said.cell.trim()).or_else(|| self.keys.get(code));
            let counts = || words::list("truthy").is(code) || counted(code).0.is_some() || counts_units(code);
            let heard = words.is_some() && counts();
            if !heard {
                wording.push(PartRole::Free, written, column.clone());
            }
            if let Some(words) = words {
                wording.push(PartRole::Description, words, column.clone());
            }
        }
        // `Kick plate: 12" high, stainless` stands for each of them that says no more.
        let bare = code.is_empty() || words::list("truthy").is(code);
        if let Some(words) = self.kinds.get(&kindnotes::key(&said.kind)).filter(|_| bare) {
            wording.push(PartRole::Description, words, column);
        }
        let section = explained.then(|| said.kind.as_str().into());
        Line { section, ..Line::new(place.cell(said.column), wording) }
    }
}
