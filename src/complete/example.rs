//! Builds small jobs from one line of text, for the examples of rules and for tests.
//!
//! Parts are parted by `;`. `door 101 36x84 hm masonry 90min exterior RHR room=STAIR set=1 pair smoke thick=1.75 nic` is a
//! door (`hm` is door and frame of hollow metal, `wood` and `alum` likewise, `wood-frame`, `door=wood`, `frame=wood`). Anything else is a line of set
//! 1 (`@2` in front: of set 2): `hinge 3 height=4.5 finish=626`; quantity `-` is none given; `leaf` says per leaf; `others`
//! by others, `note ALL_CLOSERS` is a note of the job, `mark=BY:TK` that nothing tells who furnishes it; `?finish=626|652` is an attribute read in two ways.

use std::sync::Arc;

use rust_decimal::Decimal;

use crate::catalog::Catalog;
use crate::evidence::{By, Evidence};
use crate::place::Place;
use crate::read::schedule::{Basis, HardwareSet, Line, Mark, Note, Opening, Schedule, Wording};
use crate::terms::Terms;
use crate::trade::attribute::{Attr, Value};
use crate::trade::category::Category;
use crate::trade::condition::{Fact, Test};
use crate::understand::reading::{Condition, Heard, Quantity, Reading, Remark, RemarkKind, Says};

use super::spec::Completed;
use super::{Answers, complete_by, rules};

fn evidence() -> Evidence {
    Evidence { span: 0..0, by: By::Grammar("example") }
}

fn place(row: u32) -> Place {
    Place::row(&Arc::from("example.csv"), &Arc::from(""), row)
}

/// A value of the type that the attribute has in the record.
pub fn value(attribute: &str, text: &str) -> Value {
    let kind = crate::trade::table::rows(include_str!("../../catalogs/trade/attributes.csv"))
        .iter()
        .find(|row| row.get(0) == attribute)
        .map_or("text", |row| row.get(1));
    match kind {
        "length" => Value::Length(text.parse().unwrap()),
        "number" => Value::Number(text.parse().unwrap()),
        "flag" => Value::Flag(text == "true"),
        "list" => Value::List(text.split('+').map(Arc::from).collect()),
        _ => Value::text(text),
    }
}

fn door(words: &[&str], row: u32) -> Opening {
    let mut door = Opening::bare(words[0], "1", place(row));
    for word in &words[1..] {
        match *word {
            "pair" => door.leaves = 2,
            "hm" => {
                door.door_material = Some("hollow-metal".into());
                door.frame_material = Some("hollow-metal".into());
            }
            "wood" => door.door_material = Some("wood".into()),
            "wood-frame" => door.frame_material = Some("wood".into()),
            "alum" => {
                door.door_material = Some("aluminum".into());
                door.frame_material = Some("aluminum".into());
            }
            "masonry" | "stud" | "concrete" => door.wall = Some((*word).into()),
            "rated" => door.rating.rated_unknown = true,
            "smoke" => door.rating.smoke = Some(true),
            "exterior" => door.exterior = Some(true),
            "LH" | "RH" | "LHR" | "RHR" => door.hand = Some((*word).into()),
            "NR" => {
                door.rating.text = "NR".into();
                door.rating.minutes = Some(0);
            }
            "nic" => door.excluded = Some("NIC".into()),
            "noset" => door.set = None,
            word => match word.split_once('=') {
                Some(("room", room)) => door.room = room.replace('_', " "),
                Some(("set", set)) => door.set = Some(set.into()),
                Some(("remark", remark)) => door.remarks = remark.replace('_', " "),
                Some(("wall-rating", minutes)) => door.rating.wall_minutes = Some(minutes.parse().unwrap()),
                Some(("leaves", widths)) => {
                    door.leaves = 2;
                    door.leaf_widths = widths.split('+').map(|width| width.parse().unwrap()).collect();
                }
                Some(("door", material)) => door.door_material = Some(material.into()),
                Some(("frame", material)) => door.frame_material = Some(material.into()),
                Some(("thick", thick)) => door.thickness = Some(thick.parse().unwrap()),
                Some(("count", count)) => door.count = count.parse().unwrap(),
                _ => {
                    if let Some(minutes) = word.strip_suffix("min") {
                        door.rating.minutes = Some(minutes.parse().unwrap());
                        door.rating.text = minutes.into();
                    } else {
                        let (width, height) = word.split_once('x').unwrap_or_else(|| panic!("door word {word}"));
                        door.width = Some(width.parse().unwrap());
                        door.height = Some(height.parse().unwrap());
                    }
                }
            },
        }
    }
    door
}

fn reading(words: &[&str], whole: &str) -> Reading {
    let category: Category = words[0].parse().unwrap();
    let mut reading = Reading {
        category: Heard::Found(category, evidence()),
        quantity: Quantity::default(),
        attributes: Default::default(),
        remarks: Vec::new(),
        conditions: Vec::new(),
        unread: Vec::new(),
        ignored: Vec::new(),
        doubts: Vec::new(),
    };
    for word in &words[1..] {
        match *word {
            "-" => {}
            "leaf" => reading.quantity.basis = Some(Basis::Leaf),
            "above=leaf" => {}
            "existing-match" => {
                reading.remarks.push(Remark { kind: RemarkKind::MatchExisting, evidence: evidence() });
            }
            // omit@101
            word if word.starts_with("omit@") => {
                let start = whole.find(word).unwrap();
                let evidence = Evidence { span: start..start + "omit".len(), ..evidence() };
                reading.remarks.push(Remark { kind: RemarkKind::NotUsed, evidence });
            }
            // when=rated, when=exterior
            word if word.starts_with("when=") => {
                let fact = match &word["when=".len()..] {
                    "rated" => Fact::Rated,
                    "pair" => Fact::Pair,
                    _ => Fact::Exterior,
                };
                let start = whole.find(word).unwrap();
                let (span, says) = (start..start + word.len(), Says::Facts(vec![vec![Test { fact, holds: true }]]));
                reading.conditions.push(Condition { span, says, denied: false, firm: true, of: None });
            }
            "others" => reading.remarks.push(Remark { kind: RemarkKind::ByOthers, evidence: evidence() }),
            word if word.starts_with("mark=") => {}
            word => match word.split_once('=') {
                Some((name, text)) => {
                    let (name, several) = match name.strip_prefix('?') {
                        Some(name) => (name, true),
                        None => (name, false),
                    };
                    let heard = if several {
                        Heard::Ambiguous(text.split('|').map(|text| (value(name, text), evidence())).collect())
                    } else {
                        Heard::Found(value(name, text), evidence())
                    };
                    reading.attributes.insert(Attr::new(name), heard);
                }
                None => reading.quantity.amount = Some(word.parse::<Decimal>().unwrap()),
            },
        }
    }
    reading
}

/// A schedule with its readings.
pub fn job(text: &str) -> (Schedule, Vec<Vec<Vec<Reading>>>) {
    let mut schedule = Schedule::default();
    let mut readings: Vec<Vec<Vec<Reading>>> = Vec::new();
    for (row, part) in (1u32..).zip(text.split(';').map(str::trim).filter(|part| !part.is_empty())) {
        let words: Vec<&str> = part.split_whitespace().collect();
        if words[0] == "door" {
            schedule.openings.push(door(&words[1..], row));
            continue;
        }
        if words[0] == "note" {
            let text = words[1..].join(" ").replace('_', " ");
            schedule.notes.push(Note { text, place: place(row) });
            continue;
        }
        let (id, words) = match words[0].strip_prefix('@') {
            Some(id) => (id, &words[1..]),
            None => ("1", &words[..]),
        };
        let at = schedule.sets.iter().position(|set| set.id == id).unwrap_or_else(|| {
            schedule.sets.push(HardwareSet {
                id: id.to_owned(),
                title: String::new(),
                openings: Vec::new(),
                lines: Vec::new(),
                notes: Vec::new(),
                not_used: None,
                place: place(row),
            });
            readings.push(Vec::new());
            schedule.sets.len() - 1
        });
        if words.is_empty() {
            continue;
        }
        schedule.sets[at].lines.push(Line {
            place: place(row),
            wording: Wording::free(part),
            basis: words.contains(&"above=leaf").then_some(Basis::Leaf),
            section: None,
            excluded: None,
            mark: words
                .iter()
                .find_map(|word| word.strip_prefix("mark="))
                .map(|words| Mark { words: words.into(), out: false }),
        });
        readings[at].push(vec![reading(words, part)]);
    }
    (schedule, readings)
}

/// Completes a job of this text with the embedded catalog.
pub fn completed(text: &str) -> Completed {
    completed_by(rules::RULES, text, &Terms::default(), &Answers::new())
}

/// The same with other rules, terms, answers.
pub fn completed_by(rules: &[super::act::Rule], text: &str, terms: &Terms, answers: &Answers) -> Completed {
    let (schedule, readings) = job(text);
    static CATALOG: std::sync::OnceLock<Catalog> = std::sync::OnceLock::new();
    let catalog = CATALOG.get_or_init(|| Catalog::embedded("2026-10-01").unwrap());
    complete_by((rules, &Default::default()), schedule, readings, catalog, terms, answers)
}

/// Whether a rule spoke: a finding, an addition, a prep, or a value that it filled in.
pub fn speaks(job: &Completed, code: &str) -> bool {
    job.findings.iter().any(|finding| finding.code == code)
        || job.added.iter().any(|added| added.rule == code)
        || job.preps.iter().any(|prep| prep.rule == code)
}
