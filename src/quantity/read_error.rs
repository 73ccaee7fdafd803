//! Why a text is not a quantity, and what to write instead.

use super::UnitSystem;
use super::units::metric;
use std::ops::Range;

/// Why a text could not be read. `at` is the byte range at fault.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum ReadError {
    /// Nothing is written.
    #[error("{wanted} is missing")]
    Empty {
        /// What was asked for, with its article.
        wanted: &'static str,
        /// Something that would be read.
        example: &'static str,
        /// Where.
        at: Range<usize>,
    },
    /// No digit at all.
    #[error("there is no number in `{text}`")]
    NoNumber {
        /// What is written.
        text: String,
        /// Something that would be read.
        example: &'static str,
        /// Where.
        at: Range<usize>,
    },
    /// Words before the number.
    #[error("a single number is needed, and `{before}` stands before it")]
    WordsBefore {
        /// What stands before the number.
        before: String,
        /// The text without them.
        rest: String,
        /// Where.
        at: Range<usize>,
    },
    /// Digits, points and commas that make no number.
    #[error("`{number}` is not a number")]
    BadNumber {
        /// What is written.
        number: String,
        /// Where.
        at: Range<usize>,
    },
    /// A comma that is not between groups of three digits.
    #[error("the comma in `{number}` does not part groups of three digits")]
    Comma {
        /// What is written.
        number: String,
        /// What was probably meant.
        instead: String,
        /// Where.
        at: Range<usize>,
    },
    /// A comma before three digits in a metric number: thousands, or a decimal point.
    #[error("the comma in `{number}` may part thousands or be a decimal point")]
    CommaInMetric {
        /// What is written.
        number: String,
        /// The number without the comma, and its unit.
        thousands: String,
        /// The number with a point in its place, and its unit.
        decimal: String,
        /// Where.
        at: Range<usize>,
    },
    /// A fraction over nothing.
    #[error("`{number}` divides by zero")]
    ZeroDenominator {
        /// What is written.
        number: String,
        /// Where.
        at: Range<usize>,
    },
    /// The fraction of a mixed number is not below one.
    #[error("the fraction in `{number}` is not less than one")]
    MixedNumber {
        /// What is written.
        number: String,
        /// Where.
        at: Range<usize>,
    },
    /// Infinite, undefined, or too large to compute with.
    #[error("`{number}` is not a number that can be worked with")]
    NotFinite {
        /// What is written.
        number: String,
        /// Something that would be read.
        example: &'static str,
        /// Where.
        at: Range<usize>,
    },
    /// A range, or numbers that do not belong together.
    #[error("`{text}` is more than one number")]
    TwoNumbers {
        /// What is written.
        text: String,
        /// What was probably meant.
        instead: Option<String>,
        /// Something that would be read.
        example: &'static str,
        /// Where.
        at: Range<usize>,
    },
    /// A bare number where a unit belongs.
    #[error("`{number}` has no unit, and {wanted} needs one")]
    NoUnit {
        /// The number.
        number: String,
        /// What was asked for, with its article.
        wanted: &'static str,
        /// The units to propose.
        propose: &'static [&'static str],
        /// All units that are read.
        accepted: &'static [&'static str],
        /// Where.
        at: Range<usize>,
    },
    /// A unit of something else.
    #[error("`{unit}` is a unit of {found}, not of {}", noun(wanted))]
    WrongUnit {
        /// The unit as written.
        unit: String,
        /// What it measures.
        found: &'static str,
        /// What was asked for, with its article.
        wanted: &'static str,
        /// The units that would do.
        accepted: &'static [&'static str],
        /// Where.
        at: Range<usize>,
    },
    /// A pressure where a height is wanted.
    #[error("`{unit}` is a unit of pressure, not of {}", noun(wanted))]
    PressureForHeight {
        /// The unit as written.
        unit: String,
        /// What was asked for, with its article.
        wanted: &'static str,
        /// One of the unit, as a column of water.
        one: String,
        /// The whole, as a column of water.
        instead: String,
        /// Where.
        at: Range<usize>,
    },
    /// A unit of the right kind that this is never written in.
    #[error("`{unit}` is not used for {wanted}")]
    UnusualUnit {
        /// The unit as written.
        unit: String,
        /// What was asked for, with its article.
        wanted: &'static str,
        /// The units that would do.
        accepted: &'static [&'static str],
        /// Where.
        at: Range<usize>,
    },
    /// A plain number with a unit.
    #[error("a plain number is wanted here, without `{unit}`")]
    UnitOfNumber {
        /// The unit as written.
        unit: String,
        /// The number.
        number: String,
        /// Where.
        at: Range<usize>,
    },
    /// `m` where a time is wanted.
    #[error("`{unit}` is metres, and {wanted} is wanted")]
    MetresForTime {
        /// The unit as written.
        unit: String,
        /// What was asked for, with its article.
        wanted: &'static str,
        /// What was probably meant.
        instead: String,
        /// Where.
        at: Range<usize>,
    },
    /// A capital that changes the meaning.
    #[error("a capital `{unit}` may mean a thousand or a million")]
    Capital {
        /// The unit as written.
        unit: String,
        /// What to write.
        instead: String,
        /// Where.
        at: Range<usize>,
    },
    /// Imperial gallons.
    #[error("`{unit}` is an imperial measure: its gallon is 1.201 US gallons, and only US gallons are read")]
    Imperial {
        /// The unit as written.
        unit: String,
        /// Where.
        at: Range<usize>,
    },
    /// A unit that nothing is known of.
    #[error("`{unit}` is not a unit of {}", noun(wanted))]
    UnknownUnit {
        /// The unit as written.
        unit: String,
        /// What was asked for, with its article.
        wanted: &'static str,
        /// What was probably meant.
        instead: Option<String>,
        /// The units that would do.
        accepted: &'static [&'static str],
        /// Where.
        at: Range<usize>,
    },
    /// `3 ft 14 in`.
    #[error("`{text}` has too many `{unit}`: {limit} make one `{larger}`")]
    TooMany {
        /// What is written.
        text: String,
        /// The smaller unit.
        unit: &'static str,
        /// The larger unit.
        larger: &'static str,
        /// How many make one.
        limit: f64,
        /// The sum.
        instead: String,
        /// Where.
        at: Range<usize>,
    },
    /// `3.5 ft 6 in`.
    #[error("the `{unit}` in `{text}` are not a whole number")]
    NotWhole {
        /// What is written.
        text: String,
        /// The larger unit.
        unit: &'static str,
        /// The sum.
        instead: String,
        /// Where.
        at: Range<usize>,
    },
    /// `6 in 3 ft`.
    #[error("`{text}` has the smaller unit first")]
    WrongOrder {
        /// What is written.
        text: String,
        /// In the right order.
        instead: String,
        /// Where.
        at: Range<usize>,
    },
    /// `12' 6`.
    #[error("the `{number}` in `{text}` has no unit")]
    SecondUnit {
        /// What is written.
        text: String,
        /// The number without a unit.
        number: String,
        /// What was probably meant.
        instead: String,
        /// Where.
        at: Range<usize>,
    },
    /// `1:30` for a time.
    #[error("`{text}` may be hours and minutes or minutes and seconds")]
    Clock {
        /// What is written.
        text: String,
        /// The same as a number of the smaller unit.
        number: String,
        /// Where.
        at: Range<usize>,
    },
    /// A ratio with the run first.
    #[error("`{text}` is steeper than 1:1 if the fall stands first, and flat if the run does")]
    SteepRatio {
        /// What is written.
        text: String,
        /// With the fall first.
        instead: String,
        /// Where.
        at: Range<usize>,
    },
    /// A length where a slope is wanted.
    #[error("`{unit}` is a unit of length, and a slope is a fall over a distance")]
    FallWithoutRun {
        /// The unit as written.
        unit: String,
        /// What to write instead.
        instead: String,
        /// Where.
        at: Range<usize>,
    },
    /// Not two lengths with `x` between.
    #[error("two lengths are needed, with one `x` between them")]
    NotAPair {
        /// Where.
        at: Range<usize>,
    },
    /// A number that no pipe size has.
    #[error("`{text}` is not a pipe size")]
    NotASize {
        /// What is written.
        text: String,
        /// Where.
        at: Range<usize>,
    },
}

/// The metric unit that stands in the place of one of the foot, as millimetres in that of inches; any other as it is.
pub(crate) fn metric_twin(unit: &str) -> &str {
    match unit {
        "in" => "mm",
        "ft" => "m",
        "ft2" => "m2",
        "gal" | "ft3" => "L",
        "gpm" => "L/s",
        "ft/s" => "m/s",
        "in/h" => "mm/h",
        "psi" => "kPa",
        "F" => "C",
        "lb" => "kg",
        other => other,
    }
}

/// The units proposed for a bare number in a file in metric units: as many metric ones first as of the foot were, of these
/// then the first.
fn proposed_metric(propose: &'static [&'static str], accepted: &'static [&'static str]) -> Vec<&'static str> {
    let foot: Vec<&str> = propose.iter().copied().filter(|unit| !metric(unit)).collect();
    if foot.len() == propose.len() {
        return foot;
    }
    let first = foot.first().copied();
    accepted.iter().copied().filter(|unit| metric(unit)).take(foot.len()).chain(first).collect()
}

impl ReadError {
    /// What to write instead.
    pub fn hint(&self) -> Option<String> {
        self.hint_in(UnitSystem::Us)
    }
    /// The same, the units of a system first.
    pub fn hint_in(&self, units: UnitSystem) -> Option<String> {
        Some(match self {
            Self::Empty { example, .. } | Self::NoNumber { example, .. } | Self::NotFinite { example, .. } => {
                format!("write it like `{example}`")
            }
            Self::WordsBefore { rest, .. } => format!("write `{rest}`"),
            Self::BadNumber { .. } => "write the digits with one decimal point at most, such as `1250.5`".to_owned(),
            Self::ZeroDenominator { .. } => "write a fraction such as `3/4`, or a decimal such as `0.75`".to_owned(),
            Self::MixedNumber { .. } => {
                "write a mixed number like `3-1/4 in`, or a decimal like `3.25 in`; of a range, write one end"
                    .to_owned()
            }
            Self::TwoNumbers { instead: None, text, example, .. } => {
                let mixed = if text.contains(['-', '/']) { "; a mixed number is written `3-1/4 in`" } else { "" };
                format!("write one number with its unit, such as `{example}`; of a range, write one end{mixed}")
            }
            Self::NoUnit { number, propose, accepted, .. } => {
                let proposed = match units {
                    UnitSystem::Us => propose.to_vec(),
                    UnitSystem::Metric => proposed_metric(propose, accepted),
                };
                let written: Vec<String> = proposed.iter().map(|unit| format!("{number} {unit}")).collect();
                let end = if written.len() > 1 { ", whichever it is" } else { "" };
                format!("write {}{end}", listed(&written, " or "))
            }
            Self::WrongUnit { accepted, .. }
            | Self::UnusualUnit { accepted, .. }
            | Self::UnknownUnit { accepted, instead: None, .. } => match accepted {
                [only] => format!("use `{only}`"),
                _ => format!("use one of {}", listed(accepted, ", ")),
            },
            Self::UnknownUnit { accepted, instead: Some(instead), .. } => {
                let more = if accepted.len() > 1 {
                    format!(" The units are {}", listed(accepted, ", "))
                } else {
                    String::new()
                };
                format!("did you mean `{instead}`?{more}")
            }
            Self::PressureForHeight { unit, one, instead, .. } => {
                format!("that is a pressure; 1 {unit} is {one} of water: write `{instead}`")
            }
            Self::UnitOfNumber { number, .. } => format!("write `{number}`"),
            Self::Imperial { .. } => {
                "a US gallon is 231 cubic inches, an imperial one 4.546 L: write litres, or convert to US gallons \
                 and write `gal` or `gpm`"
                    .to_owned()
            }
            Self::Clock { number, .. } => format!("write `{number} min` or `{number} s`"),
            Self::SteepRatio { instead, .. } => format!("write the fall first: `{instead}`; or write it in percent"),
            Self::NotAPair { .. } => "write `12 in x 12 in`".to_owned(),
            Self::NotASize { .. } => "write `1-1/2 in` or `63 mm`".to_owned(),
            Self::CommaInMetric { thousands, decimal, .. } => format!("write `{thousands}`, or `{decimal}`"),
            Self::Comma { instead, .. }
            | Self::TwoNumbers { instead: Some(instead), .. }
            | Self::MetresForTime { instead, .. }
            | Self::Capital { instead, .. }
            | Self::TooMany { instead, .. }
            | Self::NotWhole { instead, .. }
            | Self::WrongOrder { instead, .. }
            | Self::SecondUnit { instead, .. } => format!("write `{instead}`"),
            Self::FallWithoutRun { instead, .. } => instead.clone(),
        })
    }

    /// The bytes of the text that are at fault; always on character boundaries.
    pub fn span(&self) -> Option<Range<usize>> {
        Some(self.clone().place().clone())
    }

    /// The same fault in a text that starts `by` bytes earlier.
    pub(super) fn shifted(mut self, by: usize) -> Self {
        let at = self.place();
        *at = at.start + by..at.end + by;
        self
    }

    fn place(&mut self) -> &mut Range<usize> {
        match self {
            Self::Empty { at, .. }
            | Self::NoNumber { at, .. }
            | Self::WordsBefore { at, .. }
            | Self::BadNumber { at, .. }
            | Self::Comma { at, .. }
            | Self::CommaInMetric { at, .. }
            | Self::ZeroDenominator { at, .. }
            | Self::MixedNumber { at, .. }
            | Self::NotFinite { at, .. }
            | Self::TwoNumbers { at, .. }
            | Self::NoUnit { at, .. }
            | Self::WrongUnit { at, .. }
            | Self::PressureForHeight { at, .. }
            | Self::UnusualUnit { at, .. }
            | Self::UnitOfNumber { at, .. }
            | Self::MetresForTime { at, .. }
            | Self::Capital { at, .. }
            | Self::Imperial { at, .. }
            | Self::UnknownUnit { at, .. }
            | Self::TooMany { at, .. }
            | Self::NotWhole { at, .. }
            | Self::WrongOrder { at, .. }
            | Self::SecondUnit { at, .. }
            | Self::Clock { at, .. }
            | Self::SteepRatio { at, .. }
            | Self::FallWithoutRun { at, .. }
            | Self::NotAPair { at }
            | Self::NotASize { at, .. } => at,
        }
    }
}

/// A name without its article.
fn noun(described: &str) -> &str {
    described.split_once(' ').map_or(described, |(_, noun)| noun)
}

/// Each in quotes, the last after `joint`.
fn listed(items: &[impl AsRef<str>], joint: &str) -> String {
    let quoted: Vec<String> = items.iter().map(|item| format!("`{}`", item.as_ref())).collect();
    match quoted.split_last() {
        Some((last, rest)) if !rest.is_empty() => format!("{}{joint}{last}", rest.join(", ")),
        _ => quoted.concat(),
    }
}
