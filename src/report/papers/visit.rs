//! The site-visit sheet: what to measure and to ask, blank or with what a site file knows already.

use super::document::{Cell, Document, Part, Table};
use crate::quantity::{Amount, Length, Level, UnitSystem};
use crate::report::layout::Align;
use crate::site::Site;

/// Rows left empty at the end of a table.
const SPARE: usize = 3;

/// A sheet; of a site with what is known of it, without one in the units given.
pub(super) fn visit(site: Option<&Site>, units: UnitSystem) -> Document {
    let mut parts = vec![Part::Pairs(
        ["for whom, where", "date, by whom", "weather, last rain"]
            .map(|who| (who.to_owned(), Cell::blank("")))
            .to_vec(),
    )];
    let mut section = |heading: &str, with: Vec<Part>| {
        parts.push(Part::Heading(heading.to_owned()));
        parts.extend(with);
    };
    section("1. What happens", what_happens(site, units));
    section("2. Levels", levels(site, units));
    section("3. What sheds to the low spot", surfaces(site, units));
    section("4. Ground and groundwater", ground(site, units));
    section("5. The way out", way_out(site, units));
    section("6. The run", run(site, units));
    section("7. Power", power(site, units));
    section("8. Before anybody digs", vec![ticks(BEFORE_DIGGING)]);
    parts.push(Part::Cautions(CAUTIONS.iter().map(|caution| (*caution).to_owned()).collect()));
    Document {
        title: "Site-visit sheet".to_owned(),
        about: site.map(|site| site.title.clone()),
        lead: match site {
            None => {
                "What to measure and ask on the first visit, in the order of a walk through the yard. Levels first: \
                     where the outlet lies higher than the grate, the water has to be lifted, and where it lies lower \
                     it may run by itself."
                    .to_owned()
            }
            Some(_) => {
                "What the site file says is filled in; what it leaves open has a line to write on. Rods are read \
                        on the spot: level = benchmark + rod on the benchmark - rod on the point."
                    .to_owned()
            }
        },
        parts,
    }
}

/// Common practice, no source.
const BEFORE_DIGGING: &[&str] = &[
    "The one-call service is told (in the US: 811), some days ahead; its marks are still there",
    "Private lines are marked: sprinklers, lights, gas to a grill, dog fence, septic tank and field",
    "Trees whose roots lie in the way, and who wants to keep them",
    "How a digger and the soil get in and out: gate width, walks to protect, where the spoil goes",
    "Pictures of everything that has to look as before",
];

const CAUTIONS: &[&str] = &[
    "Leave covers of septic tanks, old wells and basins shut, and never climb into one.",
    "Do not reach into water with a pump, plug or cord in it: have the circuit switched off from a dry place first.",
];

const ORIGIN: &[&str] = &[
    "Is it rain, groundwater, a roof, a sprinkler or water line that leaks, a septic field, or a blocked drain nearby? Look before anything is sized",
    "Does it stand in dry weather too?",
    "Where does the neighbours' water go?",
    "Pictures of it after a storm",
];

fn ticks(all: &[&str]) -> Part {
    Part::Ticks(all.iter().map(|one| (*one).to_owned()).collect())
}

/// The unit of levels and distances.
fn long(units: UnitSystem) -> &'static str {
    match units {
        UnitSystem::Us => "ft",
        UnitSystem::Metric => "m",
    }
}

/// The unit of small lengths.
fn short(units: UnitSystem) -> &'static str {
    match units {
        UnitSystem::Us => "in",
        UnitSystem::Metric => "mm",
    }
}

fn pair(name: &str, value: Option<String>, unit: &str) -> (String, Cell) {
    (name.to_owned(), Cell::or_blank(value, unit))
}

fn length(value: Option<Length>, units: UnitSystem) -> Option<String> {
    value.map(|value| Amount::of(value).show(units))
}

fn small(value: Option<Length>, units: UnitSystem) -> Option<String> {
    value.map(|value| Amount::small(value).show(units))
}

fn level(value: Option<Level>, units: UnitSystem) -> Option<String> {
    value.map(|value| Amount::of(value).show(units))
}

fn table(caption: &str, columns: &[(&str, Align)], rows: Vec<Vec<Cell>>) -> Part {
    Part::Table(Table {
        caption: caption.to_owned(),
        columns: columns.iter().map(|(name, align)| ((*name).to_owned(), *align)).collect(),
        rows,
    })
}

fn blanks(count: usize, width: usize) -> impl Iterator<Item = Vec<Cell>> {
    std::iter::repeat_with(move || vec![Cell::blank(""); width]).take(count)
}

fn what_happens(site: Option<&Site>, units: UnitSystem) -> Vec<Part> {
    let goal = site.map(|site| &site.goal);
    vec![
        Part::Pairs(vec![
            pair("it stands where, how deep, how long", None, ""),
            pair("since when, after which rain", None, ""),
            pair(
                "the storm to be ready for",
                goal.and_then(|goal| goal.return_period).map(|period| Amount::of(period).show(units)),
                "",
            ),
            pair("deepest water allowed", small(goal.and_then(|goal| goal.standing_water), units), short(units)),
            pair("gone within", goal.and_then(|goal| goal.clear_within).map(|time| Amount::of(time).show(units)), "h"),
            pair("a pump that is there: age, run, rest", None, ""),
        ]),
        ticks(ORIGIN),
    ]
}

/// Every place whose level matters, with its level where it is known.
fn places(site: Option<&Site>) -> Vec<(String, Option<Level>)> {
    let Some(site) = site else {
        return [
            "low spot, lowest ground",
            "its edge, where it would run over",
            "grate 1",
            "grate 2",
            "door sill",
            "crawl-space vent or cellar window",
            "ground at the basin",
            "highest ground along the run",
            "outlet",
            "bottom of the ditch or gutter",
            "water in it when it runs full",
            "highest ground between outlet and yard",
        ]
        .map(|place| (place.to_owned(), None))
        .to_vec();
    };
    let mut all: Vec<(String, Option<Level>)> = Vec::new();
    for spot in &site.low_spots {
        all.push((format!("low spot `{}`, lowest ground", spot.name), spot.surface.first().map(|(level, _)| *level)));
        all.push((format!("`{}`, where it runs over", spot.name), spot.spills_at));
    }
    all.extend(site.inlets.iter().map(|inlet| (format!("grate `{}`", inlet.name), Some(inlet.rim))));
    all.extend(site.protected.iter().map(|place| (format!("`{}`", place.name), Some(place.level))));
    all.push(("rim of the basin".to_owned(), Some(site.basin.rim)));
    let line = &site.discharge;
    let highest = line.profile.iter().filter_map(|point| point.ground).reduce(Level::max);
    all.push(("highest ground along the run".to_owned(), highest));
    all.push(("outlet".to_owned(), Some(line.outlet.level)));
    all.push(("ditch or gutter when it runs full".to_owned(), line.outlet.ditch_full));
    all.push(("highest ground between outlet and yard".to_owned(), site.way_off.ground_between));
    all
}

fn levels(site: Option<&Site>, units: UnitSystem) -> Vec<Part> {
    let rows = places(site).into_iter().map(|(name, at)| {
        vec![Cell::said(name), Cell::blank(""), Cell::or_blank(level(at, units), ""), Cell::blank("")]
    });
    let unit = long(units);
    vec![
        Part::Pairs(vec![
            pair("benchmark (a sill, never a stake)", None, ""),
            pair("its level", None, unit),
            pair("rod on it, at the start and at the end", None, unit),
        ]),
        table(
            "Rod readings and levels",
            &[
                ("place", Align::Left),
                (&format!("rod ({unit})"), Align::Right),
                ("level", Align::Right),
                ("distance along the run", Align::Right),
            ],
            rows.chain(blanks(SPARE, 4)).collect(),
        ),
        Part::Text("A larger rod reading is a lower point. Read the benchmark again at the end: if it has changed, the instrument was moved.".to_owned()),
    ]
}

fn surfaces(site: Option<&Site>, units: UnitSystem) -> Vec<Part> {
    let known = site.map_or(&[][..], |site| &site.catchments);
    let rows = known.iter().map(|surface| {
        vec![
            Cell::said(surface.name.clone()),
            Cell::said(Amount::of(surface.area).show(units)),
            Cell::or_blank(surface.surface.clone(), ""),
            Cell::or_blank(surface.slope.map(|slope| Amount::of(slope).show(units)), ""),
            Cell::or_blank(surface.drains_to.clone(), ""),
        ]
    });
    vec![
        table(
            "Roofs, walks, lawns and what the neighbours send",
            &[
                ("surface", Align::Left),
                ("length x width, or area", Align::Right),
                ("of what", Align::Left),
                ("slope", Align::Right),
                ("runs to", Align::Left),
            ],
            rows.chain(blanks(if known.is_empty() { 6 } else { SPARE }, 5)).collect(),
        ),
        Part::Pairs(vec![
            pair("puddle after a storm, at two depths", None, ""),
            pair("downspouts: where they end", None, ""),
        ]),
    ]
}

fn ground(site: Option<&Site>, units: UnitSystem) -> Vec<Part> {
    let water = site.map(|site| &site.groundwater);
    vec![Part::Pairs(vec![
        pair("soil by feel: above, and knee-deep", None, ""),
        pair(
            "groundwater in a wet spring, level",
            level(water.and_then(|water| water.seasonal_high), units),
            long(units),
        ),
        pair("known from (stains, a cellar, a well)", None, ""),
        pair("test hole: depth, water next morning", None, short(units)),
        pair("hole filled: it falls in an hour by", None, short(units)),
        pair("pit, no pump: it rises in a minute by", None, short(units)),
        pair(
            "frost depth",
            small(site.and_then(|site| site.frost.as_ref()).map(|frost| frost.depth), units),
            short(units),
        ),
    ])]
}

fn way_out(site: Option<&Site>, units: UnitSystem) -> Vec<Part> {
    let place = site.map(|site| &site.outlet_place);
    let far = |of: Option<Length>| length(of, units);
    vec![
        Part::Pairs(vec![
            pair("ends in (swale, ditch, curb, drain ...)", place.and_then(|place| place.ends_in.clone()), ""),
            pair("outlet to lot line", far(place.and_then(|place| place.to_lot_line)), long(units)),
            pair("outlet to the nearest house", far(place.and_then(|place| place.to_house)), long(units)),
            pair("outlet to the nearest walk", far(place.and_then(|place| place.to_walk)), long(units)),
            pair("whose land, whose ditch", None, ""),
        ]),
        ticks(&[
            "From the outlet on the ground falls away from house and yard, all the way",
            "The ditch takes it: not silted, no culvert blocked, nobody below it under water already",
            "The town was asked (its own sheet: `sumpwright papers yard.toml town`)",
        ]),
    ]
}

fn run(site: Option<&Site>, units: UnitSystem) -> Vec<Part> {
    let line = site.map(|site| &site.discharge);
    let total = line.map(|line| line.runs.iter().map(|run| run.length).sum::<Length>());
    let sizes = line.map(|line| line.runs.iter().map(|run| run.pipe.size.clone()).collect::<Vec<_>>().join(", "));
    vec![Part::Pairs(vec![
        pair("basin to outlet along the trench", length(total, units), long(units)),
        pair("pipe size in mind", sizes, ""),
        pair("bends on the way: of 90, of 45", None, ""),
        pair("under walks, drives, fences, at", None, ""),
        pair("digging: soft, stones, roots, rock", None, ""),
        pair("lawn, beds, paving to put back", None, ""),
    ])]
}

fn power(site: Option<&Site>, units: UnitSystem) -> Vec<Part> {
    let supply = site.map(|site| &site.supply);
    vec![
        Part::Pairs(vec![
            pair(
                "panel to basin, as the wire runs",
                length(supply.and_then(|supply| supply.distance), units),
                long(units),
            ),
            pair(
                "a free circuit, its amperes",
                supply.and_then(|supply| supply.circuit_amps).map(|amps| format!("{amps} A")),
                "A",
            ),
            pair("wire that is there", supply.and_then(|supply| supply.wire).map(|wire| wire.name.to_owned()), ""),
            pair("power goes how often, for how long", None, ""),
        ]),
        Part::Text(
            "The wiring is a licensed electrician's, by the local code; this only says what to show him.".to_owned(),
        ),
    ]
}
