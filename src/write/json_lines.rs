//! How the record is laid out as text: one line for each thing that a person or a comparison of files looks at.

use std::io::{self, Write};

use serde_json::ser::Formatter;

/// Breaks lines at the two outer levels only: fully indented, a record is twice as long and no easier to read.
#[derive(Default)]
pub struct Lines {
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
