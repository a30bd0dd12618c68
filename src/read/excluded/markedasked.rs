//! What marks leave open: one mark with two meanings, and doors without a set that are marked as others are that have one.

use crate::finding::{Finding, Kind, Weight};

use super::marked::Doors;
use crate::read::notes::legend::{Defined, Legend};

/// Asks about marks that decided something and that their sheet explains twice.
pub(crate) fn two_meanings(used: &[(Defined, usize, usize)], legend: &Legend) -> Vec<Finding> {
    let asked = |(mark, lines, doors): &(Defined, usize, usize)| {
        let other = legend.other(mark).filter(|_| lines + doors > 0)?;
        let says = format!(
            "the mark \"{}\" is explained twice, as \"{}\" and as \"{}\"; the first was followed",
            mark.code(),
            mark.words,
            other.words
        );
        let finding = Finding {
            priced_as: format!("\"{}\"", mark.words),
            ..Finding::new("mark-explained-twice", Kind::Question, Weight::Scope, says)
        };
        let help = "ask which is meant, and correct the other";
        Some(finding.at(other.place.clone(), other.told()).help(help))
    };
    used.iter().filter_map(asked).collect()
}

/// Asks about doors that were left out because they stay, while others so marked have a set: theirs may be forgotten.
pub(crate) fn forgotten(out: &Doors, with_set: &Doors) -> Vec<Finding> {
    let asked = |(words, doors): (&String, &Vec<(String, crate::place::Place, String)>)| {
        let (first, with) = (doors.first()?, with_set.get(words)?.first()?);
        let says = format!(
            "doors marked \"{words}\" have no set and were left out, while door {}, marked so too, has set {}",
            with.0, with.2
        );
        let finding = Finding {
            openings: doors.iter().map(|(number, ..)| number.clone()).collect(),
            priced_as: "no hardware for these doors".into(),
            ..Finding::new("marked-door-without-set", Kind::Question, Weight::Goods, says)
        };
        Some(finding.at(first.1.clone(), words.clone()).help("ask whether they get hardware, and which set"))
    };
    out.iter().filter_map(asked).collect()
}
