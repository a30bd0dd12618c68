//! Quotation marks of separated text: whether one of many lines is a cell of many lines, or was never closed.

/// A field of no more lines than this is a cell, whatever stands in it.
const LONGEST_FIELD: usize = 20;

/// Where the record begins in which a quotation mark is never closed, if there is one. A long field is a cell if its quote
/// ends where the field ends, and most of its lines are no rows of the table, that is: hold no separator without a space
/// behind it.
pub(super) fn left_open(text: &str, separator: u8) -> Option<usize> {
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
