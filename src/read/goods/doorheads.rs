//! Goods listed door by door, without sets: `Door 2 - Reception, 3-0 x 7-0 wood` heads the items below it, as the heading of
//! a set would. Each such row opens a list of its own, whose id is the number of its door; doors that follow each other with
//! nothing between share one.

use super::itemtext::starts_with_quantity;
use crate::read::excluded::others::{self, Ours};
use crate::read::lane::Lane;
use crate::read::openings::doorlist::Entry;
use crate::read::schedule::Role;
use crate::read::sets::setheading;
use crate::read::sheet::Row;
use crate::read::tables::headings::Meaning as M;
use crate::read::tables::table::Holds;
use crate::read::walk::{Gathered, Last, Walker, add_set, join_single};
use crate::read::words::{self, plain};

/// Rows between a door and its goods, which may tell of its size, at most.
const BETWEEN: usize = 2;

/// Doors that share a list, each with its own rows, at most.
const MOST_TOGETHER: usize = 24;

/// Cells of a row that heads goods, at most.
const WIDEST: usize = 3;

impl Walker<'_> {
    /// Opens the list of the door that a row names, where goods follow it and no heading of a set stands above.
    pub(crate) fn door_head(&mut self, lane: usize, row: &Row, out: &mut Gathered) -> Option<Role> {
        let own = &self.lanes[lane];
        let within = own.set.is_some() && own.set == own.of_door;
        if !(own.set.is_none() || within) || row.cells.len() > WIDEST || !may_head(own) || !led_by_door(row) {
            return None;
        }
        let single = join_single(&row.cells);
        let (entries, _) = setheading::served(&single)?;
        // What is not ours, or not new, shares no list with the door below it.
        let folded = plain(&single);
        let reason = ["excluded", "no-door", "remark-existing"].iter().find_map(|list| words::list(list).find(&folded));
        let others = others::supplier(&single, Ours::Unsaid).or_else(|| reason.map(str::to_string));
        // A sentence that leads to nothing, `Door 3 shall be verified.`, is a note where no list has begun.
        let leads = single.trim_end().ends_with(':');
        let sentence = !within && (self.noting || !leads && words::list("sentence-verb").find(&folded).is_some());
        let goods = self.goods_follow(lane, row);
        if !(within || goods == Follow::Below || goods == Follow::BelowDoors && others.is_none()) || sentence {
            return None;
        }
        let others = others.filter(|_| goods != Follow::Below);
        let place = self.sheet.place(row.number);
        let bare = own.set.filter(|set| {
            let of = &out.schedule.sets[*set];
            within && others.is_none() && of.lines.is_empty() && of.notes.is_empty() && of.not_used.is_none()
        });
        let set = match bare {
            Some(set) => set,
            None => {
                let id = free_id(entries.first()?, out);
                let title = title_of(&single);
                let heading = setheading::Heading { id, title, doors: Vec::new(), not_used: others };
                add_set(heading, place.clone(), out)
            }
        };
        self.lanes[lane].open_set(set);
        self.lanes[lane].of_door = Some(set);
        (self.lanes[lane].last, self.lanes[lane].last_row) = (Last::Doors, row.number);
        out.served.push((set, entries, place));
        Some(Role::SetOpenings)
    }

    /// Whether goods, or words that say which other door has them, stand below a row.
    fn goods_follow(&self, lane: usize, row: &Row) -> Follow {
        let at = self.sheet.index_of(row.number);
        let table = self.lanes[lane].table.as_ref();
        let item = |row: &Row| {
            let single = join_single(&row.cells);
            let counted = table.and_then(|table| table.column(M::Quantity)).is_some_and(|column| {
                row.cell(column.index).is_some_and(|cell| starts_with_quantity(&plain(&cell.text)))
                    && row.cells.len() > 1
            });
            counted || starts_with_quantity(&plain(&single)) && words::list("hardware").find(&plain(&single)).is_some()
        };
        let (mut follow, mut between) = (Follow::Below, 0);
        for row in self.sheet.rows.get(at + 1..).unwrap_or_default().iter().take(MOST_TOGETHER) {
            if item(row) || setheading::same_as(&join_single(&row.cells)).is_some() {
                return follow;
            }
            // What stands below the heading of a set is that set's.
            if setheading::heading(&join_single(&row.cells)).is_some() {
                break;
            }
            // Doors with nothing between share what stands below the last of them.
            if led_by_door(row) {
                (follow, between) = (Follow::BelowDoors, 0);
                continue;
            }
            between += 1;
            if between > BETWEEN {
                break;
            }
        }
        Follow::No
    }
}

/// Where goods stand below the row of a door.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Follow {
    No,
    /// Right below it.
    Below,
    /// Below the rows of more doors.
    BelowDoors,
}

/// What stands behind the doors in a row that names them.
fn title_of(single: &str) -> String {
    let behind = crate::read::sets::titledoors::beside_doors(single);
    let title = behind.as_deref().and_then(|text| text.split_once("  ")).map_or("", |(_, rest)| rest);
    title.trim_matches(|sign: char| sign.is_whitespace() || "-:,;\u{2013}\u{2014}".contains(sign)).to_string()
}

/// Whether the rows of a lane may be headed by doors: they stand under no columns, or under those of items without sets.
fn may_head(lane: &Lane) -> bool {
    lane.table.as_ref().is_none_or(|table| table.holds == Holds::Items && !table.has(M::Set))
}

/// Whether the row begins with the word for a door: `Door 2`, `OPENINGS 101, 102`.
fn led_by_door(row: &Row) -> bool {
    row.cells.first().is_some_and(|cell| words::list("doors").begins(&plain(&cell.text)).is_some())
}

/// The number of the first door, or one that no set has yet.
fn free_id(first: &Entry, out: &Gathered) -> String {
    let (Entry::Door(number) | Entry::Range(number, _)) = first;
    let taken = |id: &str| out.schedule.sets.iter().any(|set| set.id == id);
    if !taken(number) {
        return number.clone();
    }
    (2..).map(|copy| format!("{number} ({copy})")).find(|id| !taken(id)).unwrap_or_else(|| number.clone())
}
