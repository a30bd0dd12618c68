//! How an office writes the goods of a set: in columns, or in a line of words.

use crate::job::Good;
use crate::pen::Pen;

/// A column of goods.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Column {
    /// How many, perhaps with the unit.
    Quantity,
    /// The unit.
    Unit,
    /// The good.
    Words,
    /// Its number.
    Catalog,
    /// Its finish.
    Finish,
    /// Its maker.
    Maker,
    /// Remarks, where others may be named.
    Remarks,
}

/// How goods are written throughout one rendering.
pub struct Lines {
    /// The columns in order, with their headings.
    pub columns: Vec<(Column, String)>,
    /// Goods stand in upper case.
    upper: bool,
    /// `3 EA` in the column of quantities.
    unit_beside: bool,
    /// Hinges by pairs.
    pairs: bool,
    /// How half a pair is written.
    half: &'static str,
    /// The finish at the end of the words.
    finish_within: bool,
    /// How the unit is spelled.
    each: &'static str,
    /// How a count stands in a line of words.
    count: &'static str,
    /// `in`, `"` and the like for inches.
    inches: &'static str,
}

impl Lines {
    /// Draws the habits.
    pub fn draw(pen: &mut Pen) -> Lines {
        let mut columns = vec![Column::Quantity];
        let unit_beside = pen.has("unit beside the count", 40);
        if !unit_beside && pen.has("column of units", 50) {
            columns.push(Column::Unit);
        }
        columns.push(Column::Words);
        let catalog = pen.has("column of numbers", 50);
        if catalog {
            columns.push(Column::Catalog);
        }
        let finish = pen.has("column of finishes", 60);
        if finish {
            columns.push(Column::Finish);
        }
        if pen.has("column of makers", 40) {
            columns.push(Column::Maker);
        }
        if pen.has("column of remarks of goods", 35) {
            columns.push(Column::Remarks);
        }
        if pen.has("columns in another order", 30) {
            let words = columns.remove(columns.iter().position(|one| *one == Column::Words).unwrap_or(0));
            let at = if pen.chance(50) { 0 } else { columns.len() };
            columns.insert(at, words);
            if at == 0 && columns.contains(&Column::Finish) && pen.chance(50) {
                columns.rotate_left(1);
                let last = columns.len() - 1;
                columns.swap(0, last);
            }
        }
        let columns = columns.into_iter().map(|column| (column, heading(pen, column))).collect();
        Lines {
            columns,
            upper: pen.has("goods in upper case", 60),
            unit_beside,
            pairs: pen.has("hinges by pairs", 20),
            half: pen.habit("half a pair", &["-1/2", " 1/2", ".5", "\u{bd}"]),
            finish_within: !finish && pen.has("finish within the words", 50),
            each: pen.habit("each", &["EA", "EA", "EA.", "ea", "Each"]),
            count: pen.habit(
                "count in a line",
                &["3 EA", "(3)", "3", "behind (3)", "behind x3", "behind 3 EA", "THREE (3)", "3 -", "(3) EA"],
            ),
            inches: pen.habit("inches", &["\"", "\"", "\u{201d}", "''", " in."]),
        }
    }

    /// Pieces as counted: by the piece or by pairs.
    fn counted(&self, good: &Good) -> (String, &'static str) {
        if self.pairs && good.of().category == "hinge" {
            let halves = if good.pieces % 2 == 1 { self.half } else { "" };
            return (format!("{}{halves}", good.pieces / 2), "PR");
        }
        let unit = if good.of().unit == "SET" { "SET" } else { self.each };
        (good.pieces.to_string(), unit)
    }

    /// The words of a good, with what has no column of its own.
    fn words(&self, good: &Good, others: bool) -> String {
        let mut words = good.words.replace('"', self.inches);
        if self.finish_within && !good.of().finish.is_empty() {
            words = format!("{words}, {}", good.of().finish);
        }
        if let Some(by) = good.others.filter(|_| others) {
            words = format!("{words} - {by}");
        }
        if self.upper { words.to_uppercase() } else { words }
    }

    /// The cells of a good.
    pub fn cells(&self, good: &Good) -> Vec<String> {
        let (amount, unit) = self.counted(good);
        let remarks = self.columns.iter().any(|(column, _)| *column == Column::Remarks);
        let units = self.columns.iter().any(|(column, _)| *column == Column::Unit);
        let cell = |column: Column| match column {
            Column::Quantity if self.unit_beside || (!units && unit != self.each) => format!("{amount} {unit}"),
            Column::Quantity => amount.clone(),
            Column::Unit => unit.to_owned(),
            Column::Words => self.words(good, !remarks),
            Column::Catalog => good.catalog.clone(),
            Column::Finish => good.of().finish.to_owned(),
            Column::Maker if good.others.is_some() => String::new(),
            Column::Maker => good.maker.to_owned(),
            Column::Remarks => {
                good.others.map_or_else(String::new, |by| if self.upper { by.to_uppercase() } else { by.to_owned() })
            }
        };
        self.columns.iter().map(|(column, _)| cell(*column)).collect()
    }

    /// The good in one line of words.
    pub fn line(&self, good: &Good) -> String {
        let (amount, unit) = self.counted(good);
        let words = self.words(good, true);
        let bare = unit == self.each;
        let number = match good.pieces {
            1 => "ONE",
            2 => "TWO",
            3 => "THREE",
            _ => "SIX",
        };
        let beside = if bare { String::new() } else { format!(" {unit}") };
        match self.count {
            "(3)" => format!("({amount}){beside} {words}"),
            "3" => format!("{amount}{beside} {words}"),
            "behind (3)" => format!("{words} ({amount}{beside})"),
            "behind x3" if bare => format!("{words} x{amount}"),
            "behind x3" => format!("{words} x{amount} {unit}"),
            "behind 3 EA" => format!("{words} - {amount} {unit}"),
            "THREE (3)" if bare => format!("{number} ({amount}) {words}"),
            "3 -" => format!("{amount}{beside} - {words}"),
            "(3) EA" => format!("({amount}) {unit} {words}"),
            _ => format!("{amount} {unit} {words}"),
        }
    }

    /// The headings of the columns.
    pub fn headings(&self) -> Vec<String> {
        self.columns.iter().map(|(_, heading)| heading.clone()).collect()
    }
}

fn heading(pen: &mut Pen, column: Column) -> String {
    let (name, of): (&str, &[&str]) = match column {
        Column::Quantity => ("heading of counts", &["QTY", "QTY.", "Qty", "QUANTITY", "Quan."]),
        Column::Unit => ("heading of units", &["UNIT", "U/M", "UOM", "Unit"]),
        Column::Words => (
            "heading of goods",
            &["DESCRIPTION", "ITEM", "Item Description", "PRODUCT", "HARDWARE ITEM", "Description"],
        ),
        Column::Catalog => {
            ("heading of numbers", &["CATALOG NO.", "CATALOG NUMBER", "CAT. NO.", "MODEL", "PRODUCT NO."])
        }
        Column::Finish => ("heading of finishes", &["FINISH", "FIN.", "FIN", "Finish"]),
        Column::Maker => ("heading of makers", &["MFR", "MFR.", "MANUFACTURER", "MFG"]),
        Column::Remarks => ("heading of remarks of goods", &["REMARKS", "NOTES", "COMMENTS"]),
    };
    pen.habit(name, of).to_owned()
}
