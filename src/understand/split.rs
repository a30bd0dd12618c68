//! Finds lines that name two goods, each with its own quantity: `1-1/2 PR hinges, 1 ETW`.

use super::claim::{Claim, Claims, What};
use super::meaning::Special;
use super::quantity::head;
use crate::read::schedule::PartRole;

/// The tokens of each good, as masks; cells that hold for the whole line belong to every good.
pub fn goods(claims: &Claims) -> Vec<Vec<bool>> {
    let count = claims.tokens.len();
    let cuts: Vec<usize> = claims
        .list
        .iter()
        .enumerate()
        .filter(|(index, claim)| is_cut(claims, *index, claim))
        .map(|(_, claim)| claim.from)
        .collect();
    if cuts.is_empty() {
        return vec![vec![true; count]];
    }
    let part = claims.tokens[cuts[0]].part;
    let mut edges = vec![0];
    edges.extend(cuts.iter().copied().filter(|cut| claims.tokens[*cut].part == part));
    edges.push(count);
    edges
        .windows(2)
        .map(|edge| {
            (0..count)
                .map(|at| {
                    if claims.tokens[at].part != part {
                        // A quantity column counts the first good only.
                        return edge[0] == 0 || claims.role(at) != PartRole::Quantity;
                    }
                    (edge[0]..edge[1]).contains(&at)
                })
                .collect()
        })
        .collect()
}

/// A quantity behind a separator, with a good named before and behind it.
fn is_cut(claims: &Claims, index: usize, claim: &Claim) -> bool {
    let What::Quantity(counted) = &claim.what else { return false };
    let free = matches!(claims.role(claim.from), PartRole::Free | PartRole::Description);
    if !free || counted.amount.is_none() || claim.from == 0 || !head(claims, claim.from) {
        return false;
    }
    let part = claims.tokens[claim.from].part;
    let named = |claim: &Claim| claims.tokens[claim.from].part == part && names_good(claims, claim);
    let behind = claims.list[index + 1..].iter().take_while(|other| !matches!(other.what, What::Quantity(_)));
    claims.list[..index].iter().any(named) && behind.into_iter().any(named)
}

fn names_good(claims: &Claims, claim: &Claim) -> bool {
    claim
        .entries(claims.lexicon)
        .flat_map(|entry| &entry.meanings)
        .any(|meaning| meaning.noun.is_some() || matches!(meaning.special, Special::TypeNumber(_, true)))
}
