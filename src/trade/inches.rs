//! A length in inches, exact: a decimal, since every fraction of the trade (down to 1/64 in, and gauges such as
//! .134 in) ends in decimals. No float.

use std::fmt;
use std::ops::{Add, Mul, Sub};
use std::str::FromStr;

use rust_decimal::Decimal;

/// A length in inches. Displays as a plain decimal without unit, as the record wants it: `4.5`, `84`.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct Inches(Decimal);

impl Inches {
    /// Nothing.
    pub const ZERO: Inches = Inches(Decimal::ZERO);

    /// Whole inches.
    pub const fn whole(inches: i64) -> Self {
        // `Decimal::from_parts` is the only const constructor; every length of the trade is below 2^32.
        Inches(Decimal::from_parts(inches.unsigned_abs() as u32, 0, 0, inches < 0, 0))
    }

    /// An exact decimal number of inches.
    pub fn new(inches: Decimal) -> Self {
        Inches(inches.normalize())
    }

    /// Whole inches and a fraction: `fraction(4, 1, 2)` is 4-1/2. `None` when the denominator is zero.
    pub fn fraction(whole: i64, numerator: i64, denominator: i64) -> Option<Self> {
        let part = Decimal::from(numerator).checked_div(Decimal::from(denominator))?;
        Some(Inches::new(Decimal::from(whole) + part))
    }

    /// Feet and inches.
    pub fn feet(feet: i64, inches: i64) -> Self {
        Inches::whole(feet * 12 + inches)
    }

    /// The exact decimal.
    pub fn decimal(self) -> Decimal {
        self.0
    }

    /// The next eighth of an inch at or below: metric measures of a door fall between them, and makers cut to eighths.
    pub fn down_to_eighth(self) -> Self {
        Self::new(self.decimal().saturating_mul(Decimal::from(8)).floor() / Decimal::from(8))
    }

    /// The next eighth of an inch at or above.
    pub fn up_to_eighth(self) -> Self {
        Self::new(self.decimal().saturating_mul(Decimal::from(8)).ceil() / Decimal::from(8))
    }

    /// The way an estimator writes a small length: `4-1/2`, `1/8`, `84`. Falls back to decimals (`.134`).
    pub fn in_fractions(self) -> String {
        let sixty_fourths = self.0 * Decimal::from(64);
        if sixty_fourths.fract() != Decimal::ZERO || self.0.is_sign_negative() {
            return self.to_string();
        }
        let whole = self.0.trunc();
        let mut top = ((self.0 - whole) * Decimal::from(64)).normalize().to_string().parse::<u32>().unwrap_or(0);
        let mut bottom = 64;
        while top > 0 && top % 2 == 0 {
            top /= 2;
            bottom /= 2;
        }
        match (whole.is_zero(), top) {
            (_, 0) => whole.normalize().to_string(),
            (true, _) => format!("{top}/{bottom}"),
            (false, _) => format!("{}-{top}/{bottom}", whole.normalize()),
        }
    }

    /// The way a door size is written: `3'-0"`, `6'-8 1/2"`.
    pub fn in_feet(self) -> String {
        let feet = (self.0 / Decimal::from(12)).trunc();
        let rest = Inches(self.0 - feet * Decimal::from(12));
        format!("{}'-{}\"", feet.normalize(), rest.in_fractions().replace('-', " "))
    }
}

impl fmt::Display for Inches {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.normalize().fmt(f)
    }
}

impl FromStr for Inches {
    type Err = String;
    /// A plain decimal number of inches, as in the record; wordings are read by `understand`.
    fn from_str(text: &str) -> Result<Self, String> {
        Decimal::from_str_exact(text.trim())
            .map(Inches::new)
            .map_err(|_| format!("\"{text}\" is not a number of inches"))
    }
}

impl Add for Inches {
    type Output = Inches;
    fn add(self, other: Inches) -> Inches {
        Inches::new(self.0 + other.0)
    }
}
impl Sub for Inches {
    type Output = Inches;
    fn sub(self, other: Inches) -> Inches {
        Inches::new(self.0 - other.0)
    }
}
impl Mul<i64> for Inches {
    type Output = Inches;
    fn mul(self, times: i64) -> Inches {
        Inches::new(self.0 * Decimal::from(times))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lengths_are_shown_as_the_trade_writes_them() {
        let half = Inches::fraction(4, 1, 2).unwrap();
        assert_eq!(half.to_string(), "4.5");
        assert_eq!(half.in_fractions(), "4-1/2");
        assert_eq!(Inches::whole(84).in_feet(), "7'-0\"");
        assert_eq!(Inches::fraction(0, 1, 8).unwrap().in_fractions(), "1/8");
        assert_eq!("0.134".parse::<Inches>().unwrap().in_fractions(), "0.134");
    }
}
