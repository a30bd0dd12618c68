//! Sets in blocks: a heading each, perhaps the doors they are for, and their goods below.

use crate::job::{Job, Set};
use crate::lines::Lines;
use crate::names::Names;
use crate::pen::Pen;
use crate::render::ASIDES;
use crate::schedule::{Page, listed};

/// The habits of one list of blocks.
struct Blocks<'a> {
    names: &'a Names,
    lines: &'a Lines,
    columns: bool,
    heads: &'static str,
    /// Where the doors of a set stand; empty: nowhere.
    place: &'static str,
    gap: bool,
    each: &'static str,
    by_leaf: bool,
    notes: bool,
}

/// Writes the blocks. `doors`: they list their doors; `leaves`: a schedule tells which doors are pairs, so that goods may be
/// told by the leaf; `abreast`: blocks may stand side by side.
pub fn blocks(
    pen: &mut Pen,
    job: &Job,
    (names, lines): (&Names, &Lines),
    (doors, leaves, abreast): (bool, bool, bool),
) -> Page {
    let mut page = Page { name: "Hardware Sets".to_owned(), rows: Vec::new() };
    if pen.has("title above the sets", 50) {
        page.say(pen.pick(&["HARDWARE SETS", "DOOR HARDWARE SCHEDULE", "HARDWARE SCHEDULE"]));
        page.blank();
    }
    let columns = pen.has("goods in columns", 60);
    let heads = if columns { pen.habit("headings of goods", &["none", "each", "each", "once"]) } else { "none" };
    let places = ["below", "below", "beside", "above", "behind the goods", "in the heading"];
    let place = if doors { pen.habit("doors of a set stand", &places) } else { "" };
    let gap = pen.has("blank row behind the heading", 20);
    let told = ["EACH OPENING TO HAVE:", "Each opening to receive:", "PROVIDE EACH OPENING WITH THE FOLLOWING:"];
    let each = if pen.has("each to have", 20) { pen.habit("each", &told) } else { "" };
    let by_leaf = leaves && each.is_empty() && pen.has("goods of each leaf apart", 25);
    let notes = pen.has("notes below sets", 25);
    let of = Blocks { names, lines, columns, heads, place, gap, each, by_leaf, notes };
    if heads == "once" {
        page.rows.push(lines.headings());
    }
    let all: Vec<Page> = (0..job.sets.len()).map(|at| of.block(pen, job, at)).collect();
    let beside = abreast && heads != "once" && place != "beside" && pen.has("blocks two abreast", 15);
    for pair in all.chunks(if beside { 2 } else { 1 }) {
        page.rows.extend(side_by_side(pair));
        page.blank();
    }
    if pen.has("end of section", 30) {
        page.say("END OF SECTION");
    }
    page
}

/// Blocks beside each other, an empty column between them.
fn side_by_side(pair: &[Page]) -> Vec<Vec<String>> {
    let [left, right] = pair else { return pair.iter().flat_map(|page| page.rows.clone()).collect() };
    let width = left.rows.iter().map(Vec::len).max().unwrap_or(0) + 1;
    let row = |at: usize| {
        let mut row = left.rows.get(at).cloned().unwrap_or_default();
        row.resize(width, String::new());
        row.extend(right.rows.get(at).cloned().unwrap_or_default());
        row
    };
    (0..left.rows.len().max(right.rows.len())).map(row).collect()
}

impl Blocks<'_> {
    fn block(&self, pen: &mut Pen, job: &Job, at: usize) -> Page {
        let mut page = Page::default();
        let set = &job.sets[at];
        let served = format!("{}{}", self.names.label(), listed(self.names, job, at));
        let heading = self.names.heading(set);
        let place = if set.not_used { "" } else { self.place };
        if place == "above" {
            page.say(&served);
        }
        match place {
            "in the heading" => page.say(&format!("{heading} - {served}")),
            "beside" => page.rows.push(vec![heading, String::new(), served.clone()]),
            _ => page.say(&heading),
        }
        if place == "below" {
            page.say(&served);
        }
        if self.gap {
            page.blank();
        }
        if !self.each.is_empty() && !set.not_used {
            page.say(self.each);
        }
        if self.by_leaf && set.leaves == 2 {
            let (own, other) = of_leaves(set);
            page.say("EACH LEAF TO HAVE:");
            self.goods(&mut page, &own, self.heads);
            if !other.goods.is_empty() {
                page.say("EACH PAIR TO HAVE:");
                self.goods(&mut page, &other, "none");
            }
        } else {
            self.goods(&mut page, set, self.heads);
        }
        if place == "behind the goods" {
            page.say(&served);
        }
        if self.notes && pen.chance(50) && !set.not_used {
            page.say(pen.pick(&ASIDES[..4]));
        }
        page
    }

    fn goods(&self, page: &mut Page, set: &Set, heads: &str) {
        if heads == "each" && !set.goods.is_empty() {
            page.rows.push(self.lines.headings());
        }
        for good in &set.goods {
            page.rows.push(if self.columns { self.lines.cells(good) } else { vec![self.lines.line(good)] });
        }
    }
}

/// The goods that each leaf has, and those that the pair has.
fn of_leaves(set: &Set) -> (Set, Set) {
    let (mut own, mut other) = (set.clone(), set.clone());
    let by_leaf = |category: &str| ["hinge", "exit-device", "closer", "protection-plate", "stop"].contains(&category);
    own.goods.retain(|good| by_leaf(good.of().category));
    own.goods.iter_mut().for_each(|good| good.pieces /= 2);
    other.goods.retain(|good| !by_leaf(good.of().category));
    (own, other)
}
