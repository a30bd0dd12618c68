//! Places in a text: `patient toilet`, `at loading corridor`, `pharmacy`, `stair 2`. They tell where the goods go and nothing of
//! the goods. The words are in `catalogs/trade/words/places.txt`.

use rust_decimal::Decimal;

use super::claim::Claims;
use super::dimensions::may_measure;
use super::lexicon::{Gist, Lexicon};
use super::meaning::Special;
use super::reading::RemarkKind;
use super::roles::Role;
use super::token::{Kind, Token};
use crate::trade::finish;

/// The list of words of places.
pub const PLACES: (&str, &str) = ("trade/words/places.txt", include_str!("../../catalogs/trade/words/places.txt"));

/// The name of a room.
const ROOM: u8 = 1;
/// What kind of room.
const OF: u8 = 2;
/// A room by itself.
const KNOWN: u8 = 4;
/// What stands before a room.
const AT: u8 = 8;
/// A word that only this list has.
const ONLY: u8 = 16;

/// What each word is in the name of a place, by the number of the word.
#[derive(Debug, Default)]
pub struct Places(Vec<u8>);

impl Places {
    /// Reads the list; `number` gives the number of a word, and whether no other list has it.
    ///
    /// # Errors
    /// The line that is wrong.
    pub fn load(number: &mut dyn FnMut(&str) -> (u32, bool)) -> Result<Places, String> {
        let (file, text) = PLACES;
        let mut places = Places::default();
        for (line, content) in (1u32..).zip(text.lines()) {
            if content.trim().is_empty() || content.starts_with('#') {
                continue;
            }
            let mut fields = content.split('|').map(str::trim);
            let kind = match fields.next() {
                Some("room") => ROOM,
                Some("of") => OF,
                Some("known") => KNOWN,
                Some("at") => AT,
                other => return Err(format!("{file}:{line}: {other:?} is none of room, of, known, at")),
            };
            for word in fields {
                let (number, fresh) = number(word);
                let place = number as usize;
                if places.0.len() <= place {
                    places.0.resize(place + 1, 0);
                }
                places.0[place] |= kind | if fresh { ONLY } else { 0 };
            }
        }
        Ok(places)
    }

    fn of(&self, word: u32) -> u8 {
        self.0.get(word as usize).copied().unwrap_or(0)
    }

    /// Whether a word stands in no other list: it is no piece of words run together.
    pub fn only(&self, word: u32) -> bool {
        self.of(word) & ONLY != 0
    }

    /// Whether a word stands before a room.
    pub fn leads(&self, token: &Token) -> bool {
        self.token(token) & AT != 0
    }

    /// Whether a word stands in the name of a place.
    pub fn names(&self, token: &Token) -> bool {
        self.token(token) & (ROOM | OF | KNOWN) != 0
    }

    fn token(&self, token: &Token) -> u8 {
        match self.of(token.id) {
            0 => self.of(token.singular) & !AT,
            kind => kind,
        }
    }
}

/// The token behind the place that begins at a token, when it reads more than the phrase that begins there, or that phrase
/// says nothing.
pub(super) fn place(claims: &Claims, at: usize, phrase: Option<(u32, usize)>) -> Option<usize> {
    let places = &claims.lexicon.places;
    let first = claims.tokens.get(at)?;
    let kind = places.token(first);
    if let Some(behind) = marks(claims, at, kind) {
        return Some(behind);
    }
    if kind & (OF | KNOWN | AT) == 0 {
        return None;
    }
    let own = |index: usize| claims.tokens.get(index).filter(|token| token.part == first.part);
    let led = kind & AT != 0;
    let from = at + usize::from(led);
    let mut next = from;
    let mut end = from;
    while let Some(token) = own(next) {
        let kind = places.token(token);
        // "Accessible rooms 101, 112 only": the list is one of doors.
        let lists = || next > at && kind & ROOM != 0 && super::conditions::lists_numbers(claims, next);
        if kind & (ROOM | OF | KNOWN) == 0 || lists() {
            break;
        }
        // A room by itself may be a function of a lock: another word must show that a place is meant.
        if kind & KNOWN != 0 || (kind & ROOM != 0 && (next > from || led && !is_function(claims, next))) {
            end = next + 1;
        }
        next += 1 + possessive(claims, next + 1);
    }
    // "Patient corridor lock": what a longer phrase reads is no place; what kind of room stands before it still is.
    let cut = (from..end).find(|index| claims.phrase(*index).is_some_and(|found| found.next > end && !found.guessed));
    end = cut.unwrap_or(end);
    if end == from {
        return None;
    }
    if cut.is_none() {
        end = numbered(claims, end);
    }
    let (node, phrase_end) = phrase.unwrap_or((0, at));
    (end > phrase_end || (end == phrase_end && is_empty(claims.lexicon, node))).then_some(end)
}

/// "At 111", "at doors 101A, 102 & 104", "opening 111": the marks of doors, behind "at" or the word for a door, to the end of
/// what is said.
fn marks(claims: &Claims, at: usize, kind: u8) -> Option<usize> {
    let tokens = &claims.tokens;
    let first = &tokens[at];
    // Nearly no token leads to a mark.
    // F109 is a function.
    let of_door = claims.lexicon.roles.does_any(first, &[Role::Where, Role::Numbered]);
    if kind & AT == 0 && !of_door {
        return None;
    }
    // "For 161 prep": what a phrase of the lists reads with its number is no door.
    if claims.phrase(at).is_some_and(|found| !found.guessed && found.next > at + 1 && tokens[at + 1].is_number()) {
        return None;
    }
    let toward = claims.does(at, Role::Where) && tokens.get(at + 1).is_some_and(|next| next.gap);
    let word =
        |index: usize| tokens.get(index).filter(|token| token.part == first.part).map_or("", |t| t.text(claims.text));
    let door =
        |index: usize| !word(index).is_empty() && [Role::Door, Role::Mark].iter().any(|role| claims.does(index, *role));
    let mut next = at + usize::from(kind & AT != 0 || toward);
    // What is left out "at 689" is left out at a door; no finish is meant.
    let led = is_left_out(claims, at);
    let named = door(next) || led;
    if kind & AT != 0 || claims.does(at, Role::For) {
        // What leads to the size stands before it, or is the word itself.
        let next = if kind & AT != 0 { next } else { at };
        if let Some(behind) = opening_size(claims, at, next) {
            return Some(behind);
        }
    }
    // "On door 1", "door 2": a small number behind a word for a door may be anything; behind "at" it is a mark.
    let numbered = claims.does(next, Role::Numbered);
    if kind & AT == 0 && !numbered && !toward {
        return None;
    }
    let marked = door(next) || numbered;
    let named = named || numbered;
    next += usize::from(marked);
    next += usize::from(word(next) == "#" || claims.does(next, Role::NumberSign));
    let mut end = None;
    let mut behind_comma = false;
    let brackets = led && in_brackets(claims, at);
    while let Some(mark) = mark(claims, next, named) {
        // "At doors 101, 102, 630": behind a comma the number of a finish is the finish.
        let one = mark == next + 1 && finish::find(word(next)).is_some();
        if word(next).is_empty() || behind_comma && one && !brackets {
            break;
        }
        end = Some(mark);
        // So is the number behind a dash that stands by itself.
        let apart = word(mark) == "-" && tokens.get(mark + 1).is_some_and(|behind| behind.gap);
        let and = |at: usize| word(at) == "&" || claims.does(at, Role::And);
        behind_comma = apart || word(mark) == "," && !and(mark + 1);
        let joins = matches!(word(mark), "," | "/" | "-") || and(mark);
        let joins = joins || claims.does(mark, Role::Through) || claims.does(mark, Role::Or);
        let joint = usize::from(joins);
        if joint == 0 {
            break;
        }
        next = mark + joint + usize::from(word(mark) == "," && and(mark + 1));
    }
    let end = end?;
    let end = end + usize::from(claims.does(end, Role::Only));
    let ends = tokens.get(end).is_none_or(|behind| {
        behind.part != first.part
            || [',', ';', ')', '.', '-', ':'].into_iter().any(|sign| behind.is(sign))
            || behind.line
            || (numbered || !named) && goes_on(claims, end)
    });
    // "Sweep for door 36": as wide as a door may be.
    let wide =
        toward && !numbered && tokens[end - 1].whole(claims.text).is_some_and(|whole| (24..100).contains(&whole));
    (ends && !wide).then_some(end)
}

/// "For 101 to be ball bearing", "at 140 gets hex dogging": behind the mark of a door the sentence goes on with a word that
/// makes the number nothing else.
fn goes_on(claims: &Claims, at: usize) -> bool {
    let word = claims.tokens.get(at).is_some_and(|word| word.kind == Kind::Word && word.gap);
    let of_number = [Role::Measure, Role::Length, Role::Foot, Role::Inch, Role::Rating, Role::Times];
    let lexicon = claims.lexicon;
    let says = |kind: Gist| claims.longest(at).is_some_and(|(node, _)| lexicon.may_be(node, kind));
    let speaks = [Gist::NOUN, Gist::AFTER, Gist::LABEL, Gist::UNIT, Gist::BASIS].into_iter().any(says);
    word && !speaks && !of_number.into_iter().any(|role| claims.does(at, role))
}

/// "42 door", "36\" leaf", "1-3/4 thick door": how large the door is, which is no good of the line. "24 doors" are so many.
pub(super) fn of_door(claims: &Claims, at: usize) -> Option<usize> {
    let first = claims.tokens.get(at).filter(|token| token.is_number() && token.gap)?;
    let (measured, next) = claims.length(at)?;
    let value = measured.value.decimal();
    let inches = |low: i64, high: i64| value >= Decimal::from(low) && value <= Decimal::from(high);
    let thick = claims.does(next, Role::Thick);
    let door = next + usize::from(thick);
    let fits = inches(24, 60) && (measured.marked || !measured.fraction) || measured.fraction && inches(1, 3);
    let here = claims.tokens.get(door).filter(|token| fits && token.part == first.part && token.gap)?;
    let many = here.singular != 0 && door == next && !measured.marked && !measured.fraction;
    if here.kind != Kind::Word || !claims.does(door, Role::Door) || many {
        return None;
    }
    // "Exit device, 36\" door": of goods as long as the door is wide it is their length.
    let named = |claim: &super::claim::Claim| {
        let mut meanings = claim.entries(claims.lexicon).flat_map(|entry| &entry.meanings);
        meanings.find_map(|meaning| meaning.noun).map_or(0, |noun| noun.categories)
    };
    let goods = claims.list.iter().filter(|claim| claim.may_be(claims.lexicon, Gist::NOUN));
    if may_measure(goods.fold(0, |goods, claim| goods | named(claim)), value) {
        return None;
    }
    let longer = claims.phrase(door).is_some_and(|found| !found.guessed && found.next > door + 1);
    (!longer).then_some(door + 1)
}

/// Whether what stands before an "at" leaves the line out: `(OMIT AT 689)`.
fn is_left_out(claims: &Claims, at: usize) -> bool {
    let Some(before) = claims.list.last().filter(|before| before.to == at) else { return false };
    let mut meanings = before.entries(claims.lexicon).flat_map(|entry| &entry.meanings);
    meanings.any(|meaning| matches!(meaning.special, Special::Remark(RemarkKind::NotUsed | RemarkKind::NotInContract)))
}

/// Whether a token stands in brackets.
fn in_brackets(claims: &Claims, at: usize) -> bool {
    let part = claims.tokens[at].part;
    let mut before = claims.tokens[..at].iter().rev().take_while(|token| token.part == part);
    before.find(|token| token.is('(') || token.is(')')).is_some_and(|token| token.is('('))
}

/// "For 3070", "at 6068 pr": the size of an opening in feet and inches, behind a word that leads to it.
fn opening_size(claims: &Claims, at: usize, next: usize) -> Option<usize> {
    let led = next > at || claims.does(at, Role::For);
    let next = if next > at { next } else { at + 1 };
    let size =
        claims.tokens.get(next).filter(|token| led && token.is_number() && token.part == claims.tokens[at].part)?;
    let [b'2'..=b'8', b'0' | b'4' | b'6' | b'8', b'6'..=b'9', b'0' | b'2' | b'4' | b'6' | b'8'] =
        size.text(claims.text).as_bytes()
    else {
        return None;
    };
    let behind =
        claims.tokens.get(next + 1).is_none_or(|behind| behind.gap || behind.part != size.part || !behind.is_number());
    behind.then(|| next + 1 + usize::from(claims.does(next + 1, Role::Leaf)))
}

/// The token behind the mark of a door: three digits or more, or any number where a word for a door leads it, with a letter or not.
pub(super) fn mark(claims: &Claims, at: usize, named: bool) -> Option<usize> {
    let tokens = &claims.tokens;
    let first = tokens.get(at)?;
    let led = first.kind == Kind::Word && first.end - first.start == 1;
    let number = if led { tokens.get(at + 1).filter(|token| !token.gap)? } else { first };
    let digits =
        number.is_number() && number.whole(claims.text).is_some() && !number.text(claims.text).starts_with('0');
    let long = number.end - number.start >= 3 || named || led;
    let chunk = first.chunk;
    let end = at + tokens[at..].iter().take_while(|token| token.chunk == chunk && !token.is('.')).count();
    let plain =
        end - at <= 6 && tokens[at..end].iter().all(|token| !matches!(token.kind, Kind::Sign('"' | '\'' | '#')));
    let finish = end == at + 1 && !named && finish::find(number.text(claims.text)).is_some();
    (digits && long && plain && !finish).then_some(end)
}

/// The 's of "nurse's station".
fn possessive(claims: &Claims, at: usize) -> usize {
    let tokens = &claims.tokens;
    let mark = tokens.get(at).is_some_and(|token| token.is('\'') && !token.gap);
    let s = tokens.get(at + 1).is_some_and(|token| token.text(claims.text) == "s" && !token.gap);
    2 * usize::from(mark && s)
}

/// "Stair 2", "room 101": the number of a room, at the end of what is said.
fn numbered(claims: &Claims, at: usize) -> usize {
    let mark = usize::from(claims.tokens.get(at).is_some_and(|token| token.is('#')));
    let number = at + mark;
    let Some(token) = claims.tokens.get(number) else { return at };
    let written = token.text(claims.text);
    let whole = token.part == claims.tokens[at - 1].part && token.whole(claims.text).is_some();
    let ends = claims.tokens.get(number + 1).is_none_or(|behind| {
        behind.part != token.part || [',', ';', ')'].into_iter().any(|sign| behind.is(sign)) || behind.line
    });
    let room = whole && ends && !written.starts_with('0') && finish::find(written).is_none();
    if room { number + 1 } else { at }
}

/// Whether the word is the trade name of a lock function.
fn is_function(claims: &Claims, at: usize) -> bool {
    let Some(found) = claims.phrase(at) else { return false };
    let mut meanings = claims.lexicon.entries(found.node).flat_map(|entry| &entry.meanings);
    meanings.any(|meaning| matches!(meaning.special, Special::FunctionName(_)))
}

/// Whether a phrase says nothing by itself.
fn is_empty(lexicon: &Lexicon, node: u32) -> bool {
    let empty = |special: &Special| matches!(special, Special::Nothing | Special::Ordinary);
    lexicon.entries(node).flat_map(|entry| &entry.meanings).all(|meaning| empty(&meaning.special))
}
