//! Wire by gauge, voltage drop, limits of an electrified hinge, conductors and currents of devices. The data is
//! `catalogs/trade/wire.csv`, `transfer.csv`, `conductors.csv`, `draws.csv`.

use rust_decimal::Decimal;

use super::table;

const WIRE: &str = include_str!("../../catalogs/trade/wire.csv");
const TRANSFER: &str = include_str!("../../catalogs/trade/transfer.csv");
const CONDUCTORS: &str = include_str!("../../catalogs/trade/conductors.csv");
const DRAWS: &str = include_str!("../../catalogs/trade/draws.csv");

/// Ohms of 1000 ft of one conductor.
pub fn resistance(gauge: u32) -> Option<Decimal> {
    let name = gauge.to_string();
    table::rows(WIRE).iter().find(|row| row.get(0) == name).and_then(|row| Decimal::from_str_exact(row.get(2)).ok())
}

/// Voltage lost out and back: 2 × feet × amperes × ohms per 1000 ft / 1000. Exact.
pub fn drop(feet: Decimal, amps: Decimal, gauge: u32) -> Option<Decimal> {
    let ohms = resistance(gauge)?;
    Decimal::TWO.checked_mul(feet)?.checked_mul(amps)?.checked_mul(ohms)?.checked_div(Decimal::ONE_THOUSAND)
}

/// A limit of `transfer.csv`.
pub fn limit(name: &str) -> Decimal {
    table::rows(TRANSFER)
        .iter()
        .find(|row| row.get(0) == name)
        .and_then(|row| Decimal::from_str_exact(row.get(1)).ok())
        .unwrap_or_default()
}

/// Ratings of power supplies made, amperes, from the smallest.
fn supplies() -> impl Iterator<Item = Decimal> {
    let rows = table::rows(TRANSFER).iter().filter(|row| row.get(0) == "supply_amps");
    rows.flat_map(|row| row.get(1).split(' ')).filter_map(|size| size.parse().ok())
}

/// The smallest rating of a power supply made that is enough, amperes.
pub fn supply_made(need: Decimal) -> Option<Decimal> {
    supplies().find(|size| *size >= need)
}

/// The largest rating made, amperes.
pub fn largest_supply() -> Decimal {
    supplies().max().unwrap_or_default()
}

/// Conductors of a device by what it does: `electrified=fail-secure`, `monitor=latch`, `reader`.
pub fn conductors(what: &str) -> Option<u32> {
    table::rows(CONDUCTORS).iter().find(|row| row.get(0) == what).and_then(|row| row.get(1).parse().ok())
}

/// The smallest count of conductors made that is enough; `None` above the largest.
pub fn next_made(need: u32) -> Option<u32> {
    table::rows(CONDUCTORS)
        .iter()
        .find(|row| row.get(0) == "sizes")
        .and_then(|row| row.get(1).split(' ').filter_map(|size| size.parse().ok()).find(|size: &u32| *size >= need))
}

/// Typical current of a device: held and at the start.
pub fn draw(what: &str, volts: u32) -> Option<(Decimal, Decimal)> {
    let rows = table::rows(DRAWS);
    let row = rows.iter().find(|row| row.get(0) == what)?;
    let (hold, start) = if volts == 12 { (2, 4) } else { (1, 3) };
    Some((Decimal::from_str_exact(row.get(hold)).ok()?, Decimal::from_str_exact(row.get(start)).ok()?))
}

#[cfg(test)]
#[allow(clippy::float_arithmetic, reason = "an independent recomputation of the decimal tables")]
mod tests {
    use super::*;

    #[test]
    fn the_wire_table_is_that_of_the_standard() {
        // ASTM B258: d = 0.005 in × 92^((36 − n)/39); 10.371 ohm circular mil per foot at 20 °C.
        for row in table::rows(WIRE) {
            let gauge: i32 = row.get(0).parse().unwrap();
            let diameter = 0.005 * 92f64.powf(f64::from(36 - gauge) / 39.0);
            let mils = diameter * 1000.0;
            let ohms = 10.371 / (mils * mils) * 1000.0;
            let table: f64 = row.get(2).parse().unwrap();
            assert!((ohms - table).abs() / table < 0.001, "{gauge}: {ohms} against {table}");
            let printed: f64 = row.get(1).parse().unwrap();
            assert!((diameter - printed).abs() < 0.0001, "{gauge}: {diameter} against {printed}");
        }
    }

    #[test]
    fn drops_agree_with_the_worked_figures() {
        let number = |text: &str| Decimal::from_str_exact(text).unwrap();
        // 3 ft of hinge and leaf wiring at 16 A: 0.61 V in 18 AWG, 2.46 V in 24 AWG, 6.23 V in 28 AWG.
        for (gauge, volts) in [(18, "0.61"), (24, "2.46"), (26, "3.92"), (28, "6.23")] {
            assert_eq!(drop(number("3"), number("16"), gauge).unwrap().round_dp(2), number(volts));
        }
        // 150 ft of 18 AWG at 0.3 A: 0.57 V.
        assert_eq!(drop(number("150"), number("0.3"), 18).unwrap().round_dp(2), number("0.57"));
    }

    #[test]
    fn conductors_step_up_to_what_is_made() {
        assert_eq!(
            (next_made(4), next_made(5), next_made(9), next_made(12), next_made(13)),
            (Some(4), Some(6), Some(10), Some(12), None)
        );
    }
}
