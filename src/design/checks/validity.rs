//! Whether a formula is used outside the range in which it is known to hold.
//!
//! What bounds each method stands in `docs/method.md`, "Limits of validity". Inside its range a method says nothing.

use super::duty::told_apart;
use crate::catalog;
use crate::design::bench::Bench;
use crate::design::finding::Finding;
use crate::design::phrase::{percent, phrase, share};
use crate::design::pump::{PumpResult, WaterLevel};
use crate::design::runoff::{A_DAY, CatchmentResult, StormResult};
use crate::design::storm::StormOutcome;
use crate::design::way_in::{DrainResult, WayIn};
use crate::hydraulics::Run;
use crate::hydraulics::friction::{pipe_velocity, reynolds_number};
use crate::hydrology::Rain;
use crate::quantity::factor::FOOT;
use crate::quantity::{Amount, Area, Duration, Length, RainDepth, Temperature, Velocity};
use crate::site::{RunoffFrom, Site};

/// What holds whichever pump is used.
pub(super) fn findings(site: &Site, storm: &StormResult, way_in: &WayIn) -> Vec<Finding> {
    let mut findings = Vec::new();
    findings.extend(large_area(storm));
    findings.extend(short_burst(site, storm));
    findings.extend(rarer_than_the_factor(site, storm));
    findings.extend(storm.catchments.iter().filter_map(curve_number));
    findings.extend(gravel(site));
    findings.extend(warm_water(site));
    findings.extend(way_in.drains.iter().filter_map(steep));
    findings
}

/// What holds of the line with one pump on it.
pub(super) fn with_pump(bench: &Bench<'_>, result: &PumpResult) -> Vec<Finding> {
    let mut findings = Vec::new();
    findings.extend(not_turbulent(bench, result).or_else(|| hazen_williams(bench, result)));
    findings.extend(too_rough(bench));
    findings
}

/// The largest area that drainage manuals leave to the rational method.
const RATIONAL_AREA: Area = Area::from_ft2(200.0 * 43_560.0);
const RATIONAL_SOURCE: &str = "200 acres for the rational method: FHWA HEC-22, from memory";

fn large_area(storm: &StormResult) -> Option<Finding> {
    let area: Area = storm.catchments.iter().map(|result| result.area).sum();
    (area > RATIONAL_AREA).then(|| {
        Finding::caution(
            "area-too-large-for-rational-method",
            phrase!(
                "{} drain here: over so large an area neither is the rain the same everywhere nor does water run as simply as the rational method takes it",
                area
            ),
        )
        .number("area", Amount::of(area))
        .limit(Amount::of(RATIONAL_AREA), RATIONAL_SOURCE)
        .cure(phrase!("check the areas and their units; for a stream or a valley ask a drainage engineer"))
    })
}

/// Rain of less than this is in few tables, and a formula is fitted to none of it.
const SHORTEST_KNOWN: Duration = Duration::from_min(5.0);

fn short_burst(site: &Site, storm: &StormResult) -> Option<Finding> {
    let (_, rain) = site.rain.storms.get(site.rain.design)?;
    let fitted = matches!(rain, Rain::Formula { .. });
    let burst = storm.catchments.iter().map(|result| result.time.time).reduce(Duration::min)?;
    (fitted && burst < SHORTEST_KNOWN * NEARLY).then(|| {
        Finding::note(
            "burst-shorter-than-rain-is-known",
            phrase!(
                "the rain of {} is read off a formula that is hardly fitted to bursts so short: it may be far off",
                burst
            ),
        )
        .number("burst", Amount::of(burst))
        .limit(
            Amount::of(SHORTEST_KNOWN),
            "shortest duration of NOAA Atlas 14 and of most rain tables, common practice",
        )
        .cure(phrase!("`minimum_time = \"5 min\"` in [rain]"))
    })
}

/// Room for rounding.
const NEARLY: f64 = 0.999;

fn rarer_than_the_factor(site: &Site, storm: &StormResult) -> Option<Finding> {
    let (rarest, factor) = *catalog::frequency_factors().last()?;
    let period = storm.period.filter(|period| *period > rarest)?;
    let by_table = storm.catchments.iter().any(|result| result.runoff_from == RunoffFrom::Table);
    // one that was entered is the owner's
    let of_the_table = (site.rain.frequency_factor - factor).abs() < 1e-9;
    (by_table && of_the_table).then(|| {
        Finding::note(
            "storm-rarer-than-frequency-factors",
            phrase!(
                "in a storm of {} more runs off than the frequency factor of {} says: none is published for rarer ones",
                period,
                rarest
            ),
        )
        .limit(Amount::of(rarest), "Dhakal et al. (2013), Table 3")
        .cure(phrase!(
            "`coefficient_from = \"infiltration\"` for lawns on a known soil, or a `frequency_factor` of your own"
        ))
    })
}

/// A nested storm of a rain table that ends before the day does, and before the water is gone: what a longer rain would
/// bring, the verdict cannot know.
pub(super) fn rain_ends_early(site: &Site, outcome: &StormOutcome) -> Option<Finding> {
    let (_, rain) = site.rain.storms.get(site.rain.design)?;
    let longest = rain.longest().filter(|longest| *longest < A_DAY * NEARLY)?;
    let stands = outcome.hollows.iter().find(|hollow| {
        let stands_until = hollow.stands_from.map(|from| from + hollow.stands);
        hollow.still_stands || stands_until.is_some_and(|until| until >= outcome.lasts)
    })?;
    Some(
        Finding::caution(
            "rain-known-ends-while-water-stands",
            phrase!(
                "the rain is known up to {}, and when that ends water still stands over `{}`: a longer rain, just as rare, may stand deeper and longer, and nothing here counts it",
                longest,
                stands.name.as_str()
            ),
        )
        .about(&stands.name)
        .number("longest_rain", Amount::of(longest))
        .limit(Amount::of(A_DAY), "a nested storm holds no duration that its table has not; a day: common practice, no source")
        .cure(phrase!("enter the rain's depths up to {}", A_DAY)),
    )
}

/// Below this curve number another method is asked for.
const LEAST_CURVE_NUMBER: f64 = 40.0;
/// Below this runoff a curve number says little.
const LEAST_RUNOFF: RainDepth = RainDepth::from_inch(0.5);

fn curve_number(result: &CatchmentResult) -> Option<Finding> {
    let runoff = result.by_curve_number.as_ref().filter(|_| result.runoff_from == RunoffFrom::CurveNumber)?;
    let name = result.name.as_str();
    let finding = if runoff.curve_number.value < LEAST_CURVE_NUMBER {
        Finding::caution(
            "curve-number-too-low",
            phrase!(
                "`{}`: curve number {} lies below those that the method was made for: what runs off is not known by it",
                name,
                format!("{:.0}", runoff.curve_number.value)
            ),
        )
        .limit(Amount::of(LEAST_CURVE_NUMBER), "TR-55 (1986), limits of chapter 2, from memory")
    } else if runoff.runoff < LEAST_RUNOFF {
        Finding::note(
            "curve-number-of-small-runoff",
            phrase!(
                "`{}`: only {} of the {} of rain run off by its curve number, and small runoff is what a curve number says worst",
                name,
                runoff.runoff,
                runoff.rain
            ),
        )
        .number("runoff", Amount::of(runoff.runoff))
        .limit(Amount::of(LEAST_RUNOFF), "TR-55 (1986), limits of chapter 2, from memory")
    } else {
        return None;
    };
    Some(
        finding
            .about(name)
            .cure(phrase!("`coefficient_from = \"table\"`, or \"infiltration\" where the soil is known")),
    )
}

/// Water that seeps faster than this does not seep by Darcy's law.
const FASTEST_SEEPAGE: Velocity = Velocity::from_fts(0.01 / FOOT);

fn gravel(site: &Site) -> Option<Finding> {
    let ground = site.groundwater.ground.as_ref().filter(|ground| ground.conductivity > FASTEST_SEEPAGE)?;
    Some(
        Finding::note(
            "ground-too-open-for-darcy",
            phrase!(
                "ground of {} is clean gravel: water runs through it too fast for Darcy's law, and less comes than it says",
                Amount::seepage(ground.conductivity)
            ),
        )
        .limit(
            Amount::seepage(FASTEST_SEEPAGE),
            "Darcy's law holds below a Reynolds number of about 1 to 10 by the grain, which clean gravel leaves: from memory",
        )
        .cure(phrase!("measure how fast an empty pit fills, and enter `rise` and `over` in [measured]")),
    )
}

/// The warmest water whose density and viscosity were checked.
const WARMEST: Temperature = Temperature::from_fahrenheit(104.0);

fn warm_water(site: &Site) -> Option<Finding> {
    (site.water_temperature > WARMEST).then(|| {
        Finding::note(
            "water-warmer-than-properties",
            phrase!(
                "water at {} is reckoned with as at {}: thinner, it loses somewhat less, and boils sooner under vacuum",
                site.water_temperature,
                WARMEST
            ),
        )
        .limit(Amount::of(WARMEST), "density and vapour pressure are checked against IAPWS values up to 40 C")
    })
}

/// Uniform flow is reckoned on gentler slopes than this, fall over length.
const STEEP: f64 = 0.1;
/// Faster water takes in air.
const AIR_ENTERS: Velocity = Velocity::from_fts(10.0);

fn steep(drain: &DrainResult) -> Option<Finding> {
    let slope = drain.slope.filter(|slope| slope.ratio() > STEEP)?;
    let (_, velocity) = drain.runs.filter(|(_, velocity)| *velocity > AIR_ENTERS)?;
    Some(
        Finding::note(
            "drain-too-steep-for-manning",
            phrase!(
                "`{}` falls at {} and runs at {}: water so fast takes in air, stands higher than Manning says, and wears the pipe where it turns",
                drain.name.as_str(),
                slope,
                velocity
            ),
        )
        .about(&drain.name)
        .number("velocity", Amount::of(velocity))
        .limit(
            share(STEEP),
            "slopes up to 1 in 10 count as small, V. T. Chow, Open-Channel Hydraulics (1959), from memory; 10 ft/s: common practice, no source",
        )
        .cure(phrase!("less fall, the rest of the height taken in a drop at a catch basin")),
    )
}

/// Turbulent above this Reynolds number, for certain.
const TURBULENT: f64 = 4000.0;

/// The line's pipes, with their velocities at the off level; the riser last.
fn moving<'a>(bench: &Bench<'a>, result: &PumpResult) -> Vec<(&'a Run, Velocity)> {
    let line = &bench.site.discharge;
    let Some(point) = result.point(WaterLevel::Off) else { return Vec::new() };
    let runs = line.runs.iter().chain(std::iter::once(&line.riser));
    runs.map(|run| (run, pipe_velocity(point.line_flow, run.pipe.bore))).collect()
}

/// Water so slow that it may glide in layers: neither formula knows what it loses.
fn not_turbulent(bench: &Bench<'_>, result: &PumpResult) -> Option<Finding> {
    let viscosity = bench.water.viscosity();
    let reynolds = |&(run, velocity): &(&Run, Velocity)| reynolds_number(velocity, run.pipe.bore, viscosity);
    let slowest = moving(bench, result)
        .into_iter()
        .filter(|(_, velocity)| *velocity > Velocity::ZERO)
        .reduce(|best, next| if reynolds(&next) < reynolds(&best) { next } else { best })?;
    let number = reynolds(&slowest);
    (number < TURBULENT).then(|| {
        Finding::note(
            "flow-not-turbulent",
            phrase!(
                "at the off level water creeps through the {} pipe at {} (Reynolds number {}): Hazen-Williams does not hold there, and what friction takes is a guess by any formula",
                slowest.0.pipe.size.as_str(),
                slowest.1,
                format!("{number:.0}")
            ),
        )
        .number("reynolds_number", Amount::of(number))
        .limit(
            Amount::of(TURBULENT),
            "pipe flow is turbulent above a Reynolds number of about 4000 and in layers below 2000, from memory",
        )
        .cure(phrase!("a smaller pipe, or a pump of more flow"))
    })
}

/// The roughest pipe that friction was measured in, roughness over bore.
const ROUGHEST: f64 = 0.05;

fn too_rough(bench: &Bench<'_>) -> Option<Finding> {
    let line = &bench.site.discharge;
    let run = line
        .runs
        .iter()
        .chain(std::iter::once(&line.riser))
        .find(|run| run.pipe.roughness > run.pipe.bore * ROUGHEST)?;
    Some(
        Finding::note(
            "rougher-than-friction-is-known",
            phrase!(
                "a roughness of {} in a bore of {}: no friction factor is known for walls so rough, and Darcy-Weisbach is a guess here",
                Amount::small(run.pipe.roughness),
                Amount::small(run.pipe.bore)
            ),
        )
        .limit(share(ROUGHEST), "roughness over bore at the top of Moody's chart (1944), from memory")
        .cure(phrase!("check the `roughness` entered: smooth plastic has 0.0015 mm")),
    )
}

/// The design method gives so much more flow than Darcy-Weisbach, and its range is left: common practice, no source.
const METHODS_APART: f64 = 0.05;
/// Bores below this are narrower than the pipes that the formula was drawn from.
const LEAST_BORE: Length = Length::from_inch(2.0);
/// The formula was drawn from water near 60 F.
const NEAR_SIXTY: (Temperature, Temperature) = (Temperature::from_fahrenheit(50.0), Temperature::from_fahrenheit(75.0));
/// Velocities that it was drawn from, or near them.
const USUAL_VELOCITY: (Velocity, Velocity) = (Velocity::from_fts(2.0), Velocity::from_fts(10.0));

/// Hazen-Williams promises clearly more than Darcy-Weisbach where its own range is left.
fn hazen_williams(bench: &Bench<'_>, result: &PumpResult) -> Option<Finding> {
    let off = result.duty(WaterLevel::Off)?;
    let (design, darcy) = (off.duty.point()?.line_flow, off.darcy.as_ref()?.point()?.line_flow);
    let apart = design / darcy - 1.0;
    // a NaN is no difference either
    if !(apart.is_finite() && apart > METHODS_APART) {
        return None;
    }
    let units = bench.site.units;
    let mut outside = Vec::new();
    let temperature = bench.site.water_temperature;
    if temperature < NEAR_SIXTY.0 || temperature > NEAR_SIXTY.1 {
        outside.push(format!("water at {}", Amount::of(temperature).show(units)));
    }
    let runs = moving(bench, result);
    if let Some((run, _)) = runs.iter().find(|(run, _)| run.pipe.bore < LEAST_BORE) {
        outside.push(format!("{} pipe", run.pipe.size));
    }
    if let Some((_, velocity)) = runs.iter().find(|(_, one)| *one < USUAL_VELOCITY.0 || *one > USUAL_VELOCITY.1) {
        outside.push(Amount::of(*velocity).show(units));
    }
    if outside.is_empty() {
        return None;
    }
    let (more, less) = told_apart(design, darcy, units);
    Some(
        Finding::note(
            "outside-hazen-williams",
            phrase!(
                "Hazen-Williams gives {} at the off level and Darcy-Weisbach {}: here the first leaves the range that it was drawn from ({}), and the second is the better guess",
                more,
                less,
                outside.join(", ")
            ),
        )
        .number("by_hazen_williams", Amount::of(design))
        .number("by_darcy_weisbach", Amount::of(darcy))
        .limit(
            share(METHODS_APART),
            "Hazen-Williams: water near 60 F, pipes of 2 in and more, about 3 ft/s, from memory; a difference worth a word: common practice, no source",
        )
        .cure(phrase!("{} more of flow than the design asks for, or a larger pipe", percent(apart))),
    )
}
