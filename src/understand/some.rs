//! What is said of some of the goods of a line only: "(3) mortise locks, 1 less cylinder". It is neither read of all nor lost:
//! a question.

use rust_decimal::Decimal;

use super::assemble::Builder;
use super::claim::{Claim, What};
use super::quantity::{Counted, number_word};
use super::reading::{Doubt, Heard, Quantity};
use super::roles::Role;
use super::token::Kind;
use crate::read::schedule::Basis;
use crate::trade::attribute::names;

impl Builder<'_> {
    /// Takes back what a smaller count, within the line, says of some of the goods.
    pub(super) fn some_of_them(&mut self, quantity: &mut Quantity) {
        let claims = self.scope.claims;
        let counted = quantity.evidence.as_ref().map(|by| self.inside(&by.span));
        // Nearly no line says such a thing.
        let says = |at: usize| claims.does(at, Role::Some) || claims.does(at, Role::OfSome);
        let second = |claim: &Claim| {
            let comma = claim.from.checked_sub(1).is_some_and(|before| claims.tokens[before].is(','));
            comma && matches!(claim.what, What::Quantity(_))
        };
        // "2 closers, one hold open arm"
        let worded = |at: usize| claims.tokens[at - 1].is(',') && number_word(claims, at).is_some();
        let count = claims.tokens.len();
        if !(0..count).any(says) && !claims.list.iter().any(second) && !(1..count).any(worded) {
            return;
        }
        let mut counts = vec![false; claims.tokens.len()];
        for claim in claims.list.iter().filter(|claim| matches!(claim.what, What::Quantity(_))) {
            if let Some(counts) = counts.get_mut(claim.from) {
                *counts = true;
            }
        }
        // "3 hinges, one with 8 wires": hinges with wires are asked about as they are written, in figures or in words.
        let wired = self.attributes.contains_key(&names::CONDUCTORS);
        for at in 1..claims.tokens.len().saturating_sub(1) {
            let (token, next) = (&claims.tokens[at], &claims.tokens[at + 1]);
            // "1 less cylinder", "one with storeroom lever".
            let word =
                || number_word(claims, at).filter(|_| !wired).filter(|(_, next)| *next == at + 1).map(|(some, _)| some);
            let few = token.value(claims.text).filter(|_| token.is_number()).or_else(word).is_some_and(|some| {
                some.fract().is_zero() && quantity.amount.map_or(some < Decimal::TEN, |all| some < all)
            });
            // "2 exit devices, one leaf with cylinder": what one of the leaves has.
            let leaf = claims.on(at).filter(|claim| claim.from == at && claims.does(claim.to, Role::OfSome));
            let of_leaf = leaf.is_some_and(|claim| match claim.what {
                What::Quantity(Counted { amount: Some(some), basis: Some(Basis::Leaf), unit: None, .. }) => {
                    quantity.amount.is_some_and(|all| some < all)
                }
                _ => false,
            });
            let few = few || of_leaf;
            let within = next.part == token.part && claims.tokens[at - 1].part == token.part && self.scope.mask[at];
            // "626 1 less": a number before it that says something else is none of its parts.
            let mixed = claims.tokens[at - 1].is_number() && !self.used[at - 1];
            // "2 closers (1 w/ hold open)"
            let apart = (token.gap || claims.tokens[at - 1].is('(')) && next.gap && !mixed;
            // A second count in the line is such a number too.
            let free = !self.used[at] || counts[at] && counted.as_ref().is_none_or(|counted| !counted.contains(&at));
            // "Some NRP", "several with RX": nobody says how many.
            let uncounted = claims.does(at, Role::Some) && within && next.gap;
            let joined = claims.does(at + 1, Role::OfSome);
            // "10 hinges, 4 NRP": a second count, behind a comma, of what only some have.
            let second = (counts[at] || quantity.amount.is_some() && word().is_some()) && claims.tokens[at - 1].is(',');
            if !uncounted && (!few || !free || !within || !apart || !(joined || second)) {
                continue;
            }
            // Up to the next comma or count.
            let ends = |at: &usize| {
                let token = &claims.tokens[*at];
                token.part != next.part || matches!(token.kind, Kind::Sign(',' | ';' | ')')) || counts[*at]
            };
            let end = (at + 2..claims.tokens.len()).find(ends).unwrap_or(claims.tokens.len());
            let span = self.scope.normal.original(token.start as usize..claims.tokens[end - 1].end as usize);
            let inside = |heard: &Heard<_>| match heard {
                Heard::Found(_, by) => by.span.start >= span.start && by.span.end <= span.end,
                _ => false,
            };
            let finish = [names::FINISH, names::LOOK];
            let mut said: Vec<_> =
                self.attributes.iter().filter(|(_, heard)| inside(heard)).map(|(name, _)| *name).collect();
            said.retain(|name| !finish.contains(name));
            for name in &said {
                if let Some(Heard::Found(value, _)) = self.attributes.remove(name) {
                    quantity.some.push((span.clone(), *name, value));
                }
            }
            let denied =
                self.denied_at.iter().find(|(from, _)| (at..end).contains(from)).map(|(_, attribute)| *attribute);
            let before = self.remarks.len();
            self.remarks
                .retain(|remark| remark.evidence.span.start < span.start || remark.evidence.span.end > span.end);
            // "3 hinges, some existing": the remark is said of some as well.
            let remarked = self.remarks.len() < before;
            let words = self.original(span.clone());
            if (uncounted || second && !joined) && said.is_empty() && denied.is_none() && !remarked {
                continue;
            }
            let says = format!(
                "\"{words}\" is said of {} only; all are read as if it were not said: give those a line of their own",
                token.text(claims.text),
            );
            self.used[at..end].fill(true);
            quantity.conflict =
                quantity.conflict.take().filter(|(_, by)| by.span.start < span.start || by.span.end > span.end);
            let attribute = said.first().copied().or(denied);
            self.doubts.push(Doubt { code: "some-of-them", says, span, attribute });
        }
    }
}
