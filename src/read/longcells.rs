//! Cells that list more goods than one line is looked at for: every word of a line is weighed beside the others, so a cell of
//! thousands of goods would take minutes. Such a line is read as several, each with the other cells of the row beside it.

use crate::finding::{Finding, Kind, Weight};

use super::schedule::{Line, Part, Schedule, Wording};

/// A longer cell is parted. Lists in cells that people wrote are far shorter.
const LONGEST: usize = 4_000;

/// A piece ends at the first comma behind so many bytes.
const PIECE: usize = 800;

/// Parts the lines of sets that are too long.
pub(super) fn part(schedule: &mut Schedule) {
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
    let with_others = |piece: &str| {
        let mut own = Wording::default();
        for (index, part) in wording.parts.iter().enumerate() {
            own.push(part.role, if index == at { piece } else { text(part) }, part.column.clone());
        }
        own
    };
    pieces.into_iter().map(with_others).collect()
}

/// A long text in pieces, each of which ends at a comma, a semicolon or a new line outside of brackets.
fn pieces(text: &str) -> Vec<&str> {
    let (mut found, mut from, mut depth) = (Vec::new(), 0, 0_usize);
    for (at, sign) in text.char_indices() {
        match sign {
            '(' | '[' => depth += 1,
            ')' | ']' => depth = depth.saturating_sub(1),
            ',' | ';' | '\n' if depth == 0 && at - from >= PIECE => {
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
