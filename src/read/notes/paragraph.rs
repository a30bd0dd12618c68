//! Paragraphs of notes under a set, wrapped over rows: `OPERATIONAL DESCRIPTION: Doors are held open by magnets and close on
//! fire alarm` and below it `signal.`, which is no good, and `2 devices are dogged with a key`, which counts none. They go
//! on until a row is blank, a heading, or begins as an item does.

use crate::read::goods::itemtext::starts_with_quantity;
use crate::read::lane::Last;
use crate::read::schedule::Role;
use crate::read::sheet::Row;
use crate::read::walk::{Gathered, Walker};
use crate::read::words::{self, plain};

/// A row that is shorter, in characters, was not wrapped.
const WRAPPED: usize = 40;

impl Walker<'_> {
    /// Remembers that a paragraph stands open after a row.
    pub(crate) fn begin_paragraph(&mut self, lane: usize, row: &Row, folded: &str) {
        let labelled = self.lanes[lane].noting || words::list("note").begins(folded).is_some();
        if labelled && row.cells.len() == 1 && is_open(&row.cells[0].text) {
            (self.lanes[lane].last, self.lanes[lane].last_row) = (Last::Paragraph, row.number);
        }
    }

    /// Reads a row as what goes on in the paragraph above it.
    pub(crate) fn goes_on(&mut self, lane: usize, row: &Row, out: &mut Gathered) -> Option<Role> {
        let state = &self.lanes[lane];
        let set = state.set?;
        if state.last != Last::Paragraph || row.number != state.last_row + 1 || row.cells.len() != 1 {
            return None;
        }
        let before = self.sheet.rows.get(self.sheet.index_of(row.number).wrapping_sub(1))?.joined();
        let text = &row.cells[0].text;
        if !follows(&before, text) {
            return None;
        }
        let place = self.sheet.place(row.number - 1);
        match out.schedule.sets[set].notes.last_mut() {
            Some(note) if note.place.file == place.file && note.place.sheet == place.sheet => {
                note.text.push(' ');
                note.text.push_str(text);
            }
            _ => return None,
        }
        self.lanes[lane].last = if is_open(text) { Last::Paragraph } else { Last::Nothing };
        self.lanes[lane].last_row = row.number;
        Some(Role::Continuation)
    }
}

/// Whether a row is long and its sentence has no end.
fn is_open(text: &str) -> bool {
    text.chars().count() >= WRAPPED && !text.trim_end().ends_with(['.', ':', ';', '!', '?'])
}

/// Whether words go on in the sentence above them.
fn follows(before: &str, text: &str) -> bool {
    if !is_open(before) {
        return false;
    }
    let folded = plain(text);
    let said = folded.split(' ').any(|word| words::list("prose").is(word.trim_matches(['.', ','])));
    if starts_with_quantity(&folded) {
        let behind = folded.trim_start_matches(|sign: char| !sign.is_ascii_alphabetic());
        let unit = crate::read::tables::columns::is_unit(behind.split(' ').next().unwrap_or_default());
        return said && !unit && folded.split(' ').count() >= 4;
    }
    // `signal.`: the end of a sentence; capitals alone do not tell one from an item.
    let sentences = before.contains(|letter: char| letter.is_lowercase()) && before.starts_with(char::is_uppercase);
    let lower = text.starts_with(|letter: char| letter.is_lowercase());
    said || folded.ends_with('.') || sentences && lower
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sentences_go_on_and_items_do_not() {
        let note = "OPERATIONAL DESCRIPTION: Doors are held open by magnets and close on fire alarm";
        let capitals = "OPERATIONAL DESCRIPTION: DOORS ARE LOCKED FROM THE EXTERIOR AT ALL TIMES UNLESS";
        for (before, text, expected) in [
            (note, "signal.", true),
            (note, "2 devices are dogged with a key. Entry is by key at the night latch. Egress is", true),
            (note, "card unlocks the outside lever for 5 seconds", true),
            (capitals, "2 DEVICES ARE DOGGED WITH A KEY.", true),
            (capitals, "SIGNAL.", true),
            (note, "2 closers", false),
            (note, "2 EA closers, all are painted", false),
            (note, "Closer", false),
            (capitals, "SIGN", false),
            ("NOTE: Coordinate with electrician", "closer", false),
            ("OPERATIONAL DESCRIPTION: Doors are held open by magnets and close on alarm.", "signal.", false),
            ("note: verify all hardware with the owner before order is placed", "closer", false),
        ] {
            assert_eq!(follows(before, text), expected, "{text}");
        }
    }
}
