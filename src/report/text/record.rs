//! What a rain record did to the yard, as plain text.

use std::fmt::Write as _;

use super::super::layout::{Align, Page};
use crate::design::goes_in;
use crate::hydrology::{Moment, RemarkKind};
use crate::quantity::{Amount, Duration, Length, UnitSystem, Volume};
use crate::questions::record::{
    CURVE_NUMBER_RESTS, PlaceReached, RecordEvent, RecordResult, RecordTally, WaterBalance,
};

/// More months than that are left to the table for programs.
const MOST_MONTHS: usize = 24;

/// The least depth that is a figure in either unit.
const LEAST_SHOWN: Length = Length::from_mm(2.0);

/// The report of a record.
pub fn record_report(result: &RecordResult) -> String {
    let mut page = Page::default();
    page.paragraph(&result.title);
    page.line(&format!("rain record, sumpwright {}", env!("CARGO_PKG_VERSION")));
    page.heading("In short");
    page.paragraph(&in_short(result));
    if result.bursts_averaged {
        page.paragraph(&averaged(result));
    }
    for place in &result.protected {
        page.paragraph(&protected(place, result.units));
    }
    let reached = result.protected.iter().filter(|place| place.first.is_some()).map(|place| place.name.as_str());
    if let Some(words) = goes_in(&reached.collect::<Vec<_>>()) {
        page.paragraph(&words);
    }
    page.paragraph(&pump_words(result));
    largest(&mut page, result);
    page.heading("By year");
    let years: Vec<_> = result.years.iter().map(|year| (year.year.to_string(), &year.tally)).collect();
    let mut rows = years;
    if rows.len() > 1 {
        rows.push(("all".to_owned(), &result.whole));
    }
    tallies(&mut page, "year", &rows, result.units);
    if result.months.len() <= MOST_MONTHS {
        page.heading("By month");
        let months: Vec<_> =
            result.months.iter().map(|month| (format!("{:04}-{:02}", month.year, month.month), &month.tally)).collect();
        tallies(&mut page, "month", &months, result.units);
    } else {
        page.gap();
        page.paragraph("Each month by itself: --format csv.");
    }
    page.heading("Runs and pauses");
    page.pairs(&pauses(result));
    page.heading("The record");
    page.pairs(&notes(result));
    page.heading("Water balance");
    page.pairs(&balance(&result.balance, result.units));
    page.heading("What was taken");
    for sentence in taken(result) {
        page.hang("  - ", &sentence);
    }
    page.finish()
}

fn times(count: u64) -> String {
    match count {
        0 => "never".to_owned(),
        1 => "once".to_owned(),
        2 => "twice".to_owned(),
        more => format!("{more} times"),
    }
}

/// So many of a thing.
fn many(count: u64, one: &str) -> String {
    if count == 1 { format!("1 {one}") } else { format!("{count} {one}s") }
}

fn small(length: Length, units: UnitSystem) -> String {
    Amount::small(length).show(units)
}

fn time(duration: Duration, units: UnitSystem) -> String {
    Amount::of(duration).show(units)
}

fn date(moment: Moment) -> String {
    format!("{:04}-{:02}-{:02}", moment.year(), moment.month(), moment.day())
}

/// How long a record is, as people say it.
fn span_words(result: &RecordResult) -> String {
    let days = result.covers().day();
    if days >= 3.0 * 365.0 {
        format!("{:.0} years", days / 365.25)
    } else if days >= 90.0 {
        format!("{:.0} months", days / 30.44)
    } else if days >= 2.0 {
        format!("{days:.0} days")
    } else if days * 24.0 >= 1.5 {
        format!("{:.0} hours", days * 24.0)
    } else {
        time(result.covers(), result.units)
    }
}

/// The owner's answer.
fn in_short(result: &RecordResult) -> String {
    let units = result.units;
    let whole = &result.whole;
    let (from, until) = (date(result.from), date(result.until));
    let dates = if from == until { from } else { format!("{from} to {until}") };
    let mut text = format!("In {} ({dates}), ", span_words(result));
    if whole.missing > Duration::ZERO {
        let _ = write!(text, "{} of them missing and taken as dry, ", time(whole.missing, units));
    }
    let goal = &result.goal;
    let stood = |what: String, count: u64| match count {
        0 => format!("water never stood deeper than {what}"),
        count => format!("water stood deeper than {what} {}", times(count)),
    };
    text.push_str(&match goal.depth {
        Some(depth) => stood(small(depth, units), goal.depth_missed),
        None => stood(format!("a film of {}", small(result.film, units)), whole.events_stood),
    });
    match &result.deepest {
        Some(deepest) => {
            let depth = match small(deepest.depth, units) {
                nothing if nothing.starts_with("0 ") => format!("less than {}", small(LEAST_SHOWN, units)),
                depth => depth,
            };
            let _ = write!(text, "; the deepest was {depth} over `{}`, on {}.", deepest.over, date(deepest.at));
        }
        None => text.push_str("; none stood over any grate."),
    }
    if let Some(clear) = goal.clear {
        let limit = time(clear, units);
        let _ = match goal.clear_missed {
            0 => write!(text, " It never stood longer than {limit}"),
            count => write!(text, " It stood longer than {limit} {}", times(count)),
        };
        if let Some(longest) = &goal.longest {
            let _ = write!(text, ", at the longest {}, on {}", time(longest.stands, units), date(longest.start));
        }
        text.push('.');
    }
    if goal.depth.is_some() && whole.events_stood > 0 {
        let _ = write!(
            text,
            " Deeper than a film of {} it stood {}, {} in all.",
            small(result.film, units),
            times(whole.events_stood),
            time(whole.stood, units)
        );
    }
    text
}

/// Why the rows say little of bursts.
fn averaged(result: &RecordResult) -> String {
    format!(
        "Caution: a row of this record covers {}, and runoff gathers in {} here at the longest. Bursts of rain are averaged away: water may well have stood deeper and longer than is said here, and the yard is not to be judged by it.",
        time(result.notes.usual_step, result.units),
        time(result.gathers_in, result.units)
    )
}

/// What water did at a place that must stay dry.
fn protected(place: &PlaceReached, units: UnitSystem) -> String {
    let (name, level) = (&place.name, Amount::of(place.level).show(units));
    let Some(first) = place.first else { return format!("Water never reached `{name}` at {level}.") };
    let mut text = match place.events {
        // it came without rain
        0 => format!("Water reached `{name}` at {level}, first on {}", date(first)),
        1 => format!("Water reached `{name}` at {level} in 1 event, on {}", date(first)),
        more => format!("Water reached `{name}` at {level} in {more} events, first on {}", date(first)),
    };
    let _ = write!(text, "; it was under water for {} in all", time(place.under, units));
    if let Some((highest, at)) = place.highest {
        let _ = write!(text, ", at the highest by {}, on {}", small(highest - place.level, units), date(at));
    }
    text.push('.');
    text
}

fn pump_words(result: &RecordResult) -> String {
    let whole = &result.whole;
    let who = match result.pumps {
        1 => format!("The pump `{}`", result.pump),
        more => format!("The {more} pumps (`{}`)", result.pump),
    };
    if whole.starts == 0 && whole.runs == Duration::ZERO {
        return format!("{who} never started.");
    }
    let energy = whole.energy_kwh().map_or_else(String::new, |energy| format!(", and took {} kWh", figure(energy)));
    format!("{who} started {}, ran {} h in all{energy}.", times(whole.starts), figure(whole.runs.h()))
}

/// Three figures, or all whole digits.
fn figure(value: f64) -> String {
    match value.abs() {
        size if size >= 99.95 => format!("{value:.0}"),
        size if size >= 9.995 => format!("{value:.1}"),
        _ => format!("{value:.2}"),
    }
}

fn largest(page: &mut Page, result: &RecordResult) {
    if result.largest.is_empty() {
        return;
    }
    let units = result.units;
    let us = units == UnitSystem::Us;
    page.heading("The largest events");
    page.paragraph(&format!(
        "By the deepest water, then by what ran off; {} in all, parted by {} or more without rain.",
        many(result.whole.events, "event"),
        time(result.pause, units)
    ));
    let mut rows = vec![
        [
            "began",
            "rained (h)",
            if us { "rain (in)" } else { "rain (mm)" },
            if us { "peak (in/h)" } else { "peak (mm/h)" },
            if us { "runoff (gal)" } else { "runoff (m3)" },
            if us { "deepest (in)" } else { "deepest (mm)" },
            "stood (h)",
            "starts",
        ]
        .map(str::to_owned)
        .to_vec(),
    ];
    rows.extend(result.largest.iter().map(|event| event_row(event, us)));
    let mut aligns = vec![Align::Left];
    aligns.extend([Align::Right; 7]);
    page.table(&aligns, rows);
    if result.largest.iter().any(|event| event.cut_off) {
        page.paragraph("The record ends before the event marked + is over.");
    }
}

fn event_row(event: &RecordEvent, us: bool) -> Vec<String> {
    let (rain, peak) = if us { (event.rain.inch(), event.peak.inh()) } else { (event.rain.mm(), event.peak.mmh()) };
    vec![
        format!("{}{}", event.start, if event.cut_off { "+" } else { "" }),
        format!("{:.1}", event.lasts.h()),
        if us { format!("{rain:.2}") } else { format!("{rain:.1}") },
        if us { format!("{peak:.2}") } else { format!("{peak:.1}") },
        if us { format!("{:.0}", event.runoff.gal()) } else { format!("{:.2}", event.runoff.m3()) },
        deepest(event.deepest, us),
        format!("{:.1}", event.stood.h()),
        event.starts.to_string(),
    ]
}

fn deepest(depth: Length, us: bool) -> String {
    if us { format!("{:.1}", depth.inch()) } else { format!("{:.0}", depth.mm()) }
}

fn tallies(page: &mut Page, what: &str, rows: &[(String, &RecordTally)], units: UnitSystem) {
    let us = units == UnitSystem::Us;
    let energy = rows.iter().any(|(_, tally)| tally.energy_j.is_some());
    let mut head = vec![
        what,
        if us { "rain (in)" } else { "rain (mm)" },
        if us { "runoff (gal)" } else { "runoff (m3)" },
        if us { "pumped (gal)" } else { "pumped (m3)" },
        "starts",
        "run (h)",
    ];
    if energy {
        head.push("energy (kWh)");
    }
    head.extend(["times stood", "stood (h)", if us { "deepest (in)" } else { "deepest (mm)" }]);
    let mut aligns = vec![Align::Left];
    aligns.extend(vec![Align::Right; head.len() - 1]);
    let mut table = vec![head.into_iter().map(str::to_owned).collect::<Vec<_>>()];
    for (name, tally) in rows {
        let volume = |volume: Volume| {
            if us { format!("{:.0}", volume.gal()) } else { format!("{:.1}", volume.m3()) }
        };
        let mut row = vec![
            name.clone(),
            if us { format!("{:.2}", tally.rain.inch()) } else { format!("{:.1}", tally.rain.mm()) },
            volume(tally.runoff),
            volume(tally.pumped),
            tally.starts.to_string(),
            format!("{:.1}", tally.runs.h()),
        ];
        if energy {
            row.push(tally.energy_kwh().map_or_else(|| "—".to_owned(), |energy| format!("{energy:.1}")));
        }
        row.extend([tally.events_stood.to_string(), format!("{:.1}", tally.stood.h()), deepest(tally.deepest, us)]);
        table.push(row);
    }
    page.table(&aligns, table);
    let missing: Vec<String> = rows
        .iter()
        .filter(|(name, tally)| tally.missing > Duration::ZERO && name != "all")
        .map(|(name, tally)| format!("{} of {name}", time(tally.missing, units)))
        .collect();
    if !missing.is_empty() {
        page.paragraph(&format!("Missing in the record, taken as dry: {}.", missing.join(", ")));
    }
}

fn pauses(result: &RecordResult) -> Vec<(String, String)> {
    let units = result.units;
    let mut pairs = Vec::new();
    let mut add = |name: &str, value: String| pairs.push((name.to_owned(), value));
    add(
        "longest run without a stop",
        result
            .longest_run
            .map_or_else(|| "none".to_owned(), |(lasts, since)| format!("{}, from {since}", time(lasts, units))),
    );
    add("longest time without rain", format!("{}, from {}", time(result.longest_dry.0, units), result.longest_dry.1));
    add(
        "from the last rain to the end",
        result.since_rain.map_or_else(|| "no rain at all".to_owned(), |since| time(since, units)),
    );
    add(
        "water last stood",
        result.last_stood.map_or_else(|| "never".to_owned(), |last| format!("in the event of {last}")),
    );
    if let Some(between) = result.between_stood {
        add("mean time between such events", time(between, units));
    }
    pairs
}

fn notes(result: &RecordResult) -> Vec<(String, String)> {
    let (notes, units) = (&result.notes, result.units);
    let mut pairs = Vec::new();
    let mut add = |name: &str, value: String| pairs.push((name.to_owned(), value));
    add("columns", format!("`{}` (time), `{}` ({}, {})", notes.time_column, notes.rain_column, notes.kind, notes.unit));
    add("stamps", notes.convention.to_string());
    add("rows", format!("{} read, {} used, {} with rain", notes.rows, notes.used, notes.wet_rows));
    if notes.other_stations > 0 {
        add("rows of other stations", notes.other_stations.to_string());
    }
    add("usual step", time(notes.usual_step, units));
    add("rain in all", Amount::of(notes.total_depth).show(units));
    let missing = notes.missing_time > Duration::ZERO;
    if notes.longest_gap.is_some() {
        add("gaps", if notes.gaps == 0 { "none between rows".to_owned() } else { notes.gaps.to_string() });
    }
    if missing {
        let by = match (notes.gaps > 0, notes.skipped.is_empty()) {
            (true, true) => "gaps between rows",
            (true, false) => "gaps between rows, and rows left out",
            (false, _) => "rows left out",
        };
        add("missing time", format!("{}, taken as dry ({by})", time(notes.missing_time, units)));
    } else if notes.longest_gap.is_some() {
        add("missing time", "none".to_owned());
    }
    let lines = |lines: &[u64], count: u64| {
        let first: Vec<String> = lines.iter().map(u64::to_string).collect();
        let more = if count > lines.len() as u64 { ", …" } else { "" };
        format!("{} {}{more}", if count == 1 { "line" } else { "lines" }, first.join(", "))
    };
    for skipped in &notes.skipped {
        add(
            "left out",
            format!("{}: {} ({})", many(skipped.count, "row"), skipped.why, lines(&skipped.first_lines, skipped.count)),
        );
    }
    for remark in &notes.remarks {
        let at = lines(&remark.first_lines, remark.count);
        add(
            "note",
            match remark.kind {
                RemarkKind::WetRowsOnly | RemarkKind::AgainstHeader => remark.kind.to_string(),
                kind => format!("{kind}: {} ({at})", times(remark.count)),
            },
        );
    }
    pairs
}

/// A share that rounding leaves, as its size: the last digits may be noise.
fn share(of: f64) -> String {
    let size = of.abs();
    if size < 1e-12 { "less than 1e-12".to_owned() } else { format!("{size:.0e}") }
}

fn balance(balance: &WaterBalance, units: UnitSystem) -> Vec<(String, String)> {
    let show = |volume| Amount::of(volume).show(units);
    let (held, volume) = if balance.held < Volume::ZERO {
        ("held less than at the start", -balance.held)
    } else {
        ("held more than at the start", balance.held)
    };
    [
        ("ran off and came in", show(balance.runoff)),
        ("on its way at the end", show(balance.on_its_way)),
        ("house pumps and other steady inflow", show(balance.steady)),
        ("groundwater that follows the levels", show(balance.seeped)),
        ("pumped away", show(balance.pumped)),
        ("ran over the edge of the yard", show(balance.spilled)),
        (held, show(volume)),
        ("left over by the sums", format!("{} of all that came", share(balance.left_over))),
        ("rain followed, beside the record's sum", format!("{} of it apart", share(balance.rain_left_over))),
    ]
    .map(|(name, value)| (name.to_owned(), value))
    .into_iter()
    .filter(|(_, value)| !value.starts_with("0 "))
    .collect()
}

fn taken(result: &RecordResult) -> Vec<String> {
    let (assumed, units) = (&result.assumed, result.units);
    let mut said = vec![
        "The record begins with the basin just below its on level, no pump running, hollows full to their grates."
            .to_owned(),
        format!(
            "Coefficients are those of the design storm, with its frequency factor of {:.2}: the same for light rain.",
            assumed.frequency_factor
        ),
    ];
    if assumed.by_infiltration {
        said.push("Ground by infiltration takes rain at its settled rate, as wet ground does, all the time, and its hollows empty at that rate: more runs off than would.".to_owned());
    }
    if assumed.by_curve_number {
        said.push(format!(
            "Surfaces by curve number go by the rain since the last {} without any (common practice, no source).",
            time(CURVE_NUMBER_RESTS, units)
        ));
    }
    if let Some(flow) = assumed.pulses {
        said.push(format!("House pumps in pulses come at their mean flow, {}.", Amount::of(flow).show(units)));
    }
    match (assumed.groundwater_at, assumed.groundwater_steady) {
        (Some(level), _) => said.push(format!(
            "Groundwater stands at its seasonal high, {}, all the time: starts, run hours and energy of dry months are on the high side.",
            Amount::of(level).show(units)
        )),
        (None, Some(flow)) => said.push(format!(
            "Groundwater comes at {} all the time, whatever the levels are.",
            Amount::of(flow).show(units)
        )),
        (None, None) => said.push("No groundwater comes.".to_owned()),
    }
    if assumed.rise_left_out {
        said.push("Its rise in a storm is left out here.".to_owned());
    }
    if result.whole.energy_j.is_some() {
        said.push(
            "Energy is that of the pump's power half-way between the floats, for each pump that runs.".to_owned(),
        );
    }
    said.push(format!(
        "{} is the pause that parts two events (common practice, no source). An event lasts until then, or for as long as water still stands, or until the next one begins.",
        time(result.pause, units)
    ));
    said.extend(
        assumed
            .yard
            .iter()
            .map(|assumption| format!("{}: {} ({})", assumption.what, assumption.value.show(units), assumption.why)),
    );
    said.push("Missing time is dry. What is measured in one place need not have fallen in the yard.".to_owned());
    said
}
