//! The file of a flat price list in a catalog, one row a good: its columns, and how an import writes it. Read again by the
//! loader of lists, so that what both must know stands here once.

use rust_decimal::Decimal;

use super::good::Per;
use crate::money::Money;
use crate::trade::category::Category;

/// The columns. `price` empty or `call`: to be asked for.
pub(super) const COLUMNS: &[&str] = &[
    "number",
    "maker",
    "category",
    "description",
    "price",
    "per",
    "group",
    "pack",
    "minimum",
    "weight",
    "returnable",
    "attributes",
    "from",
];

/// In the place of a price: it must be asked for.
pub(super) const CALL: &str = "call";

/// A good as it stands in the file.
#[derive(Debug, Clone, PartialEq)]
pub struct Row {
    /// Number to order by.
    pub number: String,
    /// Maker.
    pub maker: String,
    /// Category.
    pub category: Category,
    /// What it is, in the list's words.
    pub description: String,
    /// `None`: to be asked for.
    pub price: Option<Decimal>,
    /// What the price is for.
    pub per: Per,
    /// Discount group; empty: none.
    pub group: String,
    /// Pieces in a pack; empty: not sold in packs.
    pub pack: String,
    /// Least quantity; empty: one.
    pub minimum: String,
    /// Shipping weight in pounds; empty: not known.
    pub weight: String,
    /// `height=4.5; weight=heavy`.
    pub attributes: String,
    /// Where it came from: sheet and row of the price list.
    pub from: String,
}

/// The file's text.
pub fn text(rows: &[Row]) -> String {
    let mut writer = csv::Writer::from_writer(Vec::new());
    // Writing to memory cannot fail.
    let _ = writer.write_record(COLUMNS);
    for row in rows {
        let price = row.price.map_or(CALL.to_owned(), |price| Money::new(price).to_string());
        let cell = |column: &&str| match *column {
            "number" => row.number.as_str(),
            "maker" => &row.maker,
            "category" => row.category.name(),
            "description" => &row.description,
            "price" => &price,
            "per" => row.per.word(),
            "group" => &row.group,
            "pack" => &row.pack,
            "minimum" => &row.minimum,
            "weight" => &row.weight,
            "attributes" => &row.attributes,
            "from" => &row.from,
            // A price list does not say what can be sent back.
            _ => "",
        };
        let _ = writer.write_record(COLUMNS.iter().map(cell));
    }
    writer.into_inner().map_or(String::new(), |bytes| String::from_utf8_lossy(&bytes).into_owned())
}
