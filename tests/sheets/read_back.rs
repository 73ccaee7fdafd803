//! Every depth and rod reading is read back from the text of the paper and held against the site's own levels.

use crate::{EXAMPLES, Made, SETUPS};
use sumpwright::job::Trench;
use sumpwright::quantity::UnitSystem;
use sumpwright::report::papers::Paper;

const SIXTEENTH_IN_FEET: f64 = 1.0 / 16.0 / 12.0;

/// A tape's length in feet or metres, `1' 3-13/16"` or `453 mm`.
fn tape(text: &str) -> f64 {
    if let Some(millimetres) = text.strip_suffix(" mm") {
        return millimetres.parse::<f64>().unwrap() / 1000.0;
    }
    let (sign, text) = text.strip_prefix('-').map_or((1.0, text), |rest| (-1.0, rest));
    let (feet, inches) = text.split_once("' ").map_or((0.0, text), |(feet, rest)| (feet.parse().unwrap(), rest));
    let inches = inches.strip_suffix('"').unwrap_or_else(|| panic!("`{text}` is no tape's length"));
    let fraction = |text: &str| -> f64 {
        let (top, bottom) = text.split_once('/').unwrap();
        let bottom: f64 = bottom.parse().unwrap();
        assert!([2.0, 4.0, 8.0, 16.0].contains(&bottom), "{text}");
        top.parse::<f64>().unwrap() / bottom
    };
    let inches = match inches.split_once('-') {
        Some((whole, part)) => whole.parse::<f64>().unwrap() + fraction(part),
        None if inches.contains('/') => fraction(inches),
        None => inches.parse().unwrap(),
    };
    sign * (feet + inches / 12.0)
}

/// What the instrument cannot see.
const ABOVE: &str = "above the instrument";

/// A rod reading: the decimals, and the tape's form where that stands beside; none where it cannot be read.
fn rod(text: &str) -> Vec<f64> {
    if text == ABOVE {
        return Vec::new();
    }
    match text.split_once(" = ") {
        Some((decimals, shown)) => vec![decimals.parse().unwrap(), tape(shown)],
        None => vec![text.parse().unwrap()],
    }
}

/// The cells of a printed row, which stand two blanks or more apart.
fn cells(line: &str) -> Vec<&str> {
    line.split("  ").map(str::trim).filter(|cell| !cell.is_empty()).collect()
}

/// The rows of the table with a caption, under a heading, without its columns' names.
fn rows<'t>(text: &'t str, heading: &str, caption: &str) -> Vec<Vec<&'t str>> {
    let mut lines =
        text.lines().skip_while(|line| *line != heading).skip(1).skip_while(|line| !line.starts_with(caption));
    assert!(lines.next().is_some(), "no `{caption}` under `{heading}`");
    lines
        .skip_while(|line| !line.trim_start().starts_with("--"))
        .skip(1)
        .take_while(|line| line.starts_with("  "))
        .map(cells)
        .collect()
}

fn blank(cell: &str) -> bool {
    cell.starts_with("____")
}

/// What is printed is within a sixteenth of an inch, or a millimetre, of what it ought to be.
fn close(printed: f64, ought: f64, units: UnitSystem, what: &str) {
    let step = if units == UnitSystem::Us { SIXTEENTH_IN_FEET } else { 0.001 };
    assert!((printed - ought).abs() <= step, "{what}: {printed} printed, {ought} in the design");
}

/// A rod reading against the instrument's height and the level that it stands for.
fn check_rod(cell: &str, plane: f64, level: f64, units: UnitSystem) -> usize {
    assert!(cell != ABOVE || level >= plane - 1e-9, "{level} is below the instrument at {plane}");
    let readings = rod(cell);
    for reading in &readings {
        close(plane - reading, level, units, "rod");
    }
    readings.len()
}

/// A place that somebody digs to, worked out here once more from the site alone, in feet or metres.
struct Ought {
    ground: Option<f64>,
    invert: f64,
    wall: f64,
    bore: f64,
    below: f64,
}

fn in_unit(units: UnitSystem, metres: f64) -> f64 {
    if units == UnitSystem::Us { metres / 0.3048 } else { metres }
}

fn straight(points: &[(f64, f64)], at: f64) -> Option<f64> {
    points.windows(2).find_map(|pair| {
        let ((a, low), (b, high)) = (pair[0], pair[1]);
        (a - 1e-6 <= at && at <= b + 1e-6).then(|| low + (high - low) * (at - a) / (b - a))
    })
}

/// Checks every number of a trench's tables.
fn check_trench(made: &Made, text: &str, trench: &Trench, ought: impl Fn(f64) -> Ought) -> usize {
    let units = made.site.units;
    let (heading, from) = match &trench.name {
        None => ("Trench of the discharge line".to_owned(), "from the basin"),
        Some(name) => (format!("Trench of `{name}`"), "from the upper end"),
    };
    let heading = heading.as_str();
    // a printed place is rounded to a hundredth: the level is asked for at the place itself
    let place = |index: usize, printed: &str| {
        let at = in_unit(units, trench.stations[index].at.m());
        assert!((at - printed.parse::<f64>().unwrap()).abs() < 0.0051, "{printed} for {at}");
        at
    };
    let mut checked = 0;
    let mut last: Option<f64> = None;
    let depths = rows(text, heading, &format!("Depths, {from}"));
    assert_eq!(depths.len(), trench.stations.len());
    for (index, row) in depths.into_iter().enumerate() {
        let ought = ought(place(index, row[0]));
        match (ought.ground, blank(row[1])) {
            (Some(ground), false) => {
                close(row[1].trim_end_matches('*').parse().unwrap(), ground, units, "ground");
                close(ground - tape(row[3]), ought.invert - ought.wall - ought.below, units, "trench bottom");
                close(ground - tape(row[4]), ought.invert + ought.bore + ought.wall, units, "top of the pipe");
                checked += 3;
            }
            (None, true) => assert!(blank(row[3]) && blank(row[4]), "a depth without a ground: {row:?}"),
            other => panic!("{heading} {row:?}: {other:?}"),
        }
        close(row[2].parse().unwrap(), ought.invert, units, "invert");
        checked += 1;
        if let Some(before) = last {
            let said = row.get(5).unwrap();
            let change = match said.split_once(' ') {
                Some(("up", by)) => tape(by),
                Some(("down", by)) => -tape(by),
                _ => 0.0,
            };
            close(change, ought.invert - before, units, "since the last");
            checked += 1;
        }
        last = Some(ought.invert);
    }
    let levels_of = |at: f64| {
        let ought = ought(at);
        (ought.invert - ought.wall - ought.below, ought.invert, ought.invert + ought.bore + ought.wall)
    };
    if made.site.setups.is_empty() {
        for (index, row) in rows(text, heading, "Levels to aim for").into_iter().enumerate() {
            let (bottom, _, top) = levels_of(place(index, row[0]));
            close(row[1].parse().unwrap(), bottom, units, "trench bottom");
            close(row[3].parse().unwrap(), top, units, "top of the pipe");
            assert!(blank(row[2]) && blank(row[4]));
            checked += 2;
        }
    }
    for setup in &made.site.setups {
        // benchmark + rod on it - level, by the file's own figures
        let plane = in_unit(units, setup.benchmark.m() + setup.rod_on_benchmark.m());
        let mut deeper: Option<(f64, f64)> = None;
        let caption = format!("Rod readings to aim for, setup `{}`", setup.name);
        for (index, row) in rows(text, heading, &caption).into_iter().enumerate() {
            let (bottom, invert, top) = levels_of(place(index, row[0]));
            for (cell, level) in [(row[1], bottom), (row[2], invert), (row[3], top)] {
                checked += check_rod(cell, plane, level, units);
            }
            let Some(reading) = rod(row[2]).first().copied() else { continue };
            if let Some((before, read)) = deeper
                && (invert - before).abs() > 0.002
            {
                assert!((invert < before) == (reading > read), "the deeper the pipe, the larger the reading");
            }
            deeper = Some((invert, reading));
        }
    }
    checked
}

pub(crate) fn check_crew(made: &Made) -> usize {
    let units = made.site.units;
    let text = made.paper(Paper::Crew);
    let unit = |metres: f64| in_unit(units, metres);
    let line = &made.site.discharge;
    let mut checked = 0;
    let inverts: Vec<(f64, f64)> =
        line.profile.iter().map(|point| (unit(point.at.m()), unit(point.invert.m()))).collect();
    if inverts.is_empty() {
        assert!(text.contains("How deep it lies is not in the file"));
    } else {
        let bedding = unit(made.site.crew.bedding.m());
        let ground_of = |at: f64| -> Option<f64> {
            let own = line.profile.iter().find(|point| (unit(point.at.m()) - at).abs() < 0.006);
            if let Some(point) = own {
                return point.ground.map(|ground| unit(ground.m()));
            }
            line.profile.windows(2).find_map(|pair| {
                let (near, far) = (unit(pair[0].at.m()), unit(pair[1].at.m()));
                let (from, to) = (pair[0].ground?, pair[1].ground?);
                straight(&[(near, unit(from.m())), (far, unit(to.m()))], at)
            })
        };
        let pipe = |at: f64| {
            let mut end = 0.0;
            let run = line.runs.iter().find(|run| {
                end += unit(run.length.m());
                at <= end + 1e-6
            });
            let pipe = &run.unwrap_or(line.runs.last().unwrap()).pipe;
            (unit((pipe.outside_diameter.m() - pipe.bore.m()) / 2.0), unit(pipe.bore.m()))
        };
        checked += check_trench(made, &text, &made.job.stations.trenches[0], |at| Ought {
            ground: ground_of(at),
            invert: straight(&inverts, at).unwrap(),
            wall: pipe(at).0,
            bore: pipe(at).1,
            below: bedding,
        });
        // each point that was entered has its row, with the design's own cover
        let rows = rows(&text, "Trench of the discharge line", "Depths");
        for known in &made.design.stations {
            let row = rows.iter().find(|row| (row[0].parse::<f64>().unwrap() - unit(known.at.m())).abs() < 0.006);
            let row = row.unwrap_or_else(|| panic!("no row at {:?}", known.at));
            close(row[2].parse().unwrap(), unit(known.invert.m()), units, "invert of the design");
            if let Some(cover) = known.cover {
                close(tape(row[4]), unit(cover.m()), units, "cover of the design");
            }
        }
    }
    for drain in &made.site.drains {
        let (Some(up), Some(down), Some(pipe)) = (drain.up_invert, drain.down_invert, &drain.pipe) else { continue };
        let trenches = &made.job.stations.trenches;
        let trench = trenches.iter().find(|trench| trench.name.as_ref() == Some(&drain.name)).unwrap();
        let length = unit(drain.length.m());
        let below = drain.french.as_ref().and_then(|french| french.trench.as_ref()).map(|trench| trench.below_pipe.m());
        let inverts = [(0.0, unit(up.m())), (length, unit(down.m()))];
        checked += check_trench(made, &text, trench, |at| Ought {
            ground: match at {
                0.0 => drain.up_ground.map(|ground| unit(ground.m())),
                at if (at - length).abs() < 0.006 => drain.down_ground.map(|ground| unit(ground.m())),
                _ => None,
            },
            invert: straight(&inverts, at.min(length)).unwrap(),
            wall: unit((pipe.outside_diameter.m() - pipe.bore.m()) / 2.0),
            bore: unit(pipe.bore.m()),
            below: unit(below.unwrap_or(made.site.crew.bedding.m())),
        });
    }
    let (floor, rim) = (unit(made.site.basin.floor.m()), unit(made.site.basin.rim.m()));
    // a long name goes on in a line of its own
    for row in rows(&text, "Hole of the basin", "Heights in the basin").into_iter().filter(|row| row.len() > 3) {
        let level: f64 = row[3].parse().unwrap();
        close(tape(row[1]), level - floor, units, row[0]);
        close(rim - tape(row[2]), level, units, row[0]);
        if let (Some(reading), [setup]) = (row.get(4), made.site.setups.as_slice()) {
            check_rod(reading, unit(setup.benchmark.m() + setup.rod_on_benchmark.m()), level, units);
        }
        checked += 3;
    }
    checked
}

#[test]
fn identity_every_printed_depth_and_rod_reading_is_the_designs() {
    let mut checked = 0;
    for name in EXAMPLES {
        checked += check_crew(&Made::example(name));
    }
    // two setups, one, and bedding under it all
    checked += check_crew(&Made::with("cut-bank", &[SETUPS]));
    let crew = ("[crew]\n", "[crew]\nbedding = \"3 in\"\nbasin_bedding = \"6 in\"\nstation_spacing = \"7 ft\"\n");
    checked += check_crew(&Made::with("cut-bank", &[SETUPS, crew]));
    assert!(checked > 800, "{checked} numbers");
}
