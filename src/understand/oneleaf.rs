//! What goods of one leaf alone have, in a line that counts those of both: "2 continuous hinges w/ 8-wire transfer on active
//! leaf". One of them is read with it, the others without.

use rust_decimal::Decimal;

use super::claim::Claims;
use super::counts::{counted_already, has_column};
use super::lexicon::Found;
use super::meaning::{Link, Special};
use super::normal::Normal;
use super::quantity::Counted;
use super::reading::{Doubt, Heard, Reading, Unit};
use super::roles::Role;
use super::scope::joint;
use super::token::Kind;
use crate::read::schedule::Basis;
use crate::trade::attribute::{Attr, Value, names};
use crate::trade::category::Category;
use crate::trade::rule_words;

/// Of these each leaf has one, and what stands between a comma or "with" and the words for a leaf is said of that one.
const ONE_A_LEAF: [Category; 5] =
    [Category::ContinuousHinge, Category::ExitDevice, Category::Closer, Category::OverheadStop, Category::Operator];

/// What wires a leaf: one good of the leaf brings or takes them, however many hang it.
const WIRED: [Attr; 3] = [names::CONDUCTORS, names::ELECTRIFIED, names::VOLTAGE];

/// "2/inactive", "1/active leaf": so many on one leaf of a pair. Where both leaves are counted so, neither is the count of all.
pub(super) fn counted(claims: &Claims, amount: Decimal, next: usize) -> Option<(Counted, usize)> {
    let slash = claims.tokens.get(next).filter(|slash| slash.is('/'))?;
    let leaf =
        claims.tokens.get(next + 1).filter(|leaf| leaf.part == slash.part && claims.does(next + 1, Role::OneLeaf))?;
    let mut named = (0..claims.tokens.len()).filter(|at| claims.does(*at, Role::OneLeaf));
    let one = (named.next(), named.next()) == (Some(next + 1), None);
    let word = claims.does(next + 2, Role::Leaf) && claims.tokens[next + 2].part == leaf.part;
    let free = one && !counted_already(claims) && !has_column(claims);
    let counted = Counted { amount: Some(amount), basis: Some(Basis::Opening), sure: true, ..Counted::default() };
    free.then_some((counted, next + 2 + usize::from(word)))
}

/// "2 closers, hold open on inactive leaf", "closers w/ hold open at inactive leaf": the name of the goods without what one of
/// them has, where a phrase of the lists has both.
pub(super) fn without(claims: &Claims, at: usize, found: &Found) -> Option<Found> {
    if found.next <= at + 1 || !stands_at(claims, found.next) {
        return None;
    }
    let parts = |at: usize| claims.tokens[at].is(',') || claims.does(at, Role::OfSome);
    let end = (at + 1..found.next).find(|at| parts(*at))?;
    claims.lexicon.phrase(&claims.tokens[..end], at).filter(|short| short.next == end && !short.guessed)
}

/// Whether words for one leaf of a pair stand at a token, perhaps behind one that leads to a place.
pub(super) fn stands_at(claims: &Claims, at: usize) -> bool {
    let on = claims.does(at, Role::Toward) && !claims.does(at, Role::OfSome);
    claims.does(at + usize::from(on), Role::OneLeaf)
}

/// Parts the reading of a line whose words say something of one leaf.
pub(super) fn parted(claims: &Claims, uniform: &Normal, text: &str, readings: &mut Vec<Reading>) {
    let [whole] = readings.as_mut_slice() else { return };
    // "Hold open on inactive": the word for a leaf is left out at the end of what is said.
    let ends = |at: usize| {
        let last = claims.tokens.get(at + 1).is_none_or(|next| {
            next.part != claims.tokens[at].part || matches!(next.kind, Kind::Sign(',' | ';' | ')' | '.'))
        });
        last && claims.does(at - 1, Role::Toward)
    };
    let of_leaf = |at: &usize| claims.does(*at, Role::OneLeaf) && (claims.does(*at + 1, Role::Leaf) || ends(*at));
    // "At active and inactive leaf", "active/inactive leaf": both.
    let mut named = (1..claims.tokens.len()).filter(|at| claims.does(*at, Role::OneLeaf));
    let (Some(at), None) = (named.next().filter(of_leaf), named.next()) else { return };
    let Some(category) = whole.category.found().copied() else { return };
    let quantity = &whole.quantity;
    let Some(all) = quantity.amount.filter(|all| all.fract().is_zero() && *all >= Decimal::TWO) else { return };
    let counted = quantity.unit == Unit::Each && quantity.basis.is_none() && quantity.by_leaves.is_none();
    if !counted || quantity.conflict.is_some() {
        return;
    }
    let part = claims.tokens[at].part;
    let parts = |at: usize| {
        let token = &claims.tokens[at];
        let with = |claim| matches!(joint(claims, claim), Some(Special::Link(Link::With)));
        token.part != part || token.is(',') || token.is(';') || token.is('(') || claims.on(at).is_some_and(with)
    };
    // "W/ hold open at inactive leaf": the words for "with" may belong to what is said.
    let with =
        |at: usize| claims.tokens[at].part == part && matches!(claims.tokens[at].text(claims.text), "w" | "with");
    let from = (0..at).rev().find(|at| parts(*at) || with(*at));
    let from = from.map_or(0, |sign| if with(sign) { sign } else { sign + 1 });
    let bytes = |from: usize| claims.tokens[from].start as usize..claims.tokens[at].end as usize;
    let span = uniform.original(bytes(from));
    let named = whole.named_at().unwrap_or(0..0);
    // Without a comma or "with" before it only wires are sure to be said of one leaf: "2 closers parallel arm active leaf".
    let apart = from < at && named.end <= span.start && span.start > 0;
    let said_of_one = |attribute: &Attr, value: &Value| {
        let hung = matches!(category, Category::Hinge | Category::ContinuousHinge | Category::Pivot);
        let wired = WIRED.contains(attribute) && (hung || ONE_A_LEAF.contains(&category));
        let other = apart && ONE_A_LEAF.contains(&category) && all == Decimal::TWO;
        let finish = [names::FINISH, names::LOOK, names::BASE, names::FIRE_LISTED].contains(attribute)
            || value.as_length().is_some();
        wired && (hung || all == Decimal::TWO) || other && !finish
    };
    let start = if apart { span.start } else { named.end };
    let inside = |heard: &Heard<Value>| match heard {
        Heard::Found(value, by) => (by.span.start >= start && by.span.end <= span.end).then_some(value.clone()),
        _ => None,
    };
    // "2 devices, electric latch retraction | One active leaf only": nothing else is said of the leaf, so that it is the wires'.
    let alone = all == Decimal::TWO && ONE_A_LEAF.contains(&category) && only_one(claims, from, at);
    let wires = |attribute: &Attr, heard: &Heard<Value>| {
        alone && WIRED.contains(attribute) && matches!(heard, Heard::Found(..))
    };
    let said: Vec<Attr> = whole
        .attributes
        .iter()
        .filter(|(attribute, heard)| {
            wires(attribute, heard) || inside(heard).is_some_and(|value| said_of_one(attribute, &value))
        })
        .map(|(attribute, _)| *attribute)
        .collect();
    if said.is_empty() {
        return;
    }
    let mut one = whole.clone();
    for attribute in &said {
        whole.attributes.remove(attribute);
    }
    whole.quantity.amount = Some(all - Decimal::ONE);
    one.quantity.amount = Some(Decimal::ONE);
    let leaf = claims.tokens.get(at + 1).filter(|_| claims.does(at + 1, Role::Leaf));
    let end = leaf.map_or(span.end, |leaf| uniform.original(bytes(from).start..leaf.end as usize).end);
    let words = text.get(start..end).unwrap_or_default().trim();
    let says = format!(
        "\"{words}\" is said of one leaf: 1 of the {} is read so, and {} without it",
        all.normalize(),
        (all - Decimal::ONE).normalize()
    );
    one.doubts.push(Doubt { code: "one-of-them", says, span: start..end, attribute: None });
    readings.push(one);
}

/// "One active leaf only", "active leaf only": words for a leaf that stand alone but for a number of one before them and "only"
/// around them.
fn only_one(claims: &Claims, from: usize, at: usize) -> bool {
    let tokens = &claims.tokens;
    let part = tokens[at].part;
    let only = |at: usize| claims.does(at, Role::Only);
    let one =
        |at: usize| tokens[at].text(claims.text) == "1" || rule_words::is("number-one", tokens[at].text(claims.text));
    let before = (from..at).all(|before| only(before) || one(before) || claims.does(before, Role::Toward));
    let behind = at + 1 + usize::from(claims.does(at + 1, Role::Leaf));
    let here = |at: usize| tokens.get(at).is_some_and(|token| token.part == part);
    let ended = |at: usize| !here(at) || matches!(tokens[at].kind, Kind::Sign(',' | ';' | ')' | '.'));
    let closed = here(behind) && only(behind) && ended(behind + 1) || ended(behind) && (from..at).any(only);
    before && closed
}

#[cfg(test)]
mod tests {
    use crate::read::schedule::Wording;
    use crate::trade::attribute::Attr;
    use crate::understand::{Surroundings, embedded, understand};

    #[test]
    fn what_one_of_two_closers_has_is_read_of_that_one() {
        let read = |text: &str| {
            let readings = understand(embedded().unwrap(), &Wording::free(text), &Surroundings::default());
            let held = |one: &crate::understand::reading::Reading| one.attributes.contains_key(&Attr::of("hold_open"));
            readings.iter().map(|one| (one.quantity.amount.map_or(0.into(), |n| n), held(one))).collect::<Vec<_>>()
        };
        let parted = vec![(1.into(), false), (1.into(), true)];
        for text in [
            "2 closers, hold open on inactive leaf",
            "2 closers, hold open at active leaf",
            "2 closers w/ hold open at inactive leaf",
            "2 closers, hold open on inactive",
            "2 closers w/ HO on inactive",
        ] {
            assert_eq!(read(text), parted, "{text}");
        }
        assert_eq!(read("2 closers, hold open"), vec![(2.into(), true)]);
        assert_eq!(read("1 closer, hold open on active leaf"), vec![(1.into(), true)]);
    }

    #[test]
    fn a_count_of_one_leaf_counts_and_two_such_counts_are_left_unread() {
        let count = |text: &str| {
            let readings = understand(embedded().unwrap(), &Wording::free(text), &Surroundings::default());
            readings[0].quantity.amount
        };
        assert_eq!(count("Kick plate 2/inactive"), Some(2.into()));
        assert_eq!(count("Kick plate 1/active 1/inactive"), None);
    }
}
