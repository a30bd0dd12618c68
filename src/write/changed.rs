//! What an addendum changed, for the terminal: the bridge from the old total to the new one, then every change.

use crate::reprice::changes::{Change, Changes, Happened, What};

use super::words::{amount, difference};

/// The changes as text.
pub fn text(changes: &Changes) -> String {
    let totals = &changes.totals;
    let mut out = String::new();
    if changes.is_empty() {
        out.push_str("nothing changed\n");
    }
    let (findings, rest): (Vec<&Change>, Vec<&Change>) =
        changes.changes.iter().partition(|change| change.what == What::Finding);
    for things in rest.chunk_by(|one, next| (one.kind, one.what, &one.id) == (next.kind, next.what, &next.id)) {
        thing(things, &mut out);
    }
    asked(&findings, &mut out);
    out.push_str(&format!("\n  before  {:>16}\n", amount(totals.before)));
    for (cause, money) in &totals.by_cause {
        out.push_str(&format!("          {:>16}  {cause}\n", difference(*money)));
    }
    out.push_str(&format!("  after   {:>16}   ({})\n", amount(totals.after), difference(totals.delta)));
    if let Some(request) = &changes.request {
        out.push_str(&format!(
            "\n  after the award the change request counts, not the difference of two bids\n  request {:>16}\n  contract{:>16}   ({} before)\n",
            difference(request.net),
            amount(request.contract_after),
            amount(request.contract_before)
        ));
    }
    out
}

/// One thing that changed, with all that changed about it.
fn thing(changes: &[&Change], out: &mut String) {
    let Some(first) = changes.first() else { return };
    let delta = changes.iter().map(|change| change.delta).sum();
    out.push_str(&format!("{:>14}  {} {} {}\n", difference(delta), first.kind.word(), first.what.word(), first.id));
    for change in changes {
        let field = change.field.as_deref().unwrap_or_default().replace('_', " ");
        let values = match (&change.from, &change.to) {
            (Some(from), Some(to)) => format!("{} -> {}", said(from), said(to)),
            (None, Some(one)) | (Some(one), None) => said(one).to_owned(),
            (None, None) => continue,
        };
        out.push_str(&format!("{:>18}{field} {values}\n", ""));
    }
    let mut reasons: Vec<&str> =
        changes.iter().map(|change| change.why.as_str()).filter(|why| !why.is_empty()).collect();
    reasons.dedup();
    for why in reasons {
        out.push_str(&format!("{:>16}({why})\n", ""));
    }
}

fn said(value: &str) -> &str {
    if value.is_empty() { "not said" } else { value }
}

/// The first doors of a list, ` (doors 101, 102 and 4 more)`.
fn doors(numbers: &[String]) -> String {
    const SHOWN: usize = 6;
    let shown = numbers.iter().take(SHOWN).cloned().collect::<Vec<_>>().join(", ");
    match numbers.len() {
        0 => String::new(),
        1 => format!(" (door {shown})"),
        many if many > SHOWN => format!(" (doors {shown} and {} more)", many - SHOWN),
        _ => format!(" (doors {shown})"),
    }
}

/// Questions raised and closed; how many assumptions and notes came and went.
fn asked(findings: &[&Change], out: &mut String) {
    let is_question = |change: &Change| [&change.from, &change.to].into_iter().flatten().any(|kind| kind == "question");
    let mut others = 0;
    for change in findings {
        if is_question(change) {
            let state = match change.kind {
                Happened::Added => "new",
                Happened::Removed => "closed",
                _ => "changed",
            };
            let doors = doors(&change.openings);
            out.push_str(&format!("{:>14}  {state} question{doors}: {}\n", "", change.why));
            if change.kind != Happened::Added {
                out.push_str(&format!("{:>16}{}\n", "", change.id));
            }
        } else {
            others += 1;
        }
    }
    if others > 0 {
        let plural = if others == 1 { "assumption or note" } else { "assumptions and notes" };
        out.push_str(&format!("{:>14}  {others} {plural} came, went or changed: see the change workbook\n", ""));
    }
}
