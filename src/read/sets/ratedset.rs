//! Sentences of a set that give the rating of its doors, `Doors are 90 minute rated.`, `All openings in this set are fire
//! rated, 90 minutes.`: what `(90 minute)` in its heading says.

use crate::place::Place;
use crate::trade::rating::Rating;

use super::headfacts::{Facts, of_doors_above};
use super::setheading;
use crate::read::schedule::{HardwareSet, Note, Role};
use crate::read::sheet::{Row, join};
use crate::read::walk::{Gathered, Walker};
use crate::read::words::{self, plain};

/// Such a sentence is no longer.
const LONGEST: usize = 100;

impl Walker<'_> {
    /// Reads a row of a set as the rating of its doors.
    pub(crate) fn rating_row(&self, lane: usize, set: usize, row: &Row, out: &mut Gathered) -> Option<Role> {
        let [cell] = &row.cells[..] else { return None };
        let rating = of_doors(&cell.text)?;
        // Behind an empty row, or among notes, it may be said of the doors of the whole job.
        let index = self.sheet.index_of(row.number);
        let above = index.checked_sub(1).and_then(|at| self.sheet.rows.get(at));
        let beside = above.is_some_and(|above| above.number + 1 == row.number) && !self.lanes[lane].noting;
        if !beside && words::list("of-this-set").find(&plain(&cell.text)).is_none() {
            return None;
        }
        let place = self.sheet.place(row.number);
        // Below the goods of the last of several sets `ALL DOORS ARE 90 MINUTE RATED` may be said of the job: it is asked.
        let last = || {
            let below = self.sheet.rows.get(index + 1..).unwrap_or_default();
            !below.iter().any(|row| row.cells.len() <= 4 && setheading::heading(&row.joined()).is_some())
        };
        let sets = &out.schedule.sets;
        if sets.len() > 1 && !sets[set].lines.is_empty() && of_all(&cell.text) && last() {
            out.schedule.sets[set].notes.push(Note { text: join(&row.cells), place });
            return Some(Role::Note);
        }
        // `fire rated, 90 minutes`: the part that says how long.
        let timed = |part: &&str| Rating::parse(part).minutes.is_some_and(|minutes| minutes > 0);
        let rating = rating.split([',', ';']).map(str::trim).find(timed).unwrap_or(rating);
        let told = Facts::of(rating).opening(&place, &mut out.schedule.findings)?;
        out.schedule.sets[set].notes.push(Note { text: join(&row.cells), place });
        of_doors_above(set, told, out);
        Some(Role::Note)
    }
}

/// Whether such a sentence may speak of all doors of the job: `ALL DOORS ARE`, and nothing of this set.
fn of_all(text: &str) -> bool {
    let is = |list: &str, word: &str| words::list(list).is(plain(word).trim_matches(['.', ',', ':', ';']));
    let first = text.split_whitespace().find(|word| !is("note", word));
    first.is_some_and(|word| is("rated-doors-all", word)) && words::list("of-this-set").find(&plain(text)).is_none()
}

/// What a note below the goods of the last set of a sheet says of all doors, and no set has for its own.
pub(crate) fn said_of_all(sets: &[HardwareSet]) -> Option<&str> {
    let same = |one: &Place, other: &Place| one.file == other.file && one.sheet == other.sheet;
    sets.iter().find_map(|set| {
        let last = &set.lines.last()?.place;
        let below = |place: &Place| same(place, last) && place.row > last.row;
        let said = |note: &&Note| of_all(&note.text) && below(&note.place);
        let rating = set.notes.iter().filter(said).find_map(|note| of_doors(&note.text))?;
        let later = |other: &HardwareSet| same(&other.place, &set.place) && other.place.row > set.place.row;
        (!sets.iter().any(later)).then_some(rating)
    })
}

/// The rating that a sentence gives the doors of its set, where it says nothing else.
pub(crate) fn of_doors(text: &str) -> Option<&str> {
    if text.len() > LONGEST || !Rating::may_stand_in(text) {
        return None;
    }
    let is = |list: &str, word: &str| words::list(list).is(plain(word).trim_matches(['.', ',', ':', ';']));
    let all: Vec<&str> = text.split_whitespace().collect();
    let leads = |word: &&&str| is("note", word) || is("rated-doors-lead", word);
    let from = all.iter().take_while(leads).count();
    if !all.get(from).is_some_and(|word| is("doors", word)) {
        return None;
    }
    let behind = &all[from + 1..];
    let idle = |word: &str| is("rated-doors-verb", word) || is("rated-doors-beside", word);
    let before = behind.iter().take_while(|word| idle(word)).count();
    if !behind[..before].iter().any(|word| is("rated-doors-verb", word)) {
        return None;
    }
    let after = behind[before..].iter().rev().take_while(|word| idle(word)).count();
    let said = &behind[before..behind.len() - after];
    let (first, last) = (said.first()?, said.last()?);
    let rating = &text[words::offset(text, first)..words::offset(text, last) + last.len()];
    let rating = rating.trim_end_matches(['.', ',', ';']);
    let figures = said.iter().filter(|word| word.starts_with(|sign: char| sign.is_ascii_digit()));
    let one = figures.filter(|word| !word.contains('/') || word.contains('-')).count() <= 1;
    let read = Rating::parse(rating);
    let minutes = read.minutes.is_some_and(|minutes| minutes > 0) && read.wall_minutes.is_none();
    (one && minutes && Rating::looks_like(rating)).then_some(rating)
}

#[cfg(test)]
mod tests {
    use super::of_doors;

    #[test]
    fn a_sentence_on_the_doors_of_a_set_gives_their_rating() {
        for (text, rating) in [
            ("Doors are 90 minute rated.", Some("90 minute rated")),
            ("NOTE: DOORS ARE 90 MIN RATED.", Some("90 MIN RATED")),
            ("Openings to be 90 minute rated.", Some("90 minute rated")),
            ("All openings in this set are fire rated, 90 minutes.", Some("fire rated, 90 minutes")),
            ("All doors in this set to be 45 minute labeled", Some("45 minute labeled")),
            ("Door to be labeled, 60 minutes.", Some("labeled, 60 minutes")),
            ("Doors 109 and 110 are 90 minute rated.", None),
            ("Doors at stair 2 are 90 minute rated.", None),
            ("Doors are rated.", None),
            ("Doors are in 1 hour rated walls.", None),
            ("Closers are 90 minute rated.", None),
            ("Doors are 90 minute rated except 104.", None),
            ("Doors are held open 20 minutes.", None),
        ] {
            assert_eq!(of_doors(text), rating, "{text}");
        }
    }
}
