//! How keyed goods are keyed.

use crate::trade::rule_words;
use crate::trade::attribute::names;
use crate::trade::category::Category;
use crate::complete::act::{Out, Rule, by_hand, page};
use crate::complete::job::Job;
use crate::complete::spec::Spec;
use crate::finding::{Answer, Effect, Kind, LineId, Weight};
use crate::read::schedule::{Note, Wording};
use crate::trade::attribute::Value;
use crate::understand::reading::{RemarkKind, Surroundings};
use crate::understand::understand;
use std::collections::{BTreeMap, BTreeSet};

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "keying",
        Kind::Question,
        Weight::Scope,
        "Keying",
        "the job has keyed locks or cylinders and says nothing of keying, or says it in notes that ask for cores or for numbers of keys",
        "one question for the job; nothing is priced for it",
        "words: `trade/rule_words.csv`, on-keying, keying-goods",
        ("federal manual; a public university standard", "read"),
        ("locks with keys, no keying line", "a keying line in a set"),
    ),
    run,
    fires: "door 101 36x84 hm; hinge 3; mortise-lock 1 function=F07",
    quiet: "door 101 36x84 hm; hinge 3; mortise-lock 1 function=F07; keying 1",
};

/// Longer texts are specifications.
const LONGEST: usize = 300;

/// So many notes are quoted.
const MOST_NOTES: usize = 4;

/// Answers where notes speak of cores: what they say of the cylinders of lines that do not say it themselves.
fn answers(job: &Job, notes: &[&Note], lines: &[&Spec]) -> Vec<Answer> {
    let lexicon = job.words();
    // As words beside the name of the good: what they mean differs by it.
    let said = |category: Category| {
        let name = category.name().replace('-', " ");
        let of = |note: &&Note| {
            let text = note.text.trim_start_matches(|sign: char| !sign.is_alphabetic());
            let readings = understand(lexicon?, &Wording::free(&format!("{name} {text}")), &Surroundings::default());
            readings.first()?.attributes.get(&names::CYLINDER)?.found().cloned()
        };
        notes.iter().find_map(of)
    };
    let mut by_value: BTreeMap<Category, (Value, Vec<LineId>)> = BTreeMap::new();
    let categories: BTreeSet<Category> = lines.iter().filter_map(|spec| spec.category).collect();
    for category in categories {
        let Some(value) = said(category) else { continue };
        let lacks = lines.iter().filter(|spec| spec.category == Some(category) && !spec.says(names::CYLINDER));
        by_value.insert(category, (value, lacks.map(|spec| spec.id).collect()));
    }
    let sets = by_value.into_values().filter(|(_, lines)| !lines.is_empty());
    let effects: Vec<Effect> = sets.map(|(value, lines)| Effect::Set { lines, attribute: names::CYLINDER, value }).collect();
    let mut answers = vec![Answer::new("as the lines say", Effect::Nothing)];
    if !effects.is_empty() {
        answers.push(Answer::new("cylinders as the notes say, keys by hand", Effect::Several(effects)));
    }
    answers.push(by_hand("as the notes say, to be written into the sets"));
    answers
}

/// Whether a line is keyed into what the owner has: `refers-elsewhere` asks for that, and asking twice helps nobody.
fn of_owner(spec: &Spec) -> bool {
    let remarks = spec.reading.remarks.iter().filter(|remark| remark.kind == RemarkKind::OwnerStandard);
    remarks.filter_map(|remark| spec.wording.text.get(remark.evidence.span.clone())).any(|text| rule_words::speak("on-keying", text))
}

/// Whether a sentence asks for what keying needs. Whose the keying is, another sentence may say: `All keying per Owner. Furnish
/// construction cores.` What is handed over to the owner comes from us: `provide 200 key cards to Owner`.
fn asks_goods(sentence: &str) -> bool {
    let ours = || rule_words::speak("keying-asked", sentence) && rule_words::speak_together("keying-handed-over", sentence);
    let goods = rule_words::speak("keying-goods", sentence) || rule_words::speak_together("keying-cards", sentence);
    goods && (!rule_words::speak("keying-settled", sentence) || ours())
}

fn run(job: &Job, out: &mut Out) {
    let said = (0..job.sets.len()).any(|set| job.names(set, &[Category::Keying]) || job.lines(set).any(|spec| spec.says(names::KEYED) || of_owner(spec)));
    // The heading of a key of codes is no word on keys.
    let heads = |text: &str| rule_words::is("heads-a-key", text.trim_matches(|sign: char| !sign.is_alphanumeric()));
    let noted = |note: &&Note| rule_words::speak("on-keying", &note.text) && !heads(&note.text);
    let asks = |note: &&Note| note.text.split(['.', ';']).any(asks_goods);
    let notes: Vec<&Note> = job.schedule.notes.iter().filter(|note| note.text.len() <= LONGEST).filter(asks).collect();
    // `Guestroom locks keyed under the hotel's master system` leaves the offices open.
    let of_some = |note: &&Note| rule_words::speak("keying-of-some", &note.text) || rule_words::speak("note-of-some", &note.text);
    let whole = |note: &Note| noted(&note) && !of_some(&note);
    if said || notes.is_empty() && job.schedule.notes.iter().any(whole) {
        return;
    }
    let partial: Vec<&Note> = job.schedule.notes.iter().filter(|note| notes.is_empty() && note.text.len() <= LONGEST && noted(note)).collect();
    let mut lines = Vec::new();
    let mut numbers: Vec<String> = Vec::new();
    for set in 0..job.sets.len() {
        let locks = [Category::ExitDevice, Category::MortiseLock, Category::BoredLock, Category::Deadlock, Category::Cylinder, Category::InterconnectedLock];
        let keyed: Vec<_> = job.lines_of(set, &locks).into_iter().filter(|spec| !(rule_words::is("keyless-functions", spec.word(names::FUNCTION)) || spec.is_any(&[Category::ExitDevice]) && spec.word(names::FUNCTION).is_empty())).collect();
        if keyed.is_empty() || job.doors(set).next().is_none() {
            continue;
        }
        lines.extend(keyed);
        numbers.extend(job.numbers(set));
    }
    if lines.is_empty() {
        return;
    }
    let quoted = |notes: &[&Note]| {
        let words: Vec<String> = notes.iter().take(MOST_NOTES).map(|note| format!("\"{}\"", note.text.trim())).collect();
        words.join(", ")
    };
    let says = match &notes[..] {
        [] if !partial.is_empty() => format!("Locks with keys, and notes on the keying of some of them alone: {}. How are the others keyed, and by whom?", quoted(&partial)),
        [] => "Locks with keys, and nothing on keying: key system, keyway, cores, construction keys, number of keys, by whom?".to_owned(),
        notes => format!("Locks with keys, and notes that speak of cores or keys, of which nothing is priced: {}.", quoted(notes)),
    };
    let mut finding = out.finding("job:", says);
    finding.openings = numbers;
    finding.priced_as = "cylinders as the locks bring them, no keying".to_owned();
    finding.help = "ask for the keying schedule, or say that the owner's key shop does it".to_owned();
    if let Some(first) = notes.first() {
        (finding.place, finding.excerpt) = (Some(first.place.clone()), first.text.trim().to_owned());
        finding.answers = answers(job, &notes, &lines);
        finding.help = "write the cores and keys that are ours into the sets, or say that the owner's key shop does them".to_owned();
    }
    out.say(finding);
}
