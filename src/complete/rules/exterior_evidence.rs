//! Whether a door leads outside, where the schedule does not say it.

use std::collections::BTreeMap;

use rust_decimal::Decimal;

use crate::complete::act::{Out, Rule, page};
use crate::complete::door::Door;
use crate::complete::exposure::Exposure;
use crate::complete::job::Job;
use crate::finding::{Answer, Effect, Fact, Finding, Kind, Weight};
use crate::trade::attribute::{Attributes, Value, names};
use crate::trade::category::Category;

use super::length::length_of;

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "exterior-evidence",
        Kind::Question,
        Weight::Goods,
        "Exterior or interior",
        "the schedule does not say whether a door is exterior, and its goods, its remark or the name of its room speak for it",
        "with strong evidence the door is taken as exterior, and listed; with weak evidence it is priced as interior and asked, once for the job, with the threshold, weatherstrip and sweeps that an exterior door would get",
        "strong: weatherstrip, a rain drip, a remark of the weather; or several of: name of the room, pins that cannot be removed on a door that swings out, threshold, sweep; a rating, a smoke label or the name of an inner room speaks against it",
        ("common practice", "common practice"),
        ("a door called REAR EXIT", "a door called EXTERIOR"),
    ),
    run,
    fires: "door 101 36x84 hm RHR room=REAR_EXIT; hinge 3; exit-device 1 type=rim; closer 1; stop 1",
    quiet: "door 101 36x84 hm RHR exterior; hinge 3; exit-device 1 type=rim; closer 1; stop 1",
};

/// What an exterior door gets when its set lacks it, as the rules on exterior doors add it; each leaf or each opening.
const GOODS: &[(&[Category], Category, &str, bool)] = &[
    (&[Category::Threshold], Category::Threshold, "saddle", false),
    (&[Category::Gasketing], Category::Gasketing, "weather", false),
    (&[Category::Sweep, Category::DoorBottom], Category::Sweep, "neoprene", true),
];

fn run(job: &Job, out: &mut Out) {
    // It changes nothing: said once the rules have settled.
    if !out.settled {
        return;
    }
    let mut taken: BTreeMap<String, Vec<&Door>> = BTreeMap::new();
    let mut unclear: BTreeMap<String, Vec<&Door>> = BTreeMap::new();
    let mut goods: BTreeMap<(Category, Attributes), Decimal> = BTreeMap::new();
    for set in 0..job.sets.len() {
        for door in job.doors(set) {
            match &door.exposure {
                Exposure::Taken(why) => taken.entry(why.join(", ")).or_default().push(door),
                Exposure::Unclear(why) => {
                    unclear.entry(why.join(", ")).or_default().push(door);
                    lacking(job, set, door, &mut goods);
                }
                Exposure::Said | Exposure::Inside => {}
            }
        }
    }
    if !taken.is_empty() {
        let mut finding = about(out, job, "job:taken", "Doors that the schedule does not call exterior were taken as exterior", &taken);
        finding.kind = Kind::Assumption;
        finding.help = "write INTERIOR into the remark of those that are not".to_owned();
        out.say(finding);
    }
    if !unclear.is_empty() {
        let mut finding = about(out, job, "job:unclear", "The schedule does not say whether these doors are exterior, and something speaks for it", &unclear);
        finding.priced_as = "interior".to_owned();
        let goods = goods.into_iter().map(|((category, attributes), count)| (category, attributes, count)).collect();
        finding.answers = vec![Answer::new("interior", Effect::Nothing), Answer::new("exterior", Effect::Doors { are: Fact::Exterior, goods })];
        finding.help = "where some are and some are not, write EXTERIOR or INTERIOR into their remarks".to_owned();
        out.say(finding);
    }
}

fn about(out: &Out, job: &Job, id: &str, says: &str, doors: &BTreeMap<String, Vec<&Door>>) -> Finding {
    let numbers = |doors: &[&Door]| doors.iter().map(|door| door.number.clone()).collect::<Vec<_>>();
    let parts: Vec<String> = doors.iter().map(|(why, doors)| format!("{} (by {why})", crate::complete::gather::shown(&numbers(doors)))).collect();
    let mut finding = out.finding(id, format!("{says}: {}.", parts.join("; ")));
    finding.openings = doors.values().flat_map(|doors| numbers(doors)).collect();
    finding.place = doors.values().flatten().map(|door| door.index).min().and_then(|index| job.schedule.openings.get(index)).map(|opening| opening.place.clone());
    finding
}

/// What the door would get as an exterior one.
fn lacking(job: &Job, set: usize, door: &Door, goods: &mut BTreeMap<(Category, Attributes), Decimal>) {
    if job.unread(set) || job.lines(set).next().is_none() {
        return;
    }
    for (instead, category, kind, each_leaf) in GOODS {
        if job.has(set, door, instead, "exterior-evidence") {
            continue;
        }
        let name = if *category == Category::Sweep { names::FORM } else { names::KIND };
        let mut attributes = Attributes::from([(name, Value::text(kind))]);
        if let Some(length) = length_of(*category, door) {
            attributes.insert(names::LENGTH, Value::Length(length));
        }
        let each = if *each_leaf { door.leaves } else { 1 };
        *goods.entry((*category, attributes)).or_default() += Decimal::from(each * door.count);
    }
}

#[cfg(test)]
mod tests {
    use crate::complete::Answers;
    use crate::complete::example::{completed, completed_by, speaks};
    use crate::complete::rules::RULES;
    use crate::complete::told::Told;
    use crate::finding::Kind;
    use crate::terms::Terms;

    #[test]
    fn strong_evidence_is_taken_and_weak_evidence_is_asked() {
        let kind = |door: &str, more: &str| {
            let text = format!("door 101 36x84 hm {door}; hinge 3; exit-device 1 type=rim; closer 1; stop 1; {more}");
            let job = completed(&text);
            job.findings.iter().find(|finding| finding.code == "exterior-evidence").map(|finding| finding.kind)
        };
        for (door, more, expected) in [
            ("room=LOADING_DOCK", "", Some(Kind::Question)),
            ("room=REAR_EXIT", "threshold 1; sweep 1", Some(Kind::Assumption)),
            ("room=STORAGE", "gasketing 1 kind=weather", Some(Kind::Assumption)),
            ("room=STORAGE remark=weather-strip", "", Some(Kind::Assumption)),
            // Seals of an inner room are called weatherstrip too.
            ("room=OFFICE", "gasketing 1 kind=weather", Some(Kind::Question)),
            ("room=OFFICE 90min", "gasketing 1 kind=weather", None),
            ("room=STORAGE", "threshold 1", None),
            ("room=STUDIO remark=STC-45", "threshold 1; sweep 1; door-bottom 1", None),
            ("room=EXIT_CORRIDOR", "", None),
            ("room=STAIR_EXIT 90min", "", None),
        ] {
            assert_eq!(kind(door, more), expected, "{door} {more}");
        }
    }

    #[test]
    fn doors_answered_to_be_exterior_get_what_exterior_doors_get() {
        let text = "door 101 36x84 hm RHR room=REAR_EXIT; hinge 3; exit-device 1 type=rim; closer 1; stop 1";
        let asked = completed(text);
        let question = asked.findings.iter().find(|finding| finding.code == "exterior-evidence").unwrap();
        assert!(!speaks(&asked, "exterior-threshold"));
        let mut answers = Answers::new();
        answers.questions.insert(question.id.clone(), Told::plain("exterior"));
        let answered = completed_by(RULES, text, &Terms::default(), &answers);
        for code in ["exterior-threshold", "exterior-seal", "exterior-sweep", "hinge-pin", "rain-drip"] {
            assert!(speaks(&answered, code), "{code}");
        }
        let closed = answered.findings.iter().find(|finding| finding.id == question.id).unwrap();
        assert_eq!(closed.kind, Kind::Note);
    }
}
