//! Lines and doors that others supply.

use crate::complete::act::{Out, Rule, page};
use crate::complete::door::Door;
use crate::complete::job::Job;
use crate::complete::spec::Spec;
use crate::finding::{Kind, Weight};

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "line-excluded",
        Kind::Assumption,
        Weight::Scope,
        "Supplied by others or left as it is",
        "a line or a door says by others, not in contract, by owner, existing to remain",
        "quantity nothing; the line stays with its reason; whether preps and templates are still ours is to be settled",
        "",
        ("common practice", "common practice"),
        ("CARD READER BY SECURITY", "CARD READER"),
    ),
    run,
    fires: "door 101 36x84 hm; hinge 3; reader 1 others",
    quiet: "door 101 36x84 hm; hinge 3; reader 1",
};

fn run(job: &Job, out: &mut Out) {
    for set in 0..job.sets.len() {
        let alternate = |spec: &Spec| spec.excluded.as_deref().and_then(crate::read::alternate).is_some();
        let told = |spec: &Spec| job.void.contains(&spec.id) && !alternate(spec) || job.ruled_out.contains(&spec.id);
        let lines: Vec<_> = job.sets[set].specs.iter().filter(|spec| spec.excluded.is_some() && !told(spec)).collect();
        if lines.is_empty() {
            continue;
        }
        let words: Vec<String> = lines.iter().map(|spec| format!("\"{}\"", spec.words())).collect();
        let ids: Vec<_> = lines.iter().map(|spec| spec.id).collect();
        let says = format!("Not in our supply, as the words say: {}.", words.join("; "));
        let mut finding = out.about_lines(job, set, &ids, job.numbers(set), "lines", says);
        finding.help = "settle whether templates and coordination are still ours; new strikes or filler plates for existing goods".to_owned();
        out.say(finding);
    }
    let doors: Vec<_> = job.doors.iter().filter(|door| !door.live).collect();
    if let Some(first) = doors.first() {
        let says = format!("Doors left out of all counts, by the words of the schedule: {}.", by_words(&doors, job));
        let mut finding = out.finding("job:doors", says);
        finding.openings = doors.iter().map(|door| door.number.clone()).collect();
        finding.place = job.schedule.openings.get(first.index).map(|opening| opening.place.clone());
        finding.help = "name them in the exclusions".to_owned();
        out.say(finding);
    }
}

/// Numbers named at most for each of the words.
const LISTED: usize = 8;

/// The doors by the words that leave them out: `104, 116 (by storefront supplier); 109 (cased opening)`.
fn by_words(doors: &[&Door], job: &Job) -> String {
    let mut all: Vec<(String, Vec<&str>)> = Vec::new();
    for door in doors {
        let words = job.schedule.openings.get(door.index).and_then(|opening| opening.excluded.as_deref());
        let words = words.unwrap_or_default().to_lowercase();
        match all.iter_mut().find(|(known, _)| *known == words) {
            Some((_, numbers)) => numbers.push(&door.number),
            None => all.push((words, vec![&door.number])),
        }
    }
    let named = all.iter().map(|(words, numbers)| {
        let more = numbers.len().saturating_sub(LISTED);
        let named = numbers[..numbers.len() - more].join(", ");
        let more = if more > 0 { format!(" and {more} more") } else { String::new() };
        if words.is_empty() { format!("{named}{more}") } else { format!("{named}{more} ({words})") }
    });
    named.collect::<Vec<_>>().join("; ")
}
