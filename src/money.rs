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
