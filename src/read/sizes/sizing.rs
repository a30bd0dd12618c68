//! Width, height, thickness and leaves of a door row, and what is asked about them.

use crate::finding::{Answer, Effect, Finding, Kind, Weight};
use crate::trade::inches::Inches;

use super::size::{self, Axis, Beside, Length, pair_of};
use super::{beside, leaves, sizecodes};
use crate::read::openings::doors::{self, Reader, Told};
use crate::read::repairs::damage;
use crate::read::schedule::Opening;
use crate::read::tables::headings::Meaning as M;
use crate::read::words::{self, plain};

/// The size in `3070 WD`, `PR 3070 HM` under DOOR, where no column gives one.
fn before_material(text: &str) -> Option<&str> {
    let (size, material) = text.trim().rsplit_once(' ')?;
    let figures = size.split(' ').next_back()?;
    let code = figures.len() == 4 && figures.bytes().all(|sign| sign.is_ascii_digit());
    (code && words::leaf_material(material).is_some() && size::parse_size(size).is_some()).then_some(size)
}

/// Width, height, thickness and leaves of the row.
pub(crate) fn sizes(reader: &Reader<'_>, opening: &mut Opening, findings: &mut Vec<Finding>) {
    let mut leaves: Option<u32> = None;
    let mut second: Option<Inches> = None;
    let mut leaf_given = false;
    let mut beside: Option<(Beside, String)> = None;
    let mut size_text = damage::mended(reader, M::Size, findings);
    let unsized_row =
        [M::Size, M::Width, M::LeafWidth, M::Height].iter().all(|meaning| reader.text(*meaning).is_empty());
    if unsized_row && let Some(size) = before_material(reader.text(M::DoorMaterial)) {
        size_text = size.to_string();
    }
    if !size_text.is_empty() {
        match size::parse_size(&size_text) {
            Some(read) => {
                (opening.width, opening.height, opening.thickness) = (read.width, read.height, read.thickness);
                (leaves, second) = (read.leaves, read.second);
                beside = read.beside.map(|beside| (beside, size_text.clone()));
                if let Some(other) = read.other {
                    ambiguous(reader, (M::Size, &size_text), opening, (other, read.by_inches), findings);
                }
            }
            None => {
                leaves = leaves::told(&size_text).filter(|leaves| *leaves == 2);
                unreadable(reader, opening, M::Size, &size_text, findings);
            }
        }
    }
    let (width_text, leaf_text) =
        (damage::mended(reader, M::Width, findings), damage::mended(reader, M::LeafWidth, findings));
    let height_text = damage::mended(reader, M::Height, findings);
    leaf_given |= width_text.is_empty() && !leaf_text.is_empty();
    let width_meaning = if width_text.is_empty() { M::LeafWidth } else { M::Width };
    let width_text = if width_text.is_empty() { leaf_text } else { width_text };
    let counted = if height_text.is_empty() { None } else { leaves::counted_width(&width_text) };
    let width_text = counted.unwrap_or(width_text);
    let high = size::parse_length(&height_text, Axis::Height);
    let whole = if height_text.is_empty() { size::parse_size(&width_text) } else { None };
    if let Some(read) = whole {
        // A whole size in the width column.
        (opening.width, opening.height) = (read.width, read.height);
        opening.thickness = opening.thickness.or(read.thickness);
        (leaves, second) = (leaves.or(read.leaves), second.or(read.second));
        beside = beside.or(read.beside.map(|beside| (beside, width_text.clone())));
        if let Some(other) = read.other {
            ambiguous(reader, (width_meaning, &width_text), opening, (other, read.by_inches), findings);
        }
    } else if !width_text.is_empty() {
        let two = size::parse_two_widths(&width_text);
        let wide = two.map(|two| two.0).or_else(|| size::parse_length(&width_text, Axis::Width));
        let both = |wide: Length| match high {
            Some(high) => size::settle_both(wide, high).map(|both| both.0),
            None => size::settle(wide, Axis::Width),
        };
        match wide.and_then(both) {
            Some(width) => opening.width = Some(width),
            None => match size::parse_size(&width_text) {
                Some(read) => (opening.width, opening.height) = (read.width, read.height),
                None => unreadable(reader, opening, width_meaning, &width_text, findings),
            },
        }
        second = second.or_else(|| two.and_then(|two| both(two.1)));
        leaves = leaves.or(leaves::told(&width_text).filter(|leaves| *leaves == 2));
        // A column of leaves gives leaves.
        let of_leaf = width_meaning == M::LeafWidth;
        if !of_leaf
            && leaves.is_none()
            && second.is_some()
            && second != opening.width
            && width_text.contains(['+', '&'])
        {
            beside = Some((Beside::Width, width_text.clone()));
        }
    }
    if !height_text.is_empty() {
        match high.and_then(|high| size::settle(high, Axis::Height)) {
            Some(height) => opening.height = Some(height),
            None => unreadable(reader, opening, M::Height, &height_text, findings),
        }
    }
    let thickness_text = damage::mended(reader, M::Thickness, findings);
    if let Some(thickness) =
        size::parse_length(&thickness_text, Axis::Thickness).and_then(|length| size::settle(length, Axis::Thickness))
    {
        if thickness < Inches::whole(1) || thickness > Inches::whole(4) {
            let says = format!("a door {thickness_text} thick is improbable; it was left out");
            let help = "check the thickness; 1-3/4\" is usual, and its 1 may be lost";
            let finding = Finding::new("improbable-size", Kind::Question, Weight::Goods, says).help(help);
            let column = reader.table.column(M::Thickness).map_or(0, |column| column.index);
            findings.push(
                Finding { openings: vec![opening.number.clone()], ..finding }
                    .at(reader.sheet.at(reader.row.number, column), thickness_text.clone()),
            );
        } else {
            opening.thickness = Some(thickness);
        }
    } else if !thickness_text.is_empty() && !words::list("no-set").is(&plain(&thickness_text)) {
        unreadable(reader, opening, M::Thickness, &thickness_text, findings);
    }
    let second_text = damage::mended(reader, M::SecondWidth, findings);
    // Exports of drawing programs write 0 for a leaf that is not there.
    let none = second_text.is_empty() || words::list("no-set").is(&plain(&second_text)) || is_zero(&second_text);
    if !none {
        let wide = size::parse_length(&second_text, Axis::Width);
        let settled = wide.and_then(|wide| match high {
            Some(high) => size::settle_both(wide, high).map(|both| both.0),
            None => size::settle(wide, Axis::Width),
        });
        match settled {
            Some(width) => second = second.or(Some(width)),
            None => unreadable(reader, opening, M::SecondWidth, &second_text, findings),
        }
    }
    let worded = leaves_by_words(reader, opening);
    if let Some((beside, text)) = beside {
        beside::settle(reader, opening, (beside, &text), worded, (&mut leaves, &mut second), findings);
    }
    if second.is_none() && leaves::and_a_half(reader.text(M::Leaves), &opening.remarks) {
        leaves = Some(2);
        second = smaller_leaf(reader, opening, findings);
    }
    leaves = leaves.or(worded).or(second.map(|_| 2));
    if leaves.is_none() && second.is_none() {
        exchanged(reader, opening, findings);
    }
    improbable(reader, opening, findings);
    pairs(reader, opening, leaves, second, leaf_given, findings);
    if leaves.is_none() && opening.leaves == 1 && beside::says_two(&plain(&opening.remarks)) {
        findings.push(beside::of_a_pair(reader, opening));
    }
}

/// The smaller leaf of `1.5 (826+426)`: its width stands beside that of the other, or is asked.
fn smaller_leaf(reader: &Reader<'_>, opening: &mut Opening, findings: &mut Vec<Finding>) -> Option<Inches> {
    let text = reader.text(M::Leaves);
    let widths = text.split_once('(').and_then(|(_, inside)| size::parse_two_widths(inside.trim_end_matches(')')));
    // In which measure they are is told by the height beside them.
    let high = size::parse_length(reader.text(M::Height), Axis::Height);
    let one = |wide| match high {
        Some(high) => size::settle_both(wide, high).map(|both| both.0),
        None => size::settle(wide, Axis::Width),
    };
    let both = widths.and_then(|(first, second)| Some((one(first)?, one(second)?)));
    if let Some((first, second)) = both
        && opening.width.is_none_or(|width| width == first || width == first + second)
    {
        opening.width = Some(first);
        return Some(second);
    }
    let says =
        "the door has a leaf and a half, and nothing gives the width of the smaller leaf; two equal leaves were read";
    let finding = Finding {
        openings: vec![opening.number.clone()],
        priced_as: "two equal leaves".into(),
        ..Finding::new("smaller-leaf", Kind::Question, Weight::Goods, says)
    };
    let place = reader.sheet.place(reader.row.number);
    findings.push(finding.at(place, reader.row.joined()).help("ask for the widths of both leaves"));
    None
}

/// `0`, `0.0`, `0 mm`.
fn is_zero(text: &str) -> bool {
    let figures = text.bytes().filter(|byte| byte.is_ascii_digit());
    figures.clone().next().is_some() && figures.clone().all(|figure| figure == b'0')
}

fn leaves_by_words(reader: &Reader<'_>, opening: &Opening) -> Option<u32> {
    let column = plain(reader.text(M::Leaves));
    if !column.is_empty() {
        match column.as_str() {
            "2" | "2.0" => return Some(2),
            "1" | "1.0" => return Some(1),
            yes if words::list("truthy").is(yes) => return Some(2),
            no if words::list("falsy").is(no) => return Some(1),
            _ => {}
        }
    }
    // `Double-Flush: DT20_1810x2185` says pair in a type name.
    let kind = reader.text(M::DoorType).replace(['-', ':', '_'], " ");
    // `2 PAIR` among the counts of openings.
    let texts = [column.as_str(), &kind, reader.text(M::Hand), reader.text(M::Count), &opening.remarks];
    texts.into_iter().find_map(|text| Told::of(text).leaves)
}

fn pairs(
    reader: &Reader<'_>,
    opening: &mut Opening,
    leaves: Option<u32>,
    second: Option<Inches>,
    leaf_given: bool,
    findings: &mut Vec<Finding>,
) {
    let place = reader.sheet.place(reader.row.number);
    if let (Some(first), Some(second)) = (opening.width, second) {
        opening.leaves = 2;
        opening.leaf_widths = vec![first, second];
        opening.width = Some(first + second);
        return;
    }
    let Some(width) = opening.width else {
        opening.leaves = leaves.unwrap_or(1);
        return;
    };
    let cells = [M::DoorType, M::Hand, M::DoorMaterial].map(|meaning| reader.cell(meaning));
    let texts = cells.iter().flatten().map(|cell| cell.text.as_str()).chain([&*opening.remarks, &*opening.room]);
    let other_door =
        || doors::moves(reader.text(M::DoorType)) || texts.clone().any(|text| Told::of(text).not_a_swing_pair);
    match leaves {
        Some(2) if leaf_given => {
            (opening.leaves, opening.leaf_widths, opening.width) = (2, vec![width, width], Some(width * 2));
        }
        Some(2) => {
            let pair = pair_of(width);
            if pair.doubtful {
                findings.push(
                    Finding {
                        openings: vec![opening.number.clone()],
                        answers: vec![
                            Answer::new("two equal leaves", Effect::Nothing),
                            Answer::new(
                                "3-0 active and the rest inactive",
                                Effect::Size {
                                    width: pair.opening,
                                    height: opening.height,
                                    leaf_widths: vec![Inches::feet(3, 0), pair.opening - Inches::feet(3, 0)],
                                },
                            ),
                        ],
                        priced_as: "two equal leaves".into(),
                        ..Finding::new(
                            "pair-of-5-0",
                            Kind::Question,
                            Weight::Goods,
                            format!(
                                "a pair {} wide may be two equal leaves or a 3-0 and a smaller one",
                                width.in_feet()
                            ),
                        )
                    }
                    .at(place, reader.row.joined())
                    .help("ask for the widths of both leaves"),
                );
            }
            (opening.leaves, opening.leaf_widths, opening.width) = (2, pair.leaves, Some(pair.opening));
        }
        Some(_) => opening.leaves = 1,
        None if width >= Inches::feet(5, 0) && width <= Inches::feet(10, 0) && !other_door() && !leaf_given => {
            let pair = pair_of(width);
            // 91 for 915: nobody writes a pair of odd inches in bare figures.
            let written = reader.text(M::Width);
            if written.len() == 2 && written.parse::<u32>().is_ok_and(|inches| inches % 2 == 1) {
                findings.push(
                    Finding {
                        openings: vec![opening.number.clone()],
                        ..Finding::new(
                            "improbable-size",
                            Kind::Question,
                            Weight::Goods,
                            format!("a door {written} in wide is improbable; the width was left out"),
                        )
                    }
                    .at(place, reader.row.joined())
                    .help("check the width; a digit may be missing"),
                );
                opening.width = None;
                return;
            }
            findings.push(
                Finding {
                    openings: vec![opening.number.clone()],
                    ..Finding::new(
                        "pair-by-width",
                        Kind::Assumption,
                        Weight::Goods,
                        format!("nothing says pair, but {} is too wide for one leaf; read as a pair", width.in_feet()),
                    )
                }
                .at(place, reader.row.joined())
                .help("mark the row PR or give the leaf width"),
            );
            (opening.leaves, opening.leaf_widths) = (2, pair.leaves);
        }
        None => {}
    }
}

/// A row with `7'-0"` under WIDTH and `3'-0"` under HEIGHT: no door is so low, and exchanged they are one.
fn exchanged(reader: &Reader<'_>, opening: &mut Opening, findings: &mut Vec<Finding>) {
    let (Some(wide), Some(high)) = (opening.width, opening.height) else { return };
    let is_door = (Inches::whole(78)..=Inches::whole(96)).contains(&wide)
        && (Inches::whole(18)..Inches::whole(48)).contains(&high);
    if !is_door || opening.excluded.is_some() {
        return;
    }
    (opening.width, opening.height) = (Some(high), Some(wide));
    let turned = format!("exchanged: {} x {}", high.in_feet(), wide.in_feet());
    let written = Effect::Size { width: wide, height: Some(high), leaf_widths: Vec::new() };
    let says = format!("{} wide and {} high is no door; the two were exchanged", wide.in_feet(), high.in_feet());
    findings.push(
        Finding {
            openings: vec![opening.number.clone()],
            priced_as: turned.clone(),
            answers: vec![Answer::new(turned, Effect::Nothing), Answer::new("as written", written)],
            ..Finding::new("improbable-size", Kind::Question, Weight::Goods, says)
        }
        .at(reader.sheet.place(reader.row.number), reader.row.joined())
        .help("check the width and the height in the row"),
    );
}

fn improbable(reader: &Reader<'_>, opening: &mut Opening, findings: &mut Vec<Finding>) {
    let place = reader.sheet.place(reader.row.number);
    let mut tell = |what: &str, value: Inches| {
        findings.push(
            Finding {
                openings: vec![opening.number.clone()],
                ..Finding::new(
                    "improbable-size",
                    Kind::Question,
                    Weight::Goods,
                    format!("a door {what} of {value} in is improbable; it was left out"),
                )
            }
            .at(place.clone(), reader.row.joined())
            .help("check the size; a digit may be missing"),
        );
    };
    if let Some(width) = opening.width
        && (width < Inches::whole(12) || width > Inches::whole(360))
    {
        tell("width", width);
        opening.width = None;
    }
    if let Some(height) = opening.height
        && (height < Inches::whole(48) || height > Inches::whole(240))
    {
        tell("height", height);
        opening.height = None;
    }
}

fn unreadable(reader: &Reader<'_>, opening: &Opening, meaning: M, text: &str, findings: &mut Vec<Finding>) {
    let folded = plain(text);
    if words::list("no-set").is(&folded) || words::list("excluded").find(&folded).is_some() {
        return;
    }
    let place = reader.table.column(meaning).map_or_else(
        || reader.sheet.place(reader.row.number),
        |column| reader.sheet.at(reader.row.number, column.index),
    );
    findings.push(
        Finding {
            openings: vec![opening.number.clone()],
            ..Finding::new(
                "unreadable-size",
                Kind::Question,
                Weight::Goods,
                format!("\"{text}\" in the column {} is not a size that can be read; it was left out", meaning.name()),
            )
        }
        .at(place, text)
        .help("write the size as 3'-0\" x 7'-0\" or 3070"),
    );
}

fn ambiguous(
    reader: &Reader<'_>,
    (meaning, text): (M, &str),
    opening: &Opening,
    (other, by_inches): ((Inches, Inches), bool),
    findings: &mut Vec<Finding>,
) {
    let taken = (opening.width.unwrap_or_default(), opening.height.unwrap_or_default());
    let feet = |(width, height): (Inches, Inches)| format!("{} x {}", width.in_feet(), height.in_feet());
    let inches = |(width, height): (Inches, Inches)| format!("{width} x {height} in");
    let (as_read, as_other) = if by_inches { (inches(taken), feet(other)) } else { (feet(taken), inches(other)) };
    let column = reader.table.column(meaning).map_or(0, |column| column.index);
    if !by_inches && sizecodes::is_of_feet(reader, column) {
        return;
    }
    findings.push(
        Finding {
            openings: vec![opening.number.clone()],
            answers: vec![
                Answer::new(as_read.clone(), Effect::Nothing),
                Answer::new(
                    as_other.clone(),
                    Effect::Size { width: other.0, height: Some(other.1), leaf_widths: Vec::new() },
                ),
            ],
            priced_as: as_read.clone(),
            ..Finding::new(
                "ambiguous-size",
                Kind::Question,
                Weight::Goods,
                format!("the size \"{text}\" may be {as_read} or {as_other}"),
            )
        }
        .at(reader.sheet.at(reader.row.number, column), text)
        .help(if by_inches {
            "ask which is meant; it was read as inches"
        } else {
            "ask which is meant; it was read as feet and inches"
        }),
    );
}

/// What is said of the size of a door, which nobody need look at where the door is not ours.
pub(crate) const OF_SIZES: [&str; 3] = ["improbable-size", "pair-by-width", "ambiguous-size"];
