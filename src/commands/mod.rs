//! The commands: the only place that calls rooms in sequence. One file per command.
//!
//! In: arguments. Out: files, text, an exit status. To add a command: a variant in `cli`, a file here, an arm in `run`.

mod anew;
mod check;
pub mod cli;
mod explain;
mod generate;
mod import;
mod init;
mod output;
mod price_books;
mod progress;
mod quote;
mod reprice;
mod rules;
mod setup;
mod teach;

use clap::Parser as _;

use cli::{Cli, Command};
pub use rules::pages;

/// How a run ended when it did not fail.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Outcome {
    /// Nothing left to ask; for `reprice`: nothing changed.
    Clean,
    /// Done, with questions, unread rows or changes.
    Open,
}

/// Runs the program with the arguments of the process; gives its exit status.
pub fn run() -> u8 {
    let cli = match Cli::try_parse() {
        Ok(cli) => cli,
        Err(error) => {
            // Help and version go to standard output with status 0; anything else is a wrong call, status 2.
            let _ = error.print();
            return if error.use_stderr() { 2 } else { 0 };
        }
    };
    let colour = output::colour(cli.color);
    // The first thread works along instead of waiting for the others: the allocator keeps a heap for each that works, and a
    // tenth of the memory of a large job lay idle in one more. Without the pool all work is done in the usual one.
    let _ = rayon::ThreadPoolBuilder::new().use_current_thread().build_global();
    let outcome = match cli.command {
        Command::Quote(args) => quote::run(&args, colour),
        Command::Check(args) => check::run(&args, colour, output::colour_of_result(cli.color)),
        Command::Explain(args) => explain::run(&args, colour),
        Command::Reprice(args) => reprice::run(&args, colour),
        Command::Catalog { action } => price_books::run(&action),
        Command::Rules { code } => rules::run(code.as_deref()),
        Command::Teach(args) => teach::run(&args),
        Command::Init { folder } => init::run(&folder),
        Command::Generate { what } => generate::run(what),
    };
    match outcome {
        Ok(Outcome::Clean) => 0,
        Ok(Outcome::Open) => 1,
        Err(message) => {
            output::error(&message);
            2
        }
    }
}
