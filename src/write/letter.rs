//! The standing words of the proposal, chosen and filled in by the job. The words are `catalogs/trade/letter.toml`.

use serde::Deserialize;

use crate::finding::Kind;
use crate::price::quote::Quote;
use crate::terms::{RoundAt, Show};
use crate::trade::attribute::names;
use crate::trade::category::Category;

const WORDS: &str = include_str!("../../catalogs/trade/letter.toml");

/// The file.
#[derive(Debug, Default, Deserialize)]
#[serde(deny_unknown_fields)]
struct File {
    keying_others: Vec<String>,
    keying_ours: Vec<String>,
    keying_denied: Vec<String>,
    opening: String,
    goods_note: String,
    closing: String,
    inclusions: Vec<Entry>,
    exclusions: Vec<Entry>,
    qualifications: Vec<Entry>,
    cautions: Vec<Entry>,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct Entry {
    words: String,
    when: String,
    #[allow(dead_code, reason = "stands beside the words for whoever edits them; a test holds that it is there")]
    source: String,
}

/// The words of one proposal.
#[derive(Debug, Default)]
pub struct Letter {
    /// First paragraph.
    pub opening: String,
    /// Above the list of goods.
    pub goods_note: String,
    /// Last paragraph.
    pub closing: String,
    /// What is included.
    pub inclusions: Vec<String>,
    /// What is not.
    pub exclusions: Vec<String>,
    /// Under which conditions.
    pub qualifications: Vec<String>,
    /// What the reader must not rely on.
    pub cautions: Vec<String>,
}

impl Letter {
    /// The words for a quote: the file's, then the job's own.
    pub fn of(quote: &Quote) -> Letter {
        // The file is part of the program and a test reads it; an empty letter stands for the case that cannot happen.
        let file: File = toml::from_str(WORDS).unwrap_or_default();
        let others = keying_answer(quote).is_some_and(|answer| file.by_others(answer));
        let own = &quote.terms.proposal;
        let chosen = |entries: &[Entry], own: &[String]| {
            let said = entries.iter().filter(|entry| condition(&entry.when, quote, others).unwrap_or(false));
            said.map(|entry| filled(&entry.words, quote)).chain(own.iter().cloned()).collect()
        };
        Letter {
            opening: filled(&file.opening, quote),
            goods_note: file.goods_note.clone(),
            closing: file.closing.clone(),
            inclusions: chosen(&file.inclusions, &own.inclusions),
            exclusions: chosen(&file.exclusions, &own.exclusions),
            qualifications: chosen(&file.qualifications, &own.qualifications),
            cautions: chosen(&file.cautions, &[]),
        }
    }
}

fn filled(words: &str, quote: &Quote) -> String {
    let terms = &quote.terms;
    let tax = terms.tax.rate.map(|rate| rate.to_string()).unwrap_or_default();
    let total = format!("{} {}", quote.catalog.currency, super::words::amount(quote.totals.total));
    let freight = if terms.freight.words.is_empty() { "as listed above" } else { &terms.freight.words };
    words
        .replace("{total}", total.trim_start())
        .replace("{days}", &terms.proposal.valid_days.unwrap_or(30).to_string())
        .replace("{tax}", &tax)
        .replace("{freight}", freight)
        .replace("{code}", &terms.building.code_basis)
        .replace("{lead}", &terms.proposal.lead_time)
        .replace("{payment}", &terms.proposal.payment)
}

/// What was answered to the question on keying.
fn keying_answer(quote: &Quote) -> Option<&str> {
    let mut told = quote.answers.questions.iter();
    told.find(|(id, told)| told.code == KEYING || id.as_str() == KEYING).map(|(_, told)| told.answer.as_str())
}

const KEYING: &str = "keying";

impl File {
    /// Whether an answer on keying says that others do it. What is denied is not said, and who says that he does it himself
    /// may name whom he does it for.
    fn by_others(&self, answer: &str) -> bool {
        let answer = answer.to_lowercase().replace('\u{2019}', "'");
        let is_end = |sign: char| matches!(sign, ',' | ';' | '.' | ':' | '(' | ')' | '\n' | '\u{2013}' | '\u{2014}');
        let parts: Vec<&str> =
            answer.split(is_end).flat_map(|part| part.split(" - ")).flat_map(|part| part.split(" but ")).collect();
        let denies = |word: &str| self.keying_denied.iter().any(|denied| denied == word);
        let said = |phrases: &[String], also_behind: bool| {
            parts.iter().any(|part| {
                phrases.iter().any(|phrase| {
                    let Some((before, behind)) = part.split_once(phrase.as_str()) else { return false };
                    let is_denied = before.split_whitespace().any(denies);
                    !(is_denied || also_behind && behind.split_whitespace().next().is_some_and(denies))
                })
            })
        };
        said(&self.keying_others, false) && !said(&self.keying_ours, true)
    }
}

/// What the answer on keying does to the letter, in a sentence for whoever answered.
pub fn keying_words(quote: &Quote) -> Option<String> {
    let answer = keying_answer(quote)?;
    let file: File = toml::from_str(WORDS).unwrap_or_default();
    let of = |entries: &[Entry], when: &str| {
        let words = entries.iter().filter(|entry| entry.when == when).map(|entry| format!("\"{}\"", entry.words));
        words.collect::<Vec<_>>().join(", ")
    };
    let (ours, others) = (of(&file.inclusions, "keying-ours"), of(&file.exclusions, "keying-others"));
    Some(if file.by_others(answer) {
        format!(
            "\"{}\" is taken to say that others do the keying: the letter excludes {others} and does not include {ours}",
            answer.trim()
        )
    } else {
        format!(
            "\"{}\" is not taken to say that others do the keying: the letter includes {ours} and excludes no keying",
            answer.trim()
        )
    })
}

/// Whether an entry is said; unknown conditions are never met, and a test finds them.
fn condition(when: &str, quote: &Quote, keyed_by_others: bool) -> Option<bool> {
    let terms = &quote.terms;
    let freight = &terms.freight;
    let has_freight = freight.rate.is_some() || freight.sum.is_some() || freight.per_pound.is_some();
    let others = |whose: &Option<String>| whose.as_deref() != Some("ours");
    Some(match when {
        "always" => true,
        "tax-excluded" => terms.tax.rate.is_none(),
        "tax-included" => terms.tax.rate.is_some(),
        "freight-included" => has_freight || !freight.words.is_empty(),
        "freight-excluded" => !has_freight && freight.words.is_empty(),
        "electrified" => is_electrified(quote),
        "fire" => quote.job.schedule.openings.iter().any(|opening| opening.rating.is_fire_door()),
        "supplies-ours" => terms.electrical.power_supplies.as_deref() == Some("ours"),
        "supplies-others" => {
            is_electrified(quote) && others(&terms.electrical.power_supplies) && !prices(quote, Category::PowerSupply)
        }
        "readers-others" => others(&terms.electrical.readers) && !prices(quote, Category::Reader),
        "readers-other" => others(&terms.electrical.readers) && prices(quote, Category::Reader),
        "wiring-others" => others(&terms.electrical.wiring),
        "keying-ours" => !keyed_by_others,
        "keying-others" => keyed_by_others,
        "invented" => quote.catalog.invented,
        "provisional" => quote.job.findings.iter().any(|finding| finding.kind == Kind::Question),
        "lead-given" => !terms.proposal.lead_time.is_empty(),
        "payment-given" => !terms.proposal.payment.is_empty(),
        "code-given" => !terms.building.code_basis.is_empty(),
        // Without unit prices in the letter there is nothing to tell of their rounding.
        "unit-rounded" => terms.price.show == Show::ByItem && terms.price.round == RoundAt::Unit,
        "extension-rounded" => terms.price.show == Show::ByItem && terms.price.round == RoundAt::Extension,
        _ => return None,
    })
}

fn goods(quote: &Quote) -> impl Iterator<Item = &crate::catalog::good::Good> {
    quote
        .items
        .iter()
        .filter(|item| item.working.is_some())
        .filter_map(|item| item.item.candidate.as_ref().map(|candidate| &candidate.good))
}

fn is_electrified(quote: &Quote) -> bool {
    goods(quote).any(|good| {
        [names::CONDUCTORS, names::ELECTRIFIED, names::VOLTAGE].iter().any(|name| good.attributes.contains_key(name))
    })
}

/// Whether goods of a category are in the sum: what is priced cannot stand among what is not included.
fn prices(quote: &Quote, category: Category) -> bool {
    quote
        .items
        .iter()
        .filter(|item| item.working.is_some() && !item.item.count.is_zero())
        .any(|item| crate::price::category_of(item.item.from, &quote.job) == Some(category))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn keying_that_is_denied_to_others_is_ours() {
        let file: File = toml::from_str(WORDS).unwrap();
        for (answer, by_others) in [
            ("Keying by owner's locksmith", true),
            ("By others", true),
            ("No, by others", true),
            ("Not by us, the owner's key shop does it", true),
            ("Not ours", true),
            ("We do not do the keying; facilities does", true),
            ("Not by others, we do the keying", false),
            ("Keying is not by others", false),
            ("We do the keying to the owner's system", false),
            ("By us, grand master keyed", false),
            ("Master keyed, two keys a lock", false),
        ] {
            assert_eq!(file.by_others(answer), by_others, "{answer}");
        }
    }

    #[test]
    fn every_entry_has_words_a_known_condition_and_a_source() {
        let file: File = toml::from_str(WORDS).unwrap();
        let known = [
            "always",
            "tax-excluded",
            "tax-included",
            "freight-included",
            "freight-excluded",
            "electrified",
            "fire",
            "supplies-ours",
            "supplies-others",
            "readers-others",
            "readers-other",
            "wiring-others",
            "keying-ours",
            "keying-others",
            "provisional",
            "invented",
            "lead-given",
            "payment-given",
            "code-given",
            "unit-rounded",
            "extension-rounded",
        ];
        for entry in [file.inclusions, file.exclusions, file.qualifications, file.cautions].iter().flatten() {
            assert!(known.contains(&entry.when.as_str()), "{}", entry.when);
            assert!(!entry.words.is_empty() && !entry.source.is_empty());
        }
    }
}
