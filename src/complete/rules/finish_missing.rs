//! Lines without a finish.
use crate::complete::spec::{From, Grade, Spec};
use crate::trade::{rule_words, usual};
use crate::trade::attribute::{Value, names};
use crate::trade::category::Category;
use std::collections::BTreeMap;

use crate::complete::finish_notes::{self, FinishNote};
use crate::finding::{Answer, Effect, Finding, LineId};
use crate::read::schedule::{HardwareSet, Note};
use crate::trade::finish;

use crate::complete::act::{Out, Rule, page};
use crate::complete::job::Job;
use crate::finding::{Kind, Weight};

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "finish-missing",
        Kind::Assumption,
        Weight::Goods,
        "A line has no finish",
        "a line says nothing of its finish",
        "what a note on finishes says of such goods, else the look of most other lines of the set, else the default of the job, else of most lines of the job; if there is none anywhere, one question",
        "",
        ("retailers name finish first among causes of wrong orders", "reported"),
        ("closer 689, lock 626, stop without finish", "every line has a finish"),
    ),
    run,
    fires: "door 101 36x84 hm; hinge 3 finish=652; stop 1 mounting=wall",
    quiet: "door 101 36x84 hm; hinge 3 finish=652; stop 1 mounting=wall finish=626",
};

const CODE: &str = "finish-missing";

/// Goods without a finish to choose, or whose finish does not follow the set's.
const NONE: &[Category] = &[
    Category::Silencer, Category::Keying, Category::Wiring, Category::PowerSupply, Category::Reader, Category::FrameGuard,
    Category::Gasketing, Category::Other, Category::PositionSwitch, Category::LouverOrLite, Category::KeyCabinet,
    Category::RequestToExit, Category::Astragal, Category::Threshold, Category::Sweep, Category::DoorBottom,
    Category::RainDrip, Category::Coordinator, Category::Sign, Category::Core, Category::Mullion,
    Category::PowerTransfer, Category::ElectromagneticLock, Category::Actuator, Category::MagneticHolder, Category::Strike,
];

fn run(job: &Job, out: &mut Out) {
    let of_job = most((0..job.sets.len()).flat_map(|set| job.lines(set)).filter_map(look_said));
    let by_terms = job.terms.building.default_finish.as_deref().and_then(finish::look_of);
    let words = job.cache.words.as_deref();
    let notes = Notes {
        general: job.schedule.notes.iter().filter_map(|note| finish_notes::read(words, note)).collect(),
        of_others: general_in_sets(job).iter().filter_map(|note| finish_notes::read(words, note)).collect(),
        of_sets: job.schedule.sets.iter().map(|set| (set.id.as_str(), set.notes.as_slice())).collect(),
    };
    for set in 0..job.sets.len() {
        let without: Vec<&Spec> = job.lines(set).filter(|spec| lacks_finish(spec)).collect();
        if without.is_empty() {
            continue;
        }
        let of_set = most(job.lines(set).filter_map(look_said));
        let without = by_notes(job, out, set, without, &notes, of_set);
        if without.is_empty() {
            continue;
        }
        let without = by_metal(job, out, set, without, of_set.or(by_terms).or(of_job));
        if without.is_empty() {
            continue;
        }
        let (look, whence) = match (of_set, by_terms, of_job) {
            (Some(look), _, _) => (look, "as the other lines of the set"),
            (None, Some(look), _) => (look, "the default of the job"),
            (None, None, Some(look)) => (look, "as most lines of the job"),
            (None, None, None) => {
                ask(job, out, set, &without);
                continue;
            }
        };
        let ids: Vec<_> = without.iter().map(|spec| spec.id).collect();
        for spec in &without {
            out.fill(spec.id, names::LOOK, Value::text(look), Grade::Assumed);
        }
        let says = format!("Lines without a finish: {} taken, {whence}.", look.replace('-', " "));
        out.say(out.about_lines(job, set, &ids, job.numbers(set), &format!("job:{look} {whence}"), says));
    }
}

/// "Hinges BB SS NRP" where the finish is that of plated goods, or unknown: stainless steel has two looks of its own, and takes the
/// one that is satin or bright as the others are. Gives back the lines that are of another metal, or can have the look.
fn by_metal<'j>(job: &'j Job, out: &mut Out, set: usize, without: Vec<&'j Spec>, look: Option<&'static str>) -> Vec<&'j Spec> {
    let Some(taken) = stainless_like(look).filter(|_| look.is_none_or(|look| finish::resolve(look, STAINLESS).is_none())) else { return without };
    let said = |spec: &Spec| spec.says(names::BASE) && spec.word(names::BASE) == STAINLESS;
    // Plates beside chromium are of stainless steel, and look like it.
    let beside = look.is_some_and(|look| rule_words::is("looks-like-stainless", look));
    let (of_metal, rest): (Vec<&Spec>, Vec<&Spec>) = without.into_iter().partition(|spec| said(spec) || beside && is_usually_stainless(spec));
    if !of_metal.is_empty() {
        let ids: Vec<_> = of_metal.iter().map(|spec| spec.id).collect();
        for id in &ids {
            out.fill(*id, names::LOOK, Value::text(taken), Grade::Assumed);
        }
        let says = format!("Lines of stainless steel without a finish: {} taken.", taken.replace('-', " "));
        out.say(out.about_lines(job, set, &ids, job.numbers(set), &format!("job:{taken}"), says));
    }
    rest
}

const STAINLESS: &str = "stainless";

/// The look of stainless steel that is satin or bright as another is.
fn stainless_like(look: Option<&str>) -> Option<&'static str> {
    let kind = |look: &str| look.split('-').next().map(str::to_owned);
    let own = rule_words::of("looks-of-stainless");
    let alike = look.and_then(|look| own.iter().find(|one| kind(one) == kind(look)));
    alike.or(own.first()).copied()
}

/// Goods that are of stainless steel as a rule, and of which no word says another metal.
fn is_usually_stainless(spec: &Spec) -> bool {
    let metal = spec.category.and_then(|category| usual::value(category, names::MATERIAL));
    metal.is_some_and(|(metal, _)| metal == STAINLESS) && !spec.says(names::BASE) && !spec.says(names::MATERIAL)
}

/// The notes on finishes of a job, read once for all its sets.
struct Notes<'j> {
    /// Of no set.
    general: Vec<FinishNote<'j>>,
    /// Under a set, and in words for the whole job.
    of_others: Vec<FinishNote<'j>>,
    of_sets: BTreeMap<&'j str, &'j [Note]>,
}

/// Gives lines what a note of their set, or of the whole schedule, says of finishes; gives back those of which none
/// speaks. A note under another set never goes before the finish of the set's own lines, and is asked where they have none.
fn by_notes<'j>(job: &'j Job, out: &mut Out, set: usize, without: Vec<&'j Spec>, of_job: &Notes<'j>, of_set: Option<&'static str>) -> Vec<&'j Spec> {
    let own = of_job.of_sets.get(job.sets[set].id.as_str()).copied().unwrap_or_default();
    let words = job.cache.words.as_deref();
    let own: Vec<FinishNote<'_>> = own.iter().filter_map(|note| finish_notes::read_of_set(words, note)).collect();
    let others = of_job.of_others.iter().filter(|note| of_set.is_none_or(|look| note.is_general(look)));
    let asked: Vec<_> = others.collect();
    let notes: Vec<_> = own.iter().chain(&of_job.general).chain(asked.iter().copied()).collect();
    let from_others = |at: usize| at >= notes.len() - asked.len() && of_set.is_none();
    if notes.is_empty() {
        return without;
    }
    let mut told: BTreeMap<(usize, &'static str), Vec<LineId>> = BTreeMap::new();
    let mut open: BTreeMap<usize, Vec<LineId>> = BTreeMap::new();
    let mut silent = Vec::new();
    for spec in without {
        let said = |(at, note): (usize, &&FinishNote<'_>)| Some((at, note.look(spec.category?, &|attribute| spec.value(attribute))?));
        match notes.iter().enumerate().find_map(said) {
            Some((at, look)) if notes[at].open().contains(&look) => {
                let own = rule_words::of("looks-of-stainless");
                let plate = notes[at].open().iter().copied().find(|look| own.contains(look));
                let look = plate.filter(|_| is_usually_stainless(spec)).unwrap_or(look);
                out.fill(spec.id, names::LOOK, Value::text(look), Grade::Ask);
                open.entry(at).or_default().push(spec.id);
            }
            Some((at, look)) => {
                let grade = if from_others(at) { Grade::Ask } else { Grade::Assumed };
                out.fill(spec.id, names::LOOK, Value::text(look), grade);
                told.entry((at, look)).or_default().push(spec.id);
            }
            None => silent.push(spec),
        }
    }
    for (at, ids) in open {
        ask_which(job, out, set, notes[at], ids);
    }
    for ((at, look), ids) in told {
        let note = notes[at].note;
        let whence = format!("by the note \"{}\" ({})", note.text.trim(), note.place);
        let says = format!("Lines without a finish: {} taken, {whence}.", look.replace('-', " "));
        let mut finding = out.about_lines(job, set, &ids, job.numbers(set), &format!("job:{look} {whence}"), says);
        if from_others(at) {
            ask_whether(&mut finding, look, &ids);
        }
        out.say(finding);
    }
    silent
}

/// Notes that stand under a set and speak of the whole job: in words for all of it, behind the last of several sets of
/// their sheet, and apart from its lines and its own notes.
fn general_in_sets<'j>(job: &'j Job) -> Vec<&'j Note> {
    let mut last = BTreeMap::new();
    for set in &job.schedule.sets {
        let (_, count) = last.entry((&set.place.file, &set.place.sheet)).and_modify(|(of, _)| *of = set).or_insert((set, 0));
        *count += 1;
    }
    let several = last.into_values().filter(|(_, count)| *count > 1);
    several.flat_map(|(set, _)| behind(set)).filter(|note| finish_notes::is_general(note)).collect()
}

/// The notes of a set behind the first empty row below its lines.
fn behind(set: &HardwareSet) -> Vec<&Note> {
    let Some(mut end) = set.lines.iter().map(|line| line.place.row).max() else { return Vec::new() };
    let mut notes: Vec<&Note> = set.notes.iter().filter(|note| note.place.row > end).collect();
    notes.sort_by_key(|note| note.place.row);
    let own = notes.iter().take_while(|note| {
        let follows = note.place.row <= end + 1;
        end = end.max(note.place.row);
        follows
    });
    let own = own.count();
    notes.split_off(own)
}

/// Makes the finding on what a note under another set gives a question.
fn ask_whether(finding: &mut Finding, look: &'static str, ids: &[LineId]) {
    finding.says = format!("{} The note stands under another set; whether it holds here is not said.", finding.says);
    finding.kind = Kind::Question;
    finding.attribute = Some(names::LOOK);
    finding.priced_as = look.replace('-', " ");
    let looks = rule_words::of("looks-asked").iter().filter(|other| **other != look);
    for look in std::iter::once(&look).chain(looks) {
        let does = Effect::Set { lines: ids.to_vec(), attribute: names::LOOK, value: Value::text(look) };
        finding.answers.push(Answer::new(look.replace('-', " "), does));
    }
}

/// Asks which of the finishes that a note names together, `626 / 630`, is meant.
fn ask_which(job: &Job, out: &mut Out, set: usize, note: &FinishNote<'_>, ids: Vec<LineId>) {
    let words = note.note.text.trim();
    let says = format!("The finish is given as \"{words}\" ({}), and not which goods have which.", note.note.place);
    let mut finding = out.about_lines(job, set, &ids, job.numbers(set), &format!("job:open {words}"), says);
    finding.kind = Kind::Question;
    finding.attribute = Some(names::LOOK);
    finding.priced_as = "for each good the one of its usual metal, else the first".into();
    finding.answers.push(Answer::new("as priced", Effect::Nothing));
    for look in note.open() {
        let does = Effect::Set { lines: ids.clone(), attribute: names::LOOK, value: Value::text(look) };
        finding.answers.push(Answer::new(format!("{} for all", look.replace('-', " ")), does));
    }
    out.say(finding);
}

fn lacks_finish(spec: &Spec) -> bool {
    let said = |attribute| !spec.lacks(attribute, CODE) && spec.attributes.get(&attribute).is_some_and(|sourced| !matches!(sourced.from, From::Rule("finish-by-base", _)));
    !spec.is_any(NONE) && !said(names::FINISH) && !said(names::LOOK) && !spec.says(names::DESIGNATION)
}

fn look_said(spec: &Spec) -> Option<&'static str> {
    // An answer about one line is no word of the schedule for the others.
    let by_words = |attribute| spec.attributes.get(&attribute).filter(|sourced| matches!(sourced.from, From::Said(_)));
    let said = |attribute| by_words(attribute).and_then(|sourced| sourced.value.as_text());
    said(names::FINISH).or_else(|| said(names::LOOK)).and_then(finish::look_of)
}

/// The look that stands most often. Paint is that of closers and holders; other goods follow it only where nothing else
/// stands.
fn most(looks: impl Iterator<Item = &'static str>) -> Option<&'static str> {
    let mut counted: BTreeMap<&'static str, usize> = BTreeMap::new();
    for look in looks {
        *counted.entry(look).or_default() += 1;
    }
    let is_paint = |look: &&'static str| look.ends_with("-painted");
    // A primer is the finish of what is painted with the frame, and of nothing else.
    counted.retain(|look, _| !rule_words::is("looks-of-primer", look));
    if !counted.keys().all(is_paint) {
        counted.retain(|look, _| !is_paint(look));
    }
    counted.into_iter().max_by_key(|(look, count)| (*count, std::cmp::Reverse(*look))).map(|(look, _)| look)
}

fn ask(job: &Job, out: &mut Out, set: usize, without: &[&Spec]) {
    let ids: Vec<_> = without.iter().map(|spec| spec.id).collect();
    let says = "No finish is given anywhere in the job.";
    let mut finding = out.about_lines(job, set, &ids, job.numbers(set), "job:none", says);
    finding.kind = Kind::Question;
    finding.attribute = Some(names::LOOK);
    let looks = rule_words::of("looks-asked");
    let Some(usual) = looks.first() else { return };
    finding.priced_as = usual.replace('-', " ");
    let (plates, others): (Vec<&Spec>, Vec<&Spec>) = without.iter().copied().partition(|spec| is_usually_stainless(spec));
    let of = |specs: &[&Spec], look: &str| Effect::Set { lines: specs.iter().map(|spec| spec.id).collect(), attribute: names::LOOK, value: Value::text(look) };
    let beside = |look: &str| stainless_like(Some(look)).filter(|_| rule_words::is("looks-like-stainless", look));
    for look in looks {
        // Of one form whether a set has plates or not: it is asked once for all of them.
        let does = match beside(look) {
            Some(plate) => Effect::Several(vec![of(&others, look), of(&plates, plate)]),
            None => of(without, look),
        };
        finding.answers.push(Answer::new(look.replace('-', " "), does));
    }
    for spec in without {
        let look = beside(usual).filter(|_| is_usually_stainless(spec)).unwrap_or(usual);
        out.fill(spec.id, names::LOOK, Value::text(look), Grade::Ask);
    }
    out.say(finding);
}
