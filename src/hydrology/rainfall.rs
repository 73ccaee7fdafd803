//! Rain of one return period: how intense it is over how long.

use crate::quantity::factor::MINUTE;
use crate::quantity::{Duration, Intensity, Measure, RainDepth, Real, ReturnPeriod};
use crate::working::{Silent, Working};

/// Room for the rounding of unit conversions when a duration is compared with the ends of a table.
const SLACK: f64 = 1e-9;

/// What is wrong with a rain, or with what was asked of it.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum RainError {
    /// A table of fewer than two durations.
    #[error("a rain table needs at least two durations; this one has {count}")]
    TooFewPoints {
        /// How many it has.
        count: usize,
    },
    /// A duration or depth that is zero, negative or not a number.
    #[error("at {} the duration and the depth must both be numbers above zero", spoken(*duration))]
    NotPositive {
        /// The duration of the point.
        duration: Duration,
    },
    /// The same duration twice.
    #[error("{} stands twice in the rain table", spoken(*duration))]
    Duplicate {
        /// The duration.
        duration: Duration,
    },
    /// Less rain in a longer time.
    #[error("less rain falls in {} than in {}: depth can only grow with duration", spoken(*longer), spoken(*shorter))]
    DepthFalls {
        /// The shorter duration.
        shorter: Duration,
        /// The longer one, with the smaller depth.
        longer: Duration,
    },
    /// A longer burst that is the more intense one.
    #[error(
        "the average intensity over {} is higher than over {}: it can only fall with duration",
        spoken(*longer),
        spoken(*shorter)
    )]
    IntensityRises {
        /// The shorter duration.
        shorter: Duration,
        /// The longer one, with the higher intensity.
        longer: Duration,
    },
    /// A formula `a/(t + b)^c` that describes no rain.
    #[error("in the intensity formula a must be above 0, b at least 0, c above 0, and b above 0 where c is above 1")]
    BadFormula,
    /// A constant intensity that is negative or not a number.
    #[error("the rain intensity must be a number, zero or above")]
    BadIntensity,
    /// A duration that is zero, negative or not a number.
    #[error("the duration must be a number above zero, not {} min", duration.minutes())]
    BadDuration {
        /// What was asked.
        duration: Duration,
    },
    /// A duration for which the rain is not known. Rain is never extrapolated.
    #[error("the rain is not known for {}: {}", spoken(*duration), range(*shortest, *longest))]
    OutsideTable {
        /// What was asked. For a time of concentration beyond the longest duration: at least this much.
        duration: Duration,
        /// The shortest duration known.
        shortest: Option<Duration>,
        /// The longest duration known.
        longest: Option<Duration>,
    },
    /// A mass curve that is none.
    #[error("a distribution of rain must run from 0 at 0 h up to 1, in order of time, and never fall")]
    BadDistribution,
    /// Excess rain or an area that no hydrograph can be made of.
    #[error("a hydrograph needs excess rain and an area that are numbers, zero or above")]
    BadRunoff,
    /// A piece of a flow path without a travel time.
    #[error("piece {reach} of the flow path: length must be zero or above; slope, roughness and rain above zero")]
    Reach {
        /// Number of the piece, from 1.
        reach: usize,
    },
    /// A contributing surface that is not described by numbers.
    #[error("contributing surface {part}: coefficient, area and time must be numbers, zero or above")]
    Contribution {
        /// Number of the surface, from 1.
        part: usize,
    },
}

/// A duration as people say it.
fn spoken(duration: Duration) -> String {
    let (value, unit) = if duration < Duration::from_h(2.0) {
        (duration.minutes(), "min")
    } else if duration <= Duration::from_h(48.0) {
        (duration.h(), "h")
    } else {
        (duration.day(), "days")
    };
    let text = format!("{value:.2}");
    format!("{} {unit}", text.trim_end_matches('0').trim_end_matches('.'))
}

fn range(shortest: Option<Duration>, longest: Option<Duration>) -> String {
    match (shortest, longest) {
        (Some(shortest), Some(longest)) => {
            format!("its table runs from {} to {}", spoken(shortest), spoken(longest))
        }
        (Some(shortest), None) => format!("it starts at {}", spoken(shortest)),
        (None, Some(longest)) => format!("its formula holds up to {}", spoken(longest)),
        (None, None) => "it has no table".to_owned(),
    }
}

/// Rain of one return period: depth against duration, straight between the points on log-log axes.
#[derive(Clone, Debug, PartialEq)]
pub struct DepthDuration {
    points: Vec<(Duration, RainDepth)>,
}

impl DepthDuration {
    /// A table from its points, in any order.
    ///
    /// # Errors
    ///
    /// Fewer than two points, a value that is not above zero, a duration that stands twice, a depth that falls
    /// with duration, or an average intensity that rises with it.
    pub fn new(mut points: Vec<(Duration, RainDepth)>) -> Result<Self, RainError> {
        if points.len() < 2 {
            return Err(RainError::TooFewPoints { count: points.len() });
        }
        for &(duration, depth) in &points {
            let good = |value: f64| value.is_finite() && value > 0.0;
            if !(good(duration.s()) && good(depth.m())) {
                return Err(RainError::NotPositive { duration });
            }
        }
        points.sort_by(|one, other| one.0.s().total_cmp(&other.0.s()));
        for (&(shorter, less), &(longer, more)) in points.iter().zip(points.iter().skip(1)) {
            if longer.s() <= shorter.s() * (1.0 + SLACK) {
                return Err(RainError::Duplicate { duration: longer });
            }
            if more.m() < less.m() * (1.0 - SLACK) {
                return Err(RainError::DepthFalls { shorter, longer });
            }
            if more / longer > less / shorter * (1.0 + SLACK) {
                return Err(RainError::IntensityRises { shorter, longer });
            }
        }
        Ok(Self { points })
    }
    /// The points, shortest duration first.
    pub fn points(&self) -> &[(Duration, RainDepth)] {
        &self.points
    }
    /// The shortest duration.
    pub fn shortest(&self) -> Duration {
        self.points.first().map_or(Duration::ZERO, |point| point.0)
    }
    /// The longest duration.
    pub fn longest(&self) -> Duration {
        self.points.last().map_or(Duration::ZERO, |point| point.0)
    }
    /// The points on either side of a duration inside the table; the same one twice on a point.
    fn around(&self, duration: Duration) -> Option<[(Duration, RainDepth); 2]> {
        if let Some(&point) = self.points.iter().find(|point| (point.0 - duration).abs() <= duration * SLACK) {
            return Some([point, point]);
        }
        self.points
            .iter()
            .zip(self.points.iter().skip(1))
            .find(|(before, after)| before.0 < duration && duration < after.0)
            .map(|(&before, &after)| [before, after])
    }
}

/// The rain of one return period, in whichever form the site has it.
#[derive(Clone, Debug, PartialEq)]
pub enum Rain {
    /// Depths by duration.
    Table(DepthDuration),
    /// `i = a / (t + b)^c` with `t` and `b` counted in minutes; `a` in the unit of the intensity.
    Formula {
        /// The intensity where `t + b` is one minute.
        a: Intensity,
        /// Added to the duration.
        b: Duration,
        /// The exponent.
        c: f64,
    },
    /// One intensity, whatever the duration.
    Constant(Intensity),
}

impl Rain {
    /// The formula `i = a / (t + b)^c`, `t` and `b` counted in minutes: `formula(49.7 in/h, 7.2 min, 0.743)`.
    ///
    /// # Errors
    ///
    /// [`RainError::BadFormula`] unless `a > 0`, `b >= 0` and `c > 0`. With `c > 1` depth falls beyond a duration of
    /// `b/(c - 1)`: `b` must then be above zero, and the formula holds up to there.
    pub fn formula(a: Intensity, b: Duration, c: f64) -> Result<Self, RainError> {
        let good = a.is_finite()
            && a > Intensity::ZERO
            && b.is_finite()
            && b >= Duration::ZERO
            && c.is_finite()
            && c > 0.0
            && (c <= 1.0 || b > Duration::ZERO);
        if good { Ok(Self::Formula { a, b, c }) } else { Err(RainError::BadFormula) }
    }
    /// The shortest duration of a table.
    pub fn shortest(&self) -> Option<Duration> {
        match self {
            Self::Table(table) => Some(table.shortest()),
            Self::Formula { .. } | Self::Constant(_) => None,
        }
    }
    /// The longest duration of a table; of a formula with `c > 1` the one where its depth is largest.
    pub fn longest(&self) -> Option<Duration> {
        match self {
            Self::Table(table) => Some(table.longest()),
            Self::Formula { b, c, .. } if *c > 1.0 => Some(*b / (c - 1.0)),
            Self::Formula { .. } | Self::Constant(_) => None,
        }
    }
    /// Whether the rain is known for a duration.
    ///
    /// # Errors
    ///
    /// [`RainError::OutsideTable`], [`RainError::BadDuration`], or what is wrong with the rain itself.
    pub fn check(&self, duration: Duration) -> Result<(), RainError> {
        match *self {
            Self::Constant(intensity) => {
                return if intensity.is_finite() && intensity >= Intensity::ZERO {
                    Ok(())
                } else {
                    Err(RainError::BadIntensity)
                };
            }
            Self::Formula { a, b, c } => drop(Self::formula(a, b, c)?),
            Self::Table(_) => {}
        }
        if !(duration.is_finite() && duration > Duration::ZERO) {
            return Err(RainError::BadDuration { duration });
        }
        let (shortest, longest) = (self.shortest(), self.longest());
        let short = shortest.is_some_and(|shortest| duration < shortest * (1.0 - SLACK));
        let long = longest.is_some_and(|longest| duration > longest * (1.0 + SLACK));
        if short || long { Err(RainError::OutsideTable { duration, shortest, longest }) } else { Ok(()) }
    }
    /// The average intensity of the worst burst of a duration.
    ///
    /// # Errors
    ///
    /// [`RainError::OutsideTable`] where the rain is not known (it is never extrapolated), [`RainError::BadDuration`]
    /// for a duration that is not above zero. A constant holds for any duration.
    pub fn intensity(&self, duration: Duration) -> Result<Intensity, RainError> {
        self.intensity_worked(&mut Silent, duration)
    }
    /// The depth of the worst burst of a duration.
    ///
    /// # Errors
    ///
    /// As [`Rain::intensity`]; here the duration must be above zero for a constant too.
    pub fn depth(&self, duration: Duration) -> Result<RainDepth, RainError> {
        if !(duration.is_finite() && duration > Duration::ZERO) {
            return Err(RainError::BadDuration { duration });
        }
        Ok(self.intensity(duration)? * duration)
    }
    /// [`Rain::intensity`], showing how it was found; the duration is called `t`.
    ///
    /// # Errors
    ///
    /// As [`Rain::intensity`].
    pub fn intensity_worked<W: Working>(
        &self,
        working: &mut W,
        duration: Duration,
    ) -> Result<Intensity<W::N>, RainError> {
        let named = working.given("t", duration);
        self.intensity_of_named(working, named)
    }
    /// [`Rain::intensity_worked`] for a duration that has its name already.
    ///
    /// # Errors
    ///
    /// As [`Rain::intensity`].
    pub fn intensity_of_named<W: Working>(
        &self,
        working: &mut W,
        duration: Duration<W::N>,
    ) -> Result<Intensity<W::N>, RainError> {
        let plain = Duration::from_s(duration.s().value());
        self.check(plain)?;
        let intensity = match *self {
            Self::Constant(intensity) => return Ok(working.given("i", intensity)),
            Self::Formula { a, b, c } => {
                let (a, b) = (working.given("a", a), working.given("b", b));
                let counted = (duration + b) / Duration::from_si(W::N::from(MINUTE));
                working.step("i", "rain intensity", "intensity formula as entered", a / counted.powf(c))
            }
            Self::Table(ref table) => {
                // a duration inside the ends always has neighbours
                let Some([(t1, p1), (t2, p2)]) = table.around(plain) else {
                    return Err(RainError::OutsideTable {
                        duration: plain,
                        shortest: self.shortest(),
                        longest: self.longest(),
                    });
                };
                let depth = if t1 == t2 {
                    working.given("P", p1)
                } else {
                    let (t1, p1) = (working.given(("t", 1), t1), working.given(("P", 1), p1));
                    let (t2, p2) = (working.given(("t", 2), t2), working.given(("P", 2), p2));
                    let depth = p1 * ((p2 / p1).ln() * (duration / t1).ln() / (t2 / t1).ln()).exp();
                    working.step("P", "rain depth", "entered depths, straight between on log-log axes", depth)
                };
                working.step("i", "rain intensity", "depth over duration", depth / duration)
            }
        };
        if intensity.ms().value().is_finite() { Ok(intensity) } else { Err(RainError::BadDuration { duration: plain }) }
    }
}

/// The partial-duration return period of an annual-maximum one: `-1 / ln(1 - 1/T)`.
///
/// A 2-year storm of the annual-maximum series returns every 1.44 years in the partial-duration series; from 10
/// years up the two agree within 5 %. None unless `T` is above one year.
///
/// Source: the Langbein relation (from memory).
pub fn partial_duration_period(annual_maximum: ReturnPeriod) -> Option<ReturnPeriod> {
    let years = annual_maximum.years();
    (years.is_finite() && years > 1.0).then(|| ReturnPeriod::from_years(-1.0 / libm::log1p(-1.0 / years)))
}

/// The annual-maximum return period of a partial-duration one: `1 / (1 - exp(-1/T))`.
///
/// None unless `T` is above zero. Source: the Langbein relation (from memory).
pub fn annual_maximum_period(partial_duration: ReturnPeriod) -> Option<ReturnPeriod> {
    let years = partial_duration.years();
    (years.is_finite() && years > 0.0).then(|| ReturnPeriod::from_years(-1.0 / libm::expm1(-1.0 / years)))
}
