//! Notes below a matrix that say something of all goods of a kind: `Kick plate: 12" high, stainless. Gasket: neoprene.`,
//! `KICK PLATES 8" HIGH X 1" LESS DOOR WIDTH, BRASS. FLUSH BOLTS AUTOMATIC, 626.`

use super::matrixcells::holds_for_each;
use crate::read::goods::itemtext::sentences;
use crate::read::tables::headings::{self, Heard, Meaning as M};
use crate::read::words::{self, plain};

/// The words of a kind are no more than these.
const LONGEST_KIND: usize = 3;

/// A note without a colon behind the kind is no longer.
const LONGEST: usize = 120;

/// A kind in the form in which kinds are compared: `KICK PLATES` are the goods under `KICK PLATE`.
pub(crate) fn key(kind: &str) -> String {
    plain(kind).trim_end_matches('S').to_owned()
}

/// The kinds of which a note speaks, what it says of each up to the next one, and whether that holds for each of them.
pub(crate) fn said(text: &str) -> Vec<(String, String, bool)> {
    let mut found = Vec::new();
    for part in sentences(text).into_iter().flat_map(|part| part.split(['\n', ';'])) {
        let labelled = part.split_once(':').filter(|(label, _)| is_kind(label));
        let Some((label, words)) = labelled.or_else(|| begun(part)) else { continue };
        let words = words.trim().trim_end_matches('.');
        if !words.is_empty() {
            let prose = labelled.is_none() && words::list("prose").find(&plain(words)).is_some();
            found.push((plain(label), words.to_owned(), !prose && holds_for_each(words)));
        }
    }
    found
}

fn is_kind(label: &str) -> bool {
    let heard = |label: &str| headings::exact(&headings::key(label));
    let kind = |label| matches!(heard(label), Some(Heard::One(M::Kind) | Heard::SmokeOrKind | Heard::RemarksOrKind));
    kind(label) || label.strip_suffix(['S', 's']).is_some_and(kind)
}

/// A sentence that begins with goods in the plural, as a note on all of them does, and counts none.
fn begun(part: &str) -> Option<(&str, &str)> {
    let part = part.trim();
    if part.len() > LONGEST || part.contains([':', '=']) {
        return None;
    }
    let ends = part.match_indices(' ').map(|(at, _)| at).take(LONGEST_KIND);
    let plural = |at: &usize| part[..*at].to_ascii_uppercase().ends_with('S') && is_kind(&part[..*at]);
    let at = ends.filter(plural).last()?;
    Some((&part[..at], &part[at..]))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn notes_speak_of_goods_by_their_kind() {
        let of = |text: &str| said(text).into_iter().map(|(kind, _, holds)| (kind, holds)).collect::<Vec<_>>();
        let kind = |kind: &str, holds| (kind.to_owned(), holds);
        assert_eq!(
            of("Kick plate: 12\" high, stainless. Closer: by others"),
            [kind("KICK PLATE", true), kind("CLOSER", false)]
        );
        assert_eq!(of("KICK PLATES 8\" HIGH X 1\" LESS DOOR WIDTH, BRASS."), [kind("KICK PLATES", true)]);
        assert_eq!(
            of("FLUSH BOLTS AUTOMATIC, 626. SILENCERS BROWN."),
            [kind("FLUSH BOLTS", true), kind("SILENCERS", false)]
        );
        assert_eq!(of("CLOSERS SHALL BE ADJUSTED WITHIN 30 DAYS"), [kind("CLOSERS", false)]);
        for other in
            ["KICK PLATE 8\" HIGH AT DOOR 3", "3 HINGES 4-1/2", "DOORS 101 AND 102 ARE EXISTING", "SEE SHEET A-801"]
        {
            assert_eq!(of(other), [], "{other}");
        }
    }
}
