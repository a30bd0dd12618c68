//! Electromagnetic holders: one for each leaf, tied to the fire alarm by others.

use crate::complete::act::{Act, Out, Rule, page};
use crate::complete::job::Job;
use crate::complete::spec::Prep;
use crate::finding::{Answer, Effect, Kind, Weight};
use crate::trade::category::Category;
use rust_decimal::Decimal;

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "magnetic-holder",
        Kind::Note,
        Weight::LifeSafety,
        "Doors held open by a magnet",
        "a set has electromagnetic holders",
        "wiring, wall box and the tie to the fire alarm are listed as the electrical trade's; the closer stays; a pair with one holder for two leaves is asked about",
        "the leaf is let go within 10 s of the signal",
        ("VA PG-18-14; IBC 716.2.6.6 from memory", "from memory"),
        ("a wall magnet on a rated door", "a hold-open arm"),
    ),
    run,
    fires: "door 101 36x84 hm stud 20min; hinge 3; closer 1; mortise-lock 1 function=F01; magnetic-holder 1 mounting=wall",
    quiet: "door 101 36x84 hm stud; hinge 3; closer 1 hold_open=true; mortise-lock 1 function=F01",
};

fn run(job: &Job, out: &mut Out) {
    for set in 0..job.sets.len() {
        let lines = job.all_of(set, &[Category::MagneticHolder]);
        let Some(line) = lines.first() else { continue };
        let numbers = job.numbers(set);
        if numbers.is_empty() {
            continue;
        }
        for door in job.doors(set) {
            out.acts.push(Act::Prep(Prep {
                opening: door.index,
                trade: "electrical",
                leaf: "",
                what: "wall box and wiring of the magnetic holder".to_owned(),
                detail: format!("\"{}\"; released by the fire alarm within 10 s", line.words()),
                above_floor: None,
                rule: "magnetic-holder",
            }));
        }
        let says = "Magnetic holders: box, wiring and release by the fire alarm belong to the electrical trade; each leaf keeps its closer.";
        out.say(out.about_set(job, set, numbers, "job:", says));
        let one = job.numbers_of(set, |door| door.is_pair() && job.how_many(set, door, &[Category::MagneticHolder]) == Decimal::ONE);
        if !one.is_empty() {
            let mut finding = out.about_lines(job, set, &[line.id], one, "one", "One magnetic holder for a pair of doors: each leaf that is held needs its own.");
            finding.kind = Kind::Question;
            finding.priced_as = "one".to_owned();
            finding.answers = vec![
                Answer::new("one leaf is held", Effect::Nothing),
                Answer::new("both leaves are held", Effect::Quantity { line: line.id, quantity: Decimal::TWO }),
            ];
            out.say(finding);
        }
    }
}
