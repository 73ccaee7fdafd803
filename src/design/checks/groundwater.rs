//! Groundwater: what it makes the pump do, and whether the pump drains more ground than it should.

use crate::design::finding::Finding;
use crate::design::groundwater_run::GroundwaterRun;
use crate::design::phrase::{Phrase, phrase};
use crate::design::pump::PumpResult;
use crate::design::runoff::StormResult;
use crate::design::way_in::{GroundwaterResult, InflowBasis, WayIn, groundwater};
use crate::numeric::bracketed_root;
use crate::quantity::{Amount, Duration, Flow, Length, Level};
use crate::site::Site;
use crate::working::Silent;

/// A pump that runs longer than this in a day for groundwater alone is a dewatering plant: common practice, no source.
const MUCH_OF_A_DAY: Duration = Duration::from_h(6.0);
/// Groundwater drawn further below its seasonal high than this, where nothing was asked for: common practice, no source.
const USUAL_DRAWDOWN: Length = Length::from_ft(1.5);

/// With less ground above the water than this next to no rain soaks in: common practice, no source.
const ROOM_FOR_RAIN: Length = Length::from_ft(1.0);

/// Levels closer than this are one: they are set by hand.
const SLACK: Length = Length::from_mm(1.0);

/// What holds whichever pump is used.
pub(super) fn findings(site: &Site, storm: &StormResult, way_in: &WayIn) -> Vec<Finding> {
    let ground = &storm.groundwater;
    let mut findings = Vec::new();
    findings.extend(not_counted(site, ground, way_in));
    findings.extend(entered_against_ground(site, ground));
    findings.extend(drains_the_ground(site, ground));
    findings.extend(never_starts(site, ground, way_in));
    findings.extend(ground_full(site, ground));
    findings
}

/// What holds of the chosen pump.
pub(super) fn with_pump(
    site: &Site,
    pump: &PumpResult,
    storm: &StormResult,
    run: Option<&GroundwaterRun>,
) -> Vec<Finding> {
    let mut findings = Vec::new();
    findings.extend(run.and_then(|run| runs_long(site, pump, storm, run)));
    findings.extend(most_too_much(site, pump, storm));
    findings
}

/// Groundwater stands above what it can get into, but nothing says how much comes.
fn not_counted(site: &Site, ground: &GroundwaterResult, way_in: &WayIn) -> Option<Finding> {
    let high = ground.seasonal_high?;
    if ground.flow > Flow::ZERO
        || ground.calculated.is_some()
        || ground.measured.is_some()
        || site.groundwater.inflow.is_some()
    {
        return None;
    }
    let reached = way_in.french.iter().find(|french| french.bottom.is_none_or(|bottom| high > bottom));
    let what = match reached {
        Some(french) => format!("the French drain `{}`", french.name),
        None if site.groundwater.basin_perforated && high > site.basin.level(site.basin.off) => {
            "the basin's perforated wall".to_owned()
        }
        None => return None,
    };
    Some(
        Finding::caution(
            "groundwater-not-counted",
            phrase!(
                "groundwater at {} gets in through {}, but nothing says how much: the pump will run for it too",
                high,
                what.as_str()
            ),
        )
        .cure(phrase!("enter the `conductivity` of [groundwater] or a `texture` of [soil]"))
        .cure(phrase!("measure how fast an empty pit fills, and enter `rise` and `over` in [measured]")),
    )
}

/// Whether groundwater at its seasonal high leaves a low spot's ground no room for rain.
pub(in crate::design) fn leaves_no_room(site: &Site, lowest: Level) -> bool {
    site.groundwater.seasonal_high.is_some_and(|high| high > lowest - ROOM_FOR_RAIN)
}

/// The ground of a low spot is full: rain runs off it as off a roof.
fn ground_full(site: &Site, ground: &GroundwaterResult) -> Option<Finding> {
    let high = ground.seasonal_high?;
    let spots = site.low_spots.iter().filter_map(|spot| spot.surface.first().map(|(lowest, _)| *lowest));
    let lowest = spots.chain(site.inlets.iter().map(|inlet| inlet.rim)).reduce(Level::min)?;
    if !leaves_no_room(site, lowest) || !site.catchments.iter().any(|catchment| catchment.pervious) {
        return None;
    }
    Some(
        Finding::caution(
            "ground-full",
            phrase!(
                "groundwater at its seasonal high of {} leaves next to no room in the ground of the low spot, which lies at {}: there rain runs off then as off a roof, and no coefficient here counts that",
                high,
                lowest
            ),
        )
        .number("lowest", Amount::of(lowest))
        .limit(Amount::small(ROOM_FOR_RAIN), "ground above the water that takes in rain: common practice, no source")
        .cure(phrase!("`runoff_coefficient = 0.9` for the surfaces that lie as low, to see what a storm of the wet season brings")),
    )
}

/// Groundwater fills drain and basin, and never reaches the on level.
fn never_starts(site: &Site, ground: &GroundwaterResult, way_in: &WayIn) -> Option<Finding> {
    let high = ground.seasonal_high?;
    let on = site.basin.level(site.basin.on);
    if on < high {
        return None;
    }
    let (french, drain) = way_in.french.iter().find_map(|french| {
        let drain = site.drains.iter().find(|drain| drain.name == french.name && drain.ends_at_basin())?;
        french.bottom.or(drain.down_invert).is_some_and(|bottom| bottom < high).then_some((french, drain))
    })?;
    let lower = drain.down_invert.map(|invert| invert - site.basin.floor).filter(|on| *on > site.basin.off);
    Some(
        Finding::caution(
            "on-level-above-groundwater",
            phrase!(
                "groundwater at its seasonal high stands no higher than the on level, {} below it: the pump never starts for it, and `{}` lowers nothing",
                Amount::small(on - high),
                french.name.as_str()
            ),
        )
        .about(&french.name)
        .number("on", Amount::of(on))
        .limit(Amount::of(high), "seasonal high entered in [groundwater]")
        .cure_if(lower.map(|on| {
            phrase!("the on level no higher than the drain's lower end, {} above the floor", Amount::small_at_most(on))
        })),
    )
}

/// What was entered or measured lies outside what the ground can give.
fn entered_against_ground(site: &Site, ground: &GroundwaterResult) -> Option<Finding> {
    let calculated = ground.calculated?;
    // a measurement is compared where all of them are
    if ground.basis != InflowBasis::Entered || (calculated.low..=calculated.high).contains(&ground.flow) {
        return None;
    }
    let (than, why) = if ground.flow > calculated.high {
        ("more than", "a seam of gravel, a spring, a leaking pipe, or runoff that gets into the trench")
    } else {
        ("less than", "the wet season may bring more than was seen")
    };
    let source = site.groundwater.ground.as_ref().map_or("", |ground| ground.basis.as_str());
    Some(
        Finding::note(
            "inflow-unlike-ground",
            phrase!(
                "the groundwater inflow entered, {}, is {} the {} to {} that ground of {} gives ({}): {}",
                ground.flow,
                than,
                calculated.low,
                calculated.high,
                site.groundwater.ground.as_ref().map_or(Amount::of(0.0), |ground| Amount::seepage(ground.conductivity)),
                source,
                why
            ),
        )
        .number("entered", Amount::of(ground.flow))
        .number("calculated", Amount::of(calculated.taken))
        .cure(match ground.measured {
            Some(measured) => phrase!("leave `inflow` out: the {} that were measured are then looked at", measured),
            None => phrase!("measure it in a wet week: leave `inflow` out and enter `rise` and `over` in [measured]"),
        }),
    )
}

/// A basin that lets groundwater in, drawn down far below the table.
fn drains_the_ground(site: &Site, ground: &GroundwaterResult) -> Option<Finding> {
    let high = ground.seasonal_high.filter(|_| site.groundwater.basin_perforated)?;
    let basin = &site.basin;
    let wanted = site.groundwater.drawdown.unwrap_or(USUAL_DRAWDOWN);
    let below = high - basin.level(basin.off);
    if below <= wanted + SLACK {
        return None;
    }
    let off = high - wanted - basin.floor;
    let on = off + (basin.on - basin.off);
    // the pump must start before water shows
    let level = basin.level(on);
    let pipes = crate::design::storage::lowest_inlet(site).is_none_or(|(lowest, _)| level <= lowest);
    let room = pipes
        && level < high
        && level < crate::design::surfaces_at(site).0
        && basin.alarm.is_none_or(|alarm| on < alarm);
    Some(
        Finding::caution(
            "drains-the-neighbourhood",
            phrase!(
                "the off level lies {} below groundwater at its seasonal high, and the basin's wall lets it in: the pump tries to lower the ground's water all around, {} further than {}",
                below,
                Amount::small(below - wanted),
                if site.groundwater.drawdown.is_some() {
                    "was asked for".to_owned()
                } else {
                    format!("the {} that a yard wants", Amount::small(wanted).show(site.units))
                }
            ),
        )
        .number("below", Amount::of(below))
        .limit(Amount::of(wanted), if site.groundwater.drawdown.is_some() { "entered in [groundwater]" } else { "common practice, no source" })
        .cure_if(room.then(|| phrase!(
            "the off level at {} above the floor and the on level at {}, where the pump has water enough and pipes come in above",
            Amount::small_at_least(off),
            Amount::small_at_least(on)
        )))
        .cure(phrase!("a basin with a tight wall, into which only the pipes let water")),
    )
}

fn runs_long(site: &Site, pump: &PumpResult, storm: &StormResult, run: &GroundwaterRun) -> Option<Finding> {
    if run.runs_a_day <= MUCH_OF_A_DAY {
        return None;
    }
    let energy = run.kwh_a_day.map_or_else(String::new, |kwh| format!(", {kwh:.1} kWh"));
    let leaves = pump.cycle.as_ref()?.leaves;
    let allowed = leaves * (MUCH_OF_A_DAY / Duration::from_day(1.0));
    let higher = raised_to(site, &storm.groundwater, allowed).map(|by| {
        phrase!(
            "French drains and floats {} higher, as far as the other pipes allow: the less groundwater is lowered, the less of it comes ({} is a usual aim)",
            Amount::small_at_least(by),
            Amount::small(site.groundwater.drawdown.unwrap_or(USUAL_DRAWDOWN))
        )
    });
    Some(
        Finding::caution(
            "runs-for-groundwater",
            phrase!(
                "for groundwater alone, {}, the pump runs {} of every day and starts {} times{}: it lowers the ground's water rather than draining a yard",
                run.flow,
                run.runs_a_day,
                format!("{:.0}", run.starts_a_day),
                energy
            ),
        )
        .number("runs_a_day", Amount::of(run.runs_a_day))
        .limit(Amount::of(MUCH_OF_A_DAY), "common practice, no source")
        .cure_if(higher)
        .cure(phrase!("no more than {} of groundwater: shorter French drains, a basin with a tight wall", allowed)),
    )
}

/// By how much French drains and floats must be raised for groundwater to bring no more than a flow. None where that
/// would lower it less than was asked for, or its flow does not hang on the levels.
fn raised_to(site: &Site, ground: &GroundwaterResult, allowed: Flow) -> Option<Length> {
    let now = ground.calculated?.taken;
    let most = ground.seeps.iter().flatten().map(|seep| seep.head).reduce(Length::max)?;
    let least = ground.seeps.iter().flatten().map(|seep| seep.head).reduce(Length::min)?;
    let wanted = allowed * (now / ground.flow);
    let miss = |by_m: f64| {
        let flow = groundwater(&raised(site, Length::from_m(by_m)), &mut Silent).calculated;
        flow.map_or(f64::NAN, |flow| (flow.taken - wanted).m3s())
    };
    let by = Length::from_m(bracketed_root(0.0, most.m(), 1e-5, miss).ok()?.x);
    (least - by >= site.groundwater.drawdown.unwrap_or(Length::ZERO)).then_some(by)
}

/// The site with its French drains and floats higher.
fn raised(site: &Site, by: Length) -> Site {
    let mut site = site.clone();
    for drain in site.drains.iter_mut().filter(|drain| drain.french.is_some()) {
        drain.up_invert = drain.up_invert.map(|level| level + by);
        drain.down_invert = drain.down_invert.map(|level| level + by);
    }
    site.basin.off += by;
    site.basin.on += by;
    site
}

/// How long a lone French drain may be for a flow: what seeps into it goes with its length.
fn shorter(site: &Site, ground: &GroundwaterResult, leaves: Flow) -> Option<Phrase> {
    let mut french = site.drains.iter().zip(&ground.seeps).filter(|(_, seep)| seep.is_some());
    let ((drain, Some(seep)), None, None) = (french.next()?, french.next(), ground.through_wall) else { return None };
    // what the ground brings, whatever the pipe carries of it
    Some(phrase!(
        "`{}` at most {} long",
        drain.name.as_str(),
        Amount::at_most(drain.length * (leaves / seep.flow.high))
    ))
}

/// The likely most of what seeps in is more than the pump takes.
fn most_too_much(site: &Site, pump: &PumpResult, storm: &StormResult) -> Option<Finding> {
    let ground = &storm.groundwater;
    let leaves = site.discharge.outlet.leaves(pump.all_pumped()?);
    let rises = ground.seasonal_high.is_none_or(|high| high > site.basin.level(site.basin.on));
    // that the flow taken is too much is said where steady inflow is judged
    if !rises || ground.high < leaves || ground.flow >= leaves {
        return None;
    }
    Some(
        Finding::caution(
            "groundwater-may-be-too-much",
            phrase!(
                "{} of groundwater is reckoned with, but ground like this may bring up to {}, and {} leaves: in the worst case the pump never stops",
                ground.flow,
                ground.high,
                leaves
            ),
        )
        .number("most", Amount::of(ground.high))
        .cure(phrase!("measure it in a wet week: how fast an empty pit of known size fills (`rise` and `over` in [measured])"))
        .cure_if(shorter(site, ground, leaves))
        .cure(phrase!("a pump with which more than {} leaves", ground.high)),
    )
}
