//! Hinge pins on the open side of a secure room.

use crate::complete::act::{Out, Rule, page};
use crate::complete::gather::set_answer;
use crate::complete::job::Job;
use crate::finding::{Answer, Effect, Kind, Weight};
use crate::trade::attribute::{Value, names};
use crate::trade::category::Category;

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "secure-side-pin",
        Kind::Question,
        Weight::Goods,
        "Hinge pins outside a secure room",
        "a server, records, cash or drug room swings toward its corridor, and its hinges do not say non-removable pin",
        "priced as written; non-removable pins are the other answer",
        "",
        ("retailer's article on pins", "reported"),
        ("a server room RHR with plain hinges", "a server room RH"),
    ),
    run,
    fires: "door 101 36x84 hm RHR room=SERVER; hinge 3; mortise-lock 1 function=F07; stop 1",
    quiet: "door 101 36x84 hm RH room=SERVER; hinge 3; mortise-lock 1 function=F07; stop 1",
};

fn run(job: &Job, out: &mut Out) {
    for set in 0..job.sets.len() {
        let doors = job.numbers_of(set, |door| door.used_as("secure") && !door.exterior && door.outswing == Some(true));
        let lines: Vec<_> = job.lines_of(set, &[Category::Hinge]).into_iter().filter(|spec| !spec.says(names::PIN)).map(|spec| spec.id).collect();
        if doors.is_empty() || lines.is_empty() {
            continue;
        }
        let mut finding = out.about_lines(job, set, &lines, doors, "job:", "Secure rooms whose hinge pins stand on the open side: a pin that can be driven out opens the door.");
        finding.priced_as = "pins as written".to_owned();
        finding.attribute = Some(names::PIN);
        finding.answers = vec![
            Answer::new("as written", Effect::Nothing),
            set_answer("non-removable pins", &lines, names::PIN, Value::text("non-removable")),
        ];
        out.say(finding);
    }
}
