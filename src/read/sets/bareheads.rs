//! Headings of sets without a word for a set: `H1` alone above rows that count goods, `SHW-2 (11 OPENINGS)`. They are
//! believed where no heading of the sheet says that it is one, and several of them count up behind the same letters.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use crate::place::Place;

use super::setheading::{self, Heading};
use crate::read::goods::itemtext::{self, starts_with_quantity};
use crate::read::openings::doorlist::Entry;
use crate::read::schedule::{HardwareSet, Role, loose_id};
use crate::read::sheet::{Row, Sheet};
use crate::read::tables::columns;
use crate::read::tables::headings::{self, Heard, Meaning as M};
use crate::read::tables::table::{self, Holds, Table};
use crate::read::walk::{Gathered, Lane, Walker, add_set};
use crate::read::words::{self, plain};

/// A heading without a word for a set, and how many doors it says that the set has.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Bare {
    id: String,
    title: String,
    doors: Option<u32>,
}

/// The letters and the id with which a text begins, `SHW` and `SHW-2`, and the rest of it.
fn led(text: &str) -> Option<(&str, &str, &str)> {
    let text = text.trim();
    let end = text.find([' ', '\u{a0}', '\t', ':', '(', ',', ';', '&', '/', '+']).unwrap_or(text.len());
    let (id, rest) = text.split_at(end);
    // `HW1. Classroom`
    let id = id.strip_suffix('.').unwrap_or(id);
    let letters = id.find(|sign: char| !sign.is_ascii_uppercase()).unwrap_or(id.len());
    let number = id[letters..].trim_start_matches(['-', '.', '#']);
    let figures = number.find(|sign: char| !sign.is_ascii_digit()).unwrap_or(number.len());
    let tail = &number[figures..];
    let is_id = (1..=5).contains(&letters)
        && (1..=3).contains(&figures)
        && tail.len() <= 1
        && tail.bytes().all(|byte| byte.is_ascii_uppercase());
    is_id.then_some((&id[..letters], id, rest))
}

/// `(11 OPENINGS)`, `4 DOORS`: a count of doors and nothing else.
fn counted(rest: &str) -> Option<u32> {
    let folded = plain(rest);
    let inner = folded.trim_matches(|sign: char| !sign.is_ascii_alphanumeric());
    let (count, word) = inner.split_once(' ')?;
    let count = count.parse().ok().filter(|count| (1..=5000).contains(count));
    count.filter(|_| words::list("doors").is(word.trim()))
}

/// `Staff offices (qty 6 openings)`: how many doors a title says in brackets that its set has.
pub(crate) fn counted_in(title: &str) -> Option<u32> {
    let (_, inside) = title.rsplit_once('(')?;
    let folded = plain(inside.split(')').next().unwrap_or_default());
    let parts = || folded.split(|sign: char| !sign.is_alphanumeric()).filter(|part| !part.is_empty());
    let (figures, rest): (Vec<&str>, Vec<&str>) =
        parts().partition(|part| part.bytes().all(|byte| byte.is_ascii_digit()));
    let [count] = figures[..] else { return None };
    let named = rest.iter().any(|word| words::list("doors").is(word));
    let beside = |word: &&str| words::list("doors").is(word) || words::list("dwellings-counted").is(word);
    count.parse().ok().filter(|count| named && rest.iter().all(beside) && (1..=5000).contains(count))
}

impl Bare {
    /// A heading that calls its set a type.
    pub(crate) fn typed(id: String, title: String) -> Self {
        Self { id, title, doors: None }
    }
}

/// A row that may head a set, with its letters, and whether its title names goods.
fn bare(row: &Row) -> Option<(String, Bare, bool)> {
    if row.cells.len() > 2 || row.cells.iter().any(|cell| cell.struck) {
        return None;
    }
    let (letters, id, rest) = led(&row.cells[0].text)?;
    let more = row.cells.get(1).map_or("", |cell| cell.text.as_str());
    let whole = format!("{rest} {more}");
    let doors = counted(&whole);
    let title = whole.trim_matches(|sign: char| " :,;-\u{2013}\u{2014}\u{a0}\t".contains(sign)).to_string();
    let folded = plain(&title);
    // Figures are those of a door or of goods.
    if doors.is_none() && starts_with_quantity(&folded) {
        return None;
    }
    // `HW9. Classroom` says what the door is for.
    let uses = words::list("words-of-use");
    let goods = doors.is_none() && words::list("hardware").all(&folded).iter().any(|word| !uses.is(word));
    let title = if doors.is_some() { String::new() } else { title };
    Some((letters.to_string(), Bare { id: id.to_string(), title, doors }, goods))
}

/// Whether a row counts goods.
pub(crate) fn counts_goods(row: &Row) -> bool {
    let goods = plain(&row.joined());
    starts_with_quantity(&goods) && words::list("hardware").find(&goods).is_some()
}

/// Whether a row heads columns of goods with their quantities, and none of doors.
fn heads_goods(row: &Row) -> bool {
    let heard: Vec<Heard> = row.cells.iter().filter_map(|cell| headings::of_cell(&cell.text)).collect();
    let says = |of: M| heard.contains(&Heard::One(of));
    let doors = [M::DoorNumber, M::DoorsServed, M::Set, M::Hand, M::Rating].into_iter().any(says);
    table::is_heading_row(row) && says(M::Quantity) && (says(M::Description) || says(M::CatalogNumber)) && !doors
}

/// The rows of a sheet that head sets so; `tables` may hold the ids of others in the rows of their headings.
pub(crate) fn find(sheet: &Sheet, tables: &[Table]) -> BTreeMap<u32, Bare> {
    let mut found: BTreeMap<u32, (String, Bare)> = BTreeMap::new();
    let mut of_goods: BTreeMap<u32, (String, Bare)> = BTreeMap::new();
    for pair in sheet.rows.windows(2) {
        let [row, next] = pair else { continue };
        if row.cells.len() > 2 || next.number > row.number + 2 {
            continue;
        }
        let Some((letters, one, named)) = bare(row) else { continue };
        // Over the columns of its goods an id stands alone in its row.
        let alone = || row.cells.len() == 1 && led(&row.cells[0].text).is_some_and(|(.., rest)| rest.trim().is_empty());
        if counts_goods(next) || alone() && heads_goods(next) {
            if named { &mut of_goods } else { &mut found }.insert(row.number, (letters, one));
        }
    }
    if found.is_empty() {
        return BTreeMap::new();
    }
    let over_columns = tables.iter().filter_map(|table| led(&sheet.rows.get(table.rows.1)?.cells.first()?.text));
    let over_columns: Vec<(&str, &str)> =
        over_columns.filter(|(.., rest)| rest.is_empty()).map(|(letters, id, _)| (letters, id)).collect();
    if found.len() + over_columns.len() < 2 || sheet.rows.iter().any(|row| setheading::heading(&row.joined()).is_some())
    {
        return BTreeMap::new();
    }
    let mut ids: BTreeMap<String, Vec<String>> = BTreeMap::new();
    let own = found.values().map(|(letters, one)| (letters.as_str(), one.id.as_str()));
    for (letters, id) in own.chain(over_columns) {
        let of = ids.entry(letters.to_string()).or_default();
        if !of.iter().any(|known| known == id) {
            of.push(id.to_string());
        }
    }
    found.retain(|_, (letters, _)| ids.get(letters).is_some_and(|ids| ids.len() >= 2));
    // Goods behind a code alone explain it; beside other heads of the same letters, and over goods, they are a title:
    // `S-1: ALUM ENTRY PAIR, OFFSET PIVOTS`.
    of_goods.retain(|_, (letters, one)| ids.get(letters).is_some_and(|ids| ids.len() >= 2 && !ids.contains(&one.id)));
    found.extend(of_goods);
    found.into_iter().map(|(row, (_, one))| (row, one)).collect()
}

/// `SET DET - DETENTION`, `HDW SET EXT`: an id of letters alone, which doors read before name as their set.
fn lettered(row: &Row, out: &Gathered) -> Option<Heading> {
    if row.cells.len() > 4 || row.cells.iter().any(|cell| cell.struck) || !setheading::may_begin(&row.cells[0].text) {
        return None;
    }
    let text = row.joined();
    let folded = plain(&text);
    let rest = words::list("words-for-hardware").begins(&folded).map_or(&*folded, |word| &folded[word.len()..]);
    let rest = rest.trim_start_matches([' ', '-', '.']);
    let word = words::list("heading-sets").leads(rest)?;
    let rest = rest[word.len()..].strip_prefix([' ', ':', '#', '-'])?.trim_start_matches([' ', ':', '#', '-']);
    let end = rest.find(|sign: char| !sign.is_ascii_uppercase()).unwrap_or(rest.len());
    let (id, behind) = rest.split_at(end);
    let ends = behind.is_empty() || behind.starts_with([' ', ':', ',', '(', '-', '/']);
    let named =
        |id: &str| out.schedule.openings.iter().find_map(|door| door.set.clone().filter(|set| plain(set) == id));
    if !(2..=6).contains(&id.len()) || !ends {
        return None;
    }
    // As the row spells it: what stands behind the id, with its own signs and fractions.
    let upper = text.to_ascii_uppercase();
    let begun = upper.find(word)? + word.len();
    let title = text.get(begun + upper[begun..].find(id)? + id.len()..)?;
    let title = title.trim_matches(|sign: char| sign.is_whitespace() || ":,()-|\u{2013}\u{2014}".contains(sign));
    let id = named(id)?;
    let not_used = setheading::not_used(title);
    Some(Heading { id, title: title.to_string(), doors: Vec::new(), not_used })
}

/// `S-1: ALUM ENTRY PAIR, OFFSET PIVOTS` over goods or over their columns: an id that doors read before name as their set, with
/// a title of whatever words.
fn named(row: &Row, next: Option<&Row>, out: &Gathered) -> Option<Heading> {
    if row.cells.len() > 2 || row.cells.iter().any(|cell| cell.struck) {
        return None;
    }
    let (_, id, rest) = led(&row.cells[0].text)?;
    let more = row.cells.get(1).map_or("", |cell| cell.text.as_str());
    let title = format!("{rest} {more}");
    let title = title.trim_matches(|sign: char| sign.is_whitespace() || ":,;-\u{2013}\u{2014}".contains(sign));
    let worded = title.split(|sign: char| !sign.is_alphabetic()).any(|word| word.chars().count() > 2);
    let next = next.filter(|next| next.number <= row.number + 2)?;
    // `H1 – MAIN DOORS` heads its set whatever names goods below it: `Existing hinges to remain`.
    let parted = rest.trim_start().starts_with(['-', '\u{2013}', '\u{2014}']);
    let names_goods =
        || led(&next.cells[0].text).is_none() && words::list("hardware").find(&plain(&next.joined())).is_some();
    let goods = counts_goods(next) || table::is_heading_row(next) || parted && names_goods();
    if !worded || starts_with_quantity(&plain(title)) || !goods {
        return None;
    }
    let doors = || out.schedule.openings.iter();
    // Under its own heading such a row says something of the set.
    if out.schedule.sets.iter().any(|set| set.id == id) {
        return None;
    }
    let is_set = doors().any(|door| door.set.as_deref() == Some(id)) && !doors().any(|door| door.number == id);
    let not_used = setheading::not_used(title);
    is_set.then(|| Heading { id: id.to_string(), title: title.to_string(), doors: Vec::new(), not_used })
}

/// `1 | OFFICE` over `3 | EA | HINGE`: a bare number that doors read before name as their set, beside what its doors are for.
fn numbered(row: &Row, next: &Row, out: &Gathered) -> Option<Heading> {
    let [number, title] = &row.cells[..] else { return None };
    let (id, title) = (number.text.trim(), title.text.trim());
    let figures = id.len() <= 4 && id.starts_with(|sign: char| sign.is_ascii_digit());
    let signs = id.chars().all(|sign| sign.is_ascii_alphanumeric() || sign == '.' || sign == '-');
    let folded = plain(title);
    let worded = folded.bytes().filter(u8::is_ascii_alphabetic).count() > 2 && !columns::is_unit(&folded);
    // `1 | CLOSER` is a good; so is whatever stands there where goods without units follow.
    let goods = words::list("goods").find(&folded).is_some() || words::nouns().find(&folded).is_some();
    if number.struck || !figures || !signs || !worded || goods || next.number > row.number + 2 {
        return None;
    }
    let follows = itemtext::counts_goods(next) && words::list("hardware").find(&plain(&next.joined())).is_some();
    let mut doors = out.schedule.openings.iter();
    let named = doors.clone().any(|door| door.set.as_deref() == Some(id)) && !doors.any(|door| door.number == id);
    let known = out.schedule.sets.iter().any(|set| set.id == id);
    let is_set = follows && named && !known;
    is_set.then(|| Heading {
        id: id.to_string(),
        title: title.to_string(),
        doors: Vec::new(),
        not_used: setheading::not_used(title),
    })
}

/// `STORAGE`, `H-01` alone over goods or over their columns, which doors read before name as their set.
fn in_words(row: &Row, next: &Row, out: &Gathered) -> Option<Heading> {
    let [cell] = &row.cells[..] else { return None };
    let text = cell.text.trim();
    let worded = text.bytes().filter(u8::is_ascii_alphabetic).count() > 2;
    let numbered = led(text).is_some_and(|(.., rest)| rest.is_empty());
    if cell.struck || !(worded || numbered) || text.len() > 40 || next.number > row.number + 2 {
        return None;
    }
    // `A101` over its goods may as well be a door.
    if numbered && out.schedule.openings.iter().any(|door| door.number == text) {
        return None;
    }
    if !counts_goods(next) && !table::is_heading_row(next) {
        return None;
    }
    let named = |set: &String| set.eq_ignore_ascii_case(text);
    let id = out.schedule.openings.iter().filter_map(|door| door.set.as_ref()).find(|set| named(set))?;
    let known = out.schedule.sets.iter().any(|set| set.id == *id);
    (!known).then(|| Heading { id: id.clone(), title: String::new(), doors: Vec::new(), not_used: None })
}

impl Walker<'_> {
    /// `HW1 | Qty | Item | Finish`: the first cell over the columns of goods heads a set.
    pub(crate) fn set_in_heading(&mut self, index: usize, out: &mut Gathered) {
        let row = &self.sheet.rows[index];
        let first = row.cells.first().filter(|cell| !cell.struck && headings::of_cell(&cell.text).is_none());
        let Some(first) = first else { return };
        let of_goods = |lane: &Lane| lane.table.as_ref().is_some_and(|table| table.holds == Holds::Items);
        let Some(lane) = self.lanes.iter().position(|lane| lane.range.0 <= first.column && of_goods(lane)) else {
            return;
        };
        let said = setheading::heading(&first.text).filter(|found| found.title.is_empty());
        let Some(heading) = said.or_else(|| self.heads_alone(lane, &first.text, out)) else { return };
        let place = self.sheet.place(row.number);
        let known =
            |set: &HardwareSet| set.id == heading.id && set.place.file == place.file && set.place.sheet == place.sheet;
        let again = out.schedule.sets.iter().position(known);
        let set = again.unwrap_or_else(|| add_set(heading, place, out));
        self.lanes[lane].open_set(set);
    }

    /// An id alone heads a set where other rows of its sheet do so behind the same letters, or doors name it.
    fn heads_alone(&self, lane: usize, text: &str, out: &Gathered) -> Option<Heading> {
        let (letters, id, rest) = led(text)?;
        // `NO.1 | QTY | ITEM` below `HARDWARE SET 1`.
        let begun = self.lanes[lane].set.is_some_and(|set| out.schedule.sets[set].lines.is_empty());
        let alike = |other: &str| {
            led(other).is_some_and(|(of, other, rest)| of == letters && other != id && rest.trim().is_empty())
        };
        let heads = |table: &Arc<Table>| {
            self.sheet.rows.get(table.rows.1).and_then(|row| row.cells.first()).is_some_and(|cell| alike(&cell.text))
        };
        let named = || out.schedule.openings.iter().any(|door| door.set.as_deref() == Some(id));
        let others = self.bare.values().any(|bare| alike(&bare.id)) || self.tables.iter().any(heads);
        let worded = || self.sheet.rows.iter().any(|row| setheading::heading(&row.joined()).is_some());
        let is_set = rest.trim().is_empty() && (named() || others && !begun && !worded());
        is_set.then(|| Heading { id: id.to_string(), title: String::new(), doors: Vec::new(), not_used: None })
    }

    /// A row that heads a set without saying so. Where its id is the number of a door of the sheet, goods stand under doors.
    pub(crate) fn bare_heading(&mut self, lane: usize, row: &Row, out: &mut Gathered) -> Option<Role> {
        if let Some(role) = self.above.list(row, self.sheet.place(row.number)) {
            return Some(role);
        }
        let next = self.sheet.rows.get(self.sheet.index_of(row.number) + 1);
        let heading =
            lettered(row, out).or_else(|| named(row, next, out).filter(|_| !self.bare.contains_key(&row.number)));
        let heading = heading.or_else(|| numbered(row, next?, out)).or_else(|| in_words(row, next?, out));
        if let Some(heading) = heading {
            return Some(self.set_heading(lane, heading, row, out));
        }
        let Bare { id, title, doors } = self.bare.get(&row.number)?.clone();
        let own = |place: &Place| place.file == self.sheet.file && place.sheet == self.sheet.name;
        if out.schedule.openings.iter().any(|opening| opening.number == id && own(&opening.place)) {
            return None;
        }
        let heading = Heading { id, title, doors: Vec::new(), not_used: None };
        let role = self.set_heading(lane, heading, row, out);
        out.bare_sets.extend(self.lanes[lane].set.map(|set| out.schedule.sets[set].place.clone()));
        if let (Some(count), Some(set)) = (doors, self.lanes[lane].set) {
            out.assigned.count(set, count, self.sheet.place(row.number));
        }
        Some(role)
    }
}

/// Such a heading may be the number of a door of another sheet, read before it or after: the goods are that door's, unless a
/// door names the set.
pub(crate) fn serve(out: &mut Gathered) {
    let heads = std::mem::take(&mut out.bare_sets);
    if heads.is_empty() {
        return;
    }
    let named: BTreeSet<String> =
        out.schedule.openings.iter().filter_map(|door| door.set.as_deref()).map(loose_id).collect();
    let without = |id: &str| out.schedule.openings.iter().any(|door| door.set.is_none() && door.number == *id);
    for (at, set) in out.schedule.sets.iter().enumerate() {
        if heads.contains(&set.place) && !named.contains(&loose_id(&set.id)) && without(&set.id) {
            out.served.push((at, vec![Entry::Door(set.id.clone())], set.place.clone()));
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn titles_count_doors_in_brackets() {
        for (title, count) in [
            ("Staff offices (qty 6 openings)", Some(6)),
            ("Entry (1 opening)", Some(1)),
            ("Stair (2 DOORS)", Some(2)),
            ("Door 101 (pair)", None),
            ("Office (door 101)", Some(101)),
            ("Office (20 min)", None),
        ] {
            assert_eq!(counted_in(title), count, "{title}");
        }
    }

    #[test]
    fn ids_with_letters_head_sets() {
        assert_eq!(led("SHW-2   (11 OPENINGS)"), Some(("SHW", "SHW-2", "   (11 OPENINGS)")));
        assert_eq!(led("H1"), Some(("H", "H1", "")));
        assert_eq!(led("H1, H2"), Some(("H", "H1", ", H2")));
        assert_eq!(led("A12B: Offices").map(|found| found.1), Some("A12B"));
        for text in ["101", "HINGES", "A-1001", "F07-F08", "3 HINGES"] {
            assert_eq!(led(text), None, "{text}");
        }
        assert_eq!(counted("   (11 OPENINGS)"), Some(11));
        assert_eq!(counted(" 4 doors"), Some(4));
        assert_eq!(counted(" (90 MIN)"), None);
    }
}
