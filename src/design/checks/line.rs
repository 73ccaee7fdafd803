//! The discharge line: losses, pressure, valve, relief hole, high points, outlet.

use crate::catalog;
use crate::design::bench::Bench;
use crate::design::finding::{Finding, Severity};
use crate::design::phrase::{percent, phrase, share};
use crate::design::pump::{PumpResult, WaterLevel};
use crate::hydraulics::{FrictionMethod, PipeUse, ReliefHole, Run};
use crate::pump_selection::Duty;
use crate::quantity::{Amount, Head, Length, Pressure, Volume};
use crate::site::Site;

/// How far below the rim a valve is still within an arm's reach.
const WITHIN_REACH: Length = Length::from_inch(24.0);

/// What is to be said of the line whichever pump drives it.
pub(super) fn findings(site: &Site) -> Vec<Finding> {
    let mut findings = Vec::new();
    findings.extend(outlet_kind(site));
    findings.extend(outlet_drowned(site));
    findings.extend(return_flow(site));
    findings.extend(drain_pipe(site));
    findings.extend(no_profile(site));
    findings.extend(valve_missing(site));
    findings.extend(hole_missing(site));
    findings.extend(hole_misplaced(site));
    findings.extend(valve_out_of_reach(site));
    findings.extend(no_union(site));
    findings.extend(too_short(site));
    findings
}

/// What is to be said of the line with one pump on it.
pub(super) fn with_pump(bench: &Bench<'_>, result: &PumpResult) -> Vec<Finding> {
    let mut findings = Vec::new();
    findings.extend(losses_large(bench, result));
    findings.extend(high_point(bench, result));
    findings.extend(leak_large(bench, result));
    findings.extend(narrower_than_pump(bench));
    findings.extend(off_the_riser(bench));
    findings.extend(pressure(bench));
    findings.extend(sags(result));
    findings
}

fn outlet_kind(site: &Site) -> Option<Finding> {
    let kind = &site.discharge.outlet.kind;
    let entry = catalog::outlet(kind);
    let words = kind.to_lowercase();
    let sewer = ["sewer", "sanitary", "septic"].iter().any(|word| words.contains(word)) && !words.contains("storm");
    let forbidden = entry.map_or(sewer, |entry| !entry.allowed);
    if forbidden {
        return Some(
            Finding::stop(
                "outlet-not-allowed",
                phrase!("the outlet is a {}: yard water does not belong there, and most towns forbid it", kind),
            )
            .cure(phrase!("an outlet to a swale, ditch, curb or storm drain that the town allows in writing")),
        );
    }
    entry.is_none().then(|| {
        Finding::note(
            "outlet-unknown",
            phrase!("`{}` is no kind of outlet in the tables: whether water may go there is not judged", kind),
        )
        .cure(phrase!("ask the town before anything is dug"))
    })
}

/// A full ditch above the outlet: with a valve it costs lift, without one it runs back.
fn outlet_drowned(site: &Site) -> Option<Finding> {
    let outlet = &site.discharge.outlet;
    let full = outlet.ditch_full.filter(|full| *full > outlet.level)?;
    let depth = Amount::small(full - outlet.level);
    if site.discharge.check_valve.is_none() {
        return Some(
            Finding::stop(
                "ditch-runs-back",
                phrase!(
                    "when the ditch is full the outlet lies {} under water, and there is no check valve: at each stop the ditch runs back through the line into the basin, without end",
                    depth
                ),
            )
            .number("depth", depth)
            .cure(phrase!("an outlet at {} or higher", full))
            .cure(phrase!("a check valve that holds")),
        );
    }
    Some(
        Finding::caution(
            "outlet-drowned",
            phrase!(
                "when the ditch is full the outlet lies {} under water; the lift is reckoned to the full ditch, at {}, and only the check valve keeps the ditch out of the basin",
                depth,
                full
            ),
        )
        .number("depth", depth)
        .cure(phrase!("an outlet at {} or higher", full)),
    )
}

fn return_flow(site: &Site) -> Option<Finding> {
    let share = site.discharge.outlet.returned_share;
    (share > 0.0).then(|| {
        let severity = if share >= 0.5 { Severity::Stop } else { Severity::Caution };
        Finding::new(
            severity,
            "return-flow",
            phrase!("{} of the pumped water runs back to the low spot: it is pumped over and over", percent(share)),
        )
        .number("returned_share", Amount::of(share))
        .cure(phrase!("an outlet from which the ground falls away from the yard: the levels decide, not the distance"))
    })
}

fn drain_pipe(site: &Site) -> Option<Finding> {
    let line = &site.discharge;
    std::iter::once(&line.riser).chain(&line.runs).find(|run| run.pipe.made_for == PipeUse::Drain).map(|run| {
        Finding::stop(
            "drain-pipe-under-pressure",
            phrase!(
                "{} {} is made for drains and has no pressure rating: its joints open under a pump",
                run.pipe.size.as_str(),
                run.pipe.material.as_str()
            ),
        )
        .cure(phrase!("a pipe made for pressure, such as PVC schedule 40 marked with its pressure rating"))
    })
}

fn no_profile(site: &Site) -> Option<Finding> {
    site.discharge.profile.is_empty().then(|| {
        Finding::note(
            "no-profile",
            phrase!("no profile of the line was entered: the lift is taken to the outlet, and a high point on the way is not seen"),
        )
        .cure(phrase!("enter `profile` with the levels of the pipe along the run"))
    })
}

fn valve_missing(site: &Site) -> Option<Finding> {
    if site.discharge.check_valve.is_some() {
        return None;
    }
    let frost = if site.discharge.profile.is_empty() {
        ""
    } else {
        " (that may be wanted where frost reaches the line: then the basin must be large enough)"
    };
    let back = crate::hydraulics::drain_back(&site.discharge, site.basin.floor, site.basin.level(site.basin.off));
    Some(
        Finding::caution(
            "check-valve-missing",
            phrase!("no check valve is entered: {} runs back into the basin at each stop{}", back.without_valve, frost),
        )
        .number("drain_back", Amount::of(back.without_valve))
        .cure(phrase!("a full-flow check valve in the riser, within reach, with a union above it")),
    )
}

fn hole_missing(site: &Site) -> Option<Finding> {
    let line = &site.discharge;
    (line.check_valve.is_some() && line.relief_hole.is_none()).then(|| {
        Finding::caution(
            "relief-hole-missing",
            phrase!("there is a check valve but no relief hole: air caught under the valve can keep the pump from priming (air lock)"),
        )
        .cure(phrase!("drill {} between pump and check valve, inside the basin, pointing down, unless the pump's maker provides one", Amount::drill(ReliefHole::USUAL_DIAMETER)))
    })
}

fn hole_misplaced(site: &Site) -> Option<Finding> {
    let line = &site.discharge;
    let height = line.relief_hole?.above_floor?;
    if site.basin.level(height) >= site.basin.rim {
        return Some(
            Finding::stop(
                "relief-hole-outside",
                phrase!(
                    "the relief hole stands {} above the floor, outside the basin: it sprays into the ground",
                    Amount::small(height)
                ),
            )
            .cure(phrase!("drill it inside the basin, below the check valve")),
        );
    }
    let valve = line.check_valve.as_ref()?.above_floor?;
    (height >= valve).then(|| {
        Finding::stop(
            "relief-hole-above-valve",
            phrase!(
                "the relief hole, {} above the floor, is not below the check valve at {}: it cannot vent the pump, and the line drains through it",
                Amount::small(height),
                Amount::small(valve)
            ),
        )
        .cure(phrase!("drill it below the valve, at least {} lower", Amount::small(Length::from_inch(2.0))))
    })
}

fn valve_out_of_reach(site: &Site) -> Option<Finding> {
    let height = site.discharge.check_valve.as_ref()?.above_floor?;
    let valve = site.basin.level(height);
    // a hair beyond is the arithmetic of levels
    if site.basin.rim - valve > WITHIN_REACH * (1.0 + 1e-6) {
        return Some(
            Finding::note(
                "check-valve-deep",
                phrase!(
                    "the check valve sits {} below the rim: hard to reach when it sticks",
                    Amount::small(site.basin.rim - valve)
                ),
            )
            .limit(Amount::small(WITHIN_REACH), "common practice, no source")
            .cure(phrase!(
                "the valve at {} above the floor or higher, or a riser that lifts out whole by a union near the rim",
                Amount::small(site.basin.depth() - WITHIN_REACH)
            )),
        );
    }
    (valve >= site.basin.rim).then(|| {
        Finding::note(
            "check-valve-outside",
            phrase!(
                "the check valve stands {} above the basin's rim: buried outside the basin it cannot be serviced",
                Amount::small(valve - site.basin.rim)
            ),
        )
        .cure(phrase!("a valve inside the basin, or in a box with a lid"))
    })
}

/// Pipe that cannot reach: shorter than the straight way up.
fn too_short(site: &Site) -> Option<Finding> {
    let line = &site.discharge;
    let pipe = line.length() + line.riser.length;
    let highest = site.pumps.iter().filter_map(|pump| pump.height).fold(Length::ZERO, Length::max);
    let up = line.outlet.level - site.basin.level(highest);
    (pipe < up).then(|| {
        Finding::stop(
            "line-too-short",
            phrase!(
                "riser and runs are {} together, but the outlet lies {} above the pump: a length or a level is wrong",
                pipe,
                up
            ),
        )
        .number("pipe", Amount::of(pipe))
        .number("height", Amount::of(up))
        .cure(phrase!("measure the run again, and compare outlet and basin from one benchmark"))
    })
}

/// Without a joint that opens, valve and pump come out with a saw.
fn no_union(site: &Site) -> Option<Finding> {
    let riser = &site.discharge.riser;
    let union = catalog::fitting("union", &riser.pipe)?.name;
    let listed = |name: &str| catalog::fitting(name, &riser.pipe).is_some_and(|entry| entry.name == union);
    (site.discharge.check_valve.is_some() && !riser.fittings.iter().any(|fitting| listed(&fitting.name))).then(|| {
        Finding::note(
            "no-union",
            phrase!("no union is entered in the riser: valve and pump then come out only with a saw"),
        )
        .cure(phrase!("a union just above the check valve"))
    })
}

fn losses_large(bench: &Bench<'_>, result: &PumpResult) -> Option<Finding> {
    let losses = result.losses.as_ref()?;
    let limit = &bench.site.limits.greatest_loss_share;
    let lost: Head = losses.friction() + losses.minor();
    if losses.total <= Head::ZERO || lost / losses.total <= limit.value {
        return None;
    }
    let level = result.duty(WaterLevel::Mean)?.water_level;
    let larger = bench.larger().into_iter().find_map(|entry| {
        let line = bench.widened(entry);
        let Duty::Meets(point) = bench.duty_on(&line, &bench.pump.curve, level) else { return None };
        let lift = bench.system(&line, FrictionMethod::HazenWilliams).static_head(level);
        let cover = line.outlet.opening_head.unwrap_or(Head::ZERO);
        let left = (point.head - lift - cover) / point.head;
        (left <= limit.value).then(|| {
            phrase!(
                "{} pipe for the run: the same pump then delivers {} half-way, and losses take {}",
                entry.pipe.size.as_str(),
                point.line_flow,
                percent(left)
            )
        })
    });
    Some(
        Finding::caution(
            "losses-dominate",
            phrase!(
                "friction and fittings take {} of the pump's {}, {} of its head: the pipe is small for this run",
                lost,
                losses.total,
                percent(lost / losses.total)
            ),
        )
        .number("losses", Amount::of(lost))
        .number("head", Amount::of(losses.total))
        .limit(share(limit.value), &limit.source)
        .cure(larger.unwrap_or_else(|| phrase!("no size of this pipe in the tables brings that about alone: a shorter run, or a pump made for more head and less flow"))),
    )
}

fn high_point(bench: &Bench<'_>, result: &PumpResult) -> Option<Finding> {
    let line = &bench.site.discharge;
    let outlet = line.outlet.working_level();
    let highest =
        line.points_on_the_way().iter().reduce(|best, point| if point.invert > best.invert { point } else { best })?;
    if highest.invert <= outlet || line.end_point().is_some_and(|end| end.invert >= highest.invert) {
        return None;
    }
    // without a duty nothing flows, and the levels alone decide
    let governs = result.losses.as_ref().is_none_or(|losses| !losses.governed_by_outlet);
    let message = if governs {
        phrase!(
            "the pipe's high point at {} governs: it stands {} above the outlet, and the pump must lift to it; no credit is taken for the fall beyond",
            highest.at,
            highest.invert - outlet
        )
    } else {
        phrase!(
            "the pipe is highest at {}, {} above the outlet; the losses beyond govern all the same",
            highest.at,
            highest.invert - outlet
        )
    };
    Some(
        Finding::new(if governs { Severity::Caution } else { Severity::Note }, "high-point", message)
            .number("station", Amount::of(highest.at))
            .number("above_outlet", Amount::of(highest.invert - outlet))
            .cure(phrase!("an air-release valve at the high point (an open vent spills while the pump runs), or a line that rises all the way")),
    )
}

fn leak_large(bench: &Bench<'_>, result: &PumpResult) -> Option<Finding> {
    let limit = &bench.site.limits.greatest_leak;
    let point = result.point(WaterLevel::Mean)?;
    let share_leaked = point.leak / point.pump_flow;
    (share_leaked > limit.value).then(|| {
        Finding::caution(
            "relief-hole-leak",
            phrase!(
                "the relief hole leaks {} of the {} pumped, {}",
                point.leak,
                point.pump_flow,
                percent(share_leaked)
            ),
        )
        .number("leak", Amount::of(point.leak))
        .limit(share(limit.value), &limit.source)
        .cure_if(
            result
                .duty(WaterLevel::Mean)
                .and_then(|duty| bench.largest_hole(limit.value, duty.water_level))
                .map(|hole| phrase!("a hole of at most {}", Amount::drill(hole))),
        )
    })
}

fn narrower_than_pump(bench: &Bench<'_>) -> Option<Finding> {
    let outlet = bench.pump.outlet_size.as_deref()?;
    let wanted = catalog::nominal_as_length(outlet)?;
    let line = &bench.site.discharge;
    let narrow = std::iter::once(&line.riser)
        .chain(&line.runs)
        .find(|run| catalog::nominal_as_length(&run.pipe.size).is_some_and(|size| size < wanted * 0.99))?;
    Some(
        Finding::caution(
            "pipe-smaller-than-pump-outlet",
            phrase!(
                "the {} pipe is smaller than the pump's {} outlet, which plumbing codes forbid",
                narrow.pipe.size.as_str(),
                outlet
            ),
        )
        .cure(phrase!("pipe of {} or more all the way", outlet)),
    )
}

/// The pump's highest pressure against the pipe's rating; surge comes on top and is not counted here.
fn pressure(bench: &Bench<'_>) -> Option<Finding> {
    let line = &bench.site.discharge;
    let highest = Pressure::of_head(bench.pump.curve.highest().1);
    let kept = |run: &Run| {
        // only PVC's derating is in the tables; it begins above 73 F
        let pvc = run.pipe.material.starts_with("PVC");
        let factor =
            if pvc { catalog::pvc_derating(bench.water.temperature()).map_or(0.0, |row| row.value) } else { 1.0 };
        run.pipe.rating.map(|rating| rating * factor)
    };
    let (run, rating) = std::iter::once(&line.riser)
        .chain(&line.runs)
        .filter_map(|run| Some((run, kept(run)?)))
        .find(|(_, rating)| highest > *rating)?;
    Some(
        Finding::stop(
            "pressure-above-rating",
            phrase!(
                "the pump can make {}, more than the {} that {} {} is rated for at the water's temperature, surge not counted",
                highest,
                rating,
                run.pipe.size.as_str(),
                run.pipe.material.as_str()
            ),
        )
        .number("pressure", Amount::of(highest))
        .limit(Amount::of(rating), "the pipe's standard, `sumpwright tables pipes`")
        .cure(phrase!("pipe of a higher rating, or a pump with less head")),
    )
}

/// Valve or hole where the riser is not: below the pump's top, or past the riser's end.
fn off_the_riser(bench: &Bench<'_>) -> Option<Finding> {
    let line = &bench.site.discharge;
    let top = bench.pump.height?;
    let valve = line.check_valve.as_ref().and_then(|valve| valve.above_floor).map(|height| ("check valve", height));
    let hole = line.relief_hole.and_then(|hole| hole.above_floor).map(|height| ("relief hole", height));
    let end = top + line.riser.length;
    let (what, height) = valve.into_iter().chain(hole).find(|(_, height)| *height < top || *height > end)?;
    Some(
        Finding::caution(
            "not-on-the-riser",
            phrase!(
                "the {} is entered at {} above the floor, but the riser goes from the pump's top at {} to {}",
                what,
                Amount::small(height),
                Amount::small(top),
                Amount::small(end)
            ),
        )
        .cure(phrase!("heights on the riser, or riser length and pump height entered anew")),
    )
}

/// Water that stays in low parts of the line between stops.
fn sags(result: &PumpResult) -> Option<Finding> {
    let held = result.cycle.as_ref()?.drain_back.held_in_sags;
    (held > Volume::from_litre(0.5)).then(|| {
        Finding::note(
            "sag-holds-water",
            phrase!("low parts of the line keep {} when the pump stops: grit settles there, and frost finds it", held),
        )
        .number("held", Amount::of(held))
        .cure(phrase!("a pipe that rises all the way from the basin to its highest point"))
    })
}
