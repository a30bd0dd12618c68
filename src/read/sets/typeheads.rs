//! Headings of sets that call them types: `Type A - Classroom`, `Hardware Type 3`, `Set Type B`, `Template C`. A type may be
//! anything's, so they are believed where no heading of the sheet says that it is a set, where several of them stand, and
//! where goods follow each at once: under a row of headings of their own, or counted.

use std::collections::BTreeSet;

use super::bareheads::Bare;
use super::setheading;
use crate::read::goods::itemtext::starts_with_quantity;
use crate::read::sheet::{CellKind, Row, Sheet};
use crate::read::tables::headings::Meaning as M;
use crate::read::tables::table::{Holds, Table};
use crate::read::words::{self, plain};

/// A heading of this many signs is a sentence.
const LONGEST: usize = 100;

/// The words that lead are no more, the empty ones between two signs among them.
const MOST_WORDS: usize = 6;

/// Where the words end that lead to the id of a type: `Hdw. Type:`, `SET TYPE`.
fn led(straight: &str) -> Option<usize> {
    let list = words::list("set-type-lead");
    let (mut said, mut at, mut end) = (String::new(), 0, None);
    for word in straight.split_inclusive(|sign: char| !sign.is_ascii_alphanumeric()).take(MOST_WORDS) {
        at += word.len();
        let word = word.trim_end_matches(|sign: char| !sign.is_ascii_alphanumeric());
        if word.is_empty() {
            continue;
        }
        let first = said.is_empty();
        if !first {
            said.push(' ');
        }
        said.push_str(&word.to_ascii_uppercase());
        if first && !list.may_begin(&said) {
            break;
        }
        if list.is(&said) {
            end = Some(at);
        }
    }
    end
}

/// The id and the title of a row that may head a set so.
fn typed(row: &Row) -> Option<(String, String)> {
    let [cell] = &row.cells[..] else { return None };
    if cell.struck || cell.kind != CellKind::Text || cell.text.len() > LONGEST {
        return None;
    }
    let straight: String = cell.text.trim().chars().map(crate::trade::signs::straight).collect();
    let end = led(&straight)?;
    let rest = straight[end..].trim_start_matches(|sign: char| " .:-#\u{a0}\u{2013}\u{2014}".contains(sign));
    let parts = |sign: char| !sign.is_ascii_alphanumeric() && sign != '.';
    let id = rest[..rest.find(parts).unwrap_or(rest.len())].trim_end_matches('.');
    let letters = id.bytes().filter(u8::is_ascii_uppercase).count();
    let figures = id.bytes().filter(u8::is_ascii_digit).count();
    let is_id = (1..=4).contains(&id.len()) && letters + figures == id.len() && letters <= 2 && figures <= 3;
    let title = rest.get(id.len()..)?.trim_matches(|sign: char| " :,;.-()\u{a0}\u{2013}\u{2014}".contains(sign));
    is_id.then(|| (id.to_string(), title.to_string()))
}

/// The rows of a sheet that head sets so.
pub(crate) fn find(sheet: &Sheet, tables: &[Table]) -> Vec<(u32, Bare)> {
    let mut found: Vec<(usize, (String, String))> = Vec::new();
    for (at, row) in sheet.rows.iter().enumerate() {
        found.extend(typed(row).map(|one| (at, one)));
    }
    // What stands with the door or the set in its own row needs no heading.
    let told = |table: &Table| match table.holds {
        Holds::Items => table.has(M::Set) || table.has(M::DoorNumber),
        holds => holds != Holds::Doors,
    };
    if found.len() < 2
        || tables.iter().any(told)
        || setheading::heading(&sheet.name).is_some()
        || sheet.rows.iter().any(|row| setheading::heading(&row.joined()).is_some())
    {
        return Vec::new();
    }
    let with_goods = |(at, (_, title)): &(usize, (String, String))| {
        let Some(next) = sheet.rows.get(at + 1) else { return false };
        let near = sheet.rows.get(*at).is_some_and(|row| next.number <= row.number + 2);
        let headed = || tables.iter().any(|table| table.rows.0 == at + 1 && table.holds == Holds::Items);
        let goods = plain(&next.joined());
        let counted = || starts_with_quantity(&goods) && words::list("hardware").find(&goods).is_some();
        near && (headed() || counted()) || words::list("not-used").find(&plain(title)).is_some()
    };
    // One that stands otherwise speaks against them all.
    let ids: BTreeSet<&str> = found.iter().map(|(_, (id, _))| id.as_str()).collect();
    if ids.len() < 2 || !found.iter().all(with_goods) {
        return Vec::new();
    }
    let heads =
        found.into_iter().filter_map(|(at, (id, title))| Some((sheet.rows.get(at)?.number, Bare::typed(id, title))));
    heads.collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::read::sheet::Cell;

    #[test]
    fn types_that_may_be_of_sets_give_their_ids() {
        for (text, found) in [
            ("Type A - Classroom", Some(("A", "Classroom"))),
            ("HARDWARE TYPE 3", Some(("3", ""))),
            ("Hdw. Type: B2 (Stair)", Some(("B2", "Stair"))),
            ("Set Type C \u{2013} Toilet", Some(("C", "Toilet"))),
            ("Template D - Office", Some(("D", "Office"))),
            ("Door Type A", None),
            ("Type A", Some(("A", ""))),
            ("Type of lock", None),
            ("Typical office", None),
        ] {
            let row = Row { number: 1, cells: vec![Cell::text(0, text)], hidden: false };
            let of = typed(&row);
            assert_eq!(of.as_ref().map(|(id, title)| (id.as_str(), title.as_str())), found, "{text}");
        }
    }
}
