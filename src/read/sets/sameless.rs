//! `SAME AS EL-1 BUT OMIT CARD READER`: goods that the words take out of the lines of another set, where both are found surely.

use crate::read::goods::itemtext::with_commas;
use crate::read::schedule::Line;
use crate::read::words::{self, plain};

/// The lines that the words leave out: behind `omit` they name kinds of goods and nothing else, and of each the lines have one.
/// `None`: something is left open, as with `omit two stops` or `omit closer at 102`.
pub(crate) fn left_out(said: &str, lines: &[Line]) -> Option<Vec<usize>> {
    let folded = plain(said);
    let out = words::list("remark-out").find(&folded)?;
    let at = words::offset(&folded, out);
    let (before, behind) = (&folded[..at], &folded[at + out.len()..]);
    if words::list("hardware").find(before).is_some() {
        return None;
    }
    let kinds = words::uses("remark:");
    let behind = with_commas(behind, "joins-names");
    let named = behind.trim_end_matches(['.', ')', ' ']).split([',', '&', '/']).map(str::trim);
    let article = |piece: &str| words::list("article").begins(piece).map_or(0, str::len);
    let mut found = Vec::new();
    for piece in named.map(|piece| piece[article(piece)..].trim_start()) {
        if !kinds.iter().any(|(_, list)| list.is(piece)) {
            return None;
        }
        let stem = piece.strip_suffix('S').unwrap_or(piece);
        let names = |line: &Line| {
            let text = plain(&line.wording.text);
            let part = |side: &str| words::list("hardware").find(side).is_some();
            let itself = |(at, _): (usize, &str)| {
                let (before, behind) = (&text[..at], text[at + stem.len()..].trim_start_matches('S'));
                let whole = !before.ends_with(|sign: char| sign.is_ascii_alphanumeric())
                    && !behind.starts_with(|sign: char| sign.is_ascii_alphanumeric());
                // `CLOSER W/ HOLD OPEN` less hold open is a closer.
                whole.then_some(!part(before) && !part(behind))
            };
            text.match_indices(stem).filter_map(itself).next()
        };
        let mut own = lines.iter().enumerate().filter_map(|(at, line)| Some((at, names(line)?)));
        match (own.next(), own.next()) {
            (Some((at, true)), None) => found.push(at),
            _ => return None,
        }
    }
    Some(found)
}
