//! What a list of goods in one cell leaves to others that the list has too: `3 hinges; 1 closer` beside `Closer by owner`.

use crate::finding::{Finding, Kind, Weight};

use crate::read::goods::celllist::{by_others_alone, is_bare};
use crate::read::goods::itemtext::{self, by_whom};
use crate::read::schedule::{HardwareSet, Line};
use crate::read::sheet::{Cell, Row};
use crate::read::words::{self, plain};

/// What an item of a list leaves to others that the list has too: `3 hinges; 1 closer` beside `Closer by owner`. Goods of that
/// very name are theirs; where the words may mean other goods, or only some of them, it is asked.
pub(crate) fn taken_by_others(set: &mut HardwareSet, from: usize, rows: &[Row]) -> Vec<Finding> {
    let mut findings = Vec::new();
    // `1 | EA | THRESHOLD BY OTHERS` speaks of its own.
    let counts = |cell: &Cell| is_bare(&cell.text) || itemtext::counted_at_end(&plain(&cell.text));
    let counted = |row: &&Row| row.cells.iter().any(counts);
    for cell in rows.iter().filter(|row| !counted(row)).flat_map(|row| &row.cells) {
        let padded = format!(" {}", plain(&cell.text));
        if !by_others_alone(padded.trim_start()) {
            continue;
        }
        let Some(found) = words::list("hardware-by").find(&padded).or_else(|| by_whom(&padded)) else { continue };
        if words::list("by-us").find(&padded).is_some() {
            continue;
        }
        let at = words::offset(&padded, found);
        let whom = itemtext::by_at(found).unwrap_or(0);
        let subject = padded[..at + whom].trim();
        let plain_end = !padded[at + found.len()..].bytes().any(|byte| byte.is_ascii_alphanumeric());
        let lines = set.lines.get_mut(from..).unwrap_or_default();
        let mut doubtful: Option<&Line> = None;
        let all = words::list("words-for-hardware").find(subject).is_some()
            && words::list("the-rest").find(subject).is_none();
        for line in lines.iter_mut().filter(|line| line.excluded.is_none()) {
            let named = subject
                .split([',', '/', '&'])
                .flat_map(|part| part.split(" AND "))
                .map(|part| names(&line.wording.text, part));
            match named.max().unwrap_or(Names::No) {
                Names::Itself if plain_end => line.excluded = Some(found[whom..].to_string()),
                Names::No if !all => {}
                _ => doubtful = doubtful.or(Some(line)),
            }
        }
        let Some(line) = doubtful else { continue };
        let says =
            format!("\"{}\" may leave goods of set {} to others, such as \"{}\"", cell.text, set.id, line.wording.text);
        let finding = Finding {
            set: Some(set.id.clone()),
            priced_as: "as the set is written".into(),
            ..Finding::new("hardware-by-others-with-set", Kind::Question, Weight::Scope, says)
        };
        let finding = finding.at(line.place.clone(), cell.text.clone());
        findings.push(finding.help("ask which goods of the set are in the contract"));
    }
    findings
}

/// Whether words for goods name a line.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Names {
    No,
    /// Somewhere in it, or with words beside them.
    Perhaps,
    /// It begins with goods of that very name.
    Itself,
}

fn names(line: &str, part: &str) -> Names {
    let part = part.trim_matches(|sign: char| !sign.is_ascii_alphanumeric());
    let hardware = words::list("hardware");
    let Some(first) = hardware.find(part) else { return Names::No };
    let bare = hardware.is(part) || words::list("goods").is(part);
    let stem = (if bare { part } else { first }).trim_end_matches('S');
    let head = plain(line.split([',', ';', '\n']).next().unwrap_or_default());
    // `Lockset less cylinder` is no cylinder.
    let head = [words::list("remark-out"), words::list("beside-goods")]
        .iter()
        .fold(head.as_str(), |head, list| list.find(head).map_or(head, |word| &head[..words::offset(head, word)]));
    let letter = |text: Option<char>| text.is_some_and(|sign| sign.is_ascii_alphanumeric());
    let stands = |at: &usize| {
        let behind = &head[at + stem.len()..];
        !letter(head[..*at].chars().last()) && !letter(behind.strip_prefix('S').unwrap_or(behind).chars().next())
    };
    let Some(at) = head.match_indices(stem).map(|(at, _)| at).find(stands) else { return Names::No };
    let leads = hardware.find(head).is_some_and(|word| (at..at + stem.len()).contains(&words::offset(head, word)));
    if bare && leads { Names::Itself } else { Names::Perhaps }
}
