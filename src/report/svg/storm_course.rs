//! The course of a storm: rain, what comes into the basin, its level, when pumps run, and water that stands.

use super::canvas::{ACCENT, Anchor, Canvas, INK, Pen, SIZE, SMALL, TINT};
use super::frame::{Frame, room_for_ticks};
use super::labels::spread;
use super::{Axis, Unit, WIDTH};
use crate::quantity::{Amount, Flow, Intensity, Length, Level};
use crate::questions::storm::{Column, Course};
use crate::report::papers::Drawing;
use crate::report::text::storm::{short, storm_words};

const INFLOW: Pen = Pen::solid(2.0, INK);
const PUMPED: Pen = Pen::dashed(1.8, "6 3", ACCENT);
const EDGE: Pen = Pen::solid(1.0, INK);
const FLOAT: Pen = Pen::dashed(0.9, "4 3", INK);
const NONE: Pen = Pen::solid(0.6, INK);

/// Room between two panels, in which the name of the lower one stands.
const BETWEEN: f64 = 30.0;
/// Room for names of levels at the right.
const NAMES: f64 = 52.0;

/// Where the panels lie across the page, and the time over them.
struct Panels {
    left: f64,
    right: f64,
    across: Axis,
}

impl Panels {
    fn frame(&self, top: f64, height: f64, up: Axis) -> Frame {
        Frame { left: self.left, right: self.right, top, bottom: top + height, across: self.across, up }
    }
}

/// The chart.
pub(crate) fn storm_course(course: &Course) -> Drawing {
    let units = course.units;
    let columns = &course.chart.columns;
    let begin = course.chart.from.minutes();
    let end = (course.chart.from + course.chart.each * columns.len() as f64).minutes();
    let shown: Vec<(f64, Flow, Flow)> = course
        .rows
        .iter()
        .map(|row| (row.at.minutes(), row.into_basin, row.pumped))
        .filter(|(at, ..)| (begin..=end).contains(at))
        .collect();
    let hardest = columns.iter().map(|column| column.rain).fold(Intensity::ZERO, Intensity::max);
    let most = shown.iter().map(|(_, into, out)| into.max(*out)).fold(Flow::ZERO, Flow::max);
    let least = shown.iter().map(|(_, into, _)| *into).fold(Flow::ZERO, Flow::min);
    let low = columns.iter().map(|column| column.lowest).fold(course.levels.floor, Level::min);
    let high = columns.iter().map(|column| column.highest).fold(course.levels.rim, Level::max);
    let deepest = columns.iter().map(|column| column.depth).fold(Length::ZERO, Length::max);

    let rain_unit = Unit::of(Amount::of(hardest), units);
    let flow_unit = Unit::of(Amount::of(most), units);
    let level_unit = Unit::of(Amount::of(high), units);
    let depth_unit = Unit::of(Amount::small(deepest), units);
    let rain_axis = Axis::over(0.0, rain_unit.value(Amount::of(hardest).si), 3);
    let flow_axis = Axis::over(flow_unit.value(least.m3s()), flow_unit.value(most.m3s()), 4);
    let level_axis = Axis::over(level_unit.value(low.m()), level_unit.value(high.m()), 5);
    let depth_axis = Axis::over(0.0, depth_unit.value(deepest.m()), 3);
    let room = [rain_axis, flow_axis, level_axis, depth_axis].iter().map(room_for_ticks).fold(0.0, f64::max);
    let panels = Panels { left: room + 12.0, right: WIDTH - NAMES, across: Axis::clock(begin, end, 6) };
    let edge = |column: usize| course.chart.from.minutes() + course.chart.each.minutes() * column as f64;

    let mut canvas = Canvas::default();
    // rain hangs from the top
    let top = SIZE + 8.0;
    name(&mut canvas, top, &format!("rain, {}", rain_unit.name));
    let hanging = panels.frame(top, 60.0, rain_axis);
    for tick in rain_axis.ticks() {
        let y = hanging.top + hanging.bottom - hanging.y(tick);
        canvas.line((hanging.left, y), (hanging.right, y), Pen::solid(0.8, super::canvas::RULE));
        canvas.text((hanging.left - 6.0, y + SMALL * 0.35), &rain_axis.label(tick), SMALL, Anchor::End, INK);
    }
    for (from, to, rain) in alike(columns, |column| Amount::of(column.rain).si) {
        let y = hanging.top + hanging.bottom - hanging.y(rain_unit.value(rain));
        canvas.rectangle((hanging.x(edge(from)), hanging.top), (hanging.x(edge(to)), y), ACCENT, None);
    }
    canvas.line((hanging.left, hanging.top), (hanging.right, hanging.top), EDGE);

    // what comes and what is pumped
    let top = hanging.bottom + BETWEEN;
    name(&mut canvas, top, &format!("flow, {}", flow_unit.name));
    let x = panels.left + 90.0;
    for (words, pen, x) in [("into the basin", INFLOW, x), ("pumped, while it runs", PUMPED, x + 125.0)] {
        canvas.line((x, top - 12.0), (x + 24.0, top - 12.0), pen);
        canvas.text((x + 29.0, top - 8.0), words, SMALL, Anchor::Start, INK);
    }
    let flows = panels.frame(top, 84.0, flow_axis);
    flows.left_axis(&mut canvas);
    let into: Vec<_> = shown.iter().map(|(at, into, _)| flows.at((*at, flow_unit.value(into.m3s())))).collect();
    canvas.path(&into, INFLOW);
    // while a pump runs on; where it starts and stops its strip below shows more
    for running in shown.split(|(_, _, out)| *out <= Flow::ZERO) {
        let out: Vec<_> = running.iter().map(|(at, _, out)| flows.at((*at, flow_unit.value(out.m3s())))).collect();
        canvas.path(&out, PUMPED);
    }

    // the water in the basin, from its lowest to its highest in each piece of time
    let top = flows.bottom + BETWEEN;
    name(&mut canvas, top, &format!("water in the basin, {}", level_unit.name));
    let levels = panels.frame(top, 110.0, level_axis);
    levels.left_axis(&mut canvas);
    for (index, column) in columns.iter().enumerate() {
        let (lowest, highest) =
            (levels.y(level_unit.value(column.lowest.m())), levels.y(level_unit.value(column.highest.m())));
        // a level that stands still is a line
        let middle = f64::midpoint(lowest, highest);
        let (upper, lower) = (highest.min(middle - 0.7), lowest.max(middle + 0.7));
        canvas.rectangle((levels.x(edge(index)), upper), (levels.x(edge(index + 1)), lower), ACCENT, None);
    }
    marked_levels(&mut canvas, course, &levels, level_unit);

    // which share of each piece of time the pumps run
    let mut top = levels.bottom + 10.0;
    let names: &[&str] = if course.two_pumps { &["pump 1", "pump 2"] } else { &["pump"] };
    for (pump, pump_name) in names.iter().enumerate() {
        canvas.rectangle((panels.left, top), (panels.right, top + 14.0), "#fff", Some(NONE));
        for (from, to, share) in alike(columns, |column| column.ran.get(pump).copied().unwrap_or(0.0).clamp(0.0, 1.0)) {
            let upper = top + 14.0 * (1.0 - share);
            canvas.rectangle((levels.x(edge(from)), upper), (levels.x(edge(to)), top + 14.0), INK, None);
        }
        canvas.text((panels.right + 6.0, top + 11.5), pump_name, SMALL, Anchor::Start, INK);
        top += 20.0;
    }

    // water over the rim of the place where it stands deepest
    top += BETWEEN - 12.0;
    let stands = deepest > course.film;
    let depth_axis = if stands { depth_axis } else { Axis::over(0.0, 1.0, 2) };
    let last = panels.frame(top, if stands { 56.0 } else { 0.0 }, depth_axis);
    if stands {
        name(&mut canvas, top, &format!("water that stands, {}", depth_unit.name));
        last.left_axis(&mut canvas);
        let mut pool = vec![last.at((begin, 0.0))];
        for (index, column) in columns.iter().enumerate() {
            let depth = depth_unit.value(column.depth.m());
            pool.extend([last.at((edge(index), depth)), last.at((edge(index + 1), depth))]);
        }
        pool.push(last.at((end, 0.0)));
        canvas.surface(&pool, TINT);
        canvas.path(&pool, EDGE);
    } else {
        canvas.text((panels.left, top - 8.0), "no water stands", SMALL, Anchor::Start, INK);
    }
    last.lower_axis(&mut canvas, "from the start of the rain, hours:minutes", clock);
    let svg = canvas.finish(last.bottom + 12.0 + SMALL + SIZE + 6.0);
    let caption = format!(
        "{} Water in the basin is drawn from its lowest to its highest in each {}; a full bar of the pump is a pump that runs all the time.",
        storm_words(course),
        Amount::of(course.chart.each).show(units)
    );
    Drawing { svg, caption, in_words: in_words(course, hardest) }
}

/// Neighbours of one value as one: from, to, and what they have; nothing where they have nothing.
fn alike(columns: &[Column], value: impl Fn(&Column) -> f64) -> Vec<(usize, usize, f64)> {
    let mut runs: Vec<(usize, usize, f64)> = Vec::new();
    for (index, column) in columns.iter().enumerate() {
        let here = value(column);
        match runs.last_mut() {
            Some((_, to, known)) if (*known - here).abs() <= known.abs() * 1e-3 => *to = index + 1,
            _ => runs.push((index, index + 1, here)),
        }
    }
    runs.retain(|(_, _, known)| *known > 0.0);
    runs
}

fn name(canvas: &mut Canvas, top: f64, words: &str) {
    canvas.text((2.0, top - 8.0), words, SIZE, Anchor::Start, INK);
}

/// The levels that a reader wants, named at the right.
fn marked_levels(canvas: &mut Canvas, course: &Course, frame: &Frame, unit: Unit) {
    let known = &course.levels;
    let mut marks: Vec<(&str, Level)> = [
        ("rim", Some(known.rim)),
        ("alarm", known.alarm),
        ("2nd on", known.second_on),
        ("on", Some(known.on)),
        ("off", Some(known.off)),
    ]
    .into_iter()
    .filter_map(|(name, level)| Some((name, level?)))
    .collect();
    marks.sort_by(|a, b| b.1.m().total_cmp(&a.1.m()));
    let heights: Vec<f64> = marks.iter().map(|(_, level)| frame.y(unit.value(level.m()))).collect();
    let placed = spread(&heights, SMALL + 1.5, (frame.top, frame.bottom));
    for (((name, _), y), height) in marks.iter().zip(&heights).zip(placed) {
        canvas.line((frame.left, *y), (frame.right, *y), FLOAT);
        canvas.line((frame.right, *y), (frame.right + 8.0, height), Pen::solid(0.7, INK));
        canvas.text((frame.right + 11.0, height + SMALL * 0.35), name, SMALL, Anchor::Start, INK);
    }
}

/// Minutes as hours and minutes.
fn clock(minutes: f64) -> String {
    let whole = libm::round(minutes);
    let hours = libm::floor(whole / 60.0);
    format!("{hours:.0}:{:02.0}", whole - hours * 60.0)
}

fn in_words(course: &Course, hardest: Intensity) -> String {
    let units = course.units;
    format!(
        "{} Rain up to {}; at the peak {} comes; the water in the basin rises to {}.",
        short(course).join(" "),
        Amount::of(hardest).show(units),
        Amount::of(course.outcome.peak_inflow).show(units),
        Amount::of(course.outcome.highest_in_basin).show(units)
    )
}
