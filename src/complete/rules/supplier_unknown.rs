//! Goods whose column of suppliers holds a mark that nothing explains.

use std::collections::BTreeMap;

use crate::complete::act::{Out, Rule, page};
use crate::complete::job::Job;
use crate::finding::{Answer, Effect, Kind, LineId, Weight};

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "supplier-unknown",
        Kind::Question,
        Weight::Scope,
        "A mark for who furnishes the goods is explained nowhere",
        "a column such as BY or FURNISHED BY holds a mark that neither the files nor usage explain, or most lines have a mark that is others' by usage",
        "counted as ours, and asked",
        "",
        ("common practice", "common practice"),
        ("BY: TK beside a card reader", "BY: SEC beside a card reader"),
    ),
    run,
    fires: "door 101 36x84 hm; hinge 3; reader 1 mark=BY:TK",
    quiet: "door 101 36x84 hm; hinge 3; reader 1",
};

fn run(job: &Job, out: &mut Out) {
    for (set, hardware) in job.schedule.sets.iter().enumerate() {
        let mut by_mark: BTreeMap<&str, Vec<LineId>> = BTreeMap::new();
        for line in &hardware.lines {
            let Some(mark) = line.mark.as_ref().filter(|mark| !mark.out) else { continue };
            let specs = job.sets.get(set).into_iter().flat_map(|set| &set.specs);
            let of_line = specs.filter(|spec| spec.place == line.place && spec.excluded.is_none());
            by_mark.entry(&mark.words).or_default().extend(of_line.map(|spec| spec.id));
        }
        for (words, lines) in by_mark.into_iter().filter(|(_, lines)| !lines.is_empty()) {
            let says = format!("Who furnishes goods marked \"{words}\" is said nowhere.");
            let mut finding = out.about_lines(job, set, &lines, job.numbers(set), &format!("job:{words}"), says);
            finding.answers = vec![
                Answer::new("ours", Effect::Nothing),
                Answer::new("furnished by others", Effect::Exclude { lines }),
            ];
            finding.priced_as = "ours".to_owned();
            finding.help = "ask what the mark means".to_owned();
            out.say(finding);
        }
    }
}
