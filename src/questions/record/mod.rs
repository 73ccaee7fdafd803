//! A rain record of months to decades through the yard: how often water stood, how deep, what the pump did.
//!
//! The record is read as a stream and followed in time from its first row to its last; memory does not grow with it but
//! by a line for each month. Runoff gathers as in a storm of the design, with the design storm's coefficients. What is
//! taken otherwise than in a single storm:
//!
//! - Ground that soaks takes rain at the rate of wet ground all the time, and its hollows empty at that rate: more runs
//!   off than would. A curve number goes by the rain since the last pause of [`CURVE_NUMBER_RESTS`].
//! - House pumps that come in pulses are taken at their mean flow.
//! - Groundwater stands at its seasonal high all the time.
//! - Missing time is taken as dry, and told.

mod ahead;
mod events;
mod finish;
mod following;
mod keeping;
mod longest_run;
mod reached;
mod result;
mod runoff;
mod tally;
#[cfg(test)]
mod tests;
mod yard;

pub use events::RecordEvent;
pub use keeping::CURVE_NUMBER_RESTS;
pub use result::{Assumed, Deepest, GoalMissed, MonthResult, PlaceReached, RecordResult, WaterBalance, YearResult};
pub use tally::RecordTally;

use crate::design::storm::{Ready, ready_for};
use crate::design::{Design, NotFollowed};
use crate::hydrology::{Moment, RainRecord, RecordError};
use crate::quantity::{Duration, Length};
use crate::routing::RoutingError;
use crate::site::Site;
use following::Following;
use std::io::Read;
use std::sync::mpsc::sync_channel;
use thiserror::Error;

/// Two events are two where the pause between them is at least so long: common practice, no source.
pub const USUAL_PAUSE: Duration = Duration::from_h(6.0);
/// A record whose rows cover more than this averages bursts of rain away: common practice, no source …
const COARSE: Duration = Duration::from_min(60.0);
/// … and one whose rows cover more than so many times the longest time of concentration: common practice, no source.
const COARSE_TIMES: f64 = 3.0;
/// So many events are listed.
pub const USUAL_EVENTS: usize = 10;

/// What may be chosen about a run.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RecordSettings {
    /// The shortest dry pause between two events.
    pub pause: Duration,
    /// How many of the largest events are kept.
    pub events: usize,
    /// The error of a level allowed in one step.
    pub tolerance: Length,
}

/// Four times that of a single storm: hours, starts and depths of a record do not feel it.
const USUAL_TOLERANCE: Length = Length::from_mm(0.2);

impl Default for RecordSettings {
    fn default() -> Self {
        Self { pause: USUAL_PAUSE, events: USUAL_EVENTS, tolerance: USUAL_TOLERANCE }
    }
}

/// How far a run has come.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Progress {
    /// Bytes of the record behind it.
    pub bytes: u64,
    /// The time in the record that it has reached.
    pub reached: Moment,
}

/// Why a record was not run to its end.
#[derive(Debug, Error)]
pub enum RecordRunError {
    /// The record cannot be read.
    #[error("{0}")]
    Record(#[from] RecordError),
    /// The yard cannot be followed.
    #[error("water cannot be followed through this yard: {0}")]
    NotFollowed(#[from] NotFollowed),
    /// The water could not be followed any further.
    #[error("the water could not be followed beyond {at}: {source}")]
    Stuck {
        /// When.
        at: Moment,
        /// Why.
        source: RoutingError,
    },
    /// No stretch of time.
    #[error("the record covers no time")]
    NoTime,
    /// The pause between events is no time.
    #[error("the pause between two events must be above zero and no longer than a year")]
    BadPause,
    /// It was told to stop.
    #[error("interrupted at {} of the record", progress.reached)]
    Interrupted {
        /// How far it had come.
        progress: Progress,
    },
}

/// Runs a record through a designed yard. `go_on` is told how far it has come, and says whether to go on.
///
/// The record is read ahead in a second thread; results do not depend on that.
///
/// # Errors
/// The record or the yard is no good, or `go_on` said no.
pub fn run_record<R: Read + Send>(
    site: &Site,
    design: &Design,
    record: RainRecord<R>,
    settings: &RecordSettings,
    go_on: &mut impl FnMut(Progress) -> bool,
) -> Result<RecordResult, RecordRunError> {
    if !(settings.pause > Duration::ZERO && settings.pause <= Duration::from_day(366.0)) {
        return Err(RecordRunError::BadPause);
    }
    let Ready { network, station } = ready_for(site, design)?;
    let mut system = network.system.clone();
    system.station = Some(station);
    let yard = yard::RecordYard::new(site, design, &network, &system)?;
    let mut following: Option<Following<'_>> = None;
    let notes = std::thread::scope(|scope| -> Result<_, RecordRunError> {
        let (send, receive) = sync_channel(ahead::BATCHES);
        let reader = scope.spawn(move || ahead::read_ahead(record, &send));
        for batch in &receive {
            for span in batch.spans {
                let running = match &mut following {
                    Some(running) => running,
                    none => none.insert(Following::new(&yard, span.start, settings)?),
                };
                running.span(&span)?;
            }
            if let Some(running) = &following {
                let progress = Progress { bytes: batch.bytes, reached: running.reached() };
                if !go_on(progress) {
                    return Err(RecordRunError::Interrupted { progress });
                }
            }
        }
        match reader.join() {
            Ok(read) => Ok(read?),
            Err(panic) => std::panic::resume_unwind(panic),
        }
    })?;
    let running = following.ok_or(RecordRunError::NoTime)?;
    Ok(running.finish(notes))
}
