//! Gravity drains: whether they bring what reaches them, and how they lie.

use crate::collection::gravity_pipe::{BACKWATER_SOURCE, GRAVITY_PIPE_SOURCE};
use crate::design::finding::Finding;
use crate::design::phrase::{Phrase, phrase};
use crate::design::way_in::{DrainResult, WayIn};
use crate::quantity::{Amount, Flow, Length, Level, Slope};
use crate::site::Site;

/// A pipe shallower than this is cut by a spade: common practice, no source.
const SPADE: Length = Length::from_inch(6.0);

pub(super) fn findings(site: &Site, way_in: &WayIn) -> Vec<Finding> {
    let mut findings = Vec::new();
    for drain in &way_in.drains {
        findings.extend(unknown(drain));
        findings.extend(too_small(drain).or_else(|| runs_full(drain)));
        findings.extend(flat(site, drain));
        findings.extend(slow(site, drain));
        findings.extend(cover(drain));
    }
    findings.extend(backed_up_at_on(site, way_in));
    findings
}

fn unknown(drain: &DrainResult) -> Option<Finding> {
    let (what, cure) = match (&drain.pipe, drain.slope) {
        (None, _) => ("the size of", "enter its `size`, such as \"4 in\""),
        (Some(_), None) => ("the fall of", "enter `up_invert` and `down_invert`, or its `slope`"),
        _ => return None,
    };
    Some(
        Finding::note(
            "drain-not-judged",
            phrase!(
                "{} `{}` is not entered: whether it carries the {} that reaches it is not judged",
                what,
                drain.name.as_str(),
                drain.flow
            ),
        )
        .about(&drain.name)
        .cure(phrase!("{}", cure)),
    )
}

/// What would bring more: a larger pipe, more fall.
fn cures(drain: &DrainResult, finding: Finding) -> Finding {
    let size = drain.next_size.map(|entry| phrase!("{} pipe of the same kind", entry.pipe.size.as_str()));
    finding.cure_if(size).cure_if(steeper(drain))
}

/// The fall with which it carries the flow just full, where that can be had within its length.
fn steeper(drain: &DrainResult) -> Option<Phrase> {
    let slope = drain.least_slope.filter(|slope| slope.ratio() < 0.2)?;
    let more = slope * drain.length - drain.slope? * drain.length;
    Some(phrase!(
        "a fall of {}, {} more over its length, so that it runs without head",
        slope,
        Amount::small_at_least(more)
    ))
}

fn too_small(drain: &DrainResult) -> Option<Finding> {
    if !drain.too_small || drain.capacity.is_none() {
        return None;
    }
    let finding = match (&drain.grate_above, drain.backed, drain.most) {
        (Some((grate, rim)), Some(backed), Some(most)) => Finding::caution(
            "drain-too-small",
            phrase!(
                "`{}` brings {} of the {} that reaches it at the peak: with more, water backs up out of the grate `{}` at {}",
                drain.name.as_str(),
                most,
                drain.flow,
                grate.as_str(),
                *rim
            ),
        )
        .number("brings", Amount::of(most))
        .number("pool", Amount::of(backed.pool))
        .limit(Amount::of(*rim), &format!("the grate; {BACKWATER_SOURCE}")),
        _ => Finding::caution(
            "drain-too-small",
            phrase!(
                "{} reaches `{}` at the peak, which carries {} running just full",
                drain.flow,
                drain.name.as_str(),
                drain.capacity.unwrap_or(Flow::ZERO)
            ),
        )
        .limit(Amount::of(drain.capacity.unwrap_or(Flow::ZERO)), GRAVITY_PIPE_SOURCE),
    };
    Some(cures(drain, finding.about(&drain.name).number("flow", Amount::of(drain.flow))))
}

/// More than it carries by its own fall, but the box above it stands below the grate.
fn runs_full(drain: &DrainResult) -> Option<Finding> {
    let capacity = drain.capacity.filter(|capacity| drain.flow > *capacity)?;
    let ((grate, rim), backed) = (drain.grate_above.as_ref()?, drain.backed?);
    Some(
        Finding::note(
            "drain-runs-full",
            phrase!(
                "`{}` carries {} by its own fall and gets {} at the peak: it runs full under head, and water stands in the catch basin up to {} below the grate `{}`",
                drain.name.as_str(),
                capacity,
                drain.flow,
                Amount::small(*rim - backed.pool),
                grate.as_str()
            ),
        )
        .about(&drain.name)
        .number("capacity", Amount::of(capacity))
        .number("flow", Amount::of(drain.flow))
        .number("pool", Amount::of(backed.pool)),
    )
}

fn flat(site: &Site, drain: &DrainResult) -> Option<Finding> {
    let slope = drain.slope.filter(|slope| slope.ratio() > 0.0)?;
    let (least, source) = drain.least_fall;
    // inverts are shot to a hundredth of a foot
    if slope.ratio() >= least.ratio() * 0.98 {
        return None;
    }
    let wanted = least * drain.length;
    let short = wanted - slope * drain.length;
    let lower = drain.inverts.0.map(|up| (up - wanted, Level::from_m((up - wanted).m())));
    let room = drain.to == crate::site::BASIN && lower.is_some_and(|(down, _)| down > site.basin.level(site.basin.on));
    Some(
        Finding::caution(
            "drain-flat",
            phrase!(
                "`{}` falls {}, {} less over its {} than {}: silt stays in it",
                drain.name.as_str(),
                slope,
                Amount::small(short),
                drain.length,
                least
            ),
        )
        .about(&drain.name)
        .number("slope", Amount::of(slope))
        .number("short", Amount::small(short))
        .limit(Amount::of(least), source)
        .cure_if(lower.map(|(down, _)| {
            phrase!(
                "its lower end at {} or lower{}",
                down,
                if room || drain.to != crate::site::BASIN { "" } else { ", and the floats in the basin lower with it" }
            )
        })),
    )
}

/// Too slow to carry grit even when it runs full.
fn slow(site: &Site, drain: &DrainResult) -> Option<Finding> {
    let velocity = drain.full_velocity?;
    let limit = &site.limits.least_drain_velocity;
    // clear groundwater carries no grit
    if velocity >= limit.value || drain.french {
        return None;
    }
    let slope = drain.slope?;
    let factor = limit.value / velocity;
    Some(
        Finding::note(
            "drain-slow",
            phrase!(
                "`{}` runs at {} when it is full, less than {}: grit settles in it and must be flushed out",
                drain.name.as_str(),
                velocity,
                limit.value
            ),
        )
        .about(&drain.name)
        .number("velocity", Amount::of(velocity))
        .limit(Amount::of(limit.value), &limit.source)
        .cure(phrase!("a fall of {}", Slope::from_ratio(slope.ratio() * factor * factor)))
        .cure(phrase!("a silt trap in the catch basin before it, and a cleanout")),
    )
}

fn cover(drain: &DrainResult) -> Option<Finding> {
    let ends = [(drain.covers.0, "upper"), (drain.covers.1, "lower")];
    let (cover, end) = ends
        .into_iter()
        .filter_map(|(cover, end)| Some((cover?, end)))
        .reduce(|least, next| if next.0 < least.0 { next } else { least })?;
    if cover >= SPADE {
        return None;
    }
    let short = SPADE - cover;
    Some(if cover < Length::ZERO {
        Finding::stop(
            "drain-out-of-ground",
            phrase!("`{}` sticks {} out of the ground at its {} end", drain.name.as_str(), Amount::small(-cover), end),
        )
        .about(&drain.name)
        .cure(phrase!("its {} end {} lower; or a level is wrong", end, Amount::small_at_least(short)))
    } else {
        Finding::caution(
            "drain-shallow",
            phrase!(
                "`{}` lies under {} of ground at its {} end: a spade or an edger reaches it",
                drain.name.as_str(),
                Amount::small(cover),
                end
            ),
        )
        .about(&drain.name)
        .number("cover", Amount::small(cover))
        .limit(Amount::small(SPADE), "common practice, no source")
        .cure(phrase!("its {} end {} lower", end, Amount::small_at_least(short)))
    })
}

/// Pipes in which water stands before each start, and what that is good and bad for.
fn backed_up_at_on(site: &Site, way_in: &WayIn) -> Vec<Finding> {
    way_in
        .drains
        .iter()
        .filter_map(|drain| {
            let (length, volume) = drain.standing_at_on.filter(|(length, _)| *length > Length::ZERO)?;
            let down = drain.inverts.1?;
            let on = site.basin.level(site.basin.on);
            // the depth budget speaks of the lowest of them
            let which = if drain.french { "the French drain cannot drain below that" } else { "silt settles there" };
            Some(
                Finding::note(
                    "on-level-backs-up-drain",
                    phrase!(
                        "the on level stands {} above the lower end of `{}`: before each start {} of it have water in them, {}; {}",
                        Amount::small(on - down),
                        drain.name.as_str(),
                        length,
                        volume,
                        which
                    ),
                )
                .about(&drain.name)
                .number("length", Amount::of(length))
                .number("volume", Amount::of(volume)),
            )
        })
        .collect()
}
