//! Names of goods whose words stand apart: turned round behind a comma (strike, dust proof), or with the word they share
//! only at the last (flush or surface bolt).

use super::claim::{Claims, What};
use super::token::{Kind, Token};

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
    let behind = &claims.tokens[comma + 1..];
    let length = behind.iter().take(4).take_while(|t| t.part == first.part && !t.is(',') && !t.is('(')).count();
    for count in (1..=length).filter(|_| head).rev() {
        // "Strike, elec or mech": one of two kinds.
        let other = claims.tokens.get(comma + 1 + count);
        let words = behind[count - 1].kind == Kind::Word;
        if words
            && other.is_some_and(|token| token.part == first.part && (token.is('/') || token.text(claims.text) == "or"))
        {
            continue;
        }
        let turned: Vec<Token> = behind[..count].iter().chain(&claims.tokens[at..comma]).copied().collect();
        if let Some(found) = claims.lexicon.phrase(&turned, 0)
            && found.next == turned.len()
            && claims.lexicon.entries(found.node).any(|entry| entry.meanings.iter().any(|m| m.noun.is_some()))
        {
            return Some((found.node, comma + 1 + count));
        }
    }
    None
}

/// "Flush or surface bolt", "kick/mop plate": the first of two goods, of which only the last has the word they share.
pub(super) fn elliptic(claims: &Claims, at: usize, phrase_end: usize) -> Option<(u32, usize)> {
    let first = &claims.tokens[at];
    let joint = claims.tokens.get(at + 1)?;
    let joins = joint.is('/') || joint.is('&') || matches!(joint.text(claims.text), "or" | "and");
    if first.kind != Kind::Word || !joins || phrase_end > at + 1 {
        return None;
    }
    let noun = |node: u32| claims.lexicon.entries(node).any(|entry| entry.meanings.iter().any(|m| m.noun.is_some()));
    let last = claims.phrase(at + 2).filter(|last| !last.guessed && noun(last.node))?;
    (at + 3..last.next).find_map(|shared| {
        let tokens = &claims.tokens;
        let whole: Vec<Token> = std::iter::once(&tokens[at]).chain(&tokens[shared..last.next]).copied().collect();
        let found = claims.lexicon.phrase(&whole, 0)?;
        (found.next == whole.len() && !found.guessed && noun(found.node)).then_some((found.node, at + 1))
    })
}
