//! References to what stands elsewhere: `see note 4`, `same as set 4`.

use super::claim::{Claim, Claims};
use super::reading::RemarkKind;
use super::roles::Role;
use super::token::{Kind, Token};

/// "ANSI/BHMA A156.13", "NFPA 80", "UL 305", "ICC A117.1": the number of a standard is no catalog number and no size.
fn standard(claims: &Claims, at: usize) -> Option<usize> {
    let tokens = &claims.tokens;
    let word = |at: usize| tokens.get(at).map_or("", |token| token.text(claims.text));
    let number = |at: usize| tokens.get(at).is_some_and(|token| token.is_number() && !token.gap);
    let of_ansi = |at: usize| {
        word(at) == "a" && number(at + 1) && (word(at + 1).starts_with("156") || word(at + 1).starts_with("117"))
    };
    if !claims.does(at, Role::Standards) && !matches!(word(at), "a" | "/" | "-") {
        return None;
    }
    let mut next = at;
    while (claims.does(next, Role::Standards) || matches!(word(next), "/" | "-")) && next < at + 6 {
        next += 1;
    }
    let led = next > at && tokens.get(next).is_some_and(|token| token.part == tokens[at].part);
    if of_ansi(next) {
        return Some(next + 2);
    }
    let body = led && claims.does(at, Role::Codes);
    let code =
        tokens.get(next).filter(|token| body && token.is_number() && (2..=5).contains(&(token.end - token.start)))?;
    // "UL 10C", "UL 1784": a letter may end it.
    let letter = tokens.get(next + 1).is_some_and(|token| token.chunk == code.chunk && token.kind == Kind::Word);
    // "UL 90 min" is a rating, "UL 34 x 34" a size.
    let size = claims.does(next + 1, Role::Times) || tokens.get(next + 1).is_some_and(|token| token.is('"'));
    // "UL 626": labelled, and the finish.
    let finish = !letter && crate::trade::finish::find(word(next)).is_some();
    (!letter && !size && !finish && !claims.does(next + 1, Role::Rating)).then_some(next + 1)
}

/// What a reference is to: a published standard is nothing of the job that was not read.
pub(super) fn kind(claims: &Claims, claim: &Claim) -> RemarkKind {
    if standard(claims, claim.from).is_some() { RemarkKind::Other } else { RemarkKind::SeeElsewhere }
}

/// "Same as set 4", "same as HW-3", "as set 12A": the other set, and nothing of what follows.
fn same_as_set(claims: &Claims, at: usize) -> Option<usize> {
    let word = |at: usize| claims.tokens.get(at).map_or("", |token| token.text(claims.text));
    let mut next = at;
    if claims.does(next, Role::Same) {
        next += 1;
    }
    if !claims.does(next, Role::As) {
        return None;
    }
    next += 1;
    let named = next;
    while claims.does(next, Role::Set) || matches!(word(next), "#" | "." | "-") {
        next += 1;
    }
    let number = claims.tokens.get(next).filter(|token| token.is_number() && next > named)?;
    let chunk = number.chunk;
    Some(next + claims.tokens[next..].iter().take_while(|token| token.chunk == chunk).count())
}

/// `see note 4`, `see 28 31 00`: up to the next separator.
pub(super) fn see(claims: &Claims, at: usize) -> Option<usize> {
    let first = claims.tokens.get(at)?;
    if let Some(next) = standard(claims, at) {
        return Some(next);
    }
    if let Some(next) = same_as_set(claims, at) {
        return Some(next);
    }
    if !claims.does(at, Role::See) {
        return None;
    }
    let ends =
        |token: &Token| token.part != first.part || matches!(token.kind, Kind::Sign(',' | ';' | ')')) || token.line;
    let mut end = at + 1;
    while claims.tokens.get(end).is_some_and(|token| !ends(token)) {
        end += 1;
    }
    Some(end)
}
