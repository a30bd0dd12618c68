//! Names of goods whose words stand apart: turned round behind a comma (strike, dust proof), or with the word they share
//! only at the last (flush or surface bolt); phrases whose last word begins a longer one.

use super::claim::{Claim, Claims, What};
use super::lexicon::Found;
use super::meaning::{Link, Meaning, Special};
use super::roles::Role;
use super::token::{Kind, Token};
use crate::read::schedule::PartRole;

/// "Strike, dust proof", "hinge, continuous": a good named first and what kind of it behind a comma, at the head of a text.
pub(super) fn inverted(claims: &Claims, at: usize, phrase_end: usize) -> Option<(u32, usize)> {
    let first = &claims.tokens[at];
    let comma = phrase_end.max(at + 1);
    if first.kind != Kind::Word || !claims.tokens.get(comma).is_some_and(|token| token.is(',')) {
        return None;
    }
    let head = claims
        .list
        .iter()
        .all(|claim| claims.tokens[claim.from].part != first.part || matches!(claim.what, What::Quantity(_)));
    let nouns = |node: u32| {
        let meanings = claims.lexicon.entries(node).flat_map(|entry| &entry.meanings);
        meanings.filter_map(|meaning| meaning.noun).fold(0, |goods, noun| goods | noun.categories)
    };
    // `Pivot set | Spring, floor and top`: the column before it names the goods, and a floor spring is none of these.
    let before = claims.list.iter().filter(|claim| claim.from < at && claims.tokens[claim.from].part != first.part);
    let named = before.filter_map(Claim::node).fold(0, |named, node| named | nouns(node));
    let own = claims.phrase(at).is_some_and(|own| nouns(own.node) != 0);
    let fits = |node: u32| named == 0 || own || nouns(node) & named != 0;
    let behind = &claims.tokens[comma + 1..];
    let length = behind.iter().take(4).take_while(|t| t.part == first.part && !t.is(',') && !t.is('(')).count();
    for count in (1..=length).filter(|_| head).rev() {
        // "Strike, elec or mech": one of two kinds.
        let other = claims.tokens.get(comma + 1 + count);
        let words = behind[count - 1].kind == Kind::Word;
        if words
            && other.is_some_and(|token| {
                token.part == first.part && (token.is('/') || claims.does(comma + 1 + count, Role::Or))
            })
        {
            continue;
        }
        // "Cylinders, mortise or rim": the kinds are joined, and "or" ends no name.
        if claims.does(comma + count, Role::Or) || claims.does(comma + count, Role::And) {
            continue;
        }
        // "2 closers, hold open on inactive leaf": what one of them has is no kind of both.
        if super::oneleaf::stands_at(claims, comma + 1 + count) {
            continue;
        }
        let turned: Vec<Token> = behind[..count].iter().chain(&claims.tokens[at..comma]).copied().collect();
        if let Some(found) = claims.lexicon.phrase(&turned, 0)
            && found.next == turned.len()
            && nouns(found.node) != 0
            && fits(found.node)
        {
            return Some((found.node, comma + 1 + count));
        }
    }
    None
}

/// `Hinge | Spring, 4-1/2 x 4-1/2`, `Bottom | Door, automatic`: a name alone in the column of the item, and what kind of it first
/// in the column of the description right behind. A longer name there stands for itself (`Hinge | Spring hinge`).
pub(super) fn across(claims: &Claims, at: usize, phrase_end: usize) -> Option<(u32, usize)> {
    let tokens = &claims.tokens;
    let end = phrase_end.max(at + 1);
    let (first, behind) = (tokens[at], tokens.get(end)?);
    let alone = at.checked_sub(1).is_none_or(|before| tokens[before].part != first.part);
    let word = first.kind == Kind::Word && tokens[end - 1].part == first.part && end == at + 1;
    let described = claims.role(at) == PartRole::Description && claims.role(end) == PartRole::Description;
    if !alone || !word || behind.part == first.part || behind.kind != Kind::Word || !described {
        return None;
    }
    let nouns = |node: u32| {
        let meanings = claims.lexicon.entries(node).flat_map(|entry| &entry.meanings);
        meanings.filter_map(|meaning| meaning.noun).fold(0, |goods, noun| goods | noun.categories)
    };
    let own = claims.lexicon.phrase(tokens, end).filter(|own| !own.guessed);
    let least = own.map_or(1, |own| own.next - end);
    let length = tokens[end..].iter().take(3).take_while(|t| t.part == behind.part && t.kind == Kind::Word).count();
    (least..=length).rev().find_map(|count| {
        // `Strike | Electric or mechanical`: one of two kinds.
        let next = end + count;
        let joined = tokens.get(next).is_some_and(|t| t.part == behind.part && (t.is('/') || t.is('&')));
        if joined || [next, next - 1].into_iter().any(|at| claims.does(at, Role::Or) || claims.does(at, Role::And)) {
            return None;
        }
        let turned: Vec<Token> = tokens[end..next].iter().chain(&tokens[at..end]).copied().collect();
        let found = claims.lexicon.phrase(&turned_into_one(&turned), 0)?;
        (found.next == turned.len() && !found.guessed && nouns(found.node) != 0).then_some((found.node, next))
    })
}

/// Tokens of two columns as if they stood in one.
fn turned_into_one(tokens: &[Token]) -> Vec<Token> {
    let part = tokens.first().map_or(0, |token| token.part);
    tokens.iter().map(|token| Token { part, ..*token }).collect()
}

/// "Flush or surface bolt", "kick/mop plate": the first of two goods, of which only the last has the word they share.
pub(super) fn elliptic(claims: &Claims, at: usize, phrase_end: usize) -> Option<(u32, usize)> {
    let first = &claims.tokens[at];
    let joint = claims.tokens.get(at + 1)?;
    let joins = joint.is('/') || joint.is('&') || claims.does(at + 1, Role::Or) || claims.does(at + 1, Role::And);
    if first.kind != Kind::Word || !joins || phrase_end > at + 1 {
        return None;
    }
    let named = |node: u32| claims.lexicon.entries(node).any(|entry| entry.meanings.iter().any(|m| m.noun.is_some()));
    // "Hex or cyl dogging": of two values of one attribute too.
    let attribute = |node: u32| {
        let mut meanings = claims.lexicon.entries(node).flat_map(|entry| &entry.meanings);
        meanings.find_map(|meaning| meaning.sets.first().map(|set| set.attribute))
    };
    let last_node = claims.longest(at + 2).map(|(node, _)| node);
    let noun = |node: u32| named(node) || attribute(node).is_some() && attribute(node) == last_node.and_then(attribute);
    let last = claims.phrase(at + 2).filter(|last| !last.guessed && noun(last.node))?;
    (at + 3..last.next).find_map(|shared| {
        let tokens = &claims.tokens;
        let whole: Vec<Token> = std::iter::once(&tokens[at]).chain(&tokens[shared..last.next]).copied().collect();
        let found = claims.lexicon.phrase(&whole, 0)?;
        (found.next == whole.len() && !found.guessed && noun(found.node)).then_some((found.node, at + 1))
    })
}

/// "Lever x cyl dogging": the last word of the longest phrase begins a longer one, and the phrase means something
/// without it too.
pub(super) fn shorter(claims: &Claims, at: usize, found: &Found) -> Option<Found> {
    let tokens = &claims.tokens;
    let last = found.next.checked_sub(1).filter(|last| *last > at && tokens[*last].kind == Kind::Word)?;
    let behind = claims.phrase(last).filter(|behind| !behind.guessed && behind.next > found.next)?;
    // "Wall magnet hold open": the longer one may be cut short in its turn, and takes nothing away then.
    let behind = shorter(claims, last, &behind).unwrap_or(behind);
    if behind.next <= found.next {
        return None;
    }
    // "Lever/rose trim" is no case of it: "rose trim" says no more than "rose".
    let alone = claims.lexicon.phrase(&tokens[..found.next], last);
    if alone.is_some_and(|alone| claims.lexicon.same_entries(alone.node, behind.node)) {
        return None;
    }
    let joint = |at: usize| tokens[at].is('-') || tokens[at].is('/') || tokens[at].text(claims.text) == "x";
    let end = if last > at + 1 && joint(last - 1) { last - 1 } else { last };
    let head = claims.lexicon.phrase(&tokens[..end], at)?;
    // "Less cyl lever": a word that only denies or joins is no phrase by itself.
    // "c/w cyl. dogging": what comes with the good may begin a longer phrase that names no other good.
    let noun = claims.lexicon.entries(behind.node).flat_map(|entry| &entry.meanings).any(|m| m.noun.is_some());
    let joins = |meaning: &Meaning| match meaning.special {
        Special::Link(Link::With) => noun,
        Special::Not | Special::Link(_) => true,
        _ => false,
    };
    let whole = !claims.lexicon.entries(head.node).flat_map(|entry| &entry.meanings).any(joins);
    (head.next == end && !head.guessed && whole).then_some(head)
}
