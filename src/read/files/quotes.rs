//! Quotation marks of separated text: whether one of many lines is a cell of many lines, or was never closed.

/// A field of no more lines than this is a cell, whatever stands in it.
const LONGEST_FIELD: usize = 20;

/// Where the record begins in which a quotation mark is never closed, if there is one. A long field is a cell if its quote
/// ends where the field ends, and most of its lines are no rows of the table, that is: hold no separator without a space
/// behind it.
pub(crate) fn left_open(text: &str, separator: u8) -> Option<usize> {
    let bytes = text.as_bytes();
    let (mut at, mut record) = (0, 0);
    let mut opens = true;
    while let Some(byte) = bytes.get(at) {
        if opens && *byte == b'"' {
            let field = field(&bytes[at + 1..], separator);
            if field.lines > LONGEST_FIELD && (!field.closed || field.rows * 2 > field.lines) {
                return Some(record);
            }
            at += 1 + field.length;
            opens = false;
            continue;
        }
        opens = *byte == separator || *byte == b'\n' || *byte == b'\r';
        at += 1;
        if *byte == b'\n' || *byte == b'\r' {
            record = at;
        }
    }
    None
}

/// The only one of some separators behind which fields in quotes stand that needed them: what such a field holds of the others,
/// `1,"Hinges x3; Closer x1"`, parts nothing. Text that a person wrote has a blank behind its commas.
pub(crate) fn shown(text: &str, separators: &[u8]) -> Option<u8> {
    let needed =
        |inner: &str| inner.contains("\"\"") || inner.bytes().any(|byte| byte == b'\n' || separators.contains(&byte));
    let quotes = |separator: u8| {
        let bytes = text.as_bytes();
        let begins = bytes.windows(2).enumerate().filter(|(_, pair)| pair[0] == separator && pair[1] == b'"');
        let mut fields = begins.map(|(at, _)| at + 2).take(MOST_FIELDS);
        fields.any(|from| {
            let field = field(&bytes[from..], separator);
            let inner = text.get(from..from + field.length.saturating_sub(1));
            field.closed && field.lines <= LONGEST_FIELD && inner.is_some_and(needed)
        })
    };
    let mut found = separators.iter().copied().filter(|separator| quotes(*separator));
    let only = found.next().filter(|_| found.next().is_none())?;
    let set_apart = || text.lines().any(|line| outside(line, only).is_some_and(|behind| behind.starts_with(' ')));
    (only != b',' || !set_apart()).then_some(only)
}

/// So many fields of a file are looked at.
const MOST_FIELDS: usize = 200;

/// What stands behind the first separator outside of quotes that has a blank behind it, in a line.
fn outside(line: &str, separator: u8) -> Option<&str> {
    let (mut quoted, mut opens) = (false, true);
    for (at, byte) in line.bytes().enumerate() {
        if byte == b'"' && (quoted || opens) {
            quoted = !quoted;
        } else if byte == separator && !quoted && line[at + 1..].starts_with(' ') {
            return line.get(at + 1..);
        }
        opens = byte == separator;
    }
    None
}

/// A quoted field behind its opening mark.
struct Field {
    /// Bytes up to and with its closing mark.
    length: usize,
    lines: usize,
    /// Lines that look like rows of the table.
    rows: usize,
    /// The mark that closes it stands where a field ends.
    closed: bool,
}

fn field(bytes: &[u8], separator: u8) -> Field {
    let mut field = Field { length: bytes.len(), lines: 1, rows: 0, closed: false };
    let (mut at, mut row) = (0, false);
    while let Some(byte) = bytes.get(at) {
        let next = bytes.get(at + 1).copied();
        match *byte {
            b'"' if next == Some(b'"') => at += 1,
            b'"' => {
                field.length = at + 1;
                field.closed = next.is_none_or(|next| next == separator || next == b'\n' || next == b'\r');
                break;
            }
            b'\n' => {
                field.lines += 1;
                field.rows += usize::from(row);
                row = false;
            }
            byte if byte == separator => row |= next.is_some_and(|next| next != b' '),
            _ => {}
        }
        at += 1;
    }
    field.rows += usize::from(row);
    field
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn fields_in_quotes_show_what_parts_them() {
        let all = b"\t;,|";
        for (text, separator) in [
            ("SET,GOODS\n1,\"Hinges x3; Closer x1\"\n2,\"Hinges x3; Pull x1\"\n", Some(b',')),
            ("SET 1,,DOORS: 101\n3 EA HINGES\n\"SET 2\",,\"DOORS: 102, 103\"\n", Some(b',')),
            ("SET\tITEMS\n1\t\"HINGES, 652 x3\nCLOSER, 689 x1\"\n", Some(b'\t')),
            // An inch mark, words in quotes and a comma that a person wrote show nothing.
            ("KICK PLATE,8\" X 34\"\nPULL,\"D\"\n", None),
            ("3 EA HINGES, 652\n1 EA SIGN,\"NO EXIT, ALARM\"\n", None),
            ("3 EA HINGES, 652\n1 EA CLOSER, 689\n", None),
        ] {
            assert_eq!(shown(text, all), separator, "{text}");
        }
    }

    #[test]
    fn long_cells_are_told_from_quotes_that_are_never_closed() {
        let goods: String = (1..60).map(|each| format!("{each} EA HINGE, 652, \"\"4-1/2\"\"\n")).collect();
        assert_eq!(left_open(&format!("SET,GOODS\n1,\"{goods}\"\n2,\"{goods}\"\n"), b','), None);
        let rows: String = (1..60).map(|each| format!("{each},EA,HINGE,652\n")).collect();
        assert_eq!(left_open(&format!("A,B,C,D\n1,EA,\"HINGE,652\n{rows}"), b','), Some(8));
        // An inch mark at the end of another row does not close it.
        assert_eq!(left_open(&format!("A,B,C,D\n1,EA,\"HINGE,652\n{rows}1,EA,3'-0\",5\n{rows}"), b','), Some(8));
        assert_eq!(left_open(&format!("A;B\n1;\"HINGE\n{rows}\"x\n"), b';'), Some(4));
    }
}
