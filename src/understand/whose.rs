//! Whose a remark is: "cylinder for existing mortise lock", "closer, existing arm", "electric strike, wiring by others" and
//! "lock, installed by others" buy a cylinder, a closer, a strike and a lock; what is existing or by others is something else.

use super::assemble::Builder;
use super::claim::{Claim, Claims, What};
use super::meaning::{ANY, Categories, Link, Meaning, Special, only};
use super::reading::{Doubt, Heard, RemarkKind};
use super::roles::Role;
use super::scope::{Placed, Relation, joint};
use super::sections;
use super::token::Kind;
use crate::evidence::Evidence;
use crate::read::schedule::PartRole;
use crate::trade::attribute::Value;
use crate::trade::category::Category;
use crate::trade::rule_words;

/// What a remark that would leave the good out is said of.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Of {
    /// Of the good.
    Good,
    /// Of something that the words name.
    Another,
    /// Of something else, it seems, that no list names.
    Unclear,
}

/// Goods that are keyed themselves.
const KEYED: Categories = only(Category::Cylinder) | only(Category::Core) | only(Category::Keying);

/// Goods that something is led to from elsewhere: power, a signal.
pub(super) const LED_TO: Categories = only(Category::PowerTransfer)
    | only(Category::ElectricStrike)
    | only(Category::ElectromagneticLock)
    | only(Category::Operator)
    | only(Category::MagneticHolder)
    | only(Category::PowerSupply)
    | only(Category::PositionSwitch)
    | only(Category::RequestToExit)
    | only(Category::Reader)
    | only(Category::Actuator)
    | only(Category::Wiring)
    | only(Category::Other);

impl Builder<'_> {
    /// A remark that only some goods have is none where it is denied (stop, not in closer), nor where what "by" leads to goes
    /// on: a floor stop by closer manufacturer.
    pub(super) fn said_of(&self, kind: RemarkKind, placed: &Placed, meaning: &Meaning) -> RemarkKind {
        let (claims, claim) = (self.scope.claims, placed.claim);
        let part = claims.tokens[claim.from].part;
        let ends = claims.tokens.get(claim.to).is_none_or(|next| next.part != part || next.kind != Kind::Word);
        let led = claims.does(claim.from, Role::By);
        let before = claim.from.checked_sub(1).and_then(|before| claims.tokens.get(before));
        let denied = placed.denied || before.is_some_and(|before| claims.lexicon.denies(before.id));
        if meaning.categories != ANY && (denied || led && !ends) { RemarkKind::Other } else { kind }
    }

    /// The kind of a remark, as the good of the line has it. Goods that are priced though the line says "by others" or
    /// "existing" are told of.
    pub(super) fn whose(&mut self, kind: RemarkKind, claim: &Claim, by: &Evidence) -> RemarkKind {
        let of = match kind {
            // "Wall stop, blocking by Section 06 10 00".
            RemarkKind::ByOthers | RemarkKind::ByWhom if sections::builds_in(self.scope.claims, claim, &self.named) => {
                Of::Another
            }
            _ if self.named.is_empty() => Of::Good,
            RemarkKind::Existing if self.is_new_in_its_cell(claim) => Of::Unclear,
            RemarkKind::Existing => self.is_adjective_of(claim),
            RemarkKind::ByOthers | RemarkKind::NotInContract => match self.ends_clause_of(claim) {
                Of::Good if !sections::has_good_alone(self.scope.claims, claim, &self.named) => Of::Unclear,
                of => of,
            },
            RemarkKind::ByWhom => Of::Unclear,
            _ => Of::Good,
        };
        let code = match of {
            Of::Good => return kind,
            Of::Another => {
                match kind {
                    RemarkKind::Existing => self.leave_what_is_there(claim),
                    _ => self.leave_what_others_supply(claim),
                }
                "remark-of-another"
            }
            Of::Unclear => "remark-of-whom",
        };
        let span = by.span.clone();
        if !self.doubts.iter().any(|doubt| doubt.code == code && doubt.span == span) {
            let words = self.original(span.clone());
            let says = match of {
                _ if kind == RemarkKind::ByWhom => {
                    format!("\"{words}\" does not say whether the good is ours, or others furnish it")
                }
                Of::Unclear => format!("\"{words}\" may be said of the good or of the words beside it"),
                _ => format!("\"{words}\" is read of what stands beside it, not of the good, which is priced"),
            };
            self.doubts.push(Doubt { code, says, span, attribute: None });
        }
        RemarkKind::Other
    }

    /// `Closer | new, reg arm | Salvaged closer to Owner`: the cells of the good call it new, and what the cell of remarks has
    /// may be said of the one that it replaces; `new closer, readjust` tells of work on it.
    fn is_new_in_its_cell(&self, claim: &Claim) -> bool {
        let claims = self.scope.claims;
        let new = |at: &usize| {
            matches!(claims.role(*at), PartRole::Free | PartRole::Description | PartRole::CatalogNumber)
                && rule_words::is("new-goods", claims.tokens[*at].text(claims.text))
        };
        let adjusts = |at: usize| rule_words::is("adjusts", claims.tokens[at].text(claims.text));
        let work = (claim.from..claim.to).any(adjusts);
        // "Closer, readjust for 5 lb": what is new may be set too.
        if work && claims.does(claim.to, Role::For) {
            return true;
        }
        (work || claims.role(claim.from) == PartRole::Remarks) && (0..claim.from).any(|at| new(&at))
    }

    /// "Existing" stands before something that is not the good, or behind a word that leads to what stands there.
    fn is_adjective_of(&self, claim: &Claim) -> Of {
        let claims = self.scope.claims;
        if claims.does(claim.from, Role::From) {
            return self.came_from(claim);
        }
        if self.is_of_opening(claim) {
            return Of::Another;
        }
        let part = claims.tokens[claim.from].part;
        let here = |at: usize| claims.tokens.get(at).is_some_and(|token| token.part == part);
        let sign = |at: usize| matches!(claims.tokens[at].kind, Kind::Sign(',' | ';' | '(' | ')' | '-' | '.' | ':'));
        // What leads to it: "on existing ...", "w/ existing ...".
        let before = claim.from.checked_sub(1).filter(|before| here(*before));
        let linked = claims.ending(claim.from).is_some_and(|one| {
            here(one.from) && matches!(joint(claims, one), Some(Special::Link(Link::With | Link::For)))
        });
        let led = linked || before.is_some_and(|before| claims.does(before, Role::Toward));
        let named_before = self.named.iter().any(|named| *named < claim.from);
        if led && named_before {
            return Of::Another;
        }
        // "W/ existing core relocated": what was said of the part before goes on.
        let goes_on = self.doubts.iter().any(|doubt| {
            let from = self.scope.span(claim).start;
            let between = self.scope.original.get(doubt.span.end..from).unwrap_or("");
            doubt.code == "remark-of-another" && doubt.span.end <= from && !between.contains([',', ';', '(', '-', '.'])
        });
        if goes_on {
            return Of::Another;
        }
        // "Reuse existing ...", "existing remains": the good stays.
        let stays = |at: usize| claims.does(at, Role::Keep) || claims.does(at, Role::Stays);
        if before.is_some_and(stays) {
            return Of::Good;
        }
        // "Existing hinges worn, replace 3": others take their place. "Existing to remain, do not replace" and "replace worn
        // screws" speak of no others.
        let mut behind = (claim.to..claims.tokens.len()).take_while(|at| here(*at));
        if let Some(replace) = behind.find(|at| claims.does(*at, Role::Replace)) {
            let denied = |at: usize| claims.lexicon.denies(claims.tokens[at].id) || stays(at);
            let of_good = |at: usize| match claims.on(at) {
                Some(one) => {
                    let mut meanings = one.entries(claims.lexicon).flat_map(|entry| &entry.meanings);
                    self.named.contains(&one.from) || !meanings.any(|meaning| meaning.noun.is_some())
                }
                None => claims.tokens[at].kind != Kind::Word,
            };
            let mut new = (replace + 1..claims.tokens.len()).take_while(|at| here(*at) && !sign(*at));
            if new.all(of_good) && !(claim.from..replace).any(denied) {
                return Of::Another;
            }
        }
        let begins = before.is_none_or(sign);
        let mut thing = false;
        let mut at = claim.to;
        while here(at) && !sign(at) {
            if self.named.contains(&at) {
                return Of::Good;
            }
            let Some(one) = claims.on(at).filter(|one| one.from == at) else {
                if stays(at) {
                    return Of::Good;
                }
                // A word that no list has may be a maker's name before the good itself.
                thing |= begins && claims.tokens[at].kind == Kind::Word && claims.tokens[at].id != 0;
                at += 1;
                continue;
            };
            let mut meanings = one.entries(claims.lexicon).flat_map(|entry| &entry.meanings);
            if matches!(one.what, What::Phrase(_)) && meanings.any(|meaning| meaning.noun.is_some()) {
                return Of::Another;
            }
            at = one.to.max(at + 1);
        }
        if thing { Of::Unclear } else { Of::Good }
    }

    /// "Closer (existing frame to remain)": a door, a frame or a wall stays, in a clause that names no good.
    fn is_of_opening(&self, claim: &Claim) -> bool {
        let claims = self.scope.claims;
        if !claims.does(claim.to.saturating_sub(1), Role::Stays) {
            return false;
        }
        let part = claims.tokens[claim.from].part;
        let parts = |at: usize| {
            let sign = matches!(claims.tokens[at].kind, Kind::Sign(',' | ';' | '(' | ')' | ':'));
            claims.tokens[at].part != part || sign || claims.does(at, Role::For)
        };
        let start = (0..claim.from).rev().find(|at| parts(*at)).map_or(0, |at| at + 1);
        let mut clause = start..claim.from;
        let before = self.named.iter().any(|named| *named < start);
        before
            && !self.named.iter().any(|named| clause.contains(named))
            && clause.any(|at| claims.does(at, Role::Built) || claims.does(at, Role::Door))
    }

    /// "Rim exit device x existing pull": what is there already is no part of the good that is bought. What the good is for,
    /// "cylinder for existing mortise lock", tells what it is all the same.
    fn leave_what_is_there(&mut self, claim: &Claim) {
        let claims = self.scope.claims;
        let Some(there) = self.scope.placed.iter().find(|placed| placed.claim.from == claim.to) else { return };
        let part = claims.tokens[claim.from].part;
        let before = claim.from.checked_sub(1).filter(|before| claims.tokens[*before].part == part);
        let beside = before.is_some_and(|before| {
            let with = claims
                .ending(claim.from)
                .is_some_and(|one| one.from <= before && matches!(joint(claims, one), Some(Special::Link(Link::With))));
            with || claims.does(before, Role::Times) || claims.does(before, Role::And)
        });
        if beside && there.relation != Relation::For && !self.named.contains(&claim.to) {
            self.there.push(claim.to);
        }
    }

    /// `Storeroom lock | keypad by owner`: the lock has no keypad.
    fn leave_what_others_supply(&mut self, claim: &Claim) {
        let claims = self.scope.claims;
        let part = claims.tokens[claim.from].part;
        if claims.role(claim.from) != PartRole::Remarks {
            return;
        }
        let before = claims.list.iter().filter(|one| one.to <= claim.from && claims.tokens[one.from].part == part);
        let others = before.filter(|one| names_other(claims, one, self.set));
        let spans: Vec<_> = others.map(|one| self.scope.span(one)).collect();
        self.usual.retain(|(.., by)| !spans.contains(&by.span));
        let of_others = |heard: &Heard<Value>| match heard {
            Heard::Found(_, by) => spans.contains(&by.span),
            Heard::Ambiguous(all) => all.iter().all(|(_, by)| spans.contains(&by.span)),
            Heard::Absent => false,
        };
        self.attributes.retain(|_, heard| !of_others(heard));
    }

    /// "Closer from door 105": it is there already. Power, signals and keys come from another door as well: "electric strike,
    /// remote release from room 101".
    fn came_from(&self, claim: &Claim) -> Of {
        let claims = self.scope.claims;
        let noun = |one: &Claim| {
            let mut meanings = one.entries(claims.lexicon).flat_map(|entry| &entry.meanings);
            meanings.any(|meaning| meaning.noun.is_some())
        };
        let last = claims.list.iter().rev().find(|one| one.to <= claim.from && noun(one));
        let of_good = last.is_none_or(|last| self.named.contains(&last.from));
        if of_good && self.set & (KEYED | LED_TO) == 0 { Of::Good } else { Of::Unclear }
    }

    /// "By others" ends a clause that speaks of something else: of what comes with the good, or of work on it.
    fn ends_clause_of(&self, claim: &Claim) -> Of {
        let claims = self.scope.claims;
        let part = claims.tokens[claim.from].part;
        let parts = |at: usize| {
            let token = &claims.tokens[at];
            let dash = token.is('-') && token.gap && claims.tokens.get(at + 1).is_some_and(|next| next.gap);
            dash || matches!(token.kind, Kind::Sign(',' | ';' | '(' | ')' | ':'))
        };
        let with = |at: usize| {
            let ends = |one: &Claim| matches!(joint(claims, one), Some(Special::Link(Link::With)));
            claims.ending(at + 1).is_some_and(ends)
        };
        let outside = |at: &usize| claims.tokens[*at].part != part || parts(*at) || with(*at);
        let start = (0..claim.from).rev().find(outside).map_or(0, |at| at + 1);
        let clause = start..claim.from;
        let named_before = self.named.iter().any(|named| *named < claim.from);
        let work = |at: usize| claims.does(at, Role::Work) && !self.named.contains(&at);
        // "Furnished, installed and wired by others": who supplies the good is said with the rest.
        let since = self.named.iter().copied().filter(|named| *named < claim.from).max().unwrap_or(start);
        let by = |at: usize| claims.tokens[at].text(claims.text) == "by";
        // "Power supply" is the name of a good.
        let of_name = |at: usize| claims.on(at).is_some_and(|one| names_other(claims, one, 0));
        let supplies = |at: usize| claims.does(at, Role::Supply) && !work(at) && !of_name(at);
        let supplied = (since..claim.from).any(|at| supplies(at) && !(at + 1..claim.from).any(by));
        // In the cell of remarks, `keypad by owner`: another good than the line's takes nothing from it.
        // `closer and stop by others` takes the line's own with it.
        let own = clause.clone().filter_map(|at| claims.on(at)).any(|one| names_own(claims, one, self.set));
        let remarked = claims.role(claim.from) == PartRole::Remarks && named_before && !own;
        if remarked && clause.clone().filter_map(|at| claims.on(at)).any(|one| names_other(claims, one, self.set)) {
            return Of::Another;
        }
        let last = claim.from.checked_sub(1).filter(|last| *last >= start);
        if clause.is_empty() && named_before {
            // "Less cylinder (by others)": what the good has not.
            let to = start.saturating_sub(1);
            let denies = |one: &Claim| claims.lexicon.denies(claims.tokens[one.from].id);
            let denied = claims.ending(to).is_some_and(denies)
                || self.scope.placed.iter().any(|one| one.denied && one.claim.to == to);
            return if denied { Of::Another } else { Of::Good };
        }
        if last.is_some_and(work) {
            return if !supplied && named_before { Of::Another } else { Of::Good };
        }
        if !named_before || supplied {
            return Of::Good;
        }
        let own = self.named.iter().any(|named| clause.contains(named));
        // "Cylinder, keyway by owner", "lock, cylinder and core by owner": what is keyed of the good. "Cylinders & cores by
        // owner": all is. "Lock & keys by owner" is as of other things beside the good.
        if last.is_some_and(|last| self.is_keyed_part(last)) {
            let joined = own && clause.clone().any(|at| claims.does(at, Role::And) || claims.tokens[at].is('&'));
            match self.set & !KEYED == 0 {
                _ if !joined => return Of::Another,
                true => return Of::Good,
                false => {}
            }
        }
        let another = |at: usize| match claims.on(at) {
            Some(one) if one.from == at => self.another(one),
            Some(_) => Of::Good,
            None if claims.tokens[at].kind == Kind::Word && claims.tokens[at].id != 0 => Of::Unclear,
            None => Of::Good,
        };
        // "Lite kit 5 x 20 glass by others": what stands right before.
        if own {
            let near = last.and_then(|last| claims.ending(last + 1));
            return match near {
                Some(near) => self.another(near),
                None => last.map_or(Of::Good, another),
            };
        }
        let mut all = clause.map(another);
        match (all.clone().any(|of| of == Of::Another), all.any(|of| of == Of::Unclear)) {
            (true, _) => Of::Another,
            (_, true) => Of::Unclear,
            _ => Of::Good,
        }
    }

    /// Whether a token is what is keyed of the good, and no name of the good.
    fn is_keyed_part(&self, at: usize) -> bool {
        let claims = self.scope.claims;
        let of_name = claims.on(at).is_some_and(|claim| self.named.contains(&claim.from));
        claims.does(at, Role::KeyedPart) && !of_name
    }

    /// Whether a claim speaks of a thing that is not the good: another good, a part, a plain word.
    fn another(&self, claim: &Claim) -> Of {
        let lexicon = self.scope.claims.lexicon;
        if self.named.contains(&claim.from) {
            return Of::Good;
        }
        let of_good = |meaning: &Meaning| match meaning.noun {
            Some(noun) => noun.categories & self.set != 0,
            None => meaning.categories & self.set != 0 && !meaning.sets.is_empty(),
        };
        let other = |meaning: &Meaning| {
            let speaks = meaning.noun.is_some() || meaning.categories & self.set == 0;
            speaks || matches!(meaning.special, Special::Ordinary | Special::Belonging)
        };
        let named = |meaning: &Meaning| {
            meaning.noun.is_some() || matches!(meaning.special, Special::Ordinary | Special::Belonging)
        };
        let meanings = claim.entries(lexicon).flat_map(|entry| &entry.meanings);
        if meanings.clone().any(of_good) || !meanings.clone().any(other) {
            return Of::Good;
        }
        if meanings.into_iter().any(named) { Of::Another } else { Of::Unclear }
    }
}

/// Whether a claim is the name of one of these goods.
fn names_own(claims: &Claims, claim: &Claim, own: Categories) -> bool {
    let mut meanings = claim.entries(claims.lexicon).flat_map(|entry| &entry.meanings);
    meanings.any(|meaning| meaning.noun.is_some_and(|noun| noun.categories & own != 0))
}

/// Whether a claim is the name of a good that is none of these.
fn names_other(claims: &Claims, claim: &Claim, own: Categories) -> bool {
    let mut meanings = claim.entries(claims.lexicon).flat_map(|entry| &entry.meanings);
    meanings.any(|meaning| meaning.noun.is_some_and(|noun| noun.categories & own == 0))
}
