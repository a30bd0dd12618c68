//! Finds lines that name several goods: each with its own quantity (`1-1/2 PR hinges, 1 ETW`), joined by name (`sweep +
//! threshold`), or some hinges of all that have wires (`3 hinges, two with 8 wire`).

use super::claim::{Claim, Claims, What};
use super::counts;
use super::joined;
use super::lexicon::{Gist, Lexicon};
use super::meaning::{ANY, Categories, Link, Special, members, only};
use super::quantity::head;
use super::reading::Unit;
use super::scope::joint;
use super::token::Kind;
use super::unparted::counts_next;
use super::wired;
use crate::read::schedule::PartRole;
use crate::trade::attribute::{Value, names};
use crate::trade::category::Category;
use std::ops::Range;

/// The goods of a line.
#[derive(Debug)]
pub struct Goods {
    /// The tokens of each; cells that hold for the whole line belong to every good.
    pub each: Vec<Good>,
    /// They were told apart by their names, not by quantities.
    pub by_name: bool,
}

/// The tokens of one good.
#[derive(Debug)]
pub struct Good {
    /// Which tokens speak of it.
    pub mask: Vec<bool>,
    /// Which of the goods that one name has together is meant.
    pub only: Categories,
    /// Tokens of its name that stand with a good before it; empty: it has its own.
    pub borrowed: Range<usize>,
}

/// The goods of a line.
pub fn goods(claims: &Claims) -> Goods {
    let count = claims.tokens.len();
    // What is taken out or stays is no good of the line.
    let old = claims.old.end;
    let mut cuts: Vec<usize> = claims
        .list
        .iter()
        .enumerate()
        .filter(|(index, claim)| old == 0 && is_cut(claims, *index, claim))
        .map(|(_, claim)| claim.from)
        .collect();
    let by_name = cuts.is_empty();
    if by_name {
        cuts = joined::cuts(claims, old);
    }
    // What stays is no good of its own.
    cuts.retain(|cut| !claims.kept.contains(cut));
    if let Some(cut) = intermediate(claims).filter(|_| cuts.is_empty() && old == 0) {
        cuts.push(cut);
    }
    let Some(first) = cuts.first() else { return together(claims, vec![true; count]) };
    let part = claims.tokens[*first].part;
    let mut edges = vec![0];
    edges.extend(cuts.iter().copied().filter(|cut| claims.tokens[*cut].part == part));
    edges.push(count);
    let each = edges.windows(2).map(|edge| good(claims, part, edge)).collect();
    Goods { each, by_name }
}

/// The goods of a line that names one, or that names two in one: "push/pull plate set" and "1 set push/pull plates" are a push
/// plate and a pull.
fn together(claims: &Claims, mask: Vec<bool>) -> Goods {
    let counts_sets = |claim: &Claim| matches!(claim.what, What::Quantity(counted) if counted.unit == Some(Unit::Set));
    let set = claims.list.iter().any(counts_sets);
    let named = |claim: &Claim| {
        let mut meanings = claim.entries(claims.lexicon).flat_map(|entry| &entry.meanings);
        let both = only(Category::PushPlate) | only(Category::Pull);
        meanings.find_map(|meaning| meaning.noun.filter(|noun| noun.each || set && noun.categories == both))
    };
    let first = claims.list.iter().find(|claim| names_good(claims, claim) && !claims.old.contains(&claim.from));
    match first.and_then(named) {
        Some(noun) => {
            let of = |category| Good { mask: mask.clone(), only: only(category), borrowed: 0..0 };
            Goods { each: members(noun.categories).map(of).collect(), by_name: true }
        }
        None => Goods { each: vec![Good { mask, only: ANY, borrowed: 0..0 }], by_name: false },
    }
}

fn good(claims: &Claims, part: u16, edge: &[usize]) -> Good {
    let (from, to) = (edge[0], edge[1]);
    // "Two with 8 wire" names no good: it is some of the hinges named before.
    let of_before = if from == 0 { None } else { some_of(claims, from, to) };
    let index = claims.list.iter().position(|claim| claim.from == from);
    let borrowed = index.filter(|_| from > 0 && of_before.is_none()).and_then(|index| unnamed(claims, index));
    // "Offset pivot set w/ intermediate": the name is that of the set, and says no more of the pivot between.
    let between = of_before.filter(|_| pivot_before(claims, from).is_some()).map(|noun| noun.from..noun.to);
    let borrowed = borrowed.or(between).unwrap_or(0..0);
    let own = |at: usize| (from..to).contains(&at) || borrowed.contains(&at);
    let mask = (0..claims.tokens.len())
        .map(|at| {
            if claims.tokens[at].part != part {
                // A quantity column counts the first good; a single one of goods told by name is one of each.
                return from == 0 || claims.role(at) != PartRole::Quantity;
            }
            own(at) || of_before.is_some_and(|noun| noun.from <= at && at < noun.to)
        })
        .collect();
    Good { mask, only: ANY, borrowed }
}

/// "10 wall stops and 5 floor", "3 storeroom locks, 2 passage": a count behind another, with no name of a good but a word of
/// another kind than the goods before it are: as many more of those. The tokens of their name.
fn unnamed(claims: &Claims, index: usize) -> Option<Range<usize>> {
    let claim = &claims.list[index];
    let part = claims.tokens[claim.from].part;
    let counts = |one: &Claim| matches!(one.what, What::Quantity(counted) if counted.amount.is_some());
    let here = |one: &&Claim| claims.tokens[one.from].part == part;
    let kind = claims.list.get(index + 1).filter(|kind| kind.from == claim.to && here(kind))?;
    let mut behind = claims.list[index + 1..].iter().take_while(here).take_while(|one| !counts(one));
    // Of a chain of such counts, the first has the name.
    let before = claims.list[..index].iter().rev().take_while(here);
    let known = before.clone().filter(|one| names_good(claims, one)).fold(0, |all, one| all | goods_of(claims, one));
    if !counts(claim) || behind.any(|one| names_good(claims, one) && !may_say(claims, one, known)) {
        return None;
    }
    let named = before.clone().find(|one| names_good(claims, one))?;
    // The count of the quantity column stands before the words of the good, wherever its cell is.
    let count = before.clone().skip_while(|one| one.from >= named.from).find(|one| counts(one));
    let column = || counts::has_column(claims).then(|| claims.tokens.partition_point(|token| token.part < part));
    let start = count.map(|count| count.to).or_else(column)?;
    let said = claims.list[..index].iter().filter(|one| one.from >= start && claims.tokens[one.from].part == part);
    let category = named.entries(claims.lexicon).flat_map(|entry| &entry.meanings).find_map(|one| one.noun)?;
    // "2 standard screws per leaf", "1 plain bearing at center": words that say nothing of such goods may name others.
    let end = claims.list[index + 1..].iter().take_while(here).find(|one| counts(one)).map(|one| one.from);
    let end = end.unwrap_or_else(|| claims.tokens.partition_point(|token| token.part <= part));
    if (claim.to..end).any(|at| !says_of(claims, at, category.categories)) {
        return None;
    }
    let apart = said.clone().any(|one| contrast(claims, one, kind, category.categories));
    apart.then_some(start..named.to)
}

/// Whether a token is a sign, or among words that say something of such goods.
fn says_of(claims: &Claims, at: usize, goods: Categories) -> bool {
    let Some(one) = claims.on(at) else { return !matches!(claims.tokens[at].kind, Kind::Word | Kind::Number) };
    let mut meanings = one.entries(claims.lexicon).flat_map(|entry| &entry.meanings).peekable();
    meanings.peek().is_none()
        || meanings
            .any(|one| one.categories & goods != 0 && !matches!(one.special, Special::Ordinary | Special::Belonging))
}

/// Whether two phrases say different things of one matter of such goods: rim and mortise, storeroom and passage.
pub(super) fn contrast(claims: &Claims, one: &Claim, other: &Claim, goods: Categories) -> bool {
    // "6 kick plates 10x34, 2 10x46"
    if let (What::Size([Some(_), Some(_), _]), What::Size([Some(_), Some(_), _])) = (&one.what, &other.what) {
        return one.what != other.what;
    }
    let meanings = |claim: &Claim| {
        let ambiguous = claim.may_be(claims.lexicon, Gist::AMBIGUOUS);
        let all = claim.entries(claims.lexicon).flat_map(|entry| &entry.meanings);
        // Of a word with several meanings, the one that only such goods have.
        all.filter(move |meaning| meaning.categories & goods != 0 && !(ambiguous && meaning.categories == ANY))
    };
    meanings(one).any(|one| {
        meanings(other).any(|other| match (&one.special, &other.special) {
            (Special::FunctionName(one), Special::FunctionName(other)) => one != other,
            _ => one.sets.iter().any(|one| {
                let apart = |value: &Value| !other.sets.iter().any(|set| set.values.contains(value));
                let same = other.sets.iter().any(|set| set.attribute == one.attribute);
                same && one.values.iter().all(apart) && !matches!(one.values.first(), Some(Value::List(_)))
            }),
        })
    })
}

/// A quantity behind a separator, with a good named before and behind it.
fn is_cut(claims: &Claims, index: usize, claim: &Claim) -> bool {
    let What::Quantity(counted) = &claim.what else { return false };
    let free = matches!(claims.role(claim.from), PartRole::Free | PartRole::Description);
    if !free || counted.amount.is_none() || claim.from == 0 {
        return false;
    }
    let part = claims.tokens[claim.from].part;
    let named = |claim: &Claim| claims.tokens[claim.from].part == part && names_good(claims, claim);
    if !claims.list[..index].iter().any(named) {
        return false;
    }
    let mut behind = claims.list[index + 1..].iter().take_while(|other| !matches!(other.what, What::Quantity(_)));
    // "Three per strike jamb" counts what was named before.
    if claims.tokens.get(claim.to).is_some_and(|token| token.text(claims.text) == "per") {
        return false;
    }
    // "2 locks, 1 less strike": what one of them has not is no good of its own.
    let next = claims.list.get(index + 1).filter(|next| next.from == claim.to);
    // "DPS floor, one ea for flush bolt": the count is of what was named.
    if next.is_some_and(|next| matches!(joint(claims, next), Some(Special::Not | Special::Link(Link::For)))) {
        return false;
    }
    let begins = head(claims, claim.from)
        || counts::with_count(claims, claim.from, claim.to)
        || counts_next(claims, &claims.list[..index], claim.from, claim.to);
    // "Keying, 2 change keys": what comes with the good named before is no further good, whatever its number.
    let part_of = |one: &Claim| claims.list[..index].iter().any(|before| joined::comes_with(claims, before, one));
    let known = claims.list[..index].iter().filter(|one| named(one)).fold(0, |all, one| all | goods_of(claims, one));
    let good = behind.find(|claim| named(claim) && !may_say(claims, claim, known) || labels_hinge(claims, claim));
    begins && good.is_some_and(|one| counted.unit.is_some() || !part_of(one))
        || begins && good.is_none() && unnamed(claims, index).is_some()
        || wired::with_wires(claims, claim.to) && hinge_before(claims, claim.from).is_some()
}

fn names_good(claims: &Claims, claim: &Claim) -> bool {
    claim.may_be(claims.lexicon, Gist::NOUN)
}

/// The goods that a claim names.
pub(super) fn goods_of(claims: &Claims, claim: &Claim) -> Categories {
    let meanings = claim.entries(claims.lexicon).filter(|entry| !entry.ambiguous).flat_map(|entry| &entry.meanings);
    meanings.filter_map(|meaning| meaning.noun).fold(0, |all, noun| all | noun.categories)
}

/// "Two closers regular arm, one PA": whether a word with several meanings says, by one of them, something of goods.
fn may_say(claims: &Claims, claim: &Claim, goods: Categories) -> bool {
    let mut meanings = claim.entries(claims.lexicon).filter(|entry| entry.ambiguous).flat_map(|entry| &entry.meanings);
    meanings.any(|meaning| meaning.noun.is_none() && meaning.categories != ANY && meaning.categories & goods != 0)
}

/// "ETW 8": the label of a number that is a name of hinges too.
fn labels_hinge(claims: &Claims, claim: &Claim) -> bool {
    let What::Labelled { label, .. } = claim.what else { return false };
    let mut meanings = claims.lexicon.entries(label).flat_map(|entry| &entry.meanings);
    meanings.any(|meaning| meaning.noun.is_some_and(|noun| noun.categories == only(Category::Hinge)))
}

/// The name of hinges before a stretch that says only that some have wires, or of pivots before one of an intermediate.
fn some_of<'a>(claims: &'a Claims, from: usize, to: usize) -> Option<&'a Claim> {
    let inside = |claim: &&Claim| claim.from >= from && claim.to <= to;
    // "1 w/ 8 wire transfer": what the count has with it are wires, whatever brings them.
    let counts_wires = |claim: &Claim| match claim.what {
        What::Labelled { label, .. } => {
            let mut meanings = claims.lexicon.entries(label).flat_map(|entry| &entry.meanings);
            meanings.any(|one| one.special == Special::After(names::CONDUCTORS))
        }
        _ => false,
    };
    let with = claims.list.iter().filter(inside).any(counts_wires);
    let bring = only(Category::Hinge) | only(Category::PowerTransfer);
    let wires = |claim: &Claim| {
        let mut nouns = claim.entries(claims.lexicon).flat_map(|entry| &entry.meanings).filter_map(|one| one.noun);
        with && nouns.any(|noun| noun.categories & !bring == 0)
    };
    let named = claims.list.iter().filter(inside).any(|claim| names_good(claims, claim) && !wires(claim));
    if named { None } else { hinge_before(claims, from).or_else(|| pivot_before(claims, from)) }
}

/// Whether a phrase is said of a pivot that stands between top and bottom.
pub(super) fn is_intermediate(lexicon: &Lexicon, node: u32) -> bool {
    lexicon.may_be(node, Gist::INTERMEDIATE)
}

/// The name of pivots, none of them intermediate, in the same cell before a token.
fn pivot_before<'a>(claims: &'a Claims, at: usize) -> Option<&'a Claim> {
    let part = claims.tokens[at].part;
    claims.list.iter().take_while(|claim| claim.to <= at).find(|claim| {
        let mut meanings = claim.entries(claims.lexicon).flat_map(|entry| &entry.meanings);
        claims.tokens[claim.from].part == part
            && !claim.node().is_some_and(|node| is_intermediate(claims.lexicon, node))
            && meanings.any(|meaning| meaning.noun.is_some_and(|noun| noun.categories == only(Category::Pivot)))
    })
}

/// "Offset pivots w/ intermediate", "pivot set, top, bottom and one intermediate": the intermediate pivot is bought beside the
/// set. The token where it, or its count, begins.
fn intermediate(claims: &Claims) -> Option<usize> {
    let said = |claim: &Claim| claim.node().is_some_and(|node| is_intermediate(claims.lexicon, node));
    let index = claims.list.iter().position(said)?;
    let claim = &claims.list[index];
    pivot_before(claims, claim.from)?;
    let before = index.checked_sub(1).map(|before| &claims.list[before])?;
    let counted = matches!(before.what, What::Quantity(_)) && before.to == claim.from;
    let from = if counted { before.from } else { claim.from };
    let sign = from.checked_sub(1).map(|sign| claims.tokens[sign].kind);
    let parted = ['+', '&'].into_iter().any(|one| sign == Some(Kind::Sign(one)));
    let linked = claims.list[..index]
        .iter()
        .any(|link| link.to == from && matches!(joint(claims, link), Some(Special::Link(Link::With | Link::And))));
    (parted || linked).then_some(from)
}

/// The name of hinges in the same cell before a token.
pub(super) fn hinge_before<'a>(claims: &'a Claims, at: usize) -> Option<&'a Claim> {
    let hinges = [only(Category::Hinge), only(Category::ContinuousHinge)];
    let part = claims.tokens[at].part;
    claims.list.iter().take_while(|claim| claim.to <= at).find(|claim| {
        claims.tokens[claim.from].part == part
            && claim.may_be(claims.lexicon, Gist::NOUN)
            && claim.entries(claims.lexicon).filter(|entry| !entry.ambiguous).any(|entry| {
                entry.meanings.iter().any(|meaning| {
                    meaning.noun.is_some_and(|noun| hinges.contains(&noun.categories))
                        && meaning.sets.iter().all(|set| set.attribute != names::CONDUCTORS)
                })
            })
    })
}
