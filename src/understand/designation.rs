//! Catalog numbers: runs of letters and digits that no list reads as a whole are left whole, so that no digit inside
//! becomes a size, a finish or a quantity.

use super::claim::{Claim, Claims, What};
use super::meaning::Special;
use super::token::Kind;
use crate::read::schedule::PartRole;

/// Takes back the claims inside catalog numbers and claims the numbers as designations.
pub fn leave_whole(claims: &mut Claims) {
    let mut at = 0;
    while at < claims.tokens.len() {
        let mut end = chunk_end(claims, at);
        if mixed(claims, at, end) && !explained(claims, at, end) {
            split_letters(claims, at, end);
            end = chunk_end(claims, at);
            if !explained(claims, at, end) {
                take_back(claims, at, end);
            }
        }
        at = end;
    }
}

/// The token behind the chunk of a token.
fn chunk_end(claims: &Claims, at: usize) -> usize {
    let chunk = claims.tokens[at].chunk;
    at + claims.tokens[at..].iter().take_while(|token| token.chunk == chunk).count()
}

/// Whether a chunk has letters and digits.
fn mixed(claims: &Claims, from: usize, to: usize) -> bool {
    let chunk = &claims.tokens[from..to];
    let has = |kind: Kind| chunk.iter().any(|token| token.kind == kind);
    has(Kind::Number) && has(Kind::Word) && chunk.len() > 1
}

/// Whether claims read the chunk in a way that a catalog number would not be read by chance: one claim over all of it,
/// or claims over all of it with a size, or with a quantity and its unit, among them.
fn explained(claims: &Claims, from: usize, to: usize) -> bool {
    let inside: Vec<&Claim> = claims.list.iter().filter(|claim| claim.from < to && claim.to > from).collect();
    let covered = (from..to).all(|token| {
        inside.iter().any(|claim| claim.from <= token && token < claim.to)
            || matches!(claims.tokens[token].kind, Kind::Sign(_))
    });
    if !covered {
        return false;
    }
    if inside.len() < 2 {
        return true;
    }
    if claims.role(from) == PartRole::CatalogNumber {
        return false;
    }
    let doubtful = inside.iter().any(|claim| claim.entries(claims.lexicon).any(|entry| entry.ambiguous));
    let sure = inside.iter().any(|claim| match &claim.what {
        What::Size(dimensions) => dimensions[1].is_some() || dimensions[0].is_some_and(|one| one.measured.marked),
        What::Labelled { .. } => true,
        What::Quantity(counted) => counted.unit.is_some() || counted.sure,
        _ => {
            claim.to - claim.from > 1
                && claim
                    .entries(claims.lexicon)
                    .flat_map(|entry| &entry.meanings)
                    .any(|meaning| matches!(meaning.special, Special::FunctionNumber(_) | Special::TypeNumber(..)))
        }
    });
    sure && !doubtful
}

/// Letters that run together in a chunk with a size (`4.5x4.5bbhw`) are read as two or three known short words.
fn split_letters(claims: &mut Claims, from: usize, to: usize) {
    let sized = claims
        .list
        .iter()
        .any(|claim| claim.from >= from && claim.to <= to && matches!(&claim.what, What::Size(d) if d[1].is_some()));
    if !sized {
        return;
    }
    let mut at = from;
    let mut end = to;
    while at < end {
        let token = claims.tokens[at];
        if token.kind == Kind::Word && token.id == 0 && token.end - token.start <= 9 {
            let word = token.text(claims.text).to_owned();
            let Some(pieces) = pieces(claims, &word) else { return };
            let mut start = token.start;
            let cut: Vec<_> = pieces
                .iter()
                .map(|(length, id)| {
                    let piece = super::token::Token {
                        start,
                        end: start + *length as u32,
                        id: *id,
                        singular: 0,
                        gap: token.gap && start == token.start,
                        ..token
                    };
                    start += *length as u32;
                    piece
                })
                .collect();
            let more = cut.len() - 1;
            claims.tokens.splice(at..=at, cut);
            for claim in &mut claims.list {
                claim.from += if claim.from > at { more } else { 0 };
                claim.to += if claim.to > at { more } else { 0 };
            }
            for piece in at..=at + more {
                if let Some((node, next)) = claims.lexicon.longest(&claims.tokens, piece)
                    && next == piece + 1
                {
                    let position = claims.list.partition_point(|claim| claim.from < piece);
                    claims.list.insert(position, Claim { from: piece, to: next, what: What::Phrase(node) });
                }
            }
            at += more;
            end += more;
        }
        at += 1;
    }
}

/// A word as known words of two letters and more, the longest first.
fn pieces(claims: &Claims, word: &str) -> Option<Vec<(usize, u32)>> {
    if word.is_empty() {
        return Some(Vec::new());
    }
    for length in (2..=word.len()).rev() {
        let Some(head) = word.get(..length) else { continue };
        let id = claims.lexicon.word(head);
        if id == 0 || !claims.lexicon.is_phrase(id) {
            continue;
        }
        if let Some(rest) = word.get(length..).and_then(|rest| pieces(claims, rest)) {
            let mut all = vec![(length, id)];
            all.extend(rest);
            return (all.len() <= 3).then_some(all);
        }
    }
    None
}

/// The whole chunk becomes one designation; claims that reach out of it are shortened away.
fn take_back(claims: &mut Claims, from: usize, to: usize) {
    // Brackets and quotes around a number do not belong to it.
    let (mut start, mut end) = (from, to);
    while start < end && matches!(claims.tokens[start].kind, Kind::Sign(_)) {
        start += 1;
    }
    while end > start && matches!(claims.tokens[end - 1].kind, Kind::Sign(_)) {
        end -= 1;
    }
    claims.list.retain(|claim| claim.to <= start || claim.from >= end);
    let position = claims.list.partition_point(|claim| claim.from < start);
    claims.list.insert(position, Claim { from: start, to: end, what: What::Designation });
}
