//! Which columns hold time, rain and station, and what a header says of unit and kind.

use super::cell::{cells, shown};
use super::error::RecordError;
use super::options::RecordOptions;
use super::stamp::{Layout, Zone, clock, stamp};
use super::words::{is_rain, words};

/// Rows of the head in which a readable time is looked for.
const ROWS_TRIED: usize = 20;

/// The columns of a record, counted from 0.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Columns {
    pub(super) layout: Layout,
    pub(super) time: Vec<usize>,
    pub(super) rain: usize,
    /// The station's column and the value wanted in it.
    pub(super) station: Option<(usize, Vec<u8>)>,
    pub(super) has_header: bool,
    /// Names for notes and messages.
    pub(super) names: Vec<String>,
}

impl Columns {
    pub(super) fn name(&self, column: usize) -> String {
        self.names.get(column).filter(|name| !name.is_empty()).cloned().unwrap_or_else(|| format!("{}", column + 1))
    }
    pub(super) fn time_name(&self) -> String {
        self.time.iter().map(|column| self.name(*column)).collect::<Vec<_>>().join(" + ")
    }
}

/// The delimiter of the first lines: the one that cuts two of them into as many cells.
pub(super) fn delimiter(lines: &[(u64, &[u8])]) -> u8 {
    let counts = |delimiter: u8| {
        let mut counts = lines.iter().map(|(_, line)| cells(line, delimiter).len());
        (counts.next().unwrap_or(0), counts.next())
    };
    let known = [b'\t', b';', b','];
    let even = known.into_iter().find(|delimiter| {
        let (first, second) = counts(*delimiter);
        first > 1 && second == Some(first)
    });
    even.or_else(|| known.into_iter().find(|delimiter| counts(*delimiter).0 > 1)).unwrap_or(b',')
}

/// Finds the columns in the first line and the rows below it.
pub(super) fn find(lines: &[(u64, &[u8])], delimiter: u8, options: &RecordOptions) -> Result<Columns, RecordError> {
    let Some(((line, first), below)) = lines.split_first() else { return Err(RecordError::Empty) };
    let first = cells(first, delimiter);
    let rows: Vec<Vec<&[u8]>> = below.iter().take(ROWS_TRIED).map(|(_, line)| cells(line, delimiter)).collect();
    let has_header = !first.iter().any(|cell| stamp(cell).is_some() || clock(cell).is_some()) && !all_numbers(&first);
    let names: Vec<String> = if has_header {
        first.iter().map(|cell| shown(cell)).collect()
    } else {
        (1..=first.len()).map(|number| number.to_string()).collect()
    };
    let by_number = |column: &Option<String>| {
        column.as_ref().is_some_and(|column| column.split('+').all(|part| part.trim().parse::<usize>().is_ok()))
    };
    if has_header && below.is_empty() {
        return Err(RecordError::HeaderOnly);
    }
    let numbered = by_number(&options.time_column) && by_number(&options.rain_column);
    if !has_header && !numbered {
        return Err(RecordError::NoHeader { line: *line });
    }
    let mut sample = rows;
    if !has_header {
        sample.insert(0, first);
    }
    let (layout, time) = match &options.time_column {
        Some(column) => named_time(column, &names, &sample)?,
        None => recognised_time(&names, &sample)?,
    };
    let rain = match &options.rain_column {
        Some(column) => named(column, &names)?,
        None => recognised_rain(&names, &time)?,
    };
    let station = match &options.station {
        Some((column, value)) => Some((named(column, &names)?, value.trim().as_bytes().to_vec())),
        None => None,
    };
    Ok(Columns { layout, time, rain, station, has_header, names })
}

fn all_numbers(cells: &[&[u8]]) -> bool {
    let number = |cell: &&[u8]| std::str::from_utf8(cell).is_ok_and(|text| text.parse::<f64>().is_ok());
    cells.iter().all(number)
}

/// A column by its name, else by its number from 1.
fn named(column: &str, names: &[String]) -> Result<usize, RecordError> {
    let wanted = column.trim();
    for same in [(|name: &str, wanted: &str| name == wanted) as fn(&str, &str) -> bool, |name, wanted| {
        name.eq_ignore_ascii_case(wanted)
    }] {
        let mut found = (0..).zip(names).filter(|(_, name)| same(name, wanted)).map(|(index, _)| index);
        match (found.next(), found.next()) {
            (Some(index), None) => return Ok(index),
            (Some(_), Some(_)) => return Err(RecordError::ColumnTwice { column: wanted.to_owned() }),
            _ => {}
        }
    }
    match wanted.parse::<usize>() {
        Ok(number) if (1..=names.len()).contains(&number) => Ok(number - 1),
        _ => Err(RecordError::NoSuchColumn { column: shown(wanted.as_bytes()), columns: names.to_vec() }),
    }
}

fn named_time(column: &str, names: &[String], rows: &[Vec<&[u8]>]) -> Result<(Layout, Vec<usize>), RecordError> {
    if let Ok(one) = named(column, names) {
        return Ok((Layout::Stamp, vec![one]));
    }
    let columns = column.split('+').map(|part| named(part, names)).collect::<Result<Vec<_>, _>>()?;
    // one name alone was looked for above
    let layout = match columns.as_slice() {
        [_, hour] if sort_of(rows, *hour) == Some(Sort::Clock) => Layout::DateAndClock,
        [_, _] => Layout::DateAndHour,
        [first, ..] if sort_of(rows, *first) == Some(Sort::Date) => Layout::DateAndHour,
        _ => Layout::Parts,
    };
    Ok((layout, columns))
}

/// What the cells of a column look like.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Sort {
    DateAndClock,
    Date,
    Clock,
}

/// By the cells that can be read. A table program puts a midnight behind bare dates.
fn sort_of(rows: &[Vec<&[u8]>], column: usize) -> Option<Sort> {
    let cells = || rows.iter().filter_map(|row| row.get(column));
    let mut stamps = cells().filter_map(|cell| stamp(cell)).peekable();
    if stamps.peek().is_some() {
        let bare = stamps.all(|stamp| stamp.clock.is_none_or(|clock| clock.seconds == 0 && clock.zone == Zone::Unsaid));
        return Some(if bare { Sort::Date } else { Sort::DateAndClock });
    }
    cells().any(|cell| clock(cell).is_some()).then_some(Sort::Clock)
}

fn recognised_time(names: &[String], rows: &[Vec<&[u8]>]) -> Result<(Layout, Vec<usize>), RecordError> {
    let words: Vec<Vec<String>> = names.iter().map(|name| words(name)).collect();
    let called = |known: &[&str]| {
        let mut found =
            (0..).zip(&words).filter(|(_, words)| known.contains(&words.join(" ").as_str())).map(|(index, _)| index);
        found.next().filter(|_| found.next().is_none())
    };
    let hour = called(&["hour", "hr", "hours", "hh"]);
    let minute = called(&["minute", "min", "minutes", "mi"]);
    if let (Some(year), Some(month), Some(day)) =
        (called(&["year", "yr", "yyyy"]), called(&["month", "mo", "mon"]), called(&["day", "dy", "dd"]))
    {
        let mut columns = vec![year, month, day];
        columns.extend(hour);
        if hour.is_some() {
            columns.extend(minute);
            columns.extend(minute.and_then(|_| called(&["second", "sec", "ss"])));
        }
        return Ok((Layout::Parts, columns));
    }
    let candidates: Vec<usize> =
        (0..).zip(&words).filter(|(_, words)| is_time(words)).map(|(index, _)| index).collect();
    let of_sort = |sort: Sort| -> Vec<usize> {
        candidates.iter().copied().filter(|column| sort_of(rows, *column) == Some(sort)).collect()
    };
    let several = |columns: &[usize]| RecordError::SeveralTimeColumns {
        candidates: columns.iter().filter_map(|column| names.get(*column).cloned()).collect(),
    };
    let (whole, dates, clocks) = (of_sort(Sort::DateAndClock), of_sort(Sort::Date), of_sort(Sort::Clock));
    match (whole.as_slice(), dates.as_slice(), clocks.as_slice(), hour) {
        ([one], _, [] | [_], _) => Ok((Layout::Stamp, vec![*one])),
        ([], [date], [clock], _) => Ok((Layout::DateAndClock, vec![*date, *clock])),
        ([], [date], [], Some(hour)) => {
            let mut columns = vec![*date, hour];
            columns.extend(minute);
            Ok((Layout::DateAndHour, columns))
        }
        ([], [date], [], None) => Ok((Layout::Stamp, vec![*date])),
        ([], [], _, _) => match candidates.as_slice() {
            // nothing in it can be read: the rows will say so, with their lines
            [one] => Ok((Layout::Stamp, vec![*one])),
            [] => Err(RecordError::NoTimeColumn { columns: names.to_vec() }),
            more => Err(several(more)),
        },
        _ => Err(several(&candidates)),
    }
}

fn is_time(words: &[String]) -> bool {
    let has = |known: &[&str]| words.iter().any(|word| known.contains(&word.as_str()));
    has(&["time", "date", "datetime", "timestamp", "valid", "dateandtime", "obstime"])
        && !has(&["zone", "tz", "offset", "flag", "quality", "interval", "duration", "step", "update", "updated"])
        && !is_rain(words)
}

fn recognised_rain(names: &[String], time: &[usize]) -> Result<usize, RecordError> {
    let words: Vec<Vec<String>> = names.iter().map(|name| words(name)).collect();
    let of = |wanted: fn(&[String]) -> bool| -> Vec<usize> {
        (0..)
            .zip(&words)
            .filter(|(index, words)| wanted(words) && !time.contains(index))
            .map(|(index, _)| index)
            .collect()
    };
    let mut candidates = of(is_rain);
    if candidates.is_empty() {
        candidates = of(super::words::may_be_rain);
    }
    match candidates.as_slice() {
        [one] => Ok(*one),
        [] => Err(RecordError::NoRainColumn { columns: names.to_vec() }),
        more => Err(RecordError::SeveralRainColumns {
            candidates: more.iter().filter_map(|column| names.get(*column).cloned()).collect(),
        }),
    }
}

/// Several stations in the head, where the user asked for none.
pub(super) fn one_station(lines: &[(u64, &[u8])], delimiter: u8, columns: &Columns) -> Result<(), RecordError> {
    if columns.station.is_some() || !columns.has_header {
        return Ok(());
    }
    let is_station = |name: &String| {
        let words = words(name);
        words.iter().any(|word| matches!(word.as_str(), "station" | "stationid" | "gauge" | "gage" | "site" | "stn"))
            && !is_rain(&words)
    };
    let Some((column, name)) = (0..).zip(&columns.names).find(|(_, name)| is_station(name)) else { return Ok(()) };
    let mut stations: Vec<String> = Vec::new();
    for (_, line) in lines {
        let row = cells(line, delimiter);
        let station = row.get(column).map(|cell| shown(cell)).unwrap_or_default();
        if !station.is_empty() && !stations.contains(&station) && stations.len() < 5 {
            stations.push(station);
        }
    }
    if stations.len() > 1 {
        return Err(RecordError::SeveralStations { column: name.clone(), stations });
    }
    Ok(())
}
