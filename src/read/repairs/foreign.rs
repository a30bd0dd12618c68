//! Sheets that speak of other trades' goods and name no hardware set.

use std::sync::Arc;

use crate::read::sets::setheading;
use crate::read::tables::headings::Meaning as M;
use crate::read::tables::table::{Holds, Table};
use crate::read::walk::{Gathered, Walker};
use crate::read::words::{self, plain};

impl Walker<'_> {
    /// A sheet that speaks of bathroom accessories and the like, and names no set, is passed over.
    pub(crate) fn free_columns(&mut self, out: &mut Gathered) {
        let mut named: Vec<String> = Vec::new();
        let mut hardware = 0;
        let mut foreign = 0;
        let mut sets = 0;
        for row in self.sheet.rows.iter().take(400) {
            let text = plain(&row.joined());
            hardware += usize::from(words::list("hardware").find(&text).is_some());
            let other = words::list("foreign").find(&text).or_else(|| words::list("accessories").find(&text));
            foreign += usize::from(other.is_some());
            named.extend(other.map(str::to_string).filter(|word| !named.contains(word)));
            sets += usize::from(setheading::heading(&row.joined()).is_some());
        }
        let of_doors =
            |table: &Arc<Table>| matches!(table.holds, Holds::Doors | Holds::DoorItems | Holds::Matrix | Holds::Types);
        let doors = !self.cards.is_empty() || self.tables.iter().any(of_doors);
        let unnamed = |table: &Arc<Table>| table.holds == Holds::Items && !table.has(M::Set);
        let items = !self.tables.is_empty() && self.tables.iter().all(unnamed);
        // A title of another trade tells, unless most of its rows name goods of ours.
        let rows = self.sheet.rows.iter().take(400).filter(|row| row.cells.len() >= 3).count().saturating_sub(1);
        let own = doors || sets > 0 || !items || hardware * 2 > rows;
        let title = if own { None } else { self.titled_otherwise() };
        self.foreign = !doors && sets == 0 && (foreign >= 3 && foreign >= hardware || items && hardware == 0);
        if let Some(title) = title {
            self.foreign = true;
            named = vec![title];
        }
        if self.foreign {
            self.passing = true;
            let at = self.sheet.rows.first().map_or(1, |row| row.number);
            out.passed.push(format!(
                "{}: it speaks of {} and names no hardware set",
                self.sheet.place(at),
                match &named[..] {
                    [] => "no door hardware".to_string(),
                    named => named.iter().take(3).map(|word| word.to_lowercase()).collect::<Vec<_>>().join(", "),
                }
            ));
        }
    }
    /// The title of the sheet, or its name, where it is that of another trade's schedule.
    fn titled_otherwise(&self) -> Option<String> {
        let first = self.tables.iter().map(|table| table.rows.0).min()?;
        let above = self.sheet.rows.get(first.saturating_sub(5)..first)?;
        let titles = above.iter().filter(|row| row.cells.len() <= 2).map(|row| plain(&row.joined()));
        let all: Vec<String> = titles.chain([plain(&self.sheet.name)]).collect();
        let ours = |text: &String| words::list("own-schedule").find(text).is_some();
        if all.iter().any(ours) {
            return None;
        }
        all.iter().find_map(|text| words::list("other-schedule").find(text)).map(str::to_string)
    }
}
