//! The workbook for door and frame makers: a row for each opening and prep, and a drawing for each type of opening, which
//! is also written as SVG. No money is in it.

use std::collections::{BTreeMap, HashMap};

use rayon::prelude::*;
use rust_decimal::Decimal;

use super::drawing::{Drawn, Mark, scene};
use super::page::{Book, Cell, Page, Picture, Print};
use super::raster::{Stamps, png};
use super::scene::{Scene, points};
use super::style::{BAND, CELL, PROSE, QUIET, SUBTITLE, Side, TITLE, WORDS};
use super::tables::table;
use super::{leftover, xlsx};
use crate::complete::spec::{Addition, From, Spec};
use crate::finding::some_of;
use crate::price::quote::Quote;
use crate::trade::attribute::{Attributes, Value, names};
use crate::trade::category::Category;
use crate::trade::inches::Inches;

/// Drawings made for one job; the rows of the table stay whole beyond it.
const MOST: usize = 300;
/// Drawings made in one go with the same letters.
const SHARE: usize = 8;
const DRAWINGS: &str = "Drawings";
/// So many doors that are left out are all named.
const MOST_NAMED: usize = 60;

/// The workbook, and each drawing as SVG with the name of its type.
pub struct Preps {
    /// An xlsx workbook.
    pub workbook: Vec<u8>,
    /// Name of the type and SVG text.
    pub drawings: Vec<(String, String)>,
}

/// One type of opening.
struct Type {
    name: String,
    doors: Vec<usize>,
    scene: Scene,
}

/// The preps of a quote; none where nothing is prepared.
///
/// # Errors
/// What the writing or drawing library refuses; a message.
pub fn preps(quote: &Quote) -> Result<Option<Preps>, String> {
    if quote.job.preps.is_empty() {
        return Ok(None);
    }
    let types = types(quote);
    let drawings = drawings_page(quote, &types)?;
    let mut rows = rows_page(quote, &types);
    rows.print.a4 = is_a4(quote);
    let book = Book {
        title: "Preps for doors and frames".into(),
        subject: quote.terms.job.name.clone(),
        company: quote.terms.from.company.clone(),
        date: quote.date.clone(),
        names: Vec::new(),
        pages: vec![rows, drawings],
    };
    let drawings = types.iter().map(|one| (one.name.clone(), leftover::signed(&one.scene.svg()))).collect();
    Ok(Some(Preps { workbook: xlsx::print(book)?, drawings }))
}

fn is_a4(quote: &Quote) -> bool {
    quote.terms.proposal.paper.as_deref().is_some_and(|paper| paper.eq_ignore_ascii_case("a4"))
}

/// Openings that are drawn alike, in the order of their first door.
fn types(quote: &Quote) -> Vec<Type> {
    let mut marks: BTreeMap<usize, Vec<Mark>> = BTreeMap::new();
    for prep in &quote.job.preps {
        let mark = Mark { trade: prep.trade, leaf: prep.leaf, what: prep.what.clone(), above: prep.above_floor };
        let of = marks.entry(prep.opening).or_default();
        if !of.contains(&mark) {
            of.push(mark);
        }
    }
    let at = At::of(quote);
    let mut alike: BTreeMap<Drawn, Vec<usize>> = BTreeMap::new();
    for (opening, marks) in marks {
        if let Some(drawn) = drawn(quote, &at, opening, marks) {
            alike.entry(drawn).or_default().push(opening);
        }
    }
    let mut alike: Vec<(Drawn, Vec<usize>)> = alike.into_iter().collect();
    alike.sort_by_key(|(_, doors)| doors.first().copied());
    let numbered = alike.into_iter().take(MOST).enumerate();
    numbered
        .map(|(index, (drawn, doors))| {
            let name = format!("Type {}", index + 1);
            let leaves: Vec<String> = drawn.leaves.iter().map(|leaf| leaf.in_feet()).collect();
            let title = format!("{name}: {} x {}", leaves.join(" + "), drawn.height.in_feet());
            Type { scene: scene(&drawn, &title), name, doors }
        })
        .collect()
}

/// What stands at each opening: looking through a whole job for each of its doors takes seconds where there are thousands.
#[derive(Default)]
struct At<'a> {
    specs: HashMap<usize, Vec<&'a Spec>>,
    added: HashMap<usize, Vec<&'a Addition>>,
}

impl<'a> At<'a> {
    fn of(quote: &'a Quote) -> Self {
        let mut at = At::default();
        for set in &quote.job.sets {
            for opening in &set.openings {
                let specs = set.specs.iter().filter(|spec| spec.excluded.is_none());
                at.specs.entry(*opening).or_default().extend(specs);
            }
        }
        for added in &quote.job.added {
            for (opening, _) in &added.shares {
                at.added.entry(*opening).or_default().push(added);
            }
        }
        at
    }
}

/// What is drawn of an opening; none without its measures.
fn drawn(quote: &Quote, at: &At, index: usize, mut marks: Vec<Mark>) -> Option<Drawn> {
    let opening = quote.job.schedule.openings.get(index)?;
    let height = opening.height?;
    let leaves = match (opening.leaf_widths.as_slice(), opening.width) {
        ([], Some(width)) if opening.leaves > 1 => vec![Inches::new(width.decimal() / Decimal::TWO); 2],
        ([], Some(width)) => vec![width],
        (widths, _) if !widths.is_empty() => widths.iter().copied().take(2).collect(),
        _ => return None,
    };
    marks.sort();
    let specs = at.specs.get(&index).map_or(&[][..], Vec::as_slice);
    let added = at.added.get(&index).map_or(&[][..], Vec::as_slice);
    let conductors = specs
        .iter()
        .find_map(|spec| wires(&asked(spec)))
        .or_else(|| added.iter().find_map(|added| wires(&added.attributes)));
    let plates = specs
        .iter()
        .filter(|spec| spec.category == Some(Category::ProtectionPlate))
        .filter_map(|spec| spec.attributes.get(&names::HEIGHT)?.value.as_length())
        .collect();
    let guard = added.iter().any(|added| added.category == Category::FrameGuard)
        || specs.iter().any(|spec| spec.category == Some(Category::FrameGuard));
    let hand = opening.hand.clone().unwrap_or_default();
    Some(Drawn { leaves, height, hand, marks, conductors, plates, guard })
}

fn asked(spec: &Spec) -> Attributes {
    let said = spec.attributes.iter().filter(|(_, sourced)| !matches!(sourced.from, From::Catalog(_)));
    said.map(|(name, sourced)| (*name, sourced.value.clone())).collect()
}

fn wires(attributes: &Attributes) -> Option<Decimal> {
    match attributes.get(&names::CONDUCTORS)? {
        Value::Number(count) if *count > Decimal::ZERO => Some(*count),
        _ => None,
    }
}

fn rows_page(quote: &Quote, types: &[Type]) -> Page {
    let openings = &quote.job.schedule.openings;
    let of: BTreeMap<usize, usize> =
        types.iter().enumerate().flat_map(|(index, one)| one.doors.iter().map(move |door| (*door, index))).collect();
    let places = drawing_rows(quote, types);
    let mut order: Vec<usize> = (0..quote.job.preps.len()).collect();
    order.sort_by_key(|index| quote.job.preps.get(*index).map(|prep| prep.opening));
    let rows = order.into_iter().filter_map(|index| quote.job.preps.get(index)).map(|prep| {
        let opening = openings.get(prep.opening);
        let drawing = of.get(&prep.opening).and_then(|index| Some((types.get(*index)?, places.get(*index)?)));
        vec![
            Cell::text(opening.map(|opening| opening.number.clone()).unwrap_or_default(), CELL),
            Cell::text(opening.and_then(|opening| opening.set.clone()).unwrap_or_default(), CELL),
            Cell::text(prep.trade, CELL),
            Cell::text(prep.leaf, CELL),
            Cell::text(prep.what.as_str(), WORDS),
            Cell::text(
                prep.above_floor.map(|above| format!("{}\"", above.in_fractions())).unwrap_or_default(),
                CELL.side(Side::Right),
            ),
            Cell::text(prep.detail.as_str(), WORDS.indent(1)),
            drawing.map_or(
                Cell::text(if types.len() < MOST { "no size, no drawing" } else { "not drawn" }, QUIET),
                |(one, row)| Cell::link(DRAWINGS, *row, 0, one.name.as_str()),
            ),
            Cell::text(opening.and_then(|opening| opening.hand.clone()).unwrap_or_default(), CELL),
            Cell::text(opening.map(|opening| opening.rating.text.clone()).unwrap_or_default(), CELL),
        ]
    });
    let out = openings.iter().filter(|opening| opening.excluded.is_some());
    let out: Vec<String> = out.map(|opening| opening.number.clone()).collect();
    let mut says = "A row for each opening and prep. Heights are of centre lines above the finished floor. Makers' templates decide.".to_owned();
    // Who prepares doors and frames has those as well, and looks for them here.
    if !out.is_empty() {
        let named = if out.len() > MOST_NAMED { some_of(&out) } else { out.join(", ") };
        says.push_str(&format!(" Not in this list, since they are left out of the quote: {named}."));
    }
    let mut page = table(
        "Preps",
        &says,
        &[10, 7, 11, 9, 38, 12, 84, 10, 7, 10],
        &["Opening", "Set", "For the", "Leaf", "Prep", "Above floor", "Detail", "Drawing", "Hand", "Rating"],
        rows.collect(),
    );
    page.print.footer = footer(quote);
    page
}

fn footer(quote: &Quote) -> String {
    let parts = [quote.terms.job.name.as_str(), "preps for doors and frames"];
    parts.into_iter().filter(|words| !words.is_empty()).collect::<Vec<_>>().join(" · ")
}

/// Points of a row that has no height of its own.
const ROW: u32 = 15;
/// Rows above the first drawing, and above each: its title and its doors.
const ABOVE: usize = 3;

/// Rows that a picture of a height in points covers.
fn covered(height: u32) -> usize {
    usize::try_from(height / ROW + 1).unwrap_or(40)
}

/// Width and height of a type's picture in points, and whether it is smaller than its scale says: one that is higher than a
/// sheet would go on over an edge of the paper.
fn printed(one: &Type, most: u32) -> ((u32, u32), bool) {
    let size = |length: i32| u32::try_from(points(length)).unwrap_or(100).max(1);
    let (wide, high) = (size(one.scene.width), size(one.scene.height));
    if high <= most { ((wide, high), false) } else { ((wide * most / high, most), true) }
}

/// Points of a sheet that a picture may take below the two rows above it.
fn most(page: &Page) -> u32 {
    page.room().saturating_sub(3 * ROW).max(100)
}

/// The empty page of drawings, as it is printed.
fn sheet_of_drawings(quote: &Quote, types: &[Type]) -> Page {
    // One column as wide as the widest picture: a picture over several is stretched where a program makes columns wider.
    let widest = types.iter().map(|one| points(one.scene.width)).max().unwrap_or(0);
    let digits = u32::try_from(widest).unwrap_or(480).max(480) * 4 / 21 + 1;
    let mut page = Page::new(DRAWINGS, &[digits.min(250)]);
    page.print =
        Print { landscape: true, a4: is_a4(quote), last_column: Some(0), footer: footer(quote), ..Print::default() };
    page
}

/// Row of the title of each drawing.
fn drawing_rows(quote: &Quote, types: &[Type]) -> Vec<usize> {
    let most = most(&sheet_of_drawings(quote, types));
    let mut row = ABOVE + types.len() + 1;
    types
        .iter()
        .map(|one| {
            let here = row;
            row += 2 + covered(printed(one, most).0.1);
            here
        })
        .collect()
}

fn drawings_page(quote: &Quote, types: &[Type]) -> Result<Page, String> {
    let mut page = sheet_of_drawings(quote, types);
    let most = most(&page);
    page.push(vec![Cell::text("Types of openings", TITLE)]);
    page.push(vec![Cell::text(
        "Each leaf in its frame, to scale. The same drawings are in the folder beside this workbook, as SVG.",
        SUBTITLE,
    )]);
    page.skip();
    let numbers = |one: &Type| {
        let numbers = one.doors.iter().filter_map(|door| quote.job.schedule.openings.get(*door));
        numbers.map(|opening| opening.number.as_str()).collect::<Vec<_>>().join(", ")
    };
    for one in types {
        page.push(vec![Cell::text(format!("{}; openings {}", one.scene.words, numbers(one)), PROSE)]);
    }
    page.skip();
    let drawn = types.par_iter().with_min_len(SHARE).map_init(Stamps::default, |stamps, one| png(&one.scene, stamps));
    let pictures: Vec<Vec<u8>> = drawn.collect::<Result<_, _>>()?;
    for (one, bytes) in types.iter().zip(pictures) {
        let title = page.push(vec![Cell::text(one.scene.words.as_str(), BAND)]);
        page.rows[title].new_page = true;
        let (size, is_smaller) = printed(one, most);
        let note = if is_smaller { ". Made smaller to fit the sheet; the SVG is to scale" } else { "" };
        page.push(vec![Cell::text(format!("Openings: {}{note}", numbers(one)), PROSE)]);
        page.pictures.push(Picture {
            row: page.next(),
            column: 0,
            bytes,
            words: format!("{}, a leaf in its frame with the heights of its hardware", one.scene.words),
            size,
        });
        for _ in 0..covered(size.1) {
            // A height of its own: programs differ in the usual one, and the picture would be stretched with it.
            page.push_high(15, Vec::new());
        }
    }
    if types.is_empty() {
        page.push(vec![Cell::text("No opening has its measures, so none can be drawn.", PROSE)]);
    }
    page.break_for_print();
    Ok(page)
}
