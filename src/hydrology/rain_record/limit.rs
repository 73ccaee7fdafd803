//! How much rain is believed.

use super::error::RecordError;
use super::options::RainUnit;
use crate::quantity::{Duration, Intensity, RainDepth};

/// Rows with rain at the beginning among which none may be impossible.
const FIRST_WET_ROWS: u64 = 100;
/// So many impossible rows are no accident.
const OFTEN: u64 = 3;

/// The most rain believed in a time: an envelope of the world's greatest point rainfalls, 16.6 in × h^0.475
/// (Jennings, Monthly Weather Review 78(1), 1950, with later records; coefficients from memory). The record of one
/// minute is half of it, that of an hour three quarters, that of a day nearly all. Of three days and more later records
/// are higher (3.93 m in three days, 4.94 m in four, from memory), and two fifths more are believed.
fn greatest(time: Duration) -> RainDepth {
    let envelope = RainDepth::from_inch(16.6 * libm::pow(time.h().max(1.0 / 3_600.0), 0.475));
    if time > SEVERAL_DAYS { envelope * 1.4 } else { envelope }
}

/// Beyond this the envelope is not high enough.
const SEVERAL_DAYS: Duration = Duration::from_h(48.0);

/// The most rain believed in a whole record: the wettest twelve months known, and for every further year the mean of
/// the wettest place (26.5 m and 11.9 m a year, from memory; 13 m taken).
fn greatest_total(time: Duration) -> RainDepth {
    let years = time.day() / 365.25;
    RainDepth::from_m(26.5 + 13.0 * (years - 1.0).max(0.0))
}

/// Judges rain by what can be.
#[derive(Clone, Copy, Debug)]
pub(super) struct Limit {
    highest: Option<Intensity>,
    unit: RainUnit,
    /// The usual interval in seconds and the most rain in it, so that the power is not taken for each row.
    usual: (f64, f64),
    refused: u64,
}

impl Limit {
    pub(super) fn new(highest: Option<Intensity>, unit: RainUnit, usual: Duration) -> Self {
        let mut limit = Self { highest, unit, usual: (usual.s(), 0.0), refused: 0 };
        limit.usual.1 = limit.most(usual).m();
        limit
    }

    fn most(&self, time: Duration) -> RainDepth {
        match self.highest {
            // a figure at the limit itself passes, whatever its rounding
            Some(highest) => highest * time * (1.0 + 1e-9),
            None => greatest(time),
        }
    }

    /// Whether a depth can have fallen in a time.
    #[inline]
    pub(super) fn believes(&self, depth_m: f64, seconds: f64) -> bool {
        let (usual_seconds, usual_m) = self.usual;
        if seconds >= usual_seconds && depth_m <= usual_m {
            return true;
        }
        depth_m <= self.most(Duration::from_s(seconds)).m()
    }

    /// Counts a refused row; an error where it came early or is one of several, unless the user set the limit.
    pub(super) fn refuse(&mut self, line: u64, depth_m: f64, seconds: f64, wet_rows: u64) -> Result<(), RecordError> {
        self.refused += 1;
        if self.highest.is_none() && (wet_rows < FIRST_WET_ROWS || self.refused >= OFTEN) {
            return Err(RecordError::UnitDoubtful {
                line,
                depth: RainDepth::from_m(depth_m),
                interval: Duration::from_s(seconds),
                unit: self.unit,
            });
        }
        Ok(())
    }

    /// An error where all rain so far is more than falls anywhere.
    pub(super) fn check_total(&self, line: u64, depth: RainDepth, time: Duration) -> Result<(), RecordError> {
        if self.highest.is_none() && depth > greatest_total(time) {
            return Err(RecordError::TotalDoubtful { line, depth, time, unit: self.unit });
        }
        Ok(())
    }
}
