//! General notes on finishes, `Finish US26D except exit devices US32D, closers painted`: what lines without a finish have,
//! by their kind. A note counts where it speaks of finishes, names one, and says nothing of doors, frames or rooms.

use crate::read::schedule::Note;
use crate::trade::category::Category;
use crate::trade::{facts, finish, rule_words};

/// What one note says.
pub struct FinishNote<'n> {
    /// The note.
    pub note: &'n Note,
    general: Option<&'static str>,
    /// By the last words for goods; none: it names the goods and no finish that is known.
    kinds: Vec<(String, Option<&'static str>)>,
}

impl FinishNote<'_> {
    /// The look of goods of a category; none where the note leaves it open.
    pub fn look(&self, category: Category) -> Option<&'static str> {
        let own = self.kinds.iter().find(|(named, _)| is_kind(named, category));
        own.map_or(self.general, |(_, look)| *look)
    }
}

/// Reads a note, if it is one on finishes.
pub fn read(note: &Note) -> Option<FinishNote<'_>> {
    if !rule_words::speak("finish-note", &note.text) || rule_words::speak("finish-of-others", &note.text) {
        return None;
    }
    let lower =
        note.text.to_lowercase().replace(" except ", ", ").replace(" with ", ", ").replace(" unless ", "; unless ");
    let mut read = FinishNote { note, general: None, kinds: Vec::new() };
    for clause in lower.split([',', ';', '.', '(', ')']).map(str::trim) {
        let words: Vec<&str> = clause
            .split([' ', ':', '=', '/'])
            .map(|word| word.trim_matches('"'))
            .filter(|word| !word.is_empty())
            .collect();
        let look = words.iter().find_map(|word| look_word(word));
        let goods: Vec<&str> = words
            .iter()
            .copied()
            .filter(|word| look_word(word).is_none() && !rule_words::is("finish-note-filler", word))
            .collect();
        let named = goods.join(" ");
        if goods.is_empty() {
            read.general = read.general.or(look);
        } else if Category::ALL.iter().any(|category| is_kind(&named, *category)) {
            read.kinds.push((named, look));
        } else if look.is_some() {
            // What goods these are is not understood, so it is not known which the rest of the note is for.
            return None;
        }
    }
    (read.general.is_some() || read.kinds.iter().any(|(_, look)| look.is_some())).then_some(read)
}

/// The look of a code, or the paint that closers have.
fn look_word(word: &str) -> Option<&'static str> {
    let code = word.trim_end_matches('.').to_uppercase();
    if rule_words::is("finish-note-paint", &word.to_lowercase()) {
        return finish::look_of("689");
    }
    let figures = code.bytes().any(|byte| byte.is_ascii_digit());
    finish::look_of(&code).filter(|_| figures)
}

/// Whether words for goods name a category: `locks` are all locks, `exit devices` exit devices.
fn is_kind(named: &str, category: Category) -> bool {
    let single = |word: &str| word.strip_suffix('s').unwrap_or(word).to_string();
    let Some(title) = facts::of(category).map(|facts| facts.title.to_lowercase()) else { return false };
    let named = single(named);
    title == named || title.ends_with(&format!(" {named}"))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::place::Place;

    #[test]
    fn notes_on_finishes_are_read_by_kind() {
        let place = Place::row(&"a".into(), &"".into(), 1);
        let note = |text: &str| Note { text: text.into(), place: place.clone() };
        let general = note("Finish US26D except exit devices US32D, closers painted.");
        let read = read(&general).expect("a note on finishes");
        assert_eq!(read.look(Category::Hinge), finish::look_of("US26D"));
        assert_eq!(read.look(Category::ExitDevice), finish::look_of("US32D"));
        assert_eq!(read.look(Category::Closer), finish::look_of("689"));
        for text in ["Door finish US26D", "Provide hardware US26D", "Finish to match existing"] {
            assert!(super::read(&note(text)).is_none(), "{text}");
        }
    }
}
