//! `pintle reprice`: the record of the last quote and a re-issued schedule in; what changed, and the quote anew, out.

use std::path::Path;

use crate::read::read;
use crate::reprice::merge::{is_part, lay_over};
use crate::reprice::reprice;
use crate::reprice::snapshot::Snapshot;
use crate::write::{self, files::Output};

use super::cli::RepriceArgs;
use super::quote::{Names, written};
use super::setup::{Setup, told};
use super::{Outcome, output};

/// Runs the command.
pub fn run(args: &RepriceArgs, colour: bool) -> Result<Outcome, String> {
    let old = snapshot(&args.record)?;
    let mut setup = Setup::load(&args.job, args.files.first().map(std::path::PathBuf::as_path))?;
    if args.hold_prices {
        setup.terms.price.held = old.held();
    }
    let mut schedule = read(&args.files, &setup.terms.read)?;
    let before = old.as_read.schedule();
    let part = if args.whole { None } else { is_part(&before, &schedule) };
    let is_partial = args.partial || part.is_some();
    if is_partial {
        if old.as_read.is_empty() {
            return Err(format!(
                "{} does not hold the schedule it was made from, so a part cannot be laid over it\n  \
                 help: give the whole re-issued schedule",
                args.record.display()
            ));
        }
        if let Some(why) = part.filter(|_| !args.partial) {
            output::say(&format!(
                "taken for a part of the job, the rest stays as it was: {why}\n  \
                 help: give --whole if it is the whole schedule, --partial to settle it"
            ));
        }
        schedule = lay_over(before, schedule);
    }
    let quote = setup.run(schedule, &told(&args.answers, old.told())?);
    let record = write::record(&quote);
    let new = Snapshot::parse(&record, "the new record")?;
    let changes = reprice(&old, &new, is_partial)?;
    let json = changes.json();
    let names = Names::new(&args.files, args.out.as_deref())?;
    let outputs = [
        Output::new(names.path("changes.json"), json.clone().into_bytes()),
        Output::new(names.path("estimate.xlsx"), write::estimate(&quote)?),
        Output::new(names.path("proposal.xlsx"), write::proposal(&quote)?),
        Output::new(names.path("record.json"), record.into_bytes()),
    ];
    if outputs.iter().any(|output| same_file(&output.path, &args.record)) {
        return Err(format!(
            "the new record would take the place of the old one, {}\n  help: give another folder with --out",
            args.record.display()
        ));
    }
    write::files::save(&outputs, args.force)?;
    if args.json {
        output::result(&json);
    } else {
        output::result(&write::changes_text(&changes));
    }
    output::say(&write::summary(&quote, colour));
    output::say(&written(&outputs));
    Ok(if changes.is_empty() { Outcome::Clean } else { Outcome::Open })
}

fn snapshot(path: &Path) -> Result<Snapshot, String> {
    let text = std::fs::read_to_string(path).map_err(|error| {
        format!(
            "cannot read record {}: {error}\n  help: give the record.json that `pintle quote` wrote",
            path.display()
        )
    })?;
    Snapshot::parse(&text, &path.display().to_string())
}

fn same_file(one: &Path, two: &Path) -> bool {
    match (one.canonicalize(), two.canonicalize()) {
        (Ok(one), Ok(two)) => one == two,
        _ => false,
    }
}
