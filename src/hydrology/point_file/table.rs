//! The table in the file: its header, its rows, and the columns made of them.

use super::cell;
use super::{Kind, Line, PointFileError, PointFileProblem, PointFileUnits, PointFileWarning, Series};
use crate::hydrology::rainfall::{DepthDuration, RainError};
use crate::quantity::{Duration, RainDepth, ReturnPeriod};
use std::collections::HashSet;

/// Room for the rounding of arithmetic.
const SLACK: f64 = 1e-9;

/// Finds the header of the table of estimates: its place among the lines, and the line.
pub(super) fn find_header<'a>(lines: &[Line<'a>], first: Line<'a>) -> Result<(usize, Line<'a>), PointFileError> {
    let mut of_a_bound = None;
    let mut title = "";
    for (index, &line) in lines.iter().enumerate() {
        let text = cell::clean(line.text);
        if text.to_lowercase().contains("by duration for a") {
            if !title.to_lowercase().contains("bound") {
                return Ok((index, line));
            }
            of_a_bound = of_a_bound.or(Some(line));
        }
        if !text.is_empty() {
            title = text;
        }
    }
    if let Some(line) = of_a_bound {
        return Err(line.error(PointFileProblem::OnlyBounds));
    }
    let message = lines.iter().find(|line| line.text.contains("ErrorMsg"));
    Err(message
        .map_or_else(|| first.error(PointFileProblem::NoHeader), |line| line.error(PointFileProblem::ServerMessage)))
}

/// What the columns are.
pub(super) struct Header {
    pub(super) series: Series,
    pub(super) periods: Vec<ReturnPeriod>,
}

impl Header {
    pub(super) fn read(line: Line<'_>) -> Result<Self, PointFileError> {
        let cells = cell::cells(line.text);
        let label = cells.first().copied().unwrap_or_default().to_lowercase();
        let (series, read): (_, fn(&str) -> Option<ReturnPeriod>) = if label.contains("for aep") {
            (Series::AnnualMaximum, cell::probability)
        } else if label.contains("for ari") {
            (Series::PartialDuration, cell::interval)
        } else {
            return Err(line.error(PointFileProblem::NoHeader));
        };
        let mut periods: Vec<ReturnPeriod> = Vec::with_capacity(cells.len());
        let mut known = HashSet::new();
        for &cell in cells.iter().skip(1) {
            let period =
                read(cell).ok_or_else(|| line.error(PointFileProblem::BadPeriod { cell: cell::shown(cell) }))?;
            if !known.insert(period.years().to_bits()) {
                return Err(line.error(PointFileProblem::PeriodTwice { cell: cell::shown(cell) }));
            }
            periods.push(period);
        }
        if periods.is_empty() {
            return Err(line.error(PointFileProblem::BadPeriod { cell: String::new() }));
        }
        Ok(Self { series, periods })
    }
}

/// A printed number and how far rounding may have moved it.
#[derive(Clone, Copy)]
struct Printed {
    value: f64,
    half_step: f64,
}

impl Printed {
    /// Inches are printed with three figures, at most three decimals; millimetres as whole numbers unless the cell has
    /// decimals. A spreadsheet drops trailing zeros, so that in inches the cell's own decimals do not count.
    fn read(cell: &str, units: PointFileUnits) -> Option<Self> {
        let value = cell::number(cell).filter(|value| *value >= 0.0)?;
        let decimals = match units {
            PointFileUnits::Inches if value < 1.0 => 3,
            PointFileUnits::Inches if value < 10.0 => 2,
            PointFileUnits::Inches if value < 100.0 => 1,
            PointFileUnits::Inches => 0,
            PointFileUnits::Millimetres => cell::decimals(cell),
        };
        Some(Self { value, half_step: 0.5 * libm::pow(10.0, -f64::from(decimals)) })
    }
}

/// A row of the table.
pub(super) struct Row<'a> {
    line: Line<'a>,
    duration: Duration,
    values: Vec<Printed>,
}

impl<'a> Row<'a> {
    /// The rows up to the first blank one, or to what the server writes below the table.
    pub(super) fn read_all(
        lines: &[Line<'a>],
        header: &Header,
        units: PointFileUnits,
    ) -> Result<Vec<Self>, PointFileError> {
        let mut rows: Vec<Self> = Vec::new();
        let mut known = HashSet::new();
        for &line in lines {
            let cells = cell::cells(line.text);
            let Some((&label, values)) = cells.split_first() else { break };
            let lower = label.to_lowercase();
            if ["date/time", "pyruntime", "precipitation frequency"].iter().any(|end| lower.starts_with(end)) {
                break;
            }
            let duration = cell::duration(label)
                .ok_or_else(|| line.error(PointFileProblem::BadDuration { cell: cell::shown(label) }))?;
            if !known.insert(duration.s().to_bits()) {
                return Err(line.error(PointFileProblem::DurationTwice));
            }
            if values.len() != header.periods.len() {
                let problem = PointFileProblem::ValueCount { found: values.len(), expected: header.periods.len() };
                return Err(line.error(problem));
            }
            let values = values
                .iter()
                .map(|&cell| {
                    Printed::read(cell, units)
                        .ok_or_else(|| line.error(PointFileProblem::BadValue { cell: cell::shown(cell) }))
                })
                .collect::<Result<_, _>>()?;
            rows.push(Self { line, duration, values });
        }
        rows.sort_by(|one, other| one.duration.s().total_cmp(&other.duration.s()));
        Ok(rows)
    }
}

/// A point of a column while it is made, in the file's unit of depth.
struct Point<'a> {
    line: Line<'a>,
    duration: Duration,
    printed: f64,
    depth: f64,
    half_step: f64,
}

/// The columns, the most frequent storm first.
pub(super) fn columns(
    rows: &[Row<'_>],
    header: &Header,
    header_line: Line<'_>,
    kind: Kind,
    units: PointFileUnits,
    warnings: &mut Vec<PointFileWarning>,
) -> Result<Vec<(ReturnPeriod, DepthDuration)>, PointFileError> {
    let mut order: Vec<(usize, ReturnPeriod)> = header.periods.iter().copied().enumerate().collect();
    order.sort_by(|one, other| one.1.years().total_cmp(&other.1.years()));
    check_periods(rows, &order)?;
    let mut columns = Vec::with_capacity(order.len());
    for (index, period) in order {
        let points = points(rows, index, period, kind, warnings)?;
        columns.push((period, column(points, period, header_line, units, warnings)?));
    }
    Ok(columns)
}

/// Along a row, a rarer storm brings no less.
fn check_periods(rows: &[Row<'_>], order: &[(usize, ReturnPeriod)]) -> Result<(), PointFileError> {
    for row in rows {
        for (&(before, commoner), &(after, rarer)) in order.iter().zip(order.iter().skip(1)) {
            let values = row.values.get(before).zip(row.values.get(after));
            if values.is_some_and(|(common, rare)| rare.value < common.value) {
                return Err(row.line.error(PointFileProblem::FallsWithPeriod { commoner, rarer }));
            }
        }
    }
    Ok(())
}

/// The points of one column, without the zeros that end a column of intensities.
fn points<'a>(
    rows: &[Row<'a>],
    index: usize,
    period: ReturnPeriod,
    kind: Kind,
    warnings: &mut Vec<PointFileWarning>,
) -> Result<Vec<Point<'a>>, PointFileError> {
    let mut points = Vec::with_capacity(rows.len());
    let mut zeros: Option<(Duration, Line<'_>)> = None;
    for row in rows {
        let Some(&Printed { value, half_step }) = row.values.get(index) else { continue };
        if value == 0.0 && kind == Kind::Intensity {
            zeros = zeros.or(Some((row.duration, row.line)));
            continue;
        }
        let bad = if value == 0.0 { Some(row.line) } else { zeros.map(|(_, line)| line) };
        if let Some(line) = bad {
            return Err(line.error(PointFileProblem::BadValue { cell: "0".to_owned() }));
        }
        let hours = if kind == Kind::Intensity { row.duration.h() } else { 1.0 };
        points.push(Point {
            line: row.line,
            duration: row.duration,
            printed: value * hours,
            depth: value * hours,
            half_step: half_step * hours,
        });
    }
    if let Some((from, _)) = zeros {
        warnings.push(PointFileWarning::ZerosLeftOut { period, from });
    }
    Ok(points)
}

/// One column, its rounding evened out: depths are raised, as little as can be, until none falls and no average
/// intensity rises with duration. What rounding does not explain is an error.
fn column(
    mut points: Vec<Point<'_>>,
    period: ReturnPeriod,
    header_line: Line<'_>,
    units: PointFileUnits,
    warnings: &mut Vec<PointFileWarning>,
) -> Result<DepthDuration, PointFileError> {
    let mut least = 0.0;
    for point in &mut points {
        point.depth = point.depth.max(least);
        least = point.depth;
    }
    let mut least_rate = 0.0;
    for point in points.iter_mut().rev() {
        point.depth = point.depth.max(least_rate * point.duration.s());
        least_rate = point.depth / point.duration.s();
    }
    // two neighbours that were both rounded may lie apart by both their roundings
    let mut shorter: Option<&Point<'_>> = None;
    for (index, point) in points.iter().enumerate() {
        if point.depth > point.printed * (1.0 + SLACK) {
            let neighbours = [index.checked_sub(1), Some(index + 1)];
            let others = neighbours.into_iter().flatten().filter_map(|at| points.get(at));
            let room = point.half_step + others.map(|other| other.half_step).fold(0.0, f64::max);
            if point.depth > point.printed + room * (1.0 + SLACK) {
                let before = shorter.map_or(point.duration, |shorter| shorter.duration);
                let falls = shorter.is_some_and(|shorter| point.printed < shorter.printed);
                let longer = points.get(index + 1).map_or(point.duration, |longer| longer.duration);
                let error = if falls {
                    RainError::DepthFalls { shorter: before, longer: point.duration }
                } else {
                    RainError::IntensityRises { shorter: point.duration, longer }
                };
                return Err(point.line.error(PointFileProblem::Column { period, error }));
            }
            warnings.push(PointFileWarning::MovedWithinRounding { period, duration: point.duration });
        }
        shorter = Some(point);
    }
    let depth = |depth| match units {
        PointFileUnits::Inches => RainDepth::from_inch(depth),
        PointFileUnits::Millimetres => RainDepth::from_mm(depth),
    };
    DepthDuration::new(points.iter().map(|point| (point.duration, depth(point.depth))).collect())
        .map_err(|error| header_line.error(PointFileProblem::Column { period, error }))
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    #[test]
    fn how_far_rounding_may_have_moved_a_figure() {
        let half_step = |cell: &str, units| Printed::read(cell, units).map(|printed| printed.half_step);
        // inches have three figures and at most three decimals, whatever a spreadsheet left of them
        for (cell, half) in [
            ("0", 0.0005),
            ("0.5", 0.0005),
            ("0.999", 0.0005),
            ("1", 0.005),
            ("1.00", 0.005),
            ("9.99", 0.005),
            ("10", 0.05),
            ("99.9", 0.05),
            ("100", 0.5),
            ("123", 0.5),
        ] {
            assert_relative_eq!(half_step(cell, PointFileUnits::Inches).unwrap(), half, max_relative = 1e-12);
        }
        // millimetres go by their own decimals
        for (cell, half) in [("0.5", 0.05), ("7", 0.5), ("12", 0.5), ("12.25", 0.005), ("120", 0.5)] {
            assert_relative_eq!(half_step(cell, PointFileUnits::Millimetres).unwrap(), half, max_relative = 1e-12);
        }
        for cell in ["-1", "x", "", "NaN", "-0.001"] {
            assert_eq!(half_step(cell, PointFileUnits::Inches), None, "{cell}");
        }
    }
}
