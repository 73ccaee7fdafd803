//! Why the question has no answer.

use crate::design::{DesignError, NotFollowed};
use thiserror::Error;

/// Why the question has no answer.
#[derive(Clone, Debug, PartialEq, Error)]
pub enum ReachError {
    /// There is no such pump.
    #[error("there is no pump `{asked}`; the pumps are {}", known.join(", "))]
    NoSuchPump {
        /// What was asked.
        asked: String,
        /// What there is.
        known: Vec<String>,
    },
    /// The file says of no job that a run could be too long for.
    #[error("the file says of no job that the pump must do: it has neither a goal for standing water nor a flow")]
    NoJob,
    /// A goal was asked for, and the file has none.
    #[error("the file has no goal for standing water, and no place that must stay dry")]
    NoGoal,
    /// A flow was asked for, and there is none.
    #[error("which flow must the pump deliver? The file has no `flow` in [goal]")]
    NoFlow,
    /// A flow of no water.
    #[error("the flow must be more than zero")]
    FlowOfNothing,
    /// A flow beside a job that has none.
    #[error("`--flow` says nothing with `--for {job}`")]
    FlowBeside {
        /// The job.
        job: &'static str,
    },
    /// The storm cannot be followed, so that its goal cannot be judged.
    #[error("the goal cannot be judged: {0}")]
    NotFollowed(NotFollowed),
    /// The rain falls short, or there is no pump.
    #[error("{0}")]
    Design(#[from] DesignError),
}
