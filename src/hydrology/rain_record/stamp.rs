//! Reading a time stamp as loggers, servers and spreadsheets write it.

use super::moment::{days_from_civil, seconds_of_day};
use super::options::DateOrder;

/// A date as written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Date {
    /// Days from 1970-01-01.
    Days(i64),
    /// `6/3/2014`: two numbers whose order is not written, and the year.
    Unordered(i64, i64, i64),
}

impl Date {
    /// Days from 1970-01-01, if there is such a date in this order.
    pub(super) fn days(self, order: Option<DateOrder>) -> Option<i64> {
        match (self, order) {
            (Self::Days(days), _) => Some(days),
            (Self::Unordered(month, day, year), Some(DateOrder::MonthFirst))
            | (Self::Unordered(day, month, year), Some(DateOrder::DayFirst)) => days_from_civil(year, month, day),
            (Self::Unordered(..), None) => None,
        }
    }
}

/// A time stamp as written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Stamp {
    pub(super) date: Date,
    /// The time of day, where it is written.
    pub(super) clock: Option<Clock>,
}

/// What a stamp says of its clock.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Zone {
    Unsaid,
    /// Seconds that it is ahead of universal time.
    Ahead(i64),
}

/// A time of day as written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Clock {
    /// Seconds from midnight.
    pub(super) seconds: i64,
    pub(super) zone: Zone,
    /// Whether the hour is of a twelve-hour clock.
    pub(super) halved: bool,
}

/// The whole of a cell as a time stamp.
pub(super) fn stamp(cell: &[u8]) -> Option<Stamp> {
    let (date, rest) = leading_date(cell)?;
    if rest.is_empty() {
        return Some(Stamp { date, clock: None });
    }
    // nothing else stands between the two where the digits of both are written as one number
    let rest = match rest.split_first()? {
        (b'T' | b't' | b' ' | b',', after) => after.trim_ascii_start(),
        _ => rest,
    };
    Some(Stamp { date, clock: Some(clock(rest)?) })
}

/// The whole of a cell as a date. A midnight that a table program put behind it does not matter.
pub(super) fn date(cell: &[u8]) -> Option<Date> {
    let stamp = stamp(cell)?;
    stamp.clock.is_none_or(|clock| clock.seconds == 0 && clock.zone == Zone::Unsaid).then_some(stamp.date)
}

/// The date that a text begins with, and what follows.
fn leading_date(text: &[u8]) -> Option<(Date, &[u8])> {
    let (first, digits, rest) = number(text)?;
    if digits >= 8 {
        let (packed, rest) = text.split_at_checked(8)?;
        let (packed, _, _) = number(packed)?;
        // yyyymmdd, with hhmm or hhmmss if anything
        let known = matches!(digits, 8 | 12 | 14);
        let days = days_from_civil(packed / 10_000, packed / 100 % 100, packed % 100).filter(|_| known)?;
        return Some((Date::Days(days), rest));
    }
    let (separator, rest) = rest.split_first()?;
    if !matches!(separator, b'-' | b'/' | b'.') {
        return None;
    }
    let (second, second_digits, rest) = number(rest)?;
    let rest = rest.strip_prefix(&[*separator])?;
    let (third, third_digits, rest) = number(rest)?;
    match (digits, second_digits, third_digits) {
        (4, 1 | 2, 1 | 2) => Some((Date::Days(days_from_civil(first, second, third)?), rest)),
        (1 | 2, 1 | 2, 4) => Some((Date::Unordered(first, second, third), rest)),
        _ => None,
    }
}

/// The whole of a text as a time of day, with or without an offset.
pub(super) fn clock(text: &[u8]) -> Option<Clock> {
    let (first, digits, rest) = number(text)?;
    let (hour, minute, second, mut rest) = match digits {
        1 | 2 => {
            let (minute, 2, rest) = number(rest.strip_prefix(b":")?)? else { return None };
            match rest.strip_prefix(b":") {
                Some(rest) => {
                    let (second, 2, rest) = number(rest)? else { return None };
                    (first, minute, second, rest)
                }
                None => (first, minute, 0, rest),
            }
        }
        4 => (first / 100, first % 100, 0, rest),
        6 => (first / 10_000, first / 100 % 100, first % 100, rest),
        _ => return None,
    };
    // parts of a second are cut off
    if let [b'.' | b',', after @ ..] = rest {
        let (_, _, after) = number(after)?;
        rest = after;
    }
    let rest = rest.trim_ascii_start();
    let (after, half) = half_of_day(rest);
    let hour = match half {
        Some(_) if !(1..=12).contains(&hour) => return None,
        Some(half) => hour % 12 + half,
        None => hour,
    };
    let seconds = seconds_of_day(hour, minute, second)?;
    Some(Clock { seconds, zone: zone(after.trim_ascii())?, halved: half.is_some() })
}

/// `AM` or `PM`, as the hours to add.
fn half_of_day(text: &[u8]) -> (&[u8], Option<i64>) {
    for (mark, hours) in [(b"AM".as_slice(), 0), (b"PM", 12), (b"A.M.", 0), (b"P.M.", 12)] {
        if let Some((head, after)) = text.split_at_checked(mark.len())
            && head.eq_ignore_ascii_case(mark)
        {
            return (after, Some(hours));
        }
    }
    (text, None)
}

/// The whole of a text as an offset from universal time, or as none.
fn zone(text: &[u8]) -> Option<Zone> {
    if text.is_empty() {
        return Some(Zone::Unsaid);
    }
    // the names with fixed meaning: RFC 5322, section 4.3
    for (name, hours) in [
        (b"Z".as_slice(), 0),
        (b"UTC", 0),
        (b"GMT", 0),
        (b"EST", -5),
        (b"EDT", -4),
        (b"CST", -6),
        (b"CDT", -5),
        (b"MST", -7),
        (b"MDT", -6),
        (b"PST", -8),
        (b"PDT", -7),
    ] {
        if text.eq_ignore_ascii_case(name) {
            return Some(Zone::Ahead(hours * 3_600));
        }
    }
    let (sign, text) = match text.split_first()? {
        (b'+', rest) => (1, rest),
        (b'-', rest) => (-1, rest),
        _ => return None,
    };
    let (first, digits, rest) = number(text)?;
    let (hours, minutes, rest) = match digits {
        4 => (first / 100, first % 100, rest),
        2 => match rest.strip_prefix(b":") {
            Some(rest) => {
                let (minutes, 2, rest) = number(rest)? else { return None };
                (first, minutes, rest)
            }
            None => (first, 0, rest),
        },
        _ => return None,
    };
    // the widest in use is 14 hours
    let fits = rest.is_empty() && minutes < 60 && hours * 60 + minutes <= 14 * 60;
    fits.then_some(Zone::Ahead(sign * (hours * 3_600 + minutes * 60)))
}

/// The number that a text begins with, how many digits it has, and what follows.
#[inline]
pub(super) fn number(text: &[u8]) -> Option<(i64, usize, &[u8])> {
    let mut value = 0_i64;
    let mut digits = 0;
    for byte in text {
        let digit = byte.wrapping_sub(b'0');
        if digit > 9 {
            break;
        }
        value = value.checked_mul(10)?.checked_add(i64::from(digit))?;
        digits += 1;
    }
    (digits > 0).then_some((value, digits, text.get(digits..)?))
}

/// The whole of a text as a number.
pub(super) fn whole_number(text: &[u8]) -> Option<i64> {
    number(text).filter(|(_, _, rest)| rest.is_empty()).map(|(value, _, _)| value)
}

/// How the columns of time make up a stamp.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Layout {
    /// One column.
    Stamp,
    /// A date and a time of day.
    DateAndClock,
    /// A date, the hour as a number, and perhaps the minute.
    DateAndHour,
    /// Year, month, day and perhaps hour, minute, second.
    Parts,
}

/// The cells of the columns of time as a stamp.
pub(super) fn stamp_of(layout: Layout, cells: &[&[u8]]) -> Option<Stamp> {
    match (layout, cells) {
        (Layout::Stamp, [cell, ..]) => stamp(cell),
        (Layout::DateAndClock, [day, time, ..]) => Some(Stamp { date: date(day)?, clock: Some(clock(time)?) }),
        (Layout::DateAndHour, [day, hour, rest @ ..]) => {
            let clock = match rest.first() {
                Some(minute) => parts(Some(hour), Some(minute), None)?,
                None => clock(hour).or_else(|| bare_hour(hour))?,
            };
            Some(Stamp { date: date(day)?, clock: Some(clock) })
        }
        (Layout::Parts, [year, month, day, rest @ ..]) => {
            let days = days_from_civil(whole_number(year)?, whole_number(month)?, whole_number(day)?)?;
            let clock = match rest {
                [] => None,
                _ => Some(parts(rest.first(), rest.get(1), rest.get(2))?),
            };
            Some(Stamp { date: Date::Days(days), clock })
        }
        _ => None,
    }
}

/// `7`, or `700` for seven o'clock: no hour is above 24, so the two cannot be mistaken.
fn bare_hour(cell: &[u8]) -> Option<Clock> {
    let value = whole_number(cell)?;
    let (hour, minute) = if value <= 24 { (value, 0) } else { (value / 100, value % 100) };
    Some(Clock { seconds: seconds_of_day(hour, minute, 0)?, zone: Zone::Unsaid, halved: false })
}

fn parts(hour: Option<&&[u8]>, minute: Option<&&[u8]>, second: Option<&&[u8]>) -> Option<Clock> {
    let part = |cell: Option<&&[u8]>| cell.map_or(Some(0), |cell| whole_number(cell));
    Some(Clock {
        seconds: seconds_of_day(part(hour)?, part(minute)?, part(second)?)?,
        zone: Zone::Unsaid,
        halved: false,
    })
}
