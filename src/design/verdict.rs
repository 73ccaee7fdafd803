//! The verdict: a sentence or two that the numbers below it prove.

use super::checks::PEAKS_DIFFER;
use super::finding::{Finding, Severity};
use super::flotation::FlotationOutcome;
use super::gravity_way::GravityWay;
use super::phrase::{Phrase, phrase};
use super::pump::{PumpResult, WaterLevel};
use super::runoff::StormResult;
use super::storage::surfaces_at;
use super::storm::{NotFollowed, PeriodOutcome, StormOutcome, StormsResult, against};
use super::storm_words;
use super::way_in::WayIn;
use crate::pump_selection::Duty;
use crate::quantity::{Amount, Flow, UnitSystem};
use crate::site::{FrostPlan, Site};

/// What the design comes to.
#[derive(Clone, Debug, PartialEq)]
pub struct Verdict {
    /// Whether nothing stands against it.
    pub holds: bool,
    /// In sentences.
    pub sentences: Vec<Phrase>,
    /// The owner's goal, and what comes of it.
    pub goal: Option<Phrase>,
    /// Whether it is met; none where it is not given or not judged.
    pub goal_met: Option<bool>,
}

/// What the verdict rests on beside the pump.
#[derive(Clone, Copy, Debug)]
pub(super) struct Proof<'a> {
    /// The design storm.
    pub(super) storm: &'a StormResult,
    /// What the yard looks like in each storm.
    pub(super) in_storms: &'a Result<StormsResult, NotFollowed>,
    /// The way in.
    pub(super) way_in: &'a WayIn,
    /// A way by gravity.
    pub(super) gravity_way: Option<&'a GravityWay>,
    /// Whether the empty basin stays down.
    pub(super) flotation: &'a FlotationOutcome,
}

pub(super) fn verdict(site: &Site, pump: Option<&PumpResult>, proof: &Proof<'_>, findings: &[Finding]) -> Verdict {
    let storm = proof.storm;
    let stops: Vec<&Finding> = findings.iter().filter(|finding| finding.severity == Severity::Stop).collect();
    let holds = stops.is_empty();
    let mut sentences = Vec::new();
    let gravity = proof.gravity_way.and_then(|way| gravity_first(way, findings, site.units));
    // what does not hold is said before anything else
    let (first, then) = if holds || pump.is_none() { (gravity, None) } else { (None, gravity) };
    sentences.extend(first);
    if let Some(pump) = pump {
        sentences.push(opening(site, pump, holds));
        sentences.extend(then);
        match stops.as_slice() {
            [] => {
                sentences.extend(past_the_high_point(pump, findings));
                match proof.in_storms {
                    Ok(storms) => {
                        sentences.extend(in_the_storm(site, storm, storms));
                        sentences.extend(super::checks::storm::reaches_words(storms, site.units));
                        sentences.extend(super::checks::storm::near_words(site, storms));
                        sentences.extend(storms.goes_in_words().map(|words| phrase!("{}", words)));
                    }
                    Err(_) => sentences.extend(against_the_storm(site, pump, storm)),
                }
                sentences.extend(on_the_way(site, proof.way_in, storm, pump.surplus_lasts.is_some()));
                sentences.extend(not_held_down(proof.flotation, findings));
                sentences.extend(frost_not_judged(site, findings));
                sentences.extend(still_open(site));
            }
            [stop, rest @ ..] => {
                sentences.push(phrase!("The reason: {}.", stop.message.say(site.units)));
                if let Some(cure) = stop.cures.first() {
                    sentences.push(phrase!("What would cure it: {}.", cure.say(site.units)));
                }
                if let Ok(storms) = proof.in_storms {
                    // a goal that is missed has said how deep it stands, and a level that is reached which
                    if stop.id != "goal-missed" {
                        sentences.extend(in_the_storm(site, storm, storms));
                    }
                    if stop.id != "water-reaches-protected" {
                        sentences.extend(super::checks::storm::reaches_words(storms, site.units));
                        sentences.extend(super::checks::storm::near_words(site, storms));
                    }
                    sentences.extend(storms.goes_in_words().map(|words| phrase!("{}", words)));
                }
                if !rest.is_empty() {
                    sentences.push(if rest.len() == 1 {
                        phrase!("One more of the findings below stands against it.")
                    } else {
                        phrase!("{} more of the findings below stand against it.", rest.len())
                    });
                }
            }
        }
    }
    let (goal, goal_met) = goal(site, proof.in_storms);
    Verdict { holds, sentences, goal, goal_met }
}

/// Before any pump: the levels let the water run by itself.
fn gravity_first(way: &GravityWay, findings: &[Finding], units: UnitSystem) -> Option<Phrase> {
    let found = |id: &str| findings.iter().any(|finding| finding.id == id);
    // levels that contradict one another promise nothing
    if !found("gravity-may-do") || found("end-above-outlet") || !way.steep_enough {
        return None;
    }
    let (pipe, _) = way.pipe?;
    Some(phrase!(
        "First of all: by the levels no pump is needed. The outlet lies {} below the pipes that come in, and {} {} would carry the water there by itself at a fall of {}{}.",
        Amount::small(way.fall),
        pipe.pipe.size.as_str(),
        pipe.pipe.material.as_str(),
        way.slope,
        way.deepest.map_or_else(
            || ", if the ground on the way lets it be dug".to_owned(),
            |deepest| format!(
                ", in a trench up to {} deep",
                Amount::of(deepest.max(crate::quantity::Length::ZERO)).show(units)
            )
        )
    ))
}

/// Nothing is known to hold the empty basin down.
fn not_held_down(flotation: &FlotationOutcome, findings: &[Finding]) -> Option<Phrase> {
    let asked = |finding: &Finding| finding.id == "flotation-not-judged" && finding.severity == Severity::Caution;
    findings.iter().any(asked).then(|| {
        phrase!(
            "Whether the empty basin stays in the ground is not judged: {} lift it in ground full of water.",
            flotation.result.uplift
        )
    })
}

/// A line that is to lie below the frost, under ground that is not known all along.
fn frost_not_judged(site: &Site, findings: &[Finding]) -> Option<Phrase> {
    let below = site.frost.as_ref().is_some_and(|frost| matches!(frost.plan, None | Some(FrostPlan::BelowFrost)));
    (below && findings.iter().any(|finding| finding.id == "cover-unknown")).then(|| {
        phrase!(
            "Whether the line lies below the frost is not judged: the ground over it is not entered all along, and an open end comes up through the frost anyway."
        )
    })
}

/// What was left open in the file, and so is not judged.
fn still_open(site: &Site) -> Option<Phrase> {
    let open: Vec<&str> = site
        .doubts
        .iter()
        .filter(|doubt| doubt.to_be_measured)
        .filter_map(|doubt| doubt.message.split('`').nth(1))
        .collect();
    let (last, before) = open.split_last()?;
    let quoted: Vec<String> = before.iter().map(|key| format!("`{key}`")).collect();
    let keys = if before.is_empty() { format!("`{last}`") } else { format!("{} and `{last}`", quoted.join(", ")) };
    Some(phrase!(
        "What hangs on {} is not judged: {} still to be measured.{}",
        keys,
        if before.is_empty() { "it is" } else { "they are" },
        if open.contains(&"protect.level") { " So whether water gets into the house is not known." } else { "" }
    ))
}

/// The last part of the line could run by gravity.
fn past_the_high_point(pump: &PumpResult, findings: &[Finding]) -> Option<Phrase> {
    let option = pump.gravity.as_ref()?;
    if !findings.iter().any(|finding| finding.id == "gravity-past-high-point") {
        return None;
    }
    Some(phrase!(
        "From the high point at {} on no pressure is needed: {} {} would carry the water from there by itself, at a fall of {} or more.",
        option.from,
        option.pipe.pipe.size.as_str(),
        option.pipe.pipe.material.as_str(),
        option.slope
    ))
}

/// Whether grates and pipes bring the peak to the basin.
fn on_the_way(site: &Site, way_in: &WayIn, storm: &StormResult, fills: bool) -> Option<Phrase> {
    if storm.peak.flow <= Flow::ZERO || site.inlets.is_empty() && site.drains.is_empty() {
        return None;
    }
    if !way_in.no_way_in.is_empty() {
        let names: Vec<String> = way_in.no_way_in.iter().map(|(name, _)| format!("`{name}`")).collect();
        return Some(phrase!("No grate takes what runs to {}: the pump is reckoned to have it.", names.join(", ")));
    }
    let short: Vec<String> = way_in.held_up_at().into_iter().map(|name| format!("`{name}`")).collect();
    if !short.is_empty() {
        return Some(phrase!(
            "Not all of that peak gets to the basin: {} {} it up.",
            short.join(", "),
            if short.len() == 1 { "holds" } else { "hold" }
        ));
    }
    let unknown = way_in.inlets.iter().any(|inlet| inlet.depth.is_none())
        || way_in.drains.iter().any(|drain| drain.capacity.is_none());
    Some(if unknown {
        phrase!(
            "Whether grates and pipes bring that peak to the basin is judged only where their sizes and falls are entered."
        )
    } else {
        phrase!(
            "Grates and gravity pipes bring that peak to the basin at its on level{}",
            if fills { "; once it is full they bring no more than the pump takes." } else { "." }
        )
    })
}

/// What the pump does on the line.
fn opening(site: &Site, pump: &PumpResult, holds: bool) -> Phrase {
    let pipes: Vec<String> = site
        .discharge
        .runs
        .iter()
        .map(|run| format!("{} of {} pipe", Amount::of(run.length).show(site.units), run.pipe.size))
        .collect();
    let pipes = match pipes.split_last() {
        Some((last, rest)) if !rest.is_empty() => format!("{} and {last}", rest.join(", ")),
        _ => pipes.concat(),
    };
    let pipes = match &pump.pair {
        None => pipes,
        Some(pair) => {
            let who = if pair.alike { "both together".to_owned() } else { format!("`{}` with it", pair.second) };
            match pair.half_way() {
                Some(both) => format!("{pipes}, {who} {},", Amount::of(both).show(site.units)),
                None if !pair.lag_entered => format!("{pipes} (the second stands by)"),
                None => format!("{pipes} ({who}: not known)"),
            }
        }
    };
    let word = if holds { "Pump, line and basin hold" } else { "Does not hold" };
    let at = |level| pump.duty(level).map(|duty| duty.duty);
    match (at(WaterLevel::Off), at(WaterLevel::On)) {
        (Some(Duty::Meets(off)), Some(Duty::Meets(on))) => phrase!(
            "{}: `{}` delivers {} through {} and lifts the water {}.",
            word,
            pump.name.as_str(),
            between(off.line_flow, on.line_flow, site.units),
            pipes,
            pump.duty(WaterLevel::Off).map_or(crate::quantity::Head::ZERO, |duty| duty.static_head)
        ),
        (Some(Duty::Meets(off)), _) => {
            phrase!("{}: `{}` delivers {} at its off level through {}.", word, pump.name.as_str(), off.line_flow, pipes)
        }
        _ => phrase!("{}: `{}` has no duty point on {}.", word, pump.name.as_str(), pipes),
    }
}

/// Two flows as one range, or one flow when they print alike.
fn between(low: Flow, high: Flow, units: UnitSystem) -> String {
    let (low, high) = (Amount::of(low).show(units), Amount::of(high).show(units));
    match (low.split_once(' '), high.split_once(' ')) {
        _ if low == high => low,
        (Some((number, unit)), Some((_, other))) if unit == other => format!("{number} to {high}"),
        _ => format!("{low} to {high}"),
    }
}

/// What may come if the coefficients of the table are too low for the soil; nothing where they are not.
fn if_the_soil_takes_less(site: &Site, storm: &StormResult) -> String {
    storm.peak_by_infiltration.filter(|peak| *peak > storm.peak.flow * PEAKS_DIFFER).map_or_else(String::new, |peak| {
        let peak = Amount::of(peak + storm.steady).show(site.units);
        format!(", perhaps up to {peak} if the soil takes less than the table says")
    })
}

/// The pumped flow beside the peak of the storm: called what it is.
fn against_the_storm(site: &Site, pump: &PumpResult, storm: &StormResult) -> Option<Phrase> {
    let pumped = pump.all_pumped()?;
    if storm.peak.flow <= Flow::ZERO {
        return Some(phrase!("No rain on any surface was entered: whether the yard stays dry is not judged."));
    }
    let name = storm_words(storm.period, site.units);
    let leaves = site.discharge.outlet.leaves(pumped);
    let more = if_the_soil_takes_less(site, storm);
    Some(match pump.surplus_lasts {
        None => {
            phrase!("It keeps up with the worst of {}: {} comes{}, {} leaves.", name, storm.peak_inflow, more, leaves)
        }
        Some(lasts) => {
            let (place, burst) = (surfaces_at(site).1, storm.peak.duration);
            let then = if lasts > burst * LONG_BURST {
                phrase!(
                    "The basin takes the surplus of such a burst: only after {} at that rate would water rise out of {}.",
                    lasts,
                    place
                )
            } else {
                phrase!(
                    "At that rate water rises out of {} after {}. How deep and how long it then stands is not judged: it may be little, since the worst is short.",
                    place,
                    lasts
                )
            };
            phrase!(
                "It does not keep up with the worst of {}: {} comes{}, {} leaves. {}",
                name,
                storm.peak_inflow,
                more,
                leaves,
                then.say(site.units)
            )
        }
    })
}

/// A room that lasts so many times the burst's duration is filled by none: common practice, no source.
const LONG_BURST: f64 = 3.0;

/// What the yard looks like in the design storm, with what may be worse.
fn in_the_storm(site: &Site, storm: &StormResult, storms: &StormsResult) -> Vec<Phrase> {
    let Some(design) = storms.design() else { return Vec::new() };
    let name = storm_words(design.period, site.units);
    let stands = super::checks::storm::stands_words(&design.nested, &site.limits.film).say(site.units);
    let mut sentences = vec![phrase!(
        "In {}, followed in time, {}. {} comes at its peak{}; the {} {} times and {} {}.",
        name.clone(),
        stands,
        design.nested.peak_inflow,
        if storms.soil_takes_less.is_empty() { if_the_soil_takes_less(site, storm) } else { String::new() },
        if site.pumping.count > 1 { "pumps start" } else { "pump starts" },
        design.nested.starts.to_string(),
        if site.pumping.count > 1 { "run in all" } else { "runs" },
        design.nested.runs
    )];
    sentences.extend(longer_in_steady_rain(site, design));
    sentences.extend(storms.soil_takes_less.first().map(|run| {
        phrase!(
            "If the soil takes less ({}), {} comes and {}.",
            run.surfaces_words(),
            run.outcome.peak_inflow,
            super::checks::storm::stands_words(&run.outcome, &site.limits.film).say(site.units)
        )
    }));
    sentences.extend(storms.soil_not_known_words().map(|words| phrase!("{}", words)));
    let cut = &storms.power_cut;
    let over = |hollow: &super::storm::HollowOutcome| {
        let to = hollow.spills_to.as_ref().map_or_else(String::new, |to| format!(" to `{to}`"));
        format!(", and {} run over the edge of `{}`{to}", Amount::of(hollow.spilled).show(site.units), hollow.name)
    };
    let over = cut.all_storm.spills().map(over).collect::<Vec<_>>().concat();
    sentences.extend(match cut.stands_after {
        Some(after) => Some(phrase!(
            "If the power goes at the worst moment of it, water stands after {}, up to {} deep{}.",
            after,
            Amount::small(cut.all_storm.depth()),
            over
        )),
        None if cut.stands_anyway => {
            Some(phrase!("Without power it stands up to {} deep{}.", Amount::small(cut.all_storm.depth()), over))
        }
        None => None,
    });
    sentences.extend(cut.battery.as_ref().map(|battery| match battery.flat_at {
        None => phrase!(
            "On the battery the pump goes on through that storm; what is said of the power that goes holds where the battery fails too."
        ),
        Some(flat) => phrase!(
            "On the battery it pumps until that is flat, {} after the rain began; then {}.",
            flat,
            super::checks::storm::stands_words(&battery.outcome, &site.limits.film).say(site.units)
        ),
    }));
    sentences
}

/// Water may stand longer in a steady rain than in the nested storm: the goal is held against that.
fn longer_in_steady_rain(site: &Site, design: &PeriodOutcome) -> Option<Phrase> {
    let show = |outcome: &StormOutcome| Amount::of(outcome.stands()).show(site.units);
    let longest = design.longest();
    let told = longest.depth() > site.limits.film.value && show(longest) != show(&design.nested);
    told.then(|| {
        phrase!(
            "In a steady rain of {} it stands longest, {}{}.",
            longest.lasts,
            if longest.still_stands() { "over " } else { "" },
            longest.stands()
        )
    })
}

fn goal(site: &Site, in_storms: &Result<StormsResult, NotFollowed>) -> (Option<Phrase>, Option<bool>) {
    let goal = &site.goal;
    let mut parts = Vec::new();
    if let Some(depth) = goal.standing_water {
        parts.push(format!("at most {} of standing water", Amount::small(depth).show(site.units)));
    }
    if let Some(time) = goal.clear_within {
        parts.push(format!("gone within {}", Amount::of(time).show(site.units)));
    }
    let storm = goal
        .return_period
        .map_or_else(String::new, |period| format!(" in the {} storm", Amount::of(period).show(site.units)));
    let judged = in_storms.as_ref().ok().and_then(|storms| Some((storms.goal.as_ref()?, storms.design()?)));
    if parts.is_empty() {
        return (
            in_storms.is_ok().then(|| {
                phrase!("No goal is given: `standing_water` and `clear_within` in `[goal]` would have it judged.")
            }),
            None,
        );
    }
    let asked = format!("{}{storm}", parts.join(", "));
    match (judged, in_storms) {
        (Some((goal, _)), Ok(storms)) if goal.met() => {
            let asked_for = super::checks::storm::asked_that_misses(site, storms)
                .map(|outcome| format!("in the 24-hour storm of {}", outcome.shape.name()));
            let less = storms.missed_if_soil_takes_less().map(|_| "if the soil takes less".to_owned());
            let full = super::checks::storm::full_stone_that_misses(site, storms)
                .map(|_| "with the French drain's stone full or silted".to_owned());
            let not: Vec<String> = less.into_iter().chain(full).chain(asked_for).collect();
            let but = if not.is_empty() { String::new() } else { format!(", but not {}", not.join(", nor ")) };
            (Some(phrase!("Your goal ({}) is met{}.", asked, but)), Some(true))
        }
        (Some((_, period)), _) => {
            let (depth, clear) = against(&site.goal, &period.nested);
            // what the nested storm keeps, the steady rain has missed
            let nested = depth == Some(false) || clear == Some(false);
            let (outcome, rain) = if nested {
                (&period.nested, String::new())
            } else {
                let rain = format!("in a steady rain of {} ", Amount::of(period.block_stands.lasts).show(site.units));
                (&period.block_stands, rain)
            };
            let stands = super::checks::storm::stands_words_of_missed(site, outcome).say(site.units);
            (Some(phrase!("Your goal ({}) is missed: {}{}.", asked, rain, stands)), Some(false))
        }
        (None, Err(why)) => (Some(phrase!("Your goal ({}) is not judged: {}.", asked, why.to_string())), None),
        (None, Ok(_)) => (Some(phrase!("Your goal ({}) is not judged.", asked)), None),
    }
}
