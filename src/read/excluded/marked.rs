//! Marks beside goods and doors: `SEC` in a column BY, `(E)` under STATUS, `Card reader - B/O`. What the files say that a mark
//! means decides; in a column of suppliers a mark that nothing explains is asked about.

use std::collections::{BTreeMap, BTreeSet, HashMap};
use std::sync::Arc;

use crate::finding::{Finding, Kind, Weight};
use crate::place::{Place, column_letter};

use super::markedasked;
use crate::read::goods::itemtext;
use crate::read::memo::{self, Memo};
use crate::read::notes::alternates;
use crate::read::notes::legend::{self, Defined, Legend, Says};
use crate::read::openings::doors::Reader;
use crate::read::schedule::{HardwareSet, Line, Mark, Opening, PartRole, loose_id};
use crate::read::sets::section;
use crate::read::sheet::{Row, Sheet};
use crate::read::tables::columns::UNKNOWN;
use crate::read::tables::headings::{self, Meaning as M};
use crate::read::tables::table::{Column, Table};
use crate::read::walk::Gathered;
use crate::read::words::{self, plain};

/// A cell that holds nothing but a mark or a state is no longer than this.
const LONGEST: usize = 40;

/// Where marks and suppliers stand.
#[derive(Default)]
pub(crate) struct Marked {
    /// Rows of goods in tables with a column of suppliers, and that column.
    suppliers: BTreeMap<Place, Supplier>,
    /// What cells beside doors say.
    doors: Vec<OfDoor>,
}

/// A column of suppliers.
struct Supplier {
    letter: Arc<str>,
    heading: String,
    /// Its heading, such as BY, may as well be that of makers.
    maker: bool,
}

/// A cell beside a door that may hold a mark.
struct OfDoor {
    place: Place,
    text: String,
    /// Its column says whose doors are, or whether they are new.
    states: bool,
}

impl Marked {
    /// Keeps where the supplier of a row of goods stands.
    pub fn row(&mut self, sheet: &Sheet, row: &Row, table: Option<&Arc<Table>>) {
        let may_be = |column: &&Column| match column.meaning {
            M::Furnisher => true,
            M::Maker => words::list("supplier-or-maker").is(&headings::key(&column.heading)),
            _ => false,
        };
        if let Some(column) = table.and_then(|table| table.columns.iter().find(may_be)) {
            let place = sheet.place(row.number);
            let (letter, heading) = (column_letter(column.index).into(), column.heading.clone());
            self.suppliers.insert(place, Supplier { letter, heading, maker: column.meaning == M::Maker });
        }
    }

    /// Keeps what stands beside a door in columns that are not used, of remarks or of states.
    pub fn door(&mut self, reader: &Reader<'_>) {
        for cell in reader.row.cells.iter().filter(|cell| !cell.struck && cell.text.len() <= LONGEST) {
            let column = reader.table.at(cell.column);
            let states = column.is_some_and(|column| match column.meaning {
                M::Furnisher => true,
                M::Other | M::Remarks | M::Level | M::DoorType | M::Wall => {
                    memo::once(&STATES, &column.heading, |heading| {
                        words::list("status-heading").is(&headings::key(heading))
                    })
                }
                _ => false,
            });
            // Elsewhere only a mark that the files define says anything.
            let may = |column: &Column| match column.meaning {
                M::Other => column.why == UNKNOWN,
                meaning => matches!(meaning, M::Remarks | M::Furnisher),
            };
            let free = column.is_none_or(may) && legend::may_be_mark(&cell.text);
            if free || states {
                let place = reader.sheet.place(reader.row.number);
                self.doors.push(OfDoor { place, text: cell.text.clone(), states });
            }
        }
    }
}

thread_local! {
    static STATES: Memo<bool> = Memo::default();
}

/// The letters by which schedules call makers are no more than these.
const MAKERS_LETTERS: usize = 3;

/// What a cell or a word says of whose the goods are.
struct Said<'l> {
    says: Says,
    /// The mark and its meaning.
    words: String,
    by: Option<&'l Defined>,
}

fn defined<'l>(legend: &'l Legend, text: &str, at: &Place) -> Option<Said<'l>> {
    let by = legend.of(text, at)?;
    Some(Said { says: by.says, words: by.told(), by: Some(by) })
}

/// What a cell of a column of suppliers or states says by itself.
fn by_itself(text: &str) -> Option<Says> {
    let folded = plain(text);
    let bare = folded.trim_matches(['(', ')', '[', ']', ' ', '.']);
    let section = section::number(bare);
    if words::list("furnished-by-us").is(bare) || section.as_deref().is_some_and(section::is_ours) {
        return Some(Says::Ours);
    }
    let division = section::division(bare);
    if division == Some(OUR_DIVISION) {
        return Some(Says::Ours);
    }
    let others = words::list("furnished-by-others").is(bare) || itemtext::by_whom(&format!(" BY {bare}")).is_some();
    if section.is_some() || division.is_some() || others { Some(Says::Others) } else { legend::says(bare) }
}

/// Openings, of which door hardware is a part.
const OUR_DIVISION: u32 = 8;

/// Settles what marks say of goods and doors.
pub(crate) fn settle(out: &mut Gathered) {
    let (legend, marked) = (std::mem::take(&mut out.legend), std::mem::take(&mut out.marked));
    let mut told = Told::default();
    let usage = Usage::of(&out.schedule.sets, &legend, &marked);
    for set in &mut out.schedule.sets {
        for line in set.lines.iter_mut().filter(|line| line.excluded.is_none()) {
            if of_line(line, &legend, &marked, &usage, &mut told) {
                told.sets.insert(loose_id(&set.id));
            }
        }
    }
    let mut doors: HashMap<Place, Vec<usize>> = HashMap::new();
    for (at, opening) in out.schedule.openings.iter().enumerate().filter(|_| !marked.doors.is_empty()) {
        doors.entry(opening.place.clone()).or_default().push(at);
    }
    for beside in &marked.doors {
        let of_state = || {
            let says = beside.states.then(|| by_itself(&beside.text)).flatten()?;
            Some(Said { says, words: beside.text.clone(), by: None })
        };
        let Some(said) = defined(&legend, &beside.text, &beside.place).or_else(of_state) else { continue };
        for at in doors.get(&beside.place).into_iter().flatten() {
            if let Some(opening) = out.schedule.openings.get_mut(*at) {
                of_door(opening, &said, &mut told);
            }
        }
    }
    out.schedule.findings.extend(markedasked::two_meanings(&told.marks, &legend));
    out.schedule.findings.extend(markedasked::forgotten(&told.out, &told.with_set));
    out.schedule.findings.extend(told.findings());
}

/// Takes marks for no sets, `E` under SET where `E = EXISTING TO REMAIN`, if no set E is defined while others are.
pub(crate) fn instead_of_sets(out: &mut Gathered) {
    if out.legend.is_empty() {
        return;
    }
    let defined: BTreeSet<String> = out.schedule.sets.iter().map(|set| loose_id(&set.id)).collect();
    let is_defined = |door: &Opening| door.set.as_deref().is_some_and(|set| defined.contains(&loose_id(set)));
    if !out.schedule.openings.iter().any(is_defined) {
        return;
    }
    for opening in out.schedule.openings.iter_mut().filter(|door| door.excluded.is_none()) {
        let mark = opening.set.as_deref().filter(|set| set.len() <= MAKERS_LETTERS && legend::may_be_mark(set));
        let Some(mark) = mark.filter(|set| !defined.contains(&loose_id(set))) else { continue };
        if out.legend.of(mark, &opening.place).is_some_and(|by| by.says != Says::Ours) {
            let (place, text) = (opening.place.clone(), mark.to_owned());
            out.marked.doors.push(OfDoor { place, text, states: false });
            opening.set = None;
        }
    }
}

/// What the columns of suppliers say on the whole.
#[derive(Default)]
struct Usage {
    /// What most cells say, where it is others' by usage: it may be who buys from us.
    most: Option<String>,
    /// Columns that are of suppliers and not of makers, by a cell that says so.
    sure: BTreeSet<Place>,
}

impl Usage {
    fn of(sets: &[HardwareSet], legend: &Legend, marked: &Marked) -> Self {
        let mut counts: BTreeMap<String, usize> = BTreeMap::new();
        let mut usage = Self::default();
        for line in sets.iter().flat_map(|set| &set.lines) {
            let Some(supplier) = marked.suppliers.get(&whole_row(&line.place)) else { continue };
            let Some(text) = supplier.cell(line) else { continue };
            *counts.entry(plain(text)).or_default() += 1;
            if !supplier.maker || legend.of(text, &line.place).is_some() || supplier.says(text).is_some() {
                usage.sure.insert(supplier.at(&line.place));
            }
        }
        let most = counts.into_iter().find(|(_, count)| count * 2 >= marked.suppliers.len());
        usage.most = most.map(|(text, _)| text).filter(|text| by_itself(text) == Some(Says::Others));
        usage
    }
}

impl Supplier {
    /// The cell of a line in this column.
    fn cell<'t>(&self, line: &'t Line) -> Option<&'t str> {
        let part = line.wording.parts.iter().find(|part| part.column.as_ref() == Some(&self.letter))?;
        line.wording.text.get(part.span.clone())
    }

    /// What a cell says by itself. `IT`, `SEC` in a column that may be of makers may be a maker's letters: nobody knows.
    fn says(&self, text: &str) -> Option<Says> {
        if self.maker && plain(text).len() <= MAKERS_LETTERS { None } else { by_itself(text) }
    }

    /// The column itself.
    fn at(&self, row: &Place) -> Place {
        Place { row: 0, ..row.cell(crate::place::column_index(&self.letter).unwrap_or_default()) }
    }
}

fn whole_row(place: &Place) -> Place {
    Place { column: None, ..place.clone() }
}

/// Settles a line by its marks; whether it has any.
fn of_line(line: &mut Line, legend: &Legend, marked: &Marked, usage: &Usage, told: &mut Told) -> bool {
    let words = line.wording.parts.iter().filter(|part| !matches!(part.role, PartRole::Quantity | PartRole::Unit));
    let first = words.filter_map(|part| line.wording.text.get(part.span.clone())).next();
    if let Some(words) = first.and_then(alternates::begins) {
        line.mark = Some(Mark { words: words.to_lowercase(), out: true });
        return false;
    }
    let column = marked.suppliers.get(&whole_row(&line.place));
    let mut found: Vec<(Said<'_>, usize, Option<String>)> = Vec::new();
    let mut unknown: Option<String> = None;
    // A cell that can only say who furnishes the goods says nothing of what they are.
    let mut beside: Option<usize> = None;
    for (at, part) in line.wording.parts.iter().enumerate() {
        let Some(text) = line.wording.text.get(part.span.clone()) else { continue };
        match column {
            Some(supplier) if part.column.as_ref() == Some(&supplier.letter) => {
                if text.trim_matches(['-', '\u{2013}', ' ']).is_empty() {
                    continue;
                }
                beside = (!supplier.maker || section::number(text).is_some()).then_some(at);
                let alone = || match supplier.says(text)? {
                    Says::Others if usage.most.as_deref() == Some(plain(text).as_str()) => None,
                    says => Some(Said { says, words: format!("{}: {text}", supplier.heading), by: None }),
                };
                match defined(legend, text, &line.place).or_else(alone) {
                    Some(said) => {
                        found.clear();
                        found.push((said, at, Some(String::new())));
                        break;
                    }
                    None if usage.sure.contains(&supplier.at(&line.place)) => {
                        unknown = Some(format!("{}: {text}", supplier.heading));
                    }
                    None => {}
                }
            }
            _ if matches!(
                part.role,
                PartRole::Quantity | PartRole::Unit | PartRole::Finish | PartRole::CatalogNumber
            ) => {}
            _ => found.extend(in_text(legend, text, &line.place).map(|(said, left)| (said, at, Some(left)))),
        }
    }
    let Some((first, ..)) = found.first() else {
        line.wording.rewrite(|at, text| if beside == Some(at) { String::new() } else { text.to_owned() });
        line.mark = unknown.map(|words| Mark { words, out: false });
        return false;
    };
    if found.iter().any(|(said, ..)| said.says != first.says) {
        return false;
    }
    told.line(first);
    if first.says == Says::Ours {
        let left: BTreeMap<usize, String> = found.into_iter().filter_map(|(_, at, left)| Some((at, left?))).collect();
        line.wording.rewrite(|at, text| left.get(&at).cloned().unwrap_or_else(|| text.to_owned()));
    } else {
        line.mark = Some(Mark { words: first.words.clone(), out: true });
    }
    true
}

/// A mark in the text of a cell: all of it, in brackets, or at its end; and the text without it.
fn in_text<'l>(legend: &'l Legend, text: &str, at: &Place) -> Option<(Said<'l>, String)> {
    if legend.is_empty() {
        return None;
    }
    if let Some(said) = defined(legend, text, at) {
        return Some((said, String::new()));
    }
    let bracketed =
        |word: &str| word.starts_with(['(', '[']) && word.trim_end_matches([',', ';', '.']).ends_with([')', ']']);
    let words: Vec<&str> = text.split_whitespace().collect();
    let last = words.len().checked_sub(1)?;
    words.iter().enumerate().find_map(|(index, word)| {
        let dashed = index > 0 && matches!(words[index - 1], "-" | "\u{2013}" | "\u{2014}" | "*");
        if !bracketed(word) && !(index == last && (dashed || word.len() > 1)) {
            return None;
        }
        // `MOUNT TO (E) FRAME`, `KEY TO (E) SYSTEM` speak of something else: a mark stands at either end, alone.
        let leads = |word: &str| words::list("leads-to-another").is(&plain(word));
        let other = |word: &&&str| words::list("of-an-opening").is(&plain(word));
        if index != 0 && (index != last || leads(words[index - 1])) || words.get(index + 1).filter(other).is_some() {
            return None;
        }
        // `HINGE BB`, `PRIVACY SET LH`: a word of the trade at the end is no mark, whatever a list of abbreviations says of it.
        if !bracketed(word) && !dashed && words::list("short-of-goods").is(&plain(word)) {
            return None;
        }
        let said = defined(legend, word.trim_end_matches([',', ';', '.']), at)?;
        let start = words::offset(text, word);
        let before = text[..start].trim_end().trim_end_matches(['-', '\u{2013}', '\u{2014}', '*']).trim_end();
        let left = format!("{before} {}", text[start + word.len()..].trim_start());
        Some((said, left.trim().to_owned()))
    })
}

/// Settles a door by what stands beside it: without a set it is left out, with one it is told or asked.
fn of_door(opening: &mut Opening, said: &Said<'_>, told: &mut Told) {
    if said.says == Says::Ours || opening.excluded.is_some() {
        return;
    }
    match &opening.set {
        None => {
            opening.excluded = Some(said.by.map_or(&said.words, |by| &by.words).clone());
            told.out(said, opening);
        }
        Some(set) => told.with_set(said, opening, loose_id(set)),
    }
}

/// Doors by the words beside them.
pub(crate) type Doors = BTreeMap<String, Vec<(String, Place, String)>>;

/// What is told in the end.
#[derive(Default)]
struct Told {
    /// Marks of the files with the lines that have them, and the doors that are left out by them.
    marks: Vec<(Defined, usize, usize)>,
    /// Doors with a set that are marked as not new.
    with_set: Doors,
    /// Doors without one that stay or are moved, and were left out.
    out: Doors,
    /// Sets whose lines have marks.
    sets: BTreeSet<String>,
}

impl Told {
    fn of<'t>(&'t mut self, said: &Said<'_>) -> Option<&'t mut (Defined, usize, usize)> {
        let by = said.by?;
        let known = self.marks.iter().position(|(mark, ..)| mark.place == by.place && mark.code() == by.code());
        let at = known.unwrap_or_else(|| {
            self.marks.push((by.clone(), 0, 0));
            self.marks.len() - 1
        });
        self.marks.get_mut(at)
    }

    fn line(&mut self, said: &Said<'_>) {
        if let Some((_, lines, _)) = self.of(said) {
            *lines += 1;
        }
    }

    fn out(&mut self, said: &Said<'_>, opening: &Opening) {
        if matches!(said.says, Says::Existing | Says::Relocated) {
            let doors = self.out.entry(said.words.clone()).or_default();
            doors.push((opening.number.clone(), opening.place.clone(), String::new()));
        }
        if let Some((.., doors)) = self.of(said) {
            *doors += 1;
        }
    }

    fn with_set(&mut self, said: &Said<'_>, opening: &Opening, set: String) {
        let doors = self.with_set.entry(said.words.clone()).or_default();
        if !doors.iter().any(|(number, ..)| *number == opening.number) {
            doors.push((opening.number.clone(), opening.place.clone(), set));
        }
    }

    fn findings(self) -> Vec<Finding> {
        let mut findings = Vec::new();
        for (mark, lines, doors) in self.marks {
            let what = match mark.says {
                Says::Ours => "ours",
                Says::Others => "furnished by others, and not counted",
                Says::Existing => "existing, and not counted",
                Says::Relocated => "relocated, and not counted",
                Says::Gone => "taken out, and not counted",
            };
            let some = |count: usize, one: &str, many: &str| match count {
                0 => None,
                1 => Some(format!("1 {one}")),
                _ => Some(format!("{count} {many}")),
            };
            let counted = [some(lines, "line", "lines"), some(doors, "door without a set", "doors without a set")];
            let counted = counted.into_iter().flatten().collect::<Vec<_>>().join(" and ");
            if counted.is_empty() {
                continue;
            }
            let says = format!(
                "\"{}\" means \"{}\", as the file says; so marked, and read as {what}: {counted}",
                mark.code(),
                mark.words
            );
            let finding = Finding::new("marks-of-legend", Kind::Assumption, Weight::Scope, says);
            findings.push(
                finding
                    .at(mark.place.clone(), mark.told())
                    .help("check what the mark means, and whose these goods are"),
            );
        }
        for (words, doors) in self.with_set {
            let (told, open): (Vec<_>, Vec<_>) = doors.into_iter().partition(|(.., set)| self.sets.contains(set));
            let both = [
                (Kind::Assumption, told, "the lines of their sets have marks of their own, and are counted by these"),
                (Kind::Question, open, "and they have a set; its goods were counted"),
            ];
            for (kind, doors, how) in both {
                let Some((_, place, _)) = doors.first() else { continue };
                let says = format!("beside doors stands \"{words}\"; {how}");
                let finding = Finding {
                    openings: doors.iter().map(|(number, ..)| number.clone()).collect(),
                    priced_as: "their sets as written".into(),
                    ..Finding::new("marked-door-with-set", kind, Weight::Scope, says)
                };
                let help = "ask which goods of the sets are new at these doors";
                findings.push(finding.at(place.clone(), words.clone()).help(help));
            }
        }
        findings
    }
}
