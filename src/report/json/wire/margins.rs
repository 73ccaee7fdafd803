//! The wire types of the margins.

use super::{FindingOut, Quantity};
use serde::Serialize;

/// How wrong an estimate may be.
#[derive(Clone, Debug, Serialize)]
pub struct MarginsOut {
    /// The version of this form.
    pub format: u32,
    /// What it is: `margins`.
    pub kind: &'static str,
    /// The program that wrote it.
    pub program: &'static str,
    /// Its version.
    pub version: &'static str,
    /// The site's title.
    pub title: String,
    /// `us` or `metric`.
    pub units: &'static str,
    /// The pump that the design is made with.
    pub pump: String,
    /// Whether the design holds as it is entered.
    pub holds: bool,
    /// In a sentence.
    pub sentence: String,
    /// What could not be judged, or is not asked for.
    pub remarks: Vec<String>,
    /// What stands against the design as it is entered.
    pub stops: Vec<FindingOut>,
    /// Each assumption, that of the least slack first.
    pub margins: Vec<MarginOut>,
    /// What came of sites drawn at random, where that was asked for.
    pub sampling: Option<SamplingOut>,
}

/// One assumption.
#[derive(Clone, Debug, Serialize)]
pub struct MarginOut {
    /// Its name, and its key under `[margins]`.
    pub assumption: &'static str,
    /// Its value now.
    pub now: Quantity,
    /// Where the verdict turns; none where it does not.
    pub turns_at: Option<Quantity>,
    /// The furthest value asked, where it does not turn.
    pub not_within: Option<Quantity>,
    /// How far that is from the value now, with its sign.
    pub change: Quantity,
    /// The same in percent of what `slack_of` says; none where it does not turn.
    pub slack: Option<Quantity>,
    /// What the slack is a share of.
    pub slack_of: &'static str,
    /// What stops the design there; of one that fails as it is entered, what stops it now.
    pub stop: Option<FindingOut>,
}

/// What came of sites drawn at random.
#[derive(Clone, Debug, Serialize)]
pub struct SamplingOut {
    /// The seed.
    pub seed: u64,
    /// How many sites.
    pub runs: usize,
    /// In so many parts, each a Latin hypercube of its own.
    pub replicates: usize,
    /// In how many the design holds.
    pub holds: usize,
    /// How many could not be worked out; they count as failing.
    pub not_worked_out: usize,
    /// The share in which it holds, with its standard error.
    pub share: Quantity,
    /// The standard error of that share.
    pub standard_error: Quantity,
    /// What stops the others first.
    pub stops: Vec<StopCount>,
    /// The inputs, those that tell most first.
    pub inputs: Vec<InputOut>,
}

/// How often something stops the design first.
#[derive(Clone, Debug, Serialize)]
pub struct StopCount {
    /// The name of the finding.
    pub id: &'static str,
    /// How often.
    pub times: usize,
}

/// One input.
#[derive(Clone, Debug, Serialize)]
pub struct InputOut {
    /// Its name, and its key under `[margins]`.
    pub assumption: &'static str,
    /// The lowest change from the value entered.
    pub low: Quantity,
    /// The highest.
    pub high: Quantity,
    /// How it is drawn: `triangular`, the entered value the likeliest.
    pub distribution: &'static str,
    /// Where the range comes from.
    pub source: &'static str,
    /// Of all pairs of a run that fails and one that holds, the share in which it is worse in the one that fails.
    pub worse_in: Option<f64>,
}
