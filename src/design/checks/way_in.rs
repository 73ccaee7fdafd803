//! How the water gets to the basin and whether it needs a pump: only what the levels say at once.

use super::drains::slope_at_least;
use crate::design::finding::Finding;
use crate::design::gravity_way::GravityWay;
use crate::design::phrase::phrase;
use crate::design::runoff::StormResult;
use crate::design::way_in::least_fall;
use crate::quantity::{Amount, Length};
use crate::site::{Drain, Site};

pub(super) fn findings(site: &Site, storm: &StormResult, gravity_way: Option<&GravityWay>) -> Vec<Finding> {
    let mut findings = uphill(site);
    // a doubt about a drain that a stop already names is not said twice
    let named = |doubt: &&crate::site::Doubt| {
        !findings
            .iter()
            .filter_map(|finding| finding.about.as_ref())
            .any(|name| doubt.message.contains(&format!("`{name}`")))
    };
    let doubts: Vec<Finding> = site.doubts.iter().filter(named).map(doubt).collect();
    findings.extend(doubts);
    findings.extend(end_above_outlet(site));
    findings.extend(outlet_below_on(site));
    findings.extend(gravity_way.map(|way| gravity_first(site, storm, way)));
    findings
}

/// What the reader warned of stands in the report too: a saved report has no error stream.
fn doubt(doubt: &crate::site::Doubt) -> Finding {
    let place = doubt.line.map_or_else(String::new, |line| format!(" (line {line} of the site file)"));
    let said = phrase!("{}{}", doubt.message.as_str(), place);
    let finding = if doubt.to_be_measured {
        Finding::note("still-to-be-measured", said)
    } else {
        Finding::caution("doubt-about-the-file", said)
    };
    match &doubt.help {
        Some(help) => finding.cure(phrase!("{}", help.as_str())),
        None => finding,
    }
}

fn uphill(site: &Site) -> Vec<Finding> {
    site.drains
        .iter()
        .filter_map(|drain| {
            let (up, down) = (drain.up_invert?, drain.down_invert?);
            (down >= up).then(|| {
                Finding::stop(
                    "drain-uphill",
                    phrase!(
                        "`{}` does not fall: its lower end at {} is not below its upper end at {}",
                        drain.name.as_str(),
                        down,
                        up
                    ),
                )
                .about(&drain.name)
                .number("rise", Amount::small(down - up))
                .cure(phrase!(
                    "a lower end at {} or lower: a fall of {}",
                    Amount::level_at_most(up - least_fall(drain).0 * drain.length),
                    least_fall(drain).0
                ))
            })
        })
        .chain(site.drains.iter().filter_map(level_by_slope))
        .collect()
}

/// A drain of which only the slope is known, and that is none.
fn level_by_slope(drain: &Drain) -> Option<Finding> {
    let known = drain.up_invert.is_some() && drain.down_invert.is_some();
    (!known && drain.slope?.ratio() <= 0.0).then(|| {
        Finding::stop("drain-uphill", phrase!("`{}` does not fall: its slope is entered as none", drain.name.as_str()))
            .about(&drain.name)
            .cure(phrase!("a fall of {} or more", slope_at_least(least_fall(drain).0)))
    })
}

/// Where the outlet lies no higher than the water that starts the pump, water passes the idle pump by itself.
fn outlet_below_on(site: &Site) -> Option<Finding> {
    let outlet = site.discharge.outlet.working_level();
    let on = site.basin.level(site.basin.on);
    // over a hill nothing runs by itself; the siphon has a rule of its own
    if outlet > on || site.discharge.points_on_the_way().iter().any(|point| point.invert > on) {
        return None;
    }
    Some(
        Finding::caution(
            "outlet-below-on-level",
            phrase!(
                "the outlet at {} is no higher than the on level at {}: water passes the idle pump by itself, or the line siphons; or a digit is wrong",
                outlet,
                on
            ),
        )
        .cure(phrase!("measure both levels again from one benchmark; if they are right, look for a way by gravity")),
    )
}

/// Where the outlet lies well below what comes in, a pipe may do without a pump.
fn gravity_first(site: &Site, storm: &StormResult, way: &GravityWay) -> Finding {
    let carries = way.pipe.map_or_else(
        || {
            format!(
                "no usual pipe carries the {} of the peak at that fall",
                Amount::of(storm.peak_inflow).show(site.units)
            )
        },
        |(entry, capacity)| {
            format!(
                "{} {} carries {} at that fall, and {} comes",
                entry.pipe.size,
                entry.pipe.material,
                Amount::of(capacity).show(site.units),
                Amount::of(storm.peak_inflow).show(site.units)
            )
        },
    );
    let deep = way.deepest.map_or_else(String::new, |deepest| {
        format!("; it would lie up to {} under the ground", Amount::of(deepest.max(Length::ZERO)).show(site.units))
    });
    let flat = if way.steep_enough { "" } else { ", flatter than drains of that size are laid" };
    Finding::note(
        "gravity-may-do",
        phrase!(
            "the outlet lies {} below the pipes that come in: over {} of line a fall of {}{}. {}{}",
            Amount::small(way.fall),
            way.length,
            way.slope,
            flat,
            carries,
            deep
        ),
    )
    .number("fall", Amount::small(way.fall))
    .number("slope", Amount::of(way.slope))
    .cure(phrase!("look for a way by gravity first: it needs no power, no float and no valve"))
}

/// How far the line's end may stand above the outlet's level before one of them must be wrong: common practice, no source.
const END_ABOVE_OUTLET: Length = Length::from_ft(3.0);

fn end_above_outlet(site: &Site) -> Option<Finding> {
    let end = site.discharge.end_point()?;
    let above = end.invert - site.discharge.outlet.level;
    (above > END_ABOVE_OUTLET).then(|| {
        Finding::stop(
            "end-above-outlet",
            phrase!(
                "the profile ends at {}, {} above the outlet's level of {}: one of them is wrong",
                end.invert,
                above,
                site.discharge.outlet.level
            ),
        )
        .cure(phrase!("measure outlet and profile again from one benchmark"))
    })
}
