//! A row between the heading of a set and its first counted good that says what the set is for, `Electrical and mechanical
//! rooms, 60 minute`: where all goods of the set are counted it is the title of the set, and what it says of rating and
//! leaves is said of the doors, as it is in the heading itself.

use super::itemtext::{
    by_others, codes, has_quantity_behind, is_finish_note, is_labelled_note, is_sentence, is_set_note, listed_item,
    starts_with_quantity,
};
use crate::read::notes::alternates;
use crate::read::schedule::{Note, Role};
use crate::read::sets::headfacts::{Facts, of_doors_above};
use crate::read::sets::{setheading, titledoors};
use crate::read::sheet::{Row, join};
use crate::read::tables::table::{self, Holds};
use crate::read::walk::{Gathered, Walker, join_single};
use crate::read::words::{self, plain};
use crate::trade::room;

/// A title has no more letters.
const LONGEST: usize = 120;

/// Rows of words before the first good, at most.
const ROWS: usize = 3;

/// Rows below it that are looked at.
const BELOW: usize = 40;

impl Walker<'_> {
    /// A row under the heading of a set that lists nothing: the title of the set, or one of its goods.
    pub(crate) fn title_or_item(
        &mut self,
        lane: usize,
        row: &Row,
        set: usize,
        (text, folded): (&str, &str),
        out: &mut Gathered,
    ) -> Role {
        let title = self.use_row(lane, set, row, out);
        title.unwrap_or_else(|| self.item(lane, row, set, text, folded, out))
    }

    /// Takes a row as the title of its set.
    fn use_row(&self, lane: usize, set: usize, row: &Row, out: &mut Gathered) -> Option<Role> {
        let of = &out.schedule.sets[set];
        let tabled = || self.lanes[lane].table.as_ref().is_some_and(|table| table.holds == Holds::Items);
        let cells = row.cells.len() == 1 || row.cells.len() == 2 && !tabled();
        if !of.lines.is_empty() || of.not_used.is_some() || self.lanes[lane].named || self.lanes[lane].noting || !cells
        {
            return None;
        }
        let text = join_single(&row.cells);
        if !may_be_title(&text, || self.lock_below(row)) || !self.goods_are_counted(row) {
            return None;
        }
        let place = self.sheet.place(row.number);
        let facts = Facts::of(&join(&row.cells)).opening(&place, &mut out.schedule.findings);
        let of = &mut out.schedule.sets[set];
        if of.title.is_empty() {
            of.title.clone_from(&text);
        }
        of.notes.push(Note { text: join(&row.cells), place });
        if let Some(told) = facts {
            of_doors_above(set, told, out);
        }
        Some(Role::Note)
    }

    /// Whether the set goes on with a lock or exit device that is counted: then the name of a room, which may be that of a
    /// function too, is no lock.
    fn lock_below(&self, row: &Row) -> bool {
        let below = self.sheet.rows.get(self.sheet.index_of(row.number) + 1..).unwrap_or_default().iter().take(BELOW);
        let mut own = below.map(|next| join_single(&next.cells)).take_while(|text| setheading::heading(text).is_none());
        own.any(|text| {
            let folded = plain(&text);
            let dead = words::list("names-of-deadlocks").find(&folded).is_some();
            starts_with_quantity(&folded) && !dead && words::list("names-of-locks").find(&folded).is_some()
        })
    }

    /// Whether every good below a row, as far as its set goes, has its count before it; or the first row says that others
    /// supply the hardware.
    fn goods_are_counted(&self, row: &Row) -> bool {
        let below = self.sheet.rows.get(self.sheet.index_of(row.number) + 1..).unwrap_or_default();
        let (mut counted, mut between) = (false, 0);
        for next in below.iter().take(BELOW) {
            let single = join_single(&next.cells);
            if setheading::heading(&single).is_some() || self.bare.contains_key(&next.number) {
                break;
            }
            let folded = plain(&single);
            let of_doors = || {
                setheading::served(&single).is_some()
                    || setheading::doors_follow(&single)
                    || setheading::bare_list(&single).is_some()
                    || setheading::basis(&single, false).is_some()
            };
            if starts_with_quantity(&folded) {
                counted |= words::list("hardware").find(&folded).is_some();
            } else if by_others(&folded) || folded.ends_with('.') {
                // `Card reader by Division 28.` lists no good of the set.
                if !counted && by_others(&folded) {
                    return true;
                }
            } else if words::list("goods").begins(&folded).is_some() {
                return false;
            } else if !counted && !table::is_heading_row(next) && !of_doors() {
                between += 1;
                if between > ROWS {
                    return false;
                }
            }
        }
        counted
    }
}

/// Whether words may say what a set is for: they name no goods, count nothing, and are no note.
fn may_be_title(text: &str, with_lock: impl Fn() -> bool) -> bool {
    let folded = plain(text);
    let worded = folded.split(|sign: char| !sign.is_ascii_alphabetic()).any(|word| word.len() > 2);
    let uses = words::list("words-of-use");
    let goods = || words::list("hardware").all(&folded).iter().any(|word| !uses.is(word));
    let other = |folded: &str| {
        ["goods", "not-used", "note-asks", "total", "section", "title-never", "excluded", "existing-door"]
            .iter()
            .any(|list| words::list(list).find(folded).is_some())
            || ["note", "note-of-all"].iter().any(|list| words::list(list).begins(folded).is_some())
    };
    // A title says a place, a use or a kind of door; other words may be goods.
    let says_use =
        || words::list("title-says-use").find(&folded).is_some() || !room::uses(&folded).is_empty() && with_lock();
    let marked = folded.ends_with([':', '.', ',', '-']) || folded.contains(['=', '*', '_', '"']);
    // `Vision lite, corridor doors`, `Entrance handle set` name goods that lines are read by.
    let noun = || words::nouns().all(&folded).into_iter().any(|word| !uses.is(word) && is_good(&folded, word));
    worded
        && folded.len() <= LONGEST
        && !alternates::heads_part(text)
        && !marked
        && !starts_with_quantity(&folded)
        && !has_quantity_behind(&folded)
        && codes(&folded) == 0
        && says_use()
        && !names_numbers(&folded)
        && !goods()
        && !other(&folded)
        && !by_others(&folded)
        && !is_sentence(&folded)
        && !is_set_note(&folded)
        && !is_labelled_note(&folded)
        && !is_finish_note(&folded, false)
        && listed_item(text).is_none()
        && setheading::same_as(text).is_none()
        && !noun()
}

/// Whether a noun of the words names a good: it ends them or a part of them, `Vision lite, corridor doors`, `Camera at exits`.
/// Before other words it tells of a place: `Key room`, `Gate 5 to garage`.
fn is_good(folded: &str, noun: &str) -> bool {
    let rest = folded[words::offset(folded, noun) + noun.len()..].trim_start();
    let ends =
        rest.is_empty() || rest.starts_with([',', ';', '/', '-']) || words::list("doors-where").begins(rest).is_some();
    let last = noun.rsplit(' ').next().unwrap_or_default();
    ends && !words::list("nouns-in-titles").is(noun) && !words::list("title-says-use").is(last)
}

/// Whether words name doors or rooms by their numbers, `Applies to: 12, 14`, `Rooms 101 thru 105`: what is said of those is no
/// title.
pub(crate) fn names_numbers(folded: &str) -> bool {
    let figures = |word: &str| word.bytes().filter(u8::is_ascii_digit).count();
    let said: Vec<&str> = folded.split([' ', ',']).filter(|word| !word.is_empty()).collect();
    let unit = |at: usize| said.get(at + 1).is_some_and(|next| words::list("behind-a-measure").is(next));
    let numbered = said.iter().enumerate().filter(|(at, word)| figures(word) > 2 && !unit(*at));
    let numbers: Vec<usize> = numbered.map(|(at, _)| at).collect();
    // `Office Suite 200`, `Classroom 200 wing` name a place; `Room 101`, `Classroom 301`, `101 thru 105` numbers of rooms or doors.
    let led = |at: &usize| {
        let before = at.checked_sub(1).and_then(|before| said.get(before));
        let ends = at + 1 == said.len() && !before.is_some_and(|word| titledoors::numbers_other(word));
        ends || before.is_none_or(|word| {
            ["doors", "labels-of-places", "joins-numbers"].iter().any(|list| words::list(list).is(word))
        })
    };
    numbers.len() > 1
        || numbers.iter().any(led)
        || figures(folded) > 0 && words::list("doors-label").begins(folded).is_some()
}

#[cfg(test)]
mod tests {
    use super::may_be_title;

    #[test]
    fn words_of_uses_are_told_from_goods_and_notes() {
        for text in [
            "Electrical and mechanical rooms, 60 minute",
            "Turnout gear storage, pair",
            "Offices",
            "Exit stairs",
            "Overhead sectional doors",
            "Classrooms and storeroom",
            "Corridor pairs, 180 minutes",
            "Doors to offices",
            "Office Suite 200",
            "Conference rooms, locker rooms",
            "Key room and key storage",
            "Control room, camera room",
            "Gate 5 to parking garage",
            "Gate house offices",
            "Mirror hall entrances",
        ] {
            assert!(may_be_title(text, || false), "{text}");
        }
        for text in [
            "Mortise lock, storeroom function",
            "Continuous hinge",
            "Silencers",
            "Kick plate 10 x 34",
            "Robe hook 626",
            "Locking",
            "Hardware by others",
            "NOT USED",
            "BASE BID",
            "ADD ALTERNATE 2",
            "NOTE: verify",
            "Each leaf:",
            "Storeroom 626",
            "Concealed vertical rod",
            "Ball bearing",
            "Fail safe",
            "Existing doors to remain",
            "Revised Addendum 2",
            "Typical at all offices, except 102",
            "Auto door opener",
            "Delayed egress",
            "Exit, mortise",
            "Cylindrical passage",
            "Office",
            "Entry",
            "Smoke detector",
            "Sliding door track and hangers",
            "Push/pull",
            "Weather set",
            "Applies to: 101, 103",
            "Serves 101",
            "Doors using this set: 12, 14",
            "Typical at: rooms 101 thru 105",
            "Vision lite, corridor doors",
            "Entrance handle set",
            "Exterior key box",
            "Floor guide",
            "Interior thumbturn",
            "Camera at exterior doors",
        ] {
            assert!(!may_be_title(text, || false), "{text}");
        }
        // Above a lock of its own such a word is the room.
        for text in ["Office", "CLASSROOM", "Storage", "Storeroom"] {
            assert!(may_be_title(text, || true), "{text}");
        }
        for text in ["Locking", "Fail safe", "Mortise lock, storeroom function", "Storeroom 626", "Robe hook 626"] {
            assert!(!may_be_title(text, || true), "{text}");
        }
    }
}
