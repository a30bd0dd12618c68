//! Labelled doors and frames must be prepared by their makers.

use crate::complete::devices;
use crate::complete::act::{Out, Rule, page};
use crate::complete::job::Job;
use crate::finding::{Kind, Weight};

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "template-first",
        Kind::Note,
        Weight::LifeSafety,
        "Templates before labelled doors are made",
        "a fire door has an electrified hinge or transfer",
        "templates go to the door and frame makers before release; work on site is limited to surface hardware and small holes",
        "holes of 1 in at most",
        ("NFPA 80 on job-site preparation", "reported"),
        ("electrified hinge on a 90 minute door", "electrified hinge on a door without label"),
    ),
    run,
    fires: "door 101 36x84 hm stud 90min; hinge 3; closer 1; mortise-lock 1 function=F07 electrified=fail-secure",
    quiet: "door 101 36x84 hm stud; hinge 3; mortise-lock 1 function=F07 electrified=fail-secure",
};

fn run(job: &Job, out: &mut Out) {
    for set in 0..job.sets.len() {
        if devices::on_leaf(job, set).is_empty() && devices::transfers(job, set).is_empty() {
            continue;
        }
        let numbers: Vec<String> = job.doors(set).filter(|door| door.fire).map(|door| door.number.clone()).collect();
        if !numbers.is_empty() {
            let says = "Labelled doors and frames with wiring: preparation belongs to their makers, before labelling; send the templates before release.";
            let mut finding = out.about_set(job, set, numbers, "job:", says);
            finding.help = "the label service and the authority having jurisdiction decide what may be done on site".to_owned();
            out.say(finding);
        }
    }
}
