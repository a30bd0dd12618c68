//! The rows of a price table as written, in place or in a CSV file.

use crate::money::Money;
use crate::trade::attribute::Attr;

use super::super::sheet::{Sheet, cell};
use super::super::source::{Mistakes, SourceFile};
use super::super::table::Figure;
use super::super::tree::Node;
use super::super::value::WITHOUT;
use super::fields::LARGEST;

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
        Ok(money) if money.decimal() > LARGEST => {
            mistakes.add(file, at, format!("the price {money} is too large"), "write its list price");
            None
        }
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
    let mut sheet = Sheet::open(file, true, mistakes)?;
    let price = sheet.needed(column, mistakes)?;
    let columns: Vec<usize> = attrs.iter().map(|attr| sheet.needed(attr.name(), mistakes)).collect::<Option<_>>()?;
    let for_line = sheet.column("line");
    let mut rows = Vec::new();
    let mut record = csv::StringRecord::new();
    while sheet.next(&mut record, mistakes).ok()? {
        if for_line.is_some() && !cell(&record, for_line).split('|').any(|id| id.trim() == line) {
            continue;
        }
        let read = |index: &usize| (cell(&record, Some(*index)).to_owned(), sheet.place(&record, *index));
        let figure = figure(cell(&record, Some(price)), file, sheet.place(&record, price), mistakes);
        rows.push(Row { cells: columns.iter().map(read).collect(), figure, at: sheet.start(&record) });
    }
    Some(rows)
}
