//! Goods that one line joins by a plus, an "and", a comma or a "with": `sweep + threshold + rain drip`. Each becomes a reading
//! of its own, unless the later one belongs to the earlier as a part of it (a lock and its cylinder) or says something of it
//! (a closer with stop).

use super::claim::{Claim, Claims, What};
use super::lexicon::Gist;
use super::meaning::{ANY, Categories, Decider, Link, Meaning, Sets, Special, members, only, single};
use super::roles::Role;
use super::scope::joint;
use super::token::Kind;
use crate::read::schedule::PartRole;
use crate::trade::attribute::names;
use crate::trade::category::Category;
use crate::trade::facts;

/// How far behind a joint the name of a good may stand, in claims: `and brush door sweep`.
const REACH: usize = 3;

/// What joins a good to the one before.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Joint {
    /// A plus, "and", "&".
    And,
    /// A comma or semicolon: what follows may also say something of the good before it.
    Comma,
    /// "With".
    With,
}

/// What was met on the way through a cell.
#[derive(Default)]
struct Way {
    /// The goods named so far, and the claims that name them.
    goods: Vec<(Categories, usize)>,
    /// The token behind the last joint, while a good may follow it, and how many claims ago it was.
    joint: Option<(Joint, usize, usize)>,
    /// Within "for" or "when", up to the next comma.
    aside: bool,
    /// Within brackets.
    brackets: usize,
}

/// The tokens at which a further good begins, from a token on, in the first cell that names several.
pub fn cuts(claims: &Claims, from: usize) -> Vec<usize> {
    let mut cuts = Vec::new();
    let mut way = Way::default();
    let mut part = u16::MAX;
    let mut index = claims.list.partition_point(|claim| claim.from < from);
    let mut at = from;
    while at < claims.tokens.len() {
        let token = &claims.tokens[at];
        if token.part != part {
            if !cuts.is_empty() {
                return cuts;
            }
            (part, way) = (token.part, Way::default());
        }
        let claim = claims.list.get(index).filter(|claim| claim.from == at);
        if !matches!(claims.role(at), PartRole::Free | PartRole::Description) {
            index += usize::from(claim.is_some());
            at = claim.map_or(at + 1, |claim| claim.to.max(at + 1));
            continue;
        }
        // "As required by exit device and mullion": what follows "by" is what asks for the good.
        if by_goods(claims, at) {
            (way.joint, way.aside) = (None, true);
        }
        let Some(claim) = claim else {
            way.sign(claims, at);
            at += 1;
            continue;
        };
        if let Some(cut) = way.claim(claims, index, claim) {
            cuts.push(cut);
        }
        // "24 volts DC. Power supply by others": a point parts as the comma before did.
        if let (Some((Joint::Comma, ..)), true) = (&way.joint, claims.tokens[claim.to - 1].is('.')) {
            way.joint = Some((Joint::Comma, claim.to, 0));
        }
        index += 1;
        at = claim.to.max(at + 1);
    }
    cuts
}

/// Whether "by" and the name of goods stand at a token, behind the name of others.
fn by_goods(claims: &Claims, at: usize) -> bool {
    let next = claims.on(at + 1).filter(|next| next.from == at + 1);
    let goods = |next: &Claim| {
        claims.tokens[next.from].part == claims.tokens[at].part
            && matches!(next.what, What::Phrase(_))
            && next.may_be(claims.lexicon, Gist::NOUN)
    };
    claims.does(at, Role::By) && claims.on(at).is_none_or(|by| by.to == at + 1) && next.is_some_and(goods)
}

impl Way {
    /// A token that nothing claimed.
    fn sign(&mut self, claims: &Claims, at: usize) {
        match claims.tokens[at].kind {
            Kind::Sign(',' | ';') => (self.joint, self.aside) = (Some((Joint::Comma, at + 1, 0)), false),
            Kind::Sign('+' | '&') if !self.aside => self.joint = Some((Joint::And, at + 1, 0)),
            Kind::Sign('(') => self.brackets += 1,
            Kind::Sign(')') => self.brackets = self.brackets.saturating_sub(1),
            Kind::Sign('/') => self.joint = None,
            _ => {}
        }
    }

    /// A claim; the token at which a further good begins, if it names one.
    fn claim(&mut self, claims: &Claims, index: usize, claim: &Claim) -> Option<usize> {
        match joint(claims, claim) {
            Some(Special::Link(link @ (Link::And | Link::With))) if !self.aside => {
                // ", and": the "and" speaks.
                let joint = if *link == Link::With { Joint::With } else { Joint::And };
                self.joint = Some((joint, claim.to, 0));
                return None;
            }
            Some(Special::Link(Link::For | Link::When)) => (self.joint, self.aside) = (None, true),
            Some(Special::Link(_) | Special::Not) => self.joint = None,
            _ => {}
        }
        let Some(set) = named(claims, index, claim).or_else(|| self.beside(claims, claim)) else {
            let counted = matches!(claim.what, What::Quantity(_));
            let further = |(joint, cut, passed)| (joint, cut, passed + usize::from(!counted));
            // What follows a comma tells of the good before it, unless a good is named at once.
            let near =
                |(joint, _, passed): &(Joint, usize, usize)| *passed <= if *joint == Joint::And { REACH } else { 1 };
            self.joint = self.joint.map(further).filter(near);
            return None;
        };
        let joint = self.joint.take().filter(|_| self.brackets == 0);
        if self.goods.is_empty() {
            self.goods.push((set, index));
            return None;
        }
        let (joint, cut, _) = joint?;
        // "Kick plate + mop plate": goods of one category may be of two kinds.
        let another = |(good, named): &(Categories, usize)| {
            apart(claims, *good, set, claim)
                || joint == Joint::And && *good == set && two_kinds(claims, &claims.list[*named], claim)
        };
        if !self.goods.iter().all(another) {
            return None;
        }
        let with = |good: Categories| {
            let listed = |category: Category| {
                facts::of(category).is_some_and(|facts| members(set).any(|set| facts.with.contains(&set)))
            };
            members(good).any(listed)
        };
        if joint == Joint::With && !self.goods.last().is_some_and(|(good, _)| with(*good)) {
            return None;
        }
        self.goods.push((set, index));
        Some(cut)
    }
}

impl Way {
    /// "Flush bolts + DPS": the good of a word with several meanings, where a good named before it decides for one.
    fn beside(&self, claims: &Claims, claim: &Claim) -> Option<Categories> {
        if self.goods.is_empty() || !claim.may_be(claims.lexicon, Gist::AMBIGUOUS) {
            return None;
        }
        let entry = claim.entries(claims.lexicon).find(|entry| entry.ambiguous)?;
        let before = |category: Category| self.goods.iter().any(|(good, _)| *good == only(category));
        let decided = |meaning: &&Meaning| {
            let named = |decider: &Decider| match decider {
                Decider::Is(category) | Decider::SetHas(category) => before(*category),
                _ => false,
            };
            meaning.deciders.iter().any(named)
        };
        let mut meanings = entry.meanings.iter().filter(decided);
        let (meaning, other) = (meanings.next()?, meanings.next());
        meaning.noun.filter(|noun| other.is_none() && !noun.component).map(|noun| noun.categories)
    }
}

/// The goods that a claim names, when it names goods that are bought by themselves.
fn named(claims: &Claims, index: usize, claim: &Claim) -> Option<Categories> {
    let set = noun(claims, claim).or_else(|| opening(claims, index, claim))?;
    if set & only(Category::Other) != 0 || prepared(claims, claim.to) {
        return None;
    }
    // "Overhead rain drip": of two names in a row the last is the good, and is asked in its turn.
    let next = claims.list.get(index + 1).filter(|next| next.from == claim.to);
    if next.and_then(|next| noun(claims, next)).is_some_and(|next| next & set == 0) {
        return None;
    }
    let belongs = |next: &Claim| next.may_be(claims.lexicon, Gist::BELONGING);
    (!next.is_some_and(belongs)).then_some(set)
}

/// How far behind a word with several meanings at the head of a cell what decides for one may stand, in tokens.
const NEAR: usize = 9;

/// The goods of a word with several meanings that heads its cell, a count before it at most, where what follows it, up to the
/// name of another good, decides for one: in "(2) FB auto 12, coord" the count is of the bolts.
fn opening(claims: &Claims, index: usize, claim: &Claim) -> Option<Categories> {
    if !claim.may_be(claims.lexicon, Gist::AMBIGUOUS) {
        return None;
    }
    let part = claims.tokens[claim.from].part;
    let head = claims.list[..index]
        .iter()
        .filter(|before| claims.tokens[before.from].part == part)
        .all(|before| matches!(before.what, What::Quantity(_)));
    let entry = claim.entries(claims.lexicon).find(|entry| entry.ambiguous).filter(|_| head)?;
    let behind = claim.to..claims.tokens.len().min(claim.to + NEAR);
    let other =
        |at: usize| claims.on(at).is_some_and(|one| one.from != claim.from && one.may_be(claims.lexicon, Gist::NOUN));
    let behind = behind.take_while(|at| {
        let token = &claims.tokens[*at];
        token.part == part && !matches!(token.kind, Kind::Sign(';' | '+' | '&')) && !other(*at)
    });
    let behind: Vec<&str> = behind.map(|at| claims.tokens[at].text(claims.text)).collect();
    let decided = |meaning: &&Meaning| {
        meaning.deciders.iter().any(|decider| matches!(decider, Decider::Word(word) if behind.contains(&&**word)))
    };
    let mut meanings = entry.meanings.iter().filter(decided);
    let (meaning, other) = (meanings.next()?, meanings.next());
    meaning.noun.filter(|noun| other.is_none() && !noun.component).map(|noun| noun.categories)
}

/// The goods of a noun that is no mere part and has but one meaning.
fn noun(claims: &Claims, claim: &Claim) -> Option<Categories> {
    // A misspelling is too little to make a line of.
    if !matches!(claim.what, What::Phrase(_)) || !claim.may_be(claims.lexicon, Gist::NOUN) {
        return None;
    }
    let mut entries = claim.entries(claims.lexicon);
    let part = |meaning: &Meaning| meaning.noun.is_some_and(|noun| noun.component);
    if entries.clone().any(|entry| entry.ambiguous || entry.meanings.iter().any(part)) {
        return None;
    }
    entries.find_map(|entry| {
        entry.meanings.iter().find_map(|meaning| match meaning.special {
            Special::TypeNumber(_, true) => Some(meaning.categories),
            _ => meaning.noun.map(|noun| noun.categories),
        })
    })
}

/// Whether a good named behind another is a good by itself: another kind of thing, no part that comes with the first, and
/// no word that says something of the first.
fn apart(claims: &Claims, good: Categories, set: Categories, claim: &Claim) -> bool {
    let mut meanings = claim.entries(claims.lexicon).flat_map(|entry| &entry.meanings);
    let says =
        meanings.any(|meaning| meaning.noun.is_none() && meaning.categories != ANY && meaning.categories & good != 0);
    good & set == 0 && !says && !listed(good, set)
}

/// Whether two names of one category say different things of it: a kick plate and a mop plate.
fn two_kinds(claims: &Claims, one: &Claim, other: &Claim) -> bool {
    let sets = |claim: &Claim| {
        let meanings = claim.entries(claims.lexicon).flat_map(|entry| &entry.meanings);
        meanings.filter(|meaning| meaning.noun.is_some()).flat_map(|meaning| &meaning.sets).collect::<Vec<_>>()
    };
    let others = sets(other);
    let kinds = [names::KIND, names::MOUNTING, names::TYPE, names::FORM];
    let differ = |one: &&Sets, other: &&Sets| {
        one.attribute == other.attribute && one.values != other.values && kinds.contains(&one.attribute)
    };
    sets(one).iter().any(|one| others.iter().any(|other| differ(one, other)))
}

/// Whether the table says that goods come with others.
pub(super) fn listed(good: Categories, set: Categories) -> bool {
    let comes_with = |category: Category| {
        facts::of(category).is_some_and(|facts| {
            single(set).is_none_or(|set| facts.comes_with.contains(&set))
                && members(set).any(|set| facts.comes_with.contains(&set))
        })
    };
    members(good).any(comes_with)
}

/// Whether a claim names goods, no mere parts, that come with those of another claim.
pub(super) fn comes_with(claims: &Claims, good: &Claim, claim: &Claim) -> bool {
    let (Some(good), Some(set)) = (noun(claims, good), noun(claims, claim)) else { return false };
    listed(good, set)
}

/// Whether a claim names goods that come with those of another claim, or mere parts of other goods.
pub(super) fn is_part(claims: &Claims, good: &Claim, claim: &Claim) -> bool {
    let named = |claim: &Claim| {
        let mut meanings = claim.entries(claims.lexicon).flat_map(|entry| &entry.meanings);
        meanings.find_map(|meaning| meaning.noun)
    };
    let (Some(good), Some(part)) = (named(good), named(claim)) else { return false };
    good.categories & part.categories == 0 && (part.component || listed(good.categories, part.categories))
}

/// "Electric strike prep", "mullion mounted": what a good is made ready for, or where it stands.
fn prepared(claims: &Claims, at: usize) -> bool {
    claims.does(at, Role::Ready)
}

#[cfg(test)]
mod tests {
    use crate::read::schedule::{PartRole, Wording};
    use crate::understand::{Surroundings, embedded, understand};

    #[test]
    fn what_asks_for_a_good_behind_by_is_none_of_the_line() {
        let goods = |text: &str| {
            let mut wording = Wording::default();
            wording.push(PartRole::Quantity, "3", None);
            wording.push(PartRole::Description, text, None);
            understand(embedded().unwrap(), &wording, &Surroundings::default()).len()
        };
        assert_eq!(goods("Rim cylinder as req'd by exit device and mullion"), 1);
        assert_eq!(goods("Rim cylinder as required by exit device and mullion, threshold"), 2);
        assert_eq!(goods("Sweep and threshold"), 2);
        assert_eq!(goods("Sweep by others and threshold"), 2);
    }
}
