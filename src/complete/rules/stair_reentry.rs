//! Stair doors that are locked on the stair side.

use crate::complete::act::{Out, Rule, page};
use crate::complete::door::Door;
use crate::complete::job::Job;
use crate::finding::{Answer, Effect, Kind, Weight};
use crate::trade::attribute::{Value, names};
use crate::trade::category::Category;

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "stair-reentry",
        Kind::Question,
        Weight::LifeSafety,
        "Way back from a locked stair",
        "a door between a stair and a floor has an electric strike, or an electrified lock or trim that stays locked without power",
        "priced as written; re-entry needs a fail-safe lock or trim that is released by the fire alarm or the fire command center; an electric strike cannot do it, since a rated door must stay latched. The door that leaves the building, and that to the roof, is left alone",
        "",
        ("IBC 1010.2.7 (2021) and NFPA 101 as explained by code articles", "reported"),
        ("a stair door with electric strike", "a stair door with fail-safe lock"),
    ),
    run,
    fires: "door 101 36x84 hm stud 90min room=STAIR_2; hinge 3; closer 1; mortise-lock 1 function=F01; electric-strike 1 for=mortise voltage=24 fail=secure",
    quiet: "door 101 36x84 hm stud 90min room=STAIR_2; hinge 3; closer 1; mortise-lock 1 function=F01 electrified=fail-safe",
};

fn run(job: &Job, out: &mut Out) {
    for set in 0..job.sets.len() {
        let between = |door: &Door| door.used_as("stair") && !door.exterior && !door.words.contains("roof");
        let doors = job.numbers_of(set, between);
        if doors.is_empty() {
            continue;
        }
        let strikes = job.all_of(set, &[Category::ElectricStrike]).into_iter().map(|spec| (spec, "an electric strike"));
        let locks = job
            .all_of(set, &[Category::MortiseLock, Category::BoredLock, Category::ExitDevice])
            .into_iter()
            .filter(|spec| matches!(spec.word(names::ELECTRIFIED), "fail-secure" | "trim-fail-secure"))
            .map(|spec| (spec, "a lock that stays locked without power"));
        let found: Vec<_> = strikes.chain(locks).collect();
        let Some((spec, what)) = found.first() else { continue };
        let both = if spec.is_any(&[Category::ElectricStrike]) && job.doors(set).any(|door| between(door) && door.fire) {
            " A rated door must stay latched as well; a strike cannot do both."
        } else {
            ""
        };
        let says = format!("A stair door with {what}: who is in the stair must be able to come back in when the fire alarm sounds.{both}");
        let mut finding = out.about_lines(job, set, &[spec.id], doors, "stair", says);
        finding.priced_as = "as written".to_owned();
        let locks = job.lines_of(set, &[Category::MortiseLock, Category::BoredLock]);
        let strikes: Vec<_> = job.lines_of(set, &[Category::ElectricStrike]).into_iter().map(|spec| spec.id).collect();
        let lines: Vec<_> = locks.iter().map(|spec| spec.id).collect();
        // Exit devices have other words for it, and trims of their own.
        let all = finding.openings.len() == job.doors(set).count();
        if all && !locks.is_empty() && !job.names(set, &[Category::ExitDevice]) {
            let mut effects = vec![Effect::Set { lines, attribute: names::ELECTRIFIED, value: Value::text("fail-safe") }];
            if !strikes.is_empty() {
                effects.push(Effect::Exclude { lines: strikes.clone() });
            }
            let words = if strikes.is_empty() { "a fail-safe lock" } else { "a fail-safe lock instead of the strike" };
            finding.answers = vec![Answer::new("no re-entry needed here", Effect::Nothing), Answer::new(words, Effect::Several(effects))];
        }
        finding.help = "a fail-safe lock or trim tied to the fire alarm is usual; ask the architect, the authority having jurisdiction decides".to_owned();
        out.say(finding);
    }
}
