//! The guard behind a cut-out of a frame that is grouted.

use std::collections::HashSet;

use rust_decimal::Decimal;

use crate::complete::act::Act;
use crate::complete::devices;
use crate::complete::door::Door;
use crate::trade::attribute::{Attributes, Value, names};
use crate::trade::category::Category;
use crate::complete::act::{Out, Rule, page};
use crate::complete::job::Job;
use crate::finding::{Kind, Weight};

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "mortar-guard",
        Kind::Assumption,
        Weight::Goods,
        "Guard behind the cut-out in the frame",
        "a hollow-metal frame in masonry, concrete or an unknown wall has an electrified hinge, transfer or electric strike; or in masonry or concrete a concealed overhead stop or closer is let into its head",
        "one guard behind each such cut-out, listed as the frame maker's supply; in a stud wall none, unless a remark speaks of grout; a frame of wood or aluminum needs a path for the wires instead; in a fire frame in a wall of board, what the box takes of the bite is told",
        "one for each cut-out",
        ("SDI 130-15 clause 6; HMMA on grouted frames; hinge maker's sheet", "read"),
        ("electrified hinge, hollow-metal frame, masonry", "the same in a stud wall"),
    ),
    run,
    fires: "door 101 36x84 hm masonry; hinge 3; mortise-lock 1 function=F07 electrified=fail-secure",
    quiet: "door 101 36x84 hm stud; hinge 3; mortise-lock 1 function=F07 electrified=fail-secure",
};

const CODE: &str = "mortar-guard";

/// A fire frame in a wall of board, whose bite a box takes away.
fn boxed(door: &Door) -> bool {
    door.fire && door.stud_wall() && door.hollow_metal_frame()
}

/// Boxes in fire frames that stand in walls of board.
fn bite(job: &Job, out: &mut Out, set: usize, doors: &[String]) {
    if doors.is_empty() {
        return;
    }
    let says = "Boxes behind cut-outs of fire frames in walls of gypsum board: the board bites less deep there than the 1/2 in that is usual.";
    let mut finding = out.about_set(job, set, doors.to_vec(), "job:bite", says);
    finding.kind = Kind::Note;
    finding.help = "one listing wants a sealant where the bite is under 1/16 in and boxes of 24 in at most: ask the frame maker; the listing and the authority having jurisdiction decide".to_owned();
    out.say(finding);
}

fn run(job: &Job, out: &mut Out) {
    for set in 0..job.sets.len() {
        if job.names(set, &[Category::FrameGuard]) {
            bite(job, out, set, &job.numbers_of(set, boxed));
            continue;
        }
        let transfers = devices::transfers(job, set);
        let strikes = job.all_of(set, &[Category::ElectricStrike]);
        let heads: Vec<_> = job.all_of(set, &[Category::OverheadStop, Category::Closer]).into_iter().filter(|spec| spec.word(names::MOUNTING) == "concealed").collect();
        let mut shares = Vec::new();
        let (mut grouted, mut unknown) = (Vec::new(), Vec::new());
        // A frame that stands already is grouted or not; and a loop on the surface has no cut-out.
        for door in job.doors(set).filter(|door| !door.speaks_of("existing")).filter(|door| door.hollow_metal_frame() || door.frame_material.is_empty() && !door.aluminum()) {
            let wall = door.wall.as_deref().unwrap_or("");
            let grouted_anyway = door.speaks_of("grouted");
            if door.stud_wall() && !grouted_anyway {
                continue;
            }
            let cut = |kind: Option<&Value>| kind.and_then(Value::as_text) != Some("door-loop");
            // On a pair without mullion the strike is in the other leaf.
            let in_frame = !door.is_pair() || job.has(set, door, &[Category::Mullion], CODE);
            let strikes = strikes.iter().filter(|_| in_frame);
            let listed: Decimal = transfers.iter().chain(strikes).filter(|spec| cut(spec.value(names::TYPE))).map(|spec| spec.count_at(door)).sum();
            let added: Decimal = devices::added_transfers(job, door, CODE)
                .iter()
                .filter(|added| cut(added.attributes.get(&names::TYPE)))
                .flat_map(|added| added.shares.iter().filter(|(opening, _)| *opening == door.index))
                .map(|(_, share)| *share)
                .sum();
            // What is let into the head is kept free of mortar where mortar is sure.
            let sure = grouted_anyway || !wall.is_empty();
            let of_head: Decimal = heads.iter().filter(|_| sure).map(|spec| spec.count_at(door)).sum();
            let cuts = listed + added + of_head;
            if cuts.is_zero() {
                continue;
            }
            shares.push((door.index, cuts));
            if !sure { unknown.push(door.number.clone()) } else { grouted.push(door.number.clone()) }
        }
        if shares.is_empty() {
            continue;
        }
        let attributes = Attributes::from([(names::KIND, Value::text("mortar-guard"))]);
        let mut addition = out.addition(set, Category::FrameGuard, attributes, shares, "Mortar kept out of a cut-out of the frame.");
        addition.ours = false;
        addition.by = Some("frame maker".to_owned());
        out.acts.push(Act::Add(addition));
        let here: HashSet<&String> = grouted.iter().collect();
        let in_board = job.numbers_of(set, |door| boxed(door) && here.contains(&door.number));
        bite(job, out, set, &in_board);
        if !grouted.is_empty() {
            let says = "Hollow-metal frames that are grouted, in masonry or concrete: a mortar guard behind each cut-out for wires and for what is let into the head, by the frame maker.";
            out.say(out.about_set(job, set, grouted, "job:grouted", says));
        }
        if !unknown.is_empty() {
            let says = "The wall is not known: a mortar guard behind each electrified cut-out, by the frame maker.";
            out.say(out.about_set(job, set, unknown, "job:unknown wall", says));
        }
    }
}
