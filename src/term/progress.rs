//! A sign of life for work that takes longer than a second.

use indicatif::{ProgressBar, ProgressStyle};
use std::sync::mpsc::{self, RecvTimeoutError};
use std::thread;
use std::time::Duration;

/// Work shorter than this shows nothing.
const PATIENCE: Duration = Duration::from_secs(1);
const TICK: Duration = Duration::from_millis(120);

/// Does some work; where it takes longer than a second, a line on the terminal says what is going
/// on and for how long. Nothing is shown where standard error is not a terminal.
pub fn with_progress<T>(what: &'static str, work: impl FnOnce() -> T) -> T {
    let (done, waiting) = mpsc::channel::<()>();
    let watcher = thread::spawn(move || {
        if waiting.recv_timeout(PATIENCE) != Err(RecvTimeoutError::Timeout) {
            return;
        }
        let bar = ProgressBar::new_spinner().with_elapsed(PATIENCE);
        if let Ok(style) = ProgressStyle::with_template("{spinner} {msg} ({elapsed})") {
            bar.set_style(style);
        }
        bar.set_message(what);
        while waiting.recv_timeout(TICK) == Err(RecvTimeoutError::Timeout) {
            bar.tick();
        }
        bar.finish_and_clear();
    });
    let result = work();
    drop(done);
    // The watcher only draws; if it failed, the work is done all the same.
    let _ = watcher.join();
    result
}
