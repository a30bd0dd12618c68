//! The internal estimate: what the bid stands on, priced goods by set with live formulas, questions, additions, openings,
//! products, preps, the row ledger. A quantity or a rate changed in it recalculates everything.

use crate::finding::Kind;
use crate::price::quote::Quote;

use super::goods::Goods;
use super::page::Book;
use super::rates::Rates;
use super::{bid, buying_pages, questions, tables, tallies, told_page};

/// The estimate as pages.
pub fn book(quote: &Quote) -> Book {
    let rates = Rates::of(quote);
    let goods = Goods::of(quote, &rates);
    let (asked, answers, effects) = questions::pages(quote);
    let (bid, names) = bid::page(quote, &rates, &goods, effects);
    let mut pages = vec![bid];
    let added = tables::added_page(quote, &goods);
    let products = tallies::products(quote, &goods);
    let openings = tallies::openings(quote, &goods);
    let money = tallies::money(&goods, quote);
    let [buying, alternates, electrical] =
        [buying_pages::buying(quote, &goods), buying_pages::alternates(quote), buying_pages::electrical(quote)];
    pages.push(goods.page);
    pages.extend([
        asked,
        tables::findings_page(quote, "Assumptions and notes", |finding| finding.kind != Kind::Question),
        added,
        openings,
        products,
        money,
        buying,
        alternates,
        electrical,
        tables::preps_page(quote),
        tables::rows_page(quote),
        told_page::page(quote),
        answers,
        goods.offered,
    ]);
    Book {
        title: format!("Estimate {}", quote.terms.job.name).trim().to_owned(),
        subject: "Internal estimate".to_owned(),
        company: quote.terms.from.company.clone(),
        date: quote.date.clone(),
        names,
        pages,
    }
}
