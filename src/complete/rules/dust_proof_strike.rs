//! A bottom bolt lands in a dust-proof strike.

use rust_decimal::Decimal;

use crate::trade::rule_words;
use crate::trade::attribute::{Attributes, names};
use crate::trade::category::Category;
use crate::complete::act::{Out, Rule, page};
use crate::complete::door::Door;
use crate::complete::job::Job;
use crate::complete::spec::Spec;
use crate::finding::{Kind, Weight};

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "dust-proof-strike",
        Kind::Assumption,
        Weight::Goods,
        "Bottom bolt without a floor strike",
        "a pair has flush bolts, in its set or by an answer, and no dust-proof strike",
        "one dust-proof strike for each pair is added; where the only bolt is by its words a top bolt none is, and on a rated pair the fire pin for the bottom edge is spoken of",
        "one for each pair",
        ("code article on flush bolts and coordinators: top-only bolts need a fire pin; strike: common practice", "reported"),
        ("a pair with flush bolts", "a pair with flush bolts and a dust-proof strike"),
    ),
    run,
    fires: "door 101 72x84 hm pair stud; hinge 6; flush-bolt 1 action=manual; mortise-lock 1 function=F07",
    quiet: "door 101 72x84 hm pair stud; hinge 6; flush-bolt 1 action=manual; dust-proof-strike 1; mortise-lock 1 function=F07",
};


const CODE: &str = "dust-proof-strike";

/// A bolt whose words put it at the top, and say nothing of a bottom or a set.
fn top_only(bolt: &Spec) -> bool {
    rule_words::is_top_bolt(&bolt.wording.text)
}

fn run(job: &Job, out: &mut Out) {
    for set in 0..job.sets.len() {
        let bolts = job.lines_of(set, &[Category::FlushBolt]);
        // Bolts of the set, or those that an answer added.
        let has = |door: &&Door| bolts.iter().any(|bolt| !bolt.left_out.contains(&door.index)) || !job.added_to(door.index, &[Category::FlushBolt], CODE).is_empty();
        // A bolt into the head alone has nothing to land in the floor.
        if job.doors(set).all(|door| job.names_at(set, door, &[Category::DustProofStrike])) {
            continue;
        }
        if !bolts.is_empty() && bolts.iter().all(|bolt| top_only(bolt) && job.doors(set).all(|door| bolt.count_at(door) <= Decimal::ONE)) {
            let doors = job.numbers_of(set, |door| door.is_pair() && door.fire);
            if !doors.is_empty() {
                let ids: Vec<_> = bolts.iter().map(|bolt| bolt.id).collect();
                let says = "A top bolt alone on rated pairs: the listing asks for a fire pin near the bottom of the meeting edge; the bolt's maker supplies it.";
                let mut finding = out.about_lines(job, set, &ids, doors, "job:pin", says);
                finding.help = "ask whether the bottom bolt was forgotten; the listing and the authority having jurisdiction decide".to_owned();
                out.say(finding);
            }
            continue;
        }
        let doors: Vec<_> = job.doors(set).filter(|door| door.is_pair() && !job.names_at(set, door, &[Category::DustProofStrike])).filter(has).collect();
        if doors.is_empty() {
            continue;
        }
        let mut attributes = Attributes::new();
        if let Some(finish) = bolts.first().and_then(|bolt| bolt.value(names::FINISH)) {
            attributes.insert(names::FINISH, finish.clone());
        }
        let shares = doors.iter().map(|door| (door.index, Decimal::ONE)).collect();
        out.add(set, Category::DustProofStrike, attributes, shares, "A bottom bolt lands in a dust-proof strike.");
        let numbers = doors.iter().map(|door| door.number.clone()).collect();
        out.say(out.about_set(job, set, numbers, "job:", "Pairs with flush bolts and no floor strike: a dust-proof strike for each pair added."));
    }
}
