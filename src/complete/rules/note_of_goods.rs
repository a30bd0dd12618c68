//! Notes that say something of all goods of a kind, `All closers with hold-open unless rated`: no line has it by that, so it is asked.

use crate::complete::act::{Out, Rule, by_hand, page};
use crate::complete::finish_notes;
use crate::complete::gather::Names;
use crate::complete::job::Job;
use crate::complete::spec::Spec;
use crate::finding::{Answer, Effect, Kind, LineId, Weight};
use crate::read::schedule::{HardwareSet, Note, Wording};
use crate::trade::attribute::{Attr, Value, names};
use crate::trade::category::Category;
use crate::trade::rule_words;
use crate::understand::reading::{Heard, Reading, Surroundings};
use crate::understand::{embedded, understand};

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "note-of-goods",
        Kind::Question,
        Weight::Goods,
        "A note says something of all goods of a kind",
        "a general note begins with ALL and goods, and says of them what their lines do not say: hold-open closers, a grade, a kind of lock",
        "the lines are priced as they are written, and it is asked",
        "words: `trade/rule_words.csv`, note-of-all",
        ("common practice", "common practice"),
        ("ALL CLOSERS WITH HOLD-OPEN UNLESS RATED", "ALL CLOSERS TO BE ADJUSTED ON SITE"),
    ),
    run,
    fires: "door 101 36x84 hm; hinge 3; closer 1; note ALL_CLOSERS_WITH_HOLD_OPEN_ARM",
    quiet: "door 101 36x84 hm; hinge 3; closer 1 hold_open=true; note ALL_CLOSERS_WITH_HOLD_OPEN_ARM",
};

/// What a note says of goods.
pub(super) struct Said {
    /// The kinds that it may speak of.
    pub categories: Vec<Category>,
    /// What it says of them.
    pub attributes: Vec<(Attr, Value)>,
    /// It says so of some of them only.
    pub conditional: bool,
}

fn run(job: &Job, out: &mut Out) {
    let general = job.schedule.notes.iter().map(|note| (None, note));
    let of_sets = job.schedule.sets.iter().enumerate();
    let of_sets = of_sets.flat_map(|(at, set)| set.notes.iter().map(move |note| (Some(at), note)));
    for (own, note) in general.chain(of_sets) {
        let Some((said, term)) = spoken(job, note) else { continue };
        // Under the last set of its sheet a note speaks of all; between sets it is one of the set above.
        let later = |set: &HardwareSet| set.place.sheet == note.place.sheet && set.place.file == note.place.file && set.place.row > note.place.row;
        let own = own.filter(|_| job.schedule.sets.iter().any(later)).and_then(|at| job.schedule.sets.get(at));
        let meant = |set: &usize| own.is_none_or(|own| job.sets[*set].id == own.id);
        let lines: Vec<&Spec> = (0..job.sets.len()).filter(meant).flat_map(|set| job.lines(set)).filter(|spec| if term.is_empty() { said.concerns(spec) } else { said.lacks(spec, term) }).collect();
        let counted = |spec: &&&Spec| job.doors(spec.id.set).next().is_some();
        let lines: Vec<LineId> = lines.iter().filter(counted).map(|spec| spec.id).collect();
        if lines.is_empty() {
            continue;
        }
        let mut doors = Names::default();
        lines.iter().for_each(|line| doors.extend(&job.numbers(line.set)));
        let count = if lines.len() == 1 { "one line of them does not say it".to_owned() } else { format!("{} lines of them do not say it", lines.len()) };
        let words = note.text.trim();
        let of = if term.is_empty() { "A note says of all such goods" } else { "A note asks for what goods are to have" };
        let says = format!("{of}: \"{words}\"; {count}, and priced is what the lines say.");
        let mut finding = out.finding(&format!("job:{words}"), says);
        (finding.place, finding.excerpt) = (Some(note.place.clone()), words.to_owned());
        finding.openings = doors.into_vec();
        finding.priced_as = "as the lines say".to_owned();
        let noted = "as the note says";
        finding.answers = vec![
            Answer::new("as the lines say", Effect::Nothing),
            if said.conditional || !term.is_empty() { by_hand(&format!("{noted}, to be written into the lines")) } else { Answer::new(noted, said.effect(&lines)) },
        ];
        finding.lines = lines;
        finding.help = "ask whether the note or the lines hold; write it into the lines".to_owned();
        out.say(finding);
    }
}

/// What a note says of all goods of a kind; `None`: it is no such note, or one on finishes, which has a rule of its own.
fn said(job: &Job, note: &Note) -> Option<Said> {
    let text = of_all(&note.text)?;
    let words = job.cache.words.as_deref();
    if finish_notes::read(words, note).is_some() {
        return None;
    }
    let lexicon = match words {
        Some(words) => words,
        None => embedded()?,
    };
    let reading = understand(lexicon, &Wording::free(text), &Surroundings::default()).into_iter().next()?;
    heard(&reading, text)
}

/// What a note says of all goods of a kind; where it gives them no attribute, what else it asks for.
fn spoken(job: &Job, note: &Note) -> Option<(Said, &'static str)> {
    let said = said(job, note);
    let term = if said.as_ref().is_none_or(|said| said.attributes.is_empty()) { terms(job, note) } else { None };
    term.or_else(|| Some((said?, "")))
}

/// Longer notes are specifications.
const LONGEST: usize = 200;

/// `Closers thru bolted on HM doors`, `provide drop plates at all aluminum doors`: what a note says that goods are to have, and of
/// which goods; it costs money, and no line has it by that.
fn terms(job: &Job, note: &Note) -> Option<(Said, &'static str)> {
    if note.text.len() > LONGEST || rule_words::speak("note-terms-quiet", &note.text) {
        return None;
    }
    let spaced: String = note.text.to_lowercase().chars().map(|sign| if sign.is_alphanumeric() { sign } else { ' ' }).collect();
    let padded = format!(" {} ", spaced.split_whitespace().collect::<Vec<_>>().join(" "));
    let (of, term) = rule_words::of("note-terms").iter().find_map(|entry| {
        let (of, term) = entry.split_once(':')?;
        padded.contains(&format!(" {term} ")).then_some((of, term))
    })?;
    // Of which goods the note itself says, or what it asks for belongs to one kind.
    let own = of.split('/').filter_map(|of| of.parse::<Category>().ok()).collect();
    let categories: Vec<Category> = if of == "any" {
        let lexicon = match job.cache.words.as_deref() {
            Some(words) => words,
            None => embedded()?,
        };
        let readings = understand(lexicon, &Wording::free(note.text.trim()), &Surroundings::default());
        readings.iter().filter_map(|reading| reading.category.found().copied()).collect()
    } else {
        own
    };
    (!categories.is_empty()).then_some((Said { categories, attributes: Vec::new(), conditional: true }, term))
}

/// What the reading of a note's words says of goods; `None`: it names none.
pub(super) fn heard(reading: &Reading, text: &str) -> Option<Said> {
    let categories = match &reading.category {
        Heard::Found(category, _) => vec![*category],
        Heard::Ambiguous(all) => all.iter().map(|(category, _)| *category).collect(),
        Heard::Absent => return None,
    };
    // What a condition speaks of holds at some doors alone.
    let free = [names::FINISH, names::LOOK, names::BASE];
    let heard = reading.attributes.iter().filter(|(name, _)| !free.contains(name));
    let found = |(name, heard): (&Attr, &Heard<Value>)| match heard {
        Heard::Found(value, _) => Some((*name, value.clone())),
        Heard::Ambiguous(all) => all.first().map(|(value, _)| (*name, value.clone())),
        Heard::Absent => None,
    };
    let attributes: Vec<(Attr, Value)> = heard.filter_map(found).collect();
    let excepts = rule_words::speak("note-of-some", text);
    Some(Said { categories, attributes, conditional: excepts || !reading.conditions.is_empty() })
}

/// The words of a note behind its number and its heading, where they begin with a word for all goods: `NOTES: 1. ALL CLOSERS ...`.
fn of_all(text: &str) -> Option<&str> {
    let mut rest = text.trim();
    loop {
        rest = rest.trim_start_matches(|sign: char| !sign.is_alphabetic());
        let end = rest.find(|sign: char| !sign.is_alphanumeric())?;
        let (word, behind) = rest.split_at(end);
        if rule_words::is("note-of-all", word) {
            return Some(behind.trim_start());
        }
        if !rule_words::is("note-heads", word) {
            return None;
        }
        rest = behind;
    }
}

impl Said {
    /// Whether a line is one of the goods and does not say it.
    pub(super) fn concerns(&self, spec: &Spec) -> bool {
        let Some(category) = spec.category else { return false };
        let open = match &spec.reading.category {
            Heard::Ambiguous(all) => all.iter().any(|(one, _)| self.categories.contains(one)),
            _ => false,
        };
        let other = open && !self.categories.contains(&category);
        // What a note denies and the line has not, it does not lack.
        let denied = |name: Attr, value: &Value| *value == Value::Flag(false) && spec.value(name).is_none();
        let lacks = |(name, value): &(Attr, Value)| {
            !spec.says(*name) && spec.value(*name) != Some(value) && !denied(*name, value)
        };
        other || self.categories.contains(&category) && self.attributes.iter().any(lacks)
    }

    /// Whether a line is one of the goods and does not have the words of a term.
    fn lacks(&self, spec: &Spec, term: &str) -> bool {
        let words = spec.wording.text.to_lowercase().replace('-', " ");
        spec.category.is_some_and(|category| self.categories.contains(&category)) && !words.contains(term)
    }

    /// What it would do to lines.
    pub(super) fn effect(&self, lines: &[LineId]) -> Effect {
        let kind = match self.categories.as_slice() {
            [category] => Some(Effect::Category { lines: lines.to_vec(), category: *category }),
            _ => None,
        };
        let sets = self.attributes.iter().map(|(attribute, value)| Effect::Set { lines: lines.to_vec(), attribute: *attribute, value: value.clone() });
        Effect::Several(kind.into_iter().chain(sets).collect())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_note_of_all_begins_with_the_word() {
        for (text, found) in [
            ("NOTES: All closers with hold-open unless rated.", Some("closers with hold-open unless rated.")),
            ("3. ALL LOCKSETS CYLINDRICAL GRADE 1", Some("LOCKSETS CYLINDRICAL GRADE 1")),
            ("GENERAL NOTE 2 - EACH CLOSER SIZE 4", Some("CLOSER SIZE 4")),
            ("Provide closers at all doors", None),
            ("ALL", None),
        ] {
            assert_eq!(of_all(text), found, "{text}");
        }
    }
}
