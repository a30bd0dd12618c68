//! Workbooks that this program wrote: they stand beside the schedule, and a command that names every file of the folder names
//! them too. Read as schedules they would count every set again.

use crate::read::sheet::Sheet;

/// What each is, with two of its sheets that no schedule has together, and what it is good for.
const BOOKS: [(&str, [&str; 2], &str); 5] = [
    (
        "an estimate",
        ["The bid", "Priced goods"],
        "what is filled into it is taken up with --answers; name the files of the architect alone",
    ),
    ("a proposal", ["Proposal", "Goods by set"], "name the files of the architect alone"),
    (
        "a list of questions",
        ["Questions", "Answers proposed"],
        "what is filled into it is taken up with --answers; name the files of the architect alone",
    ),
    ("a list of preps", ["Preps", "Drawings"], "name the files of the architect alone"),
    ("a list of changes", ["All changes", "By opening"], "name the files of the architect alone"),
];

/// Refuses a file of this program's own.
///
/// # Errors
/// What it is, and which files to name.
pub(crate) fn refuse(file: &str, sheets: &[Sheet]) -> Result<(), String> {
    let has = |name: &str| sheets.iter().any(|sheet| &*sheet.name == name);
    // Others name sheets so too; this heading is ours.
    let is_preps = |names: &[&str; 2]| {
        let cells = || sheets.iter().flat_map(|sheet| &sheet.rows).take(12).flat_map(|row| &row.cells);
        names[0] != "Preps" || cells().any(|cell| cell.text == "Above floor")
    };
    match BOOKS.iter().find(|(_, names, _)| names.iter().all(|name| has(name)) && is_preps(names)) {
        Some((what, _, help)) => Err(format!("{file}: this is {what} that pintle wrote, no schedule\n  help: {help}")),
        None => Ok(()),
    }
}
