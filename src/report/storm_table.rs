//! The rows of a storm's course as columns with one unit each, for the text and for CSV.

use crate::quantity::{Duration, Flow, Intensity, Length, Level, UnitSystem, Volume};
use crate::questions::storm::{Course, Row};

/// Decimals that a spreadsheet gets beyond those that people read.
const MORE_DECIMALS: usize = 4;

/// The units of a course's columns.
#[derive(Clone, Copy, Debug)]
pub(crate) struct ColumnUnits {
    us: bool,
}

/// A number with the decimals that people read, and its unit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Figure {
    /// The number.
    pub(crate) value: f64,
    /// Its unit.
    pub(crate) unit: &'static str,
    decimals: usize,
}

impl Figure {
    /// As people read it.
    pub(crate) fn short(self) -> String {
        number(self.value, self.decimals)
    }
    /// As a spreadsheet gets it.
    pub(crate) fn long(self) -> String {
        number(self.value, self.decimals + MORE_DECIMALS)
    }
}

/// A number without a minus before nothing.
fn number(value: f64, decimals: usize) -> String {
    quickly(value, decimals).unwrap_or_else(|| by_all_digits(value, decimals))
}

/// The same digits where the number is small and not half-way between two, so that they need not be looked for one by
/// one: a course has hundreds of them.
fn quickly(value: f64, decimals: usize) -> Option<String> {
    const POWERS: [(u64, f64); 7] =
        [(1, 1e0), (10, 1e1), (100, 1e2), (1_000, 1e3), (10_000, 1e4), (100_000, 1e5), (1_000_000, 1e6)];
    let (power, parts) = *POWERS.get(decimals)?;
    let scaled = value.abs() * parts;
    let below = libm::floor(scaled);
    let rest = scaled - below;
    // the product is right to 1e-16 of itself, here 1e-4 of what is asked for
    if !(scaled < 1e9 && (rest - 0.5).abs() > 1e-3) {
        return None;
    }
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "from 0 to 1e9")]
    let count = if rest > 0.5 { below + 1.0 } else { below } as u64;
    let sign = if value < 0.0 && count > 0 { "-" } else { "" };
    let (whole, part) = (count / power, count % power);
    Some(if decimals == 0 { format!("{sign}{whole}") } else { format!("{sign}{whole}.{part:0decimals$}") })
}

fn by_all_digits(value: f64, decimals: usize) -> String {
    let text = format!("{value:.decimals$}");
    match text.strip_prefix('-') {
        Some(rest) if rest.bytes().all(|letter| matches!(letter, b'0' | b'.')) => rest.to_owned(),
        _ => text,
    }
}

impl ColumnUnits {
    pub(crate) fn new(units: UnitSystem) -> Self {
        Self { us: units == UnitSystem::Us }
    }
    fn choose(self, us: (f64, &'static str, usize), metric: (f64, &'static str, usize)) -> Figure {
        let (value, unit, decimals) = if self.us { us } else { metric };
        Figure { value, unit, decimals }
    }
    pub(crate) fn rain(self, rain: Intensity) -> Figure {
        self.choose((rain.inh(), "in/h", 2), (rain.mmh(), "mm/h", 1))
    }
    pub(crate) fn flow(self, flow: Flow) -> Figure {
        self.choose((flow.gpm(), "gpm", 1), (flow.ls(), "L/s", 2))
    }
    pub(crate) fn level(self, level: Level) -> Figure {
        self.choose((level.ft(), "ft", 2), (level.m(), "m", 3))
    }
    pub(crate) fn depth(self, depth: Length) -> Figure {
        self.choose((depth.inch(), "in", 1), (depth.m() * 1e3, "mm", 0))
    }
    pub(crate) fn volume(self, volume: Volume) -> Figure {
        self.choose((volume.gal(), "gal", 0), (volume.litre(), "L", 0))
    }
    pub(crate) fn minutes(self, time: Duration) -> Figure {
        self.choose((time.minutes(), "min", 1), (time.minutes(), "min", 1))
    }
}

/// The course as CSV: one line a row, units in the heads.
pub fn storm_csv(course: &Course) -> String {
    let units = ColumnUnits::new(course.units);
    let pumps = if course.two_pumps { 2 } else { 1 };
    let mut lines: Vec<Vec<String>> = vec![heads(course, units, pumps)];
    lines.extend(course.rows.iter().map(|row| cells(row, units, pumps)));
    let mut writer = csv::Writer::from_writer(Vec::new());
    for line in &lines {
        // writing to memory cannot fail, and all lines have as many cells as there are heads
        let _ = writer.write_record(line);
    }
    writer.into_inner().map_or_else(|_| String::new(), |bytes| String::from_utf8_lossy(&bytes).into_owned())
}

fn heads(course: &Course, units: ColumnUnits, pumps: usize) -> Vec<String> {
    let head = |name: &str, unit: &str| format!("{name} ({unit})");
    let flow = units.flow(Flow::ZERO).unit;
    let mut heads = vec![
        head("time", units.minutes(Duration::ZERO).unit),
        head("rain", units.rain(Intensity::ZERO).unit),
        head("runoff", flow),
        head("into basin", flow),
        head("level in basin", units.level(course.levels.floor).unit),
    ];
    heads.extend((1..=pumps).map(|pump| format!("pump {pump} runs")));
    heads.push(head("pumped", flow));
    let depth = units.depth(Length::ZERO).unit;
    heads.extend(course.outcome.hollows.iter().map(|hollow| head(&format!("depth at {}", hollow.name), depth)));
    heads.push(head("standing", units.volume(Volume::ZERO).unit));
    heads.extend((1..=pumps).map(|pump| format!("pump {pump} ran since the row above (min)")));
    heads.push("starts since the row above".to_owned());
    heads
}

fn cells(row: &Row, units: ColumnUnits, pumps: usize) -> Vec<String> {
    let mut cells = vec![
        units.minutes(row.at).long(),
        units.rain(row.rain).long(),
        units.flow(row.runoff).long(),
        units.flow(row.into_basin).long(),
        units.level(row.level).long(),
    ];
    cells.extend(row.running.iter().take(pumps).map(|runs| if *runs { "1" } else { "0" }.to_owned()));
    cells.push(units.flow(row.pumped).long());
    cells.extend(row.depths.iter().map(|depth| units.depth(*depth).long()));
    cells.push(units.volume(row.standing).long());
    cells.extend(row.ran.iter().take(pumps).map(|time| units.minutes(*time).long()));
    cells.push(row.starts.to_string());
    cells
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn identity_the_quick_way_gives_the_same_digits(
            value in prop_oneof![-1e9..1e9, -1e4..1e4, -10.0..10.0, -1e-3..1e-3_f64],
            sixteenths in -100_000..100_000_i32,
            decimals in 0..7_usize,
        ) {
            for value in [value, f64::from(sixteenths) / 16.0, f64::from(sixteenths) / 1e3, f64::from(sixteenths)] {
                prop_assert_eq!(number(value, decimals), by_all_digits(value, decimals));
            }
        }
    }

    #[test]
    fn numbers_half_way_and_without_end() {
        for (value, decimals, text) in [
            (0.5, 0, "0"),
            (1.5, 0, "2"),
            (-0.04, 1, "0.0"),
            (-0.0, 2, "0.00"),
            (7.0, 1, "7.0"),
            (0.05, 1, "0.1"),
            (1e12, 1, "1000000000000.0"),
            (f64::INFINITY, 1, "inf"),
            (f64::NAN, 0, "NaN"),
        ] {
            assert_eq!(number(value, decimals), text);
        }
        assert_eq!(quickly(12.25, 1), None);
        assert_eq!(quickly(12.26, 1).as_deref(), Some("12.3"));
    }
}
