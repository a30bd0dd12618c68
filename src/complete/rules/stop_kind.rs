//! A stop that does not say where it is fixed.

use crate::complete::act::{Out, Rule, page};
use crate::complete::job::Job;
use crate::complete::spec::Grade;
use crate::complete::spec::Spec;
use crate::finding::{Answer, Effect, Kind, Weight};
use crate::trade::attribute::{Value, names};
use crate::trade::category::Category;
use crate::trade::usual;
use crate::understand::reading::Heard;

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "stop-kind",
        Kind::Assumption,
        Weight::Goods,
        "Where a stop is fixed",
        "a line says stop and neither wall nor floor, roller nor hinge pin",
        "a wall stop is taken; where the job terms want no floor stops (`no_floor_stops`), a floor stop is asked about and a stop for wall or floor is a wall stop",
        "wall before floor before overhead",
        ("makers' articles on door stops; federal practice", "reported"),
        ("STOP", "WALL STOP"),
    ),
    run,
    fires: "door 101 36x84 hm; hinge 3; mortise-lock 1 function=F07; stop 1",
    quiet: "door 101 36x84 hm; hinge 3; mortise-lock 1 function=F07; stop 1 mounting=wall",
};

const CODE: &str = "stop-kind";

/// The words leave open whether wall or floor.
fn floor_or_wall(spec: &Spec) -> bool {
    matches!(spec.reading.attributes.get(&names::MOUNTING), Some(Heard::Ambiguous(_))) && !spec.says(names::MOUNTING)
}

/// A floor stop in a job that wants none.
fn unwanted(job: &Job, out: &mut Out, set: usize, spec: &Spec) {
    let says = "Floor stops, and the job terms want none: they are tripped over and in the way of cleaning.";
    let mut finding = out.about_lines(job, set, &[spec.id], job.numbers(set), "job:floor", says);
    finding.kind = Kind::Question;
    finding.priced_as = "floor stops, as written".to_owned();
    finding.answers = vec![
        Answer::new("floor stops", Effect::Nothing),
        Answer::new("wall stops", Effect::Set { lines: vec![spec.id], attribute: names::MOUNTING, value: Value::text("wall") }),
        Answer::new("overhead stops", Effect::Category { lines: vec![spec.id], category: Category::OverheadStop }),
    ];
    finding.help = "ask whether there is a wall to meet; where there is none, an overhead stop serves".to_owned();
    out.say(finding);
}

fn run(job: &Job, out: &mut Out) {
    let Some((wall, _)) = usual::value(Category::Stop, names::MOUNTING) else { return };
    for set in 0..job.sets.len() {
        for spec in job.lines_of(set, &[Category::Stop]) {
            if job.terms.building.no_floor_stops && spec.says(names::MOUNTING) && spec.word(names::MOUNTING) == "floor" {
                unwanted(job, out, set, spec);
                continue;
            }
            if job.terms.building.no_floor_stops && floor_or_wall(spec) {
                out.fill(spec.id, names::MOUNTING, Value::text("wall"), Grade::Assumed);
                out.say(out.about_lines(job, set, &[spec.id], job.numbers(set), "job:no floor", "Stops for wall or floor: wall stops taken, since the job terms want no floor stops."));
                continue;
            }
            // A number or a shape says of itself where the stop goes.
            let said = [names::SHAPE, names::DESIGNATION, names::STANDARD, names::HEIGHT].iter().any(|name| spec.says(*name));
            if said || !spec.lacks(names::MOUNTING, CODE) {
                continue;
            }
            out.fill(spec.id, names::MOUNTING, Value::text(wall), Grade::Assumed);
            out.say(out.about_lines(job, set, &[spec.id], job.numbers(set), "job:", format!("Stops that do not say where they are fixed: {wall} stops taken.")));
        }
    }
}

#[cfg(test)]
mod tests {
    use crate::complete::Answers;
    use crate::complete::example::completed_by;
    use crate::complete::rules::RULES;
    use crate::finding::Kind;
    use crate::terms::Terms;
    use crate::trade::attribute::names;

    #[test]
    fn a_job_that_wants_no_floor_stops_asks_about_them() {
        let job = |mounting: &str, unwanted: bool| {
            let mut terms = Terms::default();
            terms.building.no_floor_stops = unwanted;
            let text = format!("door 101 36x84 hm; hinge 3; mortise-lock 1 function=F07; stop 1 {mounting}");
            let job = completed_by(RULES, &text, &terms, &Answers::new());
            let finding = job.findings.iter().find(|finding| finding.code == "stop-kind").cloned();
            (job.sets[0].specs[2].word(names::MOUNTING).to_owned(), finding)
        };
        let (mounting, asked) = job("mounting=floor", true);
        let asked = asked.unwrap();
        assert_eq!((mounting.as_str(), asked.kind, asked.answers.len()), ("floor", Kind::Question, 3));
        assert_eq!(job("mounting=floor", false).1, None);
        assert_eq!(job("mounting=wall", true).1, None);
        let (mounting, told) = job("?mounting=floor|wall", true);
        assert_eq!((mounting.as_str(), told.unwrap().kind), ("wall", Kind::Assumption));
        assert_eq!(job("?mounting=floor|wall", false).0, "floor");
    }
}
