//! Doors whose set is not in the file.
use crate::complete::reconcile::loose;
use crate::complete::act::{Out, Rule, page};
use crate::complete::job::Job;
use crate::finding::{Kind, Weight};

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
    for (id, openings) in &job.matching.undefined {
        let wanted = loose(id);
        let near = job
            .sets
            .iter()
            .map(|set| (strsim::osa_distance(&loose(&set.id), &wanted), set.id.as_str()))
            .min()
            .filter(|(distance, _)| *distance <= 1 + wanted.len() / 4 && *distance < wanted.chars().count());
        let mut finding = out.finding(id, format!("Set {id} is named in the door schedule and defined nowhere."));
        finding.openings = openings.iter().filter_map(|index| job.doors.get(*index)).map(|door| door.number.clone()).collect();
        finding.place = openings.first().and_then(|index| job.schedule.openings.get(*index)).map(|door| door.place.clone());
        finding.set = Some(id.clone());
        finding.priced_as = "no hardware for these doors".to_owned();
        finding.help = match near {
            Some((_, near)) => format!("a set with a similar name is there: {near}; correct the schedule or send the set"),
            None => "ask for the missing set".to_owned(),
        };
        out.say(finding);
    }
}
