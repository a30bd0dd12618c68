//! `pintle init`: starts a job folder with commented job terms, a word list and a cross reference of one's own. Never overwrites.

use std::path::Path;

use super::{Outcome, output};

/// The commented job terms; a test reads them back with every line uncommented.
const JOB: &str = include_str!("../../catalogs/job-template.toml");
/// The head of one's own word list.
const WORDS: &str = include_str!("../../catalogs/words-template.txt");
/// The head of one's own cross reference.
const CROSS: &str = include_str!("../../catalogs/crossref-template.csv");

/// Writes the files that are not there yet.
pub fn run(folder: &Path) -> Result<Outcome, String> {
    std::fs::create_dir_all(folder).map_err(|error| {
        format!("cannot make folder {}: {error}\n  help: choose a folder you may write to", folder.display())
    })?;
    for (name, text) in [("job.toml", JOB), ("words.txt", WORDS), ("crossref.csv", CROSS)] {
        let path = folder.join(name);
        match std::fs::OpenOptions::new().write(true).create_new(true).open(&path) {
            Ok(mut file) => {
                std::io::Write::write_all(&mut file, text.as_bytes())
                    .map_err(|error| format!("cannot write {}: {error}", path.display()))?;
                output::say(&format!("wrote {}", path.display()));
            }
            Err(error) if error.kind() == std::io::ErrorKind::AlreadyExists => {
                output::say(&format!("{} is there already; left as it is", path.display()));
            }
            Err(error) => return Err(format!("cannot write {}: {error}", path.display())),
        }
    }
    output::say("next: put the schedule there, fill in job.toml, then `pintle quote SCHEDULE.xlsx`");
    Ok(Outcome::Clean)
}

#[cfg(test)]
mod tests {
    use crate::terms::Terms;

    #[test]
    fn the_template_is_valid_as_written_and_with_every_key_set() {
        Terms::parse(super::JOB, "template").unwrap();
        let all: String =
            super::JOB.lines().map(|line| line.strip_prefix("#= ").unwrap_or(line)).collect::<Vec<_>>().join("\n");
        let terms = Terms::parse(&all, "template with every key").unwrap();
        assert!(!terms.read.is_empty() && !terms.alternates.is_empty() && !terms.allowances.is_empty());
    }
}
