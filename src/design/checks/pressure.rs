//! Pressure: pipes and joints made for it, surge, and the valve that rides on the flow.

use crate::catalog;
use crate::design::bench::Bench;
use crate::design::changes;
use crate::design::finding::Finding;
use crate::design::phrase::{Phrase, percent, phrase};
use crate::design::pump::{PumpResult, WaterLevel};
use crate::design::surge::{SurgeIn, holds_in, rating_kept};
use crate::hydraulics::{FittingCount, PipeUse, Run};
use crate::quantity::{Amount, Flow, Pressure, Velocity};
use crate::site::Site;

/// What is to be said of pipes and fittings whichever pump drives them.
pub(super) fn findings(site: &Site) -> Vec<Finding> {
    drain_pipe(site).into_iter().chain(drain_fittings(site)).collect()
}

/// What is to be said of the pressure with one pump on the line.
pub(super) fn with_pump(bench: &Bench<'_>, result: &PumpResult) -> Vec<Finding> {
    let mut findings = Vec::new();
    findings.extend(shut_off_above_rating(bench));
    findings.extend(surge_above_rating(bench, result));
    findings.extend(closes_late(result));
    findings.extend(surge_unknown(result));
    findings.extend(band_couplings(bench));
    findings.extend(hose(bench, result));
    findings.extend(valve_not_held_open(bench, result));
    findings
}

fn all_runs(site: &Site) -> impl Iterator<Item = &Run> {
    std::iter::once(&site.discharge.riser).chain(&site.discharge.runs)
}

fn drain_pipe(site: &Site) -> Option<Finding> {
    let run = all_runs(site).find(|run| run.pipe.made_for == PipeUse::Drain)?;
    let why = run.pipe.against_pressure.unwrap_or("it is made for drains and has no pressure rating");
    Some(
        Finding::stop(
            "drain-pipe-under-pressure",
            phrase!("{} {} must not be a pump's line: {}", run.pipe.size.as_str(), run.pipe.material.as_str(), why),
        )
        .cure(phrase!("a pipe made for pressure, such as PVC schedule 40 marked with its pressure rating")),
    )
}

fn drain_fittings(site: &Site) -> Option<Finding> {
    let names: Vec<&str> = all_runs(site)
        .flat_map(|run| &run.fittings)
        .filter(|fitting| fitting.made_for == PipeUse::Drain && fitting.count > 0 && !is_banded(site, fitting))
        .map(|fitting| fitting.name.as_str())
        .collect();
    (!names.is_empty()).then(|| {
        Finding::stop(
            "drain-fitting-under-pressure",
            phrase!(
                "{} {} made for drains: shallow sockets and no pressure rating, so the joint parts under a pump",
                names.join(", "),
                if names.len() == 1 { "is" } else { "are" }
            ),
        )
        .cure(phrase!("the same fittings made for pressure (their sockets are deeper, and they are marked so)"))
    })
}

/// The pump's highest pressure alone against the pipe's rating.
fn shut_off_above_rating(bench: &Bench<'_>) -> Option<Finding> {
    let highest = Pressure::of_head(bench.highest_head());
    let (run, rating) = all_runs(bench.site)
        .filter_map(|run| Some((run, rating_kept(bench, run)?)))
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

/// Surge on top of the pump's highest pressure.
fn surge_above_rating(bench: &Bench<'_>, result: &PumpResult) -> Option<Finding> {
    let surge = result.surge.as_ref()?;
    let worst = surge.worst()?;
    let rating = worst.rating?;
    // the shut-off head alone has a finding of its own
    let most = worst.most?;
    if most <= rating || surge.shut_off > rating {
        return None;
    }
    let rise = worst.surge?;
    let allowed = worst.velocity * ((rating - surge.shut_off) / rise);
    let run = all_runs(bench.site).nth(surge.pipes.iter().position(|pipe| pipe == worst)?)?;
    Some(
        Finding::stop(
            "surge-above-rating",
            phrase!(
                "when the water stops, {} of surge comes on top of the pump's {}: {} in the {}, which is rated for {} at the water's temperature",
                rise,
                surge.shut_off,
                most,
                worst.pipe.as_str(),
                rating
            ),
        )
        .number("surge", Amount::of(rise))
        .number("pressure", Amount::of(most))
        .limit(Amount::of(rating), "the pipe's standard, `sumpwright tables pipes`")
        .cure(phrase!(
            "no more than {} in it, which is {} at {} or less",
            allowed,
            worst.pipe.as_str(),
            allowed * run.pipe.area()
        ))
        .cure_if(stands_the_surge(bench, worst))
        .cure_if(stronger_pipe(bench, result, worst)),
    )
}

/// A slow valve that is still open when the water runs back.
fn closes_late(result: &PumpResult) -> Option<Finding> {
    let surge = result.surge.as_ref().filter(|surge| surge.closes_late)?;
    let (closes_in, runs_on) = (surge.closes_in?, surge.runs_on?);
    Some(
        Finding::caution(
            "valve-closes-late",
            phrase!(
                "the check valve takes {} to close, but the water runs on for {} at the most and then comes back: the valve slams on it, and nothing is taken off the surge",
                closes_in,
                runs_on
            ),
        )
        .number("closes_in", Amount::of(closes_in))
        .limit(Amount::of(runs_on), "run-on time of the water after the pump has stopped")
        .cure(phrase!("a valve that closes sooner, such as a spring check")),
    )
}

/// Pipe whose surge is not known although it has a rating to hold it against.
fn surge_unknown(result: &PumpResult) -> Option<Finding> {
    let surge = result.surge.as_ref()?;
    if let Some(warm) = surge.pipes.iter().find(|pipe| pipe.rating.is_none() && pipe.rating_as_printed.is_some()) {
        return Some(Finding::note(
            "rating-unknown-when-warm",
            phrase!(
                "what {} keeps of its rating in water this warm is not in the tables: pressure and surge are not held against it",
                warm.pipe.as_str()
            ),
        ));
    }
    let unknown = surge.pipes.iter().find(|pipe| pipe.surge.is_none() && pipe.rating.is_some())?;
    Some(Finding::note(
        "surge-unknown",
        phrase!("the stiffness of {} is not in the tables: its surge is not judged", unknown.pipe.as_str()),
    ))
}

/// The next larger size whose slower water surges within its rating.
fn stands_the_surge(bench: &Bench<'_>, worst: &SurgeIn) -> Option<Phrase> {
    if worst.name == "riser" {
        return None;
    }
    bench.larger().find_map(|entry| {
        let (most, rating) = holds_in(bench, bench.widened(entry))?;
        Some(phrase!("{} pipe for the run: {} against {}", entry.pipe.size.as_str(), most, rating))
    })
}

/// Kinds of pressure pipe, from the thinnest wall to the thickest.
const STRONGER: [&str; 6] =
    ["PVC SDR 21", "PVC schedule 40", "PVC schedule 80", "PVC-U SDR 13.6", "PE100 SDR 17", "PE100 SDR 11"];

/// A stronger kind of pipe of the same size that stands the surge it makes itself: a stiffer wall surges more.
fn stronger_pipe(bench: &Bench<'_>, result: &PumpResult, worst: &SurgeIn) -> Option<Phrase> {
    let at = result.surge.as_ref()?.pipes.iter().position(|pipe| pipe == worst)?;
    let old = &all_runs(bench.site).nth(at)?.pipe;
    let kinds = STRONGER.iter().filter_map(|kind| catalog::pipe(kind, &old.size).ok());
    kinds.filter(|entry| entry.pipe.material != old.material).find_map(|entry| {
        let mut line = bench.site.discharge.clone();
        // every pipe of that kind and size, so that one purchase mends them all
        std::iter::once(&mut line.riser)
            .chain(&mut line.runs)
            .filter(|run| run.pipe.material == old.material && run.pipe.size == old.size)
            .for_each(|run| changes::resize(run, entry, bench.site.equivalent_lengths.as_deref()));
        let (most, rating) = holds_in(bench, line)?;
        Some(phrase!(
            "{} {} in its place: {} against {}",
            entry.pipe.size.as_str(),
            entry.pipe.material.as_str(),
            most,
            rating
        ))
    })
}

/// Rubber couplings with band clamps stand little head.
fn band_couplings(bench: &Bench<'_>) -> Option<Finding> {
    let limit = &catalog::default_limits().band_coupling_head;
    let highest = bench.highest_head();
    let count: u32 = all_runs(bench.site)
        .flat_map(|run| &run.fittings)
        .filter(|fitting| is_banded(bench.site, fitting))
        .map(|fitting| fitting.count)
        .sum();
    (count > 0 && highest > limit.value).then(|| {
        Finding::caution(
            "band-coupling-under-pressure",
            phrase!(
                "{} with band clamps in a line that can see {}: above {} they creep and blow off",
                if count == 1 { "a rubber coupling".to_owned() } else { format!("{count} rubber couplings") },
                highest,
                limit.value
            ),
        )
        .number("head", Amount::of(highest))
        .limit(Amount::of(limit.value), limit.source)
        .cure(phrase!("glued sockets, or a union made for pressure where it must come apart"))
    })
}

/// The name of such couplings in the table of fittings.
const BAND_COUPLING: &str = "band coupling";

/// Whether a fitting is a coupling with band clamps. They have a rule of their own.
fn is_banded(site: &Site, fitting: &FittingCount) -> bool {
    catalog::fitting(&fitting.name, &site.discharge.riser.pipe).is_some_and(|known| known.name == BAND_COUPLING)
}

/// A hose where a pipe belongs: what its own friction makes of the flow.
fn hose(bench: &Bench<'_>, result: &PumpResult) -> Option<Finding> {
    let line = &bench.site.discharge;
    let hose = all_runs(bench.site).find(|run| run.pipe.made_for == PipeUse::Hose)?;
    let why = hose.pipe.against_pressure.unwrap_or("sun, frost and kinks end it soon");
    let level = result.duty(WaterLevel::Mean)?.water_level;
    let now = result.point(WaterLevel::Mean).map_or(Flow::ZERO, |point| point.line_flow);
    // the same line in the usual pipe at least as wide
    let nominal = catalog::nominal_as_length(&hose.pipe.size)?;
    let usual = ["1-1/4 in", "1-1/2 in", "2 in", "3 in"]
        .into_iter()
        .filter_map(|size| catalog::pipe("PVC schedule 40", size).ok())
        .find(|entry| catalog::nominal_as_length(&entry.pipe.size).is_some_and(|size| size >= nominal * 0.99))?;
    let mut piped = line.clone();
    for run in std::iter::once(&mut piped.riser).chain(&mut piped.runs) {
        if run.pipe.made_for == PipeUse::Hose {
            changes::resize(run, usual, bench.site.equivalent_lengths.as_deref());
        }
    }
    let then = bench.flow_on(&piped, level);
    let message = phrase!(
        "{} {} is used as the pump's line: {}. With its roughness (C {}) the pump delivers {}",
        hose.pipe.size.as_str(),
        hose.pipe.material.as_str(),
        why,
        format!("{:.0}", hose.pipe.hazen_williams_c),
        now
    );
    let finding = Finding::caution("hose-as-line", message).number("delivered", Amount::of(now));
    Some(match then {
        Some(then) => finding.number("in_pipe", Amount::of(then)).cure(phrase!(
            "{} PVC schedule 40 in its place, buried: {} ({} more)",
            usual.pipe.size.as_str(),
            then,
            percent((then / now.max(Flow::from_gpm(0.01)) - 1.0).max(0.0))
        )),
        None => finding.cure(phrase!("{} PVC schedule 40 in its place, buried", usual.pipe.size.as_str())),
    })
}

/// A flap that the flow does not hold fully open hangs in it, chatters and loses more than its K says.
fn valve_not_held_open(bench: &Bench<'_>, result: &PumpResult) -> Option<Finding> {
    let valve = bench.site.discharge.check_valve.as_ref()?;
    let surge = result.surge.as_ref()?;
    let opens_at: Velocity = surge.opens_at?;
    // what prints alike is no difference
    let units = bench.site.units;
    let alike = Amount::of(surge.riser_velocity).show(units) == Amount::of(opens_at).show(units);
    (surge.riser_velocity < opens_at && !alike).then(|| {
        Finding::note(
            "valve-not-held-open",
            phrase!(
                "a {} check valve wants {} in the riser to stand fully open, and has {} at the off level: the flap hangs in the stream, loses somewhat more than its K and wears at the hinge",
                valve.kind.as_str(),
                opens_at,
                surge.riser_velocity
            ),
        )
        .number("velocity", Amount::of(surge.riser_velocity))
        .limit(Amount::of(opens_at), "Technical Paper 410, Flow of Fluids (2009): N (1/density)^0.5")
        .cure(phrase!(
            "usual in small lines and no fault by itself; a spring check closes sooner and does not chatter, at more loss",
        ))
    })
}
