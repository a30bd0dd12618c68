//! Doors, sets and notes that are said to be of an alternate.

use std::collections::{BTreeMap, BTreeSet};

use crate::complete::act::{Out, Rule, by_hand, page};
use crate::complete::job::Job;
use crate::finding::{Answer, Effect, Finding, Kind, LineId, Weight};
use crate::place::Place;
use crate::complete::spec::Spec;
use crate::read::schedule::{Note, PartRole};
use crate::read::{alternate, apart, begins_alternate};
use crate::trade::rule_words;

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "alternate-in-base",
        Kind::Question,
        Weight::Scope,
        "Work of an alternate stands in the schedule",
        "the title of a set, the room or remark of a door, a row above lines, the words of a line, or a note says ALTERNATE NO. 2 and the like, or a line begins with OPTION, or ALTERNATES or EXCLUSIONS stands above lines with a quantity",
        "counted in the base bid, and asked; a line that begins so is left out",
        "",
        ("common practice", "common practice"),
        ("remark ALTERNATE NO. 2", "alternate manufacturer"),
    ),
    run,
    fires: "door 101 36x84 hm remark=ALTERNATE_NO_2; hinge 3",
    quiet: "door 101 36x84 hm remark=ALTERNATE_MANUFACTURER; hinge 3",
};

/// How an alternate is priced apart.
const APART: &str = "to price it apart, name the doors or sets that the alternate leaves out under [[alternate]] in the job file";

fn run(job: &Job, out: &mut Out) {
    let heads = heads(job);
    for set in 0..job.sets.len() {
        of_doors(job, out, set);
        of_lines(job, out, set, heads.get(&set).map_or(&[], Vec::as_slice));
    }
    let above: BTreeSet<(&str, &str, u32)> = heads.values().flatten().filter(|head| !head.lines.is_empty()).map(|head| key(&head.place)).collect();
    for note in notes(job).filter(|note| !above.contains(&key(&note.place))) {
        let Some(said) = alternate(&note.text) else { continue };
        let says = format!("A note speaks of an alternate, \"{said}\"; nothing was priced for it.");
        let mut finding = out.finding(&format!("job:{}:{}", note.place.sheet, note.place.row), says);
        finding.place = Some(note.place.clone());
        finding.excerpt = note.text.clone();
        finding.priced_as = "nothing for it".to_owned();
        finding.help = format!("ask what the alternate holds; {APART}");
        out.say(finding);
    }
}

fn key(place: &Place) -> (&str, &str, u32) {
    (&place.file, &place.sheet, place.row)
}

fn notes<'a>(job: &'a Job) -> impl Iterator<Item = &'a Note> {
    job.schedule.notes.iter().chain(job.schedule.sets.iter().flat_map(|set| &set.notes))
}

/// A row that begins with the words of an alternate, and the lines of its set below it, up to the next such row: `ADD ALTERNATE
/// NO. 2`, and its goods in the rows that follow.
struct Head {
    said: String,
    place: Place,
    text: String,
    lines: Vec<LineId>,
}

/// The heads of each set. What the reader took for more words of the line above heads the lines below it all the same.
fn heads(job: &Job) -> BTreeMap<usize, Vec<Head>> {
    let mut sets: BTreeMap<(&str, &str), Vec<(u32, usize)>> = BTreeMap::new();
    for (at, set) in job.sets.iter().enumerate() {
        sets.entry((&*set.place.file, &*set.place.sheet)).or_default().push((set.place.row, at));
    }
    sets.values_mut().for_each(|rows| rows.sort_unstable());
    let mut found: BTreeMap<usize, Vec<Head>> = BTreeMap::new();
    for note in notes(job) {
        let Some(said) = begins_alternate(&note.text).or_else(|| apart(&note.text)) else { continue };
        let Some(rows) = sets.get(&(&*note.place.file, &*note.place.sheet)) else { continue };
        let before = rows.partition_point(|(row, _)| *row <= note.place.row);
        let Some((_, last)) = before.checked_sub(1).and_then(|at| rows.get(at)) else { continue };
        // The rows of a flat table may name again a set that stood above.
        let below = |set: usize| {
            let of = |spec: &Spec| spec.place.row > note.place.row && key(&spec.place).1 == key(&note.place).1;
            job.sets[set].specs.iter().any(of)
        };
        for (_, set) in rows[..before].iter().filter(|(_, set)| set == last || below(*set)) {
            let (place, text) = (note.place.clone(), note.text.clone());
            found.entry(*set).or_default().push(Head { said: said.clone(), place, text, lines: Vec::new() });
        }
    }
    for (at, set) in job.sets.iter().enumerate() {
        for spec in &set.specs {
            if let Some((said, text)) = glued(spec).or_else(|| left_out(spec)) {
                found.entry(at).or_default().push(Head { said, place: spec.place.clone(), text, lines: Vec::new() });
            }
        }
    }
    let base = if found.is_empty() { BTreeSet::new() } else { base(job) };
    for (set, heads) in &mut found {
        heads.sort_by_key(|head| head.place.row);
        for spec in job.sets[*set].specs.iter().filter(|spec| spec.excluded.is_none()) {
            let before = heads.partition_point(|head| head.place.row < spec.place.row);
            let head = before.checked_sub(1).and_then(|at| heads.get_mut(at));
            let same = |head: &Head| head.place.sheet == spec.place.sheet && head.place.file == spec.place.file;
            let ended = |head: &Head| base.range(key(&head.place)..=key(&spec.place)).next().is_some();
            if let Some(head) = head.filter(|head| same(head) && !ended(head)) {
                head.lines.push(spec.id);
            }
        }
    }
    found
}

/// The lines that stand below `BASE BID`, and rows behind such words: what follows is of no alternate.
fn base<'a>(job: &'a Job) -> BTreeSet<(&'a str, &'a str, u32)> {
    let says = |text: &str| {
        let bare = text.trim().trim_end_matches([':', '-', '.']).trim_end();
        rule_words::is("base-bid", bare)
    };
    let lines = job.schedule.sets.iter().flat_map(|set| &set.lines);
    let below = lines.filter(|line| line.section.as_deref().is_some_and(says)).map(|line| key(&line.place));
    // What the reader took for more words of the line above.
    let glued = |spec: &&Spec| {
        let parts = spec.wording.parts.iter().skip(1);
        parts.filter_map(|part| spec.wording.text.get(part.span.clone())).any(says)
    };
    let specs = job.sets.iter().flat_map(|set| &set.specs);
    let behind = |(file, sheet, row): (&'a str, &'a str, u32)| (file, sheet, row + 1);
    below.chain(specs.filter(glued).map(|spec| behind(key(&spec.place)))).collect()
}

/// A row that begins so, counts nothing and was left out: `Alternate 1: at door 11 add electric strike`.
fn left_out(spec: &Spec) -> Option<(String, String)> {
    spec.excluded.as_ref()?;
    let text = spec.wording.text.trim_start();
    let counted = text.starts_with(|first: char| first.is_ascii_digit()) || spec.wording.part(PartRole::Quantity).is_some();
    let said = begins_alternate(&spec.wording.text).filter(|_| !counted)?;
    Some((said, spec.wording.text.clone()))
}

/// A row that begins so and was taken for more words of the line above it.
fn glued(spec: &Spec) -> Option<(String, String)> {
    let parts = spec.wording.parts.iter().skip(1).filter(|part| matches!(part.role, PartRole::Free | PartRole::Description));
    let mut texts = parts.filter_map(|part| spec.wording.text.get(part.span.clone()));
    texts.find_map(|text| Some((begins_alternate(text)?, text.to_owned())))
}

/// Lines of alternates in sets that are none.
fn of_lines(job: &Job, out: &mut Out, set: usize, heads: &[Head]) {
    for head in heads.iter().filter(|head| !head.lines.is_empty()) {
        let says = format!("\"{}\" stands above these lines; they are counted in the base bid.", head.said);
        let mut finding = out.about_lines(job, set, &head.lines, job.numbers(set), &format!("below {}", head.place.row), says);
        (finding.place, finding.excerpt) = (Some(head.place.clone()), head.text.clone());
        out.say(asked(finding, head.lines.clone()));
    }
    for spec in job.sets[set].specs.iter().filter(|spec| spec.excluded.is_none() && glued(spec).is_none()) {
        let Some(said) = alternate(&spec.wording.text).or_else(|| option(&spec.wording.text)) else { continue };
        let says = format!("A line is said to be of an alternate, \"{said}\"; it is counted in the base bid.");
        let finding = out.about_lines(job, set, &[spec.id], job.numbers(set), &format!("line {}", spec.words()), says);
        out.say(asked(finding, vec![spec.id]));
    }
}

/// `1 EA OPTION: LOCK WITH INDICATOR`: the first word behind the count, before a sign.
fn option(text: &str) -> Option<String> {
    let counts = |word: &&str| word.bytes().any(|byte| byte.is_ascii_digit()) || rule_words::is("count-units", word);
    let word = text.split_whitespace().find(|word| !counts(word))?;
    let behind = text.get(text.find(word)? + word.len()..)?.trim_start();
    let bare = word.trim_end_matches([':', '-']);
    let parted = bare.len() < word.len() || behind.starts_with([':', '-']);
    (parted && rule_words::is("of-an-option", bare)).then(|| bare.to_uppercase())
}

/// The question whether lines are in the base bid.
fn asked(mut finding: Finding, lines: Vec<LineId>) -> Finding {
    finding.answers = vec![
        Answer::new("in the base bid", Effect::Nothing),
        Answer::new("outside the base bid", Effect::Exclude { lines }),
    ];
    finding.priced_as = "in the base bid".to_owned();
    finding.help = APART.to_owned();
    finding
}

/// Sets and doors of alternates.
fn of_doors(job: &Job, out: &mut Out, set: usize) {
    let title = alternate(&job.sets[set].title);
    let mut numbers: Vec<String> = Vec::new();
    let mut said = title.clone();
    for door in job.doors(set) {
        let Some(opening) = job.schedule.openings.get(door.index) else { continue };
        if let Some(words) = alternate(&opening.remarks).or_else(|| alternate(&opening.room)) {
            numbers.push(door.number.clone());
            said.get_or_insert(words);
        }
    }
    let Some(said) = said else { return };
    let whole = title.is_some() || numbers.len() == job.doors(set).count();
    let doors = if whole { job.numbers(set) } else { numbers };
    let lines: Vec<LineId> =
        job.sets[set].specs.iter().filter(|spec| spec.excluded.is_none()).map(|spec| spec.id).collect();
    if lines.is_empty() || doors.is_empty() {
        return;
    }
    let says = format!("The schedule says \"{said}\" of this work; it is counted in the base bid.");
    let mut finding = asked(out.about_set(job, set, doors, "set", says), lines.clone());
    if !whole && let Some(outside) = finding.answers.last_mut() {
        *outside = by_hand(&outside.value);
    }
    finding.lines = lines;
    out.say(finding);
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::catalog::Catalog;
    use crate::complete::{Answers, complete_by, example, rules};
    use crate::terms::Terms;

    #[test]
    fn goods_below_the_base_bid_are_of_no_alternate() {
        let outside = |rest: &str| {
            let (mut schedule, readings) = example::job("door 101 36x84 hm; hinge 3; exit-device 1 type=rim; closer 1");
            let at = |row: u32| Place { row, ..schedule.sets[0].place.clone() };
            let note = Note { text: "ALTERNATE NO. 1:".into(), place: at(2) };
            let rows: Vec<Place> = [1, 3, 5].map(at).into();
            schedule.sets[0].place.row = 0;
            schedule.sets[0].lines.iter_mut().zip(rows).for_each(|(line, place)| line.place = place);
            schedule.sets[0].lines[2].section = Some(rest.into());
            schedule.sets[0].notes = vec![note];
            let catalog = Catalog::embedded("2026-10-01").unwrap();
            let rules = (rules::RULES, &Default::default());
            let job = complete_by(rules, schedule, readings, &catalog, &Terms::default(), &Answers::new());
            let found = job.findings.iter().find(|finding| finding.code == "alternate-in-base").unwrap();
            let Effect::Exclude { lines } = &found.answers[1].does else { panic!("{found:?}") };
            lines.iter().map(|line| line.line).collect::<Vec<_>>()
        };
        assert_eq!(outside("BASE BID"), [1]);
        assert_eq!(outside("ACCESSORIES"), [1, 2]);
    }

    #[test]
    fn a_line_that_begins_with_option_is_one() {
        for (text, found) in [
            ("1 EA  Option: Mortise lock with indicator", true),
            ("OPTIONAL - closer", true),
            ("1  OPTION : CLOSER", true),
            ("1  CLOSER, OPTION: HOLD OPEN", false),
            ("1  OPTIONAL CLOSER", false),
        ] {
            assert_eq!(option(text).is_some(), found, "{text}");
        }
    }
}
