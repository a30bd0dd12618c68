//! What a line refuses or leaves out: "hold-open arms not permitted", "cylinder not required", "wall stop not acceptable".

use super::assemble::Builder;
use super::claim::{Claim, Claims};
use super::lexicon::Gist;
use super::meaning::Special;
use super::reading::{Doubt, RemarkKind};
use super::roles::Role;
use super::scope::{Placed, Scope};
use super::token::Kind;

impl Scope<'_> {
    /// "Hold-open arms not permitted", "closer, hold open not required": what stands right before such words is denied, where it
    /// says something of a good named before; says whether it was.
    pub(super) fn refuse(&mut self, by: &Claim, any: bool) -> bool {
        let claims = self.claims;
        let noun = |placed: &Placed| {
            let mut meanings = placed.claim.entries(claims.lexicon).flat_map(|entry| &entry.meanings);
            meanings.any(|meaning| meaning.noun.is_some())
        };
        let part = claims.tokens[by.from].part;
        let near = |one: &Placed, to: usize| one.claim.to == to && claims.tokens[one.claim.from].part == part;
        let says = |one: &Placed| {
            let mut meanings = one.claim.entries(claims.lexicon).flat_map(|entry| &entry.meanings);
            meanings.any(|meaning| !meaning.sets.is_empty())
        };
        // "Hold-open arms", "blade stops 626": the words up to the comma before them say one thing; a size among them is the
        // good's own.
        let mut from = self.placed.len();
        let mut to = by.from;
        // "With backcheck. Hold-open is not permitted": a point that a claim took with it ends what is said before.
        let ends = |one: &Placed| to_end(claims, one.claim);
        while let Some(one) = from.checked_sub(1).map(|at| &self.placed[at]).filter(|one| near(one, to)) {
            if one.claim.node().is_none() || to < by.from && ends(one) {
                break;
            }
            (from, to) = (from - 1, one.claim.from);
        }
        let apart =
            to.checked_sub(1).is_some_and(|sign| matches!(claims.tokens[sign].kind, Kind::Sign(',' | ';' | '.')));
        let whole = any && apart && from + 1 < self.placed.len() && self.placed[from..].iter().any(says);
        let from = if whole { from } else { self.placed.len().saturating_sub(1) };
        let (before, refused) = self.placed.split_at_mut(from);
        let Some(last) = refused.last().filter(|last| near(last, by.from)) else { return false };
        let named = before.iter().any(noun);
        // "Mortise lock, cylinder not required": what comes with the good named before.
        let parts = noun(last) && before.iter().any(|good| super::joined::is_part(claims, good.claim, last.claim));
        let refuses = (whole || says(last)) && named && (any || !noun(last)) || parts;
        refused.iter_mut().for_each(|one| one.denied |= refuses);
        refuses
    }
}

impl Builder<'_> {
    /// "Wall stop 626 not acceptable": the line refuses the good it names, and nothing else that could be denied. What is
    /// refused in words that nobody reads stays unread with them.
    pub(super) fn refused(&mut self) {
        for claim in &self.scope.unheard {
            let before = claim.from.checked_sub(1).filter(|before| self.used[*before] || self.ignored[*before]);
            if before.is_none() || self.set == 0 {
                continue;
            }
            let span = self.scope.span(claim);
            let says = format!(
                "\"{}\" is said of what the line names; nothing else in it is refused",
                self.original(span.clone())
            );
            self.doubts.push(Doubt { code: "refused-good", says, span, attribute: None });
            self.take(claim);
        }
    }
}

/// Whether a claim ends with a point.
fn to_end(claims: &Claims, claim: &Claim) -> bool {
    claims.tokens[claim.to - 1].is('.')
}

/// Whether a claim says that something is not used.
pub(super) fn not_used(claims: &Claims, claim: &Claim) -> bool {
    // "Omit cover" leaves out what follows.
    claim.may_be(claims.lexicon, Gist::REMARK)
        && !claims.does(claim.from, Role::Omit)
        && claim
            .entries(claims.lexicon)
            .flat_map(|entry| &entry.meanings)
            .any(|meaning| meaning.special == Special::Remark(RemarkKind::NotUsed))
}
