//! Reads the price of a product line: a figure, a table written in place or in a CSV file, the sum of a kit, or "call".

use crate::money::Money;
use crate::trade::attribute::{Attr, Attributes, Value};

use super::super::good::Per;
use super::super::line::{Base, Price, Rule, Varying};
use super::super::source::{Mistakes, SourceFile, nearest};
use super::super::table::{Band, Figure, Table};
use super::super::tree::{Node, Tree};
use super::super::value::{Domain, Test, WITHOUT, shown};
use super::fields::{Shared, money, test};

/// What a line has already said when its price is read.
pub(super) struct Known<'a> {
    pub(super) id: &'a str,
    pub(super) is: &'a Attributes,
    pub(super) makes: &'a [Varying],
    pub(super) rules: &'a [Rule],
    /// Stock lengths and their attribute: a table over them has a row for each.
    pub(super) stock: Option<(Attr, Vec<Option<Value>>)>,
}

impl Known<'_> {
    /// The values over which a table runs by value; `None`: size breaks.
    fn exact(&self, varying: &Varying) -> Option<Vec<Option<Value>>> {
        match (&varying.domain, &self.stock) {
            (_, Some((attr, stock))) if *attr == varying.attr => Some(stock.clone()),
            (Domain::OneOf(values), _) => Some(values.clone()),
            (Domain::Range(..), _) => None,
            (Domain::AnyOf(_) | Domain::Free, _) => Some(Vec::new()),
        }
    }
}

/// A row of a price table as written: its cells, its figure, where it stands.
struct Row {
    cells: Vec<(String, usize)>,
    figure: Option<Figure>,
    at: usize,
}

const PERS: &[(&str, Per)] = &[("each", Per::Each), ("foot", Per::Foot), ("set", Per::Set), ("pair", Per::Pair)];

/// Reads the price of a line.
pub(super) fn read(node: Node<'_>, known: &Known<'_>, shared: &Shared<'_>, mistakes: &mut Mistakes) -> Option<Price> {
    if !node.is_table() {
        let figure = positive(node, mistakes)?;
        return Some(Price { per: Per::Each, from: Base::Flat(figure, node.entry()), net: false });
    }
    let tree = node.tree(mistakes)?;
    tree.only(
        &["each", "foot", "set", "pair", "per", "by", "rows", "table", "column", "parts", "call", "net"],
        mistakes,
    );
    let net = tree.get("net").is_some_and(|node| node.flag(mistakes));
    let per = per(tree, mistakes);
    for (word, per) in PERS {
        if let Some(flat) = tree.get(word) {
            return Some(Price { per: *per, from: Base::Flat(positive(flat, mistakes)?, flat.entry()), net });
        }
    }
    if tree.get("parts").is_some() {
        return Some(Price { per, from: Base::Parts, net });
    }
    if let Some(call) = tree.get("call") {
        return Some(Price { per, from: Base::Call(call.entry()), net });
    }
    table(tree, known, shared, mistakes).map(|table| Price { per, from: Base::Table(table), net })
}

fn per(tree: Tree<'_>, mistakes: &mut Mistakes) -> Per {
    let Some(node) = tree.get("per") else { return Per::Each };
    let word = node.scalar(mistakes).unwrap_or_default();
    match PERS.iter().find(|(name, _)| *name == word) {
        Some((_, per)) => *per,
        None => {
            node.complain(mistakes, format!("\"{word}\" is not what a price is for"), "write each, foot, set or pair");
            Per::Each
        }
    }
}

/// A price above zero.
fn positive(node: Node<'_>, mistakes: &mut Mistakes) -> Option<Money> {
    let figure = money(node, mistakes)?;
    if figure <= Money::ZERO {
        node.complain(
            mistakes,
            format!("the price {figure} is not above zero"),
            "write its list price, or { call = true } when it must be asked for",
        );
        return None;
    }
    Some(figure)
}

fn table(tree: Tree<'_>, known: &Known<'_>, shared: &Shared<'_>, mistakes: &mut Mistakes) -> Option<Table> {
    let Some(by) = tree.get("by") else {
        tree.complain(
            mistakes,
            "the price names no figure and no table",
            "write price = 84.00, or { by = […], rows = [[…]] }, or { by = […], table = \"file.csv\" }",
        );
        return None;
    };
    let mut attrs = Vec::new();
    for item in by.items() {
        let name = item.scalar(mistakes)?;
        if !known.makes.iter().any(|varying| varying.attr.name() == name) {
            let help = match nearest(&name, known.makes.iter().map(|varying| varying.attr.name())) {
                Some(near) => format!("an attribute with a similar name varies: `{near}`"),
                None => "a price table runs over attributes under `makes`".to_owned(),
            };
            item.complain(mistakes, format!("the line makes no `{name}`"), help);
            return None;
        }
        attrs.push(Attr::new(&name));
    }
    match tree.get("table") {
        Some(file) => {
            let name = file.scalar(mistakes)?;
            let Some(source) = shared.files.get(&name).copied() else {
                let help = match nearest(&name, shared.files.keys().map(String::as_str)) {
                    Some(near) => format!("a file with a similar name exists: {near}"),
                    None => "put the file into the edition's folder".to_owned(),
                };
                file.complain(mistakes, format!("there is no file {name}"), help);
                return None;
            };
            let column = tree.get("column").and_then(|node| node.plain()).unwrap_or_else(|| "price".to_owned());
            let rows = csv_rows(source, &attrs, &column, known.id, mistakes)?;
            if rows.is_empty() {
                file.complain(
                    mistakes,
                    format!("{name} has no row for line `{}`", known.id),
                    "add rows with that id in the column `line`",
                );
                return None;
            }
            compile(&attrs, rows, source, file, known, mistakes)
        }
        None => {
            let Some(rows) = tree.get("rows") else {
                tree.complain(
                    mistakes,
                    "the price table has no rows",
                    "add rows = [[value, …, price], …] or table = \"file.csv\"",
                );
                return None;
            };
            let written = inline_rows(rows, attrs.len(), mistakes);
            compile(&attrs, written, rows.file, rows, known, mistakes)
        }
    }
}

fn inline_rows(rows: Node<'_>, width: usize, mistakes: &mut Mistakes) -> Vec<Row> {
    let mut written = Vec::new();
    for row in rows.items() {
        let items = row.items();
        if items.len() != width + 1 {
            row.complain(
                mistakes,
                format!("the row has {} cells", items.len()),
                format!("write {width} values and then the price"),
            );
            continue;
        }
        let cells = items[..width].iter().filter_map(|item| Some((item.scalar(mistakes)?, item.at()))).collect();
        let Some(text) = items[width].scalar(mistakes) else { continue };
        let figure = figure(&text, rows.file, items[width].at(), mistakes);
        written.push(Row { cells, figure, at: row.at() });
    }
    written
}

fn figure(text: &str, file: &SourceFile, at: usize, mistakes: &mut Mistakes) -> Option<Figure> {
    if text.trim() == WITHOUT {
        return Some(Figure::NotMade);
    }
    match text.parse::<Money>() {
        Ok(money) if money > Money::ZERO => Some(Figure::Money(money)),
        Ok(money) => {
            mistakes.add(
                file,
                at,
                format!("the price {money} is not above zero"),
                "write its list price, or `-` if it is not made",
            );
            None
        }
        Err(_) => {
            mistakes.add(
                file,
                at,
                format!("\"{text}\" is not a price"),
                "write a plain number such as 412.00, or `-` if it is not made",
            );
            None
        }
    }
}

/// Rows of a CSV file that are for a line: all of them, or those that name it in the column `line`.
fn csv_rows(file: &SourceFile, attrs: &[Attr], column: &str, line: &str, mistakes: &mut Mistakes) -> Option<Vec<Row>> {
    let mut reader = csv::ReaderBuilder::new()
        .trim(csv::Trim::All)
        .flexible(true)
        .comment(Some(b'#'))
        .from_reader(file.text.as_bytes());
    let headers = match reader.headers() {
        Ok(headers) => headers.clone(),
        Err(error) => {
            mistakes.add(
                file,
                0,
                format!("the file is not readable as CSV: {error}"),
                "save it as comma-separated UTF-8 text",
            );
            return None;
        }
    };
    let mut find = |name: &str| {
        let found = headers.iter().position(|header| header == name);
        if found.is_none() {
            mistakes.add(
                file,
                0,
                format!("there is no column `{name}`"),
                format!("the columns are {}", headers.iter().collect::<Vec<_>>().join(", ")),
            );
        }
        found
    };
    let price = find(column)?;
    let columns: Vec<usize> = attrs.iter().map(|attr| find(attr.name())).collect::<Option<_>>()?;
    let for_line = headers.iter().position(|header| header == "line");
    let mut rows = Vec::new();
    for record in reader.records() {
        let record = match record {
            Ok(record) => record,
            Err(error) => {
                mistakes.add(
                    file,
                    0,
                    format!("the file is not readable as CSV: {error}"),
                    "save it as comma-separated UTF-8 text",
                );
                return None;
            }
        };
        if for_line.is_some_and(|index| !record.get(index).unwrap_or("").split('|').any(|id| id.trim() == line)) {
            continue;
        }
        let start = record.position().map_or(0, csv::Position::byte);
        let start = usize::try_from(start).unwrap_or(0);
        let place = |index: usize| cell_start(&file.text, start, index);
        let cells = columns.iter().map(|index| (record.get(*index).unwrap_or("").to_owned(), place(*index))).collect();
        let figure = figure(record.get(price).unwrap_or(""), file, place(price), mistakes);
        rows.push(Row { cells, figure, at: start });
    }
    Some(rows)
}

/// Byte at which a cell of a record begins.
fn cell_start(text: &str, record: usize, index: usize) -> usize {
    let mut quoted = false;
    let mut cell = 0;
    for (at, letter) in text[record..].char_indices() {
        if cell == index && !matches!(letter, ' ' | '"' | '\r' | '\n') {
            return record + at;
        }
        match letter {
            '"' => quoted = !quoted,
            ',' if !quoted => cell += 1,
            '\n' if !quoted && cell > 0 => break,
            _ => {}
        }
    }
    record
}

/// Spreads the rows over every value they cover and checks for overlaps and gaps.
fn compile(
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
        let Some(figure) = row.figure else { continue };
        for key in keys {
            let entry = file.entry(row.at);
            if let Some(clash) = table.add(key.clone(), bands.clone(), figure.clone(), entry) {
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
