//! The answer in the sentences that a person would say.

use super::Job;
use super::extent::{Extent, Margin};
use super::found::{Case, Reach};
use crate::design::{Delivered, FittingsStay, NotFollowed};
use crate::quantity::{Amount, Length, UnitSystem};

/// What the lift of a handful of numbers is counted from and to.
pub(crate) const LIFT_COUNTED: &str = "from the water at the off level, deep in the basin and not from the ground, to the highest point that the pipe must fill over";

/// A length of run, rounded down: `262 ft`, `79.8 m`.
pub fn run_words(length: Length, units: UnitSystem) -> String {
    match units {
        UnitSystem::Us => format!("{:.0} ft", libm::floor(length.ft() + 1e-6)),
        UnitSystem::Metric => format!("{:.1} m", libm::floor(length.m() * 10.0 + 1e-6) / 10.0),
    }
}

/// The run as drawn, to the nearest: `54.9 m`.
pub fn drawn_words(length: Length, units: UnitSystem) -> String {
    match units {
        UnitSystem::Us => format!("{:.0} ft", libm::round(length.ft())),
        UnitSystem::Metric => format!("{:.1} m", libm::round(length.m() * 10.0) / 10.0),
    }
}

/// A length that is missing, rounded up.
fn missing_words(length: Length, units: UnitSystem) -> String {
    match units {
        UnitSystem::Us => format!("{:.0} ft", libm::ceil(length.ft() - 1e-6)),
        UnitSystem::Metric => format!("{:.1} m", libm::ceil(length.m() * 10.0 - 1e-6) / 10.0),
    }
}

/// The run beside the longest, for a column: `52 ft spare`, `140 ft short`.
pub(crate) fn margin_words(job: Job, margin: Margin, units: UnitSystem) -> String {
    match margin {
        Margin::Spare(length) => format!("{} to spare", run_words(length, units)),
        Margin::AtLeast(length) => format!("{}+ to spare", run_words(length, units)),
        Margin::Short(length) => format!("{} short", missing_words(length, units)),
        Margin::Never => "no run does".to_owned(),
        Margin::TooShort if job == Job::Everything => "too short".to_owned(),
        Margin::TooShort => "not known".to_owned(),
    }
}

/// How far it goes, for a column: `262 ft`, `1000 ft+`, `none`.
pub(crate) fn extent_words(extent: &Extent, units: UnitSystem) -> String {
    match extent {
        Extent::Never { .. } => "none".to_owned(),
        Extent::UpTo { longest, .. } => run_words(*longest, units),
        Extent::AnyLength { tried, .. } => format!("{}+", run_words(*tried, units)),
    }
}

/// A flow for a column.
pub(crate) fn flow_words(delivered: Delivered, units: UnitSystem) -> String {
    match delivered {
        Delivered::Flow(flow) => Amount::of(flow).show(units),
        Delivered::AtLeast(flow) => format!("{}+", Amount::of(flow).show(units)),
        Delivered::NotKnown => "not known".to_owned(),
        Delivered::Nothing { .. } => "none".to_owned(),
    }
}

/// What holds: `Pump `medium` holds to 262 ft of 1-1/2 in`.
fn holds(reach: &Reach, case: &Case) -> String {
    let units = reach.units;
    let pump = if reach.quick { "This pump".to_owned() } else { format!("Pump `{}`", case.pump) };
    match &case.extent {
        Extent::Never { why } => {
            format!("{pump} does not do it through any length of {}: {}", case.size, why.say(units))
        }
        Extent::UpTo { longest, .. } => format!("{pump} holds to {} of {}", run_words(*longest, units), case.size),
        Extent::AnyLength { tried, .. } => {
            format!("{pump} holds through any run of {} up to the {} tried", case.size, run_words(*tried, units))
        }
    }
}

/// What that is beside the run as drawn.
fn beside(reach: &Reach, margin: Margin) -> String {
    let units = reach.units;
    match margin {
        Margin::Spare(length) if run_words(length, units) == run_words(Length::ZERO, units) => {
            "nothing to spare".to_owned()
        }
        Margin::AtLeast(length) => format!("{} to spare, or more", run_words(length, units)),
        other => margin_words(reach.job, other, units),
    }
}

/// The answer in sentences, the first that of the run as drawn.
pub fn sentences(reach: &Reach) -> Vec<String> {
    let units = reach.units;
    let mut said = Vec::new();
    let Some(drawn) = reach.drawn() else { return without_drawn(reach) };
    let run = reach.run.map(|run| drawn_words(run, units));
    let first = match (drawn.margin, &run) {
        (None | Some(Margin::Never), _) | (_, None) => holds(reach, drawn),
        (Some(Margin::TooShort), Some(run)) => {
            let from = drawn.extent.from().map_or_else(String::new, |from| run_words(from, units));
            format!("{} and only from {from} on; the run is {run}", holds(reach, drawn))
        }
        (Some(margin), Some(run)) => {
            format!("{}; the run is {run}; {}", holds(reach, drawn), beside(reach, margin))
        }
    };
    said.push(format!("{first}."));
    said.extend(as_drawn(reach, drawn));
    said.extend(ended(reach));
    said.extend(hangs(reach, drawn));
    if let Some(worn) = drawn.worn.as_ref().filter(|_| drawn.extent.longest().is_some()) {
        let wear = format!("{:.0} %", reach.wear * 100.0);
        said.push(match worn {
            Extent::Never { .. } => format!("Worn, with {wear} of its head gone, it does not do it at any length."),
            Extent::UpTo { longest, .. } => {
                let short = reach.run.filter(|run| *run > *longest).map_or_else(String::new, |run| {
                    format!(": {} short of the run", missing_words(run - *longest, units))
                });
                format!("Worn, with {wear} of its head gone, it holds to {}{short}.", run_words(*longest, units))
            }
            Extent::AnyLength { tried, .. } => {
                format!("Worn, with {wear} of its head gone, it still does through {}.", run_words(*tried, units))
            }
        });
    }
    if drawn.done_as_drawn != Some(true) || reach.run.is_none() {
        said.extend(other_ways(reach, drawn));
    }
    let restarts = NotFollowed::RestartsItself.to_string();
    let by_drain_back = |case: &Case| case.ended_by.as_ref().is_some_and(|why| why.say(units) == restarts);
    if reach.valve_may_help && reach.cases.iter().any(by_drain_back) {
        said.push(
            "A check valve over the pump would hold what runs back: enter `check_valve` of [discharge] and ask again."
                .to_owned(),
        );
    }
    said.extend(never_at_all(reach, drawn));
    said
}

/// From where on the goal hangs on the pump's cycle.
fn hangs(reach: &Reach, drawn: &Case) -> Option<String> {
    let from = drawn.hangs_from?;
    let hangs = "hangs on where in its cycle the pump is when the burst comes: on another day it may be missed";
    Some(if reach.run.is_some_and(|run| from <= run * (1.0 + 1e-9)) {
        format!("As drawn already the goal {hangs}.")
    } else {
        format!("From {} on the goal {hangs}.", run_words(from, reach.units))
    })
}

/// What comes of the run as drawn, where only next to no run was told of: what stands against the one, such as a pump past
/// the end of its curve, need not stand against the other.
fn as_drawn(reach: &Reach, drawn: &Case) -> Option<String> {
    let units = reach.units;
    let never = matches!(drawn.extent, Extent::Never { .. }) && drawn.done_as_drawn == Some(false);
    let run = drawn_words(reach.run.filter(|_| never)?, units);
    let show = |flow| Amount::of(flow).show(units);
    match (reach.job, drawn.half_way, drawn.off?) {
        (Job::Flow(asked), _, Delivered::Flow(off)) if off < asked => Some(format!(
            "As drawn, through {run}: {} at the off level, {} less than asked.",
            show(off),
            show(asked - off)
        )),
        (Job::Goal | Job::Everything, Some(Delivered::Flow(half_way)), Delivered::Flow(off)) => {
            let fails = if reach.job == Job::Goal {
                "the goal is missed; `sumpwright size` says by how much"
            } else {
                "something stops the design; `sumpwright size` says what"
            };
            let (half_way, off) = (show(half_way), show(off));
            Some(format!("As drawn, through {run}: {half_way} half-way and {off} at the off level, and {fails}."))
        }
        _ => None,
    }
}

/// What ends the reach where that is not the job itself: which pumps in which sizes, for each reason.
fn ended(reach: &Reach) -> Vec<String> {
    let mut all: Vec<(String, Vec<String>)> = Vec::new();
    for case in &reach.cases {
        let Some(why) = case.ended_by.as_ref().map(|why| why.say(reach.units)) else { continue };
        let who = if reach.by_lift {
            format!("at {}", Amount::of(case.lift).show(reach.units))
        } else {
            format!("`{}` in {}", case.pump, case.size)
        };
        match all.iter_mut().find(|(known, _)| *known == why) {
            Some((_, cases)) => cases.push(who),
            None => all.push((why, vec![who])),
        }
    }
    let say = |(why, cases): &(String, Vec<String>)| {
        let step = if reach.units == UnitSystem::Us { "A foot" } else { "A step" };
        let that = if reach.job == Job::Goal { "that, and not the goal, ends it" } else { "that ends it" };
        let whom = if cases.len() > 1 && cases.len() == reach.cases.len() { "all".to_owned() } else { listed(cases) };
        format!("{step} beyond the longest run {why}: {that} for {whom}.")
    };
    all.iter().map(say).collect()
}

/// The other pumps that do it in no pipe shown, and why.
fn never_at_all(reach: &Reach, drawn: &Case) -> Vec<String> {
    let mut said = Vec::new();
    for case in reach.cases.iter().filter(|case| case.pipe_as_drawn && case.pump != drawn.pump) {
        let mut own = reach.cases.iter().filter(|other| other.pump == case.pump);
        let Extent::Never { why } = &case.extent else { continue };
        if own.all(|other| other.extent.longest().is_none()) {
            let why = why.say(reach.units);
            said.push(format!("Pump `{}` does it at no length of any size here; in {}, {why}.", case.pump, case.size));
        }
    }
    said
}

/// Several things in words: `a, b and c`.
fn listed(things: &[String]) -> String {
    match things.split_last() {
        Some((last, before)) if !before.is_empty() => format!("{} and {last}", before.join(", ")),
        _ => things.concat(),
    }
}

/// The answer where no size was given: the smallest that does.
fn without_drawn(reach: &Reach) -> Vec<String> {
    let units = reach.units;
    let Some(run) = reach.run else {
        let ends: Vec<String> = reach
            .cases
            .iter()
            .filter(|case| matches!(case.extent, Extent::UpTo { .. }))
            .map(|case| format!("{} of {}", extent_words(&case.extent, units), case.size))
            .collect();
        return match (ends.as_slice(), reach.cases.iter().any(|case| case.extent.longest().is_some())) {
            ([], true) => Vec::new(),
            ([], false) => nearest(reach).into_iter().collect(),
            (ends, _) => vec![format!("This pump holds to {}.", listed(ends))],
        };
    };
    match reach.cases.iter().find(|case| case.done_as_drawn == Some(true)) {
        Some(case) => {
            let margin = case.margin.map_or_else(String::new, |margin| beside(reach, margin));
            vec![format!(
                "The smallest size of {} that does is {}. {}; the run is {}; {margin}.",
                case.material,
                case.size,
                holds(reach, case),
                drawn_words(run, units)
            )]
        }
        None => nearest(reach).into_iter().collect(),
    }
}

/// What does, or comes nearest, where the site as drawn does not.
fn other_ways(reach: &Reach, drawn: &Case) -> Vec<String> {
    let units = reach.units;
    let done = |case: &&Case| case.done_as_drawn == Some(true);
    let mut said = Vec::new();
    if reach.run.is_none() {
        return said;
    }
    let say = |case: &Case| case.margin.map_or_else(String::new, |margin| beside(reach, margin));
    if reach.by_lift {
        let highest = reach.cases.iter().rfind(done);
        said.extend(highest.map(|case| {
            format!("At a lift of {} the run as drawn does: {}.", Amount::of(case.lift).show(units), say(case))
        }));
        return said;
    }
    let wider = reach.cases.iter().filter(|case| case.pump == drawn.pump).find(done);
    said.extend(wider.map(|case| {
        format!("In {} the same pump holds to {}: {}.", case.size, extent_words(&case.extent, units), say(case))
    }));
    let other = reach.cases.iter().filter(|case| case.pipe_as_drawn && case.pump != drawn.pump).find(done);
    said.extend(other.map(|case| {
        format!("Pump `{}` holds to {} of {}: {}.", case.pump, extent_words(&case.extent, units), case.size, say(case))
    }));
    if said.is_empty() {
        said.extend(match reach.cases.iter().find(done) {
            Some(case) => Some(format!("Pump `{}` in {} does: {}.", case.pump, case.size, say(case))),
            None => nearest(reach),
        });
    }
    said
}

/// What comes nearest where nothing shown does.
fn nearest(reach: &Reach) -> Option<String> {
    let units = reach.units;
    let by_length = |a: &&Case, b: &&Case| {
        let of = |case: &Case| case.extent.longest().map_or(-1.0, Length::m);
        let flow = |case: &Case| case.off.map_or(0.0, |flow| flow.at_least().m3s());
        of(a).total_cmp(&of(b)).then(flow(a).total_cmp(&flow(b)))
    };
    let best = reach.cases.iter().max_by(by_length)?;
    if best.extent.longest().is_some() {
        return Some(format!(
            "None of these does. Nearest comes pump `{}` in {}: to {}.",
            best.pump,
            best.size,
            extent_words(&best.extent, units)
        ));
    }
    let off = best.off?;
    let missing = match reach.job {
        Job::Flow(asked) if off.at_least() < asked && !matches!(off, Delivered::AtLeast(_)) => {
            format!(", {} less than asked", Amount::of(asked - off.at_least()).show(units))
        }
        Job::Flow(asked) if off.at_least() < asked => {
            ", where its curve ends: whether it gives the flow asked for is not known, enter more of the curve"
                .to_owned()
        }
        _ => String::new(),
    };
    Some(format!(
        "None of these does at any length. Most water brings pump `{}` in {}: {} at the off level{missing}.",
        best.pump,
        best.size,
        flow_words(off, units)
    ))
}

/// The job in words.
pub(crate) fn job_words(reach: &Reach) -> String {
    let units = reach.units;
    let of_file = match reach.taken_from {
        super::TakenFrom::Asked => "",
        super::TakenFrom::File => " (from [goal] and [[protect]])",
        super::TakenFrom::FlowOfFile => " (the flow in [goal])",
    };
    match reach.job {
        Job::Goal => format!("the owner's goal in the design storm{of_file}"),
        Job::Flow(flow) if reach.quick => format!("{} out of the line{of_file}", Amount::of(flow).show(units)),
        Job::Flow(flow) => format!("{} out of the line at the off level{of_file}", Amount::of(flow).show(units)),
        Job::Scour => "water fast enough to carry grit, at the off level".to_owned(),
        Job::Everything => "no stop of any kind against the design".to_owned(),
    }
}

/// The line that was drawn, in words; nothing where there is none.
pub(crate) fn line_words(reach: &Reach) -> Option<String> {
    let case = reach.drawn()?;
    let run = reach.run.map_or_else(String::new, |run| format!("{} of ", drawn_words(run, reach.units)));
    let runs = if reach.runs > 1 { format!(" at its narrowest, {} runs together", reach.runs) } else { String::new() };
    // the height from the ground to the outlet is the one that people know, and the basin's depth is missing in it
    let counted = if reach.quick { LIFT_COUNTED } else { "from the off level to the highest point" };
    Some(format!(
        "The line: {run}{} {}{runs}; a lift of {} {counted}.",
        case.size,
        case.material,
        Amount::of(case.lift).show(reach.units)
    ))
}

/// What was assumed, and how the table is read, in sentences.
pub(crate) fn assumed_words(reach: &Reach) -> Vec<String> {
    let mut said = Vec::new();
    if reach.cases.iter().any(|case| case.extent.from().is_some()) {
        said.push(
            match reach.job {
                Job::Everything => "`from`: shorter runs are stopped by something that a longer one cures.",
                _ => "`from`: through shorter runs the pump works past the last point of its curve, where nothing is known.",
            }
            .to_owned(),
        );
    }
    if reach.cases.iter().any(|case| matches!(case.extent, Extent::AnyLength { .. })) {
        said.push(format!("A length with `+`: longer than {} was not tried.", run_words(reach.tried, reach.units)));
    }
    let beyond = |flow: Option<Delivered>| matches!(flow, Some(Delivered::AtLeast(_)));
    if reach.cases.iter().any(|case| beyond(case.half_way) || beyond(case.off)) {
        said.push("A flow with `+`: at least so much, the pump works past the last point of its curve.".to_owned());
    }
    said.push(
        match reach.fittings {
            FittingsStay::AsDrawn => "Fittings stay as they are however long the run.",
            FittingsStay::WithTheRun => "Fittings grow and shrink in number with the run.",
        }
        .to_owned(),
    );
    if reach.ground_taken {
        said.push("No low spot is entered: how deep and how long water stands hangs on ground that is taken to rise round the grate or the basin's lid. Enter [[low_spot]] before anybody goes by it.".to_owned());
    }
    match reach.two_points.as_slice() {
        [] => {}
        _ if reach.quick => said.push("The curve has two points: what the pump gives between them is taken from a straight line. A third near the flow asked for makes it sure.".to_owned()),
        names => {
            let names: Vec<String> = names.iter().map(|name| format!("`{name}`")).collect();
            said.push(format!("Of {} two points of the curve are entered: between them a straight line is taken.", listed(&names)));
        }
    }
    if let Some(riser) = &reach.riser {
        said.push(format!("The riser stays as drawn, {riser}, whatever the size of the run."));
    }
    if reach.quick {
        said.push(
            format!("Lift is counted {LIFT_COUNTED}: the outlet, or a hump on the way; no credit is taken for the fall behind a hump. No riser, no relief hole, no fittings and no check valve but those given; the water leaves at an open end. Water as spring groundwater, {}. Bore and Hazen-Williams C are those of {} in the built-in tables (`sumpwright tables pipes`, `pipes-metric` and `pipe-materials`).", Amount::of(crate::site::WATER_TEMPERATURE).show(reach.units),
                reach.cases.first().map_or("the pipe", |case| case.material.as_str())),
        );
    } else if reach.runs > 1 {
        said.push(format!("All {} runs are made longer or shorter alike.", reach.runs));
    }
    if reach.by_lift {
        said.push("The outlet is raised or lowered, and the line in proportion.".to_owned());
    }
    said
}
