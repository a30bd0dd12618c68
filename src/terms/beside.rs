//! What stands beside the base bid in the job terms: alternates, allowances, unit prices, phases.

use std::collections::BTreeMap;

use serde::Deserialize;

use super::Amount;

/// Whether a name that the job terms give to openings is that of a number: `2*` is every number that begins so.
pub fn is_number(name: &str, number: &str) -> bool {
    let (name, number) = (name.trim().to_uppercase(), number.trim().to_uppercase());
    name.strip_suffix('*').map_or(name == number, |begin| number.starts_with(begin))
}

/// An alternate.
#[derive(Debug, Clone, Default, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct Alternate {
    /// Name on the letter.
    pub name: String,
    /// What it is.
    pub words: String,
    /// Sets that it leaves out.
    pub drop_sets: Vec<String>,
    /// Openings that it leaves out; `2*` is every number that begins so.
    pub drop_openings: Vec<String>,
    /// Category whose attributes change.
    pub category: Option<String>,
    /// Attribute = new value.
    pub set: BTreeMap<String, String>,
}

/// A unit price that the bid form asks for.
#[derive(Debug, Clone, Default, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct UnitPrice {
    /// Words on the letter.
    pub name: String,
    /// Category of the good.
    pub category: String,
    /// Attribute = value.
    pub set: BTreeMap<String, String>,
}

/// A phase or building of the job.
#[derive(Debug, Clone, Default, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct Phase {
    /// Its name.
    pub name: String,
    /// Door numbers; `2*` is every number that begins so.
    pub openings: Vec<String>,
    /// Sets, for openings that no phase names.
    pub sets: Vec<String>,
}

/// An allowance in the base bid.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Allowance {
    /// Words on the letter.
    pub name: String,
    /// The sum.
    pub sum: Amount,
}
