//! A count that is parted behind the name of the goods: `2 rim panics, 1 NL 1 EO` are one of each. So many goods of their own
//! that add up to the count, each told from the others by what is said of it.

use rust_decimal::Decimal;

use super::claim::{Claim, Claims, What};
use super::meaning::ANY;
use super::split::{Good, contrast, goods_of};
use super::token::Kind;
use crate::read::schedule::PartRole;

/// More of one kind are no longer told apart.
const MOST: u32 = 24;

/// So many claims that may name the goods are tried: `CVR panic` has two.
const NAMES: usize = 3;

/// One of the shares: the token of its number, the first behind it and its bracket, how many, and the end of what is said of it.
struct Share {
    number: usize,
    said: usize,
    count: u32,
    end: usize,
}

/// The goods of a line whose count is parted so, each with its count.
pub(super) fn parted(claims: &Claims) -> Option<Vec<(Good, Decimal)>> {
    let tokens = &claims.tokens;
    // Nearly no line has three numbers of which one is that of all.
    if tokens.iter().filter(|token| token.is_number()).count() < 3 {
        return None;
    }
    let counts = |claim: &Claim| matches!(claim.what, What::Quantity(counted) if counted.amount.is_some());
    let first = claims.list.iter().find(|claim| counts(claim))?;
    let whole =
        (first.from..first.to).find_map(|at| tokens[at].whole(claims.text)).filter(|all| (2..=MOST).contains(all))?;
    let named = claims.list.iter().filter(|claim| claim.from >= first.to && goods_of(claims, claim) != 0);
    let shares = named.take(NAMES).find_map(|named| told_apart(claims, named, whole))?;
    let of = |place: usize| {
        let other = |at: usize| {
            let mut all = shares.iter().enumerate();
            // A number in brackets goes with them.
            let number = |share: &Share| (2 * share.number + 1).saturating_sub(share.said)..share.said;
            all.any(|(own, share)| {
                number(share).contains(&at) || own != place && (share.number..share.end).contains(&at)
            })
        };
        Good { mask: (0..tokens.len()).map(|at| !other(at)).collect(), only: ANY, borrowed: 0..0 }
    };
    Some(shares.iter().enumerate().map(|(place, share)| (of(place), Decimal::from(share.count))).collect())
}

/// The shares behind the name of goods that add up to their count, each told from the next by what is said of it.
fn told_apart(claims: &Claims, named: &Claim, whole: u32) -> Option<Vec<Share>> {
    let goods = goods_of(claims, named);
    let own = shares(claims, named.to, claims.tokens[named.from].part);
    let shares = if own.is_empty() { beside(claims, named) } else { own };
    let sum: u32 = shares.iter().map(|share| share.count).sum();
    if shares.len() < 2 || sum != whole || !claims.old.is_empty() {
        return None;
    }
    let said = |share: &Share| claims.on(share.said).filter(|claim| claim.from == share.said);
    let apart = |pair: &[Share]| match pair {
        [one, other] => said(one).zip(said(other)).is_some_and(|(one, other)| contrast(claims, one, other, goods)),
        _ => false,
    };
    let names = |share: &Share| {
        let mut own = claims.list.iter().filter(|claim| claim.from > share.number && claim.to <= share.end);
        own.any(|claim| goods_of(claims, claim) != 0)
    };
    (shares.windows(2).all(apart) && !shares.iter().any(names)).then_some(shares)
}

/// `3 | Cylinders | 626 | (2) rim, (1) mortise`: the shares in a cell of words behind that of the name, which begins with the first.
fn beside(claims: &Claims, named: &Claim) -> Vec<Share> {
    let tokens = &claims.tokens;
    let own = tokens[named.from].part;
    let told = |at: &usize| {
        let starts = tokens[*at].part != own && tokens[*at - 1].part != tokens[*at].part;
        starts && matches!(claims.role(*at), PartRole::Description | PartRole::Remarks)
    };
    let mut cells = (named.to.max(1)..tokens.len()).filter(told);
    let first = |at: usize| {
        let all = shares(claims, at, tokens[at].part);
        all.first().is_some_and(|share| share.number <= at + 1).then_some(all)
    };
    cells.find_map(first).unwrap_or_default()
}

/// Whole numbers before words, from a token on to the end of its cell, each with the words up to the next of them or a comma.
fn shares(claims: &Claims, from: usize, part: u16) -> Vec<Share> {
    let tokens = &claims.tokens;
    let mut shares: Vec<Share> = Vec::new();
    for at in (from..tokens.len()).take_while(|at| tokens[*at].part == part) {
        let token = &tokens[at];
        // A bare number may look like a size.
        let bare = |claim: &Claim| match &claim.what {
            What::Quantity(_) => true,
            What::Size([Some(one), None, None]) => one.label.is_none() && !one.measured.marked,
            _ => false,
        };
        // `(1) NL (1) EO`
        let opened = at.checked_sub(1).map(|before| &tokens[before]).filter(|before| before.is('('));
        let bracket = opened.filter(|_| tokens.get(at + 1).is_some_and(|sign| sign.is(')')));
        let said = at + 1 + usize::from(bracket.is_some());
        let free = claims.on(at).is_none_or(|claim| (claim.to == at + 1 || claim.to == said) && bare(claim));
        let word = tokens.get(said).is_some_and(|next| next.part == part && next.gap && next.kind == Kind::Word);
        let gap = bracket.unwrap_or(token).gap;
        let count = token.whole(claims.text).filter(|count| free && word && gap && (1..MOST).contains(count));
        let open = shares.last().is_none_or(|before| before.end == at);
        match (count, shares.last_mut()) {
            (Some(count), _) => shares.push(Share { number: at, said, count, end: at + 1 }),
            (None, Some(last)) if open && !matches!(token.kind, Kind::Sign(',' | ';')) => last.end = at + 1,
            (None, _) => {}
        }
    }
    shares
}

#[cfg(test)]
mod tests {
    use crate::read::schedule::Wording;
    use crate::trade::attribute::names;
    use crate::understand::lexicon::Lexicon;
    use crate::understand::{Surroundings, understand};

    #[test]
    fn a_count_is_parted_by_what_its_shares_say() {
        let lexicon = Lexicon::load(&[]).unwrap();
        let read = |text: &str| {
            let readings = understand(&lexicon, &Wording::free(text), &Surroundings::default());
            let said = readings.iter().map(|reading| {
                let count = reading.quantity.amount.map_or("-".to_string(), |amount| amount.normalize().to_string());
                let name = reading.attributes.get(&names::FUNCTION_NAME).and_then(|heard| heard.found());
                format!("{count} {}", name.map_or(String::new(), |name| name.to_string()))
            });
            said.collect::<Vec<_>>().join("; ")
        };
        assert_eq!(read("2 CVR panic, 1 NL 1 EO"), "1 night-latch; 1 exit-only");
        assert_eq!(read("3 rim exit devices, 1 exit only, 2 night latch, 630"), "1 exit-only; 2 night-latch");
        assert_eq!(read("2 CVR exit device CV-300 (1) NL (1) EO"), "1 night-latch; 1 exit-only");
        assert_eq!(read("2 EA rim exit device (1) night latch, (1) exit only 630"), "1 night-latch; 1 exit-only");
        assert!(!read("2 rim exit devices (1) night latch (2) exit only").starts_with("1 night-latch; 2"));
        // They do not add up, or nothing tells them apart.
        assert!(!read("2 rim exit devices, 1 night latch 2 exit only").starts_with("1 night-latch; 2"));
        assert_eq!(read("2 hinges, 1 each side 1 center").matches(';').count(), 0);
        assert_eq!(read("2 exit devices, night latch"), "2 night-latch");
    }
}
