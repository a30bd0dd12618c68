//! `pintle reprice`: prices a re-issued schedule and shows, to the cent, what changed against the record of the last quote.

use std::fs;
use std::path::PathBuf;

use crate::complete::Answers;
use crate::read::read;
use crate::reprice::reprice;
use crate::reprice::snapshot::Snapshot;
use crate::write::files::Output;
use crate::write::{self};

use super::cli::RepriceArgs;
use super::quote::{Names, written};
use super::setup::Setup;
use super::{Outcome, output};

/// Runs the command.
pub fn run(args: &RepriceArgs, colour: bool) -> Result<Outcome, String> {
    let name = args.record.display().to_string();
    let text = fs::read_to_string(&args.record).map_err(|error| {
        format!("cannot read the record {name}: {error}\n  help: give the file that `pintle quote` wrote, ending in .record.json")
    })?;
    let old = Snapshot::parse(&text, &name)?;
    let setup = Setup::load(&args.job, args.files.first().map(PathBuf::as_path))?;
    let quote = setup.run(read(&args.files, &setup.terms.read)?, &Answers::new());
    let record = write::record(&quote);
    let new = Snapshot::parse(&record, "the new quote")?;
    let changes = reprice(&old, &new)?;
    let json = changes.json();
    let names = Names::new(&args.files, args.out.as_deref())?;
    let outputs = [
        Output::new(names.path("changes.json"), json.clone().into_bytes()),
        Output::new(names.path("estimate.xlsx"), write::estimate(&quote)?),
        Output::new(names.path("proposal.xlsx"), write::proposal(&quote)?),
        Output::new(names.path("record.json"), record.into_bytes()),
    ];
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
