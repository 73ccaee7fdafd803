//! Grates, gravity drains, French drains and groundwater, as text.

use super::{cells, range};
use crate::design::{Design, DrainResult, GroundwaterResult, InflowBasis, InletResult, Ranged, Seep, WayIn};
use crate::quantity::{Amount, Flow, Length, Level, UnitSystem};
use crate::report::layout::{Align, Page};
use crate::site::TrenchCover;

const UNKNOWN: &str = "?";

pub(super) fn way_in(page: &mut Page, design: &Design, units: UnitSystem) {
    let way_in = &design.way_in;
    if !way_in.inlets.is_empty() || !way_in.drains.is_empty() {
        page.heading("The way to the basin");
        grates(page, way_in, units);
        drains(page, way_in, units);
        soaks_away(page, way_in, units);
    }
    groundwater(page, design, units);
}

fn grates(page: &mut Page, way_in: &WayIn, units: UnitSystem) {
    if way_in.inlets.is_empty() {
        return;
    }
    page.paragraph("Grates at the peak of the design storm:");
    let mut rows = vec![cells(&["grate", "rim", "gets", "blocked", "water over it", "as through", "to its outlet"])];
    for inlet in &way_in.inlets {
        rows.push(vec![
            inlet.name.clone(),
            Amount::of(inlet.rim).show(units),
            Amount::of(inlet.flow).show(units),
            inlet.grate.map_or_else(|| UNKNOWN.to_owned(), |grate| format!("{:.0} %", grate.clogged * 100.0)),
            inlet.depth.map_or_else(|| UNKNOWN.to_owned(), |depth| Amount::small(depth).show(units)),
            inlet.regime.map_or("", crate::collection::GrateRegime::words).to_owned(),
            outlet_words(inlet, units),
        ]);
    }
    page.table(&[Align::Left, Align::Right, Align::Right, Align::Right, Align::Right, Align::Left, Align::Right], rows);
    page.paragraph(
        "Water over it: how deep it must stand to go in, the lesser of weir and orifice, a little less where the two meet. To its outlet: rim to the lowest point of the pipe that leaves the catch basin, and the silt trap below it.",
    );
}

fn outlet_words(inlet: &InletResult, units: UnitSystem) -> String {
    let Some(depth) = inlet.to_outlet else { return UNKNOWN.to_owned() };
    let outlet = Amount::small(depth).show(units);
    if inlet.silt_trap > Length::ZERO {
        format!("{outlet} + {}", Amount::small(inlet.silt_trap).show(units))
    } else {
        outlet
    }
}

fn drains(page: &mut Page, way_in: &WayIn, units: UnitSystem) {
    if way_in.drains.is_empty() {
        return;
    }
    page.gap();
    page.paragraph("Gravity drains at that peak:");
    let mut rows = vec![cells(&["drain", "pipe", "fall", "full", "gets", "runs", "at", "box above"])];
    for drain in &way_in.drains {
        let (runs, at) = runs_words(drain, units);
        rows.push(vec![
            format!("{}{}", drain.name, if drain.french { "*" } else { "" }),
            drain.pipe.as_ref().map_or_else(|| UNKNOWN.to_owned(), |(_, size)| size.clone()),
            drain.slope.map_or_else(|| UNKNOWN.to_owned(), |slope| Amount::of(slope).show(units)),
            drain.capacity.map_or_else(|| UNKNOWN.to_owned(), |flow| Amount::of(flow).show(units)),
            Amount::of(drain.flow).show(units),
            runs,
            at,
            pool_words(drain, units),
        ]);
    }
    page.table(
        &[
            Align::Left,
            Align::Right,
            Align::Right,
            Align::Right,
            Align::Right,
            Align::Right,
            Align::Right,
            Align::Right,
        ],
        rows,
    );
    page.paragraph(
        "Full: what it carries just full by its own fall (Manning). Runs: depth and velocity at the peak. Box above: how far below its grate the water stands in the catch basin at its head, worked back from the basin's on level.",
    );
    if way_in.drains.iter().any(|drain| drain.french) {
        page.paragraph("* a French drain");
    }
    page.gap();
    lies(page, way_in, units);
}

fn runs_words(drain: &DrainResult, units: UnitSystem) -> (String, String) {
    match drain.runs {
        Some((depth, velocity)) => {
            let full = drain.capacity.is_some_and(|capacity| drain.flow > capacity);
            let depth = if full { "full".to_owned() } else { Amount::small(depth).show(units) };
            (depth, Amount::of(velocity).show(units))
        }
        None if drain.capacity.is_some() => ("dry".to_owned(), String::new()),
        None => (UNKNOWN.to_owned(), String::new()),
    }
}

fn pool_words(drain: &DrainResult, units: UnitSystem) -> String {
    match (&drain.grate_above, drain.backed) {
        (Some((_, rim)), Some(backed)) if backed.pool > *rim => "over it".to_owned(),
        (Some((_, rim)), Some(backed)) => format!("{} below", Amount::small(*rim - backed.pool).show(units)),
        (Some(_), None) => UNKNOWN.to_owned(),
        _ => String::new(),
    }
}

/// How the drains lie, to dig by.
fn lies(page: &mut Page, way_in: &WayIn, units: UnitSystem) {
    let level = |level: Option<Level>| level.map_or_else(|| UNKNOWN.to_owned(), |level| Amount::of(level).show(units));
    let cover =
        |cover: Option<Length>| cover.map_or_else(|| UNKNOWN.to_owned(), |cover| Amount::small(cover).show(units));
    let mut rows = vec![cells(&["drain", "leads to", "length", "upper end", "cover", "lower end", "cover"])];
    for drain in &way_in.drains {
        rows.push(vec![
            drain.name.clone(),
            drain.to.clone(),
            Amount::of(drain.length).show(units),
            level(drain.inverts.0),
            cover(drain.covers.0),
            level(drain.inverts.1),
            cover(drain.covers.1),
        ]);
    }
    page.table(&[Align::Left, Align::Left, Align::Right, Align::Right, Align::Right, Align::Right, Align::Right], rows);
}

fn soaks_away(page: &mut Page, way_in: &WayIn, units: UnitSystem) {
    for (name, area, flow) in &way_in.soaks_away {
        page.paragraph(&format!(
            "While the low spot `{name}` stands full ({} of water), about {} of it soaks away into the ground, once the soil is wet; the storms do not count with that.",
            Amount::of(*area).show(units),
            Amount::of(*flow).show(units)
        ));
    }
}

fn groundwater(page: &mut Page, design: &Design, units: UnitSystem) {
    let ground = &design.storm.groundwater;
    if ground.seasonal_high.is_none() && ground.flow <= Flow::ZERO && design.way_in.french.is_empty() {
        return;
    }
    page.heading("Groundwater and French drains");
    let mut pairs = Vec::new();
    let mut add = |name: &str, value: String| pairs.push((name.to_owned(), value));
    if let Some(high) = ground.seasonal_high {
        add("seasonal high", against_the_basin(design, high, units));
    }
    if let Some(soil) = &ground.ground {
        let seepage = |conductivity| Amount::seepage(conductivity).show(units);
        add(
            "conductivity taken",
            format!(
                "{}, likely {} ({})",
                seepage(soil.conductivity),
                range(&seepage(soil.conductivity_low), &seepage(soil.conductivity_high)),
                soil.basis
            ),
        );
    }
    if let Some(flow) = ground.calculated {
        add("comes by calculation", none_of_it(design, ground).unwrap_or_else(|| ranged(flow, units)));
    }
    if let Some(flow) = ground.through_wall {
        add("of that, by the wall", ranged(flow, units));
    }
    if let Some(flow) = ground.measured {
        add("comes by measurement", Amount::of(flow).show(units));
    }
    add("counted in the design", format!("{} ({})", Amount::of(ground.flow).show(units), basis_words(ground)));
    if let Some(run) = &design.groundwater_run {
        let most = Amount::of(run.runs_a_day_at_most).show(units);
        let usual = Amount::of(run.runs_a_day).show(units);
        add(
            "the pump for it alone",
            format!(
                "runs {usual} in a day{}; starts in a day: {:.0}{}",
                if most == usual { String::new() } else { format!(" (at the likely most {most})") },
                run.starts_a_day,
                run.kwh_a_day.map_or_else(String::new, |kwh| format!("; {kwh:.2} kWh"))
            ),
        );
    }
    page.pairs(&pairs);
    for french in &design.way_in.french {
        page.gap();
        one_french(page, french, units);
    }
}

/// Where groundwater stands against what it can get into.
fn against_the_basin(design: &Design, high: Level, units: UnitSystem) -> String {
    let mark = |name: &str| design.basin_marks.iter().find(|mark| mark.name == name).map(|mark| mark.level);
    let mut words = vec![Amount::of(high).show(units)];
    for (name, what) in [("floor", "the basin's floor"), ("off float", "the off level"), ("on float", "the on level")] {
        if let Some(level) = mark(name) {
            let apart = Amount::small((high - level).abs()).show(units);
            words.push(format!("{apart} {} {what}", if high >= level { "above" } else { "below" }));
        }
    }
    words.join(", ")
}

fn basis_words(ground: &GroundwaterResult) -> &'static str {
    match ground.basis {
        InflowBasis::Entered => "entered",
        InflowBasis::Measured => "measured",
        InflowBasis::Calculated if ground.measured.is_some() => {
            "the middle of the calculation: the pit was measured without the drain"
        }
        InflowBasis::Calculated if ground.calculated.is_some() => "the middle of the calculation",
        InflowBasis::Calculated => "nothing says how much comes",
    }
}

/// Why none comes although it stands above the lowest water in the basin.
fn none_of_it(design: &Design, ground: &GroundwaterResult) -> Option<String> {
    let off = design.basin_marks.iter().find(|mark| mark.name == "off float")?.level;
    let above_off = ground.seasonal_high.is_some_and(|high| high > off);
    (above_off && ground.drains_lie_above && ground.through_wall.is_none())
        .then(|| "nothing: the pipes of the drains lie above it, and the basin's wall lets none in".to_owned())
}

fn ranged(flow: Ranged<Flow>, units: UnitSystem) -> String {
    let show = |flow: Flow| Amount::of(flow).show(units);
    if flow.high <= Flow::ZERO {
        return "nothing: it stands no higher than the water in drains and basin".to_owned();
    }
    format!("about {}, likely {}", show(flow.taken), range(&show(flow.low), &show(flow.high)))
}

fn one_french(page: &mut Page, french: &crate::design::FrenchResult, units: UnitSystem) {
    page.line(&format!("French drain `{}`, {}:", french.name, Amount::of(french.length).show(units)));
    let mut pairs = Vec::new();
    let mut add = |name: &str, value: String| pairs.push((name.to_owned(), value));
    add(
        "takes in",
        match french.cover {
            Some(TrenchCover::Stone) => "runoff and groundwater: its stone goes up to the surface".to_owned(),
            Some(TrenchCover::Sod) => {
                "groundwater only: sod covers it, and runoff gets in only once the ground is full of water".to_owned()
            }
            None => "groundwater; its cover is not entered, and under sod it takes no runoff".to_owned(),
        },
    );
    if let Some(seep) = &french.seep {
        let small = |length| Amount::small(length).show(units);
        if seep.head > Length::ZERO {
            add("groundwater into it", ranged(seep.flow, units));
            add(
                "reckoned with",
                format!(
                    "{}{} lowered at the drain, to a reach of {}, {}{}",
                    if seep.wet_length < french.length * 0.99 {
                        format!("only {} of it lie in groundwater; ", Amount::of(seep.wet_length).show(units))
                    } else {
                        String::new()
                    },
                    small(seep.head),
                    Amount::of(seep.reach.taken).show(units),
                    if seep.tight_layer_below.taken > Length::ZERO {
                        format!("tight layer {} below it", Amount::of(seep.tight_layer_below.taken).show(units))
                    } else {
                        "down to the tight layer".to_owned()
                    },
                    for_the_range(seep, units),
                ),
            );
        } else {
            add(
                "groundwater into it",
                "none: groundwater stands no higher than the pipe or the water in it".to_owned(),
            );
        }
        if seep.head > Length::ZERO {
            let half = seep.half_down_after.map_or_else(String::new, |time| {
                format!(
                    "; mid-way between two such drains {} apart by half in about {}",
                    Amount::of(seep.reach.taken * 2.0).show(units),
                    Amount::of(time).show(units)
                )
            });
            let falling: Vec<String> = seep
                .falling
                .iter()
                .map(|(after, flow)| {
                    format!("{} after {}", Amount::of(*flow).show(units), Amount::of(*after).show(units))
                })
                .collect();
            add("falls to", falling.join(", "));
            add(
                "once the rain is over",
                format!(
                    "{} away the table falls by {} in a day and {} in a week{half}",
                    Amount::of(seep.felt.at).show(units),
                    small(seep.felt.after_a_day),
                    small(seep.felt.after_a_week)
                ),
            );
        }
    }
    if let Some(holds) = french.holds {
        let room = french
            .room
            .map_or_else(String::new, |room| format!(", {} of it free in a wet season", Amount::of(room).show(units)));
        add("stone and pipe hold", format!("{}{room}", Amount::of(holds).show(units)));
    }
    add(
        "the limit",
        format!(
            "holes let {} in even nine tenths clogged{}",
            Amount::of(french.lets_in).show(units),
            french
                .carries
                .map_or_else(String::new, |flow| format!("; the pipe carries {}", Amount::of(flow).show(units)))
        ),
    );
    page.pairs(&pairs);
}

/// What the ends of the range of the flow are reckoned with, where it differs from what is taken.
fn for_the_range(seep: &Seep, units: UnitSystem) -> String {
    let mut words = Vec::new();
    for (name, of) in [("reach", seep.reach), ("tight layer", seep.tight_layer_below)] {
        if of.low != of.high {
            words.push(format!("{name} {}", range_of_lengths([of.taken, of.low, of.high], units)));
        }
    }
    if words.is_empty() { String::new() } else { format!("; for the range {}", words.join(", ")) }
}

fn range_of_lengths(lengths: [Length; 3], units: UnitSystem) -> String {
    let [first, ..] = lengths;
    let show = |length: Length| Amount::of(length).show(units);
    let (low, high) =
        lengths.into_iter().fold((first, first), |(low, high), length| (low.min(length), high.max(length)));
    range(&show(low), &show(high))
}
