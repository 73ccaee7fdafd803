//! How far a long run has come, on a terminal.

use crate::questions::record::Progress;
use std::io::{IsTerminal as _, Write as _};
use std::time::{Duration, Instant};

/// Shorter runs show nothing.
const AFTER: Duration = Duration::from_secs(1);
/// How often it is drawn.
const EVERY: Duration = Duration::from_millis(100);
/// How wide the bar is.
const WIDTH: u64 = 30;

/// A bar on standard error; nothing where that is no terminal.
#[derive(Debug)]
pub(super) struct Bar {
    next: Option<Instant>,
    drawn: bool,
    size: Option<u64>,
}

impl Bar {
    #[expect(clippy::disallowed_methods, reason = "only for how often the bar is drawn, in no result")]
    pub(super) fn new(size: Option<u64>) -> Self {
        let next = std::io::stderr().is_terminal().then(|| Instant::now() + AFTER);
        Self { next, drawn: false, size: size.filter(|size| *size > 0) }
    }
    #[expect(clippy::disallowed_methods, reason = "only for how often the bar is drawn, in no result")]
    pub(super) fn show(&mut self, progress: Progress) {
        let Some(next) = self.next else { return };
        let now = Instant::now();
        if now < next {
            return;
        }
        self.next = Some(now + EVERY);
        self.drawn = true;
        let line = line(progress, self.size);
        let _ = write!(std::io::stderr(), "\r{line}");
    }
    /// Wipes it.
    pub(super) fn clear(&mut self) {
        if std::mem::take(&mut self.drawn) {
            let _ = write!(std::io::stderr(), "\r{:79}\r", "");
        }
        self.next = None;
    }
}

fn line(progress: Progress, size: Option<u64>) -> String {
    let reached = progress.reached;
    let date = format!("{:04}-{:02}-{:02}", reached.year(), reached.month(), reached.day());
    match size {
        Some(size) => {
            let bytes = progress.bytes.min(size);
            let (full, percent) = (bytes * WIDTH / size, bytes * 100 / size);
            let bar: String = (0..WIDTH).map(|at| if at < full { '#' } else { '.' }).collect();
            format!("[{bar}] {percent:3} %  {date}")
        }
        None => format!("{:.1} MB read  {date}", progress.bytes as f64 / 1e6),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::hydrology::Moment;

    #[test]
    fn identity_the_bar_tells_share_and_date() {
        let progress = Progress { bytes: 500, reached: Moment::from_civil(2014, 6, 3, 0, 0, 0).unwrap() };
        assert_eq!(line(progress, Some(1000)), "[###############...............]  50 %  2014-06-03");
        assert_eq!(line(Progress { bytes: 2_500_000, ..progress }, None), "2.5 MB read  2014-06-03");
        assert!(line(Progress { bytes: 2000, ..progress }, Some(1000)).contains("100 %"));
    }
}
