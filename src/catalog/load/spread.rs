//! Spreads the rows of a price table over every combination they cover; finds overlaps and gaps.

use crate::trade::attribute::{Attr, Value};

use super::super::line::{Rule, Varying};
use super::super::source::{Mistakes, SourceFile, nearest};
use super::super::table::{Band, Figure, Table};
use super::super::tree::Node;
use super::super::value::{Domain, Test, shown};
use super::fields::test;
use super::prices::Known;
use super::rows::Row;

/// Spreads the rows over every value they cover and checks for overlaps and gaps.
pub(super) fn compile(
    attrs: &[Attr],
    rows: Vec<Row>,
    file: &SourceFile,
    place: Node<'_>,
    known: &Known<'_>,
    mistakes: &mut Mistakes,
) -> Option<Table> {
    let varying: Vec<&Varying> =
        attrs.iter().filter_map(|attr| known.makes.iter().find(|varying| varying.attr == *attr)).collect();
    let is_banded = |varying: &Varying| known.exact(varying).is_none();
    let (banded, exact): (Vec<&Varying>, Vec<&Varying>) =
        varying.iter().copied().partition(|varying| is_banded(varying));
    let mut table = Table::new(
        exact.iter().map(|varying| varying.attr).collect(),
        banded.iter().map(|varying| varying.attr).collect(),
    );
    for row in rows {
        let mut keys: Vec<Vec<Option<Value>>> = vec![Vec::new()];
        let mut bands: Vec<Band> = Vec::new();
        for (varying, (cell, at)) in varying.iter().zip(&row.cells) {
            if is_banded(varying) {
                bands.push(band(varying.attr, cell, file, *at, mistakes)?);
            } else {
                let made = known.exact(varying).unwrap_or_default();
                let values = covered(varying, &made, cell, (file, *at), place, mistakes);
                keys = keys
                    .into_iter()
                    .flat_map(|key| values.iter().map(move |value| [key.clone(), vec![value.clone()]].concat()))
                    .collect();
            }
        }
        // A row whose figure is a mistake is no gap as well.
        let figure = row.figure.unwrap_or(Figure::NotMade);
        let entry = file.entry(row.at);
        for key in keys {
            if let Some(clash) = table.add(key.clone(), bands.clone(), figure.clone(), entry.clone()) {
                mistakes.add(
                    file,
                    row.at,
                    format!("{} is priced here and in line {}", combination(&exact, &key), clash.line),
                    "leave one row for each combination",
                );
                break;
            }
        }
    }
    gaps(&table, &exact, &banded, place, known, mistakes);
    Some(table)
}

fn band(attr: Attr, cell: &str, file: &SourceFile, at: usize, mistakes: &mut Mistakes) -> Option<Band> {
    let read = |text: &str| if text.trim().is_empty() { Some(None) } else { text.trim().parse().ok().map(Some) };
    let parts = if cell.trim() == "*" {
        Some((None, None))
    } else {
        cell.split_once("..").and_then(|(over, to)| Some((read(over)?, read(to)?)))
    };
    if parts.is_none() {
        mistakes.add(
            file,
            at,
            format!("\"{cell}\" is not a size break of {attr}"),
            "write `24..36` (over 24, up to 36), `..24` or `36..`",
        );
    }
    parts
}

/// The values of an attribute that a cell covers.
fn covered(
    varying: &Varying,
    values: &[Option<Value>],
    cell: &str,
    (file, at): (&SourceFile, usize),
    place: Node<'_>,
    mistakes: &mut Mistakes,
) -> Vec<Option<Value>> {
    if values.is_empty() {
        place.complain(
            mistakes,
            format!("{} cannot set a price", varying.attr),
            "use an attribute with a list of values, or an adder",
        );
        return Vec::new();
    }
    if cell.trim() == "*" {
        return values.to_vec();
    }
    let mut all = Vec::new();
    for word in cell.split('|').map(str::trim) {
        let Some(Test::OneOf(wanted)) = test(varying.attr, word, place, mistakes) else { continue };
        match values.iter().find(|value| wanted.contains(value)) {
            Some(value) => all.push(value.clone()),
            None => {
                let made: Vec<String> = values.iter().flatten().map(ToString::to_string).collect();
                let help = match nearest(word, made.iter().map(String::as_str)) {
                    Some(near) => format!("the nearest value is {near}"),
                    None => format!("the line makes {}", varying.domain.words()),
                };
                mistakes.add(file, at, format!("{} \"{word}\" is not made by this line", varying.attr), help);
            }
        }
    }
    all
}

fn combination(attrs: &[&Varying], key: &[Option<Value>]) -> String {
    let parts = attrs.iter().zip(key).map(|(varying, value)| format!("{} {}", varying.attr, shown(value.as_ref())));
    let words = parts.collect::<Vec<_>>().join(", ");
    if words.is_empty() { "this size".to_owned() } else { words }
}

/// Every combination that the rules allow must have a row, and size breaks must meet.
fn gaps(
    table: &Table,
    exact: &[&Varying],
    banded: &[&Varying],
    place: Node<'_>,
    known: &Known<'_>,
    mistakes: &mut Mistakes,
) {
    const SHOWN: usize = 3;
    let mut keys: Vec<Vec<Option<Value>>> = vec![Vec::new()];
    for varying in exact {
        let values = known.exact(varying).unwrap_or_default();
        keys = keys
            .into_iter()
            .flat_map(|key| values.iter().map(move |value| [key.clone(), vec![value.clone()]].concat()))
            .collect();
    }
    let speaks: Vec<Attr> = exact.iter().map(|varying| varying.attr).collect();
    let rules: Vec<&Rule> = known
        .rules
        .iter()
        .filter(|rule| rule.attrs().all(|attr| speaks.contains(&attr) || known.is.contains_key(&attr)))
        .collect();
    let mut missing = Vec::new();
    for key in keys {
        let mut attributes = known.is.clone();
        attributes.extend(speaks.iter().zip(&key).filter_map(|(attr, value)| Some((*attr, value.clone()?))));
        if rules.iter().any(|rule| rule.objection(&attributes).is_some()) {
            continue;
        }
        if !table.has(&key) {
            missing.push(combination(exact, &key));
        } else if let [only] = banded {
            missing
                .extend(break_gap(only, &table.bands(&key)).map(|gap| format!("{}, {gap}", combination(exact, &key))));
        }
    }
    let more = missing.len().saturating_sub(SHOWN);
    for gap in missing.iter().take(SHOWN) {
        let rest = if more > 0 { format!(" (and {more} more)") } else { String::new() };
        place.complain(
            mistakes,
            format!("there is no price for {gap}{rest}"),
            "add a row; write `-` as its price if it is not made",
        );
    }
}

/// The first size of a range that no break covers.
fn break_gap(varying: &Varying, bands: &[Band]) -> Option<String> {
    let Domain::Range(from, to, _) = &varying.domain else { return None };
    // Just below the smallest size, which the first break must cover.
    let mut covered: Option<crate::trade::inches::Inches> = None;
    for (over, end) in bands {
        let starts_late = match (covered, over) {
            (None, Some(over)) => over >= from,
            (Some(covered), Some(over)) => *over > covered,
            (_, None) => false,
        };
        if starts_late {
            return Some(format!("{} {} and over", varying.attr, covered.unwrap_or(*from).in_fractions()));
        }
        match end {
            None => return None,
            Some(end) => covered = Some(covered.map_or(*end, |covered| covered.max(*end))),
        }
    }
    match covered {
        Some(covered) if covered >= *to => None,
        Some(covered) => Some(format!("{} over {}", varying.attr, covered.in_fractions())),
        None => Some(format!("any {}", varying.attr)),
    }
}
