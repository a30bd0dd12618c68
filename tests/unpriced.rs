//! What is told of goods without a price: a line that has a price at some of its doors is not listed as if it had none.

use std::fs;
use std::process::Command;

use pintle::read::sheets;

#[test]
fn a_line_without_a_price_at_some_doors_names_them() {
    let folder = std::env::temp_dir().join(format!("pintle-unpriced-{}", std::process::id()));
    let _ = fs::remove_dir_all(&folder);
    fs::create_dir_all(&folder).unwrap();
    // No continuous hinge is made as long as the second door is high.
    let doors = "Door No,Width,Height,Door Matl,Frame Matl,HW Set\n101,\"3'-0\"\"\",\"7'-0\"\"\",HM,HM,A\n\
        102,\"3'-0\"\"\",\"12'-6\"\"\",HM,HM,A\n";
    fs::write(folder.join("doors.csv"), doors).unwrap();
    fs::write(
        folder.join("sets.csv"),
        "Set,Qty,Description,Finish\nA,1,\"continuous hinge, geared, full mortise\",628\n",
    )
    .unwrap();
    let arguments = ["quote", "doors.csv", "sets.csv", "--force", "--out", "o"];
    let run = Command::new(env!("CARGO_BIN_EXE_pintle")).current_dir(&folder).args(arguments).output().unwrap();
    assert!(matches!(run.status.code(), Some(0 | 1)), "{}", String::from_utf8_lossy(&run.stderr));
    let pages = sheets(&folder.join("o/doors.estimate.xlsx")).unwrap();
    let _ = fs::remove_dir_all(&folder);
    let told =
        pages[0].rows.iter().flat_map(|(_, row)| row.values()).find(|text| text.contains("alone; it has a price"));
    assert!(told.is_some_and(|text| text.contains("(at 102 alone")), "{told:?}");
}

/// A line whose words hold at no door of its set has a price and nothing in the sum: the letter says so.
#[test]
fn a_line_at_no_door_is_named_in_the_letter() {
    let folder = std::env::temp_dir().join(format!("pintle-nowhere-{}", std::process::id()));
    let _ = fs::remove_dir_all(&folder);
    fs::create_dir_all(&folder).unwrap();
    let doors = "Door No,Width,Height,Door Matl,Frame Matl,HW Set\n101,\"3'-0\"\"\",\"7'-0\"\"\",HM,HM,A\n";
    fs::write(folder.join("doors.csv"), doors).unwrap();
    let sets = "Set,Qty,Description,Finish\nA,1,COORDINATOR (PAIRS ONLY),689\nA,1,WALL STOP,626\n";
    fs::write(folder.join("sets.csv"), sets).unwrap();
    let arguments = ["quote", "doors.csv", "sets.csv", "--force", "--out", "o"];
    let run = Command::new(env!("CARGO_BIN_EXE_pintle")).current_dir(&folder).args(arguments).output().unwrap();
    assert!(matches!(run.status.code(), Some(0 | 1)), "{}", String::from_utf8_lossy(&run.stderr));
    let pages = sheets(&folder.join("o/doors.proposal.xlsx")).unwrap();
    let _ = fs::remove_dir_all(&folder);
    let texts: Vec<&String> = pages.iter().flat_map(|page| &page.rows).flat_map(|(_, row)| row.values()).collect();
    assert!(texts.iter().any(|text| text.contains("COORDINATOR") && text.contains("at no door of the schedule")));
    assert!(!texts.iter().any(|text| text.contains("WALL STOP") && text.contains("at no door")));
}
