//! The longest that pumps ran without a stop.

use crate::routing::{Switch, Watch};

/// The longest unbroken run of any pump.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct LongestRun {
    pub(super) first: bool,
    pub(super) second: bool,
    pub(super) since_s: Option<f64>,
    pub(super) longest: Option<(f64, f64)>,
}

impl LongestRun {
    pub(super) fn ends(&mut self, at_s: f64) {
        if let Some(since_s) = self.since_s.take()
            && self.longest.is_none_or(|(longest_s, _)| at_s - since_s > longest_s)
        {
            self.longest = Some((at_s - since_s, since_s));
        }
    }
}

impl Watch for LongestRun {
    fn switched(&mut self, switch: Switch) {
        *(if switch.pump == 1 { &mut self.first } else { &mut self.second }) = switch.on;
        if self.first || self.second {
            self.since_s = self.since_s.or(Some(switch.at_s));
        } else {
            self.ends(switch.at_s);
        }
    }
}
