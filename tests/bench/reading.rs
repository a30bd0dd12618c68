//! The time to read a schedule of 20,000 rows and 12 columns, beside the time the reading library alone needs to go over
//! the same cells: under a second, and not more than 1.5 times as long. Only `cargo bench -- --reading` runs this part; it
//! fails when a bound does not hold.

use std::path::Path;

use rust_xlsxwriter::Workbook;

use super::{bare_read, best};
use crate::jobs::Dice;

/// Rows under the heading row.
const ROWS: u32 = 20_000;
/// The longest that reading may take, in seconds.
const LONGEST: f64 = 1.0;
/// The longest as a multiple of the bare reading.
const MULTIPLE: f64 = 1.5;

const HEADINGS: [&str; 12] = [
    "DOOR NO.",
    "ROOM",
    "WIDTH",
    "HEIGHT",
    "THK",
    "DOOR MATL",
    "FRAME MATL",
    "RATING",
    "HAND",
    "HW SET",
    "LEVEL",
    "REMARKS",
];

/// A door schedule of doors that all differ.
fn write(path: &Path) {
    let mut dice = Dice(0x2545_f491_4f6c_dd1d);
    let mut book = Workbook::new();
    let sheet = book.add_worksheet().set_name("Doors").expect("the name is short");
    for (column, heading) in HEADINGS.iter().enumerate() {
        sheet.write_string(0, column as u16, *heading).expect("the cell is within the sheet");
    }
    for row in 1..=ROWS {
        let cells = [
            format!("{}", 10_000 + row),
            ["OFFICE", "STORAGE", "CLASSROOM", "CORRIDOR", "STAIR"][dice.roll(5)].to_owned(),
            ["3'-0\"", "3'-4\"", "3'-6\"", "2'-8\""][dice.roll(4)].to_owned(),
            ["7'-0\"", "8'-0\"", "6'-8\""][dice.roll(3)].to_owned(),
            "1-3/4\"".to_owned(),
            ["HM", "WD", "AL"][dice.roll(3)].to_owned(),
            "HM".to_owned(),
            ["20 MIN", "45 MIN", "90 MIN", "NR"][dice.roll(4)].to_owned(),
            ["LH", "RH", "LHR", "RHR"][dice.roll(4)].to_owned(),
            format!("{}", dice.roll(200) + 1),
            format!("LEVEL {}", dice.roll(9) + 1),
            ["verify in field", "new", "see plan", "paint to match"][dice.roll(4)].to_owned(),
        ];
        for (column, text) in cells.iter().enumerate() {
            sheet.write_string(row, column as u16, text).expect("the cell is within the sheet");
        }
    }
    book.save(path).expect("the folder may be written to");
}

/// Prints the times, and fails when a bound does not hold.
pub fn measure(folder: &Path) {
    let path = folder.join("reading.xlsx");
    write(&path);
    // The two take turns, so that a machine which is busy for a while is busy for both.
    let (mut own, mut bare) = (f64::MAX, f64::MAX);
    for _ in 0..5 {
        let (time, cells) = best(|| bare_read(&path));
        assert_eq!(cells, (ROWS as usize + 1) * HEADINGS.len(), "the library saw every cell");
        bare = bare.min(time.as_secs_f64());
        let (time, schedule) =
            best(|| pintle::read::read(std::slice::from_ref(&path), &[]).expect("the schedule reads"));
        assert_eq!(schedule.openings.len(), ROWS as usize, "every door came in");
        own = own.min(time.as_secs_f64());
    }
    println!(
        "reading {ROWS} rows x {} columns: {:.0} ms, the reading library alone {:.0} ms, {:.2} times\n",
        HEADINGS.len(),
        own * 1000.0,
        bare * 1000.0,
        own / bare
    );
    assert!(
        own < LONGEST && own / bare <= MULTIPLE,
        "reading is slower than {MULTIPLE} times the library or {LONGEST} s"
    );
}
