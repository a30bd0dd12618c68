//! What an import has to say: which column was taken for what, what became of the rows, which words nobody read.

use super::goods::Goods;
use crate::place::column_letter;
use crate::read::price_list::{Holds, PriceList};

/// Reasons and words shown on the terminal; the file has all.
const SHOWN: usize = 12;

/// Which column was taken for what.
pub fn columns(list: &PriceList) -> String {
    let mut text = format!("{}: columns", list.file);
    for sheet in &list.sheets {
        match (sheet.name.is_empty(), sheet.header) {
            (true, Some(row)) => text.push_str(&format!(" by the headings of row {row}")),
            (false, Some(row)) => text.push_str(&format!("\n  sheet \"{}\", by the headings of row {row}", sheet.name)),
            (true, None) => text.push_str(" as the mapping says"),
            (false, None) if sheet.columns.is_empty() => {
                text.push_str(&format!("\n  sheet \"{}\": no headings, not read", sheet.name))
            }
            (false, None) => text.push_str(&format!("\n  sheet \"{}\", as the mapping says", sheet.name)),
        }
        for (column, (heading, holds)) in &sheet.columns {
            let what = if *holds == Holds::Ignore { "not used" } else { holds.name() };
            text.push_str(&format!("\n    {:<3} {:<28} {what}", column_letter(*column), heading));
        }
    }
    text
}

/// What became of the rows.
pub fn text(goods: &Goods) -> String {
    let calls = goods.entries.iter().filter(|entry| entry.price.is_none()).count();
    let left: usize = goods.left_out.values().map(Vec::len).sum();
    let mut text = format!("imported  {}", count(goods.entries.len(), "good", "goods"));
    if calls > 0 {
        text.push_str(&format!(", {calls} of them with a price to be asked for"));
    }
    if goods.twice > 0 {
        text.push_str(&format!("; {} met a second time and taken once", count(goods.twice, "good", "goods")));
    }
    if goods.headings > 0 {
        text.push_str(&format!("; {} of headings", count(goods.headings, "row", "rows")));
    }
    if left > 0 {
        text.push_str(&format!("\nleft out  {}:", count(left, "row", "rows")));
        for (why, places) in goods.left_out.iter().take(SHOWN) {
            let more = if places.len() > 3 { format!(" and {} more", places.len() - 3) } else { String::new() };
            let shown: Vec<&str> = places.iter().take(3).map(String::as_str).collect();
            text.push_str(&format!("\n  {:>6} × {why} ({}{more})", places.len(), shown.join("; ")));
        }
        text.push_str(&rest(goods.left_out.len(), "reasons"));
    }
    if !goods.unread.is_empty() {
        text.push_str(&format!("\nnot understood  {}:", count(goods.unread.len(), "word", "words")));
        for (word, (count, place)) in ordered(goods).into_iter().take(SHOWN) {
            text.push_str(&format!("\n  {count:>6} × \"{word}\" (first at {place})"));
        }
        text.push_str(&rest(goods.unread.len(), "words"));
        text.push_str("\n  teach them with `pintle teach`, give that list with --words, and import again");
    }
    text
}

fn count(number: usize, one: &str, many: &str) -> String {
    format!("{number} {}", if number == 1 { one } else { many })
}

fn rest(all: usize, what: &str) -> String {
    if all > SHOWN { format!("\n  and {} more {what} in not-understood.csv", all - SHOWN) } else { String::new() }
}

/// Unread words, the most frequent first.
fn ordered(goods: &Goods) -> Vec<(&String, &(usize, String))> {
    let mut words: Vec<_> = goods.unread.iter().collect();
    words.sort_by(|(one, (a, _)), (other, (b, _))| b.cmp(a).then_with(|| one.cmp(other)));
    words
}

/// `not-understood.csv`: every row left out, every word not read.
pub fn table(goods: &Goods) -> String {
    let mut writer = csv::Writer::from_writer(Vec::new());
    // Writing to memory cannot fail.
    let _ = writer.write_record(["what", "words", "count", "where"]);
    for (why, places) in &goods.left_out {
        for place in places {
            let _ = writer.write_record(["row left out", why, "1", place]);
        }
    }
    for (word, (count, place)) in ordered(goods) {
        let _ = writer.write_record(["word not read", word, &count.to_string(), place]);
    }
    writer.into_inner().map_or(String::new(), |bytes| String::from_utf8_lossy(&bytes).into_owned())
}
