//! `pintle explain`.

use super::Outcome;
use super::cli::ExplainArgs;

/// Runs the command.
pub fn run(args: &ExplainArgs, colour: bool) -> Result<Outcome, String> {
    let _ = (args, colour);
    Err("not ready".to_owned())
}
