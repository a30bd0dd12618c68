//! Finds and loads what a job needs: terms, catalog, word lists, date; and runs the rooms in sequence.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use crate::catalog::{Catalog, crossref};
use crate::complete::job::Known;
use crate::complete::{Answers, complete_knowing};
use crate::count::count;
use crate::price::quote::Quote;
use crate::price::{own, price_with};
use crate::read::schedule::Schedule;
use crate::read::{read, sheets};
use crate::reprice::snapshot::Snapshot;
use crate::terms::Terms;
use crate::understand::{Lexicon, understand_sets};
use crate::write::answered;

use super::anew::anew;
use super::cli::JobArgs;

/// Everything that a job needs besides its schedule.
pub struct Setup {
    /// Job terms.
    pub terms: Terms,
    /// The catalog in force on the bid date.
    pub catalog: Catalog,
    /// Word lists.
    pub lexicon: Arc<Lexicon>,
    /// Date of the quote, ISO.
    pub date: String,
}

impl Setup {
    /// What is kept beside the files of a job and found there.
    pub const KEPT: [&str; 4] = ["job.toml", "catalog", crossref::FILE, "words.txt"];

    /// Loads terms, catalog and words; `beside` is the first file of the schedule.
    pub fn load(args: &JobArgs, beside: Option<&Path>) -> Result<Setup, String> {
        Setup::load_with(args, beside, Terms::default(), None)
    }

    /// As `load`, and reads the schedule meanwhile.
    pub fn load_and_read(args: &JobArgs, files: &[PathBuf]) -> Result<(Setup, Schedule), String> {
        let beside = files.first().map(PathBuf::as_path);
        let (setup, schedule) =
            Setup::load_while(args, beside, Terms::default(), None, |terms| read(files, &terms.read))?;
        Ok((setup, schedule?))
    }

    /// As `load`, with the terms to use where there is no job file, and the date whose catalog edition is wanted instead
    /// of that of the bid.
    pub fn load_with(
        args: &JobArgs,
        beside: Option<&Path>,
        otherwise: Terms,
        edition: Option<&str>,
    ) -> Result<Setup, String> {
        Ok(Setup::load_while(args, beside, otherwise, edition, |_| ())?.0)
    }

    /// As `load_with`, with other work done meanwhile that needs the terms alone: catalog and word lists take about as long
    /// to load as a schedule takes to be read.
    fn load_while<T: Send>(
        args: &JobArgs,
        beside: Option<&Path>,
        otherwise: Terms,
        edition: Option<&str>,
        meanwhile: impl FnOnce(&Terms) -> T + Send,
    ) -> Result<(Setup, T), String> {
        let home = beside.and_then(Path::parent).unwrap_or_else(|| Path::new("")).to_owned();
        let job_file = args.job.clone().or_else(|| existing(home.join("job.toml")));
        let mut terms = job_file.as_deref().map_or_else(|| Ok(otherwise), Terms::load)?;
        for flag in &args.rule {
            let (code, word) = flag.split_once('=').ok_or_else(|| {
                format!("--rule {flag} names no choice\n  help: write --rule {flag}=off or --rule {flag}=ask")
            })?;
            terms.rules.insert(code.trim().to_owned(), word.trim().to_owned());
        }
        check_rules(&terms)?;
        check_wall(&mut terms)?;
        let home = job_file.as_deref().and_then(Path::parent).map_or(home, Path::to_owned);
        terms.from.picture =
            terms.from.logo.as_deref().map_or_else(|| Ok(Vec::new()), |logo| picture(&home.join(logo)))?;
        let date = quote_date(args, &terms)?;
        let bid_date = match edition {
            Some(edition) => edition.to_owned(),
            None => terms.job.bid_date.clone().unwrap_or_else(|| date.clone()),
        };
        let bid_date =
            check_date(&bid_date, if edition.is_some() { "--edition" } else { "bid_date of the job terms" })?;
        let job = &mut terms.job;
        for (given, what) in [(&mut job.date, "date"), (&mut job.bid_date, "bid_date"), (&mut job.delivery, "delivery")]
        {
            if let Some(given) = given {
                *given = check_date(given, &format!("{what} of the job terms"))?;
            }
        }
        let goods = || {
            let catalog = match args.catalog.clone().or_else(|| existing(home.join("catalog"))) {
                Some(folder) => Catalog::load(&folder, &bid_date)?,
                None => Catalog::embedded(&bid_date)?,
            };
            let catalog = match existing(home.join(crossref::FILE)) {
                Some(path) => catalog.with_cross_references(&path)?,
                None => catalog,
            };
            catalog.for_class(terms.job.customer_class.as_deref())
        };
        let mut words: Vec<PathBuf> = existing(home.join("words.txt")).into_iter().collect();
        words.extend(args.words.iter().cloned());
        let (catalog, (lexicon, done)) =
            rayon::join(goods, || rayon::join(|| Lexicon::load(&words), || meanwhile(&terms)));
        Ok((Setup { catalog: catalog?, lexicon: Arc::new(lexicon?), terms, date }, done))
    }

    /// Takes a schedule through understanding, completing, counting and pricing.
    pub fn run(&self, schedule: Schedule, answers: &Answers) -> Quote {
        let mut told = answers.clone();
        let terms = own::terms(&self.terms, &mut told.typed);
        let readings = understand_sets(&self.lexicon, &schedule);
        let known = Known { words: Some(self.lexicon.clone()), ..Known::default() };
        let job = complete_knowing(&known, schedule, readings, &self.catalog, &terms, &told);
        let takeoff = count(&job, &self.catalog);
        let anew = anew(self, &known, &job, &told, &terms);
        let mut quote = price_with(job, takeoff, (&self.catalog, &terms), &self.date, &anew);
        told.number(&quote.job.findings);
        quote.answers = told;
        quote
    }
}

/// What the user told in workbooks and records, the later file over the earlier; `before` holds what an earlier record
/// knows, unless an estimate, which shows all that was told, takes its place. `job` is the name of the job at hand.
///
/// # Errors
/// Every cell that cannot be an answer, at once; a workbook of another job.
pub fn told(files: &[PathBuf], before: Answers, job: &str) -> Result<Answers, String> {
    let mut all = before;
    for file in files {
        if file.extension().is_some_and(|ending| ending.eq_ignore_ascii_case("json")) {
            let text = std::fs::read_to_string(file)
                .map_err(|error| format!("cannot read {}: {error}\n  help: check the path", file.display()))?;
            let record = Snapshot::parse(&text, &file.display().to_string())?;
            same_job(file, &record.job.name, job)?;
            all.lay_over(record.told());
            continue;
        }
        let back = answered::answers(&sheets(file)?)?;
        same_job(file, back.job.as_deref().unwrap_or_default(), job)?;
        if back.is_whole {
            all.questions.clear();
            all.typed.clear();
        }
        all.lay_over(back.answers);
    }
    Ok(all)
}

/// Refuses answers of another job.
fn same_job(file: &Path, other: &str, job: &str) -> Result<(), String> {
    if !is_another(other, job) {
        return Ok(());
    }
    Err(format!(
        "{} is of another job, \"{other}\"; this one is \"{job}\"; nothing was taken up or written\n  help: give the file of this \
         job; if only its name was changed, write the new one into the title of the first page of that workbook too",
        file.display()
    ))
}

/// Whether two names of jobs are not of one; a job without a name may be any.
fn is_another(one: &str, other: &str) -> bool {
    let plain = |name: &str| name.split_whitespace().collect::<Vec<_>>().join(" ").to_lowercase();
    let (one, other) = (plain(one), plain(other));
    !one.is_empty() && !other.is_empty() && one != other
}

/// The wall of the job terms, by any word that a schedule may have for it.
fn check_wall(terms: &mut Terms) -> Result<(), String> {
    let Some(written) = &terms.building.default_wall else { return Ok(()) };
    let Some(wall) = crate::read::wall(written) else {
        return Err(format!(
            "building.default_wall is \"{written}\", which no wall is called here\n  help: write masonry, concrete, stud or storefront"
        ));
    };
    terms.building.default_wall = Some(wall.to_owned());
    Ok(())
}

/// Rules that the job terms or flags name must exist, and be switched off or made to ask.
fn check_rules(terms: &Terms) -> Result<(), String> {
    let pages = super::rules::pages();
    for (code, word) in &terms.rules {
        if !pages.iter().any(|page| page.code == code) {
            return Err(super::rules::unknown(code, &pages));
        }
        if !["off", "ask"].contains(&word.trim()) {
            return Err(format!(
                "rule {code} is set to \"{word}\"\n  help: \"off\" switches it off, \"ask\" makes it ask"
            ));
        }
    }
    Ok(())
}

/// The picture of the letterhead.
fn picture(path: &Path) -> Result<Vec<u8>, String> {
    let help = "give a PNG or JPEG file beside the job file, or take the logo out of the job terms";
    let bytes = std::fs::read(path)
        .map_err(|error| format!("cannot read the logo {}: {error}\n  help: {help}", path.display()))?;
    if bytes.starts_with(b"\x89PNG") || bytes.starts_with(b"\xFF\xD8\xFF") {
        return Ok(bytes);
    }
    Err(format!("the logo {} is neither PNG nor JPEG\n  help: {help}", path.display()))
}

/// The path, if something is there.
fn existing(path: PathBuf) -> Option<PathBuf> {
    path.exists().then_some(path)
}

/// The date given, else the job's, else today.
fn quote_date(args: &JobArgs, terms: &Terms) -> Result<String, String> {
    if let Some(date) = &args.date {
        return check_date(date, "--date");
    }
    if let Some(date) = terms.job.date.as_ref().or(terms.job.bid_date.as_ref()) {
        return check_date(date, "date of the job terms");
    }
    Ok(jiff::ZonedDateTime::now().date().to_string())
}

/// A date as it is compared and written, `2026-11-25`, whichever of its forms was given (`20261125`). Refuses what is none.
fn check_date(text: &str, what: &str) -> Result<String, String> {
    text.trim()
        .parse::<jiff::civil::Date>()
        .map(|date| date.to_string())
        .map_err(|_| format!("{what}: \"{text}\" is not a date\n  help: write year, month, day, such as 2026-11-25"))
}

/// A path as it is typed into a terminal.
pub fn typed(path: &Path) -> String {
    let name = path.display().to_string();
    quoted(&name)
}

/// A word in quotes where a terminal would take it apart.
pub fn quoted(word: &str) -> String {
    let plain = |letter: char| letter.is_alphanumeric() || "/\\._-:+@%=,~".contains(letter);
    match word {
        word if word.chars().all(plain) => word.to_owned(),
        word if word.contains(['$', '`', '"']) && !cfg!(windows) => format!("'{}'", word.replace('\'', "'\\''")),
        word => format!("\"{word}\""),
    }
}

/// The words of a command that runs a job again as it was run, with what was filled into its estimate.
pub fn again(files: &[PathBuf], out: Option<&Path>, job: &JobArgs) -> Vec<String> {
    let mut words = Vec::new();
    let mut option = |name: &str, value: String| words.push(format!("{name} {value}"));
    if let Some(out) = out {
        option("--out", typed(out));
    }
    option("--answers", typed(&super::quote::Names::of(files, out).path("estimate.xlsx")));
    for (name, path) in [("--job", &job.job), ("--catalog", &job.catalog)] {
        if let Some(path) = path {
            option(name, typed(path));
        }
    }
    job.words.iter().for_each(|path| option("--words", typed(path)));
    job.date.iter().for_each(|date| option("--date", quoted(date)));
    job.rule.iter().for_each(|rule| option("--rule", quoted(rule)));
    words
}
