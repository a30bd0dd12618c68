//! How time and memory of the program grow with the lines of a job and with the goods of a price list: whole runs of the
//! program as a user starts it, beside the bare cost of reading the same input and writing the same cells.

use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

use super::jobs::{self, Size};
use super::{bare_read, bare_write, best, invented_list};

/// Goods of the price lists.
const GOODS: [usize; 5] = [1_000, 10_000, 50_000, 200_000, 500_000];
/// Openings and lines of the job that is priced from the longest lists too.
const LARGE: (usize, usize) = (4_000, 20_000);
/// How often a run of the program is looked at for its memory.
const LOOK: Duration = Duration::from_millis(2);

/// What a run of the program took.
struct Run {
    seconds: f64,
    /// Most memory that it held, in MB; 0 where the system does not tell.
    peak: u64,
}

/// Prints both tables.
pub fn measure(folder: &Path) {
    println!(
        "| openings | lines | quote, all files | the same a line | peak memory, MiB | bare read and write | times bare |"
    );
    println!("|---|---|---|---|---|---|---|");
    for (openings, lines) in super::SIZES {
        let path = folder.join(format!("job-{lines}.xlsx"));
        jobs::write(&path, Size { openings, lines });
        let out = folder.join(format!("quote-{lines}"));
        let run = quickest(3, || quote(folder, &path, &out, None));
        let (input, _) = best(|| bare_read(&path));
        let books: Vec<Vec<u8>> = workbooks(&out).iter().map(|book| fs::read(book).expect("it was written")).collect();
        let (output, _) = best(|| books.iter().map(|book| bare_write(book)).sum::<usize>());
        let bare = (input + output).as_secs_f64();
        println!(
            "| {openings} | {lines} | {:.2} s | {:.2} ms | {} | {bare:.2} s | {:.1} |",
            run.seconds,
            run.seconds * 1000.0 / lines as f64,
            run.peak,
            run.seconds / bare
        );
    }
    println!();
    println!("| goods | import | load | the sample quoted | {} lines quoted | peak memory, MiB |", LARGE.1);
    println!("|---|---|---|---|---|---|");
    let sample = Path::new(env!("CARGO_MANIFEST_DIR")).join("samples/library/bid-set.xlsx");
    let large = folder.join(format!("job-{}.xlsx", LARGE.1));
    for goods in GOODS {
        let list = folder.join(format!("list-{goods}.csv"));
        fs::write(&list, invented_list::csv(goods)).expect("the list can be written");
        let books = folder.join(format!("books-{goods}"));
        let import = watched(
            pintle(folder)
                .args(["catalog", "import"])
                .arg(&list)
                .arg("--into")
                .arg(&books)
                .args(["--effective", "2026-01-01"]),
        );
        let load = quickest(3, || watched(pintle(folder).args(["catalog", "check"]).arg(&books)));
        let out = folder.join(format!("sample-{goods}"));
        let quoted = quickest(3, || quote(folder, &sample, &out, Some(&books)));
        let out = folder.join(format!("large-{goods}"));
        let whole = quote(folder, &large, &out, Some(&books));
        println!(
            "| {goods} | {:.2} s | {:.2} s | {:.2} s | {:.2} s | {} |",
            import.seconds, load.seconds, quoted.seconds, whole.seconds, whole.peak
        );
        for done in [&out, &books] {
            fs::remove_dir_all(done).expect("the folder is ours");
        }
    }
    println!();
}

fn pintle(folder: &Path) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_pintle"));
    command.current_dir(folder);
    command
}

fn quote(folder: &Path, job: &Path, out: &Path, books: Option<&Path>) -> Run {
    if out.exists() {
        fs::remove_dir_all(out).expect("the folder is ours");
    }
    let mut command = pintle(folder);
    command.arg("quote").arg(job).arg("--out").arg(out);
    if let Some(books) = books {
        command.arg("--catalog").arg(books);
    }
    watched(&mut command)
}

/// Runs the program to its end and watches its memory meanwhile.
fn watched(command: &mut Command) -> Run {
    let start = Instant::now();
    let mut child = command
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .spawn()
        .expect("the program was built beside this benchmark");
    let status = format!("/proc/{}/status", child.id());
    let mut peak = 0;
    let ended = loop {
        peak = peak.max(most_memory(&status));
        match child.try_wait().expect("the program runs") {
            Some(ended) => break ended,
            None => std::thread::sleep(LOOK),
        }
    };
    assert!(ended.code().is_some_and(|code| code < 2), "the program failed: {command:?}");
    Run { seconds: start.elapsed().as_secs_f64(), peak }
}

fn most_memory(status: &str) -> u64 {
    let text = fs::read_to_string(status).unwrap_or_default();
    let most = text.lines().find_map(|line| line.strip_prefix("VmHWM:"));
    most.and_then(|text| text.trim().trim_end_matches(" kB").trim().parse::<u64>().ok()).map_or(0, |kib| kib / 1_024)
}

fn quickest(times: usize, run: impl Fn() -> Run) -> Run {
    (0..times).map(|_| run()).min_by(|one, other| one.seconds.total_cmp(&other.seconds)).expect("it ran")
}

/// The workbooks of a folder.
fn workbooks(folder: &Path) -> Vec<PathBuf> {
    let entries = fs::read_dir(folder).expect("the quote was written").filter_map(Result::ok).map(|entry| entry.path());
    entries.filter(|path| path.extension().is_some_and(|ending| ending == "xlsx")).collect()
}
