//! Whose a remark is: "cylinder for existing mortise lock", "closer, existing arm", "electric strike, wiring by others" and
//! "lock, installed by others" buy a cylinder, a closer, a strike and a lock; what is existing or by others is something else.

use super::assemble::Builder;
use super::claim::{Claim, What};
use super::meaning::{Link, Meaning, Special};
use super::reading::RemarkKind;
use super::roles::Role;
use super::scope::joint;
use super::token::Kind;

impl Builder<'_> {
    /// Whether a remark that something is existing is said of something else than the good of the line.
    pub(super) fn of_another(&self, kind: RemarkKind, claim: &Claim) -> bool {
        if self.named.is_empty() {
            return false;
        }
        match kind {
            RemarkKind::Existing => self.is_adjective_of_another(claim),
            RemarkKind::ByOthers | RemarkKind::NotInContract => self.ends_clause_of_another(claim),
            _ => false,
        }
    }

    /// "Existing" stands before something that is not the good, or behind a word that leads to what stands there.
    fn is_adjective_of_another(&self, claim: &Claim) -> bool {
        let claims = self.scope.claims;
        let part = claims.tokens[claim.from].part;
        let here = |at: usize| claims.tokens.get(at).is_some_and(|token| token.part == part);
        let sign = |at: usize| matches!(claims.tokens[at].kind, Kind::Sign(',' | ';' | '(' | ')' | '-' | '.' | ':'));
        // What leads to it: "on existing ...", "w/ existing ...".
        let before = claim.from.checked_sub(1).filter(|before| here(*before));
        let linked = claims.list.iter().any(|one| {
            let link = matches!(joint(claims, one), Some(Special::Link(Link::With | Link::For)));
            link && one.to == claim.from && here(one.from)
        });
        let led = linked || before.is_some_and(|before| claims.does(before, Role::Toward));
        let named_before = self.named.iter().any(|named| *named < claim.from);
        if led && named_before {
            return true;
        }
        // "Reuse existing ...", "existing remains": the good stays.
        let stays = |at: usize| claims.does(at, Role::Keep) || claims.does(at, Role::Stays);
        if before.is_some_and(stays) {
            return false;
        }
        // "Existing hinges worn, replace 3": others take their place.
        let behind = (claim.to..claims.tokens.len()).take_while(|at| here(*at));
        if behind.into_iter().any(|at| claims.does(at, Role::Replace)) {
            return true;
        }
        let begins = before.is_none_or(sign);
        let mut thing = false;
        let mut at = claim.to;
        while here(at) && !sign(at) {
            if self.named.contains(&at) {
                return false;
            }
            let Some(one) = claims.list.iter().find(|one| one.from == at) else {
                if stays(at) {
                    return false;
                }
                // A word that no list has may be a maker's name before the good itself.
                thing |= begins && claims.tokens[at].kind == Kind::Word && claims.tokens[at].id != 0;
                at += 1;
                continue;
            };
            let mut meanings = one.entries(claims.lexicon).flat_map(|entry| &entry.meanings);
            if matches!(one.what, What::Phrase(_)) && meanings.any(|meaning| meaning.noun.is_some()) {
                return true;
            }
            at = one.to.max(at + 1);
        }
        thing
    }

    /// "By others" ends a clause that speaks of something else: of what comes with the good, or of work on it.
    fn ends_clause_of_another(&self, claim: &Claim) -> bool {
        let claims = self.scope.claims;
        let part = claims.tokens[claim.from].part;
        let parts = |at: usize| {
            let token = &claims.tokens[at];
            let dash = token.is('-') && token.gap && claims.tokens.get(at + 1).is_some_and(|next| next.gap);
            dash || matches!(token.kind, Kind::Sign(',' | ';' | '(' | ')' | ':'))
        };
        let with = |at: usize| {
            let ends = |one: &&Claim| one.to == at + 1 && matches!(joint(claims, one), Some(Special::Link(Link::With)));
            claims.list.iter().any(|one| ends(&one))
        };
        let outside = |at: &usize| claims.tokens[*at].part != part || parts(*at) || with(*at);
        let start = (0..claim.from).rev().find(outside).map_or(0, |at| at + 1);
        let mut clause = start..claim.from;
        let named_before = self.named.iter().any(|named| *named < claim.from);
        let work = |at: usize| claims.does(at, Role::Work) && !self.named.contains(&at);
        // "Furnished, installed and wired by others": who supplies the good is said with the rest.
        let since = self.named.iter().copied().filter(|named| *named < claim.from).max().unwrap_or(start);
        let by = |at: usize| claims.tokens[at].text(claims.text) == "by";
        let supplied =
            (since..claim.from).any(|at| claims.does(at, Role::Supply) && !work(at) && !(at + 1..claim.from).any(by));
        let last = claim.from.checked_sub(1).filter(|last| *last >= start);
        if clause.is_empty() && named_before {
            // "Less cylinder (by others)": what the good has not.
            let to = start.saturating_sub(1);
            let denied = |one: &Claim| one.to == to && claims.lexicon.denies(claims.tokens[one.from].id);
            return claims.list.iter().any(denied)
                || self.scope.placed.iter().any(|one| one.denied && one.claim.to == to);
        }
        if last.is_some_and(work) {
            return !supplied && named_before;
        }
        if !named_before || supplied {
            return false;
        }
        let own = self.named.iter().any(|named| clause.contains(named));
        let another = |at: usize| match claims.list.iter().find(|one| one.from <= at && at < one.to) {
            Some(one) => one.from == at && self.is_another(one),
            None => claims.tokens[at].kind == Kind::Word && claims.tokens[at].id != 0,
        };
        // "Lite kit 5 x 20 glass by others": what stands right before.
        let near = last.and_then(|last| claims.list.iter().find(|one| one.to == last + 1));
        if own { near.is_some_and(|near| self.is_another(near)) } else { clause.any(another) }
    }

    /// Whether a claim speaks of a thing that is not the good: another good, a part, a plain word.
    fn is_another(&self, claim: &Claim) -> bool {
        let lexicon = self.scope.claims.lexicon;
        if self.named.contains(&claim.from) {
            return false;
        }
        let of_good = |meaning: &Meaning| match meaning.noun {
            Some(noun) => noun.categories & self.set != 0,
            None => meaning.categories & self.set != 0 && !meaning.sets.is_empty(),
        };
        let other = |meaning: &Meaning| {
            let speaks = meaning.noun.is_some() || meaning.categories & self.set == 0;
            speaks || matches!(meaning.special, Special::Ordinary | Special::Belonging)
        };
        let mut meanings = claim.entries(lexicon).flat_map(|entry| &entry.meanings).peekable();
        let any = meanings.peek().is_some();
        any && !meanings.clone().any(of_good) && meanings.any(other)
    }
}
