//! Percentages and sums of money as job terms write them: in quotes, since a float cannot hold them.

use std::fmt;

use rust_decimal::Decimal;
use serde::Deserialize;
use serde::de::{Deserializer, Error, Visitor};

use crate::money::ungrouped;

/// A percentage, written `"28%"` or as a whole number.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default)]
pub struct Percent(Decimal);

impl Percent {
    /// Any per cents.
    pub fn new(percent: Decimal) -> Self {
        Self(percent)
    }

    /// The fraction: 28 % is 0.28.
    pub fn fraction(self) -> Decimal {
        self.0 / Decimal::ONE_HUNDRED
    }
}

impl fmt::Display for Percent {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}%", self.0.normalize())
    }
}

/// A sum of money, written `"1250.00"` or as a whole number.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Amount(pub Decimal);

/// Larger numbers are slips, and sums of them could leave the range of decimals.
const LARGEST: Decimal = Decimal::from_parts(1_000_000_000, 0, 0, false, 0);

/// Reads a decimal from quoted text (a trailing `%` and `$` or grouping commas are dropped) or a whole number.
struct Exact;

impl Visitor<'_> for Exact {
    type Value = Decimal;
    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("a number in quotes such as \"28.5%\" or \"1250.00\", or a whole number")
    }
    fn visit_str<E: Error>(self, text: &str) -> Result<Decimal, E> {
        let plain = text.trim().trim_end_matches('%').trim_start_matches('$').trim();
        let number = ungrouped(plain).and_then(|plain| Decimal::from_str_exact(&plain).ok());
        let number = number.ok_or_else(|| E::custom(format!("\"{text}\" is not a number")))?;
        bounded(number, text)
    }
    fn visit_i64<E: Error>(self, number: i64) -> Result<Decimal, E> {
        bounded(Decimal::from(number), &number.to_string())
    }
    fn visit_u64<E: Error>(self, number: u64) -> Result<Decimal, E> {
        bounded(Decimal::from(number), &number.to_string())
    }
}

/// The number, unless it is beyond any of the trade.
fn bounded<E: Error>(number: Decimal, text: &str) -> Result<Decimal, E> {
    if number.abs() > LARGEST {
        return Err(E::custom(format!(
            "\"{text}\" is more than any sum or rate of this trade, no number to reckon with"
        )));
    }
    Ok(number)
}

impl<'de> Deserialize<'de> for Percent {
    fn deserialize<D: Deserializer<'de>>(d: D) -> Result<Self, D::Error> {
        d.deserialize_any(Exact).map(Percent)
    }
}

impl<'de> Deserialize<'de> for Amount {
    fn deserialize<D: Deserializer<'de>>(d: D) -> Result<Self, D::Error> {
        d.deserialize_any(Exact).map(Amount)
    }
}
