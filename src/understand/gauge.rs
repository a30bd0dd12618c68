//! The thickness of plates by gauge: `16 ga`. A gauge is another thickness in steel than in brass, so it is settled after
//! the base metal, from `catalogs/trade/sheet_gauge.csv`; a metal that nobody
//! said leaves it open. Of other goods the gauge stays as said.

use rust_decimal::Decimal;

use super::assemble::Builder;
use super::reading::Heard;
use crate::evidence::{By, Evidence};
use crate::trade::attribute::{Attr, Value, names};
use crate::trade::category::Category;
use crate::trade::inches::Inches;
use crate::trade::table;

const FILE: &str = "trade/sheet_gauge.csv";
const TABLE: &str = include_str!("../../catalogs/trade/sheet_gauge.csv");

const HINGES_FILE: &str = "trade/hinge_gauge.csv";
const HINGES: &str = include_str!("../../catalogs/trade/hinge_gauge.csv");

/// As far as a thickness may be from that of a weight class, in thousandths of an inch: less than half of what parts the two.
const NEAR: Decimal = Decimal::from_parts(12, 0, 0, false, 3);

/// The thickness of a hinge's leaf tells its weight class: the one of its height that is so thick. A thickness of no class stays
/// what it is and leaves the class open; so does one that is another class than the one said.
fn weight(builder: &mut Builder) {
    if builder.category() != Some(Category::Hinge) {
        return;
    }
    let Some(Heard::Found(Value::Length(thick), evidence)) = builder.attributes.get(&names::THICKNESS).cloned() else {
        return;
    };
    let height = match builder.attributes.get(&names::HEIGHT) {
        Some(Heard::Found(Value::Length(height), _)) => height.decimal(),
        _ => return,
    };
    let away = |text: &str, from: Decimal| text.parse::<Decimal>().ok().map(|value| (value - from).abs());
    let rows = table::rows(HINGES);
    let Some(row) = rows.iter().min_by_key(|row| away(row.get(0), height).unwrap_or(Decimal::MAX)) else { return };
    let classes = [("standard", row.get(1)), ("heavy", row.get(2))];
    let near = classes.iter().filter_map(|(class, thickness)| Some((away(thickness, thick.decimal())?, *class)));
    let told = |entry: String| By::Entry { file: HINGES_FILE.into(), line: row.line, entry: entry.into() };
    let Some((_, class)) = near.min().filter(|(away, _)| *away <= NEAR) else {
        if builder.attributes.get(&names::WEIGHT).is_some_and(|heard| heard.found().is_some()) {
            return;
        }
        let by = told(format!("a leaf {thick} thick, {} high, is of no weight class", row.get(0)));
        let evidence = Evidence { span: evidence.span, by };
        let all = classes.map(|(class, _)| (Value::text(class), evidence.clone()));
        builder.attributes.insert(names::WEIGHT, Heard::Ambiguous(all.to_vec()));
        return;
    };
    builder.attributes.remove(&names::THICKNESS);
    let by = told(format!("a leaf {thick} thick, {} high: {class} weight", row.get(0)));
    builder.put(names::WEIGHT, Value::text(class), Evidence { span: evidence.span, by });
}

/// Turns the gauge heard into a thickness, and the thickness of a hinge into its weight.
pub(super) fn settle(builder: &mut Builder) {
    weight(builder);
    let gauge = Attr::of("gauge");
    let Some(Heard::Found(Value::Number(number), evidence)) = builder.attributes.get(&gauge) else { return };
    let (number, evidence) = (*number, evidence.clone());
    let plate = matches!(builder.category(), Some(Category::ProtectionPlate | Category::PushPlate | Category::Pull));
    if !plate {
        return;
    }
    // ".050 ga" is the thickness itself.
    let rows: Vec<(Inches, By)> = if number < Decimal::ONE {
        vec![(Inches::new(number), evidence.by.clone())]
    } else {
        let base = builder.attributes.get(&names::BASE).and_then(Heard::found).map(ToString::to_string);
        let rows = table::rows(TABLE).iter().filter(|row| row.get(0).parse() == Ok(number));
        let rows = rows
            .filter(|row| base.as_deref().is_none_or(|base| row.get(1).split_whitespace().any(|metal| metal == base)));
        let told = |row: &table::Row| {
            let entry = format!("{} gauge of {} is {} in", row.get(0), row.get(1).replace(' ', ", "), row.get(2));
            By::Entry { file: FILE.into(), line: row.line, entry: entry.into() }
        };
        rows.filter_map(|row| Some((row.get(2).parse().ok()?, told(row)))).collect()
    };
    let span = evidence.span;
    let all: Vec<(Value, Evidence)> = rows
        .into_iter()
        .map(|(thickness, by)| (Value::Length(thickness), Evidence { span: span.clone(), by }))
        .collect();
    match all.as_slice() {
        [] => return,
        [(thickness, by)] => builder.put(names::THICKNESS, thickness.clone(), by.clone()),
        _ => builder.put_open(names::THICKNESS, all),
    }
    builder.attributes.remove(&gauge);
}
