//! Gives dimensions their attribute: by their label, or by the order usual for the goods, from
//! `catalogs/trade/dimensions.csv`. A dimension that fits no limits is left unread.

use std::collections::BTreeMap;
use std::sync::OnceLock;

use rust_decimal::Decimal;

use super::assemble::Builder;
use super::claim::{Dimension, What};
use super::meaning::{self, Categories, Special, members};
use super::measure::{Measured, from_millimetres};
use super::reading::{Doubt, Remark, RemarkKind};
use super::roles::Role;
use super::scope::{Joined, Placed, Relation};
use crate::read::schedule::PartRole;
use crate::trade::attribute::{Attr, Value, names};
use crate::trade::category::Category;
use crate::trade::function::{self, FunctionKind};
use crate::trade::inches::Inches;
use crate::trade::table;

const TABLE: &str = include_str!("../../catalogs/trade/dimensions.csv");

/// The most dimensions of a size.
const MOST: usize = 3;

/// How unlabelled dimensions are told apart.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Order {
    Written,
    Sorted,
    Range,
}

#[derive(Debug)]
pub(super) struct Rule {
    attributes: Vec<Attr>,
    limits: Vec<(Inches, Inches)>,
    order: Order,
    bare: bool,
}

/// The rules for so many dimensions, in the order of the table: the first that fits holds.
pub(super) fn rules(category: Category, parts: usize) -> &'static [Rule] {
    static RULES: OnceLock<BTreeMap<(Category, usize), Vec<Rule>>> = OnceLock::new();
    let parse = |row: &table::Row| {
        let category = row.get(0).parse::<Category>().ok()?;
        let limits = row.get(3).split_whitespace().filter_map(|pair| {
            let (low, high) = pair.split_once('-')?;
            Some((low.parse().ok()?, high.parse().ok()?))
        });
        let rule = Rule {
            attributes: row.get(2).split_whitespace().map(Attr::new).collect(),
            limits: limits.collect(),
            order: match row.get(4) {
                "sorted" => Order::Sorted,
                "range" => Order::Range,
                _ => Order::Written,
            },
            bare: row.get(5) == "yes",
        };
        Some(((category, row.get(1).parse().ok()?), rule))
    };
    let rules = RULES.get_or_init(|| {
        let mut rules: BTreeMap<(Category, usize), Vec<Rule>> = BTreeMap::new();
        for (key, rule) in table::rows(TABLE).iter().filter_map(parse) {
            rules.entry(key).or_default().push(rule);
        }
        rules
    });
    rules.get(&(category, parts)).map_or(&[], Vec::as_slice)
}

impl Rule {
    /// The dimensions in the order of the attributes, when they fit the limits.
    pub(super) fn fit(&self, given: &[Inches]) -> Option<Vec<Inches>> {
        let fits =
            |order: &[Inches]| order.iter().zip(&self.limits).all(|(value, (low, high))| value >= low && value <= high);
        // Most rules that are tried do not fit.
        let count = given.len().min(MOST);
        let mut order = [Inches::ZERO; MOST];
        let order = &mut order[..count];
        order.copy_from_slice(&given[..count]);
        match self.order {
            Order::Written => {
                if !fits(order) {
                    order.reverse();
                }
            }
            Order::Sorted | Order::Range => order.sort_unstable(),
        }
        fits(order).then(|| order.to_vec())
    }
}

/// One to three dimensions.
pub fn size(builder: &mut Builder, placed: &Placed, dimensions: &[Option<Dimension>; 3]) {
    let all: Vec<Dimension> = dimensions.iter().flatten().copied().collect();
    let of_door = placed.relation == Relation::For && super::beside::is_of_door(builder.scope.claims, placed, &all);
    if placed.relation == Relation::For && !of_door || placed.denied || placed.role == PartRole::Finish {
        return;
    }
    let single = all.len() == 1;
    let of_maker = placed.role == PartRole::Maker;
    if single && !of_maker && (function_digits(builder, placed) || closer_size(builder, placed, &all[0])) {
        return;
    }
    // "2-3/4 or 2-3/8 backset": what "or" joins to a length behind is read with that.
    if single && all[0].label.is_none() && or_behind(builder, placed) {
        return;
    }
    let bare = single && (of_maker || placed.role == PartRole::CatalogNumber) && !all[0].measured.marked;
    let unmeasured = bare && !super::designation::is_behind(builder.scope.claims, placed.claim);
    // What goods of any kind that it may be would have alike is said of them all.
    if unmeasured || builder.set.count_ones() > 4 {
        return;
    }
    let mut each = members(builder.set).map(|category| assigned(builder, category, &all));
    let Some((values, metric)) = each.next() else { return };
    if each.any(|other| other.0 != values) {
        return;
    }
    // `T5A x 40` in the column of numbers: a length, and no side of a plate.
    if bare && !values.iter().all(|(one, _)| [names::LENGTH, names::CENTER_TO_CENTER].contains(one)) {
        return;
    }
    let evidence = builder.scope.by_grammar(placed.claim, "size");
    if metric {
        metric_doubt(builder, placed);
    }
    if values.is_empty() || of_door && values.iter().any(|(attribute, _)| *attribute != names::LENGTH) {
        return;
    }
    let other = alternative(builder, placed);
    let last = values.len() - 1;
    for (place, (attribute, value)) in values.into_iter().enumerate() {
        // "4.5x4?": who wrote it does not know.
        if place == last
            && builder.scope.claims.tokens.get(placed.claim.to).is_some_and(|sign| sign.is('?') && !sign.gap)
        {
            builder.remarks.push(Remark { kind: RemarkKind::Verify, evidence: evidence.clone() });
            continue;
        }
        match other.filter(|other| place == 0 && *other != value) {
            Some(other) => {
                let both = [other, value].map(|value| (Value::Length(value), evidence.clone()));
                builder.put_open(attribute, both.to_vec());
            }
            None => builder.put(attribute, Value::Length(value), evidence.clone()),
        }
    }
    // "4-1/2 SQ": of hinges it says that the corners are square besides.
    let hinges = builder.category().is_some_and(|category| matches!(category, Category::Hinge | Category::SpringHinge));
    let square = placed.claim.to.checked_sub(1).is_some_and(|last| builder.scope.claims.does(last, Role::Square));
    if hinges && square {
        builder.usual.push((names::CORNERS, Value::text("square"), evidence));
    }
    builder.take(placed.claim);
}

/// Numbers were read as millimetres.
fn metric_doubt(builder: &mut Builder, placed: &Placed) {
    let span = builder.scope.span(placed.claim);
    let says =
        format!("\"{}\" is read as millimetres: no such goods are that many inches", builder.original(span.clone()));
    builder.doubts.push(Doubt { code: "read-as-millimetres", says, span, attribute: None });
}

/// The attributes that dimensions give to goods of a category, and whether they had to be read as millimetres.
fn assigned(builder: &Builder, category: Category, given: &[Dimension]) -> (Vec<(Attr, Inches)>, bool) {
    let mut all = given.to_vec();
    let mut metric = false;
    for one in &mut all {
        let Some((attribute, _)) = one.label else { continue };
        if can_be(category, attribute, one.measured.value) {
            continue;
        }
        match in_millimetres(category, attribute, &one.measured) {
            Some(value) => (one.measured.value, metric) = (value, true),
            None => one.label = None,
        }
    }
    let plain: Vec<Dimension> = all.iter().copied().filter(|one| one.label.is_none()).collect();
    let mut values: Vec<(Attr, Inches)> =
        all.iter().filter_map(|one| one.label.map(|(attribute, _)| (attribute, one.measured.value))).collect();
    if all.len() > plain.len() {
        // The first dimension without a label beside one that has it: 10 x 2 LDW is a height and a deduction.
        for one in &plain {
            let free = [2, 3, 1].into_iter().flat_map(|parts| rules(category, parts)).find_map(|rule| {
                let mut all = rule.attributes.iter().copied().zip(&rule.limits);
                let value = one.measured.value;
                all.find(|(attribute, (low, high))| {
                    let taken = values.iter().any(|(taken, _)| taken == attribute);
                    !taken && !builder.attributes.contains_key(attribute) && value >= *low && value <= *high
                })
            });
            values.extend(free.map(|(attribute, _)| (attribute, one.measured.value)));
        }
    } else if let Some(found) = thin(category, &plain) {
        values.push(found);
    } else {
        let rules = rules(category, plain.len());
        let marked = plain.iter().any(|one| one.measured.marked);
        let decimal = plain.iter().any(|one| one.measured.value.decimal().fract() != Decimal::ZERO);
        let lengths: Vec<Inches> = plain.iter().map(|one| one.measured.value).collect();
        let mut usable = rules.iter().filter(|rule| (rule.bare || marked || decimal) && !of_a_flush_one(builder, rule));
        if let Some((rule, order)) = usable.find_map(|rule| Some((rule, rule.fit(&lengths)?))) {
            values.extend(rule.attributes.iter().copied().zip(order));
        } else if let Some((rule, order)) = rules.iter().find_map(|rule| Some((rule, millimetres(rule, &plain)?))) {
            values.extend(rule.attributes.iter().copied().zip(order));
            metric = true;
        } else if let Some((rule, order)) = rules.iter().find_map(|rule| Some((rule, without_point(rule, &plain)?))) {
            values.extend(rule.attributes.iter().copied().zip(order));
        }
    }
    (values, metric)
}

/// A flush pull is sunk into the door and has no centres that its length could be.
fn of_a_flush_one(builder: &Builder, rule: &Rule) -> bool {
    let flush = || {
        let mut entries =
            builder.scope.placed.iter().flat_map(|placed| placed.claim.entries(builder.scope.claims.lexicon));
        entries.any(|entry| {
            let mut sets = entry.meanings.iter().flat_map(|meaning| &meaning.sets);
            sets.any(|set| {
                set.attribute == names::TYPE && set.values.iter().any(|value| value.as_text() == Some("flush"))
            })
        })
    };
    rule.attributes.contains(&names::CENTER_TO_CENTER) && flush()
}

/// A whole number without a mark that is too large for the side its label names, and fits as millimetres: 250 high.
fn in_millimetres(category: Category, attribute: Attr, measured: &Measured) -> Option<Inches> {
    let whole = !measured.marked && measured.value.decimal().fract() == Decimal::ZERO;
    let value = from_millimetres(measured.value.decimal());
    (whole && value.decimal() >= Decimal::TWO && can_be(category, attribute, value)).then_some(value)
}

/// Whether a bare number could be a side or a length of such goods, so that behind their name it need not count them.
pub(super) fn may_measure(categories: Categories, number: Decimal) -> bool {
    let value = Inches::new(number);
    let sides = |attribute: &Attr| matches!(attribute.name(), "height" | "width" | "length" | "center_to_center");
    members(categories).any(|category| {
        category == Category::Closer && number <= Decimal::from(6)
            || rules(category, 1).iter().any(|rule| {
                let mut limits = rule.attributes.iter().zip(&rule.limits);
                limits.any(|(attribute, (low, high))| sides(attribute) && value >= *low && value <= *high)
            })
    })
}

/// Whether such goods have the side that a label names, of such a length: an astragal 84" high is so long, and a threshold
/// 36" wide too. Of goods without rules a label is believed.
fn can_be(category: Category, attribute: Attr, value: Inches) -> bool {
    let mut rules = [1, 2, 3].into_iter().flat_map(|parts| rules(category, parts)).peekable();
    if !matches!(attribute.name(), "height" | "width" | "length") {
        // Of other measures the limits are no more than usual; three times as much is none of them.
        let limits = rules.flat_map(|rule| rule.attributes.iter().zip(&rule.limits));
        let most = limits.filter(|(one, _)| **one == attribute).map(|(_, (_, high))| *high).max();
        return most.is_none_or(|most| value.decimal() <= most.decimal() * Decimal::from(3));
    }
    rules.peek().is_none()
        || rules.any(|rule| {
            let mut limits = rule.attributes.iter().zip(&rule.limits);
            limits.any(|(one, (low, high))| *one == attribute && value >= *low && value <= *high)
        })
}

/// Whether "or" joins another size to a single length.
fn or_behind(builder: &Builder, placed: &Placed) -> bool {
    let next = builder.scope.placed.iter().find(|next| next.claim.from >= placed.claim.to && next.joined.is_some());
    next.is_some_and(|next| {
        let size = matches!(next.claim.what, What::Size(_));
        size && next.joined == Some(Joined::Or) && next.claim.from <= placed.claim.to + 3
    })
}

/// "4-1/2 or 5 inch hinges": the single length before an "or" that joins this one.
fn length_before(builder: &mut Builder, placed: &Placed) -> Option<Inches> {
    let scope = builder.scope;
    if placed.joined != Some(Joined::Or) {
        return None;
    }
    let before = scope.placed.iter().rev().find(|before| {
        before.claim.to <= placed.claim.from && super::scope::joint(scope.claims, before.claim).is_none()
    })?;
    let What::Size([Some(one), None, None]) = before.claim.what else { return None };
    builder.take(before.claim);
    one.label.is_none().then_some(one.measured.value)
}

/// "4 or 4-1/2 x 4-1/2": a number that "or" joins to the first dimension.
fn alternative(builder: &mut Builder, placed: &Placed) -> Option<Inches> {
    if let Some(length) = length_before(builder, placed) {
        return Some(length);
    }
    let claims = builder.scope.claims;
    let or = placed.claim.from.checked_sub(1)?;
    let number = claims.tokens.get(or.checked_sub(1)?)?;
    // The number is not the end of a size: in "10 x 34 or 12 x 34" two sizes are joined.
    let size = |claim: &&super::claim::Claim| claim.from < or && claim.to >= or;
    let two = |claim: &super::claim::Claim| matches!(claim.what, What::Size([_, Some(_), _]));
    let free = !claims.list.iter().find(size).is_some_and(two);
    let joined = free && claims.tokens[or].text(claims.text) == "or" && number.part == claims.tokens[or].part;
    number.value(claims.text).filter(|_| joined).map(Inches::new)
}

/// Whole numbers without a mark that are too large for inches and fit as millimetres: 114 x 102, 250 x 860.
fn millimetres(rule: &Rule, plain: &[Dimension]) -> Option<Vec<Inches>> {
    let whole = |one: &Dimension| !one.measured.marked && one.measured.value.decimal().fract() == Decimal::ZERO;
    if plain.len() < 2 || !plain.iter().all(whole) {
        return None;
    }
    rule.fit(&plain.iter().map(|one| from_millimetres(one.measured.value.decimal())).collect::<Vec<_>>())
}

/// `45 x 45`, `5 x 45` of goods of a few inches: 4.5 without its point.
fn without_point(rule: &Rule, plain: &[Dimension]) -> Option<Vec<Inches>> {
    let few = Inches::whole(10);
    let is_small = rule.limits.iter().all(|(_, high)| *high <= few);
    let pointed = |one: &Dimension| {
        let value = one.measured.value.decimal();
        let halves = value.fract().is_zero() && (value % Decimal::from(5)).is_zero() && value >= Decimal::from(25);
        match one.measured.marked {
            false if value < Decimal::TEN => Some(one.measured.value),
            false if halves => Some(Inches::new(value / Decimal::TEN)),
            _ => None,
        }
    };
    let order: Vec<Inches> =
        plain.iter().filter(|_| is_small && plain.len() == 2).map(pointed).collect::<Option<_>>()?;
    rule.fit(&order)
}

/// A function of an exit device has two digits (`classroom 08`); no other number begins with a nought.
fn function_digits(builder: &mut Builder, placed: &Placed) -> bool {
    if builder.category() != Some(Category::ExitDevice) || placed.role == PartRole::CatalogNumber {
        return false;
    }
    let text = &builder.scope.claims.text[builder.scope.claims.span(placed.claim)];
    // "passage 14": another number is a function only beside the name of one.
    // "14 lever": so is one before the word for its trim.
    let trim = builder.scope.claims.does(placed.claim.to, Role::Lever);
    let number = text.len() == 2 && (text.starts_with('0') || trim || beside_function_name(builder, placed));
    let Some(found) = function::find(FunctionKind::Exit, text).filter(|_| number) else { return false };
    let evidence = builder.scope.by_grammar(placed.claim, "function of an exit device");
    builder.function_numbers.push((found.number, evidence));
    builder.take(placed.claim);
    true
}

/// "Closer 6": of closers a bare number of three to six right behind the name is the size; one or two may be a count, and
/// stays unread.
fn closer_size(builder: &mut Builder, placed: &Placed, one: &Dimension) -> bool {
    let whole = (3..=6).find(|size| one.measured.value == Inches::whole(*size));
    let claims = builder.scope.claims;
    let named = builder.scope.placed.iter().any(|before| {
        let mut meanings = before.claim.entries(claims.lexicon).flat_map(|entry| &entry.meanings);
        before.claim.to == placed.claim.from
            && before.role == placed.role
            && meanings.any(|meaning| meaning.noun.is_some())
    });
    let bare = !one.measured.marked && !one.measured.metric && one.label.is_none();
    let Some(size) = whole.filter(|_| named && bare && builder.category() == Some(Category::Closer)) else {
        return false;
    };
    let evidence = builder.scope.by_grammar(placed.claim, "size behind the name of a closer");
    builder.put(names::SIZE, Value::text(&size.to_string()), evidence);
    builder.take(placed.claim);
    true
}

/// Whether the name of a function stands right before or behind.
fn beside_function_name(builder: &Builder, placed: &Placed) -> bool {
    let lexicon = builder.scope.claims.lexicon;
    let mut near = builder.scope.placed.iter().filter(|other| {
        other.role == placed.role && (other.claim.to == placed.claim.from || other.claim.from == placed.claim.to)
    });
    let names = |meaning: &meaning::Meaning| matches!(meaning.special, Special::FunctionName(_));
    near.any(|other| other.claim.entries(lexicon).flat_map(|entry| &entry.meanings).any(names))
}

/// A single dimension that can only be the thickness of a plate.
fn thin(category: Category, plain: &[Dimension]) -> Option<(Attr, Inches)> {
    let [one] = plain else { return None };
    let rule = rules(category, 0).first()?;
    rule.fit(&[one.measured.value])?;
    Some((*rule.attributes.first()?, one.measured.value))
}

/// A number with its label.
pub fn labelled(
    builder: &mut Builder,
    placed: &Placed,
    label: u32,
    (number, measured): (Decimal, Measured),
    to: Option<u32>,
) {
    let lexicon = builder.scope.claims.lexicon;
    if placed.denied {
        return;
    }
    for entry in lexicon.entries(label) {
        for meaning in entry.meanings.iter().filter(|meaning| builder.holds(meaning)) {
            let (Special::After(attribute) | Special::Before(attribute) | Special::Dimension(attribute)) =
                meaning.special
            else {
                continue;
            };
            // 110 to 125 volts are the mains, whose name is 120.
            let mains = attribute.name() == "voltage" && (110..=125).any(|volts| number == Decimal::from(volts));
            let number = if mains { Decimal::from(120) } else { number };
            let millimetres = builder.category().filter(|category| {
                let length = matches!(meaning.special, Special::Dimension(_) | Special::Before(_));
                length && to.is_none() && !can_be(*category, attribute, measured.value)
            });
            let measured = match millimetres.and_then(|category| in_millimetres(category, attribute, &measured)) {
                Some(value) => Measured { value, marked: true, fraction: true, metric: true },
                None => measured,
            };
            let text = match (attribute.name(), to) {
                (_, Some(to)) => format!("{}-{to}", number.normalize()),
                // Exit-device functions have two digits.
                ("function", None) => format!("{:0>2}", number.normalize()),
                ("size", None) => number.normalize().to_string(),
                (_, None) if matches!(meaning.special, Special::Dimension(_)) => measured.value.to_string(),
                _ if measured.fraction => measured.value.to_string(),
                _ => number.normalize().to_string(),
            };
            let Ok(value) = meaning::value(attribute.name(), &text) else { continue };
            let evidence = builder.scope.by_entry(placed.claim, entry);
            builder.put(attribute, value, evidence);
            builder.take(placed.claim);
            if millimetres.is_some() && measured.metric {
                metric_doubt(builder, placed);
            }
            // "STC 50": the label says something of the goods besides.
            for meaning in lexicon.entries(label).flat_map(|entry| &entry.meanings) {
                if meaning.noun.is_none() && meaning.special == Special::Plain && builder.holds(meaning) {
                    builder.apply_sets(placed, entry, meaning);
                }
            }
            return;
        }
    }
}
