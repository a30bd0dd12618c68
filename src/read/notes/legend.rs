//! Marks that the files define: `Legend: (N) new, (E) existing to remain`, `B/O - by others`, `Items noted SEC are furnished
//! by the Security Contractor`. What a mark says of whose the goods are decides wherever the mark stands.

use rayon::prelude::*;

use crate::place::Place;

use crate::read::goods::itemtext;
use crate::read::memo::{self, Memo};
use crate::read::sheet::{Cell, Row, Sheet};
use crate::read::tables::headings;
use crate::read::words::{self, plain};

/// A mark is no longer than this.
const LONGEST: usize = 6;

/// Fewer rows are not worth a core of their own.
const FEWEST: usize = 1_024;

/// Words that explain a mark are no more than these.
const MOST_WORDS: usize = 24;

/// Rows below a title such as LEGEND in which each may explain a mark in two cells.
const BELOW: u32 = 15;

/// Whose goods are, by a mark.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Says {
    /// New, or furnished by us: nothing to say.
    Ours,
    /// Others furnish them.
    Others,
    /// They stay where they are.
    Existing,
    /// They come from elsewhere in the building.
    Relocated,
    /// They are taken out.
    Gone,
}

/// One mark and what the files say it means.
#[derive(Debug, Clone)]
pub(crate) struct Defined {
    code: String,
    pub says: Says,
    pub words: String,
    pub place: Place,
}

/// All marks that the files define.
#[derive(Default)]
pub(crate) struct Legend {
    marks: Vec<Defined>,
    /// Other meanings of marks that a sheet defines twice.
    again: Vec<Defined>,
}

impl Legend {
    /// Looks through a sheet for marks and what they mean.
    pub fn look(&mut self, sheet: &Sheet) {
        let mut titles: Vec<(u32, usize)> = Vec::new();
        // Nearly no row of a long schedule tells of marks; those that do are found on all cores.
        let telling = |row: &Row| row.cells.iter().any(|cell| !cell.struck && told(&cell.text) != (false, false));
        let telling: Vec<bool> = sheet.rows.par_iter().with_min_len(FEWEST).map(telling).collect();
        for (row, telling) in sheet.rows.iter().zip(telling) {
            for cell in row.cells.iter().filter(|cell| telling && !cell.struck) {
                let (title, defines) = told(&cell.text);
                if title {
                    titles.push((row.number, cell.column));
                }
                if !defines {
                    continue;
                }
                let place = sheet.at(row.number, cell.column);
                definitions(&cell.text).into_iter().for_each(|(code, words)| self.add(&code, words, &place));
            }
            for (code, said) in pairs(row, &titles) {
                let place = sheet.at(row.number, code.column);
                if let Some(mark) = mark_of(&code.text) {
                    self.add(&mark, said.text.trim(), &place);
                }
            }
        }
    }

    fn add(&mut self, code: &str, words: &str, place: &Place) {
        let Some(says) = says(&plain(words)) else { return };
        let known =
            |mark: &&Defined| mark.code == code && mark.place.sheet == place.sheet && mark.place.file == place.file;
        let new = || Defined { code: code.to_owned(), says, words: words.to_owned(), place: place.clone() };
        match self.marks.iter().find(known) {
            None => self.marks.push(new()),
            Some(first) if first.says != says => self.again.push(new()),
            Some(_) => {}
        }
    }

    /// Another meaning that the sheet of a mark gives it.
    pub fn other(&self, mark: &Defined) -> Option<&Defined> {
        let same = |other: &&Defined| {
            other.code == mark.code
                && Place { row: 0, column: None, ..other.place.clone() }
                    == Place { row: 0, column: None, ..mark.place.clone() }
        };
        self.again.iter().find(same)
    }

    /// Whether nothing is defined.
    pub fn is_empty(&self) -> bool {
        self.marks.is_empty()
    }

    /// What a text that is nothing but a mark means, at a place: by its own sheet, else by all others where they agree.
    pub fn of(&self, text: &str, at: &Place) -> Option<&Defined> {
        let code = mark_of(text)?;
        let mut all = self.marks.iter().filter(|mark| mark.code == code);
        let own = |mark: &&Defined| mark.place.sheet == at.sheet && mark.place.file == at.file;
        all.clone().find(own).or_else(|| {
            let first = all.next()?;
            all.all(|mark| mark.says == first.says).then_some(first)
        })
    }
}

impl Defined {
    /// The mark with its meaning, as the files say it.
    pub fn told(&self) -> String {
        format!("{}: {}", self.code, self.words)
    }

    /// The mark.
    pub fn code(&self) -> &str {
        &self.code
    }
}

thread_local! {
    static TELLS: Memo<(bool, bool)> = Memo::default();
}

/// The same of a cell: most are figures and single words, and words that recur are looked at once.
fn told(text: &str) -> (bool, bool) {
    if text.len() < 3 || !text.bytes().any(|byte| byte.is_ascii_alphabetic()) {
        return (false, false);
    }
    memo::once(&TELLS, text, tells)
}

/// Whether a text is the title of a legend, and whether it explains a mark.
fn tells(text: &str) -> (bool, bool) {
    let title = words::list("legend-title").find(&plain(text)).is_some();
    (title, text.trim().contains([' ', '=']) && !definitions(text).is_empty())
}

/// Neighbouring cells below the title of a legend.
fn pairs<'r>(row: &'r Row, titles: &'r [(u32, usize)]) -> impl Iterator<Item = (&'r Cell, &'r Cell)> {
    let below = move |column: usize| {
        let near = |title: &&(u32, usize)| title.1.abs_diff(column) <= 1 && title.0 < row.number;
        titles.iter().rev().find(near).is_some_and(|title| row.number - title.0 <= BELOW)
    };
    row.cells.windows(2).filter_map(move |pair| match pair {
        [code, said] => (below(code.column) && said.column - code.column <= 2).then_some((code, said)),
        _ => None,
    })
}

/// Whether a text may be a mark and nothing else, by its signs alone.
pub(crate) fn may_be_mark(text: &str) -> bool {
    text.chars().all(|sign| sign.is_ascii_uppercase() || "()[]\"<>{} /.&-\u{201c}\u{201d}".contains(sign))
}

/// A mark without the brackets and dots around it: `(N)`, `B/O`, `N.I.C.`.
fn mark_of(text: &str) -> Option<String> {
    let bare = text.trim().trim_matches(['(', ')', '[', ']', '"', '\u{201c}', '\u{201d}', '<', '>', '{', '}', ' ']);
    let letters = bare.chars().filter(|letter| letter.is_ascii_uppercase()).count();
    let fits = bare.chars().all(|letter| letter.is_ascii_uppercase() || "/.&-".contains(letter));
    let code = bare.replace('.', "");
    if letters == 0 || !fits || code.is_empty() || code.len() > LONGEST {
        return None;
    }
    // `SEAL - BY OTHERS`, `DOOR: EXISTING` speak of goods and of doors.
    let goods = ["goods", "hardware", "whole-door", "doors"].iter().any(|used| words::list(used).is(&code));
    let column = code.len() > 3 && headings::exact(&headings::key(&code)).is_some();
    (!goods && !column).then_some(code)
}

/// What parts a mark from its meaning.
fn is_sign(word: &str) -> bool {
    matches!(word, "=" | "-" | "\u{2013}" | "\u{2014}" | ":")
}

/// The marks that a text explains, each with its words.
pub(crate) fn definitions(text: &str) -> Vec<(String, &str)> {
    let bounds: Vec<(usize, &str)> = text.split_whitespace().map(|word| (words::offset(text, word), word)).collect();
    let mut found: Vec<(String, usize, usize)> = Vec::new();
    for (index, (at, word)) in bounds.iter().enumerate() {
        let before = text[..*at].trim_end();
        let apart = before.is_empty()
            || before.ends_with([';', ',', ':', '.'])
            || text[before.len()..*at].contains('\n')
            || at - before.len() > 1;
        let next = bounds.get(index + 1).map(|(_, word)| *word);
        let behind = |count: usize| bounds.get(index + count).map_or(text.len(), |(at, _)| *at);
        let end = at + word.len();
        let verb = next.is_some_and(|next| words::list("mark-means").is(&plain(next)));
        let start = if let Some((code, said)) = word.split_once('=') {
            let Some(code) = mark_of(code) else { continue };
            found.push((code, *at, end - said.len()));
            continue;
        } else if word.len() > 1 && word.ends_with(':') && apart {
            end
        } else if next.is_some_and(|next| next == "=" || apart && is_sign(next)) || verb {
            behind(2)
        } else if next.is_some() && in_signs(word) || noted(&bounds[..index]) {
            end
        } else {
            continue;
        };
        let Some(code) = mark_of(word.trim_end_matches(':')) else { continue };
        found.push((code, *at, start));
    }
    let ends: Vec<usize> = found.iter().skip(1).map(|(_, at, _)| *at).chain([text.len()]).collect();
    let mut said = Vec::new();
    for ((code, _, start), end) in found.into_iter().zip(ends) {
        let meaning = text.get(start..end).unwrap_or_default();
        let meaning = meaning.split([';', '\n']).find(|part| !part.trim().is_empty()).unwrap_or_default();
        let meaning = meaning.split(". ").next().unwrap_or_default();
        let meaning = meaning.trim_matches([' ', ',', '.', ':', '-', '=', '\u{2013}', '"']);
        let leads = |word: &&str| words::list("mark-leads").is(&plain(word));
        let first = meaning.split(' ').find(|word| !leads(word)).unwrap_or_default();
        said.push((code, &meaning[words::offset(meaning, first)..]));
    }
    said
}

/// `(N)`, `"SEC"`.
fn in_signs(word: &str) -> bool {
    word.starts_with(['(', '[', '"', '\u{201c}']) && word.ends_with([')', ']', '"', '\u{201d}'])
}

/// Whether words lead to a mark: `Items noted`, `goods marked with`.
fn noted(before: &[(usize, &str)]) -> bool {
    let between = words::list("mark-between");
    let mut back = before.iter().rev().map(|(_, word)| plain(word)).skip_while(|word| between.is(word));
    back.next().is_some_and(|word| words::list("mark-noted").is(&word))
}

/// Whose goods are by the words for a mark; `None` where they say something else.
pub(crate) fn says(words: &str) -> Option<Says> {
    let list = words::list;
    let count = words.split(' ').count();
    if words.is_empty() || count > MOST_WORDS {
        return None;
    }
    let padded = format!(" {words}");
    if list("by-us").find(words).is_some() || list("mark-ours").is(words) {
        return Some(Says::Ours);
    }
    let by = [list("hardware-by").find(&padded), itemtext::by_whom(&padded), list("mark-others").find(&padded)];
    if let Some(at) = by.into_iter().flatten().map(|found| words::offset(&padded, found)).min() {
        // `CR - card reader by security` names a reader; who installs is not who furnishes.
        let before = &padded[..at];
        let supply = ["supplied", "mark-supplied", "mark-installed", "mark-beside"];
        let only =
            before.split([' ', ',', '/']).all(|word| word.is_empty() || supply.iter().any(|used| list(used).is(word)));
        let furnished = list("supplied-only").find(words).or_else(|| list("mark-supplied").find(words)).is_some();
        let installed = list("mark-installed").find(before).is_some();
        return (only && (furnished || !installed)).then_some(Says::Others);
    }
    let plainly = words.split([' ', ',', '/', '-', '(', ')']).filter(|word| !word.is_empty()).all(|word| {
        ["mark-new", "mark-gone", "mark-relocated", "mark-existing", "mark-beside"]
            .iter()
            .any(|used| list(used).is(word))
    });
    // `Existing frame` is said of the frame alone.
    let part = list("says-frame").is_within(words) && !list("says-door").is_within(words);
    if !plainly || part {
        return None;
    }
    let kinds = [
        ("mark-new", Says::Ours),
        ("mark-relocated", Says::Relocated),
        ("mark-gone", Says::Gone),
        ("mark-existing", Says::Existing),
    ];
    kinds.into_iter().find(|(used, _)| list(used).find(words).is_some()).map(|(_, says)| says)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn defined(text: &str) -> Vec<(String, Says)> {
        let all = definitions(text);
        all.into_iter().filter_map(|(code, words)| Some((code, says(&plain(words))?))).collect()
    }

    #[test]
    fn marks_are_defined_in_several_manners() {
        let says = |text: &str| -> String {
            defined(text).iter().map(|(code, says)| format!("{code} {says:?}")).collect::<Vec<_>>().join(", ")
        };
        for (text, marks) in [
            ("B. Abbreviations: B/O - by others; LDW - less door width.", "B/O Others"),
            (
                "Legend: (N) new, (E) existing to remain, (R) relocated, (D) demolish",
                "N Ours, E Existing, R Relocated, D Gone",
            ),
            ("N=NEW  E=EXISTING  R=RELOCATED", "N Ours, E Existing, R Relocated"),
            ("N = NEW E = EXISTING TO REMAIN", "N Ours, E Existing"),
            (
                "Items noted SEC are furnished and installed by the Security Contractor (Section 28 13 00). Items noted FA are by the fire alarm contractor.",
                "SEC Others, FA Others",
            ),
            ("GOODS MARKED \"SC\" ARE FURNISHED BY SECURITY CONTRACTOR", "SC Others"),
            ("SC: furnished by security contractor", "SC Others"),
            ("OF/CI \u{2013} Owner furnished, contractor installed", "OF/CI Others"),
            ("HS denotes items furnished by hardware supplier", "HS Ours"),
            ("GCI = installed by general contractor", ""),
            ("GC = furnished by hardware supplier, installed by GC", "GC Ours"),
            ("EF = existing frame", ""),
            ("ME = match existing", ""),
            ("SEAL - BY OTHERS", ""),
            ("DOOR: EXISTING TO REMAIN", ""),
            ("RR = remove and reinstall", "RR Relocated"),
            ("X = existing to be replaced", "X Ours"),
            ("HM - hollow metal; WD - wood", ""),
            ("CR - card reader by security contractor, see E-101", ""),
        ] {
            assert_eq!(says(text), marks, "{text}");
        }
    }
}
