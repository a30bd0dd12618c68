//! The only place that prints: results to standard output, everything else to standard error. A closed pipe is quiet.

use std::io::{IsTerminal, Write};

use super::cli::When;

/// Prints a result. A reader that went away is no error.
pub fn result(text: &str) {
    let mut out = std::io::stdout().lock();
    // A closed pipe (`| head`) ends the printing quietly; there is nobody left to tell.
    let _ = out.write_all(text.as_bytes()).and_then(|()| out.write_all(if text.ends_with('\n') { b"" } else { b"\n" }));
    let _ = out.flush();
}

/// Prints progress, findings, summaries.
pub fn say(text: &str) {
    if !text.is_empty() {
        to_error(text);
    }
}

/// Prints an error that ends the run.
pub fn error(text: &str) {
    to_error(&format!("error: {text}"));
}

/// Prints to standard error; a reader that went away is no error there either.
fn to_error(text: &str) {
    let mut out = std::io::stderr().lock();
    // Nobody is left to tell that nobody reads.
    let _ = writeln!(out, "{}", text.trim_end_matches('\n'));
}

/// Whether to colour what goes to standard error.
pub fn colour(when: When) -> bool {
    colours(when, std::io::stderr().is_terminal())
}

/// Whether to colour the result, which goes to standard output: into a file or another program without colours.
pub fn colour_of_result(when: When) -> bool {
    colours(when, std::io::stdout().is_terminal())
}

fn colours(when: When, is_terminal: bool) -> bool {
    match when {
        When::Always => true,
        When::Never => false,
        When::Auto => {
            is_terminal
                && std::env::var_os("NO_COLOR").is_none_or(|value| value.is_empty())
                && std::env::var_os("TERM").is_none_or(|value| value != "dumb")
        }
    }
}
