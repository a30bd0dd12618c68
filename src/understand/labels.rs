//! Numbers with a label: `backset 2-3/4`, `8-wire`, `24 VDC`, `eight outputs`, `(8) conductors`.

use rust_decimal::Decimal;

use super::claim::{Claims, What, range};
use super::lexicon::{Entry, Gist};
use super::meaning::{Meaning, Special, only};
use super::measure::{Measured, measure};
use super::quantity;
use super::token::Kind;
use crate::trade::attribute::names;
use crate::trade::category::Category;
use crate::trade::inches::Inches;

/// `backset 2-3/4`, `size 1-6`, `gr 1`, `door width less 2`.
pub(super) fn labelled_before(claims: &Claims, at: usize, phrase: Option<(u32, usize)>) -> Option<(What, usize)> {
    let (label, mut next) = phrase?;
    let first = claims.tokens.get(at)?;
    if first.kind != Kind::Word {
        return None;
    }
    if !claims.lexicon.may_be(label, Gist::LABEL) {
        return None;
    }
    let fits = |entry: &Entry| {
        entry.meanings.iter().any(|meaning| match meaning.special {
            Special::Before(_) => true,
            // A bare letter (h 10) is too little to label what follows.
            Special::Dimension(_) => first.end - first.start > 2,
            _ => false,
        })
    };
    if !claims.lexicon.entries(label).any(fits) {
        return None;
    }
    while claims.tokens.get(next).is_some_and(|t| t.is(':') || t.is('=') || t.is('#') || t.is('.') || t.is('-')) {
        next += 1;
    }
    claims.tokens.get(next).filter(|token| token.part == first.part)?;
    let Some(number) = claims.tokens[next].value(claims.text) else { return in_words(claims, label, next) };
    if !counts_whole(claims, label, number) {
        return None;
    }
    if let Some((to, behind)) = range(claims, next) {
        let measured = claims.length(next)?.0;
        return Some((What::Labelled { label, number, measured, to: Some(to), or: None }, behind));
    }
    let (measured, behind) = claims.length(next)?;
    // "backset 2-3/4 x ..." stays a label; "width 36 x 84" is a size that the size grammar reads.
    let or = claims.tokens.get(behind).filter(|token| token.text(claims.text) == "or");
    let other = or.and_then(|_| claims.tokens.get(behind + 1)).and_then(|token| token.value(claims.text));
    let mut behind = behind + 2 * usize::from(other.is_some());
    // ETW 4 wire: a label behind the number says the same again.
    let attribute = |node: u32| {
        claims.lexicon.entries(node).flat_map(|entry| &entry.meanings).find_map(|meaning| match meaning.special {
            Special::Before(attribute) | Special::After(attribute) => Some(attribute),
            _ => None,
        })
    };
    if let Some((node, next)) = claims.longest(behind)
        && claims.tokens[behind].part == first.part
        && attribute(node).is_some_and(|again| attribute(label) == Some(again))
    {
        behind = next;
    }
    Some((What::Labelled { label, number: measured_or(number, measured), measured, to: None, or: other }, behind))
}

/// "Size four", "grade one": a number in words behind its label, which ends there.
fn in_words(claims: &Claims, label: u32, at: usize) -> Option<(What, usize)> {
    let (number, behind) = quantity::number_word(claims, at)?;
    let before = |meaning: &Meaning| matches!(meaning.special, Special::Before(_));
    let labels = claims.lexicon.entries(label).flat_map(|entry| &entry.meanings).any(before);
    let ends = claims.tokens.get(behind).is_none_or(|token| {
        token.part != claims.tokens[at].part || matches!(token.kind, Kind::Sign(',' | ';' | '.' | ')' | '-'))
    });
    let measured = Measured { value: Inches::new(number), marked: false, fraction: false, metric: false };
    (labels && ends && number.fract().is_zero())
        .then_some((What::Labelled { label, number, measured, to: None, or: None }, behind))
}

/// More wires than these no hinge has: `TW-4510` is a number in a catalog.
const WIRES: u32 = 24;

/// "Hinge w/ wires 4.5": nobody counts half a wire.
fn counts_whole(claims: &Claims, label: u32, number: Decimal) -> bool {
    let mut meanings = claims.lexicon.entries(label).flat_map(|entry| &entry.meanings);
    let wires = meanings
        .any(|one| matches!(one.special, Special::After(names::CONDUCTORS) | Special::Before(names::CONDUCTORS)));
    !wires || number.fract().is_zero() && number <= Decimal::from(WIRES)
}

fn measured_or(number: Decimal, measured: Measured) -> Decimal {
    if measured.fraction { measured.value.decimal() } else { number }
}

/// `(8) conductors`: a number in brackets before its label.
pub(super) fn bracketed_label(claims: &Claims, at: usize) -> Option<(What, usize)> {
    let number = claims.tokens.get(at + 1)?.value(claims.text)?;
    let measured = measure(&claims.lexicon.roles, claims.text, &claims.tokens[..=at + 1], at + 1)?.0;
    let (label, end) = claims.longest(at + 3)?;
    let mut meanings = claims.lexicon.entries(label).flat_map(|entry| &entry.meanings);
    let labels = meanings.any(|meaning| matches!(meaning.special, Special::After(_)));
    let letters = claims.tokens[at + 3].end - claims.tokens[at + 3].start;
    (labels && letters > 1 && claims.tokens[at + 3].part == claims.tokens[at].part)
        .then_some((What::Labelled { label, number, measured, to: None, or: None }, end))
}

/// `8-wire`, `24 VDC`, `1200 lb`.
pub(super) fn labelled_after(claims: &Claims, at: usize) -> Option<(What, usize)> {
    let (mut number, _, mut behind) = claims.number(at)?;
    let other = other_number(claims, at);
    if let Some((_, end)) = other {
        (number, behind) = (claims.tokens[at].value(claims.text)?, end);
    }
    let mut next = behind;
    while claims.tokens.get(next).is_some_and(|token| token.is('-')) {
        next += 1;
    }
    if claims.tokens.get(next)?.part != claims.tokens[at].part {
        return None;
    }
    let (label, end) = label_behind(claims, next)?;
    let labels = |entry: &Entry| {
        entry.meanings.iter().any(|meaning| match meaning.special {
            Special::After(_) => true,
            Special::Dimension(_) => other.is_some(),
            _ => false,
        })
    };
    if !claims.lexicon.entries(label).any(labels) {
        return None;
    }
    // 8W, 4A: a single letter labels a number only when it touches it, and is not the head of w/.
    let word = &claims.tokens[next];
    let letter = word.kind == Kind::Word && word.end - word.start == 1 && end == next + 1;
    let apart = word.gap && !amperes_of_supply(claims, label, end);
    if letter && (apart || claims.tokens.get(end).is_some_and(|token| token.is('/'))) {
        return None;
    }
    let measured = match other {
        Some(_) => {
            Measured { marked: true, ..measure(&claims.lexicon.roles, claims.text, &claims.tokens[..=at], at)?.0 }
        }
        None => claims.length(at)?.0,
    };
    let end = said_again(claims, label, end);
    Some((What::Labelled { label, number, measured, to: None, or: other.map(|(number, _)| number) }, end))
}

/// `Power supply 24VDC 2 A`: behind the name of a supply a single letter that ends what is said labels the number before it, though
/// a blank parts them.
fn amperes_of_supply(claims: &Claims, label: u32, end: usize) -> bool {
    let mut meanings = claims.lexicon.entries(label).flat_map(|entry| &entry.meanings);
    let amps = meanings.any(|meaning| meaning.special == Special::After(names::AMPS));
    let part = claims.tokens[end - 1].part;
    let ends = claims.tokens.get(end).is_none_or(|behind| {
        behind.part != part || behind.is_number() || matches!(behind.kind, Kind::Sign(',' | ';' | ')' | '@'))
    });
    let named = |claim: &super::claim::Claim| {
        let mut meanings = claim.entries(claims.lexicon).flat_map(|entry| &entry.meanings);
        meanings.any(|meaning| meaning.noun.is_some_and(|noun| noun.categories == only(Category::PowerSupply)))
    };
    amps && ends && claims.list.iter().any(named)
}

/// The label that begins at a token behind a number, and the token behind it. "8-wire hinge": the name of the good begins with
/// the label.
fn label_behind(claims: &Claims, next: usize) -> Option<(u32, usize)> {
    let (label, end) = claims.longest(next)?;
    let after = |node: u32| {
        claims.lexicon.entries(node).flat_map(|entry| &entry.meanings).any(|m| matches!(m.special, Special::After(_)))
    };
    if end > next + 1
        && !after(label)
        && let Some(alone) = claims.lexicon.phrase(&claims.tokens[..=next], next)
        && !alone.guessed
        && after(alone.node)
        && claims.tokens[next].end - claims.tokens[next].start > 2
        && claims.phrase(next + 1).is_some_and(|behind| behind.next >= end)
    {
        return Some((alone.node, alone.next));
    }
    Some((label, end))
}

/// "8-wire through-wire": behind a label, one that names the same attribute and has no number of its own says it again.
fn said_again(claims: &Claims, label: u32, end: usize) -> usize {
    let attribute = |node: u32| {
        claims.lexicon.entries(node).flat_map(|entry| &entry.meanings).find_map(|meaning| match meaning.special {
            Special::After(attribute) => Some(attribute),
            _ => None,
        })
    };
    let same_cell = |at: usize| {
        claims.tokens.get(at).is_some_and(|t| t.part == claims.tokens[end - 1].part && t.kind == Kind::Word)
    };
    match claims.longest(end).filter(|_| same_cell(end)) {
        Some((node, next)) if attribute(node).is_some() && attribute(node) == attribute(label) => next,
        _ => end,
    }
}

/// "Eight outputs", "four-wire": a number in words before its label of several letters, which is no unit of counting.
pub(super) fn labelled_in_words(claims: &Claims, at: usize) -> Option<(What, usize)> {
    let first = claims.tokens.get(at).filter(|token| token.kind == Kind::Word)?;
    let (number, behind) = quantity::number_word(claims, at).or_else(|| {
        // "four wire" is a phrase too.
        let token = &claims.tokens[at];
        let words = [token.id, token.singular].into_iter().chain(token.others).filter(|word| *word != 0);
        let mut nodes = words.filter_map(|word| claims.lexicon.step(0, word));
        if !nodes.any(|node| claims.lexicon.may_be(node, Gist::NUMBER)) {
            return None;
        }
        let alone = claims.lexicon.phrase(&claims.tokens[..=at], at)?;
        let mut meanings = claims.lexicon.entries(alone.node).flat_map(|entry| &entry.meanings);
        meanings.find_map(|meaning| match meaning.special {
            Special::Number(number) => Some((number, at + 1)),
            _ => None,
        })
    })?;
    let next = behind + usize::from(claims.tokens.get(behind).is_some_and(|token| token.is('-') && !token.gap));
    let word = claims.tokens.get(next).filter(|token| token.part == first.part && token.end - token.start > 2)?;
    let (label, end) = label_behind(claims, next)?;
    let entries = || claims.lexicon.entries(label).flat_map(|entry| &entry.meanings);
    let labels = entries().any(|meaning| matches!(meaning.special, Special::After(_)));
    let counts = entries().any(|meaning| matches!(meaning.special, Special::Unit(_)));
    let measured = Measured { value: Inches::new(number), marked: false, fraction: false, metric: false };
    (labels && !counts && word.kind == Kind::Word)
        .then_some((What::Labelled { label, number, measured, to: None, or: None }, end))
}

/// The second of two whole numbers that a line leaves open: `4 or 8`, `12/24`; a slash only where it makes no fraction
/// of an inch that a label of a length follows.
fn other_number(claims: &Claims, at: usize) -> Option<(Decimal, usize)> {
    let text = claims.text;
    let joint = claims.tokens.get(at + 1)?;
    let second = claims.tokens.get(at + 2)?;
    if claims.tokens[at].part != second.part {
        return None;
    }
    let (one, two) = (claims.tokens[at].value(text)?, second.value(text)?);
    if joint.text(text) == "or" {
        return Some((two, at + 3));
    }
    let touches = !joint.gap && !second.gap;
    let (label, _) = claims.longest(at + 3)?;
    let counted =
        claims.lexicon.entries(label).flat_map(|entry| &entry.meanings).any(|meaning| match meaning.special {
            Special::After(attribute) => {
                matches!(attribute.name(), "conductors" | "voltage" | "holding_force" | "outputs")
            }
            _ => false,
        });
    (joint.is('/') && touches && counted && one != two).then_some((two, at + 3))
}
