//! What we sell, at what price: product lines with attributes, designation patterns, list prices, adders, discounts.
//!
//! In: a catalog folder (TOML and CSV) or a flat price list. Out: a checked `Catalog` that finds the goods which fit a
//! category and attributes, builds and decodes designations, and gives list prices with their working. Knows nothing of
//! schedules. To add a product line, add a file to the catalog folder; no `.rs` changes.

pub mod good;

use std::path::Path;
use std::sync::Arc;

use crate::trade::attribute::Attributes;
use good::{Good, Request, Selection};

/// A checked catalog.
#[derive(Debug, Clone, Default)]
pub struct Catalog {
    /// Its name.
    pub name: String,
    /// ISO date from which its prices hold.
    pub effective: String,
    /// Hash of its files.
    pub sha256: String,
    /// ISO currency code.
    pub currency: String,
    /// ISO date from which the next edition holds, when it is known: a delivery after it may be billed at other prices.
    pub next_effective: Option<String>,
    /// What the user should know about the choice of edition.
    pub notes: Vec<String>,
}

impl Catalog {
    /// The demo catalog inside the program; the edition in force on `bid_date` (ISO) is used.
    ///
    /// # Errors
    /// As `load`.
    pub fn embedded(bid_date: &str) -> Result<Catalog, String> {
        let _ = bid_date;
        Ok(Catalog::default())
    }

    /// A catalog folder.
    ///
    /// # Errors
    /// Every mistake in it at once, each with file, line, column, the source line, and what to do.
    pub fn load(folder: &Path, bid_date: &str) -> Result<Catalog, String> {
        let _ = bid_date;
        Err(format!("cannot read catalog {}", folder.display()))
    }

    /// The goods that fit a request, ranked the same way every time.
    pub fn select(&self, request: &Request) -> Selection {
        let _ = request;
        Selection::default()
    }

    /// The good of one product line for these attributes (the line's usual values for the rest), or what stands against it.
    ///
    /// # Errors
    /// Why the line does not make it.
    pub fn good(&self, line: &Arc<str>, attributes: &Attributes) -> Result<Good, String> {
        let _ = attributes;
        Err(format!("no product line \"{line}\""))
    }
}
