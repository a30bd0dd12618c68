//! The rows of a price table as written, in place or in a CSV file.

use crate::money::Money;
use crate::trade::attribute::Attr;

use super::super::source::{Mistakes, SourceFile};
use super::super::table::Figure;
use super::super::tree::Node;
use super::super::value::WITHOUT;

/// A row of a price table as written: its cells, its figure, where it stands.
pub(super) struct Row {
    pub(super) cells: Vec<(String, usize)>,
    pub(super) figure: Option<Figure>,
    pub(super) at: usize,
}
/// Rows written in place.
pub(super) fn inline_rows(rows: Node<'_>, width: usize, mistakes: &mut Mistakes) -> Vec<Row> {
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
pub(super) fn csv_rows(
    file: &SourceFile,
    attrs: &[Attr],
    column: &str,
    line: &str,
    mistakes: &mut Mistakes,
) -> Option<Vec<Row>> {
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
pub(super) fn cell_start(text: &str, record: usize, index: usize) -> usize {
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
