//! Captions below the items of a set, alone in their rows: `NOTES:`, `EXCLUSIONS`, `ALTERNATES`. What follows is no good of the
//! set, or is asked about.

use crate::finding::{Finding, Kind, Weight};

use super::alternates;
use crate::read::lane::Last;
use crate::read::schedule::{Note, Role};
use crate::read::sheet::Row;
use crate::read::walk::{Gathered, Walker};
use crate::read::words::{self, plain};

/// The caption, if a text is one of exclusions or of alternates and nothing else: lines below it are asked about.
pub(crate) fn apart(text: &str) -> Option<String> {
    let folded = plain(text);
    let bare = bare(&folded);
    ["exclusions-caption", "alternates-caption"].iter().any(|list| words::list(list).is(bare)).then(|| bare.to_owned())
}

/// A text without the signs about it.
fn bare(folded: &str) -> &str {
    folded.trim_matches([':', '-', '*', '.', ' '])
}

impl Walker<'_> {
    /// Remembers what a row says of the rows below it. A caption of exclusions, of alternates or of the base bid is a note
    /// of its set.
    pub(crate) fn caption(
        &mut self,
        lane: usize,
        row: &Row,
        set: usize,
        (text, folded): (&str, &str),
        out: &mut Gathered,
    ) -> Option<Role> {
        let [cell] = &row.cells[..] else { return None };
        let excluded = words::list("exclusions-caption").is(bare(folded));
        let numbered =
            folded.split_once(':').filter(|(_, rest)| rest.trim_start().starts_with("1. ")).map(|(word, _)| word);
        let label = folded.strip_suffix(':').or(numbered);
        let notes = label.is_some_and(|word| words::list("note").is(word.trim_end()));
        self.lanes[lane].noting |= excluded || notes || words::list("note-caption").is(folded);
        let state = &self.lanes[lane];
        let follows = state.last == Last::Line && row.number == state.last_row + 1;
        let open = || follows && out.schedule.sets[set].lines.last().is_some_and(alternates::is_open);
        if apart(folded).is_none() && (!alternates::heads_part(&cell.text) || open()) {
            return None;
        }
        let place = self.sheet.place(row.number);
        let of = &mut out.schedule.sets[set];
        of.notes.push(Note { text: text.to_string(), place: place.clone() });
        self.lanes[lane].section = Some(cell.text.trim_end_matches(':').into());
        self.lanes[lane].last = Last::Nothing;
        if excluded && !of.lines.is_empty() {
            let says = format!(
                "\"{}\" stands below the lines of set {}; what follows it without a quantity is read as notes, and counts for nothing",
                cell.text, of.id
            );
            let set = Some(of.id.clone());
            let finding =
                Finding { set, ..Finding::new("exclusions-below-set", Kind::Assumption, Weight::Scope, says) };
            let help = "check that no goods of the set stand below it, and carry the exclusions into the proposal";
            out.schedule.findings.push(finding.at(place, text.to_string()).help(help));
        }
        Some(Role::Note)
    }
}
