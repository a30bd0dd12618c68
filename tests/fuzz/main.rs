//! Fuzzing on the stable toolchain: each reader is fed damaged inputs until its time is over. Inputs that make it answer
//! in a new way are kept and damaged further. Nothing may panic or hang.
//!
//! `cargo test` gives each target two seconds; `FUZZ_SECONDS=600 cargo test --release --test fuzz` gives ten minutes. An
//! input that fails is written to `target/fuzz` and named.
#![allow(clippy::print_stdout, clippy::print_stderr, reason = "a fuzzer says how far it came, and why it ends the run")]

mod mutate;
mod targets;

use std::collections::HashSet;
use std::fs;
use std::hash::{DefaultHasher, Hash, Hasher};
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::path::PathBuf;
use std::sync::Arc;
use std::sync::mpsc::{RecvTimeoutError, Sender, channel};
use std::thread;
use std::time::{Duration, Instant};

use mutate::{Dice, damage};

/// No input may take longer, in an unoptimised build on a busy machine.
const BOUND: Duration = Duration::from_secs(20);

fn time_given() -> Duration {
    let seconds = std::env::var("FUZZ_SECONDS").ok().and_then(|text| text.parse().ok()).unwrap_or(2);
    Duration::from_secs(seconds)
}

/// What a run answered, as a number: inputs that answer alike are not kept twice.
pub fn sign(answer: &impl Hash) -> u64 {
    let mut hasher = DefaultHasher::new();
    answer.hash(&mut hasher);
    hasher.finish()
}

fn keep(target: &str, bytes: &[u8]) -> PathBuf {
    let folder = PathBuf::from(concat!(env!("CARGO_MANIFEST_DIR"), "/target/fuzz"));
    fs::create_dir_all(&folder).expect("a folder in target can be made");
    let path = folder.join(format!("{target}-{:016x}", sign(&bytes)));
    fs::write(&path, bytes).expect("the input can be kept");
    path
}

/// Ends the whole run when an input takes too long: a thread that hangs cannot be stopped.
fn watch(target: &'static str) -> Sender<Option<Arc<Vec<u8>>>> {
    let (sender, receiver) = channel::<Option<Arc<Vec<u8>>>>();
    thread::spawn(move || {
        let mut running: Option<Arc<Vec<u8>>> = None;
        loop {
            match receiver.recv_timeout(BOUND) {
                Ok(next) => running = next,
                Err(RecvTimeoutError::Disconnected) => return,
                Err(RecvTimeoutError::Timeout) => {
                    if let Some(bytes) = &running {
                        eprintln!("{target}: an input takes longer than {BOUND:?}: {}", keep(target, bytes).display());
                        std::process::exit(101);
                    }
                }
            }
        }
    });
    sender
}

/// Feeds damaged inputs to `run` until the time is over. Says how many were tried and kept.
fn fuzz(target: &'static str, seeds: Vec<Vec<u8>>, words: &[&str], mut run: impl FnMut(&[u8]) -> u64) {
    assert!(!seeds.is_empty(), "{target}: nothing to begin with");
    let watcher = watch(target);
    let until = Instant::now() + time_given();
    let mut dice = Dice(0x9e37_79b9_7f4a_7c15 ^ sign(&target));
    let mut corpus = seeds;
    let mut seen = HashSet::new();
    let (mut tried, mut next) = (0_u64, 0);
    loop {
        // The seeds themselves first: they must be answered too.
        let bytes = if next < corpus.len() && tried < corpus.len() as u64 {
            next += 1;
            corpus[next - 1].clone()
        } else {
            let (one, other) = (dice.roll(corpus.len()), dice.roll(corpus.len()));
            damage(&mut dice, &corpus[one], &corpus[other], words)
        };
        let bytes = Arc::new(bytes);
        let _ = watcher.send(Some(Arc::clone(&bytes)));
        let answer = catch_unwind(AssertUnwindSafe(|| run(&bytes)));
        let _ = watcher.send(None);
        tried += 1;
        match answer {
            Ok(sign) if seen.insert(sign) && tried > next as u64 && corpus.len() < 5_000 => corpus.push(bytes.to_vec()),
            Ok(_) => {}
            Err(_) => panic!("{target}: an input panics: {}", keep(target, &bytes).display()),
        }
        if Instant::now() >= until {
            break;
        }
    }
    println!("{target}: {tried} inputs, {} ways to answer, none panics or hangs", seen.len());
}

#[test]
fn the_fuzzer_finds_a_planted_panic() {
    let found = catch_unwind(|| {
        fuzz("planted", vec![b"set 1".to_vec()], &["HINGE"], |bytes| {
            assert!(!bytes.windows(5).any(|five| five == b"HINGE"), "planted");
            sign(&bytes.len())
        });
    });
    assert!(found.is_err(), "it did not find it in {:?}", time_given());
}
