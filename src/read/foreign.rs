//! Sheets that speak of other trades' goods and name no hardware set.

use std::sync::Arc;

use super::headings::Meaning as M;
use super::setheading;
use super::table::{Holds, Table};
use super::walk::{Gathered, Walker};
use super::words::{self, plain};

impl Walker<'_> {
    /// A sheet that speaks of bathroom accessories and the like, and names no set, is passed over.
    pub(super) fn free_columns(&mut self, out: &mut Gathered) {
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
        self.foreign = !doors && sets == 0 && (foreign >= 3 && foreign >= hardware || items && hardware == 0);
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
}
