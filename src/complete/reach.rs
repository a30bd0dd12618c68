//! How far an answer reaches: one question, those with the same wording, all of the kind in the job; and what is said where
//! two answers that reach a question say different things.

use crate::finding::{Finding, Kind, Weight};

use super::answers::offered;
use super::told::{Answers, Scope, Told, plain_words, same_words, without_count};

/// Code for answers that reach a question and do not agree.
pub const DISAGREE: &str = "answers-disagree";

/// An answer to another question that reaches this one too: of the same kind, and with the same wording unless it is
/// meant for the whole job. The nearer goes first; two that reach equally far and say different things settle nothing.
pub(super) fn wider<'a>(finding: &Finding, answers: &'a Answers) -> Result<Option<&'a Told>, [&'a Told; 2]> {
    let attribute = finding.attribute.map(|attribute| attribute.name()).unwrap_or_default();
    for scope in [Scope::Wording, Scope::Job] {
        let reaches = |told: &&Told| {
            told.scope == scope
                && told.code == finding.code
                && told.attribute == attribute
                && (scope == Scope::Job || !told.wording.is_empty() && same_wording(&told.wording, finding))
        };
        let mut found = answers
            .questions
            .values()
            .filter(reaches)
            .filter_map(|told| Some((told, offered(&finding.answers, &told.answer)?)));
        let Some((first, picked)) = found.next() else { continue };
        return match found.find(|(_, other)| other.value != picked.value) {
            Some((other, _)) => Err([first, other]),
            None => Ok(Some(first)),
        };
    }
    Ok(None)
}

/// Whether a question has this wording. Where an attribute is asked for, how many of the goods there are says nothing.
fn same_wording(wording: &str, finding: &Finding) -> bool {
    let alike = |one: &str, other: &str| without_count(&plain_words(one)) == without_count(&plain_words(other));
    same_words(wording, &finding.excerpt) || finding.attribute.is_some() && alike(wording, &finding.excerpt)
}

/// Says that two answers reach a question and do not agree; it stays open.
pub(super) fn disagree(question: &Finding, one: &Told, two: &Told) -> Finding {
    let far = if one.scope == Scope::Job { "for the whole job" } else { "for this wording" };
    let says = format!(
        "Two answers given {far} reach {} and do not agree: \"{}\" and \"{}\". The question stays open.",
        question.id,
        one.answer.trim(),
        two.answer.trim()
    );
    let mut finding = beside(question, DISAGREE, Weight::Goods, says);
    finding.help = "answer this question itself, or let one of the two hold for its own question alone".to_owned();
    finding
}

/// A note that stands where its question stands: at its doors, set and row.
pub(super) fn beside(question: &Finding, code: &'static str, weight: Weight, says: String) -> Finding {
    let mut finding = Finding::new(code, Kind::Note, weight, says);
    finding.id = format!("{code}:{}", question.id);
    finding.openings.clone_from(&question.openings);
    finding.set.clone_from(&question.set);
    finding.place.clone_from(&question.place);
    finding
}

/// ` (by R. Quill, 11/26/2026; given for the whole job)`.
pub(super) fn note_of(told: &Told, is_wider: bool) -> String {
    let mut parts = Vec::new();
    let who = [("by", &told.by), ("on", &told.on)];
    let who: Vec<String> =
        who.iter().filter(|(_, text)| !text.is_empty()).map(|(word, text)| format!("{word} {text}")).collect();
    if !who.is_empty() {
        parts.push(who.join(" "));
    }
    if is_wider {
        parts.push(format!("given for {}", if told.scope == Scope::Job { "the whole job" } else { "this wording" }));
    }
    if parts.is_empty() { String::new() } else { format!(" ({})", parts.join("; ")) }
}
