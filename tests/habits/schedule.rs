//! How an office writes a door schedule.

use crate::job::{Door, Job};
use crate::names::Names;
use crate::pen::Pen;

/// A sheet or a file of rows.
#[derive(Debug, Clone, Default)]
pub struct Page {
    /// Name of the sheet, or of the file without its ending.
    pub name: String,
    /// Rows of cells.
    pub rows: Vec<Vec<String>>,
}

impl Page {
    /// A row of one cell.
    pub fn say(&mut self, text: &str) {
        self.rows.push(vec![text.to_owned()]);
    }

    /// A row without anything.
    pub fn blank(&mut self) {
        self.rows.push(Vec::new());
    }
}

/// Remarks that change nothing.
const REMARKS: [&str; 5] = ["", "VERIFY IN FIELD", "", "PAINT TO MATCH WALL", "SEE FLOOR PLAN"];

/// A column of a door schedule.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Column {
    /// Number.
    Number,
    /// Room.
    Room,
    /// Width and height in one.
    Size,
    /// Width of the opening.
    Width,
    /// Height.
    Height,
    /// Thickness.
    Thickness,
    /// Material of the door.
    Material,
    /// Material of the frame.
    Frame,
    /// Rating.
    Rating,
    /// Hand.
    Hand,
    /// `PR` or nothing.
    Pair,
    /// Set.
    Set,
    /// Remarks.
    Remarks,
}

/// The habits of one door schedule.
pub struct Doors {
    /// Columns in order, with their headings.
    pub columns: Vec<(Column, String)>,
    /// A row of groups above the headings.
    pub grouped: bool,
    /// Numbers and sets so many times side by side.
    abreast: usize,
    size: &'static str,
    pair: &'static str,
    material: usize,
    minutes: &'static str,
    none: &'static str,
    unused: &'static str,
    label: &'static str,
    remarks: &'static [&'static str],
}

impl Doors {
    /// Draws the habits; a bare index has numbers and sets alone.
    pub fn draw(pen: &mut Pen, bare: bool, with_set: bool) -> Doors {
        let mut columns = vec![Column::Number];
        if !bare {
            let mut facts = Vec::new();
            if pen.has("column of rooms", 60) {
                facts.push(vec![Column::Room]);
            }
            let apart = pen.has("widths and heights apart", 45);
            facts.push(if apart { vec![Column::Width, Column::Height, Column::Pair] } else { vec![Column::Size] });
            if pen.has("column of thickness", 40) {
                facts.last_mut().expect("a size").push(Column::Thickness);
            }
            if pen.has("materials", 70) {
                facts.push(vec![Column::Material, Column::Frame]);
            }
            if pen.has("column of ratings", 70) {
                facts.push(vec![Column::Rating]);
            }
            if pen.has("column of hands", 30) {
                facts.push(vec![Column::Hand]);
            }
            if pen.has("columns of doors in another order", 30) {
                facts = pen.shuffled(&facts);
            }
            columns.extend(facts.into_iter().flatten());
        }
        if with_set {
            let at = if !bare && pen.has("set beside the number", 15) { 1 } else { columns.len() };
            columns.insert(at, Column::Set);
        }
        if !bare && pen.has("column of remarks of doors", 60) {
            columns.push(Column::Remarks);
        }
        let grouped = columns.contains(&Column::Frame) && pen.has("two rows of headings", 30);
        let columns = columns.into_iter().map(|column| match column {
            Column::Material | Column::Frame if grouped => (column, "MATERIAL".to_owned()),
            column => (column, heading(pen, column)),
        });
        Doors {
            columns: columns.collect(),
            grouped,
            abreast: if bare && pen.has("an index two or three times abreast", 35) { 2 + pen.roll(2) } else { 1 },
            size: pen.habit(
                "sizes",
                &[
                    "3'-0\" x 7'-0\"",
                    "3'-0\" X 7'-0\"",
                    "3-0 x 7-0",
                    "3070",
                    "36 x 84",
                    "3/0 x 7/0",
                    "36\" x 84\"",
                    "3' - 0\" x 7' - 0\"",
                ],
            ),
            pair: pen.habit("pairs", &["PR", "(2)", "6", "6 PR"]),
            material: pen.roll(3),
            minutes: pen.habit("ratings", &["20 MIN", "20", "20 MIN.", "20 Min", "3/4 HR", "20-MIN"]),
            none: pen.habit("nothing", &["", "", "-", "--", "N/A"]),
            unused: pen.habit("a door not used", &["NOT USED", "Not used", "DOOR NOT USED"]),
            remarks: if pen.has("remarks beside doors", 30) { &REMARKS } else { &[""] },
            label: pen.habit("label before an id", &["", "", "", "HW-", "SET ", "#"]),
        }
    }

    /// Whether the schedule has a column.
    pub fn has(&self, wanted: Column) -> bool {
        self.columns.iter().any(|(column, _)| *column == wanted)
    }

    /// Headings.
    pub fn headings(&self) -> Vec<String> {
        self.columns.iter().map(|(_, heading)| heading.clone()).collect()
    }

    /// The cells of one door.
    pub fn cells(&self, door: &Door, job: &Job) -> Vec<String> {
        if door.not_used {
            return self.not_used(door);
        }
        let pair = door.leaves == 2;
        let cell = |column: Column| match column {
            Column::Number => door.number.clone(),
            Column::Room => door.room.to_owned(),
            Column::Size => self.whole_size(door),
            Column::Width => self.part(door.width).to_string(),
            Column::Height => self.part(door.height),
            Column::Pair => {
                if pair {
                    "PR".to_owned()
                } else {
                    String::new()
                }
            }
            Column::Thickness => "1-3/4\"".to_owned(),
            Column::Material => self.material(door.material).to_owned(),
            Column::Frame => {
                self.material(if door.material == "wood" { "hollow-metal" } else { door.material }).to_owned()
            }
            Column::Rating => door.minutes.map_or_else(|| self.none.to_owned(), |minutes| self.rating(minutes)),
            Column::Hand => {
                if pair {
                    String::new()
                } else {
                    door.hand.to_owned()
                }
            }
            Column::Set => format!("{}{}", self.label, job.sets[door.set].id),
            // The same remark at the same door, whenever it is asked for.
            Column::Remarks => {
                self.remarks[door.number.bytes().map(usize::from).sum::<usize>() % self.remarks.len()].to_owned()
            }
        };
        self.columns.iter().map(|(column, _)| cell(*column)).collect()
    }

    /// The words stand in the remarks, else in the room, else in the place of the set.
    fn not_used(&self, door: &Door) -> Vec<String> {
        let place = [Column::Remarks, Column::Room, Column::Set].into_iter().find(|column| self.has(*column));
        let cell = |column: Column| match column {
            Column::Number => door.number.clone(),
            column if Some(column) == place => self.unused.to_owned(),
            _ => String::new(),
        };
        self.columns.iter().map(|(column, _)| cell(*column)).collect()
    }

    /// The row above the headings: DOOR above what is of the door, FRAME above what is of the frame.
    pub fn groups(&self) -> Vec<String> {
        let group = |column: Column| match column {
            Column::Width | Column::Height | Column::Pair | Column::Size | Column::Thickness | Column::Material => {
                "DOOR"
            }
            Column::Frame => "FRAME",
            _ => "",
        };
        let mut before = "";
        let cell = |(column, _): &(Column, String)| {
            let own = group(*column);
            let told = if own == before { "" } else { own };
            before = own;
            told.to_owned()
        };
        self.columns.iter().map(cell).collect()
    }

    /// The doors go on in columns beside.
    fn side_by_side(&self, page: &mut Page, job: &Job) {
        let long = job.doors.len().div_ceil(self.abreast);
        let joined = |parts: Vec<Vec<String>>| parts.join(&String::new());
        page.rows.push(joined(vec![self.headings(); self.abreast]));
        for row in 0..long {
            let beside = job.doors.iter().skip(row).step_by(long).take(self.abreast);
            page.rows.push(joined(beside.map(|door| self.cells(door, job)).collect()));
        }
    }

    /// Width and height in one cell, and that it is a pair.
    fn whole_size(&self, door: &Door) -> String {
        let (width, height) = (door.width, door.height);
        let one = |width: u32| match self.size {
            "3070" => format!("{}{}{}{}", width / 12, width % 12, height / 12, height % 12),
            sized => {
                let by = if sized.contains('X') { "X" } else { "x" };
                format!("{} {by} {}", self.part(width), self.part(height))
            }
        };
        // In four figures 3'-10" has no place.
        if self.size == "3070" && (width % 12 > 9 || height % 12 > 9) {
            return format!("{}-{} x {}-{}", width / 12, width % 12, height / 12, height % 12);
        }
        match (door.leaves, self.pair) {
            (2, "PR") => format!("PR {}", one(width / 2)),
            (2, "(2)") => format!("(2) {}", one(width / 2)),
            (2, "6 PR") => format!("{} PR", one(width)),
            _ => one(width),
        }
    }

    /// One measure.
    fn part(&self, inches: u32) -> String {
        let (feet, rest) = (inches / 12, inches % 12);
        match self.size {
            "36 x 84" => inches.to_string(),
            "36\" x 84\"" => format!("{inches}\""),
            "3-0 x 7-0" => format!("{feet}-{rest}"),
            "3/0 x 7/0" => format!("{feet}/{rest}"),
            "3' - 0\" x 7' - 0\"" => format!("{feet}' - {rest}\""),
            _ => format!("{feet}'-{rest}\""),
        }
    }

    fn material(&self, canonical: &str) -> &'static str {
        let of: [&'static str; 3] = match canonical {
            "wood" => ["WD", "WOOD", "SCWD"],
            "aluminum" => ["AL", "ALUM", "ALUMINUM"],
            _ => ["HM", "HOLLOW METAL", "H.M."],
        };
        of[self.material]
    }

    fn rating(&self, minutes: u32) -> String {
        match (self.minutes, minutes) {
            ("3/4 HR", 45) => "3/4 HR".to_owned(),
            ("3/4 HR", 90) => "1-1/2 HR".to_owned(),
            ("20", _) => minutes.to_string(),
            ("20 Min", _) => format!("{minutes} Min"),
            ("20-MIN", _) => format!("{minutes}-MIN"),
            ("20 MIN.", _) => format!("{minutes} MIN."),
            _ => format!("{minutes} MIN"),
        }
    }

    /// The whole schedule as a page.
    pub fn page(&self, pen: &mut Pen, job: &Job) -> Page {
        let mut page =
            Page { name: pen.pick(&["Door Schedule", "Doors", "DOOR SCHED", "A-601"]).to_owned(), rows: Vec::new() };
        if pen.has("title block above the schedule", 20) {
            page.rows.push(vec!["PROJECT:".to_owned(), "LAKE DISTRICT LIBRARY".to_owned()]);
            page.rows.push(vec!["ISSUED FOR BID".to_owned(), "2026-03-04".to_owned()]);
            page.blank();
        }
        if pen.has("title above the schedule", 60) {
            page.say("DOOR SCHEDULE");
            if pen.chance(40) {
                page.blank();
            }
        }
        if self.grouped {
            page.rows.push(self.groups());
        }
        if self.abreast > 1 {
            self.side_by_side(&mut page, job);
            return page;
        }
        page.rows.push(self.headings());
        let floors = pen.has("floors as subtitles", 30);
        let again = floors && pen.has("headings again at each floor", 30);
        let mut floor = 0;
        for door in &job.doors {
            if floors && door.floor != floor {
                if floor > 0 && again {
                    page.rows.push(self.headings());
                }
                floor = door.floor;
                page.say(["", "FIRST FLOOR", "SECOND FLOOR", "THIRD FLOOR"][floor]);
            }
            page.rows.push(self.cells(door, job));
        }
        if pen.has("notes below the schedule", 30) {
            page.blank();
            page.say("GENERAL NOTES:");
            page.say("1. VERIFY ALL DIMENSIONS IN FIELD.");
            page.say("2. SEE SPECIFICATIONS FOR FINISHES.");
        }
        page
    }
}

/// The doors of a set as the office lists them.
pub fn listed(names: &Names, job: &Job, set: usize) -> String {
    names.list(&job.of_set(set), &job.doors)
}

fn heading(pen: &mut Pen, column: Column) -> String {
    let (name, of): (&str, &[&str]) = match column {
        Column::Number => (
            "heading of doors",
            &[
                "DOOR NO.",
                "OPENING",
                "MARK",
                "DOOR",
                "DOOR NUMBER",
                "NO.",
                "DOOR #",
                "Door No",
                "TAG",
                "DR. NO.",
                "OPNG NO.",
            ],
        ),
        Column::Room => ("heading of rooms", &["ROOM NAME", "LOCATION", "ROOM", "Room Name"]),
        Column::Size => ("heading of sizes", &["SIZE", "DOOR SIZE", "SIZE (W x H)", "Opening Size", "NOMINAL SIZE"]),
        Column::Width => ("heading of widths", &["WIDTH", "W", "Width", "DOOR WIDTH"]),
        Column::Height => ("heading of heights", &["HEIGHT", "H", "HT.", "Height"]),
        Column::Thickness => ("heading of thickness", &["THK", "THICKNESS", "T", "THK."]),
        Column::Material => {
            ("heading of doors' material", &["DOOR MATERIAL", "DOOR MATL", "DR. MAT'L", "Door Material", "DOOR MAT."])
        }
        Column::Frame => {
            ("heading of frames' material", &["FRAME MATERIAL", "FRAME MATL", "FR. MAT'L", "FRAME", "FRAME MAT."])
        }
        Column::Rating => {
            ("heading of ratings", &["FIRE RATING", "RATING", "LABEL", "FIRE LABEL", "FIRE RTG", "Fire Rating"])
        }
        Column::Hand => ("heading of hands", &["HAND", "HANDING", "SWING"]),
        Column::Pair => ("heading of pairs", &["PAIR", "PR", "LEAF"]),
        Column::Set => (
            "heading of sets",
            &[
                "HDW SET",
                "HW GRP",
                "HARDWARE SET",
                "HW SET",
                "HDWR SET",
                "HARDWARE GROUP",
                "HDW. SET NO.",
                "Hardware Set",
                "HDWE SET",
                "SET",
                "HARDWARE",
            ],
        ),
        Column::Remarks => ("heading of remarks", &["REMARKS", "NOTES", "COMMENTS", "Remarks"]),
    };
    pen.habit(name, of).to_owned()
}
