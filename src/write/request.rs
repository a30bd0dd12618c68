//! The change request as a letter to the customer: after the award it goes out in the place of a proposal. Its table is that of
//! the change workbook; no cost and no rate have a way in.

use super::change_pages::{REQUEST_COLUMNS, REQUEST_NOTE, request_rows};
use super::page::{Book, Cell, Page};
use super::proposal::{head, printing, signed};
use super::style;
use crate::price::quote::Quote;
use crate::reprice::request::Request;

/// The letter as a book of one page.
pub(super) fn book(quote: &Quote, request: &Request) -> Book {
    let mut page = Page::new("Change request", &REQUEST_COLUMNS);
    page.print = printing(quote);
    head(&mut page, quote, "Change request for door hardware", REQUEST_COLUMNS.len());
    page.push(vec![Cell::text(REQUEST_NOTE, style::PROSE).across(REQUEST_COLUMNS.len())]);
    page.skip();
    request_rows(&mut page, request);
    // Whoever signs is to know what the sum does not hold.
    if !request.open.is_empty() {
        page.skip();
        page.push(vec![Cell::text("Not in this sum", style::SECTION).across(REQUEST_COLUMNS.len())]);
        for words in &request.open {
            page.push(vec![Cell::text(words.as_str(), style::PROSE).across(REQUEST_COLUMNS.len())]);
        }
    }
    page.skip();
    let closing = page.next();
    signed(&mut page, quote, 4);
    page.keep_from(closing.saturating_sub(4));
    page.break_for_print();
    Book {
        title: "Change request: door hardware".into(),
        subject: quote.terms.job.name.clone(),
        company: quote.terms.from.company.clone(),
        date: quote.date.clone(),
        names: Vec::new(),
        pages: vec![page],
    }
}
