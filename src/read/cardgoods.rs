//! Goods that stand in a table of their own under a card for one door, perhaps on a sheet for each door: they are the set
//! of that door. `Same as door 003` instead of goods gives it the set of the other.

use super::schedule::{Note, Role};
use super::setheading;
use super::sheet::{Row, join};
use super::walk::{self, Gathered, Walker};

impl Walker<'_> {
    /// The set of the card above a row of goods, made where there is none yet.
    pub(super) fn set_of_card(&mut self, lane: usize, out: &mut Gathered) -> bool {
        let Some(card) = self.card_above.take() else { return false };
        let door = &out.schedule.openings[card];
        let (number, own, place) = (door.number.clone(), door.set.clone(), door.place.clone());
        let taken = |id: &str| out.schedule.sets.iter().any(|set| set.id == id);
        let mut id = own.clone().unwrap_or_else(|| number.clone());
        let mut title = String::new();
        // A card copied with its number: its goods may differ.
        if own.is_none() && taken(&id) {
            let free = (2..).map(|copy| format!("{number} ({copy})")).find(|id| !taken(id));
            (id, title) = (free.unwrap_or(id), format!("as door {number}"));
        }
        out.schedule.openings[card].set = Some(id.clone());
        let heading = setheading::Heading { id, title, doors: Vec::new(), not_used: None };
        let set = walk::add_set(heading, place, out);
        self.lanes[lane].open_set(set);
        true
    }

    /// `Same as door 003` where the goods of a card would stand.
    pub(super) fn as_other_card(&mut self, row: &Row, single: &str, out: &mut Gathered) -> Option<Role> {
        let card = self.card_above.filter(|card| out.schedule.openings[*card].set.is_none())?;
        setheading::same_as(single)?;
        out.schedule.openings[card].set = Some(single.to_string());
        out.schedule.notes.push(Note { text: join(&row.cells), place: self.sheet.place(row.number) });
        self.card_above = None;
        Some(Role::Continuation)
    }
}
