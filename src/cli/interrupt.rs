//! Being broken off by the user.

use crate::hydrology::Moment;
use crate::questions::record::Progress;
use std::fs;
use std::io::Write as _;
use std::path::PathBuf;
use std::sync::atomic::{AtomicBool, AtomicI64, AtomicU64, Ordering};
use std::sync::{Mutex, MutexGuard, Once, PoisonError};
use std::time::Duration;

/// So long the run may take to stop by itself: it may wait for rows that do not come.
const PATIENCE: Duration = Duration::from_secs(1);

/// What the thread that hears the signal knows of the work.
#[derive(Debug)]
struct Shared {
    asked: AtomicBool,
    running: AtomicBool,
    size: AtomicU64,
    bytes: AtomicU64,
    reached: AtomicI64,
    started: AtomicBool,
}

static SHARED: Shared = Shared {
    asked: AtomicBool::new(false),
    running: AtomicBool::new(false),
    size: AtomicU64::new(0),
    bytes: AtomicU64::new(0),
    reached: AtomicI64::new(0),
    started: AtomicBool::new(false),
};

/// Files begun that have not got their names yet.
static UNFINISHED: Mutex<Vec<PathBuf>> = Mutex::new(Vec::new());

/// Files begun that have not got their names yet. While somebody holds them, nothing is broken off.
pub(super) fn unfinished() -> MutexGuard<'static, Vec<PathBuf>> {
    UNFINISHED.lock().unwrap_or_else(PoisonError::into_inner)
}

/// From now on what is unfinished is taken away before the program is broken off.
///
/// A signal that whoever started the program wanted ignored stays ignored, as of a run that goes on when its terminal is
/// closed. The program then listens to none, and ends by the others as any program does.
pub(super) fn listen() {
    static ONCE: Once = Once::new();
    ONCE.call_once(|| {
        let _ = ctrlc::try_set_handler(heard);
    });
}

/// A long run begins, which may be broken off; `size` is that of the record, if it has one.
pub(super) fn run_begins(size: Option<u64>) {
    SHARED.size.store(size.unwrap_or(0), Ordering::SeqCst);
    SHARED.running.store(true, Ordering::SeqCst);
    listen();
}

/// Tells how far the run has come; whether it may go on.
pub(super) fn may_go_on(progress: Progress) -> bool {
    SHARED.bytes.store(progress.bytes, Ordering::Relaxed);
    SHARED.reached.store(progress.reached.seconds(), Ordering::Relaxed);
    SHARED.started.store(true, Ordering::Release);
    !SHARED.asked.load(Ordering::SeqCst)
}

/// The run is over; whether it was broken off before.
pub(super) fn run_ends() -> bool {
    SHARED.running.store(false, Ordering::SeqCst);
    SHARED.asked.load(Ordering::SeqCst)
}

/// What is said of a run that was broken off.
pub(super) fn said() -> String {
    if !SHARED.started.load(Ordering::Acquire) {
        return "interrupted before the first rain was followed; nothing was written\n".to_owned();
    }
    let reached = Moment::from_seconds(SHARED.reached.load(Ordering::Relaxed));
    let bytes = SHARED.bytes.load(Ordering::Relaxed);
    let share = match SHARED.size.load(Ordering::SeqCst) {
        0 => format!("{:.1} MB read", bytes as f64 / 1e6),
        size => format!("{} % of the file", bytes.min(size) * 100 / size),
    };
    format!("interrupted at {reached} of the record, {share}; nothing was written\n")
}

/// What is said last when the program is broken off outside of a run.
static LAST_WORDS: Mutex<String> = Mutex::new(String::new());

/// From now on this is said last when the program is broken off outside of a run.
pub(super) fn last_words(words: String) {
    *LAST_WORDS.lock().unwrap_or_else(PoisonError::into_inner) = words;
}

fn heard() {
    let again = SHARED.asked.swap(true, Ordering::SeqCst);
    let running = SHARED.running.load(Ordering::SeqCst);
    if running && !again {
        std::thread::sleep(PATIENCE);
        if !SHARED.running.load(Ordering::SeqCst) {
            // the run has seen it, and ends by itself
            return;
        }
    }
    // held to the end, so that nothing gets its name any more
    let unfinished = unfinished();
    for file in unfinished.iter() {
        let _ = fs::remove_file(file);
    }
    let words: String = match (running, unfinished.is_empty()) {
        (true, _) => said(),
        (false, false) => "interrupted; nothing was written\n".to_owned(),
        (false, true) => "interrupted\n".to_owned(),
    };
    let last = LAST_WORDS.lock().unwrap_or_else(PoisonError::into_inner);
    let _ = std::io::stderr().write_all(format!("{words}{last}").as_bytes());
    std::process::exit(130);
}
