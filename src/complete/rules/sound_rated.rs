//! Doors that keep sound in.

use crate::complete::act::{Out, Rule, page};
use crate::complete::job::Job;
use crate::finding::{Kind, Weight};
use crate::trade::remark;
use crate::trade::category::Category;

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "sound-rated",
        Kind::Question,
        Weight::Goods,
        "A sound-rated door without its seals",
        "room, remark or set title speaks of STC or sound, and the set lacks a perimeter seal or a door bottom",
        "nothing is added; door and seals are usually one tested assembly of the door's maker",
        "",
        ("acoustic door maker's notes; UFC 3-190-02FA on door bottoms", "reported"),
        ("STC 45 in the remarks, no seals", "STC 45 with seal and automatic door bottom"),
    ),
    run,
    fires: "door 101 36x84 wood remark=STC_45; hinge 3; mortise-lock 1 function=F04; stop 1",
    quiet: "door 101 36x84 wood remark=STC_45; hinge 3; mortise-lock 1 function=F04; stop 1; gasketing 1 kind=sound; door-bottom 1 form=automatic",
};

fn run(job: &Job, out: &mut Out) {
    for set in 0..job.sets.len() {
        let title = remark::matters(&[&job.sets[set].title]).contains(&"sound");
        let doors = job.numbers_of(set, |door| title || door.speaks_of("sound"));
        let sealed = job.names(set, &[Category::Gasketing]) && job.names(set, &[Category::DoorBottom, Category::Sweep]);
        if doors.is_empty() || sealed || job.unread(set) || job.lines(set).next().is_none() {
            continue;
        }
        let mut finding = out.about_set(job, set, doors, "job:", "Sound-rated doors whose sets lack seals all around or a door bottom.");
        finding.priced_as = "as written".to_owned();
        finding.help = "ask whether the seals come with the doors; bored locks near the edge may meet a seal".to_owned();
        out.say(finding);
    }
}
