//! `pintle quote`: a bid set in, an estimate, a proposal and a record out.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use crate::complete::Answers;
use crate::finding::Kind;
use crate::price::quote::Quote;
use crate::read::schedule::Role;
use crate::write::{self, files::Output};

use super::cli::QuoteArgs;
use super::progress::Progress;
use super::setup::{Setup, again, told, typed};
use super::{Outcome, output};

/// Runs the command.
pub fn run(args: &QuoteArgs, colour: bool) -> Result<Outcome, String> {
    let progress = Progress::begin("reading the schedule");
    let (setup, schedule) = Setup::load_and_read(&args.job, &args.files)?;
    let answers = told(&args.answers, Answers::new(), &setup.terms.job.name)?;
    progress.stage("completing and pricing");
    let mut quote = setup.run(schedule, &answers);
    quote.taken_up_by = Some(command(args));
    progress.stage("writing the workbooks");
    let names = Names::new(&args.files, args.out.as_deref())?;
    quote.ways = names.ways(&args.files);
    let (documents, spared) =
        rayon::join(|| write::documents(&quote), || spare(&names, &args.answers, &quote.answers, args.force));
    spared?;
    let documents = documents?;
    let shown = args.json.then(|| documents.record.clone());
    let outputs = outputs(documents, &names)?;
    write::files::save(&outputs, args.force)?;
    let removed = left_over(&outputs, &names, args.force);
    drop(progress);
    if let Some(record) = shown {
        output::result(&record);
    }
    output::say(&write::summary(&quote, colour));
    output::say(&format!("{}{removed}", written(&outputs)));
    let outcome = outcome(&quote);
    // The program ends here: its memory goes back as a whole, sooner than piece by piece.
    std::mem::forget((outputs, quote, setup));
    Ok(outcome)
}

/// The command that takes up what is filled into the estimate of this quote.
fn command(args: &QuoteArgs) -> String {
    let mut words = vec!["pintle quote".to_owned()];
    words.extend(args.files.iter().map(|file| typed(file)));
    words.extend(again(&args.files, args.out.as_deref(), &args.job));
    words.join(" ")
}

/// The outputs of a quote, each with its place; the folder of the drawings is made.
pub fn outputs(documents: write::Documents, names: &Names) -> Result<Vec<Output>, String> {
    let mut outputs = vec![
        Output::new(names.path("estimate.xlsx"), documents.estimate),
        Output::new(names.path("proposal.xlsx"), documents.proposal),
        Output::new(names.path("questions.xlsx"), documents.questions),
    ];
    if let Some(preps) = documents.preps {
        outputs.push(Output::new(names.path("preps.xlsx"), preps.workbook));
        if !preps.drawings.is_empty() {
            let folder = names.path("drawings");
            std::fs::create_dir_all(&folder).map_err(|error| {
                format!(
                    "cannot make folder {}: {error}\n  help: choose a folder you may write to with --out",
                    folder.display()
                )
            })?;
            let drawings = preps.drawings.into_iter();
            outputs.extend(drawings.map(|(name, svg)| {
                let file = format!("{}.svg", name.to_lowercase().replace(' ', "-"));
                Output::new(folder.join(file), svg.into_bytes())
            }));
        }
    }
    outputs.push(Output::new(names.path("record.json"), documents.record.into_bytes()));
    Ok(outputs)
}

/// With `--force` the drawings that an earlier run left are removed: they show doors as they are not any more. What is
/// said of it.
pub fn left_over(outputs: &[Output], names: &Names, force: bool) -> String {
    let removed = if force { write::leftover::remove(&names.path("drawings"), outputs) } else { 0 };
    if removed == 0 { String::new() } else { format!("\nremoved: {removed} drawings of an earlier run") }
}

/// Refuses to write over a workbook in which something is filled in that this run was not told: it would be lost.
pub fn spare(names: &Names, given: &[PathBuf], told: &Answers, force: bool) -> Result<(), String> {
    if !force {
        return Ok(());
    }
    for path in ["estimate.xlsx", "questions.xlsx"].map(|ending| names.path(ending)) {
        if !path.exists() || given.iter().any(|other| super::reprice::same_file(other, &path)) {
            continue;
        }
        // What cannot be read holds nothing that could have been told.
        let Ok(back) = crate::read::sheets(&path).and_then(|sheets| write::answered::answers(&sheets)) else {
            continue;
        };
        let lost = back.answers.not_in(told);
        if lost > 0 {
            let path = path.display();
            let filled =
                if lost == 1 { "1 answer or figure is".to_owned() } else { format!("{lost} answers or figures are") };
            return Err(format!(
                "{filled} filled into {path} and would be lost\n  help: take them up with --answers {path}, or remove the file to begin anew"
            ));
        }
    }
    Ok(())
}

/// Whether a person has to look: questions, or rows and lines that were not understood.
pub fn outcome(quote: &Quote) -> Outcome {
    let asked = quote.job.findings.iter().any(|finding| finding.kind == Kind::Question);
    let unread = quote.job.schedule.ledger.iter().any(|row| row.role == Role::Unread);
    if asked || unread { Outcome::Open } else { Outcome::Clean }
}

/// The lines that say where the files are.
pub fn written(outputs: &[Output]) -> String {
    let mut text = String::from("written:");
    let is_drawing = |output: &&Output| output.path.extension().is_some_and(|ending| ending == "svg");
    for output in outputs.iter().filter(|output| !is_drawing(output)) {
        text.push_str(&format!("\n  {}", output.path.display()));
    }
    let drawings: Vec<&Output> = outputs.iter().filter(is_drawing).collect();
    if let Some(folder) = drawings.first().and_then(|output| output.path.parent()) {
        text.push_str(&format!("\n  {} ({} drawings)", folder.display(), drawings.len()));
    }
    text
}

/// Names of the outputs: beside the first file, or in the folder asked for.
pub struct Names {
    folder: PathBuf,
    stem: String,
}

impl Names {
    /// Makes the folder if it is not there.
    pub fn new(files: &[PathBuf], out: Option<&Path>) -> Result<Names, String> {
        if let Some(folder) = out {
            std::fs::create_dir_all(folder).map_err(|error| {
                format!("cannot make folder {}: {error}\n  help: choose a folder you may write to", folder.display())
            })?;
        }
        Ok(Names::of(files, out))
    }

    /// The names alone.
    pub fn of(files: &[PathBuf], out: Option<&Path>) -> Names {
        let first = files.first().map_or_else(|| Path::new("quote"), PathBuf::as_path);
        let beside = || first.parent().map_or_else(PathBuf::new, Path::to_owned);
        let folder = out.map_or_else(beside, Path::to_owned);
        let stem = first.file_stem().map_or_else(|| "quote".to_owned(), |stem| stem.to_string_lossy().into_owned());
        Names { folder, stem }
    }

    /// The way from the folder of the outputs to each file that lies elsewhere, by the file's name. Files on another drive
    /// have none: they are named, not linked.
    pub fn ways(&self, files: &[PathBuf]) -> BTreeMap<String, String> {
        let Ok(folder) =
            std::fs::canonicalize(if self.folder.as_os_str().is_empty() { Path::new(".") } else { &self.folder })
        else {
            return BTreeMap::new();
        };
        let named = files.iter().filter_map(|file| {
            let there = std::fs::canonicalize(file).ok()?;
            let name = file.file_name()?.to_string_lossy().into_owned();
            let way = way(&folder, &there)?;
            (way != name).then_some((name, way))
        });
        let mut ways: BTreeMap<String, String> = named.collect();
        // Of two files with one name nobody knows which is meant.
        let name = |file: &PathBuf| file.file_name().map(|name| name.to_string_lossy().into_owned());
        ways.retain(|known, _| files.iter().filter(|file| name(file).as_ref() == Some(known)).count() == 1);
        ways
    }

    /// `FOLDER/STEM.ending`.
    pub fn path(&self, ending: &str) -> PathBuf {
        self.folder.join(format!("{}.{ending}", self.stem))
    }
}

/// From a folder to a file by steps up and down, parted by `/` as links have them; none where they have no root in common.
fn way(folder: &Path, file: &Path) -> Option<String> {
    let (here, there): (Vec<_>, Vec<_>) = (folder.components().collect(), file.components().collect());
    let common = here.iter().zip(&there).take_while(|(one, other)| one == other).count();
    if common == 0 {
        return None;
    }
    let up = here.iter().skip(common).map(|_| "..".to_owned());
    let down = there.iter().skip(common).map(|part| part.as_os_str().to_string_lossy().into_owned());
    Some(up.chain(down).collect::<Vec<_>>().join("/"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_way_leads_up_and_down() {
        let way = |folder: &str, file: &str| way(Path::new(folder), Path::new(file));
        assert_eq!(way("/jobs/out", "/jobs/out/bid.xlsx").as_deref(), Some("bid.xlsx"));
        assert_eq!(way("/jobs/out/one", "/jobs/in/bid.xlsx").as_deref(), Some("../../in/bid.xlsx"));
        assert_eq!(way("/jobs", "/jobs/in/bid.xlsx").as_deref(), Some("in/bid.xlsx"));
    }
}
