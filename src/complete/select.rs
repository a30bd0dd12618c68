//! Chooses goods for completed lines and additions. An attribute that nobody decided is taken as usual and marked, or
//! becomes a question where the answers lead to other prices or other goods.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use rayon::prelude::*;

use crate::catalog::good::{Candidate, Selection, Undecided};
use crate::finding::{Answer, Effect, Finding, Kind, LineId, Weight};
use crate::trade::attribute::{Attr, Attributes, Value, names, title as title_of};
use crate::trade::category::Category;
use crate::trade::function::FunctionKind;
use crate::trade::{facts, function, rule_words, usual, wording};

use super::borrowed;
use super::gather::{Names, set_answer};
use super::job::Job;
use super::spec::{Addition, CompletedSet, From, Grade, Sourced, Spec};

/// Rounds of filling in usual values: each fills at least one attribute.
const ROUNDS: usize = 8;
/// Other values offered where nothing fits.
const MOST_OTHERWISE: usize = 4;
/// More answers than this make a list that nobody reads; the rest is named in the help.
const MOST_ANSWERS: usize = 8;

/// A value taken as usual, of which goods.
type UsualKey = (Category, Attr, String);

/// The questions of a set, and what was taken as usual in it.
type Asked = (Vec<Finding>, Vec<(UsualKey, LineId)>);

/// Usual values taken: which, with the lines and door numbers.
type UsualTaken = BTreeMap<UsualKey, (Vec<LineId>, Names)>;

/// What is taken for one undecided attribute.
enum Taken {
    /// The usual value of the trade.
    Usual(Value),
    /// What the catalog takes; nobody need be asked.
    Quietly,
    /// To be asked.
    Ask,
}

fn weigh(category: Category, open: &Undecided) -> Taken {
    // Several usual words, the usual first: concave is usual of a wall stop, dome of a floor stop.
    if let Some((words, _)) = usual::value(category, open.attribute)
        && let Some((value, _)) =
            words.split('|').find_map(|word| open.options.iter().find(|(value, _)| usual::is(value, word)))
    {
        return Taken::Usual(value.clone());
    }
    let plain = match &open.taken {
        Value::Flag(flag) => !flag,
        Value::Text(text) => matches!(&**text, "none" | "-" | ""),
        Value::List(words) => words.is_empty(),
        _ => false,
    };
    let dearer = open.options.iter().any(|(_, difference)| !difference.is_zero());
    let hand = open.attribute == names::HAND;
    if plain || hand || !(dearer || open.matters) { Taken::Quietly } else { Taken::Ask }
}

/// Selects for every line; gives the questions.
pub fn lines(job: &Job, sets: &mut [CompletedSet]) -> Vec<Finding> {
    // Sets know nothing of each other here.
    let asked: Vec<Asked> = sets.par_iter_mut().enumerate().map(|(index, set)| of_set(job, index, set)).collect();
    let mut findings = Vec::new();
    let mut usual_taken: UsualTaken = BTreeMap::new();
    for (index, (questions, usual)) in asked.into_iter().enumerate() {
        findings.extend(questions);
        let numbers = if usual.is_empty() { Vec::new() } else { job.numbers(index) };
        for (key, line) in usual {
            let entry = usual_taken.entry(key).or_default();
            entry.0.push(line);
            entry.1.extend(&numbers);
        }
    }
    super::kinds_asked::tell_apart(sets, &mut findings);
    findings.extend(usual_finding(usual_taken));
    findings
}

/// Selects for the lines of a set; gives the questions, and what was taken as usual.
fn of_set(job: &Job, index: usize, set: &mut CompletedSet) -> Asked {
    let numbers = job.numbers(index);
    let (mut findings, mut usual) = (Vec::new(), Vec::new());
    for spec in &mut set.specs {
        let (Some(category), None) = (spec.category, &spec.excluded) else { continue };
        let mut open = select(job, category, spec);
        if spec.selection.candidates.is_empty()
            && let Some((finding, rest)) = priced_without(job, category, spec, &set.id, &numbers)
        {
            findings.push(finding);
            open = rest;
        }
        if spec.selection.candidates.is_empty()
            && let Some((finding, rest)) = borrowed::without(job, category, spec, (&set.id, &numbers))
        {
            findings.push(finding);
            open = rest;
        }
        let filled = filled_as_usual(spec).into_iter();
        usual.extend(filled.map(|(attribute, value)| ((category, attribute, value), spec.id)));
        usual.extend(grade_taken(category, spec).map(|grade| ((category, names::GRADE, grade), spec.id)));
        findings.extend(open.iter().map(|open| question(category, spec, open, &set.id, &numbers)));
        if spec.selection.candidates.is_empty() {
            findings.push(unpriced(job, category, spec, &set.id, &numbers));
        }
        findings.extend(tie(category, spec, &set.id, &numbers));
    }
    (findings, usual)
}

/// Selects, filling in what is usual until nothing usual is left; gives what must be asked.
pub(super) fn select(job: &Job, category: Category, spec: &mut Spec) -> Vec<Undecided> {
    for _ in 0..ROUNDS {
        let selection = job.select(category, first_kind(job, spec));
        let Some(best) = selection.candidates.first() else {
            spec.selection = selection;
            return Vec::new();
        };
        let line: Arc<str> = best.good.line.clone();
        let mut ask = Vec::new();
        let mut filled = false;
        for open in &best.undecided {
            match weigh(category, open) {
                Taken::Usual(value) => {
                    let from = From::Rule("usual-values", Grade::Assumed);
                    spec.attributes.insert(open.attribute, Sourced { value, from });
                    filled = true;
                    // One at a time: a usual value may leave less open.
                    break;
                }
                Taken::Quietly => {}
                Taken::Ask => ask.push(open.clone()),
            }
        }
        if filled {
            continue;
        }
        for open in &ask {
            let from = From::Catalog(line.clone());
            let value = open.taken.clone();
            if value != Value::text("none") {
                spec.attributes.entry(open.attribute).or_insert(Sourced { value, from });
            }
        }
        spec.selection = selection;
        return ask;
    }
    Vec::new()
}

/// What is asked, with the attributes that every opening has of its own taken from the first, so that a good can be
/// named. What only some openings have of their own says nothing of the others.
fn first_kind(job: &Job, spec: &Spec) -> Attributes {
    let mut asked = spec.asked();
    if let Some(own) = spec.varies.values().next() {
        for (attribute, value) in own {
            let has = |index: &usize| spec.varies.get(index).is_some_and(|own| own.contains_key(attribute));
            if job.doors(spec.id.set).all(|door| has(&door.index)) {
                asked.entry(*attribute).or_insert_with(|| value.clone());
            }
        }
    }
    asked
}

fn filled_as_usual(spec: &Spec) -> Vec<(Attr, String)> {
    spec.attributes
        .iter()
        .filter(|(_, sourced)| matches!(sourced.from, From::Rule("usual-values", _)))
        .map(|(attribute, sourced)| (*attribute, wording::said(*attribute, &sourced.value)))
        .collect()
}

/// The grade of the lock taken, where nobody asked for one and other locks that fit are of another.
fn grade_taken(category: Category, spec: &Spec) -> Option<String> {
    let grade = |candidate: &Candidate| candidate.good.attributes.get(&names::GRADE).cloned();
    let (best, others) = spec.selection.candidates.split_first()?;
    let taken = grade(best).filter(|_| FunctionKind::of(category).is_some() && spec.value(names::GRADE).is_none())?;
    let differs = others.iter().any(|other| grade(other).is_some_and(|other| other != taken));
    differs.then(|| wording::said(names::GRADE, &taken))
}

/// Name of an attribute in words: `center to center`.
pub fn words_of(attribute: Attr) -> String {
    title_of(attribute)
}

/// A value as an answer: of a flag, what is so and what is not; a function with its name.
pub fn choice(category: Option<Category>, attribute: Attr, value: &Value) -> String {
    let function = || function::told(category?, value.as_text()?);
    match value {
        Value::Flag(_) => wording::said(attribute, value),
        _ if attribute == names::FUNCTION => function().unwrap_or_else(|| wording::value(value)),
        _ => wording::value(value),
    }
}

/// Title of a category in lower case.
pub fn title(category: Category) -> String {
    facts::of(category).map_or_else(|| category.name().to_owned(), |facts| facts.title.to_lowercase())
}

/// A finding about an attribute of a line, at the doors of its set.
pub(super) fn about(spec: &Spec, attribute: Attr, (set, numbers): (&str, &[String]), finding: Finding) -> Finding {
    Finding {
        set: Some(set.to_owned()),
        openings: numbers.to_vec(),
        lines: vec![spec.id],
        place: Some(spec.place.clone()),
        excerpt: spec.words(),
        attribute: Some(attribute),
        ..finding
    }
}

fn question(category: Category, spec: &Spec, open: &Undecided, set: &str, numbers: &[String]) -> Finding {
    let attribute = open.attribute;
    let says = format!(
        "The schedule does not give the {} {} the {}; the price or the goods depend on it.",
        words_of(attribute),
        if matches!(attribute, names::DOOR | names::FOR) { "for" } else { "of" },
        title(category)
    );
    let mut finding = about(
        spec,
        attribute,
        (set, numbers),
        Finding::new("undecided-attribute", Kind::Question, Weight::Goods, says),
    );
    finding.id = format!("job:{} {attribute}", category.name());
    finding.priced_as = match attribute {
        names::FUNCTION => format!("function {}", choice(Some(category), attribute, &open.taken)),
        _ => wording::said(attribute, &open.taken),
    };
    let options = open.options.iter().take(MOST_ANSWERS);
    finding.answers = options
        .map(|(value, _)| set_answer(choice(Some(category), attribute, value), &[spec.id], attribute, value.clone()))
        .collect();
    finding.help = if open.options.len() > MOST_ANSWERS {
        let rest: Vec<String> =
            open.options[MOST_ANSWERS..].iter().map(|(value, _)| choice(Some(category), attribute, value)).collect();
        format!("pick one; also made, to be written into the schedule: {}", rest.join(", "))
    } else {
        "pick one, or write it into the schedule".to_owned()
    };
    finding
}

fn unpriced(job: &Job, category: Category, spec: &Spec, set: &str, numbers: &[String]) -> Finding {
    let near = spec.selection.near.first().map(|(_, why)| format!(" Nearest: {why}.")).unwrap_or_default();
    let says =
        format!("Nothing in the catalog fits this {} as it is written; it carries no price.{near}", title(category));
    let mut finding = Finding::new("no-good-fits", Kind::Question, Weight::Goods, says);
    finding.id = format!("job:{} {}", category.name(), spec.words());
    finding.set = Some(set.to_owned());
    finding.openings = numbers.to_vec();
    finding.lines = vec![spec.id];
    finding.place = Some(spec.place.clone());
    finding.excerpt = spec.words();
    finding.priced_as = "not priced".to_owned();
    if let Some((attribute, values)) = otherwise(job, category, spec) {
        finding.attribute = Some(attribute);
        finding.answers = vec![Answer::new("as written, not priced", Effect::Nothing)];
        finding.answers.extend(
            values.into_iter().map(|value| set_answer(wording::said(attribute, &value), &[spec.id], attribute, value)),
        );
    }
    finding.help = "change the wording, add the product to the catalog, or price it by hand".to_owned();
    finding
}

/// Where a single thing that price lists seldom know (`priced-without` of `trade/rule_words.csv`: how it is screwed on) stands
/// against every good, the good is priced without it, and that is asked. An answer that wants it stands.
fn priced_without(
    job: &Job,
    category: Category,
    spec: &mut Spec,
    set: &str,
    numbers: &[String],
) -> Option<(Finding, Vec<Undecided>)> {
    let written = |name: &&str| {
        let mut all = spec.attributes.iter();
        let said = all.find(|(attribute, sourced)| attribute.name() == *name && matches!(sourced.from, From::Said(_)));
        said.map(|(attribute, sourced)| (*attribute, sourced.clone()))
    };
    let (attribute, said) = rule_words::of("priced-without").iter().find_map(written)?;
    let refused = spec.selection.clone();
    let from = From::Rule("no-good-fits", Grade::Ask);
    spec.attributes.insert(attribute, Sourced { value: Value::text("none"), from });
    let open = select(job, category, spec);
    if spec.selection.candidates.is_empty() {
        spec.attributes.insert(attribute, said);
        spec.selection = refused;
        return None;
    }
    let words = wording::said(attribute, &said.value);
    let says = format!("No {} of the catalog is offered with {words}; it is priced without.", title(category));
    let mut finding =
        about(spec, attribute, (set, numbers), Finding::new("no-good-fits", Kind::Question, Weight::Goods, says));
    finding.id = format!("job:{} without {words}", category.name());
    finding.priced_as = format!("without {words}");
    finding.answers = vec![
        Answer::new(format!("without {words}"), Effect::Nothing),
        set_answer("as written, not priced", &[spec.id], attribute, said.value),
    ];
    finding.help = "ask whether it comes so at no extra, or price it by hand".to_owned();
    Some((finding, open))
}

/// Where a single thing that may be another stands against every good (`made-otherwise` of `trade/rule_words.csv`: a finish,
/// a weight; nothing that a listing or the way out hangs on): that thing, and what such goods are made in.
fn otherwise(job: &Job, category: Category, spec: &Spec) -> Option<(Attr, Vec<Value>)> {
    let asked = first_kind(job, spec);
    rule_words::of("made-otherwise").iter().find_map(|name| {
        let attribute = names::FINISH;
        let attribute =
            if *name == attribute.name() { attribute } else { *asked.keys().find(|key| key.name() == *name)? };
        let made = |rest: &Attributes| {
            let selection = job.select(category, rest.clone());
            let Some(best) = selection.candidates.first() else { return Vec::new() };
            match best.undecided.iter().find(|open| open.attribute == attribute) {
                Some(open) => open.options.iter().map(|(value, _)| value.clone()).collect(),
                None => best.good.attributes.get(&attribute).cloned().into_iter().collect::<Vec<Value>>(),
            }
        };
        let mut rest = asked.clone();
        rest.remove(&attribute);
        let mut all = Vec::new();
        if attribute == names::FINISH {
            rest.remove(&names::LOOK);
            // `Hinge SS` in US26D: first what is made of the metal that the words name.
            if rest.contains_key(&names::BASE) {
                all = made(&rest);
            }
            rest.remove(&names::BASE);
        }
        if rest.len() < asked.len() {
            let more = made(&rest).into_iter().filter(|value| !all.contains(value)).collect::<Vec<_>>();
            all.extend(more);
        }
        (!all.is_empty()).then(|| (attribute, all.into_iter().take(MOST_OTHERWISE).collect()))
    })
}

/// Goods that fit equally well at one price are told: only their names put one first.
fn tie(category: Category, spec: &Spec, set: &str, numbers: &[String]) -> Option<Finding> {
    let (first, rest) = spec.selection.candidates.split_first()?;
    let others: Vec<String> = rest
        .iter()
        .take(spec.selection.tied)
        .map(|other| format!("{} {}", other.good.maker, other.good.designation))
        .collect();
    if others.is_empty() {
        return None;
    }
    let taken = format!("{} {}", first.good.maker, first.good.designation);
    let says = format!(
        "{taken} was taken for this {}; {} fits as well at the same price and comes behind it only by name.",
        title(category),
        others.join(", ")
    );
    let mut finding = Finding::new("equal-goods", Kind::Assumption, Weight::Goods, says);
    finding.id = format!("job:{} {taken}", category.name());
    finding.set = Some(set.to_owned());
    finding.openings = numbers.to_vec();
    finding.lines = vec![spec.id];
    finding.place = Some(spec.place.clone());
    finding.excerpt = spec.words();
    finding.help = "name the maker on the line, or order the makers in the job terms".to_owned();
    Some(finding)
}

/// One assumption for all that was taken as usual.
fn usual_finding(taken: UsualTaken) -> Option<Finding> {
    if taken.is_empty() {
        return None;
    }
    let mut by_category: BTreeMap<Category, Vec<(Attr, String)>> = BTreeMap::new();
    let mut finding = Finding::new("usual-values", Kind::Assumption, Weight::Goods, "");
    let mut openings = Names::default();
    let mut seen: BTreeSet<LineId> = BTreeSet::new();
    for ((category, attribute, value), (lines, numbers)) in taken {
        let said = by_category.entry(category).or_default();
        // Of stops at wall and floor two shapes are usual.
        match said.last_mut() {
            Some((before, words)) if *before == attribute => *words = format!("{words} or {value}"),
            _ => said.push((attribute, value)),
        }
        for line in lines {
            if seen.insert(line) {
                finding.lines.push(line);
            }
        }
        openings.extend(&numbers.into_vec());
    }
    let words = |said: &[(Attr, String)]| said.iter().map(|(_, words)| words.as_str()).collect::<Vec<_>>().join(", ");
    let parts: Vec<String> =
        by_category.iter().map(|(category, said)| format!("{}: {}", title(*category), words(said))).collect();
    finding.openings = openings.into_vec();
    finding.id = "job:".to_owned();
    finding.says = format!("Where nothing is said, the usual was taken. {}.", parts.join("; "));
    finding.help = "write another choice into the schedule where it is wanted".to_owned();
    finding.source = "the trade's usual values, each with its source in trade/usual.csv".into();
    Some(finding)
}

/// Selects for additions. What others supply is not selected.
pub fn additions(job: &Job, added: &mut [Addition]) {
    for addition in added.iter_mut().filter(|addition| addition.ours) {
        select_for(addition, &|category, asked| job.select(category, asked));
    }
}

/// Selects for an addition; `find` is the catalog's answer. An undecided attribute is taken as usual.
pub fn select_for(addition: &mut Addition, find: &dyn Fn(Category, Attributes) -> Arc<Selection>) {
    let mut asked = addition.attributes.clone();
    if let Some(own) = addition.varies.values().next() {
        asked.extend(own.iter().map(|(attribute, value)| (*attribute, value.clone())));
    }
    let mut selection = Arc::new(Selection::default());
    for _ in 0..ROUNDS {
        selection = find(addition.category, asked.clone());
        let taken = selection.candidates.first().and_then(|best| {
            best.undecided.iter().find_map(|open| match weigh(addition.category, open) {
                Taken::Usual(value) => Some((open.attribute, value)),
                _ => None,
            })
        });
        let Some((attribute, value)) = taken else { break };
        asked.insert(attribute, value.clone());
        addition.attributes.insert(attribute, value);
    }
    addition.selection = selection;
}
