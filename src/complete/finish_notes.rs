//! General notes on finishes, `Finish US26D except exit devices US32D, closers painted`: what lines without a finish have,
//! by their kind. A note counts where it speaks of finishes, names one, and says nothing of doors, frames or rooms.

use crate::read::schedule::Note;
use crate::trade::attribute::{Attr, Attributes, Value, names};
use crate::trade::category::Category;
use crate::trade::{finish, rule_words};
use crate::understand::{self, Lexicon};
use std::ops::Range;

/// What one note says.
pub struct FinishNote<'n> {
    /// The note.
    pub note: &'n Note,
    /// Several where the note leaves it open: `626 / 630`.
    general: Vec<&'static str>,
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
        own.map_or_else(|| self.of_several(category), |(.., look)| *look)
    }

    /// The looks between which the note leaves goods of no kind of their own.
    pub fn open(&self) -> &[&'static str] {
        if self.general.len() > 1 { &self.general } else { &[] }
    }

    /// Of several looks that of the metal such goods are usually made of, else the first.
    fn of_several(&self, category: Category) -> Option<&'static str> {
        let base = finish::default_base(category);
        let of_base = |look: &&&'static str| {
            let mut finishes = finish::of_look(look).iter();
            base.is_some_and(|base| finishes.next().is_some_and(|finish| finish.base() == Some(base)))
        };
        let open = self.open().iter();
        open.clone().find(of_base).or(self.general.first()).copied()
    }
}

/// Reads a note of a set; the finish cell beside a list of its goods, `626 / 630`, is one too.
pub fn read_of_set<'n>(words: Option<&Lexicon>, note: &'n Note) -> Option<FinishNote<'n>> {
    let codes = |word: &str| word.is_empty() || is_filler(word) || look_word(word).is_some();
    let bare = note.text.to_lowercase().split([' ', '/', ',', ';']).all(codes);
    if bare { clauses(words, note) } else { read(words, note) }
}

/// Reads a note, if it is one on finishes: it speaks of them, or of all goods and a code.
pub fn read<'n>(words: Option<&Lexicon>, note: &'n Note) -> Option<FinishNote<'n>> {
    let finishes = rule_words::speak("finish-note", &note.text);
    let general = || is_general(note) && note.text.split([' ', '(', ')', ',', ';', '.']).any(is_code);
    if !finishes && !general() || rule_words::speak("finish-of-others", &note.text) {
        return None;
    }
    clauses(words, note)
}

/// Whether a note speaks of the whole job: `general`, `all hardware`, `unless noted otherwise`.
pub fn is_general(note: &Note) -> bool {
    let text = without_points(&note.text.to_lowercase());
    text.split(|sign: char| !sign.is_alphanumeric()).any(|word| rule_words::is("finish-note-general", word))
        && !rule_words::of("finish-note-own").iter().any(|own| text.contains(own))
}

/// `U.N.O.` is no end of a sentence.
fn without_points(lower: &str) -> String {
    rule_words::of("finish-note-short").iter().fold(lower.to_owned(), |text, short| text.replace(short, " unless "))
}

fn is_filler(word: &str) -> bool {
    rule_words::is("finish-note-filler", word)
}

fn is_code(word: &str) -> bool {
    word.len() > 2 && word.split('/').any(|word| look_word(word).is_some())
}

fn clauses<'n>(words: Option<&Lexicon>, note: &'n Note) -> Option<FinishNote<'n>> {
    let lexicon = match words {
        Some(words) => words,
        None => understand::embedded()?,
    };
    let lower = without_points(&note.text.to_lowercase());
    let lower = lower.replace(" except ", ", ").replace(" with ", ", ").replace(" unless ", "; unless ");
    let mut read = FinishNote { note, general: Vec::new(), kinds: Vec::new() };
    for sentence in lower.split(". ").flat_map(|text| text.split('.')) {
        // The goods of clauses to which a later one gives the finish: `all locksets, cylindrical, 626`.
        let mut open: Option<Range<usize>> = None;
        let mut unknown = false;
        for clause in sentence.split([',', ';', '(', ')']).map(str::trim) {
            let words: Vec<&str> = clause
                .split([' ', ':', '='])
                .map(|word| word.trim_matches('"'))
                .filter(|word| !word.is_empty())
                .collect();
            let mut coded: Vec<&'static str> =
                words.iter().flat_map(|word| word.split('/')).filter_map(look_word).collect();
            coded.dedup();
            // A finish in words: "hardware satin chrome". The words that name it name no goods.
            let (look, of_look) = match (coded.first(), understand::look_of(lexicon, clause)) {
                (Some(look), _) => (Some(*look), ""),
                (None, Some((look, span))) => (Some(look), clause.get(span).unwrap_or("")),
                (None, None) => (None, ""),
            };
            let goods: Vec<&str> = words
                .iter()
                .copied()
                .filter(|word| !word.split('/').any(|word| look_word(word).is_some()))
                .filter(|word| !is_filler(word))
                .filter(|word| !of_look.split([' ', ':', '=']).any(|named| named == *word))
                .collect();
            let joint = |word: &&str| rule_words::is("finish-note-joint", word);
            let first = goods.iter().position(|word| !joint(word)).unwrap_or(goods.len());
            let last = goods.iter().rposition(|word| !joint(word)).map_or(first, |last| last + 1);
            let named = goods[first..last].join(" ");
            if named.is_empty() {
                match (open.take(), look) {
                    (Some(kinds), Some(look)) => read.kinds[kinds].iter_mut().for_each(|kind| kind.2 = Some(look)),
                    (None, Some(_)) if unknown => return None,
                    (kinds, None) => open = kinds,
                    (None, Some(look)) if read.general.is_empty() => {
                        read.general = if coded.is_empty() { vec![look] } else { coded };
                    }
                    (None, Some(_)) => {}
                }
            } else if let Some(kinds) = understand::named(lexicon, &named) {
                let from = open.as_ref().filter(|_| look.is_none()).map_or(read.kinds.len(), |open| open.start);
                read.kinds.extend(kinds.into_iter().map(|(category, said)| (category, said, look)));
                open = look.is_none().then_some(from..read.kinds.len());
            } else if look.is_some() {
                // What goods these are is not understood, so it is not known which the rest of the note is for.
                return None;
            } else {
                unknown |= open.is_none();
            }
        }
    }
    (!read.general.is_empty() || read.kinds.iter().any(|(.., look)| look.is_some())).then_some(read)
}

/// The look of a code, or the paint that closers have.
fn look_word(word: &str) -> Option<&'static str> {
    let code = word.trim_end_matches('.').to_uppercase();
    if rule_words::is("finish-note-paint", &word.to_lowercase()) {
        return finish::look_of("689");
    }
    // `10 blank keys`: a number, not US10.
    let short = code.len() < 3 && code.bytes().all(|byte| byte.is_ascii_digit());
    let figures = code.bytes().any(|byte| byte.is_ascii_digit());
    finish::look_of(&code).filter(|_| figures && !short)
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
        for text in [
            "GENERAL: Finish US26D unless noted otherwise. Furnish 10 blank keys.",
            "Finish: US26D U.N.O.",
            "ALL HARDWARE US26D UNLESS NOTED",
            "UNLESS NOTED OTHERWISE ALL FINISHES SHALL BE US26D (BHMA 626).",
            "Finish: 626 typ.",
            "1. Provide US26D finish on all hardware, unless noted otherwise in sets.",
            "BHMA 626 FINISH TYP. U.O.N.",
        ] {
            let note = note(text);
            let read = super::read(None, &note).unwrap_or_else(|| panic!("{text}"));
            assert_eq!(read.look(Category::Hinge, &plain), finish::look_of("US26D"), "{text}");
        }
        let locks = note("ALL LOCKSETS LEVER, CYLINDRICAL, GRADE 1, US10B U.N.O.");
        let locks = super::read(None, &locks).expect("a note on locks");
        assert_eq!(locks.look(Category::BoredLock, &plain), finish::look_of("US10B"));
        assert_eq!(locks.look(Category::Hinge, &plain), None);
        let two = note("626 / 630");
        assert_eq!(read_of_set(None, &two).map(|read| read.open().len()), Some(2));
        assert!(super::read(None, &two).is_none());
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
