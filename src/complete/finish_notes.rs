//! General notes on finishes, `Finish US26D except exit devices US32D, closers painted`: what lines without a finish have,
//! by their kind. A note counts where it speaks of finishes, names one, and says nothing of doors, frames or rooms.

use crate::read::schedule::Note;
use crate::trade::attribute::{Attr, Attributes, Value, names};
use crate::trade::category::Category;
use crate::trade::{finish, rule_words};
use crate::understand::{self, Lexicon};
use std::ops::Range;

/// What a note says of the finish itself, and not of the goods.
const FREE: &[Attr] = &[names::FINISH, names::LOOK, names::BASE];

/// What one note says.
pub struct FinishNote<'n> {
    /// The note.
    pub note: &'n Note,
    /// Several where the note leaves it open: `626 / 630`.
    general: Vec<&'static str>,
    /// By kind of goods; no look: it names the goods and no finish that is known.
    kinds: Vec<Named>,
}

impl FinishNote<'_> {
    /// The look of goods of a category, of which `has` tells the attributes; none where the note leaves it open.
    pub fn look<'v>(&self, category: Category, has: &dyn Fn(Attr) -> Option<&'v Value>) -> Option<&'static str> {
        // "Kick plates": of goods that are called otherwise it says nothing.
        let fits = |named: &Attributes| {
            named.iter().all(|(attribute, value)| FREE.contains(attribute) || has(*attribute) == Some(value))
        };
        // A kind said twice: what is said closest of it, and of equals the one with a finish.
        let close = |said: &Attributes| said.iter().filter(|(attribute, _)| !FREE.contains(attribute)).count();
        let named = self.kinds.iter().filter(|(named, ..)| *named == category).filter(|(_, said, _)| fits(said));
        let own = named.rev().max_by_key(|(_, said, look)| (close(said), look.is_some()));
        own.map_or_else(|| self.of_several(category), |(.., look)| *look)
    }

    /// Whether a look is that which the note gives all goods.
    pub fn is_general(&self, look: &str) -> bool {
        self.general.contains(&look)
    }

    /// The looks between which the note leaves goods of no kind of their own.
    pub fn open(&self) -> &[&'static str] {
        if self.general.len() > 1 { &self.general } else { &[] }
    }

    /// The first that is said of all goods stands.
    fn set_general(&mut self, look: &'static str, coded: Vec<&'static str>) {
        if self.general.is_empty() {
            self.general = if coded.is_empty() { vec![look] } else { coded };
        }
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
    let lower = note.text.to_lowercase();
    let (first, rest) = lower.split_once(';').unwrap_or((&lower, ""));
    // "626 / 630; hinges 630": behind the codes of the set those of some of its goods.
    let is_coded = |clause: &str| clause.split([' ', '/', ',']).any(|word| look_word(word).is_some());
    let bare =
        first.split([' ', '/', ',']).all(codes) && rest.split(';').all(|clause| clause.is_empty() || is_coded(clause));
    if bare { clauses(words, note) } else { read(words, note) }
}

/// Reads a note, if it is one on finishes: it speaks of them, or of all goods and a code.
pub fn read<'n>(words: Option<&Lexicon>, note: &'n Note) -> Option<FinishNote<'n>> {
    let finishes = rule_words::speak("finish-note", &note.text);
    let general = || is_general(note) && note.text.split([',', ';', '(', ')', '.']).any(has_sure_code);
    let speaks = finishes || general() || is_general(note) && names_look(words, note);
    if !speaks || rule_words::speak("finish-of-others", &note.text) {
        return None;
    }
    clauses(words, note)
}

/// "All hardware satin chrome": a clause for all goods with a finish in words, and nothing else.
fn names_look(words: Option<&Lexicon>, note: &Note) -> bool {
    let lexicon = match words {
        Some(words) => words,
        None => match understand::embedded() {
            Some(words) => words,
            None => return false,
        },
    };
    let lower = in_clauses(&without_points(&note.text.to_lowercase()));
    lower
        .split([',', '.'])
        .map(|clause| Clause::of(lexicon, clause.trim()))
        .any(|clause| clause.look.is_some() && clause.coded.is_empty() && clause.whole && clause.named.is_empty())
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

/// Whether a clause of a note that does not call it so names a finish: a code with letters, or a number behind a word
/// that does not make it that of a door, a room or a set.
fn has_sure_code(clause: &str) -> bool {
    let words: Vec<String> =
        clause.split([' ', ':', '=', '/']).filter(|word| !word.is_empty()).map(str::to_lowercase).collect();
    words.iter().enumerate().filter(|(_, word)| word.len() > 2 && look_word(word).is_some()).any(|(at, word)| {
        let before = at.checked_sub(1).and_then(|at| words.get(at));
        let numbered = before.is_none_or(|before| rule_words::is("finish-note-numbered", before));
        !numbered || word.bytes().any(|byte| byte.is_ascii_alphabetic())
    })
}

fn clauses<'n>(words: Option<&Lexicon>, note: &'n Note) -> Option<FinishNote<'n>> {
    let lexicon = match words {
        Some(words) => words,
        None => understand::embedded()?,
    };
    let lower = in_clauses(&without_points(&note.text.to_lowercase()));
    let mut read = FinishNote { note, general: Vec::new(), kinds: Vec::new() };
    let mut excepted = Vec::new();
    for sentence in lower.split(". ").flat_map(|text| text.split('.')) {
        let (before, set) = (read.kinds.len(), excepted.len());
        excepted.extend(sentence_of(lexicon, sentence, &mut read)?);
        // "Lever trim throughout.": a sentence that speaks of no finish leaves its goods the finish of all.
        let silent = read.kinds.iter().skip(before).all(|(.., look)| look.is_none()) && excepted.len() == set;
        if silent && !rule_words::speak("finish-note-speaks", sentence) {
            read.kinds.truncate(before);
        }
    }
    read.kinds.extend(excepted);
    (!read.general.is_empty() || read.kinds.iter().any(|(.., look)| look.is_some())).then_some(read)
}

/// A note with a comma wherever a clause of it ends, and before the word that opens an exception.
fn in_clauses(lower: &str) -> String {
    let text = format!(" {lower} ").replace([',', ';', '(', ')'], " , ").replace([':', '='], " ");
    let text = text.replace(" with ", " , ").replace(" unless ", " , unless ");
    let excepts = rule_words::of("finish-note-except").iter();
    excepts.fold(text, |text, word| text.replace(&format!(" {word} "), &format!(" , {EXCEPT} ")))
}

/// Stands in a note for any word that opens an exception.
const EXCEPT: &str = "\u{1}";

/// Reads a sentence into the note; gives back the goods that it excepts.
fn sentence_of(lexicon: &Lexicon, sentence: &str, read: &mut FinishNote<'_>) -> Option<Vec<Named>> {
    // The goods of clauses to which a later one gives the finish: `all locksets, cylindrical, 626`.
    let mut open: Option<Range<usize>> = None;
    let (mut excepted, mut waiting, mut excepting): (Vec<Named>, usize, bool) = (Vec::new(), 0, false);
    let mut unknown = false;
    for clause in sentence.split(',').map(str::trim).filter(|clause| !clause.is_empty()) {
        let Clause { coded, look, named, whole, excepts } = Clause::of(lexicon, clause);
        // `except closers, hinges, to be 613`: all that is listed there is excepted.
        excepting = excepts || excepting && look.is_none() && !whole && !named.is_empty();
        if named.is_empty() {
            let given = !read.general.is_empty() || read.kinds.iter().any(|(.., look)| look.is_some());
            match look {
                None => {}
                // `613, except closers, 689`: all else has its finish.
                Some(look) if given && open.is_none() && waiting < excepted.len() => {
                    excepted.iter_mut().skip(waiting).for_each(|kind| kind.2 = Some(look));
                }
                Some(look) => match open.take().map(|kinds| (kinds, whole)) {
                    Some((kinds, false)) => {
                        read.kinds.iter_mut().take(kinds.end).skip(kinds.start).for_each(|kind| kind.2 = Some(look));
                    }
                    // `all hinges heavy weight, all finishes 613`: of their finish nothing was said.
                    Some((kinds, true)) => {
                        read.kinds.truncate(kinds.start);
                        read.set_general(look, coded);
                    }
                    None if unknown => return None,
                    None => read.set_general(look, coded),
                },
            }
            waiting = if look.is_some() { excepted.len() } else { waiting };
        } else if let Some(kinds) = plates(&named).or_else(|| understand::named(lexicon, &named)) {
            let kinds = kinds.into_iter().map(|(category, said)| (category, said, look));
            if excepting {
                excepted.extend(kinds);
                waiting = if look.is_some() { excepted.len() } else { waiting };
                continue;
            }
            let from = open.as_ref().filter(|_| look.is_none()).map_or(read.kinds.len(), |open| open.start);
            read.kinds.extend(kinds);
            open = look.is_none().then_some(from..read.kinds.len());
        } else if look.is_some() {
            // What goods these are is not understood, so it is not known which the rest of the note is for.
            return None;
        } else {
            unknown |= open.is_none();
        }
    }
    Some(excepted)
}

/// "Except plates 630": the goods that a note calls so.
fn plates(named: &str) -> Option<Vec<(Category, Attributes)>> {
    let meant = || rule_words::of("plates-meant").iter().filter_map(|name| name.parse().ok());
    rule_words::is("plates-named", named).then(|| meant().map(|category| (category, Attributes::new())).collect())
}

/// Goods and the finish that a note gives them.
type Named = (Category, Attributes, Option<&'static str>);

/// One clause of a note.
struct Clause {
    /// The looks of its codes.
    coded: Vec<&'static str>,
    look: Option<&'static str>,
    /// Its words that name goods.
    named: String,
    /// Whether it speaks of the hardware as a whole.
    whole: bool,
    excepts: bool,
}

impl Clause {
    fn of(lexicon: &Lexicon, clause: &str) -> Self {
        let words = clause.split(' ').map(|word| word.trim_matches('"')).filter(|word| !word.is_empty());
        let exception = |word: &&str| *word == EXCEPT || rule_words::is("finish-note-excepted", word);
        let (excepting, words): (Vec<&str>, Vec<&str>) = words.partition(exception);
        let is_look = |word: &&str| word.split('/').any(|word| look_word(word).is_some());
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
            .filter(|word| !is_look(word) && !is_filler(word))
            .filter(|word| !of_look.split(' ').any(|named| named == *word))
            .collect();
        let joint = |word: &&str| rule_words::is("finish-note-joint", word);
        let first = goods.iter().position(|word| !joint(word)).unwrap_or(goods.len());
        let last = goods.iter().rposition(|word| !joint(word)).map_or(first, |last| last + 1);
        let named = goods.get(first..last).unwrap_or_default().join(" ");
        let whole = words.iter().any(|word| rule_words::is("finish-note-whole", word));
        Self { coded, look, named, whole, excepts: !excepting.is_empty() }
    }
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
        let with_kind = note("626 / 630; hinges 652");
        let with_kind = read_of_set(None, &with_kind).expect("codes, and a kind with its own");
        assert_eq!(with_kind.look(Category::Hinge, &plain), finish::look_of("652"));
        assert_eq!(with_kind.open().len(), 2);
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

    /// What is excepted has not the finish behind it; a finish of the whole is no finish of the goods before it.
    #[test]
    fn exceptions_of_a_note_do_not_take_its_finish() {
        let place = Place::row(&"a".into(), &"".into(), 1);
        let of = |text: &str, category: Category| {
            let note = Note { text: text.into(), place: place.clone() };
            read(None, &note).and_then(|read| read.look(category, &|_| None))
        };
        let (bronze, look) = (finish::look_of("US10B"), finish::look_of);
        for text in [
            "Finish of all hardware, except closers, US10B.",
            "All hardware, except closers, to be US10B; closers 689",
            "Finish: all hardware (closers excepted) US10B",
            "Finish US10B, except closers, 689",
            "All hardware US10B but closers painted",
            "All hardware other than closers, surface bolts, shall be US10B",
        ] {
            assert_eq!(of(text, Category::Hinge), bronze, "{text}");
            let closer = if text.contains("689") || text.contains("painted") { look("689") } else { None };
            assert_eq!(of(text, Category::Closer), closer, "{text}");
        }
        for text in ["All hinges heavy weight, all finishes US10B", "All locksets grade 1, hardware finish US10B"] {
            for category in [Category::Hinge, Category::BoredLock, Category::Stop] {
                assert_eq!(of(text, category), bronze, "{text}");
            }
        }
    }

    /// A sentence of its own that speaks of no finish leaves its goods the finish of all; one that does has its own.
    #[test]
    fn sentences_on_other_matters_leave_the_finish_of_all() {
        let place = Place::row(&"a".into(), &"".into(), 1);
        let of = |text: &str, category: Category| {
            let note = Note { text: text.into(), place: place.clone() };
            read(None, &note).and_then(|read| read.look(category, &|_| None))
        };
        let note = "All hardware satin chrome unless noted. Lever locksets throughout. Hinges ball bearing.";
        assert_eq!(of(note, Category::Hinge), finish::look_of("626"));
        assert_eq!(of(note, Category::MortiseLock), finish::look_of("626"));
        assert_eq!(of("All hardware satin chrome. Closers painted.", Category::Closer), finish::look_of("689"));
        assert_eq!(of("Locksets. All hardware 626.", Category::Stop), finish::look_of("626"));
    }

    /// Numbers of doors, rooms and sets are no finishes where the note does not speak of these.
    #[test]
    fn a_number_alone_is_no_finish() {
        let place = Place::row(&"a".into(), &"".into(), 1);
        let reads = |text: &str| read(None, &Note { text: text.into(), place: place.clone() }).is_some();
        for text in
            ["Provide all doors with silencers, typ., 613", "Provide all closers for 613", "All hardware in set 630"]
        {
            assert!(!reads(text), "{text}");
        }
        for text in ["All hardware 626", "All hinges 652, all else 626 U.N.O."] {
            assert!(reads(text), "{text}");
        }
    }
}
