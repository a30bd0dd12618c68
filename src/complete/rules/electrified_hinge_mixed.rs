//! A wired butt hinge beside a continuous hinge or pivots.

use crate::complete::act::{Out, Rule, page};
use crate::complete::devices;
use crate::complete::job::Job;
use crate::finding::{Answer, Effect, Kind, Weight};
use crate::trade::category::Category;

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "electrified-hinge-mixed",
        Kind::Question,
        Weight::Goods,
        "A wired hinge on a leaf that hangs otherwise",
        "a set with a continuous hinge or pivots, and no ordinary hinges, has a wired butt hinge",
        "priced as written; a concealed power transfer in its place is the other answer",
        "",
        ("locksmith trade articles: a continuous hinge has a wired section of its own", "reported"),
        ("a continuous hinge and a wired butt hinge", "ordinary hinges and a wired one"),
    ),
    run,
    fires: "door 101 36x84 hm stud; continuous-hinge 1; hinge 1 conductors=6; mortise-lock 1 function=F07 electrified=fail-secure; stop 1",
    quiet: "door 101 36x84 hm stud; hinge 2; hinge 1 conductors=6; mortise-lock 1 function=F07 electrified=fail-secure; stop 1",
};

fn run(job: &Job, out: &mut Out) {
    for set in 0..job.sets.len() {
        let hinges = job.lines_of(set, &[Category::Hinge]);
        let (wired, plain): (Vec<_>, Vec<_>) = hinges.into_iter().partition(|spec| super::hinge_count::wires(spec).is_some());
        let other = if job.names(set, &[Category::ContinuousHinge]) { "a continuous hinge" } else { "pivots" };
        let hangs_otherwise = job.names(set, &[Category::ContinuousHinge, Category::Pivot]);
        if wired.is_empty() || !plain.is_empty() || !hangs_otherwise || job.doors(set).next().is_none() {
            continue;
        }
        let lines: Vec<_> = wired.iter().map(|spec| spec.id).collect();
        let says = format!("A wired butt hinge beside {other}: there is no place for it on the leaf; a wired section of the same kind or a concealed transfer is usual.");
        let mut finding = out.about_lines(job, set, &lines, job.numbers(set), "mixed", says);
        let wanted = wired.iter().filter_map(|spec| devices::wires_across(spec)).max().unwrap_or_default();
        let goods = devices::instead(job, set, &wired, &finding.openings, wanted);
        finding.priced_as = "as written".to_owned();
        finding.answers = vec![
            Answer::new("as written", Effect::Nothing),
            Answer::new("a concealed power transfer in its place", Effect::Several(vec![
                Effect::Exclude { lines },
                Effect::Follows { goods: vec![goods] },
            ])),
        ];
        finding.help = "ask which transfer doors and frames are prepared for".to_owned();
        out.say(finding);
    }
}
