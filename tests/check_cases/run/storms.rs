//! Storms in time, what runs off them, hydrographs.

use super::hydrology::{rain_blocks, told};
use super::{Entry, amount};
use crate::given::{Given, quantity};
use sumpwright::catalog::storm_distribution;
use sumpwright::hydrology::{
    DepthDuration, Hydrograph, Rain, RainBlock, SurfaceLoss, coefficient_from_curve_number, distribution_storm,
    excess_blocks, nested_storm,
};
use sumpwright::quantity::{Area, Duration, Flow, Intensity, RainDepth, Volume};
use toml::Value;

pub(super) const TABLE: &[Entry] = &[
    ("distribution_share", |g| {
        let name = g.text("storm")?;
        let distribution = &storm_distribution(name).ok_or_else(|| format!("no storm {name}"))?.distribution;
        let to: Duration = g.get("to")?;
        let from = g.maybe("from").map_or(Ok(Duration::ZERO), quantity)?;
        let whole = RainDepth::from_mm(100.0);
        let storm = distribution_storm(whole, distribution).map_err(told)?;
        amount((fallen(&storm, to) - fallen(&storm, from)) / whole)
    }),
    ("nested_between", |g| {
        let storm = nested_storm(&rain(g)?, g.get("shortest")?, g.get("longest")?).map_err(told)?;
        let whole: Duration = storm.iter().map(|block| block.duration).sum();
        let around = |length: Duration| fallen(&storm, (whole + length) / 2.0) - fallen(&storm, (whole - length) / 2.0);
        let inner = g.maybe("inner").map_or(Ok(Duration::ZERO), quantity)?;
        amount(around(g.get("outer")?) - around(inner))
    }),
    ("hydrograph_peak", |g| amount(hydrograph(g)?.peak().1)),
    ("hydrograph_volume", |g| amount(hydrograph(g)?.volume())),
    ("hydrograph_at", |g| amount(hydrograph(g)?.at(g.get("at")?))),
    ("hydrograph_end", |g| amount(hydrograph(g)?.last())),
    ("curve_number_excess", |g| {
        let excess = excess_blocks(&SurfaceLoss::CurveNumber(g.number("curve_number")?), &rain_blocks(g)?);
        let steps = g.number("steps")?;
        let so_far = excess.iter().zip(1..).filter(|(_, step)| f64::from(*step) <= steps);
        amount(so_far.map(|(block, _)| block.depth()).sum::<RainDepth>())
    }),
    ("coefficient_from_curve_number", |g| {
        let number = g.number("curve_number")?;
        amount(coefficient_from_curve_number(number, g.get("before")?, g.get("burst")?))
    }),
    ("triangle_storage", |g| {
        let time: Duration = g.get("time")?;
        // rain as long as the time of concentration, such that a surface of any size peaks at the flow
        let triangle = |flow: Flow| {
            let area = Area::from_m2(1000.0);
            let block = RainBlock { duration: time, intensity: Intensity::from_ms(flow.m3s() / area.m2()) };
            Hydrograph::of_surface(&[block], area, time).map(|hydrograph| hydrograph.volume()).map_err(told)
        };
        amount::<Volume>(triangle(g.get("after")?)? - triangle(g.get("before")?)?)
    }),
];

fn rain(g: &Given<'_>) -> Result<Rain, String> {
    let point = |row: &[Value]| match row {
        [duration, depth] => Ok((quantity(duration)?, quantity(depth)?)),
        _ => Err("a point needs a duration and a depth".to_owned()),
    };
    let points: Result<Vec<(Duration, RainDepth)>, String> = g.rows("depths")?.into_iter().map(point).collect();
    DepthDuration::new(points?).map(Rain::Table).map_err(told)
}

/// The depth that has fallen by a time.
fn fallen(storm: &[RainBlock], by: Duration) -> RainDepth {
    let mut start = Duration::ZERO;
    let mut depth = RainDepth::ZERO;
    for block in storm {
        depth += block.intensity * (by - start).max(Duration::ZERO).min(block.duration);
        start += block.duration;
    }
    depth
}

fn hydrograph(g: &Given<'_>) -> Result<Hydrograph, String> {
    let excess = excess_blocks(&SurfaceLoss::Coefficient(g.number("coefficient")?), &rain_blocks(g)?);
    Hydrograph::of_surface(&excess, g.get("area")?, g.get("time")?).map_err(told)
}
