//! One invented job: the truth that every rendering of it must give back.

use crate::goods::{self, KINDS, Kind, USES};
use crate::pen::Pen;

/// A door.
#[derive(Debug, Clone)]
pub struct Door {
    /// Number as every rendering writes it.
    pub number: String,
    /// Floor, from 1.
    pub floor: usize,
    /// Room.
    pub room: &'static str,
    /// Leaves.
    pub leaves: u32,
    /// Inches of the whole opening.
    pub width: u32,
    /// Inches.
    pub height: u32,
    /// `hollow-metal`, `wood`, `aluminum`.
    pub material: &'static str,
    /// Minutes; `None`: not rated.
    pub minutes: Option<u32>,
    /// Hand of a single door.
    pub hand: &'static str,
    /// Index of its set.
    pub set: usize,
    /// Its number stands there, and it is not used.
    pub not_used: bool,
}

/// A good of a set.
#[derive(Debug, Clone)]
pub struct Good {
    /// Index of its kind.
    pub kind: usize,
    /// How it is written.
    pub words: &'static str,
    /// Pieces at an opening.
    pub pieces: u32,
    /// Invented number.
    pub catalog: String,
    /// Invented maker.
    pub maker: &'static str,
    /// By others, in these words.
    pub others: Option<&'static str>,
}

impl Good {
    /// Its kind.
    pub fn of(&self) -> &'static Kind {
        &KINDS[self.kind]
    }
}

/// A set.
#[derive(Debug, Clone)]
pub struct Set {
    /// Id without a label.
    pub id: String,
    /// What it is for.
    pub title: &'static str,
    /// Leaves of its doors.
    pub leaves: u32,
    /// Its goods in order.
    pub goods: Vec<Good>,
    /// It stands there as NOT USED.
    pub not_used: bool,
}

/// The job.
#[derive(Debug, Clone)]
pub struct Job {
    /// Doors in the order of their numbers.
    pub doors: Vec<Door>,
    /// Sets in order.
    pub sets: Vec<Set>,
}

impl Job {
    /// The doors of a set that are used.
    pub fn of_set(&self, set: usize) -> Vec<&Door> {
        self.doors.iter().filter(|door| door.set == set && !door.not_used).collect()
    }
}

const MAKERS: [&str; 5] = ["QRL", "ABX", "VNT", "OKD", "ZUM"];
const OTHERS: [&str; 4] = ["by security contractor", "by others", "NIC", "furnished by owner"];

/// Invents a job.
pub fn invent(pen: &mut Pen) -> Job {
    let count = 3 + pen.roll(4);
    let uses: Vec<usize> = pen.shuffled(&(0..USES.len()).collect::<Vec<_>>()).into_iter().take(count).collect();
    let form = pen.habit("ids of sets", &["1", "01", "1.0", "A", "A1", "101", "E-1"]);
    let unused = if pen.has("a set not used", 35) { Some(1 + pen.roll(count)) } else { None };
    let mut sets = Vec::new();
    for chosen in uses {
        if Some(sets.len()) == unused {
            let id = id(form, sets.len());
            sets.push(Set { id, title: "", leaves: 1, goods: Vec::new(), not_used: true });
        }
        let id = id(form, sets.len());
        sets.push(set(pen, chosen, id));
    }
    let doors = doors(pen, &sets);
    Job { doors, sets }
}

fn id(form: &str, at: usize) -> String {
    let letter = char::from(b'A' + at as u8);
    match form {
        "01" => format!("{:02}", at + 1),
        "1.0" => format!("{}.0", at + 1),
        "A" => letter.to_string(),
        "A1" => format!("A{}", at + 1),
        "101" => format!("{}", 101 + at),
        "E-1" => format!("E-{}", at + 1),
        _ => format!("{}", at + 1),
    }
}

fn set(pen: &mut Pen, chosen: usize, id: String) -> Set {
    let chosen = &USES[chosen];
    let mut goods = Vec::new();
    for (at, wanted) in chosen.goods.iter().enumerate() {
        if at > 1 && pen.chance(12) {
            continue;
        }
        let kind = goods::of(*wanted);
        let of = &KINDS[kind];
        let others = match of.category {
            "reader" => Some(pen.pick(&OTHERS)),
            "position-switch" if pen.chance(40) => Some(pen.pick(&OTHERS)),
            _ => None,
        };
        goods.push(Good {
            kind,
            words: pen.pick(of.words),
            pieces: if chosen.leaves == 2 { of.pair } else { of.single },
            catalog: format!("{}{}-{}", pen.pick(&["KX", "RV", "TL", "WQ"]), 20 + pen.roll(70), 100 + pen.roll(800)),
            maker: pen.pick(&MAKERS),
            others,
        });
    }
    Set { id, title: chosen.title, leaves: chosen.leaves, goods, not_used: false }
}

/// Doors floor by floor; runs of them have one set, so that ranges have something to say.
fn doors(pen: &mut Pen, sets: &[Set]) -> Vec<Door> {
    // Where sets have numbers like doors, doors have others: nobody could tell them apart.
    let like_sets = sets.iter().any(|set| set.id == "101");
    let forms: &[&str] = &["A-101", "1.01", "B12", "U3-2", "1001", "D101", "101", "101A"];
    let form = pen.habit("numbers of doors", if like_sets { &forms[..6] } else { forms });
    let used: Vec<usize> = (0..sets.len()).filter(|at| !sets[*at].not_used).collect();
    let floors = 1 + pen.roll(3);
    let mut doors: Vec<Door> = Vec::new();
    // Every set has a door, and some have more.
    let mut wanted: Vec<usize> = pen.shuffled(&used);
    for _ in 0..pen.roll(4) {
        wanted.push(pen.pick(&used));
    }
    for floor in 1..=floors {
        let share = wanted.len().div_ceil(floors);
        let here: Vec<usize> = wanted.iter().skip((floor - 1) * share).take(share).copied().collect();
        let mut place = 0;
        for set in here {
            let run = 1 + pen.roll(3);
            for _ in 0..run {
                place += 1;
                let number = number(form, floor, place, pen);
                doors.push(door(pen, number, floor, set, &sets[set]));
            }
            place += usize::from(pen.chance(25));
        }
    }
    if pen.has("a door not used", 30) && doors.len() > 4 {
        let at = pen.roll(doors.len());
        if doors.iter().filter(|door| door.set == doors[at].set).count() > 1 {
            doors[at].not_used = true;
        }
    }
    doors
}

fn number(form: &str, floor: usize, place: usize, pen: &mut Pen) -> String {
    match form {
        "101A" => format!("{floor}{place:02}{}", if pen.chance(30) { "A" } else { "" }),
        "A-101" => format!("{}-{floor}{place:02}", ["A", "A", "B", "C"][floor]),
        "1.01" => format!("{floor}.{place:02}"),
        "B12" => format!("B{}{place:02}", floor),
        "U3-2" => format!("U{floor}-{place}"),
        "1001" => format!("{floor}0{place:02}"),
        "D101" => format!("D{floor}{place:02}"),
        _ => format!("{floor}{place:02}"),
    }
}

fn door(pen: &mut Pen, number: String, floor: usize, set: usize, of: &Set) -> Door {
    let outside = of.title.starts_with("Exterior");
    let rated = ["Stair", "Corridor Pair", "Storage"].contains(&of.title);
    let leaf = pen.pick(&[36, 36, 36, 34, 42]);
    Door {
        number,
        floor,
        room: pen.pick(goods::rooms(of.title)),
        leaves: of.leaves,
        width: if of.leaves == 2 { 72 } else { leaf },
        height: pen.pick(&[84, 84, 84, 80]),
        material: if outside || rated { "hollow-metal" } else { pen.pick(&["hollow-metal", "wood"]) },
        minutes: if rated { Some(pen.pick(&[20, 45, 90])) } else { None },
        hand: if outside { pen.pick(&["LHR", "RHR"]) } else { pen.pick(&["LH", "RH"]) },
        set,
        not_used: false,
    }
}
