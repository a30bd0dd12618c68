//! Doors of rooms with large electrical equipment.

use crate::complete::act::{Out, Rule, exit_device_instead, page};
use crate::complete::job::Job;
use crate::finding::{Kind, Weight};
use crate::trade::category::Category;

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "electrical-room-exit",
        Kind::Question,
        Weight::LifeSafety,
        "Way out of an electrical room",
        "a room is by its name for electrical equipment, and its door has a lock and no exit device, or an exit device and a hand that swings in",
        "priced as written; an exit device instead of the lock is the other answer, at those doors",
        "equipment of 800 A or more with overcurrent or switching devices, over 600 V, or batteries: listed panic hardware within 25 ft, door opens out",
        ("NEC 110.26(C)(3) since 2014 as reported; older IBC 1200 A from memory", "reported"),
        ("an electrical room with storeroom lock", "an electrical room with exit device"),
    ),
    run,
    fires: "door 101 36x84 hm RHR room=MAIN_ELECTRICAL; hinge 3; mortise-lock 1 function=F07",
    quiet: "door 101 36x84 hm RHR room=MAIN_ELECTRICAL; hinge 3; exit-device 1 type=rim",
};

fn run(job: &Job, out: &mut Out) {
    for set in 0..job.sets.len() {
        if job.unread(set) || job.lines(set).next().is_none() {
            continue;
        }
        let panic = job.names(set, &[Category::ExitDevice]);
        let latched = job.names(set, &[Category::MortiseLock, Category::BoredLock, Category::Deadlock]);
        let without = job.numbers_of(set, |door| door.used_as("electrical") && !panic && latched);
        if !without.is_empty() {
            let says = "Electrical rooms with a lock and no exit device: from 800 A (or 600 V, or batteries) the electrical code wants listed panic hardware and a door that opens out.";
            let mut finding = out.about_set(job, set, without, "job:", says);
            finding.priced_as = "locks as written".to_owned();
            finding.answers = exit_device_instead(job, set, &finding.openings, "below 800 A: as written");
            finding.help = "ask the electrical engineer for the size of the equipment; the authority having jurisdiction decides".to_owned();
            out.say(finding);
        }
        let inward = job.numbers_of(set, |door| door.used_as("electrical") && panic && door.outswing == Some(false));
        if !inward.is_empty() {
            let mut finding = out.about_set(job, set, inward, "job:swing", "Electrical rooms with exit devices on doors that by their hand swing in.");
            finding.priced_as = "as written".to_owned();
            finding.help = "check hand and swing with the architect".to_owned();
            out.say(finding);
        }
    }
}
