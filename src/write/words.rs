//! Figures and names in words, the same on every page and on the terminal.

use crate::finding::{Finding, Kind};
use crate::money::Money;
use crate::price::quote::Quote;
use crate::terms::RoundAt;
use crate::trade::category::Category;
use crate::trade::facts;

/// `1,234.50`.
pub fn amount(money: Money) -> String {
    let text = money.to_string();
    let (sign, digits) = text.strip_prefix('-').map_or(("", text.as_str()), |digits| ("-", digits));
    let (whole, cents) = digits.split_once('.').unwrap_or((digits, ""));
    let mut grouped = String::new();
    for (at, digit) in whole.chars().enumerate() {
        if at > 0 && (whole.len() - at).is_multiple_of(3) {
            grouped.push(',');
        }
        grouped.push(digit);
    }
    if cents.is_empty() { format!("{sign}{grouped}") } else { format!("{sign}{grouped}.{cents}") }
}

/// `+12.00`, `-3.50`, `0.00`.
pub fn difference(money: Money) -> String {
    let text = amount(money);
    if money > Money::ZERO { format!("+{text}") } else { text }
}

/// How prices are rounded.
pub fn rounding(at: RoundAt) -> &'static str {
    match at {
        RoundAt::Unit => "each unit price half up to the cent, net and sell; extensions are counts times that",
        RoundAt::Extension => "each extension half up to the cent; unit prices to a hundredth of a cent",
    }
}

/// `1 set`, `2 sets`.
pub fn counted(number: usize, one: &str, several: &str) -> String {
    format!("{number} {}", if number == 1 { one } else { several })
}

/// `Mortise lock`.
pub fn title(category: Category) -> &'static str {
    facts::of(category).map_or(category.name(), |facts| facts.title)
}

/// The command that takes up what was filled into the estimate of a quote.
pub fn command(quote: &Quote) -> String {
    let shown = |name: &str| if name.contains([' ', '\'', '&', '(']) { format!("\"{name}\"") } else { name.to_owned() };
    let files: Vec<&str> = quote.job.schedule.inputs.iter().map(|input| &*input.file).collect();
    let first = files.first().copied().unwrap_or("quote");
    let stem = first.rsplit_once('.').map_or(first, |(stem, _)| stem);
    let files: Vec<String> = files.into_iter().map(shown).collect();
    match &quote.taken_up_by {
        Some(command) => format!("{command} --force"),
        None => {
            format!("pintle quote {} --answers {} --force", files.join(" "), shown(&format!("{stem}.estimate.xlsx")))
        }
    }
}

/// The words with a capital at their beginning.
pub fn sentence(words: &str) -> String {
    let mut letters = words.chars();
    letters.next().map_or(String::new(), |first| first.to_uppercase().chain(letters).collect())
}

/// How many answers in words wait to be carried out by a person.
pub fn in_words(findings: &[Finding]) -> usize {
    findings.iter().filter(|finding| finding.code == crate::complete::answers::IN_WORDS).count()
}

/// Questions, in the order of showing: life safety first, then by money.
pub fn questions(findings: &[Finding]) -> Vec<&Finding> {
    findings.iter().filter(|finding| finding.kind == Kind::Question).collect()
}

/// `November 25, 2026` for an ISO date; the text itself if it is none.
pub fn long_date(iso: &str) -> String {
    const MONTHS: [&str; 12] = [
        "January",
        "February",
        "March",
        "April",
        "May",
        "June",
        "July",
        "August",
        "September",
        "October",
        "November",
        "December",
    ];
    let mut parts = iso.split('-');
    let (year, month, day) = (parts.next(), parts.next(), parts.next());
    let month = month.and_then(|month| month.parse::<usize>().ok()).and_then(|month| MONTHS.get(month.wrapping_sub(1)));
    match (year, month, day.and_then(|day| day.parse::<u32>().ok())) {
        (Some(year), Some(month), Some(day)) => format!("{month} {day}, {year}"),
        _ => iso.to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn amounts_are_grouped() {
        let shown = |text: &str| amount(text.parse().unwrap());
        assert_eq!(shown("1234567.5"), "1,234,567.50");
        assert_eq!(shown("-999"), "-999.00");
        assert_eq!(shown("-1000"), "-1,000.00");
        assert_eq!(difference("3.5".parse().unwrap()), "+3.50");
    }

    #[test]
    fn dates_are_written_out() {
        assert_eq!(long_date("2026-11-05"), "November 5, 2026");
        assert_eq!(long_date("soon"), "soon");
    }
}
