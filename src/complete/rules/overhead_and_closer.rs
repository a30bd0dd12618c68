//! Overhead stops that meet other goods at the head of the door.

use crate::complete::act::{Out, Rule, page};
use crate::complete::gather::set_answer;
use crate::complete::door::Door;
use crate::complete::job::Job;
use crate::complete::spec::Spec;
use crate::finding::{Answer, Effect, Kind, Weight};
use crate::trade::attribute::{Value, names};
use crate::trade::category::Category;

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "overhead-and-closer",
        Kind::Note,
        Weight::Goods,
        "Overhead stop and closer on one leaf",
        "a set has an overhead stop or holder, and a closer",
        "a note for the templates; a friction or hold-open stop beside a closer is asked about, since they work against each other, and so are a closer and a stop that are both let into the head of a single door; on fire and smoke doors by fire-hold-open",
        "",
        ("door-stop and frame makers' guides", "reported"),
        ("an overhead stop and a closer", "an overhead stop without closer"),
    ),
    run,
    fires: "door 101 36x84 hm; hinge 3; mortise-lock 1 function=F07; closer 1; overhead-stop 1",
    quiet: "door 101 36x84 hm; hinge 3; mortise-lock 1 function=F07; overhead-stop 1",
};

/// A stop and a closer that are both let into the head of one leaf or frame want the same place.
fn head(job: &Job, out: &mut Out, set: usize, overhead: &[&Spec]) {
    let hidden = |spec: &Spec, door: &Door| {
        let mounting = spec.value_at(door, names::MOUNTING).and_then(Value::as_text);
        mounting == Some("concealed") && !spec.count_at(door).is_zero()
    };
    let closers = job.all_of(set, &[Category::Closer]);
    let has = |specs: &[&Spec], door: &Door| specs.iter().any(|spec| hidden(spec, door));
    // On a pair one leaf may have the one, and the other leaf the other.
    let doors = job.numbers_of(set, |door| !door.is_pair() && has(overhead, door) && has(&closers, door));
    let stops: Vec<_> = overhead.iter().filter(|spec| job.doors(set).any(|door| hidden(spec, door))).map(|spec| spec.id).collect();
    if doors.is_empty() || stops.is_empty() {
        return;
    }
    let says = "A concealed closer and a concealed overhead stop in the head of one door: both are let into the same place.";
    let mut finding = out.about_lines(job, set, &stops, doors, "head", says);
    finding.kind = Kind::Question;
    finding.attribute = Some(names::MOUNTING);
    finding.priced_as = "both, as written".to_owned();
    finding.answers = vec![
        Answer::new("as written", Effect::Nothing),
        set_answer("the overhead stop on the surface", &stops, names::MOUNTING, Value::text("surface")),
        Answer::new("leave the overhead stop out", Effect::Exclude { lines: stops.clone() }),
    ];
    finding.help = "ask the makers whether their templates go together; else a stop on the surface, or a closer with a stop of its own".to_owned();
    out.say(finding);
}

fn run(job: &Job, out: &mut Out) {
    for set in 0..job.sets.len() {
        let doors = job.numbers(set);
        let overhead = job.all_of(set, &[Category::OverheadStop]);
        if overhead.is_empty() || doors.is_empty() {
            continue;
        }
        // Swing-clear hinges are another rule's matter.
        if !job.names(set, &[Category::Closer]) {
            continue;
        }
        let ids: Vec<_> = overhead.iter().map(|spec| spec.id).collect();
        head(job, out, set, &overhead);
        let holds = overhead.iter().any(|spec| matches!(spec.word(names::ACTION), "friction" | "hold-open"));
        if !holds {
            let says = "An overhead stop and a closer on one leaf: their templates meet at the head; ask the makers for the template that goes with both.";
            out.say(out.about_lines(job, set, &ids, doors, "job:", says));
            continue;
        }
        // What holds a fire or smoke door open is asked about as such.
        let doors = job.numbers_of(set, |door| !door.fire && !door.smoke);
        if doors.is_empty() {
            continue;
        }
        let says = "An overhead holder or friction stay beside a closer: the one holds what the other closes.";
        let mut finding = out.about_lines(job, set, &ids, doors, "hold", says);
        finding.kind = Kind::Question;
        finding.priced_as = "both, as written".to_owned();
        finding.attribute = Some(names::ACTION);
        let holders: Vec<_> = overhead.iter().filter(|spec| matches!(spec.word(names::ACTION), "friction" | "hold-open")).map(|spec| spec.id).collect();
        finding.answers = vec![
            Answer::new("as written", Effect::Nothing),
            set_answer("a plain overhead stop", &holders, names::ACTION, Value::text("stop")),
        ];
        finding.help = "a closer with hold-open arm, or a plain stop, is usual; ask the architect".to_owned();
        out.say(finding);
    }
}

#[cfg(test)]
mod tests {
    use crate::complete::example::completed;
    use crate::finding::Kind;

    #[test]
    fn two_goods_in_one_head_are_asked_about() {
        let asked = |lines: &str| {
            let job = completed(&format!("door 101 36x84 hm; hinge 3; mortise-lock 1 function=F07; {lines}"));
            job.findings.iter().any(|finding| finding.code == "overhead-and-closer" && finding.kind == Kind::Question)
        };
        assert!(asked("closer 1 mounting=concealed; overhead-stop 1 mounting=concealed action=stop"));
        assert!(!asked("closer 1 mounting=concealed; overhead-stop 1 mounting=surface action=stop"));
        assert!(!asked("closer 1; overhead-stop 1 mounting=concealed action=stop"));
    }
}
