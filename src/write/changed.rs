//! What an addendum changed, for the terminal: the bridge from the old total to the new one, then every change.

use crate::reprice::changes::Changes;

use super::words::{amount, difference};

/// The changes as text.
pub fn text(changes: &Changes) -> String {
    let totals = &changes.totals;
    let mut out = String::new();
    if changes.is_empty() {
        out.push_str("nothing changed\n");
    }
    for change in &changes.changes {
        let field = change.field.as_ref().map_or_else(String::new, |field| format!(" {field}"));
        let values = match (&change.from, &change.to) {
            (Some(from), Some(to)) => format!(": {from} -> {to}"),
            (None, Some(to)) => format!(": {to}"),
            (Some(from), None) => format!(": {from}"),
            (None, None) => String::new(),
        };
        out.push_str(&format!(
            "{:>14}  {} {} {}{field}{values}\n",
            difference(change.delta),
            word(&change.kind),
            word(&change.what),
            change.id
        ));
        if !change.why.is_empty() {
            out.push_str(&format!("{:>16}{}\n", "", change.why));
        }
    }
    out.push_str(&format!("\n  before  {:>16}\n", amount(totals.before)));
    for (cause, money) in &totals.by_cause {
        out.push_str(&format!("          {:>16}  {cause}\n", difference(*money)));
    }
    out.push_str(&format!("  after   {:>16}   ({})\n", amount(totals.after), difference(totals.delta)));
    out
}

/// The word that the record of changes has for a kind: a unit variant is one JSON string.
fn word(kind: &impl serde::Serialize) -> String {
    serde_json::to_value(kind).ok().and_then(|value| value.as_str().map(str::to_owned)).unwrap_or_default()
}
