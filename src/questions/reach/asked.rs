//! What is asked: which job, which pump, what becomes of the fittings.

use crate::design::FittingsStay;
use crate::quantity::Flow;

/// The job as it is asked for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum JobAsked {
    /// The owner's goal in the design storm.
    Goal,
    /// A flow at the off level.
    Flow,
    /// The least velocity that carries grit, at the off level.
    Scour,
    /// Nothing at all stands against the design.
    Everything,
}

/// The job that is judged.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Job {
    /// The owner's goal in the design storm: neither missed, nor a protected place reached.
    Goal,
    /// This flow out of the line at the off level.
    Flow(Flow),
    /// The least velocity that carries grit, in riser and runs at the off level.
    Scour,
    /// No stop at all.
    Everything,
}

impl Job {
    /// Its name.
    pub fn name(self) -> &'static str {
        match self {
            Self::Goal => "goal",
            Self::Flow(_) => "flow",
            Self::Scour => "scour",
            Self::Everything => "everything",
        }
    }
}

/// Where the job comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum TakenFrom {
    /// It was asked for.
    Asked,
    /// The file has such a goal.
    File,
    /// The file has no goal of depth or time, but a flow.
    FlowOfFile,
}

/// Which pipes are looked at.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum PipesAsked {
    /// The one drawn, with some sizes below and above it.
    #[default]
    AroundDrawn,
    /// The one drawn.
    OnlyDrawn,
    /// The usual sizes of its material; none of them is the one drawn.
    AllSizes,
}

/// The question.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct ReachAsked {
    /// The job; none for that of the file.
    pub job: Option<JobAsked>,
    /// The flow, where it is not the file's.
    pub flow: Option<Flow>,
    /// The pump, where only one is asked about.
    pub pump: Option<String>,
    /// What becomes of the fittings.
    pub fittings: FittingsStay,
    /// Whether lifts are put beside each other, not sizes.
    pub by_lift: bool,
    /// Which pipes are looked at.
    pub pipes: PipesAsked,
    /// Whether the site was made of a handful of numbers: there is no riser, and only one water level.
    pub quick: bool,
    /// Whether there is no run to compare with.
    pub no_run: bool,
}
