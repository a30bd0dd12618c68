//! Makes jobs of any size: a door schedule and a sheet of hardware sets, as an architect would send them. The same seed
//! gives the same job.

use std::path::Path;

use rust_xlsxwriter::Workbook;

/// Wordings with the unit, finish and usual quantity of a set's lines.
const ITEMS: [(&str, &str, &str, &str); 18] = [
    ("3", "EA", "Hinge, full mortise, 4-1/2 x 4-1/2 BB std wt", "652"),
    ("1-1/2", "PR", "HGS HW BB 5 x 4-1/2 NRP", "US26D"),
    ("1", "EA", "MORT LOCK F07 LVR", "626"),
    ("1", "EA", "Cyl. lockset, classroom F84, Gr 1", "626"),
    ("1", "EA", "Passage set F75 lever", "626"),
    ("1", "EA", "Privacy set, bored F76", "26D"),
    ("1", "EA", "Rim panic x night latch trim", "630"),
    ("1", "EA", "Fire exit device, rim, lever trim 08", "US32D"),
    ("1", "EA", "CLSR PA w/ backcheck", "689"),
    ("1", "EA", "Surface closer, regular arm", "ALUM"),
    ("1", "EA", "KP 10 x 2 LDW B4E", "630"),
    ("1", "EA", "WALL STOP concave", "630"),
    ("1", "EA", "Floor stop, dome", "626"),
    ("1", "EA", "Overhead stop, surface", "630"),
    ("1", "SET", "Smoke gasketing, adhesive", "BLK"),
    ("1", "EA", "Threshold 5 x 1/2 saddle", "AL"),
    ("1", "EA", "Door bottom, automatic", "AL"),
    ("3", "EA", "Silencers", "GREY"),
];

/// A small generator of numbers.
pub struct Dice(pub u64);

impl Dice {
    /// A number below the bound.
    pub fn roll(&mut self, below: usize) -> usize {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        (self.0 % below.max(1) as u64) as usize
    }
}

/// How large a job is.
#[derive(Clone, Copy)]
pub struct Size {
    /// Doors.
    pub openings: usize,
    /// Item lines over all sets.
    pub lines: usize,
}

/// Writes one job.
pub fn write(path: &Path, size: Size) {
    let mut dice = Dice(0x9e37_79b9_7f4a_7c15);
    let sets = (size.lines / 8).max(1);
    let mut book = Workbook::new();
    let doors = book.add_worksheet().set_name("Doors").unwrap();
    doors.write_string(0, 0, "DOOR SCHEDULE").unwrap();
    for (column, heading) in
        ["DOOR NO.", "ROOM", "SIZE", "THK", "DOOR MATL", "FRAME MATL", "RATING", "HW SET", "REMARKS"].iter().enumerate()
    {
        doors.write_string(2, column as u16, *heading).unwrap();
    }
    for door in 0..size.openings {
        let row = door as u32 + 3;
        let size = ["3'-0\" x 7'-0\"", "3'-0\" x 8'-0\"", "3'-6\" x 7'-0\"", "6'-0\" x 7'-0\" PR"][dice.roll(4)];
        let rating = ["", "20 MIN", "45", "90 MIN", "NR"][dice.roll(5)];
        let material = ["HM", "WD"][dice.roll(2)];
        for (column, text) in [
            format!("{}", 1000 + door),
            ["OFFICE", "STORAGE", "CLASSROOM", "CORRIDOR", "STAIR"][dice.roll(5)].to_owned(),
            size.to_owned(),
            "1-3/4\"".to_owned(),
            material.to_owned(),
            "HM".to_owned(),
            rating.to_owned(),
            format!("{}", door % sets + 1),
            String::new(),
        ]
        .iter()
        .enumerate()
        {
            if !text.is_empty() {
                doors.write_string(row, column as u16, text).unwrap();
            }
        }
    }
    let sheet = book.add_worksheet().set_name("Hardware").unwrap();
    for (column, heading) in ["SET", "QTY", "UNIT", "DESCRIPTION", "FINISH"].iter().enumerate() {
        sheet.write_string(0, column as u16, *heading).unwrap();
    }
    for line in 0..size.lines {
        let row = line as u32 + 1;
        let (quantity, unit, words, finish) = ITEMS[dice.roll(ITEMS.len())];
        let set = format!("{}", line / 8 + 1);
        for (column, text) in [set.as_str(), quantity, unit, words, finish].iter().enumerate() {
            sheet.write_string(row, column as u16, *text).unwrap();
        }
    }
    book.save(path).unwrap();
}

/// The wordings of the items, over and over with small differences, for the reader of wordings.
pub fn wordings(count: usize) -> Vec<String> {
    let mut dice = Dice(7);
    (0..count)
        .map(|index| {
            let (quantity, unit, words, finish) = ITEMS[dice.roll(ITEMS.len())];
            match index % 3 {
                0 => format!("{quantity} {unit} {words} {finish}"),
                1 => format!("({quantity}) {} {finish}", words.to_uppercase()),
                _ => format!("{words}, {finish}"),
            }
        })
        .collect()
}
