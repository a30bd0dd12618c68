//! Doors, sets and notes that are said to be of an alternate.

use crate::complete::act::{Out, Rule, by_hand, page};
use crate::complete::job::Job;
use crate::finding::{Answer, Effect, Finding, Kind, LineId, Weight};
use crate::place::Place;
use crate::read::schedule::Note;
use crate::read::{alternate, begins_alternate};
use crate::trade::rule_words;

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "alternate-in-base",
        Kind::Question,
        Weight::Scope,
        "Work of an alternate stands in the schedule",
        "the title of a set, the room or remark of a door, a row above lines, the words of a line, or a note says ALTERNATE NO. 2 and the like, or a line begins with OPTION",
        "counted in the base bid, and asked; a line that begins so is left out",
        "",
        ("common practice", "common practice"),
        ("remark ALTERNATE NO. 2", "alternate manufacturer"),
    ),
    run,
    fires: "door 101 36x84 hm remark=ALTERNATE_NO_2; hinge 3",
    quiet: "door 101 36x84 hm remark=ALTERNATE_MANUFACTURER; hinge 3",
};

/// How an alternate is priced apart.
const APART: &str = "to price it apart, name the doors or sets that the alternate leaves out under [[alternate]] in the job file";

fn run(job: &Job, out: &mut Out) {
    let heads: Vec<&Note> = notes(job).filter(|note| begins_alternate(&note.text).is_some()).collect();
    for set in 0..job.sets.len() {
        of_doors(job, out, set);
        of_lines(job, out, set, &heads);
    }
    for note in notes(job).filter(|note| (0..job.sets.len()).all(|set| below(job, set, note, &heads).is_empty())) {
        let Some(said) = alternate(&note.text) else { continue };
        let says = format!("A note speaks of an alternate, \"{said}\"; nothing was priced for it.");
        let mut finding = out.finding(&format!("job:{}:{}", note.place.sheet, note.place.row), says);
        finding.place = Some(note.place.clone());
        finding.excerpt = note.text.clone();
        finding.priced_as = "nothing for it".to_owned();
        finding.help = format!("ask what the alternate holds; {APART}");
        out.say(finding);
    }
}

fn notes<'a>(job: &'a Job) -> impl Iterator<Item = &'a Note> {
    job.schedule.notes.iter().chain(job.schedule.sets.iter().flat_map(|set| &set.notes))
}

/// The lines of a set below a row that begins with the words of an alternate, up to the next such row: `ADD ALTERNATE NO. 2`, and
/// its goods in the rows that follow.
fn below(job: &Job, set: usize, note: &Note, heads: &[&Note]) -> Vec<LineId> {
    let is_head = |head: &&&Note| head.place == note.place;
    if heads.iter().find(is_head).is_none() {
        return Vec::new();
    }
    let of = &job.sets[set];
    let within = |place: &Place, from: u32| place.file == note.place.file && place.sheet == note.place.sheet && place.row > from;
    let inside = of.place.sheet == note.place.sheet && of.place.file == note.place.file && of.place.row <= note.place.row;
    if !inside {
        return Vec::new();
    }
    let next = heads.iter().filter(|next| within(&next.place, note.place.row)).map(|next| next.place.row).min();
    let lines = of.specs.iter().filter(|spec| spec.excluded.is_none() && within(&spec.place, note.place.row));
    lines.filter(|spec| next.is_none_or(|next| spec.place.row < next)).map(|spec| spec.id).collect()
}

/// Lines of alternates in sets that are none.
fn of_lines(job: &Job, out: &mut Out, set: usize, heads: &[&Note]) {
    for note in heads {
        let lines = below(job, set, note, heads);
        if let Some(said) = begins_alternate(&note.text).filter(|_| !lines.is_empty()) {
            let says = format!("\"{said}\" stands above these lines; they are counted in the base bid.");
            let mut finding = out.about_lines(job, set, &lines, job.numbers(set), &format!("below {}", note.place.row), says);
            (finding.place, finding.excerpt) = (Some(note.place.clone()), note.text.clone());
            out.say(asked(finding, lines));
        }
    }
    for spec in job.sets[set].specs.iter().filter(|spec| spec.excluded.is_none()) {
        let Some(said) = alternate(&spec.wording.text).or_else(|| option(&spec.wording.text)) else { continue };
        let says = format!("A line is said to be of an alternate, \"{said}\"; it is counted in the base bid.");
        let finding = out.about_lines(job, set, &[spec.id], job.numbers(set), &format!("line {}", spec.words()), says);
        out.say(asked(finding, vec![spec.id]));
    }
}

/// `1 EA OPTION: LOCK WITH INDICATOR`: the first word behind the count, before a sign.
fn option(text: &str) -> Option<String> {
    let counts = |word: &&str| word.bytes().any(|byte| byte.is_ascii_digit()) || rule_words::is("count-units", word);
    let word = text.split_whitespace().find(|word| !counts(word))?;
    let behind = text.get(text.find(word)? + word.len()..)?.trim_start();
    let bare = word.trim_end_matches([':', '-']);
    let parted = bare.len() < word.len() || behind.starts_with([':', '-']);
    (parted && rule_words::is("of-an-option", bare)).then(|| bare.to_uppercase())
}

/// The question whether lines are in the base bid.
fn asked(mut finding: Finding, lines: Vec<LineId>) -> Finding {
    finding.answers = vec![
        Answer::new("in the base bid", Effect::Nothing),
        Answer::new("outside the base bid", Effect::Exclude { lines }),
    ];
    finding.priced_as = "in the base bid".to_owned();
    finding.help = APART.to_owned();
    finding
}

/// Sets and doors of alternates.
fn of_doors(job: &Job, out: &mut Out, set: usize) {
    let title = alternate(&job.sets[set].title);
    let mut numbers: Vec<String> = Vec::new();
    let mut said = title.clone();
    for door in job.doors(set) {
        let Some(opening) = job.schedule.openings.get(door.index) else { continue };
        if let Some(words) = alternate(&opening.remarks).or_else(|| alternate(&opening.room)) {
            numbers.push(door.number.clone());
            said.get_or_insert(words);
        }
    }
    let Some(said) = said else { return };
    let whole = title.is_some() || numbers.len() == job.doors(set).count();
    let doors = if whole { job.numbers(set) } else { numbers };
    let lines: Vec<LineId> =
        job.sets[set].specs.iter().filter(|spec| spec.excluded.is_none()).map(|spec| spec.id).collect();
    if lines.is_empty() || doors.is_empty() {
        return;
    }
    let says = format!("The schedule says \"{said}\" of this work; it is counted in the base bid.");
    let mut finding = asked(out.about_set(job, set, doors, "set", says), lines.clone());
    if !whole && let Some(outside) = finding.answers.last_mut() {
        *outside = by_hand(&outside.value);
    }
    finding.lines = lines;
    out.say(finding);
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_line_that_begins_with_option_is_one() {
        for (text, found) in [
            ("1 EA  Option: Mortise lock with indicator", true),
            ("OPTIONAL - closer", true),
            ("1  OPTION : CLOSER", true),
            ("1  CLOSER, OPTION: HOLD OPEN", false),
            ("1  OPTIONAL CLOSER", false),
        ] {
            assert_eq!(option(text).is_some(), found, "{text}");
        }
    }
}
