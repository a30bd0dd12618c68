//! Reads a rendering as a run of the program would, up to the takeoff, and compares it with the truth.

use std::collections::BTreeMap;
use std::path::PathBuf;

use pintle::catalog::Catalog;
use pintle::complete::spec::{Completed, CompletedSet, Status};
use pintle::complete::{Answers, complete};
use pintle::count::count;
use pintle::count::takeoff::{From, Takeoff};
use pintle::read::read;
use pintle::read::schedule::{Opening, loose_id};
use pintle::terms::Terms;
use pintle::understand::{Lexicon, understand_sets};
use rust_decimal::Decimal;

use crate::job::{Door, Good, Job};
use crate::render::{ASIDES, Rendering};
use crate::schedule::Column;

/// What every run needs, loaded once.
pub struct Desk {
    lexicon: Lexicon,
    catalog: Catalog,
}

impl Desk {
    /// Loads word lists and goods.
    pub fn new() -> Desk {
        Desk { lexicon: Lexicon::load(&[]).unwrap(), catalog: Catalog::embedded("2026-11-01").unwrap() }
    }

    /// What differs from the truth, a line each.
    pub fn differences(&self, paths: &[PathBuf], job: &Job, rendering: &Rendering) -> Vec<String> {
        let terms = Terms::default();
        let schedule = match read(paths, &terms.read) {
            Ok(schedule) => schedule,
            Err(why) => return vec![format!("refused: {why}")],
        };
        let readings = understand_sets(&self.lexicon, &schedule);
        let completed = complete(schedule, readings, &self.catalog, &terms, &Answers::new());
        let takeoff = count(&completed, &self.catalog);
        let mut told = Vec::new();
        doors(&completed, job, rendering, &mut told);
        goods(&completed, &takeoff, job, &mut told);
        for line in completed.schedule.sets.iter().flat_map(|set| &set.lines) {
            let strange = |words: &&&str| line.wording.text.contains(**words);
            if let Some(words) = ASIDES.iter().find(strange) {
                told.push(format!("\"{words}\" is no good: {}", line.wording.text.replace('\n', " ")));
            }
        }
        if rendering.sets {
            sets(&completed, job, rendering.ordered, &mut told);
        }
        told
    }
}

fn alike(number: &str) -> String {
    number.trim().to_uppercase()
}

/// Doors, their sets and facts.
fn doors(completed: &Completed, job: &Job, rendering: &Rendering, told: &mut Vec<String>) {
    let schedule = &completed.schedule;
    for door in &job.doors {
        let found: Vec<&Opening> =
            schedule.openings.iter().filter(|opening| alike(&opening.number) == alike(&door.number)).collect();
        let number = &door.number;
        match (found.as_slice(), door.not_used) {
            ([], false) => told.push(format!("door {number} is missing")),
            ([], true) => {}
            ([one], true) if one.excluded.is_some() || one.set.is_none() => {}
            ([_, ..], true) => told.push(format!("door {number} is not used, and counts")),
            ([one], false) => facts(completed, one, door, job, rendering, told),
            ([_, _, ..], false) => told.push(format!("door {number} stands {} times", found.len())),
        }
    }
    for opening in &schedule.openings {
        if !job.doors.iter().any(|door| alike(&door.number) == alike(&opening.number)) {
            told.push(format!("{} is no door", opening.number));
        }
    }
}

fn facts(completed: &Completed, got: &Opening, door: &Door, job: &Job, rendering: &Rendering, told: &mut Vec<String>) {
    let schedule = &completed.schedule;
    let number = &door.number;
    let mut differ = |what: &str, wanted: String, got: String| {
        if wanted != got {
            told.push(format!("door {number}: {what} {wanted}, read {got}"));
        }
    };
    let has = |column: Column| rendering.facts.contains(&column);
    if rendering.sets {
        // The set that serves it, however the schedule spells the id.
        let serves = |set: &&CompletedSet| {
            set.openings
                .iter()
                .any(|at| schedule.openings[*at].place == got.place && schedule.openings[*at].number == got.number)
        };
        let ids: Vec<String> = completed.sets.iter().filter(serves).map(|set| loose_id(&set.id)).collect();
        differ("set", loose_id(&job.sets[door.set].id), ids.join(" and "));
    }
    if got.excluded.is_some() || got.count != 1 {
        differ("stands", "once".into(), format!("{:?} times {}", got.excluded, got.count));
    }
    let inches = |length: Option<pintle::trade::inches::Inches>| length.map_or("?".into(), |length| length.to_string());
    if has(Column::Size) || has(Column::Width) {
        differ("width", door.width.to_string(), inches(got.width));
        differ("height", door.height.to_string(), inches(got.height));
        differ("leaves", door.leaves.to_string(), got.leaves.to_string());
    }
    if has(Column::Rating) {
        let minutes =
            |minutes: Option<u32>| minutes.filter(|one| *one > 0).map_or("none".into(), |one| one.to_string());
        differ("minutes", minutes(door.minutes), minutes(got.rating.minutes));
    }
    if has(Column::Material) {
        differ("material", door.material.to_owned(), got.door_material.clone().unwrap_or_default());
    }
    if has(Column::Hand) && door.leaves == 1 {
        differ("hand", door.hand.to_owned(), got.hand.clone().unwrap_or_default());
    }
    if has(Column::Room) {
        differ("room", door.room.to_uppercase(), got.room.to_uppercase());
    }
}

/// How many of each category each door gets, by lines; what rules add is no matter of reading.
fn goods(completed: &Completed, takeoff: &Takeoff, job: &Job, told: &mut Vec<String>) {
    let mut got: BTreeMap<(String, String), Decimal> = BTreeMap::new();
    for item in &takeoff.items {
        let From::Line(id) = item.from else { continue };
        let Some(spec) = completed.sets[id.set].specs.iter().find(|spec| spec.id == id) else { continue };
        if spec.status == Status::Excluded {
            continue;
        }
        let category = spec.category.map_or("unread".to_owned(), |category| category.name().to_owned());
        for (opening, share) in &item.shares {
            let number = alike(&completed.schedule.openings[*opening].number);
            *got.entry((number, category.clone())).or_default() += *share;
        }
    }
    let mut wanted: BTreeMap<(String, String), Decimal> = BTreeMap::new();
    for door in job.doors.iter().filter(|door| !door.not_used) {
        for good in job.sets[door.set].goods.iter().filter(|good| good.others.is_none()) {
            let at = (alike(&door.number), good.of().category.to_owned());
            *wanted.entry(at).or_default() += Decimal::from(good.pieces);
        }
    }
    for (at, count) in &wanted {
        let found = got.remove(at).unwrap_or_default();
        if found != *count {
            told.push(format!("door {}: {count} {}, counted {}", at.0, at.1, found.normalize()));
        }
    }
    told.extend(
        got.into_iter()
            .map(|((door, category), count)| format!("door {door}: no {category}, counted {}", count.normalize())),
    );
}

/// The goods of each set in their order, those of others among them.
fn sets(completed: &Completed, job: &Job, ordered: bool, told: &mut Vec<String>) {
    let say = |others: bool, category: &str| if others { format!("{category} by others") } else { category.to_owned() };
    for set in &job.sets {
        let found: Vec<&CompletedSet> =
            completed.sets.iter().filter(|one| loose_id(&one.id) == loose_id(&set.id)).collect();
        let specs = found.iter().flat_map(|one| &one.specs);
        if set.not_used {
            if specs.clone().any(|spec| spec.status != Status::Excluded) {
                told.push(format!("set {} is not used, and has goods", set.id));
            }
            continue;
        }
        if found.len() != 1 {
            told.push(format!("set {} stands {} times", set.id, found.len()));
            continue;
        }
        let mut got: Vec<String> = specs
            .map(|spec| {
                say(spec.status == Status::Excluded, spec.category.map_or("unread", |category| category.name()))
            })
            .collect();
        let mut wanted: Vec<String> =
            set.goods.iter().map(|good: &Good| say(good.others.is_some(), good.of().category)).collect();
        // Goods of each leaf stand before those of the pair.
        if set.leaves == 2 && !ordered {
            got.sort();
            wanted.sort();
        }
        if got != wanted {
            told.push(format!("set {}: {}; read {}", set.id, wanted.join(", "), got.join(", ")));
        }
    }
    for one in &completed.sets {
        if !job.sets.iter().any(|set| loose_id(&one.id) == loose_id(&set.id)) {
            told.push(format!("{} is no set", one.id));
        }
    }
}
