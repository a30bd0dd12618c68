//! Turns the wording of a line into a `Reading`: category, attributes, quantity, each with its evidence.
//!
//! In: a line's wording and what stands around it. Out: `Reading`s (usually one a line); words that nobody understood
//! are kept. Knows nothing of openings or prices. To teach it a spelling, edit `catalogs/trade/words/`.
//!
//! The way of a text: `normal` makes it uniform, `token` cuts it, `claim` lets lists and grammars claim stretches of it,
//! `designation` leaves catalog numbers whole, `split` parts lines with two goods, `category` decides what the good is,
//! `assemble` applies what holds for it.

mod ambiguous;
mod amount;
mod aside;
mod assemble;
mod bare;
mod beside;
mod category;
mod claim;
mod clashes;
mod clause;
mod conditions;
mod counts;
mod designation;
mod dimensions;
mod finishes;
mod functions;
mod gauge;
mod groups;
mod heading;
mod joined;
mod labels;
mod leftover;
pub mod lexicon;
mod makers;
mod meaning;
mod measure;
mod narrow;
mod normal;
mod oneleaf;
mod perpair;
mod places;
mod quantity;
pub mod reading;
mod refusals;
mod replaced;
mod roles;
mod scope;
mod sections;
mod see;
mod sets;
mod share;
mod shares;
mod sizes;
mod some;
mod split;
mod suppliers;
mod token;
mod trailing;
mod tree;
mod turned;
mod units;
mod unparted;
mod variants;
mod walk;
mod whose;
mod wired;

use std::cell::Cell;

use crate::read::schedule::{PartRole, Schedule, Wording};
use crate::trade::attribute::{Attributes, names};
use crate::trade::category::Category;
use crate::trade::finish;
pub use lexicon::Lexicon;
use reading::{Heard, Reading, Surroundings};
use std::sync::OnceLock;

thread_local! {
    static ROOM: Cell<claim::Room> = Cell::default();
}

/// Reads one wording. Usually one reading; a line that names two goods gives two.
pub fn understand(lexicon: &Lexicon, wording: &Wording, around: &Surroundings) -> Vec<Reading> {
    let uniform = normal::normal(&wording.text);
    let roles: Vec<PartRole> = wording.parts.iter().map(|part| part.role).collect();
    let single = wording.parts.len() < 2;
    let part_of = |byte: usize| {
        if single {
            return 0;
        }
        let at = uniform.original(byte..byte + 1).start;
        let index = wording.parts.iter().position(|part| part.span.contains(&at)).unwrap_or(0);
        u16::try_from(index).unwrap_or(u16::MAX)
    };
    let mut room = ROOM.take();
    token::cut(lexicon, &uniform.text, &part_of, &mut room.tokens);
    let claims = claim::claims(lexicon, &uniform.text, room, &roles);
    let shares = shares::parted(&claims);
    let (each, counts): (Vec<split::Good>, Vec<_>) = shares.into_iter().flatten().unzip();
    let goods = if each.is_empty() { split::goods(&claims) } else { split::Goods { each, by_name: false } };
    let by_name = goods.by_name;
    let unnamed = goods.each.iter().any(|good| !good.borrowed.is_empty());
    let mut readings: Vec<Reading> = Vec::with_capacity(goods.each.len());
    for (place, good) in goods.each.into_iter().enumerate() {
        // What the line names before stands beside what it names then, as lines above do.
        let beside = readings.iter().filter_map(|reading| reading.category.found().copied());
        let near = (!readings.is_empty()).then(|| {
            let others = around.others.iter().copied().chain(beside).collect();
            Surroundings { others, ..around.clone() }
        });
        let around = near.as_ref().unwrap_or(around);
        let mut reading = assemble::reading(&scope::Scope::new(&claims, &uniform, around, wording, good));
        if let Some(count) = counts.get(place) {
            reading.quantity.amount = Some(*count);
        }
        readings.push(reading);
    }
    let colours = if readings.len() > 1 { share::colours(&claims, &uniform) } else { Vec::new() };
    share::among(&mut readings, &wording.text, (by_name, unnamed), &colours);
    oneleaf::parted(&claims, &uniform, &wording.text, &mut readings);
    ROOM.set(claim::Room::of(claims));
    readings
}

/// Reads every line of every set in its surroundings (ditto, section headings, what the set already has).
/// Indexed by set, line, reading.
pub fn understand_sets(lexicon: &Lexicon, schedule: &Schedule) -> Vec<Vec<Vec<Reading>>> {
    sets::read_sets(lexicon, schedule)
}

/// The lists inside the program, where a job gives none of its own.
pub fn embedded() -> Option<&'static Lexicon> {
    static EMBEDDED: OnceLock<Option<Lexicon>> = OnceLock::new();
    EMBEDDED.get_or_init(|| Lexicon::load(&[]).ok()).as_ref()
}

/// A phrase beside lines, as of a note.
fn beside_lines(lexicon: &Lexicon, phrase: &str) -> Vec<Reading> {
    understand(lexicon, &Wording::free(phrase), &Surroundings::default())
}

/// The look that a phrase beside lines names, and the bytes of its words.
pub fn look_of(lexicon: &Lexicon, phrase: &str) -> Option<(&'static str, std::ops::Range<usize>)> {
    let readings = beside_lines(lexicon, phrase);
    let mut looks = readings.iter().filter_map(|reading| match reading.attributes.get(&names::LOOK)? {
        Heard::Found(value, by) => Some((finish::look_of(value.as_text()?)?, by.span.clone())),
        _ => None,
    });
    looks.next()
}

/// What a phrase beside lines names: the goods with what their name says of them. `None`: it has words that the lists
/// do not know, or names no goods.
pub fn named(lexicon: &Lexicon, phrase: &str) -> Option<Vec<(Category, Attributes)>> {
    let mut goods = Vec::new();
    for reading in beside_lines(lexicon, phrase) {
        let said = || reading.attributes.iter().filter_map(|(name, heard)| Some((*name, heard.found()?.clone())));
        match &reading.category {
            Heard::Found(category, _) if reading.unread.is_empty() => goods.push((*category, said().collect())),
            Heard::Ambiguous(all) if reading.unread.is_empty() => {
                goods.extend(all.iter().map(|(category, _)| (*category, Attributes::new())));
            }
            _ => return None,
        }
    }
    Some(goods)
}
