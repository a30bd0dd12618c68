//! Goods that the words of a line name beside its own, and that nothing counts: `CLOSER W/ MAGNETIC HOLD OPEN`, `WALL STOP / COAT
//! HOOK / SILENCERS`. Words that nothing read are shown; where they are the name of a good, money hangs on them, and it is asked.

use crate::finding::{Answer, Effect, Finding, Kind, Weight};
use crate::read::schedule::PartRole;
use crate::trade::category::Category;
use crate::trade::function::FunctionKind;
use crate::trade::rule_words;
use crate::understand::{Lexicon, embedded, named};

use super::act::by_hand;
use super::doubts::OF_ANOTHER;
use super::job::Job;
use super::select::title;
use super::spec::Spec;

/// The code of what is asked here.
pub const ALSO_NAMED: &str = "also-named";

/// Letters that a name of goods has at least.
const SHORTEST: usize = 4;

/// The question about words of a line that nothing read and that name other goods than the line's; `None` where none do.
pub(super) fn asked(job: &Job, spec: &Spec) -> Option<Finding> {
    // What is said of something beside the good, "w/ existing core", is told elsewhere.
    if spec.reading.doubts.iter().any(|doubt| doubt.code == OF_ANOTHER) {
        return None;
    }
    let words = joined(spec);
    let own = spec.category.filter(|_| !words.is_empty())?;
    let lexicon = match job.cache.words.as_deref() {
        Some(lexicon) => lexicon,
        None => embedded()?,
    };
    let mut others: Vec<Category> = words.iter().flat_map(|words| goods(lexicon, words)).collect();
    others.sort_unstable();
    others.dedup();
    // What the set has on a line of its own is counted there.
    let counted = |category: &Category| job.lines(spec.id.set).any(|line| line.is_any(&[*category]));
    // A word for a function, OFFICE, is no lock.
    others.retain(|category| {
        FunctionKind::of(*category).is_none() && *category != own && *category != Category::Other && !counted(category)
    });
    if others.is_empty() {
        return None;
    }
    let names: Vec<String> = others.iter().map(|category| title(*category)).collect();
    let says = format!(
        "The line names another good beside its own, \"{}\" ({}); it is counted as {} alone.",
        words.join("\", \""),
        names.join(", "),
        title(own)
    );
    let mut finding = Finding::new(ALSO_NAMED, Kind::Question, Weight::Goods, says);
    finding.id = format!("job:{}", spec.words());
    finding.priced_as = "not counted".to_owned();
    let answers = [Answer::new("not counted", Effect::Nothing), by_hand("counted, to be written on a row of its own")];
    finding.answers = answers.into();
    finding.help = "write the other good on a row of its own, or say that it is none".to_owned();
    Some(finding)
}

/// Words that nothing read, behind what joins goods in the cell that names the line's own, with nothing behind them.
fn joined(spec: &Spec) -> Vec<String> {
    let text = &spec.wording.text;
    let Some(named) = spec.reading.named_at().filter(|named| !named.is_empty()) else { return Vec::new() };
    let cell = spec.wording.parts.iter().find(|part| part.span.contains(&named.start));
    let Some(cell) = cell.filter(|cell| matches!(cell.role, PartRole::Free | PartRole::Description)) else {
        return Vec::new();
    };
    let unread = spec.reading.unread.iter().filter(|span| span.start >= named.end && span.end <= cell.span.end);
    let free = |span: &&std::ops::Range<usize>| {
        let before = text.get(named.end..span.start).unwrap_or_default().trim_end().to_lowercase();
        let joins = rule_words::of("joins-goods").iter().any(|joint| before.ends_with(joint));
        let behind = text.get(span.end..cell.span.end).unwrap_or_default().trim_start();
        joins && !behind.starts_with(char::is_alphanumeric)
    };
    let words = unread.filter(free).filter_map(|span| text.get(span.clone())).map(|words| words.trim().to_owned());
    // Short forms stand for many things: SPR, CYL.
    words.filter(|words| words.chars().filter(|letter| letter.is_alphabetic()).count() >= SHORTEST).collect()
}

/// The goods that words name, where they name nothing else.
fn goods(lexicon: &Lexicon, words: &str) -> Vec<Category> {
    named(lexicon, words).into_iter().flatten().map(|(category, _)| category).collect()
}
