//! The parts of a zipped workbook, unpacked once: held in memory under a limit, so that no zip floods it, and handed as
//! slices to whoever reads them, the spreadsheet library too (as a zip in which nothing is packed).

use std::borrow::Cow;
use std::io::{Cursor, Read};
use std::ops::Range;

use zip::write::SimpleFileOptions;
use zip::{CompressionMethod, ZipArchive, ZipWriter};

use super::source::Format;

/// Most bytes that the parts of a workbook may unpack to.
const MAX_UNPACKED: u64 = 600 * 1024 * 1024;
/// More is not set aside beforehand, whatever the zip says of itself.
const MOST_RESERVED: u64 = 32 * 1024 * 1024;

type Zip<'b> = ZipArchive<Cursor<&'b [u8]>>;

fn archive(bytes: &[u8]) -> Result<Zip<'_>, String> {
    ZipArchive::new(Cursor::new(bytes)).map_err(|error| format!("the file is damaged or not complete ({error})"))
}

/// Which spreadsheet a zip holds.
pub(crate) fn zip_format(bytes: &[u8]) -> Result<Format, String> {
    let zip = archive(bytes)?;
    let names: Vec<String> = zip.file_names().flatten().map(|name| name.into_owned()).collect();
    let has = |name: &str| names.iter().any(|found| found.eq_ignore_ascii_case(name));
    if has("xl/workbook.bin") {
        return Ok(Format::Xlsb);
    }
    if has("xl/workbook.xml") || names.iter().any(|name| name.starts_with("xl/")) {
        return Ok(Format::Xlsx);
    }
    if has("content.xml") {
        return Ok(Format::Ods);
    }
    if has("word/document.xml") {
        return Err("this is a word-processor file; save its tables as xlsx or as plain text first".into());
    }
    Err("this is a zip, but no spreadsheet; unpack it and name the files in it".into())
}

/// The unpacked parts.
pub(crate) struct Parts {
    /// A zip of them in which nothing is packed.
    zip: Vec<u8>,
    /// Where each stands in it.
    parts: Vec<(String, Range<usize>)>,
}

/// Pictures, printer settings and programs: nobody here reads them.
fn is_beside(name: &str) -> bool {
    let lower = name.to_ascii_lowercase();
    let folders = ["media/", "printersettings/", "embeddings/", "pictures/", "thumbnails/", "activex/"];
    folders.iter().any(|folder| lower.split_inclusive('/').any(|part| part == *folder))
        || lower.ends_with("vbaproject.bin")
}

/// Unpacks a workbook; refuses one that says, or turns out, to be larger than any schedule.
pub(crate) fn unpack(bytes: &[u8]) -> Result<Parts, String> {
    let mut zip = archive(bytes)?;
    let too_large = || {
        format!(
            "unpacks to more than {} MB; this is no schedule; save the schedule sheets alone",
            MAX_UNPACKED / 1_048_576
        )
    };
    let damaged = |error: &dyn std::fmt::Display| format!("the file is damaged ({error})");
    let mut left = MAX_UNPACKED;
    let mut stated: u64 = 0;
    for index in 0..zip.len() {
        stated += zip.by_index_raw(index).map_or(0, |entry| entry.size());
    }
    let mut out = ZipWriter::new(Cursor::new(Vec::with_capacity(stated.min(MOST_RESERVED) as usize)));
    let stored = SimpleFileOptions::default().compression_method(CompressionMethod::Stored);
    for index in 0..zip.len() {
        let entry = zip.by_index(index).map_err(|error| damaged(&error))?;
        let name = entry.name().map_err(|error| damaged(&error))?.into_owned();
        if !entry.is_file() || is_beside(&name) {
            continue;
        }
        if entry.size() > left {
            return Err(too_large());
        }
        out.start_file(name, stored).map_err(|error| damaged(&error))?;
        // The size it states may be a lie, so it is counted.
        let taken = std::io::copy(&mut entry.take(left + 1), &mut out).map_err(|error| damaged(&error))?;
        left = left.checked_sub(taken).ok_or_else(too_large)?;
    }
    let zip = out.finish().map_err(|error| damaged(&error))?.into_inner();
    let parts = places(&zip).map_err(|error| damaged(&error))?;
    Ok(Parts { zip, parts })
}

/// The zip with other texts in its parts.
#[cfg(test)]
pub(crate) fn rewritten(bytes: &[u8], change: impl Fn(&str, &str) -> String) -> Vec<u8> {
    let old = unpack(bytes).expect("a zip");
    let mut out = ZipWriter::new(Cursor::new(Vec::new()));
    for (name, _) in &old.parts {
        let text = change(name, &old.text(name).expect("the part is there"));
        out.start_file(name.as_str(), SimpleFileOptions::default()).expect("a part can be added");
        std::io::Write::write_all(&mut out, text.as_bytes()).expect("memory takes it");
    }
    out.finish().expect("the zip ends").into_inner()
}

/// Where the parts of an unpacked zip stand.
fn places(bytes: &[u8]) -> Result<Vec<(String, Range<usize>)>, String> {
    let mut zip = archive(bytes)?;
    let mut parts = Vec::with_capacity(zip.len());
    for index in 0..zip.len() {
        let entry = zip.by_index(index).map_err(|error| error.to_string())?;
        let name = entry.name().map_err(|error| error.to_string())?.into_owned();
        let start = entry.data_start().unwrap_or_default() as usize;
        let range = start..start + entry.size() as usize;
        if range.end > bytes.len() {
            return Err(format!("the part {name} is not complete"));
        }
        parts.push((name, range));
    }
    Ok(parts)
}

impl Parts {
    /// The zip of the parts in which nothing is packed.
    pub fn zip(&self) -> &[u8] {
        &self.zip
    }

    /// One part, if there is one of that name.
    pub fn bytes(&self, name: &str) -> Option<&[u8]> {
        let (_, range) = self.parts.iter().find(|(found, _)| found.eq_ignore_ascii_case(name))?;
        self.zip.get(range.clone())
    }

    /// One part as text.
    pub fn text(&self, name: &str) -> Option<Cow<'_, str>> {
        // The strict look is many times quicker than the one that mends.
        self.bytes(name).map(|bytes| match std::str::from_utf8(bytes) {
            Ok(text) => Cow::Borrowed(text),
            Err(_) => String::from_utf8_lossy(bytes),
        })
    }
}
