//! Which seal a perimeter seal is that does not say it.

use std::collections::{BTreeMap, BTreeSet};

use crate::complete::act::{Out, Rule, page};
use crate::complete::door::Door;
use crate::complete::job::Job;
use crate::complete::spec::{Grade, Spec};
use crate::finding::{Kind, Weight};
use crate::trade::attribute::{Value, names};
use crate::trade::category::Category;

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "gasketing-kind",
        Kind::Assumption,
        Weight::Goods,
        "Smoke, weather or sound",
        "a perimeter seal does not say against what, and its door is exterior, sound-rated, or a rated or smoke door",
        "a seal against weather at exterior doors, against sound at sound-rated ones, against smoke at rated and smoke doors; a seal on a rated door whose good is not listed is told",
        "",
        ("common practice; listed goods on rated doors: UL 1784 as reported", "common practice"),
        ("GASKETING at a smoke door", "SMOKE GASKETING"),
    ),
    run,
    fires: "door 101 36x84 hm smoke 20min; hinge 3; closer 1; mortise-lock 1 function=F07; stop 1 mounting=wall; gasketing 1",
    quiet: "door 101 36x84 hm smoke 20min; hinge 3; closer 1; mortise-lock 1 function=F07; stop 1 mounting=wall; gasketing 1 kind=smoke",
};

const CODE: &str = "gasketing-kind";

fn run(job: &Job, out: &mut Out) {
    for set in 0..job.sets.len() {
        let seals = job.lines_of(set, &[Category::Gasketing]);
        let doors: Vec<_> = if seals.is_empty() { Vec::new() } else { job.doors(set).collect() };
        if doors.is_empty() {
            continue;
        }
        let mut by_kind: BTreeMap<&str, Vec<usize>> = BTreeMap::new();
        for door in &doors {
            if let Some(kind) = kind_of(door) {
                by_kind.entry(kind).or_default().push(door.index);
            }
        }
        if by_kind.is_empty() {
            continue;
        }
        listed(job, out, set, &seals);
        let kinds = by_kind.keys().copied().collect::<Vec<_>>().join(" and ");
        for spec in seals.into_iter().filter(|spec| spec.lacks(names::KIND, CODE)) {
            for (kind, at) in &by_kind {
                out.give_at(job, spec.id, at, names::KIND, Value::text(kind), (Grade::Assumed, false));
            }
            let says = format!("Perimeter seals that do not say against what: {kinds} seals taken, by the doors they are for.");
            out.say(out.about_lines(job, set, &[spec.id], job.numbers(set), &format!("job:{kinds}"), says));
        }
    }
}

/// Seals on rated doors whose good says that it is not listed for them.
fn listed(job: &Job, out: &mut Out, set: usize, seals: &[&Spec]) {
    let doors = job.numbers_of(set, |door| door.fire);
    // The good of each rated door: its kind may be another than that of the set's other doors.
    let kinds: BTreeSet<&str> = job.doors(set).filter(|door| door.fire).filter_map(kind_of).collect();
    let unlisted = |spec: &&&Spec| {
        kinds.iter().any(|kind| {
            let mut asked = spec.asked();
            if spec.lacks(names::KIND, CODE) {
                asked.insert(names::KIND, Value::text(kind));
            }
            let selection = job.select(Category::Gasketing, asked);
            let chosen = selection.candidates.first();
            chosen.is_some_and(|chosen| chosen.good.attributes.get(&names::FIRE_LISTED) == Some(&Value::Flag(false)))
        })
    };
    let lines: Vec<_> = if doors.is_empty() { Vec::new() } else { seals.iter().filter(unlisted).map(|spec| spec.id).collect() };
    if lines.is_empty() {
        return;
    }
    let says = "Seals on rated doors that the catalog does not give as listed for fire doors: on a rated door a listed one is needed.";
    let mut finding = out.about_lines(job, set, &lines, doors, "job:listed", says);
    finding.kind = Kind::Note;
    finding.help = "ask the maker for the listing; a wood door may bring its own edge seals; the listing and the authority having jurisdiction decide".to_owned();
    out.say(finding);
}

/// What the seal of a door is against, where the door tells.
fn kind_of(door: &Door) -> Option<&'static str> {
    match door {
        door if door.exterior => Some("weather"),
        door if door.speaks_of("sound") => Some("sound"),
        door if door.fire || door.smoke => Some("smoke"),
        _ => None,
    }
}
