//! "By alum. door & frame manufacturer": who supplies a part of the opening is not us, whatever words the part and its
//! supplier are called by; "by door hardware supplier" is us. The words are in `catalogs/trade/words/roles.txt`.

use super::claim::{Claims, What};
use super::dimensions::may_measure;
use super::meaning::{Categories, Link, Special, only};
use super::reading::RemarkKind;
use super::roles::Role;
use super::token::Kind;
use crate::read::schedule::PartRole;
use crate::trade::category::Category;
use crate::trade::finish;
use crate::trade::rule_words;

/// "Supplied with door pull": a remark that others supply the good ends not with the word for a door where the name of a good
/// begins with that word.
pub(super) fn takes_from_good(claims: &Claims, to: usize, remark: u32) -> bool {
    let entries = |node: u32| claims.lexicon.entries(node).flat_map(|entry| &entry.meanings);
    let named = |at: usize, beyond: usize| {
        claims.longest(at).filter(|(_, next)| *next > beyond).is_some_and(|(node, _)| {
            entries(node).filter_map(|one| one.noun).any(|noun| noun.categories != only(Category::Other))
        })
    };
    let last = to.saturating_sub(1);
    let goes_on =
        claims.tokens.get(to).is_some_and(|next| next.kind == Kind::Word && next.part == claims.tokens[last].part);
    goes_on
        && claims.does(last, Role::Door)
        && entries(remark).any(|one| one.special == Special::Remark(RemarkKind::ByOthers))
        // "With door hardware" is with what we supply.
        && (claims.does(to, Role::Hardware) || named(last, to) || named(to, to))
}

/// "From 111", "from door 105", "salvaged from 111": what stands at a door already is not new. The phrase that says so of a
/// good, and the token behind the words.
pub(super) fn moved(claims: &Claims, at: usize) -> Option<(u32, usize)> {
    let tokens = &claims.tokens;
    if !claims.does(at, Role::From) {
        return None;
    }
    let goods = named_before(claims, at)?;
    let part = tokens[at].part;
    let named =
        claims.does(at + 1, Role::Door) || claims.does(at + 1, Role::Mark) || claims.does(at + 1, Role::Numbered);
    let number = at + 1 + usize::from(named);
    let token = tokens.get(number).filter(|token| token.is_number() && token.part == part)?;
    let mut next = number + 1;
    // "From 101, 102 & 104": several doors.
    let further = |at: usize| {
        let comma = usize::from(tokens.get(at)?.is(','));
        let joint = comma + usize::from(claims.does(at + comma, Role::And) || tokens.get(at + comma)?.is('&'));
        let found = tokens.get(at + joint).filter(|found| joint > 0 && found.is_number() && found.part == part)?;
        let ends = tokens.get(at + joint + 1).is_none_or(|behind| behind.gap || matches!(behind.kind, Kind::Sign(_)));
        let door = found.end - found.start >= 3 && !means_else(found.text(claims.text), goods);
        (ends && door).then_some(at + joint + 1)
    };
    while let Some(behind) = further(next) {
        next = behind;
    }
    // A measure, or the first of a range, is no door; nor is a number of two figures without a word for one.
    let ends = tokens.get(next).is_none_or(|behind| {
        behind.part != part || matches!(behind.kind, Kind::Sign(',' | ';' | ')')) || behind.gap && behind.is('-')
    });
    if !ends || !named && (token.end - token.start < 3 || means_else(token.text(claims.text), goods)) {
        return None;
    }
    let node = claims.lexicon.step(0, claims.lexicon.word("relocated"))?;
    Some((claims.lexicon.step(node, tokens[at].id)?, next))
}

/// Whether a number without a word for a door may be a finish, or a length of such goods.
fn means_else(number: &str, goods: Categories) -> bool {
    let length = number.parse().is_ok_and(|number| may_measure(goods, number));
    length || finish::find(number).is_some()
}

/// The goods whose name, or a word for what is there already, stands right before; a count or the beginning of the cell may
/// stand between. "Threshold cut from", "24V from", "release from" say where other things come from.
fn named_before(claims: &Claims, at: usize) -> Option<Categories> {
    let between = |before: &usize| {
        let counted = claims.on(*before).is_some_and(|claim| matches!(claim.what, What::Quantity(_)));
        let counts = matches!(claims.role(*before), PartRole::Quantity | PartRole::Unit);
        counted || counts || matches!(claims.tokens[*before].kind, Kind::Sign(',' | ';' | '-' | ':' | '('))
    };
    let before = (0..at).rev().find(|before| !between(before))?;
    let mut meanings = claims.on(before)?.entries(claims.lexicon).flat_map(|entry| &entry.meanings);
    meanings.find_map(|meaning| match (meaning.noun, &meaning.special) {
        (Some(noun), _) => Some(noun.categories),
        (None, Special::Remark(RemarkKind::Existing)) => Some(0),
        _ => None,
    })
}

/// The most words between "by" and the supplier: by the aluminum door & frame manufacturer.
const MOST: usize = 6;

/// The phrase that says the same of a good, and the token behind the words.
pub(super) fn supplier(claims: &Claims, at: usize) -> Option<(u32, usize)> {
    let tokens = &claims.tokens;
    let part = tokens.get(at)?.part;
    if !claims.does(at, Role::By) || !is_said_of_good(claims, at) {
        return None;
    }
    let here = |at: &usize| tokens.get(*at).is_some_and(|token| token.part == part);
    let Some(named) = (at + 1..=at + 1 + MOST).take_while(here).find(|at| claims.does(*at, Role::Supplier)) else {
        return party(claims, at);
    };
    let (mut built, mut plain, mut hardware) = (false, true, false);
    for (between, token) in tokens.iter().enumerate().take(named).skip(at + 1) {
        let is = |role| claims.does(between, role);
        let door = is(Role::Door) || is(Role::Built);
        let joins = is(Role::And) || matches!(token.kind, Kind::Sign('.' | '&' | '/' | '-'));
        (built, plain, hardware) = (built || door, plain && !is(Role::Built), hardware || is(Role::Hardware));
        let article = token.text(claims.text) == "the";
        // "By elevator supplier": one that supplies other things.
        if !(door || joins || article || is(Role::Hardware)) {
            return party(claims, at).or_else(|| of_goods(claims, at, named));
        }
    }
    // "By storefront hardware supplier" may be either.
    let (first, second) = match (hardware, plain, built) {
        (true, true, _) => ("by", "us"),
        (false, _, true) => ("by", "others"),
        (false, ..) => return party(claims, at),
        _ => return None,
    };
    Some((by(claims, (first, second))?, named + 1))
}

/// The phrase that says who supplies a good.
fn by(claims: &Claims, (first, second): (&str, &str)) -> Option<u32> {
    let node = claims.lexicon.step(0, claims.lexicon.word(first))?;
    claims.lexicon.step(node, claims.lexicon.word(second))
}

/// Whether what begins at a token is said of what stands before. "6 by 6", "not by": behind a word that nothing knows others do
/// what it says, and the good is ours. "Coordinated by door supplier" is work, which `whose` parts from the good.
fn is_said_of_good(claims: &Claims, at: usize) -> bool {
    let tokens = &claims.tokens;
    let before = at.checked_sub(1).filter(|before| tokens[*before].part == tokens[at].part);
    before.is_none_or(|before| {
        let sign = matches!(tokens[before].kind, Kind::Sign(_));
        let work = claims.does(before, Role::Work);
        (sign || work || claims.on(before).is_some()) && !claims.does(before, Role::Except)
    })
}

/// Whether what stands right before says something of goods, or a sign: "not furnished with", "if not furnished with" and "faceplate
/// furnished with" say it of none, or of something else.
/// "Closer to be furnished with frame", "seals complete furnished with": words between pass it on.
fn says_of_good(claims: &Claims, at: usize) -> bool {
    let passes = |before: &usize| rule_words::is("passes-on", claims.tokens[*before].text(claims.text));
    let here = |before: &usize| claims.tokens[*before].part == claims.tokens[at].part;
    let Some(before) = (0..at).rev().take_while(here).find(|before| !passes(before)) else {
        return true;
    };
    if matches!(claims.tokens[before].kind, Kind::Sign(',' | ';' | '-' | '(')) {
        return true;
    }
    let says = |claim: &super::claim::Claim| {
        let mut meanings = claim.entries(claims.lexicon).flat_map(|entry| &entry.meanings);
        !matches!(claim.what, What::Phrase(_))
            || meanings.any(|one| {
                one.noun.is_some() || matches!(one.special, Special::Plain | Special::Look(_) | Special::Finish(_))
            })
    };
    claims.on(before).is_some_and(says)
}

/// The most words between "furnished with" and the part of the opening that brings the good: the aluminum frame.
const MOST_BETWEEN: usize = 3;

/// "Furnished with aluminum frame", "integral w/ storefront": what comes with a part of the opening is its maker's. The phrase
/// that says the same of a good, and the token behind the words. Not "furnished with frame gasket", nor "with door hardware".
pub(super) fn with_opening(claims: &Claims, at: usize) -> Option<(u32, usize)> {
    let tokens = &claims.tokens;
    let part = tokens.get(at)?.part;
    if !claims.does(at, Role::Comes) || !says_of_good(claims, at) {
        return None;
    }
    let with = |node: u32| {
        let mut meanings = claims.lexicon.entries(node).flat_map(|entry| &entry.meanings);
        meanings.any(|meaning| meaning.special == Special::Link(Link::With))
    };
    let (_, from) = claims.longest(at + 1).filter(|(node, _)| with(*node))?;
    let here = |at: &usize| tokens.get(*at).is_some_and(|token| token.part == part);
    let is_part = |at: usize| claims.does(at, Role::PartOfOpening);
    let last = (from..=from + MOST_BETWEEN).take_while(here).find(|at| is_part(*at) && !is_part(at + 1))?;
    let between = |at: usize| is_part(at) || claims.does(at, Role::Built) || tokens[at].text(claims.text) == "the";
    // The name of a good may begin with the word.
    let goes_on = claims.longest(last).is_some_and(|(_, next)| next > last + 1);
    let behind = tokens.get(last + 1).filter(|behind| behind.part == part);
    let ends = behind.is_none_or(|behind| behind.kind != Kind::Word);
    (ends && !goes_on && (from..last).all(between)).then_some(())?;
    Some((by(claims, ("by", "others"))?, last + 1))
}

/// "Electric strike by intercom contractor", "card reader by lock supplier", "keypad by lock mfr": one that is called by goods may
/// be ourselves; the phrase that leaves it open. "Cylinder by lock manufacturer", "closer by closer manufacturer" name the make.
fn of_goods(claims: &Claims, at: usize, named: usize) -> Option<(u32, usize)> {
    let tokens = &claims.tokens;
    let told = matches!(claims.role(at), PartRole::Free | PartRole::Description | PartRole::Remarks);
    let text = |at: usize| tokens[at].text(claims.text);
    let from = at + 1 + usize::from(rule_words::is("article", text(at + 1)));
    let (node, next) = claims.longest(from).filter(|(_, next)| *next <= named)?;
    let mut nouns = claims.lexicon.entries(node).flat_map(|entry| &entry.meanings).filter_map(|one| one.noun);
    let ends = tokens.get(named + 1).is_none_or(|behind| behind.part != tokens[at].part || behind.kind != Kind::Word);
    let whose = nouns.next()?.categories;
    let makes = rule_words::is("makers-of-goods", text(named));
    let wired = named_before(claims, at).is_some_and(|goods| goods & whose == 0 && goods & READS != 0);
    if !told || next != named || !ends || makes && !wired {
        return None;
    }
    let node = claims.lexicon.step(0, claims.lexicon.word("by"))?;
    Some((claims.lexicon.step(node, claims.lexicon.word("mfr"))?, named + 1))
}

/// Goods of other trades as a rule, that come with the make of no lock.
const READS: Categories = only(Category::Reader) | only(Category::PositionSwitch) | only(Category::PowerSupply);

/// The most words of a party that no list names: by the town's own police.
const MOST_OF_PARTY: usize = 4;

/// "Card reader by town", "closer (furnished by the county)": words that name no goods and nothing of goods, behind "by" at the
/// end of what is said. Who that is nobody knows; the phrase that leaves it open, and the token behind the words.
fn party(claims: &Claims, at: usize) -> Option<(u32, usize)> {
    let tokens = &claims.tokens;
    let part = tokens[at].part;
    let text = |at: usize| tokens[at].text(claims.text);
    let told = matches!(claims.role(at), PartRole::Free | PartRole::Description | PartRole::Remarks);
    // What the lists read behind "by" they know: by others, by cylinder.
    if !told || claims.longest(at).is_some_and(|(_, next)| next > at + 1) {
        return None;
    }
    // "24 by door width": a measure leads to another. "Installed by county": work leaves open who supplies the good.
    let before = at.checked_sub(1).filter(|before| tokens[*before].part == part);
    let measures = |before: usize| {
        let size = claims.on(before).is_some_and(|claim| matches!(claim.what, What::Size(_) | What::Quantity(_)));
        size || claims.does(before, Role::Work) || tokens[before].is_number() && claims.on(before).is_none()
    };
    if before.is_some_and(measures) {
        return None;
    }
    let from =
        at + 1 + usize::from(tokens.get(at + 1).is_some_and(|next| rule_words::is("article", next.text(claims.text))));
    let here = |at: usize| tokens.get(at).is_some_and(|token| token.part == part);
    let (mut next, mut words) = (from, 0);
    while here(next) && words <= MOST_OF_PARTY {
        let token = &tokens[next];
        // "Univ. security", "town's".
        let within = matches!(token.kind, Kind::Sign('.' | '\'')) && !token.gap && here(next + 1) && next > from;
        if !within && (token.kind != Kind::Word || !may_be_party(claims, next)) {
            break;
        }
        words += usize::from(!within);
        next += 1;
    }
    let ends = !here(next)
        || matches!(tokens[next].kind, Kind::Sign(',' | ';' | ')' | '(' | '.'))
        || tokens[next].is('-') && tokens[next].gap;
    let short = words == 1 && text(from).len() < 2;
    // "Hinges by Brumthorn" names the maker, "threshold by detail" a way: one of the words is that of a party.
    let is_party = (from..next).any(|at| rule_words::is("parties", text(at)));
    if words == 0 || !is_party || words > MOST_OF_PARTY || !ends || short {
        return None;
    }
    let node = claims.lexicon.step(0, claims.lexicon.word("by"))?;
    Some((claims.lexicon.step(node, claims.lexicon.word("mfr"))?, next))
}

/// Whether a word may be one of the name of a party: it names no goods and says nothing of goods, and tells not how or when.
fn may_be_party(claims: &Claims, at: usize) -> bool {
    let token = &claims.tokens[at];
    if rule_words::is("tells-how", token.text(claims.text)) || claims.lexicon.roles.does_any(token, &OF_NO_PARTY) {
        return false;
    }
    let Some(found) = claims.phrase(at).filter(|found| !found.guessed) else { return true };
    let mut meanings = claims.lexicon.entries(found.node).flat_map(|entry| &entry.meanings);
    claims.lexicon.places.names(token)
        || meanings.all(|one| {
            one.noun.is_none()
                && one.sets.is_empty()
                && matches!(one.special, Special::Nothing | Special::Ordinary | Special::Remark(_))
        })
}

/// Words that do such things behind "by" measure, count or join.
const OF_NO_PARTY: [Role; 10] = [
    Role::Door,
    Role::Leaf,
    Role::Measure,
    Role::Length,
    Role::Inch,
    Role::Foot,
    Role::Millimetre,
    Role::Per,
    Role::For,
    Role::Work,
];

#[cfg(test)]
pub(super) mod tests {
    #[test]
    fn what_comes_with_a_frame_is_its_makers_whatever_verb_leads_to_it() {
        let lexicon = Lexicon::load(&[]).unwrap();
        let out = |text: &str| {
            let reading = understand(&lexicon, &Wording::free(text), &Surroundings::default()).remove(0);
            reading.remarks.iter().any(|remark| remark.kind == RemarkKind::ByOthers)
        };
        for text in [
            "Threshold to be furnished with frame",
            "Closer shall be furnished with frame",
            "Perimeter seals complete furnished with frame",
            "Sweep furnished with door",
        ] {
            assert!(out(text), "{text}");
        }
        // A storefront brings it, or is beside it: asked.
        let text = "Continuous hinge full height furnished with storefront";
        let doubts = understand(&lexicon, &Wording::free(text), &Surroundings::default()).remove(0).doubts;
        assert!(doubts.iter().any(|doubt| doubt.code == "remark-of-whom"), "{text}");
        for text in [
            "Threshold not to be furnished with frame",
            "Threshold if furnished with frame",
            "Lock with faceplate furnished with frame",
            "Threshold to be furnished with frame gasket",
        ] {
            assert!(!out(text), "{text}");
        }
    }

    use crate::read::schedule::Wording;
    use crate::understand::lexicon::Lexicon;
    use crate::understand::reading::RemarkKind;
    use crate::understand::{Surroundings, understand};

    /// Whether others supply a good, and whether it is asked who does.
    pub fn whose(lexicon: &Lexicon, text: &str) -> (bool, bool) {
        let reading = understand(lexicon, &Wording::free(text), &Surroundings::default()).remove(0);
        let out = reading.remarks.iter().any(|remark| remark.kind == RemarkKind::ByOthers);
        (out, reading.doubts.iter().any(|doubt| doubt.code == "remark-of-whom"))
    }

    #[test]
    fn a_party_that_no_list_names_is_asked_about_and_the_known_are_as_before() {
        let lexicon = Lexicon::load(&[]).unwrap();
        let heard = |text: &str| whose(&lexicon, text);
        for text in [
            "Card reader by town",
            "Card reader by Univ. security",
            "Power supply (by Univ. security)",
            "Closer 689 by county",
            "Closer furnished by the hospital",
            "Wall stop by school district, 626",
            "Closer by elevator supplier",
            "Closer by installer",
            "Closer by plumber",
            "Closer by AV sub",
            "Closer by homeowner",
            "Card reader - by lock supplier",
            "Keypad by lock mfr",
            "Electric strike, by intercom contractor",
        ] {
            assert_eq!(heard(text), (false, true), "{text}");
        }
        for text in ["Card reader by others", "Wall stop by tenant", "Card reader by security vendor"] {
            assert_eq!(heard(text), (true, false), "{text}");
        }
        for text in [
            "Closer by us",
            "Kick plate 10 by 34",
            "Kick plate 10 by door width",
            "Exit device dogged by key",
            "Electric lock released by remote",
            "Closer installed by county",
            "Mullion removable by key",
            "Cylinder by lock manufacturer",
            "Closer by hand",
            "Closer by closer manufacturer",
            "Strike by lock mfr",
            "Hinges 652 by Brumthorn Works",
            "Closer by board decision",
        ] {
            assert!(!heard(text).1, "{text}");
        }
    }
}
