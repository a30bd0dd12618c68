//! Cells that list more goods than one line is looked at for: every word of a line is weighed beside the others, so a cell of
//! thousands of goods would take minutes. Such a line is read as several, each with the other cells of the row beside it.

use crate::finding::{Finding, Kind, Weight};

use super::itemtext::starts_with_quantity;
use crate::read::schedule::{Line, Part, PartRole, Schedule, Wording};
use crate::read::words::plain;

/// A longer cell is parted. Lists in cells that people wrote are far shorter.
const LONGEST: usize = 4_000;

/// A piece ends at the first separator behind so many bytes.
const PIECE: usize = 800;

/// A piece without a better end ends at a comma.
const MOST: usize = 2 * PIECE;

/// Whether a separator parts goods: a comma does where a count follows it, or nothing better came for long.
fn ends(sign: char, piece: &str, rest: &str) -> bool {
    let next = || rest.split([',', ';', '\n']).next().unwrap_or_default();
    sign != ',' || piece.len() >= MOST || starts_with_quantity(&plain(next()))
}

/// Parts the lines of sets that are too long.
pub(crate) fn part(schedule: &mut Schedule) {
    let mut findings = Vec::new();
    for set in &mut schedule.sets {
        if set.lines.iter().all(|line| line.wording.text.len() <= LONGEST) {
            continue;
        }
        let mut lines = Vec::with_capacity(set.lines.len());
        for line in set.lines.drain(..) {
            let pieces = parted(&line.wording);
            if pieces.is_empty() {
                lines.push(line);
                continue;
            }
            findings.push(told(&set.id, &line, pieces.len()));
            lines.extend(pieces.into_iter().map(|wording| Line { wording, ..line.clone() }));
        }
        set.lines = lines;
    }
    schedule.findings.extend(findings);
}

fn told(set: &str, line: &Line, pieces: usize) -> Finding {
    let length = line.wording.text.chars().count();
    let says =
        format!("a cell of {length} signs was read in {pieces} pieces; what is said in one does not hold for the next");
    let start: String = line.wording.text.chars().take(60).collect();
    Finding { set: Some(set.to_string()), ..Finding::new("long-cell", Kind::Assumption, Weight::Reading, says) }
        .at(line.place.clone(), format!("{start} \u{2026}"))
        .help("check the ends of the pieces; better give each good a row of its own")
}

/// The wordings of the pieces of a long cell; none where no cell is long or nothing parts it.
fn parted(wording: &Wording) -> Vec<Wording> {
    let Some(at) = wording.parts.iter().position(|part| part.span.len() > LONGEST) else { return Vec::new() };
    let text = |part: &Part| wording.text.get(part.span.clone()).unwrap_or_default();
    let pieces = wording.parts.get(at).map(|part| pieces(text(part))).unwrap_or_default();
    if pieces.len() < 2 {
        return Vec::new();
    }
    let with_others = |(number, piece): (usize, &str)| {
        let mut own = Wording::default();
        // The quantity of the row is that of what the cell begins with.
        let counts = |part: &Part| matches!(part.role, PartRole::Quantity | PartRole::Unit);
        for (index, part) in wording.parts.iter().enumerate().filter(|(_, part)| number == 0 || !counts(part)) {
            own.push(part.role, if index == at { piece } else { text(part) }, part.column.clone());
        }
        own
    };
    pieces.into_iter().enumerate().map(with_others).collect()
}

/// A long text in pieces, each of which ends at a comma, a semicolon or a new line outside of brackets.
fn pieces(text: &str) -> Vec<&str> {
    let (mut found, mut from, mut depth) = (Vec::new(), 0, 0_usize);
    for (at, sign) in text.char_indices() {
        match sign {
            '(' | '[' => depth += 1,
            ')' | ']' => depth = depth.saturating_sub(1),
            ',' | ';' | '\n'
                if depth == 0 && at - from >= PIECE && ends(sign, &text[from..at], &text[at + sign.len_utf8()..]) =>
            {
                found.push(&text[from..at]);
                from = at + sign.len_utf8();
            }
            _ => {}
        }
    }
    found.push(&text[from..]);
    found.retain(|piece| !piece.trim().is_empty());
    found
}
