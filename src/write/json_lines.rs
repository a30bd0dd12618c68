//! How the record is laid out as text: one line for each thing that a person or a comparison of files looks at.

use std::io::{self, Write};

use rayon::prelude::*;
use serde::Serialize;
use serde_json::Serializer;
use serde_json::ser::Formatter;

/// Objects made and written by one thread in one go.
const SHARE: usize = 64;
/// Objects made before they are put into the text: those of a large job are hundreds of megabytes together.
const WAVE: usize = 32 * SHARE;

/// A JSON object as it is put together, key by key.
pub struct Text {
    bytes: Vec<u8>,
    is_first: bool,
}

impl Text {
    /// An object without keys.
    pub fn begin() -> Self {
        Text { bytes: b"{".to_vec(), is_first: true }
    }

    fn key(&mut self, name: &str) {
        self.bytes.extend_from_slice(if self.is_first { b"\n  " } else { b",\n  " });
        self.is_first = false;
        put(&mut self.bytes, 1, name);
        self.bytes.extend_from_slice(b": ");
    }

    /// A key with its value.
    pub fn put(&mut self, name: &str, value: &(impl Serialize + ?Sized)) {
        self.key(name);
        put(&mut self.bytes, 1, value);
    }

    /// A key with a list: for each row the objects that are made of it, on several threads.
    pub fn rows<'t, T: Sync, I: IntoIterator<Item: Serialize>>(
        &mut self,
        name: &str,
        rows: &'t [T],
        objects: impl Fn(usize, &'t T) -> I + Sync,
    ) {
        self.key(name);
        self.bytes.push(b'[');
        let mut is_first = true;
        for (wave, rows) in rows.chunks(WAVE).enumerate() {
            let written: Vec<Vec<u8>> = rows
                .par_chunks(SHARE)
                .enumerate()
                .map(|(share, rows)| {
                    let from = wave * WAVE + share * SHARE;
                    let mut bytes = Vec::new();
                    for object in rows.iter().enumerate().flat_map(|(at, row)| objects(from + at, row)) {
                        bytes.extend_from_slice(b",\n    ");
                        put(&mut bytes, Lines::BROKEN, &object);
                    }
                    bytes
                })
                .collect();
            for bytes in &written {
                // No comma stands before the first object of all.
                let from = usize::from(is_first && !bytes.is_empty());
                self.bytes.extend_from_slice(&bytes[from..]);
                is_first &= bytes.is_empty();
            }
        }
        self.bytes.extend_from_slice(b"\n  ]");
    }

    /// The text, with the end of its last line.
    pub fn end(mut self) -> String {
        self.bytes.extend_from_slice(b"\n}\n");
        String::from_utf8(self.bytes).unwrap_or_default()
    }
}

/// Writes a value as it is laid out at a depth. A tree of strings, numbers and lists always becomes text.
fn put(bytes: &mut Vec<u8>, depth: usize, value: &(impl Serialize + ?Sized)) {
    let _ = value.serialize(&mut Serializer::with_formatter(bytes, Lines { depth }));
}

/// Breaks lines at the two outer levels only: fully indented, a record is twice as long and no easier to read.
struct Lines {
    depth: usize,
}

impl Lines {
    const BROKEN: usize = 2;

    fn open<W: ?Sized + Write>(&mut self, out: &mut W, mark: &[u8]) -> io::Result<()> {
        self.depth += 1;
        out.write_all(mark)
    }

    fn before<W: ?Sized + Write>(&self, out: &mut W, first: bool) -> io::Result<()> {
        if !first {
            out.write_all(b",")?;
        }
        match self.depth {
            1 => out.write_all(b"\n  "),
            Self::BROKEN => out.write_all(b"\n    "),
            _ if first => Ok(()),
            _ => out.write_all(b" "),
        }
    }

    fn close<W: ?Sized + Write>(&mut self, out: &mut W, mark: &[u8]) -> io::Result<()> {
        self.depth -= 1;
        match self.depth {
            0 => out.write_all(b"\n")?,
            1 => out.write_all(b"\n  ")?,
            _ => {}
        }
        out.write_all(mark)
    }
}

impl Formatter for Lines {
    fn begin_array<W: ?Sized + Write>(&mut self, out: &mut W) -> io::Result<()> {
        self.open(out, b"[")
    }

    fn end_array<W: ?Sized + Write>(&mut self, out: &mut W) -> io::Result<()> {
        self.close(out, b"]")
    }

    fn begin_array_value<W: ?Sized + Write>(&mut self, out: &mut W, first: bool) -> io::Result<()> {
        self.before(out, first)
    }

    fn begin_object<W: ?Sized + Write>(&mut self, out: &mut W) -> io::Result<()> {
        self.open(out, b"{")
    }

    fn end_object<W: ?Sized + Write>(&mut self, out: &mut W) -> io::Result<()> {
        self.close(out, b"}")
    }

    fn begin_object_key<W: ?Sized + Write>(&mut self, out: &mut W, first: bool) -> io::Result<()> {
        self.before(out, first)
    }

    fn begin_object_value<W: ?Sized + Write>(&mut self, out: &mut W) -> io::Result<()> {
        out.write_all(b": ")
    }
}

#[cfg(test)]
mod tests {
    use serde_json::{Value, json};

    use super::*;

    #[test]
    fn shares_and_waves_are_written_as_one_list() {
        let rows: Vec<usize> = (0..2 * WAVE + 3).collect();
        let mut text = Text::begin();
        text.put("name", "a \"school\"");
        // The first share gives nothing, others give one or two objects for a row.
        text.rows("rows", &rows, |at, row| {
            assert_eq!(at, *row);
            vec![json!({"row": row, "list": [1, 2]}); if *row < SHARE { 0 } else { 1 + row % 2 }]
        });
        text.rows("none", &[] as &[usize], |_, _| None::<Value>);
        let text = text.end();
        let value: Value = serde_json::from_str(&text).unwrap();
        let expected: Vec<usize> = rows.iter().skip(SHARE).flat_map(|row| vec![*row; 1 + row % 2]).collect();
        let found: Vec<usize> =
            value["rows"].as_array().unwrap().iter().map(|row| row["row"].as_u64().unwrap() as usize).collect();
        assert_eq!(found, expected);
        assert_eq!(value["none"], json!([]));
        // One tree written at once is laid out no otherwise.
        let mut whole = Vec::new();
        put(&mut whole, 0, &value);
        assert_eq!(text, String::from_utf8(whole).unwrap() + "\n");
    }
}
