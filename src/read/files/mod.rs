//! The bytes of a file into sheets of cells: formats, encodings, separators, and what the spreadsheet libraries do not show.

pub(super) mod commas;
pub(super) mod encodings;
pub(super) mod floating;
pub(super) mod marks;
pub(super) mod misdecoded;
pub(super) mod nulls;
pub(super) mod odsmarks;
pub(super) mod ours;
pub(super) mod plainsheet;
pub(super) mod quotes;
pub(super) mod rows;
pub(super) mod shown;
pub(super) mod source;
pub(super) mod text;
pub(super) mod unpack;
pub(super) mod workbook;
pub(super) mod xlsbmarks;
pub(super) mod xlsfloating;
pub(super) mod xlsmarks;
