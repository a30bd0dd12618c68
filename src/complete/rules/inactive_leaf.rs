//! Inactive leaves that nothing holds.

use rust_decimal::Decimal;

use crate::complete::act::{Out, Rule, page};
use crate::complete::door::Door;
use crate::complete::job::{Job, SLIDES};
use crate::finding::{Answer, Effect, Kind, Weight};
use crate::trade::attribute::{Attributes, Value, names};
use crate::trade::category::Category;

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "inactive-leaf",
        Kind::Question,
        Weight::Goods,
        "Nothing holds the inactive leaf",
        "a pair, not of aluminum, has one lock or exit device, and no bolts, mullion or electromagnetic lock",
        "priced as written; flush bolts (automatic on a rated pair) are the other answer",
        "one set of bolts and one floor strike for each pair",
        ("code articles on flush bolts and coordinators", "reported"),
        ("a pair with one lock", "a pair with one lock and flush bolts"),
    ),
    run,
    fires: "door 101 72x84 hm pair stud; hinge 6; mortise-lock 1 function=F07",
    quiet: "door 101 72x84 hm pair stud; hinge 6; mortise-lock 1 function=F07; flush-bolt 1 action=manual",
};

const LATCHING: &[Category] = &[Category::MortiseLock, Category::BoredLock, Category::Deadlock, Category::ExitDevice];
const HOLDING: &[Category] = &[Category::FlushBolt, Category::SurfaceBolt, Category::Mullion, Category::ElectromagneticLock];

/// What the rules add to bolts: a strike in the floor, and a coordinator on rated pairs.
fn follow(job: &Job, set: usize, doors: &[&Door]) -> Vec<(Category, Attributes, Decimal)> {
    let count = |fire_only: bool| Decimal::from(doors.iter().filter(|door| door.fire || !fire_only).map(|door| door.count).sum::<u32>());
    [(Category::DustProofStrike, false), (Category::Coordinator, true)]
        .into_iter()
        .filter(|(category, _)| !job.names(set, &[*category]))
        .map(|(category, fire_only)| (category, Attributes::new(), count(fire_only)))
        .filter(|(_, _, count)| !count.is_zero())
        .collect()
}

fn run(job: &Job, out: &mut Out) {
    for set in 0..job.sets.len() {
        if job.unread(set) {
            continue;
        }
        let (rated, plain): (Vec<&Door>, Vec<&Door>) = job.doors(set).filter(|door| door.is_pair() && !door.aluminum() && !job.names_at(set, door, HOLDING) && job.how_many(set, door, LATCHING) == Decimal::ONE && !door.speaks_of(SLIDES)).partition(|door| door.fire);
        if rated.is_empty() && plain.is_empty() || job.slides(set) {
            continue;
        }
        // Rated pairs need bolts that work by themselves, the others of the set do not: asked one by one.
        ask(job, out, set, &rated, "automatic");
        ask(job, out, set, &plain, "manual");
    }
}

fn ask(job: &Job, out: &mut Out, set: usize, doors: &[&Door], action: &str) {
    if doors.is_empty() {
        return;
    }
    let count: u32 = doors.iter().map(|door| door.count).sum();
    let attributes = Attributes::from([(names::ACTION, Value::text(action))]);
    let numbers = doors.iter().map(|door| door.number.clone()).collect();
    let (about, says) = if action == "automatic" {
        ("job:rated", "Rated pairs with one lock and no bolts: nothing holds the inactive leaf, and the lock has nothing firm to latch into.")
    } else {
        ("job:", "Pairs with one lock and no bolts: nothing holds the inactive leaf, and the lock has nothing firm to latch into.")
    };
    let mut finding = out.about_set(job, set, numbers, about, says);
    finding.priced_as = "no bolts".to_owned();
    finding.answers = vec![
        Answer::new("as written", Effect::Nothing),
        Answer::new(format!("{action} flush bolts"), Effect::Several(vec![
            Effect::Add { category: Category::FlushBolt, attributes, quantity: Decimal::from(count) },
            Effect::Follows { goods: follow(job, set, doors) },
        ])),
    ];
    finding.help = "ask the architect how the inactive leaf is held".to_owned();
    out.say(finding);
}

#[cfg(test)]
mod tests {
    use crate::complete::example::completed;

    #[test]
    fn doors_that_slide_have_no_inactive_leaf_and_no_silencers() {
        let says = |remark: &str| {
            let job = completed(&format!("door 101 72x84 hm pair stud {remark}; hinge 6; mortise-lock 1 function=F07"));
            let of = |code: &str| job.findings.iter().any(|finding| finding.code == code);
            [of("inactive-leaf"), of("silencer")]
        };
        assert_eq!(says("remark=pocket_doors"), [false, false]);
        assert_eq!(says("remark=bi-parting_slider"), [false, false]);
        assert_eq!(says("remark=pocket_lite"), [true, true]);
        // What a line says of doors that slide is said of the set by goods for such doors alone, where nothing hangs on hinges.
        let lines = |lines: &str| {
            let job = completed(&format!("door 101 72x84 hm pair stud; mortise-lock 1 function=F07; {lines}"));
            let of = |code: &str| job.findings.iter().any(|finding| finding.code == code);
            [of("inactive-leaf"), of("silencer")]
        };
        assert_eq!(lines("other 1 kind=sliding_track"), [true, true]);
        assert_eq!(lines("other 1 kind=pocket_door"), [false, false]);
        assert_eq!(lines("stop 2 kind=not_at_sliding_doors"), [true, true]);
        assert_eq!(lines("other 1 kind=pocket_door; hinge 6"), [true, true]);
        let some = completed("door 101 36x84 hm stud; door 102 36x84 hm stud remark=pocket_door; hinge 3; mortise-lock 1 function=F07; other 1 kind=pocket_door");
        let added: Vec<usize> = some.added.iter().filter(|one| one.rule == "silencer").flat_map(|one| one.shares.iter().map(|share| share.0)).collect();
        assert_eq!(added, [0]);
    }
}
