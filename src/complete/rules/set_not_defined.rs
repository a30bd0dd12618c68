//! Doors whose set is not in the file.

use std::collections::{BTreeSet, HashMap};

use crate::complete::reconcile::loose;
use crate::complete::act::{Out, Rule, by_hand, page};
use crate::complete::job::Job;
use crate::finding::{Answer, Effect, Kind, Weight};

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "set-not-defined",
        Kind::Question,
        Weight::Goods,
        "A door names a set that is not defined",
        "the door schedule names a set that no sheet defines",
        "the doors get no hardware and no price; a set of similar name is suggested",
        "",
        ("common practice", "common practice"),
        ("door 101 has set 12A; only set 12 is there", "door 101 has set 12"),
    ),
    run,
    fires: "door 101 36x84 hm set=12A; @12 hinge 3",
    quiet: "door 101 36x84 hm set=12; @12 hinge 3",
};

fn run(job: &Job, out: &mut Out) {
    if job.matching.undefined.is_empty() {
        return;
    }
    let known = Known::of(job.sets.iter().map(|set| set.id.as_str()));
    for (id, openings) in &job.matching.undefined {
        let wanted = loose(id);
        let near = known.nearest(&wanted);
        let mut finding = out.finding(id, format!("Set {id} is named in the door schedule and defined nowhere."));
        finding.openings = openings.iter().filter_map(|index| job.doors.get(*index)).map(|door| door.number.clone()).collect();
        finding.place = openings.first().and_then(|index| job.schedule.openings.get(*index)).map(|door| door.place.clone());
        finding.set = Some(id.clone());
        finding.priced_as = "no hardware for these doors".to_owned();
        if let Some(near) = near {
            finding.answers = vec![
                Answer::new("no hardware for these doors", Effect::Nothing),
                Answer::new(format!("set {near}"), Effect::Served { from: id.clone(), set: near.to_owned() }),
                by_hand("a set that is still to come"),
            ];
        }
        finding.help = match near {
            Some(near) => format!("a set with a similar name is there: {near}; pick it if that is meant, or ask for the missing set"),
            None => "ask for the missing set".to_owned(),
        };
        out.say(finding);
    }
}

/// Letters that may be missing, too many, exchanged or changed in an id that is still near another.
fn slips(id: &str) -> usize {
    (1 + id.chars().count() / 4).min(2)
}

/// Ids of sets, by what is left of each when so many letters are taken out as may be wrong: two ids that are near each other
/// have one of these in common, and a job of thousands of sets need not be compared pair by pair.
struct Known<'j> {
    ids: Vec<(String, &'j str)>,
    by_rest: HashMap<String, Vec<usize>>,
}

impl<'j> Known<'j> {
    fn of(ids: impl Iterator<Item = &'j str>) -> Known<'j> {
        let ids: Vec<(String, &str)> = ids.map(|id| (loose(id), id)).collect();
        let mut by_rest: HashMap<String, Vec<usize>> = HashMap::new();
        for (at, (key, _)) in ids.iter().enumerate() {
            for rest in rests(key) {
                by_rest.entry(rest).or_default().push(at);
            }
        }
        Known { ids, by_rest }
    }

    /// The set whose id is nearest to one that is not there, of those as near the first.
    fn nearest(&self, wanted: &str) -> Option<&'j str> {
        let near: BTreeSet<usize> = rests(wanted).iter().filter_map(|rest| self.by_rest.get(rest)).flatten().copied().collect();
        near.into_iter()
            .filter_map(|at| self.ids.get(at))
            .filter(|(key, _)| same_number(key, wanted))
            .map(|(key, id)| (strsim::osa_distance(key, wanted), *id))
            .min()
            .filter(|(distance, _)| *distance <= slips(wanted) && *distance < wanted.chars().count())
            .map(|(_, id)| id)
    }
}

/// Sets are numbered: 13 is no slip of 12, nor A2 of A1. Only in a long number may figures be missing or exchanged.
fn same_number(one: &str, other: &str) -> bool {
    let figures = |id: &str| id.chars().filter(char::is_ascii_digit).collect::<Vec<char>>();
    let (mut one, mut other) = (figures(one), figures(other));
    let (same, lengths) = (one == other, (one.len(), other.len()));
    one.sort_unstable();
    other.sort_unstable();
    same || lengths.0.min(lengths.1) > 3 && (lengths.0 != lengths.1 || one == other)
}

/// An id, and what is left of it without any one or any two of its letters.
fn rests(id: &str) -> BTreeSet<String> {
    // Longer ids are titles; the first letters tell them apart, and each pair of letters would be another rest.
    let letters: Vec<char> = id.chars().take(24).collect();
    let mut all = BTreeSet::from([letters.iter().collect::<String>()]);
    for _ in 0..slips(id) {
        let shorter: Vec<String> = all.iter().flat_map(|rest| {
            rest.char_indices().map(|(at, letter)| format!("{}{}", &rest[..at], &rest[at + letter.len_utf8()..]))
        }).collect();
        all.extend(shorter);
    }
    all
}

#[cfg(test)]
mod tests {
    use super::{Known, loose};

    #[test]
    fn the_nearest_of_many_is_named_and_a_far_one_is_not() {
        let ids: Vec<String> = (1..=2000).map(|number| format!("H{number:04}")).collect();
        let known = Known::of(ids.iter().map(String::as_str).chain(["12", "AL-1", "7"]));
        for (wanted, near) in
            [("12A", Some("12")), ("L-1", Some("AL-1")), ("LA-1", Some("AL-1")), ("H0457A", Some("H457")), ("9", None), ("QQQ", None), ("13", Some("H013")), ("AL-2", None), ("H2457", None)]
        {
            let found = known.nearest(&loose(wanted)).map(|id| id.replace("H0", "H"));
            assert_eq!(found.as_deref(), near, "{wanted}");
        }
    }
}
