//! Makes a good of a product line: fills undecided attributes with usual values within the rules, names it, prices it.

use std::collections::BTreeMap;
use std::sync::Arc;

use rust_decimal::Decimal;

use crate::money::Money;
use crate::trade::attribute::{Attr, Attributes, Value, names};
use crate::trade::inches::Inches;

use super::book::Book;
use super::finishes;
use super::good::{Adder, Adds, Entry, Good, ListPrice, Per, Portion};
use super::line::{Base, KitPart, Line};
use super::table::Figure;
use super::value::shown;

/// What is decided of a line's varying attributes; `None`: without.
pub(super) type Decided = BTreeMap<Attr, Option<Value>>;

/// A kit within a kit within a kit is taken for a circle.
const DEEPEST_KIT: usize = 3;
/// So many attributes may be moved off their usual values to satisfy the rules.
const MOST_MOVES: usize = 3;

/// Fills what is not decided with usual values; where rules forbid that, with the nearest values that they allow.
///
/// # Errors
/// What stands against the decided values.
pub(super) fn fill(line: &Line, decided: &Decided) -> Result<Attributes, String> {
    let mut attributes = line.is.clone();
    for varying in &line.makes {
        let value = decided.get(&varying.attr).cloned().unwrap_or_else(|| varying.usual.clone());
        put(&mut attributes, varying.attr, value);
    }
    let Some((objection, _)) = objection(line, &attributes) else { return Ok(attributes) };
    (1..=MOST_MOVES).find_map(|moves| repair(line, decided, &attributes, &mut Vec::new(), moves)).ok_or(objection)
}

/// The good with every attribute usual.
pub(super) fn complete_usual(line: &Line) -> Result<Attributes, String> {
    fill(line, &Decided::new())
}

fn put(attributes: &mut Attributes, attr: Attr, value: Option<Value>) {
    match value {
        Some(value) => attributes.insert(attr, value),
        None => attributes.remove(&attr),
    };
}

fn repair(
    line: &Line,
    decided: &Decided,
    attributes: &Attributes,
    moved: &mut Vec<Attr>,
    moves: usize,
) -> Option<Attributes> {
    let Some((_, concerned)) = objection(line, attributes) else { return Some(attributes.clone()) };
    if moves == 0 {
        return None;
    }
    for varying in &line.makes {
        let attr = varying.attr;
        if decided.contains_key(&attr) || moved.contains(&attr) || !concerned.contains(&attr) {
            continue;
        }
        moved.push(attr);
        for option in varying.options().into_iter().skip(1) {
            let mut tried = attributes.clone();
            put(&mut tried, attr, option);
            if let Some(done) = repair(line, decided, &tried, moved, moves - 1) {
                return Some(done);
            }
        }
        moved.pop();
    }
    None
}

/// What stands against a combination, and the attributes concerned.
pub(super) fn objection(line: &Line, attributes: &Attributes) -> Option<(String, Vec<Attr>)> {
    for rule in &line.rules {
        if let Some(says) = rule.objection(attributes) {
            return Some((says, rule.attrs().collect()));
        }
    }
    let Base::Table(table) = &line.price.from else { return None };
    let stocked = stocked(line, attributes);
    match table.look_up(stocked.as_ref().unwrap_or(attributes)) {
        Some((Figure::Money(_), _)) => None,
        Some((Figure::NotMade, _)) | None => {
            let attrs: Vec<Attr> = table.attrs().collect();
            let words: Vec<String> =
                attrs.iter().map(|attr| format!("{attr} {}", shown(attributes.get(attr)))).collect();
            Some((format!("is not made in {}", words.join(", ")), attrs))
        }
    }
}

/// Attributes with the length rounded to the first piece sold.
fn stocked(line: &Line, attributes: &Attributes) -> Option<Attributes> {
    let (rule, pieces) = pieces(line, attributes)?;
    let (first, _) = pieces.ok()?.first().copied()?;
    let mut stocked = attributes.clone();
    stocked.insert(rule, Value::Length(first));
    Some(stocked)
}

type Pieces = Result<Vec<(Inches, u32)>, String>;

/// The pieces that a good sold by length is made of, longest first.
fn pieces(line: &Line, attributes: &Attributes) -> Option<(Attr, Pieces)> {
    let rule = line.length.as_ref()?;
    let asked = attributes.get(&rule.attr)?.as_length()?;
    if rule.within {
        let serves = rule.stock.iter().rev().find(|stock| **stock <= asked).or(rule.stock.first());
        return Some((rule.attr, Ok(serves.map(|stock| (*stock, 1)).into_iter().collect())));
    }
    let mut rest = asked;
    let mut pieces = Vec::new();
    if rest > rule.longest {
        if !rule.joined {
            let says = format!(
                "{} {} is longer than the longest made, {}",
                rule.attr,
                asked.in_fractions(),
                rule.longest.in_fractions()
            );
            return Some((rule.attr, Err(says)));
        }
        let whole = (rest.decimal() / rule.longest.decimal()).trunc();
        let count = u32::try_from(whole).unwrap_or(u32::MAX);
        pieces.push((rule.longest, count));
        rest = rest - rule.longest * i64::from(count);
    }
    if rest > Inches::ZERO {
        let piece = match rule.stock.iter().find(|stock| **stock >= rest) {
            Some(stock) => *stock,
            None => {
                let steps = (rest.decimal() / rule.round.decimal()).ceil();
                Inches::new(steps * rule.round.decimal()).min(rule.longest)
            }
        };
        match pieces.first_mut() {
            Some((length, count)) if *length == piece => *count = count.saturating_add(1),
            _ => pieces.push((piece, 1)),
        }
    }
    Some((rule.attr, Ok(pieces)))
}

/// Attributes of a finished good: those that follow from others added.
pub(super) fn finished(line: &Line, attributes: &Attributes) -> Attributes {
    let mut all = attributes.clone();
    for (when, gives) in &line.gives {
        if when.holds(attributes) {
            all.extend(gives.iter().map(|(attr, value)| (*attr, value.clone())));
        }
    }
    if !all.contains_key(&names::BASE) {
        let base = all.get(&names::FINISH).and_then(Value::as_text).and_then(finishes::base_of);
        if let Some(base) = base {
            all.insert(names::BASE, Value::text(base));
        }
    }
    all
}

/// The designation of a line's good.
pub(super) fn designation(line: &Line, attributes: &Attributes) -> String {
    match stocked(line, attributes) {
        Some(stocked) => line.designation.build(&line.makes, &stocked),
        None => line.designation.build(&line.makes, attributes),
    }
}

/// The good of these attributes (every varying attribute decided), with its price.
///
/// # Errors
/// Why it cannot be made or priced.
pub(super) fn good(book: &Book, line: &Line, attributes: &Attributes, class: Option<&str>) -> Result<Good, String> {
    good_at(book, line, attributes, class, 0)
}

fn good_at(
    book: &Book,
    line: &Line,
    attributes: &Attributes,
    class: Option<&str>,
    depth: usize,
) -> Result<Good, String> {
    let all = finished(line, attributes);
    let parts = parts(book, line, &all, class, depth)?;
    let list = price(book, line, attributes, &all, &parts, class)?;
    // What is bought is the stock; of cut goods it is the length that they are cut to.
    let within = line.length.as_ref().is_some_and(|rule| rule.within);
    let bought = if within { stocked(line, &all) } else { None };
    let description = line.describe.describe(&line.makes, bought.as_ref().unwrap_or(&all));
    let mut said = all;
    for varying in line.makes.iter().filter(|varying| !attributes.contains_key(&varying.attr)) {
        said.extend(varying.without().map(|none| (varying.attr, none)));
    }
    Ok(Good {
        line: line.id.clone(),
        maker: line.maker.clone(),
        designation: designation(line, attributes),
        description,
        attributes: said,
        list,
        parts,
    })
}

fn parts(
    book: &Book,
    line: &Line,
    all: &Attributes,
    class: Option<&str>,
    depth: usize,
) -> Result<Vec<(u32, Good)>, String> {
    if depth >= DEEPEST_KIT && !line.kit.is_empty() {
        return Err(format!("kit `{}` holds kits within kits", line.id));
    }
    line.kit.iter().map(|part| Ok((part.count, kit_part(book, part, all, class, depth)?))).collect()
}

fn kit_part(book: &Book, part: &KitPart, all: &Attributes, class: Option<&str>, depth: usize) -> Result<Good, String> {
    let line = book.line(&part.line).ok_or_else(|| format!("there is no line `{}`", part.line))?;
    let mut decided = Decided::new();
    for varying in &line.makes {
        let wanted = part.with.get(&varying.attr);
        if let Some(value) = wanted.or_else(|| all.get(&varying.attr)) {
            match varying.domain.meet(value) {
                Ok(value) => drop(decided.insert(varying.attr, value)),
                Err(made) if wanted.is_some() => {
                    return Err(format!("{} {value}: `{}` is made in {made}", varying.attr, line.id));
                }
                // What the kit hands on and the part is not made in stays at the part's usual value.
                Err(_) => {}
            }
        }
    }
    good_at(book, line, &fill(line, &decided)?, class, depth + 1)
}

/// The list price of a good.
fn price(
    book: &Book,
    line: &Line,
    attributes: &Attributes,
    all: &Attributes,
    parts: &[(u32, Good)],
    class: Option<&str>,
) -> Result<ListPrice, String> {
    let cut = match pieces(line, attributes) {
        Some((_, pieces)) => pieces?,
        None => Vec::new(),
    };
    let total: Option<Inches> = (!cut.is_empty())
        .then(|| cut.iter().fold(Inches::ZERO, |sum, (length, count)| sum + *length * i64::from(*count)));
    let (base, base_entry, made_of) = base(line, attributes, &cut, parts)?;
    let discount = if line.price.net { None } else { book.discount(&line.sold(), class) };
    // A kit has a price when all its parts have.
    let call_for_price =
        matches!(line.price.from, Base::Call(_)) || parts.iter().any(|(_, part)| part.list.call_for_price);
    Ok(ListPrice {
        base,
        base_entry,
        made_of,
        adders: adders(line, attributes, all, &cut),
        per: line.price.per,
        chain: discount.map_or(Vec::new(), |discount| discount.chain.clone()),
        chain_entry: discount.map_or_else(|| line.entry.clone(), |discount| discount.entry.clone()),
        length: total,
        pieces: cut,
        surcharges: book.surcharges(&line.maker, line.category, all),
        pack: line.pack,
        returnable: line.returnable,
        weight: line.weight.map(|weight| match (line.price.per, total) {
            (Per::Foot, Some(total)) => weight.saturating_mul(total.decimal()) / Decimal::from(12),
            _ => weight,
        }),
        minimum: line.minimum,
        call_for_price,
        notes: line.notes.clone(),
    })
}

/// The base figure, where it stands, and what it is the sum of.
fn base(
    line: &Line,
    attributes: &Attributes,
    cut: &[(Inches, u32)],
    parts: &[(u32, Good)],
) -> Result<(Money, Entry, Vec<Portion>), String> {
    let summed = |portions: Vec<Portion>, entry: Entry| {
        let sum = portions.iter().map(|portion| portion.each.decimal() * Decimal::from(portion.count)).sum();
        let is_sum = portions.len() > 1 || portions.iter().any(|portion| portion.count > 1);
        (Money::new(sum), entry, if is_sum { portions } else { Vec::new() })
    };
    let piece = |(length, count): &(Inches, u32), each: Money| {
        let what = format!("piece of {} in", length.in_fractions());
        Portion { what, count: *count, each }
    };
    let table = match &line.price.from {
        Base::Flat(money, entry) => {
            if line.price.per == Per::Foot || cut.is_empty() {
                return Ok((*money, entry.clone(), Vec::new()));
            }
            return Ok(summed(cut.iter().map(|one| piece(one, *money)).collect(), entry.clone()));
        }
        Base::Parts => {
            let of = |(count, part): &(u32, Good)| Portion {
                what: part.designation.clone(),
                count: *count,
                each: part.list.list(),
            };
            return Ok(summed(parts.iter().map(of).collect(), line.entry.clone()));
        }
        Base::Call(entry) => return Ok((Money::ZERO, entry.clone(), Vec::new())),
        Base::Table(table) => table,
    };
    let look_up = |attributes: &Attributes| match table.look_up(attributes) {
        Some((Figure::Money(money), entry)) => Ok((*money, entry.clone())),
        _ => Err(format!("`{}` has no price for this combination", line.id)),
    };
    let (Some(rule), [first, ..]) = (&line.length, cut) else {
        return look_up(attributes).map(|(money, entry)| (money, entry, Vec::new()));
    };
    let at = |length: Inches| {
        let mut piece = attributes.clone();
        piece.insert(rule.attr, Value::Length(length));
        look_up(&piece)
    };
    let (money, entry) = at(first.0)?;
    if line.price.per == Per::Foot {
        return Ok((money, entry, Vec::new()));
    }
    let pieces: Result<Vec<Portion>, String> = cut.iter().map(|one| Ok(piece(one, at(one.0)?.0))).collect();
    Ok(summed(pieces?, entry))
}

fn adders(line: &Line, attributes: &Attributes, all: &Attributes, cut: &[(Inches, u32)]) -> Vec<Adder> {
    let count: u32 = cut.iter().map(|(_, count)| *count).sum();
    let times = Decimal::from(count.max(1));
    let mut adders: Vec<Adder> = line
        .adders
        .iter()
        .filter(|adder| adder.when.holds(all))
        .map(|adder| {
            let adds = match adder.adds {
                Adds::List(money) if adder.per_piece => Adds::List(Money::new(money.decimal() * times)),
                Adds::Net(money) if adder.per_piece => Adds::Net(Money::new(money.decimal() * times)),
                adds => adds,
            };
            Adder { what: adder.what.to_string(), adds, entry: adder.entry.clone() }
        })
        .collect();
    let asked = line.length.as_ref().and_then(|rule| attributes.get(&rule.attr)).and_then(Value::as_length);
    if let (Some((charge, entry)), Some(asked)) = (line.length.as_ref().and_then(|rule| rule.cut.clone()), asked) {
        let total = cut.iter().fold(Inches::ZERO, |sum, (length, count)| sum + *length * i64::from(*count));
        if total > asked {
            adders.push(Adder { what: format!("cut to {}", asked.in_fractions()), adds: Adds::List(charge), entry });
        }
    }
    adders
}

/// Words of a line for messages: maker, series, id.
pub(super) fn called(line: &Line) -> String {
    let series: &Arc<str> = &line.series;
    if series.is_empty() { format!("{} `{}`", line.maker, line.id) } else { format!("{} {series}", line.maker) }
}
