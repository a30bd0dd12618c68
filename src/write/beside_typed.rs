//! Figures of priced goods that were typed over where nothing takes them up: list, net, rate, sell and extension come from the
//! catalog and the rates, so that a figure typed there is gone with the next run. Each is told with where it belongs.

use rust_decimal::Decimal;

use super::answered::number;
use super::goods::{HEADINGS, at};
use crate::complete::told::{Typed, What};

/// What reads a figure of a row, by its column.
type Figure<'a> = &'a dyn Fn(usize) -> Option<Decimal>;

/// The columns of a row whose figure is none that the program wrote or the row makes. Where the file has no figure, as before
/// it was reckoned again, nothing is told.
pub(super) fn columns(text: &dyn Fn(usize) -> String, typed: &[Typed]) -> Vec<usize> {
    let figure = |column: usize| number(&text(column));
    let figure: Figure<'_> = &figure;
    let differs =
        |column: usize, was: usize| matches!((figure(column), figure(was)), (Some(now), Some(was)) if now != was);
    let mut found = Vec::new();
    if differs(at::LIST, at::WAS_LIST) {
        found.push(at::LIST);
    }
    // A rate of the first page may have been changed there, and the rows with it.
    let of_page = |rate: Decimal| {
        typed.iter().any(|one| one.what == What::Rate && one.value.parse::<Decimal>().is_ok_and(|new| new == rate))
    };
    if differs(at::RATE, at::WAS_RATE) && !figure(at::RATE).is_some_and(of_page) {
        found.push(at::RATE);
    }
    let made = [(at::NET, net(figure)), (at::SELL, sell(figure)), (at::EXTENDED, extended(figure))];
    found.extend(made.into_iter().filter_map(|(column, made)| {
        let now = figure(column)?;
        (!made?.iter().any(|made| is_rounded(now, *made))).then_some(column)
    }));
    found
}

/// What is told of a cell.
pub(super) fn says(place: &str, column: usize, text: &str) -> String {
    let heading = HEADINGS.get(column).copied().unwrap_or_default();
    format!("{place}: \"{text}\" typed over under {heading} is not taken up")
}

fn net(figure: Figure<'_>) -> Option<Vec<Decimal>> {
    let made = figure(at::LIST)?.checked_mul(figure(at::FACTOR)?)?;
    Some(vec![made.checked_add(figure(at::NET_ADDED).unwrap_or_default())?])
}

/// By margin or by markup.
fn sell(figure: Figure<'_>) -> Option<Vec<Decimal>> {
    let (net, rate) = (figure(at::NET)?, figure(at::RATE)?);
    let by_margin = net.checked_div(Decimal::ONE.checked_sub(rate)?);
    let by_markup = net.checked_mul(Decimal::ONE.checked_add(rate)?)?;
    Some(by_margin.into_iter().chain([by_markup]).collect())
}

fn extended(figure: Figure<'_>) -> Option<Vec<Decimal>> {
    Some(vec![figure(at::USED)?.checked_mul(figure(at::PRICE)?)?])
}

/// Whether a figure is another, rounded to the cent or less.
fn is_rounded(now: Decimal, exact: Decimal) -> bool {
    (now - exact).abs() <= Decimal::new(1, 2)
}
