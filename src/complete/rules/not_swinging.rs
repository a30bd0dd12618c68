//! Openings that do not swing: coiling doors, folding partitions, access panels, gates.

use crate::complete::act::{Out, Rule, page};
use crate::complete::door::Door;
use crate::complete::job::Job;
use crate::finding::{Kind, Weight};
use crate::trade::category::Category;

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "not-swinging",
        Kind::Assumption,
        Weight::Scope,
        "Openings that do not swing",
        "remarks or materials name an overhead or coiling door, a folding partition, a sliding door, an access panel or a gate",
        "without a set it is taken as supplied whole by its maker, and not asked about; a set that hangs such a door on hinges is asked about",
        "",
        ("exclusions in public specifications; cylinders for them: a public university standard", "reported"),
        ("an overhead coiling door without set", "a door on hinges"),
    ),
    run,
    fires: "door 101 120x120 noset remark=overhead_coiling_door; door 102 36x84 hm; hinge 3; mortise-lock 1 function=F07; stop 1",
    quiet: "door 102 36x84 hm; hinge 3; mortise-lock 1 function=F07; stop 1",
};

const HUNG: &[Category] = &[Category::Hinge, Category::ContinuousHinge, Category::Pivot, Category::Closer];

/// Whether the opening has no set and needs none of ours.
pub fn needs_no_set(door: &Door) -> bool {
    door.speaks_of("not-swinging")
}

fn run(job: &Job, out: &mut Out) {
    let alone: Vec<&Door> = job.matching.without_set.iter().filter_map(|index| job.doors.get(*index)).filter(|door| needs_no_set(door)).collect();
    if let Some(first) = alone.first() {
        let mut finding = out.finding("job:whole", "Coiling, folding or sliding doors, panels or gates without a set: taken as supplied with all their hardware by their makers.");
        finding.openings = alone.iter().map(|door| door.number.clone()).collect();
        finding.place = job.schedule.openings.get(first.index).map(|opening| opening.place.clone());
        finding.help = "ask whether cylinders keyed to the job are wanted there".to_owned();
        out.say(finding);
    }
    for set in 0..job.sets.len() {
        if !job.names(set, HUNG) {
            continue;
        }
        let doors = job.numbers_of(set, needs_no_set);
        if doors.is_empty() {
            continue;
        }
        let mut finding = out.about_set(job, set, doors, "hung", "By its remarks the door coils, folds or slides, and its set hangs it on hinges or closes it.");
        finding.kind = Kind::Question;
        finding.priced_as = "as written".to_owned();
        finding.help = "ask which holds: the remark or the set".to_owned();
        out.say(finding);
    }
}
