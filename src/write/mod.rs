//! Writes a quote: the estimate and proposal workbooks, the record (JSON), the terminal summary.
//!
//! In: `Quote`, `Changes`. Out: files and text. Knows nothing of how anything was computed. What a person filled in
//! comes back through `answered`, which knows the pages by their headings.

pub mod answered;
mod answered_rates;
mod answered_rows;
mod asked;
mod beside;
mod beside_typed;
mod bid;
mod buying_pages;
mod change_book;
mod change_pages;
mod change_sets;
mod changed;
mod drawing;
mod estimate;
pub mod explain;
pub mod explain_rows;
pub mod files;
mod goods;
mod goods_rows;
mod heard;
mod json_lines;
pub mod leftover;
mod letter;
mod looks;
mod offered;
pub mod page;
mod paper;
mod preps;
mod proposal;
pub mod questions;
mod raster;
mod rates;
pub mod record;
pub mod record_lines;
mod request;
mod scene;
mod strokes;
pub mod style;
mod tables;
mod tallies;
mod terminal;
mod told_by;
mod told_page;
mod typed_cells;
mod unpriced;
mod words;
mod xlsx;

pub use preps::Preps;

use crate::finding::Finding;
use crate::price::quote::Quote;
use crate::reprice::history::Step;

/// The record of a bid as JSON text.
pub fn record(quote: &Quote) -> String {
    record::record(quote, &[])
}

/// The record of a quote that came by addenda.
pub fn record_after(quote: &Quote, history: &[Step]) -> String {
    record::record(quote, history)
}

/// The internal estimate as the bytes of an xlsx workbook.
///
/// # Errors
/// When the writing library refuses; a message.
pub fn estimate(quote: &Quote) -> Result<Vec<u8>, String> {
    xlsx::print(estimate::book(quote))
}

/// The customer's proposal as the bytes of an xlsx workbook: no cost, rate or internal note in any form.
///
/// # Errors
/// As `estimate`.
pub fn proposal(quote: &Quote) -> Result<Vec<u8>, String> {
    xlsx::print(proposal::proposal(quote))
}

/// The questions for the architect as the bytes of an xlsx workbook, without prices.
///
/// # Errors
/// As `estimate`.
pub fn questions(quote: &Quote) -> Result<Vec<u8>, String> {
    xlsx::print(asked::book(quote))
}

/// The preps for door and frame makers, with drawings; none where nothing is prepared.
///
/// # Errors
/// As `estimate`.
pub fn preps(quote: &Quote) -> Result<Option<Preps>, String> {
    preps::preps(quote)
}

/// Record and workbooks, made side by side: for a large job they are most of the time.
///
/// # Errors
/// As `estimate`.
pub fn documents(quote: &Quote) -> Result<Documents, String> {
    documents_beside(quote, || record(quote))
}

/// As `documents`, where the record is at hand or made otherwise.
///
/// # Errors
/// As `estimate`.
pub fn documents_beside(quote: &Quote, record: impl FnOnce() -> String + Send) -> Result<Documents, String> {
    let (record, (estimate, rest)) =
        rayon::join(record, || rayon::join(|| estimate(quote), || (proposal(quote), questions(quote), preps(quote))));
    let (proposal, questions, preps) = rest;
    Ok(Documents { record, estimate: estimate?, proposal: proposal?, questions: questions?, preps: preps? })
}

/// What a quote comes out as.
pub struct Documents {
    /// The record as JSON text.
    pub record: String,
    /// The internal estimate, an xlsx workbook.
    pub estimate: Vec<u8>,
    /// The customer's proposal, an xlsx workbook.
    pub proposal: Vec<u8>,
    /// The questions for the architect, an xlsx workbook.
    pub questions: Vec<u8>,
    /// The preps for door and frame makers.
    pub preps: Option<Preps>,
}

/// The summary for the terminal.
pub fn summary(quote: &Quote, colour: bool) -> String {
    terminal::summary(quote, colour)
}

/// What an addendum changed, as the bytes of an xlsx workbook.
///
/// # Errors
/// As `estimate`.
pub fn changes_book(changes: &crate::reprice::changes::Changes) -> Result<Vec<u8>, String> {
    xlsx::print(change_book::book(changes))
}

/// The change request as a letter to the customer, an xlsx workbook: no cost, rate or internal note in any form.
///
/// # Errors
/// As `estimate`.
pub fn request_letter(quote: &Quote, request: &crate::reprice::request::Request) -> Result<Vec<u8>, String> {
    xlsx::print(request::book(quote, request))
}

/// What an addendum changed, for the terminal.
pub fn changes_text(changes: &crate::reprice::changes::Changes) -> String {
    changed::text(changes)
}

/// Findings in the house style, for the terminal.
pub fn findings_text(findings: &[&Finding], colour: bool) -> String {
    terminal::findings_text(findings, colour)
}
