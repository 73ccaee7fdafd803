//! The line as it lies and what it sees: stations, other conditions, surge, two pumps, power; as text.

use super::{cells, flow_cell, range};
use crate::design::{Design, PairResult, PowerResult, PumpResult, SurgeResult};
use crate::pump_selection::Together;
use crate::quantity::{Amount, Length, UnitSystem, Volume};
use crate::report::layout::{Align, Page};

const RIGHT: Align = Align::Right;

/// The line station by station, and what stays in it.
pub(super) fn stations(page: &mut Page, design: &Design, units: UnitSystem) {
    if design.stations.is_empty() {
        return;
    }
    page.heading("The line, station by station");
    let dash = || "-".to_owned();
    let mut rows = vec![cells(&["at", "invert", "ground", "cover", "head on it", ""])];
    for station in &design.stations {
        rows.push(vec![
            Amount::of(station.at).show(units),
            Amount::of(station.invert).show(units),
            station.ground.map_or_else(dash, |ground| Amount::of(ground).show(units)),
            station.cover.map_or_else(dash, |cover| Amount::small(cover).show(units)),
            station.head.map_or_else(dash, |head| Amount::of(head).show(units)),
            station.remarks.join(", "),
        ]);
    }
    page.table(&[RIGHT, RIGHT, RIGHT, RIGHT, RIGHT, Align::Left], rows);
    let running = if design.pump().and_then(|pump| pump.pair.as_ref()).is_some_and(|pair| pair.lag_entered) {
        "both pumps running"
    } else {
        "the pump running from its on level"
    };
    let fall = if design.rest.held {
        "It is a pressure line: it needs no fall of its own, and may run as shallow as cover and frost allow."
    } else {
        "It is a pressure line that runs back after each stop: it may run as shallow as cover allows, and needs a fall all the way, back to the basin or on to the outlet, to run empty."
    };
    page.paragraph(&format!(
        "Cover: ground less the top of the pipe. Head on it: how high the water would stand over the pipe, {running}. {fall}"
    ));
    let rest = &design.rest;
    let stays = rest.volume_that_stays();
    if stays > Volume::ZERO {
        page.paragraph(&format!("Between runs {} stay in it.", Amount::of(stays).show(units)));
    }
    if let Some(time) = rest.drain_time {
        page.paragraph(&format!("Through the drain hole it runs back in about {}.", Amount::of(time).show(units)));
    }
    if let Some(frost) = &rest.frost {
        let plan =
            frost.plan.map_or_else(|| "no plan against it".to_owned(), |plan| format!("the plan: {}", plan.words()));
        let reached = if rest.covers.iter().all(Option::is_none) {
            "what it reaches is not known without the ground".to_owned()
        } else if rest.freezes.is_empty() && rest.covers.iter().any(Option::is_none) {
            "where the ground is known nothing that stays in the line lies within its reach, and elsewhere it is not known"
                .to_owned()
        } else if rest.freezes.is_empty() {
            "nothing that stays in the line lies within its reach".to_owned()
        } else {
            format!("{} that stay in the line lie within its reach", Amount::of(rest.volume_that_freezes()).show(units))
        };
        let riser = match rest.heights_missing.as_slice() {
            [] => String::new(),
            missing => {
                let keys: Vec<String> = missing.iter().map(|name| format!("`{name}`")).collect();
                format!(
                    " The water that stays in the riser below the drain hole is not judged: enter `above_floor` of {}.",
                    keys.join(" and of ")
                )
            }
        };
        page.paragraph(&format!(
            "Frost goes {} deep ({plan}); {reached}.{riser}",
            Amount::small(frost.depth).show(units)
        ));
    }
    if let (Some(lift), Some(locked)) = (rest.lift, rest.air_locked_lift)
        && rest.summits.iter().any(|summit| summit.rises_again)
    {
        page.paragraph(&format!(
            "Lift from the off level {}; with air caught in each fall that no vent ends, {} (the sum of the rises).",
            Amount::of(lift).show(units),
            Amount::of(locked).show(units)
        ));
    }
}

/// The duty under other conditions.
pub(super) fn conditions(page: &mut Page, pump: &PumpResult, units: UnitSystem) {
    page.paragraph("Under other conditions, one pump running:");
    let mut rows = vec![cells(&["", "off level", "half-way"])];
    for row in &pump.conditions {
        rows.push(vec![row.what.say(units), flow_cell(&row.off, units), flow_cell(&row.half_way, units)]);
    }
    page.table(&[Align::Left, RIGHT, RIGHT], rows);
}

/// What pipe and valve see when the water stops.
pub(super) fn surge(page: &mut Page, surge: &SurgeResult, two: bool, units: UnitSystem) {
    page.paragraph(if two {
        "When the water stops, in the runs with both pumps running, in the riser with the stronger one alone:"
    } else {
        "When the water stops, from the on level:"
    });
    let dash = || "-".to_owned();
    let mut rows = vec![cells(&["part", "velocity", "wave", "surge", "shut-off", "together", "rated"])];
    for pipe in &surge.pipes {
        rows.push(vec![
            pipe.name.clone(),
            Amount::of(pipe.velocity).show(units),
            pipe.wave_speed.map_or_else(|| "unknown".to_owned(), |wave| Amount::of(wave).show(units)),
            pipe.surge.map_or_else(|| "unknown".to_owned(), |surge| Amount::of(surge).show(units)),
            Amount::of(surge.shut_off).show(units),
            pipe.most.map_or_else(|| "unknown".to_owned(), |most| Amount::of(most).show(units)),
            pipe.rating.map_or_else(dash, |rating| Amount::of(rating).show(units)),
        ]);
    }
    page.table(&[Align::Left, RIGHT, RIGHT, RIGHT, RIGHT, RIGHT, RIGHT], rows);
    let critical = surge.critical.map_or_else(String::new, |critical| {
        format!(
            " The wave runs to the end and back in {}: {}",
            Amount::of(critical).show(units),
            match surge.closes_in {
                Some(_) if surge.closes_late =>
                    "the valve closes only after the water has begun to run back, which counts as at once.".to_owned(),
                Some(closes_in) if closes_in > critical => format!(
                    "the valve closes in {}, and the surge is less in proportion.",
                    Amount::of(closes_in).show(units)
                ),
                Some(_) => "the valve closes within that time, which counts as at once.".to_owned(),
                None => "a stop within that time counts as at once, which is taken here.".to_owned(),
            }
        )
    });
    let runs_on = surge.runs_on.map_or_else(String::new, |time| {
        format!(" After the pump has stopped the water runs on for {} at the most.", Amount::of(time).show(units))
    });
    let derated = surge.pipes.iter().any(|pipe| pipe.rating != pipe.rating_as_printed);
    page.paragraph(&format!(
        "Surge of a stop of the whole flow (Joukowsky).{critical}{runs_on}{} Fittings and joints are not rated by the pipe.",
        if derated { " Ratings are those at the water's temperature." } else { "" }
    ));
}

/// Two pumps on the line.
pub(super) fn pair(page: &mut Page, name: &str, pair: &PairResult, units: UnitSystem) {
    let second = if pair.alike { format!("a second `{name}`") } else { format!("`{}`", pair.second) };
    page.heading(&format!("`{name}` and {second} together"));
    let unknown = || "-".to_owned();
    let flow = |flow: Option<crate::quantity::Flow>| flow.map_or_else(unknown, |flow| Amount::of(flow).show(units));
    let mut rows =
        vec![cells(&["water at", "level", "first alone", "second alone", "together", "first gives", "second gives"])];
    for level in &pair.levels {
        let (together, each) = match &level.together {
            Together::Meets { line_flow, branches, .. } => (
                Amount::of(*line_flow).show(units),
                branches.iter().map(|branch| Amount::of(branch.line_flow).show(units)).collect(),
            ),
            Together::CannotLift => ("nothing".to_owned(), Vec::new()),
            Together::BeyondLastPoint { at_least, .. } => {
                (format!(">{}", Amount::of(*at_least).show(units)), Vec::new())
            }
            Together::BeforeFirstPoint { .. } => ("unknown".to_owned(), Vec::new()),
        };
        let each: Vec<String> = each;
        rows.push(vec![
            level.at.to_owned(),
            Amount::of(level.water_level).show(units),
            flow(level.alone),
            flow(level.other_alone),
            together,
            each.first().cloned().unwrap_or_else(unknown),
            each.get(1).cloned().unwrap_or_else(unknown),
        ]);
    }
    page.table(&[Align::Left, RIGHT, RIGHT, RIGHT, RIGHT, RIGHT, RIGHT], rows);
    let small = |length: Length| Amount::small(length).show(units);
    let joins = if pair.lag_entered {
        format!("joins at {} and stops at {} above the floor", small(pair.lag_on), small(pair.lag_off))
    } else {
        "a standby: no level is entered at which it joins".to_owned()
    };
    let mut pairs = vec![("the second pump".to_owned(), joins)];
    if let (Some(starts), true) = (pair.worst_starts, pair.lag_entered) {
        pairs.push((
            if pair.both_stop { "starts of each together at the worst" } else { "starts of the second at the worst" }
                .to_owned(),
            format!("{starts:.0} an hour; allowed {:.0} ({})", pair.starts_limit.0, pair.starts_limit.1),
        ));
    }
    page.gap();
    page.pairs(&pairs);
}

/// Power and wire.
pub(super) fn power(page: &mut Page, power: &PowerResult, two: bool, units: UnitSystem) {
    let show = |amount: Amount| amount.show(units);
    let mut words = vec![format!("{} goes into the water", show(Amount::of(power.water)))];
    if let Some(shaft) = power.shaft {
        words.push(format!("{} to the shaft", show(Amount::of(shaft))));
    }
    if let (Some(electrical), Some(efficiency)) = (power.electrical, power.wire_to_water) {
        words.push(format!(
            "{} through the wire ({}), {:.0} % from wire to water",
            show(Amount::of(electrical)),
            if power.entered { "entered" } else { "by the efficiency entered" },
            efficiency * 100.0
        ));
    }
    page.paragraph(&format!("Power at the middle water level between the floats: {}.", words.join(", ")));
    if let Some(energy) = power.energy_jm3 {
        let (volume, name) = match units {
            UnitSystem::Us => (Volume::from_gal(1000.0), "1000 gal"),
            UnitSystem::Metric => (Volume::from_m3(1.0), "m3"),
        };
        page.paragraph(&format!("Energy: {:.2} kWh for each {name} pumped.", energy * volume.m3() / 3.6e6));
    }
    if let Some(drop) = &power.drop {
        page.paragraph(&format!(
            "Over the {} wire `{}` loses {:.1} V of {:.0} V running ({:.1} %), and {:.1} V at the start, when it would draw {:.0} A{} ({:.1} %).{} Resistance of copper at 75 C only; wire, circuit and protection are for a licensed electrician under the local code.",
            drop.wire.name,
            drop.pump,
            drop.running,
            drop.volts,
            drop.running_share() * 100.0,
            drop.starting,
            drop.starting_amps,
            if drop.starting_assumed { ", a multiple of the running current" } else { "" },
            drop.starting_share() * 100.0,
            if two { " Each pump is taken to have a wire of its own." } else { "" }
        ));
    }
}

/// What both deliver, for the few numbers at the top.
pub(super) fn both_words(pair: &PairResult, units: UnitSystem) -> Option<String> {
    let (least, most) = (pair.least()?, pair.most()?);
    Some(range(&Amount::of(least).show(units), &Amount::of(most).show(units)))
}
