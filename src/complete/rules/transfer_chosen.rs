//! Which transfer was chosen, told to those who prepare for it.

use std::collections::BTreeMap;

use crate::complete::act::{Out, Rule, page};
use crate::complete::devices;
use crate::complete::gather::Names;
use crate::complete::job::Job;
use crate::finding::{Kind, Weight};
use crate::trade::attribute::names;
use crate::trade::category::Category;

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "transfer-chosen",
        Kind::Note,
        Weight::Scope,
        "The transfer that doors and frames are to be prepared for",
        "an opening has an electrified hinge, a wired continuous hinge or a power transfer, by its set or by a rule",
        "one note for each kind with its openings: doors prepared for the one and frames for the other are a known clash on site",
        "",
        ("code and trade articles on power transfers", "reported"),
        ("an electrified hinge", "plain hinges"),
    ),
    run,
    fires: "door 101 36x84 hm stud; hinge 2; hinge 1 conductors=6; mortise-lock 1 function=F07 electrified=fail-secure; stop 1",
    quiet: "door 101 36x84 hm stud; hinge 3; mortise-lock 1 function=F07; stop 1",
};

const CODE: &str = "transfer-chosen";

/// A kind of transfer in words.
fn kind(category: Category, of: &str) -> &'static str {
    match (category, of) {
        (Category::Hinge, _) => "an electrified hinge",
        (Category::ContinuousHinge, _) => "a continuous hinge with a wired section",
        (Category::Pivot, _) => "an electrified pivot",
        (_, "door-loop") => "a surface door loop",
        _ => "a concealed power transfer",
    }
}

fn run(job: &Job, out: &mut Out) {
    for set in 0..job.sets.len() {
        let listed = devices::transfers(job, set);
        let mut kinds: BTreeMap<&'static str, Names> = BTreeMap::new();
        for door in job.doors(set) {
            let lines = listed.iter().filter(|spec| !spec.count_at(door).is_zero()).filter_map(|spec| Some(kind(spec.category?, spec.word(names::TYPE))));
            let added = devices::added_transfers(job, door, CODE).into_iter().filter(|added| added.set == Some(set)).map(|added| {
                kind(added.category, added.attributes.get(&names::TYPE).and_then(|value| value.as_text()).unwrap_or(""))
            });
            for kind in lines.chain(added) {
                kinds.entry(kind).or_default().extend(std::slice::from_ref(&door.number));
            }
        }
        for (kind, doors) in kinds {
            let mut finding = out.about_set(job, set, doors.into_vec(), &format!("job:{kind}"), format!("Wires cross to the leaf by {kind}: door and frame are both to be prepared for it."));
            finding.help = "name it to the door maker and to the frame maker alike, with templates; wiring diagram and elevation go to those who wire it".to_owned();
            out.say(finding);
        }
    }
}
