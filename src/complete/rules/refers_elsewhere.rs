//! Lines that send the reader elsewhere for what they mean.

use crate::complete::act::{Out, Rule, page};
use crate::complete::job::Job;
use crate::finding::{Kind, Weight};
use crate::understand::reading::RemarkKind;

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "refers-elsewhere",
        Kind::Question,
        Weight::Goods,
        "What a line means stands elsewhere",
        "a line says see spec or see note, match existing, per owner's standard, by key shop, to be verified",
        "priced by what the words do say; one question for each kind of remark in the job",
        "",
        ("common practice", "common practice"),
        ("LOCK, MATCH EXISTING", "LOCK F07"),
    ),
    run,
    fires: "door 101 36x84 hm; hinge 3; mortise-lock 1 function=F07 existing-match; stop 1",
    quiet: "door 101 36x84 hm; hinge 3; mortise-lock 1 function=F07; stop 1",
};

/// Kind of remark, name of the matter, what is said, what to do.
const SAID: &[(RemarkKind, &str, &str, &str)] = &[
    (RemarkKind::SeeElsewhere, "see", "Lines refer to a specification, note or detail that was not read.", "read it, and write what it says into the line"),
    (RemarkKind::MatchExisting, "match", "Lines are to match what exists: make, finish and keyway are not known.", "ask for maker, finish and keyway of what exists"),
    (RemarkKind::OwnerStandard, "owner", "Lines follow a standard of the owner or the work of a key shop, which is not given.", "ask for the owner's standard"),
    (RemarkKind::Verify, "verify", "Lines are to be verified: the schedule itself does not stand by them.", "ask what holds"),
];

fn run(job: &Job, out: &mut Out) {
    for set in 0..job.sets.len() {
        let doors = job.numbers(set);
        if doors.is_empty() {
            continue;
        }
        for spec in job.lines(set) {
            for (kind, about, says, help) in SAID {
                if !spec.reading.remarks.iter().any(|remark| remark.kind == *kind) {
                    continue;
                }
                let mut finding = out.about_lines(job, set, &[spec.id], doors.clone(), &format!("job:{about}"), *says);
                finding.priced_as = "by the words that are there".to_owned();
                finding.help = (*help).to_owned();
                out.say(finding);
            }
        }
    }
}
