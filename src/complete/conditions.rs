//! At which doors of its set a line holds, by the conditions that its words make: facts of the door schedule decide door by door. What
//! no fact decides is left as it is, counted, and asked about (`rules/holds_at.rs`).

use std::collections::BTreeSet;
use std::ops::Range;

use crate::read::schedule::Schedule;
use crate::trade::condition::{Fact, Part, Test, words};
use crate::trade::rule_words;
use crate::understand::reading::{Condition, Remark, RemarkKind, Says};

use super::door::Door;
use super::exposure::Exposure;
use super::job::Job;
use super::left_out;
use super::spec::Spec;

/// What the whole door schedule tells: where no door is said to be rated or exterior, a blank says nothing.
#[derive(Debug, Clone, Copy)]
pub struct Known {
    ratings: bool,
    exterior: bool,
}

impl Known {
    /// Of a schedule and the facts of its doors.
    pub fn of(schedule: &Schedule, doors: &[Door]) -> Known {
        Known {
            ratings: schedule.openings.iter().any(|opening| !opening.rating.text.trim().is_empty())
                || doors.iter().any(|door| door.fire),
            exterior: doors.iter().any(|door| door.exterior || door.exposure == Exposure::Said),
        }
    }
}

/// What a condition makes of the doors of its line.
#[derive(Debug, Default, PartialEq, Eq)]
pub struct Held {
    /// It holds there.
    pub yes: Vec<usize>,
    /// It does not.
    pub no: Vec<usize>,
    /// Nobody says whether it does.
    pub unknown: Vec<usize>,
    /// Said like the number of a door, and none of the job's.
    pub strange: Vec<String>,
    /// The words may speak of a part of the line alone.
    pub doubtful: bool,
}

impl Held {
    /// Whether the line is left out where the condition does not hold: its words mean doors, or it tells the doors of the set apart.
    pub fn counts(&self, condition: &Condition) -> bool {
        self.yes.is_empty() && self.unknown.is_empty() && condition.firm && matches!(condition.says, Says::Facts(_))
            || !self.yes.is_empty()
            || !self.unknown.is_empty()
    }
}

/// Leaves lines out at the doors where their conditions do not hold, and takes from the goods there what holds elsewhere.
pub fn apply(job: &mut Job) {
    let known = Known::of(job.schedule, job.doors);
    for set in 0..job.sets.len() {
        for line in 0..job.sets[set].specs.len() {
            if job.sets[set].specs[line].reading.conditions.is_empty() {
                continue;
            }
            let spec = &job.sets[set].specs[line];
            let held: Vec<(Condition, Held)> = spec
                .reading
                .conditions
                .iter()
                .filter_map(|condition| Some((condition.clone(), of(job, known, spec, condition)?)))
                .filter(|(condition, held)| held.counts(condition))
                .collect();
            let others: Vec<bool> = held.iter().map(|(condition, _)| is_of_others(spec, condition)).collect();
            let Some(spec) = job.sets.get_mut(set).and_then(|set| set.specs.get_mut(line)) else { continue };
            for ((condition, held), others) in held.into_iter().zip(others) {
                match condition.of {
                    None => {
                        if others {
                            spec.others.extend(held.no.iter().copied());
                        }
                        spec.left_out.extend(held.no);
                    }
                    Some(attribute) if !held.no.is_empty() => {
                        let Some(sourced) = spec.attributes.remove(&attribute) else { continue };
                        for opening in held.yes.into_iter().chain(held.unknown) {
                            spec.vary(opening, attribute, sourced.value.clone());
                        }
                    }
                    Some(_) => {}
                }
            }
        }
    }
}

/// Whether where the line is left out others supply the goods, or they are there: `BY OTHERS AT RATED DOORS`.
fn is_of_others(spec: &Spec, condition: &Condition) -> bool {
    let stands = |remark: &&Remark| left_out::leaves_out(remark.kind) && remark.kind != RemarkKind::NotUsed;
    let mut remarks = spec.reading.remarks.iter().filter(stands);
    condition.denied && remarks.any(|remark| condition.follows(&remark.evidence, &spec.wording.text))
}

/// What a condition makes of the counted doors of its line. `None`: it says nothing of doors.
pub fn of(job: &Job, known: Known, spec: &Spec, condition: &Condition) -> Option<Held> {
    let mut held = Held::default();
    let doors = job.doors(spec.id.set);
    match &condition.says {
        Says::Facts(any) => {
            for door in doors {
                let said = any_of(known, door, any).map(|holds| holds != condition.denied);
                held.put(door.index, said);
            }
            held.doubt(spec, condition);
        }
        Says::Place => {
            let named = left_out::of_place(&spec.wording, &spec.reading, condition.span.clone(), job.numbers_said);
            held.strange = named.unknown;
            if !named.doors.is_empty() || !held.strange.is_empty() {
                let named: BTreeSet<usize> = named.doors.into_iter().collect();
                doors.for_each(|door| held.put(door.index, Some(named.contains(&door.index) != condition.denied)));
                if !condition.denied {
                    held.doubt(spec, condition);
                }
                if held.strange.is_empty() || condition.firm || condition.denied {
                    return Some(held);
                }
                return None;
            }
            if !condition.firm {
                return None;
            }
            let rooms = rooms(&spec.wording.text, condition);
            let named = |door: &Door| !rooms.is_empty() && rooms.iter().all(|word| door.words.contains(word.as_str()));
            let any = job.doors(spec.id.set).any(named);
            doors.for_each(|door| held.put(door.index, any.then(|| named(door) != condition.denied)));
        }
        Says::Unclear => {
            let all: Vec<usize> = doors.map(|door| door.index).collect();
            held.unknown = all;
        }
    }
    Some(held)
}

/// `WALL STOP AT 101, FLOOR STOP AT 104`: several conditions tell goods apart, and none speaks of the whole line.
fn is_one_of_several(spec: &Spec) -> bool {
    spec.reading.conditions.iter().filter(|other| other.of.is_none()).count() > 1
}

/// Whether it is open what holds at some doors alone: `CLOSER WITH THRU BOLTS AT WOOD DOORS` may mean the bolts, `REGULAR ARM AT
/// INTERIOR DOORS, PARALLEL ARM AT EXTERIOR DOORS` tells two arms apart, and a bare `(PAIRS)` of which the set has none may be
/// a unit. Goods are asked about then, and counted until somebody answers.
fn is_doubtful(spec: &Spec, condition: &Condition, held: &Held) -> bool {
    if is_one_of_several(spec) {
        return true;
    }
    let text = &spec.wording.text;
    let own = text.get(condition.span.clone()).unwrap_or_default();
    let of_pairs = match &condition.says {
        Says::Facts(any) => any.iter().flatten().all(|test| test.fact == Fact::Pair),
        _ => false,
    };
    if of_pairs && held.yes.is_empty() && !own.trim().contains([' ', '-']) {
        return true;
    }
    let parts = spec.wording.parts.iter().map(|part| part.span.clone());
    let start = parts.filter(|span| span.contains(&condition.span.start)).map(|span| span.start).min().unwrap_or(0);
    let before = text.get(start..condition.span.start).unwrap_or_default().to_ascii_uppercase();
    let at = |sign: &&str| Some(before.rfind(&sign.to_ascii_uppercase())? + sign.len());
    // A bracket that closes again parts nothing.
    let open = |at: &usize| !before[..*at].ends_with('(') || !before[*at..].contains(')');
    let behind = rule_words::of("parts-of-a-line").iter().filter_map(|sign| at(sign).filter(open)).max();
    let said = behind.and_then(|at| before.get(at..)).unwrap_or_default();
    let named = spec.reading.named_at().filter(|named| !named.is_empty() && named.end <= condition.span.start);
    // What stands before the name of the good parts nothing: `1 EA - CLOSER AT RATED DOORS`.
    let begins = |named: &Range<usize>| behind.is_some_and(|behind| start + behind <= named.start);
    let parted = said.chars().any(char::is_alphanumeric) && !named.as_ref().is_some_and(begins);
    parted || follows_a_part(spec, condition)
}

/// Whether words of a part stand right before a condition in its cell.
fn follows_a_part(spec: &Spec, condition: &Condition) -> bool {
    let parts = spec.wording.parts.iter().map(|part| part.span.clone());
    let start = parts.filter(|span| span.contains(&condition.span.start)).map(|span| span.start).min().unwrap_or(0);
    let named = spec.reading.named_at().filter(|named| !named.is_empty() && named.end <= condition.span.start);
    named.is_some_and(|named| is_of_a_part(spec, (start.max(named.end)..condition.span.start, named)))
}

/// `CLOSER PARALLEL ARM AT EXTERIOR DOORS`: the last words before the condition give what only some of such goods have, or name a
/// thing that belongs to them. Any other words, also those that nothing read, are of the whole good.
fn is_of_a_part(spec: &Spec, (between, named): (Range<usize>, Range<usize>)) -> bool {
    let text = spec.wording.text.get(between.clone()).unwrap_or_default();
    let Some(last) = text.rfind(char::is_alphanumeric).map(|at| between.start + at) else { return false };
    if named.contains(&last) {
        return false;
    }
    let word = text.rsplit(|letter: char| !letter.is_alphanumeric()).find(|word| !word.is_empty()).unwrap_or_default();
    let of_part = spec.reading.attributes.iter().filter(|(name, _)| words().is_of_part(name.name()));
    rule_words::is("things-of-goods", word)
        || of_part.flat_map(|(_, heard)| heard.spans()).any(|span| span.contains(&last))
}

impl Held {
    /// Where the condition may be one of a part of the line, nothing is left out by it.
    fn doubt(&mut self, spec: &Spec, condition: &Condition) {
        let of_facts = matches!(condition.says, Says::Facts(_)) && is_doubtful(spec, condition, self);
        let doubtful = || of_facts || is_one_of_several(spec) || follows_a_part(spec, condition);
        if condition.of.is_none() && !self.no.is_empty() && doubtful() {
            self.doubtful = true;
            self.unknown.append(&mut self.no);
        }
    }

    fn put(&mut self, door: usize, holds: Option<bool>) {
        match holds {
            Some(true) => self.yes.push(door),
            Some(false) => self.no.push(door),
            None => self.unknown.push(door),
        }
    }
}

/// The words of a place that name a room: without what leads to them, words for doors and rooms, and the plural.
fn rooms(text: &str, condition: &Condition) -> Vec<String> {
    let said = text.get(condition.span.clone()).unwrap_or_default().to_lowercase();
    let plain = |word: &str| {
        let parts = |part: Part| !matches!(part, Part::Fact(_) | Part::Either(_) | Part::OfDoors(_));
        let of_condition = words().is_word(word, parts);
        of_condition
            || rule_words::is("between-doors", word.trim_end_matches('s'))
            || rule_words::is("not-at-rooms", word)
    };
    let all: Vec<String> = said
        .split(|letter: char| !letter.is_alphanumeric())
        .filter(|word| !word.is_empty() && !plain(word))
        .map(|word| if word.len() > 3 { word.trim_end_matches('s').to_owned() } else { word.to_owned() })
        .collect();
    // The s of "Mayor's" is no word, and an office is the room of a Mayor too: where a name stands beside, it tells.
    let shared = |word: &String| word.len() == 1 || rule_words::is("words-of-rooms", word);
    let own: Vec<String> = all.iter().filter(|word| !shared(word)).cloned().collect();
    if all.iter().any(|word| word.len() == 1) && !own.is_empty() { own } else { all }
}

/// Whether one of several holds of a door; `None` where nobody says.
fn any_of(known: Known, door: &Door, any: &[Vec<Test>]) -> Option<bool> {
    let each = |all: &Vec<Test>| {
        let told: Vec<Option<bool>> = all.iter().map(|test| holds(known, door, *test)).collect();
        if told.contains(&Some(false)) {
            Some(false)
        } else {
            told.iter().all(|one| *one == Some(true)).then_some(true)
        }
    };
    let told: Vec<Option<bool>> = any.iter().map(each).collect();
    if told.contains(&Some(true)) { Some(true) } else { told.iter().all(|one| *one == Some(false)).then_some(false) }
}

/// Whether a fact holds of a door; `None` where nobody says.
fn holds(known: Known, door: &Door, test: Test) -> Option<bool> {
    let made_of = |said: &str, wanted: &str| (!said.is_empty()).then(|| said.contains(wanted));
    let holds = match test.fact {
        Fact::Rated => known.of_rating(door, door.fire)?,
        Fact::Minutes(minutes) => match door.minutes {
            Some(rated) => rated == minutes,
            None if door.fire => return None,
            None => known.of_rating(door, false)?,
        },
        Fact::Smoke => known.of_rating(door, door.smoke)?,
        Fact::Pair => door.is_pair(),
        Fact::Exterior => match &door.exposure {
            _ if door.exterior => true,
            Exposure::Unclear(_) => return None,
            Exposure::Inside if !known.exterior => return None,
            _ => false,
        },
        Fact::Outswing => door.outswing?,
        Fact::Material(wanted) => made_of(&door.door_material, wanted)?,
        Fact::Frame(wanted) => made_of(&door.frame_material, wanted)?,
    };
    Some(holds == test.holds)
}

impl Known {
    fn of_rating(self, door: &Door, holds: bool) -> Option<bool> {
        (holds || self.ratings || door.minutes.is_some()).then_some(holds)
    }
}

/// Whether a line holds at exterior doors only: what it is says nothing of where its doors lead.
pub fn tells_exterior_apart(spec: &Spec) -> bool {
    spec.reading.conditions.iter().any(|condition| match &condition.says {
        Says::Facts(any) => any.iter().flatten().any(|test| test.fact == Fact::Exterior),
        _ => false,
    })
}
