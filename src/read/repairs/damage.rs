//! What spreadsheet programs do to sizes and ids: dates where a size belongs, exponents where an id belongs.

use crate::finding::{Finding, Kind, Weight};

use crate::read::openings::doors::Reader;
use crate::read::sheet::{Cell, CellKind, Date, Row, Sheet};
use crate::read::sizes::size;
use crate::read::tables::headings::Meaning;

/// The text that was typed before a date was made of it: `3-4` from 4 March, `1-3/4` from 1/3/2004.
pub(crate) fn undone(date: Date) -> String {
    let this_century = date.year % 100;
    // No month has a day 0: `3-0` becomes March of 2000, shown as Mar-00.
    if date.year == 2000 && date.day == 1 {
        return format!("{}-0", date.month);
    }
    // Three parts were typed when the year is no year of a bid: 4-1/2 becomes 4/1/2002.
    if (2000..=2016).contains(&date.year) && [2, 4, 8, 16].contains(&this_century) && u16::from(date.day) < this_century
    {
        return format!("{}-{}/{}", date.month, date.day, this_century);
    }
    // Month first is the usual order where sizes are in feet; the other order counts when only it is a usual door size.
    let usual = |feet: u8, inches: u8| ((2..=4).contains(&feet) || (6..=8).contains(&feet)) && inches <= 10;
    if !usual(date.month, date.day) && usual(date.day, date.month) || date.month == 4 && date.day == 3 {
        return format!("{}-{}", date.day, date.month);
    }
    format!("{}-{}", date.month, date.day)
}

/// The same among goods, where a part of an inch is likelier than feet and inches: `1/2` from 2 January.
pub(crate) fn undone_in_goods(date: Date) -> String {
    let is_part = matches!(date.day, 2 | 4 | 8 | 16) && date.month % 2 == 1 && date.month < date.day;
    // A year of bids: otherwise a third figure was typed.
    match (date.year > 2016, is_part) {
        (true, true) => format!("{}/{}", date.month, date.day),
        // Goods have no feet that would tell the order: month first, as parts of an inch are read.
        (true, false) => format!("{}-{}", date.month, date.day),
        (false, _) => undone(date),
    }
}

/// A date written out as text, as a csv export leaves it: `4-Mar`, `Mar-04`.
pub(crate) fn date_of_text(text: &str) -> Option<Date> {
    const MONTHS: [&str; 12] = ["JAN", "FEB", "MAR", "APR", "MAY", "JUN", "JUL", "AUG", "SEP", "OCT", "NOV", "DEC"];
    // `4-Jan`, `Jan-4`: few cells are as short, and all others are none.
    let text = text.trim();
    if !(4..=9).contains(&text.len()) || !text.bytes().any(|byte| byte.is_ascii_alphabetic()) {
        return None;
    }
    let (first, second) = text.split_once('-')?;
    let month = |word: &str| MONTHS.iter().position(|name| word.eq_ignore_ascii_case(name)).map(|at| at as u8 + 1);
    let (day, month) = match (month(first), month(second)) {
        (None, Some(month)) => (first.parse().ok()?, month),
        (Some(month), None) if second == "00" => return Some(Date { year: 2000, month, day: 1 }),
        (Some(month), None) => (second.parse().ok()?, month),
        _ => return None,
    };
    (1..=31).contains(&day).then_some(Date { year: 2026, month, day })
}

/// The date that the id of a set became: `2-Mar`, or `3/2/2026` as a cell of a workbook shows it.
pub(crate) fn date_of_id(text: &str) -> Option<Date> {
    date_of_text(text).or_else(|| numeric_date(text))
}

/// The two figures of an id such as `3-2` of which a date can be made.
pub(crate) fn figures_of_id(id: &str) -> Option<(u32, u32)> {
    let (first, second) = id.trim().split_once(['-', '/', '.'])?;
    let figure = |text: &str| text.parse().ok().filter(|figure| (1..=31).contains(figure));
    Some((figure(first)?, figure(second)?))
}

/// `1/3/2004`: month, day and year in figures.
fn numeric_date(text: &str) -> Option<Date> {
    let text = text.trim();
    if !(8..=10).contains(&text.len()) || !text.contains('/') {
        return None;
    }
    let mut parts = text.split('/');
    let date = Date {
        month: parts.next()?.parse().ok()?,
        day: parts.next()?.parse().ok()?,
        year: parts.next()?.parse().ok()?,
    };
    let is_one = parts.next().is_none() && (1..=12).contains(&date.month) && (1..=31).contains(&date.day);
    (is_one && (2000..=2099).contains(&date.year)).then_some(date)
}

/// The date of a cell, if it is one or was exported as one.
pub(crate) fn date(cell: &Cell) -> Option<Date> {
    match cell.kind {
        CellKind::Date(date) => Some(date),
        CellKind::Text => date_of_text(&cell.text),
        _ => None,
    }
}

/// The text of a size cell, with a date turned back, and the finding for it.
pub(crate) fn mended(reader: &Reader<'_>, meaning: Meaning, findings: &mut Vec<Finding>) -> String {
    let Some(cell) = reader.cell(meaning) else { return String::new() };
    if cell.kind == CellKind::Error || cell.kind == CellKind::Formula {
        return String::new();
    }
    // A size that shows as month, day and year had three figures: 1/3/2004 was 1-3/4.
    let three = || numeric_date(&cell.text).filter(|date| cell.kind == CellKind::Text && undone(*date).contains('/'));
    let Some(date) = date(cell).or_else(three) else { return cell.text.clone() };
    let text = if meaning == Meaning::Size { size_of(date) } else { undone(date) };
    findings.push(turned(reader.sheet.at(reader.row.number, cell.column), cell, &text, meaning.name()));
    text
}

/// What a date stands for where width and height belong: `3-7` alone is no size, and as feet of both it is one.
fn size_of(date: Date) -> String {
    let text = undone(date);
    let feet = |wide: u8, high: u8| {
        (matches!(wide, 2..=4 | 6) && matches!(high, 7..=9)).then(|| format!("{wide}-0 x {high}-0"))
    };
    if date.year == 2000 || size::parse_size(&text).is_some() {
        return text;
    }
    feet(date.month, date.day).or_else(|| feet(date.day, date.month)).unwrap_or(text)
}

/// That a date was turned back into what was typed.
pub(crate) fn turned(place: crate::place::Place, cell: &Cell, read_as: &str, what: &str) -> Finding {
    let says = format!(
        "a {what} was turned into the date {} by the spreadsheet program; it was read as \"{read_as}\"",
        cell.text
    );
    Finding::new("date-for-size", Kind::Assumption, Weight::Reading, says)
        .at(place, cell.text.clone())
        .help("check the size against the drawings; format the column as text before typing")
}

/// A set id such as `1E2` that became the number 100.
pub(crate) fn id_from_exponent(cell: &Cell) -> Option<String> {
    if cell.kind != CellKind::Exponent && !(cell.kind == CellKind::Text && cell.text.contains("E+")) {
        return None;
    }
    let (digits, power) = cell.text.split_once('E')?;
    let whole = digits.trim_end_matches('0').trim_end_matches('.');
    let power = power.trim_start_matches(['+', '0']);
    (!whole.is_empty() && !whole.contains('.') && !power.is_empty()).then(|| format!("{whole}E{power}"))
}

/// That a number with an exponent was read as the id of a set.
pub(crate) fn exponent(place: crate::place::Place, cell: &Cell, id: &str) -> Finding {
    let says = format!("the set \"{}\" is a number with an exponent; it was read as the set id \"{id}\"", cell.text);
    Finding::new("set-as-exponent", Kind::Assumption, Weight::Reading, says)
        .at(place, cell.text.clone())
        .help("check the set id; format the column as text")
}

/// Findings that any row may have, whatever it is used as. `read`: whether anything is read from a column.
pub(crate) fn tell(sheet: &Sheet, row: &Row, read: &dyn Fn(usize) -> bool, findings: &mut Vec<Finding>) {
    let all_struck = row.cells.iter().all(|cell| cell.struck);
    if all_struck && row.cells.len() > 1 {
        findings.push(
            Finding::new(
                "struck-through",
                Kind::Assumption,
                Weight::Reading,
                "the whole row is struck through and was treated as deleted",
            )
            .at(sheet.place(row.number), row.joined())
            .help("check the drawing's revision; take the strike-through away if the row counts"),
        );
        return;
    }
    for cell in &row.cells {
        let finding = if cell.struck {
            Finding::new(
                "struck-through",
                Kind::Assumption,
                Weight::Reading,
                format!("\"{}\" is struck through and was treated as deleted", cell.text),
            )
            .help("check the drawing's revision; take the strike-through away if the words count")
        } else if !cell.struck_words.is_empty() {
            Finding::new(
                "struck-through",
                Kind::Assumption,
                Weight::Reading,
                format!("\"{}\" is struck through inside the cell and was left out", cell.struck_words.trim()),
            )
            .help("check the drawing's revision; take the strike-through away if the words count")
        } else if cell.kind == CellKind::Error {
            let asked = read(cell.column);
            let (kind, more) =
                if asked { (Kind::Question, "") } else { (Kind::Note, "; nothing is read from its column") };
            let says = format!("the cell holds the error {}{more}", cell.text);
            Finding::new("error-cell", kind, Weight::Reading, says)
                .help("open the schedule where its links work and save it again")
        } else if cell.kind == CellKind::Formula {
            Finding::new(
                "formula-without-value",
                Kind::Question,
                Weight::Reading,
                format!("the formula {} has no result in the file", cell.text),
            )
            .help("open the file in the spreadsheet program and save it again, so that results are stored")
        } else {
            continue;
        };
        findings.push(finding.at(sheet.at(row.number, cell.column), cell.text.clone()));
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn dates_are_turned_back_into_what_was_typed() {
        let date = |year, month, day| undone(Date { year, month, day });
        assert_eq!(date(2026, 3, 4), "3-4");
        assert_eq!(date(2026, 2, 8), "2-8");
        assert_eq!(date(2002, 4, 1), "4-1/2");
        assert_eq!(date(2004, 1, 3), "1-3/4");
        assert_eq!(date(2026, 4, 3), "3-4");
        assert_eq!((date(2000, 3, 1), date(2000, 7, 1)), ("3-0".into(), "7-0".into()));
        assert_eq!(date_of_text("Mar-00").map(undone).as_deref(), Some("3-0"));
        assert_eq!(date_of_text("3-Apr").map(undone).as_deref(), Some("3-4"));
        assert_eq!(date_of_text("8-Jun").map(undone).as_deref(), Some("6-8"));
        assert_eq!(date_of_text("3-0"), None);
        assert_eq!(numeric_date("1/3/2004").map(undone).as_deref(), Some("1-3/4"));
        assert_eq!((numeric_date("1/3/4"), numeric_date("1-3/4"), numeric_date("13/1/2004")), (None, None, None));
        let size = |text: &str| date_of_text(text).map(size_of);
        assert_eq!((size("7-Mar").as_deref(), size("3-Jul").as_deref()), (Some("3-0 x 7-0"), Some("3-0 x 7-0")));
        assert_eq!(figures_of_id("3-2"), Some((3, 2)));
        assert_eq!((figures_of_id("3-2A"), figures_of_id("32")), (None, None));
        let goods = |year, month, day| undone_in_goods(Date { year, month, day });
        assert_eq!(
            (goods(2026, 1, 2), goods(2026, 3, 8), goods(2026, 6, 4)),
            ("1/2".into(), "3/8".into(), "6-4".into())
        );
        assert_eq!(goods(2002, 1, 1), "1-1/2");
        assert_eq!(goods(2026, 1, 6), "1-6");
    }
}
