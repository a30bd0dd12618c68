//! A schedule as text that a person can check line by line against its source.
#![allow(dead_code, reason = "each test uses a part of it")]

use std::fmt::Write as _;

use pintle::place::Place;
use pintle::read::schedule::{Opening, Schedule};

/// Everything that came of reading: doors, sets with their lines, notes, findings, and the role of every row.
pub fn dump(schedule: &Schedule) -> String {
    let mut out = String::new();
    for opening in &schedule.openings {
        door(opening, &mut out);
    }
    for set in &schedule.sets {
        let _ = write!(out, "set {}", set.id);
        if !set.title.is_empty() {
            let _ = write!(out, " \"{}\"", set.title);
        }
        if !set.openings.is_empty() {
            let _ = write!(out, " doors {}", set.openings.join(" "));
        }
        if let Some(words) = &set.not_used {
            let _ = write!(out, " ({words})");
        }
        out.push('\n');
        for line in &set.lines {
            let _ = write!(out, "  {}", line.wording.text.replace('\n', "\\n"));
            if let Some(basis) = line.basis {
                let _ = write!(out, " [per {}]", basis.word());
            }
            if let Some(section) = &line.section {
                let _ = write!(out, " [under {section}]");
            }
            if let Some(why) = &line.excluded {
                let _ = write!(out, " [out: {why}]");
            }
            if let Some(mark) = &line.mark {
                let _ = write!(out, " [{}: {}]", if mark.out { "not ours" } else { "whose" }, mark.words);
            }
            out.push('\n');
        }
        for note in &set.notes {
            let _ = writeln!(out, "  note: {}", note.text.replace('\n', "\\n"));
        }
    }
    for note in &schedule.notes {
        let _ = writeln!(out, "note: {}", note.text.replace('\n', "\\n"));
    }
    for finding in &schedule.findings {
        let place = finding.place.as_ref().map(short).unwrap_or_default();
        let _ = writeln!(out, "finding {} {place}: {}", finding.code, finding.says);
    }
    roles(schedule, &mut out);
    out
}

fn door(opening: &Opening, out: &mut String) {
    let inches = |length: Option<pintle::trade::inches::Inches>| length.map_or("?".into(), |length| length.to_string());
    let _ = write!(out, "door {}", opening.number);
    if opening.width.is_some() || opening.height.is_some() {
        let _ = write!(out, " {}x{}", inches(opening.width), inches(opening.height));
    }
    if let Some(thickness) = opening.thickness {
        let _ = write!(out, "x{thickness}");
    }
    if opening.leaves != 1 {
        let widths: Vec<String> = opening.leaf_widths.iter().map(ToString::to_string).collect();
        let _ = write!(out, " {} leaves {}", opening.leaves, widths.join("+"));
    }
    for (what, text) in [
        ("set", opening.set.clone()),
        ("door", opening.door_material.clone()),
        ("frame", opening.frame_material.clone()),
        ("wall", opening.wall.clone()),
        ("hand", opening.hand.clone()),
        ("rating", (!opening.rating.text.is_empty()).then(|| opening.rating.text.clone())),
        ("minutes", opening.rating.minutes.map(|minutes| minutes.to_string())),
        ("smoke", opening.rating.smoke.map(|smoke| smoke.to_string())),
        ("exterior", opening.exterior.map(|exterior| exterior.to_string())),
        ("count", (opening.count != 1).then(|| opening.count.to_string())),
        ("out", opening.excluded.clone()),
        ("room", (!opening.room.is_empty()).then(|| opening.room.clone())),
        ("remarks", (!opening.remarks.is_empty()).then(|| opening.remarks.clone())),
    ] {
        if let Some(text) = text {
            let _ = write!(out, ", {what} {}", text.replace('\n', "\\n"));
        }
    }
    out.push('\n');
}

fn short(place: &Place) -> String {
    let column = place.column.as_deref().unwrap_or("row ");
    format!("{column}{}", place.row)
}

/// `roles doors.csv: title 1, header 2-3, opening 4-9`.
fn roles(schedule: &Schedule, out: &mut String) {
    let mut sheet: Option<(String, String)> = None;
    let mut run: Option<(&str, u32, u32)> = None;
    let mut line = String::new();
    let close = |run: &mut Option<(&str, u32, u32)>, line: &mut String| {
        if let Some((role, first, last)) = run.take() {
            let comma = if line.ends_with(':') { "" } else { "," };
            let _ = match first == last {
                true => write!(line, "{comma} {role} {first}"),
                false => write!(line, "{comma} {role} {first}-{last}"),
            };
        }
    };
    for row in &schedule.ledger {
        let at = (row.place.file.to_string(), row.place.sheet.to_string());
        if sheet.as_ref() != Some(&at) {
            close(&mut run, &mut line);
            if !line.is_empty() {
                let _ = writeln!(out, "{line}");
            }
            let name = if at.1.is_empty() { &at.0 } else { &at.1 };
            line = format!("roles {name}:");
            sheet = Some(at);
        }
        match &mut run {
            Some((role, _, last)) if *role == row.role.word() => *last = row.place.row,
            _ => {
                close(&mut run, &mut line);
                run = Some((row.role.word(), row.place.row, row.place.row));
            }
        }
    }
    close(&mut run, &mut line);
    let _ = writeln!(out, "{line}");
}
