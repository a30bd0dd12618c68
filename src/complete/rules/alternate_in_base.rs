//! Doors, sets and notes that are said to be of an alternate.

use crate::complete::act::{Out, Rule, by_hand, page};
use crate::complete::job::Job;
use crate::finding::{Answer, Effect, Kind, LineId, Weight};
use crate::read::alternate;

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "alternate-in-base",
        Kind::Question,
        Weight::Scope,
        "Work of an alternate stands in the schedule",
        "the title of a set, the room or remark of a door, or a note says ALTERNATE NO. 2 and the like",
        "counted in the base bid, and asked; a line that begins so is left out",
        "",
        ("common practice", "common practice"),
        ("remark ALTERNATE NO. 2", "alternate manufacturer"),
    ),
    run,
    fires: "door 101 36x84 hm remark=ALTERNATE_NO_2; hinge 3",
    quiet: "door 101 36x84 hm remark=ALTERNATE_MANUFACTURER; hinge 3",
};

/// How an alternate is priced apart.
const APART: &str = "to price it apart, name the doors or sets that the alternate leaves out under [[alternate]] in the job file";

fn run(job: &Job, out: &mut Out) {
    for set in 0..job.sets.len() {
        let title = alternate(&job.sets[set].title);
        let mut numbers: Vec<String> = Vec::new();
        let mut said = title.clone();
        for door in job.doors(set) {
            let Some(opening) = job.schedule.openings.get(door.index) else { continue };
            if let Some(words) = alternate(&opening.remarks).or_else(|| alternate(&opening.room)) {
                numbers.push(door.number.clone());
                said.get_or_insert(words);
            }
        }
        let Some(said) = said else { continue };
        let whole = title.is_some() || numbers.len() == job.doors(set).count();
        let doors = if whole { job.numbers(set) } else { numbers };
        let lines: Vec<LineId> =
            job.sets[set].specs.iter().filter(|spec| spec.excluded.is_none()).map(|spec| spec.id).collect();
        if lines.is_empty() || doors.is_empty() {
            continue;
        }
        let says = format!("The schedule says \"{said}\" of this work; it is counted in the base bid.");
        let mut finding = out.about_set(job, set, doors, "set", says);
        let outside = "outside the base bid";
        finding.answers = vec![
            Answer::new("in the base bid", Effect::Nothing),
            if whole {
                Answer::new(outside, Effect::Exclude { lines: lines.clone() })
            } else {
                by_hand(outside)
            },
        ];
        finding.lines = lines;
        finding.priced_as = "in the base bid".to_owned();
        finding.help = APART.to_owned();
        out.say(finding);
    }
    let of_sets = job.schedule.sets.iter().flat_map(|set| &set.notes);
    for note in job.schedule.notes.iter().chain(of_sets) {
        let Some(said) = alternate(&note.text) else { continue };
        let says = format!("A note speaks of an alternate, \"{said}\"; nothing was priced for it.");
        let mut finding = out.finding(&format!("job:{}:{}", note.place.sheet, note.place.row), says);
        finding.place = Some(note.place.clone());
        finding.excerpt = note.text.clone();
        finding.priced_as = "nothing for it".to_owned();
        finding.help = format!("ask what the alternate holds; {APART}");
        out.say(finding);
    }
}
