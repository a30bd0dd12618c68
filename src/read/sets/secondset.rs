//! A second column of sets in a door schedule, such as those of security hardware beside those of the doors. Where its cells
//! name other sets that are defined, a door has both; where it repeats the ids of the first column, that is asked.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use crate::finding::{Answer, Effect, Finding, Kind, Weight};
use crate::place::Place;

use super::{oldsets, setcells, setheading};
use crate::read::openings::doors::Reader;
use crate::read::schedule::{Schedule, loose_id};
use crate::read::tables::columns::UNKNOWN;
use crate::read::tables::headings::{self, Meaning as M};
use crate::read::walk::Gathered;
use crate::read::words::{self, plain};

/// An id is no longer than this.
const LONGEST: usize = 14;

/// A column by its file, its sheet and its index.
type Key = (Arc<str>, Arc<str>, usize);

/// The cells of further columns of sets.
#[derive(Default)]
pub(crate) struct SecondSets {
    old: oldsets::OldSets,
    columns: BTreeMap<Key, Column>,
}

/// One such column.
struct Column {
    heading: String,
    /// Its heading says that it holds sets.
    named: bool,
    /// Its heading, or that of the first, says that one is in place of the other.
    instead: bool,
    /// Some of its cells hold no ids.
    others: bool,
    /// The doors of all rows beside it, if it is named.
    doors: Vec<usize>,
    cells: Vec<Said>,
}

/// What such a cell says of a door.
struct Said {
    opening: usize,
    text: String,
    place: Place,
}

impl SecondSets {
    /// Keeps what a door's row says in columns of sets after the first, and beside it in columns that are not known.
    pub fn keep(&mut self, opening: usize, reader: &Reader<'_>) {
        for index in &reader.table.further_sets {
            let Some(column) = reader.table.columns.iter().find(|column| column.index == *index) else { continue };
            let named = column.meaning == M::SecondSet || of_issue(&column.heading);
            let cell = reader.row.cell(column.index).filter(|cell| !cell.struck);
            if oldsets::is_old(column) {
                self.old.keep(opening, reader, column);
                continue;
            }
            if cell.is_none() && !named {
                continue;
            }
            let key = (reader.sheet.file.clone(), reader.sheet.name.clone(), column.index);
            let new = || Column {
                heading: column.heading.replace('\n', " "),
                named: named && says_sets(&column.heading),
                instead: [Some(column), reader.table.column(M::Set)].into_iter().flatten().any(is_instead),
                others: false,
                doors: Vec::new(),
                cells: Vec::new(),
            };
            let kept = self.columns.entry(key).or_insert_with(new);
            if named {
                kept.doors.push(opening);
            }
            let Some(cell) = cell else { continue };
            // What is no id tells that a column without a known heading names no sets.
            if !named && !may_be_id(&cell.text) {
                kept.others = true;
                continue;
            }
            let place = reader.sheet.at(reader.row.number, column.index);
            kept.cells.push(Said { opening, text: cell.text.clone(), place });
        }
    }
}

/// Whether a heading speaks of hardware or of sets: `KEY GROUP` is one of groups.
pub(crate) fn says_sets(heading: &str) -> bool {
    let key = headings::key(heading);
    let ours = [words::list("words-for-hardware"), words::list("of-sets")];
    key.split(' ').any(|word| ours.iter().any(|list| list.is(word)))
}

/// The columns of a table that may name further sets of its doors: called so, or under a heading that is not known.
pub(crate) fn columns(columns: &[crate::read::tables::table::Column]) -> Vec<usize> {
    if !columns.iter().any(|column| column.meaning == M::Set) {
        return Vec::new();
    }
    let may = |column: &&crate::read::tables::table::Column| {
        column.meaning == M::SecondSet || column.meaning == M::Other && column.why == UNKNOWN || oldsets::is_old(column)
    };
    columns.iter().filter(may).map(|column| column.index).collect()
}

/// Whether a cell may be an id with a letter, or a dash, by its signs alone.
fn may_be_id(text: &str) -> bool {
    text.len() <= LONGEST
        && (text.bytes().any(|byte| byte.is_ascii_alphabetic()) || !text.bytes().any(|byte| byte.is_ascii_digit()))
}

/// `REVISED HW SET`, `ALT. SET`, `HW SET (VE)`: the words in brackets too, which other readings of a heading drop.
fn is_instead(column: &crate::read::tables::table::Column) -> bool {
    let said = words::list("set-in-place-of-another");
    plain(&column.heading).split(|letter: char| !letter.is_ascii_alphanumeric()).any(|word| said.is(word))
        || of_issue(&column.heading)
}

/// `ADD. 1 SET`, `ASI-3 HW SET`: the sets as an addendum has them. `ADD. SET` are more sets.
fn of_issue(heading: &str) -> bool {
    // Nearly no heading has a figure.
    if !heading.bytes().any(|byte| byte.is_ascii_digit()) {
        return false;
    }
    let folded = plain(heading);
    let words: Vec<&str> = folded.split(|letter: char| !letter.is_ascii_alphanumeric()).collect();
    let words: Vec<&str> = words.into_iter().filter(|word| !word.is_empty()).collect();
    let number = |word: &&str| word.bytes().all(|byte| byte.is_ascii_digit());
    let issue = |word: &str| ["issue-in-short", "issue-before-number"].iter().any(|list| words::list(list).is(word));
    words.windows(2).any(|two| issue(two[0]) && number(&two[1])) && says_sets(heading)
}

/// What is said of a set cell that names none.
fn is_none(text: &str) -> bool {
    ["no-set", "falsy", "not-used"].iter().any(|used| words::list(used).is(&plain(text)))
}

/// The ids that a cell names, if all of them are defined.
pub(crate) fn ids(text: &str, defined: &BTreeMap<String, usize>) -> Option<Vec<usize>> {
    let whole = setheading::id_of_cell(text).and_then(|id| defined.get(&loose_id(&id)).copied());
    whole.map(|at| vec![at]).or_else(|| setcells::named_sets(text, defined))
}

/// Gives doors the sets of a second column too, or asks.
pub(crate) fn settle(out: &mut Gathered) {
    let SecondSets { columns, old } = std::mem::take(&mut out.second_sets);
    if columns.is_empty() && old.is_empty() {
        return;
    }
    let defined = setcells::defined(&out.schedule);
    old.settle(&defined, out);
    for column in columns.into_values() {
        settle_one(&column, &defined, out);
    }
}

fn settle_one(column: &Column, defined: &BTreeMap<String, usize>, out: &mut Gathered) {
    let own = |said: &Said| out.schedule.openings.get(said.opening).and_then(|door| door.set.clone());
    // The column may have been taken for that of the sets meanwhile.
    let same = |said: &Said| own(said).is_some_and(|own| loose_id(&own) == loose_id(&said.text));
    let filled = column.cells.iter().filter(|said| !is_none(&said.text) && !same(said));
    let (known, open): (Vec<&Said>, Vec<&Said>) = filled.partition(|said| ids(&said.text, defined).is_some());
    let named = |said: &[&Said]| -> BTreeSet<usize> {
        said.iter().filter_map(|said| ids(&said.text, defined)).flatten().collect()
    };
    // The rows whose second cell is empty say too what the first column names.
    let doors = || column.doors.iter().copied().chain(column.cells.iter().map(|said| said.opening));
    let set_of = |at: usize| out.schedule.openings.get(at).and_then(|door| door.set.as_deref());
    let first: BTreeSet<usize> = doors().filter_map(|at| ids(set_of(at)?, defined)).flatten().collect();
    if column.named && first.is_empty() && known.len() > open.len() && doors().any(|at| set_of(at).is_some()) {
        lead(column, &known, out);
        return;
    }
    if column.named && known.is_empty() {
        out.schedule.findings.extend(nowhere(&open, first.is_empty(), column, &out.schedule));
        return;
    }
    let apart = named(&known).is_disjoint(&first);
    let lettered = |said: &&Said| said.text.bytes().any(|byte| byte.is_ascii_alphabetic());
    if known.is_empty()
        || !(column.named
            || !column.others && open.is_empty() && known.len() > 1 && apart && known.iter().all(lettered))
    {
        return;
    }
    let pairs: BTreeSet<(String, &str)> = known
        .iter()
        .filter_map(|said| Some((own(said)?, said.text.as_str())))
        .filter(|_| column.named && apart)
        .collect();
    let alike = pairs.iter().any(|(own, text)| repeats(own, text, defined, &out.schedule));
    if !column.named || column.instead || !apart || alike {
        let why = match (column.instead || alike, apart) {
            (true, _) => "sets that may be in place of the others",
            (false, true) => "sets that are defined",
            (false, false) => "the same sets as the column before it",
        };
        let says = format!("the column \"{}\" names {why}, and was not used", column.heading);
        let told = asked(&known, says, &out.schedule);
        let each = if column.named { in_place(&known, &told, defined, &out.schedule) } else { Vec::new() };
        out.schedule.findings.extend(if each.is_empty() { vec![told] } else { each });
        return;
    }
    let (both, lost): (Vec<&Said>, Vec<&Said>) =
        known.into_iter().partition(|said| own(said).is_none_or(|own| ids(&own, defined).is_some()));
    join(column, &both, defined, out);
    for (said, why) in [(open, "is defined nowhere"), (lost, "stands beside one that is defined nowhere")] {
        let Some(one) = said.first() else { continue };
        let says = format!("\"{}\" in the column \"{}\" {why}, and was not counted", one.text, column.heading);
        out.schedule.findings.push(asked(&said, says, &out.schedule));
    }
}

/// So many questions may be asked of one column.
const MOST_ASKED: usize = 8;

/// What is asked of a column whose sets may be in place of the first ones: for each two sets, with what the other is worth.
/// None where a cell names several sets, or where that were too many questions.
fn in_place(known: &[&Said], told: &Finding, defined: &BTreeMap<String, usize>, schedule: &Schedule) -> Vec<Finding> {
    let mut pairs: BTreeMap<(String, usize), Vec<&Said>> = BTreeMap::new();
    for said in known {
        let own = schedule.openings.get(said.opening).and_then(|door| door.set.clone());
        let other = ids(&said.text, defined).unwrap_or_default();
        let (Some(own), [other]) = (own, &other[..]) else { return Vec::new() };
        pairs.entry((own, *other)).or_default().push(said);
    }
    if pairs.len() > MOST_ASKED {
        return Vec::new();
    }
    let one = |((own, other), said): (&(String, usize), &Vec<&Said>)| {
        let set = schedule.sets.get(*other)?.id.clone();
        let first = format!("set {own}, as in the first column");
        let served = Effect::Served { from: own.clone(), set: set.clone() };
        let answers = vec![Answer::new(first, Effect::Nothing), Answer::new(format!("set {set}"), served)];
        let says = format!("{}: {set} beside {own}", told.says);
        Some(Finding { set: Some(own.clone()), answers, ..asked(said, says, schedule) })
    };
    pairs.iter().filter_map(one).collect()
}

/// What is asked of a column of sets of which none is defined, whether or not those of the first column are.
fn nowhere(open: &[&Said], first_too: bool, column: &Column, schedule: &Schedule) -> Option<Finding> {
    let is_id = |said: &&&Said| said.text.len() <= LONGEST && setheading::id_of_cell(&said.text).is_some();
    let ids: Vec<&Said> = open.iter().filter(is_id).copied().collect();
    // `Y` in each says that doors have something, and names no set.
    let mut marks = open.iter().map(|said| plain(&said.text));
    if 2 * ids.len() <= open.len() || marks.all(|text| words::list("truthy").is(&text)) {
        return None;
    }
    let mut texts: Vec<String> = Vec::new();
    for said in &ids {
        if !texts.contains(&said.text) {
            texts.push(said.text.clone());
        }
    }
    let says = if first_too {
        format!(
            "two columns name sets and none of either is defined: the first leads, and \"{}\" was not used",
            column.heading
        )
    } else {
        format!(
            "the column \"{}\" names {}, defined nowhere, and was not used",
            column.heading,
            setcells::in_words(&texts)
        )
    };
    Some(asked(&ids, says, schedule))
}

/// Whether the set of a further cell has goods of a kind that the door's own set has too: hinges and hinges.
fn repeats(own: &str, further: &str, defined: &BTreeMap<String, usize>, schedule: &Schedule) -> bool {
    let goods = |text: &str| -> BTreeSet<&'static str> {
        let sets = ids(text, defined).unwrap_or_default();
        let lines = sets.into_iter().filter_map(|at| schedule.sets.get(at)).flat_map(|set| &set.lines);
        lines.filter_map(|line| once_in_a_set(&line.wording.text)).collect()
    };
    !goods(own).is_disjoint(&goods(further))
}

/// The word for goods that a door has of one set alone, whatever else is said of them.
fn once_in_a_set(text: &str) -> Option<&'static str> {
    let folded = plain(text);
    let uses = words::uses("once-in-a-set:");
    uses.into_iter().find(|(_, list)| list.find(&folded).is_some()).map(|(used, _)| used)
}

/// Takes the sets of a further column for those of the doors, where the first names none that is defined: `A` under ACCESS
/// SET is a kind of control.
fn lead(column: &Column, known: &[&Said], out: &mut Gathered) {
    let mut before: Vec<String> = Vec::new();
    let mut openings = Vec::new();
    for at in &column.doors {
        let Some(door) = out.schedule.openings.get_mut(*at) else { continue };
        let said = column.cells.iter().rev().find(|said| said.opening == *at && !is_none(&said.text));
        let own = std::mem::replace(&mut door.set, said.map(|said| said.text.trim().to_string()));
        let Some(own) = own.filter(|own| door.set.as_ref() != Some(own)) else { continue };
        openings.push(door.number.clone());
        if !before.contains(&own) {
            before.push(own);
        }
    }
    let Some(first) = known.first().filter(|_| !before.is_empty()) else { return };
    let says = format!(
        "the column of sets before \"{}\" names {}, which is defined nowhere; the sets were taken from the column \"{}\"",
        column.heading,
        setcells::in_words(&before),
        column.heading
    );
    let finding = Finding {
        openings,
        priced_as: format!("the sets of the column \"{}\"", column.heading),
        ..Finding::new("second-set", Kind::Question, Weight::Goods, says)
    };
    let help = "ask what the first column names, and whether goods of its own belong to it";
    out.schedule.findings.push(finding.at(first.place.clone(), first.text.clone()).help(help));
}

/// Gives each door the lines of its sets of both columns.
fn join(column: &Column, said: &[&Said], defined: &BTreeMap<String, usize>, out: &mut Gathered) {
    let mut together: BTreeMap<String, (Vec<usize>, Vec<&Said>)> = BTreeMap::new();
    for said in said {
        let Some(door) = out.schedule.openings.get_mut(said.opening) else { continue };
        let (text, mut all) = match &door.set {
            Some(own) => (format!("{own} + {}", said.text.trim()), ids(own, defined).unwrap_or_default()),
            None => (said.text.trim().to_string(), Vec::new()),
        };
        all.extend(ids(&said.text, defined).unwrap_or_default());
        door.set = Some(text.clone());
        // A single set of either column is there already.
        if all.len() > 1 {
            together.entry(text).or_insert_with(|| (all, Vec::new())).1.push(said);
        }
    }
    for (text, (sets, said)) in together {
        let ids = setcells::join(&text, &sets, out);
        let openings: Vec<String> =
            said.iter().filter_map(|said| Some(out.schedule.openings.get(said.opening)?.number.clone())).collect();
        let says = format!(
            "the columns of sets name the sets {} for a door, the last in the column \"{}\"; the lines of both count for it",
            setcells::in_words(&ids),
            column.heading
        );
        let Some(first) = said.first() else { continue };
        out.schedule.findings.push(
            Finding {
                openings,
                set: ids.first().cloned(),
                ..Finding::new("several-sets", Kind::Assumption, Weight::Goods, says)
            }
            .at(first.place.clone(), text)
            .help("check that the door has both sets and not one of them"),
        );
    }
}

fn asked(said: &[&Said], says: String, schedule: &Schedule) -> Finding {
    let door = |said: &&Said| Some(schedule.openings.get(said.opening)?.number.clone());
    let finding = Finding {
        openings: said.iter().filter_map(door).collect(),
        priced_as: "the sets of the first column alone".into(),
        ..Finding::new("second-set", Kind::Question, Weight::Goods, says)
    };
    let help = "ask which sets these doors have; where a door has both, write both into one cell: 1 + S2";
    match said.first() {
        Some(first) => finding.at(first.place.clone(), first.text.clone()).help(help),
        None => finding.help(help),
    }
}
