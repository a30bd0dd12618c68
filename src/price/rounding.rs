//! The only roundings of the program, by name. All go half up (a midpoint goes away from zero, so that a deduct is the
//! mirror of its add); nothing is rounded between these points.
//! Source: common practice: round once per unit, extend exactly, tax once on the total.

use rust_decimal::{Decimal, RoundingStrategy};

use crate::money::Money;

/// Decimals of an amount of money.
pub const CENTS: u32 = 2;
/// Decimals of a unit price where extensions are rounded instead: hundredths of a cent.
pub const FINE: u32 = 4;

/// Net cost of a unit, after the whole discount chain.
pub fn net_unit(exact: Decimal, decimals: u32) -> Money {
    half_up(exact, decimals)
}

/// Selling price of a unit, made from its rounded net.
pub fn sell_unit(exact: Decimal, decimals: u32) -> Money {
    half_up(exact, decimals)
}

/// An extension that is not whole cents.
pub fn extension(exact: Money) -> Money {
    half_up(exact.decimal(), CENTS)
}

/// A charge reckoned once on a sum: freight, bond, tax.
pub fn charge(exact: Decimal) -> Money {
    half_up(exact, CENTS)
}

/// A total taken up to the next whole unit of currency.
pub fn up_to_whole(total: Money) -> Money {
    Money::new(total.decimal().round_dp_with_strategy(0, RoundingStrategy::ToPositiveInfinity))
}

/// A share as per cent to a tenth, for words only.
pub fn shown_percent(share: Decimal) -> Decimal {
    half_up(share * Decimal::ONE_HUNDRED, 1).decimal().normalize()
}

fn half_up(exact: Decimal, decimals: u32) -> Money {
    Money::new(exact.round_dp_with_strategy(decimals, RoundingStrategy::MidpointAwayFromZero))
}

/// A weight as it is shown, in hundredths of a pound; it is reckoned with exactly.
pub fn pounds(exact: Decimal) -> Decimal {
    exact.round_dp_with_strategy(2, RoundingStrategy::MidpointAwayFromZero).normalize()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn half_a_cent_goes_up_and_its_mirror_down() {
        let cents = |text: &str| charge(text.parse().unwrap()).to_string();
        assert_eq!(cents("37.365"), "37.37");
        assert_eq!(cents("37.3649"), "37.36");
        assert_eq!(cents("-37.365"), "-37.37");
        assert_eq!(up_to_whole("1200.01".parse().unwrap()).to_string(), "1201.00");
    }
}
