//! The chain from the bid over its addenda to this quote: each step with its date, its files and what it did to the total.
//! Every record holds the whole chain, so that any two of them can be compared and the sums told by addendum.

use serde::{Deserialize, Serialize};

use super::changes::Changes;
use super::snapshot::Snapshot;
use crate::money::Money;
use crate::trade::table;

/// One addendum or change.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(default)]
pub struct Step {
    /// Its name: `Addendum 1`.
    pub name: String,
    /// Date of the quote that took it in (ISO).
    pub date: String,
    /// Names of its files.
    pub files: Vec<String>,
    /// The total before it.
    pub before: Money,
    /// What it changed the total by.
    pub delta: Money,
    /// The total after it.
    pub after: Money,
    /// How many changes, findings not counted.
    pub changes: usize,
    /// The difference by cause.
    pub by_cause: Vec<(String, Money)>,
    /// After the award: the contract sum with this change request in it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub contract: Option<Money>,
}

/// The chain of a new quote: that of the old one and the step between the two. A step that changed nothing is none.
pub fn extended(old: &Snapshot, name: &str, date: &str, files: &[String], changes: &Changes) -> Vec<Step> {
    let mut history = old.history.clone();
    let scope = changes.changes.iter().filter(|change| change.what != super::changes::What::Finding).count();
    if changes.is_empty() {
        return history;
    }
    history.push(Step {
        name: name.to_owned(),
        date: date.to_owned(),
        files: files.to_vec(),
        before: changes.totals.before,
        delta: changes.totals.delta,
        after: changes.totals.after,
        changes: scope,
        by_cause: changes.totals.by_cause.clone(),
        contract: changes.request.as_ref().map(|request| request.contract_after),
    });
    history
}

/// The steps between two quotes of one chain; nothing where they are not of one chain.
pub fn between(old: &Snapshot, new: &Snapshot) -> Vec<Step> {
    let known = old.history.len();
    if new.history.len() > known && new.history[..known] == old.history[..] {
        new.history[known..].to_vec()
    } else {
        Vec::new()
    }
}

impl Changes {
    /// Tells the steps between the two quotes, and their sums.
    pub fn tell_steps(&mut self, old: &Snapshot, new: &Snapshot) {
        self.steps = between(old, new);
        self.totals.by_addendum = self.steps.iter().map(|step| (step.name.clone(), step.delta)).collect();
    }
}

impl Snapshot {
    /// The sum agreed so far: the total, or after the award the contract sum with the change requests in it.
    pub fn contract(&self) -> Money {
        self.history.last().and_then(|step| step.contract).unwrap_or(self.totals.total)
    }
}

/// `Addendum 2` for a file named `addendum-2.xlsx`, `ADD 02 doors.xlsx`, `bid-set-addendum-2.csv`; else nothing.
pub fn addendum_named(words: &str) -> Option<String> {
    let lower = words.to_lowercase();
    table::rows(KINDS).iter().find_map(|row| {
        let (begins, kind) = (row.get(0), row.get(1));
        let starts = lower
            .match_indices(begins)
            .map(|(at, _)| at)
            .filter(|at| *at == 0 || !lower[..*at].ends_with(|letter: char| letter.is_alphanumeric()));
        // The first that a number follows: "Addendum log - Addendum 3".
        starts.into_iter().find_map(|at| {
            let rest = lower[at + begins.len()..].trim_start_matches([' ', '-', '_', '.', '#', ':']);
            let rest = rest.strip_prefix("number").or(rest.strip_prefix("no")).unwrap_or(rest);
            let rest = rest.trim_start_matches([' ', '-', '_', '.', '#', ':']);
            let digits: String = rest.chars().take_while(char::is_ascii_digit).collect();
            let number = digits.trim_start_matches('0');
            let goes_on = rest[digits.len()..].starts_with(|letter: char| letter.is_alphanumeric());
            (!number.is_empty() && number.len() < 4 && !goes_on).then(|| format!("{kind} {number}"))
        })
    })
}

/// How an addendum is called in file names and titles, and its name; a longer word before one that it begins with.
const KINDS: &str = include_str!("../../catalogs/trade/issue_names.csv");

/// The number at the end of a name such as `Addendum 1` or `1 (2026-10-02)`, to tell whether two words mean one addendum.
fn number(words: &str) -> String {
    let digits = words.split(|letter: char| !letter.is_ascii_digit()).find(|digits| !digits.is_empty());
    match (addendum_named(words), digits) {
        (Some(name), _) => name.to_lowercase(),
        // A bare number is that of an addendum.
        (None, Some(digits)) if words.trim().starts_with(digits) => {
            format!("addendum {}", digits.trim_start_matches('0'))
        }
        (None, _) => words.trim().to_lowercase(),
    }
}

/// Addenda acknowledged: those of the terms, then those of the record and this one where the terms do not name them.
pub fn acknowledged(terms: &[String], earlier: &[String], this: Option<&str>) -> Vec<String> {
    let mut all = terms.to_vec();
    for one in earlier.iter().map(String::as_str).chain(this) {
        if !all.iter().any(|known| number(known) == number(one)) {
            all.push(one.to_owned());
        }
    }
    all
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_addendum_is_known_by_the_name_of_its_file() {
        let named = |file: &str| addendum_named(file).unwrap_or_default();
        assert_eq!(named("addendum-1.xlsx"), "Addendum 1");
        assert_eq!(named("Quill bid-set Addendum No. 02.xlsx"), "Addendum 2");
        assert_eq!(named("ADD 3 doors.csv"), "Addendum 3");
        assert_eq!(named("bid-set.xlsx"), "");
        assert_eq!(named("ladder-3.xlsx"), "");
        assert_eq!(named("added doors.xlsx"), "");
        assert_eq!(named("Bulletin2.xlsx"), "Bulletin 2");
        assert_eq!(named("DOOR SCHEDULE - ADDENDUM NO. 1  11/10/2026"), "Addendum 1");
        assert_eq!(named("rev-a.xlsx"), "");
        assert_eq!(named("Addendum log - Addendum 3.xlsx"), "Addendum 3");
        assert_eq!(named("1234 Addison Street"), "");
    }

    #[test]
    fn an_addendum_is_acknowledged_once() {
        let terms = ["1 (2026-10-02)".to_owned()];
        assert_eq!(acknowledged(&terms, &["Addendum 1".into()], Some("Addendum 2")), ["1 (2026-10-02)", "Addendum 2"]);
        assert_eq!(acknowledged(&[], &["Addendum 2".into()], Some("Bulletin 2")), ["Addendum 2", "Bulletin 2"]);
    }
}
