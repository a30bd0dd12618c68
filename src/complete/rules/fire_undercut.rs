//! A scheduled undercut that is too high for a fire door.

use crate::complete::act::{Out, Rule, page};
use crate::complete::job::Job;
use crate::finding::{Kind, Weight};
use crate::trade::remark;
use crate::trade::inches::Inches;
use crate::trade::limits;

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "fire-undercut",
        Kind::Question,
        Weight::LifeSafety,
        "An undercut too high for a fire door",
        "a remark at a rated door asks for an undercut of more than 3/4 in",
        "nothing is priced for it; an automatic door bottom closes such a gap only where it is listed for it",
        "3/4 in to the floor or threshold",
        ("NFPA 80 as reported in code articles on clearances", "reported"),
        ("1 in undercut at a rated door", "3/4 in undercut at a rated door"),
    ),
    run,
    fires: "door 101 36x84 hm 45min remark=1_in_undercut; hinge 3; closer 1; mortise-lock 1 function=F07; stop 1",
    quiet: "door 101 36x84 hm 45min remark=3/4_in_undercut; hinge 3; closer 1; mortise-lock 1 function=F07; stop 1",
};

/// `1`, `0.75`, `3/4`, `1-1/4`.
fn inches(word: &str) -> Option<Inches> {
    let Some((whole, part)) = word.split_once('/') else { return word.parse().ok() };
    let (whole, over) = whole.rsplit_once('-').unwrap_or(("0", whole));
    Inches::fraction(whole.parse().ok()?, over.parse().ok()?, part.parse().ok()?)
}

/// `1 1/4` as `1-1/4`: a whole number before a fraction is of one length with it.
fn mixed(text: &str) -> String {
    let words: Vec<&str> = text.split(' ').filter(|word| !word.is_empty()).collect();
    let whole = |word: &str| !word.is_empty() && word.bytes().all(|sign| sign.is_ascii_digit());
    let part = |word: &str| word.split_once('/').is_some_and(|(over, _)| whole(over));
    let mut joined = String::new();
    for (at, word) in words.iter().enumerate() {
        let one = at > 0 && part(word) && words.get(at - 1).is_some_and(|before| whole(before));
        joined.push_str(if one { "-" } else { " " });
        joined.push_str(word);
    }
    joined
}

/// A length among the words: the last before `undercut`, or the first behind it.
fn undercut(words: &str) -> Option<Inches> {
    let lengths = |text: &str| {
        mixed(text).split(|letter: char| !(letter.is_ascii_digit() || matches!(letter, '/' | '-' | '.')))
            .map(|word| word.trim_matches(|letter| matches!(letter, '-' | '.' | '/')))
            .filter(|word| !word.is_empty())
            .filter_map(inches)
            .filter(|length| *length < Inches::whole(4))
            .collect::<Vec<_>>()
    };
    let at = remark::words_of("undercut").find_map(|word| Some((words.find(word)?, word.len())))?;
    let before = words.get(..at.0).unwrap_or("");
    let near = before.rfind([';', ',']).map_or(before, |from| &before[from..]);
    lengths(near).pop().or_else(|| lengths(words.get(at.0 + at.1..).unwrap_or("")).into_iter().next())
}

fn run(job: &Job, out: &mut Out) {
    let most = limits::inches("undercut_most");
    for set in 0..job.sets.len() {
        let doors = job.numbers_of(set, |door| door.fire && door.speaks_of("undercut") && undercut(&door.words).is_some_and(|high| high > most));
        if doors.is_empty() {
            continue;
        }
        let mut finding = out.about_set(job, set, doors, "job:", format!("Rated doors with an undercut of more than {} in by their remarks: that is the most between a fire door and the floor.", most.in_fractions()));
        finding.priced_as = "as written".to_owned();
        finding.help = "ask the architect, and the door supplier what the listing allows; the authority having jurisdiction decides".to_owned();
        out.say(finding);
    }
}

#[cfg(test)]
mod tests {
    use super::undercut;

    #[test]
    fn the_length_beside_the_word_counts() {
        for (words, expected) in [
            ("1\" undercut", Some("1")),
            ("undercut 1-1/4\"", Some("1.25")),
            ("1 1/4\" undercut", Some("1.25")),
            ("u-cut: 3/4 in", Some("0.75")),
            ("90 min; 1/2 undercut", Some("0.5")),
            ("provide undercut", None),
        ] {
            assert_eq!(undercut(words).map(|length| length.to_string()).as_deref(), expected, "{words}");
        }
    }
}
