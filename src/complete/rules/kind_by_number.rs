//! Locks whose number alone says of which kind they are, or another function than their name.

use std::collections::HashMap;

use crate::complete::act::{Out, Rule, page};
use crate::complete::gather::set_answer;
use crate::complete::job::Job;
use crate::complete::select::title;
use crate::complete::spec::Spec;
use crate::finding::{Answer, Effect, Kind, Weight};
use crate::trade::attribute::{Attr, Value, names};
use crate::trade::category::Category;
use crate::trade::function::{self, FunctionKind};
use crate::understand::named;
use crate::understand::reading::Heard;

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "kind-by-number",
        Kind::Question,
        Weight::Goods,
        "A lock whose number and words differ",
        "the number of a lock's function is none of those that its name stands for; or the number alone makes it a mortise or a bored lock, and every lock of the job whose words say their kind is of the other",
        "priced by the number; the functions of the name, or the lock of the other kind, are the other answers",
        "",
        ("ANSI/BHMA A156.2 and A156.13 as given in trade/functions.csv", "read"),
        ("CLASSROOM SECURITY LOCK F109", "CLASSROOM SECURITY LOCK F110"),
    ),
    run,
    fires: "door 101 36x84 hm; hinge 3; bored-lock 1 function=F109 function_name=classroom-security",
    quiet: "door 101 36x84 hm; hinge 3; bored-lock 1 function=F110 function_name=classroom-security",
};

const LOCKS: &[Category] = &[Category::MortiseLock, Category::BoredLock];

fn run<'j>(job: &'j Job, out: &mut Out) {
    let locks = || (0..job.sets.len()).flat_map(|set| job.lines_of(set, LOCKS));
    if !locks().any(|spec| spec.says(names::FUNCTION)) {
        return;
    }
    // Locks of many sets are worded alike: each wording is looked at once.
    let mut open: HashMap<(&'j str, Option<Category>), bool> = HashMap::new();
    let mut is_open = |spec: &'j Spec| *open.entry((spec.wording.text.as_str(), spec.category)).or_insert_with(|| is_open_by_words(job, spec));
    let told: Vec<Category> = locks().filter(|spec| !is_open(spec)).filter_map(|spec| spec.category).collect();
    for set in 0..job.sets.len() {
        for spec in job.lines_of(set, LOCKS).into_iter().filter(|spec| spec.says(names::FUNCTION)) {
            let Some(category) = spec.category else { continue };
            let other = if category == Category::BoredLock { Category::MortiseLock } else { Category::BoredLock };
            if !of_another_name(job, out, set, spec, (category, other))
                && told.contains(&other)
                && !told.contains(&category)
                && is_open(spec)
            {
                of_another_kind(job, out, set, spec, (category, other));
            }
        }
    }
}

/// Whether the words that name the lock may mean another kind of lock as well.
fn is_open_by_words(job: &Job, spec: &Spec) -> bool {
    let Heard::Found(_, by) = &spec.reading.category else { return true };
    let words = spec.wording.text.get(by.span.clone()).unwrap_or_default();
    kinds(job, words).len() == LOCKS.len() && !says_its_kind(job, spec)
}

/// Whether a word of the line that stands apart from its name says its kind: `Lockset, storeroom, cylindrical`.
fn says_its_kind(job: &Job, spec: &Spec) -> bool {
    let mut words = spec.wording.text.split(|sign: char| !sign.is_alphanumeric()).filter(|word| !word.is_empty());
    words.any(|word| spec.category.is_some_and(|own| kinds(job, &format!("{word} lock")) == [own]))
}

/// The kinds of lock that words may name.
fn kinds(job: &Job, words: &str) -> Vec<Category> {
    let goods = job.words().and_then(|lexicon| named(lexicon, words)).unwrap_or_default();
    LOCKS.iter().copied().filter(|kind| goods.iter().any(|(category, _)| category == kind)).collect()
}

/// The functions that the name of a line stands for, of a kind of lock.
fn of_name(spec: &Spec, category: Category) -> Vec<&'static str> {
    let deadbolt = spec.is_set(Attr::of("deadbolt"));
    let said = |word: &str| word == "deadbolt" && deadbolt;
    let kind = FunctionKind::of(category);
    let all = kind.map(|kind| function::candidates(kind, spec.word(names::FUNCTION_NAME), &said)).unwrap_or_default();
    all.into_iter().map(|function| function.number).collect()
}

/// Asks where the name stands for other functions than the number; says whether it does.
fn of_another_name(job: &Job, out: &mut Out, set: usize, spec: &Spec, (category, other): (Category, Category)) -> bool {
    let (number, name) = (spec.word(names::FUNCTION), spec.word(names::FUNCTION_NAME));
    let row = FunctionKind::of(category).and_then(|kind| function::find(kind, number));
    let is_named = row.is_some_and(|row| row.name == name || row.names.iter().any(|own| own.trim_end_matches('?') == name));
    let (own, others) = (of_name(spec, category), of_name(spec, other));
    if !spec.says(names::FUNCTION_NAME) || row.is_none() || is_named || own.is_empty() && others.is_empty() {
        return false;
    }
    let says = format!("The function {number} is not what \"{}\" means: one of the two is not meant.", name.replace('-', " "));
    let mut finding = out.about_lines(job, set, &[spec.id], job.numbers(set), &format!("{number} {name}"), says);
    finding.attribute = Some(names::FUNCTION);
    finding.priced_as = format!("function {number}");
    let lines = vec![spec.id];
    finding.answers = vec![Answer::new(format!("{number}, by the number"), Effect::Nothing)];
    finding.answers.extend(own.iter().map(|named| set_answer(format!("{named}, by the name"), &lines, names::FUNCTION, Value::text(named))));
    if let ([named], true) = (others.as_slice(), is_open_by_words(job, spec)) {
        let function = Effect::Set { lines: lines.clone(), attribute: names::FUNCTION, value: Value::text(named) };
        let both = Effect::Several(vec![Effect::Category { lines, category: other }, function]);
        finding.answers.push(Answer::new(format!("a {}, {named}", title(other)), both));
    }
    finding.help = "ask the architect which function is meant".to_owned();
    out.say(finding);
    true
}

/// Asks where the number alone makes a lock of another kind than all whose words say it.
fn of_another_kind(job: &Job, out: &mut Out, set: usize, spec: &Spec, (category, other): (Category, Category)) {
    let number = spec.word(names::FUNCTION);
    let says = format!("By the number of its function, {number}, this is a {}; every other lock of the job whose words say its kind is a {}.", title(category), title(other));
    let mut finding = out.about_lines(job, set, &[spec.id], job.numbers(set), &format!("job:kind {number}"), says);
    finding.priced_as = format!("{}, {number}", title(category));
    finding.answers = vec![Answer::new(title(category), Effect::Nothing)];
    if let [named] = of_name(spec, other).as_slice() {
        let lines = vec![spec.id];
        let function = Effect::Set { lines: lines.clone(), attribute: names::FUNCTION, value: Value::text(named) };
        let both = Effect::Several(vec![Effect::Category { lines, category: other }, function]);
        finding.answers.push(Answer::new(format!("{}, {named}", title(other)), both));
    }
    finding.help = "ask the architect which kind of lock is meant".to_owned();
    out.say(finding);
}
