//! A set that serves doors of different kinds is split by opening: what a door gets does not depend on which other doors
//! have its set. Held here for the lines of every rule's example, on doors of every two kinds.

use std::collections::BTreeMap;

use rust_decimal::Decimal;

use super::Answers;
use super::example::completed_by;
use super::rules::RULES;
use super::spec::Completed;
use crate::catalog::Catalog;
use crate::catalog::good::Good;
use crate::count;
use crate::terms::Terms;
use crate::trade::attribute::{Attr, names};

/// Kinds of doors: rated and not, outside and inside, single and pair, heights, widths, materials, walls, rooms.
const KINDS: &[&str] = &[
    "36x84 hm stud NR thick=1.75",
    "36x84 hm stud 90min thick=1.75",
    "36x84 hm masonry NR exterior RHR thick=1.75",
    "36x96 hm stud NR thick=1.75",
    "48x84 wood frame=hollow-metal stud 45min thick=1.75",
    "72x84 hm pair stud NR thick=1.75",
    "72x84 wood frame=hollow-metal pair stud 90min thick=1.75",
    "36x84 hm masonry 90min smoke RHR thick=1.75 room=STAIR",
    "30x84 wood wood-frame stud NR thick=1.375 room=STORAGE",
];

/// Rules that read a set as one thing written for its usual door: whether one closer in a set is one for each leaf shows
/// by the single doors that the set serves besides its pairs.
const OF_THE_SET: &[&str] = &["pair-quantity"];

/// What matters of a good. Who makes it may differ: the goods of one line come from one product line where it makes them.
const MATTERS: &[Attr] = &[
    names::FUNCTION,
    names::TYPE,
    names::KIND,
    names::MOUNTING,
    names::HEIGHT,
    names::WIDTH,
    names::WEIGHT,
    names::BEARING,
    names::PIN,
    names::FINISH,
    names::FIRE_LISTED,
    names::ACTION,
    names::DOOR,
    names::ARM,
    names::ELECTRIFIED,
    names::FAIL,
    names::CONDUCTORS,
    names::DOGGING,
];

/// A good by what matters of it.
fn what(category: &str, good: &Good) -> String {
    let said = MATTERS.iter().filter_map(|name| Some(format!("{name} {}", good.attributes.get(name)?)));
    format!("{} {}", category, said.collect::<Vec<_>>().join(", "))
}

/// What one door gets: goods and how many.
fn goods(job: &Completed, number: &str) -> BTreeMap<String, Decimal> {
    static CATALOG: std::sync::OnceLock<Catalog> = std::sync::OnceLock::new();
    let catalog = CATALOG.get_or_init(|| Catalog::embedded("2026-10-01").unwrap());
    let mut goods: BTreeMap<String, Decimal> = BTreeMap::new();
    for item in count::count(job, catalog).items {
        let category = crate::price::category_of(item.from, job).map_or("", |category| category.name());
        let name = item.candidate.as_ref().map_or_else(|| "nothing".to_owned(), |best| what(category, &best.good));
        for (opening, share) in &item.shares {
            if job.schedule.openings[*opening].number == number && !share.is_zero() {
                *goods.entry(name.clone()).or_default() += *share;
            }
        }
    }
    goods
}

#[test]
fn what_a_door_gets_does_not_depend_on_the_other_doors_of_its_set() {
    let mut terms = Terms::default();
    terms.rules.extend(OF_THE_SET.iter().map(|code| ((*code).to_owned(), "off".to_owned())));
    let completed = |text: &str| completed_by(RULES, text, &terms, &Answers::new());
    let mut wrong = Vec::new();
    for (turn, rule) in RULES.iter().enumerate() {
        let lines: Vec<&str> = rule
            .fires
            .split(';')
            .map(str::trim)
            .filter(|part| !part.is_empty() && !part.starts_with("door ") && !part.starts_with('@'))
            .collect();
        let lines = lines.join("; ");
        if lines.is_empty() {
            continue;
        }
        for step in 0..2 {
            let one = KINDS[(turn + step) % KINDS.len()];
            let other = KINDS[(turn + 3 * step + 1 + turn / KINDS.len()) % KINDS.len()];
            if one == other {
                continue;
            }
            let both = completed(&format!("door 101 {one}; door 102 {other}; {lines}"));
            for (number, kind) in [("101", one), ("102", other)] {
                let alone = goods(&completed(&format!("door {number} {kind}; {lines}")), number);
                let together = goods(&both, number);
                if alone != together {
                    wrong.push(format!(
                        "{}: door {kind} beside {}\n  lines {lines}\n  alone    {alone:?}\n  together {together:?}",
                        rule.page.code,
                        if number == "101" { other } else { one }
                    ));
                }
            }
        }
    }
    assert!(wrong.is_empty(), "{} of them\n{}", wrong.len(), wrong.join("\n"));
}
