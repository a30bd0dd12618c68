//! Sets with old and new side by side, changed words marked.

use super::page::{Cell, Page, Stress};
use super::style::{
    ATTENTION, BAND, CELL, COUNT, DIFFERENCE, HEADING, HEADING_RIGHT, MONEY, QUIET, SUBTITLE, TITLE, WORDS,
};
use crate::money::Money;
use crate::reprice::beside::{LineBeside, SetBeside};
use crate::reprice::changes::Changes;

/// Name of the page.
pub const NAME: &str = "By set";
const COLUMNS: usize = 9;

/// Every set that changed.
pub(super) fn page(changes: &Changes) -> Page {
    let mut page = Page::new(NAME, &[10, 52, 8, 11, 52, 8, 11, 13, 13]);
    page.push(vec![Cell::text(NAME, TITLE)]);
    page.push(vec![Cell::text(
        "Old and new side by side. Words that are gone are struck through, new words are bold and underlined; changed lines say so.",
        SUBTITLE,
    )]);
    page.skip();
    let top = page.push(
        [
            ("", false),
            ("Before", false),
            ("Count", true),
            ("Price", true),
            ("Now", false),
            ("Count", true),
            ("Price", true),
            ("Difference", true),
            ("Changed", false),
        ]
        .iter()
        .map(|(heading, right)| Cell::text(*heading, if *right { HEADING_RIGHT } else { HEADING }))
        .collect(),
    );
    if changes.sets.is_empty() {
        page.push(vec![Cell::none(), Cell::text("No set changed.", CELL)]);
    }
    for set in &changes.sets {
        page.push(band(set));
        if !set.why.is_empty() {
            page.push(vec![Cell::none(), Cell::text(set.why.as_str(), QUIET).across(4)]);
        }
        if let Some(row) = doors(set) {
            page.push(row);
        }
        for line in &set.lines {
            page.push(line_row(line));
        }
        page.skip();
    }
    page.freeze = (top + 1, 0);
    page.print.landscape = true;
    page.print.repeat = Some((top, top));
    page.print.last_column = Some(COLUMNS - 1);
    page.print.footer = "Internal: not for the customer".to_owned();
    page
}

fn band(set: &SetBeside) -> Vec<Cell> {
    let name = |id: &str, title: &str, missing: &str| {
        if id.is_empty() { missing.to_owned() } else { format!("Set {id} {title}").trim().to_owned() }
    };
    let sum = |of: fn(&LineBeside) -> Money| set.lines.iter().map(of).sum::<Money>();
    let mut row: Vec<Cell> = (0..COLUMNS).map(|_| Cell::blank(BAND)).collect();
    row[1] = Cell::text(name(&set.id_from, &set.title_from, "(not there)"), BAND.wraps());
    row[4] = Cell::text(name(&set.id_to, &set.title_to, "(not there)"), BAND.wraps());
    row[7] = Cell::money(
        sum(|line| line.extended_to) - sum(|line| line.extended_from),
        BAND.form(super::style::Form::Difference),
    );
    row
}

/// The doors, where they are others.
fn doors(set: &SetBeside) -> Option<Vec<Cell>> {
    let (was, is) = (set.doors_from.join(", "), set.doors_to.join(", "));
    if was == is {
        return None;
    }
    let (was, is) = marked(&was, &is);
    let mut row = vec![Cell::text("doors", QUIET), Cell::marked(was, WORDS), Cell::blank(CELL), Cell::blank(CELL)];
    row.extend([Cell::marked(is, WORDS.indent(1)), Cell::blank(CELL), Cell::blank(CELL), Cell::blank(CELL)]);
    row.push(Cell::text("doors", ATTENTION));
    Some(row)
}

fn line_row(line: &LineBeside) -> Vec<Cell> {
    let (was, is) = marked(&line.text_from, &line.text_to);
    let count = |text: &str| match text.parse() {
        Ok(count) => Cell::number(count, COUNT),
        Err(_) => Cell::blank(CELL),
    };
    let price = |text: &str, money: Money| if text.is_empty() { Cell::blank(CELL) } else { Cell::money(money, MONEY) };
    let what = match (line.text_from.is_empty(), line.text_to.is_empty()) {
        (true, false) => "new",
        (false, true) => "gone",
        _ if !line.is_changed => "",
        _ if line.text_from != line.text_to => "words",
        _ if line.count_from != line.count_to => "count",
        _ if line.unit_from != line.unit_to => "price",
        _ => "good",
    };
    vec![
        Cell::text(if line.is_implied { "implied" } else { "" }, QUIET),
        Cell::marked(was, WORDS),
        count(&line.count_from),
        price(&line.text_from, line.unit_from),
        Cell::marked(is, WORDS.indent(1)),
        count(&line.count_to),
        price(&line.text_to, line.unit_to),
        Cell::money(line.extended_to - line.extended_from, DIFFERENCE),
        Cell::text(what, if what.is_empty() { CELL } else { ATTENTION }),
    ]
}

type Parts = Vec<(String, Stress)>;

/// Two texts with the words that only one of them has marked, by the longest run of words in common.
fn marked(was: &str, is: &str) -> (Parts, Parts) {
    let (one, two): (Vec<&str>, Vec<&str>) = (was.split_whitespace().collect(), is.split_whitespace().collect());
    // A text of one side alone is new or gone as a whole, which its row says; very long ones would take too long to align.
    if one.is_empty() || two.is_empty() || one.len().saturating_mul(two.len()) > 250_000 {
        return (vec![(was.to_owned(), Stress::Plain)], vec![(is.to_owned(), Stress::Plain)]);
    }
    let (kept_one, kept_two) = in_common(&one, &two);
    (parts(&one, &kept_one, Stress::Gone), parts(&two, &kept_two, Stress::New))
}

/// Which words of each list are in the longest common sequence, case aside.
fn in_common(one: &[&str], two: &[&str]) -> (Vec<bool>, Vec<bool>) {
    let same = |a: usize, b: usize| one[a].eq_ignore_ascii_case(two[b]);
    let mut longest = vec![vec![0u32; two.len() + 1]; one.len() + 1];
    for a in (0..one.len()).rev() {
        for b in (0..two.len()).rev() {
            longest[a][b] =
                if same(a, b) { longest[a + 1][b + 1] + 1 } else { longest[a + 1][b].max(longest[a][b + 1]) };
        }
    }
    let (mut kept_one, mut kept_two) = (vec![false; one.len()], vec![false; two.len()]);
    let (mut a, mut b) = (0, 0);
    while a < one.len() && b < two.len() {
        if same(a, b) {
            (kept_one[a], kept_two[b]) = (true, true);
            (a, b) = (a + 1, b + 1);
        } else if longest[a + 1][b] >= longest[a][b + 1] {
            a += 1;
        } else {
            b += 1;
        }
    }
    (kept_one, kept_two)
}

/// Words joined again, neighbours of one kind in one part.
fn parts(words: &[&str], kept: &[bool], stress: Stress) -> Parts {
    let mut parts: Parts = Vec::new();
    for (at, (word, kept)) in words.iter().zip(kept).enumerate() {
        let stress = if *kept { Stress::Plain } else { stress };
        if at > 0 {
            // The space belongs to the part before, so that it is marked only inside a run of marked words.
            match parts.last_mut() {
                Some((text, last)) if *last == stress || *last == Stress::Plain => text.push(' '),
                _ => parts.push((" ".to_owned(), Stress::Plain)),
            }
        }
        match parts.last_mut().filter(|(_, last)| *last == stress) {
            Some((text, _)) => text.push_str(word),
            None => parts.push(((*word).to_owned(), stress)),
        }
    }
    parts
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_of_one_side_are_marked() {
        let (was, is) = marked("3 EA hinge 652", "4 EA Hinge heavy 652");
        let text = |parts: &Parts, stress: Stress| {
            parts.iter().filter(|part| part.1 == stress).map(|part| part.0.as_str()).collect::<Vec<_>>().join("|")
        };
        assert_eq!(text(&was, Stress::Gone), "3");
        assert_eq!(text(&is, Stress::New), "4|heavy");
        let whole: String = is.iter().map(|part| part.0.as_str()).collect();
        assert_eq!(whole, "4 EA Hinge heavy 652");
    }
}
