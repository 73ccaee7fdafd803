//! The wire types of how long the run may be.

use super::Quantity;
use serde::Serialize;

/// How long the run may be.
#[derive(Clone, Debug, Serialize)]
pub struct ReachOut {
    /// The version of this form.
    pub format: u32,
    /// What it is: `reach`.
    pub kind: &'static str,
    /// The program that wrote it.
    pub program: &'static str,
    /// Its version.
    pub version: &'static str,
    /// The site's title.
    pub title: String,
    /// `us` or `metric`.
    pub units: &'static str,
    /// The job: `goal`, `flow`, `scour`, `everything`.
    pub job: &'static str,
    /// The flow asked for, where the job is one.
    pub flow_asked: Option<Quantity>,
    /// Where the job comes from: `asked`, `goal of the file`, `flow of the file`.
    pub job_from: &'static str,
    /// Whether the run as drawn is within reach with the pump that the design is made with.
    pub within_reach: bool,
    /// The answer in sentences.
    pub sentences: Vec<String>,
    /// What was assumed, in sentences.
    pub assumed: Vec<String>,
    /// The run as drawn, all runs together.
    pub run: Option<Quantity>,
    /// What becomes of fittings: `as drawn`, `with the run`.
    pub fittings: &'static str,
    /// The share of its head that a worn pump has lost.
    pub wear: f64,
    /// The pump that the design is made with.
    pub pump: String,
    /// The longest run tried.
    pub longest_tried: Quantity,
    /// Whether lifts are put beside each other, not pipes.
    pub by_lift: bool,
    /// Every pump in every pipe, or at every lift.
    pub cases: Vec<CaseOut>,
}

/// One pump in one pipe at one lift.
#[derive(Clone, Debug, Serialize)]
pub struct CaseOut {
    /// The pump.
    pub pump: String,
    /// The pipe's material.
    pub material: String,
    /// Its size.
    pub size: String,
    /// Whether the pipe is that of the site.
    pub pipe_as_drawn: bool,
    /// The lift from the off level to the highest point.
    pub lift: Quantity,
    /// Whether it is that of the site.
    pub lift_as_drawn: bool,
    /// The height of the outlet over the off level, where lifts are put beside each other.
    pub outlet_over_off_level: Option<Quantity>,
    /// With the pump as new.
    pub new: ExtentOut,
    /// With the pump worn, where that was looked at.
    pub worn: Option<ExtentOut>,
    /// What comes out of the run as drawn, water half-way between the floats.
    pub flow_half_way: Option<DeliveredOut>,
    /// The same at the off level.
    pub flow_at_off_level: Option<DeliveredOut>,
    /// What stands against a longer run, in words, where that is not the job itself.
    pub ended_by: Option<String>,
    /// From where on the goal hangs on where in its cycle the pump is when the burst comes; of the site as drawn alone.
    pub hangs_on_cycle_from: Option<Quantity>,
    /// Whether the job is done through the run as drawn.
    pub done_as_drawn: Option<bool>,
    /// How much longer the run may be; what is known at the least.
    pub spare: Option<Quantity>,
    /// How much too long it is.
    pub short: Option<Quantity>,
}

/// How far the job is done.
#[derive(Clone, Debug, Serialize)]
pub struct ExtentOut {
    /// `never`, `up to a length`, `any length tried`.
    pub done: &'static str,
    /// The longest run, or the longest tried.
    pub longest: Option<Quantity>,
    /// The shortest that it is known to be done through, where that is not next to none.
    pub from: Option<Quantity>,
    /// Why never.
    pub why: Option<String>,
}

/// What comes out.
#[derive(Clone, Debug, Serialize)]
pub struct DeliveredOut {
    /// `so much`, `at least`, `not known`, `nothing`.
    pub known: &'static str,
    /// The flow that is sure to come.
    pub flow: Quantity,
}
