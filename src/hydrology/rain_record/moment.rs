//! A point in time on a record's own clock, and the calendar behind it.

use crate::quantity::Duration;
use std::fmt;
use std::ops::Sub;

/// Seconds in a day.
pub(super) const DAY: i64 = 86_400;

/// Whole seconds since 1970-01-01 00:00 on the record's own clock, in the Gregorian calendar and without leap seconds
/// (as POSIX, "Seconds Since the Epoch").
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Moment(i64);

impl Moment {
    /// From seconds since 1970-01-01 00:00.
    pub const fn from_seconds(seconds: i64) -> Self {
        Self(seconds)
    }
    /// From date and time of day; `24:00` is the midnight that ends the day. Nothing where there is no such time, or
    /// the year is not of 1800 to 2200.
    pub fn from_civil(year: i64, month: i64, day: i64, hour: i64, minute: i64, second: i64) -> Option<Self> {
        let days = days_from_civil(year, month, day)?;
        Some(Self(days * DAY + seconds_of_day(hour, minute, second)?))
    }
    /// Seconds since 1970-01-01 00:00.
    pub const fn seconds(self) -> i64 {
        self.0
    }
    /// The year.
    pub const fn year(self) -> i64 {
        civil_from_days(self.0.div_euclid(DAY)).0
    }
    /// The month, 1 to 12.
    pub const fn month(self) -> i64 {
        civil_from_days(self.0.div_euclid(DAY)).1
    }
    /// The day of the month, 1 to 31.
    pub const fn day(self) -> i64 {
        civil_from_days(self.0.div_euclid(DAY)).2
    }
    /// The hour, 0 to 23.
    pub const fn hour(self) -> i64 {
        self.0.rem_euclid(DAY) / 3_600
    }
    /// The minute, 0 to 59.
    pub const fn minute(self) -> i64 {
        self.0.rem_euclid(3_600) / 60
    }
}

impl Sub for Moment {
    type Output = Duration;
    fn sub(self, earlier: Self) -> Duration {
        Duration::from_s(self.0.saturating_sub(earlier.0) as f64)
    }
}

/// `2014-06-03 14:05`; seconds only where there are any.
impl fmt::Display for Moment {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (year, month, day) = civil_from_days(self.0.div_euclid(DAY));
        write!(f, "{year:04}-{month:02}-{day:02} {:02}:{:02}", self.hour(), self.minute())?;
        match self.0.rem_euclid(60) {
            0 => Ok(()),
            second => write!(f, ":{second:02}"),
        }
    }
}

/// Days from 1970-01-01 to a date of the years 1800 to 2200, if there is such a date.
pub(super) const fn days_from_civil(year: i64, month: i64, day: i64) -> Option<i64> {
    if year < 1800 || year > 2200 || month < 1 || month > 12 || day < 1 || day > days_in_month(year, month) {
        return None;
    }
    // the year is taken to begin with March, so that the leap day comes last and the months before it repeat
    let year = if month < 3 { year - 1 } else { year };
    let month_from_march = (month + 9) % 12;
    let day_of_year = (153 * month_from_march + 2) / 5 + day - 1;
    Some(365 * year + year / 4 - year / 100 + year / 400 + day_of_year - DAYS_TO_1970)
}

/// Days from 1 March of the year 0 to 1970-01-01.
const DAYS_TO_1970: i64 = 719_468;

const fn days_in_month(year: i64, month: i64) -> i64 {
    match month {
        2 if year % 4 == 0 && (year % 100 != 0 || year % 400 == 0) => 29,
        2 => 28,
        4 | 6 | 9 | 11 => 30,
        _ => 31,
    }
}

/// Year, month and day of a number of days from 1970-01-01.
const fn civil_from_days(days: i64) -> (i64, i64, i64) {
    let days = days.saturating_add(DAYS_TO_1970);
    let (cycle, of_cycle) = (days.div_euclid(146_097), days.rem_euclid(146_097));
    // 1460, 36 524 and 146 096: the last days of 4, 100 and 400 years, which a plain division would overrun
    let year_of_cycle = (of_cycle - of_cycle / 1_460 + of_cycle / 36_524 - of_cycle / 146_096) / 365;
    let day_of_year = of_cycle - (365 * year_of_cycle + year_of_cycle / 4 - year_of_cycle / 100);
    let month_from_march = (5 * day_of_year + 2) / 153;
    let day = day_of_year - (153 * month_from_march + 2) / 5 + 1;
    let month = if month_from_march < 10 { month_from_march + 3 } else { month_from_march - 9 };
    let year = 400 * cycle + year_of_cycle;
    (if month <= 2 { year + 1 } else { year }, month, day)
}

/// Seconds from midnight. `24:00` ends the day; a leap second `:60` is the next minute's first.
pub(super) const fn seconds_of_day(hour: i64, minute: i64, second: i64) -> Option<i64> {
    if hour < 0 || hour > 24 || minute < 0 || minute > 59 || second < 0 || second > 60 {
        return None;
    }
    let seconds = hour * 3_600 + minute * 60 + second;
    if seconds <= DAY { Some(seconds) } else { None }
}
