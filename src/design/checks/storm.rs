//! What the yard looks like in the design storm, against the goal and what must stay dry.

use super::edge::{Peak, that_keeps_dry};
use crate::catalog;
use crate::design::finding::{Finding, Severity};
use crate::design::phrase::{Phrase, phrase};
use crate::design::pump::PumpResult;
use crate::design::storm::{
    ComesNear, Cure, HollowOutcome, NotFollowed, PeriodOutcome, ReachedOtherwise, StormOutcome, StormsResult, against,
    listed,
};
use crate::design::storm_words;
use crate::quantity::{Amount, Duration, Length, Level, Style, UnitSystem};
use crate::site::{Limit, RunoffFrom, Site};

/// The stops that a storm brings: they say that the goal is not kept.
pub(crate) const STOPS: [&str; 2] = ["goal-missed", "water-reaches-protected"];

/// What the design storm says of one pump: the goal that it misses takes the place of what could be said of the peak.
pub(in crate::design) fn of_pump(site: &Site, pump: &mut PumpResult, outcome: &StormOutcome) {
    let period = site.rain.storms.get(site.rain.design).and_then(|(period, _)| *period);
    let name = storm_words(period, site.units);
    for finding in pump.findings.iter_mut().filter(|finding| softens(finding)) {
        finding.severity = Severity::Note;
        let pumped = finding.numbers.iter().find(|(name, _)| *name == "pumped").map(|(_, pumped)| *pumped);
        let lowest = site.inlets.iter().map(|inlet| inlet.rim).fold(site.basin.rim, Level::min);
        // water that stands over a basin with room left is held up before it
        let held_up = outcome.highest_in_basin < lowest && outcome.depth() > site.limits.film.value;
        finding.message = phrase!(
            "at the peak of {}, followed in time, {} comes and {} leaves; the rest {}: {}",
            name.clone(),
            outcome.peak_inflow,
            pumped.unwrap_or_else(|| Amount::of(crate::quantity::Flow::ZERO)),
            if held_up {
                "finds room in the basin, which does not fill. What stands is held up by grate and pipe"
            } else {
                "waits"
            },
            stands_words(outcome, &site.limits.film).say(site.units)
        );
        finding.cures.clear();
    }
    pump.findings.extend(goal_missed(site, outcome, &name));
    pump.findings.extend(protected(site, outcome, &name));
    pump.findings.sort_by_key(|finding| finding.severity);
}

/// Whether a finding counts for no more than a note once the design storm is followed.
pub(in crate::design) fn softens(finding: &Finding) -> bool {
    finding.id == "pump-below-peak-inflow"
}

/// How deep and how long, in a few words.
pub(in crate::design) fn stands_words(outcome: &StormOutcome, film: &Limit<Length>) -> Phrase {
    stands_as(outcome, film, Amount::small)
}

/// The same beside the goal that it misses, where the depth may be told more finely.
pub(in crate::design) fn stands_words_of_missed(site: &Site, outcome: &StormOutcome) -> Phrase {
    stands_as(outcome, &site.limits.film, |depth| beside(depth, site.goal.standing_water, site.units))
}

/// A depth, with more figures where it would else be told alike with the one allowed.
fn beside(depth: Length, allowed: Option<Length>, units: UnitSystem) -> Amount {
    let small = Amount::small(depth);
    let alike = allowed.is_some_and(|allowed| Amount::small(allowed).show(units) == small.show(units));
    if alike { Amount { style: Style::Bore, ..small } } else { small }
}

/// What is allowed beside a depth that looks alike, likewise, unless it is told whole as it is: 60 mm are 2.362 in.
fn allowed_beside(allowed: Length, depth: Length, units: UnitSystem) -> Amount {
    let small = Amount::small(allowed);
    let (value, _) = small.parts(units);
    let shown = small.show(units);
    let whole = shown.split(' ').next().and_then(|number| number.parse::<f64>().ok());
    if whole.is_some_and(|whole| (whole - value).abs() < 5e-4) { small } else { beside(allowed, Some(depth), units) }
}

fn stands_as(outcome: &StormOutcome, film: &Limit<Length>, amount: impl Fn(Length) -> Amount) -> Phrase {
    let Some(deepest) = outcome.deepest().filter(|deepest| deepest.deepest > film.value) else {
        return phrase!("nowhere does water stand deeper than a film of {}", Amount::small(film.value));
    };
    let depth = amount(deepest.deepest);
    match outcome.longest() {
        Some(longest) if longest.still_stands => phrase!(
            "water stands up to {} deep over `{}`, and still does {} after the rain began",
            depth,
            deepest.name.as_str(),
            outcome.followed
        ),
        longest => phrase!(
            "water stands up to {} deep over `{}`, for {}",
            depth,
            deepest.name.as_str(),
            longest.map_or(Duration::ZERO, |longest| longest.stands)
        ),
    }
}

fn goal_missed(site: &Site, outcome: &StormOutcome, name: &str) -> Option<Finding> {
    let goal = &site.goal;
    let (depth_met, clear_met) = against(goal, outcome);
    let deepest = outcome.deepest()?;
    let longest = outcome.longest()?;
    let stands = if longest.still_stands {
        format!("for more than {}", Amount::of(longest.stands).show(site.units))
    } else {
        format!("for {}", Amount::of(longest.stands).show(site.units))
    };
    let finding = match (goal.standing_water.filter(|_| depth_met == Some(false)), goal.clear_within) {
        (Some(most), Some(within)) if clear_met == Some(false) => Finding::stop(
            "goal-missed",
            phrase!(
                "in {} water stands {} deep over `{}`, {} allowed, and over `{}` {}, {} allowed",
                name,
                beside(deepest.deepest, Some(most), site.units),
                deepest.name.as_str(),
                allowed_beside(most, deepest.deepest, site.units),
                longest.name.as_str(),
                stands,
                within
            ),
        ),
        (Some(most), _) => Finding::stop(
            "goal-missed",
            phrase!(
                "in {} water stands {} deep over `{}`, {} allowed",
                name,
                beside(deepest.deepest, Some(most), site.units),
                deepest.name.as_str(),
                allowed_beside(most, deepest.deepest, site.units)
            ),
        )
        .limit(Amount::small(most), "your goal"),
        (None, Some(within)) if clear_met == Some(false) => Finding::stop(
            "goal-missed",
            phrase!("in {} water stands over `{}` {}, {} allowed", name, longest.name.as_str(), stands, within),
        )
        .limit(Amount::of(within), "your goal"),
        _ => return None,
    };
    Some(finding.number("depth", Amount::small(deepest.deepest)).number("stands", Amount::of(longest.stands)))
}

/// Water stands longer in a steady rain than the owner allows, although it does not in the nested storm.
pub(in crate::design) fn missed_in_long_rain(site: &Site, outcome: &StormOutcome) -> Option<Finding> {
    let within = site.goal.clear_within?;
    let (_, clear) = against(&site.goal, outcome);
    let longest = outcome.longest().filter(|_| clear == Some(false))?;
    let period = site.rain.storms.get(site.rain.design).and_then(|(period, _)| *period);
    Some(
        Finding::stop(
            "goal-missed",
            phrase!(
                "in {} as a steady rain of {} water stands over `{}` for {}{}, {} allowed",
                storm_words(period, site.units),
                outcome.lasts,
                longest.name.as_str(),
                if longest.still_stands { "more than " } else { "" },
                longest.stands,
                within
            ),
        )
        .limit(Amount::of(within), "your goal")
        .number("depth", Amount::small(outcome.depth()))
        .number("stands", Amount::of(longest.stands)),
    )
}

/// Water at a place that must stay dry although the power is on.
fn protected(site: &Site, outcome: &StormOutcome, name: &str) -> Vec<Finding> {
    let reached = |(place, level, at): &(String, Level, Option<Duration>)| {
        let at = (*at)?;
        Some(
            Finding::stop(
                "water-reaches-protected",
                phrase!(
                    "in {} water reaches `{}` at {}, {} after the rain began, the pump running",
                    name,
                    place.as_str(),
                    *level,
                    at
                ),
            )
            .about(place)
            .number("after", Amount::of(at))
            .cures(ways_to_keep_it_dry(site, outcome, name, *level)),
        )
    };
    outcome.protected.iter().filter_map(reached).collect()
}

/// What would keep water from a place: pump or room, which are solved for a goal only, an edge, a sill.
fn ways_to_keep_it_dry(site: &Site, outcome: &StormOutcome, name: &str, place: Level) -> Vec<Phrase> {
    let highest = outcome.highest();
    let depth = highest.map(|(hollow, _)| place - hollow.rim).filter(|depth| *depth > GOAL_BELOW);
    let asked = depth.map(|depth| depth - GOAL_BELOW).filter(|depth| {
        // where less is allowed already, the goal's own cures say what to do
        site.goal.standing_water.is_none_or(|allowed| allowed > *depth)
    });
    let goal = asked.map(|depth| {
        phrase!(
            "`standing_water = \"{}\"` in [goal], which lies below that level: what pump or room that takes is then worked out",
            Amount::small_at_most(depth)
        )
    });
    let edge = that_keeps_dry(site, highest.map(|(hollow, _)| hollow.name.as_str()), place, &peak_of(outcome, name));
    let sill = phrase!(
        "the place itself guarded, or its sill raised, to above {}",
        highest.map_or_else(|| Amount::of(place), |(_, level)| Amount::at_least(level.max(place)))
    );
    goal.into_iter().chain([edge, sill]).collect()
}

/// The peak of a storm that was followed.
fn peak_of(outcome: &StormOutcome, name: &str) -> Peak {
    Peak { flow: outcome.peak_inflow, what: format!("the peak of {name}") }
}

/// The goal that keeps a place dry lies so far below it: common practice, no source.
const GOAL_BELOW: Length = Length::from_inch(0.1);

/// What would meet the goal, put to the finding that says it is missed.
pub(in crate::design) fn with_cures(finding: &mut Finding, storms: &StormsResult) {
    let Some(goal) = &storms.goal else { return };
    for cure in &goal.cures {
        finding.cures.push(match cure {
            Cure::PumpFlow(flow) => {
                phrase!("pump and line that carry {} at the middle water level between the floats", *flow)
            }
            Cure::Storage(room) => phrase!(
                "{} more room between the on level and the lowest rim: a wider basin, or a tank beside it",
                *room
            ),
        });
    }
    let design = storms.design().map(|design| &design.nested);
    let stays =
        design.into_iter().flat_map(|outcome| &outcome.hollows).filter(|hollow| hollow.stays > Length::from_mm(1.0));
    let low: Vec<_> = stays
        .map(|hollow| {
            phrase!("the lowest grate of `{}` lower by {}", hollow.name.as_str(), Amount::small(hollow.stays))
        })
        .collect();
    if !low.is_empty() {
        finding.cures.extend(low);
    } else if goal.held_back {
        finding
            .cures
            .push(phrase!("larger grates and gravity pipes first: no pump meets it, since they hold the water back"));
    } else if goal.cures.is_empty() {
        finding
            .cures
            .push(phrase!("less water to this place, or a deeper or wider hollow: no pump and no room alone meets it"));
    }
}

/// Findings of the storms with the pump that is used.
pub(in crate::design) fn findings(site: &Site, storms: &Result<StormsResult, NotFollowed>) -> Vec<Finding> {
    let storms = match storms {
        Ok(storms) => storms,
        Err(why) => return not_followed(site, why).into_iter().collect(),
    };
    let Some(design) = storms.design() else { return Vec::new() };
    let period = design.period;
    let name = storm_words(period, site.units);
    let mut findings = Vec::new();
    for hollow in &design.nested.hollows {
        findings.extend(beyond_entries(hollow, &name));
        findings.extend(spills(hollow, &name));
    }
    findings.extend(super::validity::rain_ends_early(site, &design.nested));
    findings.extend(if_the_soil_takes_less(site, storms, &name));
    findings.extend(missed_if_stone_is_full(site, storms, &name));
    findings.extend(hangs_on_the_cycle(site, storms));
    findings.extend(missed_in_the_asked(site, storms, design, &name));
    findings.extend(without_power(site, storms, &name));
    findings.extend(reached_otherwise(site, storms));
    findings.extend(comes_near(site, storms));
    findings.extend(battery(site, storms, &name));
    findings
}

/// Places that stay dry in the design storm and not in a harder one, the pump running in both.
fn reached_otherwise(site: &Site, storms: &StormsResult) -> Vec<Finding> {
    let one = |reached: ReachedOtherwise| {
        Finding::caution(
            "harder-storm-reaches-protected",
            phrase!(
                "although the pump runs, water reaches `{}` at {} {}",
                reached.place.as_str(),
                reached.level,
                reached.cases.as_str()
            ),
        )
        .about(&reached.place)
        .cure(that_keeps_dry(
            site,
            reached.hollow.as_deref(),
            reached.level,
            &Peak { flow: reached.peak_inflow, what: "the hardest peak of these".to_owned() },
        ))
        .cure(phrase!(
            "pump or room for the harder case: `return_period` in [goal], or the `coefficient_from` of the surfaces, makes it the design's"
        ))
    };
    storms.reached_otherwise(site.units).into_iter().map(one).collect()
}

/// Places that stay dry by so little that a level or a notch a little otherwise lets water in.
fn comes_near(site: &Site, storms: &StormsResult) -> Vec<Finding> {
    let one = |near: ComesNear| {
        let notch = near.notch_taken.then(|| {
            phrase!(
                "measure the notch that `{}` runs over, `spill_width`: {} is taken, and over a narrower one water stands higher",
                near.hollow.as_str(),
                catalog::default_limits().spill_width.value
            )
        });
        Finding::caution(
            "protected-place-by-little",
            phrase!(
                "{} water stays only {} below `{}` at {}: levels are measured to half an inch at best",
                near.case.as_str(),
                Amount::small(near.short),
                near.place.as_str(),
                near.level
            ),
        )
        .about(&near.place)
        .number("short", Amount::small(near.short))
        .cure_if(notch)
        .cure(that_keeps_dry(
            site,
            Some(&near.hollow),
            near.level,
            &Peak { flow: near.peak_inflow, what: "the peak of that".to_owned() },
        ))
    };
    storms.comes_near(site).into_iter().map(one).collect()
}

/// What harder cases say of the pump used that a stronger candidate may cure.
const HARDER: [&str; 3] = ["harder-storm-reaches-protected", "goal-missed-if-soil-takes-less", "goal-hangs-on-stone"];
/// A candidate that brings so many times as much is clearly stronger: common practice, no source.
const STRONGER: f64 = 1.1;

/// The candidates are ranked by the design storm. Where a harder case of it floods with the pump that is used, the strongest
/// of those that would do is named.
pub(in crate::design) fn stronger(
    site: &Site,
    pumps: &[PumpResult],
    used: usize,
    findings: &[Finding],
) -> Option<Finding> {
    let flows = findings.iter().any(|finding| HARDER.contains(&finding.id)) && site.pumping.chosen.is_none();
    let used = pumps.get(used).filter(|_| flows)?;
    let flow = used.all_pumped()?;
    let others = pumps.iter().filter(|pump| pump.name != used.name && pump.holds());
    let strongest = others
        .filter_map(|pump| Some((pump, pump.all_pumped()?)))
        .reduce(|best, next| if next.1 > best.1 { next } else { best });
    let (other, more) = strongest.filter(|(_, more)| *more > flow * STRONGER)?;
    Some(
        Finding::note(
            "stronger-candidate",
            phrase!(
                "`{}` would do too and brings {} against {}: what the harder cases above come to is followed with `{}` alone",
                other.name.as_str(),
                more,
                flow,
                used.name.as_str()
            ),
        )
        .about(&other.name)
        .cure(phrase!("`use = \"{}\"` in [pumping], and run again", other.name.as_str())),
    )
}

/// Of a goal that is missed what is told as its limit: the depth where that is missed, else the time.
fn limit_missed(site: &Site, outcome: &StormOutcome) -> Option<Amount> {
    let (depth_met, _) = against(&site.goal, outcome);
    match (site.goal.standing_water, site.goal.clear_within) {
        (Some(most), _) if depth_met == Some(false) => Some(Amount::small(most)),
        (_, Some(within)) => Some(Amount::of(within)),
        _ => None,
    }
}

/// The goal, met with what is counted, is missed if the soil takes less.
fn if_the_soil_takes_less(site: &Site, storms: &StormsResult, name: &str) -> Option<Finding> {
    let run = storms.missed_if_soil_takes_less()?;
    let outcome = &run.outcome;
    let limit = limit_missed(site, outcome)?;
    let ways: Vec<String> = run
        .by_ways()
        .into_iter()
        .map(|(by, names)| format!("`coefficient_from = \"{}\"` for {}", by.name(), listed(&names)))
        .collect();
    let measured = site.soil.as_ref().is_some_and(|soil| soil.infiltration.is_some() || soil.horton.is_some());
    let by_texture = !measured && run.surfaces.iter().all(|surface| surface.by == RunoffFrom::Infiltration);
    Some(
        Finding::caution(
            "goal-missed-if-soil-takes-less",
            phrase!(
                "the goal is met with the runoff coefficients counted. If the soil takes less ({}), it is missed: in {} {}",
                run.surfaces_words(),
                name,
                stands_words(outcome, &site.limits.film).say(site.units)
            ),
        )
        .number("depth", Amount::small(outcome.depth()))
        .number("stands", Amount::of(outcome.stands()))
        .limit(limit, "your goal")
        .cure(phrase!("{}: the design is then made for it, and says what pump or room it takes", ways.join(", ")))
        .cure_if(by_texture.then(|| {
            phrase!("a ring test there, its rate entered as `infiltration` of [soil] in place of the texture's")
        })),
    )
}

/// The goal, met with the room in the stone of the French drains, is missed without it.
fn missed_if_stone_is_full(site: &Site, storms: &StormsResult, name: &str) -> Option<Finding> {
    let outcome = full_stone_that_misses(site, storms)?;
    let limit = limit_missed(site, outcome)?;
    let wrapped =
        site.drains.iter().filter_map(|drain| drain.french.as_ref()).all(|french| french.fabric == Some(true));
    Some(
        Finding::caution(
            "goal-hangs-on-stone",
            phrase!(
                "the goal is met with the room in the stone of the French drain. With that stone full of water or silt it is missed: in {} {}",
                name,
                stands_words(outcome, &site.limits.film).say(site.units)
            ),
        )
        .number("depth", Amount::small(outcome.depth()))
        .number("stands", Amount::of(outcome.stands()))
        .limit(limit, "your goal")
        .cure(phrase!("more pump or a wider basin, so that the goal is met without the stone's room"))
        .cure(if wrapped {
            phrase!("a clean-out, so that the room stays")
        } else {
            phrase!("fabric round the stone, and a clean-out, so that the room stays")
        }),
    )
}

/// The design storm with the stone full, where the goal is met with its room and missed without.
pub(in crate::design) fn full_stone_that_misses<'s>(site: &Site, storms: &'s StormsResult) -> Option<&'s StormOutcome> {
    storms.goal.as_ref().filter(|goal| goal.met())?;
    let outcome = storms.stone_full.as_ref()?;
    let (depth, clear) = against(&site.goal, outcome);
    (depth == Some(false) || clear == Some(false)).then_some(outcome)
}

/// The goal is met from one state of the basin, and from another it is missed: the pump is somewhere in its cycle when the
/// burst comes.
fn hangs_on_the_cycle(site: &Site, storms: &StormsResult) -> Option<Finding> {
    storms.goal.as_ref().filter(|goal| goal.met())?;
    let allowed = site.goal.standing_water?;
    let depth = storms.design()?.nested.depth();
    let deepest = storms.deepest_in_cycle.filter(|deepest| *deepest > allowed)?;
    let (more, spare) = (deepest - depth, allowed - depth);
    Some(
        Finding::caution(
            "goal-hangs-on-cycle",
            phrase!(
                "the goal is met with {} to spare. Where in its cycle the pump is when the burst comes makes up to {} of water: it may then be missed",
                Amount::small(spare),
                Amount::small(more)
            ),
        )
        .number("more", Amount::small(more))
        .limit(Amount::small(allowed), "your goal")
        .cure(phrase!("more pump, or room that does not hang on the floats, until more is to spare than that")),
    )
}

/// The goal, met in the nested storm, is missed in the 24-hour storm that the town asks for.
fn missed_in_the_asked(site: &Site, storms: &StormsResult, design: &PeriodOutcome, name: &str) -> Option<Finding> {
    let outcome = asked_that_misses(site, storms)?;
    let limit = limit_missed(site, outcome)?;
    let (depth_met, _) = against(&site.goal, outcome);
    let deeper = outcome.depth() - design.nested.depth();
    let stricter = site.goal.standing_water.filter(|_| depth_met == Some(false)).map(|most| most - deeper);
    Some(
        Finding::caution(
            "goal-missed-in-asked-storm",
            phrase!(
                "the goal is met in the nested storm. In {} as the 24-hour storm of {}, which the town asks for, it is missed: {}",
                name,
                outcome.shape.name(),
                stands_words(outcome, &site.limits.film).say(site.units)
            ),
        )
        .number("depth", Amount::small(outcome.depth()))
        .number("stands", Amount::of(outcome.stands()))
        .limit(limit, "your goal")
        .cure_if(stricter.filter(|most| *most > Length::ZERO).map(|most| {
            phrase!(
                "try `standing_water = \"{}\"` in [goal]: a pump or room for that is worked out in the nested storm; then read here again how deep this one stands",
                Amount::small_at_most(most)
            )
        }))
        .cure(phrase!("more pump or room than the goal takes: water stands {} deeper in this storm", Amount::small(deeper.max(Length::ZERO)))),
    )
}

/// The 24-hour storm that the town asks for, where the goal is met in the nested storm and missed in it.
pub(in crate::design) fn asked_that_misses<'s>(site: &Site, storms: &'s StormsResult) -> Option<&'s StormOutcome> {
    storms.goal.as_ref().filter(|goal| goal.met())?;
    let outcome = storms.design()?.asked.as_ref()?;
    let (depth, clear) = against(&site.goal, outcome);
    (depth == Some(false) || clear == Some(false)).then_some(outcome)
}

/// The deepest water that any storm followed of the design's return period leaves, put to the finding that says how high
/// it can stand: over an edge water stands higher than the edge.
pub(in crate::design) fn with_highest(finding: &mut Finding, site: &Site, storms: &StormsResult) {
    let Some(design) = storms.design() else { return };
    let Some(place) = site.protected.iter().find(|place| finding.about.as_ref() == Some(&place.name)) else { return };
    let cut = &storms.power_cut;
    // the storm followed knows its peak, and where the water stands that gets there
    let name = storm_words(design.period, site.units);
    let hollow = cut.all_storm.highest().map(|(hollow, _)| hollow.name.as_str());
    if let Some(edge) = finding.cures.first_mut() {
        *edge = that_keeps_dry(site, hollow, place.level, &peak_of(&design.nested, &name));
    }
    let battery = cut.battery.as_ref().map(|battery| ("the battery going flat", &battery.outcome));
    let less = storms.soil_takes_less.iter().map(|run| ("the soil taking less", &run.outcome));
    let found = [("the pump running", &design.nested), ("no power", &cut.all_storm)]
        .into_iter()
        .chain(battery)
        .chain(less)
        .chain(design.asked.iter().map(|asked| ("its rain as the town asks for it", asked)))
        .filter_map(|(case, outcome)| Some((case, outcome.highest()?)))
        .reduce(|best, next| if next.1.1 > best.1.1 { next } else { best });
    let Some((case, (hollow, level))) = found.filter(|(_, (_, level))| *level >= place.level) else { return };
    let said = finding.numbers.iter_mut().find(|(name, _)| *name == "stands_up_to").map(|(_, said)| said);
    let found = Amount::of(level);
    // what is said is as high already, whatever units it is printed in
    if said.as_ref().is_some_and(|said| said.si > found.si - AS_HIGH.m()) {
        return;
    }
    if let Some(said) = said {
        *said = found;
    }
    finding.message = phrase!(
        "{}. In {} with {} it stands up to {} over `{}`, {} above that place",
        finding.message.say(site.units),
        name,
        case,
        level,
        hollow.name.as_str(),
        Amount::small(level - place.level)
    );
}

/// Levels that differ by less are said once: common practice, no source.
const AS_HIGH: Length = Length::from_mm(1.0);

/// Which protected places water reaches, and after what: with the pump running, or after a power cut at the worst moment.
pub(in crate::design) fn reaches_words(storms: &StormsResult, units: UnitSystem) -> Vec<Phrase> {
    let Some(design) = storms.design() else { return Vec::new() };
    let with_power: Vec<(&str, Duration)> =
        design.nested.protected.iter().filter_map(|(name, _, at)| Some((name.as_str(), (*at)?))).collect();
    let dark: Vec<(&str, Duration)> = storms
        .power_cut
        .protected
        .iter()
        .filter(|(name, ..)| !with_power.iter().any(|(known, _)| known == name))
        .filter_map(|(name, _, after)| Some((name.as_str(), (*after)?)))
        .collect();
    let first = |reached: &[(&str, Duration)]| reached.iter().map(|(_, at)| *at).reduce(Duration::min);
    let names = |reached: &[(&str, Duration)]| listed(&reached.iter().map(|(name, _)| *name).collect::<Vec<_>>());
    let lit = first(&with_power).map(|at| {
        phrase!("Although the pump runs, water reaches {}, {} after the rain began.", names(&with_power), at)
    });
    let cut = first(&dark)
        .map(|after| phrase!("If the power goes at the worst moment, water reaches {} after {}.", names(&dark), after));
    let harder = storms.reached_otherwise(units);
    let harder = harder.iter().map(|reached| {
        phrase!("Although the pump runs, water reaches `{}` {}.", reached.place.as_str(), reached.cases.as_str())
    });
    lit.into_iter().chain(harder).chain(cut).collect()
}

/// The same of places that stay dry by little.
pub(in crate::design) fn near_words(site: &Site, storms: &StormsResult) -> Vec<Phrase> {
    let one = |near: ComesNear| {
        phrase!(
            "Water stays only {} below `{}` {}: measure its level{} once more.",
            Amount::small(near.short),
            near.place.as_str(),
            near.case.as_str(),
            if near.notch_taken { " and the width of the notch that the water runs over" } else { "" }
        )
    };
    storms.comes_near(site).into_iter().map(one).collect()
}

fn not_followed(site: &Site, why: &NotFollowed) -> Option<Finding> {
    let asked = site.goal.standing_water.is_some() || site.goal.clear_within.is_some();
    match why {
        // said elsewhere
        NotFollowed::NotAsked => None,
        NotFollowed::NoRain | NotFollowed::NoFlow | NotFollowed::RestartsItself if !asked => None,
        _ => Some(Finding::caution(
            "storm-not-followed",
            phrase!("how deep and how long water stands is not judged: {}", why.to_string()),
        )),
    }
}

fn beyond_entries(hollow: &HollowOutcome, name: &str) -> Option<Finding> {
    (hollow.beyond_entries && !hollow.assumed).then(|| {
        Finding::caution(
            "water-above-surface-entries",
            phrase!(
                "in {} water stands at {} over `{}`, above the highest level that its surface is entered for: reckoned as no wider there, so that the depth is on the high side",
                name,
                hollow.rim + hollow.deepest,
                hollow.name.as_str()
            ),
        )
        .about(&hollow.name)
        .cure(phrase!("one more pair in its `surface`, and `spills_at` where it runs over"))
    })
}

fn spills(hollow: &HollowOutcome, name: &str) -> Option<Finding> {
    let to = hollow.spills_to.as_deref().map_or_else(String::new, |to| format!(" to `{to}`"));
    (hollow.spilled > crate::quantity::Volume::from_litre(1.0)).then(|| {
        Finding::caution(
            "low-spot-runs-over",
            phrase!("in {} {} run over the edge of `{}`{}", name, hollow.spilled, hollow.name.as_str(), to),
        )
        .about(&hollow.name)
        .number("runs_over", Amount::of(hollow.spilled))
    })
}

/// Places that stay dry with power and not without.
fn without_power(site: &Site, storms: &StormsResult, name: &str) -> Vec<Finding> {
    let with_power = |place: &str| {
        storms
            .design()
            .is_some_and(|design| design.nested.protected.iter().any(|(known, _, at)| known == place && at.is_some()))
    };
    let dark = &storms.power_cut.all_storm;
    let hollow = dark.highest().map(|(hollow, _)| hollow.name.as_str());
    let one = |(place, level, after): &(String, Level, Option<Duration>)| {
        let after = after.filter(|_| !with_power(place))?;
        Some(
            Finding::caution(
                "power-cut-reaches-protected",
                phrase!(
                    "if the power goes at the worst moment of {}, water reaches `{}` at {} after {}",
                    name,
                    place.as_str(),
                    *level,
                    after
                ),
            )
            .about(place)
            .number("after", Amount::of(after))
            .cure(that_keeps_dry(site, hollow, *level, &peak_of(dark, name)))
            .cure(phrase!("a backup that lasts the storm")),
        )
    };
    storms.power_cut.protected.iter().filter_map(one).collect()
}

fn battery(site: &Site, storms: &StormsResult, name: &str) -> Option<Finding> {
    let Some(battery) = storms.power_cut.battery.as_ref() else {
        return site.battery.is_some().then(|| {
            Finding::caution(
                "battery-not-judged",
                phrase!("how long the battery lasts is not judged: nothing says what power the pump takes"),
            )
            .cure(phrase!("`power` of the pump, from its nameplate or a meter; or its `volts` and `running_amps`"))
        });
    };
    let flat = battery.flat_at?;
    let (depth, clear) = against(&site.goal, &battery.outcome);
    let reached = battery.outcome.protected.iter().find(|(.., at)| at.is_some()).map(|(place, ..)| place.as_str());
    let stands = battery.outcome.depth() > site.limits.film.value;
    // without a goal only water that does not stand at all is known to do no harm
    let no_goal = depth.is_none() && clear.is_none();
    let keeps = depth != Some(false) && clear != Some(false) && reached.is_none() && !(no_goal && stands);
    let then = match reached {
        _ if keeps => phrase!("The worst is over by then."),
        Some(place) => phrase!("Then water reaches `{}`.", place),
        None if no_goal => phrase!("Then {}.", stands_words(&battery.outcome, &site.limits.film).say(site.units)),
        None => phrase!("Then water stands deeper or longer than you allow."),
    };
    let message = phrase!(
        "with no power from the start of {} the battery is flat after {}: the pump then has run {} of the {} that the storm asks for. {}",
        name,
        flat,
        battery.without_stopping,
        battery.needed,
        then.say(site.units)
    );
    let finding = if keeps {
        Finding::note("battery-goes-flat", message)
    } else {
        Finding::caution("battery-goes-flat", message)
    };
    let factor = battery.needed / battery.without_stopping;
    Some(finding.number("flat_after", Amount::of(flat)).cure_if((!keeps).then(|| {
        phrase!("a battery of {} times the capacity lasts the storm", format!("{:.1}", (factor * 10.0).ceil() / 10.0))
    })))
}
