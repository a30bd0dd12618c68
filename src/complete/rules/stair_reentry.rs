//! Stair doors that are locked on the stair side.

use crate::complete::act::{Out, Rule, page};
use crate::complete::door::Door;
use crate::complete::job::Job;
use crate::finding::{Answer, Effect, Kind, Weight};
use crate::trade::attribute::{Value, names};
use crate::complete::gather::set_answer;
use crate::trade::category::Category;
use crate::trade::function::{self, FunctionKind};
use crate::trade::room;

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "stair-reentry",
        Kind::Question,
        Weight::LifeSafety,
        "Way back from a locked stair",
        "a door between a stair and a floor has an electric strike, an electrified lock or trim that stays locked without power, or a lock or trim that a key locks on the stair side",
        "priced as written; re-entry needs a fail-safe lock or trim that is released by the fire alarm or the fire command center; an electric strike cannot do it, since a rated door must stay latched. The door that leaves the building, and that to the roof, is left alone",
        "",
        ("IBC 1010.2.7 (2021) and NFPA 101 as explained by code articles", "reported"),
        ("a stair door with electric strike", "a stair door with fail-safe lock"),
    ),
    run,
    fires: "door 101 36x84 hm stud 90min room=STAIR_2; hinge 3; closer 1; mortise-lock 1 function=F01; electric-strike 1 for=mortise voltage=24 fail=secure",
    quiet: "door 101 36x84 hm stud 90min room=STAIR_2; hinge 3; closer 1; mortise-lock 1 function=F01 electrified=fail-safe",
};

/// Locks and trims that lock the stair side by a key alone. The rooms of a name with several uses may ask for that very
/// function: a store under a stair is locked.
fn by_key(job: &Job, out: &mut Out, set: usize, between: &dyn Fn(&Door) -> bool) {
    let Some(stair) = room::fits().iter().find(|fit| fit.wanted == "stair") else { return };
    for spec in job.lines_of(set, &[Category::MortiseLock, Category::BoredLock, Category::ExitDevice]) {
        let function = spec.word(names::FUNCTION);
        if !stair.wrong.contains(&function) || !matches!(spec.word(names::ELECTRIFIED), "" | "none" | "no" | "latch-retraction") {
            continue;
        }
        let other = |door: &Door| room::fits().iter().any(|fit| fit.wanted != "stair" && door.used_as(fit.wanted) && fit.fits.contains(&function));
        let doors = job.numbers_of(set, |door| between(door) && !other(door));
        if doors.is_empty() {
            continue;
        }
        let says = format!("Stair doors whose lock or trim can be locked on the stair side (function {function}): who is in the stair must be able to come back in, unless the stair is one that may be locked.");
        let mut finding = out.about_lines(job, set, &[spec.id], doors, &format!("job:key {function}"), says);
        finding.priced_as = format!("{function}, as written");
        finding.answers = vec![Answer::new("no re-entry needed here", Effect::Nothing)];
        let kind = FunctionKind::of(spec.category.unwrap_or(Category::MortiseLock));
        let free = stair.fits.iter().find(|number| kind.is_some_and(|kind| function::find(kind, number).is_some()));
        if let Some(free) = free {
            finding.answers.push(set_answer(format!("{free}, {}", stair.usual), &[spec.id], names::FUNCTION, Value::text(free)));
        }
        finding.help = "IBC lets no stair door be locked by a key on the stair side except as it lists; NFPA 101 leaves stairs of up to four stories and selected re-entry: ask the architect, the authority having jurisdiction decides".to_owned();
        out.say(finding);
    }
}

fn run(job: &Job, out: &mut Out) {
    for set in 0..job.sets.len() {
        let between = |door: &Door| door.used_as("stair") && !door.exterior && !door.speaks_of("leaves-stair");
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
        let Some((spec, what)) = found.first() else {
            by_key(job, out, set, &between);
            continue;
        };
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
