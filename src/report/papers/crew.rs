//! What the crew digs and lays to, station by station, and in what order.

use super::document::{Cell, Document, Part, Table};
use super::tape::{level, long_unit, rod, station, tape};
use super::{Sources, hole, stopped, work};
use crate::hydraulics::Surface;
use crate::job::{Lies, Stations, Trench, TrenchStation};
use crate::quantity::{Length, UnitSystem};
use crate::report::layout::Align;
use crate::report::svg;
use crate::site::Setup;

pub(super) fn crew(sources: Sources<'_>) -> Document {
    let units = sources.site.units;
    let stations = &sources.job.stations;
    let mut parts: Vec<Part> = stopped(sources.design).into_iter().collect();
    parts.push(Part::Cautions(work::first_of_all(stations, units)));
    parts.extend(levels(stations, units));
    let runs_empty = !sources.design.rest.held;
    for trench in &stations.trenches {
        parts.extend(of_trench(trench, &stations.setups, runs_empty, units));
        if matches!(trench.lies, Lies::Discharge) {
            // without levels along the line there is nothing to draw
            parts.extend(svg::line_profile(sources.site, sources.design).ok().map(Part::Drawing));
        }
    }
    parts.push(Part::NewPage);
    parts.push(Part::Drawing(svg::basin_section(sources.site, sources.design)));
    parts.extend(hole::basin(&stations.hole, &stations.setups, units));
    parts.extend(hole::catch_basins(&stations.hole, &stations.setups, units));
    parts.extend(hole::fittings(sources));
    parts.push(Part::NewPage);
    parts.extend(work::order(sources));
    Document {
        title: "Crew sheet".to_owned(),
        about: Some(sources.site.title.clone()),
        lead: match units {
            UnitSystem::Us => {
                "What to dig and lay to. Levels and stations are in feet and decimals; what a tape measures is in feet (') and inches (\") to a sixteenth. Pipe means the invert, the lowest point inside the pipe."
            }
            UnitSystem::Metric => {
                "What to dig and lay to. Levels and stations are in metres, what a tape measures is in millimetres. Pipe means the invert, the lowest point inside the pipe."
            }
        }
        .to_owned(),
        parts,
    }
}

/// Where levels come from.
fn levels(stations: &Stations, units: UnitSystem) -> Vec<Part> {
    let unit = long_unit(units);
    let mut parts = vec![Part::Heading("Levels".to_owned())];
    if stations.setups.is_empty() {
        parts.push(Part::Text(
            "No setup of the instrument is in the file. Read the rod on a benchmark of known level and write it here: height of instrument = level of the benchmark + rod on it, and the rod to aim for = height of instrument - level to aim for. The rod reading gets larger as the pipe gets deeper."
                .to_owned(),
        ));
        parts.push(Part::Pairs(vec![
            ("benchmark".to_owned(), Cell::blank(unit)),
            ("rod on it".to_owned(), Cell::blank(unit)),
            ("height of instrument".to_owned(), Cell::blank(unit)),
        ]));
        return parts;
    }
    let right = |name: String| (name, Align::Right);
    parts.push(Part::Table(Table {
        caption: "Setups of the instrument:".to_owned(),
        columns: vec![
            ("setup".to_owned(), Align::Left),
            right(format!("benchmark ({unit})")),
            right(format!("rod on it ({unit})")),
            right(format!("height of instrument ({unit})")),
            right("rod on it today".to_owned()),
        ],
        rows: stations
            .setups
            .iter()
            .map(|setup| {
                vec![
                    Cell::said(setup.name.as_str()),
                    Cell::said(level(setup.benchmark, units)),
                    Cell::said(rod(setup.rod_on_benchmark, units)),
                    Cell::said(level(setup.plane(), units)),
                    Cell::blank(unit),
                ]
            })
            .collect(),
    }));
    parts.push(Part::Text(
        "The rod to aim for = height of instrument - level to aim for: it gets larger as the pipe gets deeper. The readings below hold as long as the instrument stands as it stood. Set up again, read the rod on the benchmark; if it reads more than above, add the difference to every reading, if less, take it off."
            .to_owned(),
    ));
    parts
}

fn over(surface: Option<Surface>) -> &'static str {
    match surface {
        Some(Surface::Lawn | Surface::Bare) | None => "",
        Some(Surface::Walk) => "walk",
        Some(Surface::Drive) => "drive",
    }
}

fn since(length: Option<Length>, units: UnitSystem) -> String {
    match length {
        None => String::new(),
        Some(length) if length > Length::ZERO => format!("up {}", tape(length, units)),
        Some(length) if length < Length::ZERO => format!("down {}", tape(-length, units)),
        Some(_) => "level".to_owned(),
    }
}

fn of_trench(trench: &Trench, setups: &[Setup], runs_empty: bool, units: UnitSystem) -> Vec<Part> {
    let mut parts = vec![Part::Heading(match &trench.name {
        None => "Trench of the discharge line".to_owned(),
        Some(name) => format!("Trench of `{name}`"),
    })];
    parts.push(Part::Pairs(about(trench, units)));
    parts.push(Part::Table(depths(trench, units)));
    if trench.stations.iter().all(|station| station.invert.is_none()) {
        parts.push(Part::Text(
            "How deep it lies is not in the file: survey the ground, settle the levels with whoever designs, and write them in."
                .to_owned(),
        ));
    }
    // the line comes up to its outlet there
    let end = trench.stations.last().filter(|_| matches!(trench.lies, Lies::Discharge)).map(|station| station.at);
    let bare: Vec<String> = trench
        .stations
        .iter()
        .filter(|station| Some(station.at) != end)
        .filter(|station| station.cover.is_some_and(|cover| cover < Length::ZERO))
        .map(|station| format!("{} {}", self::station(station.at, units), long_unit(units)))
        .collect();
    if !bare.is_empty() {
        parts.push(Part::Cautions(vec![format!(
            "ABOVE GROUND at {}: the pipe is not covered there, and a depth with a minus is a height. Stop, and settle the levels with whoever designs.",
            bare.join(", ")
        )]));
    }
    if let Some(last) = trench.stations.last().filter(|station| Some(station.at) == end)
        && last.cover.is_some_and(|cover| cover < Length::ZERO)
    {
        parts.push(Part::Text(format!(
            "At {} {} the pipe comes up to its outlet, out of the ground: see that nothing runs over it or knocks against it there.",
            self::station(last.at, units),
            long_unit(units)
        )));
    }
    if trench.stations.iter().any(|station| station.ground_between) {
        parts.push(Part::Text(
            "* Ground taken straight between the two places that were entered: dig there by the rod, and write down where the ground is otherwise."
                .to_owned(),
        ));
    }
    parts.push(Part::Text(included(trench, runs_empty, units)));
    if setups.is_empty() {
        parts.push(Part::Table(levels_to_aim_for(trench, units)));
    }
    for (index, setup) in setups.iter().enumerate() {
        parts.push(Part::Table(rods(trench, setup, index, units)));
    }
    parts
}

fn about(trench: &Trench, units: UnitSystem) -> Vec<(String, Cell)> {
    let lies = match trench.lies {
        Lies::Discharge => "under pressure, from the basin to the outlet",
        Lies::Solid => "solid, by gravity",
        Lies::French => "perforated, in stone, by gravity",
    };
    let mut pairs = vec![
        (
            "pipe".to_owned(),
            if trench.pipes.is_empty() {
                Cell::blank("size and kind")
            } else {
                Cell::said(format!("{}: {lies}", trench.pipes.join(", then ")))
            },
        ),
        ("length".to_owned(), Cell::said(format!("{} {}", station(trench.length, units), long_unit(units)))),
        (if trench.lies == Lies::Discharge { "outlet" } else { "leads to" }.to_owned(), Cell::said(trench.to.as_str())),
    ];
    if trench.lies == Lies::French {
        let width = trench.width.map(|width| tape(width, units));
        pairs.push(("trench, wide".to_owned(), Cell::or_blank(width, "")));
    }
    pairs
}

/// What the depth to dig includes.
fn included(trench: &Trench, runs_empty: bool, units: UnitSystem) -> String {
    let bedding = match (trench.bedding > Length::ZERO, trench.lies) {
        (true, Lies::French) => format!(", and {} of stone under it", tape(trench.bedding, units)),
        (true, _) => format!(", and {} of bedding under it", tape(trench.bedding, units)),
        (false, _) => "; no bedding is counted: where you lay some, dig that much deeper".to_owned(),
    };
    let grade = match trench.lies {
        Lies::Discharge if runs_empty => {
            " It runs empty after each stop: lay it with a steady fall, back to the basin or on to the outlet, and with no humps or sags beside those listed; water that stays in a sag may freeze."
        }
        Lies::Discharge => {
            " It is a pressure line: it needs no fall of its own, but no humps or sags beside those listed."
        }
        Lies::Solid | Lies::French => {
            " It runs by its fall alone: dig to the rod, not to a depth below the ground, and check every length before it is covered."
        }
    };
    format!(
        "Dig: from the ground down to the bottom of the trench, the pipe's wall included{bedding}. Cover: from the ground down to the top of the pipe.{grade}"
    )
}

fn number(station: &TrenchStation, units: UnitSystem) -> Cell {
    Cell::said(self::station(station.at, units))
}

fn depths(trench: &Trench, units: UnitSystem) -> Table {
    let unit = long_unit(units);
    let right = |name: String| (name, Align::Right);
    let rows = trench
        .stations
        .iter()
        .map(|station| {
            let ground = station
                .ground
                .map(|ground| format!("{}{}", level(ground, units), if station.ground_between { "*" } else { "" }));
            vec![
                number(station, units),
                Cell::or_blank(ground, ""),
                Cell::or_blank(station.invert.map(|invert| level(invert, units)), ""),
                Cell::or_blank(station.dig.map(|dig| tape(dig, units)), ""),
                Cell::or_blank(station.cover.map(|cover| tape(cover, units)), ""),
                Cell::said(since(station.since, units)),
                Cell::said(over(station.under)),
            ]
        })
        .collect();
    Table {
        caption: match trench.lies {
            Lies::Discharge => "Depths, from the basin on:".to_owned(),
            Lies::Solid | Lies::French => "Depths, from the upper end down:".to_owned(),
        },
        columns: vec![
            right(format!("at ({unit})")),
            right(format!("ground ({unit})")),
            right(format!("pipe ({unit})")),
            right("dig".to_owned()),
            right("cover".to_owned()),
            right("pipe since the last".to_owned()),
            ("under".to_owned(), Align::Left),
        ],
        rows,
    }
}

fn rods(trench: &Trench, setup: &Setup, index: usize, units: UnitSystem) -> Table {
    let unit = long_unit(units);
    let right = |name: String| (name, Align::Right);
    let rows = trench
        .stations
        .iter()
        .map(|station| {
            let rods = station.rods.get(index);
            let reading = |length: Option<Length>| Cell::or_blank(length.map(|length| rod(length, units)), "");
            vec![
                number(station, units),
                reading(rods.and_then(|rods| rods.bottom)),
                reading(rods.and_then(|rods| rods.invert)),
                reading(rods.and_then(|rods| rods.top)),
            ]
        })
        .collect();
    Table {
        caption: format!("Rod readings to aim for, setup `{}`:", setup.name),
        columns: vec![
            right(format!("at ({unit})")),
            right(format!("rod on the trench bottom ({unit})")),
            right(format!("rod on the invert ({unit})")),
            right(format!("rod on the top of the pipe ({unit})")),
        ],
        rows,
    }
}

fn levels_to_aim_for(trench: &Trench, units: UnitSystem) -> Table {
    let unit = long_unit(units);
    let right = |name: String| (name, Align::Right);
    let rows = trench
        .stations
        .iter()
        .map(|station| {
            vec![
                number(station, units),
                Cell::or_blank(station.bottom.map(|bottom| level(bottom, units)), ""),
                Cell::blank(""),
                Cell::or_blank(station.top.map(|top| level(top, units)), ""),
                Cell::blank(""),
            ]
        })
        .collect();
    Table {
        caption: "Levels to aim for, and the rod readings to write in:".to_owned(),
        columns: vec![
            right(format!("at ({unit})")),
            right(format!("trench bottom ({unit})")),
            right("rod on it".to_owned()),
            right(format!("top of the pipe ({unit})")),
            right("rod on it".to_owned()),
        ],
        rows,
    }
}
