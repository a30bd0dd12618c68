//! Counts of hinges that have wires, and of the wires of a transfer: "3 hinges, one with 8 wires", "lock w/ 4 wire transfer".

use rust_decimal::Decimal;

use super::claim::{Claims, What};
use super::meaning::{Link, Special, only};
use super::roles::Role;
use super::split::hinge_before;
use super::token::Kind;
use crate::read::schedule::PartRole;
use crate::trade::attribute::names;
use crate::trade::category::Category;

/// "1 w/ ETW", "(1 ETW 4 wire)": a bare number of a few, of hinges that have wires.
pub(super) fn wired_ones(claims: &Claims, at: usize, next: usize) -> bool {
    let few = claims.tokens[at].whole(claims.text).is_some_and(|whole| (1..9).contains(&whole)) && next == at + 1;
    let free = claims.tokens[at].gap || at > 0 && claims.tokens[at - 1].is('(');
    let behind = claims.tokens.get(next).is_some_and(|token| token.gap && token.kind == Kind::Word);
    few && free && at > 0 && behind && with_wires(claims, next)
}

/// "3 hinges, one with 8 wires", "two with ETW": a number in words, of hinges named before it, that have wires.
pub(super) fn wired_words(claims: &Claims, at: usize, next: usize) -> bool {
    claims.tokens[at].kind == Kind::Word && with_wires(claims, next) && hinge_before(claims, at).is_some()
}

/// "One of which w/ 8 wires", "1 of them with 8 wires": behind "of which" too; the token before what they have.
pub(super) fn wired_of_them(claims: &Claims, at: usize, next: usize) -> Option<usize> {
    let of = claims.tokens.get(next).filter(|of| of.part == claims.tokens[at].part && of.text(claims.text) == "of")?;
    let them = claims.tokens.get(next + 1).filter(|them| them.part == of.part)?;
    let which = claims.does(next + 1, Role::Them) && with_wires(claims, next + 2) && hinge_before(claims, at).is_some();
    (which && them.kind == Kind::Word).then_some(next + 2)
}

/// Whether a count is one of hinges that have wires: `w/ 4 wire`, `with 8 wire ETW`, `ETW 4 wire`, `w/ ETW-8` follows.
pub fn with_wires(claims: &Claims, at: usize) -> bool {
    let part = at.checked_sub(1).and_then(|before| claims.tokens.get(before)).map(|token| token.part);
    let meanings = |at: usize| {
        let node = claims.longest(at).map(|(node, _)| node);
        node.into_iter().flat_map(|node| claims.lexicon.entries(node)).flat_map(|entry| &entry.meanings)
    };
    let same = |at: usize| claims.tokens.get(at).is_some_and(|token| Some(token.part) == part);
    let with = same(at) && meanings(at).any(|meaning| meaning.special == Special::Link(Link::With));
    let mut at = if with { claims.longest(at).map_or(at, |(_, next)| next) } else { at };
    let number = same(at) && claims.tokens[at].is_number();
    if number && with {
        at += 1;
        at += usize::from(claims.tokens.get(at).is_some_and(|token| token.is('-')));
        return same(at) && meanings(at).any(|meaning| meaning.special == Special::After(names::CONDUCTORS));
    }
    same(at)
        && !number
        && meanings(at)
            .any(|meaning| meaning.noun.is_some() && meaning.sets.iter().any(|set| set.attribute == names::CONDUCTORS))
}

/// "4 wire transfer", "4-wire transfer": the number of wires of one transfer, where nothing is hung with it; "2 wire transfers"
/// and "1 wire transfer" are so many, since one wire carries nothing.
pub(super) fn of_transfer(claims: &Claims, at: usize) -> Option<(What, usize)> {
    let (tokens, text) = (&claims.tokens, claims.text);
    let few = tokens.get(at)?.whole(text).filter(|few| (2..=24).contains(few))?;
    let hyphen = usize::from(tokens.get(at + 1).is_some_and(|sign| sign.is('-') && !sign.gap));
    let next = at + 1 + hyphen;
    tokens.get(next).filter(|wire| wire.part == tokens[at].part && wire.kind == Kind::Word)?;
    let (node, to) = claims.longest(next).filter(|(_, to)| *to > next + 1)?;
    let transfer = |node: u32| {
        let mut nouns = claims.lexicon.entries(node).flat_map(|entry| &entry.meanings).filter_map(|one| one.noun);
        nouns.any(|noun| noun.categories == only(Category::PowerTransfer))
    };
    let (label, behind) = claims.lexicon.longest(&tokens[..=next], next)?;
    let wires = |node: u32| {
        let mut meanings = claims.lexicon.entries(node).flat_map(|entry| &entry.meanings);
        meanings.any(|meaning| meaning.special == Special::After(names::CONDUCTORS))
    };
    let one = tokens[to - 1].singular == 0 && matches!(claims.role(at), PartRole::Free | PartRole::Description);
    if !one || !transfer(node) || behind != next + 1 || !wires(label) || hinge_before(claims, at).is_some() {
        return None;
    }
    let (measured, _) = claims.length(at)?;
    Some((What::Labelled { label, number: Decimal::from(few), measured, to: None, or: None }, next))
}

#[cfg(test)]
mod tests {
    use crate::read::schedule::Wording;
    use crate::trade::attribute::names;
    use crate::understand::{Surroundings, embedded, understand};

    /// The counts and wires of each good that a text names.
    fn read(text: &str) -> Vec<(String, String)> {
        let readings = understand(embedded().unwrap(), &Wording::free(text), &Surroundings::default());
        let wires = |one: &crate::understand::reading::Reading| {
            one.attributes.get(&names::CONDUCTORS).and_then(|heard| heard.found()).map_or("-".into(), |n| n.to_string())
        };
        let count =
            |one: &crate::understand::reading::Reading| one.quantity.amount.map_or("-".into(), |n| n.to_string());
        readings.iter().map(|one| (count(one), wires(one))).collect()
    }

    #[test]
    fn hinges_with_wires_are_told_from_those_without() {
        let of = |all: &[(&str, &str)]| all.iter().map(|(a, b)| (a.to_string(), b.to_string())).collect::<Vec<_>>();
        for text in [
            "3 hinges, one with 8 wires",
            "3 hinges (1) w/ 8 wires",
            "3 hinges, one of which w/ 8 wires",
            "3 hinges, 1 w/ 8 wires",
        ] {
            assert_eq!(read(text), of(&[("2", "-"), ("1", "8")]), "{text}");
        }
        assert_eq!(read("3 hinges with 8 wires"), of(&[("3", "8")]));
        assert_eq!(read("3 hinges (4-1/2 x 4-1/2)"), of(&[("3", "-")]));
    }

    #[test]
    fn the_wires_of_a_transfer_are_no_count_of_it() {
        let of = |all: &[(&str, &str)]| all.iter().map(|(a, b)| (a.to_string(), b.to_string())).collect::<Vec<_>>();
        for text in ["Mortise lock w/ 4 wire transfer", "Mortise lock with 4-wire transfer"] {
            assert_eq!(read(text), of(&[("-", "-"), ("-", "4")]), "{text}");
        }
        assert_eq!(read("Mortise lock w/ 2 wire transfers"), of(&[("-", "-"), ("2", "-")]));
        assert_eq!(read("Mortise lock w/ 1 wire transfer"), of(&[("-", "-"), ("1", "-")]));
        assert_eq!(read("Continuous hinge w/ 8 wire transfer"), of(&[("-", "8")]));
    }
}
