//! Finds the goods of a flat list that fit a request. What a row says decides; where it is silent, it is taken for the usual
//! of the trade and for nothing else: a hinge whose row speaks of no wires has none.

use std::collections::{BTreeMap, BTreeSet, HashSet};
use std::hash::BuildHasherDefault;

use crate::money::Money;
use crate::trade::attribute::{Attr, Attributes, Value, names};
use crate::trade::usual;

use super::super::book::Book;
use super::super::finishes::{self, Finish};
use super::super::good::{Candidate, Good, Per, Request, Undecided};
use super::super::select::rank;
use super::super::value::{is_without, same, shown};
use super::quick::{Quick, number_key};
use super::{Family, GoodsList, Row};

/// Rows compared with the one taken when it is asked what else there is.
const MOST_COMPARED: usize = 4_000;

/// Liberties taken, and the row.
type Weighed = (usize, u32);

/// One asked attribute, and which values meet it.
struct Asked<'a> {
    attr: Attr,
    value: &'a Value,
    /// Pairs that meet it, each with the liberties taken.
    met_by: BTreeMap<u32, usize>,
    /// Whether a row that is silent about it meets it.
    silence: bool,
    /// What a silent row means, where that is another thing than the one asked: no number makes it that.
    denied: Option<&'static str>,
}

/// The good of one family that fits a request, with the liberties taken.
pub(in super::super) fn select(
    list: &GoodsList,
    at: usize,
    book: &Book,
    request: &Request,
    class: Option<&str>,
) -> Option<(usize, Candidate)> {
    let family = list.families.get(at)?;
    let named = request.attributes.get(&names::DESIGNATION).and_then(Value::as_text);
    let by_number: Vec<u32> =
        named.map_or(Vec::new(), |named| of_number(list, named).filter(|row| is_of(list, *row, at)).collect());
    let asked: Vec<Asked> = asked(list, family, book, request);
    if !by_number.is_empty() {
        let rows = fitting(list, &asked, &by_number, true);
        if let Some(found) = best(list, family, book, request, &asked, &rows, class) {
            return Some(found);
        }
    }
    let rows = fitting(list, &asked, &narrowed(list, at, family, &asked), false);
    best(list, family, book, request, &asked, &rows, class)
}

fn is_of(list: &GoodsList, row: u32, family: usize) -> bool {
    list.rows.get(row as usize).is_some_and(|row| row.family as usize == family)
}

/// The rows of a number, whatever its spaces and hyphens.
pub(in super::super) fn of_number<'a>(list: &'a GoodsList, number: &str) -> impl Iterator<Item = u32> + use<'a> {
    let key = number_key(number);
    let from = list.numbers.partition_point(|(own, _)| *own < key);
    list.numbers[from..].iter().take_while(move |(own, _)| *own == key).map(|(_, row)| *row)
}

/// The good of a family with these attributes; those that it does not know are left out of account.
///
/// # Errors
/// What stands against it.
pub(in super::super) fn good(
    list: &GoodsList,
    at: usize,
    book: &Book,
    attributes: &Attributes,
    class: Option<&str>,
) -> Result<Good, String> {
    let Some(family) = list.families.get(at) else { return Err("the list has no such goods".to_owned()) };
    let knows = |attr: &Attr| {
        family.values.contains_key(attr)
            || matches!(*attr, names::LOOK | names::BASE | names::LENGTH | names::DESIGNATION)
    };
    let attributes = attributes.iter().filter(|(attr, _)| knows(attr)).map(|(a, v)| (*a, v.clone())).collect();
    let request = Request { category: family.category, attributes, makers: Vec::new() };
    if let Some((_, candidate)) = select(list, at, book, &request, class) {
        return Ok(candidate.good);
    }
    let near = near(list, at, book, &request, class);
    Err(near.map_or_else(|| format!("`{}` has no goods", family.id), |(_, _, why)| why))
}

fn asked<'a>(list: &GoodsList, family: &Family, book: &Book, request: &'a Request) -> Vec<Asked<'a>> {
    // The name of a function says no more than its number.
    let numbered = request.attributes.contains_key(&names::FUNCTION) && family.values.contains_key(&names::FUNCTION);
    let compared = |attr: &Attr| match *attr {
        names::FINISH | names::LOOK | names::BASE | names::MAKER | names::DESIGNATION | names::LINE => false,
        names::FUNCTION_NAME => !numbered,
        _ => true,
    };
    let asked = request.attributes.iter().filter(|(attr, _)| compared(attr));
    asked
        .map(|(attr, value)| {
            let own = family.values.get(attr).map_or(&[][..], Vec::as_slice);
            let meeting = |pair: &u32| Some((*pair, meets(book, *attr, list.value(*pair)?, value)?));
            let met_by = own.iter().filter_map(meeting).collect();
            let usual = usual::value(family.category, *attr).map(|(words, _)| usual::is_among(value, words));
            let silence = usual::silence(family.category, *attr).map(|(meant, _)| meant);
            let denied = silence.filter(|meant| !usual::is(value, meant) && !is_without(value));
            // What is silent means the usual; where no usual is known, an attribute that only describes is not compared.
            let met = usual.unwrap_or_else(|| book.policy.descriptive.contains(attr));
            Asked { attr: *attr, value, met_by, silence: denied.is_none() && (is_without(value) || met), denied }
        })
        .collect()
}

/// The liberties with which a good that is `own` meets what is asked; `None`: it does not.
fn meets(book: &Book, attr: Attr, own: &Value, asked: &Value) -> Option<usize> {
    if same(own, asked) || (is_without(own) && is_without(asked)) {
        return Some(0);
    }
    match (own, asked) {
        (Value::List(own), Value::List(asked)) => asked.iter().all(|word| own.contains(word)).then_some(1),
        (Value::List(own), Value::Text(word)) => own.contains(word).then_some(1),
        // A longer piece is cut.
        (Value::Length(own), Value::Length(asked)) if attr == names::LENGTH && own > asked => Some(1),
        // A larger supply feeds what a smaller one does.
        (Value::Number(own), Value::Number(asked)) if attr == names::AMPS && own > asked => Some(1),
        _ => rank(book, attr, own, asked),
    }
}

/// The rows that have the rarest of the asked values: all others are out already.
fn narrowed(list: &GoodsList, at: usize, family: &Family, asked: &[Asked]) -> Vec<u32> {
    let family_index = u32::try_from(at).unwrap_or(u32::MAX);
    let rows_of = |pair: &u32| list.index.get(&(family_index, *pair)).map_or(&[][..], Vec::as_slice);
    let by_foot = |asked: &&Asked| !asked.silence && asked.attr != names::LENGTH;
    let rarest = asked
        .iter()
        .filter(by_foot)
        .min_by_key(|asked| asked.met_by.keys().map(|pair| rows_of(pair).len()).sum::<usize>());
    match rarest {
        None => family.rows.clone(),
        Some(asked) => {
            let mut rows: Vec<u32> = asked.met_by.keys().flat_map(|pair| rows_of(pair).iter().copied()).collect();
            rows.sort_unstable();
            rows
        }
    }
}

/// The rows among these that meet everything asked, each with the liberties taken.
fn fitting(list: &GoodsList, asked: &[Asked], rows: &[u32], named: bool) -> Vec<Weighed> {
    let fits = |index: &u32| {
        let row = list.rows.get(*index as usize)?;
        let mut liberties = 0;
        for one in asked {
            match list.said_of(row, one.attr) {
                Some(pair) => liberties += one.met_by.get(&pair)?,
                None if one.silence || (named && one.denied.is_none()) => {}
                None if one.attr == names::LENGTH && row.per == super::super::good::Per::Foot => {}
                None => return None,
            }
        }
        Some((liberties, *index))
    };
    rows.iter().filter_map(fits).collect()
}

/// The rows of the finish that meets what is asked of finish, look and base; why; and a liberty for a near one.
fn of_finish(
    list: &GoodsList,
    family: &Family,
    book: &Book,
    request: &Request,
    rows: &[Weighed],
) -> Result<(Vec<Weighed>, Option<String>), String> {
    let text = |attr: Attr| request.attributes.get(&attr).and_then(Value::as_text);
    let (finish, look, base) = (text(names::FINISH), text(names::LOOK), text(names::BASE));
    // Each finish of the list is one pair, so that its words are looked at once and not with every row.
    let finish_of = |row: u32| list.rows.get(row as usize).and_then(|row| list.said_of(row, names::FINISH));
    let finishes: Vec<Option<u32>> = rows.iter().map(|(_, row)| finish_of(*row)).collect();
    let different: BTreeSet<u32> = finishes.iter().flatten().copied().collect();
    let words_of = |pair: u32| list.value(pair).and_then(Value::as_text);
    let mut made: Vec<&str> = different.iter().filter_map(|pair| words_of(*pair)).collect();
    made.sort_unstable();
    made.dedup();
    if made.is_empty() || (finish.is_none() && look.is_none() && base.is_none()) {
        let why = finish.or(look).map(|words| format!("finish {words}: these goods have no finish to choose"));
        return Ok((rows.to_vec(), why));
    }
    let near_allowed = book.policy.nearest_finish.contains(&family.category);
    let (code, why, liberty) = match finishes::choose(&made, finish, look, base, None, near_allowed) {
        Finish::Asked(code, why) => (code, why, 0),
        Finish::Near(code, why) => (code, why, 1),
        Finish::Open => return Ok((rows.to_vec(), None)),
        Finish::None => {
            let words = [finish.or(look), base].into_iter().flatten().collect::<Vec<_>>().join(" on ");
            return Err(format!("finish {words}: the list has {}", super::super::source::listed(made)));
        }
    };
    let codes: BTreeSet<u32> = different.into_iter().filter(|pair| words_of(*pair) == Some(code)).collect();
    let of_it = rows.iter().zip(&finishes).filter(|(_, finish)| finish.is_some_and(|finish| codes.contains(&finish)));
    Ok((of_it.map(|((liberties, row), _)| (liberties + liberty, *row)).collect(), Some(why)))
}

/// The best of the rows that fit, as a candidate.
fn best(
    list: &GoodsList,
    family: &Family,
    book: &Book,
    request: &Request,
    asked: &[Asked],
    rows: &[Weighed],
    class: Option<&str>,
) -> Option<(usize, Candidate)> {
    let (rows, finish) = of_finish(list, family, book, request, rows).ok()?;
    let unusual = unusual(list, family, request);
    let rank = |(liberties, index): &Weighed| {
        let row = list.rows.get(*index as usize)?;
        let more = list.pairs_of(row).filter(|(pair, _)| unusual.contains(pair)).count();
        Some(((*liberties, length_of(list, row), more), row.price.is_none(), *index))
    };
    // Prices are worked out for those alone that are otherwise alike.
    let ranked: Vec<_> = rows.iter().filter_map(rank).collect();
    let (first, dear, _) = ranked.iter().min()?;
    let alike = ranked.iter().filter(|(rank, without, _)| (rank, without) == (first, dear));
    let priced = |(_, _, index): &(_, bool, u32)| {
        Some((net(list, family, book, list.rows.get(*index as usize)?, class), *index))
    };
    let (_, index) = alike.filter_map(priced).min()?;
    let liberties = first.0;
    let row = list.rows.get(index as usize)?;
    let good = list.good(book, family, row, &request.attributes, class);
    let mut why: Vec<String> = asked.iter().map(|asked| says(list, row, asked)).collect();
    why.extend(finish);
    let number = request.attributes.get(&names::DESIGNATION).and_then(Value::as_text);
    if let Some(number) = number.filter(|number| number_key(number) == number_key(&good.designation)) {
        why.push(format!("designation {number}: as asked"));
    }
    let undecided = undecided(list, family, request, &rows, row);
    Some((liberties, Candidate { good, why, undecided }))
}

/// The length of a piece, so that the shortest that is long enough is taken.
fn length_of(list: &GoodsList, row: &Row) -> Option<crate::trade::inches::Inches> {
    list.said_of(row, names::LENGTH).and_then(|pair| list.value(pair)).and_then(Value::as_length)
}

/// What the rows of a family say that nobody asked for and that is not usual.
fn unusual(list: &GoodsList, family: &Family, request: &Request) -> HashSet<u32, BuildHasherDefault<Quick>> {
    let asked = |attr: &Attr| request.attributes.contains_key(attr) || *attr == names::FINISH || *attr == names::BASE;
    let of_attr = |(attr, pairs): (&Attr, &Vec<u32>)| {
        let usual = usual::value(family.category, *attr).map(|(words, _)| words);
        let odd = |pair: &u32| {
            list.value(*pair)
                .is_some_and(|value| !is_without(value) && !usual.is_some_and(|words| usual::is_among(value, words)))
        };
        pairs.iter().copied().filter(odd).collect::<Vec<_>>()
    };
    family.values.iter().filter(|(attr, _)| !asked(attr)).flat_map(of_attr).collect()
}

fn net(list: &GoodsList, family: &Family, book: &Book, row: &Row, class: Option<&str>) -> Money {
    let price = row.price.unwrap_or_default();
    // As `net_of_one` has it: of what is sold by the pair, one is half of it.
    let price = if row.per == Per::Pair { price / rust_decimal::Decimal::TWO } else { price };
    let multiplier = list.discount(book, family, row, class).map_or(rust_decimal::Decimal::ONE, |discount| {
        let hundred = rust_decimal::Decimal::ONE_HUNDRED;
        discount.chain.iter().fold(rust_decimal::Decimal::ONE, |factor, step| factor * (hundred - step) / hundred)
    });
    Money::new(price.checked_mul(multiplier).unwrap_or(price))
}

/// How a row meets one asked attribute, in words.
fn says(list: &GoodsList, row: &Row, asked: &Asked) -> String {
    let (attr, value) = (asked.attr, shown(Some(asked.value)));
    match list.said_of(row, attr).and_then(|pair| list.value(pair)) {
        Some(own) if same(own, asked.value) => format!("{attr} {value}: as asked"),
        Some(own) => format!("{attr} {value}: {} serves", shown(Some(own))),
        None if attr == names::LENGTH => format!("{attr} {value}: sold by the foot"),
        None if is_without(asked.value) => format!("{attr} {value}: the list names none"),
        None => format!("{attr} {value}: the list does not say"),
    }
}

/// What else there is: rows that differ from the one taken in one thing that nobody asked for and that it says itself.
fn undecided(list: &GoodsList, family: &Family, request: &Request, rows: &[Weighed], taken: &Row) -> Vec<Undecided> {
    let open = |attr: Attr| match attr {
        names::FINISH => ![names::FINISH, names::LOOK].iter().any(|attr| request.attributes.contains_key(attr)),
        names::LENGTH | names::BASE => false,
        attr => !request.attributes.contains_key(&attr),
    };
    let price = taken.price.unwrap_or_default();
    let mut found: BTreeMap<Attr, BTreeMap<Value, Money>> = BTreeMap::new();
    for (_, index) in rows.iter().take(MOST_COMPARED) {
        let Some(row) = list.rows.get(*index as usize).filter(|row| row.price.is_some()) else { continue };
        let Some((attr, value)) = only_difference(list, taken, row) else { continue };
        if open(attr) && family.values.contains_key(&attr) {
            let difference = Money::new(row.price.unwrap_or_default() - price);
            let known = found.entry(attr).or_default().entry(value).or_insert(difference);
            *known = (*known).min(difference);
        }
    }
    let as_undecided = |(attr, others): (Attr, BTreeMap<Value, Money>)| {
        let taken = list.said_of(taken, attr).and_then(|pair| list.value(pair))?.clone();
        let options = std::iter::once((taken.clone(), Money::ZERO)).chain(others).collect();
        Some(Undecided { attribute: attr, taken, options, matters: false })
    };
    found.into_iter().filter_map(as_undecided).collect()
}

/// The one attribute in which a row differs from another, and its value there.
fn only_difference(list: &GoodsList, taken: &Row, row: &Row) -> Option<(Attr, Value)> {
    let mut only = None;
    for (pair, (attr, value)) in list.pairs_of(row) {
        match list.said_of(taken, *attr) {
            Some(own) if own == pair => {}
            _ if only.is_some() => return None,
            _ => only = Some((*attr, value.clone())),
        }
    }
    let (attr, value) = only?;
    let lost = list.pairs_of(taken).any(|(_, (own, _))| *own != attr && list.said_of(row, *own).is_none());
    (!lost).then_some((attr, value))
}

/// The nearest good of a family where nothing fits, how many things stand against it, and which: one asked thing after the
/// other is given up, then all.
pub(in super::super) fn near(
    list: &GoodsList,
    at: usize,
    book: &Book,
    request: &Request,
    class: Option<&str>,
) -> Option<(usize, Good, String)> {
    let family = list.families.get(at)?;
    let mut asked = asked(list, family, book, request);
    let of = |row: u32| list.rows.get(row as usize).map(|row| list.good(book, family, row, &request.attributes, class));
    let rows = fitting(list, &asked, &narrowed(list, at, family, &asked), false);
    if let (Some((_, row)), Err(why)) = (rows.first(), of_finish(list, family, book, request, &rows)) {
        return Some((1, of(*row)?, format!("{}: {why}", family.id)));
    }
    for index in 0..asked.len() {
        let given_up = asked.remove(index);
        let rows = fitting(list, &asked, &narrowed(list, at, family, &asked), false);
        if let Some((_, row)) = rows.first() {
            let own = family.values.get(&given_up.attr).map_or(&[][..], Vec::as_slice);
            let has =
                super::super::source::listed(own.iter().filter_map(|pair| list.value(*pair)).map(|v| shown(Some(v))));
            let why = format!("{}: {} {}: the list has {has}", family.id, given_up.attr, shown(Some(given_up.value)));
            return Some((1, of(*row)?, why));
        }
        asked.insert(index, given_up);
    }
    let good = of(*family.rows.first()?)?;
    let unmet: Vec<String> = asked
        .iter()
        .filter(|asked| !asked.silence && asked.met_by.is_empty())
        .map(|asked| format!("{} {}", asked.attr, shown(Some(asked.value))))
        .collect();
    let why = match unmet.is_empty() {
        true => "the list has each of these things, but no good with all of them".to_owned(),
        false => format!("the list has nothing of {}", unmet.join(", ")),
    };
    Some((asked.len().max(2), good, format!("{}: {why}", family.id)))
}
