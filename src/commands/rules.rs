//! `pintle rules`: lists every code that a finding can carry, or shows the page of one.

use crate::finding::{Kind, Page};

use super::{Outcome, output};

/// Every page of every room, in order of code.
pub fn pages() -> Vec<Page> {
    let mut pages: Vec<Page> =
        [crate::read::PAGES, crate::complete::PAGES, crate::price::PAGES, crate::reprice::PAGES].concat();
    pages.sort_by_key(|page| page.code);
    pages
}

/// Lists the rules, or prints one page.
pub fn run(code: Option<&str>) -> Result<Outcome, String> {
    let pages = pages();
    match code {
        None => output::result(&list(&pages)),
        Some(code) => {
            let page = pages.iter().find(|page| page.code == code).ok_or_else(|| unknown(code, &pages))?;
            output::result(&show(page));
        }
    }
    Ok(Outcome::Clean)
}

/// One line a rule.
fn list(pages: &[Page]) -> String {
    let width = pages.iter().map(|page| page.code.len()).max().unwrap_or(0);
    let mut text: String =
        pages.iter().map(|page| format!("{:width$}  {:10}  {}\n", page.code, page.kind.word(), page.title)).collect();
    text.push_str(&format!(
        "\n{} codes, {} of them questions. `pintle rules CODE` shows the page of one.\n",
        pages.len(),
        pages.iter().filter(|page| page.kind == Kind::Question).count()
    ));
    text
}

/// The page of one rule.
fn show(page: &Page) -> String {
    let mut text = format!("{} ({})\n{}\n", page.code, page.kind.word(), page.title);
    for (label, words) in [
        ("when", page.trigger),
        ("then", page.consequence),
        ("numbers", page.numbers),
        ("source", page.source),
        ("how sure", page.sure),
        ("speaks on", page.fires),
        ("is quiet on", page.quiet),
    ] {
        if !words.is_empty() {
            text.push_str(&format!("\n  {label:<12} {}\n", wrapped(words, 15)));
        }
    }
    text.push_str(&format!("\nSwitch it off for a job with `{} = \"off\"` under [rules] in job.toml.\n", page.code));
    text
}

/// Words broken at 100 columns, later lines indented.
fn wrapped(words: &str, indent: usize) -> String {
    let mut text = String::new();
    let mut column = indent;
    for word in words.split_whitespace() {
        if column + word.len() + 1 > 100 {
            text.push('\n');
            text.push_str(&" ".repeat(indent));
            column = indent;
        } else if !text.is_empty() {
            text.push(' ');
            column += 1;
        }
        text.push_str(word);
        column += word.chars().count();
    }
    text
}

/// The error for a code that does not exist, with the nearest.
pub fn unknown(code: &str, pages: &[Page]) -> String {
    let nearest = pages
        .iter()
        .map(|page| (strsim::osa_distance(code, page.code), page.code))
        .min()
        .map(|(_, near)| format!("; the nearest is `{near}`"))
        .unwrap_or_default();
    format!("there is no rule \"{code}\"{nearest}\n  help: `pintle rules` lists them all")
}
