//! Faults of the machine: killed in the middle, a full disk, a folder that may not be written, two runs at once. An older
//! output stays whole or a new one is complete; never a torn file.

use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};
use std::time::{Duration, Instant};

const DOORS: &str = "Door,Size,Door Matl,Frame Matl,Fire Rating,HW Set\n";
const SETS: &str = "Set,Qty,Unit,Description,Finish\n\
                    1,3,EA,Hinge 4-1/2 x 4-1/2 BB standard weight,652\n1,1,EA,Storeroom lock F86,626\n1,1,EA,Wall stop,630\n";
const OUTPUTS: [&str; 3] = ["doors.estimate.xlsx", "doors.proposal.xlsx", "doors.record.json"];

fn folder(name: &str) -> PathBuf {
    let folder = std::env::temp_dir().join(format!("pintle-faults-{name}-{}", std::process::id()));
    let _ = fs::remove_dir_all(&folder);
    fs::create_dir_all(&folder).unwrap();
    folder
}

fn write_job(folder: &Path, doors: usize) {
    let rows: String = (0..doors).map(|door| format!("{},3070,HM,HM,,1\n", door + 100)).collect();
    fs::write(folder.join("doors.csv"), format!("{DOORS}{rows}")).unwrap();
    fs::write(folder.join("sets.csv"), SETS).unwrap();
}

fn start(folder: &Path) -> Child {
    Command::new(env!("CARGO_BIN_EXE_pintle"))
        .current_dir(folder)
        .args(["quote", "doors.csv", "sets.csv", "--out", "out", "--force", "--date", "2026-11-25"])
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .spawn()
        .expect("the program was built beside this test")
}

fn outputs(folder: &Path) -> Vec<Vec<u8>> {
    OUTPUTS.iter().map(|name| fs::read(folder.join("out").join(name)).unwrap_or_default()).collect()
}

#[test]
fn killed_at_any_moment_leaves_whole_files() {
    let folder = folder("kill");
    let mut whole = Vec::new();
    let mut longest = Duration::ZERO;
    for doors in [2, 40] {
        write_job(&folder, doors);
        let begun = Instant::now();
        assert!(matches!(start(&folder).wait().unwrap().code(), Some(0 | 1)));
        longest = longest.max(begun.elapsed());
        whole.push(outputs(&folder));
    }
    assert!(whole[0] != whole[1], "the two jobs differ");
    // The moments of the kills are spread over the length of a run, which is measured anew whenever a run ends first, so
    // that 200 are truly killed on a fast machine and on a slow one.
    let (mut killed, mut span) = (0, longest);
    for round in 0..4000_u32 {
        if killed == 200 {
            break;
        }
        write_job(&folder, if round % 2 == 0 { 2 } else { 40 });
        let begun = Instant::now();
        let mut run = start(&folder);
        std::thread::sleep(span * (round % 50) / 50);
        if run.try_wait().unwrap().is_none() {
            // It may end by itself just now; its status tells.
            let _ = run.kill();
        }
        if run.wait().unwrap().code().is_none() {
            killed += 1;
        } else {
            span = begun.elapsed().min(span).max(Duration::from_millis(5));
        }
        for (index, bytes) in outputs(&folder).into_iter().enumerate() {
            assert!(
                bytes == whole[0][index] || bytes == whole[1][index],
                "round {round}: {} is neither the old file nor the new one",
                OUTPUTS[index]
            );
        }
    }
    assert_eq!(killed, 200, "runs that were truly killed");
}

/// Names of temporary files in the folder of the outputs and in those below it.
fn temporary(folder: &Path) -> Vec<String> {
    let mut names = Vec::new();
    let mut folders = vec![folder.join("out")];
    while let Some(next) = folders.pop() {
        for path in fs::read_dir(next).unwrap().map(|entry| entry.unwrap().path()) {
            let name = path.file_name().unwrap().to_string_lossy().into_owned();
            if path.is_dir() {
                folders.push(path);
            } else if name.contains("pintle-tmp") || name.starts_with('.') {
                names.push(name);
            }
        }
    }
    names
}

#[test]
fn two_runs_at_once_in_one_folder_are_safe() {
    let folder = folder("twice");
    write_job(&folder, 40);
    assert!(matches!(start(&folder).wait().unwrap().code(), Some(0 | 1)));
    let whole = outputs(&folder);
    for _ in 0..10 {
        let mut runs: Vec<Child> = (0..4).map(|_| start(&folder)).collect();
        for run in &mut runs {
            run.wait().unwrap();
        }
        assert!(outputs(&folder) == whole);
    }
    assert_eq!(temporary(&folder), Vec::<String>::new(), "no temporary file is left");
}

#[cfg(target_os = "linux")]
#[test]
fn a_full_disk_is_said_and_nothing_is_torn() {
    // A file size limit of the shell makes every write past 8 blocks fail, as a full disk does.
    let folder = folder("full");
    write_job(&folder, 40);
    assert!(matches!(start(&folder).wait().unwrap().code(), Some(0 | 1)));
    let whole = outputs(&folder);
    write_job(&folder, 2);
    let script = format!(
        "trap '' XFSZ; ulimit -f 1; exec '{}' quote doors.csv sets.csv --out out --force --date 2026-11-25 2>&1 | cat",
        env!("CARGO_BIN_EXE_pintle")
    );
    let run = Command::new("bash").current_dir(&folder).args(["-o", "pipefail", "-c", &script]).output().unwrap();
    let said = String::from_utf8_lossy(&run.stdout);
    assert_eq!(run.status.code(), Some(2), "{said}");
    assert!(said.contains("cannot write") && said.contains("help:"), "{said}");
    assert!(outputs(&folder) == whole, "the older outputs are whole");
    assert_eq!(temporary(&folder), Vec::<String>::new(), "no temporary file is left");
}
