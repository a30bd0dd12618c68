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

/// As `Exact`; below one a percent sign must say that no fraction of one is meant.
struct PerCent;

impl Visitor<'_> for PerCent {
    type Value = Decimal;
    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        Exact.expecting(f)
    }
    fn visit_str<E: Error>(self, text: &str) -> Result<Decimal, E> {
        let number = Exact.visit_str(text)?;
        let small = !number.is_zero() && number.abs() < Decimal::ONE;
        if small && !text.contains('%') {
            let whole = (number * Decimal::ONE_HUNDRED).normalize();
            return Err(E::custom(format!(
                "\"{text}\" may be {whole} per cent or {text} per cent: write \"{whole}%\" or \"{text}%\""
            )));
        }
        Ok(number)
    }
    fn visit_i64<E: Error>(self, number: i64) -> Result<Decimal, E> {
        Exact.visit_i64(number)
    }
    fn visit_u64<E: Error>(self, number: u64) -> Result<Decimal, E> {
        Exact.visit_u64(number)
    }
}

impl<'de> Deserialize<'de> for Percent {
    fn deserialize<D: Deserializer<'de>>(d: D) -> Result<Self, D::Error> {
        d.deserialize_any(PerCent).map(Percent)
    }
}

impl<'de> Deserialize<'de> for Amount {
    fn deserialize<D: Deserializer<'de>>(d: D) -> Result<Self, D::Error> {
        d.deserialize_any(Exact).map(Amount)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_percentage_below_one_needs_its_sign() {
        let read = |text: &str| serde_json::from_value::<Percent>(serde_json::json!(text)).map(|rate| rate.to_string());
        assert_eq!(read("28.5").unwrap(), "28.5%");
        assert_eq!(read("0.27%").unwrap(), "0.27%");
        assert_eq!(read("0").unwrap(), "0%");
        let said = read("0.27").unwrap_err().to_string();
        assert!(said.contains("\"27%\"") && said.contains("\"0.27%\""), "{said}");
        assert!(read("-.5").is_err());
    }
}
