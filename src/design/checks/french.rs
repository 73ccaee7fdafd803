//! French drains: what they are relied on for, what they take in, what they lower.

use super::drains::slope_at_least;
use crate::collection::gravity_pipe::GRAVITY_PIPE_SOURCE;
use crate::design::finding::Finding;
use crate::design::phrase::phrase;
use crate::design::runoff::StormResult;
use crate::design::way_in::{FrenchResult, WayIn};
use crate::quantity::{Amount, Flow, Length, UnitSystem};
use crate::site::{Catchment, Drain, Site, TrenchCover};

pub(super) fn findings(site: &Site, storm: &StormResult, way_in: &WayIn) -> Vec<Finding> {
    let mut findings = Vec::new();
    for french in &way_in.french {
        findings.extend(runoff_under_sod(site, french));
        findings.extend(pipe_limits(way_in, french));
        findings.extend(holes_limit(site, french));
        findings.extend(above_table(site, french));
        findings.extend(no_fabric(site, french));
        findings.extend(lowers_too_little(site, french));
    }
    findings.extend(into_perforated(site, storm, way_in));
    findings
}

/// Runoff that is to get through soil and grass into the stone.
fn runoff_under_sod(site: &Site, french: &FrenchResult) -> Option<Finding> {
    if french.cover == Some(TrenchCover::Stone) {
        return None;
    }
    let led = |catchment: &&Catchment| catchment.drains_to.as_deref() == Some(french.name.as_str());
    let own: Vec<&str> = site.catchments.iter().filter(led).map(|catchment| catchment.name.as_str()).collect();
    let roofs = site
        .catchments
        .iter()
        .filter(led)
        .all(|catchment| catchment.surface.as_deref().is_some_and(|surface| surface.contains("roof")));
    if own.is_empty() {
        return None;
    }
    let flow = french.own_runoff;
    let names = own.iter().map(|name| format!("`{name}`")).collect::<Vec<_>>().join(", ");
    let (severity, cover) = match french.cover {
        Some(_) => (crate::design::Severity::Stop, "lies under sod"),
        None => (crate::design::Severity::Caution, "has no cover entered, and sod is the usual one"),
    };
    Some(
        Finding::new(
            severity,
            "runoff-to-covered-french-drain",
            phrase!(
                "the {} of runoff of {} is led to the French drain `{}`, which {}: under soil it takes groundwater, and runoff stays on the grass until the ground is full of water",
                flow,
                names,
                french.name.as_str(),
                cover
            ),
        )
        .about(&french.name)
        .number("runoff", Amount::of(flow))
        .cure_if(roofs.then(|| phrase!("a solid pipe from the downspouts to the basin, and `drains_to = \"basin\"`")))
        .cure(phrase!("a grate at the low spot with a solid pipe to the basin, and that as `drains_to`"))
        .cure(phrase!("stone up to the surface: `cover = \"stone\"` in its trench")),
    )
}

/// The ground or the runoff brings more than the pipe carries.
fn pipe_limits(way_in: &WayIn, french: &FrenchResult) -> Option<Finding> {
    let carries = french.carries?;
    let most = french.most;
    let drain = way_in.drains.iter().find(|drain| drain.name == french.name)?;
    // more than the flow of the peak is what the drain rule speaks of
    if most <= carries || drain.too_small {
        return None;
    }
    Some(
        Finding::note(
            "french-pipe-limits",
            phrase!(
                "the ground may bring {} to `{}`, more than the {} that its pipe carries: the pipe then sets the limit",
                most,
                french.name.as_str(),
                carries
            ),
        )
        .about(&french.name)
        .number("most", Amount::of(most))
        .limit(Amount::of(carries), GRAVITY_PIPE_SOURCE)
        .cure_if(french.larger.map(|entry| phrase!("{} pipe of the same kind", entry.pipe.size.as_str())))
        .cure_if(
            french
                .least_slope
                .filter(|slope| slope.ratio() < 0.1)
                .map(|slope| phrase!("a fall of {}", slope_at_least(slope))),
        ),
    )
}

/// Runoff through stone that the clogged holes of the pipe do not let in.
fn holes_limit(site: &Site, french: &FrenchResult) -> Option<Finding> {
    if !french.holes_limit {
        return None;
    }
    let comes = french.own_runoff + french.counted;
    // to the next foot or tenth of a metre, so that rounding takes nothing away
    let unit = if site.units == UnitSystem::Us { Length::from_ft(1.0) } else { Length::from_cm(10.0) };
    let long = unit * libm::ceil(french.length * (comes / french.lets_in) / unit - 1e-9);
    Some(
        Finding::caution(
            "french-holes-limit",
            phrase!(
                "{} must get in through the holes of `{}`, which let {} in once nine tenths of them are clogged, with an inch of water over the pipe: the stone then fills up",
                comes,
                french.name.as_str(),
                french.lets_in
            ),
        )
        .about(&french.name)
        .number("comes", Amount::of(comes))
        .limit(Amount::of(french.lets_in), "holes of AASHTO M252 class 2 as orifices; the clogging is common practice, no source")
        .cure_if((long < french.length * 4.0).then(|| phrase!("a trench {} long of the same fall", long)))
        .cure(phrase!("a grate at the low spot with a solid pipe to the basin, and that as `drains_to`")),
    )
}

/// A French drain that groundwater never reaches.
fn above_table(site: &Site, french: &FrenchResult) -> Option<Finding> {
    let high = site.groundwater.seasonal_high?;
    let bottom = french.bottom.or_else(|| {
        let drain = site.drains.iter().find(|drain| drain.name == french.name)?;
        drain.down_invert.or(drain.up_invert)
    })?;
    (high <= bottom && french.cover != Some(TrenchCover::Stone)).then(|| {
        Finding::caution(
            "french-drain-dry",
            phrase!(
                "groundwater at its seasonal high stands {} below the bottom of `{}`: the drain takes in nothing but what seeps down to it",
                Amount::small(bottom - high),
                french.name.as_str()
            ),
        )
        .about(&french.name)
        .number("below", Amount::small(bottom - high))
        .cure(phrase!("its bottom more than {} lower", Amount::small_at_least(bottom - high)))
        .cure(phrase!("stone up to the surface if it is to take runoff: `cover = \"stone\"` in its trench"))
    })
}

fn no_fabric(site: &Site, french: &FrenchResult) -> Option<Finding> {
    let drain = site.drains.iter().find(|drain| drain.name == french.name)?;
    (drain.french.as_ref()?.fabric == Some(false)).then(|| {
        Finding::note(
            "french-drain-without-fabric",
            phrase!(
                "no filter fabric lines the trench of `{}`: fines wash into the stone and close it",
                french.name.as_str()
            ),
        )
        .about(&french.name)
        .cure(phrase!(
            "fabric round the stone, not round the pipe in fine silt or iron-bearing water (common practice, no source)"
        ))
    })
}

/// The lowering that was asked for is not reached at the drain.
fn lowers_too_little(site: &Site, french: &FrenchResult) -> Option<Finding> {
    let (wanted, seep) = (site.groundwater.drawdown?, french.seep.as_ref()?);
    // a drain above groundwater must first get down to it
    let high = site.groundwater.seasonal_high?;
    let (aim, on) = (high - wanted, site.basin.level(site.basin.on));
    let short = seep.held - aim;
    // where it never starts the pump, that is what is wrong
    if short <= Length::from_inch(0.5) || on >= high {
        return None;
    }
    let half_way = site.basin.level((site.basin.off + site.basin.on) / 2.0);
    let drain: &Drain = site.drains.iter().find(|drain| drain.name == french.name)?;
    let by_basin = seep.held > drain.middle_invert()?;
    Some(
        Finding::caution(
            "drawdown-not-reached",
            phrase!(
                "`{}` holds groundwater {} below its seasonal high, not the {} that are asked for: the water in it must stand {} lower",
                french.name.as_str(),
                Amount::small(seep.head),
                Amount::small(wanted),
                Amount::small(short)
            ),
        )
        .about(&french.name)
        .number("drawdown", Amount::small(seep.head))
        .limit(Amount::small(wanted), "entered in [groundwater]")
        .cure(if let Some(tight) = site.groundwater.tight_layer.filter(|tight| *tight > aim) {
            phrase!(
                "`drawdown` no more than {}: the tight layer stands above that, and no drain lowers water further",
                Amount::small_at_most((high - tight).max(Length::ZERO))
            )
        } else if by_basin {
            phrase!("the floats lower: the middle water level between them must lie {} lower, and the drain no higher than that", Amount::small_at_least(short))
        } else {
            let floats = half_way - aim;
            phrase!(
                "the drain {} deeper over its whole length{}",
                Amount::small_at_least(short),
                if floats > Length::ZERO {
                    format!(
                        ", and the middle water level between the floats {} lower",
                        Amount::small_at_least(floats).show(site.units)
                    )
                } else {
                    String::new()
                }
            )
        }),
    )
}

/// Water that was caught already, let out into the ground again.
fn into_perforated(site: &Site, storm: &StormResult, way_in: &WayIn) -> Vec<Finding> {
    way_in
        .french
        .iter()
        .filter_map(|french| {
            let drain = site.drains.iter().find(|drain| drain.name == french.name)?;
            let roofs: Vec<&str> = site
                .catchments
                .iter()
                // under sod the finding about the cover says it
                .filter(|_| french.cover == Some(TrenchCover::Stone))
                .filter(|catchment| catchment.drains_to.as_deref() == Some(french.name.as_str()))
                .filter(|catchment| catchment.surface.as_deref().is_some_and(|surface| surface.contains("roof")))
                .map(|catchment| catchment.name.as_str())
                .collect();
            let what = match (&drain.from, roofs.is_empty()) {
                (Some(from), _) => format!("what `{from}` catches"),
                (None, false) => roofs.iter().map(|name| format!("`{name}`")).collect::<Vec<_>>().join(", "),
                (None, true) => return None,
            };
            let above_table =
                site.groundwater.seasonal_high.zip(drain.down_invert).is_none_or(|(high, invert)| high < invert);
            let roof: Flow = storm
                .catchments
                .iter()
                .filter(|result| roofs.contains(&result.name.as_str()))
                .map(|result| result.own_peak)
                .sum();
            Some(
                Finding::caution(
                    "water-into-perforated-pipe",
                    phrase!(
                        "{} is led into the perforated pipe of `{}`{}: part of it seeps out into the ground again{}",
                        what,
                        french.name.as_str(),
                        if roof > Flow::ZERO {
                            format!(" ({})", Amount::of(roof).show(site.units))
                        } else {
                            String::new()
                        },
                        if above_table { ", beside the house as well" } else { "" }
                    ),
                )
                .about(&french.name)
                .cure(phrase!("a solid pipe of its own to the basin")),
            )
        })
        .collect()
}
