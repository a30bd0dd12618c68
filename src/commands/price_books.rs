//! `pintle catalog`: looks after price books.

use super::Outcome;
use super::cli::CatalogAction;

/// Runs the command.
pub fn run(action: &CatalogAction) -> Result<Outcome, String> {
    let _ = action;
    Err("not ready".to_owned())
}
