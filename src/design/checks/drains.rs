//! Gravity drains: whether they bring what reaches them, and how they lie.

use crate::collection::gravity_pipe::{BACKWATER_SOURCE, GRAVITY_PIPE_SOURCE};
use crate::design::finding::Finding;
use crate::design::phrase::{Phrase, phrase};
use crate::design::way_in::{DrainResult, WayIn};
use crate::quantity::{Amount, Flow, Length, Slope};
use crate::site::Site;

/// A pipe shallower than this is cut by a spade: common practice, no source.
const SPADE: Length = Length::from_inch(6.0);

pub(super) fn findings(site: &Site, way_in: &WayIn) -> Vec<Finding> {
    let mut findings = Vec::new();
    for drain in &way_in.drains {
        findings.extend(unknown(drain));
        findings.extend(too_small(site, drain).or_else(|| runs_full(drain)));
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

/// What would bring more: a larger pipe, more fall, a second pipe, a lower float.
fn cures(site: &Site, drain: &DrainResult, finding: Finding) -> Finding {
    let size = drain.next_size.map(|entry| phrase!("{} pipe of the same kind", entry.pipe.size.as_str()));
    let more = drain.pipes_like_it.filter(|_| drain.next_size.is_none());
    let on = drain.on_at_most.map(|level| level - site.basin.floor).filter(|on| *on > site.basin.off);
    finding
        .cure_if(size)
        .cure_if(more.map(|count| match count {
            2 => phrase!("a second pipe like it beside it"),
            all => phrase!("{} pipes like it in all, side by side", all),
        }))
        .cure_if(steeper(drain))
        .cure_if(on.map(|on| phrase!("the on level at {} above the floor or lower", Amount::small_at_most(on))))
}

/// The fall with which it brings the flow, where that can be had within its length.
fn steeper(drain: &DrainResult) -> Option<Phrase> {
    let slope = drain.least_slope.filter(|slope| slope.ratio() < 0.2)?;
    let slope = slope_at_least(slope);
    let more = slope * drain.length - drain.slope? * drain.length;
    Some(phrase!("a fall of {}, its lower end {} lower", slope, Amount::small_at_least(more)))
}

/// A slope that must be reached, as it is printed.
pub(super) fn slope_at_least(slope: Slope) -> Slope {
    let parts = if slope.percent() < 2.0 { 100.0 } else { 10.0 };
    Slope::from_percent(libm::ceil(slope.percent() * parts - 1e-6) / parts)
}

fn too_small(site: &Site, drain: &DrainResult) -> Option<Finding> {
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
    Some(cures(site, drain, finding.about(&drain.name).number("flow", Amount::of(drain.flow))))
}

/// More than it carries by its own fall, but the box above it stands below the grate.
fn runs_full(drain: &DrainResult) -> Option<Finding> {
    let capacity = drain.capacity.filter(|capacity| drain.flow > *capacity)?;
    let ((grate, rim), backed) = (drain.grate_above.as_ref()?, drain.backed?);
    // held up by what lies below it, which is spoken of there
    if backed.pool > *rim {
        return None;
    }
    Some(
        Finding::note(
            "drain-runs-full",
            phrase!(
                "`{}` carries {} by its own fall and gets {} at the peak: it runs full under head, and water stands in the catch basin up to {} below the grate `{}`, as long as the basin stands at its on level",
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

/// Whether it falls less than is asked of its size: inverts are shot to a hundredth of a foot.
fn is_flat(drain: &DrainResult, slope: Slope) -> bool {
    slope.ratio() < drain.least_fall.0.ratio() * 0.98
}

fn flat(site: &Site, drain: &DrainResult) -> Option<Finding> {
    let slope = drain.slope.filter(|slope| slope.ratio() > 0.0)?;
    let (least, source) = drain.least_fall;
    if !is_flat(drain, slope) {
        return None;
    }
    let wanted = least * drain.length;
    let short = wanted - slope * drain.length;
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
        .cure(level_for_fall(site, drain, wanted).unwrap_or_else(|| phrase!("a fall of {}", slope_at_least(least)))),
    )
}

/// The end of a drain that gives it a fall: the lower one, or the upper one where the lower end would drown.
fn level_for_fall(site: &Site, drain: &DrainResult, wanted: Length) -> Option<Phrase> {
    let (up, now) = (drain.inverts.0?, drain.inverts.1?);
    let down = up - wanted;
    let below = site.inlets.iter().find(|inlet| inlet.name == drain.to).and_then(|inlet| inlet.outlet_invert);
    let crown = now - up + wanted - drain.covers.0.map_or(Length::ZERO, |cover| cover - SPADE);
    if below.is_some_and(|outlet| down < outlet && now >= outlet) && crown <= Length::ZERO {
        return Some(phrase!(
            "its upper end at {} or higher: lower down, its other end would lie below the outlet of `{}`",
            Amount::at_least(now + wanted),
            drain.to.as_str()
        ));
    }
    let floats = drain.to == crate::site::BASIN && down <= site.basin.level(site.basin.on);
    Some(phrase!(
        "its lower end at {} or lower{}",
        Amount::level_at_most(down),
        if floats { ", and the floats in the basin lower with it" } else { "" }
    ))
}

/// Too slow to carry grit even when it runs full.
fn slow(site: &Site, drain: &DrainResult) -> Option<Finding> {
    let velocity = drain.full_velocity?;
    let limit = &site.limits.least_drain_velocity;
    // clear groundwater carries no grit
    if velocity >= limit.value * (1.0 - 1e-9) || drain.french {
        return None;
    }
    let slope = drain.slope?;
    let factor = limit.value / velocity;
    let wanted = Slope::from_ratio(slope.ratio() * factor * factor);
    // where the least fall cures both, the one finding is enough
    if is_flat(drain, slope) && wanted <= drain.least_fall.0 {
        return None;
    }
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
        .cure(phrase!("a fall of {}", slope_at_least(wanted)))
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
    let short = Amount::small_at_least(SPADE - cover);
    // by its upper end alone it would lose its fall
    let lower = if end == "upper" {
        phrase!("both ends {} lower, so that it keeps its fall", short)
    } else {
        phrase!("its lower end {} lower", short)
    };
    Some(if cover < Length::ZERO {
        Finding::stop(
            "drain-out-of-ground",
            phrase!("`{}` sticks {} out of the ground at its {} end", drain.name.as_str(), Amount::small(-cover), end),
        )
        .about(&drain.name)
        .cure(lower)
        .cure(phrase!("a level that is wrong put right"))
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
        .cure(lower)
    })
}

/// Pipes in which water stands before each start, and what that is good and bad for.
fn backed_up_at_on(site: &Site, way_in: &WayIn) -> Vec<Finding> {
    let on = site.basin.level(site.basin.on);
    let lowest = crate::design::storage::lowest_inlet(site).map(|(level, _)| level);
    way_in
        .drains
        .iter()
        .filter_map(|drain| {
            let (length, volume) = drain.standing_at_on.filter(|(length, _)| *length > Length::ZERO)?;
            let down = drain.inverts.1?;
            let which = if drain.french { "the French drain cannot drain below that" } else { "silt settles there" };
            let lower = down - site.basin.floor;
            // of the lowest of them the depth budget says it
            let cure = lowest.is_some_and(|lowest| down > lowest) && lower > site.basin.off;
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
                .number("volume", Amount::of(volume))
                .cure_if(cure.then(|| phrase!("the on level at {} above the floor or lower", Amount::small_at_most(lower)))),
            )
        })
        .collect()
}
