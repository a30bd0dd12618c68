//! A transfer with nothing to feed.

use crate::complete::devices;
use crate::finding::{Answer, Effect};
use crate::complete::act::{Out, Rule, page};
use crate::complete::job::Job;
use crate::finding::{Kind, Weight};

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "transfer-without-device",
        Kind::Question,
        Weight::Goods,
        "What is the transfer for?",
        "a set has an electrified hinge or transfer and no electrified device on the leaf",
        "kept and priced",
        "",
        ("common practice", "common practice"),
        ("a hinge of 6 conductors, mechanical lock", "a hinge of 6 conductors, electrified lock"),
    ),
    run,
    fires: "door 101 36x84 hm; hinge 2; hinge 1 conductors=6; mortise-lock 1 function=F07",
    quiet: "door 101 36x84 hm; hinge 2; hinge 1 conductors=6; mortise-lock 1 function=F07 electrified=fail-secure",
};

fn run(job: &Job, out: &mut Out) {
    for set in 0..job.sets.len() {
        let transfers: Vec<_> = devices::transfers(job, set).into_iter().filter(|spec| spec.excluded.is_none()).collect();
        // A line that was not understood may be the device.
        let unread = job.sets[set].specs.iter().any(|spec| spec.category.is_none());
        if transfers.is_empty() || unread || !devices::on_leaf(job, set).is_empty() || job.doors(set).next().is_none() {
            continue;
        }
        let lines: Vec<_> = transfers.iter().map(|spec| spec.id).collect();
        let says = "An electrified hinge or transfer, and no electrified device on the leaf: what is it for?";
        let mut finding = out.about_lines(job, set, &lines, job.numbers(set), "device", says);
        finding.priced_as = "kept as written".to_owned();
        finding.answers = vec![Answer::new("keep it", Effect::Nothing), Answer::new("leave it out", Effect::Exclude { lines })];
        out.say(finding);
    }
}
