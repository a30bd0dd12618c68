//! Goods that stand in a table of their own under a card for one door, perhaps on a sheet for each door: they are the set
//! of that door. `Same as door 003` instead of goods gives it the set of the other.

use std::collections::BTreeMap;

use crate::finding::{Finding, Kind, Weight};

use crate::read::addenda::superseded;
use crate::read::schedule::{HardwareSet, Note, Role, loose_id};
use crate::read::sets::setheading;
use crate::read::sheet::{Row, join};
use crate::read::walk::{self, Gathered, Walker};
use crate::read::words::plain;

impl Walker<'_> {
    /// The set of the card above a row of goods, made where there is none yet.
    pub(crate) fn set_of_card(&mut self, lane: usize, out: &mut Gathered) -> bool {
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
        out.card_sets.push((set, card));
        self.lanes[lane].open_set(set);
        true
    }

    /// `Same as door 003` where the goods of a card would stand.
    pub(crate) fn as_other_card(&mut self, row: &Row, single: &str, out: &mut Gathered) -> Option<Role> {
        let card = self.card_above?;
        setheading::same_as(single)?;
        // A card that names its set says so besides.
        out.schedule.openings[card].set.get_or_insert_with(|| single.to_string());
        out.schedule.notes.push(Note { text: join(&row.cells), place: self.sheet.place(row.number) });
        self.card_above = None;
        Some(Role::Continuation)
    }
}

/// Cards of doors with one set list its goods each: once is enough where they say the same. A door whose card lists other
/// goods has what its card says, and that is asked about.
pub(crate) fn settle(out: &mut Gathered) {
    let cards = std::mem::take(&mut out.card_sets);
    let said = |set: &HardwareSet| -> Vec<String> { set.lines.iter().map(|line| plain(&line.wording.text)).collect() };
    // By the id of the set the cards that have listed goods for it: the set, its id, what it says.
    let mut known: BTreeMap<String, Vec<(String, Vec<String>, String)>> = BTreeMap::new();
    let mut gone = vec![false; out.schedule.sets.len()];
    let mut rows = Vec::new();
    for (at, opening) in cards {
        let set = &out.schedule.sets[at];
        let (lines, id) = (said(set), set.id.clone());
        let number = out.schedule.openings[opening].number.clone();
        let before = known.entry(loose_id(&id)).or_default();
        if lines.is_empty() && !before.is_empty() {
            gone[at] = true;
        } else if let Some((own, ..)) = before.iter().find(|(_, known, _)| *known == lines) {
            out.schedule.openings[opening].set = Some(own.clone());
            rows.extend(set.lines.iter().map(|line| line.place.clone()));
            gone[at] = true;
        } else if let Some((_, _, first)) = before.first() {
            let own = format!("{id} ({number})");
            let says = format!(
                "the card of door {number} lists other goods than that of door {first}, and both have set {id}; each has what its card says"
            );
            out.schedule.findings.push(
                Finding {
                    openings: vec![number.clone()],
                    set: Some(own.clone()),
                    priced_as: "what the card of the door says".into(),
                    ..Finding::new("set-differs-by-door", Kind::Question, Weight::Goods, says)
                }
                .at(set.place.clone(), id)
                .help("ask which goods the set has"),
            );
            out.schedule.openings[opening].set = Some(own.clone());
            let set = &mut out.schedule.sets[at];
            (set.id, set.title) = (own.clone(), format!("as door {number}"));
            before.push((own, lines, number));
        } else {
            before.push((id, lines, number));
        }
    }
    if gone.contains(&true) {
        superseded::take_out(&gone, out);
    }
    out.schedule.pass_rows(rows.iter(), Role::Repeat);
}
