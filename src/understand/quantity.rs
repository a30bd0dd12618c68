//! Reads quantities and units: (3), 3 EA, 3x, 1-1/2 PR, 1½ pair, three, QTY 3, 3 per single door, 4 per pair.

use rust_decimal::Decimal;

use super::claim::Claims;
use super::counts::{
    and_half, at_end, basis, basis_behind, behind_name, behind_plural, ends_or_finish, instead, leads,
    measures_beside_column, of_keys, of_them, packed, per_door, pieces_behind, with_count,
};
use super::lexicon::Gist;
use super::meaning::{ANY, Special};
use super::measure::decimal_comma;
use super::perpair::per_pair;
use super::reading::Unit;
use super::roles::Role;
use super::split::hinge_before;
use super::token::{Kind, Token};
use super::trailing;
use super::units::{of_unit, unit_first};
use super::unparted::counts_next;
use super::wired::{wired_of_them, wired_ones, with_wires};
use crate::read::schedule::{Basis, PartRole};
use crate::trade::finish;

/// A quantity as written; nothing is converted.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Counted {
    /// How many; `None` for a unit by itself.
    pub amount: Option<Decimal>,
    /// The unit.
    pub unit: Option<Unit>,
    /// What it is per.
    pub basis: Option<Basis>,
    /// Amounts for single doors and pairs.
    pub by_leaves: Option<(Decimal, Decimal)>,
    /// A unit, brackets or a word for quantity stand beside the number; else it is only a number at the head of the line.
    pub sure: bool,
    /// A second thought: it stands for the count before it.
    pub instead: bool,
}

/// The quantity that begins at a token, and the token behind it.
pub fn quantity(claims: &Claims, at: usize) -> Option<(Counted, usize)> {
    let role = claims.role(at);
    match role {
        PartRole::Quantity => in_column(claims, at),
        PartRole::Unit => in_unit_column(claims, at),
        PartRole::CatalogNumber | PartRole::Finish | PartRole::Maker => None,
        PartRole::Remarks | PartRole::Description | PartRole::Free => in_text(claims, at),
    }
}

/// `EA`, `PR`, `LEAF`, `EACH OPENING`, `EA LEAF`: what is counted, or what the count is per.
fn in_unit_column(claims: &Claims, at: usize) -> Option<(Counted, usize)> {
    if let Some((per, next)) = basis(claims, at) {
        return Some((Counted { basis: Some(per), sure: true, ..Counted::default() }, next));
    }
    let (unit, next) = unit(claims, at)?;
    Some((Counted { unit: Some(unit), sure: true, ..Counted::default() }, next))
}

/// In the quantity column every number is the quantity, `x3` too.
fn in_column(claims: &Claims, at: usize) -> Option<(Counted, usize)> {
    let times = claims.tokens[at].text(claims.text) == "x" && claims.tokens.get(at + 1).is_some_and(Token::is_number);
    let at = at + usize::from(times);
    let inner = (at..at + BRACKETS).find(|at| claims.tokens.get(*at).is_some_and(|token| !token.is('(')))?;
    let (counted, mut next) = bare(claims, inner)?;
    for _ in at..inner {
        next += usize::from(claims.tokens.get(next).is_some_and(|token| token.is(')')));
    }
    Some((counted, next))
}

/// Brackets around the number of a cell, at most, and what stands in them.
const BRACKETS: usize = 4;

/// A number of the quantity column without the brackets around it.
fn bare(claims: &Claims, at: usize) -> Option<(Counted, usize)> {
    let token = claims.tokens.get(at)?;
    if token.is_number() {
        let (amount, _, next) = claims.number(at)?;
        let (amount, next) = decimal_comma(claims.text, &claims.tokens, at).unwrap_or((amount, next));
        return Some(with_unit(claims, at, amount, next, true));
    }
    if let Some((amount, next)) = number_word(claims, at) {
        return Some(with_unit(claims, at, amount, next, true));
    }
    let (unit, next) = unit(claims, at)?;
    Some((Counted { unit: Some(unit), sure: true, ..Counted::default() }, next))
}

/// In a text a quantity needs a unit, brackets, or the head of the line.
fn in_text(claims: &Claims, at: usize) -> Option<(Counted, usize)> {
    let token = claims.tokens.get(at)?;
    let text = claims.text;
    if token.is('(') {
        return bracketed(claims, at);
    }
    if token.kind == Kind::Word {
        let word = token.text(text);
        if word == "x" || claims.does(at, Role::Quantity) {
            return named(claims, at, word == "x");
        }
        // "A pair of overhead stops": one of a unit.
        if matches!(word, "a" | "an") && head(claims, at) && unit(claims, at + 1).is_some() {
            let (counted, behind) = with_unit(claims, at, Decimal::ONE, at + 1, true);
            let of = claims.tokens.get(behind).is_some_and(|token| token.text(text) == "of");
            return Some((counted, behind + usize::from(of)));
        }
        if let Some((unit, behind)) = unit(claims, at)
            && let Some(found) = of_unit(claims, at, unit, behind)
        {
            return Some(found);
        }
        if let Some(found) = packed(claims, Decimal::ONE, at) {
            return Some(found);
        }
        return in_words(claims, at).or_else(|| basis_behind(claims, at));
    }
    if !token.is_number() || (at > 0 && !token.gap && claims.tokens[at - 1].kind == Kind::Word) {
        return None;
    }
    // 652 ea door, 626 no cam: a finish behind other words is no count of what follows.
    if at > 0 && token.end - token.start == 3 && !head(claims, at) && finish::find(token.text(text)).is_some() {
        return None;
    }
    if number_word(claims, at).is_some_and(|(_, next)| next > at + 1)
        && let Some(found) = in_words(claims, at)
    {
        return Some(found);
    }
    let (amount, split, next) = claims.number(at)?;
    // "60 minute" is a time that fire is held.
    if claims.does(next, Role::Rating) && claims.tokens[next].part == token.part {
        return None;
    }
    let (counted, behind) = with_unit(claims, at, amount, next, true);
    if counted.unit.is_some() && at > 0 && unit_first(claims, next).is_some() {
        // hinges 4-1/2 pr 1: the number before the unit is a size.
        return None;
    }
    if counted.unit.is_some() || counted.basis.is_some() {
        let behind_unit = claims.tokens.get(behind);
        // 3 ea x ..., 2 pc 4x4 are quantities; "1 set x" too. A foot behind a fraction is a length.
        if behind_unit.is_some_and(|token| token.text(text) == "x" && counted.unit == Some(Unit::Foot)) {
            return None;
        }
        return Some((counted, behind));
    }
    if let Some(found) = super::oneleaf::counted(claims, amount, next).filter(|_| !split) {
        return Some(found);
    }
    if let Some(found) = per_door(claims, amount, behind) {
        return Some(found);
    }
    if let Some(next) = wired_of_them(claims, at, next).or_else(|| of_them(claims, at, next)).filter(|_| !split) {
        return Some((Counted { amount: Some(amount), sure: true, ..Counted::default() }, next));
    }
    if !split && instead(claims, at) && ends_or_finish(claims, at, next) {
        return Some((Counted { amount: Some(amount), sure: true, instead: true, ..Counted::default() }, next));
    }
    if !split && let Some(found) = packed(claims, amount, next) {
        return Some(found);
    }
    let counts = || {
        with_count(claims, at, next)
            || of_keys(claims, at, next)
            || behind_name(claims, at, next)
            || counts_next(claims, &claims.list, at, next)
            || trailing::behind_sign(claims, at, next)
            || trailing::heads_cell(claims, at, next, Some(amount))
    };
    if wired_ones(claims, at, next) || !split && counts() {
        return Some((Counted { amount: Some(amount), sure: true, ..Counted::default() }, next));
    }
    // "Hinges, need 3": what is asked for, at the end.
    let asked = at.checked_sub(1).is_some_and(|before| claims.does(before, Role::Asks));
    let last = claims.tokens.get(next).is_none_or(|behind| behind.part != token.part);
    if asked && last && !split && token.whole(text).is_some_and(|whole| (1..100).contains(&whole)) {
        return Some((Counted { amount: Some(amount), sure: true, ..Counted::default() }, next));
    }
    let begins = head(claims, at) || leads(claims, at, next);
    if split || !begins || !bare_head(claims, at, next) || measures_beside_column(claims, amount) {
        return None;
    }
    // "83 geared hinge one ea": a large number before another count is a measure.
    if pieces_behind(claims, amount, next) {
        return None;
    }
    let times = claims.tokens.get(next).is_some_and(|token| token.text(text) == "x" && !token.gap);
    Some((Counted { amount: Some(amount), sure: times, ..Counted::default() }, next + usize::from(times)))
}

/// Three, half a dozen, two ea, 1 doz: a number that the lists have in words, where its place or a unit makes it a count.
fn in_words(claims: &Claims, at: usize) -> Option<(Counted, usize)> {
    let (amount, next) = number_word(claims, at)?;
    let (counted, behind) = with_unit(claims, at, amount, next, true);
    let behind = behind + usize::from(claims.does(behind, Role::More));
    if let Some(next) = wired_of_them(claims, at, next).or_else(|| of_them(claims, at, next)) {
        return Some((counted, next));
    }
    // "Operator w/ two actuators"
    if counted.unit.is_none() && behind == next && with_count(claims, at, next) {
        return Some((Counted { sure: true, ..counted }, next));
    }
    if instead(claims, at) && ends_or_finish(claims, at, behind) {
        return Some((Counted { instead: true, ..counted }, behind));
    }
    let dozens = amount >= Decimal::from(6) && next > at + 1;
    let unit = (counted.unit.is_some_and(|unit| unit != Unit::Foot) || dozens) && ends_or_finish(claims, at, behind);
    // "Rim cyl one ea w/ tailpiece": pieces and sets are counted wherever it stands; "needs half a dozen".
    let pieces = matches!(counted.unit, Some(Unit::Each | Unit::Set)) && amount >= Decimal::ONE;
    let asked = at.checked_sub(1).is_some_and(|before| claims.does(before, Role::Asks));
    let counts = head(claims, at)
        || with_wires(claims, next)
        || at_end(claims, at, behind)
        || behind_plural(claims, at, behind)
        || trailing::heads_cell(claims, at, behind, Some(amount))
        || unit
        || pieces
        || asked
        || leads(claims, at, next);
    counts.then_some((counted, behind))
}

/// Whether a bare number at the head of a text can be its quantity: a word follows that does not make it something else.
pub(super) fn bare_head(claims: &Claims, at: usize, next: usize) -> bool {
    let text = claims.text;
    let Some(whole) = claims.tokens[at].whole(text) else { return false };
    let Some(mut follower) = claims.tokens.get(next) else { return false };
    // 08 LVR is a function.
    if claims.tokens[at].text(text).starts_with('0') && claims.does(next, Role::Lever) {
        return false;
    }
    if follower.part != claims.tokens[at].part || whole == 0 || whole > 499 {
        return false;
    }
    if whole >= 100 && finish::find(claims.tokens[at].text(text)).is_some() {
        return false;
    }
    let mut behind = next;
    // 4 or 8 wire: two numbers of which one holds.
    if follower.text(text) == "or" && claims.tokens.get(next + 1).is_some_and(Token::is_number) {
        return false;
    }
    if follower.is('-') && follower.gap {
        behind += 1;
        match claims.tokens.get(behind) {
            Some(token) if token.gap => follower = token,
            _ => return false,
        }
    }
    let times = follower.text(text) == "x" && !follower.gap;
    if times {
        // 3x hinge, but not 3x7.
        return claims.tokens.get(behind + 1).is_some_and(|token| token.gap && token.kind == Kind::Word);
    }
    // "3-hgs": a hyphen joins as nothing does.
    let hyphen = follower.is('-') && !follower.gap && claims.tokens.get(behind + 1).is_some_and(|token| !token.gap);
    if hyphen {
        return super::counts::hyphened(claims, behind + 1, whole) && names_good(claims, behind + 1, whole);
    }
    if follower.kind == Kind::Word && !follower.gap {
        return names_good(claims, behind, whole);
    }
    // 48 BAR: the length of an exit device.
    if whole >= 24 && follower.text(text) == "bar" {
        return false;
    }
    // 3 (three) hinges; 3 4-1/2 x 4-1/2 hinges; 3 knuckle is no quantity.
    let label = claims.longest(behind).is_some_and(|(node, _)| {
        claims
            .lexicon
            .entries(node)
            .filter(|entry| !entry.ambiguous)
            .flat_map(|entry| &entry.meanings)
            .any(|meaning| matches!(meaning.special, Special::After(_) | Special::Dimension(_)))
    });
    let joined = claims.does(behind, Role::Measure);
    (follower.kind == Kind::Word || follower.is('(') || (follower.is_number() && follower.gap)) && !label && !joined
}

/// 3HINGE, 3sil, 1bored, but not 3B or 4BB: what a number is written together with names a good, in three letters or more, or
/// tells of which kind it is in five.
fn names_good(claims: &Claims, at: usize, count: u32) -> bool {
    let Some((node, next)) = claims.longest(at) else { return false };
    let letters: u32 = claims.tokens[at..next].iter().map(|token| token.end - token.start).sum();
    let mut meanings = claims.lexicon.entries(node).flat_map(|entry| &entry.meanings);
    // "8-wire hinge": what is counted are the wires.
    let word = claims.lexicon.phrase(std::slice::from_ref(&claims.tokens[at]), 0);
    let labels = |node: u32| {
        let mut meanings = claims.lexicon.entries(node).flat_map(|entry| &entry.meanings);
        meanings.any(|meaning| matches!(meaning.special, Special::After(_) | Special::Dimension(_)))
    };
    if word.is_some_and(|found| labels(found.node)) {
        return false;
    }
    let few = letters >= 4 || letters == 3 && count < 25;
    meanings.any(|meaning| few && meaning.noun.is_some() || letters >= 5 && meaning.categories != ANY)
}

/// `(3)`, `(3) EA`, `(3 EA)`, `(1) pair`.
fn bracketed(claims: &Claims, at: usize) -> Option<(Counted, usize)> {
    let words = || number_word(claims, at + 1).map(|(amount, next)| (amount, false, next));
    let (amount, _, next) = claims.number(at + 1).or_else(words)?;
    let (mut counted, mut next) = with_unit(claims, at, amount, next, true);
    if !claims.tokens.get(next)?.is(')') || amount >= Decimal::from(100) {
        return None;
    }
    next += 1;
    if counted.unit.is_none() {
        let (again, behind) = with_unit(claims, at, amount, next, true);
        (counted, next) = (again, behind);
    }
    // (2) at the very end, or before words; (4) wires is no quantity.
    let label = claims.longest(next).is_some_and(|(node, _)| {
        let mut meanings = claims.lexicon.entries(node).flat_map(|entry| &entry.meanings);
        counted.unit.is_none() && meanings.any(|meaning| matches!(meaning.special, Special::After(_)))
    });
    let count_before =
        !head(claims, at) && claims.tokens.get(next).is_some_and(|token| token.part == claims.tokens[at].part);
    let counts = || {
        behind_name(claims, at, next)
            || counts_next(claims, &claims.list, at, next)
            || with_count(claims, at, next)
            || trailing::in_brackets(claims, at, next)
            || with_wires(claims, next) && hinge_before(claims, at).is_some()
    };
    let within = count_before && counted.unit.is_none() && !counts();
    (!(label || within)).then_some((counted, next))
}

/// `QTY 3`, `QTY: 3 EA`; `x2` at the end of a cell.
fn named(claims: &Claims, at: usize, times: bool) -> Option<(Counted, usize)> {
    let mut next = at + 1;
    while claims.tokens.get(next).is_some_and(|token| token.is(':') || token.is('.') || token.is('=') || token.is('-'))
    {
        next += 1;
    }
    if claims.tokens.get(next)?.part != claims.tokens[at].part {
        return None;
    }
    let words = || number_word(claims, next).filter(|_| !times).map(|(amount, behind)| (amount, false, behind));
    let (amount, split, behind) = claims.number(next).or_else(words)?;
    if times {
        let last = claims.tokens.get(behind).is_none_or(|token| token.part != claims.tokens[at].part);
        let alone = at == 0 || claims.tokens[at].gap && !claims.tokens[at - 1].is_number();
        let near = claims.tokens.get(next).is_some_and(|token| !token.gap);
        let counts = last && alone && near || trailing::times(claims, at, next, behind);
        return (counts && !split)
            .then_some((Counted { amount: Some(amount), sure: true, ..Counted::default() }, behind));
    }
    Some(with_unit(claims, at, amount, behind, true))
}

/// Whether a token stands at the head of its cell, of a line in it, or behind a separator.
pub fn head(claims: &Claims, at: usize) -> bool {
    let token = &claims.tokens[at];
    if token.line {
        return true;
    }
    match at.checked_sub(1).and_then(|before| claims.tokens.get(before)) {
        None => true,
        Some(before) => {
            before.part != token.part
                || matches!(before.kind, Kind::Sign(',' | ';' | '&' | '+'))
                || claims.does(at - 1, Role::And)
                || claims.does(at - 1, Role::Supply)
                || (matches!(before.kind, Kind::Sign('-' | '(' | '*' | '\u{2022}' | ':')) && head_sign(claims, at - 1))
        }
    }
}

fn head_sign(claims: &Claims, at: usize) -> bool {
    at.checked_sub(1)
        .and_then(|before| claims.tokens.get(before))
        .is_none_or(|before| before.part != claims.tokens[at].part)
}

/// A number in words.
pub(super) fn number_word(claims: &Claims, at: usize) -> Option<(Decimal, usize)> {
    let (node, next) = claims.longest(at).filter(|(node, _)| claims.lexicon.may_be(*node, Gist::NUMBER))?;
    let number =
        claims.lexicon.entries(node).flat_map(|entry| &entry.meanings).find_map(|meaning| match meaning.special {
            Special::Number(number) => Some(number),
            _ => None,
        })?;
    // one and one half, two and a half pair
    if let Some(behind) = and_half(claims, next) {
        return Some((number + Decimal::new(5, 1), behind));
    }
    // three (3) hinges
    let bracket = claims.tokens.get(next).is_some_and(|token| token.is('('))
        && claims.tokens.get(next + 1).and_then(|token| token.value(claims.text)) == Some(number)
        && claims.tokens.get(next + 2).is_some_and(|token| token.is(')'));
    Some((number, next + 3 * usize::from(bracket)))
}

/// The unit that stands at a token.
pub(super) fn unit(claims: &Claims, at: usize) -> Option<(Unit, usize)> {
    let (node, next) = claims.longest(at).filter(|(node, _)| claims.lexicon.may_be(*node, Gist::UNIT))?;
    claims.lexicon.entries(node).flat_map(|entry| &entry.meanings).find_map(|meaning| match meaning.special {
        Special::Unit(unit) => Some((unit, next)),
        _ => None,
    })
}

/// Adds the unit and the basis behind an amount.
pub(super) fn with_unit(claims: &Claims, at: usize, amount: Decimal, next: usize, sure: bool) -> (Counted, usize) {
    if let Some(found) = per_pair(claims, at, amount, next) {
        return found;
    }
    let mut counted = Counted { amount: Some(amount), sure, ..Counted::default() };
    let mut next = next;
    let same = |token: &Token| token.part == claims.tokens[at].part;
    let dash = claims.tokens.get(next).is_some_and(|token| token.is('-') && token.gap);
    let from = next + usize::from(dash);
    // "83 no elec": only a count that leads the text is so many numbers; elsewhere the word denies what follows.
    let denies = |from: usize| {
        claims.tokens[from].text(claims.text) == "no"
            && !matches!(claims.role(at), PartRole::Quantity)
            && !head(claims, at)
            && claims.tokens.get(from + 1).is_some_and(|behind| same(behind) && behind.kind == Kind::Word)
    };
    if claims.tokens.get(from).is_some_and(same)
        && !denies(from)
        && let Some((unit, behind)) = unit(claims, from)
    {
        let foot = claims.does(from, Role::Foot);
        if !foot || matches!(claims.role(at), PartRole::Quantity) {
            counted.unit = Some(unit);
            next = behind;
            if unit == Unit::Pair
                && let Some(half) = and_half(claims, next)
            {
                counted.amount = Some(amount + Decimal::new(5, 1));
                next = half;
            }
            next += usize::from(claims.tokens.get(next).is_some_and(|token| token.is('.') && !token.gap));
        }
    }
    if claims.tokens.get(next).is_some_and(same)
        && let Some((found, behind)) = basis(claims, next)
    {
        counted.basis = Some(found);
        next = behind;
    }
    (counted, next)
}
