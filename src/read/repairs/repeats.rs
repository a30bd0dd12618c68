//! Headers and footers of pages that recur inside a sheet.

use std::collections::{BTreeMap, BTreeSet};

use crate::read::goods::itemtext::{is_sentence, starts_with_quantity};
use crate::read::schedule::Role;
use crate::read::sets::setheading;
use crate::read::sheet::{Row, Sheet};
use crate::read::tables::headings::Meaning as M;
use crate::read::tables::table::Holds;
use crate::read::walk::{Lane, Last, Walker};
use crate::read::words::{self, plain};
use crate::trade::finish;

impl Walker<'_> {
    /// Two set headings in one row begin blocks that stand side by side.
    pub(crate) fn part_headings(&mut self, row: &Row) {
        // Where a column holds the sets no heading does; most rows of long schedules end here. Below doors a row of nothing
        // but headings begins blocks all the same.
        let in_column = |lane: &Lane| lane.table.as_ref().filter(|table| table.has(M::Set)).map(|table| table.holds);
        let column = self.lanes.iter().find_map(in_column);
        let headed_all = || {
            let begins = |cell: &crate::read::sheet::Cell| setheading::may_begin(&cell.text);
            row.cells.len() >= 2
                && row.cells.iter().all(|cell| begins(cell) && setheading::heading(&cell.text).is_some())
        };
        if column.is_some_and(|holds| holds != Holds::Doors || !headed_all()) {
            return;
        }
        // The id may stand in the cell beside: `Set | A1 | | Set | B2`.
        let headed = |at: &usize| {
            let cell = &row.cells[*at];
            let with_next = |next: &crate::read::sheet::Cell| {
                next.column == cell.column + 1
                    && setheading::may_begin(&cell.text)
                    && setheading::heading(&format!("{} {}", cell.text, next.text))
                        .is_some_and(|of| of.title.is_empty())
            };
            setheading::heading(&cell.text).is_some() || row.cells.get(at + 1).is_some_and(with_next)
        };
        let starts: Vec<usize> = (0..row.cells.len()).filter(headed).map(|at| row.cells[at].column).collect();
        let apart = starts.windows(2).all(|pair| pair[1] - pair[0] >= 2);
        if starts.len() < 2 || !apart || self.lanes.len() >= starts.len() {
            return;
        }
        self.lanes = starts
            .iter()
            .enumerate()
            .map(|(at, start)| {
                let first = if at == 0 { 0 } else { *start };
                let last = starts.get(at + 1).map_or(usize::MAX, |next| next - 1);
                Lane { range: (first, last), ..Lane::free() }
            })
            .collect();
    }

    /// A sentence alone in its row below blocks that stand side by side, a blank row between and no goods behind it, is of all
    /// of them: it ends them.
    pub(crate) fn ends_blocks(&mut self, index: usize, folded: &str) -> bool {
        let rows = &self.sheet.rows;
        let row = &rows[index];
        let open = |lane: &Lane| lane.set.is_some() && lane.table.is_none();
        let apart = index > 0 && rows[index - 1].number + 1 < row.number;
        if self.lanes.len() < 2 || row.cells.len() != 1 || !apart || !self.lanes.iter().all(open) {
            return false;
        }
        let goods = |row: &Row| row.cells.iter().any(|cell| starts_with_quantity(&plain(&cell.text)));
        let mut behind = rows[index + 1..].iter().take_while(|row| setheading::heading(&row.cells[0].text).is_none());
        let ends = is_sentence(folded) && !goods(row) && !behind.any(goods);
        if ends {
            self.lanes.iter_mut().for_each(|lane| lane.set = None);
        }
        ends
    }

    /// `ADDED DOORS` alone in its row above a door schedule's headings is their title, no line of the set before it.
    pub(crate) fn titles_doors(&self, index: usize) -> bool {
        let Some(table) = self.tables.get(self.next).filter(|table| table.holds == Holds::Doors && !table.headless)
        else {
            return false;
        };
        let titles = |at: usize| {
            let [cell] = &self.sheet.rows[at].cells[..] else { return false };
            let folded = plain(&cell.text);
            let of_doors = folded.split(' ').any(|word| words::list("titles-of-doors").is(word));
            let goods = words::list("hardware").find(&folded).is_some() && !of_doors;
            let noted = words::list("note").begins(&folded).is_some() || is_sentence(&folded);
            !goods && !noted && !starts_with_quantity(&folded) && setheading::heading(&cell.text).is_none()
        };
        let near = table.rows.0 > index && table.rows.0 - index <= 3;
        let open = self.lanes.iter().any(|lane| lane.set.is_some());
        near && open && (index..table.rows.0).all(titles)
    }

    /// Whether a row belongs to the break between two pages; what goes on over it goes on in the row behind it. The name of a
    /// job that stands there once is kept as a note, where it can be seen.
    pub(crate) fn page_break(&mut self, index: usize, folded: &str) -> Option<Role> {
        let row = &self.sheet.rows[index];
        let named = self.seen.contains(folded) || is_page(folded) || self.page_header(folded);
        let stands_so = || {
            is_section_foot(row) || self.footed && beside_page(self.sheet, index, folded) || self.is_first_line(index)
        };
        let of_doors = |lane: &Lane| lane.listing || lane.table.as_ref().is_some_and(|of| of.holds == Holds::Doors);
        let role = if named || index > 0 && stands_so() {
            Role::Repeat
        } else if index > 0 && self.footed && !self.lanes.iter().any(of_doors) && job_beside(self.sheet, index, folded)
        {
            Role::Note
        } else {
            return None;
        };
        let next = self.sheet.rows.get(index + 1).map_or(row.number, |next| next.number - 1);
        let above = index.checked_sub(1).map(|above| self.sheet.rows[above].number);
        let of_sets = |lane: &&mut Lane| lane.table.as_ref().is_none_or(|table| table.holds == Holds::Items);
        for lane in self.lanes.iter_mut().filter(|lane| matches!(lane.last, Last::Line | Last::Doors)).filter(of_sets) {
            if lane.last_row + 1 == row.number || Some(lane.last_row) == above {
                lane.last_row = next;
            }
        }
        Some(role)
    }

    /// Whether a row is the first line of a sheet again, whatever its spaces.
    fn is_first_line(&self, index: usize) -> bool {
        let rows = &self.sheet.rows;
        let letters = |at: usize| {
            let cells = rows.get(at).into_iter().flat_map(|row| &row.cells);
            cells.flat_map(|cell| cell.text.chars()).filter(|sign| sign.is_alphanumeric())
        };
        let long = || letters(0).filter(|sign| sign.is_alphabetic()).count() >= 12;
        letters(0).eq(letters(index)) && long() && self.seen.contains(&plain(&rows[0].joined()))
    }

    /// Whether a row is a header or footer of a page: it recurs with another page number, or begins as the title does.
    pub(crate) fn page_header(&self, folded: &str) -> bool {
        let Some(foot) = Foot::of(folded) else { return false };
        // Titles are few, but a sheet may be nothing else: each beginning of the text is looked up.
        let mut ends = folded.char_indices().map(|(end, _)| end).filter(|end| (12..=LONGEST).contains(end));
        let titled = ends.any(|end| self.seen.contains(&folded[..end]));
        let begun =
            || self.seen.range(foot.stem.to_string()..).next().is_some_and(|title| title.starts_with(foot.stem));
        let again = self.seen.contains(foot.stem) || foot.goes_on && foot.stem.len() >= 12 && begun();
        foot.stem.len() >= 8 && again || foot.stem.len() >= 12 && (titled || self.recurring.contains(foot.stem))
    }
}

/// Whether a row is the foot of a page, with the number of the page.
fn is_foot(row: &Row) -> bool {
    is_section_foot(row) || row.cells.len() <= 2 && is_page(&plain(&row.joined()))
}

/// Whether a row stands right beside the number of a page.
fn stands_beside(sheet: &Sheet, index: usize) -> bool {
    let foot = |at: usize| sheet.rows.get(at).is_some_and(is_foot);
    foot(index + 1) || index > 0 && foot(index - 1)
}

/// Whether a row stands right beside the number of a page and is of the page as well: it says so, or the same row stands
/// beside the number of another page. Goods may come again as the last of a page.
fn beside_page(sheet: &Sheet, index: usize, folded: &str) -> bool {
    let rows = &sheet.rows;
    if starts_with_quantity(folded) || !stands_beside(sheet, index) {
        return false;
    }
    let again = |(at, row): (usize, &Row)| {
        at != index
            && row.cells.len() == rows[index].cells.len()
            && row.joined() == rows[index].joined()
            && stands_beside(sheet, at)
    };
    let label = words::list("page-label").begins(folded).is_some() && folded.bytes().any(|sign| sign.is_ascii_digit());
    let goods = || words::list("goods").begins(folded).is_some() || finish_ends(folded);
    label || !goods() && rows.iter().enumerate().any(again)
}

/// `CLOSER 689`
fn finish_ends(folded: &str) -> bool {
    folded.rsplit(' ').next().is_some_and(|last| finish::find(last).is_some())
}

/// Whether a row alone beside the number of a page names the job.
fn job_beside(sheet: &Sheet, index: usize, folded: &str) -> bool {
    sheet.rows[index].cells.len() == 1 && stands_beside(sheet, index) && names_job(folded)
}

/// `LAKE DISTRICT LIBRARY`, `HILLSIDE CLINIC PROJECT NO. 2026-07`: a building by its name, the kind of it behind one to four
/// plain words and nothing behind it but another kind and the number or the phase of the works. `A103 MEDIA LIBRARY` is a
/// room, `SAME AS LIBRARY SET` and `TYPICAL OF TWELVE APARTMENTS` say something of goods.
fn names_job(folded: &str) -> bool {
    let kinds = words::list("jobs-are-of");
    let Some(kind) = kinds.find(folded) else { return false };
    let at = words::offset(folded, kind);
    let (before, mut behind) = (folded[..at].trim_end(), folded[at + kind.len()..].trim_start());
    while let Some(more) = kinds.begins(behind) {
        behind = behind[more.len()..].trim_start();
    }
    let works = behind.trim_start_matches(['-', ' ']);
    let labels = ["page-label", "behind-a-job"];
    let ends = works.is_empty() || labels.iter().any(|list| words::list(list).begins(works).is_some());
    let plain = |word: &str| word.bytes().all(|sign| sign.is_ascii_alphabetic() || b"'.&".contains(&sign));
    // `Salvaged from old building`, `Keyed to the library` say something of the goods above them.
    let says = ["hardware", "goods-part", "doors", "state-of-goods", "state-behind-goods", "excluded"];
    ends && words::list("names-no-job").find(before).is_none()
        && !before.is_empty()
        && before.split(' ').count() <= 4
        && before.split(' ').all(plain)
        && !folded.ends_with(['.', ','])
        && !["note", "set-note"].iter().any(|list| words::list(list).begins(folded).is_some())
        && says.iter().all(|list| words::list(list).find(folded).is_none())
}

/// Whether a row is of the break between two pages: the number of a page, or what stands beside it.
pub(crate) fn is_of_page(sheet: &Sheet, index: usize) -> bool {
    let Some(row) = sheet.rows.get(index).filter(|row| row.cells.len() <= 4) else { return false };
    let folded = plain(&row.joined());
    is_foot(row) || beside_page(sheet, index, &folded) || job_beside(sheet, index, &folded)
}

/// Bytes of a title that pages repeat, at most.
const LONGEST: usize = 240;

/// Rows between two headers of pages, at least: what follows closer upon each other counts something else.
const APART: usize = 4;

/// A text that may stand at the head or foot of a page: words and then a page number, or a mark that it goes on.
struct Foot<'a> {
    /// The words.
    stem: &'a str,
    /// The page, where nothing but the figure says so.
    bare: Option<u32>,
    /// It is marked as going on.
    goes_on: bool,
}

impl<'a> Foot<'a> {
    /// Reads a text so. None: it has no page number, or is a line of goods, which may well end with figures: with a finish
    /// (`3 HINGES 652`), and they begin with a quantity.
    fn of(folded: &'a str) -> Option<Foot<'a>> {
        let figures = |letter: char| letter.is_ascii_digit();
        let signs = [' ', '-', '/', '.'];
        // `DOOR SCHEDULE (CONT'D)`
        if let Some(word) = words::list("page-goes-on").ends(folded) {
            let stem = &folded[..folded.len() - word.len()];
            return Some(Foot { stem: stem.trim_end_matches(signs), bare: None, goes_on: true });
        }
        let number = &folded[folded.trim_end_matches(figures).len()..];
        let first = folded.trim_end_matches(figures).trim_end_matches(signs);
        let of = first.strip_suffix(" OF").map(|rest| rest.trim_end_matches(figures).trim_end_matches(signs));
        let counted = of.unwrap_or(first);
        let stem = counted.trim_end_matches("PAGE").trim_end();
        if number.is_empty() {
            return None;
        }
        if of.is_some() || stem.len() < counted.len() {
            return Some(Foot { stem: stem.trim_end_matches(signs), bare: None, goes_on: false });
        }
        let page = number.parse().ok().filter(|page| (1..1_000).contains(page))?;
        let is_goods = folded.starts_with(figures) || finish::find(number).is_some() || is_counted(stem);
        (!is_goods).then_some(Foot { stem, bare: Some(page), goes_on: false })
    }
}

/// Whether the figure behind words counts them: `SURFACE CLOSER X 2`, `DOME STOP 1`. The title of a table numbers a page.
fn is_counted(stem: &str) -> bool {
    let titles = |word: &str| words::list("titles-of-doors").is(word) || words::list("sheet-table").is(word);
    let titled = || stem.split(' ').any(titles);
    stem.ends_with(" X") || words::list("hardware").find(stem).is_some() && !titled()
}

/// Texts that recur on a sheet with page numbers: marked as such, or counting up by one and well apart.
pub(crate) fn recurring(sheet: &Sheet) -> BTreeSet<String> {
    let mut times: BTreeMap<String, Vec<(usize, Option<u32>)>> = BTreeMap::new();
    for (index, row) in
        sheet.rows.iter().enumerate().filter(|(_, row)| row.cells.len() <= 2 && row.cells[0].text.len() < 120)
    {
        let folded = plain(&row.joined());
        if let Some(foot) = Foot::of(&folded).filter(|_| setheading::heading(&folded).is_none()) {
            times.entry(foot.stem.to_string()).or_default().push((index, foot.bare));
        }
    }
    let is_next = |pair: &[(usize, Option<u32>)]| match (pair[0], pair[1]) {
        ((_, None), (_, None)) => true,
        ((before, Some(page)), (after, Some(next))) => next == page + 1 && after - before >= APART,
        _ => false,
    };
    times
        .into_iter()
        .filter(|(_, rows)| rows.len() >= 2 && rows.windows(2).all(is_next))
        .map(|(stem, _)| stem)
        .collect()
}

/// `RIVERBEND CLINIC  08 71 00 - 14  DOOR HARDWARE`: section and page in a cell of their own, or between the words of a row
/// that counts nothing and refers to no page.
pub(crate) fn is_section_foot(row: &Row) -> bool {
    // Gated by the look of it: figures and a hyphen.
    let figured = |text: &str| text.contains('-') && text.bytes().any(|sign| sign.is_ascii_digit());
    if row.cells.len() > 4 || !row.cells.iter().any(|cell| figured(&cell.text)) {
        return false;
    }
    let first = plain(&row.cells[0].text);
    if starts_with_quantity(&first) && !begins_with_section(&first) {
        return false;
    }
    if row.cells.iter().any(|cell| is_section_page(&plain(&cell.text))) {
        return true;
    }
    let words: Vec<&str> = first.split(' ').collect();
    let refers = || words.iter().any(|word| words::list("refers-to-page").is(word));
    let mut paged = (4..words.len()).filter(|at| begins_with_section(&words[at - 3..].join(" ")));
    row.cells.len() == 1
        && words.len() <= 16
        && paged.any(|at| (at + 1..=words.len().min(at + 3)).any(|end| is_section_page(&words[..end].join(" "))))
        && !refers()
}

/// `08 71 00` and more: the number of a section in pairs of figures.
fn begins_with_section(folded: &str) -> bool {
    let mut words = folded.split([' ', '-']);
    (0..3).all(|_| words.next().is_some_and(|word| word.len() == 2 && word.bytes().all(|sign| sign.is_ascii_digit())))
}

/// Whether any row of a sheet is the foot of a page.
pub(crate) fn footed(sheet: &Sheet) -> bool {
    sheet.rows.iter().any(|row| row.cells.len() <= 4 && is_foot(row))
}

/// `DOOR HARDWARE 08 71 00 - 14`: the foot of a page of a specification ends with its section and page.
fn is_section_page(folded: &str) -> bool {
    let Some((before, page)) = folded.rsplit_once([' ', '-', '/']) else { return false };
    let words: Vec<&str> = before.trim_end_matches([' ', '-', '/']).rsplitn(4, ' ').collect();
    let figures = |word: &str| word.len() == 2 && word.bytes().all(|byte| byte.is_ascii_digit());
    (1..=3).contains(&page.len())
        && page.bytes().all(|byte| byte.is_ascii_digit())
        && words.len() >= 3
        && words[..3].iter().all(|word| figures(word))
}

pub(crate) fn is_page(folded: &str) -> bool {
    if is_section_page(folded) {
        return true;
    }
    if let Some(rest) = folded.strip_prefix("PAGE ") {
        return rest.len() <= 12 && rest.starts_with(|letter: char| letter.is_ascii_digit());
    }
    ends_with_page(folded)
}

/// `NORTH SCHOOL - 08 71 00 - PAGE 2`, `… PG. 2 OF 5`: what ends with its page is the head or foot of one, unless it refers
/// to a page or names goods.
fn ends_with_page(folded: &str) -> bool {
    let figures = |word: &str| !word.is_empty() && word.len() <= 3 && word.bytes().all(|byte| byte.is_ascii_digit());
    let words: Vec<&str> = folded.split(' ').collect();
    let named = |word: &str| words::list("page").is(word.trim_matches(['-', '.', ',']));
    let marked = match &words[..] {
        [.., page, number] if figures(number) && named(page) => true,
        [.., page, number, "OF", last] => figures(number) && figures(last) && named(page),
        _ => false,
    };
    let refers = || words.iter().any(|word| words::list("refers-to-page").is(word));
    let goods = || words::list("goods").find(folded).is_some();
    marked && words.len() <= 14 && !refers() && !goods() && !folded.starts_with(|sign: char| sign.is_ascii_digit())
}
