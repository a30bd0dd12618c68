//! Whether a door is exterior where the schedule does not say so: judged by its goods, its remarks and its room. Strong
//! evidence is taken and listed, weak evidence is asked about once for the job (`rules/exterior_evidence.rs`).

use std::collections::BTreeSet;

use crate::finding::LineId;
use crate::trade::attribute::names;
use crate::trade::category::Category;
use crate::trade::rule_words;

use super::conditions::tells_exterior_apart;
use super::door::Door;
use super::spec::{CompletedSet, Spec};

/// On what it rests that a door is exterior or is not.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Exposure {
    /// The schedule or an answer says it.
    Said,
    /// Taken as exterior, by this evidence.
    Taken(Vec<&'static str>),
    /// May be exterior, by this evidence; taken as interior meanwhile.
    Unclear(Vec<&'static str>),
    /// Nothing speaks for it.
    Inside,
}

/// Weight of evidence from which a door is taken as exterior.
const TAKEN: i32 = 4;
/// Weight from which it is asked.
const ASKED: i32 = 2;

/// Evidence in words, and its weight: a threshold or a sweep serves inside as well, a weatherstrip does not.
type Evidence = (&'static str, i32);

/// Judges each door of which the schedule says nothing.
pub fn judge(doors: &mut [Door], sets: &[CompletedSet], void: &BTreeSet<LineId>) {
    for set in sets {
        let of_set = of_set(set, void);
        // Goods for the weather are explained already where the set serves doors that are said to be exterior.
        let explained = set.openings.iter().filter_map(|index| doors.get(*index)).any(|door| door.exterior);
        for index in &set.openings {
            let Some(door) = doors.get_mut(*index) else { continue };
            if door.exposure == Exposure::Inside && door.live && !door.aluminum() {
                door.exposure = of_door(door, &of_set, explained);
                door.exterior = matches!(door.exposure, Exposure::Taken(_));
            }
        }
    }
}

fn of_set(set: &CompletedSet, void: &BTreeSet<LineId>) -> Vec<(Evidence, bool)> {
    let any = |wanted: &dyn Fn(&Spec) -> bool| {
        set.specs.iter().any(|spec| !void.contains(&spec.id) && !tells_exterior_apart(spec) && wanted(spec))
    };
    let has = |categories: &'static [Category]| any(&move |spec| spec.is_any(categories));
    let mut found = Vec::new();
    if any(&|spec| spec.is_any(&[Category::Gasketing]) && spec.word(names::KIND) == "weather") {
        found.push((("weatherstrip in the set", 4), false));
    }
    if has(&[Category::RainDrip]) {
        found.push((("a rain drip in the set", 4), false));
    }
    if any(&|spec| {
        spec.is_any(&[Category::Hinge, Category::ContinuousHinge]) && spec.word(names::PIN) == "non-removable"
    }) {
        found.push((("hinge pins that cannot be removed, on a door that swings out", 1), true));
    }
    if has(&[Category::Threshold]) {
        found.push((("a threshold in the set", 1), false));
    }
    if has(&[Category::Sweep]) {
        found.push((("a sweep in the set", 1), false));
    }
    found
}

/// What speaks against it: exterior walls are seldom rated, smoke doors part rooms from corridors, and some rooms have no
/// door but to other rooms. Seals of smoke and sound are called weatherstrip often enough.
fn against(door: &Door) -> Vec<Evidence> {
    let mut against = Vec::new();
    if door.fire {
        against.push(("though it is rated", 2));
    }
    if door.smoke && !door.fire {
        against.push(("though it has a smoke label", 2));
    }
    let inside = |wanted: &str| rule_words::is("rooms-inside", wanted);
    if !door.uses.is_empty() && !door.leads_out && door.uses.iter().all(|of| inside(of)) {
        against.push(("though its room is one that has no door to the outside", 2));
    }
    against
}

fn of_door(door: &Door, of_set: &[(Evidence, bool)], explained: bool) -> Exposure {
    let secure = door.used_as("secure");
    let goods: Vec<Evidence> = of_set
        .iter()
        .filter(|(_, of_swing)| !of_swing || door.outswing == Some(true) && !secure)
        .map(|(evidence, _)| *evidence)
        .collect();
    let sum = |evidence: &[Evidence]| evidence.iter().map(|(_, weight)| weight).sum::<i32>();
    let most = match (door.speaks_of("sound"), explained) {
        (true, _) => ASKED - 1,
        (_, true) => ASKED,
        _ => TAKEN,
    };
    let of_goods = sum(&goods).min(most);
    let mut own = Vec::new();
    if door.speaks_of("weather") {
        own.push(("its remark", 4));
    }
    if door.leads_out && !door.used_as("dwelling") && !door.speaks_of("inner") {
        own.push(("the name of its room", 2));
    }
    let against = against(door);
    let weight = of_goods + sum(&own) - sum(&against);
    let words = || own.iter().chain(&goods).chain(&against).map(|(words, _)| *words).collect();
    match weight {
        TAKEN.. => Exposure::Taken(words()),
        ASKED.. => Exposure::Unclear(words()),
        _ => Exposure::Inside,
    }
}
