//! Remarks of doors that add goods, take them out, or name some that the set lists otherwise, in any words that lines have for
//! goods: `add 2 kp`, `omit stop`, `34 x 40 armor plt push side`. Reading asks about the plainest of them; the rest is asked here.

use std::collections::{BTreeMap, HashSet};
use std::sync::{Arc, PoisonError};

use rust_decimal::Decimal;

use super::note_of_goods::{Said, heard};
use crate::complete::doubts::WHOSE;
use crate::complete::act::{Out, Rule, by_hand, page};
use crate::complete::door::Door;
use crate::complete::job::Job;
use crate::complete::select::title;
use crate::complete::spec::Spec;
use crate::evidence::{By, Evidence};
use crate::finding::{Answer, Effect, Finding, Kind, LineId, Weight};
use crate::read::category_named;
use crate::read::schedule::{Basis, Wording};
use crate::trade::attribute::{Attr, Value};
use crate::trade::category::Category;
use crate::trade::rule_words;
use crate::understand::reading::{Heard, Reading, RemarkKind, Surroundings};
use crate::understand::{Lexicon, understand};

const CODE: &str = "remark-of-goods";

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        CODE,
        Kind::Question,
        Weight::Goods,
        "A remark adds goods to a set or takes some out",
        "a remark of a door adds goods, takes some out, says that others supply some, or names some that no line of its set has, and reading did not ask about it",
        "the set is priced as its lines are written, and it is asked",
        "words: `trade/rule_words.csv`, remark-more, note-out",
        ("common practice", "common practice"),
        ("ADD 2 KP beside a set with one; OMIT STOP", "KICK PLATE beside a set that has one; PAINT TO MATCH; ADD FRAME ANCHORS"),
    ),
    run,
    fires: "door 101 36x84 hm remark=add_2_kick_plates; hinge 3; mortise-lock 1 function=F07; protection-plate 1; stop 1",
    quiet: "door 101 36x84 hm remark=paint_to_match; hinge 3; mortise-lock 1 function=F07; protection-plate 1; stop 1",
};

/// Longer remarks are texts.
const LONGEST: usize = 160;

/// So many different remarks of a job have answers whose worth is worked out door by door.
const MOST_WEIGHED: usize = 60;

/// What a part of a remark does.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Does {
    More,
    Out,
    Names,
}

/// A part of a remark that speaks of goods.
struct Part {
    text: String,
    does: Does,
    said: Said,
    /// The words that name the goods, lower case.
    named: String,
    count: Option<Decimal>,
    /// On both sides of the leaf.
    twice: bool,
}

fn run(job: &Job, out: &mut Out) {
    let Some(lexicon) = job.words() else { return };
    let mut known: BTreeMap<&str, Vec<Part>> = BTreeMap::new();
    let told = told(job);
    // What an answer at some doors is worth takes a run of its own: of very many remarks it is left to a person.
    let distinct: HashSet<&str> = job.schedule.openings.iter().map(|opening| opening.remarks.trim()).collect();
    let weighed = distinct.len() <= MOST_WEIGHED;
    for set in 0..job.sets.len() {
        let mut asked: BTreeMap<(&str, usize), Vec<&Door>> = BTreeMap::new();
        for door in job.doors(set) {
            let Some(remarks) = job.schedule.openings.get(door.index).map(|opening| opening.remarks.trim()) else { continue };
            if remarks.is_empty() || remarks.len() > LONGEST {
                continue;
            }
            for (at, part) in known.entry(remarks).or_insert_with(|| parts(lexicon, remarks)).iter().enumerate() {
                let is_told = told.get(door.number.as_str()).is_some_and(|all| all.iter().any(|one| one.tells(part, job, set)));
                if !is_told {
                    asked.entry((remarks, at)).or_default().push(door);
                }
            }
        }
        let mut alike: BTreeMap<String, Vec<Asked>> = BTreeMap::new();
        for ((remarks, at), doors) in asked {
            if let Some(part) = known.get(remarks).and_then(|parts| parts.get(at)) {
                alike.entry(part.asks()).or_default().push(Asked { remarks, part, doors });
            }
        }
        for asked in alike.into_values().flat_map(together) {
            ask(job, out, set, &asked, weighed);
        }
    }
}

/// More remarks of a set that ask the same in other words are one question.
const MOST_ALIKE: usize = 3;

/// A part of a remark, and its doors.
struct Asked<'a> {
    remarks: &'a str,
    part: &'a Part,
    doors: Vec<&'a Door>,
}

/// `Omit stop at grid A1`, `omit stop at grid A2`, and many more: one question for all such remarks of a set.
fn together(mut alike: Vec<Asked>) -> Vec<Asked> {
    if alike.len() > MOST_ALIKE {
        let mut more = alike.split_off(1).into_iter();
        if let Some(first) = alike.first_mut() {
            more.by_ref().for_each(|one| first.doors.extend(one.doors));
            first.doors.sort_by_key(|door| door.index);
            first.doors.dedup_by_key(|door| door.index);
        }
    }
    alike
}

impl Part {
    /// What a question about it depends on, whatever its words.
    fn asks(&self) -> String {
        // What is taken out is taken out whatever else is said of it.
        if self.does == Does::Out {
            return format!("out {:?}", self.said.categories);
        }
        format!("{} {:?} {:?} {:?} {}", self.does as u8, self.said.categories, self.said.attributes, self.count, self.twice)
    }
}

/// What reading asks about a door.
struct Told {
    /// The words that it names, lower case; none: all of the remark.
    named: Option<String>,
    /// A question on goods that the set lacks.
    lacking: bool,
}

impl Told {
    /// Whether it speaks of a part. A question on goods that a set lacks is none where the set has them.
    fn tells(&self, part: &Part, job: &Job, set: usize) -> bool {
        let Some(named) = &self.named else { return true };
        let category = category_named(named);
        let same = category.is_some_and(|category| part.said.categories.contains(&category)) || part.text.to_lowercase().contains(named.as_str());
        let has = || category.is_some_and(|category| !job.lines_of(set, &[category]).is_empty());
        same && !(self.lacking && part.does == Does::More && has())
    }
}

/// What reading asks, by the numbers of doors.
fn told<'j>(job: &'j Job) -> BTreeMap<&'j str, Vec<Told>> {
    let mut told: BTreeMap<&str, Vec<Told>> = BTreeMap::new();
    for finding in job.schedule.findings.iter().filter(|finding| !is_of_goods_alone(job, finding)) {
        let named = match finding.code {
            "hardware-in-remarks" | "remark-takes-out" => finding.says.split('"').nth(1).map(str::to_lowercase),
            "remark-changes-set" | "existing-in-remarks" | "hardware-by-others-with-set" | "door-out-hardware-new" => None,
            _ => continue,
        };
        for door in &finding.openings {
            let lacking = finding.code == "hardware-in-remarks";
            told.entry(door.as_str()).or_default().push(Told { named: named.clone(), lacking });
        }
    }
    told
}

/// The parts of a remark that speak of goods. What stands behind `add` holds for the parts behind it too.
fn parts(lexicon: &Lexicon, remarks: &str) -> Vec<Part> {
    let mut found = Vec::new();
    let mut more = false;
    for text in split(remarks) {
        let out = rule_words::speak("note-out", text);
        // `Kick plate both sides`: twice what the set has; `operator with actuators both sides` says it of another.
        let alone = || !without_lead(text).split(' ').any(|word| rule_words::is("remark-with", word));
        let twice = rule_words::speak_together("remark-both-sides", text) && alone();
        more = !out && (more || rule_words::speak("remark-more", text));
        let does = if out { Does::Out } else if more || twice { Does::More } else { Does::Names };
        if rule_words::speak("note-of-work", text) || does == Does::Names && rule_words::speak("remark-told", text) {
            continue;
        }
        let bare = bare(text);
        for (at, reading) in understand(lexicon, &Wording::free(&bare), &Surroundings::default()).into_iter().enumerate() {
            // `Seals and hinges furnished with the door by its maker`: each is taken out of our set.
            let does = if by_others(&reading) && !rule_words::speak("note-of-some", text) { Does::Out } else { does };
            if at > 0 && !by_others(&reading) || !is_of_goods(&reading, does) {
                continue;
            }
            let named = reading.named_at().and_then(|at| bare.get(at)).unwrap_or_default().to_lowercase();
            let Some(said) = heard(&reading, &bare) else { continue };
            found.push(Part { text: text.to_owned(), does, said, named, count: reading.quantity.amount, twice: twice && !more });
        }
    }
    found
}

/// `Provide weather seal`: reading knows no such goods and asks for words, where the words name goods that are asked about here with
/// what they cost.
fn is_heard_here(job: &Job, finding: &Finding) -> bool {
    let of_words = finding.code == "hardware-in-remarks" && finding.answers.is_empty() && finding.excerpt.len() <= LONGEST;
    let Some(lexicon) = job.words().filter(|_| of_words) else { return false };
    let Some(words) = finding.says.split('"').nth(1).filter(|words| category_named(words).is_none()) else { return false };
    parts(lexicon, &finding.excerpt).iter().any(|part| part.does == Does::More && !part.named.is_empty() && words.contains(&part.named))
}

/// `Seals furnished with door`: what reading asks of the whole set is said of goods that the remark names, which is asked here.
pub fn is_of_goods_alone(job: &Job, finding: &Finding) -> bool {
    if is_heard_here(job, finding) {
        return true;
    }
    let code = "hardware-by-others-with-set";
    let Some(lexicon) = job.words().filter(|_| finding.code == code && finding.excerpt.len() <= LONGEST) else { return false };
    let known = job.cache.of_others.read().unwrap_or_else(PoisonError::into_inner).get(&finding.excerpt).cloned();
    // The same remark is asked for at every run of the rules.
    let parts = known.unwrap_or_else(|| {
        let found: Arc<[Vec<Category>]> = of_others(lexicon, &finding.excerpt).into();
        job.cache.of_others.write().unwrap_or_else(PoisonError::into_inner).insert(finding.excerpt.clone(), Arc::clone(&found));
        found
    });
    let set = job.sets.iter().position(|of| finding.set.as_deref() == Some(of.id.as_str()));
    !parts.is_empty() && set.is_some_and(|set| parts.iter().all(|kinds| job.names(set, kinds)))
}

/// The kinds of goods that each part of a remark leaves to others; none where a part says it of something else, or of all.
fn of_others(lexicon: &Lexicon, remarks: &str) -> Vec<Vec<Category>> {
    let mut kinds = Vec::new();
    // `Hardware by others except closer` is said of all but what it names.
    if rule_words::speak("note-of-some", remarks) || rule_words::speak("remark-of-all", remarks) {
        return kinds;
    }
    for text in split(remarks).filter(|text| !text.is_empty()) {
        let found = parts(lexicon, text);
        if !found.iter().any(|part| part.does == Does::Out && part.said.categories != [Category::Other]) {
            return Vec::new();
        }
        kinds.extend(found.into_iter().map(|part| part.said.categories));
    }
    kinds
}

/// The parts of a remark, each of which says one thing.
fn split(remarks: &str) -> impl Iterator<Item = &str> {
    remarks.split([',', ';', '\n']).flat_map(|part| part.split(". ")).map(str::trim)
}

/// A part without the words that add goods or take them out, and without the signs at its ends.
fn bare(text: &str) -> String {
    let is_word = |word: &&str| {
        let word = word.trim_matches(|sign: char| !sign.is_alphanumeric());
        !word.is_empty() && !rule_words::is("remark-more", word) && !rule_words::is("note-out", word)
    };
    without_lead(text).split(' ').filter(is_word).collect::<Vec<_>>().join(" ")
}

/// A part without `w/` at its head.
fn without_lead(text: &str) -> &str {
    text.split_once(' ').filter(|(first, _)| rule_words::is("remark-with", first)).map_or(text, |(_, rest)| rest)
}

/// Whether a set has two of the goods a leaf.
fn has_two(lines: &[&Spec], doors: &[&Door]) -> bool {
    let leaves = doors.iter().map(|door| door.leaves).max().unwrap_or(1);
    let each_leaf = |spec: &&Spec| if spec.basis == Basis::Leaf { spec.quantity } else { spec.quantity / Decimal::from(leaves.max(1)) };
    lines.iter().map(each_leaf).sum::<Decimal>() >= Decimal::TWO
}

/// Whether others supply the goods that a part names.
fn by_others(reading: &Reading) -> bool {
    reading.remarks.iter().any(|remark| matches!(remark.kind, RemarkKind::ByOthers | RemarkKind::NotInContract))
}

/// Whether a part speaks of goods and is understood: what only names goods, to the last word.
fn is_of_goods(reading: &Reading, does: Does) -> bool {
    let certain = !matches!(reading.category, Heard::Absent) && reading.conditions.is_empty();
    let quiet = |kind| matches!(kind, RemarkKind::Existing | RemarkKind::SeeElsewhere | RemarkKind::Verify);
    let free = !reading.remarks.iter().any(|remark| quiet(remark.kind));
    // `Card reader by town` beside a set names what others may furnish.
    let whose = || reading.doubts.iter().any(|doubt| doubt.code == WHOSE);
    // `Door and frame`: words that say nothing of the only goods that have them name none.
    let by_filler = || match &reading.category {
        Heard::Found(_, Evidence { by: By::Entry { entry, .. }, .. }) => entry.contains("word=nothing"),
        _ => false,
    };
    certain && free && !by_filler() && (does != Does::Names || reading.unread.is_empty() && !whose() && reading.category.found().is_some())
}

/// Lines left out at all doors of their set, or at those that are asked about.
fn left_out(ids: &[LineId], all: bool, weighed: bool) -> Answer {
    const AT_THESE: &str = "left out at these doors";
    let none = |line: &LineId| Effect::Quantity { line: *line, quantity: Decimal::ZERO };
    match (all, weighed) {
        (true, _) => Answer::new("left out", Effect::Exclude { lines: ids.to_vec() }),
        (_, true) => Answer::new(AT_THESE, Effect::Several(ids.iter().map(none).collect())),
        _ => by_hand(&format!("{AT_THESE}: give them a set of their own")),
    }
}

fn ask(job: &Job, out: &mut Out, set: usize, asked: &Asked, weighed: bool) {
    let (part, doors) = (asked.part, asked.doors.as_slice());
    let Some(category) = part.said.categories.first().copied() else { return };
    let added = |door: &&Door| !job.added_to(door.index, &part.said.categories, CODE).is_empty();
    let lines: Vec<&Spec> = job.lines_of(set, &part.said.categories);
    let ids: Vec<LineId> = lines.iter().map(|spec| spec.id).collect();
    let all = doors.len() == job.doors(set).count();
    let each = Decimal::from(doors.iter().map(|door| door.count).sum::<u32>());
    let add = |category| Effect::Add { category, attributes: part.said.attributes.iter().cloned().collect(), quantity: part.count.unwrap_or(Decimal::ONE) * each };
    let whole = |words: &str, effect: Effect| if all { Answer::new(words, effect) } else { by_hand(&format!("{words} at these doors: give them a set of their own")) };
    let name = match &lines[..] {
        [line, ..] => title(line.category.unwrap_or(category)),
        [] => title(category),
    };
    // Whoever furnishes them.
    let has = || {
        let written = |spec: &Spec| spec.wording.text.to_lowercase().contains(&part.named);
        !job.all_of(set, &part.said.categories).is_empty() || job.sets[set].specs.iter().any(written)
    };
    let differs = |spec: &Spec, (attribute, value): &(Attr, Value)| spec.value(*attribute).is_some_and(|has| has != value);
    let otherwise = |spec: &&Spec| part.said.concerns(spec) || part.said.attributes.iter().any(|said| differs(spec, said));
    let (says, answer) = match part.does {
        Does::Out if ids.is_empty() => return,
        Does::Out => (format!("A remark takes goods out that the set has ({name})"), vec![left_out(&ids, all, weighed)]),
        Does::More if doors.iter().all(added) || part.twice && has_two(&lines, doors) => return,
        Does::More => {
            let added = |category: &Category| Answer::new(format!("{} added, as the remark says", title(*category)), add(*category));
            (format!("A remark adds goods to those of the set ({})", title(category)), part.said.categories.iter().map(added).collect())
        }
        Does::Names if ids.is_empty() && (doors.iter().any(added) || has()) => return,
        Does::Names if ids.is_empty() => (format!("A remark names goods that the set does not ({name})"), vec![Answer::new("added", add(category))]),
        Does::Names if !lines.iter().all(otherwise) => return,
        Does::Names => (
            format!("A remark names goods otherwise than the set does ({name})"),
            vec![whole("as the remark says, instead", part.said.effect(&ids)), Answer::new("as the remark says, besides", add(category))],
        ),
    };
    let numbers = doors.iter().map(|door| door.number.clone()).collect();
    let says_so = |door: &&&Door| job.schedule.openings.get(door.index).is_some_and(|opening| opening.remarks.trim() == asked.remarks);
    let others = doors.len() - doors.iter().filter(says_so).count();
    let more = if others > 0 { format!(", and such remarks at {others} more doors") } else { String::new() };
    let mut finding = out.about_set(job, set, numbers, &format!("job:{}", part.text), format!("{says}: \"{}\"{more}.", part.text));
    let first = doors.iter().find(says_so).and_then(|door| job.schedule.openings.get(door.index));
    (finding.place, finding.excerpt) = (first.map(|opening| opening.place.clone()), asked.remarks.to_owned());
    finding.priced_as = "as the set is written".to_owned();
    finding.answers = std::iter::once(Answer::new("as the set is written", Effect::Nothing)).chain(answer).collect();
    finding.lines = ids;
    finding.help = "ask whether the remark or the set holds; give these doors a set of their own if the remark does".to_owned();
    out.say(finding);
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::complete::example::completed;
    use crate::understand::embedded;

    #[test]
    fn parts_of_remarks_add_goods_or_take_them_out() {
        let lexicon = embedded().unwrap();
        for (remarks, expected) in [
            ("add 2 kp, 34 x 40 armor plt push side", vec![Does::More, Does::More]),
            ("no stop", vec![Does::Out]),
            ("w/ kick plate both sides", vec![Does::More]),
            ("armor plt", vec![Does::Names]),
            ("paint to match; verify in field", vec![]),
            ("undercut 3/4\"", vec![]),
            ("closer by others", vec![Does::Out]),
            ("seals and hinges furnished with the door by its maker", vec![Does::Out, Does::Out]),
            ("existing closer to remain", vec![]),
        ] {
            let does: Vec<Does> = parts(lexicon, remarks).iter().map(|part| part.does).collect();
            assert!(does == expected, "{remarks}: {}", does.len());
        }
    }

    #[test]
    fn remarks_that_ask_the_same_in_many_words_are_one_question() {
        let doors = |count: usize| {
            let door = |at: usize| format!("door {} 36x84 hm remark=omit_stop_item_{at}; ", 100 + at);
            (1..=count).map(door).collect::<String>()
        };
        let asked = |count: usize| {
            let job = completed(&format!("{}hinge 3; mortise-lock 1 function=F07; stop 1 mounting=wall", doors(count)));
            let of = |finding: &&Finding| finding.code == CODE;
            job.findings.iter().filter(of).map(|finding| finding.openings.len()).collect::<Vec<_>>()
        };
        assert_eq!(asked(2), [1, 1]);
        assert_eq!(asked(6), [6]);
    }
}
