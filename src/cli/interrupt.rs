//! Being broken off by the user.

use crate::hydrology::Moment;
use crate::questions::record::Progress;
use std::io::Write as _;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, AtomicI64, AtomicU64, Ordering};
use std::time::Duration;

/// So long the run may take to stop by itself: it may wait for rows that do not come.
const PATIENCE: Duration = Duration::from_secs(1);

#[derive(Debug, Default)]
struct Shared {
    asked: AtomicBool,
    done: AtomicBool,
    bytes: AtomicU64,
    reached: AtomicI64,
    started: AtomicBool,
}

/// Whether the user wants to stop.
#[derive(Clone, Debug)]
pub(super) struct Interrupt {
    shared: Arc<Shared>,
    size: Option<u64>,
}

impl Interrupt {
    /// Listens from now on. Where the system lets nobody listen, the program ends as any other does.
    pub(super) fn listen(size: Option<u64>) -> Self {
        let made = Self { shared: Arc::default(), size };
        let heard = made.clone();
        let _ = ctrlc::set_handler(move || heard.heard());
        made
    }
    /// Tells how far the run has come; whether it may go on.
    pub(super) fn at(&self, progress: Progress) -> bool {
        self.shared.bytes.store(progress.bytes, Ordering::Relaxed);
        self.shared.reached.store(progress.reached.seconds(), Ordering::Relaxed);
        self.shared.started.store(true, Ordering::Release);
        !self.shared.asked.load(Ordering::Acquire)
    }
    /// The run is over: what is left is writing, which is not broken off half-way.
    pub(super) fn over(&self) {
        self.shared.done.store(true, Ordering::Release);
    }
    /// What is said when it was broken off.
    pub(super) fn said(&self) -> String {
        if !self.shared.started.load(Ordering::Acquire) {
            return "interrupted before the first rain was followed; nothing was written\n".to_owned();
        }
        let reached = Moment::from_seconds(self.shared.reached.load(Ordering::Relaxed));
        let bytes = self.shared.bytes.load(Ordering::Relaxed);
        let share = self.size.filter(|size| *size > 0).map_or_else(
            || format!("{:.1} MB read", bytes as f64 / 1e6),
            |size| format!("{} % of the file", bytes.min(size) * 100 / size),
        );
        format!("interrupted at {reached} of the record, {share}; nothing was written\n")
    }
    fn heard(&self) {
        let again = self.shared.asked.swap(true, Ordering::AcqRel);
        if self.shared.done.load(Ordering::Acquire) && !again {
            return;
        }
        if !again {
            std::thread::sleep(PATIENCE);
            if self.shared.done.load(Ordering::Acquire) {
                return;
            }
        }
        let _ = std::io::stderr().write_all(self.said().as_bytes());
        std::process::exit(130);
    }
}
