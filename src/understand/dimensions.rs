//! Gives dimensions their attribute: by their label, or by the order usual for the goods, from
//! `catalogs/trade/dimensions.csv`. A dimension that fits no limits is left unread.

use std::collections::BTreeMap;
use std::sync::OnceLock;

use rust_decimal::Decimal;

use super::assemble::Builder;
use super::claim::{Dimension, What};
use super::meaning::{self, Special};
use super::measure::{Measured, from_millimetres};
use super::reading::Doubt;
use super::scope::{Placed, Relation};
use crate::read::schedule::PartRole;
use crate::trade::attribute::{Attr, Value, names};
use crate::trade::category::Category;
use crate::trade::function::{self, FunctionKind};
use crate::trade::inches::Inches;
use crate::trade::table;

const TABLE: &str = include_str!("../../catalogs/trade/dimensions.csv");

/// How unlabelled dimensions are told apart.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Order {
    Written,
    Sorted,
    Range,
}

#[derive(Debug)]
struct Rule {
    attributes: Vec<Attr>,
    limits: Vec<(Inches, Inches)>,
    order: Order,
    bare: bool,
}

/// The rules for so many dimensions, in the order of the table: the first that fits holds.
fn rules(category: Category, parts: usize) -> &'static [Rule] {
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
    fn fit(&self, given: &[Inches]) -> Option<Vec<Inches>> {
        let fits =
            |order: &[Inches]| order.iter().zip(&self.limits).all(|(value, (low, high))| value >= low && value <= high);
        let mut order = given.to_vec();
        match self.order {
            Order::Written => {
                if !fits(&order) {
                    order.reverse();
                }
            }
            Order::Sorted | Order::Range => order.sort(),
        }
        fits(&order).then_some(order)
    }
}

/// One to three dimensions.
pub fn size(builder: &mut Builder, placed: &Placed, dimensions: &[Option<Dimension>; 3]) {
    if placed.relation == Relation::For || placed.denied || placed.role == PartRole::Finish {
        return;
    }
    let mut all: Vec<Dimension> = dimensions.iter().flatten().copied().collect();
    let Some(category) = builder.category() else { return };
    for one in &mut all {
        one.label = one.label.filter(|(attribute, _)| can_be(category, *attribute, one.measured.value));
    }
    let single = all.len() == 1;
    if single && (function_digits(builder, placed) || closer_size(builder, placed, &all[0])) {
        return;
    }
    if single && placed.role == PartRole::CatalogNumber && !all[0].measured.marked {
        return;
    }
    let evidence = builder.scope.by_grammar(placed.claim, "size");
    let plain: Vec<Dimension> = all.iter().copied().filter(|one| one.label.is_none()).collect();
    let labelled = all.len() > plain.len();
    let mut values: Vec<(Attr, Inches)> =
        all.iter().filter_map(|one| one.label.map(|(attribute, _)| (attribute, one.measured.value))).collect();
    if labelled {
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
            let free = free.map(|(attribute, _)| attribute);
            if let Some(attribute) = free {
                values.push((attribute, one.measured.value));
            }
        }
    } else if let Some((attribute, value)) = thin(category, &plain) {
        values.push((attribute, value));
    } else {
        let rules = rules(category, plain.len());
        let marked = plain.iter().any(|one| one.measured.marked);
        let decimal = plain.iter().any(|one| one.measured.value.decimal().fract() != Decimal::ZERO);
        let lengths: Vec<Inches> = plain.iter().map(|one| one.measured.value).collect();
        let mut usable = rules.iter().filter(|rule| rule.bare || marked || decimal);
        if let Some((rule, order)) = usable.find_map(|rule| Some((rule, rule.fit(&lengths)?))) {
            values.extend(rule.attributes.iter().copied().zip(order));
        } else if let Some((rule, order)) = rules.iter().find_map(|rule| Some((rule, millimetres(rule, &plain)?))) {
            values.extend(rule.attributes.iter().copied().zip(order));
            let span = builder.scope.span(placed.claim);
            let says = format!(
                "\"{}\" is read as millimetres: no such goods are that many inches",
                builder.original(span.clone())
            );
            builder.doubts.push(Doubt { code: "read-as-millimetres", says, span, attribute: None });
        }
    }
    if values.is_empty() {
        return;
    }
    let other = alternative(builder, placed);
    for (place, (attribute, value)) in values.into_iter().enumerate() {
        match other.filter(|other| place == 0 && *other != value) {
            Some(other) => {
                let both = [other, value].map(|value| (Value::Length(value), evidence.clone()));
                builder.put_open(attribute, both.to_vec());
            }
            None => builder.put(attribute, Value::Length(value), evidence.clone()),
        }
    }
    builder.take(placed.claim);
}

/// Whether such goods have the side that a label names, of such a length: an astragal 84" high is so long, and a threshold
/// 36" wide too. Of goods without rules a label is believed.
fn can_be(category: Category, attribute: Attr, value: Inches) -> bool {
    if !matches!(attribute.name(), "height" | "width" | "length") {
        return true;
    }
    let mut rules = [1, 2, 3].into_iter().flat_map(|parts| rules(category, parts)).peekable();
    rules.peek().is_none()
        || rules.any(|rule| {
            let mut limits = rule.attributes.iter().zip(&rule.limits);
            limits.any(|(one, (low, high))| *one == attribute && value >= *low && value <= *high)
        })
}

/// "4 or 4-1/2 x 4-1/2": a number that "or" joins to the first dimension.
fn alternative(builder: &Builder, placed: &Placed) -> Option<Inches> {
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

/// A function of an exit device has two digits (`classroom 08`); no other number begins with a nought.
fn function_digits(builder: &mut Builder, placed: &Placed) -> bool {
    if builder.category() != Some(Category::ExitDevice) || placed.role == PartRole::CatalogNumber {
        return false;
    }
    let text = &builder.scope.claims.text[builder.scope.claims.span(placed.claim)];
    // "passage 14": another number is a function only beside the name of one.
    let number = text.len() == 2 && (text.starts_with('0') || beside_function_name(builder, placed));
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
