//! pintle reads an architect's door-hardware schedule, completes it, asks about what is unclear,
//! prices it from a local catalog and writes the quote.
//!
//! Data flows one way through the rooms: `read` → `understand` → `complete` → `count` → `price` → `write`,
//! and `reprice` compares two quotes. `trade`, `catalog` and the small files beside them are the ground floor
//! that every room may use. `commands` is the only place that calls rooms in sequence.

pub mod catalog;
pub mod commands;
pub mod complete;
pub mod count;
pub mod evidence;
pub mod finding;
pub mod money;
pub mod place;
pub mod price;
pub mod read;
pub mod reprice;
pub mod terms;
pub mod trade;
pub mod understand;
pub mod write;
