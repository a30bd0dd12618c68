//! The standing words of the proposal, chosen and filled in by the job. The words are `catalogs/trade/letter.toml`.

use serde::Deserialize;

use crate::finding::Kind;
use crate::price::quote::Quote;
use crate::terms::RoundAt;
use crate::trade::attribute::names;
use crate::trade::category::Category;

const WORDS: &str = include_str!("../../catalogs/trade/letter.toml");

/// The file.
#[derive(Debug, Default, Deserialize)]
#[serde(deny_unknown_fields)]
struct File {
    keying_others: Vec<String>,
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
        let own = &quote.terms.proposal;
        let chosen = |entries: &[Entry], own: &[String]| {
            let said = entries.iter().filter(|entry| holds(&entry.when, quote, &file.keying_others));
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

/// Whether an entry is said; unknown conditions are never met, and a test finds them.
fn holds(when: &str, quote: &Quote, keying_others: &[String]) -> bool {
    condition(when, quote, keying_others).unwrap_or(false)
}

fn condition(when: &str, quote: &Quote, keying_others: &[String]) -> Option<bool> {
    let terms = &quote.terms;
    let keyed_by_others = || {
        let mut told = quote.answers.questions.values().filter(|told| told.code == "keying");
        told.any(|told| {
            let answer = told.answer.to_lowercase();
            keying_others.iter().any(|word| answer.contains(word.as_str()))
        })
    };
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
            is_electrified(quote) && others(&terms.electrical.power_supplies) && !prices_supplies(quote)
        }
        "readers-others" => others(&terms.electrical.readers),
        "wiring-others" => others(&terms.electrical.wiring),
        "keying-ours" => !keyed_by_others(),
        "keying-others" => keyed_by_others(),
        "provisional" => quote.job.findings.iter().any(|finding| finding.kind == Kind::Question),
        "lead-given" => !terms.proposal.lead_time.is_empty(),
        "payment-given" => !terms.proposal.payment.is_empty(),
        "code-given" => !terms.building.code_basis.is_empty(),
        "unit-rounded" => terms.price.round == RoundAt::Unit,
        "extension-rounded" => terms.price.round == RoundAt::Extension,
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

fn prices_supplies(quote: &Quote) -> bool {
    quote
        .items
        .iter()
        .filter(|item| item.working.is_some())
        .any(|item| crate::price::category_of(item.item.from, &quote.job) == Some(Category::PowerSupply))
}

#[cfg(test)]
mod tests {
    use super::*;

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
            "wiring-others",
            "keying-ours",
            "keying-others",
            "provisional",
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
