//! Goods that the words of a line name beside its own, and that nothing counts: `CLOSER W/ MAGNETIC HOLD OPEN`, `WALL STOP / COAT
//! HOOK / SILENCERS`. Words that nothing read are shown; where they are the name of a good, money hangs on them, and it is asked.

use rust_decimal::Decimal;

use crate::finding::{Answer, Effect, Finding, Kind, Weight};
use crate::read::schedule::PartRole;
use crate::trade::attribute::{Attributes, names};
use crate::trade::category::Category;
use crate::trade::function::FunctionKind;
use crate::trade::{facts, rule_words};
use crate::understand::{Lexicon, named};

use super::act::by_hand;
use super::door::Door;
use super::doubts::OF_ANOTHER;
use super::job::Job;
use super::select::title;
use super::spec::Spec;

/// The code of what is asked here.
pub const ALSO_NAMED: &str = "also-named";

/// The code of what the reading says of another good's name in a line.
const BESIDE: &str = "named-beside";

/// Letters that a name of goods has at least.
const SHORTEST: usize = 4;

/// The question about words of a line that nothing read and that name other goods than the line's; `None` where none do.
pub(super) fn asked(job: &Job, spec: &Spec) -> Option<Finding> {
    // What is said of something beside the good, "w/ existing core", is told elsewhere.
    if spec.reading.doubts.iter().any(|doubt| doubt.code == OF_ANOTHER) {
        return None;
    }
    let mut phrases = joined(spec);
    let remarks = in_remarks(spec);
    let own = spec.category.filter(|_| !phrases.is_empty() || !remarks.is_empty())?;
    let lexicon = job.words()?;
    let in_words = phrases.len();
    phrases.extend(remarks.into_iter().filter_map(|clause| longest(lexicon, &clause)));
    // What a rule brings is what a remark asks for.
    let brought = |category: Category| {
        let mut of_set = job.added.iter().filter(|added| added.set.is_none_or(|set| set == spec.id.set));
        of_set.any(|added| added.category == category)
    };
    // What the set has on a line of its own is counted there.
    let counted = |category: Category| job.lines(spec.id.set).any(|line| line.is_any(&[category]));
    let belongs = |category: Category| facts::of(own).is_some_and(|facts| facts.comes_with.contains(&category));
    // A word for a function, OFFICE, is no lock.
    let other = |category: Category| {
        FunctionKind::of(category).is_none()
            && ![own, Category::Other].contains(&category)
            && !belongs(category)
            && !counted(category)
    };
    let mut others = Vec::new();
    let mut words = Vec::new();
    for (at, phrase) in phrases.iter().enumerate() {
        let free = |category: Category| other(category) && (at < in_words || !brought(category));
        let goods: Vec<(Category, Attributes)> =
            named(lexicon, phrase).into_iter().flatten().filter(|(category, _)| free(*category)).collect();
        if !goods.is_empty() {
            words.push(&**phrase);
            others.push(goods);
        }
    }
    if others.is_empty() {
        return None;
    }
    let mut categories: Vec<Category> = others.iter().flatten().map(|(category, _)| *category).collect();
    categories.sort_unstable();
    categories.dedup();
    let names: Vec<String> = categories.iter().map(|category| title(*category)).collect();
    let says = format!(
        "The line names another good beside its own, \"{}\" ({}); it is counted as {} alone.",
        words.join("\", \""),
        names.join(", "),
        title(own)
    );
    let mut finding = Finding::new(ALSO_NAMED, Kind::Question, Weight::Goods, says);
    finding.id = format!("job:{}", spec.words());
    finding.priced_as = "not counted".to_owned();
    let counted = match added(job, spec, &others, &words) {
        Some(goods) if words.iter().any(|words| count(words).is_some()) => {
            Answer::new("counted, as many as it says", goods)
        }
        Some(goods) => Answer::new("counted: as many as an opening usually has", goods),
        None => by_hand("counted, to be written on a row of its own"),
    };
    finding.answers = vec![Answer::new("not counted", Effect::Nothing), counted];
    finding.help = "write the other good on a row of its own, or say that it is none".to_owned();
    Some(finding)
}

/// How many of the goods a phrase says that an opening has: `2 sweeps`.
fn count(phrase: &str) -> Option<u32> {
    let number = phrase.split_whitespace().next().filter(|word| word.len() == 1)?;
    number.parse().ok().filter(|number| *number > 0)
}

/// The goods named beside, in the finish of the line where they come in it, one for each leaf or opening; `None` where words
/// may name one good or another.
fn added(job: &Job, spec: &Spec, others: &[Vec<(Category, Attributes)>], words: &[&str]) -> Option<Effect> {
    let doors: Vec<_> = job.doors_of(spec).filter(|door| spec.stands_at(door)).collect();
    let mut effects = Vec::new();
    for (goods, words) in others.iter().zip(words) {
        let [(category, said)] = &goods[..] else { return None };
        let each_leaf = facts::of(*category).is_some_and(|facts| facts.basis == "leaf");
        let often = count(words).unwrap_or(1);
        let of_door = |door: &&Door| {
            Decimal::from(door.count)
                * Decimal::from(often)
                * Decimal::from(if each_leaf && count(words).is_none() { door.leaves } else { 1 })
        };
        let quantity: Decimal = doors.iter().map(of_door).sum();
        let mut attributes = said.clone();
        let shared = [names::FINISH, names::LOOK, names::BASE];
        let missing = shared.iter().filter(|shared| !said.contains_key(*shared));
        attributes.extend(missing.filter_map(|shared| Some((*shared, spec.asked().get(shared)?.clone()))));
        if job.select(*category, attributes.clone()).candidates.is_empty() {
            attributes.clone_from(said);
        }
        effects.push(Effect::Add { category: *category, attributes, quantity });
    }
    Some(if effects.len() == 1 { effects.remove(0) } else { Effect::Several(effects) })
}

/// What the remarks of a line say behind `and`, `w/`, `provide`, clause by clause: `and pull plate 4x16 on pull side`. A remark
/// that begins otherwise speaks of the line's own good.
fn in_remarks(spec: &Spec) -> Vec<String> {
    let leads = rule_words::of("leads-to-goods");
    let joints = rule_words::of("joins-goods");
    let is = |list: &[&str], word: &str| list.iter().any(|own| word.eq_ignore_ascii_case(own));
    let cells = spec.wording.parts.iter().filter(|part| part.role == PartRole::Remarks);
    let texts = cells.filter_map(|part| spec.wording.text.get(part.span.clone())).map(str::trim);
    let behind = |text: &str| {
        let lead = leads.iter().filter(|lead| {
            text.get(..lead.len()).is_some_and(|begins| begins.eq_ignore_ascii_case(lead))
                && text.get(lead.len()..).is_some_and(|rest| lead.ends_with('/') || rest.starts_with(' '))
        });
        lead.map(|lead| lead.len()).max().and_then(|end| text.get(end..)).map(str::to_owned)
    };
    // `with non-removable pin` says something of the line's own good, and was read so.
    let beside = spec.reading.doubts.iter().filter(|doubt| doubt.code == BESIDE).map(|doubt| &doubt.span);
    let left: Vec<&str> =
        spec.reading.unread.iter().chain(beside).filter_map(|span| spec.wording.text.get(span.clone())).collect();
    let mut clauses: Vec<String> = Vec::new();
    for rest in texts.filter_map(behind) {
        let words: Vec<&str> = rest.split_whitespace().collect();
        clauses.extend(
            words.split(|word| is(joints, word)).filter(|words| !words.is_empty()).map(|words| words.join(" ")),
        );
    }
    clauses.retain(|clause| left.iter().any(|words| clause.contains(words.trim())));
    clauses
}

/// Words at the end of a clause that may say where or how, and name nothing: `on both sides of pair`.
const BEHIND: usize = 4;

/// The longest beginning of a clause that names goods whose every word is known.
fn longest(lexicon: &Lexicon, clause: &str) -> Option<String> {
    let words: Vec<&str> = clause.split_whitespace().collect();
    let least = words.len().saturating_sub(BEHIND).max(1);
    let lengths = (least..=words.len()).rev().filter_map(|length| words.get(..length));
    lengths.map(|words| words.join(" ")).find(|phrase| named(lexicon, phrase).is_some_and(|goods| !goods.is_empty()))
}

/// Words between a joint and what nothing read that may belong to the name of the other good: `WITH CONCEALED FLOOR CLOSER`.
const BETWEEN: usize = 2;

/// Words that nothing read, behind what joins goods in the cell that names the line's own, up to the next joint or the end of
/// the cell.
fn joined(spec: &Spec) -> Vec<String> {
    let text = &spec.wording.text;
    let Some(named) = spec.reading.named_at().filter(|named| !named.is_empty()) else { return Vec::new() };
    let cell = spec.wording.parts.iter().find(|part| part.span.contains(&named.start));
    let Some(cell) = cell.filter(|cell| matches!(cell.role, PartRole::Free | PartRole::Description)) else {
        return Vec::new();
    };
    let joints: Vec<&str> = rule_words::of("joins-goods").iter().map(|joint| &**joint).collect();
    let joins = |word: &str| joints.iter().any(|joint| word.eq_ignore_ascii_case(joint));
    let unread = spec.reading.unread.iter().filter(|span| span.start >= named.end && span.end <= cell.span.end);
    let phrase = |span: &std::ops::Range<usize>| {
        let own = text.get(span.clone())?.trim();
        let behind = text.get(span.end..cell.span.end)?.trim_start();
        let free = !behind.starts_with(char::is_alphanumeric) || behind.split_whitespace().next().is_some_and(joins);
        // Short forms stand for many things: SPR, CYL.
        if !free || own.chars().filter(|letter| letter.is_alphabetic()).count() < SHORTEST {
            return None;
        }
        let before = text.get(named.end..span.start)?;
        let closed = before.trim_end().to_lowercase();
        if joints.iter().any(|joint| closed.ends_with(joint)) {
            return Some(own.to_owned());
        }
        let words: Vec<&str> =
            before.split_whitespace().rev().take_while(|word| !joins(word)).take(BETWEEN + 1).collect();
        let told = words.len() <= BETWEEN && words.len() < before.split_whitespace().count();
        let plain = words.iter().all(|word| word.chars().all(char::is_alphabetic));
        let whole = words.iter().rev().copied().chain([own]).collect::<Vec<&str>>().join(" ");
        (told && plain).then_some(whole)
    };
    unread.filter_map(phrase).collect()
}
