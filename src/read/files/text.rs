//! Text files into a sheet: encoding, separator, quotes, and columns aligned by spaces.

use std::sync::Arc;

use super::commas::{self, Commas};
use super::encodings::decode;
use super::quotes;
use crate::read::goods::itemtext::is_count_alone;
use crate::read::sheet::{Cell, Oddity, Row, Sheet};
use crate::read::words::plain;

/// What a text file is to be: how many cells it may have at most, and what more of them are not.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Bounds {
    most: usize,
    what: &'static str,
}

/// Of a schedule.
pub(crate) const SCHEDULE: Bounds = Bounds { most: 2_000_000, what: "schedule; save the schedule alone" };
/// Of a price list: half a million goods have some ten cells each.
pub(crate) const PRICE_LIST: Bounds =
    Bounds { most: 6_000_000, what: "price list of one maker; save it in parts and import each" };

/// Reads a text file.
pub(crate) fn read(file: &Arc<str>, bytes: &[u8], bounds: Bounds) -> Result<Sheet, String> {
    let mut sheet = Sheet::new(file, "");
    let mut text = decode(bytes, &mut sheet);
    // An old way of some spreadsheet programs to end lines.
    if text.contains('\r') && !text.contains('\n') {
        text = text.replace('\r', "\n");
    }
    let quoted = |line: &&str| line.len() > 1 && line.starts_with('"') && line.ends_with('"');
    let lines = || text.lines().map(str::trim).filter(|line| !line.is_empty()).take(200);
    // A table of one column, each of its lines in quotes.
    let column = lines().filter(quoted).count() * 10 >= lines().count() * 9 && lines().next().is_some();
    match separator(&text).or(column.then_some(b',')) {
        Some(separator) => separated(&text, separator, true, bounds, &mut sheet)?,
        None => aligned(&text, bounds, &mut sheet)?,
    }
    Ok(sheet)
}

/// The separator of a csv file: the one that splits most lines into the same number of fields, at least two.
fn separator(text: &str) -> Option<u8> {
    const SEPARATORS: [u8; 4] = *b"\t;,|";
    if let Some(shown) = quotes::shown(text, &SEPARATORS) {
        return Some(shown);
    }
    let mut best: Option<(usize, u8)> = None;
    for candidate in SEPARATORS {
        let counts = counts(text, candidate);
        let with: Vec<usize> = counts.iter().copied().filter(|count| *count > 0).collect();
        if with.is_empty() {
            continue;
        }
        // A list of doors has commas too; a table has the same number of them in most lines.
        let mut tally = std::collections::BTreeMap::new();
        for count in &with {
            *tally.entry(*count).or_insert(0usize) += 1;
        }
        let (count, same) =
            tally.iter().max_by_key(|(count, times)| (**times, **count)).map_or((0, 0), |(c, t)| (*c, *t));
        let even = same * 2 >= counts.len();
        let headed = headed(text, candidate) || ends_in_counts(text, candidate);
        if candidate == b',' && !headed && commas::of_goods(text) {
            continue;
        }
        let strong = candidate == b'\t' || headed || (even && count >= 1) || with.len() * 10 >= counts.len() * 9;
        if !strong || (candidate == b',' && count == 1 && !even && !headed) {
            continue;
        }
        let score = same * (count.min(20) + 1) * if candidate == b'\t' { 2 } else { 1 };
        if best.is_none_or(|(top, _)| score > top) {
            best = Some((score, candidate));
        }
    }
    best.map(|(_, separator)| separator)
}

/// Whether the separator parts some line into column headings, and another line into as many cells: among blocks of
/// single texts the rows of a table may be few.
fn headed(text: &str, separator: u8) -> bool {
    let lines = || text.lines().filter(|line| !line.trim().is_empty()).take(200);
    let parts = |line: &str| line.bytes().filter(|byte| *byte == separator).count();
    lines().enumerate().any(|(at, line)| {
        let fields = line.split(char::from(separator)).enumerate();
        let cells: Vec<Cell> = fields
            .map(|(column, field)| Cell::text(column, field.trim().trim_matches('"')))
            .filter(|cell| !cell.text.is_empty())
            .collect();
        cells.len() >= 2
            && crate::read::tables::table::is_heading_row(&Row { number: 1, cells, hidden: false })
            && lines().enumerate().any(|(other, row)| other != at && row != line && parts(row) == parts(line))
    })
}

/// Whether lines end with a count alone right behind the separator, `Hinges,(3)`, `Sweep,(1) set`: a list in words has a blank there.
fn ends_in_counts(text: &str, separator: u8) -> bool {
    let counted = |line: &&str| {
        let last = line.rsplit_once(char::from(separator)).map_or("", |(_, last)| last);
        !last.starts_with(' ') && is_count_alone(&plain(last))
    };
    text.lines().take(200).filter(counted).nth(COUNTED - 1).is_some()
}

/// So many lines with their count in a cell of its own tell of cells.
const COUNTED: usize = 3;

/// How many separators stand in each of the first rows. A quoted field may hold line breaks; where a quote is not closed,
/// each line counts for itself.
fn counts(text: &str, separator: u8) -> Vec<usize> {
    let lines = || text.lines().filter(|line| !line.trim().is_empty());
    let (mut counts, mut quoted, mut count) = (Vec::new(), false, 0);
    let closed = quotes::left_open(text, separator).is_none();
    for line in lines().take_while(|_| closed) {
        if counts.len() >= 200 {
            break;
        }
        count += outside_quotes(line, separator, &mut quoted);
        if !quoted {
            counts.push(count);
            count = 0;
        }
    }
    if quoted || !closed {
        return lines().take(200).map(|line| outside_quotes(line, separator, &mut false)).collect();
    }
    counts
}

fn outside_quotes(line: &str, separator: u8, quoted: &mut bool) -> usize {
    let mut count = 0;
    let mut previous = separator;
    for byte in line.bytes() {
        // An inch mark inside a field is no quote: a quote opens only after a separator.
        if byte == b'"' && (*quoted || previous == separator) {
            *quoted = !*quoted;
        } else if byte == separator && !*quoted {
            count += 1;
        }
        previous = byte;
    }
    count
}

fn separated(text: &str, separator: u8, quoting: bool, bounds: Bounds, sheet: &mut Sheet) -> Result<(), String> {
    if let Some(open) = quotes::left_open(text, separator).filter(|_| quoting) {
        let line = LineCount::new(text).line_at(open);
        let row = text.get(open..).and_then(|rest| rest.lines().next()).unwrap_or_default();
        sheet.oddities.push(Oddity {
            code: "open-quote",
            row: line as u32,
            excerpt: row.split(char::from(separator)).next().unwrap_or_default().to_string(),
            says: format!(
                "a quotation mark in line {line} is never closed; the rows below were read as if it were not there"
            ),
            help: "check the row in the file",
        });
        return separated(text, separator, false, bounds, sheet);
    }
    let mut reader = csv::ReaderBuilder::new()
        .delimiter(separator)
        .quoting(quoting)
        .has_headers(false)
        .flexible(true)
        .from_reader(text.as_bytes());
    let mut record = csv::StringRecord::new();
    let mut cells_read = 0usize;
    // The row number is the line in a text editor and in the spreadsheet alike, unless a field holds a line break:
    // then the spreadsheet's row is meant, since that is where the user will look.
    let mut lines = LineCount::new(text);
    let mut inner_breaks = 0u64;
    let mut commas = Commas::default();
    loop {
        let more = reader
            .read_record(&mut record)
            .map_err(|error| format!("{}: cannot be read as csv: {error}", sheet.file))?;
        if !more {
            break;
        }
        let start = record.position().map_or(0, csv::Position::byte) as usize;
        let line = lines.line_at(start);
        let number = (line - inner_breaks) as u32;
        let joined =
            (separator == b',' && bounds.what == SCHEDULE.what).then(|| commas.joined(&record, number)).flatten();
        let record = joined.as_ref().unwrap_or(&record);
        inner_breaks += record.iter().map(|field| field.matches('\n').count() as u64).sum::<u64>();
        let cells: Vec<Cell> = record
            .iter()
            .enumerate()
            .filter(|(_, field)| !field.trim().is_empty())
            .map(|(column, field)| Cell::text(column, field))
            .collect();
        cells_read += cells.len();
        if cells_read > bounds.most {
            return Err(format!("{}: more than {} cells; this is no {}", sheet.file, bounds.most, bounds.what));
        }
        if !cells.is_empty() {
            sheet.rows.push(Row { number, cells, hidden: false });
        }
    }
    commas.tell(sheet);
    Ok(())
}

/// Line numbers of ascending byte offsets; csv skips empty lines without counting them as records.
struct LineCount<'t> {
    bytes: &'t [u8],
    at: usize,
    line: u64,
}

impl<'t> LineCount<'t> {
    fn new(text: &'t str) -> Self {
        Self { bytes: text.as_bytes(), at: 0, line: 1 }
    }

    fn line_at(&mut self, offset: usize) -> u64 {
        // The position of a record is before the line ends that precede it.
        let mut offset = offset.min(self.bytes.len());
        while self.bytes.get(offset).is_some_and(|byte| *byte == b'\n' || *byte == b'\r') {
            offset += 1;
        }
        self.line += self.bytes[self.at.min(offset)..offset].iter().filter(|byte| **byte == b'\n').count() as u64;
        self.at = offset;
        self.line
    }
}

/// Text without a separator: one column, or columns aligned by runs of two and more spaces.
fn aligned(text: &str, bounds: Bounds, sheet: &mut Sheet) -> Result<(), String> {
    let lines: Vec<&str> = text.lines().take(bounds.most + 1).collect();
    if lines.len() > bounds.most {
        return Err(format!("{}: more than {} lines; this is no {}", sheet.file, bounds.most, bounds.what));
    }
    let filled = lines.iter().filter(|line| !line.trim().is_empty()).count();
    let pieces: Vec<Vec<(usize, &str)>> = lines.iter().map(|line| split_on_gaps(line)).collect();
    let gapped = pieces.iter().filter(|line| line.len() >= 2).count();
    let in_columns = gapped * 10 >= filled * 3 && gapped >= 2;
    let stops = if in_columns { stops(&pieces) } else { Vec::new() };
    let tables = headed_tables(&pieces, in_columns);
    for (index, line) in lines.iter().enumerate() {
        if line.trim().is_empty() {
            continue;
        }
        let mut cells: Vec<Cell> = Vec::new();
        let own = tables.iter().find(|table| table.rows.contains(&index));
        if let Some(table) = own {
            let place = |(at, piece): (usize, &(usize, &str))| Cell::text(table.column(at, piece.0), piece.1);
            cells.extend(pieces[index].iter().enumerate().map(place));
        } else if in_columns {
            for (start, piece) in &pieces[index] {
                let column = stops.partition_point(|stop| *stop <= *start + 1).saturating_sub(1);
                match cells.last_mut() {
                    Some(last) if last.column >= column => {
                        last.text.push_str("  ");
                        last.text.push_str(piece);
                    }
                    _ => cells.push(Cell::text(column, piece)),
                }
            }
        } else {
            // A line that holds a comma may stand in quotes among others that do not.
            let inner = line.trim().strip_prefix('"').and_then(|rest| rest.strip_suffix('"'));
            let whole = inner.filter(|inner| !inner.replace("\"\"", "").contains('"') && inner.contains(' '));
            match whole {
                Some(inner) => cells.push(Cell::text(0, &inner.replace("\"\"", "\""))),
                None => cells.push(Cell::text(0, line)),
            }
        }
        sheet.rows.push(Row { number: index as u32 + 1, cells, hidden: false });
    }
    Ok(())
}

/// A table among lines that are not set in columns as a whole.
struct Headed {
    /// The lines of it, the headings first.
    rows: std::ops::Range<usize>,
    /// Where the headings begin, if its cells stand below them; else they follow one another.
    starts: Option<Vec<usize>>,
}

impl Headed {
    fn column(&self, at: usize, start: usize) -> usize {
        let below = |starts: &Vec<usize>| starts.partition_point(|stop| *stop <= start + SLACK).saturating_sub(1);
        self.starts.as_ref().map_or(at, below)
    }
}

/// So many letters a cell may stand beside the beginning of its column.
const SLACK: usize = 2;

/// Tables with headings in text whose columns the positions of the whole do not show: as copied from a page, each gap as wide
/// as it happens to be, with as many cells in every row as there are headings; or below their headings, in text most of which
/// has no columns.
fn headed_tables(pieces: &[Vec<(usize, &str)>], in_columns: bool) -> Vec<Headed> {
    let mut tables: Vec<Headed> = Vec::new();
    let mut at = 0;
    while at < pieces.len() {
        let cells = || pieces[at].iter().enumerate().map(|(column, piece)| Cell::text(column, piece.1)).collect();
        let row = || Row { number: 0, cells: cells(), hidden: false };
        if pieces[at].len() < 3 || !crate::read::tables::table::is_heading_row(&row()) {
            at += 1;
            continue;
        }
        let end = at + pieces[at..].iter().take_while(|line| line.len() > 1).count();
        let starts: Vec<usize> = pieces[at].iter().map(|piece| piece.0).collect();
        let rows = &pieces[at + 1..end];
        let below = |start: usize| starts.iter().any(|stop| start.abs_diff(*stop) <= SLACK);
        let aligned = rows.iter().flatten().all(|piece| below(piece.0));
        let whole = rows.iter().all(|line| line.len() == starts.len());
        if !rows.is_empty() && (whole && !aligned || aligned && !in_columns) {
            tables.push(Headed { rows: at..end, starts: (!whole).then_some(starts) });
        }
        at = end;
    }
    tables
}

/// Pieces of a line between gaps of two and more spaces (or tabs), with the character position of each.
fn split_on_gaps(line: &str) -> Vec<(usize, &str)> {
    let mut pieces = Vec::new();
    let mut start: Option<(usize, usize)> = None;
    let mut end = 0;
    let mut gap = 0;
    for (position, (at, letter)) in line.char_indices().enumerate() {
        if letter.is_whitespace() {
            gap += if letter == '\t' { 2 } else { 1 };
            continue;
        }
        if let Some((from, column)) = start
            && gap >= 2
        {
            pieces.push((column, &line[from..end]));
            start = None;
        }
        if start.is_none() {
            start = Some((at, position));
        }
        end = at + letter.len_utf8();
        gap = 0;
    }
    if let Some((from, column)) = start {
        pieces.push((column, &line[from..end]));
    }
    pieces
}

/// Where columns begin: the positions at which at least a tenth of the lines (and two of them) begin a piece; positions
/// that differ by one or two are one column, since figures are set flush right.
fn stops(pieces: &[Vec<(usize, &str)>]) -> Vec<usize> {
    let mut starts = std::collections::BTreeMap::new();
    let many = pieces.iter().filter(|line| line.len() >= 2);
    let mut lines = 0;
    for line in many {
        lines += 1;
        for (start, _) in line {
            *starts.entry(*start).or_insert(0usize) += 1;
        }
    }
    let mut stops: Vec<(usize, usize)> = Vec::new();
    for (start, times) in starts {
        match stops.last_mut() {
            Some((stop, sum)) if start - *stop <= 2 => *sum += times,
            _ => stops.push((start, times)),
        }
    }
    let enough = (lines / 10).max(2);
    let mut kept: Vec<usize> = stops.into_iter().filter(|(_, times)| *times >= enough).map(|(stop, _)| stop).collect();
    if kept.first() != Some(&0) {
        kept.insert(0, 0);
    }
    kept
}

#[cfg(test)]
mod tests {
    use super::*;

    fn cells(bytes: &[u8]) -> Vec<(u32, Vec<String>)> {
        let sheet = read(&"t.csv".into(), bytes, SCHEDULE).unwrap();
        sheet.rows.iter().map(|row| (row.number, row.cells.iter().map(|cell| cell.text.clone()).collect())).collect()
    }

    #[test]
    fn separators_are_found_and_inch_marks_are_no_quotes() {
        assert_eq!(cells(b"DOOR;SET\n101;3\n\n102;4\n")[2], (4, vec!["102".into(), "4".into()]));
        assert_eq!(cells(b"DOOR,WIDTH,SET\n101,3'-0\",3\n")[1].1, vec!["101", "3'-0\"", "3"]);
        assert_eq!(cells(b"DOOR\tSET\n101\t3\n")[1].1, vec!["101", "3"]);
    }

    #[test]
    fn a_quote_that_is_never_closed_loses_no_row_whatever_ends_the_lines() {
        for end in ["\n", "\r\n"] {
            let rows: String = (0..40).map(|each| format!("{},3070,1{end}", 104 + each)).collect();
            let text = format!("DOOR,SIZE,SET{end}101,3070,1{end}103,3070,\"1 thick{end}{rows}");
            let sheet = read(&"t.csv".into(), text.as_bytes(), SCHEDULE).unwrap();
            assert_eq!(sheet.rows.len(), 43, "{end:?}");
            let told: Vec<_> = sheet.oddities.iter().map(|odd| (odd.code, odd.row, odd.excerpt.as_str())).collect();
            assert_eq!(told, [("open-quote", 3, "103")], "{end:?}");
        }
    }

    #[test]
    fn columns_aligned_by_spaces_become_cells() {
        let text = b"QTY  UNIT  DESCRIPTION        FINISH\n  3  EA    HINGE BB 4-1/2     652\n  1  EA    LOCK F07           626\n";
        assert_eq!(cells(text)[1].1, vec!["3", "EA", "HINGE BB 4-1/2", "652"]);
        let sheet = read(&"t".into(), text, SCHEDULE).unwrap();
        assert_eq!(sheet.rows[0].cells[2].column, sheet.rows[1].cells[2].column);
    }

    #[test]
    fn a_table_copied_from_a_page_has_its_cells_whatever_the_gaps() {
        let text = b"SET 1\n3 EA HINGE\n1 EA CLOSER\nSET 2\n1 EA LOCK\n1 EA STOP\n1 EA CLOSER\n\nOPENING  SET  SIZE  RATING\n101  1  3-0 x 7-0  20\n102A  2  PR 3-0 x 7-0  -\n";
        let found = cells(text);
        assert_eq!(found[0].1, vec!["SET 1"]);
        assert_eq!(found[8].1, vec!["101", "1", "3-0 x 7-0", "20"]);
        assert_eq!(found[9].1, vec!["102A", "2", "PR 3-0 x 7-0", "-"]);
        // Below their headings a cell may be left out; lists without headings stay one text.
        let text = b"SET 1\n3 EA HINGE\n1 EA CLOSER\n1 EA STOP\n101  102  103\n104  105  106\n1 EA LOCK\n1 EA WIRE\n\nOPENING   SET  SIZE        RATING\n101       1                20\n1 EA PLATE\n1 EA PLATE\n1 EA PLATE\n1 EA PLATE\n";
        let found = cells(text);
        assert_eq!(found[4].1, vec!["101  102  103"]);
        assert_eq!(found[9].1, vec!["101", "1", "20"]);
        let sheet = read(&"t".into(), text, SCHEDULE).unwrap();
        assert_eq!(sheet.rows[9].cells[2].column, 3);
    }

    #[test]
    fn more_cells_than_such_a_file_has_are_refused_in_its_own_words() {
        let bounds = |most: usize, what: &'static str| Bounds { most, what };
        let told =
            |bounds: Bounds| read(&"t.csv".into(), b"PART,PRICE\nA,1\nB,2\n", bounds).map(|sheet| sheet.rows.len());
        assert_eq!(told(bounds(6, PRICE_LIST.what)), Ok(3));
        let said = told(bounds(5, PRICE_LIST.what)).unwrap_err();
        assert!(
            said.contains("more than 5 cells") && said.contains("price list") && said.contains("in parts"),
            "{said}"
        );
    }
}
