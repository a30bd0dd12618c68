//! Whether doors of 20 minutes have a smoke label.

use std::collections::HashSet;

use std::collections::BTreeMap;

use rust_decimal::Decimal;

use crate::complete::act::{Out, Rule, page};
use crate::complete::job::Job;
use crate::finding::{Answer, Effect, Fact, Kind, Weight};
use crate::trade::attribute::{Attributes, Value, names};
use crate::trade::category::Category;

use super::length::length_of;

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "smoke-label",
        Kind::Question,
        Weight::LifeSafety,
        "Corridor doors and smoke",
        "doors are rated for 20 minutes, as doors of corridors and smoke barriers are, the schedule says nothing of smoke, and their sets have no seals",
        "priced without seals; a smoke label, with seals for head and jambs, is the other answer, once for the job",
        "20 min",
        ("IBC on corridor and smoke-barrier doors and UL 1784, as reported in articles on smoke gasketing", "reported"),
        ("a 20-minute door without seals", "a 20-minute door with smoke gasketing"),
    ),
    run,
    fires: "door 101 36x84 hm 20min; hinge 3; closer 1; mortise-lock 1 function=F07; stop 1 mounting=wall",
    quiet: "door 101 36x84 hm 20min; hinge 3; closer 1; mortise-lock 1 function=F07; stop 1 mounting=wall; gasketing 1 kind=smoke",
};

/// Minutes of doors in corridors and smoke barriers.
const MINUTES: u32 = 20;

fn run(job: &Job, out: &mut Out) {
    // It changes nothing: said once the rules have settled.
    if !out.settled {
        return;
    }
    let mut numbers = Vec::new();
    let mut goods: BTreeMap<Attributes, Decimal> = BTreeMap::new();
    for set in 0..job.sets.len() {
        if job.unread(set) || job.lines(set).next().is_none() {
            continue;
        }
        for door in job.doors(set) {
            let said = job.schedule.openings.get(door.index).is_some_and(|opening| opening.rating.smoke.is_some());
            if door.minutes != Some(MINUTES) || door.smoke || said || door.exterior || job.names_at(set, door, &[Category::Gasketing]) {
                continue;
            }
            numbers.push(door.number.clone());
            let mut attributes = Attributes::from([(names::KIND, Value::text("smoke"))]);
            if let Some(length) = length_of(Category::Gasketing, door) {
                attributes.insert(names::LENGTH, Value::Length(length));
            }
            *goods.entry(attributes).or_default() += Decimal::from(door.count);
        }
    }
    if numbers.is_empty() {
        return;
    }
    let mut finding = out.finding("job:", "Doors of 20 minutes, as in corridors and smoke barriers, of which the schedule says nothing of smoke: such doors usually have a smoke label and seals.");
    finding.openings = numbers;
    let asked: HashSet<&String> = finding.openings.iter().collect();
    finding.place = job.schedule.openings.iter().find(|opening| asked.contains(&opening.number)).map(|opening| opening.place.clone());
    finding.priced_as = "without smoke seals".to_owned();
    let goods = goods.into_iter().map(|(attributes, count)| (Category::Gasketing, attributes, count)).collect();
    finding.answers = vec![Answer::new("no smoke label", Effect::Nothing), Answer::new("smoke label and seals", Effect::Doors { are: Fact::Smoke, goods })];
    finding.help = "ask the architect; the authority having jurisdiction decides".to_owned();
    out.say(finding);
}

#[cfg(test)]
mod tests {
    use crate::complete::Answers;
    use crate::complete::example::{completed, completed_by, speaks};
    use crate::complete::rules::RULES;
    use crate::complete::told::Told;
    use crate::terms::Terms;

    #[test]
    fn doors_answered_to_have_a_smoke_label_get_seals() {
        let asked = completed(super::RULE.fires);
        let question = asked.findings.iter().find(|finding| finding.code == "smoke-label").unwrap();
        assert!(!speaks(&asked, "smoke-seal"));
        let mut answers = Answers::new();
        answers.questions.insert(question.id.clone(), Told::plain("smoke label and seals"));
        assert!(speaks(&completed_by(RULES, super::RULE.fires, &Terms::default(), &answers), "smoke-seal"));
    }
}
