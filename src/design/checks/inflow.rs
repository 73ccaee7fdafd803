//! What runs in against what the pumps take away.

use super::duty::{larger_pipe, stronger_pump};
use crate::design::bench::Bench;
use crate::design::finding::Finding;
use crate::design::pair::PairResult;
use crate::design::phrase::phrase;
use crate::design::pump::{PumpResult, WaterLevel};
use crate::design::runoff::{StormResult, steady_up_to};
use crate::design::storm_words;
use crate::quantity::{Amount, Flow};

pub(super) fn findings(bench: &Bench<'_>, result: &PumpResult, storm: &StormResult) -> Vec<Finding> {
    steady_inflow(bench, result, storm).into_iter().chain(peak_inflow(bench, result, storm)).collect()
}

/// A pump below the steady inflow never catches up, or never reaches its off level.
fn steady_inflow(bench: &Bench<'_>, result: &PumpResult, storm: &StormResult) -> Option<Finding> {
    let returned = bench.site.discharge.outlet.returned_share;
    let outlet = &bench.site.discharge.outlet;
    let leaves = |at| result.point(at).map(|point| outlet.leaves(point.line_flow));
    let (lead, alone) = (leaves(WaterLevel::Off)?, leaves(WaterLevel::On)?);
    // where the second one runs down to the same off level, both draw the water down
    let both = result
        .pair
        .as_ref()
        .filter(|pair| pair.lag_off <= bench.site.basin.off)
        .and_then(PairResult::least)
        .map(|flow| outlet.leaves(flow));
    let least = both.unwrap_or(lead);
    let most = result.most_pumped().map_or(alone, |flow| outlet.leaves(flow));
    // groundwater that stands lower than a level does not rise to it
    let basin = &bench.site.basin;
    let at_off = steady_up_to(bench.site, storm.groundwater.flow, basin.level(basin.off));
    let at_on = steady_up_to(bench.site, storm.groundwater.flow, basin.level(basin.on));
    if at_off <= Flow::ZERO || at_off < least {
        return None;
    }
    let steady = at_off;
    let (id, message) = if at_on >= most {
        (
            "pump-below-steady-inflow",
            phrase!("{} runs in all the time and at most {} leaves for good: the pump never catches up", steady, most),
        )
    } else {
        (
            "never-stops",
            phrase!(
                "{} runs in all the time and only {} leaves for good at the off level: the water settles between the floats and the pump never stops",
                steady,
                least
            ),
        )
    };
    let asked = (returned < 1.0).then(|| steady / (1.0 - returned) * STEADY_MARGIN);
    Some(
        Finding::stop(id, message)
            .number("steady_inflow", Amount::of(steady))
            .number("leaves", Amount::of(least))
            .cure_if(asked.and_then(|asked| larger_pipe(bench, asked)))
            .cure_if(asked.and_then(|asked| {
                stronger_pump(bench, bench.site.basin.level(bench.site.basin.off), asked)
                    .filter(|_| result.pair.is_none())
                    .or_else(|| Some(phrase!("pump and pipe that carry {} or more at the off level", asked)))
            })),
    )
}

/// By how much a pump should exceed what runs in all the time, so that it does stop: common practice, no source.
const STEADY_MARGIN: f64 = 1.1;

/// A pump below the peak of the burst: usual, and no proof of anything.
fn peak_inflow(bench: &Bench<'_>, result: &PumpResult, storm: &StormResult) -> Option<Finding> {
    let lasts = result.surplus_lasts?;
    let pumped = result.all_pumped()?;
    let returned = bench.site.discharge.outlet.returned_share;
    let (_, where_it_shows) = crate::design::storage::surfaces_at(bench.site);
    let period = storm_words(storm.period, bench.site.units);
    Some(
        Finding::caution(
            "pump-below-peak-inflow",
            phrase!(
                "at the peak of {} {} runs in and {} leaves: the room in the basin lasts {}, then water rises to {}. That is no proof that the yard floods: the peak is short, and what the low spot and trenches hold is not counted; how deep and how long water stands is not judged here",
                period,
                storm.peak_inflow,
                bench.site.discharge.outlet.leaves(pumped),
                lasts,
                where_it_shows
            ),
        )
        .number("peak_inflow", Amount::of(storm.peak_inflow))
        .number("pumped", Amount::of(bench.site.discharge.outlet.leaves(pumped)))
        .number("room_lasts", Amount::of(lasts))
        .cure_if((returned < 1.0).then(|| {
            phrase!(
                "to match the peak outright the line would have to carry {}; much less does where water may stand for a while",
                storm.peak_inflow / (1.0 - returned)
            )
        })),
    )
}
