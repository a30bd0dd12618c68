//! The program as a user runs it: arguments in, exit status, standard output, standard error and files out.

use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};

fn pintle(folder: &Path, arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_pintle"))
        .current_dir(folder)
        .env("NO_COLOR", "1")
        .args(arguments)
        .output()
        .expect("the program was built beside this test")
}

fn folder(name: &str) -> PathBuf {
    let folder = std::env::temp_dir().join(format!("pintle-commands-{name}-{}", std::process::id()));
    let _ = fs::remove_dir_all(&folder);
    fs::create_dir_all(&folder).unwrap();
    folder
}

fn stderr(output: &Output) -> String {
    String::from_utf8_lossy(&output.stderr).into_owned()
}

fn stdout(output: &Output) -> String {
    String::from_utf8_lossy(&output.stdout).into_owned()
}

const DOORS: &str = "Door,Width,Height,Door Matl,Frame Matl,Fire Rating,HW Set\n\
                     101,\"3'-0\"\"\",\"7'-0\"\"\",HM,HM,,1\n102,\"3'-0\"\"\",\"7'-0\"\"\",HM,HM,,1\n";
const SETS: &str = "Set,Qty,Unit,Description,Finish\n\
                    1,3,EA,Hinge 4-1/2 x 4-1/2 BB standard weight,652\n1,1,EA,Passage set bored lock F75,626\n\
                    1,1,EA,Wall stop concave,630\n1,3,EA,Silencers,GREY\n";

fn small_job(name: &str) -> PathBuf {
    let folder = folder(name);
    fs::write(folder.join("doors.csv"), DOORS).unwrap();
    fs::write(folder.join("sets.csv"), SETS).unwrap();
    folder
}

#[test]
fn without_a_command_help_goes_to_standard_error_with_status_2() {
    let run = pintle(&folder("none"), &[]);
    assert_eq!(run.status.code(), Some(2));
    assert!(stdout(&run).is_empty());
    assert!(stderr(&run).contains("Examples:"));
}

#[test]
fn every_help_leads_with_examples() {
    for command in ["quote", "check", "explain", "reprice", "catalog", "rules", "teach", "init", "generate"] {
        let run = pintle(&folder("help"), &[command, "--help"]);
        assert_eq!(run.status.code(), Some(0), "{command}");
        let help = stdout(&run);
        let examples = help.find("Examples:").unwrap_or_else(|| panic!("{command}: no examples"));
        assert!(examples < help.find("Usage:").unwrap(), "{command}: examples come first");
    }
}

#[test]
fn bad_input_gives_one_clear_error_and_leaves_nothing_behind() {
    let folder = folder("bad");
    fs::write(folder.join("noise.xlsx"), b"this is no workbook at all").unwrap();
    fs::write(folder.join("cut.xlsx"), b"PK\x03\x04\x14\x00\x00\x00\x08\x00").unwrap();
    fs::write(folder.join("empty.csv"), b"").unwrap();
    fs::write(folder.join("letter.csv"), b"Dear all,\nplease find attached our offer\nregards\n").unwrap();
    fs::write(folder.join("picture.xlsx"), b"\x89PNG\r\n\x1a\n0000").unwrap();
    let before = fs::read_dir(&folder).unwrap().count();
    for file in ["missing.xlsx", "noise.xlsx", "cut.xlsx", "empty.csv", "letter.csv", "picture.xlsx", "."] {
        let run = pintle(&folder, &["quote", file]);
        assert_eq!(run.status.code(), Some(2), "{file}: {}", stderr(&run));
        let message = stderr(&run);
        assert!(message.starts_with("error: "), "{file}: {message}");
        assert!(message.contains("help:"), "{file} says what to do: {message}");
        if file != "." {
            assert!(message.contains(file), "{file} is named: {message}");
        }
        assert!(!message.contains("panicked"), "{file}: {message}");
    }
    assert_eq!(fs::read_dir(&folder).unwrap().count(), before, "no output was left");
}

#[test]
fn a_workbook_with_a_password_is_said_to_have_one() {
    let folder = folder("password");
    // An encrypted workbook is an old-style container with a stream of this name, spelled in UTF-16.
    let mut bytes = vec![0xD0, 0xCF, 0x11, 0xE0, 0xA1, 0xB1, 0x1A, 0xE1];
    bytes.resize(1024, 0);
    bytes.extend("EncryptedPackage".bytes().flat_map(|letter| [letter, 0]));
    bytes.resize(4096, 0);
    fs::write(folder.join("locked.xlsx"), bytes).unwrap();
    let run = pintle(&folder, &["quote", "locked.xlsx"]);
    assert_eq!(run.status.code(), Some(2));
    let message = stderr(&run);
    assert!(message.contains("locked.xlsx: is protected by a password") && message.contains("help:"), "{message}");
    assert_eq!(fs::read_dir(&folder).unwrap().count(), 1, "no output was left");
}

#[test]
fn a_quote_writes_three_files_and_does_not_overwrite_changed_ones() {
    let folder = small_job("three");
    let quote = ["quote", "doors.csv", "sets.csv", "--out", "out", "--date", "2026-11-25"];
    let run = pintle(&folder, &quote);
    assert!(matches!(run.status.code(), Some(0 | 1)), "{}", stderr(&run));
    let mut names: Vec<String> = fs::read_dir(folder.join("out"))
        .unwrap()
        .map(|entry| entry.unwrap().file_name().to_string_lossy().into_owned())
        .collect();
    names.sort();
    for ending in ["estimate.xlsx", "proposal.xlsx", "record.json"] {
        assert!(names.iter().any(|name| name.ends_with(ending)), "{names:?}");
    }
    // The same again changes nothing and is no error; another content is refused without --force.
    assert!(matches!(pintle(&folder, &quote).status.code(), Some(0 | 1)));
    let estimate = folder.join("out").join("doors.estimate.xlsx");
    fs::write(&estimate, b"somebody's own work").unwrap();
    let refused = pintle(&folder, &quote);
    assert_eq!(refused.status.code(), Some(2));
    assert!(stderr(&refused).contains("--force"), "{}", stderr(&refused));
    assert_eq!(fs::read(&estimate).unwrap(), b"somebody's own work");
    let forced: Vec<&str> = quote.iter().copied().chain(["--force"]).collect();
    assert!(matches!(pintle(&folder, &forced).status.code(), Some(0 | 1)));
    assert!(fs::read(&estimate).unwrap().starts_with(b"PK"));
}

#[test]
fn json_goes_to_standard_output_alone_and_counts_the_goods() {
    let folder = small_job("json");
    let run = pintle(&folder, &["check", "doors.csv", "sets.csv", "--json"]);
    let record: serde_json::Value = serde_json::from_str(&stdout(&run)).expect("standard output is JSON alone");
    assert_eq!(record["schema"], "pintle.record/1");
    assert_eq!(record["openings"].as_array().unwrap().len(), 2);
    let lines = record["sets"][0]["lines"].as_array().unwrap();
    assert_eq!(lines[0]["category"], "hinge");
    assert_eq!(lines[0]["count"], "6");
    assert_eq!(lines[0]["attributes"]["finish"], "652");
    assert_eq!(record["ledger"].as_array().unwrap().len(), 8, "every row of both files");
    assert_eq!(fs::read_dir(&folder).unwrap().count(), 2, "check writes nothing");
}

#[test]
fn two_runs_give_the_same_bytes() {
    let folder = small_job("same");
    let names = ["doors.estimate.xlsx", "doors.proposal.xlsx", "doors.record.json"];
    let run = || {
        pintle(&folder, &["quote", "doors.csv", "sets.csv", "--out", "a", "--date", "2026-11-25", "--force"]);
        names.map(|name| fs::read(folder.join("a").join(name)).unwrap())
    };
    let (first, second) = (run(), run());
    for (at, name) in names.iter().enumerate() {
        assert!(first[at] == second[at], "{name} differs between two runs");
    }
}

#[test]
fn the_wording_of_the_front_page_is_explained() {
    let run = pintle(&folder("explain"), &["explain", "4-1/2 x 4-1/2 BB heavy 6-wire satin chrome", "--json"]);
    let line: serde_json::Value = serde_json::from_str(&stdout(&run)).expect("one line object");
    assert_eq!(line["category"], "hinge");
    for (attribute, value) in [
        ("height", "4.5"),
        ("width", "4.5"),
        ("bearing", "ball"),
        ("weight", "heavy"),
        ("finish", "652"),
        ("base", "steel"),
    ] {
        assert_eq!(line["attributes"][attribute], value, "{attribute}");
    }
    let conductors = &line["attributes"]["conductors"];
    assert!(conductors == "6" || conductors == 6, "{conductors}");
    assert_eq!(line["unread"].as_array().map(Vec::len), Some(0), "{}", line["unread"]);
}

#[test]
fn rules_list_and_show_pages() {
    let list = pintle(&folder("rules"), &["rules"]);
    assert_eq!(list.status.code(), Some(0));
    let text = stdout(&list);
    let codes: Vec<&str> =
        text.lines().take_while(|line| !line.is_empty()).filter_map(|line| line.split_whitespace().next()).collect();
    assert!(codes.len() > 20, "{text}");
    for code in codes {
        let page = pintle(&folder("page"), &["rules", code]);
        assert_eq!(page.status.code(), Some(0), "{code}");
        let page = stdout(&page);
        for part in ["when", "then", "source", "how sure", "speaks on", "is quiet on"] {
            assert!(page.contains(part), "{code} lacks {part}: {page}");
        }
    }
    let wrong = pintle(&folder("wrong"), &["rules", "hinge-cuont"]);
    assert_eq!(wrong.status.code(), Some(2));
    assert!(stderr(&wrong).contains("`hinge-count`"), "{}", stderr(&wrong));
}

#[test]
fn init_starts_a_folder_and_never_overwrites() {
    let folder = folder("init");
    assert_eq!(pintle(&folder, &["init", "job"]).status.code(), Some(0));
    let terms = folder.join("job").join("job.toml");
    fs::write(&terms, "[job]\nname = \"kept\"\n").unwrap();
    assert_eq!(pintle(&folder, &["init", "job"]).status.code(), Some(0));
    assert!(fs::read_to_string(&terms).unwrap().contains("kept"));
}

#[test]
fn broken_job_terms_name_file_line_and_key() {
    let folder = small_job("terms");
    fs::write(folder.join("job.toml"), "[price]\nrate = 0.25\n").unwrap();
    let run = pintle(&folder, &["quote", "doors.csv", "sets.csv"]);
    assert_eq!(run.status.code(), Some(2));
    let message = stderr(&run);
    assert!(message.contains("job.toml") && message.contains("line 2"), "{message}");
    assert!(message.contains("quotes"), "says how to write it: {message}");
}

#[test]
fn man_page_and_completions_come_from_the_one_definition() {
    for what in ["man", "bash", "zsh", "fish", "powershell"] {
        let run = pintle(&folder("generate"), &["generate", what]);
        assert_eq!(run.status.code(), Some(0), "{what}");
        assert!(stdout(&run).contains("reprice"), "{what}");
    }
}
