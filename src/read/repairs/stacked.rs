//! Items of a printed page of which a part stands alone on a line of its own: the finish below the goods.

use super::wrapped::is_finish;
use crate::read::goods::itemtext::{begins_goods, starts_with_quantity};
use crate::read::schedule::{PartRole, Role};
use crate::read::sheet::Row;
use crate::read::tables::columns;
use crate::read::walk::{Gathered, Last, Walker};
use crate::read::words::{self, plain};

impl Walker<'_> {
    /// A code of a finish alone in its row, right below an item that has none: the item's.
    pub(crate) fn lone_finish(&mut self, lane: usize, row: &Row, out: &mut Gathered) -> Option<Role> {
        let [cell] = &row.cells[..] else { return None };
        let state = &self.lanes[lane];
        let follows = state.last == Last::Line && row.number == state.last_row + 1 && !state.noting;
        if !follows || cell.struck || !is_finish(cell.text.trim()) {
            return None;
        }
        // Numbers below each other are those of doors.
        let next = self.sheet.rows.partition_point(|other| other.number <= row.number);
        let lone = |next: &Row| next.cells.len() == 1 && next.cells[0].text.trim().len() == cell.text.trim().len();
        let figures = |next: &Row| next.joined().trim().bytes().all(|byte| byte.is_ascii_digit());
        if self.sheet.rows.get(next).is_some_and(|next| lone(next) && figures(next)) {
            return None;
        }
        let line = out.schedule.sets.get_mut(state.set?)?.lines.last_mut()?;
        let worded = line.wording.text.bytes().filter(u8::is_ascii_alphabetic).count() > 3;
        let mut words = line.wording.text.split([' ', ',', '/', '(', ')']);
        if !worded || words.any(is_finish) || line.wording.part(PartRole::Finish).is_some() {
            return None;
        }
        line.wording.push(PartRole::Finish, cell.text.trim(), None);
        self.lanes[lane].last_row = row.number;
        Some(Role::Continuation)
    }
}

/// Rows above and below in which another count alone may stand: fewer than a page has.
const NEAR: usize = 20;

impl Walker<'_> {
    /// Whether words go on with the item above them, which may be a count alone: `2 EA` above `SURFACE CLOSER`.
    pub(crate) fn goes_on_with(&self, row: &Row, folded: &str, before: &str) -> bool {
        !begins_goods(folded, before) || is_bare_count(before) || is_figures(before) && self.counts_stand_apart(row)
    }

    /// Whether numbers above goods count them here: they do so again nearby, where the number of a page stands once, or far from
    /// the next one, which is greater by one, among goods that have counts of their own.
    fn counts_stand_apart(&self, row: &Row) -> bool {
        let at = self.sheet.index_of(row.number);
        let near = at.saturating_sub(NEAR)..(at + NEAR).min(self.sheet.rows.len());
        let counts = |pair: &&[Row]| {
            let [number, goods] = pair else { return false };
            let (figures, words) = (plain(&number.joined()), plain(&goods.joined()));
            goods.number == number.number + 1 && is_figures(&figures) && begins_goods(&words, &figures)
        };
        let near = &self.sheet.rows[near];
        let numbers: Vec<(u32, u32)> = near
            .windows(2)
            .filter(counts)
            .filter_map(|pair| Some((pair[0].number, pair[0].joined().trim().parse().ok()?)))
            .collect();
        let pages = numbers.windows(2).all(|two| two[1].0 > two[0].0 + 3 && two[1].1 == two[0].1 + 1);
        let counted = |row: &&Row| {
            let folded = plain(&row.joined());
            starts_with_quantity(&folded) && words::list("hardware").find(&folded).is_some()
        };
        numbers.len() > 1 && !pages && near.iter().filter(counted).count() <= numbers.len()
    }
}

/// Whether a text is a small number and nothing else.
fn is_figures(folded: &str) -> bool {
    let bare = folded.trim();
    (1..=2).contains(&bare.len()) && bare.bytes().all(|byte| byte.is_ascii_digit())
}

/// Whether a text is a count with its unit, and nothing else: `2 EA`.
fn is_bare_count(folded: &str) -> bool {
    let Some((count, unit)) = folded.trim().split_once(' ') else { return false };
    let figures = !count.is_empty() && count.len() <= 3 && count.bytes().all(|byte| byte.is_ascii_digit());
    figures && columns::is_unit(unit.trim())
}
