//! The basin: depth budget, floats, run time, starts, what a power cut leaves.

use super::edge::{Peak, that_keeps_dry};
use crate::basin::Plan;
use crate::basin::cycle::Cycle;
use crate::catalog;
use crate::design::bench::Bench;
use crate::design::finding::{Finding, Severity};
use crate::design::phrase::{Phrase, phrase};
use crate::design::pump::PumpResult;
use crate::design::runoff::StormResult;
use crate::design::storage::{CycleResult, Enough, live_volume, lowest_inlet, stands_from, surfaces_at};
use crate::design::storm_words;
use crate::design::way_in::WayIn;
use crate::quantity::{Amount, Area, Flow, Length, Level, Volume};
use crate::site::{FrostPlan, Site};

/// What is to be said of the basin whichever pump stands in it.
pub(super) fn findings(site: &Site, storm: &StormResult, way_in: &WayIn) -> Vec<Finding> {
    let mut findings = Vec::new();
    findings.extend(depth_budget(site));
    findings.extend(on_above_grate(site));
    findings.extend(alarm(site));
    findings.extend(protected_places(site, storm, way_in));
    findings.extend(spill_unknown(site));
    findings.extend(no_inlet(site));
    findings.extend(rim_below_grates(site));
    findings
}

/// What is to be said of the basin with one pump in it.
pub(super) fn with_pump(bench: &Bench<'_>, result: &PumpResult) -> Vec<Finding> {
    let mut findings = Vec::new();
    findings.extend(pump_fits(bench));
    findings.extend(lowest_level(bench));
    findings.extend(starts_uncovered(bench));
    findings.extend(solids(bench));
    findings.extend(no_live_volume(bench));
    if let Some(cycle) = &result.cycle {
        findings.extend(restarts(bench, cycle));
        findings.extend(starts(bench, cycle));
        findings.extend(run(bench, cycle));
        findings.extend(cycle_between_storms(cycle));
    }
    findings
}

/// Inlet depth + pump-down + dead water must fit between rim and floor.
fn depth_budget(site: &Site) -> Option<Finding> {
    let basin = &site.basin;
    let (inlet, name) = lowest_inlet(site)?;
    let (on, off) = (basin.level(basin.on), basin.level(basin.off));
    if inlet >= on {
        return None;
    }
    let what = name.map_or_else(|| "the pipe".to_owned(), |name| format!("`{name}`"));
    let short = on - inlet;
    let (severity, message) = if inlet < off {
        (
            Severity::Stop,
            phrase!(
                "{} comes in {} below the off level: it never runs dry, and silt settles in it",
                what,
                Amount::small(off - inlet)
            ),
        )
    } else {
        (
            Severity::Caution,
            phrase!(
                "{} comes in {} below the on level: water stands back in it before each start",
                what,
                Amount::small(short)
            ),
        )
    };
    let lower = basin.on - short;
    let finding = Finding::new(severity, "inlet-below-on-level", message).number("short", Amount::small(short));
    let finding = if lower > basin.off {
        finding.cure(phrase!("the on level at {} above the floor or lower", Amount::small(lower)))
    } else {
        finding
    };
    Some(finding.cure(phrase!(
        "a basin {} deeper, the floats at the same heights above its floor",
        Amount::small_at_least(short)
    )))
}

/// The pump must start before water shows.
fn on_above_grate(site: &Site) -> Option<Finding> {
    let (level, place) = surfaces_at(site);
    let on = site.basin.level(site.basin.on);
    (on >= level).then(|| {
        Finding::stop(
            "on-level-above-grate",
            phrase!("the pump starts at {}, when water already shows at {} ({})", on, place, level),
        )
        .cure(phrase!("the on level lower than {} above the floor", Amount::small(level - site.basin.floor)))
    })
}

fn alarm(site: &Site) -> Option<Finding> {
    let basin = &site.basin;
    match basin.alarm {
        None => Some(
            Finding::note(
                "no-alarm",
                phrase!("no high-water alarm: nobody hears that the pump has failed until water stands"),
            )
            .cure(phrase!("an alarm float above the on level, on another circuit than the pump")),
        ),
        Some(alarm) => {
            let (level, place) = surfaces_at(site);
            if let Some((inlet, _)) =
                lowest_inlet(site).filter(|(inlet, _)| basin.level(alarm) > *inlet && basin.level(alarm) < level)
            {
                return Some(
                    Finding::note(
                        "alarm-above-inlet",
                        phrase!(
                            "the alarm at {} above the floor sounds only when water already stands in the pipe that comes in at {}",
                            Amount::small(alarm),
                            Amount::small(inlet - basin.floor)
                        ),
                    )
                    .cure(phrase!("the alarm between the on level and the inlet, where there is room")),
                );
            }
            (basin.level(alarm) >= level).then(|| {
                Finding::stop(
                    "alarm-too-high",
                    phrase!(
                        "the alarm sounds at {}, when water already shows at {} ({})",
                        basin.level(alarm),
                        place,
                        level
                    ),
                )
                .cure(phrase!("the alarm lower than {} above the floor", Amount::small(level - basin.floor)))
            })
        }
    }
}

/// Where water can stand above ground: how high, and why.
fn highest_water(site: &Site, way_in: &WayIn) -> Option<(Level, String)> {
    let spills = site
        .low_spots
        .iter()
        .filter_map(|spot| Some((spot.spills_at?, format!("before the low spot `{}` runs off", spot.name))));
    // over a grate at the peak, where no spill holds it lower
    let over = way_in.inlets.iter().filter_map(|inlet| {
        let level = inlet.rim + inlet.depth?;
        let spot = site.low_spots.iter().find(|spot| Some(&spot.name) == inlet.low_spot.as_ref());
        let held = spot.and_then(|spot| spot.spills_at).map_or(level, |spills| spills.min(level));
        Some((held, format!("over the grate `{}` at the peak", inlet.name)))
    });
    spills.chain(over).reduce(|high, next| if next.0 > high.0 { next } else { high })
}

/// A place is to stay dry, but nothing says how high water can stand before it runs off.
fn spill_unknown(site: &Site) -> Option<Finding> {
    let spot = site.low_spots.iter().find(|spot| spot.spills_at.is_none())?;
    (!site.protected.is_empty()).then(|| {
        Finding::note(
            "spill-level-unknown",
            phrase!(
                "nothing says at what level the low spot `{}` runs over: how high water can rise towards the places that must stay dry is not known",
                spot.name.as_str()
            ),
        )
        .about(&spot.name)
        .cure(phrase!("enter `spills_at`: the lowest point of the ground around the hollow"))
    })
}

/// Places that must stay dry, against where water first shows and how high it can stand.
fn protected_places(site: &Site, storm: &StormResult, way_in: &WayIn) -> Vec<Finding> {
    let (shows, place) = surfaces_at(site);
    let highest = highest_water(site, way_in);
    site.protected
        .iter()
        .filter_map(|spot| {
            let edge = phrase!("a way for water to run off by gravity below {}", spot.level);
            let (finding, edge) = if spot.level <= shows {
                let finding = Finding::stop(
                    "protected-place-too-low",
                    phrase!(
                        "`{}` at {} lies {} below {}: water is in it before any shows in the yard",
                        spot.name.as_str(),
                        spot.level,
                        Amount::small(shows - spot.level),
                        place.as_str()
                    ),
                );
                (finding, edge)
            } else {
                let (high, why) = highest.as_ref().filter(|(high, _)| *high >= spot.level)?;
                let peak = Peak {
                    flow: storm.peak_inflow,
                    what: format!("the peak of {}", storm_words(storm.period, site.units)),
                };
                // with no rain entered nothing says how deep it stands over the edge
                let followed = peak.flow > Flow::ZERO;
                let edge = if followed { that_keeps_dry(site, None, spot.level, &peak) } else { edge };
                let finding = Finding::caution(
                    "protected-place-in-reach",
                    phrase!(
                        "water can stand up to {} {}, {} above `{}` at {}",
                        *high,
                        why.as_str(),
                        Amount::small(*high - spot.level),
                        spot.name.as_str(),
                        spot.level
                    ),
                )
                .number("stands_up_to", Amount::of(*high));
                (finding, edge)
            };
            let second = phrase!("a second pump on a supply of its own and an alarm");
            Some(finding.about(&spot.name).cure(edge).cure(second))
        })
        .collect()
}

fn no_inlet(site: &Site) -> Option<Finding> {
    site.inlets.is_empty().then(|| {
        Finding::note(
            "no-grate",
            phrase!("no grate is entered: water is taken to show first at the basin's rim, at {}; a place that lies lower floods earlier", site.basin.rim),
        )
        .cure(phrase!("enter each grate as an [[inlet]] with its rim"))
    })
}

/// Water comes out of the basin's lid before it stands at any grate.
fn rim_below_grates(site: &Site) -> Option<Finding> {
    let rim = site.basin.rim;
    let lowest = site.inlets.iter().map(|inlet| (stands_from(site, inlet), inlet));
    let (level, inlet) = lowest.reduce(|best, next| if next.0 < best.0 { next } else { best })?;
    if level <= rim {
        return None;
    }
    let what = match &inlet.low_spot {
        Some(spot) if inlet.rim < level => format!("the lowest ground of `{spot}`"),
        _ => format!("the lowest grate, `{}`,", inlet.name),
    };
    // the low spots are where water stands: a basin below all of them stands in a lower one that nobody entered
    let lowest_ground = site.low_spots.iter().filter_map(|spot| spot.surface.first()).map(|(lowest, _)| *lowest);
    let contradicts = lowest_ground.reduce(Level::min).is_some_and(|lowest| lowest > rim);
    let but = if contradicts {
        "; and no low spot that was entered lies so low, so that the levels contradict one another, and how deep water stands and where it runs over is not known"
    } else {
        ""
    };
    let message = phrase!(
        "the basin's rim at {} lies {} below {} at {}: when more comes than is pumped, or the power is out, water wells out of the basin's lid before it stands at any grate{}",
        rim,
        Amount::small(level - rim),
        what,
        level,
        but
    );
    let finding = if contradicts {
        Finding::stop("basin-rim-below-grates", message)
    } else {
        Finding::caution("basin-rim-below-grates", message)
    };
    let cure = phrase!(
        "the basin's rim raised to {} or higher, or the levels measured again; a lid alone holds no water back unless it is made to be tight",
        level
    );
    Some(finding.number("rim", Amount::of(rim)).number("lowest_grate", Amount::of(level)).cure(cure))
}

fn pump_fits(bench: &Bench<'_>) -> Option<Finding> {
    let height = bench.pump.height?;
    let basin = &bench.site.basin;
    (height >= basin.depth()).then(|| {
        Finding::stop(
            "pump-taller-than-basin",
            phrase!("the pump is {} high and the basin {} deep", Amount::small(height), Amount::small(basin.depth())),
        )
        .cure(phrase!("a deeper basin or a lower pump"))
    })
}

fn lowest_level(bench: &Bench<'_>) -> Option<Finding> {
    let basin = &bench.site.basin;
    let Some(needed) = bench.pump.lowest_level else {
        return Some(
            Finding::note(
                "lowest-level-unknown",
                phrase!(
                    "the least depth of water that the pump needs was not entered: whether it can draw down to {} is not judged",
                    Amount::small(basin.off)
                ),
            )
            .cure(phrase!("enter `lowest_level` from the data sheet")),
        );
    };
    if basin.off >= needed {
        return None;
    }
    let up = needed - basin.off;
    let on = basin.on + up;
    let inlet = lowest_inlet(bench.site).map(|(level, _)| level - basin.floor);
    let cure = match inlet.filter(|inlet| on > *inlet) {
        Some(inlet) => phrase!(
            "the off level at {} or higher; the on level cannot go up as much, past the inlet at {}, so the basin must be {} deeper, or less may stand between the floats",
            Amount::small(needed),
            Amount::small(inlet),
            Amount::small(on - inlet)
        ),
        None => phrase!(
            "the off level at {} or higher, and the on level {} higher than now",
            Amount::small(needed),
            Amount::small(up)
        ),
    };
    Some(
        Finding::stop(
            "off-level-too-low",
            phrase!(
                "the pump stops at {} above the floor but needs {} of water: it draws air and wears out",
                Amount::small(basin.off),
                Amount::small(needed)
            ),
        )
        .number("off", Amount::small(basin.off))
        .limit(Amount::small(needed), &format!("entered for `{}`", bench.pump.name))
        .cure(cure),
    )
}

fn starts_uncovered(bench: &Bench<'_>) -> Option<Finding> {
    let (on, height) = (bench.site.basin.on, bench.pump.height?);
    (on < height).then(|| {
        Finding::note(
            "starts-uncovered",
            phrase!(
                "the pump starts at {} above the floor and is {} high: it never stands quite under water, which many pumps want at the start",
                Amount::small(on),
                Amount::small(height)
            ),
        )
        .cure(phrase!("the on level at {} or higher", Amount::small(height)))
    })
}

fn solids(bench: &Bench<'_>) -> Option<Finding> {
    let passes = bench.pump.passes?;
    let limit = &catalog::default_limits().least_solid;
    (passes < limit.value).then(|| {
        Finding::note(
            "passes-little",
            phrase!(
                "the pump passes solids of {} at most: leaves and gravel that come through a grate can block it",
                Amount::drill(passes)
            ),
        )
        .number("passes", Amount::drill(passes))
        .limit(Amount::drill(limit.value), limit.source)
        .cure(phrase!(
            "a silt trap and a basket before the basin, or a pump that passes {}",
            Amount::drill(limit.value)
        ))
    })
}

/// The pump's own body fills the floats' span.
fn no_live_volume(bench: &Bench<'_>) -> Option<Finding> {
    (live_volume(bench) <= Volume::ZERO).then(|| {
        Finding::stop(
            "no-live-volume",
            phrase!(
                "the pump's body leaves no water between the floats ({} apart)",
                Amount::small(bench.site.basin.on - bench.site.basin.off)
            ),
        )
        .cure(phrase!("a wider basin, or the on float higher"))
    })
}

fn restarts(bench: &Bench<'_>, cycle: &CycleResult) -> Option<Finding> {
    let slowly = bench
        .rest
        .drain_time
        .map_or_else(|| "at once".to_owned(), |time| format!("within {}", Amount::of(time).show(bench.site.units)));
    if cycle.runs_back >= cycle.live {
        // where the line is to drain back, a valve alone would keep it full in the frost
        let drains_back = bench.site.frost.is_some_and(|frost| frost.plan == Some(FrostPlan::DrainsBack));
        let valve = cycle.with_valve.as_ref().filter(|_| !drains_back).map(|(live, how)| {
            phrase!(
                "a check valve (if there is one, enter it), and {}",
                enough_words(bench, *live, *how).say(bench.site.units)
            )
        });
        return Some(
            Finding::stop(
                "drain-back-restarts-pump",
                phrase!(
                    "{} runs back {} at each stop, as much as the {} between the floats or more: the pump starts again by itself, for ever",
                    cycle.runs_back,
                    slowly,
                    cycle.live
                ),
            )
            .number("drain_back", Amount::of(cycle.runs_back))
            .number("live_volume", Amount::of(cycle.live))
            .cure_if(valve)
            .cure_if(enough(bench, cycle)),
        );
    }
    (cycle.runs_back > cycle.live * 0.5 * (1.0 + 1e-9)).then(|| {
        Finding::caution(
            "drain-back-large",
            phrase!(
                "{} runs back at each stop, more than half of the {} between the floats: it lifts the water {} {}{}",
                cycle.runs_back,
                cycle.live,
                Amount::small(cycle.rise),
                slowly,
                // in a slow return the pump starts again before all is back
                if bench.rest.drain_time.is_some() { ". A storm is followed as if all of it came back at once, and so tells more starts than there will be" } else { "" }
            ),
        )
        .number("drain_back", Amount::of(cycle.runs_back))
        .number("rise", Amount::small(cycle.rise))
        .cure_if(bench.site.discharge.check_valve.is_none().then(|| phrase!("a check valve")))
        .cure_if(enough(bench, cycle))
    })
}

/// The float setting or the basin that would be enough.
fn enough(bench: &Bench<'_>, cycle: &CycleResult) -> Option<Phrase> {
    cycle.enough.map(|(live, how)| enough_words(bench, live, how))
}

fn enough_words(bench: &Bench<'_>, live: Volume, how: Enough) -> Phrase {
    match how {
        Enough::OnAt(on) => {
            phrase!("{} between the floats: the on level at {} above the floor", live, Amount::small(on))
        }
        Enough::Wider { on, plan } => {
            let size = size_words(bench.site, plan);
            phrase!(
                "{} between the floats: {} with the on level at {} above the floor, as high as inlet and alarm let it go{}",
                live,
                size.say(bench.site.units),
                Amount::small(on),
                if bench.site.basin.alarm.is_none() { " (room for an alarm float is left above it)" } else { "" }
            )
        }
    }
}

/// A wider basin in words.
pub(super) fn size_words(site: &Site, plan: Area) -> Phrase {
    match site.basin.plan {
        Plan::Round(_) => {
            let diameter = plan.diameter();
            let made = catalog::basin_sizes().iter().map(|size| size.diameter).filter(|size| *size >= diameter);
            match made.reduce(Length::min) {
                Some(made) => phrase!(
                    "an inside diameter of {} (the next usual size is {})",
                    Amount::small_at_least(diameter),
                    Amount::small(made)
                ),
                None => phrase!("an inside diameter of {}", Amount::small_at_least(diameter)),
            }
        }
        Plan::Rectangular(..) => phrase!("an inside plan of {}", plan),
    }
}

fn starts(bench: &Bench<'_>, cycle: &CycleResult) -> Option<Finding> {
    let (limit, source) = &cycle.starts_limit;
    let worst = cycle.worst_inflow?;
    let starts = cycle.worst_starts_each();
    if starts <= *limit {
        return None;
    }
    let entered = bench.pump.starts_per_hour.is_some();
    let far = !entered && starts > *limit * FAR_BEYOND;
    Some(
        Finding::new(
            if entered || far { Severity::Stop } else { Severity::Caution },
            "too-many-starts",
            phrase!(
                "with {} running in {} starts {} times an hour, more than {}the {} {}{}",
                worst,
                if cycle.turns > 1.0 { "each pump" } else { "the pump" },
                if whole(starts) == whole(*limit) { format!("{starts:.1}") } else { whole(starts) },
                if far { format!("{FAR_BEYOND:.0} times ") } else { String::new() },
                if *limit < 1.0 { format!("{limit:.1}") } else { whole(*limit) },
                if entered {
                    "allowed"
                } else if source.starts_with("entered") {
                    "entered in [limits]"
                } else {
                    "usual where its maker says nothing"
                },
                if entered || far {
                    String::new()
                } else {
                    format!(
                        " (what stops a design is {FAR_BEYOND:.0} times that limit, {})",
                        whole(*limit * FAR_BEYOND)
                    )
                }
            ),
        )
        .number("starts_per_hour", Amount::of(starts))
        .number("worst_inflow", Amount::of(worst))
        .limit(Amount::of(*limit), source)
        .cure_if(enough(bench, cycle)),
    )
}

/// So many times beyond a built-in limit no pump is known to stand: common practice, no source.
const FAR_BEYOND: f64 = 3.0;

fn whole(number: f64) -> String {
    format!("{number:.0}")
}

fn run(bench: &Bench<'_>, cycle: &CycleResult) -> Option<Finding> {
    let (limit, source) = &cycle.run_limit;
    if cycle.shortest_run < *limit {
        // what the maker forbids is no matter of taste
        let far = cycle.shortest_run * FAR_BEYOND < *limit;
        let severity = if bench.pump.minimum_run.is_some() || far { Severity::Stop } else { Severity::Caution };
        return Some(
            Finding::new(
                severity,
                "run-too-short",
                phrase!(
                    "with no inflow the pump empties the floats' span in {}: shorter than {}",
                    cycle.shortest_run,
                    *limit
                ),
            )
            .number("run", Amount::of(cycle.shortest_run))
            .limit(Amount::of(*limit), source)
            .cure_if(enough(bench, cycle)),
        );
    }
    let wished = &catalog::default_limits().wished_run;
    (cycle.shortest_run < wished.value).then(|| {
        Finding::note(
            "run-short-of-wish",
            phrase!("with no inflow a run lasts {}; the trade likes {} or more", cycle.shortest_run, wished.value),
        )
        .number("run", Amount::of(cycle.shortest_run))
        .limit(Amount::of(wished.value), wished.source)
        .cure(phrase!("{} between the floats", cycle.leaves * wished.value))
    })
}

fn cycle_between_storms(cycle: &CycleResult) -> Option<Finding> {
    let Cycle::Cycles { rest, run } = cycle.at_steady else { return None };
    let share = run / (rest + run);
    (share > 0.25).then(|| {
        Finding::note(
            "runs-much-between-storms",
            phrase!(
                "the steady inflow of {} keeps the pump running {} in every {}, rain or not",
                cycle.steady,
                run,
                rest + run
            ),
        )
        .number("run", Amount::of(run))
        .number("cycle", Amount::of(rest + run))
    })
}

/// The room above the alarm up to where water shows.
pub(in crate::design) fn reserve_above_alarm(site: &Site) -> Option<Volume> {
    let alarm = site.basin.alarm?;
    let (level, _) = surfaces_at(site);
    Some(site.basin.plan.area() * (level - site.basin.level(alarm)).max(Length::ZERO))
}
