//! The same goods on two lines of one set.

use std::collections::{BTreeMap, BTreeSet};

use crate::complete::act::{Out, Rule, keep_or_leave_out, page};
use crate::complete::door::Door;
use crate::complete::job::Job;
use crate::complete::named_again::{AGAIN, comes_with};
use crate::complete::select::title;
use crate::complete::spec::{From, Spec};
use crate::finding::{Answer, Effect, Kind, LineId, Weight};
use crate::trade::attribute::{Attr, Value};
use crate::trade::category::Category;
use crate::trade::{facts, hinge, wording};
use crate::understand::reading::Heard;
use rust_decimal::Decimal;

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "line-twice",
        Kind::Question,
        Weight::Goods,
        "The same goods twice in one set",
        "two lines of a set say the same of the same goods and are together more than its doors have use for, or a single leaf gets two closers or two locks; or a line names with its own good (exit device with mullion) another that the set has on a line of its own",
        "both are priced; leaving the second out is the other answer. What a line names with its own good is priced once where it is surely the same, and twice where it may be another thing; the other answer of each is offered",
        "",
        ("common practice", "common practice"),
        ("two lines of the same closer", "a closer and a stop"),
    ),
    run,
    fires: "door 101 36x84 hm; hinge 3; mortise-lock 1 function=F07; closer 1 arm=parallel; closer 1 arm=parallel; stop 1",
    quiet: "door 101 36x84 hm; hinge 3; mortise-lock 1 function=F07; closer 1 arm=parallel; stop 1",
};

/// More lines than this are not offered one by one.
const MOST: usize = 8;

/// Of these a single leaf has one.
const ONE_EACH: &[&[Category]] = &[
    &[Category::Closer, Category::Operator],
    &[Category::MortiseLock, Category::BoredLock, Category::InterconnectedLock, Category::ExitDevice],
];

/// What the words of a line say: what was heard, what can be read in several ways, and the words that nothing read, since
/// they may be what sets it apart (`active`, `top`).
#[derive(PartialEq, Eq, PartialOrd, Ord)]
struct Told {
    heard: Vec<(Attr, Value)>,
    doubtful: Vec<(Attr, Vec<Value>)>,
    unread: BTreeSet<String>,
}

fn told(spec: &Spec) -> Told {
    let heard = spec.attributes.iter().filter(|(_, sourced)| matches!(sourced.from, From::Said(_) | From::Answer(_)));
    let doubtful = spec.reading.attributes.iter().filter_map(|(name, heard)| match heard {
        Heard::Ambiguous(all) => Some((*name, all.iter().map(|(value, _)| value.clone()).collect())),
        _ => None,
    });
    let unread = spec.reading.unread.iter().filter_map(|span| spec.wording.text.get(span.clone()));
    let words = unread.flat_map(|text| text.split(|letter: char| !letter.is_alphanumeric()));
    Told {
        heard: heard.map(|(name, sourced)| (*name, sourced.value.clone())).collect(),
        doubtful: doubtful.collect(),
        unread: words.filter(|word| !word.is_empty()).map(str::to_lowercase).collect(),
    }
}

/// All lines of the category together are no more than each door of the set has use for: they share the goods out, and
/// do not say them twice.
fn shared_out(job: &Job, set: usize, category: Category) -> bool {
    let lines = job.lines_of(set, &[category]);
    let due = |door: &Door| match category {
        Category::Hinge => door.height.map_or(3, hinge::count) * door.leaves,
        _ if facts::of(category).is_some_and(|facts| facts.basis == "leaf") => door.leaves,
        _ => 1,
    };
    job.doors(set).all(|door| lines.iter().map(|spec| spec.count_at(door)).sum::<Decimal>() <= Decimal::from(due(door)))
}

fn run(job: &Job, out: &mut Out) {
    for set in 0..job.sets.len() {
        if job.doors(set).next().is_none() {
            continue;
        }
        let named = named_again(job, out, set);
        let twins = twins(job, out, set, &named);
        for group in ONE_EACH {
            let found: Vec<_> = job.lines_of(set, group);
            if found.len() < 2 || found.last().and_then(|spec| spec.category).is_some_and(|category| twins.contains(&category)) {
                continue;
            }
            let count = |door: &Door| found.iter().map(|spec| spec.count_at(door)).sum::<Decimal>();
            let singles = job.numbers_of(set, |door| !door.is_pair() && count(door) > Decimal::ONE);
            if singles.is_empty() {
                continue;
            }
            let names: Vec<String> = found.iter().filter_map(|spec| spec.category).map(title).collect();
            let same = names.iter().all(|name| *name == names[0]);
            let says = if same { format!("Single doors with {} lines of {}.", names.len(), names[0]) } else { format!("One leaf with {}.", wording::list(&names, "and")) };
            let lines: Vec<LineId> = found.iter().map(|spec| spec.id).collect();
            let mut finding = out.about_lines(job, set, &lines, singles, &format!("two {}", group[0].name()), says);
            finding.priced_as = if lines.len() == 2 { "both, as written" } else { "all of them, as written" }.to_owned();
            finding.answers = vec![Answer::new("as written", Effect::Nothing)];
            // Each answer names all the other lines; of a long list nobody picks one.
            finding.answers.extend(found.iter().filter(|_| found.len() <= MOST).map(|meant| {
                let others = lines.iter().copied().filter(|line| *line != meant.id).collect();
                Answer::new(format!("only \"{}\"", meant.words()), Effect::Exclude { lines: others })
            }));
            finding.help = "ask the architect which is meant".to_owned();
            out.say(finding);
        }
    }
}

/// How many lines of each category a set has.
fn counts(job: &Job, set: usize) -> BTreeMap<Category, usize> {
    let mut once: BTreeMap<Category, usize> = BTreeMap::new();
    job.lines(set).filter_map(|spec| spec.category).for_each(|category| *once.entry(category).or_default() += 1);
    once
}

/// Asks whether goods that a line names with its own are those of the line that the set has for them; those asked about.
/// Where they surely are they are left out already; else both are priced.
fn named_again(job: &Job, out: &mut Out, set: usize) -> BTreeSet<LineId> {
    let left_out = |spec: &&Spec| spec.excluded.as_deref() == Some(AGAIN);
    let counts = counts(job, set);
    let again = |spec: &&Spec| {
        let several = spec.category.is_some_and(|category| counts.get(&category).is_some_and(|count| *count > 1));
        several && spec.category != Some(Category::Other) && comes_with(spec) && on_another(job, set, spec)
    };
    let asked: Vec<&Spec> =
        job.sets[set].specs.iter().filter(left_out).chain(job.lines(set).filter(again)).collect();
    for spec in &asked {
        let Some(category) = spec.category else { continue };
        let says = format!("A line names the {} with its own good, and the set has it on a line of its own.", title(category));
        let about = format!("named {}", category.name());
        let mut finding = out.about_lines(job, set, &[spec.id], job.numbers(set), &about, says);
        let lines = vec![spec.id];
        let (same, both) = if left_out(spec) {
            finding.priced_as = "one and the same".to_owned();
            (Effect::Nothing, Effect::Supply { lines })
        } else {
            finding.priced_as = "both".to_owned();
            (Effect::Exclude { lines }, Effect::Nothing)
        };
        finding.answers = vec![Answer::new("one and the same", same), Answer::new("both are wanted", both)];
        out.say(finding);
    }
    asked.iter().map(|spec| spec.id).collect()
}

/// Whether another row of the set has by themselves such goods as a line names with its own.
fn on_another(job: &Job, set: usize, spec: &Spec) -> bool {
    let before = spec.id.line.checked_sub(1).and_then(|line| job.sets[set].specs.get(line));
    let with_its_own = before.is_some_and(|before| before.place == spec.place && before.wording == spec.wording);
    let like: Vec<Category> = spec.category.into_iter().collect();
    with_its_own && job.lines_of(set, &like).iter().any(|other| other.wording != spec.wording && !comes_with(other))
}

/// Says which lines repeat another, but of those that are asked about as `named`; the categories they are of.
fn twins(job: &Job, out: &mut Out, set: usize, named: &BTreeSet<LineId>) -> Vec<Category> {
    let mut found = Vec::new();
    let mut before: BTreeMap<Category, BTreeSet<Told>> = BTreeMap::new();
    // Of a category with many lines it is found out once.
    let mut shared: BTreeMap<Category, bool> = BTreeMap::new();
    let counts = counts(job, set);
    let several = |spec: &&Spec| spec.category.is_some_and(|category| counts.get(&category).is_some_and(|count| *count > 1));
    for spec in job.lines(set).filter(|spec| spec.category != Some(Category::Other)).filter(several) {
        let twin = spec.category.is_some_and(|category| !before.entry(category).or_default().insert(told(spec)));
        let mut too_many = |category: Category| !*shared.entry(category).or_insert_with(|| shared_out(job, set, category));
        let Some(category) = spec.category.filter(|category| twin && !named.contains(&spec.id) && too_many(*category)) else { continue };
        found.push(category);
        let ids = [spec.id];
        let says = format!("Two lines of the set say the same of the {}.", title(category));
        let mut finding = out.about_lines(job, set, &ids, job.numbers(set), &format!("twin {}", category.name()), says);
        finding.priced_as = "both".to_owned();
        finding.answers = keep_or_leave_out(&ids);
        out.say(finding);
    }
    found
}

#[cfg(test)]
mod tests {
    use crate::complete::example::{completed, speaks};

    #[test]
    fn lines_that_share_the_goods_out_are_not_the_same_goods_twice() {
        for quiet in [
            "door 101 36x84 hm; hinge 2 finish=652; hinge 1 finish=652",
            "door 101 36x84 hm; hinge 2 finish=652; hinge 1 finish=652 ?conductors=4|6|8",
            "door 101 36x84 hm; hinge 1 height=5; hinge 2 height=4.5",
            "door 101 72x84 hm pair; hinge 6; closer 1 arm=parallel; closer 1 arm=parallel",
            "door 101 72x84 hm pair; hinge 6; stop 1; stop 1",
            "door 101 36x84 hm; hinge 3; stop 1 mounting=wall; stop 1 mounting=floor",
        ] {
            assert!(!speaks(&completed(quiet), "line-twice"), "{quiet}");
        }
        for loud in [
            "door 101 36x84 hm; hinge 3 finish=652; hinge 3 finish=652",
            "door 101 72x84 hm pair; hinge 6; closer 2 arm=parallel; closer 2 arm=parallel",
            "door 101 36x84 hm; hinge 3; threshold 1; threshold 1",
            "door 101 36x84 hm; hinge 3; closer 1 arm=parallel; closer 1 arm=regular",
        ] {
            assert!(speaks(&completed(loud), "line-twice"), "{loud}");
        }
    }
}
