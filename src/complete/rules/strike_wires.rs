//! Wires to the inactive leaf of a pair, where the electric strike stands, and transfers beyond those that the leaves need.

use rust_decimal::Decimal;

use crate::complete::act::{Out, Rule, page};
use crate::complete::devices;
use crate::complete::door::Door;
use crate::complete::job::Job;
use crate::complete::spec::Spec;
use crate::finding::{Answer, Effect, Kind, LineId, Weight};
use crate::trade::category::Category;
use crate::trade::wire;

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "strike-wires",
        Kind::Question,
        Weight::Goods,
        "Wires to the leaf of an electric strike",
        "a pair without mullion has an electric strike, which stands in the inactive leaf, and nothing that brings wires across the hinge side; or an opening has more transfers than leaves with something electrified",
        "priced as written; a transfer for each such pair, or one transfer for each leaf that needs one, is the other answer",
        "",
        ("common practice", "common practice"),
        ("a pair with ELECTRIC STRIKE and no transfer", "a single door with ELECTRIC STRIKE"),
    ),
    run,
    fires: "door 101 72x84 hm pair stud; hinge 6; mortise-lock 1 function=F07; flush-bolt 1 action=automatic; electric-strike 1",
    quiet: "door 101 36x84 hm stud; hinge 3; mortise-lock 1 function=F07; electric-strike 1",
};

fn run(job: &Job, out: &mut Out) {
    for set in 0..job.sets.len() {
        if job.unread(set) || job.slides(set) {
            continue;
        }
        let strikes = job.all_of(set, &[Category::ElectricStrike]);
        let transfers = devices::transfers(job, set);
        let in_leaf = |door: &Door| door.is_pair() && !job.names_at(set, door, &[Category::Mullion]) && strikes.iter().any(|spec| !spec.count_at(door).is_zero());
        if transfers.is_empty() {
            lacking(job, out, set, &strikes, &in_leaf);
        } else {
            too_many(job, out, set, &transfers, &in_leaf);
        }
    }
}

/// A strike in a leaf to which no wires cross.
fn lacking(job: &Job, out: &mut Out, set: usize, strikes: &[&Spec], in_leaf: &dyn Fn(&Door) -> bool) {
    let doors: Vec<&Door> = job.doors(set).filter(|door| in_leaf(door)).collect();
    if doors.is_empty() {
        return;
    }
    let lines: Vec<LineId> = strikes.iter().map(|spec| spec.id).collect();
    let numbers = doors.iter().map(|door| door.number.clone()).collect();
    let says = "An electric strike at pairs without a mullion stands in the inactive leaf, and nothing brings its wires across the hinge side.";
    let mut finding = out.about_lines(job, set, &lines, numbers, "wires", says);
    finding.priced_as = "no transfer".to_owned();
    let need = wire::conductors("electrified=fail-secure").unwrap_or(2) + devices::spare(job);
    let wanted = wire::next_made(need).unwrap_or(need);
    let count: u32 = doors.iter().map(|door| door.count).sum();
    let add = Effect::Add { category: Category::PowerTransfer, attributes: devices::concealed(job, wanted), quantity: Decimal::from(count) };
    finding.answers = vec![Answer::new("as written", Effect::Nothing), Answer::new("a concealed power transfer for each pair", add)];
    finding.help = "ask how the wires cross: a power transfer or an electrified hinge in the inactive leaf".to_owned();
    out.say(finding);
}

/// More transfers than leaves with something electrified; where nothing is, another rule asks.
fn too_many(job: &Job, out: &mut Out, set: usize, transfers: &[&Spec], in_leaf: &dyn Fn(&Door) -> bool) {
    let on_leaf = devices::on_leaf(job, set);
    let wired = |door: &Door| devices::leaves(&on_leaf, door) + u32::from(in_leaf(door));
    let crossing = |door: &Door| transfers.iter().map(|spec| spec.count_at(door)).sum::<Decimal>();
    let more = |door: &&Door| wired(door) > 0 && crossing(door) > Decimal::from(wired(door));
    let numbers: Vec<String> = job.doors(set).filter(more).map(|door| door.number.clone()).collect();
    if numbers.is_empty() {
        return;
    }
    let lines: Vec<LineId> = transfers.iter().filter(|spec| spec.excluded.is_none()).map(|spec| spec.id).collect();
    let says = "More power transfers or electrified hinges than leaves with an electrified device.";
    let mut finding = out.about_lines(job, set, &lines, numbers, "more", says);
    finding.priced_as = "as written".to_owned();
    finding.answers = vec![Answer::new("as written", Effect::Nothing)];
    let even = job.doors(set).map(wired).collect::<std::collections::BTreeSet<_>>();
    if let ([line], Some(leaves), 1) = (lines.as_slice(), even.first(), even.len()) {
        let fewer = Effect::Quantity { line: *line, quantity: Decimal::from(*leaves) };
        finding.answers.push(Answer::new("one for each electrified leaf", fewer));
    }
    finding.help = "ask which device of the other leaf is wired".to_owned();
    out.say(finding);
}
