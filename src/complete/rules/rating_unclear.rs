//! Rating cells that do not give the minutes of the door.

use std::collections::BTreeMap;

use crate::complete::act::{Out, Rule, page};
use crate::complete::job::Job;
use crate::finding::{Answer, Effect, Fact, Kind, Weight};
use crate::trade::rating;
use crate::trade::rule_words;

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "rating-unclear",
        Kind::Question,
        Weight::LifeSafety,
        "How long a door is rated",
        "a rating cell says that the door is rated and not how long, or gives the rating of the wall; or the door is rated less than is usual in its wall, or otherwise than its frame",
        "checked as a fire door meanwhile, each rating being an answer; beside the rating of a wall the usual one of its door is shown; where door and frame differ the door's is priced, and the lower counts for the assembly",
        "by the table `trade/wall_ratings.csv`",
        ("IBC Table 716.1(2) from memory; trade slides", "from memory"),
        ("X in the rating column", "45 MIN in the rating column"),
    ),
    run,
    fires: "door 101 36x84 hm stud rated; hinge 3; closer 1; mortise-lock 1 function=F07",
    quiet: "door 101 36x84 hm stud 45min; hinge 3; closer 1; mortise-lock 1 function=F07",
};

/// Minutes of the door and of what it stands in, with the doors.
type Pairs = BTreeMap<(u32, u32), Vec<usize>>;

/// `20 minutes`, `not rated`.
fn rated(minutes: u32) -> String {
    if minutes == 0 { "not rated".to_owned() } else { format!("rated {minutes} minutes") }
}

/// A rating as an answer; what it is worth is reckoned on the doors anew.
fn one(minutes: u32) -> Answer {
    let are = if minutes == 0 { Fact::NotRated } else { Fact::Rated(minutes) };
    Answer::new(rated(minutes), Effect::Doors { are, goods: Vec::new() })
}

/// The ratings that doors have, the usual one first, and none.
fn every(usual: Option<u32>) -> Vec<Answer> {
    let all = rule_words::of("ratings-asked").iter().filter_map(|minutes| minutes.parse().ok());
    let rest = all.filter(|minutes| Some(*minutes) != usual);
    usual.into_iter().chain(rest).chain([0]).map(one).collect()
}

fn run(job: &Job, out: &mut Out) {
    let (mut unknown, mut of_b) = (Vec::new(), Vec::new());
    let mut walls: BTreeMap<u32, Vec<usize>> = BTreeMap::new();
    let (mut low, mut frames): (Pairs, Pairs) = Default::default();
    for door in job.doors.iter().filter(|door| door.live) {
        let Some(rating) = job.schedule.openings.get(door.index).map(|opening| &opening.rating) else { continue };
        if let (Some(minutes), Some(frame)) = (rating.minutes, rating.frame_minutes)
            && minutes != frame
        {
            frames.entry((minutes, frame)).or_default().push(door.index);
        }
        match (rating.minutes, rating.wall_minutes) {
            (Some(minutes), Some(wall)) if rating::door_in_wall(wall).map_or(minutes == 0, |usual| minutes < usual) => {
                low.entry((minutes, wall)).or_default().push(door.index);
            }
            (Some(_), _) => {}
            (None, Some(wall)) => walls.entry(wall).or_default().push(door.index),
            (None, None) if rating.rated_unknown && rating::is_letter_b(&rating.text) => of_b.push(door.index),
            (None, None) if rating.rated_unknown => unknown.push(door.index),
            _ => {}
        }
    }
    let tell = |out: &mut Out, doors: &[usize], about: &str, says: String, answers: Vec<Answer>| {
        let mut finding = out.finding(about, says);
        let openings = doors.iter().filter_map(|index| job.schedule.openings.get(*index));
        finding.openings = openings.clone().map(|opening| opening.number.clone()).collect();
        finding.place = openings.clone().next().map(|opening| opening.place.clone());
        finding.excerpt = openings.map(|opening| opening.rating.text.clone()).next().unwrap_or_default();
        let fire = doors.iter().filter_map(|index| job.doors.get(*index)).any(|door| door.fire);
        finding.priced_as = if fire { "checked and priced as fire doors" } else { "priced as doors without rating" }.to_owned();
        finding.answers = answers;
        finding.help = "ask the architect for the minutes, and write them into the door schedule".to_owned();
        out.say(finding);
    };
    if !unknown.is_empty() {
        tell(out, &unknown, "job:minutes", "Doors are marked as rated without minutes.".to_owned(), every(None));
    }
    if !of_b.is_empty() {
        let says = "Doors are marked B, which covers 60 and 90 minutes (from memory).".to_owned();
        let answers = rule_words::of("ratings-of-b").iter().filter_map(|minutes| minutes.parse().ok()).map(one).collect();
        tell(out, &of_b, "job:letter", says, answers);
    }
    for (wall, doors) in walls {
        let usual = rating::door_in_wall(wall).map(|minutes| format!("; a door in such a wall is usually rated {minutes}")).unwrap_or_default();
        let says = format!("The rating given is that of the wall, {wall} minutes{usual}.");
        tell(out, &doors, &format!("job:wall {wall}"), says, every(rating::door_in_wall(wall)));
    }
    for ((minutes, wall), doors) in low {
        let usual = rating::door_in_wall(wall).map(|usual| format!(", where {usual} is usual")).unwrap_or_default();
        let says = format!("Doors {} in walls of {wall} minutes{usual}.", rated(minutes));
        let mut answers = vec![Answer::new("as written", Effect::Nothing)];
        answers.extend(rating::door_in_wall(wall).map(one));
        tell(out, &doors, &format!("job:low {minutes} {wall}"), says, answers);
    }
    for ((minutes, frame), doors) in frames {
        let says = format!("Doors {} in frames {}: the assembly is worth the lower of the two.", rated(minutes), rated(frame));
        let answers = vec![Answer::new(format!("as the door: {}", rated(minutes)), Effect::Nothing), one(frame)];
        tell(out, &doors, &format!("job:frame {minutes} {frame}"), says, answers);
    }
}
