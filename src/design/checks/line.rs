//! The discharge line: velocities, valve, relief hole, high points, outlet.

use crate::catalog;
use crate::design::bench::Bench;
use crate::design::finding::{Finding, Severity};
use crate::design::phrase::{percent, phrase, share};
use crate::design::pump::{PumpResult, WaterLevel};
use crate::hydraulics::friction::pipe_velocity;
use crate::hydraulics::{PipeUse, Run};
use crate::quantity::{Amount, Head, Length, Velocity};
use crate::site::Site;

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
    findings
}

/// What is to be said of the line with one pump on it.
pub(super) fn with_pump(bench: &Bench<'_>, result: &PumpResult) -> Vec<Finding> {
    let mut findings = Vec::new();
    findings.extend(too_slow(bench, result));
    findings.extend(too_fast(bench, result));
    findings.extend(losses_large(bench, result));
    findings.extend(high_point(bench, result));
    findings.extend(leak_large(bench, result));
    findings.extend(narrower_than_pump(bench));
    findings
}

fn outlet_kind(site: &Site) -> Option<Finding> {
    let kind = &site.discharge.outlet.kind;
    let entry = catalog::outlet(kind)?;
    (!entry.allowed).then(|| {
        Finding::stop(
            "outlet-not-allowed",
            phrase!("the outlet is a {}: yard water does not belong there, and most towns forbid it", kind),
        )
        .cure(phrase!("an outlet to a swale, ditch, curb or storm drain that the town allows in writing"))
    })
}

fn outlet_drowned(site: &Site) -> Option<Finding> {
    let outlet = &site.discharge.outlet;
    let full = outlet.ditch_full.filter(|full| *full > outlet.level)?;
    Some(
        Finding::caution(
            "outlet-drowned",
            phrase!(
                "when the ditch is full the outlet lies {} under water; the lift is reckoned to the full ditch, at {}",
                Amount::small(full - outlet.level),
                full
            ),
        )
        .number("depth", Amount::small(full - outlet.level))
        .cure(phrase!("an outlet at {} or higher, and a check valve that holds", full)),
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
            phrase!("no check valve: {} runs back into the basin at each stop{}", back.without_valve, frost),
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
        .cure(phrase!("drill {} between pump and check valve, inside the basin, pointing down, unless the pump's maker provides one", Amount::drill(Length::from_inch(0.1875))))
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

/// The run with the least or greatest velocity at a level.
fn extreme<'a>(
    bench: &Bench<'a>,
    result: &PumpResult,
    at: WaterLevel,
    better: impl Fn(Velocity, Velocity) -> bool,
) -> Option<(&'a Run, Velocity)> {
    let duty = result.duty(at)?;
    bench
        .site
        .discharge
        .runs
        .iter()
        .zip(duty.velocities.iter().copied())
        .reduce(|best, next| if better(next.1, best.1) { next } else { best })
}

fn too_slow(bench: &Bench<'_>, result: &PumpResult) -> Option<Finding> {
    let limit = &bench.site.limits.least_velocity;
    let (run, velocity) = extreme(bench, result, WaterLevel::Off, |next, best| next < best)?;
    if velocity >= limit.value {
        return None;
    }
    let needed = limit.value * run.pipe.area();
    let level = bench.site.basin.level(bench.site.basin.off);
    let smaller = bench.neighbours().0.and_then(|entry| {
        let flow = bench.flow_on(&bench.with_size(entry), level)?;
        let velocity = pipe_velocity(flow, entry.pipe.bore);
        (velocity >= limit.value).then(|| phrase!("{} pipe: {} at {}", entry.pipe.size.as_str(), velocity, flow))
    });
    Some(
        Finding::caution(
            "velocity-below-scour",
            phrase!(
                "at the off level water moves at {} in the {} pipe, below the {} that carries grit: it settles and narrows the pipe",
                velocity,
                run.pipe.size.as_str(),
                limit.value
            ),
        )
        .number("velocity", Amount::of(velocity))
        .limit(Amount::of(limit.value), &limit.source)
        .cure_if(smaller)
        .cure(phrase!("a pump that delivers at least {} here", needed)),
    )
}

fn too_fast(bench: &Bench<'_>, result: &PumpResult) -> Option<Finding> {
    let limit = &bench.site.limits.greatest_velocity;
    let (run, velocity) = extreme(bench, result, WaterLevel::On, |next, best| next > best)?;
    if velocity <= limit.value {
        return None;
    }
    let level = bench.site.basin.level(bench.site.basin.on);
    let larger = bench.neighbours().1.and_then(|entry| {
        let flow = bench.flow_on(&bench.with_size(entry), level)?;
        Some(phrase!("{} pipe: {} at {}", entry.pipe.size.as_str(), pipe_velocity(flow, entry.pipe.bore), flow))
    });
    Some(
        Finding::caution(
            "velocity-above-limit",
            phrase!(
                "at the on level water moves at {} in the {} pipe, above {}: hard on joints when it stops",
                velocity,
                run.pipe.size.as_str(),
                limit.value
            ),
        )
        .number("velocity", Amount::of(velocity))
        .limit(Amount::of(limit.value), &limit.source)
        .cure_if(larger),
    )
}

fn losses_large(bench: &Bench<'_>, result: &PumpResult) -> Option<Finding> {
    let losses = result.losses.as_ref()?;
    let limit = &bench.site.limits.greatest_loss_share;
    let lost: Head = losses.friction() + losses.minor();
    if losses.total <= Head::ZERO || lost / losses.total <= limit.value {
        return None;
    }
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
        .cure_if(super::duty::larger_pipe(bench)),
    )
}

fn high_point(bench: &Bench<'_>, result: &PumpResult) -> Option<Finding> {
    let line = &bench.site.discharge;
    let outlet = line.outlet.working_level();
    let highest = line.profile.iter().reduce(|best, point| if point.invert > best.invert { point } else { best })?;
    if highest.at >= line.length() || highest.invert <= outlet {
        return None;
    }
    let governs = result.losses.as_ref().is_some_and(|losses| !losses.governed_by_outlet);
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
            .cure(phrase!("an air vent at the high point, or gravity pipe of a larger size from there on")),
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
        .cure_if(bench.site.discharge.relief_hole.map(|hole| {
            // a hole's leak goes with the square of its diameter; down to the next drill
            let most = hole.diameter * (limit.value / share_leaked).sqrt();
            let drill = Length::from_inch(libm::floor(most.inch() * 64.0) / 64.0);
            phrase!("a hole of at most {}", Amount::drill(drill.max(Length::from_inch(1.0 / 64.0))))
        }))
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
