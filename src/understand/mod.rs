//! Turns the wording of a line into a `Reading`: category, attributes, quantity, each with its evidence.
//!
//! In: a line's wording and what stands around it. Out: `Reading`s (usually one a line); words that nobody understood
//! are kept. Knows nothing of openings or prices. To teach it a spelling, edit `catalogs/trade/words/`.

pub mod reading;

use std::path::PathBuf;

use crate::read::schedule::{Schedule, Wording};
use reading::{Heard, Quantity, Reading, Surroundings};

/// The compiled word lists.
#[derive(Debug, Default)]
pub struct Lexicon {}

impl Lexicon {
    /// The embedded lists and the user's own files after them.
    ///
    /// # Errors
    /// A message with file and line when a user's list is broken.
    pub fn load(own: &[PathBuf]) -> Result<Lexicon, String> {
        let _ = own;
        Ok(Lexicon {})
    }
}

/// Reads one wording. Usually one reading; a line that names two goods gives two.
pub fn understand(lexicon: &Lexicon, wording: &Wording, around: &Surroundings) -> Vec<Reading> {
    let _ = (lexicon, around);
    vec![Reading {
        category: Heard::Absent,
        quantity: Quantity::default(),
        attributes: Default::default(),
        remarks: Vec::new(),
        unread: std::iter::once(0..wording.text.len()).collect(),
        ignored: Vec::new(),
        doubts: Vec::new(),
    }]
}

/// Reads every line of every set in its surroundings (ditto, section headings, what the set already has).
/// Indexed by set, line, reading.
pub fn understand_sets(lexicon: &Lexicon, schedule: &Schedule) -> Vec<Vec<Vec<Reading>>> {
    let around = Surroundings::default();
    schedule
        .sets
        .iter()
        .map(|set| set.lines.iter().map(|line| understand(lexicon, &line.wording, &around)).collect())
        .collect()
}
