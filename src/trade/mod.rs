//! Facts of the trade as types over data tables.
//!
//! In: nothing but the embedded tables of `catalogs/trade/`. Out: measures, categories, attributes, finishes, lock
//! functions, type numbers, ratings, hinge and wire tables. To add a finish, a function or a type number, edit the
//! table there; no `.rs` changes. Knows nothing of files or price books.

pub mod attribute;
pub mod by_attribute;
pub mod category;
pub mod condition;
pub mod confidence;
pub mod facts;
pub mod finish;
pub mod function;
pub mod hinge;
pub mod inches;
pub mod leaf;
pub mod limits;
pub mod rating;
pub mod remark;
pub mod room;
pub mod rule_words;
pub mod signs;
pub mod spelling;
pub mod table;
pub mod type_number;
pub mod usual;
pub mod wire;
pub mod wording;
