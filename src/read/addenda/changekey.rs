//! A list of changes whose one column names either a door or a set, `Door 116`, `Set 4`: it becomes a column of doors and
//! one of sets. Words such as `change set from 6A to 5` give the set of a door.

use super::changelist::{Action, action_of};
use crate::read::openings::doorlist;
use crate::read::sets::setheading;
use crate::read::sheet::{Cell, Row, Sheet};
use crate::read::tables::headings;
use crate::read::words::{self, plain};

/// The sheet with doors and sets in columns of their own; `None` where no column names both.
pub(crate) fn parted(sheet: &Sheet) -> Option<Sheet> {
    let is = |cell: &&Cell, used: &str| words::list(used).is(&headings::key(&cell.text));
    let (at, column) = sheet.rows.iter().take(40).enumerate().find_map(|(at, row)| {
        row.cells.iter().find(|cell| is(cell, "change-heading"))?;
        row.cells.iter().find(|cell| is(cell, "change-key-heading")).map(|cell| (at, cell.column))
    })?;
    let beyond = sheet.rows.iter().flat_map(|row| &row.cells).map(|cell| cell.column).max()? + 1;
    let mut parted = sheet.clone();
    for (index, row) in parted.rows.iter_mut().enumerate().skip(at) {
        let Some(place) = row.cells.iter().position(|cell| cell.column == column) else { continue };
        if index == at {
            "DOOR NO.".clone_into(&mut row.cells[place].text);
            row.cells.push(Cell::text(beyond, "HW SET"));
        } else {
            key(row, place, beyond);
        }
    }
    Some(parted)
}

/// Puts what a cell names where it belongs. What names neither stays, and is asked about as a row that says nothing.
fn key(row: &mut Row, place: usize, beyond: usize) {
    let text = row.cells[place].text.clone();
    if let Some(heading) = setheading::heading(&text).filter(|heading| heading.doors.is_empty()) {
        row.cells.remove(place);
        row.cells.push(Cell::text(beyond, &heading.id));
        return;
    }
    let folded = plain(&text);
    let named = words::list("doors").begins(&folded).map(|word| word.len());
    let number = folded[named.unwrap_or(0)..].trim_start_matches([' ', '#', ':', '.']);
    if named.is_none() && !doorlist::looks_like(number) {
        return;
    }
    number.clone_into(&mut row.cells[place].text);
    let deletes = row.cells.iter().find_map(|cell| action_of(&cell.text)) == Some(Action::Delete);
    let given = row.cells.iter().enumerate().find_map(|(at, cell)| {
        (cell.column != row.cells[place].column && action_of(&cell.text).is_none_or(|_| cell.text.contains(' ')))
            .then(|| set_given(&cell.text))
            .flatten()
            .map(|set| (at, set))
    });
    // What was said is the set, and no good; a door that is taken out gets none.
    if let Some((at, set)) = given.filter(|_| !deletes) {
        row.cells.remove(at);
        row.cells.push(Cell::text(beyond, &set));
    }
}

/// `Change hardware set from 6A to 5`, `use set 5 in lieu of 6A`: the set that a door gets.
fn set_given(text: &str) -> Option<String> {
    let folded = plain(text);
    let words: Vec<&str> = folded.split(|sign: char| sign.is_whitespace() || sign == ',').collect();
    let set = words.iter().position(|word| words::list("set-word").is(word))?;
    // `Add 1 closer to match set 5` tells of a closer: before the set stand only words of the change.
    let of_change = |word: &&str| word.is_empty() || words::list("set-change").is(word) || action_of(word).is_some();
    if !words[..set].iter().all(of_change) {
        return None;
    }
    let to = words[set..].iter().position(|word| words::list("set-to").is(word)).map(|at| set + at + 1);
    let mut behind = words.get(to.unwrap_or(set + 1)..)?.iter();
    let id = behind.find(|word| !words::list("set-word").is(word))?.trim_end_matches('.');
    setheading::id_of_cell(id).filter(|id| id.bytes().any(|byte| byte.is_ascii_digit()) && id.len() <= 10)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_give_a_door_its_set() {
        for (text, set) in [
            ("Change hardware set from 6A to 5", Some("5")),
            ("set 6A to set 5", Some("5")),
            ("use set 5 in lieu of 6A", Some("5")),
            ("change HW set to HW-12", Some("12")),
            ("Change closer to parallel arm", None),
            ("a set of hinges", None),
            ("Delete wall stop of set 5", None),
            ("Add 1 closer to match set 5", None),
            ("Provide 2 kick plates 8 x 34 630, see set 5", None),
            ("door deleted", None),
        ] {
            assert_eq!(set_given(text).as_deref(), set, "{text}");
        }
    }
}
