//! What the first rows tell of a record: the order of day and month, the usual step, whether dry rows are written.

use super::cell::{RainCell, RainReader, shown};
use super::columns::Columns;
use super::error::RecordError;
use super::options::{DateOrder, RainKind, RainUnit, RecordOptions, StampConvention};
use super::rows::Picker;
use super::stamp::{Date, stamp_of};
use super::stamp_reader::StampReader;
use super::words::said;
use crate::quantity::Duration;
use std::collections::BTreeMap;

/// Rows that the step is learnt from.
const ROWS: usize = 5_000;
/// The share of the most frequent time between rows that makes a record regular.
const REGULAR_SHARE: f64 = 0.5;
/// Rising rows from which a column of depths looks like a running total.
const RISES: usize = 20;
/// The time in which the tip of a gauge's bucket fell at most, where nothing else is known (common practice, no
/// source). A shorter one makes rain sharper than it was, a longer one blunter.
const TIP_S: i64 = 300;
const LONGEST_S: f64 = 100.0 * 365.25 * 86_400.0;

/// How to read the rows.
#[derive(Clone, Debug)]
pub(super) struct Learned {
    pub(super) order: Option<DateOrder>,
    pub(super) step: i64,
    /// The longest time that is no gap. Nothing where there are no gaps.
    pub(super) longest_gap: Option<i64>,
    pub(super) wet_rows_only: bool,
    pub(super) kind: RainKind,
    pub(super) unit: RainUnit,
    pub(super) against_header: bool,
    pub(super) convention: StampConvention,
    pub(super) first: i64,
}

/// The order of day and month in the rows: that in which one of them is above 12.
fn order(rows: &[(u64, &[u8])], picker: &Picker, columns: &Columns) -> Result<Option<DateOrder>, RecordError> {
    let mut found = None;
    let mut unclear = None;
    for (line, text) in rows {
        let row = picker.pick(text);
        let Some(stamp) = stamp_of(columns.layout, row.time()) else { continue };
        let Date::Unordered(first, second, _) = stamp.date else { continue };
        let cell = || shown(row.time().first().copied().unwrap_or_default());
        let told = match (first, second) {
            (13.., 1..=12) => DateOrder::DayFirst,
            (1..=12, 13..) => DateOrder::MonthFirst,
            _ => {
                unclear.get_or_insert_with(cell);
                continue;
            }
        };
        if *found.get_or_insert(told) != told {
            return Err(RecordError::DateOrderMixed { line: *line, cell: cell() });
        }
    }
    match (found, unclear) {
        (None, Some(cell)) => Err(RecordError::DateOrderUnclear { cell }),
        (found, _) => Ok(found),
    }
}

/// Stamps and figures of the first rows.
#[derive(Default)]
struct Sample {
    stamps: Vec<i64>,
    figures: Vec<f64>,
    /// Whether no stamp has a time of day.
    dates_only: bool,
}

fn sample(
    rows: &[(u64, &[u8])],
    picker: &Picker,
    columns: &Columns,
    delimiter: u8,
    order: Option<DateOrder>,
) -> Sample {
    let mut stamps = StampReader::new(columns.layout, order);
    let mut rain = RainReader::new(delimiter);
    let mut found = Sample { dates_only: true, ..Sample::default() };
    for (_, text) in rows {
        let row = picker.pick(text);
        if columns.station.as_ref().is_some_and(|(_, wanted)| row.station != wanted.as_slice()) {
            continue;
        }
        let Some(told) = stamps.read(row.time()) else { continue };
        found.dates_only &= stamp_of(columns.layout, row.time()).is_some_and(|stamp| stamp.clock.is_none());
        found.stamps.push(told.seconds);
        match rain.read(row.rain) {
            RainCell::Number(figure) => found.figures.push(figure),
            RainCell::Trace => found.figures.push(0.0),
            RainCell::Missing | RainCell::Unreadable => {}
        }
        if found.stamps.len() >= ROWS {
            break;
        }
    }
    found
}

impl Sample {
    /// The first values above zero, as they would be typed.
    fn values(&self) -> Vec<String> {
        self.figures.iter().filter(|figure| **figure > 0.0).take(5).map(f64::to_string).collect()
    }

    /// Whether the figures rise far more often than they fall, as those of a running total do and depths do not.
    fn mostly_rises(&self) -> bool {
        let pairs = || self.figures.iter().zip(self.figures.iter().skip(1));
        let rises = pairs().filter(|(before, after)| after > before).count();
        let falls = pairs().filter(|(before, after)| after < before).count();
        rises >= RISES && falls * 10 <= rises
    }

    /// Whether a row without rain is among them.
    fn has_dry_row(&self, kind: RainKind) -> bool {
        match kind {
            RainKind::Cumulative => {
                self.figures.iter().zip(self.figures.iter().skip(1)).any(|(before, after)| after <= before)
            }
            RainKind::Depth | RainKind::Intensity => self.figures.contains(&0.0),
        }
    }

    /// Whether the newest row comes first.
    fn runs_backwards(&self) -> bool {
        let pairs = || self.stamps.iter().zip(self.stamps.iter().skip(1));
        let falls = pairs().filter(|(before, after)| after < before).count();
        let rises = pairs().filter(|(before, after)| after > before).count();
        falls > 0 && rises * 10 <= falls
    }

    /// The most frequent time between rows with the share of those within a tenth of it, the greatest time that divides all, and whether there is
    /// but one.
    fn steps(&self) -> Option<(i64, f64, i64, bool)> {
        let mut counts: BTreeMap<i64, usize> = BTreeMap::new();
        let mut divisor = 0;
        for (before, after) in self.stamps.iter().zip(self.stamps.iter().skip(1)) {
            if after > before {
                *counts.entry(after - before).or_default() += 1;
                divisor = common_divisor(after - before, divisor);
            }
        }
        let all: usize = counts.values().sum();
        // of equals the shortest
        let (step, _) = counts.iter().rev().max_by_key(|(_, count)| **count)?;
        // a logger's clock may waver by some seconds
        let near: usize = counts.range(step - step / 10..=step + step / 10).map(|(_, count)| *count).sum();
        Some((*step, near as f64 / all as f64, divisor, counts.len() == 1))
    }
}

fn common_divisor(mut a: i64, mut b: i64) -> i64 {
    while b != 0 {
        (a, b) = (b, a % b);
    }
    a
}

/// Whole seconds of a step or gap that the user gave.
fn seconds(given: Duration) -> Result<i64, RecordError> {
    let seconds = given.s().round();
    if !(1.0..=LONGEST_S).contains(&seconds) {
        return Err(RecordError::BadDuration { given });
    }
    #[expect(clippy::cast_possible_truncation, reason = "within a century")]
    Ok(seconds as i64)
}

/// Learns from the first rows, where the user did not say.
pub(super) fn learn(
    rows: &[(u64, &[u8])],
    columns: &Columns,
    delimiter: u8,
    options: &RecordOptions,
) -> Result<Learned, RecordError> {
    let picker = Picker::new(columns, delimiter);
    let order = match options.date_order {
        Some(order) => Some(order),
        None => order(rows, &picker, columns)?,
    };
    let sample = sample(rows, &picker, columns, delimiter, order);
    let rain_name = columns.name(columns.rain);
    let said = said(&rain_name);
    let unclear = || RecordError::KindUnclear { column: rain_name.clone(), values: sample.values() };
    let kind = match options.kind.or(said.kind) {
        Some(kind) => kind,
        None if said.total || sample.mostly_rises() => return Err(unclear()),
        None => RainKind::Depth,
    };
    let Some(unit) = options.unit.or(said.unit) else {
        return Err(RecordError::UnitUnknown { column: rain_name, values: sample.values() });
    };
    let against_header = options.unit.is_some_and(|unit| said.unit.is_some_and(|said| said != unit))
        || options.kind.is_some_and(|kind| said.kind.is_some_and(|said| said != kind));
    if options.highest_intensity.is_some_and(|highest| !(highest.ms() > 0.0 && highest.is_finite())) {
        return Err(RecordError::BadIntensity);
    }

    if sample.runs_backwards() {
        return Err(RecordError::Backwards);
    }
    let given_step = options.step.map(seconds).transpose()?;
    let given_gap = options.longest_gap.map(seconds).transpose()?;
    let steps = sample.steps();
    let wet_rows_only = options.wet_rows_only.unwrap_or_else(|| {
        steps.is_some_and(|(_, share, _, one)| share < REGULAR_SHARE || (!one && !sample.has_dry_row(kind)))
    });
    let step = match (given_step, steps) {
        (Some(step), _) => step,
        (None, Some((step, share, divisor, _))) => match wet_rows_only {
            true if share < REGULAR_SHARE => {
                if divisor >= TIP_S {
                    divisor
                } else {
                    TIP_S
                }
            }
            true => step.max(60),
            false => step,
        },
        (None, None) if sample.dates_only && !sample.stamps.is_empty() => super::moment::DAY,
        // no row can be read: let the rows say why
        (None, None) if sample.stamps.is_empty() => 1,
        (None, None) => return Err(RecordError::StepUnknown),
    };
    let longest_gap = match given_gap {
        Some(gap) => Some(gap),
        None if wet_rows_only => None,
        None => Some(step + step / 2),
    };
    let convention = match (kind, options.convention) {
        // the rain between two readings lies between them
        (RainKind::Cumulative, _) => StampConvention::IntervalEnds,
        (_, Some(convention)) => convention,
        (_, None) if sample.dates_only => StampConvention::IntervalStarts,
        (_, None) => StampConvention::IntervalEnds,
    };
    Ok(Learned {
        order,
        step,
        longest_gap,
        wet_rows_only,
        kind,
        unit,
        against_header,
        convention,
        first: sample.stamps.first().copied().unwrap_or(0),
    })
}
