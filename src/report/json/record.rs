//! What a rain record did to the yard, as JSON.

use super::Maker;
use super::wire::{FORMAT, Quantity};
use crate::quantity::{Duration, Length, UnitSystem, Volume};
use crate::questions::record::{PlaceReached, RecordEvent, RecordResult, RecordTally};
use serde::Serialize;

/// The report of a record.
#[derive(Clone, Debug, Serialize)]
struct RecordReport {
    format: u32,
    program: &'static str,
    version: &'static str,
    title: String,
    units: &'static str,
    from: String,
    until: String,
    pump: String,
    pumps: u32,
    pause_between_events: Quantity,
    film: Quantity,
    bursts_averaged_away: bool,
    longest_time_of_concentration: Quantity,
    deepest: Option<DeepestOut>,
    protected: Vec<ReachedOut>,
    whole: TallyOut,
    years: Vec<YearOut>,
    months: Vec<MonthOut>,
    largest_events: Vec<EventOut>,
    goal: GoalOut,
    longest_run: Option<SinceOut>,
    longest_time_without_rain: SinceOut,
    from_last_rain_to_end: Option<Quantity>,
    water_last_stood: Option<String>,
    mean_time_between_events_with_standing_water: Option<Quantity>,
    balance: BalanceOut,
    taken: TakenOut,
    record: NotesOut,
}

#[derive(Clone, Debug, Serialize)]
struct DeepestOut {
    depth: Quantity,
    over: String,
    at: String,
}

#[derive(Clone, Debug, Serialize)]
struct ReachedOut {
    name: String,
    level: Quantity,
    reached: bool,
    events: u64,
    first: Option<String>,
    highest: Option<Quantity>,
    highest_at: Option<String>,
    under_water: Quantity,
}

#[derive(Clone, Debug, Serialize)]
struct TallyOut {
    time: Quantity,
    missing: Quantity,
    rain: Quantity,
    runoff: Quantity,
    came: Quantity,
    pumped: Quantity,
    spilled: Quantity,
    starts: u64,
    run_hours: f64,
    energy_kwh: Option<f64>,
    events: u64,
    events_with_standing_water: u64,
    stood_hours: f64,
    deepest: Quantity,
}

#[derive(Clone, Debug, Serialize)]
struct YearOut {
    year: i64,
    #[serde(flatten)]
    tally: TallyOut,
}

#[derive(Clone, Debug, Serialize)]
struct MonthOut {
    year: i64,
    month: i64,
    #[serde(flatten)]
    tally: TallyOut,
}

#[derive(Clone, Debug, Serialize)]
struct EventOut {
    start: String,
    rained: Quantity,
    rain: Quantity,
    peak_intensity: Quantity,
    runoff: Quantity,
    deepest: Quantity,
    deepest_in: Option<String>,
    stood: Quantity,
    longest_unbroken: Quantity,
    starts: u64,
    spilled: Quantity,
    cut_off: bool,
}

#[derive(Clone, Debug, Serialize)]
struct GoalOut {
    depth: Option<Quantity>,
    depth_missed: u64,
    deepest: Option<EventOut>,
    clear_within: Option<Quantity>,
    clear_missed: u64,
    longest: Option<EventOut>,
    missed: u64,
}

#[derive(Clone, Debug, Serialize)]
struct SinceOut {
    lasts: Quantity,
    from: String,
}

#[derive(Clone, Debug, Serialize)]
struct BalanceOut {
    shed: Quantity,
    runoff: Quantity,
    on_its_way: Quantity,
    steady: Quantity,
    seeped: Quantity,
    pumped: Quantity,
    spilled: Quantity,
    held: Quantity,
    left_over: f64,
    runoff_left_over: f64,
    rain_left_over: f64,
}

#[derive(Clone, Debug, Serialize)]
struct TakenOut {
    frequency_factor: f64,
    settled_infiltration: bool,
    curve_number_since_last_pause: bool,
    pulses_at_mean_flow: Option<Quantity>,
    groundwater_always_at: Option<Quantity>,
    groundwater_steady: Option<Quantity>,
    rise_of_groundwater_left_out: bool,
}

#[derive(Clone, Debug, Serialize)]
struct NotesOut {
    time_column: String,
    rain_column: String,
    kind: String,
    unit: String,
    stamps: String,
    rows: u64,
    used: u64,
    wet_rows: u64,
    other_stations: u64,
    usual_step: Quantity,
    wet_rows_only: bool,
    rain: Quantity,
    gaps: u64,
    missing: Quantity,
    left_out: Vec<LinesOut>,
    remarks: Vec<LinesOut>,
}

#[derive(Clone, Debug, Serialize)]
struct LinesOut {
    what: String,
    count: u64,
    first_lines: Vec<u64>,
}

/// The report of a record as text, two spaces of indent, a line break at its end.
pub fn record_json(result: &RecordResult) -> String {
    let mut text = serde_json::to_string_pretty(&record_report(result)).unwrap_or_default();
    text.push('\n');
    text
}

/// The report of a record.
fn record_report(result: &RecordResult) -> RecordReport {
    let to = Maker { units: result.units };
    let (goal, balance, taken, notes) = (&result.goal, &result.balance, &result.assumed, &result.notes);
    let lines = |what: String, count: u64, lines: &[u64]| LinesOut { what, count, first_lines: lines.to_vec() };
    RecordReport {
        format: FORMAT,
        program: env!("CARGO_PKG_NAME"),
        version: env!("CARGO_PKG_VERSION"),
        title: result.title.clone(),
        units: match result.units {
            UnitSystem::Us => "us",
            UnitSystem::Metric => "metric",
        },
        from: result.from.to_string(),
        until: result.until.to_string(),
        pump: result.pump.clone(),
        pumps: result.pumps,
        pause_between_events: hours(result.pause),
        film: to.depth(result.film),
        bursts_averaged_away: result.bursts_averaged,
        longest_time_of_concentration: hours(result.gathers_in),
        deepest: result.deepest.as_ref().map(|deepest| DeepestOut {
            depth: to.depth(deepest.depth),
            over: deepest.over.clone(),
            at: deepest.at.to_string(),
        }),
        protected: result.protected.iter().map(|place| to.reached(place)).collect(),
        whole: to.tally(&result.whole),
        years: result.years.iter().map(|year| YearOut { year: year.year, tally: to.tally(&year.tally) }).collect(),
        months: result
            .months
            .iter()
            .map(|month| MonthOut { year: month.year, month: month.month, tally: to.tally(&month.tally) })
            .collect(),
        largest_events: result.largest.iter().map(|event| to.record_event(event)).collect(),
        goal: GoalOut {
            depth: goal.depth.map(|depth| to.depth(depth)),
            depth_missed: goal.depth_missed,
            deepest: goal.deepest.as_ref().map(|event| to.record_event(event)),
            clear_within: goal.clear.map(hours),
            clear_missed: goal.clear_missed,
            longest: goal.longest.as_ref().map(|event| to.record_event(event)),
            missed: goal.missed,
        },
        longest_run: result.longest_run.map(|(lasts, since)| SinceOut { lasts: hours(lasts), from: since.to_string() }),
        longest_time_without_rain: SinceOut {
            lasts: hours(result.longest_dry.0),
            from: result.longest_dry.1.to_string(),
        },
        from_last_rain_to_end: result.since_rain.map(hours),
        water_last_stood: result.last_stood.map(|last| last.to_string()),
        mean_time_between_events_with_standing_water: result.between_stood.map(hours),
        balance: BalanceOut {
            shed: to.volume(balance.shed),
            runoff: to.volume(balance.runoff),
            on_its_way: to.volume(balance.on_its_way),
            steady: to.volume(balance.steady),
            seeped: to.volume(balance.seeped),
            pumped: to.volume(balance.pumped),
            spilled: to.volume(balance.spilled),
            held: to.volume(balance.held),
            left_over: balance.left_over,
            runoff_left_over: balance.runoff_left_over,
            rain_left_over: balance.rain_left_over,
        },
        taken: TakenOut {
            frequency_factor: taken.frequency_factor,
            settled_infiltration: taken.by_infiltration,
            curve_number_since_last_pause: taken.by_curve_number,
            pulses_at_mean_flow: taken.pulses.map(|flow| to.of(flow)),
            groundwater_always_at: taken.groundwater_at.map(|level| to.of(level)),
            groundwater_steady: taken.groundwater_steady.map(|flow| to.of(flow)),
            rise_of_groundwater_left_out: taken.rise_left_out,
        },
        record: NotesOut {
            time_column: notes.time_column.clone(),
            rain_column: notes.rain_column.clone(),
            kind: notes.kind.to_string(),
            unit: notes.unit.to_string(),
            stamps: notes.convention.to_string(),
            rows: notes.rows,
            used: notes.used,
            wet_rows: notes.wet_rows,
            other_stations: notes.other_stations,
            usual_step: hours(notes.usual_step),
            wet_rows_only: notes.wet_rows_only,
            rain: to.of(notes.total_depth),
            gaps: notes.gaps,
            missing: hours(notes.missing_time),
            left_out: notes
                .skipped
                .iter()
                .map(|skipped| lines(skipped.why.to_string(), skipped.count, &skipped.first_lines))
                .collect(),
            remarks: notes
                .remarks
                .iter()
                .map(|remark| lines(remark.kind.to_string(), remark.count, &remark.first_lines))
                .collect(),
        },
    }
}

/// Always the same unit, however long it is.
fn hours(time: Duration) -> Quantity {
    Quantity::new(time.h(), "h")
}

impl Maker {
    /// Always the same unit, however much it is.
    fn volume(&self, volume: Volume) -> Quantity {
        match self.units {
            UnitSystem::Us => Quantity::new(volume.gal(), "gal"),
            UnitSystem::Metric => Quantity::new(volume.m3(), "m3"),
        }
    }
    /// Always the same unit, however deep it is.
    fn depth(&self, depth: Length) -> Quantity {
        match self.units {
            UnitSystem::Us => Quantity::new(depth.inch(), "in"),
            UnitSystem::Metric => Quantity::new(depth.mm(), "mm"),
        }
    }
    fn reached(&self, place: &PlaceReached) -> ReachedOut {
        ReachedOut {
            name: place.name.clone(),
            level: self.of(place.level),
            reached: place.first.is_some(),
            events: place.events,
            first: place.first.map(|first| first.to_string()),
            highest: place.highest.map(|(level, _)| self.of(level)),
            highest_at: place.highest.map(|(_, at)| at.to_string()),
            under_water: hours(place.under),
        }
    }
    fn tally(&self, tally: &RecordTally) -> TallyOut {
        TallyOut {
            time: hours(tally.time),
            missing: hours(tally.missing),
            rain: self.of(tally.rain),
            runoff: self.volume(tally.runoff),
            came: self.volume(tally.came),
            pumped: self.volume(tally.pumped),
            spilled: self.volume(tally.spilled),
            starts: tally.starts,
            run_hours: tally.runs.h(),
            energy_kwh: tally.energy_kwh(),
            events: tally.events,
            events_with_standing_water: tally.events_stood,
            stood_hours: tally.stood.h(),
            deepest: self.depth(tally.deepest),
        }
    }
    fn record_event(&self, event: &RecordEvent) -> EventOut {
        EventOut {
            start: event.start.to_string(),
            rained: hours(event.lasts),
            rain: self.of(event.rain),
            peak_intensity: self.of(event.peak),
            runoff: self.volume(event.runoff),
            deepest: self.depth(event.deepest),
            deepest_in: event.deepest_in.clone(),
            stood: hours(event.stood),
            longest_unbroken: hours(event.stands),
            starts: event.starts,
            spilled: self.volume(event.spilled),
            cut_off: event.cut_off,
        }
    }
}
