//! Overhead stops that meet other goods at the head of the door.

use crate::complete::act::{Out, Rule, page};
use crate::complete::job::Job;
use crate::finding::{Kind, Weight};
use crate::trade::attribute::names;
use crate::trade::category::Category;

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "overhead-and-closer",
        Kind::Note,
        Weight::Goods,
        "Overhead stop and closer on one leaf",
        "a set has an overhead stop or holder, and a surface closer or swing-clear hinges",
        "a note for the templates; a friction or hold-open stop beside a closer is asked about, since they work against each other",
        "",
        ("door-stop and frame makers' guides", "reported"),
        ("an overhead stop and a closer", "an overhead stop without closer"),
    ),
    run,
    fires: "door 101 36x84 hm; hinge 3; mortise-lock 1 function=F07; closer 1; overhead-stop 1",
    quiet: "door 101 36x84 hm; hinge 3; mortise-lock 1 function=F07; overhead-stop 1",
};

fn run(job: &Job, out: &mut Out) {
    for set in 0..job.sets.len() {
        let doors = job.numbers(set);
        let overhead = job.all_of(set, &[Category::OverheadStop]);
        if overhead.is_empty() || doors.is_empty() {
            continue;
        }
        let closer = job.names(set, &[Category::Closer]);
        let clear = job.all_of(set, &[Category::Hinge]).iter().any(|spec| spec.is_set(names::SWING_CLEAR));
        let ids: Vec<_> = overhead.iter().map(|spec| spec.id).collect();
        let holds = overhead.iter().any(|spec| matches!(spec.word(names::ACTION), "friction" | "hold-open"));
        if closer && holds {
            let says = "An overhead holder or friction stay beside a closer: the one holds what the other closes.";
            let mut finding = out.about_lines(job, set, &ids, doors.clone(), "hold", says);
            finding.kind = Kind::Question;
            finding.priced_as = "both, as written".to_owned();
            finding.help = "a closer with hold-open arm, or a plain stop, is usual; ask the architect".to_owned();
            out.say(finding);
        } else if closer || clear {
            let other = if closer { "a surface closer" } else { "swing-clear hinges" };
            let says = format!("An overhead stop and {other} on one leaf: their templates meet at the head; ask the makers for the template that goes with both.");
            out.say(out.about_lines(job, set, &ids, doors, &format!("job:{other}"), says));
        }
    }
}
