//! `pintle reprice`.

use super::Outcome;
use super::cli::RepriceArgs;

/// Runs the command.
pub fn run(args: &RepriceArgs, colour: bool) -> Result<Outcome, String> {
    let _ = (args, colour);
    Err("not ready".to_owned())
}
