//! Goods that the words of a line name beside its own, and that nothing counts: `CLOSER W/ MAGNETIC HOLD OPEN`, `WALL STOP / COAT
//! HOOK / SILENCERS`. Words that nothing read are shown; where they are the name of a good, money hangs on them, and it is asked.

use crate::finding::{Answer, Effect, Finding, Kind, Weight};
use crate::read::schedule::PartRole;
use crate::trade::category::Category;
use crate::understand::{Lexicon, embedded, named};

use super::act::by_hand;
use super::doubts::{OF_ANOTHER, words_left};
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
    let mut words = words_left(spec, |role| matches!(role, PartRole::Free | PartRole::Description | PartRole::Remarks));
    // Short forms stand for many things: SPR, CYL.
    words.retain(|words| words.chars().filter(|letter| letter.is_alphabetic()).count() >= SHORTEST);
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
    others.retain(|category| *category != own && *category != Category::Other && !counted(category));
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

/// The goods that words name, where they name nothing else.
fn goods(lexicon: &Lexicon, words: &str) -> Vec<Category> {
    named(lexicon, words).into_iter().flatten().map(|(category, _)| category).collect()
}
