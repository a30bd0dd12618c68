//! Work on what is there already: `replace knob lockset w/ mortise lever lock`, `existing panic ETR; add mullion`. What is
//! taken out or stays is no good of the line.

use super::claim::{Claim, Claims, What};
use super::joined::comes_with;
use super::lexicon::{Found, Gist};
use super::meaning::{Link, Sets, Special};
use super::reading::RemarkKind;
use super::roles::Role;
use super::scope::joint;
use super::split::contrast;
use super::token::Kind;
use crate::read::schedule::PartRole;
use crate::trade::attribute::Value;
use std::ops::Range;

/// The words of what is taken out or stays, with the words that lead to what is supplied instead; empty when the text has none.
pub(super) fn old(claims: &Claims) -> Range<usize> {
    let free = |at: usize| matches!(claims.role(at), PartRole::Free | PartRole::Description);
    let count = claims.tokens.len();
    if let Some(range) = of_others(claims) {
        return range;
    }
    // Nearly no line has such a word.
    let Some(out) = (0..count).find(|at| claims.does(*at, Role::Out) && free(*at)) else { return 0..0 };
    let part = claims.tokens[out].part;
    let end = (out..count).find(|at| claims.tokens[*at].part != part).unwrap_or(count);
    let Some(start) = (0..=out).find(|at| claims.tokens[*at].part == part) else { return 0..0 };
    let counted = claims.list.iter().find(|claim| claim.from == start && matches!(claim.what, What::Quantity(_)));
    let start = counted.map_or(start, |claim| claim.to);
    let named = |range: Range<usize>| {
        claims.list.iter().filter(move |claim| range.contains(&claim.from)).find(|claim| {
            let mut meanings = claim.entries(claims.lexicon).flat_map(|entry| &entry.meanings);
            meanings.any(|meaning| meaning.noun.is_some())
        })
    };
    let stays = |at: usize| claims.does(at, Role::Stays);
    let first = named(start..end).map_or(end, |claim| claim.from);
    // "Replace ... with": the last such pair that has a good behind it.
    let replace = (start..end).find(|at| claims.does(*at, Role::Replace));
    let with = replace.and_then(|replace| {
        let with = |claim: &&Claim| {
            claim.from > replace && claim.to < end && joint(claims, claim) == Some(&Special::Link(Link::With))
        };
        claims.list.iter().find(with)
    });
    // "Replace operator w/ full energy; reuse actuators": what is supplied instead stands in the same clause.
    let clause = with.map_or(end, |with| (with.to..end).find(|at| claims.tokens[*at].is(';')).unwrap_or(end));
    // "Replace w/ wall stop": what is replaced stands elsewhere.
    if let Some(with) = with
        && Some(with.from) == replace.map(|replace| replace + 1)
        && named(with.to..end).is_some()
    {
        return start..with.to;
    }
    if let Some(with) = with
        && let Some(new) = named(with.to..clause)
        && let Some(gone) = named(start..with.from)
        && !(is_part(claims, new) && comes_with(claims, gone, new))
        && with.to > start
    {
        return start..with.to;
    }
    // "Replace rim panic w/ SVR": what is new is told by its kind alone.
    if let Some(with) = with
        && named(with.to..clause).is_none()
        && let Some(gone) = named(start..with.from)
        && let Some(kind) = claims.list.iter().find(|claim| claim.from == with.to)
    {
        let nouns = gone.entries(claims.lexicon).flat_map(|entry| &entry.meanings).find_map(|one| one.noun);
        let goods = nouns.map_or(0, |noun| noun.categories);
        let strong = |claim: &Claim| {
            let mut meanings = claim.entries(claims.lexicon).flat_map(|entry| &entry.meanings);
            meanings.any(|one| one.strong && one.categories & goods == goods)
        };
        let mut before = claims.list.iter().filter(|claim| claim.from >= start && claim.to <= with.from);
        if strong(kind) && before.any(|claim| contrast(claims, claim, kind, goods)) {
            return start..with.to;
        }
    }
    if let Some(kept) = (first..end).find(|at| parted(claims, *at) && claims.does(*at, Role::Keep))
        && named(start..kept).is_some()
        && named(kept..end).is_some()
    {
        return kept..(kept..end).find(|at| claims.tokens[*at].is(';')).unwrap_or(end);
    }
    if out > first && !(first..end).any(stays) {
        return 0..0;
    }
    let supplies = |at: &usize| parted(claims, *at) && claims.does(*at, Role::Add);
    match (first + 1..end).find(supplies) {
        Some(new) if named(start..new).is_some() && named(new..end).is_some() => start..new,
        _ => 0..0,
    }
}

/// "Replace 3 hinges w/ 3 BB hinges; keep closer": the clause of what stays, behind what is supplied instead.
pub(super) fn kept_beside(claims: &Claims) -> Range<usize> {
    if claims.old.is_empty() {
        return 0..0;
    }
    let part = claims.tokens[claims.old.start].part;
    let from = claims.old.end;
    let end = (from..claims.tokens.len()).find(|at| claims.tokens[*at].part != part).unwrap_or(claims.tokens.len());
    let keeps = |at: &usize| claims.does(*at, Role::Keep);
    let Some(kept) = (from + 1..end).find(|at| claims.tokens[at - 1].is(';') && keeps(at)) else { return 0..0 };
    let clause = kept..(kept..end).find(|at| claims.tokens[*at].is(';')).unwrap_or(end);
    let names = |range: Range<usize>| {
        claims.list.iter().filter(move |claim| range.contains(&claim.from)).any(|claim| {
            let mut meanings = claim.entries(claims.lexicon).flat_map(|entry| &entry.meanings);
            meanings.any(|meaning| meaning.noun.is_some())
        })
    };
    if names(clause.clone()) && names(from..kept) { clause } else { 0..0 }
}

/// "Prox reader, delete pin pad": behind a good, what leaves out what follows denies it; by itself it is a remark about the line.
pub(super) fn leaves_out(claims: &Claims, at: usize, found: &Found) -> Option<Found> {
    let out = claims.does(at, Role::Omit);
    if !out || found.next != at + 1 {
        return None;
    }
    let meanings = |node: u32| claims.lexicon.entries(node).flat_map(|entry| &entry.meanings);
    let noun = |node: u32| meanings(node).any(|meaning| meaning.noun.is_some());
    let before = claims
        .list
        .iter()
        .any(|claim| claims.tokens[claim.from].part == claims.tokens[at].part && claim.node().is_some_and(noun));
    let follows = claims.tokens.get(at + 1).is_some_and(|token| token.part == claims.tokens[at].part)
        && claims.longest(at + 1).is_some_and(|(node, _)| noun(node) || meanings(node).any(|one| !one.sets.is_empty()));
    let without = claims.lexicon.step(0, claims.lexicon.word("without"))?;
    (before && follows).then_some(Found { node: without, next: found.next, also: [0; 2], guessed: false })
}

/// Whether something is not used or refused, as words say behind it: no "omit", which leaves out what follows.
fn is_out(claims: &Claims, at: usize) -> Option<usize> {
    let may_be = |node: u32| claims.lexicon.may_be(node, Gist::REMARK) || claims.lexicon.may_be(node, Gist::JOINT);
    let (node, end) = claims.longest(at).filter(|(node, _)| may_be(*node))?;
    let mut meanings = claims.lexicon.entries(node).flat_map(|entry| &entry.meanings);
    let out =
        meanings.any(|one| matches!(one.special, Special::Remark(RemarkKind::NotUsed) | Special::Link(Link::Refused)));
    (out && !claims.does(at, Role::Omit)).then_some(end)
}

/// "Closer, hold open not required": of goods and what they may have, only what they may have is refused; of a "stop, wall" all is.
pub(super) fn option_refused(claims: &Claims, node: u32, next: usize) -> bool {
    let flag = |one: &Sets| matches!(one.values.as_slice(), [Value::Flag(true)]);
    let mut meanings = claims.lexicon.entries(node).flat_map(|entry| &entry.meanings);
    // "Closer, hold-open arms not permitted": a word of the option may stand between.
    let word = claims.tokens.get(next).is_some_and(|token| token.gap && token.kind == Kind::Word);
    let out = is_out(claims, next).is_some() || word && is_out(claims, next + 1).is_some();
    out && meanings.any(|one| !one.sets.is_empty() && one.sets.iter().all(flag))
}

/// "Mortise lock, cylinder not required", "cylinder by owner": behind a good, what is not used of it is what the lists have as "less cylinder".
pub(super) fn refused(claims: &Claims, at: usize, found: &Found) -> Option<Found> {
    let end = is_out(claims, found.next)?;
    let part = claims.tokens[at].part;
    let meanings = |node: u32| claims.lexicon.entries(node).flat_map(|entry| &entry.meanings);
    let noun = |node: u32| meanings(node).any(|one| one.noun.is_some());
    let mut before = claims.list.iter().filter(|claim| claims.tokens[claim.from].part == part);
    if claims.tokens[found.next].part != part || !before.any(|claim| claim.node().is_some_and(noun)) {
        return None;
    }
    let less = claims.lexicon.step(0, claims.lexicon.word("less"))?;
    let mut words = claims.tokens[at..found.next].iter();
    let node = words.try_fold(less, |node, token| claims.lexicon.step(node, token.id))?;
    let says = meanings(node).any(|one| !one.sets.is_empty());
    says.then_some(Found { node, next: end, also: [0; 2], guessed: false })
}

/// "Hinges by door mfr, need only the closer": the good of others, up to the word that asks for another good behind a comma.
fn of_others(claims: &Claims) -> Option<Range<usize>> {
    let meanings = |claim: &Claim| claim.entries(claims.lexicon).flat_map(|entry| &entry.meanings);
    let others = claims.list.iter().position(|claim| {
        claim.may_be(claims.lexicon, Gist::REMARK)
            && meanings(claim).any(|one| one.special == Special::Remark(RemarkKind::ByOthers))
    })?;
    let remark = &claims.list[others];
    let part = claims.tokens[remark.from].part;
    let noun = |claim: &Claim| meanings(claim).any(|one| one.noun.is_some_and(|noun| !noun.component));
    let here = |claim: &&Claim| claims.tokens[claim.from].part == part;
    let start = claims.tokens.partition_point(|token| token.part < part);
    let named = claims.list[..others].iter().filter(here).any(noun);
    let asks = |at: usize| [Role::Asks, Role::Supply, Role::Only].iter().any(|role| claims.does(at, *role));
    let comma = (remark.to..claims.tokens.len())
        .find(|at| claims.tokens[*at].is(',') || claims.tokens[*at].is(';') || claims.tokens[*at].is('-'))
        .filter(|comma| *comma == remark.to && claims.tokens.get(comma + 1).is_some_and(|next| next.part == part))?;
    let mut end = comma + 1;
    while end < claims.tokens.len() && asks(end) {
        end += 1;
    }
    let wanted = claims.list[others + 1..].iter().filter(here).any(noun);
    (named && wanted && end > comma + 1).then_some(start..end)
}

/// Whether a claim names a part of goods: a lock whose cylinder is replaced stays.
fn is_part(claims: &Claims, claim: &Claim) -> bool {
    let mut meanings = claim.entries(claims.lexicon).flat_map(|entry| &entry.meanings);
    meanings.any(|meaning| meaning.noun.is_some_and(|noun| noun.component))
}

/// Whether a sign that parts clauses stands before a token.
fn parted(claims: &Claims, at: usize) -> bool {
    let sign = at.checked_sub(1).map(|before| claims.tokens[before].kind);
    [',', ';', '.', '-', ':'].into_iter().any(|one| sign == Some(super::token::Kind::Sign(one)))
}
