//! Tests over all rules: what each says is pinned; on jobs put together at random rules settle, none undoes another's
//! work, and their order does not matter.

use std::fmt::Write as _;
use std::path::Path;

use proptest::prelude::*;

use super::Answers;
use super::act::{Act, Out, Rule};
use super::example::{completed, completed_by, job, speaks};
use super::job::Job;
use super::rules::RULES;
use super::spec::{Completed, From, Grade};
use crate::finding::Finding;
use crate::terms::Terms;
use crate::trade::attribute::{Value, names};
use crate::trade::category::Category;

fn rendered(finding: &Finding) -> String {
    let mut text = format!("{} ({:?}): {}\n", finding.kind.word(), finding.weight, finding.says);
    let mut row = |name: &str, words: &str| {
        if !words.is_empty() {
            writeln!(text, "    {name}: {words}").unwrap();
        }
    };
    row("doors", &finding.openings.join(", "));
    row("words", &finding.excerpt);
    row("priced as", &finding.priced_as);
    row("answers", &finding.answers.iter().map(|answer| answer.value.as_str()).collect::<Vec<_>>().join(" | "));
    row("help", &finding.help);
    text
}

/// All that a rule does on a job.
fn doings(job: &Completed, code: &str) -> String {
    let mut text: String = job.findings.iter().filter(|finding| finding.code == code).map(rendered).collect();
    for added in job.added.iter().filter(|added| added.rule == code) {
        let attributes: Vec<String> = added.attributes.iter().map(|(name, value)| format!("{name} {value}")).collect();
        let by = added.by.as_deref().map(|by| format!(", by {by}")).unwrap_or_default();
        let count: rust_decimal::Decimal = added.shares.iter().map(|(_, share)| share).sum();
        writeln!(text, "adds {} x {} ({}){by}: {}", count, added.category, attributes.join(", "), added.why).unwrap();
    }
    for set in &job.sets {
        for spec in &set.specs {
            for (name, sourced) in &spec.attributes {
                if matches!(sourced.from, From::Rule(by, _) if by == code) {
                    writeln!(text, "gives \"{}\" {name} {}", spec.words(), sourced.value).unwrap();
                }
            }
        }
    }
    for prep in job.preps.iter().filter(|prep| prep.rule == code) {
        let high = prep.above_floor.map(|high| format!(", {high} in above the floor")).unwrap_or_default();
        let leaf = if prep.leaf.is_empty() { String::new() } else { format!(" ({} leaf)", prep.leaf) };
        writeln!(text, "prep, {}{leaf}: {}{high}: {}", prep.trade, prep.what, prep.detail).unwrap();
    }
    text
}

#[test]
fn what_each_rule_says_is_pinned() {
    let mut rules: Vec<&Rule> = RULES.iter().collect();
    rules.sort_by_key(|rule| rule.page.code);
    let mut text =
        String::from("What each rule does on its example. `UPDATE=1 cargo test --lib pinned` writes it anew.\n");
    for rule in rules {
        writeln!(text, "\n== {}\n   {}", rule.page.code, rule.fires).unwrap();
        text.push_str(&doings(&completed(rule.fires), rule.page.code));
    }
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/findings/rules.txt");
    if std::env::var_os("UPDATE").is_some() {
        std::fs::write(&path, &text).unwrap();
    }
    let pinned = std::fs::read_to_string(&path).unwrap_or_default();
    for (line, (pinned, now)) in (1..).zip(pinned.lines().zip(text.lines())) {
        assert_eq!(pinned, now, "{}, line {line}", path.display());
    }
    assert_eq!(pinned.lines().count(), text.lines().count(), "{}", path.display());
}

/// Parts of all examples: doors and lines.
fn parts() -> (Vec<&'static str>, Vec<&'static str>) {
    let parts = || RULES.iter().flat_map(|rule| rule.fires.split(';').chain(rule.quiet.split(';')).map(str::trim));
    let mut doors: Vec<_> = parts().filter(|part| part.starts_with("door ")).collect();
    let mut lines: Vec<_> = parts().filter(|part| !part.is_empty() && !part.starts_with("door ")).collect();
    lines.extend(FURTHER);
    for list in [&mut doors, &mut lines] {
        list.sort_unstable();
        list.dedup();
    }
    (doors, lines)
}

/// What the examples do not have: goods as rules change them, so that each meets its own work.
const FURTHER: &[&str] = &[
    "hinge 3 bearing=plain weight=standard finish=652",
    "hinge 3 height=4 width=4 bearing=plain finish=605",
    "hinge 3 swing_clear=true height=4.5 weight=heavy",
    "hinge 1 conductors=4 height=4 bearing=plain",
    "exit-device 1 type=rim dogging=hex fire_listed=false",
    "exit-device 2 type=surface-vertical-rod trim=lever",
    "closer 1 hold_open=true fusible_link=true size=1",
    "closer 2 arm=regular stop=true",
    "overhead-stop 1 action=hold-open",
    "gasketing 1 kind=weather",
    "silencer 3 form=wood",
    "protection-plate 2 kind=armor height=40",
    "threshold 1 height=0.75",
    "mortise-lock 1 function=F19 electrified=fail-safe monitor=request-to-exit+latch",
    "electric-strike 1 fail=safe voltage=12",
    "power-supply 1 voltage=24 amps=1",
    "power-transfer 2 type=door-loop",
    "cylinder 2 kind=rim",
];

fn any_job() -> impl Strategy<Value = String> {
    let (doors, lines) = parts();
    let doors = proptest::collection::vec(proptest::sample::select(doors), 1..4);
    let lines = proptest::collection::vec(proptest::sample::select(lines), 1..9);
    (doors, lines).prop_map(|(doors, lines)| {
        let doors = doors.iter().enumerate().map(|(at, door)| {
            let words: Vec<&str> = door.splitn(3, ' ').collect();
            format!("door {} {}", 101 + at, words.get(2).unwrap_or(&""))
        });
        doors.chain(lines.iter().map(|line| (*line).to_owned())).collect::<Vec<_>>().join("; ")
    })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]

    /// On any job: rules settle, whatever their order, and a second run of what was completed says the same.
    #[test]
    fn rules_settle_in_any_order(text in any_job(), turn in 1usize..20) {
        let mut turned = RULES.to_vec();
        let at = turn % turned.len();
        turned.rotate_left(at);
        turned.reverse();
        let one = completed(&text);
        let other = completed_by(&turned, &text, &Terms::default(), &Answers::new());
        prop_assert_eq!(&one.findings, &other.findings);
        prop_assert_eq!(&one.added, &other.added);
        prop_assert_eq!(&one.preps, &other.preps);
        let quarrel = one.findings.iter().find(|finding| finding.code == "rules-quarrel");
        prop_assert!(quarrel.is_none(), "{:?}", quarrel.map(|finding| &finding.says));
        let catalog = crate::catalog::Catalog::embedded("2026-10-01").unwrap();
        let again = super::complete(one.schedule.clone(), job(&text).1, &catalog, &Terms::default(), &Answers::new());
        prop_assert_eq!(&one.findings, &again.findings);
        prop_assert_eq!(&one.added, &again.added);
    }

    /// On any job: no line is lost, and every finding with answers says what is priced meanwhile, and on what it rests.
    #[test]
    fn findings_are_whole(text in any_job()) {
        // `@9` alone is a set without lines.
        let is_line = |part: &&str| !["door ", "note "].iter().any(|lead| part.trim().starts_with(lead)) && part.trim().contains(' ');
        let lines = text.split(';').filter(is_line).count();
        let job = completed(&text);
        prop_assert_eq!(job.sets.iter().map(|set| set.specs.len()).sum::<usize>(), lines);
        for finding in &job.findings {
            prop_assert!(!finding.id.is_empty() && !finding.says.is_empty() && !finding.source.is_empty());
            if finding.kind == crate::finding::Kind::Question {
                prop_assert!(!finding.priced_as.is_empty(), "{} does not say what is priced", finding.code);
            }
        }
        let ids: std::collections::BTreeSet<_> = job.findings.iter().map(|finding| &finding.id).collect();
        prop_assert_eq!(ids.len(), job.findings.len(), "two findings have one id");
    }
}

/// A rule for tests that wants hinges to have a finish.
fn wanting(code: &'static str, run: fn(&Job, &mut Out)) -> Rule {
    let page = crate::complete::act::page(
        code,
        crate::finding::Kind::Note,
        crate::finding::Weight::Goods,
        "for tests",
        "always",
        "gives a finish",
        "",
        ("a test", "read"),
        ("", ""),
    );
    Rule { page, run, fires: "", quiet: "" }
}

fn give(job: &Job, out: &mut Out, value: &str) {
    for spec in job.lines_of(0, &[Category::Hinge]) {
        out.acts.push(Act::Fill {
            line: spec.id,
            attribute: names::FINISH,
            value: Value::text(value),
            grade: Grade::Assumed,
        });
    }
}

#[test]
fn a_quarrel_names_both_rules() {
    let text = "door 101 36x84 hm; hinge 3";
    let one = wanting("one-rule", |job, out| give(job, out, "652"));
    let other = wanting("other-rule", |job, out| give(job, out, "630"));
    for rules in [[one, other], [other, one]] {
        let job = completed_by(&rules, text, &Terms::default(), &Answers::new());
        let quarrel = job.findings.iter().find(|finding| finding.code == "rules-quarrel").unwrap();
        assert!(quarrel.says.contains("one-rule") && quarrel.says.contains("other-rule"), "{}", quarrel.says);
    }
}

#[test]
fn rules_that_undo_each_other_are_named() {
    // One gives a hinge a pin while it has none of the other's making; the other gives its own while it sees that pin.
    let text = "door 101 36x84 hm; hinge 3";
    let one = wanting("one-rule", |job, out| {
        if !job.lines_of(0, &[Category::Hinge]).iter().any(|spec| spec.word(names::TIP) == "ball") {
            give(job, out, "652");
        }
    });
    let other = wanting("other-rule", |job, out| {
        for spec in job.lines_of(0, &[Category::Hinge]) {
            if spec.word(names::FINISH) == "652" {
                out.fill(spec.id, names::TIP, Value::text("ball"), Grade::Assumed);
            }
        }
    });
    let job = completed_by(&[one, other], text, &Terms::default(), &Answers::new());
    assert!(speaks(&job, "rules-quarrel"));
    let quarrel = job.findings.iter().find(|finding| finding.code == "rules-quarrel").unwrap();
    assert!(quarrel.says.contains("one-rule") && quarrel.says.contains("other-rule"), "{}", quarrel.says);
}
