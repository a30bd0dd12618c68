//! Says what a run is at, on a terminal only and only once it has taken a second, on one line that is taken away again.

use std::io::{IsTerminal, Write};
use std::sync::mpsc::{RecvTimeoutError, Sender, channel};
use std::thread::JoinHandle;
use std::time::{Duration, Instant};

/// How long a run is quiet.
const QUIET: Duration = Duration::from_secs(1);
/// How often the seconds are counted on.
const STEP: Duration = Duration::from_millis(200);

/// The line of a run; it goes with this.
pub struct Progress(Option<(Sender<&'static str>, JoinHandle<()>)>);

impl Progress {
    /// Begins with a stage, such as `reading`. Says nothing where standard error is no terminal.
    pub fn begin(stage: &'static str) -> Progress {
        if !std::io::stderr().is_terminal() {
            return Progress(None);
        }
        let (send, stages) = channel();
        let thread = std::thread::spawn(move || {
            let (start, mut stage, mut shown) = (Instant::now(), stage, false);
            loop {
                match stages.recv_timeout(if shown { STEP } else { QUIET.saturating_sub(start.elapsed()) }) {
                    Ok(next) => stage = next,
                    Err(RecvTimeoutError::Timeout) => {
                        shown = true;
                        put(&format!("\r{}\x1b[K", line(stage, start.elapsed())));
                    }
                    Err(RecvTimeoutError::Disconnected) => break,
                }
            }
            if shown {
                put("\r\x1b[K");
            }
        });
        Progress(Some((send, thread)))
    }

    /// Goes on to another stage.
    pub fn stage(&self, stage: &'static str) {
        if let Some((send, _)) = &self.0 {
            // The thread listens until this is dropped; a line not shown harms nothing.
            let _ = send.send(stage);
        }
    }
}

impl Drop for Progress {
    fn drop(&mut self) {
        if let Some((send, thread)) = self.0.take() {
            drop(send);
            // A line that could not be taken away harms nothing.
            let _ = thread.join();
        }
    }
}

fn line(stage: &str, since: Duration) -> String {
    format!("{stage} … {} s", since.as_secs())
}

fn put(text: &str) {
    let mut terminal = std::io::stderr().lock();
    // A terminal that went away has nobody to tell.
    let _ = terminal.write_all(text.as_bytes()).and_then(|()| terminal.flush());
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_line_says_the_stage_and_whole_seconds() {
        assert_eq!(line("pricing", Duration::from_millis(2_900)), "pricing … 2 s");
    }

    #[test]
    fn it_ends_when_it_is_dropped() {
        let progress = Progress::begin("reading");
        progress.stage("pricing");
        drop(progress);
    }
}
