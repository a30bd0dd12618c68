//! Rating cells that do not give the minutes of the door.

use std::collections::BTreeMap;

use crate::complete::act::{Out, Rule, page};
use crate::complete::job::Job;
use crate::finding::{Kind, Weight};
use crate::trade::rating;

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "rating-unclear",
        Kind::Question,
        Weight::LifeSafety,
        "How long a door is rated",
        "a rating cell says that the door is rated and not how long, or gives the rating of the wall",
        "checked as a fire door meanwhile; beside the rating of a wall the usual one of its door is shown",
        "by the table trade/wall_ratings.csv",
        ("IBC Table 716.1(2) from memory; trade slides", "from memory"),
        ("X in the rating column", "45 MIN in the rating column"),
    ),
    run,
    fires: "door 101 36x84 hm stud rated; hinge 3; closer 1; mortise-lock 1 function=F07",
    quiet: "door 101 36x84 hm stud 45min; hinge 3; closer 1; mortise-lock 1 function=F07",
};

fn run(job: &Job, out: &mut Out) {
    let mut unknown = Vec::new();
    let mut walls: BTreeMap<u32, Vec<usize>> = BTreeMap::new();
    for door in job.doors.iter().filter(|door| door.live) {
        let Some(rating) = job.schedule.openings.get(door.index).map(|opening| &opening.rating) else { continue };
        match (rating.minutes, rating.wall_minutes) {
            (Some(_), _) => {}
            (None, Some(wall)) => walls.entry(wall).or_default().push(door.index),
            (None, None) if rating.rated_unknown => unknown.push(door.index),
            _ => {}
        }
    }
    let tell = |out: &mut Out, doors: &[usize], about: &str, says: String| {
        let mut finding = out.finding(about, says);
        let openings = doors.iter().filter_map(|index| job.schedule.openings.get(*index));
        finding.openings = openings.clone().map(|opening| opening.number.clone()).collect();
        finding.place = openings.clone().next().map(|opening| opening.place.clone());
        finding.excerpt = openings.map(|opening| opening.rating.text.clone()).next().unwrap_or_default();
        finding.priced_as = "checked and priced as fire doors".to_owned();
        finding.help = "ask the architect for the minutes, and write them into the door schedule".to_owned();
        out.say(finding);
    };
    if !unknown.is_empty() {
        tell(out, &unknown, "job:minutes", "Doors are marked as rated without minutes.".to_owned());
    }
    for (wall, doors) in walls {
        let usual = rating::door_in_wall(wall).map(|minutes| format!("; a door in such a wall is usually rated {minutes}")).unwrap_or_default();
        tell(out, &doors, &format!("job:wall {wall}"), format!("The rating given is that of the wall, {wall} minutes{usual}."));
    }
}
