//! Cover over the line: shallow is right for a pressure line where frost allows, but not too shallow.

use crate::design::finding::Finding;
use crate::design::line::LineAtRest;
use crate::design::phrase::phrase;
use crate::hydraulics::{Cover, Surface};
use crate::quantity::{Amount, Length};
use crate::site::{Limit, Site};

pub(super) fn findings(site: &Site, rest: &LineAtRest) -> Vec<Finding> {
    let mut findings = Vec::new();
    findings.extend(above_ground(site, rest));
    for under in [Surface::Drive, Surface::Walk, Surface::Lawn, Surface::Bare] {
        findings.extend(too_thin(site, rest, under));
    }
    findings.extend(deeper_than_needed(site, rest));
    findings
}

/// The points of the line that are to be covered: not its end, which comes up to the outlet.
fn inner<'a>(site: &'a Site, rest: &'a LineAtRest) -> impl Iterator<Item = &'a Cover> {
    let end = site.discharge.end_point().map(|end| end.at);
    rest.covers.iter().flatten().filter(move |cover| end != Some(cover.at) || cover.under.is_some_and(Surface::paved))
}

/// What lies over a station; for its cover lawn, where nothing says it.
fn over(site: &Site, cover: &Cover) -> Surface {
    cover.under.or(site.crew.surface).unwrap_or(Surface::Lawn)
}

fn limit(site: &Site, under: Surface) -> (&Limit<Length>, &'static str) {
    match under {
        Surface::Lawn => (&site.limits.least_cover, "lawn"),
        Surface::Walk => (&site.limits.least_cover_walk, "a walk"),
        Surface::Drive => (&site.limits.least_cover_drive, "a drive"),
        Surface::Bare => (&site.limits.least_cover, "bare ground"),
    }
}

fn places(site: &Site, at: &[(Length, Length)]) -> String {
    let words: Vec<String> = at
        .iter()
        .map(|(at, cover)| {
            format!("{} at {}", Amount::small(*cover).show(site.units), Amount::of(*at).show(site.units))
        })
        .collect();
    words.join(", ")
}

fn above_ground(site: &Site, rest: &LineAtRest) -> Option<Finding> {
    let out: Vec<(Length, Length)> =
        inner(site, rest).filter(|cover| cover.cover < Length::ZERO).map(|cover| (cover.at, -cover.cover)).collect();
    (!out.is_empty()).then(|| {
        Finding::caution(
            "line-above-ground",
            phrase!(
                "the pipe stands out of the ground by {}: sun makes it brittle, mowers and frost find it",
                places(site, &out)
            ),
        )
        .cure(phrase!("the pipe lower by as much and {} of cover", Amount::small(site.limits.least_cover.value)))
    })
}

/// Half-way to the next point of another surface: a walk or drive reaches so far where no point marks its edge.
fn half_ways(rest: &LineAtRest, under: Surface) -> Vec<(Length, Length)> {
    let covers: Vec<&Cover> = rest.covers.iter().flatten().collect();
    let is = |cover: &Cover| under.paved() && cover.under == Some(under);
    let pairs = covers.iter().zip(covers.iter().skip(1)).filter(|(one, other)| is(one) != is(other));
    pairs.map(|(one, other)| ((one.at + other.at) / 2.0, (one.cover + other.cover) / 2.0)).collect()
}

fn too_thin(site: &Site, rest: &LineAtRest, under: Surface) -> Option<Finding> {
    let (limit, words) = limit(site, under);
    let here = inner(site, rest).filter(|cover| over(site, cover) == under).map(|cover| (cover.at, cover.cover));
    let edges = half_ways(rest, under);
    let edge_taken = edges.iter().any(|(_, cover)| *cover >= Length::ZERO && *cover < limit.value);
    let mut thin: Vec<(Length, Length)> = here.chain(edges).collect();
    thin.retain(|(_, cover)| *cover >= Length::ZERO && *cover < limit.value);
    thin.sort_by(|one, other| one.0.m().total_cmp(&other.0.m()));
    let least = thin.iter().map(|(_, cover)| *cover).reduce(Length::min)?;
    Some(
        Finding::caution(
            "cover-too-thin",
            phrase!(
                "under {} the line wants {} of cover and has {}",
                words,
                Amount::small(limit.value),
                places(site, &thin)
            ),
        )
        .about(words)
        .number("least", Amount::small(least))
        .limit(Amount::small(limit.value), &limit.source)
        .cure(phrase!(
            "the trench {} deeper there, or {}",
            Amount::small_at_least(limit.value - least),
            match under {
                Surface::Drive => "a sleeve of schedule 80 or steel that bears the wheels",
                Surface::Walk | Surface::Lawn | Surface::Bare => "a slab or sleeve over the pipe",
            }
        ))
        .cure_if(edge_taken.then(|| {
            phrase!(
                "if {} ends sooner, a point of the profile there: it is taken to reach half-way to the next point",
                words
            )
        })),
    )
}

/// Deeper by this much than needed is worth a word: common practice, no source.
const MUCH_DEEPER: Length = Length::from_inch(12.0);

/// It is under pressure: it needs no depth of its own.
fn deeper_than_needed(site: &Site, rest: &LineAtRest) -> Option<Finding> {
    let frost = site.frost.map_or(Length::ZERO, |frost| frost.depth);
    let needed = |cover: &Cover| limit(site, over(site, cover)).0.value.max(frost);
    // one point says nothing of the way
    if inner(site, rest).count() < 2 {
        return None;
    }
    let spare = inner(site, rest).map(|cover| cover.cover - needed(cover)).reduce(Length::min)?;
    (spare >= MUCH_DEEPER).then(|| {
        Finding::note(
            "deeper-than-needed",
            phrase!(
                "the line lies at least {} deeper than cover and frost ask: it is under pressure, {}, and may run shallow",
                Amount::small(spare),
                if rest.held { "needs no fall" } else { "needs a fall only to run empty" }
            ),
        )
        .number("spare", Amount::small(spare))
    })
}
