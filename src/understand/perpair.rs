//! Counts that are for a pair of doors: `6 per pair`, `2/PR` in the column of quantities.

use rust_decimal::Decimal;

use super::claim::Claims;
use super::quantity::Counted;
use super::reading::Unit;
use super::roles::Role;
use crate::read::schedule::PartRole;

/// `6 per pair`, `2/PR` in the column of quantities: so many for a pair of doors. A single leaf has half of an even number, and
/// none of one; not `3 PR`, which are pairs of the good.
pub(super) fn per_pair(claims: &Claims, at: usize, amount: Decimal, next: usize) -> Option<(Counted, usize)> {
    let here = |at: usize| claims.tokens.get(at).is_some_and(|token| token.part == claims.tokens[next - 1].part);
    let per = here(next) && (claims.does(next, Role::Rate) || claims.tokens[next].is('/'));
    let whole = amount.fract().is_zero() && claims.tokens[next - 1].is_number();
    if claims.role(at) != PartRole::Quantity || !per || !whole || !here(next + 1) || !claims.does(next + 1, Role::Pair)
    {
        return None;
    }
    let mut end = next + 2;
    end += usize::from(here(end) && claims.tokens[end].is('.'));
    let half = (amount / Decimal::TWO).normalize();
    let by_leaves = (amount == Decimal::ONE || half.fract().is_zero()).then_some((half.trunc(), amount));
    let counted = Counted { amount: Some(amount), unit: Some(Unit::Each), by_leaves, sure: true, ..Counted::default() };
    Some((counted, end))
}

#[cfg(test)]
mod tests {
    use crate::read::schedule::{PartRole, Wording};
    use crate::understand::lexicon::Lexicon;
    use crate::understand::reading::Unit;
    use crate::understand::{Surroundings, understand};

    #[test]
    fn so_many_per_pair_are_no_pairs() {
        let lexicon = Lexicon::load(&[]).unwrap();
        let counted = |text: &str| {
            let mut wording = Wording::default();
            wording.push(PartRole::Quantity, text, None);
            wording.push(PartRole::Description, "Kick plate 8 x 34", None);
            let quantity = understand(&lexicon, &wording, &Surroundings::default())[0].quantity.clone();
            (quantity.unit, quantity.by_leaves.map(|(single, pair)| (single.to_string(), pair.to_string())))
        };
        let halves = |single: &str, pair: &str| (Unit::Each, Some((single.to_string(), pair.to_string())));
        for (text, told) in [
            ("6 per pair", halves("3", "6")),
            ("2/PR", halves("1", "2")),
            ("2 per pr.", halves("1", "2")),
            ("1 per pair", halves("0", "1")),
            ("3 per pair", (Unit::Each, None)),
            ("3 PR", (Unit::Pair, None)),
            ("1-1/2 pair", (Unit::Pair, None)),
            ("2", (Unit::Each, None)),
        ] {
            assert_eq!(counted(text), told, "{text}");
        }
    }
}
