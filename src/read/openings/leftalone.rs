//! Sentences that say that nothing is done to doors: `Door 116 is existing, leave it alone.`

use crate::finding::{Finding, Kind, Weight};
use crate::place::Place;

use super::doorlist::Entry;
use crate::read::schedule::Opening;
use crate::read::sets::setheading;
use crate::read::walk::Gathered;
use crate::read::words::{self, plain};

/// `Door 116 is existing, leave it alone.`: doors, and why nothing is done to them where the words are sure.
pub(crate) fn left_alone(text: &str) -> Option<(Vec<Entry>, Option<String>)> {
    if text.len() > 300 || words::list("door-heads").leads(text.trim_start()).is_none() {
        return None;
    }
    let straight: String = text.chars().map(crate::trade::signs::straight).collect();
    let (entries, behind) = setheading::doors_of(&straight)?;
    let sentence = plain(behind.split(". ").next().unwrap_or_default());
    words::list("door-is").begins(&sentence)?;
    let why = words::list("door-left-alone").find(&sentence);
    let existing = words::list("door-exists").find(&sentence).is_some();
    let rest = why.map_or(sentence.clone(), |why| sentence.replace(why, " "));
    let others =
        words::list("hardware").find(&rest).is_some() || rest.split(' ').any(|word| words::list("goods-new").is(word));
    // `Door 103 is existing frame` says more than that the door is there.
    let alone = || {
        let mut words = rest.split([' ', ',', '.']).filter(|word| !word.is_empty());
        words.all(|word| ["door-is", "door-exists"].iter().any(|list| words::list(list).is(word)))
    };
    (!others && (why.is_some() || existing && alone())).then(|| (entries, why.map(str::to_string)))
}

/// A door to which nothing is done: left out where it has no set, and asked about where it has one.
pub(crate) fn leave_alone(
    door: &str,
    own: Option<usize>,
    why: Option<String>,
    (words, place): (&str, &Place),
    had_schedule: bool,
    out: &mut Gathered,
) {
    match own.and_then(|own| out.schedule.openings.get_mut(own)) {
        None if had_schedule => {}
        None => {
            let bare = Opening::bare(door, "", place.clone());
            out.schedule.openings.push(Opening { set: None, excluded: why, remarks: words.to_string(), ..bare });
        }
        Some(own) if own.set.is_none() => own.excluded = own.excluded.take().or(why),
        Some(own) => {
            let set = own.set.clone();
            let says = format!("of door {door} a sentence says \"{words}\", and it has a set");
            out.schedule.findings.push(
                Finding {
                    openings: vec![door.to_string()],
                    set,
                    priced_as: "as the set is written".into(),
                    ..Finding::new("hardware-by-others-with-set", Kind::Question, Weight::Scope, says)
                }
                .at(place.clone(), words.to_string())
                .help("ask whether the door gets the set"),
            );
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn doors_are_left_alone_or_are_told_of() {
        for (text, sure) in [
            ("Door 116 is existing, leave it alone.", true),
            ("Doors 101 and 102 are existing to remain", true),
            ("Door 117 is existing.", false),
        ] {
            assert_eq!(left_alone(text).map(|(_, why)| why.is_some()), Some(sure), "{text}");
        }
        for text in [
            "Door 104 is to remain closed",
            "Door 101 to remain locked at all times.",
            "Door 102 stays closed and is held open by fire alarm",
            "Door 103 is existing frame",
            "Door 103 is existing, new hinges",
            "Door 105 is 90 minute",
        ] {
            assert_eq!(left_alone(text), None, "{text}");
        }
    }
}
