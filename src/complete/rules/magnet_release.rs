//! What lets go of an electromagnetic lock.

use rust_decimal::Decimal;

use crate::complete::act::{Out, Rule, keep_or_not, page};
use crate::complete::job::Job;
use crate::finding::{Kind, Weight};
use crate::trade::attribute::{Attributes, Value, names};
use crate::trade::category::Category;

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "magnet-release",
        Kind::Question,
        Weight::LifeSafety,
        "An electromagnetic lock and nothing that lets go of it",
        "a set has an electromagnetic lock, no switch in the lock or exit device that cuts its power, and no motion sensor or no push button",
        "the sensor and the button that are missing are added provisionally; release by fire alarm, sprinkler and loss of power is named",
        "button 40 to 48 in above the floor, within 5 ft of the door, at least 30 s",
        ("IBC 2021 1010.2.12 (2018: 1010.1.9.9) as explained by code articles", "reported"),
        ("a magnet alone", "a magnet with a request-to-exit switch in the exit device"),
    ),
    run,
    fires: "door 101 36x84 hm stud; hinge 3; mortise-lock 1 function=F01; electromagnetic-lock 1 voltage=24",
    quiet: "door 101 36x84 hm stud; hinge 2; hinge 1 conductors=6; exit-device 1 type=rim monitor=request-to-exit; electromagnetic-lock 1 voltage=24",
};

const IN_HARDWARE: &[Category] = &[Category::MortiseLock, Category::BoredLock, Category::ExitDevice, Category::InterconnectedLock];

fn run(job: &Job, out: &mut Out) {
    for set in 0..job.sets.len() {
        let magnets = job.all_of(set, &[Category::ElectromagneticLock]);
        let by_hardware = job.all_of(set, IN_HARDWARE).iter().any(|spec| matches!(spec.value(names::MONITOR), Some(Value::List(words)) if words.iter().any(|word| &**word == "request-to-exit")));
        if magnets.is_empty() || by_hardware || job.unread(set) || job.doors(set).next().is_none() {
            continue;
        }
        let exits = job.all_of(set, &[Category::RequestToExit]);
        let button = exits.iter().any(|spec| matches!(spec.word(names::TYPE), "button" | "touch-bar"));
        let sensor = exits.iter().any(|spec| !matches!(spec.word(names::TYPE), "button" | "touch-bar"));
        let mut missing = Vec::new();
        for (there, kind, words) in [(sensor, "sensor", "motion sensor"), (button, "button", "push button")] {
            if there {
                continue;
            }
            missing.push(words);
            let attributes = Attributes::from([(names::TYPE, Value::text(kind))]);
            let shares = job.doors(set).map(|door| (door.index, Decimal::ONE)).collect();
            out.add(set, Category::RequestToExit, attributes, shares, format!("An electromagnetic lock is released by a {words}."));
        }
        if missing.is_empty() {
            continue;
        }
        let says = format!("An electromagnetic lock without {}: by the model code a sensor, a push button at the door, the fire alarm and the loss of power must each let go of it, or a switch in the door's own hardware.", missing.join(" and "));
        let lines: Vec<_> = magnets.iter().map(|spec| spec.id).collect();
        let mut finding = out.about_lines(job, set, &lines, job.numbers(set), "release", says);
        finding.priced_as = format!("{} added for each opening", missing.join(" and "));
        finding.answers = keep_or_not("add what is missing", "by others");
        finding.help = "ask the architect and those who do the access control; the authority having jurisdiction decides".to_owned();
        out.say(finding);
    }
}
