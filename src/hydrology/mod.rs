//! How much water the rain brings and how fast: rain of a return period, time of concentration, the rational
//! method, infiltration and curve numbers, storms and runoff in time. Knows nothing of pipes and pumps.

mod curve_number;
mod excess;
mod hydrograph;
mod infiltration;
mod nested;
mod point_file;
mod rain_record;
mod rainfall;
mod rational;
mod storm;
mod surface_loss;
mod time_of_concentration;
mod travel_time;
mod watershed_time;

#[cfg(test)]
mod tests;

pub use curve_number::{
    coefficient_from_curve_number, coefficient_from_curve_number_worked, composite_curve_number,
    connected_impervious_curve_number, initial_abstraction, potential_retention, runoff_depth,
    unconnected_impervious_curve_number,
};
pub use excess::{Excess, Loss, RainBlock, rain_excess};
pub use hydrograph::Hydrograph;
pub use infiltration::{GreenAmpt, Horton, coefficient_from_infiltration};
pub use nested::nested_storm;
pub use point_file::{
    Kind, PointFile, PointFileError, PointFileProblem, PointFileUnits, PointFileWarning, Series, point_file_text,
    read_point_file,
};
pub use rain_record::{
    DateOrder, Moment, RainKind, RainRecord, RainUnit, RecordError, RecordNotes, RecordOptions, Remark, RemarkKind,
    SkipReason, Skipped, Span, SpanRain, StampConvention,
};
pub use rainfall::{DepthDuration, Rain, RainError, annual_maximum_period, partial_duration_period};
pub use rational::{
    Contribution, PeakFlow, adjusted_coefficient, composite_coefficient, frequency_factor, peak_flow, peak_flow_worked,
};
pub use storm::{
    Distribution, StormShape, block_storm, distribution_storm, durations_to_try, split_blocks, split_for_losses,
};
pub use surface_loss::{SurfaceLoss, excess_blocks};
pub use time_of_concentration::{
    Reach, SheetMethod, TimeOfConcentration, TimeWarning, time_of_concentration, time_of_concentration_worked,
};
pub use travel_time::{
    manning_velocity, shallow_velocity, sheet_flow_kinematic, sheet_flow_limit, sheet_flow_nrcs, travel_time,
};
pub use watershed_time::{faa, kirpich, nrcs_lag, nrcs_lag_time_of_concentration};
