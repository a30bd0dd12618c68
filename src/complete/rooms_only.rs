//! Cells that say nothing but the room for which goods are meant, `Clerk only`, `Not at Clerk`: the words are those of no list, and
//! only the rooms of the doors tell that a room is meant.

use std::ops::Range;

use crate::read::schedule::{Line, PartRole};
use crate::trade::condition::{Part, words};
use crate::trade::rule_words;
use crate::understand::reading::{Condition, Reading, Says};

use super::door::Door;

/// A cell that names a room has no more words.
const MOST: usize = 5;

/// Hears such cells as conditions. Each of their words is not understood, or one of the room of a door that the set has, and not
/// of all; `Prep only` and `Deadbolt at Clerk only` are none.
pub fn hear(reading: &mut Reading, line: &Line, openings: &[usize], doors: &[Door]) {
    let spans = line.wording.parts.iter().filter(|part| matches!(part.role, PartRole::Remarks | PartRole::Free));
    let heard: Vec<Condition> = spans.filter_map(|part| of_cell(reading, line, &part.span, openings, doors)).collect();
    for condition in heard {
        reading.unread.retain(|span| !(condition.span.start <= span.start && span.end <= condition.span.end));
        reading.conditions.push(condition);
    }
}

fn of_cell(
    reading: &Reading,
    line: &Line,
    cell: &Range<usize>,
    openings: &[usize],
    doors: &[Door],
) -> Option<Condition> {
    let text = line.wording.text.get(cell.clone())?;
    let within = |span: &Range<usize>| cell.start <= span.start && span.end <= cell.end;
    if !reading.unread.iter().any(within) || reading.conditions.iter().any(|one| within(&one.span)) {
        return None;
    }
    let lower = text.to_lowercase();
    let said: Vec<&str> = lower.split(|sign: char| !sign.is_alphanumeric()).filter(|word| word.len() > 1).collect();
    let only = said.last().is_some_and(|word| words().is_word(word, |part| part == Part::Only));
    let denied = said.first().is_some_and(|word| rule_words::is("not-at-rooms", word));
    let plain = |word: &str| {
        words().is_word(word, |part| !matches!(part, Part::Fact(_) | Part::Either(_) | Part::OfDoors(_)))
            || rule_words::is("not-at-rooms", word)
            || rule_words::is("words-of-rooms", word)
    };
    let names: Vec<&str> = said.iter().filter(|word| !plain(word)).copied().collect();
    if only == denied || said.len() > MOST || names.is_empty() {
        return None;
    }
    let served = || openings.iter().filter_map(|index| doors.get(*index));
    let has = |door: &Door, name: &str| door.words.split(|sign: char| !sign.is_alphanumeric()).any(|word| word == name);
    let named = |name: &str| served().any(|door| has(door, name));
    let unread = |name: &str| {
        let mut texts =
            reading.unread.iter().filter(|span| within(span)).filter_map(|span| line.wording.text.get((*span).clone()));
        texts.any(|text| text.to_lowercase().split(|sign: char| !sign.is_alphanumeric()).any(|word| word == name))
    };
    let meant = names.iter().any(|name| named(name) && !served().all(|door| has(door, name)));
    let strange = names.iter().all(|name| named(name) || unread(name));
    let says = Says::Place;
    (meant && strange).then(|| Condition { span: cell.clone(), says, denied, firm: true, of: None })
}

#[cfg(test)]
mod tests {
    use crate::trade::rule_words;

    #[test]
    fn words_of_rooms_are_those_that_many_rooms_share() {
        assert!(rule_words::is("words-of-rooms", "office") && !rule_words::is("words-of-rooms", "clerk"));
    }
}
