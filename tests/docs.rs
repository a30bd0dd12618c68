//! What README.md and DEVELOPERS.md say holds: command blocks run and print what stands below them, commands exist, paths
//! exist, and the list of outside checks is whole.

use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

fn text(name: &str) -> String {
    fs::read_to_string(root().join(name)).unwrap_or_else(|error| panic!("{name}: {error}"))
}

/// Fenced blocks: the word behind the fence and the lines inside.
fn blocks(text: &str) -> Vec<(String, Vec<String>)> {
    let mut found = Vec::new();
    let mut open: Option<(String, Vec<String>)> = None;
    for line in text.lines() {
        match (line.trim_start().strip_prefix("```"), open.take()) {
            (Some(word), None) => open = Some((word.trim().to_owned(), Vec::new())),
            (Some(_), Some(block)) => found.push(block),
            (None, Some(mut block)) => {
                block.1.push(line.to_owned());
                open = Some(block);
            }
            (None, None) => {}
        }
    }
    assert!(open.is_none(), "a fenced block is not closed");
    found
}

/// What stands between backticks outside fenced blocks.
fn spans(text: &str) -> Vec<String> {
    let mut fenced = false;
    let mut prose = String::new();
    for line in text.lines() {
        if line.trim_start().starts_with("```") {
            fenced = !fenced;
        } else if !fenced {
            prose.push_str(line);
            prose.push('\n');
        }
    }
    prose.split('`').skip(1).step_by(2).map(str::to_owned).collect()
}

/// Arguments of a command line; quotes hold words together.
fn words(line: &str) -> Vec<String> {
    let mut words = Vec::new();
    let mut word = String::new();
    let (mut quoted, mut begun) = (false, false);
    for letter in line.chars() {
        match letter {
            '"' => (quoted, begun) = (!quoted, true),
            letter if letter.is_whitespace() && !quoted => {
                if begun {
                    words.push(std::mem::take(&mut word));
                }
                begun = false;
            }
            letter => {
                word.push(letter);
                begun = true;
            }
        }
    }
    if begun {
        words.push(word);
    }
    words
}

/// The arguments of pintle, if a line calls it.
fn arguments(line: &str) -> Option<Vec<String>> {
    let line = line.trim().trim_start_matches("$ ");
    let rest = line.strip_prefix("cargo run --release -- ").or_else(|| line.strip_prefix("pintle "))?;
    Some(words(rest))
}

fn run(arguments: &[String], folder: &Path) -> (Option<i32>, String) {
    let mut command = Command::new(env!("CARGO_BIN_EXE_pintle"));
    command.args(arguments).current_dir(root());
    if ["quote", "reprice"].contains(&arguments[0].as_str()) && !arguments.iter().any(|word| word == "--out") {
        command.arg("--out").arg(folder);
    }
    let output = command.output().unwrap();
    let printed = [output.stdout, output.stderr].concat();
    (output.status.code(), String::from_utf8_lossy(&printed).into_owned())
}

/// Whether a line of a text block can differ from machine to machine.
fn differs(line: &str) -> bool {
    line.trim().is_empty() || line.trim() == "..." || line.contains("written:") || line.contains("bid-set.")
}

/// Puts what was printed in the place of the first text block that shows the old.
fn rewrite(old: &[String], printed: &str, folder: &Path) {
    let shown = printed.replace(&format!("{}/", folder.display()), "samples/library/");
    let fenced = |inner: &str| format!("```text\n{}\n```", inner.trim_end());
    let page = text("README.md").replacen(&fenced(&old.join("\n")), &fenced(&shown), 1);
    fs::write(root().join("README.md"), page).unwrap();
}

/// `UPDATE=1` writes what is printed into the page.
#[test]
fn the_readme_runs_and_prints_what_it_shows() {
    let folder: PathBuf = std::env::temp_dir().join(format!("pintle-docs-{}", std::process::id()));
    let mut printed = String::new();
    let mut ran = 0;
    for (kind, lines) in blocks(&text("README.md")) {
        match kind.as_str() {
            "console" | "sh" | "bash" => {
                for line in lines.iter().filter(|line| !line.trim().is_empty()) {
                    let Some(arguments) = arguments(line) else {
                        let known = ["cargo test", "cargo install --path .", "cargo bench"];
                        assert!(known.contains(&line.trim()), "README.md: nobody checks `{line}`");
                        continue;
                    };
                    let status;
                    (status, printed) = run(&arguments, &folder);
                    assert!(matches!(status, Some(0 | 1)), "README.md: `{line}` failed:\n{printed}");
                    ran += 1;
                }
            }
            "text" if std::env::var_os("UPDATE").is_some() => rewrite(&lines, &printed, &folder),
            "text" => {
                for line in lines.iter().filter(|line| !differs(line)) {
                    assert!(
                        printed.lines().any(|other| other.trim_end() == line.trim_end()),
                        "README.md shows a line that is not printed (`UPDATE=1 cargo test --test docs` writes what is):\n{line}\nprinted was:\n{printed}"
                    );
                }
            }
            _ => {}
        }
    }
    let _ = fs::remove_dir_all(&folder);
    assert!(ran > 0, "README.md runs nothing");
}

/// Commands named in the prose and tables exist, whatever their files are called.
#[test]
fn every_command_of_the_readme_exists() {
    let mut named = BTreeSet::new();
    for span in spans(&text("README.md")) {
        if let Some(arguments) = arguments(&span) {
            named.insert(arguments[0].clone());
        }
    }
    for command in ["quote", "check", "explain", "reprice", "rules", "catalog", "teach", "init"] {
        assert!(named.contains(command), "README.md does not name `pintle {command}`");
    }
    for command in named {
        let output = Command::new(env!("CARGO_BIN_EXE_pintle")).args([&command, "--help"]).output().unwrap();
        assert_eq!(output.status.code(), Some(0), "README.md names `pintle {command}`, which is not there");
    }
}

#[test]
fn the_readme_leads_with_its_two_commands() {
    let lines: Vec<String> = blocks(&text("README.md"))
        .into_iter()
        .filter(|(kind, _)| ["console", "sh", "bash"].contains(&kind.as_str()))
        .flat_map(|(_, lines)| lines)
        .filter(|line| !line.trim().is_empty())
        .take(2)
        .collect();
    assert_eq!(lines, ["cargo run --release -- quote samples/library/bid-set.xlsx", "cargo test"]);
}

#[test]
fn every_path_of_the_map_exists() {
    let mut paths = 0;
    for name in ["DEVELOPERS.md", "README.md", "tests/outside/README.md", "tests/truth/README.md"] {
        for span in spans(&text(name)) {
            let path = span.split_whitespace().next().unwrap_or_default().trim_end_matches([',', '.', ':']);
            let ours = ["src/", "tests/", "catalogs/", "samples/", ".ci/"].iter().any(|start| path.starts_with(start));
            // `samples/*.txt` and `FOLDER/...` stand for many.
            if !ours || path.contains(['*', '<', '{']) {
                continue;
            }
            assert!(root().join(path).exists(), "{name} names {path}, which is not there");
            paths += 1;
        }
    }
    assert!(paths > 10, "only {paths} paths were found");
}

#[test]
fn the_list_of_outside_checks_is_whole() {
    let listed: BTreeSet<String> = spans(&text("tests/outside/README.md")).into_iter().collect();
    let code = text("tests/outside.rs");
    let tests: BTreeSet<String> = code
        .lines()
        .filter_map(|line| line.strip_prefix("fn outside_"))
        .map(|rest| format!("outside_{}", rest.split('(').next().unwrap_or_default()))
        .collect();
    assert!(!tests.is_empty());
    for test in &tests {
        assert!(listed.contains(test), "tests/outside/README.md does not list {test}");
    }
    for span in &listed {
        let missing = span.starts_with("outside_") && !tests.contains(span)
            || span.ends_with(".py") && !root().join("tests/outside").join(span).exists();
        assert!(!missing, "tests/outside/README.md lists {span}, which is not there");
    }
}
