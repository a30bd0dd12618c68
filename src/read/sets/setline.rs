//! A whole set in one line, as letters and e-mails have it: `Set 3 - classrooms 101, 102: three hinges, one classroom lock`,
//! `Set 4, door 106: (3) hinges; (1) storeroom lock`. What stands before the goods is the heading with its doors.

use std::sync::LazyLock;

use regex::Regex;

use super::setheading::{self, Heading};
use super::{assigned, titledoors};
use crate::read::goods::itemtext::{self, is_count, starts_with_quantity};
use crate::read::goods::{celllist, commalists, doorgoods};
use crate::read::schedule::Role;
use crate::read::sheet::{Cell, Row, join};
use crate::read::tables::table::{self, Holds};
use crate::read::walk::{Gathered, Walker, join_single, note};
use crate::read::words::{self, plain};

/// A longer text is a specification.
const LONGEST: usize = 1500;

/// Rows of a signature, at most, and names behind the last words of a letter.
const MOST_SIGNATURE: usize = 10;
const MOST_NAMES: usize = 3;

/// `MAIN ENTRANCE PAIR - DOORS 105A AND 105B - SET 1`: a set behind what it is for.
static BEHIND: LazyLock<Option<Regex>> = LazyLock::new(|| {
    Regex::new(
        r"(?ix)^ (?P<head> .*? [a-z0-9] .*? ) \s* (?: [\-\u{2013}\u{2014},;:] \s* \(? | \( ) \s*
        (?P<set> (?: (?:finish|door) \s+ )? (?: (?:hardware|hdware|hdwr|hdwe|hdw|h\.?w\.?) [\s.\-]* )? (?: set | group | heading | hdg\.? ) [\s.:\#\-]* (?: (?:no\b\.?|number\b) \s* )?
          [a-z]{0,4}[\-.]?[0-9]{1,4}(?:[.\-][0-9]{1,3})?[a-z]{0,2} ) \s* \)? [\s:.]* $",
    )
    .ok()
});

/// Words that a row heads a set with are no more.
const HEAD: usize = 120;

/// A set in one line.
#[derive(Debug, PartialEq, Eq)]
struct Whole {
    id: String,
    /// What stands between the id and the goods.
    head: String,
    /// The sentences of its goods.
    goods: Vec<String>,
}

fn whole(text: &str) -> Option<Whole> {
    if text.len() > LONGEST || !setheading::may_begin(text) {
        return None;
    }
    let straight: String = text.chars().map(crate::trade::signs::straight).collect();
    let (id, rest) = setheading::led(&straight)?;
    let colons = rest.match_indices(':').map(|(at, _)| (at, 1, 1));
    let dashes = rest.match_indices(" - ").map(|(at, _)| (at, 3, 2));
    let mut bounds: Vec<(usize, usize, usize)> = colons.chain(dashes).collect();
    bounds.sort_unstable();
    let (at, length, _) = bounds.into_iter().find(|(at, length, fewest)| lists_goods(&rest[at + length..], *fewest))?;
    let head = rest[..at].trim_matches(|sign: char| " :,;-".contains(sign)).to_string();
    Some(Whole { id, head, goods: sentences(&rest[at + length..]) })
}

/// Whether a text is a list of goods, so many of which are counted at least; without counts, several that begin with goods.
fn lists_goods(text: &str, fewest: usize) -> bool {
    if fewest == 1 && commalists::goods(text).is_some() {
        return true;
    }
    let parts: Vec<String> = text.split([',', ';']).map(plain).filter(|part| !part.is_empty()).collect();
    let named = |part: &str| words::list("hardware").find(part).is_some();
    let counted = |part: &String| starts_with_quantity(part) && named(part);
    let goods = |part: &String| words::list("goods").begins(part).is_some();
    // `102, 103: 20 minute: six hinges`: the goods stand behind the last colon.
    let more = |first: &String| first.split_once(": ").is_some_and(|(_, rest)| counted(&rest.to_string()));
    match parts.first() {
        Some(first) if more(first) => false,
        Some(first) if counted(first) => parts.iter().filter(|part| counted(part)).count() >= fewest,
        Some(first) => fewest == 1 && goods(first) && parts.len() >= 2 && parts.iter().all(goods),
        None => false,
    }
}

/// The sentences of a text: `…, two sweeps. Weatherstrip by the door people.` has two; `No. 5` ends none.
fn sentences(text: &str) -> Vec<String> {
    let mut out: Vec<String> = Vec::new();
    let mut from = 0;
    for (at, _) in text.match_indices(". ") {
        let word = text[from..at].rsplit([' ', ',']).next().unwrap_or_default();
        let ends = word.len() >= 3 && word.bytes().all(|byte| byte.is_ascii_lowercase());
        if ends && text[at + 2..].trim_start().starts_with(|first: char| first.is_ascii_uppercase()) {
            out.push(text[from..at].trim().to_string());
            from = at + 2;
        }
    }
    out.push(text[from..].trim().trim_end_matches('.').to_string());
    out.retain(|sentence| !sentence.is_empty());
    out
}

/// What may stand between the goods of a sentence.
static CUTS: LazyLock<Vec<String>> = LazyLock::new(|| {
    let mut cuts = vec![", ".to_string(), "; ".to_string()];
    for joint in words::list("joins-names").phrases().map(str::to_lowercase) {
        cuts.extend([format!(", {joint} "), format!(" {joint} ")]);
    }
    cuts
});

/// The counted goods of a sentence, each with the words that go on from it: `two pulls, one closer, parallel arm and one stop`.
fn counted_apart(sentence: &str) -> Vec<&str> {
    let is_counted = |part: &str| {
        let folded = plain(part);
        let word = folded.trim_start_matches(|sign: char| sign.is_ascii_digit() || "()-/. ".contains(sign));
        let word = words::list(words::NUMBERS).begins(word).map_or(word, |number| word[number.len()..].trim_start());
        let joins = itemtext::goes_on(word);
        starts_with_quantity(&folded) && !joins && words::list("hardware").find(&folded).is_some()
    };
    let cuts =
        CUTS.iter().flat_map(|sign| sentence.match_indices(sign.as_str()).map(|(at, sign)| (at, at + sign.len())));
    let mut cuts: Vec<(usize, usize)> = cuts.collect();
    cuts.sort_unstable_by_key(|(at, next)| (*at, std::cmp::Reverse(*next)));
    let mut parts = Vec::new();
    let mut from = 0;
    let goods = |part: &str| words::list("goods").begins(&plain(part)).is_some();
    if let Some(goods) = commalists::goods(sentence) {
        return goods;
    }
    if sentence.split([',', ';']).all(goods) {
        return sentence.split([',', ';']).map(str::trim).collect();
    }
    for (at, next) in cuts {
        let end = |from: usize| {
            let rest = &sentence[from..];
            rest.find([',', ';']).map_or(rest, |end| &rest[..end])
        };
        if at > from && is_counted(end(from)) && is_counted(end(next)) {
            parts.push(sentence[from..at].trim());
            from = next;
        }
    }
    parts.push(sentence[from..].trim());
    parts
}

/// The heading of a set whose id stands at the end of the text.
fn behind(text: &str) -> Option<Heading> {
    let end = text.trim_end_matches([')', ':', '.', ' ']);
    if text.len() > HEAD
        || !end.ends_with(|last: char| last.is_ascii_alphanumeric())
        || setheading::heading(text).is_some()
    {
        return None;
    }
    let straight: String = text.chars().map(crate::trade::signs::straight).collect();
    let found = BEHIND.as_ref()?.captures(&straight)?;
    let (id, _) = setheading::led(&found["set"])?;
    let head = found["head"].trim().to_string();
    let folded = plain(&head);
    let tells = words::list("set-behind-not").find(&folded).is_some();
    let others =
        tells || ["as", "ditto", "note", "doors-except"].iter().any(|list| words::list(list).begins(&folded).is_some());
    if starts_with_quantity(&folded) || others || words::list("doors").is(folded.split(' ').next().unwrap_or_default())
    {
        return None;
    }
    let doors = titledoors::worded(&head).unwrap_or_default();
    Some(Heading { id, title: head, doors, not_used: None })
}

/// `Doors 101, 102 - Hardware Set 1`: nothing but doors, and behind them their set.
fn behind_doors(text: &str) -> Option<Heading> {
    let ends = text.trim_end_matches([')', ':', '.', ' ']);
    let (id, doors) = assigned::sentence(text).filter(|(id, doors)| !doors.is_empty() && ends.ends_with(id))?;
    Some(Heading { id, title: String::new(), doors, not_used: None })
}

/// `101, 102 | HW SET 1`
fn beside_doors(list: &str, set: &str) -> Option<Heading> {
    let found = setheading::heading(set).filter(|found| found.title.is_empty() && found.doors.is_empty())?;
    let doors = setheading::bare_list(list).or_else(|| setheading::served(list).map(|(doors, _)| doors))?;
    Some(Heading { doors, ..found })
}

impl Walker<'_> {
    /// `A | SET 2  OFFICE`, `A | 2 | EA | CLOSER`: the row without the letter of a revision in its margin.
    pub(crate) fn without_margin(&self, lane: usize, row: &Row) -> Option<Row> {
        let [mark, rest @ ..] = &row.cells[..] else { return None };
        let letter = matches!(mark.text.trim().as_bytes(), [one] if one.is_ascii_uppercase());
        if !letter || mark.struck || rest.is_empty() || self.lanes[lane].table.is_some() {
            return None;
        }
        let counted = |cells: &[Cell]| {
            let quantity = cells.first().is_some_and(|cell| is_count(&cell.text));
            quantity && words::list("hardware").find(&plain(&join_single(cells))).is_some()
        };
        let next = self.sheet.rows.get(self.sheet.index_of(row.number) + 1);
        let goods = || next.is_some_and(|next| counted(&next.cells) || next.cells.get(1..).is_some_and(counted));
        let heads = setheading::heading(&join_single(rest)).is_some_and(|found| found.not_used.is_some() || goods());
        let item = self.lanes[lane].set.is_some() && rest.len() >= 2 && counted(rest);
        (heads || item).then(|| Row { number: row.number, cells: rest.to_vec(), hidden: row.hidden })
    }

    /// Whether a row ends a letter (`Thanks,`, `Regards, Dana`, `--`), and the few rows below hold no goods, no doors, no set and
    /// no table: whatever a name, a street or a telephone number there looks like, it is no set and no item.
    pub(crate) fn ends_letter(&mut self, index: usize, text: &str, last: &str) -> bool {
        let ends = words::list("letter-ends");
        let before_name = last.split_once(',').filter(|(_, name)| name.split_whitespace().count() <= MOST_NAMES);
        let rule = text.trim() == "--";
        if !(ends.is(last) || before_name.is_some_and(|(words, _)| ends.is(words.trim())) || rule) {
            return false;
        }
        let below = self.sheet.rows.get(index + 1..).unwrap_or_default();
        let speaks = |row: &Row| words::list("hardware").find(&plain(&join_single(&row.cells))).is_some();
        let told = |(at, row): (usize, &Row)| {
            let text = join_single(&row.cells);
            let folded = plain(&text);
            let goods = words::list("goods").begins(&folded).is_some() || starts_with_quantity(&folded) && speaks(row);
            let doors = setheading::served(&text).is_some() || setheading::doors_follow(&text);
            // `Group 4 Builders` is a firm, `HW SET 2` and `Set 2 - Stairs` above goods are none.
            let set = setheading::heading(&text).is_some_and(|found| {
                found.title.is_empty() || !found.doors.is_empty() || below.get(at + 1).is_some_and(speaks)
            });
            // Dashes are a rule as well, below which anything may stand.
            goods || doors || set || rule && speaks(row)
        };
        let tables = self.tables.get(self.next).is_some();
        self.signed = below.len() <= MOST_SIGNATURE && !tables && !below.iter().enumerate().any(told);
        self.signed
    }

    /// A row of the signature below a letter; one that speaks of hardware is a note.
    pub(crate) fn signature(&self, index: usize, text: &str, out: &mut Gathered) -> Option<Role> {
        if !self.signed {
            return None;
        }
        let speaks = words::list("hardware").find(&plain(text)).is_some();
        Some(if speaks { note(self.sheet, text, self.sheet.rows.get(index)?, out) } else { Role::Title })
    }

    /// Whether goods stand in rows of their own below a line that names some too: its words are a title then. A line that ends
    /// in a comma goes on below.
    pub(crate) fn has_rows(&self, row: &Row) -> bool {
        let at = self.sheet.index_of(row.number);
        if row.cells.last().is_some_and(|cell| cell.text.trim_end().ends_with(',')) {
            return false;
        }
        let below = self.sheet.rows.get(at + 1..).unwrap_or_default().iter().take(4);
        let mut own =
            below.take_while(|row| setheading::heading(&row.joined()).is_none() && whole(&row.joined()).is_none());
        own.any(|row| {
            let folded = plain(&join_single(&row.cells));
            starts_with_quantity(&folded) && words::list("hardware").find(&folded).is_some()
                || table::is_heading_row(row)
        })
    }

    /// A row that names its set at its end, right above goods, on a sheet whose sets are named no other way.
    pub(crate) fn set_behind(&mut self, lane: usize, row: &Row, out: &mut Gathered) -> Option<Role> {
        let heading = match &row.cells[..] {
            [one] => behind(&one.text).or_else(|| behind_doors(&one.text))?,
            [list, set] => beside_doors(&list.text, &set.text)?,
            _ => return None,
        };
        let next = self.sheet.rows.get(self.sheet.index_of(row.number) + 1)?;
        let folded = plain(&join_single(&next.cells));
        let (label, value) = folded.split_once(':').unwrap_or((&folded, ""));
        let labelled = words::list("hardware").find(label).is_some() && starts_with_quantity(value.trim());
        let counted = starts_with_quantity(&folded) && words::list("hardware").find(&folded).is_some();
        let heads = (labelled || counted) && !self.above.is_headed(self.sheet);
        heads.then(|| self.set_heading(lane, heading, row, out))
    }

    /// `HW-3 | 1-1/2 pr. butts, office lock, wall stop`: the id of a set and nothing more, and beside it goods between commas. In
    /// a table with a column of sets such a row is one of its lines.
    fn beside_id(&self, lane: usize, row: &Row) -> Option<Whole> {
        let [id, goods] = &row.cells[..] else { return None };
        if self.lanes[lane].table.as_ref().is_some_and(|table| table.holds == Holds::Items) {
            return None;
        }
        let found = setheading::heading(&id.text).filter(|found| found.title.is_empty() && found.doors.is_empty())?;
        // Counted goods at its head, and names of goods in most of its pieces, or whole goods alone: else it is a title.
        let counted = || goods.text.contains(',') && starts_with_quantity(&plain(&goods.text));
        let lists = commalists::goods(&goods.text).is_some()
            || counted() && lists_goods(&goods.text, 1) && doorgoods::lists_goods(&goods.text);
        let goods = sentences(&goods.text);
        (lists && found.not_used.is_none()).then(|| Whole { id: found.id, head: String::new(), goods })
    }

    /// Whether a row only lists a set that another row heads: an index of sets calls it `Storeroom lock, closer`, and counts
    /// nothing.
    fn is_listed(&self, row: &Row, found: &Whole) -> bool {
        let counted = || {
            found.goods.iter().flat_map(|goods| goods.split([',', ';'])).any(|part| starts_with_quantity(&plain(part)))
        };
        let heads = |other: &Row| {
            other.number != row.number
                && setheading::heading(&join_single(&other.cells)).is_some_and(|heading| heading.id == found.id)
        };
        !counted() && self.sheet.rows.iter().any(heads)
    }

    /// A row that holds a whole set.
    pub(crate) fn set_in_a_line(&mut self, lane: usize, row: &Row, out: &mut Gathered) -> Option<Role> {
        let [Cell { column, .. }, ..] = row.cells[..] else { return None };
        let signed = || row.cells.iter().any(|cell| cell.text.contains([':', '-', '\u{2013}', '\u{2014}']));
        if row.cells.len() > 2 || row.cells.len() < 2 && !signed() {
            return None;
        }
        let found = whole(&join_single(&row.cells)).or_else(|| self.beside_id(lane, row));
        let listed = |found: &Whole| self.is_listed(row, found);
        let Whole { id, head, goods } = found.filter(|found| !self.has_rows(row) && !listed(found))?;
        let doors = titledoors::worded(&head).unwrap_or_default();
        let place = self.sheet.place(row.number);
        titledoors::facts(&head, &place, out);
        let heading = Heading { id, title: head, doors, not_used: None };
        self.set_heading(lane, heading, row, out);
        let set = self.lanes[lane].set?;
        let mut role = Role::Set;
        for sentence in goods.iter().flat_map(|sentence| counted_apart(sentence)) {
            let cell = Cell { text: sentence.to_string(), ..row.cells[0].clone() };
            let part = Row { number: row.number, cells: vec![Cell { column, ..cell }], hidden: row.hidden };
            let own = match celllist::parted(None, &part) {
                Some(parted) => self.listed_items(lane, set, parted, out),
                None => self.item(lane, &part, set, &join(&part.cells), &plain(&join_single(&part.cells)), out),
            };
            role = if own == Role::Line { Role::Line } else { role };
        }
        Some(role)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_set_stands_behind_its_doors() {
        for (text, id, doors) in [
            ("MAIN ENTRANCE PAIR - DOORS 105A AND 105B - SET 1", "1", 2),
            ("STAIR DOOR 106 - HW SET 2", "2", 1),
            ("Corridor single (hardware set B-2)", "B-2", 0),
            ("Offices 101, 102: Set 3", "3", 0),
        ] {
            let found = behind(text).unwrap_or_else(|| panic!("{text}"));
            assert_eq!((found.id.as_str(), found.doors.len()), (id, doors), "{text}");
        }
        for text in [
            "SAME AS SET 3",
            "HARDWARE SET 4",
            "3 hinges - set 1",
            "Doors 101, 102: Set 3",
            "Used with set 9",
            "PAIRED WITH DOOR 102 - SET 2",
            "INACTIVE LEAF: SET 1",
            "SET 2 - GROUP 3",
        ] {
            assert_eq!(behind(text), None, "{text}");
        }
    }

    #[test]
    fn a_line_holds_a_set_or_a_heading() {
        for (text, id, head, goods) in [
            ("Set 3 - classrooms 101, 102: three hinges, one classroom lock", "3", "classrooms 101, 102", 1),
            ("Set 4, door 106: (3) hinges; (1) storeroom lock; (1) closer", "4", "door 106", 1),
            ("HW SET 2: 3 hinges, 1 lock", "2", "", 1),
            ("Set 5 - hinges, lockset, wall stop", "5", "", 0),
            ("Set 5: hinges, lockset, wall stop", "5", "", 1),
            (
                "Set 6 - doors 102, 103: pair, 20 minute: six hinges. Seals by the door people.",
                "6",
                "doors 102, 103: pair, 20 minute",
                2,
            ),
            ("Set 7 - 3 hinges, 1 closer", "7", "", 1),
        ] {
            let found = whole(text);
            let said = found.as_ref().map(|found| (found.id.as_str(), found.head.as_str(), found.goods.len()));
            assert_eq!(said, (goods > 0).then_some((id, head, goods)), "{text}");
        }
        for text in [
            "HARDWARE SET 4: DOORS 101, 102",
            "SET 2 - 201, 203 - PAIR",
            "Hardware Set 5: Corridor single, card reader",
            "HW SET 3 - 2 DOOR CLOSETS",
            "SET 2: 1 hour stair doors",
        ] {
            assert_eq!(whole(text), None, "{text}");
        }
    }
}
