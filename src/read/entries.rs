//! The entries `[[read]]` of the job file against the files that were read: one that names a file, a sheet or a heading
//! row which is not there settles nothing, and that is said with what there is.

use std::sync::Arc;

use crate::finding::{Finding, Kind, Weight};
use crate::terms::ReadTerms;

use super::schedule::Schedule;
use super::sheet::Sheet;

/// Names listed at most.
const LISTED: usize = 12;

/// How far an entry fits.
#[derive(Clone, Copy, Default)]
struct Fits {
    file: bool,
    sheet: bool,
    row: bool,
}

/// The entries and what they fit.
pub(crate) struct Entries<'t> {
    terms: &'t [ReadTerms],
    fits: Vec<Fits>,
    files: Vec<Arc<str>>,
    sheets: Vec<Arc<str>>,
}

impl<'t> Entries<'t> {
    /// The entries before any sheet was read.
    pub fn new(terms: &'t [ReadTerms]) -> Self {
        Self { terms, fits: vec![Fits::default(); terms.len()], files: Vec::new(), sheets: Vec::new() }
    }

    /// Looks at a sheet that is read.
    pub fn look(&mut self, sheet: &Sheet) {
        if self.terms.is_empty() {
            return;
        }
        if !self.files.contains(&sheet.file) {
            self.files.push(sheet.file.clone());
        }
        if !sheet.name.is_empty() {
            self.sheets.push(sheet.name.clone());
        }
        for (term, fits) in self.terms.iter().zip(&mut self.fits) {
            let file = term.file.as_deref().is_none_or(|file| *file == *sheet.file);
            let named = file && term.sheet.as_deref().is_none_or(|name| name.eq_ignore_ascii_case(&sheet.name));
            let filled = |row: u32| sheet.rows.binary_search_by_key(&row, |own| own.number).is_ok();
            fits.file |= file;
            fits.sheet |= named;
            fits.row |= named && term.header_row.is_none_or(filled);
        }
    }

    /// Tells of the entries that fit nothing.
    pub fn tell(self, schedule: &mut Schedule) {
        let list = |names: &[Arc<str>]| {
            let shown: Vec<String> = names.iter().take(LISTED).map(|name| format!("\"{name}\"")).collect();
            let more = names.len().saturating_sub(LISTED);
            let more = if more > 0 { format!(" and {more} more") } else { String::new() };
            if shown.is_empty() { "none that has a name".to_string() } else { format!("{}{more}", shown.join(", ")) }
        };
        for (term, fits) in self.terms.iter().zip(&self.fits) {
            let (file, sheet) = (term.file.as_deref().unwrap_or_default(), term.sheet.as_deref().unwrap_or_default());
            let at = match (file, sheet) {
                ("", "") => String::new(),
                (file, "") => format!(" of \"{file}\""),
                ("", sheet) => format!(" of the sheet \"{sheet}\""),
                (file, sheet) => format!(" of \"{file}\", sheet \"{sheet}\""),
            };
            // The job file serves the addenda of the job too: a file that is none of these may be one of theirs.
            let kind = if fits.file { Kind::Question } else { Kind::Note };
            let (excerpt, says) = match (*fits, term.header_row) {
                (Fits { file: false, .. }, _) => (
                    file.to_string(),
                    format!("the job file settles how to read \"{file}\"; the files read are {}", list(&self.files)),
                ),
                (Fits { sheet: false, .. }, _) => (
                    sheet.to_string(),
                    format!(
                        "the job file settles how to read the sheet \"{sheet}\"; the sheets read are {}",
                        list(&self.sheets)
                    ),
                ),
                (Fits { row: false, .. }, Some(row)) => (
                    format!("header_row = {row}"),
                    format!("the job file says that the headings{at} stand in row {row}, in which nothing stands"),
                ),
                _ => continue,
            };
            let finding = Finding::new(
                "read-entry-idle",
                kind,
                Weight::Reading,
                format!("{says}; this entry of [[read]] settled nothing"),
            );
            schedule.findings.push(Finding { excerpt, ..finding }.help(
                "write file, sheet and header_row under [[read]] as the files have them; `pintle check FILE --layout` shows them",
            ));
        }
    }
}
