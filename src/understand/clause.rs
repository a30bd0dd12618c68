//! Where a condition ends: "with hold-open arm where the architect directs, parallel arm" speaks of the hold-open alone.

use super::claim::{Claim, Claims, What};
use super::meaning::{Link, Special};
use super::scope::joint;
use super::token::Kind;

/// Whether what stands behind a comma or a colon at `at` is said of the good again, and is no more of a condition before it: a
/// word of the lists, a size or a label begins it, and no "or" goes on with what the condition is about.
pub(super) fn resumes(claims: &Claims, at: usize) -> bool {
    let Some(sign) = claims.tokens.get(at).filter(|sign| sign.is(',') || sign.is(':')) else { return false };
    let is_end = |at: usize| {
        claims
            .tokens
            .get(at)
            .is_none_or(|token| token.part != sign.part || matches!(token.kind, Kind::Sign(',' | ';' | ':')))
    };
    let says = claims.list.iter().find(|claim| claim.from == at + 1).is_some_and(|claim| speaks(claims, claim));
    let end = (at + 1..=claims.tokens.len()).find(|at| is_end(*at)).unwrap_or(claims.tokens.len());
    let goes_on = |claim: &&Claim| {
        let links = matches!(joint(claims, claim), Some(Special::Link(Link::Or | Link::When)));
        links && (at + 1..=end + 1).contains(&claim.from)
    };
    says && !claims.list.iter().any(|claim| goes_on(&claim))
}

/// Whether a claim says something of goods.
fn speaks(claims: &Claims, claim: &Claim) -> bool {
    let is_place = claims.lexicon.places.leads(&claims.tokens[claim.from]);
    let silent = || {
        let mut meanings = claim.entries(claims.lexicon).flat_map(|entry| &entry.meanings);
        meanings.all(|one| matches!(one.special, Special::Remark(_) | Special::Ordinary))
    };
    match claim.what {
        What::Phrase(_) => joint(claims, claim).is_none() && !is_place && !silent(),
        What::Size(_) | What::Labelled { .. } => true,
        _ => false,
    }
}
