//! From a path to sheets: the bytes, their hash, the format by its first bytes (never by the name), and the limits.

use std::fs::File;
use std::io::{Read, Seek, SeekFrom};
use std::path::Path;
use std::sync::Arc;

use sha2::{Digest, Sha256};

use super::{encodings, misdecoded, text, unpack, workbook};
use crate::read::schedule::Input;
use crate::read::sheet::Sheet;

/// Largest file read, in bytes. A schedule of 20,000 rows is about 2 MB; a hundred times that is no schedule.
pub(crate) const MAX_FILE: u64 = 100 * 1024 * 1024;

/// The formats told apart.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Format {
    /// Zip with `xl/workbook.xml`: xlsx, xlsm.
    Xlsx,
    /// Zip with `xl/workbook.bin`.
    Xlsb,
    /// Zip with `content.xml` of a spreadsheet.
    Ods,
    /// Compound file with a workbook stream.
    Xls,
    /// Text: csv, tsv, pasted.
    Text,
}

/// Reads one file into its sheets.
pub(crate) fn open(path: &Path) -> Result<(Input, Vec<Sheet>), String> {
    open_within(path, text::SCHEDULE)
}

/// As `open`, with other bounds for a text file.
pub(crate) fn open_within(path: &Path, bounds: text::Bounds) -> Result<(Input, Vec<Sheet>), String> {
    let name: Arc<str> =
        path.file_name().map_or_else(|| path.to_string_lossy(), |name| name.to_string_lossy()).into_owned().into();
    let bytes = load(path)?;
    let digest = Sha256::digest(&bytes);
    let sha256 = digest.iter().map(|byte| format!("{byte:02x}")).collect();
    let input = Input { file: name.clone(), sha256 };
    let sheets = match sniff(&bytes).map_err(|why| format!("{name}: {why}"))? {
        Format::Text => vec![text::read(&name, &bytes, bounds)?],
        format => {
            let mut sheets = workbook::read(&name, &bytes, format)?;
            sheets.iter_mut().for_each(misdecoded::of_cells);
            sheets
        }
    };
    Ok((input, sheets))
}

fn load(path: &Path) -> Result<Vec<u8>, String> {
    let shown = path.display();
    let mut file = File::open(path).map_err(|error| match error.kind() {
        std::io::ErrorKind::NotFound => format!("{shown}: no such file; check the name and the folder"),
        std::io::ErrorKind::PermissionDenied => {
            format!("{shown}: may not be read; close it elsewhere or change its permissions")
        }
        _ => format!("{shown}: cannot be opened: {error}"),
    })?;
    let meta = file.metadata().map_err(|error| format!("{shown}: cannot be opened: {error}"))?;
    if meta.is_dir() {
        return Err(format!("{shown}: is a folder; name the files in it"));
    }
    let size = file.seek(SeekFrom::End(0)).map_err(|error| format!("{shown}: cannot be read: {error}"))?;
    if size > MAX_FILE {
        return Err(format!(
            "{shown}: {} MB is too large for a schedule (limit {} MB); save the schedule sheets alone",
            size / 1_048_576,
            MAX_FILE / 1_048_576
        ));
    }
    file.seek(SeekFrom::Start(0)).map_err(|error| format!("{shown}: cannot be read: {error}"))?;
    let mut bytes = Vec::new();
    file.take(MAX_FILE).read_to_end(&mut bytes).map_err(|error| format!("{shown}: cannot be read: {error}"))?;
    if bytes.is_empty() {
        return Err(format!("{shown}: the file is empty"));
    }
    Ok(bytes)
}

/// The format by the first bytes.
pub(crate) fn sniff(bytes: &[u8]) -> Result<Format, String> {
    if bytes.starts_with(b"PK\x03\x04") || bytes.starts_with(b"PK\x05\x06") {
        return unpack::zip_format(bytes);
    }
    if bytes.starts_with(&[0xD0, 0xCF, 0x11, 0xE0, 0xA1, 0xB1, 0x1A, 0xE1]) {
        return Ok(Format::Xls);
    }
    for (magic, what) in [
        (&b"%PDF"[..], "a PDF; export or paste its tables to a spreadsheet or a text file first"),
        (b"\x89PNG", "a picture; a scanned schedule must be typed or recognised first"),
        (b"\xFF\xD8\xFF", "a picture; a scanned schedule must be typed or recognised first"),
        (b"{\\rtf", "a word-processor file; save its tables as xlsx or as plain text first"),
        (b"\x1F\x8B", "a compressed file; unpack it first"),
        (b"7z\xBC\xAF", "a compressed file; unpack it first"),
        (b"Rar!", "a compressed file; unpack it first"),
    ] {
        if bytes.starts_with(magic) {
            return Err(format!("this is {what}"));
        }
    }
    let start: String = bytes.iter().take(400).map(|byte| byte.to_ascii_lowercase() as char).collect();
    if start.trim_start_matches(['\u{ef}', '\u{bb}', '\u{bf}']).trim_start().starts_with("<!doctype html")
        || start.contains("<html")
    {
        return Err(
            "this is a web page, whatever its name says; open it in the spreadsheet program and save it as xlsx".into(),
        );
    }
    let marked = bytes.starts_with(&[0xFF, 0xFE]) || bytes.starts_with(&[0xFE, 0xFF]);
    let utf16 = marked || encodings::unmarked_utf16(bytes).is_some();
    let head = &bytes[..bytes.len().min(8192)];
    if !utf16 && head.iter().filter(|byte| **byte == 0).count() * 20 > head.len() {
        return Err(
            "this is not a spreadsheet and not text; expected xlsx, xlsm, xlsb, xls, ods, csv, tsv or txt".into()
        );
    }
    Ok(Format::Text)
}
