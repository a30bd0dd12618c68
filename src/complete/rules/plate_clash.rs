//! Plates that reach other hardware.

use crate::trade::limits;
use crate::complete::act::{Out, Rule, page};
use crate::complete::door::Door;
use crate::complete::job::Job;
use crate::complete::spec::Spec;
use crate::finding::{Kind, Weight};
use crate::trade::attribute::{Value, names};
use crate::trade::category::Category;

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "plate-clash",
        Kind::Question,
        Weight::Goods,
        "A plate in the way of other goods",
        "a protection plate is so high that it reaches lock or exit device, or stands with surface vertical rods that run to the floor, or on a door that by its remarks has a louver",
        "priced as written, without cut-outs",
        "36 in: locks and exit devices stand at about 40 in",
        ("a retailer's guide to plates", "reported"),
        ("an armor plate 40 in high under an exit device", "an armor plate 34 in high"),
    ),
    run,
    fires: "door 101 36x84 hm; hinge 3; exit-device 1 type=rim; closer 1; stop 1; protection-plate 1 kind=armor height=40 width=34",
    quiet: "door 101 36x84 hm; hinge 3; exit-device 1 type=rim; closer 1; stop 1; protection-plate 1 kind=armor height=34 width=34",
};

fn run(job: &Job, out: &mut Out) {
    for set in 0..job.sets.len() {
        let locked = |door: &Door| job.names_at(set, door, &[Category::ExitDevice, Category::MortiseLock, Category::BoredLock]);
        let devices = job.all_of(set, &[Category::ExitDevice]);
        let rods = |door: &Door| devices.iter().any(|spec| has_rods(spec, door));
        let louvered = job.numbers_of(set, |door| door.speaks_of("louver"));
        let plates: Vec<_> = job.lines_of(set, &[Category::ProtectionPlate]).into_iter().map(|spec| spec.id).collect();
        if !louvered.is_empty() && !plates.is_empty() {
            let mut finding = out.about_lines(job, set, &plates, louvered, "job:louver", "Protection plates on doors with a louver by their remarks: they stand in the same place unless the louver is high enough.");
            finding.priced_as = "as written, without cut-outs".to_owned();
            finding.help = "ask the architect for the height of the louver".to_owned();
            out.say(finding);
        }
        for spec in job.lines_of(set, &[Category::ProtectionPlate]) {
            let high = spec.value(names::HEIGHT).and_then(Value::as_length).is_some_and(|height| height > limits::inches("plate_lite_high"));
            // The plate and what it meets must be at one door.
            let doors = job.numbers_of(set, |door| !spec.count_at(door).is_zero() && (high && locked(door) || rods(door)));
            if doors.is_empty() {
                continue;
            }
            let what = if high { "reach lock or exit device" } else { "stand where surface rods run to the floor" };
            let mut finding = out.about_lines(job, set, &[spec.id], doors, &format!("job:{what}"), format!("Protection plates that {what}: they must be lower, notched or narrower."));
            finding.priced_as = "as written, without cut-outs".to_owned();
            finding.help = "ask the architect for the height; a cut-out is made to a drawing".to_owned();
            out.say(finding);
        }
    }
}

/// A device with rods on the face of the leaf, down to the floor, at a door.
fn has_rods(spec: &Spec, door: &Door) -> bool {
    let kind = spec.value_at(door, names::TYPE).and_then(Value::as_text);
    kind == Some("surface-vertical-rod") && !spec.is_set(names::LESS_BOTTOM_ROD) && !spec.count_at(door).is_zero()
}

#[cfg(test)]
mod tests {
    use crate::complete::example::completed;

    #[test]
    fn the_plate_and_what_it_meets_are_at_one_door() {
        let doors = "door 101 36x84 hm; door 102 36x84 hm; hinge 3; closer 1; stop 1";
        let asked = |lines: &str| {
            let job = completed(&format!("{doors}; {lines}"));
            job.findings.iter().find(|finding| finding.code == "plate-clash").map(|finding| finding.openings.clone())
        };
        let plate = "protection-plate 1 kind=armor height=40 width=34";
        assert_eq!(asked(&format!("exit-device 1 type=rim omit@102; {plate}")), Some(vec!["101".to_owned()]));
        assert_eq!(asked(&format!("exit-device 1 type=rim omit@102; {plate} omit@101")), None);
    }
}
