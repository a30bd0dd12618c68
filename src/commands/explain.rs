//! `pintle explain`: how one wording is read, what is assumed, what it costs; or a row of a file; or a whole file.

use std::path::{Path, PathBuf};

use crate::complete::Answers;
use crate::complete::spec::{Spec, Status};
use crate::count::takeoff::From;
use crate::finding::Finding;
use crate::place::Place;
use crate::price::quote::{PricedItem, Quote};
use crate::read::read;
use crate::read::schedule::{HardwareSet, LedgerRow, Line, Opening, PartRole, Role, Schedule, Wording};
use crate::trade::category::Category;
use crate::trade::facts;
use crate::trade::inches::Inches;
use crate::write::explain::story;
use crate::write::explain_rows;
use crate::write::record_lines::Explained;

use super::cli::ExplainArgs;
use super::setup::Setup;
use super::{Outcome, output};

/// Runs the command.
pub fn run(args: &ExplainArgs, _colour: bool) -> Result<Outcome, String> {
    let files: Vec<PathBuf> = args.wording.iter().map(PathBuf::from).collect();
    match files.first() {
        Some(first) if files.iter().all(|path| path.is_file()) => of_files(args, &files, first),
        _ if args.row.is_some() || args.sheet.is_some() => Err(format!(
            "{} is no file, and --row and --sheet go with a file\n  help: name the schedule, such as `pintle explain bid-set.xlsx --row 42`, or all files of the job",
            args.wording.join(" ")
        )),
        _ => match files.iter().find(|path| is_like_a_file(path) && !path.is_file()) {
            Some(missing) => Err(format!(
                "there is no file {}\n  help: check its name; a wording is best put in quotes, with a space in it",
                missing.display()
            )),
            None => of_wording(args),
        },
    }
}

/// Whether a word is written like the name of a file that can be read: no wording of goods ends like one.
fn is_like_a_file(path: &Path) -> bool {
    const ENDINGS: [&str; 8] = ["xlsx", "xlsm", "xlsb", "xls", "ods", "csv", "tsv", "txt"];
    let ending = path.extension().and_then(|ending| ending.to_str()).map(str::to_lowercase);
    ending.is_some_and(|ending| ENDINGS.contains(&ending.as_str()))
}

/// One wording, as if it stood alone in a set on one ordinary interior door.
fn of_wording(args: &ExplainArgs) -> Result<Outcome, String> {
    let setup = Setup::load(&args.job, None)?;
    let mut wording = Wording::free(&args.wording.join(" "));
    if let Some(finish) = &args.finish {
        wording.push(PartRole::Finish, finish, None);
    }
    if wording.text.is_empty() {
        return Err("there is no wording to explain\n  help: put it in quotes, such as `pintle explain \"4-1/2 x 4-1/2 BB 652\"`".to_owned());
    }
    let quote = setup.run(ordinary_door(wording), &Answers::new());
    let specs: Vec<&Spec> = quote.job.sets.iter().flat_map(|set| &set.specs).collect();
    if args.json {
        for spec in &specs {
            let working = item_of(&quote, spec).and_then(|item| item.working.as_ref());
            output::result(
                &serde_json::to_string(&Explained { spec, findings: &quote.job.findings, working }).unwrap_or_default(),
            );
        }
    } else {
        for spec in &specs {
            output::result(&story(spec, &findings_of(&quote, spec), item_of(&quote, spec)));
        }
        output::say(
            "Read as if on one interior hollow-metal door, 3'-0\" x 7'-0\" x 1-3/4\"; in a job, the door itself counts.",
        );
    }
    Ok(if specs.iter().all(|spec| is_clear(spec)) { Outcome::Clean } else { Outcome::Open })
}

/// `Mortise lock`.
fn title(category: Category) -> &'static str {
    facts::of(category).map_or(category.name(), |facts| facts.title)
}

/// Whether nobody need look at a line again.
fn is_clear(spec: &Spec) -> bool {
    matches!(spec.status, Status::Settled | Status::Assumed) && spec.reading.unread.is_empty()
}

/// A schedule of one line on one door that asks for nothing special.
fn ordinary_door(wording: Wording) -> Schedule {
    let place = Place::row(&"wording".into(), &"".into(), 1);
    let line = Line::new(place.clone(), wording);
    Schedule {
        openings: vec![Opening {
            width: Some(Inches::whole(36)),
            height: Some(Inches::whole(84)),
            thickness: Inches::fraction(1, 3, 4),
            door_material: Some("hollow-metal".to_owned()),
            frame_material: Some("hollow-metal".to_owned()),
            rating: crate::trade::rating::Rating { minutes: Some(0), ..Default::default() },
            exterior: Some(false),
            ..Opening::bare("1", "1", place.clone())
        }],
        sets: vec![HardwareSet {
            id: "1".to_owned(),
            title: String::new(),
            openings: Vec::new(),
            lines: vec![line.clone()],
            notes: Vec::new(),
            not_used: None,
            place: place.clone(),
        }],
        ledger: vec![LedgerRow { place, role: Role::Line, text: line.wording.text }],
        ..Schedule::default()
    }
}

fn item_of<'a>(quote: &'a Quote, spec: &Spec) -> Option<&'a PricedItem> {
    quote.items.iter().find(|item| item.item.from == From::Line(spec.id))
}

/// The findings that are about this line.
fn findings_of<'a>(quote: &'a Quote, spec: &Spec) -> Vec<&'a Finding> {
    quote.job.findings.iter().filter(|finding| finding.lines.contains(&spec.id)).collect()
}

/// A row of the files of a job, or every line of them, most unread first.
fn of_files(args: &ExplainArgs, files: &[PathBuf], first: &Path) -> Result<Outcome, String> {
    let setup = Setup::load(&args.job, Some(first))?;
    let quote = setup.run(read(files, &setup.terms.read)?, &Answers::new());
    let specs: Vec<&Spec> = quote.job.sets.iter().flat_map(|set| &set.specs).collect();
    let on_sheet =
        |place: &Place| args.sheet.as_deref().is_none_or(|name| *place.sheet == *name || *place.file == *name);
    let Some(row) = args.row else {
        let specs: Vec<&Spec> = specs.into_iter().filter(|spec| on_sheet(&spec.place)).collect();
        if specs.is_empty() && args.sheet.is_some() {
            return Err(no_row("no item line was read", &quote));
        }
        return Ok(ranked(&specs, &quote, args.json));
    };
    let is_meant = |place: &Place| place.row == row && on_sheet(place);
    let lines: Vec<&&Spec> = specs.iter().filter(|spec| is_meant(&spec.place)).collect();
    for spec in &lines {
        if args.json {
            let working = item_of(&quote, spec).and_then(|item| item.working.as_ref());
            output::result(
                &serde_json::to_string(&Explained { spec, findings: &quote.job.findings, working }).unwrap_or_default(),
            );
        } else {
            output::result(&story(spec, &findings_of(&quote, spec), item_of(&quote, spec)));
        }
    }
    let schedule = &quote.job.schedule;
    let outcome = if lines.iter().all(|spec| is_clear(spec)) { Outcome::Clean } else { Outcome::Open };
    if args.json && !lines.is_empty() {
        return Ok(outcome);
    }
    let doors: Vec<usize> =
        (0..schedule.openings.len()).filter(|index| is_meant(&schedule.openings[*index].place)).collect();
    if args.json {
        let doors = doors.iter().map(|index| schedule.openings[*index].number.as_str());
        return Err(format!(
            "row {row} is no item line{}, and --json prints item lines\n  help: `pintle quote FILES --json` prints the whole record",
            doors.map(|number| format!("; it is door {number}")).collect::<String>()
        ));
    }
    doors.iter().for_each(|index| output::result(&explain_rows::door(&quote, *index)));
    let told = |place: &Place| {
        lines
            .iter()
            .map(|spec| &spec.place)
            .chain(doors.iter().map(|index| &schedule.openings[*index].place))
            .any(|known| (&known.file, &known.sheet, known.row) == (&place.file, &place.sheet, place.row))
    };
    let others: Vec<&LedgerRow> =
        schedule.ledger.iter().filter(|found| is_meant(&found.place) && !told(&found.place)).collect();
    others.iter().for_each(|found| output::result(&explain_rows::row(found)));
    if lines.is_empty() && doors.is_empty() && others.is_empty() {
        return Err(no_row(&format!("row {row} is empty or not there"), &quote));
    }
    if !others.is_empty() {
        output::say("`pintle check FILES --layout` shows which tables and columns were chosen, and why");
    }
    Ok(outcome)
}

/// That nothing is there, and which sheets there are.
fn no_row(what: &str, quote: &Quote) -> String {
    let rows = &quote.job.schedule.ledger;
    let sheets: std::collections::BTreeSet<String> =
        rows.iter().map(|found| format!("{} {}", found.place.file, found.place.sheet)).collect();
    let sheets: Vec<&str> = sheets.iter().map(|sheet| sheet.trim()).collect();
    format!("{what}\n  help: name the sheet with --sheet; those read are: {}", sheets.join(", "))
}

/// One line for each line of the file: how many characters nothing read, then what was made of it.
fn ranked(specs: &[&Spec], quote: &Quote, json: bool) -> Outcome {
    let unread = |spec: &Spec| spec.reading.unread.iter().map(ExactSizeIterator::len).sum::<usize>();
    let mut order: Vec<&&Spec> = specs.iter().collect();
    order.sort_by_key(|spec| (std::cmp::Reverse(unread(spec)), spec.id));
    let several = specs.windows(2).any(|pair| pair[0].place.file != pair[1].place.file);
    for spec in &order {
        if json {
            let working = item_of(quote, spec).and_then(|item| item.working.as_ref());
            output::result(
                &serde_json::to_string(&Explained { spec, findings: &quote.job.findings, working }).unwrap_or_default(),
            );
            continue;
        }
        let words: Vec<&str> =
            spec.reading.unread.iter().filter_map(|span| spec.wording.text.get(span.clone())).collect();
        let category = spec.category.map_or("?", title);
        let left = if words.is_empty() { String::new() } else { format!("   unread: {}", words.join(" | ")) };
        let file = if several { format!("{} ", spec.place.file) } else { String::new() };
        output::result(&format!("{file}row {:<5} {:<20} {}{left}", spec.place.row, category, spec.wording.text));
    }
    if order.iter().any(|spec| unread(spec) > 0) { Outcome::Open } else { Outcome::Clean }
}
