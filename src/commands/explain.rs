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
use crate::trade::inches::Inches;
use crate::write::explain::story;
use crate::write::record::line_object;

use super::cli::ExplainArgs;
use super::setup::Setup;
use super::{Outcome, output};

/// Runs the command.
pub fn run(args: &ExplainArgs, _colour: bool) -> Result<Outcome, String> {
    let file = args.wording.first().map(Path::new).filter(|path| args.wording.len() == 1 && path.is_file());
    match file {
        Some(path) => of_file(args, path),
        None if args.row.is_some() || args.sheet.is_some() => Err(format!(
            "{} is no file, and --row and --sheet go with a file\n  help: name the schedule, such as `pintle explain bid-set.xlsx --row 42`",
            args.wording.join(" ")
        )),
        None => of_wording(args),
    }
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
            output::result(&line_object(spec, &quote.job.findings, working).to_string());
        }
    } else {
        for spec in &specs {
            output::result(&story(spec, &findings_of(&quote, spec), item_of(&quote, spec)));
        }
        output::say(
            "Read as if on one interior hollow-metal door, 3'-0\" x 7'-0\" x 1-3/4\"; in a job, the door itself counts.",
        );
    }
    let clear = specs
        .iter()
        .all(|spec| matches!(spec.status, Status::Settled | Status::Assumed) && spec.reading.unread.is_empty());
    Ok(if clear { Outcome::Clean } else { Outcome::Open })
}

/// A schedule of one line on one door that asks for nothing special.
fn ordinary_door(wording: Wording) -> Schedule {
    let place = Place::row(&"wording".into(), &"".into(), 1);
    let line = Line { place: place.clone(), wording, basis: None, section: None, excluded: None };
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

/// A row of a file, or every line of it, most unread first.
fn of_file(args: &ExplainArgs, path: &Path) -> Result<Outcome, String> {
    let setup = Setup::load(&args.job, Some(path))?;
    let quote = setup.run(read(&[PathBuf::from(path)], &setup.terms.read)?, &Answers::new());
    let specs: Vec<&Spec> = quote.job.sets.iter().flat_map(|set| &set.specs).collect();
    let Some(row) = args.row else { return Ok(ranked(&specs)) };
    let here: Vec<&Spec> = specs
        .into_iter()
        .filter(|spec| spec.place.row == row && args.sheet.as_deref().is_none_or(|sheet| *spec.place.sheet == *sheet))
        .collect();
    if here.is_empty() {
        return Err(no_line(&quote, row, args.sheet.as_deref()));
    }
    for spec in &here {
        if args.json {
            let working = item_of(&quote, spec).and_then(|item| item.working.as_ref());
            output::result(&line_object(spec, &quote.job.findings, working).to_string());
        } else {
            output::result(&story(spec, &findings_of(&quote, spec), item_of(&quote, spec)));
        }
    }
    Ok(Outcome::Clean)
}

/// One line for each line of the file: how many characters nothing read, then what was made of it.
fn ranked(specs: &[&Spec]) -> Outcome {
    let unread = |spec: &Spec| spec.reading.unread.iter().map(ExactSizeIterator::len).sum::<usize>();
    let mut order: Vec<&&Spec> = specs.iter().collect();
    order.sort_by_key(|spec| (std::cmp::Reverse(unread(spec)), spec.id));
    for spec in &order {
        let words: Vec<&str> =
            spec.reading.unread.iter().filter_map(|span| spec.wording.text.get(span.clone())).collect();
        let category = spec.category.map_or("?", |category| category.name());
        let left = if words.is_empty() { String::new() } else { format!("   unread: {}", words.join(" | ")) };
        output::result(&format!("row {:<5} {:<20} {}{left}", spec.place.row, category, spec.wording.text));
    }
    if order.iter().any(|spec| unread(spec) > 0) { Outcome::Open } else { Outcome::Clean }
}

/// What the row is, when it is no line.
fn no_line(quote: &Quote, row: u32, sheet: Option<&str>) -> String {
    let found = quote
        .job
        .schedule
        .ledger
        .iter()
        .find(|found| found.place.row == row && sheet.is_none_or(|sheet| *found.place.sheet == *sheet));
    match found {
        Some(found) => format!(
            "{} is no item line: it was read as {}\n  help: `pintle check FILE --layout` shows how the sheet was read",
            found.place,
            found.role.word()
        ),
        None => format!("row {row} is empty or not there\n  help: name the sheet with --sheet"),
    }
}
