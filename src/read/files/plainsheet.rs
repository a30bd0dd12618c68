//! A quick pass over the XML of a sheet that holds nothing but shared strings and plain numbers, as nearly all schedules
//! do. Whatever else stands in a sheet (formulas, inline text, dates, errors, comments, cells without an address) makes
//! the pass give up, and the spreadsheet library reads the sheet. `tests/read_workbook.rs` holds the two side by side.

use std::borrow::Cow;

use rayon::prelude::*;

/// A cell as it stands in the file.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Value<'x> {
    /// Index of a shared string.
    Shared(usize),
    /// A text that stands in the cell itself.
    Text(Cow<'x, str>),
    /// A number in plain figures.
    Number(&'x str),
}

/// A cell with its row (from 1), its column (from 0) and its style.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct PlainCell<'x> {
    /// Row and column.
    pub at: (u32, usize),
    /// Index of its style.
    pub style: usize,
    /// What it holds.
    pub value: Value<'x>,
}

/// Where the pass stands in the text.
struct Pass<'x> {
    rest: &'x str,
}

impl<'x> Pass<'x> {
    fn takes(&mut self, sign: &str) -> bool {
        match self.rest.strip_prefix(sign) {
            Some(rest) => {
                self.rest = rest;
                true
            }
            None => false,
        }
    }

    fn skip_space(&mut self) {
        let space = self.rest.bytes().take_while(u8::is_ascii_whitespace).count();
        self.rest = &self.rest[space..];
    }

    /// The text up to a sign of one byte, which is taken too.
    fn up_to(&mut self, sign: u8) -> Option<&'x str> {
        let end = self.rest.bytes().position(|byte| byte == sign)?;
        let text = &self.rest[..end];
        self.rest = &self.rest[end + 1..];
        Some(text)
    }

    /// The next attribute of an element, its name and its value; `None` where the element's head ends.
    fn attribute(&mut self) -> Option<(&'x str, &'x str)> {
        self.skip_space();
        if self.rest.starts_with(['>', '/']) {
            return None;
        }
        let name = self.up_to(b'=')?;
        let quoted = self.takes("\"");
        if !quoted {
            // Not as spreadsheet programs write it: nothing after this fits.
            self.rest = "";
            return None;
        }
        Some((name, self.up_to(b'"')?))
    }
}

fn figures(text: &str) -> bool {
    !text.is_empty() && text.bytes().all(|byte| byte.is_ascii_digit())
}

/// A number without sign, exponent or more figures than a double keeps.
fn is_plain_number(text: &str) -> bool {
    let (whole, rest) = text.split_once('.').unwrap_or((text, "0"));
    text.len() <= 15 && figures(whole) && figures(rest)
}

/// `B12` as row 12, column 1.
fn address(text: &str) -> Option<(u32, usize)> {
    let letters = text.bytes().take_while(u8::is_ascii_uppercase).count();
    if !(1..=3).contains(&letters) || !figures(&text[letters..]) {
        return None;
    }
    let column = text.bytes().take(letters).fold(0usize, |sum, letter| sum * 26 + usize::from(letter - b'A') + 1);
    let row = text[letters..].parse().ok().filter(|row| (1..=1_048_576).contains(row))?;
    Some((row, column - 1))
}

/// So much of a sheet, in bytes, is gone over by one thread at a time.
const PIECE: usize = 1 << 18;

/// The cells of a sheet that hold something, piece by piece in their order, or `None` where the sheet is not plain.
pub(crate) fn cells(xml: &str, most: usize) -> Option<Vec<Vec<PlainCell<'_>>>> {
    if xml.contains("<!") {
        return None;
    }
    let start = xml.find("<sheetData>")? + "<sheetData>".len();
    let end = start + xml[start..].rfind("</sheetData>")?;
    let pieces: Vec<Vec<PlainCell<'_>>> =
        pieces(&xml[start..end]).into_par_iter().map(|piece| rows(piece, most)).collect::<Option<_>>()?;
    (pieces.iter().map(Vec::len).sum::<usize>() <= most).then_some(pieces)
}

/// The rows in pieces, each of which begins with a row. In a sheet that is plain the sign of a row stands nowhere else.
fn pieces(mut rows: &str) -> Vec<&str> {
    let mut pieces = Vec::with_capacity(rows.len() / PIECE + 1);
    while rows.len() > PIECE {
        let from = (PIECE..=rows.len()).find(|at| rows.is_char_boundary(*at)).unwrap_or(rows.len());
        let Some(next) = rows[from..].find("<row ").map(|at| from + at) else { break };
        let (piece, rest) = rows.split_at(next);
        pieces.push(piece);
        rows = rest;
    }
    pieces.push(rows);
    pieces
}

/// The cells of whole rows.
fn rows(xml: &str, most: usize) -> Option<Vec<PlainCell<'_>>> {
    let mut pass = Pass { rest: xml };
    let mut cells = Vec::with_capacity((xml.len() / 40).min(most));
    loop {
        pass.skip_space();
        if pass.rest.is_empty() {
            return Some(cells);
        }
        if !pass.takes("<row ") {
            return None;
        }
        while let Some((name, value)) = pass.attribute() {
            // Marked rows are read with their marks.
            if name == "hidden" && !matches!(value, "0" | "false") {
                return None;
            }
        }
        if pass.takes("/>") {
            continue;
        }
        if !pass.takes(">") {
            return None;
        }
        loop {
            pass.skip_space();
            if pass.takes("</row>") {
                break;
            }
            if let Some(cell) = cell(&mut pass)? {
                if cells.len() == most {
                    return None;
                }
                cells.push(cell);
            }
        }
    }
}

/// One cell; `Some(None)` for an empty one.
fn cell<'x>(pass: &mut Pass<'x>) -> Option<Option<PlainCell<'x>>> {
    if !pass.takes("<c ") {
        return None;
    }
    let (mut at, mut style, mut shared, mut inline) = (None, 0, false, false);
    while let Some((name, value)) = pass.attribute() {
        match (name, value) {
            ("r", _) => at = Some(address(value)?),
            ("s", _) => style = value.parse().ok()?,
            ("t", "s") => shared = true,
            ("t", "inlineStr") => inline = true,
            ("t", "n") => {}
            _ => return None,
        }
    }
    let at = at?;
    if pass.takes("/>") || pass.takes("></c>") {
        return Some(None);
    }
    if inline {
        let value = pass.takes("><is>").then(|| text(pass)).flatten().filter(|text| !text.contains("_x"))?;
        return pass.takes("</is></c>").then_some(Some(PlainCell { at, style, value: Value::Text(value) }));
    }
    if !pass.takes("><v>") {
        return None;
    }
    let text = pass.up_to(b'<')?;
    if !pass.takes("/v></c>") {
        return None;
    }
    let value = if shared {
        Value::Shared(text.parse().ok().filter(|_| figures(text))?)
    } else {
        Value::Number(Some(text).filter(|text| is_plain_number(text))?)
    };
    Some(Some(PlainCell { at, style, value }))
}

/// The shared strings, or `None` where one of them has more than one run, or anything else in it.
pub(crate) fn strings(xml: &str) -> Option<Vec<String>> {
    if xml.contains("<!") || xml.contains("_x") {
        return None;
    }
    let mut pass = Pass { rest: &xml[xml.find("<sst")? + 4..] };
    while pass.attribute().is_some() {}
    if !pass.takes(">") {
        return None;
    }
    let mut strings = Vec::with_capacity(xml.len() / 32);
    loop {
        pass.skip_space();
        if pass.takes("</sst>") {
            return Some(strings);
        }
        if !pass.takes("<si>") {
            return None;
        }
        strings.push(text(&mut pass)?.into_owned());
        if !pass.takes("</si>") {
            return None;
        }
    }
}

/// The one text of a string, up to the end of what holds it.
fn text<'x>(pass: &mut Pass<'x>) -> Option<Cow<'x, str>> {
    pass.skip_space();
    if !pass.takes("<t") {
        return None;
    }
    let mut kept = false;
    while let Some((name, value)) = pass.attribute() {
        kept |= (name, value) == ("xml:space", "preserve");
    }
    let text = if pass.takes("/>") {
        ""
    } else {
        if !pass.takes(">") {
            return None;
        }
        let text = pass.up_to(b'<')?;
        if !pass.takes("/t>") {
            return None;
        }
        text
    };
    pass.skip_space();
    if text.contains('\r') {
        return None;
    }
    spelled(if kept { text } else { text.trim_matches([' ', '\t', '\n']) })
}

/// The text with the five named entities of XML spelled out; others make the pass give up.
fn spelled(text: &str) -> Option<Cow<'_, str>> {
    if !text.contains('&') {
        return Some(Cow::Borrowed(text));
    }
    let mut out = String::with_capacity(text.len());
    let mut rest = text;
    while let Some(at) = rest.find('&') {
        out.push_str(&rest[..at]);
        let (name, after) = rest[at + 1..].split_once(';')?;
        out.push(match name {
            "amp" => '&',
            "lt" => '<',
            "gt" => '>',
            "quot" => '"',
            "apos" => '\'',
            _ => return None,
        });
        rest = after;
    }
    out.push_str(rest);
    // What looks like another entity now is none; the library may take it for one.
    (!out.contains('&') || !out.contains(';')).then_some(Cow::Owned(out))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn sheet(rows: &str) -> String {
        format!("<?xml version=\"1.0\"?><worksheet><cols/><sheetData>{rows}</sheetData></worksheet>")
    }

    #[test]
    fn plain_sheets_are_read_and_others_are_left_alone() {
        let plain = sheet(
            "<row r=\"2\"><c r=\"A2\" t=\"s\"><v>7</v></c><c r=\"AB2\" s=\"3\"><v>3070</v></c><c r=\"AC2\" s=\"1\"/></row>",
        );
        let read = cells(&plain, 100).expect("it is plain").concat();
        assert_eq!(
            read,
            [
                PlainCell { at: (2, 0), style: 0, value: Value::Shared(7) },
                PlainCell { at: (2, 27), style: 3, value: Value::Number("3070") },
            ]
        );
        for other in [
            "<row r=\"1\"><c r=\"A1\" t=\"str\"><v>x</v></c></row>",
            "<row r=\"1\"><c r=\"A1\"><f>1+1</f><v>2</v></c></row>",
            "<row r=\"1\"><c r=\"A1\" t=\"inlineStr\"><is><r><t>x</t></r></is></c></row>",
            "<row r=\"1\"><c r=\"A1\" t=\"inlineStr\"><is><t>x_x000D_</t></is></c></row>",
            "<row r=\"1\"><c r=\"A1\" t=\"e\"><v>#REF!</v></c></row>",
            "<row r=\"1\"><c><v>1</v></c></row>",
            "<row r=\"1\"><c r=\"A1\"><v>1E5</v></c></row>",
            "<row r=\"1\"><c r=\"A1\"><v>-1</v></c></row>",
            "<!-- --><row r=\"1\"></row>",
            "<row r=\"1\"><c r='A1'><v>1</v></c></row>",
            "<row r=\"1\"><c r=\"A1\"><v>1</v></c>",
        ] {
            assert_eq!(cells(&sheet(other), 100), None, "{other}");
        }
        assert_eq!(cells(&plain, 1), None, "more cells than asked for");
    }

    /// Outside check: the reading library itself, over sheets with what schedules hold, plain and not, and the sample.
    #[test]
    fn the_quick_pass_gives_what_the_library_gives() {
        use rust_xlsxwriter::{ExcelDateTime, Format, Formula, Workbook};
        let texts = [
            "3'-0\" x 7'-0\"",
            " HM & WD ",
            "<none>",
            "a\nb",
            "\u{bd} pair",
            "_x000D_",
            "&amp;",
            "0701",
            "",
            "  ",
            "R\u{e9}sum\u{e9}",
        ];
        let numbers = [3070.0, 0.1, 101.1, 1e20, -4.0, 1.0 / 3.0, 0.0, 45_000.5];
        let formats = ["General", "0000", "0.00", "d-mmm", "0.00E+00", "#,##0", "@", "m/d/yyyy"];
        let mut plain_sheets = 0;
        for seed in 0u32..48 {
            let mut book = Workbook::new();
            for name in ["Doors", "Sets & more"] {
                let sheet = book.add_worksheet().set_name(name).expect("the name is short");
                for at in 0..60u32 {
                    let dice = (seed * 7919 + at * 104_729).wrapping_mul(2_654_435_761) >> 8;
                    let (row, column) = (at / 6, (at % 6 * (1 + seed % 3)) as u16);
                    let text = texts[dice as usize % if seed % 4 == 0 { texts.len() } else { 3 }];
                    let number = numbers[dice as usize / 16 % numbers.len()];
                    let format = Format::new().set_num_format(formats[(dice / 256) as usize % formats.len()]);
                    let wrote = match dice % 11 {
                        0..=5 => sheet.write_string(row, column, text),
                        6 if seed % 2 == 1 => sheet.write_number(row, column, number),
                        7 if seed % 3 == 0 => sheet.write_number_with_format(row, column, number, &format),
                        8 if seed % 5 == 0 => sheet.write_formula(row, column, Formula::new("=1+1").set_result("2")),
                        8 => sheet.write_string_with_format(row, column, text, &Format::new().set_font_strikethrough()),
                        9 if seed % 7 == 0 => sheet.write_boolean(row, column, true),
                        9 => sheet.write_blank(row, column, &format),
                        10 if seed % 6 == 0 => {
                            let date = ExcelDateTime::from_ymd(2026, 3, 4).expect("a date");
                            sheet.write_datetime_with_format(row, column, &date, &format)
                        }
                        _ => sheet.write_number(row, column, f64::from(dice % 1000)),
                    };
                    wrote.expect("the cell is within the sheet");
                }
            }
            let (quick, library, plain) =
                crate::read::files::workbook::both_ways(&book.save_to_buffer().expect("it is written"));
            assert_eq!(quick, library, "seed {seed}");
            plain_sheets += plain;
            // The same with the texts in the cells themselves, as some programs write them.
            let bytes = book.save_to_buffer().expect("it is written");
            let (quick, library, inline) = crate::read::files::workbook::both_ways(&with_texts_inline(&bytes));
            assert_eq!(quick, library, "seed {seed}, texts in cells");
            assert!(inline >= plain, "seed {seed}: {inline} sheets were plain, {plain} with shared strings");
        }
        assert!(plain_sheets >= 10, "{plain_sheets} sheets were plain");
        for sample in ["bid-set", "addendum-1", "addendum-2", "addendum-3"] {
            let path = format!("{}/samples/library/{sample}.xlsx", env!("CARGO_MANIFEST_DIR"));
            let (quick, library, _) =
                crate::read::files::workbook::both_ways(&std::fs::read(path).expect("the sample is there"));
            assert_eq!(quick, library, "{sample}");
        }
    }

    /// A workbook whose cells hold the texts that they shared.
    fn with_texts_inline(bytes: &[u8]) -> Vec<u8> {
        let parts = crate::read::files::unpack::unpack(bytes).expect("a zip");
        let shared = parts.text("xl/sharedStrings.xml").unwrap_or_default().into_owned();
        let texts: Vec<&str> =
            shared.split("<si>").skip(1).map(|text| &text[..text.find("</si>").expect("it ends")]).collect();
        crate::read::files::unpack::rewritten(bytes, |name, text| {
            if !name.starts_with("xl/worksheets/sheet") {
                return text.to_string();
            }
            let mut pieces = text.split(" t=\"s\"><v>");
            let mut out = pieces.next().unwrap_or_default().to_string();
            for piece in pieces {
                let (at, rest) = piece.split_once("</v>").expect("a value ends");
                let at: usize = at.parse().expect("an index");
                out.push_str(&format!(" t=\"inlineStr\"><is>{}</is>{rest}", texts[at]));
            }
            out
        })
    }

    #[test]
    fn long_sheets_are_read_in_pieces() {
        let rows: String =
            (1..=20_000).map(|row| format!("<row r=\"{row}\"><c r=\"B{row}\"><v>{row}</v></c></row>\n")).collect();
        let text = sheet(&rows);
        let read = cells(&text, 20_000).expect("it is plain");
        assert!(read.len() > 2, "{} pieces", read.len());
        let rows: Vec<u32> = read.concat().iter().map(|cell| cell.at.0).collect();
        assert_eq!(rows, (1..=20_000).collect::<Vec<_>>());
        assert_eq!(cells(&text, 19_999), None, "more cells than asked for");
        assert_eq!(cells(&text.replacen("<v>9</v>", "<f/><v>9</v>", 1), 20_000), None, "a formula in one piece");
    }

    #[test]
    fn plain_strings_are_read_and_others_are_left_alone() {
        let of = |strings: &str| format!("<?xml version=\"1.0\"?><sst count=\"2\">{strings}</sst>");
        let read =
            strings(&of("<si><t>3'-0\" &amp; up</t></si><si><t xml:space=\"preserve\"> a </t></si><si><t/></si>"));
        assert_eq!(read, Some(vec!["3'-0\" & up".into(), " a ".into(), String::new()]));
        for other in [
            "<si><r><t>x</t></r></si>",
            "<si><t>&#10;</t></si>",
            "<si><t>a_x000D_b</t></si>",
            "<si/>",
            "<si><t>x</t><rPh/></si>",
        ] {
            assert_eq!(strings(&of(other)), None, "{other}");
        }
    }
}
