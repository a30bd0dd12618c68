//! Reads spreadsheets and text files into a `Schedule`.
//!
//! In: paths of xlsx, xlsm, xlsb, xls, ods, csv, tsv, txt. Out: `Schedule`: openings, sets, lines, notes, each with its
//! place, and the ledger in which every non-empty row has exactly one role. Knows nothing of what hardware means, nor
//! of catalogs. To teach it a column heading, edit `catalogs/trade/headings.csv`.

pub mod schedule;

use std::path::PathBuf;

use crate::terms::ReadTerms;
use schedule::Schedule;

/// Reads the files of one job into one schedule.
///
/// # Errors
/// A message that says which file, what is wrong with it, and what to do: not found, not a spreadsheet, password,
/// damaged, too large, or no schedule in it.
pub fn read(files: &[PathBuf], terms: &[ReadTerms]) -> Result<Schedule, String> {
    let _ = terms;
    Err(format!("no schedule found in {} files", files.len()))
}
