//! Goods whose column of suppliers holds a mark that nothing explains.

use std::collections::BTreeMap;

use crate::complete::act::{Out, Rule, page};
use crate::complete::job::Job;
use crate::finding::{Answer, Effect, Kind, LineId, Weight};
use crate::read::of_title;

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "supplier-unknown",
        Kind::Question,
        Weight::Scope,
        "A mark for who furnishes the goods is explained nowhere",
        "a column such as BY or FURNISHED BY holds a mark that neither the files nor usage explain, or most lines have a mark that is others' by usage, or the title of a set gives it to others",
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
        if let Some(words) = job.sets.get(set).filter(|set| !set.title.is_empty()).and_then(|set| of_title(&set.title)) {
            of_set(job, out, set, &words);
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

/// Asks about a set whose title gives its goods to others, while its lines stand there as if they were ours.
fn of_set(job: &Job, out: &mut Out, set: usize, words: &str) {
    let live = job.sets[set].specs.iter().filter(|spec| spec.excluded.is_none());
    let lines: Vec<LineId> = live.map(|spec| spec.id).collect();
    let doors = job.numbers(set);
    if lines.is_empty() || doors.is_empty() {
        return;
    }
    let says = format!("The title of the set says \"{words}\", and its goods are listed.");
    let mut finding = out.about_lines(job, set, &lines, doors, "title", says);
    finding.answers =
        vec![Answer::new("ours", Effect::Nothing), Answer::new("furnished by others", Effect::Exclude { lines })];
    finding.priced_as = "ours".to_owned();
    finding.help = "ask whose the goods of the set are".to_owned();
    out.say(finding);
}

#[cfg(test)]
mod tests {
    use crate::catalog::Catalog;
    use crate::complete::complete_by;
    use crate::complete::example::{job, speaks};
    use crate::complete::rules::RULES;
    use crate::terms::Terms;

    #[test]
    fn a_title_that_gives_the_goods_to_others_is_asked_about() {
        let catalog = Catalog::embedded("2026-10-01").unwrap();
        for (title, asked) in [
            ("NIC", true),
            ("BY DOOR SUPPLIER", true),
            ("HARDWARE BY OTHERS", true),
            ("STAIR", false),
            ("EXISTING DOORS", false),
            ("HARDWARE BY US", false),
        ] {
            let (mut schedule, readings) = job("door 101 36x84 hm; hinge 3");
            schedule.sets[0].title = title.to_owned();
            let told = (&Terms::default(), &Default::default());
            let job = complete_by((RULES, &Default::default()), schedule, readings, &catalog, told.0, told.1);
            assert_eq!(speaks(&job, "supplier-unknown"), asked, "{title}");
        }
    }
}
