//! How far the lip of a strike must reach.

use std::collections::BTreeMap;

use rust_decimal::Decimal;

use crate::complete::act::{Out, Rule, page};
use crate::complete::door::Door;
use crate::complete::job::Job;
use crate::finding::{Kind, Weight};
use crate::trade::category::Category;
use crate::trade::inches::Inches;
use crate::trade::limits;

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "strike-lip",
        Kind::Note,
        Weight::Goods,
        "The lip of the strike",
        "a door with a latch has a frame of wood or aluminum, whose casing is not known, or is thicker than 1-3/4 in",
        "the lip of the lock's own strike is priced; the length without trim is told, and that each inch of casing adds an inch",
        "lip to center = half the thickness of the leaf + 1/16 inset + projection of the trim + 1/4, up to the next length made",
        ("hardware retailer's guide to strikes", "read"),
        ("a lock in a wood frame", "a lock in a hollow-metal frame"),
    ),
    run,
    fires: "door 101 36x84 wood wood-frame thick=1.75; hinge 3; mortise-lock 1 function=F07; stop 1",
    quiet: "door 101 36x84 hm thick=1.75; hinge 3; mortise-lock 1 function=F07; stop 1",
};

const LATCHING: &[Category] = &[Category::MortiseLock, Category::BoredLock, Category::InterconnectedLock];

/// From the center of the strike to the end of its lip, without trim, in sixteenths up.
fn lip(thickness: Inches) -> Inches {
    let least = thickness.decimal() / Decimal::TWO + limits::number("strike_inset") + limits::number("strike_lip_beyond");
    let sixteen = Decimal::from(16);
    Inches::new((least * sixteen).ceil() / sixteen)
}

fn unusual(door: &Door, usual: Inches) -> bool {
    ["wood", "alum"].iter().any(|material| door.frame_material.contains(material)) || door.thickness.is_some_and(|thickness| thickness > usual)
}

fn run(job: &Job, out: &mut Out) {
    let usual = limits::inches("hinge_usual_thickness");
    let mut found: BTreeMap<Inches, Vec<String>> = BTreeMap::new();
    for set in 0..job.sets.len() {
        // A strike of its own on a line has its lip in its words.
        if !job.names(set, LATCHING) || job.names(set, &[Category::Strike, Category::ElectricStrike]) {
            continue;
        }
        // On a pair the strike is in the other leaf.
        for door in job.doors(set).filter(|door| !door.is_pair() && unusual(door, usual)) {
            found.entry(door.thickness.unwrap_or(usual)).or_default().push(door.number.clone());
        }
    }
    for (thick, doors) in found {
        let says = format!(
            "Strikes at frames of wood or aluminum, or at thick doors: without trim the lip reaches {} in from the center for a leaf of {} in; the projection of the casing comes on top.",
            lip(thick).in_fractions(),
            thick.in_fractions()
        );
        let mut finding = out.finding(&format!("job:{thick}"), says);
        finding.openings = doors;
        finding.help = "ask for the frame section before ordering; longer lips are a small extra".to_owned();
        out.say(finding);
    }
}

#[cfg(test)]
mod tests {
    use super::{Inches, lip};

    #[test]
    fn the_lip_of_the_guide_is_found() {
        // The guide's worked case: 1-3/4 in leaf, 1/16 inset, no trim: 1-3/16.
        assert_eq!(lip("1.75".parse().unwrap()).in_fractions(), "1-3/16");
        assert_eq!(lip(Inches::fraction(2, 1, 4).unwrap()).in_fractions(), "1-7/16");
    }
}
