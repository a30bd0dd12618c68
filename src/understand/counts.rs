//! Numbers that count goods by what stands around them: of hinges those that have wires, behind "with", in words.

use rust_decimal::Decimal;

use super::claim::{Claims, What};
use super::lexicon::Gist;
use super::meaning::{Link, Special};
use super::quantity::number_word;
use super::token::{Kind, Token};
use crate::trade::attribute::names;

/// "1 w/ ETW", "(1 ETW 4 wire)": a bare number of a few, of hinges that have wires.
pub(super) fn wired_ones(claims: &Claims, at: usize, next: usize) -> bool {
    let few = claims.tokens[at].whole(claims.text).is_some_and(|whole| (1..9).contains(&whole)) && next == at + 1;
    let free = claims.tokens[at].gap || at > 0 && claims.tokens[at - 1].is('(');
    let behind = claims.tokens.get(next).is_some_and(|token| token.gap && token.kind == Kind::Word);
    few && free && at > 0 && behind && with_wires(claims, next)
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

/// "Operator w/ 2 actuators": a number between "with" and the name of a good that is more than a part.
pub fn with_count(claims: &Claims, at: usize, next: usize) -> bool {
    let Some(with) = claims.list.last().filter(|claim| claim.to <= at).or(claims.list.iter().rfind(|c| c.to <= at))
    else {
        return false;
    };
    let meanings = |node: u32| claims.lexicon.entries(node).flat_map(|entry| &entry.meanings);
    let link = with.to == at
        && with.node().is_some_and(|node| meanings(node).any(|meaning| meaning.special == Special::Link(Link::With)));
    let keys = super::meaning::only(crate::trade::category::Category::Keying);
    let good = |node: u32| {
        meanings(node).any(|meaning| meaning.noun.is_some_and(|noun| !noun.component && noun.categories != keys))
    };
    // "Replace w/ 3 BB hinges"
    let replaces = with
        .from
        .checked_sub(1)
        .is_some_and(|before| matches!(claims.tokens[before].text(claims.text), "replace" | "replacing" | "replaced"));
    let small = claims.tokens[at].whole(claims.text).is_some_and(|whole| (1..100).contains(&whole));
    let word = claims.tokens.get(next).is_some_and(|token| token.gap && token.kind == Kind::Word);
    let size = matches!(claims.tokens.get(next).map(|token| token.text(claims.text)), Some("x" | "in" | "inch" | "ft"));
    link && (claims.longest(next).is_some_and(|(node, _)| good(node)) || replaces && small && word && !size)
}

/// "Keys - 6 change keys": what is counted behind the name of what the line is about, of keys, unless it is so many a lock.
pub(super) fn of_keys(claims: &Claims, at: usize, next: usize) -> bool {
    let keys = super::meaning::only(crate::trade::category::Category::Keying);
    let named = |node: u32| {
        let mut meanings = claims.lexicon.entries(node).flat_map(|entry| &entry.meanings);
        meanings.any(|meaning| meaning.noun.is_some_and(|noun| noun.categories == keys))
    };
    let parted = at.checked_sub(1).is_some_and(|sign| claims.tokens[sign].is('-') || claims.tokens[sign].is(':'));
    let first = claims.list.last().filter(|_| claims.list.len() == 1);
    let heading = first.is_some_and(|claim| claim.to + 1 == at && claim.node().is_some_and(named));
    let Some((node, behind)) = claims.longest(next) else { return false };
    let each =
        claims.tokens.get(behind).is_some_and(|token| matches!(token.text(claims.text), "per" | "each" | "ea" | "/"));
    parted && heading && named(node) && !each
}

/// ", eight,": a number in words by itself between separators, or before the end.
pub(super) fn alone(claims: &Claims, at: usize, next: usize) -> bool {
    let first = &claims.tokens[at];
    let sign = |at: usize| matches!(claims.tokens[at].kind, Kind::Sign(',' | ';'));
    let before = at.checked_sub(1).is_some_and(|before| claims.tokens[before].part == first.part && sign(before));
    let behind = claims.tokens.get(next).is_none_or(|token| token.part != first.part) || sign(next);
    first.kind == Kind::Word && before && behind
}

/// "Two with ETW", "three BB butts": a number in words, behind a separator or at the head, before the name of a good.
pub fn in_words(claims: &Claims, at: usize, next: usize) -> bool {
    let first = &claims.tokens[at];
    let half = number_word(claims, at).is_none_or(|(number, _)| number < Decimal::ONE);
    let told = at.checked_sub(1).is_some_and(|before| {
        matches!(claims.tokens[before].text(claims.text), "provide" | "furnish" | "supply" | "install")
    });
    if told && !half {
        return true;
    }
    let begins = at.checked_sub(1).is_none_or(|before| claims.tokens[before].part != first.part) && !half;
    let inside = begins || at.checked_sub(1).is_some_and(|before| claims.tokens[before].part == first.part);
    let named = |at: usize| {
        let noun = |node: u32| {
            let mut meanings = claims.lexicon.entries(node).flat_map(|entry| &entry.meanings);
            claims.lexicon.may_be(node, Gist::NOUN) && meanings.any(|meaning| meaning.noun.is_some())
        };
        claims.tokens.get(at).is_some_and(|token| token.part == first.part)
            && claims.longest(at).is_some_and(|(node, _)| noun(node))
    };
    first.kind == Kind::Word && inside && (next..next + 5).any(named)
}

/// "Electric strike fail secure one": a number in words at the end counts, unless a label stands before it or it is a share.
pub(super) fn at_end(claims: &Claims, at: usize, next: usize) -> bool {
    let last = claims.tokens.get(next).is_none_or(|behind| behind.part != claims.tokens[at].part);
    if !last || claims.tokens[at].kind != Kind::Word {
        return false;
    }
    let Some(before) = claims.list.last().filter(|claim| claim.to == at) else { return false };
    let mut meanings = before.entries(claims.lexicon).flat_map(|entry| &entry.meanings);
    let label = meanings.any(|meaning| {
        matches!(meaning.special, Special::Before(_) | Special::Dimension(_) | Special::Link(_) | Special::Not)
    });
    !label && (before.node().is_some() || matches!(before.what, What::Labelled { .. }))
}

/// "He wants one threshold", "needs 3 cylinders": words that nothing reads, a count, and right behind it the name of a good.
pub(super) fn leads(claims: &Claims, at: usize, next: usize) -> bool {
    let part = claims.tokens[at].part;
    let start = claims.tokens.partition_point(|token| token.part < part);
    let silent = |token: &Token| {
        let node = claims.lexicon.is_phrase(token.id).then(|| claims.lexicon.phrase(std::slice::from_ref(token), 0));
        let found = node.flatten().filter(|found| !found.guessed);
        let mut meanings =
            found.into_iter().flat_map(|found| claims.lexicon.entries(found.node)).flat_map(|e| &e.meanings);
        token.kind == Kind::Word
            && meanings.all(|one| matches!(one.special, Special::Nothing | Special::Ordinary | Special::Remark(_)))
    };
    let named = |at: usize| {
        claims.longest(at).is_some_and(|(node, _)| {
            claims.lexicon.entries(node).flat_map(|entry| &entry.meanings).any(|meaning| meaning.noun.is_some())
        })
    };
    start < at
        && at - start <= 5
        && claims.tokens[at].gap
        && claims.tokens.get(next).is_some_and(|token| token.part == part && token.gap)
        && (named(next) || claims.longest(next).is_some_and(|(_, behind)| behind > next && named(behind)))
        && claims.tokens[start..at].iter().all(silent)
}

/// "and a half", "and one half", "& 1/2" behind a number or a pair.
pub(super) fn and_half(claims: &Claims, at: usize) -> Option<usize> {
    let word = |at: usize| claims.tokens.get(at).map_or("", |token| token.text(claims.text));
    if !matches!(word(at), "and" | "&") {
        return None;
    }
    if word(at + 1) == "1" && word(at + 2) == "/" && word(at + 3) == "2" {
        return Some(at + 4);
    }
    let half = at + 1 + usize::from(matches!(word(at + 1), "a" | "one"));
    (word(half) == "half").then_some(half + 1)
}
