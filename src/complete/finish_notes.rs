//! General notes on finishes, `Finish US26D except exit devices US32D, closers painted`: what lines without a finish have,
//! by their kind. A note counts where it speaks of finishes, names one, and says nothing of doors, frames or rooms.

use crate::read::schedule::Note;
use crate::trade::attribute::{Attr, Attributes, Value, names};
use crate::trade::category::Category;
use crate::trade::{finish, rule_words};
use crate::understand::{self, Lexicon};

/// What one note says.
pub struct FinishNote<'n> {
    /// The note.
    pub note: &'n Note,
    general: Option<&'static str>,
    /// By kind of goods; no look: it names the goods and no finish that is known.
    kinds: Vec<(Category, Attributes, Option<&'static str>)>,
}

impl FinishNote<'_> {
    /// The look of goods of a category, of which `has` tells the attributes; none where the note leaves it open.
    pub fn look<'v>(&self, category: Category, has: &dyn Fn(Attr) -> Option<&'v Value>) -> Option<&'static str> {
        // "Kick plates": of goods that are called otherwise it says nothing.
        let fits = |named: &Attributes| {
            named.iter().all(|(attribute, value)| {
                let free = [names::FINISH, names::LOOK, names::BASE].contains(attribute);
                free || has(*attribute) == Some(value)
            })
        };
        let own = self.kinds.iter().filter(|(named, ..)| *named == category).find(|(_, said, _)| fits(said));
        own.map_or(self.general, |(.., look)| *look)
    }
}

/// Reads a note, if it is one on finishes, by the words of the job.
pub fn read<'n>(words: Option<&Lexicon>, note: &'n Note) -> Option<FinishNote<'n>> {
    let lexicon = match words {
        Some(words) => words,
        None => understand::embedded()?,
    };
    if !rule_words::speak("finish-note", &note.text) || rule_words::speak("finish-of-others", &note.text) {
        return None;
    }
    let lower =
        note.text.to_lowercase().replace(" except ", ", ").replace(" with ", ", ").replace(" unless ", "; unless ");
    let mut read = FinishNote { note, general: None, kinds: Vec::new() };
    for clause in lower.split([',', ';', '.', '(', ')']).map(str::trim) {
        let words: Vec<&str> =
            clause.split([' ', ':', '=']).map(|word| word.trim_matches('"')).filter(|word| !word.is_empty()).collect();
        let coded = words.iter().flat_map(|word| word.split('/')).find_map(look_word);
        // A finish in words: "hardware satin chrome". The words that name it name no goods.
        let (look, of_look) = match (coded, understand::look_of(lexicon, clause)) {
            (Some(look), _) => (Some(look), ""),
            (None, Some((look, span))) => (Some(look), clause.get(span).unwrap_or("")),
            (None, None) => (None, ""),
        };
        let goods: Vec<&str> = words
            .iter()
            .copied()
            .filter(|word| !word.split('/').any(|word| look_word(word).is_some()))
            .filter(|word| !rule_words::is("finish-note-filler", word))
            .filter(|word| !of_look.split([' ', ':', '=']).any(|named| named == *word))
            .collect();
        let joint = |word: &&str| rule_words::is("finish-note-joint", word);
        let first = goods.iter().position(|word| !joint(word)).unwrap_or(goods.len());
        let last = goods.iter().rposition(|word| !joint(word)).map_or(first, |last| last + 1);
        let named = goods[first..last].join(" ");
        if named.is_empty() {
            read.general = read.general.or(look);
        } else if let Some(kinds) = understand::named(lexicon, &named) {
            read.kinds.extend(kinds.into_iter().map(|(category, said)| (category, said, look)));
        } else if look.is_some() {
            // What goods these are is not understood, so it is not known which the rest of the note is for.
            return None;
        }
    }
    (read.general.is_some() || read.kinds.iter().any(|(.., look)| look.is_some())).then_some(read)
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::place::Place;

    #[test]
    fn notes_on_finishes_are_read_by_kind() {
        let place = Place::row(&"a".into(), &"".into(), 1);
        let note = |text: &str| Note { text: text.into(), place: place.clone() };
        let general = note("Finish US26D except exit devices US32D, closers painted.");
        let read = read(None, &general).expect("a note on finishes");
        let plain = |_| None;
        assert_eq!(read.look(Category::Hinge, &plain), finish::look_of("US26D"));
        assert_eq!(read.look(Category::ExitDevice, &plain), finish::look_of("US32D"));
        assert_eq!(read.look(Category::Closer, &plain), finish::look_of("689"));
        for text in ["Door finish US26D", "Provide hardware US26D", "Finish to match existing"] {
            assert!(super::read(None, &note(text)).is_none(), "{text}");
        }
    }

    /// Words that a job teaches are read in its notes as in its lines.
    #[test]
    fn words_of_the_job_hold_in_its_notes() {
        let path = std::env::temp_dir().join(format!("pintle-note-words-{}.txt", std::process::id()));
        std::fs::write(&path, "look=satin-chromium|glimmery chrome\nlook=bright-brass|goldish\ncategory=stop|bumpy\n")
            .unwrap();
        let taught = Lexicon::load(std::slice::from_ref(&path)).unwrap();
        std::fs::remove_file(&path).unwrap();
        let place = Place::row(&"a".into(), &"".into(), 1);
        let text = "All finishes glimmery chrome unless noted; bumpy goldish".into();
        let note = Note { text, place };
        let noted = super::read(Some(&taught), &note).expect("a note on finishes");
        let plain = |_| None;
        assert_eq!(noted.look(Category::Hinge, &plain), finish::look_of("US26D"));
        assert_eq!(noted.look(Category::Stop, &plain), finish::look_of("US3"));
        assert!(super::read(None, &note).is_none(), "the program's own lists do not know these words");
    }

    /// Any name of the trade: what a name says more holds for such goods only.
    #[test]
    fn goods_of_a_note_are_named_as_in_the_trade() {
        let place = Place::row(&"a".into(), &"".into(), 1);
        let (kick, mop) = (Value::text("kick"), Value::text("mop"));
        let of = |text: &str, category: Category, kind: Option<&Value>| {
            let note = Note { text: text.into(), place: place.clone() };
            let kind = kind.cloned();
            read(None, &note)?.look(category, &|attribute| kind.as_ref().filter(|_| attribute == names::KIND))
        };
        let look = finish::look_of;
        let text = "Finishes: butts US26D; kick plates and push plates US32D; panics US32D; closers sprayed aluminum.";
        assert_eq!(of(text, Category::Hinge, None), look("US26D"));
        assert_eq!(of(text, Category::ProtectionPlate, Some(&kick)), look("US32D"));
        assert_eq!(of(text, Category::ProtectionPlate, Some(&mop)), None);
        assert_eq!(of(text, Category::PushPlate, None), look("US32D"));
        assert_eq!(of(text, Category::ExitDevice, None), look("US32D"));
        assert_eq!(of(text, Category::Closer, None), look("689"));
        let text = "All exposed hardware finish satin chrome, door closers painted";
        assert_eq!(of(text, Category::Stop, None), look("US26D"));
        assert_eq!(of(text, Category::Closer, None), look("689"));
        assert_eq!(of("Finish: quaint things US26D, hinges US32D", Category::Hinge, None), None);
        let text = "Hardware finish US26D, locksets & cylinders US10B, everything else US26D";
        assert_eq!(of(text, Category::MortiseLock, None), look("US10B"));
        assert_eq!(of(text, Category::Stop, None), look("US26D"));
    }
}
