//! Rows of goods in the middle of a door schedule: below the doors stands what their sets consist of, or goods with counts
//! whose set is not known.

use crate::place::column_letter;

use super::commalists;
use crate::read::schedule::{Line, PartRole, Role, Wording};
use crate::read::sets::setheading;
use crate::read::sheet::Row;
use crate::read::walk::{Gathered, Last, Walker, add_set};
use crate::read::words::{self, plain};

impl Walker<'_> {
    /// `H1 | 3 hinges, lock, stop` under a door schedule whose doors have the set H1: what the set consists of.
    pub(crate) fn goods_of_set(&mut self, lane: usize, id: &str, row: &Row, out: &mut Gathered) -> Option<Role> {
        // `2 SETS | OFFSET PIVOTS` counts goods whose set is not known.
        if super::itemtext::is_counted_good(row) {
            return Some(self.item_row(lane, row, out));
        }
        let [_, goods] = &row.cells[..] else { return None };
        let named = words::list("hardware").find(&plain(&goods.text)).is_some();
        let used = || out.schedule.openings.iter().any(|opening| opening.set.as_deref() == Some(id));
        if self.lanes[lane].last == Last::Nothing || !named || !used() {
            return None;
        }
        let place = self.sheet.place(row.number);
        let known = out.schedule.sets.iter().position(|set| set.id == id);
        let set = known.unwrap_or_else(|| {
            let heading =
                setheading::Heading { id: id.to_string(), title: String::new(), doors: Vec::new(), not_used: None };
            add_set(heading, place.clone(), out)
        });
        for good in commalists::goods(&goods.text).unwrap_or_else(|| vec![&goods.text]) {
            let mut wording = Wording::default();
            wording.push(PartRole::Free, good, Some(column_letter(goods.column).into()));
            out.schedule.sets[set].lines.push(Line::new(place.clone(), wording));
        }
        Some(Role::Line)
    }
}
