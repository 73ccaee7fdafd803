//! The course of a storm, as text.

use super::storm_chart;
use super::{cells, sentence};
use crate::design::{HollowOutcome, StormOutcome, goes_in, reached_in};
use crate::hydrology::StormShape;
use crate::quantity::{Amount, Duration, Flow, Intensity, Length, UnitSystem, Volume};
use crate::questions::storm::{Course, Happens, PowerCase, Row, Spanned};
use crate::report::layout::{Align, Page};
use crate::report::storm_table::ColumnUnits;

/// Which parts of a course are printed.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Parts {
    /// All of them.
    #[default]
    All,
    /// All but the chart.
    NoChart,
    /// What happens in short, and the chart.
    OnlyChart,
}

/// The course of a storm.
pub fn storm_course(course: &Course, parts: Parts) -> String {
    let mut page = Page::default();
    page.paragraph(&course.title);
    page.line(&format!("course of a storm, sumpwright {}", env!("CARGO_PKG_VERSION")));
    page.gap();
    page.paragraph(&storm_words(course));
    page.gap();
    page.paragraph(&short(course).join(" "));
    if course.outcome.protected.iter().any(|(_, _, at)| at.is_some()) {
        page.gap();
        page.paragraph(
            "Caution: nobody wades to pump, outlets or cords that water has reached; the power is cut off from a dry place first. `sumpwright size` lists the other cautions.",
        );
    }
    if parts != Parts::OnlyChart {
        happens(&mut page, course);
        table(&mut page, course);
    }
    if parts != Parts::NoChart {
        page.heading("Chart");
        storm_chart::chart(&mut page, course);
    }
    if parts != Parts::OnlyChart {
        balance(&mut page, course);
        assumed(&mut page, course);
    }
    page.finish()
}

/// A time from the start of the rain: `12 h 08 min`.
pub(in crate::report) fn clock(time: Duration) -> String {
    let minutes = whole(time.minutes());
    format!("{} h {:02} min", minutes / 60, minutes % 60)
}

/// The same to the second, short enough for a column: `12:08:20`.
fn clock_with_seconds(time: Duration) -> String {
    let seconds = whole(time.s());
    format!("{}:{:02}:{:02}", seconds / 3600, seconds / 60 % 60, seconds % 60)
}

#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a time is neither endless nor negative")]
fn whole(time: f64) -> u64 {
    libm::round(time) as u64
}

/// The storm, the pump and the power.
pub(in crate::report) fn storm_words(course: &Course) -> String {
    let units = course.units;
    let outcome = &course.outcome;
    let period = course.period.map_or_else(|| "The".to_owned(), |period| Amount::of(period).show(units));
    let shape = match outcome.shape {
        StormShape::Nested => "nested storm".to_owned(),
        StormShape::Block(_) if course.worst_steady => "steady rain, the worst of all durations".to_owned(),
        StormShape::Block(_) => "steady rain".to_owned(),
        StormShape::Distribution(name) => format!("24-hour storm {name}"),
    };
    let power = match course.power {
        PowerCase::Always => "power on all the time".to_owned(),
        PowerCase::OffFrom(at) => format!("power off from {}", clock(at)),
        PowerCase::Never => "no power".to_owned(),
    };
    sentence(&format!(
        "{period} {shape}: {} of rain in {}, {} of it running off, {} at the most; pump `{}`, {power}",
        Amount::of(outcome.rain).show(units),
        Amount::of(outcome.lasts).show(units),
        Amount::of(outcome.runoff).show(units),
        Amount::of(course.peak_runoff.1).show(units),
        course.pump,
    ))
}

/// What happens, in a few sentences.
pub(in crate::report) fn short(course: &Course) -> Vec<String> {
    let units = course.units;
    let outcome = &course.outcome;
    let mut said = Vec::new();
    if let Some(deepest) = outcome.deepest().filter(|hollow| hollow.stands_from.is_some()) {
        said.push(format!(
            "Water stands {} deep over the rim of `{}` at {}, the deepest{}.",
            depth(deepest.deepest, units),
            deepest.name,
            clock(deepest.deepest_at),
            stands_words(deepest, outcome, units),
        ));
        if let Some(longest) = outcome.longest().filter(|longest| longest.name != deepest.name) {
            said.push(format!(
                "It stands longest at `{}`{}.",
                longest.name,
                stands_words(longest, outcome, units).replace("; it", ": it")
            ));
        }
    } else {
        let below = course.levels.rim - outcome.highest_in_basin;
        said.push(format!(
            "No water stands: in the basin it rises to {}{}.",
            Amount::of(outcome.highest_in_basin).show(units),
            if below > Length::ZERO {
                format!(", {} below the rim", Amount::small(below).show(units))
            } else {
                String::new()
            }
        ));
    }
    for hollow in outcome.hollows.iter().filter(|hollow| hollow.spilled > Volume::ZERO) {
        let to = hollow.spills_to.as_ref().map_or_else(String::new, |to| format!(" to `{to}`"));
        said.push(format!("{} run over the edge of `{}`{to}.", Amount::of(hollow.spilled).show(units), hollow.name));
    }
    said.push(pump_words(course));
    for (name, level, at) in &outcome.protected {
        let level = Amount::of(*level).show(units);
        said.push(match at {
            Some(at) => format!("Water reaches `{name}` ({level}) at {}.", clock(*at)),
            None => format!("It does not reach `{name}` ({level})."),
        });
    }
    said.extend(goes_in(&reached_in(outcome).collect::<Vec<_>>()));
    said.extend(goal_words(course));
    said
}

fn depth(depth: Length, units: UnitSystem) -> String {
    Amount::small(depth).show(units)
}

fn stands_words(hollow: &HollowOutcome, outcome: &StormOutcome, units: UnitSystem) -> String {
    let from = hollow.stands_from.map_or_else(String::new, |from| format!(", from {}", clock(from)));
    if hollow.still_stands {
        let after = Amount::of(outcome.followed).show(units);
        format!("; it stands{} and still does after {after}", from.replacen(',', "", 1))
    } else {
        format!("; it stands for {}{from}", Amount::of(hollow.stands).show(units))
    }
}

fn pump_words(course: &Course) -> String {
    let units = course.units;
    let outcome = &course.outcome;
    if outcome.starts == 0 {
        return if course.power == PowerCase::Never { "No pump runs." } else { "The pump does not start." }.to_owned();
    }
    let (pump, verb) = if course.two_pumps { ("The pumps", "run") } else { ("The pump", "runs") };
    let starts = match outcome.starts {
        1 => "once".to_owned(),
        starts => format!("{starts} times"),
    };
    let start = if course.two_pumps { "start" } else { "starts" };
    let second = if course.two_pumps {
        format!(", {} of it the second", Amount::of(outcome.second_runs).show(units))
    } else {
        String::new()
    };
    let alarm = outcome.alarm_at.map_or_else(String::new, |at| format!("; the alarm sounds at {}", clock(at)));
    format!("{pump} {start} {starts} and {verb} {} in all{second}{alarm}.", Amount::of(outcome.runs).show(units))
}

fn goal_words(course: &Course) -> Option<String> {
    let units = course.units;
    let depth = course.depth_goal.map(|(most, kept)| (format!("{} deep", Amount::small(most).show(units)), kept));
    let clear = course.clear_goal.map(|(most, kept)| (format!("gone in {}", Amount::of(most).show(units)), kept));
    let both: Vec<(String, bool)> = depth.into_iter().chain(clear).collect();
    let words = |wanted: bool| -> Vec<&str> {
        both.iter().filter(|(_, kept)| *kept == wanted).map(|(words, _)| words.as_str()).collect()
    };
    let (kept, missed) = (words(true), words(false));
    match (kept.is_empty(), missed.is_empty()) {
        (true, true) => None,
        (_, true) => Some(format!("The owner's goal, at most {}, is kept.", kept.join(" and "))),
        (true, false) => Some(format!("The owner's goal, at most {}, is missed.", missed.join(" and "))),
        (false, false) => {
            Some(format!("Of the owner's goal {} is kept and {} is missed.", kept.join(" and "), missed.join(" and ")))
        }
    }
}

/// More events than this are not listed.
const MOST_EVENTS: usize = 60;

fn happens(page: &mut Page, course: &Course) {
    page.heading("What happens, from the start of the rain");
    let widest = course.events.last().map_or(0, |event| clock(event.at).chars().count());
    for event in course.events.iter().take(MOST_EVENTS) {
        page.hang(&format!("{:>widest$}  ", clock(event.at)), &event_words(&event.what, course));
    }
    if let Some(more) = course.events.len().checked_sub(MOST_EVENTS).filter(|more| *more > 0) {
        page.paragraph(&format!("{more} more; `--format json` lists them all."));
    }
}

fn event_words(what: &Happens, course: &Course) -> String {
    let units = course.units;
    let time = |time: &Duration| Amount::of(*time).show(units);
    let pump = |number: &u8| if course.two_pumps { format!("pump {number}") } else { "the pump".to_owned() };
    match what {
        Happens::HardestRain(rain) => format!("the hardest rain begins, {}", Amount::of(*rain).show(units)),
        Happens::RainEnds => "the rain is over".to_owned(),
        Happens::PeakRunoff(flow) => format!("most runs off, {}", Amount::of(*flow).show(units)),
        Happens::PowerGoes => "the power is off from now on".to_owned(),
        Happens::PumpStarts(number) => format!("{} starts", pump(number)),
        Happens::PumpStops(number, ran) => format!("{} stops after {}", pump(number), time(ran)),
        Happens::PumpCycles { pump: number, runs, ran, until } => {
            format!("{} runs {runs} times until {}, {} in all", pump(number), clock(*until), time(ran))
        }
        Happens::Begins(what) => match what {
            Spanned::Stands { hollow } => format!("water stands at `{hollow}`"),
            Spanned::RunsOver { hollow, to } => {
                let to = to.as_ref().map_or_else(String::new, |to| format!(", to `{to}`"));
                format!("`{hollow}` runs over its edge{to}")
            }
            Spanned::Alarm => "the alarm sounds".to_owned(),
            Spanned::Reaches { place, from } => format!("water at `{from}` reaches `{place}`"),
        },
        Happens::Ends(what) => match what {
            Spanned::Stands { hollow } => format!("no more water stands at `{hollow}`"),
            Spanned::RunsOver { hollow, .. } => format!("`{hollow}` runs over no more"),
            Spanned::Alarm => "the alarm falls silent".to_owned(),
            Spanned::Reaches { place, .. } => format!("the water is below `{place}` again"),
        },
        Happens::Deepest(hollow, deep) => format!("water at `{hollow}` is at its deepest, {}", depth(*deep, units)),
        Happens::AtRest => "all hollows are dry and no pump runs".to_owned(),
        Happens::NotAtRest => "followed no further: the yard is not at rest".to_owned(),
    }
}

fn table(page: &mut Page, course: &Course) {
    page.heading("Course");
    let units = ColumnUnits::new(course.units);
    let time = |time: Duration| interval(time, course.units);
    let shown = match course.quiet {
        Some((quiet, after)) => format!(
            "Every {} from {} to {}, every {} outside{}; the times are counted from the start of the rain.",
            time(course.every),
            clock(course.window.0),
            clock(course.window.1),
            time(quiet),
            if after > quiet { format!(" and every {} after the rain", time(after)) } else { String::new() }
        ),
        None => format!("Every {}; the times are counted from the start of the rain.", time(course.every)),
    };
    page.paragraph(&shown);
    let shown = depth_column(course);
    if let Some((_, hollow)) = shown {
        let others = if course.outcome.hollows.len() > 1 { "; the other hollows are in `--format csv`" } else { "" };
        page.paragraph(&format!("depth: over the rim of `{}`{others}; stands: over all rims.", hollow.name));
    }
    page.gap();
    let mut heads = cells(&["time", "rain", "runoff", "into basin", "basin level", "pump", "ran", "pumped"]);
    let mut unit_names = vec![
        "",
        units.rain(Intensity::ZERO).unit,
        units.flow(Flow::ZERO).unit,
        units.flow(Flow::ZERO).unit,
        units.level(course.levels.floor).unit,
        "",
        "min",
        units.flow(Flow::ZERO).unit,
    ];
    if shown.is_some() {
        heads.push("depth".to_owned());
        unit_names.push(units.depth(Length::ZERO).unit);
    }
    heads.push("stands".to_owned());
    unit_names.push(units.volume(Volume::ZERO).unit);
    let rows = course.shown();
    let seconds = rows.iter().any(|row| !whole_minute(row.at)) && course.every < Duration::from_min(1.0);
    if seconds && let Some(unit) = unit_names.first_mut() {
        *unit = "h:min:s";
    }
    let heads = heads
        .into_iter()
        .zip(&unit_names)
        .map(|(head, unit)| if unit.is_empty() { head } else { format!("{head} {unit}") })
        .collect();
    let mut lines: Vec<Vec<String>> = vec![heads];
    lines.extend(rows.iter().map(|row| line(row, units, seconds, shown.map(|(place, _)| place))));
    let aligns: Vec<Align> =
        (0..unit_names.len()).map(|column| if column == 5 { Align::Left } else { Align::Right }).collect();
    page.table(&aligns, lines);
}

fn whole_minute(time: Duration) -> bool {
    (time.minutes() - libm::round(time.minutes())).abs() < 1e-6
}

/// An interval: 1 min, not 60 s.
fn interval(time: Duration, units: UnitSystem) -> String {
    if whole_minute(time) && time < Duration::from_min(90.0) {
        return format!("{:.0} min", time.minutes());
    }
    Amount::of(time).show(units)
}

/// The hollow whose depth is shown, with its place among them: that with the deepest water.
fn depth_column(course: &Course) -> Option<(usize, &HollowOutcome)> {
    let deepest = course.outcome.deepest()?;
    course.outcome.hollows.iter().enumerate().find(|(_, hollow)| *hollow == deepest)
}

fn line(row: &Row, units: ColumnUnits, seconds: bool, hollow: Option<usize>) -> Vec<String> {
    let or_none = |none: bool, text: String| if none { "-".to_owned() } else { text };
    let [first, second] = row.running;
    let pump = match (first, second) {
        (false, false) => "-",
        (true, false) => "1",
        (false, true) => "2",
        (true, true) => "1+2",
    };
    let ran: Duration = row.ran.iter().copied().sum();
    let mut line = vec![
        if seconds { clock_with_seconds(row.at) } else { clock(row.at) },
        units.rain(row.rain).short(),
        units.flow(row.runoff).short(),
        units.flow(row.into_basin).short(),
        units.level(row.level).short(),
        pump.to_owned(),
        or_none(ran <= Duration::ZERO, units.minutes(ran).short()),
        or_none(!first && !second, units.flow(row.pumped).short()),
    ];
    if let Some(hollow) = hollow {
        let depth = row.depths.get(hollow).copied().unwrap_or(Length::ZERO);
        line.push(or_none(depth <= Length::ZERO, units.depth(depth).short()));
    }
    line.push(or_none(row.standing <= Volume::ZERO, units.volume(row.standing).short()));
    line
}

fn balance(page: &mut Page, course: &Course) {
    page.heading("Where the water went");
    let show = |volume: Volume| Amount::of(volume).show(course.units);
    let balance = &course.balance;
    let mut pairs: Vec<(String, String)> = vec![
        ("came, steady water included".to_owned(), show(balance.came)),
        ("pumped".to_owned(), show(balance.pumped)),
        ("over the edge".to_owned(), show(balance.spilled)),
    ];
    let (word, volume) = if balance.held < Volume::ZERO {
        ("held less than at the start", -balance.held)
    } else {
        ("held more than at the start", balance.held)
    };
    pairs.push((word.to_owned(), show(volume)));
    pairs.push(("left over by the sums".to_owned(), format!("{:.1e} of it", course.outcome.imbalance.abs())));
    pairs.push(("followed for".to_owned(), clock(course.outcome.followed)));
    page.pairs(&pairs);
}

fn assumed(page: &mut Page, course: &Course) {
    if course.assumptions.is_empty() {
        return;
    }
    page.heading("Taken for want of an entry");
    for assumption in &course.assumptions {
        page.hang("- ", &format!("{}: {} ({})", assumption.what, assumption.value.show(course.units), assumption.why));
    }
}
