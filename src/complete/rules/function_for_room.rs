//! Lock functions that do not suit the room.

use crate::complete::gather::set_answer;
use crate::complete::spec::Spec;
use crate::trade::attribute::{Value, names};
use crate::trade::category::Category;
use crate::trade::function::{self, FunctionKind};
use crate::trade::room;
use crate::complete::act::{Out, Rule, page};
use crate::complete::job::Job;
use crate::finding::{Answer, Effect, Kind, Weight};

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "function-for-room",
        Kind::Question,
        Weight::Goods,
        "Lock function and room do not suit",
        "a lock's function looks wrong for the name of the room: privacy at a closet, storeroom at a single toilet, passage at a mechanical room or at an exterior door",
        "priced as written",
        "",
        ("retailers' function charts; a public university standard", "reported"),
        ("a privacy lock at a storage room", "a storeroom lock at a storage room"),
    ),
    run,
    fires: "door 101 36x84 hm room=STORAGE; hinge 3; mortise-lock 1 function=F22",
    quiet: "door 101 36x84 hm room=STORAGE; hinge 3; mortise-lock 1 function=F07",
};

/// The first of the functions that such a lock has.
fn usual(spec: &Spec, fits: &[&'static str]) -> Option<&'static str> {
    let wanted = FunctionKind::of(spec.category?)?;
    fits.iter().copied().find(|number| function::all().iter().any(|known| known.kind == wanted && known.number == *number))
}

/// Whether a function is that of a lock that is always locked outside.
fn locked(spec: &Spec, function: &str) -> bool {
    let found = spec.category.and_then(FunctionKind::of).and_then(|kind| function::find(kind, function));
    found.is_some_and(|found| found.name == "storeroom")
}

/// A latch that nothing locks, on a door to the outside.
fn outside(job: &Job, out: &mut Out, set: usize, spec: &Spec) {
    let function = spec.word(names::FUNCTION);
    let kind = spec.category.and_then(FunctionKind::of);
    let free = kind.and_then(|kind| function::find(kind, function)).is_some_and(|found| found.names.contains(&"passage"));
    let doors = job.numbers_of(set, |door| door.exterior && !door.used_as("vestibule"));
    if !free || doors.is_empty() || job.names(set, &[Category::Deadlock, Category::ExitDevice, Category::ElectricStrike, Category::ElectromagneticLock]) {
        return;
    }
    let says = format!("Function {function} on exterior doors: a passage latch that nothing locks.");
    let mut finding = out.about_lines(job, set, &[spec.id], doors, "exterior", says);
    finding.priced_as = format!("{function}, as written");
    let locked = function::all().iter().find(|known| Some(known.kind) == kind && known.name == "storeroom");
    if let Some(locked) = locked {
        finding.answers = vec![
            Answer::new(format!("{function}, as written"), Effect::Nothing),
            set_answer(format!("{}, storeroom", locked.number), &[spec.id], names::FUNCTION, Value::text(locked.number)),
        ];
    }
    finding.help = "ask the architect".to_owned();
    out.say(finding);
}

fn run(job: &Job, out: &mut Out) {
    for set in 0..job.sets.len() {
        let released = job.names(set, &[Category::ElectricStrike, Category::Reader]);
        for spec in job.lines_of(set, &[Category::MortiseLock, Category::BoredLock]) {
            let function = spec.word(names::FUNCTION);
            // Outside an electrified lock a card opens; its function says only what the key does.
            let electrified = !matches!(spec.word(names::ELECTRIFIED), "" | "none" | "no");
            if function.is_empty() || electrified {
                continue;
            }
            outside(job, out, set, spec);
            // Where a strike or a reader lets in, the lock stays locked outside, whatever the room.
            if released && locked(spec, function) {
                continue;
            }
            // A locked stair is a matter of life safety and has a rule of its own.
            for fit in room::fits().iter().filter(|fit| fit.wanted != "stair") {
                let numbers: Vec<String> = job
                    .doors(set)
                    .filter(|door| door.used_as(fit.wanted) && fit.wrong.contains(&function))
                    // Another use of the same name may ask for that very function.
                    .filter(|door| !room::fits().iter().any(|other| door.used_as(other.wanted) && other.fits.contains(&function)))
                    .map(|door| door.number.clone())
                    .collect();
                if numbers.is_empty() {
                    continue;
                }
                let says = format!("Function {function} at a room by its name for {}: usual there is {} ({}).", fit.wanted.replace('-', " "), fit.usual, fit.fits.join(", "));
                // One question for all sets in which such a lock stands at such a room.
                let about = format!("job:{} {function}", fit.wanted);
                let mut finding = out.about_lines(job, set, &[spec.id], numbers, &about, says);
                finding.priced_as = format!("{function}, as written");
                if let Some(usual) = usual(spec, &fit.fits) {
                    finding.answers = vec![
                        Answer::new(format!("{function}, as written"), Effect::Nothing),
                        set_answer(format!("{usual}, {}", fit.usual), &[spec.id], names::FUNCTION, Value::text(usual)),
                    ];
                }
                finding.source = fit.source.into();
                finding.help = "ask the architect".to_owned();
                out.say(finding);
            }
        }
    }
}
