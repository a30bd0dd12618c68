//! The one money type. Exact decimals; nothing here rounds: the named roundings are in `price::rounding`.

use std::fmt;
use std::iter::Sum;
use std::ops::{Add, AddAssign, Neg, Sub, SubAssign};
use std::str::FromStr;

use rust_decimal::Decimal;
use serde::{Deserialize, Serialize};

/// An amount in the catalog's currency. Negative for deducts.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default, Serialize, Deserialize)]
#[serde(transparent)]
pub struct Money(Decimal);

impl Money {
    /// Nothing.
    pub const ZERO: Money = Money(Decimal::ZERO);

    /// The amount as written, no rounding.
    pub fn new(amount: Decimal) -> Self {
        Self(amount)
    }

    /// The exact decimal.
    pub fn decimal(self) -> Decimal {
        self.0
    }

    /// Amount times a count or factor, exact; `None` on overflow.
    pub fn times(self, factor: Decimal) -> Option<Money> {
        self.0.checked_mul(factor).map(Money)
    }

    /// Whether the amount is nothing.
    pub fn is_zero(self) -> bool {
        self.0.is_zero()
    }
}

/// Figures without the commas that part their thousands: `1,234.50` is `1234.50`. None where a comma parts anything else,
/// as in `12,50` or `1.234,50`: whoever wrote that means another sum than the figures without it.
pub fn ungrouped(figures: &str) -> Option<String> {
    let whole = figures.split_once('.').map_or(figures, |(whole, _)| whole);
    let groups: Vec<&str> = whole.trim_start_matches('-').split(',').collect();
    let is_part = |group: &&str| group.len() == 3;
    let sound = groups.len() == 1 || (1..=3).contains(&groups[0].len()) && groups[1..].iter().all(is_part);
    let cents = figures.len() > whole.len() && figures[whole.len()..].contains(',');
    (sound && !cents).then(|| figures.replace(',', ""))
}

impl FromStr for Money {
    type Err = String;

    /// Plain decimal text such as `1234.50`; no grouping, no currency sign.
    fn from_str(text: &str) -> Result<Self, String> {
        Decimal::from_str_exact(text.trim())
            .map(Money)
            .map_err(|_| format!("\"{text}\" is not an amount such as 1234.50"))
    }
}

/// At least two decimals, more only where the amount has more: `1234.50`.
impl fmt::Display for Money {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let mut amount = self.0.normalize();
        if amount.scale() < 2 {
            amount.rescale(2);
        }
        amount.fmt(f)
    }
}

impl Add for Money {
    type Output = Money;
    fn add(self, other: Money) -> Money {
        Money(self.0 + other.0)
    }
}
impl Sub for Money {
    type Output = Money;
    fn sub(self, other: Money) -> Money {
        Money(self.0 - other.0)
    }
}
impl Neg for Money {
    type Output = Money;
    fn neg(self) -> Money {
        // A decimal keeps the sign of nothing, and "-0" is no amount.
        if self.0.is_zero() { self } else { Money(-self.0) }
    }
}
impl AddAssign for Money {
    fn add_assign(&mut self, other: Money) {
        self.0 += other.0;
    }
}
impl SubAssign for Money {
    fn sub_assign(&mut self, other: Money) {
        self.0 -= other.0;
    }
}
impl Sum for Money {
    fn sum<I: Iterator<Item = Money>>(amounts: I) -> Money {
        amounts.fold(Money::ZERO, Add::add)
    }
}

#[cfg(test)]
mod tests {
    use super::ungrouped;

    #[test]
    fn commas_part_thousands_and_nothing_else() {
        for (text, plain) in
            [("1,234.50", "1234.50"), ("1234", "1234"), ("-12,000", "-12000"), ("1,234,567", "1234567")]
        {
            assert_eq!(ungrouped(text).as_deref(), Some(plain), "{text}");
        }
        for text in ["12,50", "1.234,50", "28,5", ",500", "1234,567"] {
            assert_eq!(ungrouped(text), None, "{text}");
        }
    }
}
