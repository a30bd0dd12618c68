//! `pintle generate`: man page and shell completions from the one definition of the command line.

use clap_complete::Shell;

use super::cli::{Generated, definition};
use super::{Outcome, output};

/// Prints what is asked for.
pub fn run(what: Generated) -> Result<Outcome, String> {
    let mut command = definition();
    let mut text = Vec::new();
    let shell = match what {
        Generated::Man => None,
        Generated::Bash => Some(Shell::Bash),
        Generated::Zsh => Some(Shell::Zsh),
        Generated::Fish => Some(Shell::Fish),
        Generated::Powershell => Some(Shell::PowerShell),
    };
    match shell {
        Some(shell) => clap_complete::generate(shell, &mut command, "pintle", &mut text),
        None => clap_mangen::Man::new(command)
            .render(&mut text)
            .map_err(|error| format!("cannot make the man page: {error}"))?,
    }
    output::result(&String::from_utf8_lossy(&text));
    Ok(Outcome::Clean)
}
