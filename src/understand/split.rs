//! Finds lines that name several goods: each with its own quantity (`1-1/2 PR hinges, 1 ETW`), joined by name (`sweep +
//! threshold`), or some hinges of all that have wires (`3 hinges, two with 8 wire`).

use super::claim::{Claim, Claims, What};
use super::counts;
use super::joined;
use super::lexicon::Gist;
use super::meaning::{Categories, only};
use super::quantity::head;
use crate::read::schedule::PartRole;
use crate::trade::attribute::names;
use crate::trade::category::Category;

/// The goods of a line.
#[derive(Debug)]
pub struct Goods {
    /// The tokens of each, as masks; cells that hold for the whole line belong to every good.
    pub masks: Vec<Vec<bool>>,
    /// They were told apart by their names, not by quantities.
    pub by_name: bool,
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
    let Some(first) = cuts.first() else { return Goods { masks: vec![vec![true; count]], by_name: false } };
    let part = claims.tokens[*first].part;
    let mut edges = vec![0];
    edges.extend(cuts.iter().copied().filter(|cut| claims.tokens[*cut].part == part));
    edges.push(count);
    let masks = edges.windows(2).map(|edge| mask(claims, part, edge)).collect();
    Goods { masks, by_name }
}

fn mask(claims: &Claims, part: u16, edge: &[usize]) -> Vec<bool> {
    let (from, to) = (edge[0], edge[1]);
    // "Two with 8 wire" names no good: it is some of the hinges named before.
    let of_before = if from == 0 { None } else { some_of(claims, from, to) };
    (0..claims.tokens.len())
        .map(|at| {
            if claims.tokens[at].part != part {
                // A quantity column counts the first good; a single one of goods told by name is one of each.
                return from == 0 || claims.role(at) != PartRole::Quantity;
            }
            (from..to).contains(&at) || of_before.is_some_and(|noun| noun.from <= at && at < noun.to)
        })
        .collect()
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
    let begins = head(claims, claim.from) || counts::with_count(claims, claim.from, claim.to);
    // "Keying, 2 change keys": what comes with the good named before is no further good, whatever its number.
    let part_of = |one: &Claim| claims.list[..index].iter().any(|before| joined::comes_with(claims, before, one));
    let good = behind.find(|claim| named(claim) || labels_hinge(claims, claim));
    begins && good.is_some_and(|one| counted.unit.is_some() || !part_of(one))
        || counts::with_wires(claims, claim.to) && hinge_before(claims, claim.from).is_some()
}

fn names_good(claims: &Claims, claim: &Claim) -> bool {
    claim.may_be(claims.lexicon, Gist::NOUN)
}

/// "ETW 8": the label of a number that is a name of hinges too.
fn labels_hinge(claims: &Claims, claim: &Claim) -> bool {
    let What::Labelled { label, .. } = claim.what else { return false };
    let mut meanings = claims.lexicon.entries(label).flat_map(|entry| &entry.meanings);
    meanings.any(|meaning| meaning.noun.is_some_and(|noun| noun.categories == only(Category::Hinge)))
}

/// The name of hinges before a stretch that says only that some have wires.
fn some_of<'a>(claims: &'a Claims, from: usize, to: usize) -> Option<&'a Claim> {
    let inside = |claim: &&Claim| claim.from >= from && claim.to <= to;
    let named = claims.list.iter().filter(inside).any(|claim| names_good(claims, claim));
    if named { None } else { hinge_before(claims, from) }
}

/// The name of hinges in the same cell before a token.
fn hinge_before<'a>(claims: &'a Claims, at: usize) -> Option<&'a Claim> {
    let hinge: Categories = only(Category::Hinge);
    let part = claims.tokens[at].part;
    claims.list.iter().take_while(|claim| claim.to <= at).find(|claim| {
        claims.tokens[claim.from].part == part
            && claim.may_be(claims.lexicon, Gist::NOUN)
            && claim.entries(claims.lexicon).filter(|entry| !entry.ambiguous).any(|entry| {
                entry.meanings.iter().any(|meaning| {
                    meaning.noun.is_some_and(|noun| noun.categories == hinge)
                        && meaning.sets.iter().all(|set| set.attribute != names::CONDUCTORS)
                })
            })
    })
}
