//! Alternates of the job terms: each priced apart as an add or a deduct to the base, charges included; never folded in.

use std::collections::HashMap;

use rust_decimal::Decimal;

use super::answers::{self, After, Change, Part};
use super::desk::Desk;
use super::quote::{PricedItem, Trouble};
use super::totals::{self, Sums};
use crate::complete::spec::{Addition, CompletedSet, Spec, Status};
use crate::count;
use crate::count::takeoff::From;
use crate::money::Money;
use crate::terms::{Alternate, is_number};
use crate::trade::attribute::{Attr, Value};
use crate::trade::category::Category;

/// An alternate with its price.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PricedAlternate {
    /// Name on the letter.
    pub name: String,
    /// What it is.
    pub words: String,
    /// Add (or, negative, deduct) to the total. `None`: something in it has no price; `trouble` says what.
    pub delta: Option<Money>,
    /// How many lines it changes or leaves out.
    pub lines: usize,
    /// Why there is no price.
    pub trouble: String,
}

/// Prices the alternates of the terms against the sums of the base bid.
pub(super) fn price(desk: &Desk, items: &[PricedItem], base: &Sums) -> Vec<PricedAlternate> {
    let mut of: HashMap<From, Vec<&PricedItem>> = HashMap::new();
    if !desk.terms.alternates.is_empty() {
        items.iter().for_each(|item| of.entry(item.item.from).or_default().push(item));
    }
    let old = |from: From| of.get(&from).map_or(&[][..], Vec::as_slice);
    desk.terms.alternates.iter().map(|alternate| one(desk, alternate, &old, base)).collect()
}

fn one<'i>(
    desk: &Desk,
    alternate: &Alternate,
    old: &dyn Fn(From) -> &'i [&'i PricedItem],
    base: &Sums,
) -> PricedAlternate {
    let mut priced = PricedAlternate {
        name: alternate.name.clone(),
        words: alternate.words.clone(),
        delta: None,
        lines: 0,
        trouble: String::new(),
    };
    let mut sums = base.clone();
    for set in &desk.job.sets {
        let left = without(desk, set, alternate);
        let is_whole = left.openings == set.openings;
        for spec in &set.specs {
            let changes = changes(alternate, spec);
            if is_whole && changes.is_empty() {
                continue;
            }
            let set_changes: Vec<Change> =
                changes.iter().map(|(name, value)| Change::Set(*name, value, &alternate.name, None)).collect();
            let after = match answers::after(desk, Part::Line(spec.id), &set_changes) {
                Some(After::Line(spec, _)) => spec,
                _ => {
                    priced.trouble = format!("nothing in the catalog meets it for \"{}\"", spec.wording.text);
                    continue;
                }
            };
            let counted = count::line(&desk.job.schedule, &left, &after, desk.catalog);
            let new = After::Line(after.clone(), desk.price(counted, after.category));
            let old = old(From::Line(spec.id));
            // What the bid leaves out costs nothing before and after, unless the alternate asks for other goods.
            if changes.is_empty() && old.iter().any(|item| item.trouble == Some(Trouble::LeftOut)) {
                continue;
            }
            for item in old {
                sums -= &Sums::of(item, spec.category, desk.terms);
            }
            match desk.known(&new) {
                Some(known) => sums += &known,
                None if spec.selection.candidates.is_empty() => {}
                None => priced.trouble = format!("\"{}\" has no price then", spec.wording.text),
            }
            priced.lines += 1;
        }
    }
    for (index, added) in desk.job.added.iter().enumerate() {
        let Some(left) = addition_without(desk, added, alternate) else { continue };
        let old = old(From::Added(index));
        if old.iter().any(|item| item.trouble == Some(Trouble::LeftOut)) {
            continue;
        }
        for item in old {
            sums -= &Sums::of(item, Some(added.category), desk.terms);
        }
        for item in desk.addition(index, &left) {
            sums += &Sums::of(&item, Some(added.category), desk.terms);
        }
        priced.lines += 1;
    }
    if priced.lines == 0 && priced.trouble.is_empty() {
        priced.trouble = "it changes no line: no set, opening or goods of the job are meant by it".to_owned();
    }
    if priced.trouble.is_empty() {
        let total = |sums: &Sums| totals::finish(sums, desk.terms).0.total;
        priced.delta = Some(total(&sums) - total(base));
    }
    priced
}

/// The set without the openings that the alternate leaves out.
fn without(desk: &Desk, set: &CompletedSet, alternate: &Alternate) -> CompletedSet {
    let mut set = set.clone();
    if alternate.drop_sets.iter().any(|id| id.trim().eq_ignore_ascii_case(&set.id)) {
        set.openings.clear();
    }
    set.openings.retain(|opening| !is_dropped(desk, *opening, alternate));
    set
}

fn is_dropped(desk: &Desk, opening: usize, alternate: &Alternate) -> bool {
    let number = desk.job.schedule.openings.get(opening).map(|opening| opening.number.as_str()).unwrap_or_default();
    alternate.drop_openings.iter().any(|dropped| is_number(dropped, number))
}

/// The addition without what the alternate leaves out; `None`: it leaves nothing of it out.
fn addition_without(desk: &Desk, added: &Addition, alternate: &Alternate) -> Option<Addition> {
    let mut left = added.clone();
    let set = added.set.and_then(|set| desk.job.sets.get(set));
    let is_set_dropped =
        set.is_some_and(|set| alternate.drop_sets.iter().any(|id| id.trim().eq_ignore_ascii_case(&set.id)));
    left.shares.retain(|(opening, _)| !is_set_dropped && !is_dropped(desk, *opening, alternate));
    (left.shares.len() != added.shares.len()).then_some(left)
}

/// New attribute values for a line of the alternate's category, in the form that the line or its good has them.
fn changes(alternate: &Alternate, spec: &Spec) -> Vec<(Attr, Value)> {
    let is_its = spec.category.is_some_and(|category| is_named(alternate.category.as_deref(), category));
    let is_out = matches!(spec.status, Status::Excluded | Status::Unread);
    if !is_its || is_out || spec.selection.candidates.is_empty() {
        return Vec::new();
    }
    let good = spec.selection.candidates.first().map(|candidate| &candidate.good.attributes);
    alternate
        .set
        .iter()
        .map(|(name, text)| {
            let name = Attr::new(name);
            let known = spec.attributes.get(&name).map(|sourced| &sourced.value);
            (name, like(name, text, known.or_else(|| good.and_then(|good| good.get(&name)))))
        })
        .collect()
}

fn is_named(name: Option<&str>, category: Category) -> bool {
    name.is_some_and(|name| name.trim().eq_ignore_ascii_case(category.name()))
}

fn like(name: Attr, text: &str, known: Option<&Value>) -> Value {
    let text = text.trim();
    let read = match known {
        Some(Value::Length(_)) => text.parse().ok().map(Value::Length),
        Some(Value::Number(_)) => Decimal::from_str_exact(text).ok().map(Value::Number),
        Some(Value::Flag(_)) => text.parse().ok().map(Value::Flag),
        _ => None,
    };
    read.unwrap_or_else(|| crate::catalog::value_of(name, text))
}
