//! The precipitation-frequency file that the US national weather service serves for a point (NOAA Atlas 14,
//! hdsc.nws.noaa.gov): lines of text with commas, fresh from the server or saved again by a spreadsheet.

mod cell;
mod table;

use super::rainfall::{DepthDuration, RainError};
use crate::quantity::{Duration, ReturnPeriod};
use std::borrow::Cow;
use table::{Header, Row};

/// Which storms were counted.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Series {
    /// All storms above a threshold. The periods are average recurrence intervals.
    PartialDuration,
    /// The largest storm of each year. The periods are one over the yearly probability; the same storm has a shorter
    /// [`partial_duration_period`](super::partial_duration_period).
    AnnualMaximum,
}

/// What the file's numbers are.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// Depths of rain.
    Depth,
    /// Average intensities.
    Intensity,
}

/// The file's unit of depth; of intensity it is the same per hour.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PointFileUnits {
    /// Inches.
    Inches,
    /// Millimetres.
    Millimetres,
}

/// What the reader made of something in the file that is not quite as it should be.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum PointFileWarning {
    /// Metric intensities are rounded to whole mm/h by the server and have lost most of their figures beyond a few
    /// hours: a file of depths, or in inches, is better.
    CoarseIntensity,
    /// Intensities of this period are printed as zero from this duration on; those rows are left out.
    ZerosLeftOut {
        /// The return period.
        period: ReturnPeriod,
        /// The shortest duration left out.
        from: Duration,
    },
    /// A printed value was moved within its rounding, so that depth does not fall nor intensity rise with duration.
    MovedWithinRounding {
        /// The return period.
        period: ReturnPeriod,
        /// The duration.
        duration: Duration,
    },
    /// The file does not say which series it holds: taken from its header.
    SeriesFromHeader,
    /// The file says one series and its header another: the header, which labels the numbers, was followed.
    SeriesAgainstHeader,
}

/// What makes a file unreadable.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum PointFileProblem {
    /// The server's answer for a point that it does not cover.
    #[error("the server had no data for this point and sent a message in place of a table")]
    ServerMessage,
    /// Nothing that looks like the file.
    #[error("no line `by duration for ARI (years):` or `by duration for AEP:` was found: this is not a point file")]
    NoHeader,
    /// The only tables are those of a confidence bound.
    #[error("the file holds confidence bounds but not the estimates themselves")]
    OnlyBounds,
    /// No unit.
    #[error("the unit was not found: the first line must read `Point precipitation frequency estimates (inches)`")]
    NoUnit,
    /// A unit that is not known.
    #[error("the unit must be inches, inches/hour, millimeters or millimeters/hour")]
    UnknownUnit,
    /// No kind.
    #[error("the line `Data type: Precipitation depth` or `Data type: Precipitation intensity` is missing")]
    NoKind,
    /// A kind that is not known.
    #[error("the data type must be precipitation depth or precipitation intensity")]
    UnknownKind,
    /// A depth per hour, or an intensity that is not per hour.
    #[error("the unit on the first line does not fit this data type")]
    UnitAgainstKind,
    /// A series that is not known.
    #[error("the time series type must be partial duration or annual maximum")]
    UnknownSeries,
    /// A column heading that is no return period.
    #[error("`{cell}` is not a return period{}", spreadsheet_hint(cell))]
    BadPeriod {
        /// The heading.
        cell: String,
    },
    /// The same column twice.
    #[error("the return period `{cell}` stands twice")]
    PeriodTwice {
        /// The heading.
        cell: String,
    },
    /// A row that does not begin with a duration.
    #[error("`{cell}` is not a duration such as `5-min:`, `2-hr:` or `10-day:`")]
    BadDuration {
        /// The first cell.
        cell: String,
    },
    /// The same row twice.
    #[error("this duration stands twice")]
    DurationTwice,
    /// A row with too few or too many values.
    #[error("this row has {found} values under {expected} return periods")]
    ValueCount {
        /// Values found.
        found: usize,
        /// Columns.
        expected: usize,
    },
    /// A value that is no number above zero.
    #[error("`{cell}` is not a number above zero")]
    BadValue {
        /// The cell.
        cell: String,
    },
    /// A rarer storm with less rain.
    #[error("in this row the value for {} years is below that for {} years", rarer.years(), commoner.years())]
    FallsWithPeriod {
        /// The shorter return period.
        commoner: ReturnPeriod,
        /// The longer one.
        rarer: ReturnPeriod,
    },
    /// A column that is no rain.
    #[error("column {} years: {error}", period.years())]
    Column {
        /// The return period.
        period: ReturnPeriod,
        /// What is wrong.
        error: RainError,
    },
}

/// Spreadsheets read `1/2` as a day of the year.
fn spreadsheet_hint(cell: &str) -> &'static str {
    let dated = cell.chars().any(|letter| letter.is_ascii_digit()) && cell.chars().any(char::is_alphabetic);
    if dated { " (did a spreadsheet turn `1/2` into a date? Save the file afresh from the server)" } else { "" }
}

/// Why a point file could not be read, and where.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[error("line {line}: {problem}\n  {text}")]
pub struct PointFileError {
    /// Number of the line, from 1.
    pub line: usize,
    /// The line, shortened where it is long.
    pub text: String,
    /// What is wrong with it.
    pub problem: PointFileProblem,
}

/// Rain of several return periods, as the service gives it for a point.
#[derive(Clone, Debug, PartialEq)]
pub struct PointFile {
    /// Which storms were counted.
    pub series: Series,
    /// What the numbers were.
    pub kind: Kind,
    /// Their unit.
    pub units: PointFileUnits,
    /// Depth against duration for each return period, the most frequent first.
    pub columns: Vec<(ReturnPeriod, DepthDuration)>,
    /// The publication, as on the second line: `NOAA Atlas 14 Volume 2 Version 3`.
    pub publication: Option<String>,
    /// The place's name.
    pub location: Option<String>,
    /// Degrees north.
    pub latitude: Option<f64>,
    /// Degrees east.
    pub longitude: Option<f64>,
    /// What the reader made of oddities.
    pub warnings: Vec<PointFileWarning>,
}

impl PointFile {
    /// The column of a return period, if the file has it.
    pub fn column(&self, period: ReturnPeriod) -> Option<&DepthDuration> {
        let close = |known: ReturnPeriod| (known.years() - period.years()).abs() <= 1e-9 * known.years();
        self.columns.iter().find(|column| close(column.0)).map(|column| &column.1)
    }
}

/// The text of a file's bytes, whatever became of its degree signs.
pub fn point_file_text(bytes: &[u8]) -> Cow<'_, str> {
    String::from_utf8_lossy(bytes)
}

/// One line of the file.
#[derive(Clone, Copy)]
struct Line<'a> {
    number: usize,
    text: &'a str,
}

impl Line<'_> {
    fn error(self, problem: PointFileProblem) -> PointFileError {
        let mut text: String = self.text.trim_end().chars().take(100).collect();
        if text.len() < self.text.trim_end().len() {
            text.push('…');
        }
        PointFileError { line: self.number, text, problem }
    }
}

/// Reads a precipitation-frequency file (see [`point_file_text`] for its bytes).
///
/// The table is found by its header, columns by their value. Unit and kind come from the lines that state them, never
/// from the size of the numbers. Trailing commas, spaces, quotes, any line ending and a byte-order mark do not matter.
/// Reading ends at the first blank row, so that confidence bounds are never taken for estimates.
///
/// # Errors
///
/// [`PointFileError`] with the line, where the file is not one of these, or contradicts itself: a value that is not
/// above zero, a depth that falls with duration or return period by more than the rounding of the printed figures.
pub fn read_point_file(text: &str) -> Result<PointFile, PointFileError> {
    let text = text.trim_start_matches('\u{feff}').replace("\r\n", "\n").replace('\r', "\n");
    let lines: Vec<Line<'_>> = (1..).zip(text.lines()).map(|(number, text)| Line { number, text }).collect();
    let first = lines.first().copied().unwrap_or(Line { number: 1, text: "" });

    let (index, header_line) = table::find_header(&lines, first)?;
    let above = lines.get(..index).unwrap_or_default();
    let (units, per_hour, unit_line) = units(above, first)?;
    let (kind, kind_line) = kind(above, first)?;
    if per_hour != (kind == Kind::Intensity) {
        return Err(kind_line.unwrap_or(unit_line).error(PointFileProblem::UnitAgainstKind));
    }
    let mut warnings = Vec::new();
    if kind == Kind::Intensity && units == PointFileUnits::Millimetres {
        warnings.push(PointFileWarning::CoarseIntensity);
    }
    let header = Header::read(header_line)?;
    let series = series(above, &header, &mut warnings)?;
    let rows = Row::read_all(lines.get(index + 1..).unwrap_or_default(), &header, units)?;
    let columns = table::columns(&rows, &header, header_line, kind, units, &mut warnings)?;

    let degrees = |label| labelled(above, label).and_then(|(_, value)| cell::leading_number(value));
    let name = |label| {
        let (_, value) = labelled(above, label)?;
        (!matches!(value, "" | "-" | "None")).then(|| value.to_owned())
    };
    Ok(PointFile {
        series,
        kind,
        units,
        columns,
        publication: above
            .iter()
            .map(|line| cell::clean(line.text))
            .find(|text| text.contains("Atlas"))
            .map(str::to_owned),
        location: name("location name").or_else(|| name("station name")),
        latitude: degrees("latitude").filter(|degrees| degrees.abs() <= 90.0),
        longitude: degrees("longitude").filter(|degrees| degrees.abs() <= 360.0),
        warnings,
    })
}

/// The value of the line that begins with a label, up to the colon.
fn labelled<'a>(lines: &[Line<'a>], label: &str) -> Option<(Line<'a>, &'a str)> {
    lines.iter().find_map(|&line| {
        let (name, value) = cell::clean(line.text).split_once(':')?;
        name.trim().to_lowercase().starts_with(label).then(|| (line, value.trim()))
    })
}

/// The unit of the title line, and whether it is per hour.
fn units<'a>(lines: &[Line<'a>], first: Line<'a>) -> Result<(PointFileUnits, bool, Line<'a>), PointFileError> {
    let title = lines.iter().find(|line| line.text.to_lowercase().contains("precipitation frequency estimates ("));
    let Some(&line) = title else { return Err(first.error(PointFileProblem::NoUnit)) };
    let inside = line.text.split_once('(').and_then(|(_, rest)| rest.split_once(')')).map(|(unit, _)| unit);
    let unit = inside.unwrap_or_default().trim().to_lowercase();
    let (unit, per_hour) = match unit.as_str() {
        "inches" => (PointFileUnits::Inches, false),
        "inches/hour" => (PointFileUnits::Inches, true),
        "millimeters" | "millimetres" => (PointFileUnits::Millimetres, false),
        "millimeters/hour" | "millimetres/hour" => (PointFileUnits::Millimetres, true),
        _ => return Err(line.error(PointFileProblem::UnknownUnit)),
    };
    Ok((unit, per_hour, line))
}

fn kind<'a>(lines: &[Line<'a>], first: Line<'a>) -> Result<(Kind, Option<Line<'a>>), PointFileError> {
    let Some((line, value)) = labelled(lines, "data type") else {
        return Err(first.error(PointFileProblem::NoKind));
    };
    let value = value.to_lowercase();
    match (value.contains("depth"), value.contains("intensity")) {
        (true, false) => Ok((Kind::Depth, Some(line))),
        (false, true) => Ok((Kind::Intensity, Some(line))),
        _ => Err(line.error(PointFileProblem::UnknownKind)),
    }
}

fn series(lines: &[Line<'_>], header: &Header, warnings: &mut Vec<PointFileWarning>) -> Result<Series, PointFileError> {
    let Some((line, value)) = labelled(lines, "time series type") else {
        warnings.push(PointFileWarning::SeriesFromHeader);
        return Ok(header.series);
    };
    let value = value.to_lowercase();
    let stated = if value.contains("partial duration") {
        Series::PartialDuration
    } else if value.contains("annual maximum") {
        Series::AnnualMaximum
    } else {
        return Err(line.error(PointFileProblem::UnknownSeries));
    };
    if stated != header.series {
        warnings.push(PointFileWarning::SeriesAgainstHeader);
    }
    Ok(header.series)
}
