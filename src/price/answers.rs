//! What an answer does: which lines and additions it touches, and what becomes of each. Answers to several questions may
//! touch one line; they are applied together, leaving out last.

use std::collections::{BTreeSet, HashSet};

use rust_decimal::Decimal;

use super::desk::Desk;
use super::quote::PricedItem;
use crate::complete::altered::is_anew;
use crate::complete::asked_for::asked_for;
use crate::complete::rules::{finish_by_base, function_by_kind};
use crate::complete::select::select_for;
use crate::complete::spec::{Addition, Completed, From, Grade, Sourced, Spec, Status};
use crate::count;
use crate::finding::{Effect, Finding, LineId};
use crate::trade::attribute::{Attr, Attributes, Value, names};
use crate::trade::category::Category;
use crate::understand::reading::Unit;

/// A part of the job whose price can change by itself.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub(super) enum Part {
    /// A line.
    Line(LineId),
    /// An addition, by index.
    Added(usize),
    /// What an answer would add: finding, answer, and which of its goods, by index.
    New(usize, usize, usize),
    /// The openings of a finding, worked out anew for each of its answers.
    Anew(usize),
}

/// What an answer does to one part.
#[derive(Debug, Clone)]
pub(super) enum Change<'a> {
    /// New value; for which openings (index), or all of the line.
    Set(Attr, &'a Value, &'a str, Option<BTreeSet<usize>>),
    Category(Category),
    /// New quantity; for which openings (index), or all of the line.
    Quantity(Decimal, Option<BTreeSet<usize>>),
    Exclude,
    Supply,
    Add(Category, &'a Attributes, Decimal),
    /// Takes an addition out for these openings, or for all.
    Drop(Option<BTreeSet<usize>>),
    /// What was read is another.
    Anew,
}

/// What becomes of a part.
pub(super) enum After {
    Line(Box<Spec>, Vec<PricedItem>),
    Added(Box<Addition>, Vec<PricedItem>),
}

impl After {
    pub(super) fn items(&self) -> &[PricedItem] {
        match self {
            After::Line(_, items) | After::Added(_, items) => items,
        }
    }
}

/// The parts that the answers of a finding touch, each with the answer and what it does there.
pub(super) fn touched<'a>(job: &Completed, index: usize, finding: &'a Finding) -> Vec<(usize, Part, Change<'a>)> {
    let named = finding.openings.iter().map(String::as_str).collect();
    let mut all = Vec::new();
    for (answer, given) in finding.answers.iter().enumerate() {
        let mut found = Vec::new();
        does((job, &named), (index, answer, finding), &given.does, &given.value, &mut found);
        all.extend(found.into_iter().map(|(part, change)| (answer, part, change)));
    }
    all
}

/// What one effect touches, after what others of the same answer touch already. `named`: the doors of the finding.
fn does<'a>(
    (job, named): (&Completed, &HashSet<&str>),
    (index, answer, finding): (usize, usize, &'a Finding),
    effect: &'a Effect,
    words: &'a str,
    found: &mut Vec<(Part, Change<'a>)>,
) {
    let all = |lines: &'a [LineId], change: Change<'a>| {
        lines.iter().map(|line| (Part::Line(*line), change.clone())).collect::<Vec<_>>()
    };
    let good = found.len();
    let more = match effect {
        effect if is_anew(effect) => vec![(Part::Anew(index), Change::Anew)],
        Effect::Nothing | Effect::ByHand | Effect::KeepAddition(true) | Effect::Size { .. } | Effect::Served { .. } => {
            Vec::new()
        }
        Effect::Set { lines, attribute, value } => lines
            .iter()
            .map(|line| {
                let openings = some_openings(job, *line, named);
                (Part::Line(*line), Change::Set(*attribute, value, words, openings))
            })
            .collect(),
        Effect::Category { lines, category } => all(lines, Change::Category(*category)),
        Effect::Exclude { lines } => all(lines, Change::Exclude),
        Effect::Supply { lines } => all(lines, Change::Supply),
        Effect::Quantity { line, quantity } => {
            vec![(Part::Line(*line), Change::Quantity(*quantity, some_openings(job, *line, named)))]
        }
        Effect::Add { category, attributes, quantity } => {
            vec![(Part::New(index, answer, good), Change::Add(*category, attributes, *quantity))]
        }
        Effect::Doors { goods, .. } | Effect::Follows { goods } => goods
            .iter()
            .enumerate()
            .map(|(at, (category, attributes, quantity))| {
                (Part::New(index, answer, good + at), Change::Add(*category, attributes, *quantity))
            })
            .collect(),
        Effect::Several(effects) => {
            for effect in effects {
                does((job, named), (index, answer, finding), effect, words, found);
            }
            return;
        }
        Effect::KeepAddition(false) => {
            let openings = openings_of(job, named);
            let belongs = |added: &Addition| {
                let in_set = finding.set.is_none()
                    || added.set.and_then(|set| job.sets.get(set)).map(|set| &set.id) == finding.set.as_ref();
                let at =
                    |openings: &BTreeSet<usize>| added.shares.iter().any(|(opening, _)| openings.contains(opening));
                added.rule == finding.code && in_set && (openings.as_ref().is_none_or(at) || added.shares.is_empty())
            };
            let parts = job.added.iter().enumerate().filter(|(_, added)| belongs(added));
            parts.map(|(index, _)| (Part::Added(index), Change::Drop(openings.clone()))).collect()
        }
    };
    found.extend(more);
}

/// The openings a finding names, if it names any.
fn openings_of(job: &Completed, named: &HashSet<&str>) -> Option<BTreeSet<usize>> {
    if named.is_empty() {
        return None;
    }
    let openings = job.schedule.openings.iter().enumerate();
    Some(openings.filter(|(_, opening)| named.contains(opening.number.as_str())).map(|(index, _)| index).collect())
}

/// The openings of a line that a finding names, where they are only some of those its set serves.
fn some_openings(job: &Completed, line: LineId, named: &HashSet<&str>) -> Option<BTreeSet<usize>> {
    if named.is_empty() {
        return None;
    }
    let set = job.sets.get(line.set)?;
    let doors = set.openings.iter().filter_map(|index| Some((*index, job.schedule.openings.get(*index)?)));
    let counted = doors.filter(|(_, door)| door.excluded.is_none());
    let (served, others): (Vec<_>, Vec<_>) = counted.partition(|(_, door)| named.contains(door.number.as_str()));
    (!served.is_empty() && !others.is_empty()).then(|| served.into_iter().map(|(index, _)| index).collect())
}

/// A part after changes. `None`: no good of the catalog fits, so its money is not known.
pub(super) fn after(desk: &Desk, part: Part, changes: &[Change]) -> Option<After> {
    match part {
        Part::Line(id) => line_after(desk, id, changes),
        Part::Added(index) => addition_after(desk, index, changes),
        Part::New(finding, ..) => new_after(desk, finding, changes),
        Part::Anew(_) => None,
    }
}

fn line_after(desk: &Desk, id: LineId, changes: &[Change]) -> Option<After> {
    let set = desk.job.sets.get(id.set)?;
    let mut spec = set.specs.get(id.line)?.clone();
    let mut select = false;
    for change in changes {
        match change {
            Change::Category(category) if spec.category == Some(*category) => {}
            Change::Category(category) => {
                spec.category = Some(*category);
                let function = function_by_kind::of_kind(&spec).into_iter().next();
                spec.attributes.retain(|_, sourced| matches!(sourced.from, From::Said(_) | From::Answer(_)));
                finish_by_base::of_other_goods(&mut spec);
                if let Some(function) = function {
                    set_attribute(&mut spec, names::FUNCTION, &function, "");
                }
                select = true;
            }
            Change::Set(attribute, value, words, None) => {
                set_attribute(&mut spec, *attribute, value, words);
                select = true;
            }
            // What the other openings of the line get stays as it is.
            Change::Set(attribute, value, _, Some(openings)) => {
                openings.iter().for_each(|opening| spec.vary(*opening, *attribute, (*value).clone()));
            }
            Change::Quantity(quantity, openings) => set_quantity(desk.job, &mut spec, *quantity, openings.as_ref()),
            Change::Exclude | Change::Supply | Change::Add(..) | Change::Drop(_) | Change::Anew => {}
        }
    }
    let was_out = matches!(spec.status, Status::Excluded | Status::Unread);
    if changes.iter().any(|change| matches!(change, Change::Exclude)) {
        spec.status = Status::Excluded;
        spec.excluded.get_or_insert_with(|| "by answer".to_owned());
    } else if !changes.is_empty() && was_out && spec.category.is_some() {
        spec.status = Status::Open;
        spec.excluded = None;
        select |= spec.selection.candidates.is_empty();
    }
    if select && spec.status != Status::Excluded {
        let other_category = changes.iter().any(|change| matches!(change, Change::Category(_)));
        reselect(desk, &mut spec, other_category)?;
    }
    let items = desk.price(count::line(&desk.job.schedule, set, &spec, desk.catalog), spec.category);
    Some(After::Line(Box::new(spec), items))
}

/// Sets an attribute and drops what merely followed from its former value: a finish settles look and base metal, and
/// a look or base metal unsettles a finish that the words do not give.
fn set_attribute(spec: &mut Spec, attribute: Attr, value: &Value, words: &str) {
    let follows: &[Attr] = match attribute {
        names::FINISH => &[names::LOOK, names::BASE],
        names::LOOK | names::BASE => &[names::FINISH],
        _ => &[],
    };
    for other in follows {
        if spec.attributes.get(other).is_some_and(|sourced| !matches!(sourced.from, From::Said(_) | From::Answer(_))) {
            spec.attributes.remove(other);
        }
    }
    spec.answer(attribute, value, words);
    for varied in spec.varies.values_mut() {
        varied.remove(&attribute);
    }
    spec.varies.retain(|_, varied| !varied.is_empty());
}

fn set_quantity(job: &Completed, spec: &mut Spec, quantity: Decimal, openings: Option<&BTreeSet<usize>>) {
    let Some(openings) = openings else {
        spec.quantity = quantity;
        spec.at.clear();
        return;
    };
    for index in openings {
        let leaves = match spec.basis {
            crate::read::schedule::Basis::Leaf => job.schedule.openings.get(*index).map_or(1, |opening| opening.leaves),
            _ => 1,
        };
        spec.at.insert(*index, quantity.saturating_mul(Decimal::from(leaves)));
    }
}

/// Selects anew. Where nothing fits, an assumed attribute gives way, one at a time in order of name, then all of them; a
/// change of category keeps at last only what every category knows. Failing all that, `None`.
fn reselect(desk: &Desk, spec: &mut Spec, other_category: bool) -> Option<()> {
    let category = spec.category?;
    let asked = |keep: &dyn Fn(Attr, &Sourced) -> bool| -> Attributes {
        let kept = spec.attributes.iter().filter(|(name, sourced)| keep(**name, sourced));
        kept.map(|(name, sourced)| (*name, sourced.value.clone())).collect()
    };
    let firm =
        |sourced: &Sourced| !matches!(sourced.from, From::Catalog(_) | From::Rule(_, Grade::Assumed | Grade::Ask));
    let shared = [names::FINISH, names::LOOK, names::BASE, names::MAKER];
    let mut tries: Vec<Attributes> = vec![asked(&|_, _| true)];
    for (weak, _) in spec.attributes.iter().filter(|(_, sourced)| !firm(sourced)) {
        tries.push(asked(&|name, _| name != *weak));
    }
    tries.push(asked(&|_, sourced| firm(sourced)));
    if other_category {
        tries.push(asked(&|name, _| shared.contains(&name)));
    }
    let selection =
        tries.iter().map(|asked| desk.select(category, asked)).find(|found| !found.candidates.is_empty())?;
    spec.selection = selection;
    Some(())
}

fn addition_after(desk: &Desk, index: usize, changes: &[Change]) -> Option<After> {
    let mut added = desk.job.added.get(index)?.clone();
    for change in changes {
        match change {
            Change::Drop(Some(openings)) if !added.shares.is_empty() => {
                added.shares.retain(|(opening, _)| !openings.contains(opening));
            }
            Change::Drop(_) => added.shares.clear(),
            _ => {}
        }
    }
    let items = desk.addition(index, &added);
    Some(After::Added(Box::new(added), items))
}

fn new_after(desk: &Desk, finding: usize, changes: &[Change]) -> Option<After> {
    let finding = desk.job.findings.get(finding)?;
    let [Change::Add(category, attributes, quantity)] = changes else {
        // Not chosen: nothing is added.
        return Some(After::Added(Box::new(empty_addition(Category::Other, finding)), Vec::new()));
    };
    let mut added = asked_for((finding, ""), (desk.doors(), &desk.job.sets), *category, attributes, *quantity)?;
    select_for(&mut added, &|category, asked| desk.select(category, &asked));
    added.selection.candidates.first()?;
    let items = desk.addition(desk.job.added.len(), &added);
    Some(After::Added(Box::new(added), items))
}

fn empty_addition(category: Category, finding: &Finding) -> Addition {
    Addition {
        category,
        attributes: Attributes::new(),
        unit: Unit::Each,
        shares: Vec::new(),
        varies: Default::default(),
        rule: finding.code,
        why: finding.says.clone(),
        set: None,
        ours: true,
        by: None,
        selection: Default::default(),
    }
}
