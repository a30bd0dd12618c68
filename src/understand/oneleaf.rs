//! What goods of one leaf alone have, in a line that counts those of both: "2 continuous hinges w/ 8-wire transfer on active
//! leaf". One of them is read with it, the others without.

use rust_decimal::Decimal;

use super::claim::Claims;
use super::meaning::{Link, Special};
use super::normal::Normal;
use super::reading::{Doubt, Heard, Reading, Unit};
use super::roles::Role;
use super::scope::joint;
use crate::trade::attribute::{Attr, Value, names};
use crate::trade::category::Category;

/// Of these each leaf has one, and what stands between a comma or "with" and the words for a leaf is said of that one.
const ONE_A_LEAF: [Category; 5] =
    [Category::ContinuousHinge, Category::ExitDevice, Category::Closer, Category::OverheadStop, Category::Operator];

/// What wires a leaf: one good of the leaf brings or takes them, however many hang it.
const WIRED: [Attr; 3] = [names::CONDUCTORS, names::ELECTRIFIED, names::VOLTAGE];

/// Parts the reading of a line whose words say something of one leaf.
pub(super) fn parted(claims: &Claims, uniform: &Normal, text: &str, readings: &mut Vec<Reading>) {
    let [whole] = readings.as_mut_slice() else { return };
    let of_leaf = |at: &usize| claims.does(*at, Role::OneLeaf) && claims.does(*at + 1, Role::Leaf);
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
    let from = (0..at).rev().find(|at| parts(*at)).map_or(0, |sign| sign + 1);
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
    let said: Vec<Attr> = whole
        .attributes
        .iter()
        .filter(|(attribute, heard)| inside(heard).is_some_and(|value| said_of_one(attribute, &value)))
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
    let end =
        claims.tokens.get(at + 1).map_or(span.end, |leaf| uniform.original(bytes(from).start..leaf.end as usize).end);
    let words = text.get(start..end).unwrap_or_default().trim();
    let says = format!(
        "\"{words}\" is said of one leaf: 1 of the {} is read so, and {} without it",
        all.normalize(),
        (all - Decimal::ONE).normalize()
    );
    one.doubts.push(Doubt { code: "one-of-them", says, span: start..end, attribute: None });
    readings.push(one);
}
