//! Columns under headings that are not known, by what their cells look like: facts, and the numbers of doors.

use std::collections::{BTreeMap, BTreeSet};

use crate::trade::rating::Rating;

use super::columns::{self, TAKEN, UNKNOWN, name_goods, share};
use super::headings::{self, Heard, Meaning as M};
use super::table::{Column, HeardColumn};
use super::{headingwords, headless, loosely, twotongues};
use crate::read::openings::doorlist;
use crate::read::sheet::Cell;
use crate::read::sizes::length::{self, Axis, Length};
use crate::read::sizes::size;
use crate::read::words::{self, plain};

/// What was heard in a heading that is only like a known one, unless no cell below it looks like that.
pub(crate) fn unless_denied(
    path: &[String],
    heard: Option<(Heard, String)>,
    cells: Option<&Vec<&Cell>>,
) -> Option<(Heard, String)> {
    let Some((Heard::One(meaning), _)) = heard else { return heard };
    let [own] = path else { return heard };
    let denied = || cells.is_some_and(|cells| cells.len() >= 3) && share(cells, meaning) == Some(0);
    // What half of a heading says may be about another thing: `DOOR / UNDERCUT`.
    let surely = || headings::exact(&headings::key(own)).is_some() && !twotongues::is_half(own);
    if !surely() && denied() { None } else { heard }
}

/// Headings whose meaning the others and the cells decide: `MATERIAL` over goods, `COUNT` where no other column says how
/// many, `DOORS` over one number a row, `HARDWARE TYPE` over the ids of sets.
pub(crate) fn in_company(heard: &[HeardColumn], sample: &BTreeMap<usize, Vec<&Cell>>) -> Vec<HeardColumn> {
    let mut out = heard.to_vec();
    let says = |out: &[HeardColumn], of: &[Heard]| {
        out.iter().any(|(_, _, heard)| heard.as_ref().is_some_and(|(heard, _)| of.contains(heard)))
    };
    let one = Heard::One;
    ratings(&mut out, sample);
    // `HARDWARE PER LEAF` over 2, 1, 3 beside the sets: numbers are no remarks.
    if says(&out, &[one(M::Set)]) {
        let small = |cell: &&Cell| cell.text.len() <= 2 && cell.text.bytes().all(|byte| byte.is_ascii_digit());
        let numbers =
            |index: &usize| sample.get(index).is_some_and(|cells| cells.len() >= 3 && cells.iter().all(small));
        // `HDW NOTE` over 6, 2: numbers of notes.
        let unsure = |heading: &str| {
            let key = headings::key(heading);
            let remarks = headingwords::spelled_out(&key).unwrap_or_default().split(' ').any(|word| word == "REMARKS");
            headings::exact(&key).is_none() && !remarks
        };
        for (index, heading, heard) in &mut out {
            let loose =
                matches!(heard, Some((Heard::SetOrDescription | Heard::RemarksOrKind | Heard::One(M::Remarks), _)));
            if loose && unsure(heading) && numbers(index) {
                *heard = None;
            }
        }
    }
    loosely::named(&mut out, sample);
    let sized = says(&out, &[one(M::Size), one(M::Width), one(M::LeafWidth)]);
    // `DIM` beside `SIZE` is of the rough opening or the frame.
    let whole = |heard: &Option<(Heard, String)>| matches!(heard, Some((Heard::One(M::Size), _)));
    if out.iter().filter(|(_, _, heard)| whole(heard)).count() > 1
        && out
            .iter()
            .any(|(_, heading, heard)| whole(heard) && !words::list("dimension-heading").is(&headings::key(heading)))
    {
        let dims = out
            .iter_mut()
            .filter(|(_, heading, heard)| whole(heard) && words::list("dimension-heading").is(&headings::key(heading)));
        dims.for_each(|(_, _, heard)| *heard = None);
    }
    // A size beside goods is theirs; beside `GUESTROOM ENTRY` it is of the doors.
    let goods = |(index, _, heard): &HeardColumn| {
        matches!(heard, Some((Heard::One(M::Description), _))) && name_goods(sample.get(index))
    };
    let doors = sized && !out.iter().any(goods) || says(&out, &[one(M::DoorNumber)]);
    let counts = [one(M::Quantity), one(M::Unit), one(M::Count), Heard::NumberOrQuantity];
    let several = out.iter().filter(|(_, _, heard)| matches!(heard, Some((Heard::One(M::Set), _)))).count() > 1;
    if !doors
        && says(&out, &counts)
        && !says(&out, &[one(M::Description), Heard::SetOrDescription, one(M::Substitute), one(M::Kind)])
        && let Some((_, heading, heard)) = out.iter_mut().find(|(index, _, heard)| {
            let open = matches!(heard, None | Some((Heard::Material | Heard::Type | Heard::One(M::Other), _)));
            // `SET | QTY | UNIT | HDWE`: of two columns of sets the one that names goods.
            let set = several && matches!(heard, Some((Heard::One(M::Set), _)));
            (open || set) && name_goods(sample.get(index))
        })
    {
        *heard = Some((one(M::Description), format!("heading \"{heading}\", over cells that name goods")));
    }
    if !doors && says(&out, &[one(M::Description)]) && says(&out, &counts) && !says(&out, &[one(M::Set)]) {
        ids_in_runs(&mut out, sample);
    }
    if says(&out, &[one(M::Description)]) && !says(&out, &[one(M::Unit)]) {
        take(&mut out, M::Count, M::Unit, sample, "over units");
    }
    if says(&out, &[one(M::Description)]) && !doors && !says(&out, &[one(M::Quantity), Heard::NumberOrQuantity]) {
        take(&mut out, M::Count, M::Quantity, sample, "no other column says how many");
    }
    if says(&out, &[one(M::Description)]) && !doors && !says(&out, &[one(M::Quantity), Heard::NumberOrQuantity]) {
        amounts(&mut out, sample);
    }
    if sized && !says(&out, &[one(M::DoorNumber), Heard::NumberOrQuantity, one(M::Description)]) {
        take(&mut out, M::DoorsServed, M::DoorNumber, sample, "over one door number a row");
        one_a_row(&mut out, sample);
    }
    if doors && !says(&out, &[one(M::Set), Heard::SetOrDescription]) {
        let of_hardware = |heading: &str| {
            let key = headings::key(heading);
            headingwords::spelled_out(&key).unwrap_or(key).split(' ').any(|word| word == "HARDWARE")
        };
        let ids = |index: &usize| {
            let cells = sample.get(index).map_or(&[][..], Vec::as_slice);
            !cells.is_empty() && cells.iter().all(|cell| headless::is_id(&cell.text))
        };
        let found = out.iter_mut().find(|(index, heading, heard)| {
            matches!(heard, Some((Heard::One(M::Description | M::Code), _))) && of_hardware(heading) && ids(index)
        });
        if let Some((_, heading, heard)) = found {
            *heard = Some((one(M::Set), format!("heading \"{heading}\", over short ids")));
        }
    }
    out
}

/// `F.R.` over `90 MIN`, `N.R.` is of the fire, and not of what frames are made of.
fn ratings(heard: &mut [HeardColumn], sample: &BTreeMap<usize, Vec<&Cell>>) {
    let is = |found: &Option<(Heard, String)>, of: &[M]| matches!(found, Some((Heard::One(meaning), _)) if of.contains(meaning));
    if heard.iter().any(|(_, _, found)| is(found, &[M::Rating])) {
        return;
    }
    let rated = |index: &usize| {
        let cells = sample.get(index).map_or(&[][..], Vec::as_slice);
        // A, B and C are labels of old, and elevations of frames: a time has a figure.
        let figure = |cell: &Cell| cell.text.bytes().any(|byte| byte.is_ascii_digit());
        let minutes = |cell: &Cell| Rating::parse(&cell.text).minutes;
        // So are 1, 2 and 3: hours have their unit, minutes two figures.
        let bare = |cell: &Cell| cell.text.trim().len() < 2;
        let timed =
            |cell: &Cell| figure(cell) && !bare(cell) && Rating::looks_like(&cell.text) && minutes(cell) > Some(0);
        let idle = |cell: &Cell| {
            let none = !figure(cell) && Rating::looks_like(&cell.text) && minutes(cell) == Some(0);
            none || words::list("no-set").is(&plain(&cell.text))
        };
        cells.iter().all(|cell| idle(cell) || timed(cell)) && cells.iter().any(|cell| timed(cell))
    };
    let short = |heading: &str| words::list("frame-or-fire-heading").is(&headings::key(heading));
    if let Some((_, heading, found)) = heard
        .iter_mut()
        .find(|(index, heading, found)| is(found, &[M::FrameMaterial]) && short(heading) && rated(index))
    {
        *found = Some((Heard::One(M::Rating), format!("heading \"{heading}\", over fire ratings")));
        return;
    }
    // Over 1, 2 or A, B it may be hours, labels or elevations, and is never what frames are made of: which it is, is asked.
    let signs = |index: &usize| {
        sample.get(index).is_some_and(|cells| !cells.is_empty() && cells.iter().all(|cell| is_sign(&cell.text)))
    };
    let unsure = heard
        .iter_mut()
        .find(|(index, heading, found)| is(found, &[M::FrameMaterial]) && short(heading) && signs(index));
    if let Some((.., found)) = unsure {
        *found = None;
    }
}

/// `1`, `2`, `A`: a sign that may be hours, a label of old or an elevation.
pub(crate) fn is_sign(text: &str) -> bool {
    matches!(text.trim().as_bytes(), [b'1'..=b'4' | b'A'..=b'E'])
}

/// Whether the cells are no mere figures: most have a letter.
pub(crate) fn lettered(cells: Option<&Vec<&Cell>>) -> bool {
    cells.is_some_and(|cells| {
        let letters = cells.iter().filter(|cell| cell.text.bytes().any(|byte| byte.is_ascii_alphabetic())).count();
        letters * 2 > cells.len()
    })
}

/// Gives the only column of one meaning another that its cells look like.
fn take(out: &mut [HeardColumn], from: M, to: M, sample: &BTreeMap<usize, Vec<&Cell>>, why: &str) {
    let is = |column: &&mut HeardColumn| matches!(&column.2, Some((Heard::One(meaning), _)) if *meaning == from);
    let mut found: Vec<&mut HeardColumn> = out.iter_mut().filter(is).collect();
    if let [(index, heading, heard)] = &mut found[..]
        && share(sample.get(index), to).is_some_and(|share| share >= 90)
    {
        *heard = Some((Heard::One(to), format!("heading \"{heading}\", {why}")));
    }
}

/// `ID` over A, A, B, B, B beside goods: each id in the rows of one run, which are those of its set.
fn ids_in_runs(out: &mut [HeardColumn], sample: &BTreeMap<usize, Vec<&Cell>>) {
    let Some((index, heading, heard)) = out.first_mut() else { return };
    let cells = sample.get(index).map_or(&[][..], Vec::as_slice);
    let mut runs: Vec<&str> = cells.iter().map(|cell| cell.text.trim()).collect();
    runs.dedup();
    let distinct: BTreeSet<&str> = runs.iter().copied().collect();
    let in_runs = runs.len() == distinct.len() && runs.len() > 1 && cells.len() >= runs.len() * 2;
    if words::list("heading-of-ids").is(&headings::key(heading)) && in_runs && runs.iter().all(|id| headless::is_id(id))
    {
        *heard = Some((
            Heard::One(M::Set),
            format!("heading \"{heading}\", over ids that stand once each in a run of rows"),
        ));
    }
}

/// `DOOR NOS.` beside sizes, over one number a row until other rows begin: no list of doors stands in it.
fn one_a_row(out: &mut [HeardColumn], sample: &BTreeMap<usize, Vec<&Cell>>) {
    let served = |column: &&mut HeardColumn| matches!(column.2, Some((Heard::One(M::DoorsServed), _)));
    let Some((index, heading, heard)) = out.iter_mut().find(served) else { return };
    let cells = sample.get(index).map_or(&[][..], Vec::as_slice);
    let door = |text: &str| doorlist::looks_like(text) && !text.trim().contains([' ', ',', ';', '&', '\n']);
    let lead = cells.iter().take_while(|cell| door(&cell.text)).count();
    let lists = cells.iter().any(|cell| doorlist::parse(&cell.text).is_some_and(|entries| entries.len() > 1));
    if lead >= 2 && !lists {
        *heard = Some((Heard::One(M::DoorNumber), format!("heading \"{heading}\", over one door number a row")));
    }
}

/// `AMOUNT` over small counts, `3` and `1-1/2 PR`, says how many goods there are, and not what they cost.
fn amounts(out: &mut [HeardColumn], sample: &BTreeMap<usize, Vec<&Cell>>) {
    let counts = |cell: &&Cell| {
        let folded = plain(&cell.text);
        let begins = folded.find(|sign: char| sign.is_ascii_alphabetic()).unwrap_or(folded.len());
        let (number, unit) = folded.split_at(begins);
        let whole = number.split(['-', ' ', '/']).next().and_then(|whole| whole.parse::<u32>().ok());
        whole.is_some_and(|whole| whole <= MOST_GOODS) && (unit.is_empty() || columns::is_unit(unit))
    };
    let priced = |column: &&mut HeardColumn| matches!(column.2, Some((Heard::One(M::Price), _)));
    let mut found: Vec<&mut HeardColumn> = out.iter_mut().filter(priced).collect();
    if let [(index, heading, heard)] = &mut found[..]
        && words::list("price-or-quantity").is(&headings::key(heading))
        && sample.get(index).is_some_and(|cells| cells.len() >= 2 && cells.iter().all(counts))
    {
        *heard = Some((Heard::One(M::Quantity), format!("heading \"{heading}\", over small counts")));
    }
}

/// An opening has no more of a good.
const MOST_GOODS: u32 = 24;

/// Columns without a known heading, by what their cells look like.
pub(crate) fn facts(columns: &mut [Column], sample: &BTreeMap<usize, Vec<&Cell>>, items: bool) {
    let wanted: &[M] = if items { &[M::Quantity, M::Unit] } else { &[M::Size, M::Rating, M::DoorMaterial] };
    for meaning in wanted {
        if columns.iter().any(|column| column.meaning == *meaning) {
            continue;
        }
        let best = columns.iter_mut().filter(|column| is_free(column)).find(|column| {
            let cells = sample.get(&column.index).map_or(&[][..], Vec::as_slice);
            // 1, 2, 3 are hours only under a heading that says so.
            let timed = || cells.iter().all(|cell| headless::is_rating(&cell.text));
            cells.len() >= 3
                && (*meaning != M::Rating || timed())
                && share(sample.get(&column.index), *meaning).is_some_and(|share| share >= 90)
        });
        if let Some(column) = best {
            column.meaning = *meaning;
            column.why = "by its cells, the heading is not known".into();
        }
    }
}

/// `DOOR TYPE` over WD, HM and AL and nothing else is of what the door is made, where no column says that; the same of frames.
/// `DOOR/FRAME` over `WD/HM` is both.
pub(crate) fn made_types(columns: &mut [Column], sample: &BTreeMap<usize, Vec<&Cell>>) {
    let has = |columns: &[Column], of: &[M]| columns.iter().any(|column| of.contains(&column.meaning));
    if !has(columns, &[M::DoorNumber]) || !has(columns, &[M::Size, M::Width, M::LeafWidth]) {
        return;
    }
    let idle = |cell: &&&Cell| words::list("no-set").is(&plain(&cell.text));
    let cells = |column: &Column| sample.get(&column.index).map_or(&[][..], Vec::as_slice);
    for (kind, material) in [(M::DoorType, M::DoorMaterial), (M::FrameType, M::FrameMaterial)] {
        if has(columns, &[material]) {
            continue;
        }
        // A, F and HM-1 are names of types.
        let made = |cell: &&&Cell| {
            let named = cell.text.trim().len() < 2 || cell.text.bytes().any(|byte| byte.is_ascii_digit());
            !named && words::leaf_material(&cell.text).is_some_and(|of| of != "none")
        };
        // `Sectional OH` among them is how that one moves.
        let moves = |cell: &&&Cell| crate::read::openings::doors::moves(&cell.text);
        let all_made = |column: &&mut Column| {
            let said: Vec<&&Cell> = cells(column).iter().filter(|cell| !idle(cell) && !moves(cell)).collect();
            column.meaning == kind && said.len() >= 2 && said.iter().all(made)
        };
        if let Some(column) = columns.iter_mut().find(all_made) {
            column.meaning = material;
            column.why.push_str("; its cells are materials");
        }
    }
    let of_doors = [M::DoorMaterial, M::FrameMaterial, M::DoorType];
    let both = |column: &&mut Column| {
        let told = cells(column)
            .iter()
            .filter(|cell| crate::read::openings::doors::door_and_frame(&cell.text).is_some())
            .count();
        is_free(column) && told >= 2 && told * 10 >= cells(column).len() * 7
    };
    if !has(columns, &of_doors)
        && let Some(column) = columns.iter_mut().find(both)
    {
        column.meaning = M::DoorMaterial;
        column.why = "by its cells, the heading is not known".into();
    }
}

/// Whether the heading leaves open what a column holds: it is not known, or says what the heading of another says.
fn is_free(column: &Column) -> bool {
    column.meaning == M::Other && (column.why == UNKNOWN || column.why.ends_with(TAKEN))
}

/// Door numbers under a heading that is not known: the first column before any measure whose cells all look like door
/// numbers and all differ, beside the sizes and another fact that doors alone have.
pub(crate) fn doors(columns: &mut [Column], sample: &BTreeMap<usize, Vec<&Cell>>) {
    let has = |of: &[M]| columns.iter().any(|column| of.contains(&column.meaning));
    let facts = [M::DoorMaterial, M::FrameMaterial, M::Rating, M::Set, M::Hand, M::Thickness];
    if has(&[M::DoorNumber, M::RoomNumber, M::DoorType, M::Count, M::Code])
        || !has(&[M::Size, M::Width, M::LeafWidth])
        || !has(&facts)
    {
        return;
    }
    let measures = [M::Size, M::Width, M::LeafWidth, M::Height, M::Set];
    let first = columns.iter().position(|column| measures.contains(&column.meaning)).unwrap_or(0);
    let numbers = |column: &&mut Column| {
        let cells = sample.get(&column.index).map_or(&[][..], Vec::as_slice);
        let distinct: BTreeSet<String> = cells.iter().map(|cell| plain(&cell.text)).collect();
        is_free(column)
            && cells.len() >= 3
            && distinct.len() * 20 >= cells.len() * 19
            && share(Some(&cells.to_vec()), M::DoorNumber).is_some_and(|share| share >= 90)
            // 1, 2, 3 may count the rows.
            && !runs_from_one(cells)
    };
    if let Some(column) = columns[..first].iter_mut().find(numbers) {
        column.meaning = M::DoorNumber;
        column.why = "by its cells, the heading is not known".into();
    }
}

/// Whether the cells count their rows: 1, 2, 3.
pub(crate) fn runs_from_one(cells: &[&Cell]) -> bool {
    cells.iter().enumerate().all(|(at, cell)| cell.text == (at + 1).to_string())
}

/// `3070`, `PR 3070`, `PR 3'-0"` under LEAF are the sizes or the widths of doors, where no other column has them.
pub(crate) fn sized_leaves(columns: &mut [Column], sample: &BTreeMap<usize, Vec<&Cell>>) {
    let has = |of: &[M]| columns.iter().any(|column| of.contains(&column.meaning));
    if has(&[M::Size, M::Width, M::LeafWidth]) || !has(&[M::Leaves]) {
        return;
    }
    let (high, numbered) = (has(&[M::Height]), has(&[M::DoorNumber]));
    for column in columns.iter_mut().filter(|column| column.meaning == M::Leaves) {
        let cells = sample.get(&column.index);
        // 1 and 2 count leaves, whatever measure they may be.
        let measures = || cells.is_some_and(|cells| cells.iter().any(|cell| cell.text.contains(['\'', '"', '-'])));
        let of = |meaning| share(cells, meaning).is_some_and(|share| share >= 60);
        let (meaning, why) = if !high && of(M::Size) {
            (M::Size, "; its cells are whole sizes")
        } else if numbered && measures() && of(M::LeafWidth) {
            (M::LeafWidth, "; its cells are widths")
        } else {
            continue;
        };
        column.meaning = meaning;
        column.why.push_str(why);
    }
}

/// `HM`, `WD` under LEAF, in every cell that says anything, is of what the leaf is made, where no other column says it.
pub(crate) fn made_leaves(columns: &mut [Column], sample: &BTreeMap<usize, Vec<&Cell>>) {
    if columns.iter().any(|column| matches!(column.meaning, M::DoorMaterial)) {
        return;
    }
    let made = |cell: &&&Cell| words::leaf_material(&cell.text).is_some_and(|of| of != "none");
    let idle = |cell: &&&Cell| words::list("no-set").is(&plain(&cell.text));
    let all_made = |column: &&mut Column| {
        let cells = sample.get(&column.index).map_or(&[][..], Vec::as_slice);
        cells.iter().any(|cell| made(&cell)) && cells.iter().all(|cell| made(&cell) || idle(&cell))
    };
    if let Some(column) = columns.iter_mut().filter(|column| column.meaning == M::Leaves).find(all_made) {
        column.meaning = M::DoorMaterial;
        column.why.push_str("; its cells are materials of doors");
    }
}

/// Passes over what says again what another column says: the width in millimetres beside that in inches, and the number that
/// a program gave a door, `DOOR ID`, beside the door's own.
pub(crate) fn said_again(columns: &mut [Column], sample: &BTreeMap<usize, Vec<&Cell>>) {
    let of = |columns: &[Column], meaning: M| -> Vec<usize> {
        let ours = |at: &usize| columns[*at].meaning == meaning && columns[*at].why != columns::FROM_JOB_FILE;
        (0..columns.len()).filter(ours).collect()
    };
    let cells = |column: &Column| sample.get(&column.index).map_or(&[][..], Vec::as_slice);
    if let [first, second] = of(columns, M::Width)[..]
        && same_widths(cells(&columns[first]), cells(&columns[second]))
    {
        columns[second].meaning = M::Other;
        columns[second].why.push_str("; the same width in another measure");
    }
    let numbers = of(columns, M::DoorNumber);
    let says = |column: &Column, used: &str| {
        headings::key(&column.heading).split(' ').next_back().is_some_and(|word| words::list(used).is(word))
    };
    let distinct = |cells: &[&Cell]| {
        let different: BTreeSet<&str> = cells.iter().map(|cell| cell.text.as_str()).collect();
        !cells.is_empty() && different.len() == cells.len()
    };
    // Where doors repeat, row for row the same door under both.
    let one_to_one = |of: &[&Cell], with: &[&Cell]| {
        let pairs: BTreeSet<(&str, &str)> = of.iter().zip(with).map(|(of, with)| (&*of.text, &*with.text)).collect();
        let (left, right): (BTreeSet<&str>, BTreeSet<&str>) = pairs.iter().copied().unzip();
        of.len() == with.len() && left.len() > 1 && pairs.len() == left.len() && pairs.len() == right.len()
    };
    let own = |first: usize, at: usize| {
        let key = headings::key(&columns[at].heading);
        let of_doors = key.split(' ').next().is_some_and(|word| words::list("doors").is(word));
        let (of, with) = (cells(&columns[at]), cells(&columns[first]));
        of_doors && says(&columns[at], "numbers-of-doors") && (distinct(of) || one_to_one(of, with))
    };
    if let [first, rest @ ..] = &numbers[..]
        && says(&columns[*first], "numbers-of-programs")
        && let Some(own) = rest.iter().find(|at| own(*first, **at))
        && cells(&columns[*own]).len() >= cells(&columns[*first]).len()
    {
        let heading = columns[*own].heading.clone();
        columns[*first].meaning = M::Other;
        columns[*first].why.push_str(&format!("; the doors are numbered under \"{heading}\""));
    }
}

/// Whether each cell of one column is that of the other in millimetres, to the three in a hundred that 900 is less than 3'-0".
fn same_widths(first: &[&Cell], second: &[&Cell]) -> bool {
    let read = |cell: &Cell| {
        let length = size::parse_length(&cell.text, Axis::Width)?;
        let metric = plain(&cell.text).contains("MM")
            || matches!(length, Length::Bare(value) if value >= rust_decimal::Decimal::from(500));
        Some((metric, length::settle(length, Axis::Width)?.decimal()))
    };
    let same = |(one, other): (&&Cell, &&Cell)| {
        let (Some((metric, one)), Some((other_metric, other))) = (read(one), read(other)) else { return false };
        metric != other_metric
            && (one - other).abs() * rust_decimal::Decimal::ONE_HUNDRED <= other * rust_decimal::Decimal::from(3)
    };
    !first.is_empty() && first.len() == second.len() && first.iter().zip(second).all(same)
}
