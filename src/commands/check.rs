//! `pintle check`: what is unclear, life safety first, then by money. Writes nothing.

use crate::complete::Answers;
use crate::finding::Kind;
use crate::read::schedule::Schedule;
use crate::write;

use super::cli::CheckArgs;
use super::progress::Progress;
use super::quote::outcome;
use super::setup::{Setup, told};
use super::{Outcome, output};

/// Runs the command; the findings go to standard output, which may have colours where standard error has none.
pub fn run(args: &CheckArgs, colour: bool, result_colour: bool) -> Result<Outcome, String> {
    let progress = Progress::begin("reading the schedule");
    let (setup, schedule) = Setup::load_and_read(&args.job, &args.files)?;
    if args.layout {
        drop(progress);
        output::result(&layout(&schedule));
        return Ok(Outcome::Clean);
    }
    progress.stage("completing and pricing");
    let quote = setup.run(schedule, &told(&args.answers, Answers::new(), &setup.terms.job.name)?);
    drop(progress);
    if args.json {
        output::result(&write::record(&quote));
    } else {
        let shown: Vec<_> =
            quote.job.findings.iter().filter(|finding| args.all || finding.kind == Kind::Question).collect();
        output::result(&write::findings_text(&shown, result_colour));
    }
    output::say(&write::summary(&quote, colour));
    Ok(outcome(&quote))
}

/// Which tables and columns were chosen, and why.
fn layout(schedule: &Schedule) -> String {
    schedule.layout.iter().map(|note| format!("{}: {}\n    {}\n", note.place, note.what, note.why)).collect()
}
