//! The hole of the basin on the crew sheet: its depth, the heights in it, valve and hole, frost.

use super::Sources;
use super::document::{Cell, Part, Table};
use super::tape::{level, long_unit, rod, tape};
use crate::basin::Plan;
use crate::design::Topic;
use crate::job::Hole;
use crate::quantity::{Amount, Length, UnitSystem};
use crate::report::layout::Align;
use crate::site::{FrostPlan, Setup};

/// A plan in words.
fn across(plan: Plan, units: UnitSystem) -> String {
    match plan {
        Plan::Round(diameter) => format!("{} across", tape(diameter, units)),
        Plan::Rectangular(length, width) => format!("{} x {}", tape(length, units), tape(width, units)),
    }
}

/// The catch basins, rim down; nothing where there are none.
pub(super) fn catch_basins(hole: &Hole, setups: &[Setup], units: UnitSystem) -> Vec<Part> {
    if hole.boxes.is_empty() {
        return Vec::new();
    }
    let unit = long_unit(units);
    let mut columns = vec![
        ("catch basin".to_owned(), Align::Left),
        (format!("rim ({unit})"), Align::Right),
        (format!("pipe out ({unit})"), Align::Right),
        ("rim to the floor of its silt trap".to_owned(), Align::Right),
    ];
    columns.extend(setups.iter().map(|setup| (format!("rod on the rim, `{}` ({unit})", setup.name), Align::Right)));
    let rows = hole.boxes.iter().map(|made| {
        let mut row = vec![
            Cell::said(made.name.as_str()),
            Cell::said(level(made.rim, units)),
            Cell::or_blank(made.outlet.map(|outlet| level(outlet, units)), ""),
            Cell::or_blank(made.depth.map(|depth| tape(depth, units)), ""),
        ];
        row.extend(made.rods.iter().map(|reading| Cell::said(rod(*reading, units))));
        row
    });
    vec![
        Part::Heading("Catch basins".to_owned()),
        Part::Table(Table { caption: "Set the rims to these levels:".to_owned(), columns, rows: rows.collect() }),
        Part::Text("The hole is deeper by the box's own floor and what is laid under it.".to_owned()),
    ]
}

/// The hole, and the heights in the basin.
pub(super) fn basin(hole: &Hole, setups: &[Setup], units: UnitSystem) -> Vec<Part> {
    let unit = long_unit(units);
    let small = |length: Length| tape(length, units);
    let mut pairs = vec![
        (
            "depth of the hole".to_owned(),
            Cell::said(format!(
                "{} from the {} at {} {unit} to {} {unit}: the basin to its underside{}",
                small(hole.depth),
                if hole.ground_entered { "ground beside it" } else { "rim (no ground beside it was entered)" },
                level(hole.ground, units),
                level(hole.bottom, units),
                if hole.bedding.value > Length::ZERO {
                    format!(", and {} of bedding ({})", small(hole.bedding.value), hole.bedding.source)
                } else {
                    "; no bedding is counted: where you lay some, dig that much deeper".to_owned()
                }
            )),
        ),
        ("basin from outside".to_owned(), Cell::said(across(hole.outside, units))),
        (
            "the hole, at least".to_owned(),
            Cell::said(format!("{}, walls upright; wider where they are sloped", across(hole.plan, units))),
        ),
        ("its floor is thick".to_owned(), Cell::said(small(hole.base))),
    ];
    if let Some(flange) = hole.flange {
        pairs.push(("flange at the floor".to_owned(), Cell::said(format!("{} across", small(flange)))));
    }
    if let Some(collar) = hole.collar {
        let ring = collar.ring.map_or_else(
            || "; where it goes, the file does not say".to_owned(),
            |(width, thick)| format!(", {} thick, standing out {} all round at the floor", small(thick), small(width)),
        );
        let needed =
            if collar.needed { ": more than the site file has, so that the empty basin does not float" } else { "" };
        let volume = Amount::solid(collar.volume).show(units);
        pairs.push(("collar of concrete".to_owned(), Cell::said(format!("{volume}{ring}{needed}"))));
    }
    for (setup, reading) in setups.iter().zip(&hole.rods) {
        pairs.push((
            format!("rod on the bottom of the hole, `{}`", setup.name),
            Cell::said(format!("{} ({unit})", rod(*reading, units))),
        ));
    }
    let mut columns = vec![
        ("height".to_owned(), Align::Left),
        ("above the floor".to_owned(), Align::Right),
        ("below the rim".to_owned(), Align::Right),
        (format!("level ({unit})"), Align::Right),
    ];
    // more than one would not fit beside the rest: each then has a table of its own
    let one = setups.len() == 1;
    columns
        .extend(setups.iter().filter(|_| one).map(|setup| (format!("rod, `{}` ({unit})", setup.name), Align::Right)));
    let rows = hole
        .marks
        .iter()
        .map(|mark| {
            let mut row = vec![
                Cell::said(mark.name.as_str()),
                Cell::said(small(mark.above_floor)),
                Cell::said(small(mark.below_rim)),
                Cell::said(level(mark.level, units)),
            ];
            row.extend(mark.rods.iter().filter(|_| one).map(|reading| Cell::said(rod(*reading, units))));
            row
        })
        .collect();
    let mut parts = vec![
        Part::Heading("Hole of the basin".to_owned()),
        Part::Pairs(pairs),
        Part::Table(Table { caption: "Heights in the basin, floats included:".to_owned(), columns, rows }),
        Part::Text(
            "Floats count from the floor inside, where the float switches, not where its cord is tied: tie them, fill, and measure."
                .to_owned(),
        ),
    ];
    if !hole.open.is_empty() {
        parts.push(Part::Text("To be decided with whoever designs, before the work, and written in here:".to_owned()));
        let open =
            hole.open.iter().map(|name| (format!("height of the {name}"), Cell::blank("above the floor: not entered")));
        parts.push(Part::Pairs(open.collect()));
    }
    for (index, setup) in setups.iter().enumerate().filter(|_| !one) {
        parts.push(Part::Table(Table {
            caption: format!("Rod readings on them, setup `{}`:", setup.name),
            columns: vec![("height".to_owned(), Align::Left), (format!("rod ({unit})"), Align::Right)],
            rows: hole
                .marks
                .iter()
                .map(|mark| {
                    let reading = mark.rods.get(index).map(|reading| rod(*reading, units));
                    vec![Cell::said(mark.name.as_str()), Cell::or_blank(reading, "")]
                })
                .collect(),
        }));
    }
    parts
}

/// Check valve, relief hole, union, frost and cover.
pub(super) fn fittings(sources: Sources<'_>) -> Vec<Part> {
    let units = sources.site.units;
    let (site, design) = (sources.site, sources.design);
    let mut parts = Vec::new();
    for topic in [Topic::CheckValve, Topic::ReliefHole] {
        let said: Vec<String> = design
            .advice
            .iter()
            .filter(|advice| advice.topic == topic)
            .map(|advice| advice.sentence.say(units))
            .collect();
        if !said.is_empty() {
            parts.push(Part::Heading(topic.heading().to_owned()));
            parts.push(Part::Points(said));
        }
    }
    parts.push(Part::Heading("Frost and cover".to_owned()));
    let small = |length: Length| Amount::small(length).show(units);
    let mut points = vec![format!(
        "The discharge line is under pressure: it may lie shallow. Least cover: {} under lawn, {} under a walk, {} under a drive.",
        small(site.limits.least_cover.value),
        small(site.limits.least_cover_walk.value),
        small(site.limits.least_cover_drive.value)
    )];
    points.push(match design.rest.frost {
        None => "How deep frost goes here is not in the file: ask the town before the trench is dug.".to_owned(),
        Some(frost) if frost.plan == Some(FrostPlan::BelowFrost) => format!(
            "Here frost decides: it goes {} deep, and the whole line lies below that, its top at least so far under the ground, wherever less cover would do otherwise.",
            small(frost.depth)
        ),
        Some(frost) => format!(
            "Frost goes {} deep; {}.",
            small(frost.depth),
            frost.plan.map_or_else(
                || "no plan against it is entered".to_owned(),
                |plan| format!("the plan against it: {}", plan.words())
            )
        ),
    });
    if !design.rest.freezes.is_empty() {
        points.push("Where the depths above leave water within the frost, the report of `size` says so: settle it before the trench is dug.".to_owned());
    }
    parts.push(Part::Points(points));
    parts
}
