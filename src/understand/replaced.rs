//! Work on what is there already: `replace knob lockset w/ mortise lever lock`, `existing panic ETR; add mullion`. What is
//! taken out or stays is no good of the line.

use super::claim::{Claim, Claims, What};
use super::joined::comes_with;
use super::meaning::{Link, Special};
use super::scope::joint;
use crate::read::schedule::PartRole;
use std::ops::Range;

/// The words of what is taken out or stays, with the words that lead to what is supplied instead; empty when the text has none.
pub(super) fn old(claims: &Claims) -> Range<usize> {
    let text = |at: usize| claims.tokens[at].text(claims.text);
    let free = |at: usize| matches!(claims.role(at), PartRole::Free | PartRole::Description);
    let count = claims.tokens.len();
    // Nearly no line has such a word.
    let Some(out) = (0..count).find(|at| taken_out(text(*at)) && free(*at)) else { return 0..0 };
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
    let stays = |at: usize| matches!(text(at), "remain" | "remains" | "etr");
    let first = named(start..end).map_or(end, |claim| claim.from);
    // "Replace ... with": the last such pair that has a good behind it.
    let replace = (start..end).find(|at| matches!(text(*at), "replace" | "replacing"));
    let with = replace.and_then(|replace| {
        let with = |claim: &&Claim| {
            claim.from > replace && claim.to < end && joint(claims, claim) == Some(&Special::Link(Link::With))
        };
        claims.list.iter().find(with)
    });
    // "Replace w/ wall stop": what is replaced stands elsewhere.
    if let Some(with) = with
        && Some(with.from) == replace.map(|replace| replace + 1)
        && named(with.to..end).is_some()
    {
        return start..with.to;
    }
    if let Some(with) = with
        && let Some(new) = named(with.to..end)
        && let Some(gone) = named(start..with.from)
        && !(is_part(claims, new) && comes_with(claims, gone, new))
        && with.to > start
    {
        return start..with.to;
    }
    if out > first && !(first..end).any(stays) {
        return 0..0;
    }
    let supplies = |at: &usize| {
        let sign = claims.tokens[*at - 1].kind;
        let parted = [',', ';', '.', '-', ':'].into_iter().any(|one| sign == super::token::Kind::Sign(one));
        parted && matches!(text(*at), "add" | "provide" | "furnish" | "install" | "new" | "supply")
    };
    match (first + 1..end).find(supplies) {
        Some(new) if named(start..new).is_some() && named(new..end).is_some() => start..new,
        _ => 0..0,
    }
}

/// Whether a claim names a part of goods: a lock whose cylinder is replaced stays.
fn is_part(claims: &Claims, claim: &Claim) -> bool {
    let mut meanings = claim.entries(claims.lexicon).flat_map(|entry| &entry.meanings);
    meanings.any(|meaning| meaning.noun.is_some_and(|noun| noun.component))
}

/// Words that take something out or leave it where it is.
fn taken_out(word: &str) -> bool {
    matches!(
        word,
        "replace"
            | "replacing"
            | "remove"
            | "removing"
            | "abandon"
            | "patch"
            | "demo"
            | "salvage"
            | "existing"
            | "exist"
            | "old"
            | "etr"
            | "remain"
            | "remains"
    )
}
