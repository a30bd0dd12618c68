//! The benchmark: `cargo bench`. Prints a table of times for jobs of growing size beside the bare cost of reading the same
//! input with the reading library and writing the same cells with the writing library, and the speed of the reader of
//! wordings. Figures of a run stand in DEVELOPERS.md.
#![allow(clippy::print_stdout, reason = "a benchmark prints its table")]
#![allow(clippy::float_arithmetic, reason = "times are no money")]

mod growth;
#[path = "../price/invented_list.rs"]
mod invented_list;
mod jobs;
mod reading;

use std::fs;
use std::hint::black_box;
use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};

use calamine::Reader as _;
use jobs::Size;
use pintle::read::schedule::Wording;
use pintle::understand::reading::Surroundings;

/// Openings and lines of the jobs; the last is run only when asked for with `--large`.
const SIZES: [(usize, usize); 5] = [(60, 100), (250, 1_000), (1_000, 4_000), (4_000, 20_000), (20_000, 50_000)];

fn main() {
    if let Some(folder) = std::env::args().skip_while(|argument| argument != "--jobs").nth(1) {
        return keep_jobs(Path::new(&folder));
    }
    let folder = std::env::temp_dir().join(format!("pintle-bench-{}", std::process::id()));
    fs::create_dir_all(&folder).expect("a temporary folder can be made");
    let asked = |name: &str| std::env::args().any(|argument| argument == name);
    let all = !asked("--list") && !asked("--wordings") && !asked("--reading") && !asked("--growth");
    if asked("--growth") {
        growth::measure(&folder);
    }
    if asked("--reading") {
        reading::measure(&folder);
    }
    if all || asked("--wordings") {
        wordings();
    }
    if all {
        whole_jobs(&folder);
    }
    if all || asked("--list") {
        price_list(&folder);
    }
    fs::remove_dir_all(&folder).expect("the folder is ours");
}

/// `cargo bench -- --jobs FOLDER` only writes the jobs, to run the program on them by hand or under a profiler.
fn keep_jobs(folder: &Path) {
    fs::create_dir_all(folder).expect("the folder for the jobs can be made");
    for (openings, lines) in SIZES {
        jobs::write(&folder.join(format!("job-{lines}.xlsx")), Size { openings, lines });
    }
    fs::write(folder.join("list.csv"), invented_list::csv(LIST_ROWS)).expect("the list can be written");
}

/// Goods of the long price list.
const LIST_ROWS: usize = 200_000;
/// What its import and a load afterwards may take.
const IMPORT_SECONDS: f64 = 10.0;
const LOAD_SECONDS: f64 = 0.5;

/// A price list of 200,000 invented rows: import, load, and the sample priced from it, as a user runs them.
fn price_list(folder: &Path) {
    let list = folder.join("list.csv");
    fs::write(&list, invented_list::csv(LIST_ROWS)).expect("the list can be written");
    let sample = Path::new(env!("CARGO_MANIFEST_DIR")).join("samples/library");
    for name in ["bid-set.xlsx", "job.toml"] {
        fs::copy(sample.join(name), folder.join(name)).expect("the sample is there");
    }
    let run = |arguments: &[&str]| {
        let start = Instant::now();
        let output = std::process::Command::new(env!("CARGO_BIN_EXE_pintle"))
            .current_dir(folder)
            .args(arguments)
            .output()
            .expect("the program was built beside this benchmark");
        assert!(output.status.code().is_some_and(|code| code < 2), "{}", String::from_utf8_lossy(&output.stderr));
        (start.elapsed().as_secs_f64(), String::from_utf8_lossy(&output.stderr).into_owned())
    };
    let (import, said) = run(&["catalog", "import", "list.csv", "--into", "books", "--effective", "2026-01-01"]);
    println!("{}", said.lines().filter(|line| line.starts_with("imported")).collect::<String>());
    // The first load after an import may find the file not yet read into memory.
    let load = (0..5).map(|_| run(&["catalog", "check", "books"]).0).fold(f64::INFINITY, f64::min);
    let (quote, said) = run(&["quote", "bid-set.xlsx", "--catalog", "books"]);
    run(&["quote", "bid-set.xlsx", "--out", "demo"]);
    println!("{LIST_ROWS} rows: import {import:.2} s, load {load:.2} s, the sample quoted from it {quote:.2} s");
    println!("{}", said.lines().filter(|line| line.starts_with("lines")).collect::<String>());
    let record = |path: &str| -> serde_json::Value {
        let text = fs::read_to_string(folder.join(path)).expect("a record was written");
        serde_json::from_str(&text).expect("a record is JSON")
    };
    let lost = invented_list::lines_without_price(&record("bid-set.record.json"), &record("demo/bid-set.record.json"));
    assert!(lost.is_empty(), "priced from the demo catalog and not from the list:\n{}", lost.join("\n"));
    assert!(import < IMPORT_SECONDS && load < LOAD_SECONDS, "slower than promised on a machine that is free");
}

/// The fastest of three runs.
fn best<T>(mut run: impl FnMut() -> T) -> (Duration, T) {
    let mut fastest = None;
    for _ in 0..3 {
        let start = Instant::now();
        let result = black_box(run());
        let time = start.elapsed();
        if fastest.as_ref().is_none_or(|(best, _)| time < *best) {
            fastest = Some((time, result));
        }
    }
    fastest.expect("it ran three times")
}

/// Wordings a second that one core must read.
const WORDINGS_A_SECOND: f64 = 100_000.0;
/// What reading ten times as many wordings may add to the memory in use, in MB.
const MORE_MEMORY: u64 = 4;

/// The speed of the reader of wordings, in time of the processor, so that other work on the machine does not count: on the
/// wordings of these jobs, and on every labelled wording of `tests/truth`. Fails when either falls below what is promised.
fn wordings() {
    let lexicon = pintle::understand::Lexicon::load(&[]).expect("the embedded lists are sound");
    let around = Surroundings::default();
    let read = |texts: &[Wording], times: usize| {
        (0..times)
            .flat_map(|_| texts)
            .map(|text| pintle::understand::understand(&lexicon, text, &around).len())
            .sum::<usize>()
    };
    println!("| wordings | different | a second on one core | memory after 1x, 11x, MB |");
    println!("|---|---|---|---|");
    let mut slow = false;
    for (name, texts) in [("of these jobs", jobs::wordings(20_000)), ("of tests/truth", truth())] {
        let wordings: Vec<Wording> = texts.iter().map(|text| Wording::free(text)).collect();
        let different: std::collections::BTreeSet<&String> = texts.iter().collect();
        let times = 40_000 / wordings.len().max(1) + 1;
        let speed = (0..5)
            .map(|_| {
                let start = processor();
                black_box(read(&wordings, times));
                (wordings.len() * times) as f64 / (processor() - start).as_secs_f64()
            })
            .fold(0.0, f64::max);
        let before = memory();
        black_box(read(&wordings, times * 10));
        let after = memory();
        println!("| {name} | {} | {speed:.0} | {before}, {after} |", different.len());
        slow |= speed < WORDINGS_A_SECOND || after > before + MORE_MEMORY;
    }
    println!();
    assert!(!slow, "fewer than {WORDINGS_A_SECOND} wordings a second on one core, or memory grows");
}

/// The labelled wordings of `tests/truth`, their cells joined.
fn truth() -> Vec<String> {
    let mut texts = Vec::new();
    for entry in fs::read_dir("tests/truth").expect("the benchmark runs in the project's folder") {
        let path = entry.expect("the folder can be read").path();
        let name = path.file_name().and_then(|name| name.to_str()).unwrap_or_default();
        if !name.ends_with(".csv") || name == "score.csv" {
            continue;
        }
        let mut rows = csv::Reader::from_path(&path).expect("the file can be read");
        texts.extend(rows.records().filter_map(|row| {
            let row = row.ok()?;
            let cells: Vec<&str> = (0..4).filter_map(|cell| row.get(cell)).filter(|cell| !cell.is_empty()).collect();
            Some(cells.join(" "))
        }));
    }
    texts.sort();
    texts
}

/// Time of the processor that this thread has used, where the system tells; else the time of the clock.
fn processor() -> Duration {
    let told = fs::read_to_string("/proc/thread-self/schedstat").ok();
    told.and_then(|text| text.split(' ').next()?.parse().ok()).map_or_else(
        || std::time::SystemTime::now().duration_since(std::time::UNIX_EPOCH).unwrap_or_default(),
        Duration::from_nanos,
    )
}

/// Memory in use, in MB, where the system tells.
fn memory() -> u64 {
    let status = fs::read_to_string("/proc/self/status").unwrap_or_default();
    let used = status.lines().find_map(|line| line.strip_prefix("VmRSS:"));
    used.and_then(|text| text.trim().trim_end_matches(" kB").trim().parse::<u64>().ok()).map_or(0, |kb| kb / 1024)
}

/// Reads every cell with the reading library and nothing else.
fn bare_read(path: &Path) -> usize {
    let mut book: calamine::Xlsx<_> = calamine::open_workbook(path).expect("the job was just written");
    let names = book.sheet_names();
    let mut cells = 0;
    for name in names {
        let mut reader = book.worksheet_cells_reader(&name).expect("the sheet is there");
        while let Some(cell) = reader.next_cell().expect("the sheet is sound") {
            black_box(cell);
            cells += 1;
        }
    }
    cells
}

/// Writes the same cells as the workbook holds with the writing library and nothing else.
fn bare_write(book: &[u8]) -> usize {
    let mut book: calamine::Xlsx<_> =
        calamine::open_workbook_from_rs(std::io::Cursor::new(book)).expect("the estimate was just written");
    let mut out = rust_xlsxwriter::Workbook::new();
    for name in book.sheet_names() {
        let range = book.worksheet_range(&name).expect("the sheet is there");
        let sheet = out.add_worksheet();
        let (top, left) = range.start().unwrap_or_default();
        for (row, column, value) in range.used_cells() {
            let (row, column) = (row as u32 + top, (column as u32 + left) as u16);
            match value {
                calamine::Data::Float(number) => sheet.write_number(row, column, *number),
                calamine::Data::Int(number) => sheet.write_number(row, column, *number as f64),
                other => sheet.write_string(row, column, other.to_string()),
            }
            .expect("the cell is within the sheet");
        }
    }
    out.save_to_buffer().expect("it is written to memory").len()
}

/// Peak memory of this process in MB, where the system tells.
fn peak_memory() -> String {
    let status = fs::read_to_string("/proc/self/status").unwrap_or_default();
    let peak = status.lines().find_map(|line| line.strip_prefix("VmHWM:"));
    peak.and_then(|text| text.trim().trim_end_matches(" kB").trim().parse::<u64>().ok())
        .map_or_else(|| "?".to_owned(), |kilobytes| format!("{}", kilobytes / 1024))
}

fn whole_jobs(folder: &Path) {
    println!(
        "| openings | lines | read | bare read | understand | complete | count + price | write | bare write | whole | whole / bare | peak MB |"
    );
    println!("|---|---|---|---|---|---|---|---|---|---|---|---|");
    let all = std::env::args().any(|argument| argument == "--large");
    for (openings, lines) in SIZES.into_iter().take(if all { SIZES.len() } else { SIZES.len() - 1 }) {
        let path = folder.join(format!("job-{lines}.xlsx"));
        jobs::write(&path, Size { openings, lines });
        one_job(&path, openings, lines);
    }
}

fn one_job(path: &PathBuf, openings: usize, lines: usize) {
    let terms = pintle::terms::Terms::default();
    let catalog = pintle::catalog::Catalog::embedded("2026-11-25").expect("the demo catalog is sound");
    let lexicon = pintle::understand::Lexicon::load(&[]).expect("the embedded lists are sound");
    let mut times = Vec::new();
    let mut clock = Instant::now();
    let mut lap = |times: &mut Vec<Duration>| {
        times.push(clock.elapsed());
        clock = Instant::now();
    };
    let schedule = pintle::read::read(std::slice::from_ref(path), &[]).expect("the job reads");
    lap(&mut times);
    let readings = pintle::understand::understand_sets(&lexicon, &schedule);
    lap(&mut times);
    let job = pintle::complete::complete(schedule, readings, &catalog, &terms, &Default::default());
    lap(&mut times);
    let takeoff = pintle::count::count(&job, &catalog);
    let quote = pintle::price::price(job, takeoff, &catalog, &terms, "2026-11-25");
    lap(&mut times);
    let record = pintle::write::record(&quote);
    let estimate = pintle::write::estimate(&quote).expect("the estimate is written");
    let proposal = pintle::write::proposal(&quote).expect("the proposal is written");
    lap(&mut times);
    black_box((record.len(), proposal.len()));
    let whole: Duration = times.iter().sum();
    let (bare_in, _) = best(|| bare_read(path));
    let (bare_out, _) = best(|| bare_write(&estimate));
    let ms = |time: Duration| format!("{:.1}", time.as_secs_f64() * 1000.0);
    println!(
        "| {openings} | {lines} | {} | {} | {} | {} | {} | {} | {} | {} | {:.2} | {} |",
        ms(times[0]),
        ms(bare_in),
        ms(times[1]),
        ms(times[2]),
        ms(times[3]),
        ms(times[4]),
        ms(bare_out),
        ms(whole),
        whole.as_secs_f64() / (bare_in + bare_out).as_secs_f64(),
        peak_memory()
    );
}
