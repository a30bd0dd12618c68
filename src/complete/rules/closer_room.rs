//! Room for a closer at the head.

use crate::complete::act::{Out, Rule, page};
use crate::complete::job::Job;
use crate::finding::{Kind, Weight};
use crate::trade::attribute::names;
use crate::trade::category::Category;

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "closer-room",
        Kind::Note,
        Weight::Goods,
        "Room for the closer at the head",
        "a closer has a top-jamb arm and remarks speak of a deep reveal or frame, or stands on a door of aluminum or glass, whose top rail may be narrow",
        "noted: a long arm, or a drop plate, may come with it; neither is priced unless a line says so",
        "reveal up to 2-7/8 in for the arm as made",
        ("closer maker's application page", "read"),
        ("a closer on an aluminum door", "a closer on a hollow-metal door"),
    ),
    run,
    fires: "door 101 36x84 alum; pivot 1; closer 1; stop 1",
    quiet: "door 101 36x84 hm; hinge 3; mortise-lock 1 function=F07; closer 1; stop 1",
};

fn run(job: &Job, out: &mut Out) {
    for set in 0..job.sets.len() {
        let closers: Vec<_> = job.lines_of(set, &[Category::Closer]).into_iter().filter(|spec| spec.word(names::MOUNTING) != "concealed").collect();
        if closers.is_empty() {
            continue;
        }
        let top_jamb = closers.iter().any(|spec| spec.word(names::ARM) == "top-jamb");
        let narrow = job.numbers_of(set, |door| ["alum", "glass"].iter().any(|material| door.door_material.contains(material)));
        let deep = job.numbers_of(set, |door| top_jamb && door.speaks_of("reveal"));
        let ids: Vec<_> = closers.iter().map(|spec| spec.id).collect();
        if !narrow.is_empty() {
            let says = "Surface closers on doors of aluminum or glass: a top rail narrower than the closer needs a drop plate.";
            let mut finding = out.about_lines(job, set, &ids, narrow, "job:rail", says);
            finding.help = "ask for the height of the top rail before ordering".to_owned();
            out.say(finding);
        }
        if !deep.is_empty() {
            let says = "Top-jamb closers at deep reveals: above 2-7/8 in the arm as made is too short, and a long arm is needed.";
            let mut finding = out.about_lines(job, set, &ids, deep, "job:reveal", says);
            finding.help = "ask for the reveal before ordering".to_owned();
            out.say(finding);
        }
    }
}
