//! `pintle reprice`: the record of the last quote and a re-issued schedule in; what changed, and the quote anew, out.
//! Two records are compared as they are.

use std::path::{Path, PathBuf};

use crate::complete::Answers;
use crate::finding::Kind;
use crate::price::quote::Quote;
use crate::read::amendment::amendment;
use crate::read::read;
use crate::read::schedule::{Role, Schedule};
use crate::reprice::amend::amended;
use crate::reprice::answers::{Carried, carry};
use crate::reprice::changes::Changes;
use crate::reprice::history::{acknowledged, addendum_named, extended};
use crate::reprice::merge::{is_foreign, is_part, lay_over, tell_apart};
use crate::reprice::request::{Sums, request};
use crate::reprice::snapshot::Snapshot;
use crate::reprice::told::Before;
use crate::reprice::{Context, reprice};
use crate::terms::Terms;
use crate::write::{self, files::Output};

use super::cli::{Prices, RepriceArgs};
use super::progress::Progress;
use super::quote::{Names, left_over, outputs as quote_outputs, spare, written};
use super::setup::{Setup, again, quoted as word_quoted, told, typed};
use super::{Outcome, output};

/// Runs the command.
pub fn run(args: &RepriceArgs, colour: bool) -> Result<Outcome, String> {
    let old = snapshot(&args.record)?;
    if let [file] = args.files.as_slice()
        && is_record(file)
    {
        return compare_records(args, &old, file);
    }
    let mut setup = setup(args, &old)?;
    is_one_job(args, &old, (&setup.terms.job.name, "the job terms beside the files are those of"))?;
    let (schedule, is_partial) = schedule(args, &old, &setup)?;
    let name = name_of(args).or_else(|| name_in_titles(&schedule));
    if name.is_none() {
        output::say(
            "the files do not say which addendum they are: name it with --addendum \"Addendum 1\", so that the proposal \
             acknowledges it",
        );
    }
    setup.terms.job.addenda = acknowledged(&setup.terms.job.addenda, &old.job.addenda, name.as_deref());
    let progress = Progress::begin("completing and pricing");
    let carried = carried(&setup, &schedule, &old)?;
    for typed in &carried.dropped {
        output::say(&format!(
            "what was typed over for \"{}\" of set {} is not taken up: that set is gone, and another has its number",
            typed.line.words, typed.line.set
        ));
    }
    let before = Answers { questions: carried.stand.clone(), typed: carried.typed.clone(), ..old.told() };
    let mut quote = setup.run(schedule, &told(&args.answers, before, &setup.terms.job.name)?);
    ask_again(&mut quote, &carried);
    quote.taken_up_by = Some(command(args));
    progress.stage("comparing");
    let mut record = write::record(&quote);
    let mut new = Snapshot::parse(&record, "the new record")?;
    let context = Context { is_partial, again: carried.again };
    let mut changes = reprice(&old, &new, &context)?;
    if !changes.is_empty() {
        if quote.terms.change.awarded {
            let sums = Sums {
                contract_before: old.contract(),
                goods_after: new.totals.goods,
                freight: (old.totals.freight, new.totals.freight),
            };
            changes.request = Some(request(&changes.changes, &quote.terms, sums)?);
        }
        let files: Vec<String> = args.files.iter().map(|file| file_name(file)).collect();
        let name = name.unwrap_or_else(|| files.join(", "));
        new.history = extended(&old, &name, &quote.date, &files, &changes);
        changes.tell_steps(&old, &new);
        record = write::record_after(&quote, &new.history);
    } else if !old.history.is_empty() {
        record = write::record_after(&quote, &old.history);
    }
    progress.stage("writing the workbooks");
    let names = Names::new(&args.files, args.out.as_deref())?;
    quote.ways = names.ways(&args.files);
    let mut outputs = vec![
        Output::new(names.path("changes.json"), changes.json().into_bytes()),
        Output::new(names.path("changes.xlsx"), write::changes_book(&changes)?),
    ];
    outputs.extend(quoted(&quote, record, &names)?);
    if quote.terms.change.awarded {
        // After the award nobody is offered the whole anew: the sum of a proposal is not that of the contract.
        let proposal = names.path("proposal.xlsx");
        outputs.retain(|output| output.path != proposal);
    }
    if let Some(request) = &changes.request {
        outputs.push(Output::new(names.path("request.xlsx"), write::request_letter(&quote, request)?));
    }
    drop(progress);
    spare(&names, &args.answers, &quote.answers, args.force)?;
    finish(args, &outputs, &changes)?;
    let removed = left_over(&outputs, &names, args.force);
    output::say(&write::summary(&quote, colour));
    output::say(&format!("{}{removed}", written(&outputs)));
    Ok(if changes.is_empty() { Outcome::Clean } else { Outcome::Open })
}

/// The command that takes up what is filled into the estimate of this addendum: from the record before it, so that nothing
/// is laid over the job twice.
fn command(args: &RepriceArgs) -> String {
    let mut words = vec!["pintle reprice".to_owned(), typed(&args.record)];
    words.extend(args.files.iter().map(|file| typed(file)));
    words.extend(again(&args.files, args.out.as_deref(), &args.job));
    let prices = if args.hold_prices { Prices::AddedCurrent } else { args.prices };
    let mut flag = |is_set: bool, name: &str| words.extend(is_set.then(|| name.to_owned()));
    flag(args.whole, "--whole");
    flag(args.partial, "--partial");
    flag(prices == Prices::Held, "--prices held");
    flag(prices == Prices::AddedCurrent, "--prices added-current");
    words.extend(args.edition.iter().map(|edition| format!("--edition {}", word_quoted(edition))));
    words.extend(args.addendum.iter().map(|name| format!("--addendum {}", word_quoted(name))));
    words.join(" ")
}

/// The file beside which catalog, words and job file are looked for: the addendum, or, where none of them is there, the
/// record, with which they were kept when the bid was made.
fn home(args: &RepriceArgs) -> Option<&Path> {
    let beside = args.files.first().map(PathBuf::as_path);
    let keeps = |file: &Path| Setup::KEPT.iter().any(|name| file.with_file_name(name).exists());
    match beside {
        Some(file) if !keeps(file) && keeps(&args.record) => Some(&args.record),
        _ => beside,
    }
}

/// Terms, catalog and words. Terms come from the job file given or found, else from the record; which edition and which
/// prices, from the arguments.
fn setup(args: &RepriceArgs, old: &Snapshot) -> Result<Setup, String> {
    let prices = if args.hold_prices { Prices::AddedCurrent } else { args.prices };
    let from_record = if old.job_terms.is_empty() {
        Terms::default()
    } else {
        Terms::parse(&old.job_terms, &format!("in {}", args.record.display()))?
    };
    let of_record = prices == Prices::Held && args.edition.is_none() && !old.catalog.effective.is_empty();
    let load = |edition: Option<&str>| {
        let beside = home(args);
        Setup::load_with(&args.job, beside, from_record.clone(), edition.filter(|edition| !edition.is_empty()))
    };
    let missing = |why: &str| {
        let (name, edition) = (&old.catalog.name, &old.catalog.effective);
        format!("the catalog edition of the last quote, {name} of {edition}, is missing{why}")
    };
    let mut setup = if of_record {
        let is_that =
            |setup: &Setup| setup.catalog.effective == old.catalog.effective && setup.catalog.name == old.catalog.name;
        // Surcharges begin and end by the day too, so the day that the last quote was priced on goes first; that quote may
        // have been told an edition of another day.
        let day = from_record.job.bid_date.as_deref().unwrap_or(&old.date);
        let on_the_day = load(Some(day)).ok().filter(is_that);
        let setup = match on_the_day {
            Some(setup) => setup,
            None => load(Some(&old.catalog.effective)).map_err(|error| missing(&format!(": {error}")))?,
        };
        if !is_that(&setup) {
            let here = format!("{} of {}", setup.catalog.name, setup.catalog.effective);
            return Err(missing(&format!(
                "; here is {here}\n  help: give its folder with --catalog, or take the edition in force with --prices \
                 current or --prices added-current"
            )));
        }
        setup
    } else {
        load(args.edition.as_deref())?
    };
    if setup.catalog.name != old.catalog.name && !old.catalog.name.is_empty() {
        output::say(&format!(
            "the catalog is {}, that of the last quote was {}; give the other with --catalog if it is meant",
            setup.catalog.name, old.catalog.name
        ));
    }
    if !old.job_terms.is_empty() && setup.terms.source != old.job_terms {
        output::say("the job terms are other than those of the last quote; these are used");
    }
    if prices != Prices::Current {
        setup.terms.price.held = old.held();
    }
    Ok(setup)
}

/// The new schedule, whole; and whether that was made by laying a part over the old one.
fn schedule(args: &RepriceArgs, old: &Snapshot, setup: &Setup) -> Result<(Schedule, bool), String> {
    let before = old.as_read.schedule();
    let told = Before::of(&before);
    if let Some(amendment) = amendment(&args.files, &setup.terms.read)? {
        if old.as_read.is_empty() {
            return Err(without_schedule(&args.record));
        }
        let mut whole = amended(before, amendment, &setup.lexicon);
        told.carry_to(&mut whole);
        return Ok((whole, true));
    }
    let mut schedule = read(&args.files, &setup.terms.read)?;
    tell_apart(&before, &mut schedule);
    let part = if args.whole { None } else { is_part(&before, &schedule) };
    if !args.partial && part.is_none() {
        return Ok((schedule, false));
    }
    if old.as_read.is_empty() {
        return Err(without_schedule(&args.record));
    }
    if !args.partial && is_foreign(&before, &schedule) {
        return Err(format!(
            "nothing in {} is of the job in {}: no door, no set, and no set that a door names\n  \
             help: give the record of this job; if these are new sets and doors of it, say so with --partial; a list of \
             changes needs a column that says add, delete or revise, and one of doors or of sets (one of both, \
             `Door 116`, `Set 4`, is taken apart)",
            args.files.iter().map(|file| file.display().to_string()).collect::<Vec<_>>().join(", "),
            args.record.display()
        ));
    }
    if let Some(why) = part.filter(|_| !args.partial) {
        output::say(&format!(
            "taken for a part of the job, the rest stays as it was: {why}\n  \
             help: give --whole if it is the whole schedule, --partial to settle it"
        ));
    }
    let mut whole = lay_over(before, schedule);
    told.carry_to(&mut whole);
    Ok((whole, true))
}

/// Two names are two jobs, unless the user settles how the files are to be laid over the record.
fn is_one_job(args: &RepriceArgs, old: &Snapshot, (new, whose): (&str, &str)) -> Result<(), String> {
    let (was, is) = (old.job.name.trim(), new.trim());
    let is_same = was.is_empty() || is.is_empty() || was.to_lowercase() == is.to_lowercase();
    if is_same || args.whole || args.partial {
        return Ok(());
    }
    Err(format!(
        "{} is the record of \"{was}\", and {whose} \"{is}\"\n  \
         help: give the record of this job; if it is one job under a new name, say so with --whole (the whole schedule) or \
         --partial (only what changed)",
        args.record.display()
    ))
}

fn without_schedule(record: &Path) -> String {
    format!(
        "{} does not hold the schedule it was made from, so a part cannot be laid over it\n  \
         help: give the whole re-issued schedule",
        record.display()
    )
}

/// The old answers that stand for the new schedule, and those to be given again.
fn carried(setup: &Setup, schedule: &Schedule, old: &Snapshot) -> Result<Carried, String> {
    if old.answers.is_empty() && old.typed_over.is_empty() {
        return Ok(Carried::default());
    }
    let bare = write::record(&setup.run(schedule.clone(), &Default::default()));
    Ok(carry(old, &Snapshot::parse(&bare, "the new record")?))
}

/// Says beside each question that is asked again what was answered before, and why that does not stand.
fn ask_again(quote: &mut Quote, carried: &Carried) {
    for finding in &mut quote.job.findings {
        if finding.kind == Kind::Question
            && let Some(answer) = carried.again.get(&finding.id)
        {
            finding.says = format!(
                "{} Asked again: \"{answer}\" was answered before, and what it is about has changed.",
                finding.says.trim_end()
            );
        }
    }
}

/// What the addendum is called: as given, or by the name of its file.
fn name_of(args: &RepriceArgs) -> Option<String> {
    args.addendum.clone().or_else(|| args.files.iter().find_map(|file| addendum_named(&file_name(file))))
}

/// What the titles and notes of the new files call the addendum.
fn name_in_titles(schedule: &Schedule) -> Option<String> {
    let titles = schedule.ledger.iter().filter(|row| matches!(row.role, Role::Title | Role::Note));
    titles.filter(|row| row.text.chars().count() < 90).find_map(|row| addendum_named(&row.text))
}

fn file_name(file: &Path) -> String {
    file.file_name().map(|name| name.to_string_lossy().into_owned()).unwrap_or_default()
}

/// What a quote comes out as, with the record as the addendum leaves it.
fn quoted(quote: &Quote, record: String, names: &Names) -> Result<Vec<Output>, String> {
    quote_outputs(write::documents_beside(quote, || record)?, names)
}

/// Two quotes of one job compared as their records tell them.
fn compare_records(args: &RepriceArgs, old: &Snapshot, file: &Path) -> Result<Outcome, String> {
    let new = snapshot(file)?;
    is_one_job(args, old, (&new.job.name, &format!("{} is that of", file.display())))?;
    let changes = reprice(old, &new, &Context::default())?;
    let stem = file_name(file).trim_end_matches(".json").trim_end_matches(".record").to_owned();
    let since = file_name(&args.record).trim_end_matches(".json").trim_end_matches(".record").to_owned();
    let named = file.with_file_name(format!("{stem}-since-{since}"));
    let names = Names::new(&[named], args.out.as_deref())?;
    let outputs = [
        Output::new(names.path("changes.json"), changes.json().into_bytes()),
        Output::new(names.path("changes.xlsx"), write::changes_book(&changes)?),
    ];
    finish(args, &outputs, &changes)?;
    output::say(&written(&outputs));
    Ok(if changes.is_empty() { Outcome::Clean } else { Outcome::Open })
}

/// Saves the outputs, never over the record they are compared with, and prints the changes.
fn finish(args: &RepriceArgs, outputs: &[Output], changes: &Changes) -> Result<(), String> {
    if outputs.iter().any(|output| same_file(&output.path, &args.record)) {
        return Err(format!(
            "the new record would take the place of the old one, {}\n  help: give another folder with --out",
            args.record.display()
        ));
    }
    write::files::save(outputs, args.force)?;
    output::result(&if args.json { changes.json() } else { write::changes_text(changes) });
    Ok(())
}

/// Whether a file is a record, by its first bytes.
fn is_record(file: &Path) -> bool {
    use std::io::Read as _;
    let mut start = [0; 200];
    let read = std::fs::File::open(file).and_then(|mut file| file.read(&mut start)).unwrap_or(0);
    let start = String::from_utf8_lossy(&start[..read]);
    start.trim_start().starts_with('{') && start.contains("pintle.record/")
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

pub fn same_file(one: &Path, two: &Path) -> bool {
    match (one.canonicalize(), two.canonicalize()) {
        (Ok(one), Ok(two)) => one == two,
        _ => false,
    }
}
