//! Weight of a door leaf by construction. The data is `catalogs/trade/leaf_weight.csv`.

use rust_decimal::Decimal;

use super::inches::Inches;
use super::table;

const TABLE: &str = include_str!("../../catalogs/trade/leaf_weight.csv");

/// Estimated weight in pounds: factor × width × height / 144.
pub fn weight(material: &str, fire: bool, width: Inches, height: Inches) -> Option<Decimal> {
    let rows = table::rows(TABLE);
    let row = rows.iter().find(|row| material.contains(row.get(0)) && (row.get(1).is_empty() || fire))?;
    let factor = Decimal::from_str_exact(row.get(2)).ok()?;
    let area = width.decimal().checked_mul(height.decimal())?.checked_div(Decimal::from(144))?;
    factor.checked_mul(area)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn weights_follow_the_calculator_as_reported() {
        // 16 gauge honeycomb 3070: 94.5 lb.
        assert_eq!(
            weight("hollow-metal", false, Inches::whole(36), Inches::whole(84)),
            Decimal::from_str_exact("94.5").ok()
        );
    }
}
