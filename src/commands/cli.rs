//! The command line: the only file that knows the argument parser. Help leads with examples.

use std::path::PathBuf;

use clap::{Args, CommandFactory, Parser, Subcommand, ValueEnum};

/// How help is laid out: what it does, examples, then the details.
const TEMPLATE: &str = "{about-with-newline}\n{before-help}{usage-heading} {usage}\n\n{all-args}{after-help}";

const EXIT: &str =
    "Exit status: 0 done, nothing to ask; 1 done and written, with questions or unread rows; 2 could not.";

/// The whole command line.
#[derive(Debug, Parser)]
#[command(
    name = "pintle",
    version,
    about = "Reads an architect's door-hardware schedule, completes it, prices it and writes the quote.",
    help_template = TEMPLATE,
    before_help = "Examples:
  pintle quote bid-set.xlsx                       price a bid set: estimate, proposal, record
  pintle check bid-set.xlsx                       see what is unclear first; writes nothing
  pintle explain \"4-1/2 x 4-1/2 BB heavy 652\"     how a wording is read, and what it costs
  pintle reprice bid-set.record.json addendum-1.xlsx   what an addendum changes, to the cent
",
    after_help = EXIT,
    subcommand_required = true,
    arg_required_else_help = true
)]
pub struct Cli {
    /// What to do.
    #[command(subcommand)]
    pub command: Command,
    /// When to use colour.
    #[arg(long, global = true, value_name = "WHEN", default_value = "auto", help_heading = "Everywhere")]
    pub color: When,
}

/// When to use colour.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum When {
    /// On a terminal, unless NO_COLOR is set.
    Auto,
    /// Always.
    Always,
    /// Never.
    Never,
}

/// The commands.
#[derive(Debug, Subcommand)]
pub enum Command {
    /// Price a bid set: writes the estimate, the customer's proposal and the record.
    #[command(help_template = TEMPLATE, after_help = EXIT, before_help = "Examples:
  pintle quote bid-set.xlsx                        outputs beside the schedule
  pintle quote doors.xlsx sets.csv --out quote     several files make one job
  pintle quote bid-set.xlsx --job job.toml --force  with job terms, replacing an earlier quote
  pintle quote bid-set.xlsx --answers bid-set.estimate.xlsx --force  with what you typed into the estimate
")]
    Quote(QuoteArgs),
    /// Show what is unclear in a bid set, life safety first, then by money; writes nothing.
    #[command(help_template = TEMPLATE, after_help = EXIT, before_help = "Examples:
  pintle check bid-set.xlsx
  pintle check bid-set.xlsx --layout               which table, which column, and why
  pintle check bid-set.xlsx --json > record.json
")]
    Check(CheckArgs),
    /// Show how one wording is read, what is assumed, and what it costs.
    #[command(help_template = TEMPLATE, after_help = "Exit status: 0 understood; 1 something is open or unread; 2 could not.", before_help = "Examples:
  pintle explain \"4-1/2 x 4-1/2 BB heavy 6-wire satin chrome\"
  pintle explain \"mort lock F07 LVR\" --finish US26D
  pintle explain bid-set.xlsx --row 42 --sheet Hardware
  pintle explain doors.csv sets.csv --row 12       a line, a door or any other row of the job
  pintle explain bid-set.xlsx                      every line, most unread first
")]
    Explain(ExplainArgs),
    /// Price a job again after an addendum and show exactly what changed.
    #[command(help_template = TEMPLATE, after_help = "Exit status: 0 nothing changed; 1 changed; 2 could not.", before_help = "Examples:
  pintle reprice bid-set.record.json addendum-2.xlsx
  pintle reprice bid-set.record.json bid-set-rev-a.xlsx --prices held --addendum \"Addendum 2\"
  pintle reprice bid-set.record.json addendum-3.record.json      compare two quotes of the chain
")]
    Reprice(RepriceArgs),
    /// Look after price books: check, list, decode or build a designation.
    #[command(help_template = TEMPLATE, before_help = "Examples:
  pintle catalog list
  pintle catalog check my-catalog
  pintle catalog decode \"HW4545V-W6 652\"
")]
    Catalog {
        /// What to do with the catalog.
        #[command(subcommand)]
        action: CatalogAction,
    },
    /// List the rules, or show the page of one.
    #[command(help_template = TEMPLATE, before_help = "Examples:
  pintle rules
  pintle rules hinge-count
")]
    Rules {
        /// Code of the rule or finding.
        code: Option<String>,
    },
    /// Add a spelling to your own word list.
    #[command(help_template = TEMPLATE, before_help = "Examples:
  pintle teach \"sat chr\" --means \"look=satin-chromium\"
  pintle teach \"big hinge\" --means \"category=hinge; weight=heavy\" --words office-words.txt
")]
    Teach(TeachArgs),
    /// Start a job folder with commented job terms.
    #[command(help_template = TEMPLATE, before_help = "Examples:
  pintle init clinic-job
")]
    Init {
        /// Folder to start; it may exist, files in it are never overwritten.
        #[arg(default_value = ".")]
        folder: PathBuf,
    },
    /// Print a man page or shell completions.
    #[command(help_template = TEMPLATE, before_help = "Examples:
  pintle generate man > pintle.1
  pintle generate bash > pintle.bash
")]
    Generate {
        /// What to print.
        what: Generated,
    },
}

/// What can be generated from the one definition of the command line.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
#[allow(missing_docs, reason = "the names say what they are")]
pub enum Generated {
    Man,
    Bash,
    Zsh,
    Fish,
    Powershell,
}

/// What every command that reads a job takes.
#[derive(Debug, Args)]
pub struct JobArgs {
    /// Job terms. Default: job.toml beside the first file, if there.
    #[arg(long, value_name = "FILE", help_heading = "The job")]
    pub job: Option<PathBuf>,
    /// Catalog folder. Default: a folder named catalog beside the job terms, else the demo catalog inside the program.
    #[arg(long, value_name = "DIR", help_heading = "The job")]
    pub catalog: Option<PathBuf>,
    /// Your own word list, besides words.txt beside the job terms. May be given several times.
    #[arg(long, value_name = "FILE", help_heading = "The job")]
    pub words: Vec<PathBuf>,
    /// Date of the quote (2026-11-25). Default: the job terms' date, else today.
    #[arg(long, value_name = "DATE", help_heading = "The job")]
    pub date: Option<String>,
    /// Switch a rule off, or make its assumption a question: fire-plate=off, silencer=ask. May be given several times.
    #[arg(long, value_name = "CODE=off|ask", help_heading = "The job")]
    pub rule: Vec<String>,
}

/// Arguments of `quote`.
#[derive(Debug, Args)]
pub struct QuoteArgs {
    /// The schedule: one or several spreadsheets or text files.
    #[arg(required = true)]
    pub files: Vec<PathBuf>,
    /// Folder for the outputs. Default: beside the first file.
    #[arg(long, value_name = "DIR")]
    pub out: Option<PathBuf>,
    /// Overwrite outputs that exist.
    #[arg(long)]
    pub force: bool,
    /// Print the record to standard output too.
    #[arg(long)]
    pub json: bool,
    /// Answers and figures typed into an estimate or a list of questions (xlsx, ods), or an earlier record. May be given
    /// several times; the later file counts.
    #[arg(long, value_name = "FILE")]
    pub answers: Vec<PathBuf>,
    /// The job.
    #[command(flatten)]
    pub job: JobArgs,
}

/// Arguments of `check`.
#[derive(Debug, Args)]
pub struct CheckArgs {
    /// The schedule: one or several spreadsheets or text files.
    #[arg(required = true)]
    pub files: Vec<PathBuf>,
    /// Show which tables and columns were chosen, and why.
    #[arg(long)]
    pub layout: bool,
    /// Show every finding, notes and assumptions too.
    #[arg(long)]
    pub all: bool,
    /// Print the record instead.
    #[arg(long)]
    pub json: bool,
    /// Answers and figures typed into an estimate or a list of questions (xlsx, ods), or an earlier record. May be given
    /// several times; the later file counts.
    #[arg(long, value_name = "FILE")]
    pub answers: Vec<PathBuf>,
    /// The job.
    #[command(flatten)]
    pub job: JobArgs,
}

/// Arguments of `explain`.
#[derive(Debug, Args)]
pub struct ExplainArgs {
    /// The wording, or the schedule file; all files of the job where it has several.
    #[arg(required = true, num_args = 1.., value_name = "WORDING")]
    pub wording: Vec<String>,
    /// The finish column beside the wording.
    #[arg(long, value_name = "CELL")]
    pub finish: Option<String>,
    /// With files: the row to explain, a line, a door or any other.
    #[arg(long, value_name = "N")]
    pub row: Option<u32>,
    /// With files: the sheet or the file that the row is on.
    #[arg(long, value_name = "NAME")]
    pub sheet: Option<String>,
    /// Print the line object of the record instead.
    #[arg(long)]
    pub json: bool,
    /// The job.
    #[command(flatten)]
    pub job: JobArgs,
}

/// Arguments of `reprice`.
#[derive(Debug, Args)]
pub struct RepriceArgs {
    /// The record of the last quote.
    pub record: PathBuf,
    /// The re-issued schedule, whole or only what changed; a list of changes (add, delete, revise); or another record, to
    /// compare two.
    #[arg(required = true)]
    pub files: Vec<PathBuf>,
    /// Unit prices: those of the catalog edition in force, those of the last quote and its edition, or those of the last
    /// quote with the edition in force for goods that were not in it.
    #[arg(long, value_name = "WHICH", default_value = "current", help_heading = "Prices")]
    pub prices: Prices,
    /// Keep the unit prices of the last quote: the same as --prices added-current.
    #[arg(long, conflicts_with = "prices", help_heading = "Prices")]
    pub hold_prices: bool,
    /// Use the catalog edition in force on this date. Default: on the bid date.
    #[arg(long, value_name = "DATE", help_heading = "Prices")]
    pub edition: Option<String>,
    /// Name of the addendum, for the chain and the proposal. Default: taken from the name of the first file.
    #[arg(long, value_name = "NAME")]
    pub addendum: Option<String>,
    /// The files hold only what changed: their doors and sets take the place of the old ones, the rest stays.
    #[arg(long, conflicts_with = "whole")]
    pub partial: bool,
    /// The files hold the whole schedule, however little of the old one is in them.
    #[arg(long)]
    pub whole: bool,
    /// Folder for the outputs. Default: beside the first file.
    #[arg(long, value_name = "DIR")]
    pub out: Option<PathBuf>,
    /// Overwrite outputs that exist.
    #[arg(long)]
    pub force: bool,
    /// Print the changes to standard output too.
    #[arg(long)]
    pub json: bool,
    /// Answers and figures typed into an estimate or a list of questions (xlsx, ods), or an earlier record. May be given
    /// several times; the later file counts.
    #[arg(long, value_name = "FILE")]
    pub answers: Vec<PathBuf>,
    /// The job.
    #[command(flatten)]
    pub job: JobArgs,
}

/// Which unit prices a re-priced quote has.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum Prices {
    /// The catalog edition in force.
    Current,
    /// The last quote's, and its edition for what was not in it.
    Held,
    /// The last quote's, and the edition in force for what was not in it.
    AddedCurrent,
}

/// What to do with a catalog.
#[derive(Debug, Subcommand)]
pub enum CatalogAction {
    /// Check a catalog folder; every mistake is shown at once.
    Check {
        /// The folder. Default: the demo catalog.
        folder: Option<PathBuf>,
    },
    /// Make a catalog of a flat price list, or lay its next issue beside the last.
    Import(ImportArgs),
    /// List the product lines.
    List {
        /// The folder. Default: the demo catalog.
        #[arg(long, value_name = "DIR")]
        catalog: Option<PathBuf>,
        /// Only this category.
        category: Option<String>,
    },
    /// Decode a designation into attributes.
    Decode {
        /// The designation.
        designation: String,
        /// The folder. Default: the demo catalog.
        #[arg(long, value_name = "DIR")]
        catalog: Option<PathBuf>,
    },
    /// Build a designation from attributes.
    Build {
        /// Id of the product line (see `catalog list`).
        line: String,
        /// Attributes such as `height=4.5`.
        attributes: Vec<String>,
        /// The folder. Default: the demo catalog.
        #[arg(long, value_name = "DIR")]
        catalog: Option<PathBuf>,
    },
}

/// Arguments of `catalog import`.
#[derive(Debug, Args)]
pub struct ImportArgs {
    /// The price list: a spreadsheet or text file, one row a good.
    pub list: PathBuf,
    /// Catalog folder. Default: beside the list, named like it, with the ending .catalog. A folder that holds an earlier
    /// import gains an edition; its mapping is used again.
    #[arg(long, value_name = "DIR")]
    pub into: Option<PathBuf>,
    /// Mapping file: which column holds what. Default: the one kept by the last import.
    #[arg(long, value_name = "FILE")]
    pub map: Option<PathBuf>,
    /// Maker of the rows that name none. Default: the name of the list.
    #[arg(long)]
    pub maker: Option<String>,
    /// Currency of the prices. Default: USD.
    #[arg(long, value_name = "CODE")]
    pub currency: Option<String>,
    /// Date from which the prices hold. Default: today.
    #[arg(long, value_name = "DATE")]
    pub effective: Option<String>,
    /// Word list of your own; may be given several times.
    #[arg(long, value_name = "FILE")]
    pub words: Vec<PathBuf>,
    /// Take the columns as found without asking.
    #[arg(long)]
    pub yes: bool,
    /// Replace the goods of an edition of the same date.
    #[arg(long)]
    pub force: bool,
}

/// Arguments of `teach`.
#[derive(Debug, Args)]
pub struct TeachArgs {
    /// The words as schedules write them.
    pub spelling: String,
    /// What they mean: `category=hinge; weight=heavy`, or a word that pintle knows already.
    #[arg(long)]
    pub means: String,
    /// Your word list. Default: words.txt here.
    #[arg(long, value_name = "FILE", default_value = "words.txt")]
    pub words: PathBuf,
}

/// The command definition, for man page and completions.
pub fn definition() -> clap::Command {
    Cli::command()
}
