//! What the door schedule does not say and prices rest on.

use crate::complete::act::{Out, Rule, page};
use crate::complete::door::Door;
use crate::complete::gather::shown;
use crate::complete::job::Job;
use super::hand_missing;
use crate::read::schedule::Opening;
use crate::finding::{Kind, Weight};

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "facts-missing",
        Kind::Question,
        Weight::Scope,
        "Facts missing in the door schedule",
        "doors give no height or width, no material of door or frame, or no rating where others of the schedule say NR; or no door of a schedule gives thickness or rating",
        "one question for the job, with the doors of each fact; what can be said without them is said",
        "",
        ("common practice", "common practice"),
        ("a door without size", "a door of 3-0 x 7-0"),
    ),
    run,
    fires: "door 101 hm; hinge 3",
    quiet: "door 101 36x84 hm NR thick=1.75; hinge 3",
};

/// When a blank counts as missing.
#[derive(Clone, Copy, PartialEq)]
enum Blank {
    /// At each door, and where no schedule of doors was read at all.
    Always,
    /// At each door of a schedule of doors.
    Each,
    /// Where the whole schedule is blank: at some doors a blank is an answer.
    Whole,
    /// Where the whole schedule is blank, or most doors without a rating say so outright.
    Said,
}

/// A fact in words, what rests on it, when a blank is missing, and whether a door lacks it.
type Fact = (&'static str, &'static str, Blank, fn(&Door, &Opening) -> bool);

const FACTS: &[Fact] = &[
    ("width or height", "number and size of hinges, lengths, plate sizes", Blank::Always, |door, _| door.height.is_none() || door.leaf_widths.is_empty()),
    ("material of the door", "leaf weight, bolts", Blank::Each, |door, _| door.door_material.is_empty()),
    ("material of the frame", "silencers, guards behind cut-outs", Blank::Each, |door, _| door.frame_material.is_empty()),
    ("thickness", "size of hinges: 1-3/4 in is taken", Blank::Whole, |door, _| door.thickness.is_none()),
    ("rating", "closers, latches, listed goods: no rating is taken", Blank::Said, |door, opening| opening.rating.text.trim().is_empty() && !door.fire),
];

/// What the schedule does not say.
struct Missing {
    /// Each fact with its doors and what rests on it, in words.
    says: Vec<String>,
    /// The doors, by index.
    about: Vec<usize>,
    /// Nothing but the thickness, which nearly all doors share: that is taken, not asked.
    only_usual: bool,
}

/// The doors that are looked at, with their rows.
fn looked_at<'j>(job: &'j Job) -> Vec<(&'j Door, &'j Opening)> {
    (0..job.sets.len())
        .flat_map(|set| job.doors(set))
        .filter(|door| !door.aluminum())
        .filter_map(|door| Some((door, job.schedule.openings.get(door.index)?)))
        .collect()
}

/// A schedule that says NR at most of its plain doors says something else by a blank; one that says it at a few does not.
fn say_not(doors: &[(&Door, &Opening)]) -> usize {
    doors.iter().filter(|(door, opening)| !door.fire && !opening.rating.text.trim().is_empty()).count()
}

fn missing(job: &Job, doors: &[(&Door, &Opening)]) -> Missing {
    let schedule = job.doors.iter().any(|door| door.height.is_some() || !door.door_material.is_empty());
    let says_not = say_not(doors);
    let mut says = Vec::new();
    let mut about: Vec<usize> = Vec::new();
    for (fact, rests, blank, missing) in FACTS {
        let without: Vec<&(&Door, &Opening)> = doors.iter().filter(|(door, opening)| missing(door, opening)).collect();
        let whole = without.len() == doors.len();
        let counts = match blank {
            Blank::Always => true,
            Blank::Each => schedule,
            Blank::Whole => schedule && whole,
            Blank::Said => schedule && (whole || says_not >= without.len()),
        };
        if without.is_empty() || !counts {
            continue;
        }
        let numbers: Vec<String> = without.iter().map(|(door, _)| door.number.clone()).collect();
        says.push(if whole { format!("{fact} at any of {} doors ({rests})", doors.len()) } else { format!("{fact} at {} ({rests})", shown(&numbers)) });
        about.extend(without.iter().map(|(door, _)| door.index));
    }
    let only_usual = says.len() == 1 && FACTS.iter().any(|fact| fact.2 == Blank::Whole && says[0].starts_with(fact.0));
    about.sort_unstable();
    about.dedup();
    Missing { says, about, only_usual }
}

/// Whether the schedule is asked for facts that it does not give.
pub fn asks(job: &Job) -> bool {
    if job.terms.rules.get("facts-missing").is_some_and(|word| word.trim() == "off") {
        return false;
    }
    let missing = missing(job, &looked_at(job));
    !missing.about.is_empty() && !missing.only_usual
}

fn run(job: &Job, out: &mut Out) {
    let doors = looked_at(job);
    blank_ratings(&doors, say_not(&doors), out);
    let Missing { mut says, mut about, only_usual } = missing(job, &doors);
    if about.is_empty() {
        return;
    }
    let hands = hand_missing::beside_other_facts(job).filter(|_| !only_usual);
    let mut convention = String::new();
    if let Some((numbers, seen)) = hands {
        says.push(format!("hand at {} (needed before ordering, not for the price)", shown(&numbers)));
        convention = format!(" {seen}");
        let named: std::collections::HashSet<&String> = numbers.iter().collect();
        about.extend(doors.iter().filter(|(door, _)| named.contains(&door.number)).map(|(door, _)| door.index));
        about.sort_unstable();
        about.dedup();
    }
    let openings: Vec<&Opening> = about.iter().filter_map(|index| job.schedule.openings.get(*index)).collect();
    let mut finding = out.finding("job:size", format!("The door schedule does not give: {}.{convention}", says.join("; ")));
    finding.openings = openings.iter().map(|opening| opening.number.clone()).collect();
    finding.place = openings.first().map(|opening| opening.place.clone());
    if only_usual {
        finding.kind = Kind::Assumption;
        finding.help = "check it against the door types".to_owned();
        out.say(finding);
        return;
    }
    finding.priced_as = "quantities as written, three hinges a leaf where none are; lengths at the catalog's usual".to_owned();
    finding.help = "ask for what is missing, or write it into the door schedule".to_owned();
    out.say(finding);
}

/// Blank cells between a few that say NR: not rated, but weaker than said.
fn blank_ratings(doors: &[(&Door, &Opening)], says_not: usize, out: &mut Out) {
    let blank: Vec<_> = doors.iter().filter(|(door, opening)| !door.fire && opening.rating.text.trim().is_empty()).collect();
    if says_not == 0 || says_not >= blank.len() {
        return;
    }
    let mut finding = out.finding("job:blank rating", format!("{} not rated and {} leave the rating blank: a blank was taken as not rated.", if says_not == 1 { "1 door says that it is".to_owned() } else { format!("{says_not} doors say that they are") }, blank.len()));
    finding.kind = Kind::Assumption;
    finding.openings = blank.iter().map(|(door, _)| door.number.clone()).collect();
    finding.place = blank.first().map(|(_, opening)| opening.place.clone());
    finding.help = "check the blanks in rated walls against the plans".to_owned();
    out.say(finding);
}

#[cfg(test)]
mod tests {
    use super::FACTS;
    use crate::complete::example::{completed, speaks};
    use crate::finding::Kind;

    /// Every combination of what a door can lack, beside a door that lacks nothing.
    #[test]
    fn whatever_is_missing_is_one_question_and_the_rest_is_said() {
        let lines = "hinge -; mortise-lock 1 function=F07 electrified=fail-secure; closer 1; stop 1; gasketing 1 kind=smoke; threshold 1";
        for lacks in 0u32..32 {
            let has = |fact: u32| lacks & (1 << fact) == 0;
            let mut door = "door 101 LH".to_owned();
            for (fact, words) in ["36x84", "door=hollow-metal", "frame=hollow-metal", "thick=1.75", "NR"].into_iter().enumerate() {
                if has(u32::try_from(fact).unwrap()) {
                    door.push_str(&format!(" {words}"));
                }
            }
            let job = completed(&format!("{door}; door 102 36x84 hm thick=1.75 NR LH; {lines}"));
            let asked: Vec<_> = job.findings.iter().filter(|finding| finding.code == "facts-missing").collect();
            // Thickness at one door of two is answered by the other's.
            let missing: Vec<&str> = FACTS.iter().zip(0u32..).filter(|(_, fact)| !has(*fact) && *fact != 3).map(|(fact, _)| fact.0).collect();
            assert_eq!(asked.len(), usize::from(!missing.is_empty()), "{door}");
            if let Some(finding) = asked.first() {
                assert_eq!((finding.kind, finding.openings.as_slice()), (Kind::Question, ["101".to_owned()].as_slice()), "{door}");
                for fact in FACTS {
                    assert_eq!(finding.says.contains(fact.0), missing.contains(&fact.0), "{door}: {}", finding.says);
                }
            }
            // Hinges are counted, the wires cross, and both makers are told, whatever the schedule lacks.
            let hinges = &job.sets[0].specs[0];
            assert_eq!(hinges.at.get(&0), hinges.at.get(&1), "{door}");
            assert!(speaks(&job, "power-transfer"), "{door}");
            for what in ["hinge", "mortise lock", "strike", "closer"] {
                assert!(job.preps.iter().any(|prep| prep.opening == 0 && prep.what.contains(what)), "{door}: {what}");
            }
        }
    }
}
