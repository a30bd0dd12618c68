//! Cells of facts that settle nothing: `?`, `TBD`, `VERIFY`, and ratings that are none. Nothing is made of them, so they are
//! asked; so are ratings beside which a remark says that they are to be verified, and ratings that a remark or a note of the set
//! alone tells.

use std::collections::{BTreeMap, HashMap};
use std::sync::LazyLock;

use crate::finding::{Answer, Effect, Fact, Finding, Kind, Weight};
use crate::trade::rating::Rating;
use crate::trade::rule_words;

use crate::read::schedule::{HardwareSet, Opening, Schedule};
use crate::read::sets::ratedset;
use crate::read::words::{self, plain};

/// Whether a cell says that nobody knows yet.
pub(crate) fn is_open(text: &str) -> bool {
    let folded = plain(text);
    let bare = folded.trim_matches(['(', ')', '[', ']', ' ', '.']);
    !bare.is_empty() && (bare.bytes().all(|byte| byte == b'?') || words::list("not-settled").is(bare))
}

/// Whether a cell of ratings says something, and nothing of ratings.
fn says_none(rating: &Rating) -> bool {
    let nothing = rating.minutes.is_none()
        && rating.wall_minutes.is_none()
        && rating.smoke.is_none()
        && rating.temperature_rise.is_none()
        && !rating.rated_unknown;
    if !nothing {
        return false;
    }
    let folded = plain(&rating.text);
    let blank = folded.bytes().all(|byte| !byte.is_ascii_alphanumeric() && byte != b'?');
    !blank && !Rating::looks_like(&rating.text) && (is_open(&folded) || !words::list("no-set").is(&folded))
}

/// So many materials are remembered.
const MOST_KNOWN: usize = 32;

/// Whether a remark may speak of ratings, by its letters alone.
fn speaks_of_ratings(remarks: &str) -> bool {
    let speaks = |part: &[u8]| RATED.iter().any(|letters| part.eq_ignore_ascii_case(letters.as_bytes()));
    remarks.len() > 8 && remarks.as_bytes().windows(3).any(speaks)
}

/// Three letters of the words for ratings: every remark is asked for them.
static RATED: LazyLock<Vec<&'static str>> = LazyLock::new(|| words::list("rating-letters").phrases().collect());

/// The part of a remark or a note that is a rating and nothing else: `45 min`, `NOTE: 45 MINUTE LABEL`. Bare
/// minutes right behind `hold open:` or `undercut:` are none; a label is one wherever it stands.
fn rating_within(text: &str) -> Option<&str> {
    if !Rating::may_stand_in(text) {
        return None;
    }
    let rated = |part: &&str| {
        let rating = Rating::parse(part);
        rating.minutes.is_some_and(|minutes| minutes > 0) && rating.wall_minutes.is_none() && Rating::looks_like(part)
    };
    let mut parts = text.split([';', ',', ':', '\n']).map(str::trim);
    let part = parts.find(|part| Rating::may_stand_in(part) && rated(part))?;
    let before = plain(&text[..words::offset(text, part)]);
    let bare =
        plain(part).split([' ', '-']).filter(|word| word.bytes().any(|byte| byte.is_ascii_alphabetic())).count() < 2;
    let other = |list: &str, signs: &[char]| {
        let said = before.trim_end().strip_suffix(signs);
        said.is_some_and(|said| words::list(list).ends(said.trim_end()).is_some())
    };
    let others = bare
        && (other("minutes-never-of-doors", &[':', ','])
            || other("minutes-of-others", &[':'])
            || other("minimum-of-others", &[':']));
    (!others).then_some(part)
}

/// What the notes of a set say of the rating of its doors.
fn noted(set: &HardwareSet) -> Option<&str> {
    set.notes.iter().find_map(|note| rating_within(&note.text).or_else(|| ratedset::of_doors(&note.text)))
}

/// The part of a set's title that is a rating with its unit and nothing else: `(90 MINUTE)`, `Stairs - 90 min`.
fn rating_of_title(title: &str) -> Option<&str> {
    if !Rating::may_stand_in(title) {
        return None;
    }
    let parts = title.split([';', ',', ':', '(', ')', '[', ']', '|']).flat_map(|part| part.split(" - ")).map(str::trim);
    let rated = |part: &&str| {
        let rating = Rating::parse(part);
        rating.minutes.is_some_and(|minutes| minutes > 0)
            && rating.wall_minutes.is_none()
            && Rating::looks_like(part)
            && words::list("units-of-time").is_within(&plain(part))
    };
    parts.into_iter().find(rated)
}

/// Doors with a fact that is open, by the fact and what the cells say.
type Open<'s> = BTreeMap<(&'static str, &'s str), Vec<&'s Opening>>;

/// `LEAD LINED WD` under the material of a door: what makes a leaf or a frame another than its material says is kept with the
/// remarks, where the rules hear it.
pub(crate) fn with_special(mut remarks: String, materials: [(&str, &str); 2]) -> String {
    for (of, text) in materials {
        if !text.is_empty() && words::list("special-material").find(&plain(&text.replace(['/', ','], " "))).is_some() {
            let joint = if remarks.is_empty() { "" } else { "; " };
            remarks.push_str(&format!("{joint}{of}: {text}"));
        }
    }
    remarks
}

/// Asks about the facts of doors that are open, and takes such words for no material.
pub(crate) fn settle(schedule: &mut Schedule) {
    let mut open = Open::new();
    let verify = words::list("rating-to-verify");
    // Few materials come again and again.
    let mut known: Vec<(&str, bool)> = Vec::new();
    let mut materials = false;
    let of_sets: HashMap<&str, &str> = schedule.sets.iter().filter_map(|set| Some((&*set.id, noted(set)?))).collect();
    let of_titles: HashMap<&str, &str> =
        schedule.sets.iter().filter_map(|set| Some((&*set.id, rating_of_title(&set.title)?))).collect();
    let of_all = ratedset::said_of_all(&schedule.sets);
    for door in schedule.openings.iter().filter(|door| door.excluded.is_none()) {
        let mut add = |fact: &'static str, text| open.entry((fact, text)).or_default().push(door);
        let rating = door.rating.text.as_str();
        if !rating.is_empty() && says_none(&door.rating) {
            add("rating", rating);
        } else if rating.ends_with('?')
            || speaks_of_ratings(&door.remarks) && verify.find(&plain(&door.remarks)).is_some()
        {
            add("rating to verify", rating);
        } else if door.rating == Rating::default() {
            let of_set = || of_sets.get(door.set.as_deref()?).copied();
            let of_title = || of_titles.get(door.set.as_deref()?).copied();
            if let Some(said) = rating_within(&door.remarks) {
                add("rating of a remark", said);
            } else if let Some(said) = of_all {
                add("rating of all", said);
            } else if let Some(said) = of_set() {
                add("rating of a note", said);
            } else if let Some(said) = of_title() {
                add("rating of a title", said);
            }
        }
        let both = [("material of the door", &door.door_material), ("material of the frame", &door.frame_material)];
        for (fact, text) in both {
            let Some(text) = text.as_deref() else { continue };
            let found = known.iter().find(|(of, _)| *of == text).map(|(_, open)| *open);
            let is_open = found.unwrap_or_else(|| {
                let open = is_open(text);
                if known.len() < MOST_KNOWN {
                    known.push((text, open));
                }
                materials |= open;
                open
            });
            if is_open {
                add(fact, text);
            }
        }
    }
    let found: Vec<Finding> = open.into_iter().filter_map(|((fact, text), doors)| asked(fact, text, &doors)).collect();
    schedule.findings.extend(found);
    if !materials {
        return;
    }
    for door in &mut schedule.openings {
        door.door_material.take_if(|text| is_open(text));
        door.frame_material.take_if(|text| is_open(text));
    }
}

/// As what a door is priced whose material is open.
const UNSAID: &str = "as if nothing were said";

/// What a leaf or a frame may be made of.
fn materials(of_frame: bool) -> Vec<Answer> {
    let (used, fact): (_, fn(&'static str) -> Fact) =
        if of_frame { ("frame-materials-asked", Fact::Frame) } else { ("leaf-materials-asked", Fact::Leaf) };
    let answer = |material: &&'static str| {
        Answer::new(material.replace('-', " "), Effect::Doors { are: fact(material), goods: Vec::new() })
    };
    std::iter::once(Answer::new(UNSAID, Effect::Nothing)).chain(rule_words::of(used).iter().map(answer)).collect()
}

fn asked(fact: &str, text: &str, doors: &[&Opening]) -> Option<Finding> {
    let first = doors.first()?;
    let rated = first.rating.minutes;
    let rating = |minutes: u32| {
        let (says, are) = match minutes {
            0 => ("not rated".to_string(), Fact::NotRated),
            minutes => (format!("rated {minutes} minutes"), Fact::Rated(minutes)),
        };
        let effect =
            if rated.unwrap_or(0) == minutes { Effect::Nothing } else { Effect::Doors { are, goods: Vec::new() } };
        Answer::new(says, effect)
    };
    let minutes = rule_words::of("ratings-asked").iter().filter_map(|minutes| minutes.parse().ok());
    let ratings = || minutes.chain([0]).map(rating).collect();
    let (says, answers, priced_as): (String, Vec<Answer>, String) = match fact {
        "rating" => (
            format!("the rating says \"{text}\", which is neither a rating nor that there is none"),
            ratings(),
            "doors without rating".into(),
        ),
        "rating to verify" => {
            let as_read = match rated {
                Some(minutes) if minutes > 0 => format!("rated {minutes} minutes"),
                _ => "as the rating is written".into(),
            };
            (format!("the rating \"{text}\" is said to be verified"), ratings(), as_read)
        }
        "rating of a remark" | "rating of a note" | "rating of a title" | "rating of all" => {
            let minutes = Rating::parse(text).minutes?;
            let says = match fact {
                "rating of a remark" => "a remark of the door",
                "rating of a title" => "the heading of the set",
                "rating of all" => "a note below the last set, which may be of its doors or of all,",
                _ => "a note of the set",
            };
            let says = format!("{says} says \"{text}\", and nothing gives the door a rating");
            (says, vec![rating(0), rating(minutes)], "doors without rating".into())
        }
        fact => (
            format!("the {fact} says \"{text}\", which settles nothing"),
            materials(fact == "material of the frame"),
            UNSAID.into(),
        ),
    };
    let weight = if fact.starts_with("rating") { Weight::LifeSafety } else { Weight::Goods };
    let finding = Finding {
        openings: doors.iter().map(|door| door.number.clone()).collect(),
        answers,
        priced_as,
        ..Finding::new("fact-open", Kind::Question, weight, says)
    };
    Some(finding.at(first.place.clone(), text).help("ask the architect, and write it into the door schedule"))
}
