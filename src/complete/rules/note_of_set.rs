//! Notes outside the lines that say something of the goods of a set that they name, `FS-4: closer with hold open`, or ask for
//! one more, `furnish one additional cylinder`: no line has it by that, so it is asked.

use std::collections::HashMap;

use rust_decimal::Decimal;

use super::note_of_goods::{Said, heard};
use crate::complete::act::{Out, Rule, by_hand, page};
use crate::complete::finish_notes;
use crate::complete::job::Job;
use crate::complete::spec::Spec;
use crate::finding::{Answer, Effect, Kind, LineId, Weight};
use crate::read::schedule::{Note, Wording, loose_id};
use crate::trade::attribute::{Attributes, names};
use crate::trade::rule_words;
use crate::understand::reading::{Heard, Reading, RemarkKind, Surroundings};
use crate::understand::{Lexicon, embedded, understand};

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "note-of-set",
        Kind::Question,
        Weight::Goods,
        "A note says something of the goods of a set",
        "a note outside the lines names a set and goods, and says of them what the lines of the set do not say: that they hold open, that there are more, that another supplies them; or it asks for additional goods",
        "the set is priced as its lines are written, and it is asked",
        "words: `trade/rule_words.csv`, note-set-word, note-more, note-out, note-denies, note-instead, note-of-work, note-as-another",
        ("common practice", "common practice"),
        ("1. FS-4: CLOSER WITH HOLD OPEN under a matrix; FURNISH ONE ADDITIONAL CYLINDER", "FS-4: CLOSER, which it has; ADDITIONAL REQUIREMENTS FOR LOCKS; FS-4: ADJUST CLOSER"),
    ),
    run,
    fires: "door 101 36x84 hm; hinge 3; closer 1; note SET_1:_CLOSER_WITH_HOLD_OPEN_ARM",
    quiet: "door 101 36x84 hm; hinge 3; closer 1 hold_open=true; note SET_1:_CLOSER_WITH_HOLD_OPEN_ARM",
};

/// Longer texts are specifications.
const LONGEST: usize = 300;

/// Goods that are asked for stand so near behind the word for more.
const NEAR: usize = 24;

fn run(job: &Job, out: &mut Out) {
    let words = job.cache.words.as_deref();
    let lexicon = match words {
        Some(words) => words,
        None => match embedded() {
            Some(words) => words,
            None => return,
        },
    };
    let mut ids: HashMap<String, Vec<usize>> = HashMap::new();
    for (at, set) in job.sets.iter().enumerate().filter(|(at, _)| job.doors(*at).next().is_some()) {
        ids.entry(loose_id(&set.id)).or_default().push(at);
    }
    // Of goods that no set has it is asked already, and of sets that are as others.
    let told = |note: &&Note| {
        let said = |code| matches!(code, "hardware-in-notes" | "remark-takes-out" | "set-as-another");
        job.schedule.findings.iter().any(|one| said(one.code) && one.place.as_ref() == Some(&note.place))
    };
    let general = job.schedule.notes.iter().map(|note| (None, note));
    let of_sets = job.schedule.sets.iter().enumerate();
    let of_sets = of_sets.flat_map(|(at, set)| set.notes.iter().map(move |note| (Some(at), note)));
    for (own, note) in general.chain(of_sets).filter(|(_, note)| note.text.len() <= LONGEST) {
        let Some((sets, about)) = speaks(&note.text, own, &ids) else { continue };
        if told(&note) || finish_notes::read(words, note).is_some() {
            continue;
        }
        for (at, asked) in asked(lexicon, &about).into_iter().enumerate() {
            ask(job, out, (note, at), &sets, &asked);
        }
    }
}

/// What a note speaks of.
enum About {
    /// Goods of sets that it names, in its words behind their ids.
    Goods(String),
    /// More goods than the lines have.
    More(String),
}

/// The sets of which a note speaks, and what it says.
fn speaks(text: &str, own: Option<usize>, ids: &HashMap<String, Vec<usize>>) -> Option<(Vec<usize>, About)> {
    // A key of codes, `MISC | M1 | Coat hook`, names no set M1.
    let head = text.split("  ").next().unwrap_or_default();
    let (sets, rest) = if named_sets(head, ids).0.is_empty() { (Vec::new(), text.to_owned()) } else { named_sets(text, ids) };
    // `SAME AS SET 2 BUT OMIT CLOSER` is said of the set that it stands under, and reading settles what that one is.
    let folded = text.trim_start().to_lowercase();
    let as_another = rule_words::of("note-as-another").iter().any(|word| folded.starts_with(word));
    let (sets, rest) = if as_another { (Vec::new(), rest) } else { (sets, rest) };
    let more = rule_words::of("note-more").iter().find_map(|word| {
        let at = rest.to_uppercase().find(&word.to_uppercase())?;
        let bare = |sign: Option<char>| sign.is_none_or(|sign| !sign.is_alphanumeric());
        let before = rest.get(..at)?.chars().next_back();
        let behind = rest.get(at + word.len()..)?;
        (bare(before) && bare(behind.chars().next())).then(|| behind.to_owned())
    });
    match more {
        Some(behind) => Some((if sets.is_empty() { own.into_iter().collect() } else { sets }, About::More(behind))),
        None if sets.is_empty() => None,
        None => Some((sets, About::Goods(rest))),
    }
}

/// The sets that a text names, and the text without their ids: `FS-4`, `SETS 3 AND 4`. A bare number or word is an id behind
/// a word for sets alone.
fn named_sets(text: &str, ids: &HashMap<String, Vec<usize>>) -> (Vec<usize>, String) {
    let (mut sets, mut rest) = (Vec::new(), String::new());
    // Whether the words so far end with a word for sets, or with ids behind one.
    let mut led = false;
    for piece in text.split_inclusive([' ', ',', ';', ':', '(', ')', '&', '\n']) {
        let word = piece.trim_matches([' ', ',', ';', ':', '(', ')', '&', '\n', '.', '#']);
        if word.is_empty() {
            rest.push_str(piece);
            continue;
        }
        let digit = word.bytes().any(|byte| byte.is_ascii_digit());
        let plain = !digit || word.bytes().all(|byte| byte.is_ascii_digit());
        let found = if led || !plain { ids.get(&loose_id(word)) } else { None };
        if let Some(found) = found {
            for set in found {
                if !sets.contains(set) {
                    sets.push(*set);
                }
            }
            rest.push_str(", ");
            led = true;
        } else if rule_words::is("note-set-word", word) {
            led = true;
        } else if !(led && rule_words::is("note-set-joint", word)) {
            led = false;
            rest.push_str(piece);
        }
    }
    (sets, rest)
}

/// A text without the number of its note and the signs before its words: `1. , 2 closers`.
fn unnumbered(text: &str) -> &str {
    let bare = |text: &'_ str| text.len() - text.trim_start_matches(|sign: char| !sign.is_alphanumeric()).len();
    let text = &text[bare(text)..];
    let figures = text.bytes().take_while(u8::is_ascii_digit).count();
    let text = if figures > 0 && text[figures..].starts_with(['.', ')', ':']) { &text[figures..] } else { text };
    &text[bare(text)..]
}

/// One kind of goods of which a note speaks.
struct Asked {
    said: Said,
    reading: Reading,
    /// The note's words.
    text: String,
    /// It asks for more than the lines have.
    more: bool,
}

fn asked(lexicon: &Lexicon, about: &About) -> Vec<Asked> {
    let (text, more) = match about {
        About::Goods(text) => (unnumbered(text), false),
        About::More(text) => (text.split(['.', ';']).next().unwrap_or_default(), true),
    };
    let readings = understand(lexicon, &Wording::free(text), &Surroundings::default());
    let near = |reading: &Reading| reading.named_at().is_some_and(|at| at.start < NEAR && !rule_words::speak("note-more-of", &text[..at.start]));
    let wanted = readings.into_iter().take(if more { 1 } else { usize::MAX }).filter(|reading| !more || near(reading));
    wanted.filter_map(|reading| Some(Asked { said: heard(&reading, text)?, reading, text: text.to_owned(), more })).collect()
}

impl Asked {
    /// What the note asks of a set beyond its lines: in words, and what it would do.
    fn of(&self, job: &Job, set: usize) -> Option<(LineIds, Effect)> {
        let lines: Vec<&Spec> = job.lines(set).filter(|spec| spec.category.is_some_and(|category| self.said.categories.contains(&category))).collect();
        let ids: Vec<LineId> = lines.iter().map(|spec| spec.id).collect();
        let count = self.reading.quantity.amount;
        let category = *self.said.categories.first()?;
        let each = || Decimal::from(job.doors(set).map(|door| door.count).sum::<u32>());
        let gone = |kind| matches!(kind, RemarkKind::ByOthers | RemarkKind::NotInContract | RemarkKind::Existing | RemarkKind::NotUsed);
        let others = self.reading.remarks.iter().any(|remark| gone(remark.kind));
        if self.more {
            let quantity = count.unwrap_or(Decimal::ONE) * each();
            return Some((ids, Effect::Add { category, attributes: self.attributes(), quantity }));
        }
        if others || self.is_out() {
            return (!ids.is_empty()).then(|| (ids.clone(), Effect::Exclude { lines: ids }));
        }
        if rule_words::speak("note-instead", &self.text) {
            return Some((ids, Effect::ByHand));
        }
        if ids.is_empty() {
            let quantity = count.unwrap_or(Decimal::ONE) * each();
            return Some((ids, Effect::Add { category, attributes: self.attributes(), quantity }));
        }
        let lacking: Vec<LineId> = lines.iter().filter(|spec| self.said.concerns(spec)).map(|spec| spec.id).collect();
        if !lacking.is_empty() {
            let effect = if self.said.conditional { Effect::ByHand } else { self.said.effect(&lacking) };
            return Some((lacking, effect));
        }
        // `Set 2 hinges to be stainless steel`
        let said = |name| self.reading.attributes.get(&name).and_then(Heard::found);
        let made = |spec: &&&Spec| [names::BASE, names::LOOK].into_iter().any(|name| said(name).is_some_and(|value| spec.value(name) != Some(value)));
        let otherwise: Vec<LineId> = lines.iter().filter(made).map(|spec| spec.id).collect();
        if !otherwise.is_empty() {
            return Some((otherwise, Effect::ByHand));
        }
        match (&lines[..], count) {
            // `add 2 hinges`: as those that the set has.
            ([line], Some(count)) if rule_words::speak("remark-more", &self.text) => {
                Some((ids, Effect::Add { category, attributes: line.asked(), quantity: count * each() }))
            }
            ([line], Some(count)) if line.quantity != count => {
                Some((ids, Effect::Quantity { line: line.id, quantity: count }))
            }
            _ => None,
        }
    }

    /// Whether the note takes the good out: `omit`, or `no` right before it. `closer without hold open` has a closer.
    fn is_out(&self) -> bool {
        let bare = |word: &'_ str| word.trim_matches(|sign: char| !sign.is_alphanumeric()).to_owned();
        let denies = |word: &str| rule_words::is("note-denies", word);
        let named = self.reading.named_at().and_then(|at| self.text.get(..at.start)).unwrap_or_default();
        let clause = named.rsplit([',', ';', '.', ':']).next().unwrap_or_default();
        clause.split_whitespace().rev().take(3).any(|word| denies(&bare(word)))
            || self.text.split_whitespace().map(bare).any(|word| rule_words::is("note-out", &word) && !denies(&word))
    }

    fn attributes(&self) -> Attributes {
        self.said.attributes.iter().cloned().collect()
    }
}

/// Lines of a set.
type LineIds = Vec<LineId>;

fn ask(job: &Job, out: &mut Out, (note, at): (&Note, usize), sets: &[usize], asked: &Asked) {
    let words = note.text.trim();
    if !asked.more && rule_words::speak("note-of-work", words) {
        return;
    }
    let (mut lines, mut effects, mut doors) = (Vec::new(), Vec::new(), Vec::new());
    let mut of: Vec<&str> = Vec::new();
    for set in sets {
        let Some((found, effect)) = asked.of(job, *set) else { continue };
        lines.extend(found);
        effects.push(effect);
        doors.extend(job.numbers(*set));
        of.push(&job.sets[*set].id);
    }
    let Some(good) = asked.said.categories.first().filter(|_| !effects.is_empty() || asked.more) else { return };
    let name = good.name().replace('-', " ");
    let says = match (asked.more, &of[..]) {
        (true, _) => format!("A note asks for more than the lines have ({}): \"{words}\"; priced is what the lines say.", name),
        (_, [one]) => format!("A note says of set {one} what its lines do not say ({}): \"{words}\"; priced is what the lines say.", name),
        _ => format!("A note says of the sets {} what their lines do not say ({}): \"{words}\"; priced is what the lines say.", of.join(", "), name),
    };
    let mut finding = out.finding(&format!("job:{words}:{at}"), says);
    (finding.place, finding.excerpt) = (Some(note.place.clone()), words.to_owned());
    finding.openings = doors;
    finding.set = of.first().filter(|_| of.len() == 1).map(|set| (*set).to_owned());
    finding.priced_as = "as the lines say".to_owned();
    let noted = "as the note says";
    let hand = effects.is_empty() || effects.contains(&Effect::ByHand) || asked.said.categories.len() > 1;
    let effect = if let [_] = &effects[..] { effects.pop() } else { Some(merged(effects)) };
    finding.answers = vec![
        Answer::new("as the lines say", Effect::Nothing),
        match effect.filter(|_| !hand) {
            Some(effect) => Answer::new(noted, effect),
            None => by_hand(&format!("{noted}, to be written into the lines")),
        },
    ];
    finding.lines = lines;
    finding.help = "ask whether the note or the lines hold; write it into the lines".to_owned();
    out.say(finding);
}

/// Effects on several sets as one; what is added is added once for all.
fn merged(effects: Vec<Effect>) -> Effect {
    let mut all: Vec<Effect> = Vec::new();
    for effect in effects {
        let quantity = match &effect {
            Effect::Add { quantity, .. } => *quantity,
            _ => Decimal::ZERO,
        };
        match all.iter_mut().find(|one| matches!((one, &effect), (Effect::Add { .. }, Effect::Add { .. }))) {
            Some(Effect::Add { quantity: sum, .. }) => *sum += quantity,
            _ => all.push(effect),
        }
    }
    if all.len() == 1 { all.remove(0) } else { Effect::Several(all) }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_set_that_is_as_another_says_nothing_of_that_one() {
        let ids: HashMap<String, Vec<usize>> = [(loose_id("2"), vec![0])].into_iter().collect();
        for (text, told) in [
            ("SAME AS SET 2 BUT OMIT CLOSER", false),
            ("Similar to set 2 except without stop", false),
            ("SET 2: OMIT CLOSER", true),
            ("SET 2: CLOSER WITH HOLD OPEN ARM", true),
        ] {
            assert_eq!(speaks(text, Some(0), &ids).is_some(), told, "{text}");
        }
    }

    #[test]
    fn a_note_names_sets_by_their_ids() {
        let ids: HashMap<String, Vec<usize>> = ["FS-4", "3", "A", "4"].iter().enumerate().map(|(at, id)| (loose_id(id), vec![at])).collect();
        for (text, sets) in [
            ("1. FS-4: closer with hold open.", vec![0]),
            ("Sets 3 and 4: add kick plates", vec![1, 3]),
            ("SET A - closers by others", vec![2]),
            ("3. Closers at A", vec![]),
            ("4 closers", vec![]),
        ] {
            assert_eq!(named_sets(text, &ids).0, sets, "{text}");
        }
    }
}
