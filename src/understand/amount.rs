//! Settles the quantity of a reading: the first count said, its unit and basis; pairs of hinges become pieces.

use rust_decimal::Decimal;

use super::assemble::Builder;
use super::claim::{Claim, What};
use super::quantity::Counted;
use super::reading::{Quantity, Remark, RemarkKind, Unit};
use super::roles::Role;
use super::scope::Relation;
use super::token::Token;
use crate::evidence::Evidence;
use crate::read::schedule::{Basis, PartRole};
use crate::trade::category::Category;
use crate::trade::rule_words;

/// The quantity of a reading.
pub fn quantity(builder: &mut Builder) -> Quantity {
    let mut counts: Vec<(Counted, Evidence, PartRole)> = Vec::new();
    // "Change keys 4 per lock, 6 GMK": behind the keys of a lock other keys are counted, not the keying.
    let keys = builder.attributes.keys().any(|attribute| attribute.name() == "change_keys")
        && builder.category() == Some(Category::Keying);
    for placed in &builder.scope.placed {
        if keys
            && placed.role != PartRole::Quantity
            && matches!(placed.claim.what, What::Quantity(_))
            && placed.claim.from > 0
        {
            let evidence = builder.scope.by_grammar(placed.claim, "a count of keys");
            builder.remarks.push(Remark { kind: RemarkKind::Other, evidence });
            continue;
        }
        if let What::Quantity(counted) = &placed.claim.what
            && counts_leaves(builder, placed.claim, counted)
            && counts.iter().any(|(one, ..)| one.amount.is_some())
        {
            let evidence = builder.scope.by_grammar(placed.claim, "a count of leaves");
            builder.remarks.push(Remark { kind: RemarkKind::Other, evidence });
            continue;
        }
        if let What::Quantity(counted) = &placed.claim.what
            && placed.relation != Relation::When
        {
            counts.push((*counted, builder.scope.by_grammar(placed.claim, "quantity"), placed.role));
        }
    }
    let mut quantity = Quantity::default();
    // The quantity column speaks first, then what stands first.
    counts.sort_by_key(|(_, _, role)| !matches!(role, PartRole::Quantity | PartRole::Unit));
    let unit = counts.iter().find_map(|(counted, ..)| counted.unit);
    quantity.unit = unit.unwrap_or(Unit::Each);
    quantity.basis = counts.iter().find_map(|(counted, ..)| counted.basis);
    let each_leaf = each_leaf(&counts);
    quantity.by_leaves = counts.iter().find_map(|(counted, ..)| counted.by_leaves);
    let hinges = matches!(builder.category(), Some(Category::Hinge | Category::SpringHinge));
    let two = |counted: &Counted, unit: Option<Unit>| hinges && counted.unit.or(unit) == Some(Unit::Pair);
    // A unit by itself, in its own column or at the head of the text, is that of the number in the quantity column.
    let column_unit = counts.iter().filter(|(counted, ..)| counted.amount.is_none()).find_map(|(one, ..)| one.unit);
    let thought = counts.iter().rev().find(|(counted, ..)| counted.instead);
    let second_thought = thought.and_then(|(counted, evidence, _)| Some((counted.amount?, evidence.clone())));
    let mut amounts = counts.iter().filter_map(|(counted, evidence, _)| {
        let amount = counted.amount?;
        let amount = if two(counted, column_unit) { amount * Decimal::TWO } else { amount };
        Some((amount.normalize(), evidence.clone()))
    });
    // "4, no make that 6": a second thought is the count, and nothing speaks against it.
    if let Some((amount, evidence)) = second_thought {
        quantity.amount = Some(amount);
        quantity.evidence = Some(evidence);
    } else if let Some((amount, evidence)) = amounts.next() {
        quantity.amount = Some(amount);
        quantity.evidence = Some(evidence);
        quantity.conflict = amounts.find(|(other, _)| *other != amount);
    }
    // `6` in its column, `3 per leaf` in the words: at pairs the two agree.
    let of_leaf = |by: &Evidence| {
        let mut said = counts.iter().filter(|(one, ..)| one.amount.is_some());
        let first = said.next().is_some_and(|(first, ..)| first.basis.is_none());
        first && said.any(|(one, evidence, _)| evidence.span == by.span && one.basis == Some(Basis::Leaf))
    };
    quantity.conflict_of_leaf = quantity.conflict.as_ref().is_some_and(|(_, by)| of_leaf(by));
    // `3 PR` in its column, `1-1/2 PR PER LEAF` in the words: of a pair the two agree.
    if let (Some(first), Some((each, evidence))) = (quantity.amount, each_leaf)
        && quantity.conflict.is_some()
    {
        let each = if hinges && evidence.1 == Some(Unit::Pair) { each * Decimal::TWO } else { each };
        if each * Decimal::TWO == first {
            (quantity.amount, quantity.evidence) = (Some(each.normalize()), Some(evidence.0));
            quantity.conflict = None;
        }
    }
    if hinges && quantity.unit == Unit::Pair {
        quantity.unit = Unit::Each;
    }
    // "1 flush bolt set": the set is counted, and has several.
    if quantity.unit == Unit::Each && quantity.amount == Some(Decimal::ONE) && by_the_set(builder) {
        quantity.unit = Unit::Set;
    }
    if quantity.unit == Unit::Each
        && let Some(evidence) = twofold(builder).or_else(|| several(builder).filter(|_| quantity.amount.is_some()))
    {
        match quantity.amount {
            None => (quantity.amount, quantity.evidence) = (Some(Decimal::TWO), Some(evidence)),
            // One count, or one on each side: it is asked.
            Some(one) if one == Decimal::ONE && quantity.conflict.is_none() => {
                quantity.conflict = Some((Decimal::TWO, evidence));
            }
            Some(_) => {}
        }
    }
    quantity
}

/// "One leaf with cylinder" behind the count of the goods counts leaves, and no goods on them; "3 per leaf", "2 ea leaf" do.
fn counts_leaves(builder: &Builder, claim: &Claim, counted: &Counted) -> bool {
    let claims = builder.scope.claims;
    let each = || (claim.from..claim.to).any(|at| claims.does(at, Role::Per));
    counted.basis == Some(Basis::Leaf) && counted.unit.is_none() && counted.amount.is_some() && !each()
}

/// The count that is said of each leaf, where another in the quantity column says nothing of leaves.
#[allow(clippy::type_complexity, reason = "a count, its words and its unit, handed to one place")]
fn each_leaf(counts: &[(Counted, Evidence, PartRole)]) -> Option<(Decimal, (Evidence, Option<Unit>))> {
    let (first, ..) = counts.iter().find(|(counted, ..)| counted.amount.is_some())?;
    // "One leaf with cylinder" counts leaves, and no goods on them.
    let of_goods = |one: &Counted| one.amount.is_some() && one.unit.is_some() && one.basis == Some(Basis::Leaf);
    let (each, evidence, _) = counts.iter().find(|(one, ..)| of_goods(one))?;
    first.basis.is_none().then_some((each.amount?, (evidence.clone(), each.unit)))
}

/// "Auto flush bolt set", "flush bolts, manual (set)": the word ends the name, or stands alone in brackets.
fn by_the_set(builder: &Builder) -> bool {
    let claims = builder.scope.claims;
    if builder.category() != Some(Category::FlushBolt) {
        return false;
    }
    let word = |at: usize| claims.tokens.get(at).map_or("", |token| token.text(claims.text));
    let is_set = |at: usize| rule_words::is("goods-by-the-set", word(at));
    let ends = |to: usize| !rule_words::is("things-of-goods", word(to));
    let named = builder.named.iter().filter_map(|from| claims.on(*from));
    let mut sets = named.map(|claim| if is_set(claim.to) { claim.to + 1 } else { claim.to });
    let cell = |at: usize| claims.tokens.get(at).map(|token| token.part);
    let numbered = |to: usize| claims.tokens.get(to).is_some_and(Token::is_number) && cell(to) == cell(to - 1);
    sets.any(|to| to > 0 && is_set(to - 1) && ends(to) && !numbered(to))
        || (1..claims.tokens.len()).any(|at| is_set(at) && word(at - 1) == "(" && word(at + 1) == ")")
}

/// "Manual flush bolts": the plural name of goods that a pair has two of, where one is counted.
fn several(builder: &Builder) -> Option<Evidence> {
    let claims = builder.scope.claims;
    let of_bolts = builder.category() == Some(Category::FlushBolt);
    let mut named = builder.named.iter().filter(|_| of_bolts).filter_map(|from| claims.on(*from));
    let claim = named.find(|claim| claims.tokens[claim.to - 1].singular != 0)?;
    Some(builder.scope.by_grammar(claim, "a plural"))
}

/// "Kick plate, both sides", "flush bolts, pair": words behind the name of goods that a leaf has one or two of, which make two
/// of one.
fn twofold(builder: &Builder) -> Option<Evidence> {
    let uses: &[&str] = match builder.category() {
        Some(Category::FlushBolt) => &["goods-in-pairs"],
        Some(Category::PushPlate | Category::Pull) => &["on-both-sides", "goods-in-pairs"],
        Some(Category::ProtectionPlate) => &["on-both-sides"],
        _ => return None,
    };
    let mut said = builder.remarks.iter().filter(|remark| remark.kind == RemarkKind::Other);
    let found = said.find(|remark| {
        let words = builder.original(remark.evidence.span.clone()).to_lowercase();
        uses.iter().any(|wanted| rule_words::is(wanted, words.trim_matches(|letter: char| !letter.is_alphanumeric())))
    });
    found.map(|remark| remark.evidence.clone())
}

#[cfg(test)]
mod tests {
    use crate::read::schedule::Wording;
    use crate::understand::lexicon::Lexicon;
    use crate::understand::{Surroundings, understand};

    #[test]
    fn a_time_that_fire_is_held_counts_nothing() {
        let lexicon = Lexicon::load(&[]).unwrap();
        let read = |text: &str| understand(&lexicon, &Wording::free(text), &Surroundings::default()).remove(0);
        assert_eq!(read("Mortise lock, 60 minute").quantity.amount, None);
        assert_eq!(read("Rooms, 45 hour, mortise lock").quantity.amount, None);
        assert_eq!(read("Mortise lock, 2").quantity.amount, read("2 mortise locks").quantity.amount);
    }
}
