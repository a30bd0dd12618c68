//! Lists of counted goods without signs between them: "3 hinges 1 lockset F07 626 1 closer 689". A small number between what is
//! said of one good and the name of another counts the other.

use super::claim::{Claim, Claims, What};
use super::joined;
use super::lexicon::Gist;
use super::meaning::{ANY, Categories, Meaning, Special, members};
use super::token::Kind;
use crate::read::schedule::PartRole;
use crate::trade::facts;

/// More of one good are counted in lines of their own.
const MOST: u32 = 12;

/// Whether a bare number, or one in brackets, counts the good named right behind it: its cell begins with the count of
/// another, and the name, the function or the finish of a good ends right before it. "Closer size 4 stop" and "exit device
/// type 8 rim" count nothing. `list`: the claims before the number.
pub(super) fn counts_next(claims: &Claims, list: &[Claim], at: usize, next: usize) -> bool {
    let (token, text) = (&claims.tokens[at], claims.text);
    let Some(number) = claims.tokens.get(at + usize::from(token.is('('))) else { return false };
    let few = number.whole(text).is_some_and(|whole| (1..=MOST).contains(&whole));
    let small = few && !number.text(text).starts_with('0');
    let free = matches!(claims.role(at), PartRole::Free | PartRole::Description);
    let here = |claim: &&Claim| claims.tokens[claim.from].part == token.part;
    if !small || !free || !token.gap || !list.iter().find(here).is_some_and(|first| begins(claims, first)) {
        return false;
    }
    let ends = list.last().filter(here).is_some_and(|before| before.to == at && says_of_good(claims, before));
    let behind = claims.tokens.get(next).filter(|behind| behind.part == token.part && behind.gap);
    if !ends || behind.is_none_or(|behind| behind.kind != Kind::Word) {
        return false;
    }
    let known = list.iter().filter(here).filter_map(Claim::node).fold(0, |all, node| all | goods(claims, node));
    let Some((node, to)) = claims.longest(next) else { return false };
    let named = goods(claims, node);
    named != 0 && known != 0 && named & known == 0 && !says_of(claims, known, node, number.whole(text) == Some(1), to)
}

/// "1 closer 4 stop", "1 lock F07 7 core", "2 flush bolts 12 dust proof strike": what comes with the goods before, and by its
/// singular what may be said of them or is bought with them, makes the number one of theirs: a size, pins, a length.
fn says_of(claims: &Claims, known: Categories, node: u32, one: bool, to: usize) -> bool {
    let named = goods(claims, node);
    let last = to.checked_sub(1).and_then(|last| claims.tokens.get(last));
    let single = last.is_some_and(|last| !last.text(claims.text).ends_with('s'));
    let mut meanings = claims.lexicon.entries(node).flat_map(|entry| &entry.meanings);
    let says =
        |meaning: &Meaning| meaning.noun.is_none() && meaning.categories != ANY && meaning.categories & known != 0;
    let bought_with = || {
        let with = |of: &facts::Facts| members(named).any(|category| of.with.contains(&category));
        members(known).filter_map(facts::of).any(with)
    };
    joined::listed(known, named) || single && (meanings.any(says) || !one && bought_with())
}

/// Whether a claim is a count at the head of its cell.
fn begins(claims: &Claims, first: &Claim) -> bool {
    let head =
        first.from.checked_sub(1).is_none_or(|before| claims.tokens[before].part != claims.tokens[first.from].part);
    head && matches!(first.what, What::Quantity(counted) if counted.amount.is_some())
}

/// Whether a claim names a good, its function or its finish.
fn says_of_good(claims: &Claims, claim: &Claim) -> bool {
    let function_or_finish = |special: &Special| {
        matches!(special, Special::FunctionNumber(_) | Special::FunctionName(_) | Special::Look(_) | Special::Finish(_))
    };
    let mut meanings = claim.entries(claims.lexicon).flat_map(|entry| &entry.meanings);
    claim.may_be(claims.lexicon, Gist::NOUN) || meanings.any(|meaning| function_or_finish(&meaning.special))
}

/// The goods that a phrase of one meaning names.
fn goods(claims: &Claims, node: u32) -> Categories {
    let meanings = claims.lexicon.entries(node).filter(|entry| !entry.ambiguous).flat_map(|entry| &entry.meanings);
    meanings.filter_map(|meaning| meaning.noun).fold(0, |all, noun| all | noun.categories)
}

#[cfg(test)]
mod tests {
    use crate::read::schedule::Wording;
    use crate::understand::{Surroundings, embedded, understand};

    fn counted(text: &str) -> Vec<String> {
        let readings = understand(embedded().unwrap(), &Wording::free(text), &Surroundings::default());
        readings.iter().map(|one| one.quantity.amount.map_or(String::new(), |amount| amount.to_string())).collect()
    }

    #[test]
    fn goods_without_signs_between_them_are_each_a_line() {
        for (text, counts) in [
            ("3 hinges 1 lockset F07 1 closer", vec!["3", "1", "1"]),
            ("3 hinges 652 1 storeroom lock 626 1 closer 689 2 wall stops", vec!["3", "1", "1", "2"]),
            ("(6) hinges (2) flush bolts (1) coordinator", vec!["6", "2", "1"]),
            ("1-1/2 pr hinges 1 closer", vec!["3", "1"]),
            ("1 closer 2 stops", vec!["1", "2"]),
        ] {
            assert_eq!(counted(text), counts, "{text}");
        }
    }

    #[test]
    fn numbers_that_say_something_of_the_good_before_count_nothing() {
        for text in [
            "1 closer size 4 stop arm",
            "1 exit device type 8 rim",
            "1 lockset grade 1 lever",
            "3 hinges 4 ball bearing",
            "3 hinges 4-1/2 x 4-1/2 652",
            "2 kick plates 10 x 34 630",
            "1 closer 4 hold open arm",
            "1 closer 4 stop",
            "1 closer 689 4 stop",
            "1 lock F07 7 core",
            "1 mortise lock 6 cylinder",
            "1 lock F07 626 4 strike",
        ] {
            assert_eq!(counted(text).len(), 1, "{text}");
        }
    }
}
