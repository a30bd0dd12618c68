//! What is said to a person, checked as language: no name of the tables, no sign of the program, no article that jars.

use std::sync::OnceLock;

use regex::Regex;

use super::example::completed;
use super::rules::RULES;
use super::spec::Completed;
use crate::finding::Page;
use crate::trade::wording;

/// What is wrong with a text; `None` where nothing is. What stands in backticks is to be typed as it is, and what stands in
/// quotation marks are words of the file.
pub fn fault(text: &str) -> Option<&'static str> {
    static QUOTED: OnceLock<Regex> = OnceLock::new();
    static ARTICLE: OnceLock<Regex> = OnceLock::new();
    static DOUBLED: OnceLock<Regex> = OnceLock::new();
    let once = |cell: &'static OnceLock<Regex>, pattern: &str| cell.get_or_init(|| Regex::new(pattern).unwrap());
    let plain = once(&QUOTED, "`[^`]*`|\"[^\"]*\"").replace_all(text, "…").into_owned();
    if plain.contains('_') {
        return Some("an underscore");
    }
    let words: Vec<&str> = plain.split_whitespace().collect();
    for pair in words.windows(2) {
        let article = pair[0].trim_start_matches(|letter: char| !letter.is_alphanumeric());
        let next = pair[1].trim_start_matches(|letter: char| !letter.is_alphanumeric());
        let named = next.starts_with(|letter: char| letter.is_ascii_lowercase());
        let wanted = wording::with_article(next);
        if named && (article == "a" || article == "an") && !wanted.starts_with(&format!("{article} ")) {
            return Some("an article that does not go with its word");
        }
    }
    if once(&ARTICLE, r"\b(true|false|null|None|Some)\b").is_match(&plain) {
        return Some("a value as the program writes it");
    }
    if once(&DOUBLED, r"\b[a-z]+=[a-z0-9]").is_match(&plain) {
        return Some("an assignment");
    }
    let doubled = words.windows(2).any(|pair| pair[0] == pair[1] && pair[0].chars().all(char::is_alphabetic));
    if doubled { Some("a word twice") } else { None }
}

/// Every text of a completed job that a person reads.
fn texts(job: &Completed) -> Vec<String> {
    let mut all = Vec::new();
    for finding in &job.findings {
        all.extend([&finding.says, &finding.help, &finding.priced_as].map(Clone::clone));
        all.extend(finding.answers.iter().map(|answer| answer.value.clone()));
    }
    all.extend(job.added.iter().map(|added| added.why.clone()));
    all.extend(job.preps.iter().flat_map(|prep| [prep.what.clone(), prep.detail.clone(), prep.trade.to_string()]));
    all
}

#[test]
fn everything_that_rules_say_is_language() {
    let mut wrong = Vec::new();
    for rule in RULES {
        for text in [rule.fires, rule.quiet].into_iter().flat_map(|example| texts(&completed(example))) {
            if let Some(why) = fault(&text) {
                wrong.push(format!("{}: {why}: {text}", rule.page.code));
            }
        }
    }
    wrong.sort();
    wrong.dedup();
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn every_page_is_language() {
    let of = |page: &Page| [page.title, page.trigger, page.consequence, page.numbers, page.fires, page.quiet];
    let wrong: Vec<String> = super::PAGES
        .iter()
        .flat_map(|page| of(page).map(|text| (page.code, text)))
        .filter_map(|(code, text)| Some(format!("{code}: {}: {text}", fault(text)?)))
        .collect();
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn faults_are_found() {
    for wrong in
        ["removable key_removable", "a armor plate", "an closer", "indicator true", "kind=smoke", "the the door"]
    {
        assert!(fault(wrong).is_some(), "{wrong}");
    }
    for right in ["an 8 wire hinge", "a unit", "write `power_supplies`", "taken as \"a open_door\"", "an exit device"] {
        assert_eq!(fault(right), None, "{right}");
    }
}
