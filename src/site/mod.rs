//! The site file: text in, a typed and checked [`Site`] out, with every problem reported at its place.

mod model;

pub use model::{
    Assumption, Catchment, CoefficientBasis, Drain, Goal, Groundwater, Inlet, Limit, Limits, LowSpot, Protected,
    Pumping, ReadNotUsed, Site, SiteRain, Soil, SteadyInflow,
};
