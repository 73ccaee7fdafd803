//! The owner's page: what lies in the yard, what it does, and what it asks of its owner.

use super::Sources;
use super::document::{Cell, Document, Part, Table};
use crate::design::{Design, StormsResult};
use crate::quantity::{Amount, Duration, Length, Level, UnitSystem, Volume};
use crate::report::layout::Align;
use crate::report::svg;
use crate::report::text::{if_otherwise, period_name, stands};
use crate::site::{Site, TrenchCover};

pub(super) fn owner(sources: Sources<'_>) -> Document {
    let Sources { site, design, .. } = sources;
    let units = site.units;
    let mut parts = vec![Part::Cautions(WARNINGS.iter().map(|warning| (*warning).to_owned()).collect())];
    parts.extend([Part::Heading("What lies in your yard".to_owned()), Part::Pairs(installed(site, design))]);
    parts.extend(svg::line_profile(site, design).ok().map(Part::Drawing));
    parts.push(Part::Drawing(svg::basin_section(site, design)));
    parts.push(Part::Text(
        "Keep a drawing of it with this page: where the pipe runs, how deep, and what crosses it.".to_owned(),
    ));
    parts.push(Part::Heading("What it does, and what it does not".to_owned()));
    parts.extend(promise(design, units));
    parts.push(Part::Heading("Try it: once when it is new, then every spring and autumn".to_owned()));
    parts.push(Part::Ticks(tests(site, design)));
    parts.push(Part::Heading("What to look after".to_owned()));
    parts.push(Part::Table(calendar(site)));
    parts.push(Part::Heading("If the alarm sounds".to_owned()));
    parts.extend(alarm(site, design));
    parts.push(Part::Heading("If the power is cut".to_owned()));
    parts.extend(power_cut(design, units));
    parts.push(Part::Heading("Whom to call".to_owned()));
    parts.push(Part::Pairs(
        ["who built it", "licensed electrician", "the town, about the outlet", "before anybody digs (US: 811)"]
            .map(|who| (who.to_owned(), Cell::blank("")))
            .to_vec(),
    ));
    Document {
        title: "Owner's page".to_owned(),
        about: Some(site.title.clone()),
        lead:
            "A pump in a basin keeps water from standing deep or long in your low spot. It works as long as its grates let water \
               in, its pump has power and its outlet is free. This page says how to see to that."
                .to_owned(),
        parts,
    }
}

/// Common practice, no source.
const WARNINGS: &[&str] = &[
    "Water and electricity kill. Switch the pump's circuit off before you reach into the basin, and never stand in water while you touch plug, cord or pump.",
    "Keep the basin's lid on and fastened: a child drowns in little water. Never climb into a basin; what gases gather in a hole cannot be seen or smelled.",
    "Floats stay where they are tied; a float that is lifted starts the pump. Plug the pump into its own protected outlet, not into an extension cord.",
    "Send only rain and groundwater through it: no paint, oil, pool chemicals or waste water.",
];

/// Heights that differ by less are the same.
const SAME: Length = Length::from_inch(0.25);

fn installed(site: &Site, design: &Design) -> Vec<(String, Cell)> {
    let units = site.units;
    let small = |length: Length| Amount::small(length).show(units);
    let line = &site.discharge;
    let mut pairs: Vec<(String, Cell)> = Vec::new();
    let mut add = |name: &str, value: Cell| pairs.push((name.to_owned(), value));
    if let Some(pump) = design.pump() {
        let count = if site.pumping.count > 1 { format!("{} of them", site.pumping.count) } else { "one".to_owned() };
        add("pump", Cell::said(format!("`{}`, {count}", pump.name)));
    }
    add("maker and number of the pump", Cell::blank(""));
    add(
        "basin",
        Cell::said(format!(
            "{} deep; the pump starts {} and stops {} above its floor",
            small(site.basin.depth()),
            small(site.basin.on),
            small(site.basin.off)
        )),
    );
    if let Some(alarm) = site.basin.alarm {
        add("alarm", Cell::said(format!("at {} above the floor", small(alarm))));
    }
    let length: Length = line.runs.iter().map(|run| run.length).sum();
    let sizes: Vec<&str> = line.runs.iter().map(|run| run.pipe.size.as_str()).collect();
    add("pipe under pressure", Cell::said(format!("{} of {}", Amount::of(length).show(units), sizes.join(" and "))));
    let by_rim = |level: Level| match level - site.basin.rim {
        same if same.abs() < SAME => "as high as the rim of the basin".to_owned(),
        above if above > Length::ZERO => format!("{} above the rim of the basin", small(above)),
        below => format!("{} below the rim of the basin", small(-below)),
    };
    add("outlet", Cell::said(format!("{}, {}", line.outlet.kind, by_rim(line.outlet.level))));
    if let Some(valve) = &line.check_valve {
        add("check valve", Cell::said(format!("{}, in the riser", valve.kind)));
    }
    for inlet in &site.inlets {
        add(&format!("grate `{}`", inlet.name), Cell::said(by_rim(inlet.rim)));
    }
    add("switch and breaker of the pump", Cell::blank(""));
    add("built on, by", Cell::blank(""));
    pairs
}

fn promise(design: &Design, units: UnitSystem) -> Vec<Part> {
    let goal = design.verdict.goal.iter().filter(|_| design.goal_given);
    let mut parts: Vec<Part> = goal.map(|goal| Part::Text(goal.say(units))).collect();
    if !design.holds() {
        parts.push(Part::Text(
            "The design does not hold as it stands; its report says why. This page is for the finished system."
                .to_owned(),
        ));
    }
    let Ok(storms) = &design.in_storms else {
        parts.push(Part::Text("How deep water stands in a storm was not worked out for this yard.".to_owned()));
        return parts;
    };
    parts.push(Part::Table(storm_table(storms, units)));
    parts.extend(storms.reached_with_pump_words(units).into_iter().map(Part::Text));
    // where the power cut's list does not say it
    if storms.goes_in_otherwise_words().is_none() {
        parts.extend(storms.goes_in_words().map(Part::Text));
    }
    parts.extend(storms.soil_takes_less.iter().map(|run| {
        Part::Text(format!(
            "If the soil is full and takes less ({}), water stands up to {} deep in the storm of the design, for {}.",
            run.surfaces_words(),
            Amount::small(run.outcome.depth()).show(units),
            stands(&run.outcome, units)
        ))
    }));
    parts.extend(storms.soil_not_known_words().map(Part::Text));
    parts.push(Part::Text(format!(
        "Water shallower than {} is a film and does not count. A storm larger than those above, or a grate under leaves, stands deeper and longer.",
        Amount::small(design.film).show(units)
    )));
    parts
}

fn storm_table(storms: &StormsResult, units: UnitSystem) -> Table {
    let rows = storms.periods.iter().map(|period| {
        vec![
            Cell::said(period_name(period, units)),
            Cell::said(Amount::small(period.nested.depth()).show(units)),
            Cell::said(stands(period.longest(), units)),
            Cell::said(period.nested.starts.to_string()),
            Cell::said(Amount::of(period.nested.runs).show(units)),
        ]
    });
    Table {
        caption: "What to expect in a storm that comes once in so many years".to_owned(),
        columns: ["storm", "water stands", "for up to", "starts of the pump", "it runs"]
            .map(|name| (name.to_owned(), Align::Right))
            .to_vec(),
        rows: rows.collect(),
    }
}

fn tests(site: &Site, design: &Design) -> Vec<String> {
    let units = site.units;
    let mut tests = vec![
        "The lid is open only while somebody stands by, children and pets stay away, and nobody reaches in: all of this is done from above.".to_owned(),
        "Run a garden hose, or pour buckets, into the grate furthest away: the water has to come out in the basin."
            .to_owned(),
    ];
    if let Some(cycle) = design.pump().and_then(|pump| pump.cycle.as_ref()) {
        let rise = design.start_up.as_ref().and_then(|start_up| start_up.rise.high).unwrap_or(cycle.rise);
        tests.push(format!(
            "Fill the basin until the pump starts, then take the hose away. It takes {} to the level where it starts from where it stopped, and the pump should draw that down in about {}. The start-up sheet has the times that are still right.",
            volume(cycle.live, units),
            Amount::of(cycle.shortest_run).show(units)
        ));
        let rise = Amount::small(rise).show(units);
        tests.push(match design.rest.drain_time.zip(design.start_up.as_ref()) {
            Some((_, expected)) => format!(
                "Look into the basin when it stops, and again after {}: the line runs back through its drain hole, and the water comes up by at most {rise}, and by what runs in meanwhile. If it is much more, or it comes at once, the check valve leaks; if nothing comes back, the drain hole is blocked and the line freezes in winter.",
                Amount::of(expected.rise_read_after).show(units)
            ),
            None => format!(
                "Look into the basin when it stops: within a minute the water may come back up by {rise}, and by what runs in meanwhile; if it is much more, the check valve leaks."
            ),
        });
    }
    tests.push("Go to the outlet while it runs: a full, even stream, and nothing comes up along the way.".to_owned());
    if site.basin.alarm.is_some() {
        tests.push("Fill on past the level where the pump starts, the pump switched off, until the alarm sounds: you must hear it where you sleep. Then switch the pump on again.".to_owned());
    }
    if site.pumping.count > 1 {
        tests.push("Do it again with the first pump switched off: the second one has to do the same.".to_owned());
    }
    if site.battery.is_some() {
        tests.push("Switch the circuit off and do it once more on the battery; then switch it on again.".to_owned());
    }
    tests
}

fn volume(volume: Volume, units: UnitSystem) -> String {
    Amount::of(volume).show(units)
}

/// How often: common practice, no source.
fn calendar(site: &Site) -> Table {
    let mut rows = vec![
        (
            "grates",
            "after each storm, weekly while leaves fall",
            "sweep leaves and mulch off: a grate covered by half lets in half",
        ),
        ("outlet", "monthly, and in snow", "free of grass, leaves, nests, snow and ice"),
        ("basin", "spring and autumn", "circuit off; scoop silt and leaves out, look for a stuck float"),
        ("cord, plug, breaker", "yearly", "by eye only; a licensed electrician for anything else"),
    ];
    if site.inlets.iter().any(|inlet| inlet.silt_trap > Length::ZERO) {
        rows.insert(1, ("silt traps under the grates", "spring and autumn", "empty them before they are half full"));
    }
    if site.drains.iter().any(|drain| drain.french.is_some()) {
        let open = site
            .drains
            .iter()
            .filter_map(|drain| drain.french.as_ref()?.trench.as_ref())
            .any(|trench| trench.cover == TrenchCover::Stone);
        rows.push(("French drain", "yearly", if open {
            "rust-red slime (iron bacteria) in the basin is brushed and rinsed out before it dries hard; leaves and soil are kept off the stone"
        } else {
            "rust-red slime (iron bacteria) in the basin is brushed and rinsed out before it dries hard; grass stays on the trench"
        }));
    }
    let line = &site.discharge;
    if line.check_valve.is_some() || line.relief_hole.is_some() {
        rows.push((
            "check valve, relief hole",
            "yearly",
            if line.drain_hole.is_some() {
                "from above, with a lamp: while the pump runs the holes spray down; when it stops water comes back through the drain hole alone, slowly. Mending is done with the circuit off"
            } else {
                "from above, with a lamp: while the pump runs the hole sprays down; when it stops the water must not come back. Mending is done with the circuit off"
            },
        ));
    }
    if line.drain_hole.is_some() {
        rows.push(("drain hole above the valve", "autumn", "open: a blocked one lets the line freeze"));
    }
    if !line.vents.is_empty() {
        rows.push(("vent at the high point", "spring and autumn", "free, and no water comes out of it"));
    }
    if site.battery.is_some() {
        rows.push(("battery", "spring and autumn", "charge and clamps; most last three to five years"));
    }
    if site.basin.alarm.is_some() {
        rows.push(("alarm", "monthly", "press its test button, or fill the basin up to it with the pump switched off"));
    }
    Table {
        caption: "What to clean and look at, and how often".to_owned(),
        columns: ["what", "when", "how"].map(|name| (name.to_owned(), Align::Left)).to_vec(),
        rows: rows
            .into_iter()
            .map(|(what, when, how)| vec![Cell::said(what), Cell::said(when), Cell::said(how)])
            .collect(),
    }
}

fn alarm(site: &Site, design: &Design) -> Vec<Part> {
    let units = site.units;
    let Some(level) = site.basin.alarm else {
        return vec![Part::Text("There is none. Somebody has to look in a storm, or an alarm is added.".to_owned())];
    };
    let stands = format!(
        "The water stands {} above the basin's floor: more comes than the pump takes, or the pump does not run.",
        Amount::small(level).show(units)
    );
    let room = design
        .room_above_alarm
        .filter(|room| *room > Volume::ZERO)
        .map(|room| format!("Until water shows in the yard there is room for {} more.", volume(room, units)));
    vec![
        Part::Text([Some(stands), room].into_iter().flatten().collect::<Vec<_>>().join(" ")),
        Part::Ticks(vec![
            "Does the pump run, by its sound or at the outlet? Then wait: in a hard storm the alarm may sound for a while.".to_owned(),
            "It does not run: from a dry place look at breaker and protected outlet. Reset once; if it trips again, leave it and call an electrician.".to_owned(),
            "It runs and nothing comes out: switch it off and look for ice or dirt at the outlet; then call whoever built it.".to_owned(),
        ]),
    ]
}

fn power_cut(design: &Design, units: UnitSystem) -> Vec<Part> {
    let mut parts = Vec::new();
    let without = |time: Option<Duration>| time.map(|time| Amount::of(time).show(units));
    let mut said = Vec::new();
    if let Some(time) = without(design.time_without_pump) {
        said.push(format!(
            "If the pump stops at the very peak of the storm that it was designed for, the basin is full to the yard {time} later, counted from the level at which the pump starts."
        ));
    }
    if let Some(time) = without(design.time_without_pump_steady) {
        said.push(format!("In dry weather, with groundwater coming in alone, it takes {time}."));
    }
    if !said.is_empty() {
        parts.push(Part::Text(said.join(" ")));
    }
    if let Ok(storms) = &design.in_storms {
        let pairs = if_otherwise(storms, units).into_iter().map(|(name, what)| (name, Cell::said(what)));
        parts.push(Part::Text("The storm of the design, if it comes otherwise:".to_owned()));
        parts.push(Part::Pairs(pairs.collect()));
    }
    parts.push(Part::Points(
        [
            "Carry what must stay dry up from the low places while the ground is still dry.",
            "A generator stands outdoors, away from windows: its exhaust kills. It is never plugged into a wall outlet; a licensed electrician fits a transfer switch.",
            "Nobody wades to pump, outlet or cord.",
        ]
        .map(str::to_owned)
        .to_vec(),
    ));
    parts
}
