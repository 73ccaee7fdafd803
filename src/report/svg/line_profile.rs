//! The discharge line from the side: ground, pipe, hydraulic grade line, and what is to be said of its points.

use super::canvas::{ACCENT, Anchor, Canvas, EARTH, FAINT, INK, Mark, Pen, SIZE, SMALL, TINT};
use super::frame::{Frame, Sample, legend, room_for_ticks};
use super::{Axis, Unit, WIDTH, listed};
use crate::design::{Design, Station};
use crate::quantity::{Amount, Length, Level};
use crate::report::papers::Drawing;
use crate::site::Site;

const GROUND: Pen = Pen::solid(1.2, FAINT);
const PIPE: Pen = Pen::solid(3.0, INK);
const GRADE: Pen = Pen::dashed(1.8, "8 3 2 3", ACCENT);
const WATER: Pen = Pen::solid(1.2, ACCENT);

/// Height of the plot.
const PLOT: f64 = 230.0;
/// Room for the basin at the left of the line's beginning.
const BASIN: f64 = 34.0;

/// The chart; without points of the line, what to enter for it.
pub(crate) fn line_profile(site: &Site, design: &Design) -> Result<Drawing, String> {
    let stations = &design.stations;
    if stations.len() < 2 {
        return Err("The line is not drawn from the side: enter its `profile` under [discharge], points with their inverts and the ground over them.".to_owned());
    }
    let units = design.units;
    let length = stations.iter().map(|station| station.at).fold(site.discharge.length(), Length::max);
    let grade = design.pump().map_or(&[][..], |pump| &pump.grade);
    let levels = [site.basin.floor, site.basin.rim]
        .into_iter()
        .chain(stations.iter().flat_map(|station| std::iter::once(station.invert).chain(station.ground)))
        .chain(grade.iter().map(|point| point.grade))
        .chain([site.discharge.outlet.level, site.discharge.outlet.working_level()]);
    let (low, high) =
        levels.fold((site.basin.floor, site.basin.floor), |(low, high), level| (low.min(level), high.max(level)));
    let along_unit = Unit::of(Amount::of(length), units);
    let level_unit = Unit::of(Amount::of(high), units);
    let value = |level: Level| level_unit.value(level.m());
    let across = Axis::over(0.0, along_unit.value(length.m()), 7);
    let up = Axis::over(value(low), value(high), 7);

    let mut canvas = Canvas::default();
    let with_ground = stations.iter().any(|station| station.ground.is_some());
    let mut entries = vec![(Sample::Line(PIPE), "pipe, its invert".to_owned())];
    if with_ground {
        entries.push((Sample::Area(EARTH), "ground".to_owned()));
    }
    if grade.len() > 1 {
        entries.push((Sample::Line(GRADE), "hydraulic grade line".to_owned()));
    }
    let below = legend(&mut canvas, (4.0, 0.0, WIDTH), &entries);
    let top = below + SIZE + 8.0;
    let outer = room_for_ticks(&up) + 12.0;
    let frame = Frame { left: outer + BASIN, right: WIDTH - 14.0, top, bottom: top + PLOT, across, up };
    let wide = Frame { left: outer, ..frame };
    let at = |along: Length, level: Level| frame.at((along_unit.value(along.m()), value(level)));
    let curve = |points: Vec<(Length, Level)>| -> Vec<(f64, f64)> {
        points.into_iter().map(|(along, level)| at(along, level)).collect()
    };
    let ground = curve(stations.iter().filter_map(|station| Some((station.at, station.ground?))).collect());
    let pipe = curve(stations.iter().map(|station| (station.at, station.invert)).collect());
    let grade = curve(grade.iter().map(|point| (point.station, point.grade)).collect());

    if let (Some(first), Some(last)) = (ground.first(), ground.last()) {
        let mut earth = ground.clone();
        earth.extend([(last.0, frame.bottom), (first.0, frame.bottom)]);
        canvas.surface(&earth, EARTH);
    }
    canvas.text((2.0, top - 9.0), &format!("level, {}", level_unit.name), SIZE, Anchor::Start, INK);
    wide.left_axis(&mut canvas);
    basin(&mut canvas, &frame, outer, site, &value);
    frame.lower_axis(&mut canvas, &format!("along the line, {}", along_unit.name), |tick| across.label(tick));
    canvas.line((outer, frame.bottom), (frame.left, frame.bottom), Pen::solid(1.2, INK));
    canvas.path(&ground, GROUND);
    canvas.path(&pipe, PIPE);
    canvas.path(&grade, GRADE);

    let mut placer = wide.placer();
    for drawn in [&ground, &pipe, &grade] {
        placer.keep_off(drawn);
    }
    for (station, point) in stations.iter().zip(&pipe) {
        let remarks = marked(station);
        if remarks.is_empty() {
            continue;
        }
        canvas.mark(*point, Mark::Ring, INK);
        let words = format!("{} {}", remarks.join(", "), Amount::of(station.invert).show(units));
        placer.label(&mut canvas, *point, &words);
    }
    let outlet = site.discharge.outlet.level;
    let place = at(site.discharge.length(), outlet);
    canvas.mark(place, Mark::Diamond, ACCENT);
    placer.label(&mut canvas, place, &format!("outlet {}", Amount::of(outlet).show(units)));
    let svg = canvas.finish(frame.bottom + 12.0 + SMALL + SIZE + 6.0);
    let caption = "The discharge line from the side, heights drawn larger than lengths. The grade line is how high water would stand in a pipe put upright on the line, with the most that is pumped between the floats. The basin at the left, tinted between its floats, is drawn to height, not to width.";
    Ok(Drawing { svg, caption: caption.to_owned(), in_words: in_words(site, design) })
}

/// What is marked of a station: beginning and middle of long part-full or freezing parts are said in the table.
fn marked(station: &Station) -> Vec<&'static str> {
    station
        .remarks
        .iter()
        .copied()
        .filter(|remark| matches!(*remark, "governs" | "high point" | "vent" | "holds water"))
        .collect()
}

/// The basin at the left, with its floats.
fn basin(canvas: &mut Canvas, frame: &Frame, left: f64, site: &Site, value: &impl Fn(Level) -> f64) {
    let basin = &site.basin;
    let right = frame.left - 6.0;
    let left = left + 3.0;
    let y = |level: Level| frame.y(value(level));
    let (off, on) = (basin.level(basin.off), basin.level(basin.on));
    canvas.rectangle((left, y(basin.rim)), (right, y(basin.floor)), "#fff", None);
    canvas.rectangle((left, y(on)), (right, y(off)), TINT, None);
    for level in [off, on] {
        canvas.line((left, y(level)), (right, y(level)), WATER);
    }
    let wall = Pen::solid(1.6, INK);
    canvas.path(&[(left, y(basin.rim)), (left, y(basin.floor)), (right, y(basin.floor)), (right, y(basin.rim))], wall);
    if let Some(first) = site.discharge.profile.first() {
        let middle = f64::midpoint(left, right);
        let leaves = y(first.invert);
        canvas.path(&[(middle, y(basin.floor) - 3.0), (middle, leaves), (frame.x(0.0), leaves)], Pen::solid(2.0, INK));
    }
}

fn in_words(site: &Site, design: &Design) -> String {
    let units = design.units;
    let show = |level: Level| Amount::of(level).show(units);
    let points: Vec<String> = design
        .stations
        .iter()
        .map(|station| {
            let ground = station.ground.map_or_else(String::new, |ground| format!(", ground {}", show(ground)));
            let head =
                station.head.map_or_else(String::new, |head| format!(", head on it {}", Amount::of(head).show(units)));
            let remarks =
                if station.remarks.is_empty() { String::new() } else { format!(" ({})", station.remarks.join(", ")) };
            format!("at {} invert {}{ground}{head}{remarks}", Amount::of(station.at).show(units), show(station.invert))
        })
        .collect();
    format!("The line from the basin to the outlet at {}: {}.", show(site.discharge.outlet.level), listed(&points))
}
