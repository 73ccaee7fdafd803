//! Beyond the outlet: the swale, the grate that the water comes up through, the way back.

use crate::collection::GRATE_SOURCE;
use crate::design::finding::{Finding, Severity};
use crate::design::phrase::phrase;
use crate::design::way_off::WayOffResult;
use crate::quantity::{Amount, Length, Slope};
use crate::site::{Site, Swale};

/// What of a swale's depth should stay free: common practice, no source.
const LEAST_FREEBOARD: Length = Length::from_inch(2.0);
/// Water higher than this over the outlet's grate is felt as lift: common practice, no source.
const DEEP_OVER_GRATE: Length = Length::from_inch(3.0);

/// Water deeper than this over the outlet's grate is no outlet of a yard: common practice, no source.
const NO_OUTLET: Length = Length::from_inch(12.0);

/// Depths closer than this are one: they are dug by hand.
const SLACK: Length = Length::from_mm(0.1);

pub(super) fn findings(site: &Site, result: &WayOffResult) -> Vec<Finding> {
    let mut findings = Vec::new();
    findings.extend(grate(site, result));
    if let Some(swale) = &site.way_off.swale {
        findings.extend(overtops(swale, result));
        findings.extend(erodes(swale, result));
    }
    findings.extend(comes_back(site, result));
    findings
}

fn grate(site: &Site, result: &WayOffResult) -> Option<Finding> {
    let grate = site.way_off.grate?;
    let Some(depth) = result.over_grate else {
        return Some(
            Finding::stop(
                "outlet-grate-shut",
                phrase!("the grate at the outlet is entered as blocked whole: no water gets out"),
            )
            .cure(phrase!("`clogged` below 100 %, and a grate that is kept clear")),
        );
    };
    // water that is entered as standing over the outlet is lifted
    let stands = site.discharge.outlet.level + depth;
    if depth <= DEEP_OVER_GRATE || site.discharge.outlet.ditch_full.is_some_and(|full| full >= stands) {
        return None;
    }
    let factor = grate.size_factor_for(result.flow, DEEP_OVER_GRATE);
    let severity = if depth > NO_OUTLET { Severity::Stop } else { Severity::Caution };
    Some(
        Finding::new(
            severity,
            "outlet-grate-small",
            phrase!(
                "at {} water stands {} over the grate of the outlet, which the lift does not count",
                result.flow,
                Amount::small(depth)
            ),
        )
        .number("depth", Amount::small(depth))
        .limit(Amount::small(DEEP_OVER_GRATE), &format!("common practice, no source; depth by {GRATE_SOURCE}"))
        .cure_if(factor.map(|factor| {
            phrase!(
                "a grate of {} times the edge and opening, {} of open area",
                format!("{:.1}", libm::ceil(factor * 10.0) / 10.0),
                Amount::opening(grate.open_area * factor)
            )
        }))
        .cure_if(
            (severity != Severity::Stop).then(|| {
                phrase!("`ditch_full` of the outlet at {}: the lift then counts it", Amount::at_least(stands))
            }),
        ),
    )
}

fn overtops(swale: &Swale, result: &WayOffResult) -> Option<Finding> {
    let flow = result.swale?;
    if flow.freeboard >= LEAST_FREEBOARD - SLACK {
        return None;
    }
    let wanted = flow.depth + LEAST_FREEBOARD;
    let finding = if flow.freeboard < Length::ZERO {
        Finding::stop(
            "swale-overtops",
            phrase!("the swale carries {} and gets {}: it runs over", flow.carries, result.flow),
        )
    } else {
        Finding::caution(
            "swale-freeboard-small",
            phrase!(
                "the {} pumped run {} deep in the swale: {} of its {} are left",
                result.flow,
                Amount::small(flow.depth),
                Amount::small(flow.freeboard),
                Amount::small(swale.depth)
            ),
        )
    };
    Some(
        finding
            .number("depth", Amount::small(flow.depth))
            .limit(Amount::small(LEAST_FREEBOARD), "freeboard: common practice, no source; depth by Manning")
            .cure(phrase!("a swale {} deep", Amount::small_at_least(wanted))),
    )
}

fn erodes(swale: &Swale, result: &WayOffResult) -> Option<Finding> {
    let flow = result.swale?;
    let Some(permissible) = &swale.permissible else {
        return Some(
            Finding::note(
                "swale-velocity-not-judged",
                phrase!(
                    "no velocity is published that {} bears at a fall of {}: whether {} washes it out is not judged",
                    swale.cover.as_str(),
                    swale.channel.slope,
                    flow.velocity
                ),
            )
            .cure_if(published(swale).map(|slope| phrase!("a fall of {} or less, for which one is published", slope)))
            .cure(phrase!("stones or a drop at the outlet, and a look after the first storms")),
        );
    };
    (flow.velocity > permissible.value).then(|| {
        // a wider bed slows it: the width with which it just bears the flow
        let wider = wide_enough(swale, result);
        Finding::caution(
            "swale-erodes",
            phrase!(
                "the water runs at {} in the swale, faster than the {} that {} bears",
                flow.velocity,
                permissible.value,
                swale.cover.as_str()
            ),
        )
        .number("velocity", Amount::of(flow.velocity))
        .limit(Amount::of(permissible.value), &permissible.source)
        .cure_if(wider.map(|width| phrase!("a bed {} wide", Amount::small_at_least(width))))
        .cure(phrase!("stones at the outlet and down the swale, or less fall"))
    })
}

/// The steepest fall for which a velocity is published for its cover.
fn published(swale: &Swale) -> Option<Slope> {
    let cover = crate::catalog::swale_cover(&swale.cover)?;
    [10.0, 5.0]
        .map(Slope::from_percent)
        .into_iter()
        .find(|slope| cover.permissible_at(*slope, swale.easily_eroded).is_some())
}

/// The bed with which the flow is no faster than its cover bears.
fn wide_enough(swale: &Swale, result: &WayOffResult) -> Option<Length> {
    let permissible = swale.permissible.as_ref()?.value;
    let miss = |width: f64| {
        let channel = crate::collection::Channel { bottom_width: Length::from_m(width), ..swale.channel };
        channel.velocity(result.flow).map_or(f64::NAN, |velocity| (velocity - permissible).ms())
    };
    let now = swale.channel.bottom_width.m();
    crate::numeric::bracketed_root(now, now + 30.0, 1e-4, miss).ok().map(|root| Length::from_m(root.x) * 1.001)
}

/// Whether the outlet's water can run back to where it came from, by the levels.
fn comes_back(site: &Site, result: &WayOffResult) -> Option<Finding> {
    if result.water <= result.lowest {
        return None;
    }
    match (result.can_return(), result.ground_between) {
        (None, _) | (_, None) => Some(
            Finding::note(
                "way-back-not-judged",
                phrase!(
                    "the outlet's water stands at {}, {} above the lowest grate; whether the ground between keeps it from running back is not known",
                    result.water,
                    result.water - result.lowest
                ),
            )
            .cure(phrase!("enter `ground_between` of the outlet, the highest ground on the way back, or the ground of every point of the profile")),
        ),
        (Some(true), Some((ground, entered))) => {
            let finding = Finding::caution(
                "outlet-can-run-back",
                phrase!(
                    "the outlet's water stands at {} and {} at {}: nothing in the levels keeps it from running back to the low spot at {}",
                    result.water,
                    if entered { "the highest ground between lies" } else { "the highest ground along the line lies" },
                    ground,
                    result.lowest
                ),
            )
            .number("water", Amount::of(result.water))
            .number("ground", Amount::of(ground));
            Some(
                finding
                    .cure(phrase!(
                        "a bank or a swale between, higher than {}; an outlet from which the ground falls away from the yard",
                        Amount::at_least(result.water)
                    ))
                    .cure_if((site.discharge.outlet.returned_share <= 0.0).then(|| {
                        phrase!("if it does come back, enter the share as `returns` of the outlet: it is then pumped again")
                    })),
            )
        }
        (Some(false), Some(_)) => None,
    }
}
