//! Reads back the rates and sums of the first page that were typed over.

use rust_decimal::Decimal;

use super::answered::number;
use super::{bid, rates};
use crate::complete::Answers;
use crate::complete::told::{LineName, Scope, Typed, What};
use crate::read::Cells;

/// The rows under the heading of the rates, up to the next empty one.
pub(super) fn rates(sheet: &Cells, answers: &mut Answers, wrong: &mut Vec<String>) {
    let Some(top) = sheet.rows.iter().position(|(_, row)| row.get(&0).is_some_and(|text| text == bid::RATES)) else {
        return;
    };
    let mut last = sheet.rows[top].0;
    for (row, cells) in &sheet.rows[top + 1..] {
        // Empty rows are not among those read, so a gap in the numbers is one.
        if *row != last + 1 {
            break;
        }
        last = *row;
        let (Some(words), Some(was)) = (cells.get(&0), cells.get(&2).and_then(|text| number(text))) else { continue };
        let named = bid::NAMED.iter().find(|(label, _)| label == words).map(|(_, name)| (*name).to_owned());
        let is_margin = words.starts_with("margin ");
        let key = named.unwrap_or_else(|| rates::key(words));
        let is_sum = bid::SUMS.contains(&key.as_str());
        let text = cells.get(&1).map(String::as_str).unwrap_or_default();
        let beside = |column: usize| cells.get(&column).map(|text| text.trim().to_owned()).unwrap_or_default();
        let refuse = |why: &str| format!("{}!B{row}: \"{text}\" {why}", sheet.name);
        match number(text) {
            Some(now) if now == was => {}
            Some(now) if is_margin && now >= Decimal::ONE => {
                wrong.push(refuse("is a margin that leaves no cost; a margin stays below 100%"));
            }
            Some(now) if is_sum && now < Decimal::ZERO => wrong.push(refuse("is below nothing; write a sum of money")),
            // A markup of many times the cost is thinkable, a tax or freight above the goods is 8.25 for 8.25%.
            Some(now) if !is_sum && now >= if words.starts_with("markup ") { Decimal::TEN } else { Decimal::ONE } => {
                wrong.push(refuse("is 100% or more; write a per cent with its sign, such as 28%"));
            }
            Some(now) if ["freight_rate", "tax_rate", "bond_rate"].contains(&key.as_str()) && now < Decimal::ZERO => {
                wrong.push(refuse("is below nothing; nobody pays for taking the goods"));
            }
            Some(now) if !is_sum && now < -Decimal::ONE => wrong.push(refuse("gives the goods away")),
            Some(now) => answers.typed.push(Typed {
                what: What::Rate,
                line: LineName { words: key, ..LineName::default() },
                good: String::new(),
                value: now.to_string(),
                was: was.to_string(),
                scope: Scope::Job,
                by: beside(bid::BY_COLUMN),
                on: beside(bid::ON_COLUMN),
            }),
            None if is_sum => wrong.push(refuse("is no sum; write a number such as 250.00")),
            None => wrong.push(refuse("is no rate; write a number such as 28%")),
        }
    }
}
