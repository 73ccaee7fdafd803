//! The course of a storm drawn with plain characters.

use super::storm::clock;
use crate::quantity::{Amount, Intensity, Length, Level};
use crate::questions::storm::{Chart, Column, Course};
use crate::report::layout::Page;

/// Room for the words to the left of the chart.
const LABEL: usize = 17;
/// Lines for rain and for water that stands.
const BARS: usize = 4;
/// Lines for the water in the basin.
const LEVELS: usize = 13;

pub(super) fn chart(page: &mut Page, course: &Course) {
    let chart = &course.chart;
    page.paragraph(&format!(
        "One column is {}. Rain hangs from the top. * is the water in the basin from its lowest to its highest within \
         the column; = a pump runs all through it, - a part of it. Water \
         that stands is drawn where it is deeper than a film of {}.",
        Amount::of(chart.each).show(course.units),
        Amount::small(course.film).show(course.units)
    ));
    page.gap();
    rain(page, course);
    levels(page, course);
    pumps(page, course);
    standing(page, course);
    axis(page, chart);
}

fn row(page: &mut Page, label: &str, drawn: impl Iterator<Item = char>) {
    let drawn: String = drawn.collect();
    page.line(&format!("{label:>LABEL$} |{drawn}"));
}

/// How many lines a bar fills: at least one where there is anything.
fn filled(share: f64) -> f64 {
    if share > 0.0 { libm::round(share * BARS as f64).max(1.0) } else { 0.0 }
}

fn rain(page: &mut Page, course: &Course) {
    let columns = &course.chart.columns;
    let most = columns.iter().map(|column| column.rain).fold(Intensity::ZERO, Intensity::max);
    for line in 0..BARS {
        let label = match line {
            0 => "rain".to_owned(),
            _ if line + 1 == BARS => Amount::of(most).show(course.units),
            _ => String::new(),
        };
        let mark = |column: &Column| {
            let share = if most > Intensity::ZERO { column.rain / most } else { 0.0 };
            if filled(share) > line as f64 { '#' } else { ' ' }
        };
        row(page, &label, columns.iter().map(mark));
    }
}

/// The line, from the top, that a level lies on.
fn line_of(level: Level, (low, high): (Level, Level)) -> usize {
    let share = (high - level) / (high - low);
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "clamped to the lines there are")]
    let line = libm::round(share * (LEVELS - 1) as f64).clamp(0.0, (LEVELS - 1) as f64) as usize;
    line
}

fn levels(page: &mut Page, course: &Course) {
    let levels = &course.levels;
    let columns = &course.chart.columns;
    let low = columns.iter().map(|column| column.lowest).fold(levels.off, Level::min);
    let high = columns.iter().map(|column| column.highest).fold(levels.rim, Level::max);
    if high <= low {
        return;
    }
    let marked: Vec<(&str, Level)> = [
        ("rim", Some(levels.rim)),
        ("alarm", levels.alarm),
        ("2nd on", levels.second_on),
        ("on", Some(levels.on)),
        ("off", Some(levels.off)),
    ]
    .into_iter()
    .filter_map(|(name, level)| Some((name, level?)))
    .collect();
    row(page, "water in basin", columns.iter().map(|_| ' '));
    for line in 0..LEVELS {
        let here: Vec<&(&str, Level)> =
            marked.iter().filter(|(_, level)| line_of(*level, (low, high)) == line).collect();
        let label = match here.as_slice() {
            [] => String::new(),
            [(name, level)] => format!("{name} {}", Amount::of(*level).show(course.units)),
            more => more.iter().map(|(name, _)| *name).collect::<Vec<_>>().join(", "),
        };
        let blank = if here.is_empty() { ' ' } else { '.' };
        let mark = |column: &Column| {
            let (top, bottom) = (line_of(column.highest, (low, high)), line_of(column.lowest, (low, high)));
            if (top..=bottom).contains(&line) { '*' } else { blank }
        };
        row(page, &label, columns.iter().map(mark));
    }
}

/// A pump that ran for this share of a column ran all through it.
const ALL: f64 = 0.999;

fn pumps(page: &mut Page, course: &Course) {
    let names: &[&str] = if course.two_pumps { &["pump 1 runs", "pump 2 runs"] } else { &["pump runs"] };
    for (pump, name) in names.iter().enumerate() {
        let mark = |column: &Column| match column.ran.get(pump).copied().unwrap_or(0.0) {
            share if share >= ALL => '=',
            share if share > 0.0 => '-',
            _ => ' ',
        };
        row(page, name, course.chart.columns.iter().map(mark));
    }
}

fn standing(page: &mut Page, course: &Course) {
    let columns = &course.chart.columns;
    let most = columns.iter().map(|column| column.depth).fold(Length::ZERO, Length::max);
    if most <= course.film {
        row(page, "no water stands", columns.iter().map(|_| ' '));
        return;
    }
    for line in 0..BARS {
        let label = match line {
            0 => Amount::small(most).show(course.units),
            _ if line + 1 == BARS => "water stands".to_owned(),
            _ => String::new(),
        };
        let mark = |column: &Column| {
            let fill = if column.depth <= course.film { 0.0 } else { filled(column.depth / most) };
            if fill >= (BARS - line) as f64 { '#' } else { ' ' }
        };
        row(page, &label, columns.iter().map(mark));
    }
}

/// Columns from tick to tick.
const TICK: usize = 10;

fn axis(page: &mut Page, chart: &Chart) {
    let count = chart.columns.len();
    let ticks: String = (0..=count).map(|column| if column.is_multiple_of(TICK) { '+' } else { '-' }).collect();
    page.line(&format!("{}{ticks}", " ".repeat(LABEL + 1)));
    // a time under every third tick, the last one ending where the chart does
    let mut times = String::new();
    for column in (0..=count).step_by(3 * TICK) {
        let text = clock(chart.from + chart.each * column as f64);
        let begin = if column == count { count.saturating_sub(text.len()) + 1 } else { column };
        let room = begin.saturating_sub(times.chars().count());
        times.push_str(&" ".repeat(room));
        times.push_str(&text);
    }
    page.line(&format!("{}{times}", " ".repeat(LABEL + 1)));
}
