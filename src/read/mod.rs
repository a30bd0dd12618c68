//! Reads spreadsheets and text files into a `Schedule`.
//!
//! In: paths of xlsx, xlsm, xlsb, xls, ods, csv, tsv, txt. Out: `Schedule`: openings, sets, lines, notes, each with its
//! place, and the ledger in which every non-empty row has exactly one role. Knows nothing of what hardware means, nor
//! of catalogs. To teach it a column heading, edit `catalogs/trade/headings.csv`; a word of schedules,
//! `schedule-words.csv`; a material, `materials.csv`. A new kind of table goes beside its like: `tables` finds and heads them,
//! `openings`, `sets`, `goods`, `grids`, `counts` and `notes` read their rows, `repairs` undoes what befell the cells; `walk.rs`
//! calls them row by row, and `finish` below settles what needs the whole job.

mod addenda;
mod counts;
mod entries;
mod excluded;
mod files;
mod goods;
mod grids;
mod lane;
mod memo;
mod notes;
mod openings;
mod pages;
pub mod price_list;
mod reconcile;
mod repairs;
pub mod schedule;
mod sets;
mod sheet;
mod sizes;
mod tables;
mod walk;
mod words;

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use crate::terms::ReadTerms;
pub use addenda::amendment;
use addenda::{changes, superseded};
use counts::{countwords, rowcounts, types};
use excluded::{marked, others, outsaid};
use files::{floating, nulls, ours, source};
use goods::{doorgoods, dooritems, listbeside, longcells, unclaimed};
use grids::itemkeys;
use notes::{alternates, captions, footnotes, keyed};
use openings::{buildings, cardgoods, openfacts, saidmaterial};
use repairs::{struck, zeros};
use schedule::Schedule;
use sets::{
    assigned, bareheads, emptysets, headasked, headforms, listapart, saidofset, secondset, setcells, setcolumn,
    titledoors, together,
};
use sheet::Sheet;
use sizes::{feetinches, splitsizes};
use tables::{headings, notused, parts, table};

pub(crate) use alternates::{alternate, begins as begins_alternate};
pub(crate) use captions::apart;
pub(crate) use notes::remarks::category_named;
pub(crate) use others::of_title;
pub use pages::PAGES;
pub use reconcile::recheck;
pub(crate) use sets::section::is_ours as is_section_of_hardware;
pub use struck::STRUCK;
pub(crate) use words::wall;

/// A sheet of any workbook as plain cells: for what this program wrote and a person filled in.
#[derive(Debug, Clone, Default)]
pub struct Cells {
    /// File name.
    pub file: String,
    /// Sheet name.
    pub name: String,
    /// Row number as the spreadsheet program shows it, with its non-empty cells: column from 0, text.
    pub rows: Vec<(u32, BTreeMap<usize, String>)>,
}

/// The sheets of one file as plain cells.
///
/// # Errors
/// As `read`, except that nothing need be a schedule.
pub fn sheets(file: &Path) -> Result<Vec<Cells>, String> {
    let (input, sheets) = source::open(file).map_err(with_help)?;
    let cells = sheets.into_iter().map(|sheet| Cells {
        file: input.file.to_string(),
        name: sheet.name.to_string(),
        rows: sheet
            .rows
            .into_iter()
            .map(|row| {
                // A formula without a result in the file shows nothing.
                let shown = row.cells.into_iter().filter(|cell| cell.kind != sheet::CellKind::Formula);
                (row.number, shown.map(|cell| (cell.column, cell.text)).collect())
            })
            .collect(),
    });
    Ok(cells.collect())
}

/// Reads the files of one job into one schedule.
///
/// # Errors
/// A message that says which file, what is wrong with it, and what to do: not found, not a spreadsheet, password,
/// damaged, too large, or no schedule in it.
pub fn read(files: &[PathBuf], terms: &[ReadTerms]) -> Result<Schedule, String> {
    if files.is_empty() {
        return Err("no file was given; name the schedule's spreadsheet or text files".into());
    }
    check_terms(terms)?;
    let mut out = walk::Gathered::default();
    let mut names = Vec::new();
    let mut entries = entries::Entries::new(terms);
    for file in files {
        let (input, mut sheets) = source::open(file).map_err(with_help)?;
        sheets.iter_mut().for_each(nulls::empty);
        ours::refuse(&input.file, &sheets)?;
        names.push(input.file.to_string());
        out.schedule.inputs.push(input);
        sheets.iter().for_each(|sheet| out.legend.look(sheet));
        sheets.iter().for_each(|sheet| out.set_ids.look(sheet));
        sheets.iter().for_each(|sheet| out.types.symbols.look(sheet));
        for sheet in superseded::in_turn(&sheets) {
            entries.look(sheet);
            reconcile::hidden(sheet, &mut out);
            superseded::note(sheet, &mut out);
            let own = terms_of(sheet, terms);
            if own.is_some() || !changes::noted(sheet, &mut out) {
                let joined = splitsizes::joined(sheet);
                let sheet = joined.as_ref().unwrap_or(sheet);
                let formed = if own.is_none() { headforms::joined(sheet) } else { None };
                let formed = formed.as_ref();
                let measured = if own.is_none() { feetinches::joined(formed.unwrap_or(sheet)) } else { None };
                let measured = measured.as_ref().or(formed);
                let from = out.schedule.ledger.len();
                parts::read(measured.unwrap_or(sheet), own, &mut out);
                if measured.is_some() {
                    feetinches::as_written(sheet, &mut out.schedule.ledger[from..]);
                }
            }
        }
        // Giving back the memory of a long sheet takes a while; nothing waits for it.
        rayon::spawn(move || drop(sheets));
    }
    entries.tell(&mut out.schedule);
    finish(&mut out, terms, true)?;
    let lines: usize = out.schedule.sets.iter().map(|set| set.lines.len()).sum();
    if out.schedule.openings.is_empty() && lines == 0 {
        return Err(with_help(refusal(&names, &out)));
    }
    Ok(out.schedule)
}

/// What is settled once all sheets are read, of a schedule and of what an addendum issues anew; `terms` give sets their
/// numbers of doors. Only a whole schedule may count doors without naming any.
fn finish(out: &mut walk::Gathered, terms: &[ReadTerms], is_whole: bool) -> Result<(), String> {
    itemkeys::settle(out);
    cardgoods::settle(out);
    dooritems::settle(out);
    superseded::sets(out);
    saidofset::settle(out);
    saidmaterial::settle(&mut out.schedule);
    footnotes::settle(&mut out.schedule);
    setcolumn::settle(out);
    types::join_types(out);
    rowcounts::settle(out);
    notused::settle(out);
    zeros::restore(out);
    doorgoods::settle(out);
    listbeside::settle(out);
    std::mem::take(&mut out.matrix).into_sets(out);
    doorgoods::same(out);
    setcells::same_as(out);
    secondset::settle(out);
    setcells::settle(out);
    if is_whole {
        marked::instead_of_sets(out);
    }
    superseded::doors(out);
    listapart::settle(out);
    keyed::join(out);
    saidmaterial::settle(&mut out.schedule);
    assigned::given(terms, out)?;
    if is_whole {
        assigned::counts(out);
    }
    bareheads::serve(out);
    assigned::serve(out);
    titledoors::serve(out);
    together::settle(out);
    buildings::settle(out);
    reconcile::reconcile(out);
    superseded::unserved(out);
    marked::settle(out);
    if is_whole {
        emptysets::settle(out);
    }
    if is_whole {
        outsaid::settle(out);
    }
    setcells::again(out);
    setcells::not_used(out);
    openfacts::settle(&mut out.schedule);
    if is_whole {
        countwords::settle(&mut out.schedule);
    }
    longcells::part(&mut out.schedule);
    headasked::settle(&mut out.schedule);
    unclaimed::tell(&mut out.schedule);
    floating::settle(&mut out.schedule);
    Ok(())
}

/// Every error says what to do next; those of the file formats get the general advice.
fn with_help(message: String) -> String {
    if message.contains("help:") {
        return message;
    }
    format!(
        "{message}\n  help: give the schedule as xlsx, xlsm, xlsb, xls, ods, csv, tsv or txt, whole and without a password"
    )
}

/// Column letters, meanings and kinds of tables in the job file must be known.
fn check_terms(terms: &[ReadTerms]) -> Result<(), String> {
    for term in terms {
        for (letter, name) in &term.columns {
            if crate::place::column_index(letter).is_none() {
                return Err(format!("job file, [[read]] columns: \"{letter}\" is no column letter; write A, B … AA"));
            }
            if headings::Meaning::named(name).is_none() {
                let known: Vec<&str> = headings::Meaning::names().collect();
                return Err(format!(
                    "job file, [[read]] columns: \"{name}\" is no meaning of a column; known: {}",
                    known.join(", ")
                ));
            }
        }
        if let Some(holds) = term.holds.as_deref()
            && !["doors", "sets", "items", "matrix", "ignore"].contains(&holds)
        {
            return Err(format!(
                "job file, [[read]] holds: \"{holds}\" is not known; write doors, sets, items, matrix or ignore"
            ));
        }
    }
    Ok(())
}

/// The last entry of the job file that speaks of a sheet.
fn terms_of<'t>(sheet: &Sheet, terms: &'t [ReadTerms]) -> Option<&'t ReadTerms> {
    terms.iter().rev().find(|terms| {
        let file = terms.file.as_deref().is_none_or(|file| *file == *sheet.file);
        let name = terms.sheet.as_deref().is_none_or(|name| name.eq_ignore_ascii_case(&sheet.name));
        file && name
    })
}

fn refusal(names: &[String], out: &walk::Gathered) -> String {
    let mut why = format!(
        "{}: no hardware schedule in it. Looked for: a door schedule (a heading row with door numbers and sizes, sets or materials), set headings such as \"HARDWARE SET 3\" with items under them, a table of items with quantities, a matrix of doors against hardware.",
        names.join(", ")
    );
    let mut told: Vec<&String> = Vec::new();
    for passed in &out.passed {
        if !told.contains(&passed) {
            told.push(passed);
        }
    }
    for passed in told.iter().take(5) {
        why.push_str(&format!(" Passed over {passed}."));
    }
    if out.schedule.ledger.is_empty() {
        why.push_str(" Every sheet is empty.");
        let floats = |codes: &[&str]| out.schedule.findings.iter().any(|finding| codes.contains(&finding.code));
        if floats(&[floating::PICTURE]) {
            why.push_str(" What a picture shows is not read: type the schedule in, or ask for its file.");
        }
        if floats(&[floating::ASKED, floating::NOTED]) {
            why.push_str(" Words stand in text boxes or comments alone: copy them into cells, a line a row.");
        }
    } else if out.schedule.layout.iter().any(|note| note.what.ends_with(table::Holds::Legend.name())) {
        why.push_str(" There is a list of codes with their words, and no schedule that uses them.");
    } else if told.is_empty() && out.schedule.layout.iter().any(|note| note.what.starts_with("table")) {
        why.push_str(" There are column headings, but no rows under them: an empty template.");
    }
    let lines: Vec<_> = out.schedule.ledger.iter().filter(|row| doorgoods::is_line_of_door(&row.text)).collect();
    if let Some(first) = lines.first().filter(|_| lines.len() > 1) {
        why.push_str(&format!(
            " Row {} and {} more are lines of a door and its goods, \"{}\": that form is not read.\n  help: make a table of it with the headings Door and Hardware, the door's name or number in one cell and its goods, parted by commas, in the next",
            first.place.row,
            lines.len() - 1,
            first.text
        ));
        return why;
    }
    why.push_str(
        "\n  help: if it is one, say in the job file under [[read]] which sheet, which heading row and which columns",
    );
    why
}
