//! The word lists in order: small letters, no white space around bars, no spelling twice, no meaning twice in one list, no
//! entry without a spelling. `UPDATE=1 cargo test --test words` repairs all of that and sorts the spellings of every entry;
//! what a line means it never changes.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

fn lists() -> Vec<PathBuf> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("catalogs/trade/words");
    let mut lists: Vec<PathBuf> = std::fs::read_dir(&folder)
        .expect("the lists are there")
        .filter_map(|entry| entry.ok().map(|entry| entry.path()))
        .filter(|path| path.extension().is_some_and(|ending| ending == "txt"))
        // The list of words with several meanings has a form of its own, and the README none.
        .filter(|path| !path.ends_with("README.txt") && !path.ends_with("ambiguous.txt"))
        .collect();
    lists.sort();
    assert!(lists.len() > 5, "the lists are found: {lists:?}");
    lists
}

/// A list in order: meanings stay where they first stand, each with all its spellings; remarks stay.
fn in_order(text: &str, sorted: bool) -> String {
    let mut lines: Vec<(String, Vec<String>)> = Vec::new();
    let mut at: BTreeMap<String, usize> = BTreeMap::new();
    for line in text.lines() {
        if line.trim().is_empty() || line.starts_with('#') {
            lines.push((line.trim_end().to_owned(), Vec::new()));
            continue;
        }
        let mut fields = line.split('|').map(str::trim);
        let meaning = fields.next().unwrap_or_default().to_owned();
        let place = *at.entry(meaning.clone()).or_insert(lines.len());
        if place == lines.len() {
            lines.push((meaning, Vec::new()));
        }
        for spelling in fields.map(str::to_lowercase).filter(|spelling| !spelling.is_empty()) {
            if !lines[place].1.contains(&spelling) {
                lines[place].1.push(spelling);
            }
        }
    }
    let mut out = String::new();
    for (head, mut spellings) in lines {
        if sorted {
            spellings.sort();
        }
        spellings.insert(0, head);
        out.push_str(&spellings.join("|"));
        out.push('\n');
    }
    out
}

#[test]
fn the_lists_are_in_order() {
    let update = std::env::var_os("UPDATE").is_some();
    let mut told = Vec::new();
    for path in lists() {
        let text = std::fs::read_to_string(&path).expect("the list can be read");
        if update {
            std::fs::write(&path, in_order(&text, true)).expect("the list can be written");
            continue;
        }
        let wanted = in_order(&text, false);
        let name = path.file_name().and_then(|name| name.to_str()).unwrap_or_default();
        for (line, (is, must)) in text.lines().zip(wanted.lines()).enumerate() {
            if is != must {
                told.push(format!("{name}:{}: {is}\n    must be {must}", line + 1));
                break;
            }
        }
        if told.is_empty() && text.lines().count() != wanted.lines().count() {
            told.push(format!("{name}: a meaning stands in two lines"));
        }
        let bare = text.lines().position(|line| !line.is_empty() && !line.starts_with('#') && !line.contains('|'));
        told.extend(bare.map(|line| format!("{name}:{}: an entry without a spelling", line + 1)));
    }
    assert!(told.is_empty(), "UPDATE=1 cargo test --test words repairs this\n{}", told.join("\n"));
}

#[test]
fn repair_keeps_what_is_meant() {
    let text = "# head\nweight=heavy|Hvy | big|big\npin=removable|loose\nweight=heavy|butt|\n";
    assert_eq!(in_order(text, false), "# head\nweight=heavy|hvy|big|butt\npin=removable|loose\n");
    assert_eq!(in_order(text, true), "# head\nweight=heavy|big|butt|hvy\npin=removable|loose\n");
}
