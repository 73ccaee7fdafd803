//! Grates: whether they swallow what comes to them.

use crate::collection::GRATE_SOURCE;
use crate::design::finding::Finding;
use crate::design::phrase::{Phrase, percent, phrase};
use crate::design::runoff::StormResult;
use crate::design::way_in::{InletResult, WayIn};
use crate::quantity::{Amount, Flow, Length};

/// A hollow below the grate shallower than this is no puddle: common practice, no source.
const PUDDLE: Length = Length::from_inch(0.5);

/// No more grates are told than this: what wants more wants another way out. Common practice, no source.
const MOST_GRATES: u32 = 20;

pub(super) fn findings(storm: &StormResult, way_in: &WayIn) -> Vec<Finding> {
    let mut findings: Vec<Finding> = way_in.no_way_in.iter().map(no_way_in).collect();
    for inlet in &way_in.inlets {
        findings.extend(unknown(inlet).or_else(|| shut(inlet)).or_else(|| too_small(inlet)));
        findings.extend(stands_proud(inlet));
    }
    findings.extend(larger_than_needed(storm, way_in));
    findings
}

/// Water runs to a hollow that no grate stands in.
fn no_way_in((name, flow): &(String, Flow)) -> Finding {
    Finding::stop(
        "low-spot-without-grate",
        phrase!(
            "{} runs to the low spot `{}` at the peak, and no grate stands in it: it stays there",
            *flow,
            name.as_str()
        ),
    )
    .about(name)
    .number("flow", Amount::of(*flow))
    .cure(phrase!(
        "`low_spot = \"{}\"` in the [[inlet]] that stands in it, or a grate there with a pipe to the basin",
        name.as_str()
    ))
}

fn unknown(inlet: &InletResult) -> Option<Finding> {
    inlet.grate.is_none().then(|| {
        Finding::note(
            "grate-not-judged",
            phrase!(
                "the size of the grate `{}` is not entered: whether it lets {} in is not judged",
                inlet.name.as_str(),
                inlet.flow
            ),
        )
        .about(&inlet.name)
        .cure(phrase!("enter `grate = \"12 in x 12 in\"`, or `open_area` and `perimeter`"))
    })
}

fn shut(inlet: &InletResult) -> Option<Finding> {
    let grate = inlet.grate?;
    (grate.clogged >= 1.0).then(|| {
        Finding::stop(
            "grate-shut",
            phrase!("the grate `{}` is entered as blocked whole: no water gets in", inlet.name.as_str()),
        )
        .about(&inlet.name)
        .cure(phrase!("`clogged = \"50 %\"`, and a grate that is kept clear"))
    })
}

/// Water stands deeper over it than the goal allows before it takes its flow.
fn too_small(inlet: &InletResult) -> Option<Finding> {
    let (depth, allowed) = (inlet.depth?, inlet.allowed?);
    if depth <= allowed {
        return None;
    }
    Some(
        Finding::caution(
            "grate-too-small",
            phrase!(
                "the grate `{}`, {} of it blocked, lets the {} of the peak in only with {} of water over it ({}); {} {}{}",
                inlet.name.as_str(),
                percent(inlet.grate.map_or(0.0, |grate| grate.clogged)),
                inlet.flow,
                Amount::small(depth),
                inlet.regime.map_or("", crate::collection::GrateRegime::words),
                if inlet.allowed_by_spill { "its low spot runs over at" } else { "the goal allows" },
                Amount::small(allowed),
                if inlet.allowed_by_spill { ", and the rest runs away over the ground" } else { "" }
            ),
        )
        .about(&inlet.name)
        .number("depth", Amount::small(depth))
        .number("flow", Amount::of(inlet.flow))
        .limit(
            Amount::small(allowed),
            &format!(
                "{}; depth by {GRATE_SOURCE}",
                if inlet.allowed_by_spill { "the level at which the low spot spills" } else { "the goal" }
            ),
        )
        .cure_if(inlet.larger.map(|entry| phrase!("a grate of {}", entry.label)).or_else(|| several(inlet)))
        .cure_if(second_grate(inlet))
        .cure_if(inlet.depth_clean.map(|clean| {
            phrase!("a grate that is kept clean: it then takes its flow with {} over it", Amount::small(clean))
        }))
        .cure_if((allowed <= Length::ZERO && !inlet.allowed_by_spill).then(|| {
            phrase!(
                "a goal that lets {} of water stand: no grate takes any with none over it",
                Amount::small_at_least(depth)
            )
        })),
    )
}

/// Where no usual grate is large enough.
fn several(inlet: &InletResult) -> Option<Phrase> {
    let (count, entry) = inlet.largest.filter(|(count, _)| *count < MOST_GRATES)?;
    Some(phrase!("{} grates of {} in its place, at the same level", count, entry.label))
}

fn second_grate(inlet: &InletResult) -> Option<Phrase> {
    let count = inlet.grates_like_it.filter(|count| (2..=6).contains(count))?;
    let place = if inlet.low_spot.is_some() { "in the same low spot, at the same level" } else { "beside it" };
    Some(match count {
        2 => phrase!("a second grate like it {}", place),
        all => phrase!("{} grates like it in all {}", all, place),
    })
}

/// Grates of which a smaller size would do, said once.
fn larger_than_needed(storm: &StormResult, way_in: &WayIn) -> Option<Finding> {
    // where the soil may shed more than the tables say, the room is not too much
    if storm.peak_by_infiltration.is_some_and(|peak| peak > storm.peak.flow) {
        return None;
    }
    let one = |inlet: &InletResult| {
        let label = inlet.smaller.map_or_else(String::new, |entry| format!(" ({} would do)", entry.label));
        let (depth, allowed) = inlet.depth.zip(inlet.allowed).filter(|_| inlet.roomy)?;
        Some((format!("`{}`{label}", inlet.name), depth, allowed))
    };
    let all: Vec<(String, Length, Length)> = way_in.inlets.iter().filter_map(one).collect();
    let deepest = all.iter().map(|(_, depth, _)| *depth).reduce(Length::max)?;
    let allowed = all.iter().map(|(.., allowed)| *allowed).reduce(Length::min)?;
    let names: Vec<&str> = all.iter().map(|(name, ..)| name.as_str()).collect();
    Some(
        Finding::note(
            "grate-larger-than-needed",
            phrase!(
                "{} the flow of the peak with {} of water over {} or less, and a smaller one would do within the {} that may stand: {}",
                if all.len() == 1 { "a grate takes" } else { "some grates take" },
                Amount::small(deepest),
                if all.len() == 1 { "it" } else { "them" },
                Amount::small(allowed),
                names.join(", ")
            ),
        )
        .number("depth", Amount::small(deepest)),
    )
}

/// A rim above the lowest point leaves a puddle that no grate takes.
fn stands_proud(inlet: &InletResult) -> Option<Finding> {
    let above = inlet.above_lowest.filter(|above| *above > PUDDLE)?;
    Some(
        Finding::caution(
            "grate-above-low-spot",
            phrase!(
                "the grate `{}` stands {} above the lowest point of its low spot: that much water stays",
                inlet.name.as_str(),
                Amount::small(above)
            ),
        )
        .about(&inlet.name)
        .number("above", Amount::small(above))
        .cure(phrase!("its rim lower by {}", Amount::small(above))),
    )
}
