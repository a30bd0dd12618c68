//! `pintle teach`: adds a spelling to one's own word list, after reading it back to see that it is understood.

use std::fs;
use std::path::Path;

use crate::understand::Lexicon;
use crate::write::files::{Output, save};

use super::cli::TeachArgs;
use super::{Outcome, output};

/// Runs the command.
pub fn run(args: &TeachArgs) -> Result<Outcome, String> {
    let spelling = args.spelling.trim().to_lowercase();
    if spelling.is_empty() || spelling.contains('|') {
        return Err(
            "the spelling is empty or holds a bar\n  help: give the words as the schedule writes them".to_owned()
        );
    }
    if args.means.contains('|') {
        return Err("the meaning holds a bar\n  help: teach one spelling at a time".to_owned());
    }
    let before = Lexicon::load(&[])?.means(&spelling);
    let old = match fs::read_to_string(&args.words) {
        Ok(text) => text,
        Err(error) if error.kind() == std::io::ErrorKind::NotFound => {
            include_str!("../../catalogs/words-template.txt").to_owned()
        }
        Err(error) => return Err(format!("cannot read {}: {error}", args.words.display())),
    };
    let (rest, other) = without(&old, args.means.trim(), &spelling);
    let text = with_entry(&rest, args.means.trim(), &spelling);
    if try_out(&args.words, &text)?.means(&spelling).is_empty() {
        return Err(format!(
            "\"{spelling}\" holds nothing that can be read\n  help: give letters or digits, as the schedule writes them"
        ));
    }
    save(&[Output::new(args.words.clone(), text.into_bytes())], true)?;
    output::say(&format!("{}: \"{spelling}\" now means {}", args.words.display(), args.means.trim()));
    for means in other {
        output::say(&format!("  in this list it meant {means} before; that was taken out"));
    }
    for by in before {
        output::say(&format!("  before, it was read by {by}"));
    }
    output::say(&format!("see it: pintle explain \"{spelling}\" --words {}", args.words.display()));
    Ok(Outcome::Clean)
}

/// The list without the spelling on lines of another meaning, and those meanings: the first line that has it would win.
fn without(old: &str, means: &str, spelling: &str) -> (String, Vec<String>) {
    let mut other = Vec::new();
    let keep = |line: &str| {
        let mut parts = line.split('|');
        let meaning = parts.next().unwrap_or_default().trim();
        let spellings: Vec<&str> = parts.collect();
        let known = |part: &&str| part.trim().eq_ignore_ascii_case(spelling);
        if line.trim_start().starts_with('#') || meaning == means || !spellings.iter().any(known) {
            return Some(line.to_owned());
        }
        other.push(meaning.to_owned());
        let rest: Vec<&str> = spellings.into_iter().filter(|part| !known(part)).collect();
        (!rest.is_empty()).then(|| format!("{meaning}|{}", rest.join("|")))
    };
    let lines: Vec<String> = old.lines().filter_map(keep).collect();
    (lines.join("\n") + "\n", other)
}

/// The list with one spelling more: on the line of the same meaning, or on a new one.
fn with_entry(old: &str, means: &str, spelling: &str) -> String {
    let mut found = false;
    let mut lines: Vec<String> = old
        .lines()
        .map(|line| {
            let mut parts = line.split('|').map(str::trim);
            if parts.next() != Some(means) {
                return line.to_owned();
            }
            found = true;
            if parts.any(|known| known == spelling) { line.to_owned() } else { format!("{line}|{spelling}") }
        })
        .collect();
    if !found {
        lines.push(format!("{means}|{spelling}"));
    }
    lines.join("\n") + "\n"
}

/// Loads the new list from a temporary place, so that a broken entry never reaches the user's file.
fn try_out(words: &Path, text: &str) -> Result<Lexicon, String> {
    let trial = std::env::temp_dir().join(format!("pintle-words-{}.txt", std::process::id()));
    fs::write(&trial, text).map_err(|error| format!("cannot write {}: {error}", trial.display()))?;
    let result = Lexicon::load(std::slice::from_ref(&trial));
    // The trial file is ours alone; if it can't be removed, the system's own cleaning will.
    let _ = fs::remove_file(&trial);
    result.map_err(|message| message.replace(&trial.display().to_string(), &words.display().to_string()))
}

#[cfg(test)]
mod tests {
    use super::{with_entry, without};

    #[test]
    fn a_spelling_taught_anew_leaves_its_old_meaning() {
        let old = "# category=hinge|ws\ncategory=gasketing|ws|w.s.\ncategory=pull|WS\n";
        let (rest, other) = without(old, "category=stop", "ws");
        assert_eq!(rest, "# category=hinge|ws\ncategory=gasketing|w.s.\n");
        assert_eq!(other, ["category=gasketing", "category=pull"]);
        assert_eq!(without("weight=heavy|big\n", "weight=heavy", "big").1, Vec::<String>::new());
    }

    #[test]
    fn a_spelling_joins_the_line_of_its_meaning() {
        assert_eq!(with_entry("# head\nweight=heavy|hvy\n", "weight=heavy", "big"), "# head\nweight=heavy|hvy|big\n");
        assert_eq!(with_entry("", "weight=heavy", "big"), "weight=heavy|big\n");
        assert_eq!(with_entry("weight=heavy|big\n", "weight=heavy", "big"), "weight=heavy|big\n");
    }
}
