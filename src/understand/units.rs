//! Counts whose unit stands before the number, or by itself: `PR 1-1/2 hinges`, `hinges pr 1`, `set of smoke seals`.

use rust_decimal::Decimal;

use super::claim::Claims;
use super::counts::{and_half, counted_already};
use super::lexicon::Gist;
use super::meaning::Special;
use super::quantity::{Counted, head, number_word, unit};
use super::reading::Unit;
use super::roles::Role;
use super::token::Kind;
use crate::read::schedule::PartRole;

/// What begins with a unit: `pr 1`, `PR 1-1/2 hinges`, a unit beside the number of its column, `pair and a half`.
pub(super) fn of_unit(claims: &Claims, at: usize, unit: Unit, behind: usize) -> Option<(Counted, usize)> {
    if let Some((unit, amount, next)) = unit_first(claims, at).filter(|_| at > 0) {
        return Some((Counted { amount: Some(amount), unit: Some(unit), sure: true, ..Counted::default() }, next));
    }
    if head(claims, at)
        && let Some(found) = unit_heads(claims, at).or_else(|| unit_of_column(claims, at))
    {
        return Some(found);
    }
    let next = and_half(claims, behind).filter(|_| unit == Unit::Pair)?;
    let amount = Some(Decimal::new(15, 1));
    Some((Counted { amount, unit: Some(Unit::Pair), sure: true, ..Counted::default() }, next))
}

/// "Set of smoke seals", and "PR butts", "LF smoke seal" beside a number in the quantity column: the unit by itself.
fn unit_of_column(claims: &Claims, at: usize) -> Option<(Counted, usize)> {
    let (unit, next) = unit(claims, at)?;
    let first = &claims.tokens[at];
    // NO SILENCERS: without a point, "no" denies.
    let denies = claims.longest(at).is_some_and(|(node, _)| claims.lexicon.may_be(node, Gist::NOT));
    if denies && !claims.tokens.get(next).is_some_and(|token| token.is('.')) {
        return None;
    }
    let follows = claims.tokens.get(next).is_some_and(|token| token.part == first.part && token.gap);
    let of = claims.tokens.get(next).is_some_and(|token| token.text(claims.text) == "of");
    let heads_cell = at.checked_sub(1).is_some_and(|before| {
        claims.tokens[before].part != first.part
            && claims.tokens[before].is_number()
            && claims.role(before) == PartRole::Quantity
    });
    // "Pair of panics": one pair, where nothing else counts.
    let amount = (of && !counted_already(claims)).then_some(Decimal::ONE);
    let counted = Counted { amount, unit: Some(unit), sure: true, ..Counted::default() };
    (of || heads_cell && follows).then_some((counted, next + usize::from(of)))
}

/// `pr 1`, `ea. 3` at the end of a cell: the unit, then the number.
pub(super) fn unit_first(claims: &Claims, at: usize) -> Option<(Unit, Decimal, usize)> {
    let (unit, mut next) = unit(claims, at)?;
    let pieces = matches!(unit, Unit::Each | Unit::Pair | Unit::Set);
    next += usize::from(claims.tokens.get(next).is_some_and(|token| token.is('.') || token.is(':') || token.is('-')));
    let token = claims.tokens.get(next).filter(|token| token.part == claims.tokens[at].part)?;
    // "Stop dome ea ten"
    let words = || number_word(claims, next).map(|(amount, behind)| (amount, false, behind));
    let (amount, _, behind) = if token.is_number() { claims.number(next)? } else { words()? };
    // "Louvre 18x18 ea 1 no grille": what the good has not may follow.
    let denies = claims.longest(behind).is_some_and(|(node, _)| claims.lexicon.may_be(node, Gist::NOT));
    let last = claims.tokens.get(behind).is_none_or(|after| after.part != token.part || after.is(',')) || denies;
    (pieces && last && amount < Decimal::from(100)).then_some((unit, amount, behind))
}

/// `PR 1-1/2 BB hinges`, `EA 3 wall stops`: at the head of a text the unit, then the number, then words.
fn unit_heads(claims: &Claims, at: usize) -> Option<(Counted, usize)> {
    let (unit, next) = unit(claims, at)?;
    let number = claims.tokens.get(next).filter(|token| token.is_number() && token.gap)?;
    let (amount, _, behind) = claims.number(next)?;
    let follower = claims.tokens.get(behind).filter(|token| token.gap && token.kind == Kind::Word)?;
    let label = claims.longest(behind).is_some_and(|(node, _)| {
        claims
            .lexicon
            .entries(node)
            .flat_map(|entry| &entry.meanings)
            .any(|meaning| matches!(meaning.special, Special::After(_) | Special::Dimension(_) | Special::Unit(_)))
    });
    let length = claims.does(behind, Role::Length);
    let pieces = matches!(unit, Unit::Each | Unit::Pair | Unit::Set);
    (pieces && number.part == follower.part && !label && !length && amount < Decimal::from(100))
        .then_some((Counted { amount: Some(amount), unit: Some(unit), sure: true, ..Counted::default() }, behind))
}
