//! Hinges by rule: how many, how high, how thick a leaf, where they stand. The data is `catalogs/trade/hinge_*.csv`.

use std::sync::OnceLock;

use rust_decimal::Decimal;

use super::inches::Inches;
use super::table;

const COUNT: &str = include_str!("../../catalogs/trade/hinge_count.csv");
const SIZE: &str = include_str!("../../catalogs/trade/hinge_size.csv");
const GAUGE: &str = include_str!("../../catalogs/trade/hinge_gauge.csv");
const POSITION: &str = include_str!("../../catalogs/trade/hinge_position.csv");

/// Thickness up to, width up to, height of hinge, heavy.
type SizeRow = (Inches, Option<Inches>, Inches, bool);

/// A length of a table; rows that are not numbers are held by a test.
fn inches(text: &str) -> Option<Inches> {
    text.parse().ok()
}

/// How many hinges a leaf of this height carries: 2 up to 60 in, one more for each further 30 in or part of it.
pub fn count(height: Inches) -> u32 {
    static TABLE: OnceLock<Vec<(Inches, u32)>> = OnceLock::new();
    let rows = TABLE.get_or_init(|| {
        table::rows(COUNT).iter().filter_map(|row| Some((inches(row.get(0))?, row.get(1).parse().ok()?))).collect()
    });
    if let Some((_, count)) = rows.iter().find(|(up_to, _)| height <= *up_to) {
        return *count;
    }
    let (last, count) = rows.last().copied().unwrap_or((Inches::whole(60), 2));
    let further = ((height - last).decimal() / Decimal::from(30)).ceil();
    count + u32::try_from(further).unwrap_or(0)
}

/// Height of hinge by the table, and whether heavy weight goes with it.
pub fn height(thickness: Inches, leaf_width: Inches) -> Option<(Inches, bool)> {
    static TABLE: OnceLock<Vec<SizeRow>> = OnceLock::new();
    let rows = TABLE.get_or_init(|| {
        table::rows(SIZE)
            .iter()
            .filter_map(|row| Some((inches(row.get(0))?, inches(row.get(1)), inches(row.get(2))?, row.get(3) == "yes")))
            .collect()
    });
    rows.iter()
        .find(|(thick, width, _, _)| thickness <= *thick && width.is_none_or(|width| leaf_width <= width))
        .map(|(_, _, height, heavy)| (*height, *heavy))
}

/// Thickness of the hinge's leaf, inches.
pub fn gauge(hinge_height: Inches, heavy: bool) -> Option<Inches> {
    table::rows(GAUGE)
        .iter()
        .find(|row| inches(row.get(0)) == Some(hinge_height))
        .and_then(|row| inches(row.get(if heavy { 2 } else { 1 })))
}

/// Width by clearance: 2 × (thickness − backset) + clearance, up to the next width stocked (half inches to 5, then whole).
pub fn width(thickness: Inches, backset: Inches, clearance: Inches) -> Inches {
    let least = ((thickness - backset) * 2 + clearance).decimal();
    if least > Decimal::from(5) {
        return Inches::new(least.ceil());
    }
    Inches::new((least * Decimal::TWO).ceil() / Decimal::TWO)
}

/// Centre lines above the floor, bottom hinge first, by the 5-10-and-equal convention.
pub fn positions(opening_height: Inches, hinge_height: Inches, count: u32) -> Vec<Inches> {
    let rows = table::rows(POSITION);
    let Some(row) = rows.first() else { return Vec::new() };
    let (Some(top), Some(bottom)) = (inches(row.get(1)), inches(row.get(2))) else { return Vec::new() };
    let half = hinge_height.decimal() / Decimal::TWO;
    let lowest = bottom.decimal() + half;
    let highest = opening_height.decimal() - top.decimal() - half;
    match count {
        0 => Vec::new(),
        1 => vec![Inches::new(lowest)],
        _ if highest <= lowest => Vec::new(),
        _ => {
            let step = (highest - lowest) / Decimal::from(count - 1);
            (0..count).map(|number| Inches::new((lowest + step * Decimal::from(number)).round_dp(4))).collect()
        }
    }
}

/// Which hinge, counted from the bottom (0), carries the wires: the centre of three, the third from the top of four,
/// else the second from the bottom. `None` for fewer than three: none is free of load.
pub fn electrified_place(count: u32) -> Option<u32> {
    (count >= 3).then_some(1)
}

/// The place in words.
pub fn electrified_place_words(count: u32) -> &'static str {
    match count {
        3 => "center hinge of three",
        4 => "third hinge from the top of four",
        _ => "second hinge from the bottom",
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn len(text: &str) -> Inches {
        text.parse().unwrap()
    }

    #[test]
    fn counts_follow_the_fire_door_standard() {
        // NFPA 80 6.4.3 as quoted by trade pages; same steps in UFC 3-190-02FA 7.e: 5 ft, 7 ft 6 in, each 2 ft 6 in more.
        for (height, expected) in [
            ("48", 2),
            ("60", 2),
            ("60.5", 3),
            ("80", 3),
            ("84", 3),
            ("90", 3),
            ("91", 4),
            ("96", 4),
            ("120", 4),
            ("121", 5),
            ("150", 5),
            ("151", 6),
            ("181", 7),
        ] {
            assert_eq!(count(len(height)), expected, "{height}");
        }
    }

    #[test]
    fn heights_follow_the_published_table() {
        // DHI table as reproduced by two trade guides.
        for (thick, wide, high, heavy) in [
            ("1.375", "30", "3.5", false),
            ("1.375", "36", "4", false),
            ("1.75", "36", "4.5", false),
            ("1.75", "36.5", "5", false),
            ("1.75", "48", "5", false),
            ("1.75", "49", "6", false),
            ("2.25", "42", "5", true),
            ("2.25", "44", "6", true),
        ] {
            assert_eq!(height(len(thick), len(wide)), Some((len(high), heavy)), "{thick} {wide}");
        }
        assert_eq!(height(len("1.375"), len("40")).map(|found| found.0), Some(len("5")));
        assert_eq!(height(len("3"), len("36")), None);
    }

    #[test]
    fn gauges_and_widths() {
        // Hinge makers' guides: .134 and .180 at 4-1/2; BHMA guide: .190 at 5 heavy. Width: 1-3/4 door, 1/4 backset,
        // 3 in clearance -> 6 in; a 4-1/2 hinge clears 1-1/2 in.
        assert_eq!(gauge(len("4.5"), false), Some(len("0.134")));
        assert_eq!(gauge(len("4.5"), true), Some(len("0.180")));
        assert_eq!(gauge(len("5"), true), Some(len("0.190")));
        assert_eq!(width(len("1.75"), len("0.25"), len("3")), len("6"));
        assert_eq!(width(len("1.75"), len("0.25"), len("1.5")), len("4.5"));
    }

    #[test]
    fn positions_follow_the_convention() {
        // 5-10-and-equal, computed table: 7-0 three 4-1/2 hinges, 8-0 four, 10-0 four 5 in.
        let of = |height: &str, hinge: &str, count| -> Vec<String> {
            positions(len(height), len(hinge), count)
                .iter()
                .map(|at| at.decimal().round_dp(2).normalize().to_string())
                .collect()
        };
        assert_eq!(of("84", "4.5", 3), ["12.25", "44.5", "76.75"]);
        assert_eq!(of("80", "5", 3), ["12.5", "42.5", "72.5"]);
        assert_eq!(of("96", "4.5", 4), ["12.25", "37.75", "63.25", "88.75"]);
        assert_eq!(of("94", "4.5", 4), ["12.25", "37.08", "61.92", "86.75"]);
        assert_eq!(of("120", "5", 4), ["12.5", "45.83", "79.17", "112.5"]);
    }

    #[test]
    fn the_wires_go_where_the_preparation_standard_puts_them() {
        // SDI 130-15 clause 4: center of three, second from the bottom of four.
        assert_eq!(electrified_place(3), Some(1));
        assert_eq!(electrified_place(4), Some(1));
        assert_eq!(electrified_place(2), None);
    }
}
