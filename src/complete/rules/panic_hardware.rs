//! Rooms where many gather.

use std::collections::HashSet;

use crate::complete::act::{Out, Rule, exit_device_instead, page};
use crate::complete::door::Door;
use crate::complete::job::Job;
use crate::finding::{Kind, Weight};
use crate::trade::rule_words;
use crate::trade::category::Category;

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "panic-hardware",
        Kind::Question,
        Weight::LifeSafety,
        "Locks where panic hardware is expected",
        "a room is by its name or remark for assembly, hazardous goods, or for 50 persons or more, or the job terms give occupancy A, E or H and the door leads out or into a stair; and its door latches or locks without an exit device; push and pull without latch is left alone",
        "priced as written; an exit device instead of the lock is the other answer, at those doors",
        "50 persons in assembly and educational use (100 by NFPA 101), any number with high hazard",
        ("IBC 2021 1010.2.9 and NFPA 101 7.2.1.7 as explained by code articles", "reported"),
        ("an auditorium with a classroom lock", "an auditorium with exit devices"),
    ),
    run,
    fires: "door 101 36x84 hm room=AUDITORIUM; hinge 3; mortise-lock 1 function=F05; stop 1",
    quiet: "door 101 36x84 hm room=AUDITORIUM; hinge 3; exit-device 1 type=rim; stop 1",
};

/// Persons that a remark names: the number before a word for them.
fn persons(words: &str) -> Option<u32> {
    let words: Vec<&str> = words.split(|letter: char| !letter.is_alphanumeric()).filter(|word| !word.is_empty()).collect();
    words.windows(2).filter(|pair| rule_words::is("persons", pair[1])).filter_map(|pair| pair[0].parse().ok()).max()
}

fn gathers(door: &Door) -> bool {
    match persons(&door.words) {
        Some(persons) => persons >= 50,
        // The store of a gymnasium, the kitchen of a cafeteria are no places where many gather.
        None => door.used_as("hazard") || door.used_as("assembly") && !small(door),
    }
}

/// A room where few gather.
fn small(door: &Door) -> bool {
    rule_words::of("small-rooms").iter().any(|other| door.used_as(other))
}

/// Doors that lead out or into a stair, where the job terms name such an occupancy; `told` are asked about by their rooms.
fn by_occupancy(job: &Job, out: &mut Out, set: usize, told: &[String]) {
    // `A-3`, `E`, `H2`: a word (`hotel`) is no group.
    let text = job.terms.building.occupancy.as_deref().unwrap_or_default().trim().to_ascii_uppercase();
    let mut signs = text.chars();
    let letter = signs.next().filter(|_| !signs.next().is_some_and(char::is_alphabetic));
    let Some(letter) = letter.map(String::from).filter(|letter| rule_words::is("panic-occupancies", letter)) else { return };
    let always = rule_words::is("panic-occupancies-always", &letter);
    let told: HashSet<&String> = told.iter().collect();
    let doors = job.numbers_of(set, |door| (door.exterior || door.used_as("stair")) && (always || !small(door)) && !told.contains(&door.number) && persons(&door.words).is_none_or(|persons| persons >= 50 || always));
    if doors.is_empty() {
        return;
    }
    let many = if always { "with high hazard a door on the way out that latches has panic hardware whatever the number of persons" } else { "a door on the way out of 50 persons or more (100 by NFPA 101) that latches has panic hardware" };
    let says = format!("Locks on ways out of occupancy {letter} by the job terms: {many}.");
    let mut finding = out.about_set(job, set, doors, "job:occupancy", says);
    finding.priced_as = "locks as written".to_owned();
    finding.answers = exit_device_instead(job, set, &finding.openings, if always { "not on such a way out: as written" } else { "fewer than 50: as written" });
    finding.help = "ask the architect for the occupant load; the authority having jurisdiction decides".to_owned();
    out.say(finding);
}

fn run(job: &Job, out: &mut Out) {
    for set in 0..job.sets.len() {
        let latched = job.names(set, &[Category::MortiseLock, Category::BoredLock, Category::InterconnectedLock, Category::Deadlock]);
        if job.unread(set) || !latched || job.names(set, &[Category::ExitDevice]) {
            continue;
        }
        let doors = job.numbers_of(set, gathers);
        by_occupancy(job, out, set, &doors);
        if doors.is_empty() {
            continue;
        }
        let says = "Locks at rooms where many gather: from 50 persons (100 by NFPA 101) a door that latches there needs panic hardware.";
        let mut finding = out.about_set(job, set, doors, "job:", says);
        finding.priced_as = "locks as written".to_owned();
        finding.answers = exit_device_instead(job, set, &finding.openings, "fewer than 50: as written");
        finding.help = "ask the architect for the occupant load; the authority having jurisdiction decides".to_owned();
        out.say(finding);
    }
}

#[cfg(test)]
mod tests {
    use super::persons;

    #[test]
    fn a_number_before_a_word_for_persons_counts() {
        assert_eq!(persons("community room assembly, 140 occupants"), Some(140));
        assert_eq!(persons("1200 a switchgear"), None);
        assert_eq!(persons("occupants"), None);
    }
}
