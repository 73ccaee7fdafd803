//! The time that water takes from the farthest point of a catchment to its outlet.

use super::rainfall::{Rain, RainError};
use super::travel_time::{
    manning_velocity, shallow_velocity, sheet_flow_kinematic, sheet_flow_limit, sheet_flow_nrcs, travel_time,
};
use crate::quantity::{Amount, Duration, Intensity, Length, Measure, RainDepth, Real, Slope, Velocity};
use crate::working::{Silent, Working};

/// The iteration ends when the time repeats itself this closely, relative.
const CLOSE: f64 = 1e-13;
/// A shorter time than any that matters, where the search begins when nothing else bounds it.
const INSTANT: Duration = Duration::from_min(1e-7);
/// The longest way over which current NRCS practice lets water go as a sheet (NEH 630 chapter 15, 2010), feet.
const SHEET_LIMIT_FT: f64 = 100.0;

/// A piece of a flow path.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Reach {
    /// Water as a thin sheet.
    Sheet {
        /// Length of the piece.
        length: Length,
        /// Its slope.
        slope: Slope,
        /// Overland roughness, not a pipe's.
        roughness: f64,
    },
    /// Water gathered in rills and ruts.
    Shallow {
        /// Length of the piece.
        length: Length,
        /// Its slope.
        slope: Slope,
        /// Velocity where the slope is 1.
        coefficient: Velocity,
    },
    /// Water in a channel.
    Channel {
        /// Length of the piece.
        length: Length,
        /// Its slope.
        slope: Slope,
        /// Manning's roughness.
        roughness: f64,
        /// Cross-section over wetted perimeter.
        hydraulic_radius: Length,
    },
    /// A round pipe running full: its hydraulic radius is a quarter of its bore.
    Pipe {
        /// Length of the piece.
        length: Length,
        /// Its slope.
        slope: Slope,
        /// Manning's roughness.
        roughness: f64,
        /// Inside diameter.
        bore: Length,
    },
}

/// How the time of sheet flow is found.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum SheetMethod {
    /// Kinematic wave with the site's own rain over the time of concentration of the whole path.
    Kinematic,
    /// The NRCS form.
    Nrcs {
        /// Depth of the 2-year 24-hour rain.
        two_year_24_hour: RainDepth,
    },
}

/// What is doubtful about a flow path. Pieces are numbered from 1.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum TimeWarning {
    /// A sheet longer than [`sheet_flow_limit`]: the water gathers sooner.
    SheetBeyondLimit {
        /// Number of the piece.
        reach: usize,
        /// Its length.
        length: Length,
        /// The limit.
        limit: Length,
    },
    /// Sheet flow over more than 100 ft in all, beyond current NRCS practice (NEH 630 chapter 15, 2010).
    SheetBeyondPractice {
        /// Length of all sheet flow on the path.
        length: Length,
        /// The limit.
        limit: Length,
    },
    /// Water that spreads to a sheet again after it had gathered.
    SheetAfterGathering {
        /// Number of the piece.
        reach: usize,
    },
}

/// A time of concentration and how it came about.
#[derive(Clone, Debug, PartialEq)]
pub struct TimeOfConcentration {
    /// The time of concentration, the minimum included.
    pub time: Duration,
    /// Whether the path takes less than the minimum.
    pub minimum_governs: bool,
    /// The time over each piece.
    pub reaches: Vec<Duration>,
    /// Passes of the iteration; none where the time does not depend on the rain.
    pub iterations: u32,
    /// What the path takes in rain of the assumed duration, less that duration, where the minimum does not govern.
    pub residual: Duration,
    /// What is doubtful.
    pub warnings: Vec<TimeWarning>,
}

impl TimeOfConcentration {
    /// A time that was entered, held to a minimum.
    pub fn entered(time: Duration, minimum: Duration) -> Self {
        Self {
            time: time.max(minimum),
            minimum_governs: time < minimum,
            reaches: Vec::new(),
            iterations: 0,
            residual: Duration::ZERO,
            warnings: Vec::new(),
        }
    }
}

/// The rain as sheet flow sees it.
#[derive(Clone, Copy)]
enum SheetRain<N> {
    Intensity(Intensity<N>),
    TwoYear(RainDepth<N>),
}

/// The time over one piece, shown.
fn reach_time<W: Working>(
    working: &mut W,
    number: usize,
    reach: &Reach,
    sheet: Option<SheetRain<W::N>>,
) -> Result<Duration<W::N>, RainError> {
    let time = match *reach {
        Reach::Sheet { length, slope, roughness } => {
            let roughness = working.given(("n", number), roughness);
            let length = working.given(("L", number), length);
            let slope = working.given(("S", number), slope);
            let (source, time) = match sheet {
                Some(SheetRain::Intensity(intensity)) => (
                    "kinematic wave with Manning's equation, exact in SI (HDS-2 eq. 2.5)",
                    sheet_flow_kinematic(roughness, length, slope, intensity),
                ),
                Some(SheetRain::TwoYear(depth)) => {
                    ("NRCS sheet flow (TR-55 eq. 3-3)", sheet_flow_nrcs(roughness, length, slope, depth))
                }
                None => return Err(RainError::Reach { reach: number }),
            };
            working.step(("T", number), "time of sheet flow", source, time)
        }
        Reach::Shallow { length, slope, coefficient } => {
            let coefficient = working.given(("c", number), coefficient);
            let slope = working.given(("S", number), slope);
            let velocity = shallow_velocity(coefficient, slope);
            let velocity =
                working.step(("V", number), "velocity of shallow flow", "V = c sqrt(S) (TR-55 appendix F)", velocity);
            moving_time(working, number, length, velocity)
        }
        Reach::Channel { length, slope, roughness, hydraulic_radius } => {
            let radius = working.given(("R", number), hydraulic_radius);
            let velocity = channel_velocity(working, number, roughness, radius, slope);
            moving_time(working, number, length, velocity)
        }
        Reach::Pipe { length, slope, roughness, bore } => {
            let bore = working.given(("D", number), bore);
            let radius = bore / W::N::from(4.0);
            let radius = working.step(("R", number), "hydraulic radius", "round pipe running full", radius);
            let velocity = channel_velocity(working, number, roughness, radius, slope);
            moving_time(working, number, length, velocity)
        }
    };
    let seconds = time.s().value();
    if seconds.is_finite() && seconds >= 0.0 { Ok(time) } else { Err(RainError::Reach { reach: number }) }
}

fn channel_velocity<W: Working>(
    working: &mut W,
    number: usize,
    roughness: f64,
    radius: Length<W::N>,
    slope: Slope,
) -> Velocity<W::N> {
    let roughness = working.given(("n", number), roughness);
    let slope = working.given(("S", number), slope);
    let velocity = manning_velocity(roughness, radius, slope);
    working.step(("V", number), "velocity", "Manning's equation", velocity)
}

fn moving_time<W: Working>(working: &mut W, number: usize, length: Length, velocity: Velocity<W::N>) -> Duration<W::N> {
    let length = working.given(("L", number), length);
    working.step(("T", number), "travel time", "length over velocity", travel_time(length, velocity))
}

/// The rain duration at which the path is evaluated, and how it was found.
struct Solution {
    storm: Option<Duration>,
    iterations: u32,
}

/// Whether the path's time depends on the rain.
fn needs_intensity(path: &[Reach], method: SheetMethod) -> bool {
    method == SheetMethod::Kinematic && path.iter().any(|reach| matches!(reach, Reach::Sheet { .. }))
}

/// The times over the pieces in rain of a duration.
fn reach_times(
    path: &[Reach],
    method: SheetMethod,
    rain: &Rain,
    storm: Option<Duration>,
) -> Result<Vec<Duration>, RainError> {
    let sheet = match (method, storm) {
        (SheetMethod::Nrcs { two_year_24_hour }, _) => Some(SheetRain::TwoYear(two_year_24_hour)),
        (SheetMethod::Kinematic, Some(storm)) => Some(SheetRain::Intensity(rain.intensity(storm)?)),
        (SheetMethod::Kinematic, None) => None,
    };
    (1..).zip(path).map(|(number, reach)| reach_time(&mut Silent, number, reach, sheet)).collect()
}

/// Solves `t = g(t)`, where `g(t)` is the time of the whole path in rain of duration `t`.
///
/// Depth never falls with duration, so intensity falls no faster than `1/t`, and `g`, which holds it to the power
/// -0.4, rises no faster than `t^0.4`. So `g(t)/t` falls throughout: there is one solution at most, and from a start
/// below it the passes `t <- g(t)` rise to it, the error in `ln t` shrinking to 0.4 or less at each pass. Where they
/// leave the table, so does the solution.
fn solve(path: &[Reach], method: SheetMethod, rain: &Rain, minimum: Duration) -> Result<Solution, RainError> {
    if !needs_intensity(path, method) {
        return Ok(Solution { storm: None, iterations: 0 });
    }
    let mut storm = minimum.max(rain.shortest().unwrap_or(INSTANT)).max(INSTANT);
    for iterations in 1..=100 {
        let time: Duration = reach_times(path, method, rain, Some(storm))?.into_iter().sum();
        if iterations == 1 && time < storm {
            // the path takes less than where the search began: the minimum governs, or the answer is outside the table
            return Ok(Solution { storm: Some(storm), iterations });
        }
        if (time - storm).abs() <= time * CLOSE {
            return Ok(Solution { storm: Some(storm), iterations });
        }
        storm = time;
    }
    // the hundredth pass is closer than 0.4^100: what is left is rounding, and the residual shows it
    Ok(Solution { storm: Some(storm), iterations: 100 })
}

fn warnings(path: &[Reach]) -> Vec<TimeWarning> {
    let mut warnings = Vec::new();
    let mut sheets = Length::ZERO;
    let mut gathered = false;
    for (number, reach) in (1..).zip(path) {
        if let Reach::Sheet { length, slope, roughness } = *reach {
            let limit = sheet_flow_limit(roughness, slope);
            if length > limit {
                warnings.push(TimeWarning::SheetBeyondLimit { reach: number, length, limit });
            }
            if gathered {
                warnings.push(TimeWarning::SheetAfterGathering { reach: number });
            }
            sheets += length;
        } else {
            gathered = true;
        }
    }
    let limit = Length::from_ft(SHEET_LIMIT_FT);
    // a millionth of slack, for lengths entered in metres
    if sheets > limit * (1.0 + 1e-6) {
        warnings.push(TimeWarning::SheetBeyondPractice { length: sheets, limit });
    }
    warnings
}

/// The time of concentration of a flow path: the sum over its pieces, and at least the minimum.
///
/// With [`SheetMethod::Kinematic`] it is found together with the intensity of the rain that lasts as long. Without
/// any piece it is the minimum.
///
/// # Errors
///
/// [`RainError::Reach`] for a piece without a travel time. [`RainError::OutsideTable`] where the time lies outside the
/// durations for which the rain is known; a minimum at or above the shortest of them rules out the lower end.
/// [`RainError::BadDuration`] where minimum and path are both nothing, or the minimum is negative or not a number.
pub fn time_of_concentration(
    path: &[Reach],
    method: SheetMethod,
    rain: &Rain,
    minimum: Duration,
) -> Result<TimeOfConcentration, RainError> {
    time_of_concentration_worked(&mut Silent, 1, path, method, rain, minimum).map(|(time, _)| time)
}

/// [`time_of_concentration`], showing the formula of each piece at the solution; the result is called `tc` with the
/// number of the catchment, the pieces' times `T1`, `T2` and so on.
///
/// # Errors
///
/// As [`time_of_concentration`].
pub fn time_of_concentration_worked<W: Working>(
    working: &mut W,
    index: usize,
    path: &[Reach],
    method: SheetMethod,
    rain: &Rain,
    minimum: Duration,
) -> Result<(TimeOfConcentration, Duration<W::N>), RainError> {
    if !(minimum.is_finite() && minimum >= Duration::ZERO) {
        return Err(RainError::BadDuration { duration: minimum });
    }
    let solution = solve(path, method, rain, minimum)?;
    let reaches = reach_times(path, method, rain, solution.storm)?;
    let taken: Duration = reaches.iter().copied().sum();
    let minimum_governs = taken < minimum;
    let time = taken.max(minimum);
    rain.check(time)?;
    if time <= Duration::ZERO {
        return Err(RainError::BadDuration { duration: time });
    }
    let residual = match solution.storm {
        Some(storm) if !minimum_governs => taken - storm,
        _ => Duration::ZERO,
    };

    let sheet = match (method, solution.storm) {
        (SheetMethod::Nrcs { two_year_24_hour }, _) => Some(SheetRain::TwoYear(working.given("P2", two_year_24_hour))),
        (SheetMethod::Kinematic, Some(storm)) => {
            let named = if minimum_governs {
                working.given("t", storm)
            } else {
                working.solved(
                    "t",
                    "duration of rain that equals the time of concentration",
                    "time over the whole path in rain of duration t, less t, is nothing",
                    storm,
                    Amount::of(residual),
                    solution.iterations,
                )
            };
            Some(SheetRain::Intensity(rain.intensity_of_named(working, named)?))
        }
        (SheetMethod::Kinematic, None) => None,
    };
    let mut total: Option<Duration<W::N>> = None;
    for (number, reach) in (1..).zip(path) {
        let time = reach_time(working, number, reach, sheet)?;
        total = Some(total.map_or(time, |total| total + time));
    }
    let least = working.given("tmin", minimum);
    let total = total.map_or(least, |total| Duration::from_si(total.s().greatest(least.s())));
    let shown =
        working.step(("tc", index), "time of concentration", "sum of the travel times, at least the minimum", total);
    let result = TimeOfConcentration {
        time,
        minimum_governs,
        reaches,
        iterations: solution.iterations,
        residual,
        warnings: warnings(path),
    };
    Ok((result, shown))
}
