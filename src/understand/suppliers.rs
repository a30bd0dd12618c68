//! "By alum. door & frame manufacturer": who supplies a part of the opening is not us, whatever words the part and its
//! supplier are called by; "by door hardware supplier" is us. The words are in `catalogs/trade/words/roles.txt`.

use super::claim::Claims;
use super::roles::Role;
use super::token::Kind;

/// "From 111", "from door 105", "salvaged from 111": what stands at a door already is not new. The phrase that says so of a
/// good, and the token behind the words.
pub(super) fn moved(claims: &Claims, at: usize) -> Option<(u32, usize)> {
    let tokens = &claims.tokens;
    if !claims.does(at, Role::From) || !claims.list.iter().any(|claim| claim.to <= at) {
        return None;
    }
    let part = tokens[at].part;
    let named =
        claims.does(at + 1, Role::Door) || claims.does(at + 1, Role::Mark) || claims.does(at + 1, Role::Numbered);
    let number = at + 1 + usize::from(named);
    let token = tokens.get(number).filter(|token| token.is_number() && token.part == part)?;
    let next = number + 1;
    // A measure, or the first of a range, is no door; nor is a number of two figures without a word for one.
    let ends = tokens.get(next).is_none_or(|behind| {
        behind.part != part || matches!(behind.kind, Kind::Sign(',' | ';' | ')')) || behind.gap && behind.is('-')
    });
    if !ends || !named && token.end - token.start < 3 {
        return None;
    }
    let node = claims.lexicon.step(0, claims.lexicon.word("relocated"))?;
    Some((claims.lexicon.step(node, tokens[at].id)?, next))
}

/// The most words between "by" and the supplier: by the aluminum door & frame manufacturer.
const MOST: usize = 6;

/// The phrase that says the same of a good, and the token behind the words.
pub(super) fn supplier(claims: &Claims, at: usize) -> Option<(u32, usize)> {
    let tokens = &claims.tokens;
    let begins = claims.does(at, Role::By) && !at.checked_sub(1).is_some_and(|before| tokens[before].is_number());
    if !begins {
        return None;
    }
    let part = tokens[at].part;
    let here = |at: &usize| tokens.get(*at).is_some_and(|token| token.part == part);
    let named = (at + 1..=at + 1 + MOST).take_while(here).find(|at| claims.does(*at, Role::Supplier))?;
    let (mut built, mut plain, mut hardware) = (false, true, false);
    for (between, token) in tokens.iter().enumerate().take(named).skip(at + 1) {
        let is = |role| claims.does(between, role);
        let door = is(Role::Door) || is(Role::Built);
        let joins = is(Role::And) || matches!(token.kind, Kind::Sign('.' | '&' | '/' | '-'));
        (built, plain, hardware) = (built || door, plain && !is(Role::Built), hardware || is(Role::Hardware));
        let article = token.text(claims.text) == "the";
        if !(door || joins || article || is(Role::Hardware)) {
            return None;
        }
    }
    // "By storefront hardware supplier" may be either.
    let (first, second) = match (hardware, plain, built) {
        (true, true, _) => ("by", "us"),
        (false, _, true) => ("by", "others"),
        _ => return None,
    };
    let node = claims.lexicon.step(0, claims.lexicon.word(first))?;
    Some((claims.lexicon.step(node, claims.lexicon.word(second))?, named + 1))
}
