//! The curves of pump and line that a chart draws, close enough together to look like curves.

use super::bench::Bench;
use super::{Design, line};
use crate::hydraulics::FrictionMethod;
use crate::quantity::{Flow, Head, Level};
use crate::site::Site;

/// So many stretches make a curve.
const STRETCHES: u32 = 48;

/// Pump and line over the flow out of the line.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct DrawnCurves {
    /// The pump's head against what of its flow leaves the line: the leaks of relief hole and drain hole are taken off,
    /// with the water half-way between the floats.
    pub pump: Vec<(Flow, Head)>,
    /// What the line asks for with the water at the off level.
    pub at_off: Vec<(Flow, Head)>,
    /// The same at the on level.
    pub at_on: Vec<(Flow, Head)>,
}

/// The curves of the pump that a design is made with; none without a pump. By Hazen-Williams, the design method.
pub fn drawn_curves(site: &Site, design: &Design) -> Option<DrawnCurves> {
    let name = &design.pump()?.name;
    let pump = site.pumps.iter().find(|pump| &pump.name == name)?;
    let rest = line::at_rest(site);
    let bench = Bench::new(site, pump, &rest);
    let system = bench.system(&site.discharge, FrictionMethod::HazenWilliams);
    let (off, on) = (site.basin.level(site.basin.off), site.basin.level(site.basin.on));
    let half_way = site.basin.level((site.basin.off + site.basin.on) / 2.0);
    let last = pump.curve.last_flow();
    let flows = || (0..=STRETCHES).map(|step| last * (f64::from(step) / f64::from(STRETCHES)));
    let asked = |level: Level| flows().map(|flow| (flow, system.at(flow, level).head)).collect();
    let given = flows().filter_map(|flow| {
        let point = system.at(flow, half_way);
        Some((flow, pump.curve.head(flow + point.leak + point.drained)?))
    });
    Some(DrawnCurves { pump: given.collect(), at_off: asked(off), at_on: asked(on) })
}
